fifthpeg_test(NAME unit_engrave SOURCES engrave_test.cpp PARTS fifthpeg_write_musicxml fifthpeg_score)

# Writes the scores that are validated against the published schema.
add_executable(musicxml_samples ${CMAKE_CURRENT_LIST_DIR}/musicxml_samples.cpp)
target_link_libraries(musicxml_samples PRIVATE fifthpeg_options fifthpeg_write_musicxml fifthpeg_score)
target_include_directories(musicxml_samples PRIVATE ${CMAKE_CURRENT_LIST_DIR}/..)
