// Setting up a score for another banjo than it was written for.
#include <algorithm>
#include <string>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/score.hpp"
#include "score/interval.hpp"

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
                 {{}, measure.number, beat_at(measure, stroke.onset)});
    }
  }
}

// Transposes, and leaves every finger where it is.
void move_with_the_strings(Score& score, int half_steps) {
  const Score before = score;
  transpose(score, half_steps);
  for (std::size_t m = 0; m < score.measures.size(); ++m) {
    for (std::size_t s = 0; s < score.measures[m].strokes.size(); ++s) {
      std::vector<Note>& notes = score.measures[m].strokes[s].notes;
      for (std::size_t n = 0; n < notes.size(); ++n) {
        notes[n].placement = before.measures[m].strokes[s].notes[n].placement;
        notes[n].finger = before.measures[m].strokes[s].notes[n].finger;
      }
    }
  }
}

Report moved_along(Score& score, int half_steps) {
  move_with_the_strings(score, half_steps);
  Report report;
  report.add(EntryKind::decision, "music-moved-with-strings",
             "the tab stays as it is and sounds " + interval_text(half_steps) +
                 (half_steps > 0 ? " higher" : " lower") + " with the strings");
  return report;
}

}  // namespace

Report set_up(Score& score, const SetUp& wanted) {
  Report report;
  const Banjo before = score.banjo;
  Banjo banjo = before;
  if (wanted.tuning) banjo.tuning = *wanted.tuning;
  if (wanted.frets) banjo.frets = *wanted.frets;
  if (wanted.capo) {
    banjo.capo = *wanted.capo;
    banjo.fifth_capo = usual_fifth_capo(*wanted.capo);
  }
  if (wanted.fifth_capo) banjo.fifth_capo = *wanted.fifth_capo;
  if (banjo == before) return report;
  require_on_neck(banjo);
  score.banjo = banjo;
  // Where the music goes up with the strings, every place stays right.
  const std::optional<int> raised = raised_by(before, banjo);
  if (wanted.half_steps && raised == wanted.half_steps) return report;
  if (wanted.music_moves_along && raised.value_or(0) != 0) return moved_along(score, *raised);
  take_out_wrong_placements(score, report);
  return report;
}

}  // namespace fifthpeg
