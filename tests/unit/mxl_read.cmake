fifthpeg_test(NAME unit_mxl_read SOURCES ${CMAKE_CURRENT_LIST_DIR}/mxl_read_test.cpp
  PARTS fifthpeg_read_musicxml fifthpeg_score)
target_link_libraries(unit_mxl_read PRIVATE PkgConfig::TINYXML2 PkgConfig::LIBZIP)
