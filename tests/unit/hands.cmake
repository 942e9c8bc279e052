fifthpeg_test(NAME unit_hands
  SOURCES
    ${CMAKE_CURRENT_LIST_DIR}/hands_advise_test.cpp
    ${CMAKE_CURRENT_LIST_DIR}/hands_explain_test.cpp
    ${CMAKE_CURRENT_LIST_DIR}/hands_finger_test.cpp
    ${CMAKE_CURRENT_LIST_DIR}/hands_queries_test.cpp
    ${CMAKE_CURRENT_LIST_DIR}/hands_styles_test.cpp
    ${CMAKE_CURRENT_LIST_DIR}/hands_trade_test.cpp
  PARTS fifthpeg_hands fifthpeg_score)
