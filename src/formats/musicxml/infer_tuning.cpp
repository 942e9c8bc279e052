#include "formats/musicxml/infer_tuning.hpp"

#include <cstdlib>

namespace fifthpeg::musicxml {
namespace {

constexpr int octave = 12;

struct Most {
  int open = 0;
  std::uint64_t count = 0;
  std::uint64_t total = 0;
};

Most most_of(const OpenStrings& met, int string) {
  Most most;
  for (const auto& [open, count] : met.at(static_cast<std::size_t>(string))) {
    most.total += count;
    if (count > most.count) {
      most.open = open;
      most.count = count;
    }
  }
  return most;
}

// The octave in which the strings lie nearest to open G.
int octaves_off(const OpenStrings& met, int capo) {
  int best = 0;
  int least = -1;
  for (const int octaves : {0, -1, 1, -2, 2}) {
    int distance = 0;
    for (int string = 1; string <= string_count; ++string) {
      const Most most = most_of(met, string);
      if (most.count == 0) continue;
      distance += std::abs(most.open - capo + octave * octaves - open_g().open(string).midi());
    }
    if (least < 0 || distance < least) {
      least = distance;
      best = octaves;
    }
  }
  return best;
}

int retuned_strings(const Tuning& tuning) {
  int strings = 0;
  for (int string = 1; string <= string_count; ++string) {
    strings += tuning.open(string).midi() != open_g().open(string).midi() ? 1 : 0;
  }
  return strings;
}

std::uint64_t explained_by(const Tuning& tuning, int raised, const OpenStrings& met) {
  std::uint64_t explained = 0;
  for (int string = 1; string <= string_count; ++string) {
    const auto& of_string = met.at(static_cast<std::size_t>(string));
    const auto agreeing = of_string.find(tuning.open(string).midi() + raised);
    if (agreeing != of_string.end()) explained += agreeing->second;
  }
  return explained;
}

}  // namespace

std::optional<int> proven_open(const OpenStrings& met, int string) {
  const Most most = most_of(met, string);
  if (most.count < places_that_prove || most.count * 4 < most.total * 3) return std::nullopt;
  return most.open;
}

InferredTuning infer_tuning(const OpenStrings& met, int capo) {
  InferredTuning found;
  found.octaves = octaves_off(met, capo);
  const int raised = capo - octave * found.octaves;  // from a string of the tuning to one that was met
  bool is_known = false;
  for (const NamedTuning& named : named_tunings()) {
    bool contradicted = false;
    for (int string = 1; string <= string_count; ++string) {
      const auto proven = proven_open(met, string);
      contradicted = contradicted || (proven && *proven != named.tuning.open(string).midi() + raised);
    }
    const std::uint64_t explained = explained_by(named.tuning, raised, met);
    const bool is_better =
        !is_known || explained > found.explained ||
        (explained == found.explained && retuned_strings(named.tuning) < retuned_strings(found.tuning));
    if (contradicted || !is_better) continue;
    is_known = true;
    found.tuning = named.tuning;
    found.explained = explained;
  }
  if (is_known) return found;
  found.tuning = open_g();
  for (int string = 1; string <= string_count; ++string) {
    const auto proven = proven_open(met, string);
    Pitch& pitch = found.tuning.strings.at(static_cast<std::size_t>(string - 1));
    if (proven && *proven - raised != pitch.midi()) pitch = spell(*proven - raised, Key{1, Mode::major});
  }
  found.explained = explained_by(found.tuning, raised, met);
  return found;
}

}  // namespace fifthpeg::musicxml
