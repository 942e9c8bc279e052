fifthpeg_test(NAME roundtrip_musicxml
  SOURCES
    ${CMAKE_CURRENT_LIST_DIR}/musicxml_roundtrip_test.cpp
    ${CMAKE_CURRENT_LIST_DIR}/musicxml_everything_test.cpp
  PARTS fifthpeg_read fifthpeg_read_musicxml fifthpeg_read_smf fifthpeg_write_musicxml fifthpeg_score)
target_link_libraries(roundtrip_musicxml PRIVATE PkgConfig::TINYXML2 PkgConfig::LIBZIP PkgConfig::SMF)
