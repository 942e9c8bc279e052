// Setting up a score for another banjo than it was written for.
#include <algorithm>
#include <string>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {
namespace {

void require_on_neck(const Banjo& banjo) {
  const auto refuse = [&](const std::string& what) {
    throw UsageError("capo-off-neck", what + " is off a neck of " + std::to_string(banjo.frets) + " frets",
                     {}, {{}, {}, banjo.frets});
  };
  if (banjo.capo < 0 || banjo.capo >= banjo.frets) refuse("a capo at fret " + std::to_string(banjo.capo));
  if (banjo.fifth_capo < fifth_nut_fret || banjo.fifth_capo >= banjo.frets) {
    refuse("a fifth-string capo at fret " + std::to_string(banjo.fifth_capo));
  }
}

// Half steps that the strings, all of them alike, have been raised by; nothing where they are not alike.
std::optional<int> raised_by(const Banjo& before, const Banjo& after) {
  const int raised = after.open_midi(fifth_string) - before.open_midi(fifth_string);
  for (int string = 1; string < fifth_string; ++string) {
    if (after.open_midi(string) - before.open_midi(string) != raised) return std::nullopt;
  }
  return raised;
}

bool has_wrong_placement(const Banjo& banjo, const Stroke& stroke) {
  return std::any_of(stroke.notes.begin(), stroke.notes.end(), [&](const Note& note) {
    return note.placement && !gives(banjo, *note.placement, note);
  });
}

// The places of a stroke are one shape: where one of them goes, the others go with it.
void take_out_wrong_placements(Score& score, Report& report) {
  for (Measure& measure : score.measures) {
    for (Stroke& stroke : measure.strokes) {
      if (!has_wrong_placement(score.banjo, stroke)) continue;
      for (Note& note : stroke.notes) {
        note.placement.reset();
        note.finger.reset();
      }
      report.add(EntryKind::decision, "placement-replaced",
                 "a place in the file does not give its pitch with the tuning, capo and frets asked for; its "
                 "stroke is placed anew",
                 {{}, measure.number, beat_at(measure.meter, stroke.onset)});
    }
  }
}

}  // namespace

SetUpResult set_up(Score& score, const SetUp& wanted) {
  SetUpResult result;
  const Banjo before = score.banjo;
  Banjo banjo = before;
  if (wanted.tuning) banjo.tuning = *wanted.tuning;
  if (wanted.frets) banjo.frets = *wanted.frets;
  if (wanted.capo) {
    banjo.capo = *wanted.capo;
    banjo.fifth_capo = usual_fifth_capo(*wanted.capo);
  }
  if (wanted.fifth_capo) banjo.fifth_capo = *wanted.fifth_capo;
  if (banjo == before) return result;
  require_on_neck(banjo);
  score.banjo = banjo;
  // Where the music goes up with the strings, every place stays right.
  const std::optional<int> raised = raised_by(before, banjo);
  if (wanted.half_steps && raised == wanted.half_steps) return result;
  take_out_wrong_placements(score, result.report);
  if (raised && *raised != 0 && !result.report.empty()) result.keeps_shapes = raised;
  return result;
}

}  // namespace fifthpeg
