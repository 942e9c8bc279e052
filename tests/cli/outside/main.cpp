// What an embedding program does: read, put on the banjo, write.
#include <fifthpeg/hands.hpp>
#include <fifthpeg/read.hpp>
#include <fifthpeg/write.hpp>
#include <fstream>
#include <iostream>
#include <iterator>

int main(int, char** argv) {
  std::ifstream file(argv[1], std::ios::binary);
  const std::string bytes((std::istreambuf_iterator<char>(file)), {});
  fifthpeg::Reading reading = fifthpeg::read(bytes);
  fifthpeg::finger(reading.score);
  fifthpeg::StringSink tab;
  fifthpeg::write_text_tab(reading.score, {}, tab, reading.report);
  std::cout << tab.str();
}
