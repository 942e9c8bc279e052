#include "cli/given.hpp"

#include <array>
#include <string_view>

namespace fifthpeg::cli {
namespace {

struct LossOf {
  std::string_view slug;  // as the writers tell it
  bool Given::*what;
};
constexpr std::array<LossOf, 4> losses{{{"midi-placement", &Given::placements},
                                        {"midi-finger", &Given::fingers},
                                        {"midi-digit", &Given::digits},
                                        {"tab-finger", &Given::fingers}}};

}  // namespace

Given given_by(const Score& score) {
  Given given;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        given.placements = given.placements || note.placement.has_value();
        given.fingers = given.fingers || note.finger.has_value();
        given.digits = given.digits || note.digit.has_value();
      }
    }
  }
  return given;
}

void keep_losses_of_given(Report& report, const Given& given) {
  for (const LossOf& loss : losses) {
    if (given.*loss.what || !report.forget(loss.slug)) continue;
    if (loss.what == &Given::placements) {
      report.tell(Telling::choice, "places-not-written",
                  "the strings and frets that were found are not in the MIDI file; --channel-per-string "
                  "keeps them");
    }
  }
}

}  // namespace fifthpeg::cli
