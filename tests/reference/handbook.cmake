fifthpeg_test(NAME reference_handbook SOURCES ${CMAKE_CURRENT_LIST_DIR}/handbook_test.cpp PARTS fifthpeg_score)
