// Lays out each file on all papers, and prints what runs into what:
//
//     sheet_collisions FILE...
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>

#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"
#include "formats/sheet/collisions.hpp"
#include "formats/sheet/layout/lay_out.hpp"

namespace {

using namespace fifthpeg;

void look_at(const std::string& name, const Score& score, const SheetOptions& options) {
  Report report;
  const sheet::Drawing drawing = sheet::lay_out({score}, options, report);
  for (std::size_t page = 0; page < drawing.pages.size(); ++page) {
    for (const std::string& one : testing::collisions(drawing.pages[page])) {
      std::cout << name << (options.paper == Paper::a4 ? " a4" : " letter")
                << (options.landscape ? " landscape" : "") << (options.notation ? " notation" : "")
                << " page " << page + 1 << ": " << one << "\n";
    }
  }
}

}  // namespace

int main(int count, char** names) {
  for (int i = 1; i < count; ++i) {
    std::ifstream file(names[i], std::ios::binary);
    const std::string bytes((std::istreambuf_iterator<char>(file)), {});
    Reading reading = read(bytes);
    HandsOptions hands;
    hands.thin = true;
    finger(reading.score, hands);
    for (const Paper paper : {Paper::a4, Paper::letter}) {
      for (const bool landscape : {false, true}) {
        for (const bool notation : {false, true}) {
          SheetOptions options;
          options.paper = paper;
          options.landscape = landscape;
          options.notation = notation;
          options.fingers = options.shapes = notation;
          options.roles = true;
          look_at(names[i], reading.score, options);
        }
      }
    }
  }
  return 0;
}
