#include "arrange/own_licks.hpp"

#include <algorithm>
#include <string_view>
#include <utility>

#include "arrange/lick_extent.hpp"
#include "arrange/licks.hpp"
#include "arrange/weights.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/harmony.hpp"
#include "hands/demands.hpp"
#include "hands/request.hpp"

namespace fifthpeg::arranging {
namespace {

// Longer ones have no place in any tune.
constexpr std::size_t most_lick_slots = 64;
constexpr Fraction lick_slots[] = {{1, 8}, {1, 16}};

// ---- from a score to slots -----------------------------------------------------------------------

// A stroke that is struck or slurred, with the time from the start of the first measure, were it whole.
struct LickStroke {
  const Stroke* stroke;
  const Stroke* grace;  // before it, or nullptr
  Fraction at;
};

bool has_note_that(const Score& score, bool (*is)(const Note&)) {
  return std::any_of(score.measures.begin(), score.measures.end(), [is](const Measure& measure) {
    return std::any_of(measure.strokes.begin(), measure.strokes.end(), [is](const Stroke& stroke) {
      return std::any_of(stroke.notes.begin(), stroke.notes.end(), is);
    });
  });
}

class LickReader {
 public:
  explicit LickReader(const OwnLick& lick) : name_(lick.name), score_(lick.score) {}

  // Empty where it serves; otherwise why it does not, as the end of a sentence.
  std::string_view why_not() {
    const auto& measures = score_.measures;
    const auto is_unplaced = [](const Note& note) { return !note.placement.has_value(); };
    if (!has_note_that(score_, [](const Note&) { return true; })) return "it has no notes";
    if (has_note_that(score_, is_unplaced))
      return "it is not in tab: there are notes without a string and a fret";
    if (has_note_that(score_, [](const Note& note) { return note.dead || note.harmonic || note.choke; }))
      return "it has dead notes, chimes or chokes, and no lick of an arrangement has these";
    const Meter& meter = measures.front().meter;
    if (std::any_of(measures.begin(), measures.end(), [&](const Measure& one) { return one.meter != meter; }))
      return "its meter changes";
    if (!find_strokes()) return "it has more than one grace note before a note, or ties one of several notes";
    const Fraction slot = slot_of_strokes();
    if (slot == 0) return "it moves in other notes than eighths, or than sixteenths";
    made_.slot = slot;
    made_.span = spans_of(meter, slot).front();
    if (strokes_.empty()) return "it has nothing but a note to land on";
    start_ = start_of_unit(score_, slot, strokes_.front().at);
    if ((end_ - start_) / slot > Fraction(static_cast<std::int64_t>(most_lick_slots)))
      return "it is longer than any rest of a melody";
    if (std::any_of(strokes_.begin(), strokes_.end(),
                    [](const LickStroke& one) { return one.stroke->notes.size() > 4; }))
      return "it has more than four notes at once";
    return {};
  }

  // Throws UnplayableError where no hand plays it.
  void find_fingers() {
    HandsOptions hands;
    hands.transpose = 0;
    hands.suggest_slurs = false;
    finger(score_, hands);
    find_strokes();
  }

  bool find_chords() {
    const bool has_some = std::any_of(score_.measures.begin(), score_.measures.end(),
                                      [](const Measure& measure) { return !measure.chords.empty(); });
    if (!has_some) add_inferred_chords(score_);
    return !has_some;
  }

  // False where a chord has no shape.
  bool run(SlottedLick& lick) {
    made_.name = name_;
    made_.banjo = score_.banjo;
    const auto count = static_cast<std::size_t>(((end_ - start_) / made_.slot).floor());
    made_.slots.assign(count, {});
    for (const LickStroke& one : strokes_)
      made_.slots.at(static_cast<std::size_t>(((one.at - start_) / made_.slot).floor())) = played(one);
    made_.chords.reserve(count);
    for (std::size_t s = 0; s < count; ++s)
      made_.chords.push_back(shape_at(score_, start_ + made_.slot * Fraction(static_cast<std::int64_t>(s))));
    made_.to = shape_at(score_, length_of(score_));
    const bool known = made_.to >= 0 && std::all_of(made_.chords.begin(), made_.chords.end(),
                                                    [](int chord) { return chord >= 0; });
    made_.level = level();
    lick = std::move(made_);
    return known;
  }

 private:
  // What is struck or slurred, the landing note aside; false where a candidate cannot have it.
  bool find_strokes() {
    strokes_.clear();
    made_.landing.reset();
    bool serves = true;
    Fraction start = before();
    for (const Measure& measure : score_.measures) {
      const Stroke* grace = nullptr;
      for (const Stroke& stroke : measure.strokes) {
        if (stroke.is_rest()) continue;
        if (stroke.grace != Grace::none) {
          serves = serves && grace == nullptr && stroke.notes.size() == 1;
          grace = &stroke;
          continue;
        }
        if (goes_on_from_before(stroke)) {
          end_ = start + stroke.onset + stroke.duration;
          continue;
        }
        serves = serves && std::none_of(stroke.notes.begin(), stroke.notes.end(),
                                        [](const Note& note) { return note.tied_from_previous; });
        serves = serves && (grace == nullptr || led_from(*grace, stroke) < stroke.notes.size());
        if (is_landing(score_, measure, stroke)) {
          made_.landing = stroke.notes.front().pitch.midi() - score_.banjo.open_midi(1);
          end_ = start;
          return serves;
        }
        strokes_.push_back({&stroke, grace, start + stroke.onset});
        grace = nullptr;
        end_ = start + stroke.onset + stroke.duration;
      }
      start += measure.length;
    }
    return serves;
  }

  // Which note of a stroke a grace note leads to.
  static std::size_t led_from(const Stroke& grace, const Stroke& stroke) {
    const auto led = std::find_if(stroke.notes.begin(), stroke.notes.end(), [&](const Note& note) {
      return note.into != Technique::none && note.placement->string == grace.notes[0].placement->string;
    });
    return static_cast<std::size_t>(led - stroke.notes.begin());
  }

  // The longest that all strokes stand on; 0 for none.
  Fraction slot_of_strokes() const {
    for (const Fraction slot : lick_slots) {
      const bool all = std::all_of(strokes_.begin(), strokes_.end(),
                                   [&](const LickStroke& one) { return (one.at / slot).is_whole(); });
      if (all && (end_ / slot).is_whole()) return slot;
    }
    return {};
  }

  Fraction before() const { return counted_before(score_.measures.front()); }

  static SlotPlay played(const LickStroke& one) {
    SlotPlay slot;
    slot.brush = one.stroke->brush;
    for (const Note& note : one.stroke->notes) {
      Played& play = slot.notes.at(static_cast<std::size_t>(slot.count++));
      play.string = note.placement->string;
      play.fret = note.placement->fret;
      play.into = note.into;
      play.role = Role::lick;
      if (note.picking_finger) play.finger = static_cast<std::int8_t>(*note.picking_finger);
    }
    if (one.grace == nullptr) return slot;
    const Note& from = one.grace->notes[0];
    std::swap(slot.notes.front(), slot.notes.at(led_from(*one.grace, *one.stroke)));
    slot.from_fret = from.placement->fret;
    if (from.picking_finger) slot.notes[0].finger = static_cast<std::int8_t>(*from.picking_finger);
    return slot;
  }

  int level() const {
    // What it asks of the hands; what it lands on is the tune's.
    Score lick = score_;
    const auto extent = extent_of(lick);
    if (extent && extent->landing != nullptr) lick.measures.pop_back();
    const hands::Demands demands = hands::demands_of(lick);
    const int highest = demands.highest_fret();
    const bool slurs = demands.has_slurs();
    constexpr int beyond_first_position = 3;
    if (highest > highest_fret(beyond_first_position)) return highest_level;
    return highest > highest_fret(lowest_level) ? beyond_first_position : slurs ? 2 : lowest_level;
  }

  std::string name_;
  Score score_;
  SlottedLick made_;
  std::vector<LickStroke> strokes_;
  Fraction start_;
  Fraction end_;
};

void report_useless(const OwnLick& lick, std::string_view why, Report& report) {
  std::string text = "the lick '" + lick.name + "' is of no use here: ";
  text += why;
  report.add(EntryKind::decision, "lick-of-no-use", text);
}

}  // namespace

std::optional<SlottedLick> slotted(const OwnLick& own, Report& report) {
  LickReader reader(own);
  const std::string_view why_not = reader.why_not();
  if (!why_not.empty()) {
    report_useless(own, why_not, report);
    return std::nullopt;
  }
  try {
    reader.find_fingers();
  } catch (const UnplayableError& error) {
    report_useless(own, error.what(), report);
    return std::nullopt;
  }
  const bool inferred = reader.find_chords();
  SlottedLick made;
  if (!reader.run(made)) {
    report_useless(own, "it is not over chords that are major or minor", report);
    return std::nullopt;
  }
  if (inferred) {
    report.add(EntryKind::decision, "lick-chords-inferred",
               "the chord symbols of the lick '" + own.name + "' were inferred from its notes");
  }
  return made;
}

LickAsks asks_of(const SlottedLick& whole) {
  const auto time_of = [&](std::size_t slots) {
    return whole.slot * Fraction(static_cast<std::int64_t>(slots));
  };
  const auto first = std::find_if(whole.slots.begin(), whole.slots.end(),
                                  [](const SlotPlay& slot) { return slot.count > 0; });
  LickAsks asks;
  asks.slot = whole.slot;
  asks.span = whole.span;
  asks.lead = time_of(static_cast<std::size_t>(first - whole.slots.begin()));
  asks.length = time_of(whole.slots.size());
  asks.chords.reserve(whole.chords.size());
  for (std::size_t s = 0; s < whole.chords.size(); ++s) asks.chords.push_back({time_of(s), whole.chords[s]});
  asks.to = whole.to;
  asks.landing = whole.landing;
  // A grace note leads to one of them alone, which then is the first.
  for (int n = 0; first != whole.slots.end() && n < first->count; ++n) {
    const Played& note = first->notes.at(static_cast<std::size_t>(n));
    if (n == 0 || first->from_fret < 0) asks.beginning.push_back({note.string, note.fret});
  }
  return asks;
}

Candidate piece_of(const SlottedLick& whole, int from, int slots) {
  Candidate candidate;
  candidate.count = static_cast<std::int8_t>(slots);
  for (int s = 0; s < slots; ++s) {
    const auto at = static_cast<std::size_t>(from) + static_cast<std::size_t>(s);
    if (at < whole.slots.size()) candidate.slots.at(static_cast<std::size_t>(s)) = whole.slots[at];
  }
  return candidate;
}

// ---- where they have a place -----------------------------------------------------------------------

namespace {

bool is_on_neck(const SlottedLick& lick, const Banjo& banjo) {
  return std::all_of(lick.slots.begin(), lick.slots.end(), [&](const SlotPlay& slot) {
    return std::all_of(slot.notes.begin(), slot.notes.begin() + slot.count, [&](const Played& note) {
      return banjo.midi_at({note.string, note.fret}).has_value();
    });
  });
}

bool suits(const SlottedLick& lick, const Neckwork& neck) {
  return lick.level <= neck.level() && lie_alike(lick.banjo, neck.banjo()) && is_on_neck(lick, neck.banjo());
}

// Which note of a slot has a pitch; nothing for none.
std::optional<std::size_t> note_with(const SlotPlay& slot, int midi, const Neckwork& neck) {
  for (std::size_t n = 0; n < static_cast<std::size_t>(slot.count); ++n) {
    if (neck.pitch(slot.notes.at(n).string, slot.notes.at(n).fret) == midi) return n;
  }
  return std::nullopt;
}

class Places {
 public:
  Places(const Score& score, Fraction room, const Neckwork& neck, std::vector<Unit>& units)
      : stage_(score, units, neck.banjo(), room, LickStage::Takes::units), units_(units) {}

  void find(const SlottedLick& lick, std::int16_t number) {
    const LickAsks asks = asks_of(lick);
    for (std::size_t u = 0; u < units_.size(); ++u) {
      if (units_[u].slot != asks.slot) continue;
      const LickRoom room = stage_.room_for(asks, u);
      if (!room.is_free()) continue;
      std::int16_t from = 0;
      for (std::size_t v = u; v < room.end; ++v) {
        units_[v].licks.push_back({number, from, v + 1 < room.end});
        from = static_cast<std::int16_t>(from + units_[v].slots);
      }
    }
  }

 private:
  LickStage stage_;
  std::vector<Unit>& units_;
};

}  // namespace

void find_places(const std::vector<SlottedLick>& licks, const Score& score, Fraction room,
                 const Neckwork& neck, std::vector<Unit>& units) {
  Places places(score, room, neck, units);
  for (std::size_t i = 0; i < licks.size(); ++i) {
    if (suits(licks[i], neck)) places.find(licks[i], static_cast<std::int16_t>(i));
  }
}

std::vector<Candidate> own_candidates(const Unit& unit, const std::vector<SlottedLick>& licks,
                                      const Neckwork& neck) {
  std::vector<Candidate> candidates;
  candidates.reserve(unit.licks.size());
  for (const LickPiece& piece : unit.licks) {
    Candidate candidate = piece_of(licks[static_cast<std::size_t>(piece.lick)], piece.from, unit.slots);
    candidate.cost = own_lick;
    candidate.piece = piece;
    if (!unit.wanted.empty()) {
      SlotPlay& first = candidate.slots[0];
      const auto note = note_with(first, unit.wanted.front().midi, neck);
      if (!note) continue;
      std::swap(first.notes[0], first.notes.at(*note));
      first.notes[0].role = Role::melody;
      first.notes[0].wanted = 0;
    }
    candidates.push_back(candidate);
  }
  return candidates;
}

namespace {

// "phrases end in measures 4, 8 and 11"; the first few of them.
std::string ends_of_phrases(const Score& score, const std::vector<Unit>& units) {
  constexpr std::size_t most_named = 6;
  std::vector<std::string> numbers;
  bool more = false;
  for (const Unit& unit : units) {
    const bool ends = std::any_of(unit.wanted.begin(), unit.wanted.end(),
                                  [](const Wanted& one) { return one.ends_phrase; });
    const std::string& number = score.measures[unit.measure].number;
    if (!ends || std::find(numbers.begin(), numbers.end(), number) != numbers.end()) continue;
    more = numbers.size() == most_named;
    if (more) break;
    numbers.push_back(number);
  }
  if (numbers.empty()) return "no phrase ends anywhere";
  if (more) numbers.emplace_back("later ones");
  std::string text = numbers.size() == 1 ? "a phrase ends in measure " : "phrases end in measures ";
  for (std::size_t i = 0; i < numbers.size(); ++i) {
    if (i > 0) text += i + 1 == numbers.size() ? " and " : ", ";
    text += numbers[i];
  }
  return text;
}

}  // namespace

void report_unplayed(const std::vector<SlottedLick>& licks, const Score& score,
                     const std::vector<Unit>& units, const std::vector<bool>& played, const Neckwork& neck,
                     Report& report) {
  std::vector<bool> has_place(licks.size(), false);
  for (const Unit& unit : units) {
    for (const LickPiece& piece : unit.licks) has_place[static_cast<std::size_t>(piece.lick)] = true;
  }
  for (std::size_t i = 0; i < licks.size(); ++i) {
    if (played[i]) continue;
    std::string text = "the lick '" + licks[i].name + "' is not played: ";
    if (has_place[i]) {
      text += "another is played where it would fit, which is easier to get into and out of";
    } else if (!lie_alike(licks[i].banjo, neck.banjo())) {
      text += "it is for another tuning";
    } else if (licks[i].level > neck.level()) {
      text += "it is for arrangements of level " + std::to_string(licks[i].level);
    } else {
      text += "no phrase ends with that much room over its chords";
      text += licks[i].landing ? " and before its last note; " : "; ";
      text += ends_of_phrases(score, units);
    }
    report.add(EntryKind::decision, "lick-not-played", text);
  }
}

}  // namespace fifthpeg::arranging
