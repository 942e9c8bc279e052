set(check_parts fifthpeg_check fifthpeg_grammar fifthpeg_hands fifthpeg_read fifthpeg_read_smf fifthpeg_read_musicxml
  fifthpeg_write_musicxml fifthpeg_score)
fifthpeg_test(NAME unit_check SOURCES check_rules_test.cpp check_cases.cpp check_places.cpp check_file_test.cpp
  check_damage_test.cpp check_midi_clock_test.cpp PARTS ${check_parts})
