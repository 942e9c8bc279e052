// check IN: prints what a careful teacher would find in a file. Exits with 1 where there are errors.
#include <exception>
#include <fifthpeg/fifthpeg.hpp>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: check IN\n";
    return 2;
  }
  std::ifstream file(argv[1], std::ios::binary);
  if (!file) {
    std::cerr << argv[1] << " cannot be opened\n";
    return 2;
  }
  const std::string bytes((std::istreambuf_iterator<char>(file)), {});
  try {
    const fifthpeg::Checked checked = fifthpeg::check_file(bytes);
    for (const fifthpeg::Finding& finding : checked.findings) {
      std::cout << slug(finding.severity) << ": " << to_string(finding.place) << ": " << finding.text << " ["
                << finding.rule << "]\n";
    }
    return checked.readable && checked.count(fifthpeg::Severity::error) == 0 ? 0 : 1;
  } catch (const std::exception& error) {
    std::cerr << error.what() << "\n";
    return 2;
  }
}
