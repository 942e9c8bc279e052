fifthpeg_bench(bench_hands ${CMAKE_CURRENT_LIST_DIR}/hands.cpp)
# Not a benchmark: figures about how files are fingered.
add_executable(hands_figures ${CMAKE_CURRENT_LIST_DIR}/hands_figures.cpp)
target_link_libraries(hands_figures PRIVATE fifthpeg_options fifthpeg
  PkgConfig::SMF PkgConfig::TINYXML2 PkgConfig::LIBZIP)
