fifthpeg_test(NAME roundtrip_smf
  SOURCES ${CMAKE_CURRENT_LIST_DIR}/smf_roundtrip_test.cpp
  PARTS fifthpeg_write_smf fifthpeg_read_smf fifthpeg_score)
target_link_libraries(roundtrip_smf PRIVATE PkgConfig::SMF)
