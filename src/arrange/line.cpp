#include "arrange/line.hpp"

#include <utility>

#include "arrange/line_fills.hpp"
#include "arrange/melody.hpp"
#include "arrange/plan.hpp"
#include "arrange/setting.hpp"
#include "arrange/weights.hpp"
#include "arrange/written.hpp"

namespace fifthpeg::arranging {
namespace {

HandsOptions hands_for(Style style, int level, const LineManner& manner) {
  HandsOptions options;
  options.position = manner.position;
  options.style = style;
  options.transpose = 0;
  options.suggest_slurs = false;
  if (level == lowest_level) {
    // In single-string the thumb is not free for the fifth string, whose note is at the fifth fret of the
    // first.
    options.position = FretRange{1, highest_fret(level) + (style == Style::single_string ? 1 : 0)};
  }
  return options;
}

bool has_string(const Banjo& banjo, int midi) {
  return has_place(banjo, StringSound{midi});
}

void tell_out_of_range(const Measure& measure, Fraction onset, Report& report) {
  report.add(EntryKind::decision, "melody-note-out-of-range",
             "a melody note that the banjo does not have there is left out",
             {{}, measure.number, beat_at(measure, onset), 0, -1, 0});
}

// The melody as it stands, with its tuplets, ties and words, where the plan has its notes.
void keep_melody(Score& score, const std::vector<Tone>& melody, Report& report) {
  std::size_t next = 0;
  int midi = 0;  // of the note that sounds
  Fraction start;
  for (Measure& measure : score.measures) {
    std::erase_if(measure.strokes, [](const Stroke& stroke) { return stroke.grace != Grace::none; });
    for (Stroke& stroke : measure.strokes) {
      const Note* const top = melody_note_of(stroke);
      if (next < melody.size() && melody[next].at == start + stroke.onset) midi = melody[next++].midi;
      std::vector<Note> notes;
      if (top != nullptr && has_string(score.banjo, midi)) {
        Note& note = notes.emplace_back();
        note.pitch = top->pitch;
        note.pitch.octave = static_cast<std::int8_t>(note.pitch.octave + (midi - note.pitch.midi()) / 12);
        note.tied_from_previous = top->tied_from_previous;
        note.tied_to_next = top->tied_to_next;
        note.role = Role::melody;
      } else if (top != nullptr) {
        tell_out_of_range(measure, stroke.onset, report);
      }
      stroke.notes = std::move(notes);
      stroke.brush = Brush::none;
    }
    start += measure.length;
  }
  normalize(score);
}

// The bones of the melody, where a plan has put them; each sounds until the next.
void keep_bones(Score& score, const Plan& plan, Report& report) {
  const Key key = find_key(score);
  for (Measure& measure : score.measures) measure.strokes.clear();
  for (const Unit& unit : plan.units) {
    Measure& measure = score.measures[unit.measure];
    for (const Wanted& wanted : unit.wanted) {
      Stroke stroke;
      stroke.onset = unit.at + unit.slot * Fraction(wanted.slot);
      if (!has_string(score.banjo, wanted.midi)) {
        tell_out_of_range(measure, stroke.onset, report);
        continue;
      }
      Note& note = stroke.notes.emplace_back();
      note.pitch = spell(wanted.midi, key);
      note.role = Role::melody;
      measure.strokes.push_back(std::move(stroke));
    }
  }
  for (Measure& measure : score.measures) sound_until_next(measure);
  normalize(score);
}

// Strings and frets stay; which fingers do it is to be found again.
void forget_fingers(Score& score) {
  for (Measure& measure : score.measures) {
    for (Stroke& stroke : measure.strokes) {
      for (Note& note : stroke.notes) {
        note.finger.reset();
        note.picking_finger.reset();
      }
    }
  }
}

std::string reason_in_line(const Note& note) {
  switch (note.role) {
    case Role::drone:
      return "drone, after a long note";
    case Role::fill:
      return note.placement->fret == 0 ? "fill, open beside a long note" : "fill, under a long note";
    default:
      return note.tied_from_previous ? "melody, which goes on" : "melody";
  }
}

std::vector<std::string> reasons_of_line(const Score& score) {
  std::vector<std::string> reasons;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.is_rest()) continue;
      std::string& text = reasons.emplace_back();
      for (const Note& note : stroke.notes) {
        if (!text.empty()) text += "; ";
        text += reason_in_line(note);
      }
    }
  }
  return reasons;
}

}  // namespace

Line line_of(const Score& score, const std::vector<InferredChord>& inferred, Style style, int level,
             const LineManner& manner) {
  const bool whole = level > lowest_level;
  Line line;
  Report passed_over;
  // Beginners stay in the first frets; from the second level on the line goes where it likes.
  const MelodyRange range = melody_range(score.banjo, whole ? highest_level : lowest_level);
  const std::vector<Tone> melody = melody_of(score, passed_over);
  // From the second level on the melody stands as it is, and the plan says in which octave and over what.
  Plan plan = plan_of(score, melody, inferred, range, style, whole ? highest_level : lowest_level);
  for (std::size_t i = 0; whole && i < melody.size(); ++i) {
    const int midi = plan.melody[i].midi;
    plan.melody[i] = melody[i];
    plan.melody[i].midi = midi;
  }
  line.score = score;
  line.report.merge(plan.report);
  if (whole) {
    plan.asked.assign(plan.melody.size(), true);
    for (const char* const of_rolls : {"melody-note-moved", "melody-note-between"})
      line.report.erase(of_rolls);
    keep_melody(line.score, plan.melody, line.report);
  } else {
    keep_bones(line.score, plan, line.report);
  }
  const HandsOptions hands = hands_for(style, level, manner);
  FingeringResult fingered = finger(line.score, hands);
  if (whole && add_line_fills(line.score, plan, style, level, manner.fills)) {
    forget_fingers(line.score);
    fingered = finger(line.score, hands);
    fingered.report.erase("fingering-kept");
  }
  line.report.merge(fingered.report);
  line.cost = fingered.cost;
  line.reasons = reasons_of_line(line.score);

  line.melody.reserve(plan.melody.size());
  for (std::size_t i = 0; i < plan.melody.size(); ++i) {
    const Tone& tone = plan.melody[i];
    const bool kept = plan.asked[i] && has_string(score.banjo, tone.midi);
    line.melody.push_back(
        {tone.at, tone.length, tone.midi, plan.on_beat[i], plan.ends_phrase[i], plan.asked[i], kept});
  }
  return line;
}

}  // namespace fifthpeg::arranging
