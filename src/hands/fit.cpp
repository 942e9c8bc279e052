#include "hands/fit.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstdlib>
#include <string>

#include "fifthpeg/errors.hpp"

namespace fifthpeg::hands {
namespace {

constexpr std::string_view misplaced_slug = "placement-contradicts-pitch";

// How many notes of a piece lie outside the range when it is moved.
std::uint64_t notes_outside(const Score& score, const std::vector<Instant>& line, int half_steps,
                            std::uint64_t enough) {
  std::uint64_t outside = 0;
  for (const Instant& at : line) {
    for (const Note& note : stroke_at(score, at).notes) {
      if (!within_range(score.banjo, wanted(note, half_steps, false)) && ++outside >= enough) return outside;
    }
  }
  return outside;
}

int octaves_that_fit(const Score& score, const std::vector<Instant>& line) {
  int best = 0;
  std::uint64_t fewest = UINT64_MAX;
  for (const int octaves : {0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6, 7, -7, 8, -8}) {
    const std::uint64_t outside = notes_outside(score, line, 12 * octaves, fewest);
    if (outside < fewest) {
      fewest = outside;
      best = octaves;
    }
    if (fewest == 0) break;
  }
  return best;
}

std::string octaves_text(int octaves) {
  const int count = std::abs(octaves);
  return "the piece is moved " + std::string(octaves > 0 ? "up " : "down ") +
         (count == 1 ? "an octave" : std::to_string(count) + " octaves") + " to bring every note into range";
}

// The pitch as the player meets it: moved, and spelled as the source spells it where it is moved by octaves.
std::string name_of(const Pitch& pitch, const Key& key, int half_steps) {
  if (half_steps == 0) return to_string(pitch);
  const Move move = half_steps % 12 == 0 ? Move{half_steps, 0} : move_for(key, half_steps);
  return to_string(moved(pitch, move));
}

class Fitter {
 public:
  Fitter(const Score& score, const std::vector<Instant>& line, const HandsOptions& options, const Neck& neck)
      : score_(score), line_(line), options_(options), neck_(neck) {}

  Fit run() {
    if (options_.transpose) {
      fit_.half_steps = *options_.transpose;
    } else {
      const int octaves = octaves_that_fit(score_, line_);
      fit_.half_steps = 12 * octaves;
      if (octaves != 0) fit_.report.tell(Telling::choice, "moved-by-octaves", octaves_text(octaves));
    }
    for (std::uint32_t i = 0; i < line_.size(); ++i) fit_stroke(i);
    return std::move(fit_);
  }

 private:
  std::string name(const Instant& at, const Note& note) const {
    return name_of(note.pitch, score_.measures[at.measure].key, fit_.half_steps);
  }

  void check_range(const Instant& at, const Note& note) const {
    if (within_range(score_.banjo, wanted(note, fit_.half_steps, false))) return;
    throw PlayError(name(at, note) +
                        " lies outside the banjo's range in this tuning; try another --transpose, " +
                        "--tuning or --capo",
                    place_of(score_, at));
  }

  // The stroke's notes at the given indices, with their placements where these give the pitch.
  WantedStroke stroke_of(const Stroke& stroke, unsigned chosen, bool keep) const {
    WantedStroke result;
    for (std::size_t n = 0; n < stroke.notes.size() && n < 32; ++n) {
      if ((chosen & (1U << n)) == 0) continue;
      WantedNote note = wanted(stroke.notes[n], fit_.half_steps, keep);
      if (note.fixed && !gives(score_.banjo, note, *note.fixed)) note.fixed.reset();
      result.notes[static_cast<std::size_t>(result.count++)] = note;
    }
    return result;
  }

  bool holds(const Stroke& stroke, unsigned chosen, bool keep) const {
    return !ways_to_lay(stroke_of(stroke, chosen, keep), score_.banjo, neck_).empty();
  }

  void fit_stroke(std::uint32_t index) {
    const Instant& at = line_[index];
    const Stroke& stroke = stroke_at(score_, at);
    const bool keep = options_.refinger == Refinger::missing && fit_.half_steps == 0;
    for (const Note& note : stroke.notes) {
      check_range(at, note);
      if (keep && note.placement && !gives(score_.banjo, wanted(note, 0, true), *note.placement)) {
        fit_.report.tell(Telling::repair, misplaced_slug,
                         "a string and fret that do not give the note's pitch are found anew",
                         place_of(score_, at));
      }
    }
    if (stroke.notes.size() == 1) return;  // within range is enough
    const std::size_t size = stroke.notes.size();
    if (size <= string_count) {
      const unsigned everything = (1U << size) - 1;
      if (holds(stroke, everything, keep)) return;
      if (keep && holds(stroke, everything, false)) {
        fit_.placements_off.push_back(index);
        fit_.report.tell(Telling::repair, "placements-cannot-be-held",
                         "strings and frets that no hand can hold together are found anew",
                         place_of(score_, at));
        return;
      }
    }
    if (!options_.thin) refuse(at, stroke);
    thin(index, stroke, keep);
  }

  [[noreturn]] void refuse(const Instant& at, const Stroke& stroke) const {
    std::string names;
    const std::size_t named = std::min<std::size_t>(stroke.notes.size(), 8);
    for (std::size_t n = 0; n < named; ++n) names += (n == 0 ? "" : " ") + name(at, stroke.notes[n]);
    if (named < stroke.notes.size()) names += " ...";
    throw PlayError("no hand can hold " + names + " together; thinning (--thin) lets inner notes go",
                    place_of(score_, at));
  }

  // Keeps the highest note, as many of the others as can be held, and of those rather the lowest.
  void thin(std::uint32_t index, const Stroke& stroke, bool keep) {
    const std::size_t size = std::min<std::size_t>(stroke.notes.size(), most_weighed);
    const unsigned lowest = 1U << (size - 1);
    unsigned best = 0;
    int best_weight = -1;
    for (unsigned chosen = 1; chosen < (1U << size); chosen += 2) {  // bit 0 is the highest note
      const int count = std::popcount(chosen);
      if (count > string_count) continue;
      const int weight = 2 * count + ((chosen & lowest) != 0 ? 1 : 0);
      if (weight > best_weight && (holds(stroke, chosen, keep) || (keep && holds(stroke, chosen, false)))) {
        best = chosen;
        best_weight = weight;
      }
    }
    if (keep && !holds(stroke, best, true)) fit_.placements_off.push_back(index);
    const Instant& at = line_[index];
    for (std::size_t n = 0; n < stroke.notes.size(); ++n) {
      if (n < size && (best & (1U << n)) != 0) continue;
      fit_.let_go.push_back({index, static_cast<std::uint32_t>(n)});
      fit_.report.tell(Telling::loss, "note-let-go",
                       "a note that no hand can hold with the others is let go: " + name(at, stroke.notes[n]),
                       place_of(score_, at));
    }
  }

  // Of a stroke with more notes than this, the lower ones go without being weighed.
  static constexpr std::size_t most_weighed = 10;

  const Score& score_;
  const std::vector<Instant>& line_;
  const HandsOptions& options_;
  const Neck& neck_;
  Fit fit_;
};

}  // namespace

Fit fit(const Score& score, const std::vector<Instant>& line, const HandsOptions& options, const Neck& neck) {
  return Fitter(score, line, options, neck).run();
}

WantedStroke WantedStrokes::at(std::uint32_t instant) {
  while (next_let_go_ < fit_.let_go.size() && fit_.let_go[next_let_go_].instant < instant) ++next_let_go_;
  while (next_off_ < fit_.placements_off.size() && fit_.placements_off[next_off_] < instant) ++next_off_;
  const bool off = next_off_ < fit_.placements_off.size() && fit_.placements_off[next_off_] == instant;
  const bool keep = keep_ && !off;

  WantedStroke result;
  std::size_t go = next_let_go_;
  const Stroke& stroke = stroke_at(score_, line_[instant]);
  for (std::uint32_t n = 0; n < stroke.notes.size() && result.count < string_count; ++n) {
    if (go < fit_.let_go.size() && fit_.let_go[go].instant == instant && fit_.let_go[go].note == n) {
      ++go;
      continue;
    }
    WantedNote note = wanted(stroke.notes[n], fit_.half_steps, keep);
    if (note.fixed && !gives(score_.banjo, note, *note.fixed)) note.fixed.reset();
    result.notes[static_cast<std::size_t>(result.count++)] = note;
  }
  return result;
}

}  // namespace fifthpeg::hands
