#include "fifthpeg/summary.hpp"

#include <algorithm>
#include <span>
#include <string_view>
#include <unordered_map>

#include "score/playing_order.hpp"

namespace fifthpeg {
namespace {

// Counts names, keeping the order in which they first came; those of `first` come before all others.
class Tally {
 public:
  explicit Tally(std::span<const std::string_view> first = {}) {
    for (const std::string_view name : first) add(name, 0);
  }
  void add(std::string_view name, std::uint64_t count = 1) {
    const auto [at, is_new] = index_.emplace(name, counted_.size());
    if (is_new) counted_.emplace_back(name, 0);
    counted_[at->second].second += count;
  }
  std::vector<Counted> take() {
    std::erase_if(counted_, [](const Counted& one) { return one.second == 0; });
    return std::move(counted_);
  }

 private:
  std::unordered_map<std::string, std::size_t> index_;
  std::vector<Counted> counted_;
};

// By kind, from segno on.
constexpr std::array<std::string_view, 6> jump_words{"segno", "coda", "to coda", "D.C.", "D.S.", "fine"};
// By Technique.
constexpr std::array<std::string_view, 5> technique_words{"", "hammer-on", "pull-off", "slide", "slur"};
// In the order in which they are told.
constexpr std::array<std::string_view, 13> names_of_techniques{
    "hammer-on", "pull-off", "slide", "slur",  "choke",      "chime", "muffled",
    "let ring",  "damped",   "pinch", "brush", "grace note", "tuplet"};

class Counter {
 public:
  explicit Counter(const Score& score)
      : score_(score), lowest_(score.banjo.lowest()), highest_(score.banjo.highest()) {}

  Summary run() {
    summary_.measures = score_.measures.size();
    const PlayingOrder order = playing_order(score_);
    summary_.measures_as_played = order.measures.size();
    summary_.jumps_ignored = order.bounded;
    for (std::size_t at = 0; at < score_.measures.size(); ++at) count(score_.measures[at], at);
    summary_.jumps = jumps_.take();
    summary_.chord_symbols = chords_.take();
    summary_.techniques = techniques_.take();
    return std::move(summary_);
  }

 private:
  void count(const Measure& measure, std::size_t at) {
    const Fraction full = measure.meter.length();
    // The last measure is as much shorter as the pickup is long (common practice).
    const bool makes_up =
        at + 1 == score_.measures.size() && summary_.pickup && measure.length + *summary_.pickup == full;
    if (at == 0 && measure.length < full) {
      summary_.pickup = measure.length;
    } else if (measure.length != full && !makes_up) {
      ++summary_.irregular_measures;
    }
    if (measure.repeat_times > 0) ++summary_.repeats;
    if (measure.ending && measure.ending->starts) ++summary_.endings;
    count_changes(measure);
    for (const ChordSymbol& chord : measure.chords) chords_.add(to_string(chord));
    for (const Direction& direction : measure.directions) {
      const auto kind = static_cast<std::size_t>(direction.kind);
      if (is_jump(direction))
        jumps_.add(jump_words.at(kind - static_cast<std::size_t>(Direction::Kind::segno)));
    }
    for (const Stroke& stroke : measure.strokes) count(stroke);
  }

  void count_changes(const Measure& measure) {
    if (summary_.meters.empty() || summary_.meters.back().value != measure.meter) {
      summary_.meters.push_back({measure.number, 1, measure.meter});
    }
    add_key(measure, 0, measure.key);
    for (const KeyChange& change : measure.key_changes) add_key(measure, change.at, change.key);
    for (const Tempo& tempo : measure.tempos) {
      summary_.tempos.push_back({measure.number, beat_at(measure, tempo.at), tempo});
    }
  }

  void add_key(const Measure& measure, Fraction at, const Key& key) {
    if (!summary_.keys.empty() && summary_.keys.back().value == key) return;
    summary_.keys.push_back({measure.number, beat_at(measure, at), key});
  }

  void count(const Stroke& stroke) {
    std::uint64_t struck = 0;
    for (const Note& note : stroke.notes) {
      if (note.tied_from_previous) continue;
      ++struck;
      count(note);
    }
    for (const Tuplet& tuplet : stroke.tuplets) techniques_.add("tuplet", tuplet.starts ? 1 : 0);
    if (struck == 0) return;
    ++summary_.strokes;
    summary_.notes += struck;
    if (stroke.grace != Grace::none) techniques_.add("grace note");
    if (stroke.brush != Brush::none) {
      techniques_.add("brush");
    } else if (struck > 1) {
      techniques_.add("pinch");
    }
  }

  void count(const Note& note) {
    const int midi = note.pitch.midi();
    if (midi < lowest_ || midi > highest_) ++summary_.outside_range;
    auto& range = summary_.range;
    if (!range) range = Span{note.pitch, note.pitch};
    if (midi < range->lowest.midi()) range->lowest = note.pitch;
    if (midi > range->highest.midi()) range->highest = note.pitch;
    count_technique(note);
    if (note.finger && !finger_is_plain(note)) ++summary_.fingered;
    if (note.picking_finger) ++summary_.with_picking_finger;
    if (note.placement) count(*note.placement);
  }

  void count_technique(const Note& note) {
    if (note.into != Technique::none)
      techniques_.add(technique_words.at(static_cast<std::size_t>(note.into)));
    if (note.choke) techniques_.add("choke");
    if (note.harmonic) techniques_.add("chime");
    if (note.dead) techniques_.add("muffled");
    if (note.ring == Ring::let_ring) techniques_.add("let ring");
    if (note.ring == Ring::damp) techniques_.add("damped");
  }

  void count(const Placement& placement) {
    ++summary_.placed;
    ++summary_.on_string.at(static_cast<std::size_t>(placement.string - 1));
    if (placement.fret == 0) {
      ++summary_.open;
      return;
    }
    auto& frets = summary_.frets;
    if (!frets) frets = {placement.fret, placement.fret};
    frets->lowest = std::min<int>(frets->lowest, placement.fret);
    frets->highest = std::max<int>(frets->highest, placement.fret);
  }

  const Score& score_;
  int lowest_;
  int highest_;
  Summary summary_;
  Tally jumps_;
  Tally chords_;
  Tally techniques_{names_of_techniques};
};

}  // namespace

std::span<const std::string_view> technique_names() {
  return names_of_techniques;
}

Summary summarize(const Score& score) {
  return Counter(score).run();
}

}  // namespace fifthpeg
