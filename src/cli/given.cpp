#include "cli/given.hpp"

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

namespace fifthpeg::cli {
namespace {

struct LossOf {
  std::string_view slug;  // as the writers tell it
  bool Given::*what;
};
constexpr std::array<LossOf, 5> losses{{{"midi-placement", &Given::placements},
                                        {"midi-finger", &Given::fingers},
                                        {"midi-digit", &Given::digits},
                                        {"tab-finger", &Given::fingers},
                                        {"midi-neck", &Given::neck}}};

}  // namespace

Given given_by(const Score& score, const BanjoOptions& asked_for) {
  Given given;
  given.neck = !asked_for.frets;
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

void tell_of_found(const Score& score, const Given& given, const HandsOptions& options, Report& report) {
  if (options.style != Style::roll && options.refinger == Refinger::missing &&
      (given.placements || given.digits)) {
    report.tell(
        Telling::choice, "fingering-kept",
        "the strings, fingers and digits of the file are kept, and the style asked for is that of the "
        "rest; --refinger all finds all of them anew");
  }
  if (given.placements) return;
  constexpr int octave_fret = 12;
  std::uint64_t notes = 0;
  std::uint64_t high = 0;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        ++notes;
        high += note.placement && note.placement->fret > octave_fret ? 1U : 0U;
      }
    }
  }
  if (high * 3 > notes) {
    report.tell(Telling::choice, "high-on-the-neck",
                std::to_string(high) + " of " + std::to_string(notes) +
                    " notes lie above fret 12; 'fifthpeg advise' ranks octaves, capos and tunings");
  }
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
