// bench_write_pieces FOLDER NOTES...: FOLDER/piece-NOTES.mid for each, and FOLDER/lick.mid.
// bench_write_pieces --batch FOLDER COUNT: that many licks, each different, as FOLDER/0001.mid and so on.
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "bench/pieces.hpp"

namespace {

bool write(const std::string& path, const std::string& bytes) {
  std::ofstream file(path, std::ios::binary);
  file << bytes;
  file.close();
  if (!file) std::fprintf(stderr, "%s cannot be written\n", path.c_str());
  return !file.fail();
}

}  // namespace

int main(int argc, char** argv) {
  using namespace fifthpeg;
  const bool batch = argc == 4 && std::string(argv[1]) == "--batch";
  if (!batch && (argc < 3 || argv[1][0] == '-')) return 2;
  const std::string folder = argv[batch ? 2 : 1];
  std::filesystem::create_directories(folder);
  if (batch) {
    const unsigned long count = std::strtoul(argv[3], nullptr, 10);
    for (unsigned long at = 1; at <= count; ++at) {
      const std::string number = std::to_string(10000 + at).substr(1);
      if (!write(folder + "/" + number + ".mid", bench::lick(static_cast<std::uint32_t>(at)))) return 1;
    }
    return 0;
  }
  for (int i = 2; i < argc; ++i) {
    const std::string bytes = bench::piece(std::strtoul(argv[i], nullptr, 10));
    if (!write(folder + "/piece-" + argv[i] + ".mid", bytes)) return 1;
  }
  return write(folder + "/lick.mid", bench::lick()) ? 0 : 1;
}
