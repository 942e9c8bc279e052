set(musicxml_write_parts fifthpeg_write_musicxml fifthpeg_score)

add_executable(musicxml_samples ${CMAKE_CURRENT_LIST_DIR}/musicxml_samples.cpp)
target_link_libraries(musicxml_samples PRIVATE fifthpeg_options ${musicxml_write_parts})
target_include_directories(musicxml_samples PRIVATE ${CMAKE_SOURCE_DIR}/tests)
