find_path(FIFTHPEG_BOOST_GRAPH boost/graph/dijkstra_shortest_paths.hpp REQUIRED)
fifthpeg_test(NAME property_hands
  SOURCES ${CMAKE_CURRENT_LIST_DIR}/hands_exact_test.cpp ${CMAKE_CURRENT_LIST_DIR}/hands_playable_test.cpp
  PARTS fifthpeg_hands fifthpeg_score)
target_include_directories(property_hands SYSTEM PRIVATE ${FIFTHPEG_BOOST_GRAPH})
