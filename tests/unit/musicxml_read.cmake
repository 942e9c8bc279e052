fifthpeg_test(NAME unit_musicxml_read
  SOURCES
    ${CMAKE_CURRENT_LIST_DIR}/musicxml_read_encoding_test.cpp
    ${CMAKE_CURRENT_LIST_DIR}/musicxml_read_rhythm_test.cpp
    ${CMAKE_CURRENT_LIST_DIR}/musicxml_read_strings_test.cpp
    ${CMAKE_CURRENT_LIST_DIR}/musicxml_read_notes_test.cpp
    ${CMAKE_CURRENT_LIST_DIR}/musicxml_read_parts_test.cpp
    ${CMAKE_CURRENT_LIST_DIR}/musicxml_read_slices_test.cpp
  PARTS fifthpeg_read_musicxml fifthpeg_score)
target_link_libraries(unit_musicxml_read PRIVATE PkgConfig::TINYXML2 PkgConfig::LIBZIP)

fifthpeg_test(NAME unit_musicxml_read_damage
  SOURCES ${CMAKE_CURRENT_LIST_DIR}/musicxml_read_damage_test.cpp
  PARTS fifthpeg_read_musicxml fifthpeg_score)
target_link_libraries(unit_musicxml_read_damage PRIVATE PkgConfig::TINYXML2 PkgConfig::LIBZIP)
