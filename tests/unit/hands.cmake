fifthpeg_test(NAME unit_hands
  SOURCES ${CMAKE_CURRENT_LIST_DIR}/hands_finger_test.cpp
  PARTS fifthpeg_hands fifthpeg_score)
