#include "fifthpeg/summary.hpp"

#include <algorithm>
#include <string_view>
#include <unordered_map>

namespace fifthpeg {
namespace {

// Counts names, keeping the order in which they first came.
class Tally {
 public:
  void add(std::string name) {
    const auto [at, is_new] = index_.emplace(std::move(name), counted_.size());
    if (is_new) counted_.emplace_back(at->first, 0);
    ++counted_[at->second].second;
  }
  std::vector<Counted> take() { return std::move(counted_); }

 private:
  std::unordered_map<std::string, std::size_t> index_;
  std::vector<Counted> counted_;
};

struct TechniqueCounts {
  std::uint64_t hammer_ons = 0, pull_offs = 0, slides = 0, slurs = 0, chokes = 0, harmonics = 0, dead = 0,
                let_ring = 0, damped = 0, pinches = 0, brushes = 0, graces = 0, tuplets = 0;

  std::vector<Counted> occurring() const {
    std::vector<Counted> list;
    const auto add = [&list](const char* name, std::uint64_t count) {
      if (count != 0) list.emplace_back(name, count);
    };
    add("hammer-on", hammer_ons);
    add("pull-off", pull_offs);
    add("slide", slides);
    add("slur", slurs);
    add("choke", chokes);
    add("chime", harmonics);
    add("muffled", dead);
    add("let ring", let_ring);
    add("damped", damped);
    add("pinch", pinches);
    add("brush", brushes);
    add("grace note", graces);
    add("tuplet", tuplets);
    return list;
  }
};

// The word for a sign that sends the player elsewhere, or nothing.
std::string_view jump_word(Direction::Kind kind) {
  using Kind = Direction::Kind;
  switch (kind) {
    case Kind::segno:
      return "segno";
    case Kind::coda:
      return "coda";
    case Kind::to_coda:
      return "to coda";
    case Kind::da_capo:
      return "D.C.";
    case Kind::dal_segno:
      return "D.S.";
    case Kind::fine:
      return "fine";
    default:
      return {};
  }
}

class Counter {
 public:
  explicit Counter(const Score& score)
      : score_(score), lowest_(score.banjo.lowest()), highest_(score.banjo.highest()) {}

  Summary run() {
    summary_.measures = score_.measures.size();
    const PlayingOrder order = playing_order(score_);
    summary_.measures_as_played = order.measures.size();
    summary_.jumps_ignored = order.bounded;
    for (std::size_t at = 0; at < score_.measures.size(); ++at) count(score_.measures[at], at == 0);
    summary_.jumps = jumps_.take();
    summary_.chord_symbols = chords_.take();
    summary_.techniques = techniques_.occurring();
    return std::move(summary_);
  }

 private:
  void count(const Measure& measure, bool is_first) {
    const Fraction full = measure.meter.length();
    if (is_first && measure.length < full) {
      summary_.pickup = measure.length;
    } else if (measure.length != full) {
      ++summary_.irregular_measures;
    }
    if (measure.repeat_times > 0) ++summary_.repeats;
    if (measure.ending && measure.ending->starts) ++summary_.endings;
    count_changes(measure);
    for (const ChordSymbol& chord : measure.chords) chords_.add(to_string(chord));
    for (const Direction& direction : measure.directions) {
      const std::string_view word = jump_word(direction.kind);
      if (!word.empty()) jumps_.add(std::string(word));
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
      summary_.tempos.push_back({measure.number, beat_at(measure.meter, tempo.at), tempo});
    }
  }

  void add_key(const Measure& measure, Fraction at, const Key& key) {
    if (!summary_.keys.empty() && summary_.keys.back().value == key) return;
    summary_.keys.push_back({measure.number, beat_at(measure.meter, at), key});
  }

  void count(const Stroke& stroke) {
    std::uint64_t struck = 0;
    for (const Note& note : stroke.notes) {
      if (note.tied_from_previous) continue;
      ++struck;
      count(note);
    }
    for (const Tuplet& tuplet : stroke.tuplets) techniques_.tuplets += tuplet.starts ? 1 : 0;
    if (struck == 0) return;
    ++summary_.strokes;
    summary_.notes += struck;
    if (stroke.grace != Grace::none) ++techniques_.graces;
    if (stroke.brush != Brush::none) {
      ++techniques_.brushes;
    } else if (struck > 1) {
      ++techniques_.pinches;
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
    if (note.finger) ++summary_.fingered;
    if (note.picking_finger) ++summary_.with_picking_finger;
    if (note.placement) count(*note.placement);
  }

  void count_technique(const Note& note) {
    switch (note.into) {
      case Technique::none:
        break;
      case Technique::hammer_on:
        ++techniques_.hammer_ons;
        break;
      case Technique::pull_off:
        ++techniques_.pull_offs;
        break;
      case Technique::slide:
        ++techniques_.slides;
        break;
      case Technique::slur:
        ++techniques_.slurs;
        break;
    }
    techniques_.chokes += note.choke ? 1 : 0;
    techniques_.harmonics += note.harmonic ? 1 : 0;
    techniques_.dead += note.dead ? 1 : 0;
    techniques_.let_ring += note.ring == Ring::let_ring ? 1 : 0;
    techniques_.damped += note.ring == Ring::damp ? 1 : 0;
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
  TechniqueCounts techniques_;
};

}  // namespace

Summary summarize(const Score& score) {
  return Counter(score).run();
}

}  // namespace fifthpeg
