// musicxml_samples DIR: writes varied scores as MusicXML into a folder, for validation against the
// published schema: those made by hand and random ones, on all choices of staves and fret numbers.
#include <filesystem>
#include <fstream>
#include <iostream>
#include <span>
#include <string>

#include "fifthpeg/write.hpp"
#include "formats/musicxml/writer/scores.hpp"
#include "property/random_parts.hpp"
#include "property/random_score.hpp"

namespace {

using namespace fifthpeg;

class FileSink : public Sink {
 public:
  explicit FileSink(const std::filesystem::path& path) : file_(path, std::ios::binary) {}
  void write(std::string_view bytes) override {
    file_.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  }
  bool good() {
    file_.flush();
    return file_.good();
  }

 private:
  std::ofstream file_;
};

bool write_sample(const std::filesystem::path& folder, const std::string& name, const Score& score,
                  int variant, std::span<const Score> further = {}) {
  MusicXmlOptions options;
  options.staves = static_cast<Staves>(variant % 3);
  options.fifth_frets = variant % 2 == 0 ? FifthFrets::from_long_nut : FifthFrets::from_own_nut;
  if (variant % 2 == 0) options.encoding_date = "2026-01-31";
  FileSink sink(folder / (name + ".musicxml"));
  write_musicxml(score, further, options, sink);
  return sink.good();
}

testing::RandomScoreOptions random_options(int seed) {
  testing::RandomScoreOptions options;
  options.placed = seed % 5 != 0;
  options.nested_tuplets = seed % 2 == 0;
  options.measures = 4 + seed % 12;
  return options;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: musicxml_samples DIR\n";
    return 2;
  }
  const std::filesystem::path folder = argv[1];
  std::filesystem::create_directories(folder);
  bool good = true;
  int variant = 0;
  for (const testing::NamedScore& sample : testing::hand_made_scores()) {
    good = write_sample(folder, sample.name, sample.score, variant++) && good;
  }
  for (int seed = 1; seed <= 100; ++seed) {
    const Score score = testing::random_score(static_cast<std::uint64_t>(seed), random_options(seed));
    good = write_sample(folder, "random-" + std::to_string(seed), score, variant++) && good;
  }
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    const testing::RandomParts parts = testing::random_parts(seed);
    good =
        write_sample(folder, "parts-" + std::to_string(seed), parts.first, variant++, {&parts.second, 1}) &&
        good;
  }
  return good ? 0 : 1;
}
