fifthpeg_test(NAME unit_grammar SOURCES grammar_test.cpp grammar_hostile_test.cpp PARTS fifthpeg_grammar)

# For tests/reference, which compares its verdicts with those of the published schema.
add_executable(grammar_verdict ${CMAKE_CURRENT_LIST_DIR}/grammar_verdict.cpp)
target_link_libraries(grammar_verdict PRIVATE fifthpeg_grammar)
