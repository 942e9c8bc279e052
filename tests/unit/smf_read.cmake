fifthpeg_test(NAME unit_smf_read_scan SOURCES smf_read_scan_test.cpp PARTS fifthpeg_read_smf fifthpeg_score)
fifthpeg_test(NAME unit_smf_read SOURCES smf_read_test.cpp PARTS fifthpeg_read_smf fifthpeg_score)
fifthpeg_test(NAME unit_smf_read_rhythm SOURCES smf_read_rhythm_test.cpp PARTS fifthpeg_read_smf fifthpeg_score)
fifthpeg_test(NAME unit_smf_read_parts SOURCES smf_read_parts_test.cpp PARTS fifthpeg_read_smf fifthpeg_score)
fifthpeg_test(NAME unit_smf_read_damage SOURCES smf_read_damage_test.cpp PARTS fifthpeg_read_smf fifthpeg_score)

# What is read, by libsmf: the tests' second opinion. smf_messages asks it about files that are given.
fifthpeg_test(NAME unit_smf_read_libsmf SOURCES smf_read_libsmf_test.cpp PARTS fifthpeg_read_smf fifthpeg_score)
target_link_libraries(unit_smf_read_libsmf PRIVATE PkgConfig::SMF)
add_executable(smf_messages smf_messages.cpp)
target_link_libraries(smf_messages PRIVATE fifthpeg_options fifthpeg_read_smf fifthpeg_score PkgConfig::SMF)
target_include_directories(smf_messages PRIVATE ${CMAKE_SOURCE_DIR}/tests)
