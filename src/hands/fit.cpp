#include "hands/fit.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstdlib>
#include <string>

#include "banjo/range.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::hands {
namespace {

// Faster than this the picking hand is glad of a slur; see HandsOptions::suggest_slurs. From memory.
constexpr float fast_seconds = 0.17F;

constexpr Kept nothing_kept{false, false, false};

// The pitch as the player meets it: moved, and spelled as the source spells it where it is moved by octaves.
std::string name_of(const Pitch& pitch, const Key& key, int half_steps) {
  if (half_steps == 0) return to_string(pitch);
  const Move move = half_steps % 12 == 0 ? Move{half_steps, 0} : move_for(key, half_steps);
  return to_string(moved(pitch, move));
}

// How far an added slide goes at most, in half steps: where the source asks for none, a short one. From
// memory.
constexpr int longest_added_slide = 4;

// What may lead to a note so many half steps up.
std::int8_t added_techniques(int half_steps) {
  constexpr CostTable costs;
  const int size = std::abs(half_steps);
  std::int8_t techniques = 0;
  if (size != 0 && size <= costs.longest_hammer) {
    techniques = RequestedNote::bit(half_steps > 0 ? Technique::hammer_on : Technique::pull_off);
  }
  if (size != 0 && size <= longest_added_slide) {
    techniques = static_cast<std::int8_t>(techniques | RequestedNote::bit(Technique::slide));
  }
  return techniques;
}

// The notes of a stroke whose bits are set, as they are asked for; the first note is bit 0.
RequestedStroke stroke_of(const Score& score, const std::vector<Event>& line, std::uint32_t index,
                          unsigned chosen, Kept kept, const Fit& fit) {
  const int half_steps = fit.half_steps;
  const AddedSlurs& added = fit.added_slurs;
  const Event& at = line[index];
  const Stroke& stroke = stroke_at(score, at);
  RequestedStroke result;
  result.brush = stroke.brush != Brush::none;
  result.off_beat = at.off_beat;
  result.long_note = stroke.duration >= Fraction(1, 4);
  for (std::size_t n = 0; n < stroke.notes.size() && n < 32 && result.count < string_count; ++n) {
    if ((chosen & (1U << n)) == 0) continue;
    RequestedNote note = requested(stroke.notes[n], half_steps, kept);
    // What a source slurs over a rest is picked: the string has stopped.
    if (stroke.notes[n].into == Technique::slur && index > 0 &&
        comes_after_rest(at, stroke_at(score, line[index - 1])))
      note.slurs = 0;
    if (stroke.articulations.staccato) note.ringing = RequestedNote::stopped_short;
    const bool placed = note.string != RequestedNote::free;
    const bool holds = placed && gives(score.banjo, {note.string, note.fret}, note.sound());
    // Fingers and picking fingers go with their place, and where there is none, with the pitch. A wrong fret
    // leaves the string that it names, if that gives the note.
    if (!holds && (placed || half_steps != 0)) {
      const auto fret =
          placed && half_steps == 0 ? fret_for(score.banjo, note.string, note.sound()) : std::nullopt;
      if (!fret) note.string = RequestedNote::free;
      note.fret = static_cast<std::int8_t>(fret.value_or(RequestedNote::free));
      note.finger = RequestedNote::free;
    }
    if (!holds && half_steps != 0 && kept.placement) note.picking_finger = RequestedNote::free;
    for (const FixedNote& fixed : fit.fixed) {
      if (fixed.event == index && fixed.note == n) fix(fixed.point, score.banjo, place_of(score, at), note);
    }
    result.add() = note;
  }
  const bool added_here =
      at.wait.seconds < added.under || (at.off_beat && at.wait.wholes < added.off_beat_under);
  if (index > 0 && added_here && result.count == 1 && stroke_at(score, line[index - 1]).notes.size() == 1) {
    RequestedNote& note = result.notes.front();
    if (!note.tied && !note.slur_asked && note.picking_finger == RequestedNote::free) {
      note.slurs = added_techniques(stroke.notes.front().pitch.midi() -
                                    stroke_at(score, line[index - 1]).notes.front().pitch.midi());
    }
  }
  return result;
}

constexpr unsigned every_note = ~0U;

class Fitter {
 public:
  Fitter(const Score& score, const std::vector<Event>& line, const HandsOptions& options,
         Candidates& candidates)
      : score_(score), line_(line), options_(options), candidates_(candidates) {}

  Fit run() {
    fit_.half_steps =
        options_.transpose ? *options_.transpose : nearest_octave(NoteKinds(score_), score_.banjo);
    fit_.kept = kept_by(options_.refinger);
    if (options_.suggest_slurs.value_or(false)) fit_.added_slurs.under = fast_seconds;
    if (options_.suggest_slurs.value_or(true)) {
      fit_.added_slurs.off_beat_under = candidates_.costs().slur_off_beat_under;
    }
    fit_.fixed = fixed_notes(score_, line_, options_.fixed_points);
    for (std::uint32_t i = 0; i < line_.size(); ++i) fit_stroke(i);
    return std::move(fit_);
  }

 private:
  std::string name(const Event& at, const Note& note) const {
    return name_of(note.pitch, score_.measures[at.measure].key, fit_.half_steps);
  }

  void check_range(const Event& at, const Note& note) const {
    if (has_place(score_.banjo, string_sound(note, fit_.half_steps))) return;
    throw UnplayableError("note-out-of-range",
                          name(at, note) + " lies outside the banjo's range as it is set up",
                          place_of(score_, at), {note.pitch, {}, {}});
  }

  bool holds(std::uint32_t index, unsigned chosen, Kept kept) {
    const RequestedStroke stroke = stroke_of(score_, line_, index, chosen, kept, fit_);
    return candidates_.of(stroke)->playable;
  }

  void fit_stroke(std::uint32_t index) {
    const Event& at = line_[index];
    const Stroke& stroke = stroke_at(score_, at);
    bool fixed = std::any_of(fit_.fixed.begin(), fit_.fixed.end(),
                             [index](const FixedNote& one) { return one.event == index; });
    for (const Note& note : stroke.notes) {
      check_range(at, note);
      const RequestedNote asked = requested(note, fit_.half_steps, fit_.kept);
      fixed = fixed || asked.string != RequestedNote::free || asked.finger != RequestedNote::free ||
              asked.picking_finger != RequestedNote::free;
      if (fit_.half_steps == 0 && asked.string != RequestedNote::free &&
          !gives(score_.banjo, {asked.string, asked.fret}, asked.sound())) {
        fit_.report.add(EntryKind::loss, "placement-contradicts-pitch",
                        fret_for(score_.banjo, asked.string, asked.sound())
                            ? "a fret that does not give the note's pitch is corrected on its string"
                            : "a string and fret that do not give the note's pitch are found anew",
                        place_of(score_, at));
      }
    }
    if (stroke.notes.size() == 1 && !fixed) return;  // within range is enough
    if (stroke.notes.size() <= string_count) {
      if (holds(index, every_note, fit_.kept)) return;
      if (fixed && relax(index, every_note)) return;
    }
    if (!options_.thin) refuse(at, stroke);
    thin(index, stroke, fixed);
  }

  // Gives up as few of the stroke's fixed points as let it be played; false where that is not enough.
  bool relax(std::uint32_t index, unsigned chosen) {
    constexpr Kept attempts[] = {{true, false, true},
                                 {true, true, false},
                                 {true, false, false},
                                 {false, false, true},
                                 {false, false, false}};
    for (Kept kept : attempts) {
      kept = {kept.placement && fit_.kept.placement, kept.finger && fit_.kept.finger,
              kept.picking_finger && fit_.kept.picking_finger};
      if (!holds(index, chosen, kept)) continue;
      fit_.relaxed.push_back({index, kept});
      const Place place = place_of(score_, line_[index]);
      if (fit_.kept.placement && !kept.placement) {
        fit_.report.add(EntryKind::loss, "placements-cannot-be-held",
                        two_on_one_string(stroke_at(score_, line_[index]))
                            ? "notes placed on one string at once are placed anew"
                            : "strings and frets that lie too far apart for a hand are found anew",
                        place);
      } else if (fit_.kept.finger && !kept.finger) {
        fit_.report.add(
            EntryKind::loss, "fingers-cannot-be-used",
            "fret-hand fingers that are out of order, in two places or too far apart are found anew", place);
      }
      if (fit_.kept.picking_finger && !kept.picking_finger) {
        fit_.report.add(EntryKind::loss, "picking-fingers-cannot-be-used",
                        "picking fingers that are out of order or on two strings at once are found anew",
                        place);
      }
      return true;
    }
    return false;
  }

  static bool two_on_one_string(const Stroke& stroke) {
    unsigned taken = 0;
    for (const Note& note : stroke.notes) {
      if (!note.placement) continue;
      const unsigned bit = 1U << note.placement->string;
      if ((taken & bit) != 0) return true;
      taken |= bit;
    }
    return false;
  }

  [[noreturn]] void refuse(const Event& at, const Stroke& stroke) const {
    std::string names;
    const std::size_t named = std::min<std::size_t>(stroke.notes.size(), 8);
    for (std::size_t n = 0; n < named; ++n) names += (n == 0 ? "" : " ") + name(at, stroke.notes[n]);
    if (named < stroke.notes.size()) names += " ...";
    const Place place = place_of(score_, at);
    if (stroke.notes.size() == 1)
      throw UnplayableError("note-cannot-be-held", "no finger can play " + names + " as it is asked for",
                            place);
    const std::string too_many = stroke.notes.size() > string_count
                                     ? ": " + std::to_string(stroke.notes.size()) + " notes, on five strings"
                                     : "";
    throw UnplayableError("stroke-cannot-be-held", "no hand can hold " + names + " together" + too_many,
                          place);
  }

  // Keeps the highest note, as many of the others as can be held, and of those rather the lowest.
  void thin(std::uint32_t index, const Stroke& stroke, bool fixed) {
    const std::size_t size = std::min<std::size_t>(stroke.notes.size(), most_weighed);
    const unsigned lowest = 1U << (size - 1);
    unsigned best = 1;
    int best_weight = -1;
    for (unsigned chosen = 1; chosen < (1U << size); chosen += 2) {  // bit 0 is the highest note
      const int count = std::popcount(chosen);
      if (count > string_count) continue;
      const int weight = 2 * count + ((chosen & lowest) != 0 ? 1 : 0);
      if (weight > best_weight && holds(index, chosen, nothing_kept)) {
        best = chosen;
        best_weight = weight;
      }
    }
    if (fixed && !holds(index, best, fit_.kept)) relax(index, best);
    const Event& at = line_[index];
    for (std::size_t n = 0; n < stroke.notes.size(); ++n) {
      if (n < size && (best & (1U << n)) != 0) continue;
      fit_.dropped.push_back({index, static_cast<std::uint32_t>(n)});
      fit_.report.add(
          EntryKind::loss, "note-let-go",
          "a note that no hand can hold with the others is left out: " + name(at, stroke.notes[n]),
          place_of(score_, at));
    }
  }

  // Of a stroke with more notes than this, the lower ones go without being weighed.
  static constexpr std::size_t most_weighed = 10;

  const Score& score_;
  const std::vector<Event>& line_;
  const HandsOptions& options_;
  Candidates& candidates_;
  Fit fit_;
};

}  // namespace

Fit fit(const Score& score, const std::vector<Event>& line, const HandsOptions& options,
        Candidates& candidates) {
  return Fitter(score, line, options, candidates).run();
}

RequestedStrokes::RequestedStrokes(const Score& score, const std::vector<Event>& line, const Fit& fit)
    : score_(score), line_(line), fit_(fit) {
  std::int16_t chord = no_chord;
  std::uint32_t measure = 0;
  std::size_t next = 0;  // of the measure's chord symbols
  for (const Event& event : line) {
    const Fraction at = stroke_at(score, event).onset;
    for (; measure <= event.measure; ++measure, next = 0) {
      const auto& symbols = score.measures[measure].chords;
      for (; next < symbols.size() && (measure < event.measure || symbols[next].at <= at); ++next) {
        chord = chord_of(symbols[next], fit.half_steps);
      }
      if (measure == event.measure) break;
    }
    chords_.push_back(chord);
  }
}

RequestedStroke RequestedStrokes::at(std::uint32_t event) {
  while (next_dropped_ < fit_.dropped.size() && fit_.dropped[next_dropped_].event < event) ++next_dropped_;
  while (next_relaxed_ < fit_.relaxed.size() && fit_.relaxed[next_relaxed_].event < event) {
    ++next_relaxed_;
  }
  Kept kept = fit_.kept;
  if (next_relaxed_ < fit_.relaxed.size() && fit_.relaxed[next_relaxed_].event == event) {
    kept = fit_.relaxed[next_relaxed_].kept;
  }
  unsigned chosen = every_note;
  for (std::size_t go = next_dropped_; go < fit_.dropped.size() && fit_.dropped[go].event == event; ++go) {
    if (fit_.dropped[go].note < 32) chosen &= ~(1U << fit_.dropped[go].note);
  }
  RequestedStroke stroke = stroke_of(score_, line_, event, chosen, kept, fit_);
  stroke.chord = chords_[event];
  return stroke;
}

}  // namespace fifthpeg::hands
