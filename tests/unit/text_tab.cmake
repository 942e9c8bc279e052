fifthpeg_test(NAME unit_text_tab
  SOURCES text_tab_test.cpp
  PARTS fifthpeg_write_text fifthpeg_score)
