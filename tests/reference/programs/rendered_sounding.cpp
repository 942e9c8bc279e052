// Prints what is asked of the strings for a file, as the JSON that plucked_string.js takes, and writes what
// the model in C++ makes of it as 64-bit samples:
//
//   rendered_sounding FILE SAMPLES [--backing] [--rate HZ]
#include <array>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "fifthpeg/audio.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/practice.hpp"
#include "fifthpeg/read.hpp"
#include "formats/audio/renderer.hpp"

namespace {

using namespace fifthpeg;

void print_string(const SoundedString& one) {
  constexpr std::array parts{"banjo", "bass", "chords"};
  constexpr std::array begins{"pluck", "hammer", "pull", "slide"};
  constexpr std::array stops{"open", "lift", "stop"};
  std::printf(R"({"start":%.17g,"end":%.17g,"part":"%s","string":%d,"midi":%d,"velocity":%d,)", one.start,
              one.end, parts.at(static_cast<std::size_t>(one.part)), one.string, one.midi, one.velocity);
  std::printf(R"("begin":"%s","stop":"%s","harmonic":%s,"dead":%s,"length":%.17g,"glides":[)",
              begins.at(static_cast<std::size_t>(one.begin)), stops.at(static_cast<std::size_t>(one.stop)),
              one.harmonic ? "true" : "false", one.dead ? "true" : "false", one.length);
  const char* between = "";
  for (const SoundedGlide& glide : one.glides) {
    std::printf(R"(%s{"from":%.17g,"to":%.17g,"centsFrom":%d,"centsTo":%d})", between, glide.from, glide.to,
                glide.cents_from, glide.cents_to);
    between = ",";
  }
  std::printf("]}");
}

void print(const Sounding& sounds) {
  std::printf(R"({"seconds":%.17g,"clicks":[)", sounds.seconds);
  const char* between = "";
  for (const SoundedClick& click : sounds.clicks) {
    std::printf(R"(%s{"start":%.17g,"accent":%s})", between, click.start, click.accent ? "true" : "false");
    between = ",";
  }
  std::printf("],\"strings\":[");
  between = "";
  for (const SoundedString& one : sounds.strings) {
    std::printf("%s", between);
    print_string(one);
    between = ",";
  }
  std::printf("]}\n");
}

}  // namespace

int main(int argc, char** argv) {
  std::ifstream file(argv[1], std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(file), {}};
  Score score = read(bytes).score;
  finger(score);
  PracticeOptions options;
  double rate = sample_rate;
  for (int i = 3; i < argc; ++i) {
    options.backing = options.backing || std::strcmp(argv[i], "--backing") == 0;
    options.click = options.backing;
    if (std::strcmp(argv[i], "--rate") == 0) rate = std::stod(argv[++i]);
  }
  const Practice practiced = practice(score, options);
  const Sounding sounds = sounding(practiced.score, practiced.backing, practiced.clicks);
  print(sounds);
  audio::Renderer renderer(sounds, rate);
  std::vector<double> samples(static_cast<std::size_t>(renderer.length()));
  renderer.next(samples);
  std::ofstream out(argv[2], std::ios::binary);
  out.write(reinterpret_cast<const char*>(samples.data()),  // NOLINT: bytes of a file
            static_cast<std::streamsize>(samples.size() * sizeof(double)));
  return out ? 0 : 1;
}
