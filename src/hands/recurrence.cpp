#include "hands/recurrence.hpp"

#include <algorithm>
#include <bit>
#include <map>
#include <string>
#include <utility>

namespace fifthpeg::hands {
namespace {

// What it costs to be unlike, for each note: elsewhere, under another finger; and an open string where the
// measure comes back moved. From memory.
constexpr int elsewhere = 60;
constexpr int other_finger = 25;
constexpr int open_though_moved = 60;
// Fewer notes, or fewer pitches, are no lick that is moved.
constexpr std::size_t fewest_notes = 5;
constexpr std::size_t fewest_pitches = 3;

// All that a stroke asks, pitches from `lowest` up.
void append(std::string& key, RequestedStroke stroke, int lowest, float wholes) {
  if (stroke.chord != no_chord)
    stroke.chord = static_cast<std::int16_t>(stroke.chord / 12 * 12 + pitch_class(stroke.chord - lowest));
  for (std::size_t n = 0; n < stroke.count; ++n) {
    stroke.notes[n].midi = static_cast<std::int16_t>(stroke.notes[n].midi - lowest);
  }
  const auto bytes = bytes_of(stroke);
  key.append(bytes.data(), bytes.size());
  key += std::to_string(static_cast<int>(wholes * 960.0F));
}

}  // namespace

Wishes::Wishes(const Score& score, const std::vector<Event>& line, const Fit& fit) {
  std::map<std::string, Recurring> by_key;
  RequestedStrokes strokes(score, line, fit);
  std::vector<RequestedStroke> measure;
  for (std::uint32_t first = 0; first < line.size();) {
    measure.clear();
    int lowest = INT16_MAX;
    std::vector<int> pitches;
    std::uint32_t event = first;
    for (; event < line.size() && line[event].measure == line[first].measure; ++event) {
      measure.push_back(strokes.at(event));
      for (std::size_t n = 0; n < static_cast<std::size_t>(measure.back().count); ++n) {
        pitches.push_back(measure.back().notes[n].midi);
        lowest = std::min<int>(lowest, measure.back().notes[n].midi);
      }
    }
    const std::size_t notes = pitches.size();
    std::sort(pitches.begin(), pitches.end());
    pitches.erase(std::unique(pitches.begin(), pitches.end()), pitches.end());
    const bool movable = notes >= fewest_notes && pitches.size() >= fewest_pitches;
    std::string key;
    for (std::uint32_t k = 0; k < measure.size(); ++k) {
      append(key, measure[k], movable ? lowest : 0, k == 0 ? 0.0F : line[first + k].wait.wholes);
    }
    Recurring& recurring = by_key[key];
    recurring.moved =
        recurring.moved || (!recurring.measures.empty() && recurring.measures[0].lowest != lowest);
    recurring.measures.push_back({first, event - first, lowest});
    first = event;
  }
  for (auto& [key, recurring] : by_key) {
    if (recurring.measures.size() < 2) continue;
    if (like_.empty()) {
      closed_.resize(line.size());
      higher_.resize(line.size());
      like_.resize(line.size());
      for (std::uint32_t event = 0; event < line.size(); ++event) like_[event] = event;
      last_ = like_;
    }
    for (const Measure& one : recurring.measures) {
      const auto last = std::find_if(recurring.measures.rbegin(), recurring.measures.rend(),
                                     [&one](const Measure& other) { return other.lowest == one.lowest; });
      // What is played twice in a row is worth holding.
      const bool at_once =
          std::any_of(recurring.measures.begin(), recurring.measures.end(), [&one](const Measure& other) {
            return other.first == one.first + one.events && other.lowest == one.lowest;
          });
      for (std::uint32_t k = 0; k < one.events; ++k) {
        closed_[one.first + k] = recurring.moved;
        if (!at_once) last_[one.first + k] = last->first + k;
      }
    }
    recurring_.push_back(std::move(recurring));
  }
}

// Whether two measures are fingered alike, the one moved along the neck.
bool Wishes::alike(const Measure& a, const Measure& b) const {
  for (std::uint32_t k = 0; k < a.events; ++k) {
    for (std::size_t n = 0; n < string_count; ++n) {
      const Placement from = placements_[a.first + k][n];
      const Placement to = placements_[b.first + k][n];
      if (from.string != to.string || from.fret - a.lowest != to.fret - b.lowest) return false;
      if (fingers_[a.first + k][n] != fingers_[b.first + k][n]) return false;
    }
  }
  return true;
}

bool Wishes::is_closed(const Measure& measure) const {
  for (std::uint32_t k = 0; k < measure.events; ++k) {
    for (const Placement& placement : placements_[measure.first + k]) {
      if (placement.string != 0 && placement.fret == 0) return false;
    }
  }
  return true;
}

void Wishes::learn(std::vector<std::array<Placement, string_count>> placements,
                   std::vector<std::array<FretFinger, string_count>> fingers) {
  placements_ = std::move(placements);
  fingers_ = std::move(fingers);
  closed_.assign(closed_.size(), false);
  inside_.assign(closed_.size(), false);
  for (const Recurring& recurring : recurring_) {
    constexpr std::size_t most_compared = 64;
    const auto& measures = recurring.measures;
    const std::size_t compared = std::min(measures.size(), most_compared);
    std::size_t best = measures.size();
    std::ptrdiff_t most = -1;
    for (std::size_t m = 0; m < compared; ++m) {
      if (recurring.moved && !is_closed(measures[m])) continue;
      const auto same =
          std::count_if(measures.begin(), measures.begin() + static_cast<std::ptrdiff_t>(compared),
                        [&](const Measure& other) { return alike(measures[m], other); });
      if (same >= most) {  // the later one is further from how the piece begins
        most = same;
        best = m;
      }
    }
    for (const Measure& one : measures) {
      // Where none can be moved, each pitch has a model of its own.
      const auto model = best < measures.size()
                             ? measures.begin() + static_cast<std::ptrdiff_t>(best)
                             : std::find_if(measures.begin(), measures.end(),
                                            [&](const Measure& other) { return other.lowest == one.lowest; });
      for (std::uint32_t k = 0; k < one.events; ++k) {
        like_[one.first + k] = model->first + k;
        higher_[one.first + k] = static_cast<std::int8_t>(one.lowest - model->lowest);
        inside_[one.first + k] = k > 0 && k + 1 < one.events;
      }
    }
  }
}

const std::vector<int>& Wishes::of(std::size_t event, const StrokeOptions& options) {
  more_.clear();
  if (like_.empty() || (placements_.empty() && !closed_[event])) return more_;
  more_.assign(options.grips.size(), 0);
  if (placements_.empty()) {
    for (std::size_t g = 0; g < more_.size(); ++g)
      more_[g] = std::popcount(options.grips[g].open) * open_though_moved;
    return more_;
  }
  for (std::size_t g = 0; g < more_.size(); ++g) {
    const Grip& grip = options.grips[g];
    for (std::size_t n = 0; n < static_cast<std::size_t>(grip.count); ++n) {
      const Placement model = placements_[like_[event]][n];
      const int fret = model.fret == 0 && higher_[event] == 0 ? 0 : model.fret + higher_[event];
      if (grip.notes[n].string != model.string || grip.notes[n].fret != fret) {
        more_[g] += elsewhere;
      } else if (fret > 0 && grip.fingers[n] != fingers_[like_[event]][n]) {
        more_[g] += other_finger;
      }
    }
  }
  // Inside the measure little else comes into question.
  if (inside_[event]) {
    const int least = *std::min_element(more_.begin(), more_.end());
    for (int& more : more_) more = more > least ? forbidden : more;
  }
  return more_;
}

}  // namespace fifthpeg::hands
