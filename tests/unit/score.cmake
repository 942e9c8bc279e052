fifthpeg_test(NAME unit_score SOURCES pitch_test.cpp tuning_test.cpp score_test.cpp range_test.cpp PARTS fifthpeg_score)
