fifthpeg_test(NAME unit_sniff SOURCES ${CMAKE_CURRENT_LIST_DIR}/sniff_test.cpp
  PARTS fifthpeg_read fifthpeg_read_musicxml fifthpeg_read_smf fifthpeg_score)
target_link_libraries(unit_sniff PRIVATE PkgConfig::TINYXML2 PkgConfig::LIBZIP PkgConfig::SMF)
