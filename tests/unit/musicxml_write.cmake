fifthpeg_test(NAME unit_engrave SOURCES engrave_test.cpp PARTS fifthpeg_write_musicxml fifthpeg_score)
fifthpeg_test(NAME unit_musicxml_write SOURCES musicxml_write_test.cpp
  PARTS fifthpeg_write_musicxml fifthpeg_score PkgConfig::TINYXML2)

# Writes the scores that are validated against the published schema.
add_executable(musicxml_samples ${CMAKE_CURRENT_LIST_DIR}/musicxml_samples.cpp)
target_link_libraries(musicxml_samples PRIVATE fifthpeg_options fifthpeg_write_musicxml fifthpeg_score)
target_include_directories(musicxml_samples PRIVATE ${CMAKE_CURRENT_LIST_DIR}/..)
