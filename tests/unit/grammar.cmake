fifthpeg_test(NAME unit_grammar SOURCES grammar_test.cpp grammar_hostile_test.cpp PARTS fifthpeg_check)
