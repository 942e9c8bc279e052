// What is made harder never counts as easier: licks, fixed and random, climb ladders of which each rung asks
// more of the hands.
#include <algorithm>
#include <gtest/gtest.h>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "fifthpeg/edit.hpp"
#include "fifthpeg/hands.hpp"
#include "tried.hpp"

namespace fifthpeg {
namespace {

// A lick as steps change it: one stroke after the other, from the first beat on.
struct Step {
  Fraction length{1, 8};
  std::vector<Placement> places;
  Technique into = Technique::none;
  std::optional<int> grace_fret;  // a grace note that the first place is hammered on or pulled off from
};
struct Steps {
  Meter meter;
  std::vector<Step> steps;
  std::size_t second_part = 0;  // all of it lies above all before
};

bool is_on_beat(const Steps& lick, Fraction at) {
  return (at / lick.meter.beat()).is_whole();
}

Fraction start_of(const Steps& lick, std::size_t step) {
  Fraction at;
  for (std::size_t i = 0; i < step; ++i) at += lick.steps[i].length;
  return at;
}

Note note_at(Placement place, const Banjo& banjo) {
  Note note;
  note.placement = place;
  note.pitch = spell(banjo.midi_at(place).value(), Key{1, Mode::major});
  note.finger = place.fret == 0 ? FretFinger::open : FretFinger::index;
  note.picking_finger = PickingFinger::thumb;
  return note;
}

class Built {
 public:
  explicit Built(const Steps& lick) : meter_(lick.meter) {
    open_measure();
    for (const Step& step : lick.steps) add(step);
    refill(score_, score_.measures.size() - 1);
    normalize(score_);
    EXPECT_EQ(flaws(score_), std::vector<std::string>{});
  }
  const Score& score() const { return score_; }

 private:
  void open_measure() {
    Measure measure;
    measure.number = std::to_string(score_.measures.size() + 1);
    measure.meter = meter_;
    measure.length = measure.meter.length();
    score_.measures.push_back(measure);
    at_ = 0;
  }

  void add(const Step& step) {
    if (at_ == score_.measures.back().length) open_measure();
    if (step.grace_fret) {
      Stroke grace;
      grace.onset = at_;
      grace.duration = Fraction(1, 16);
      grace.grace = Grace::slashed;
      grace.notes.push_back(
          note_at({step.places[0].string, static_cast<std::int8_t>(*step.grace_fret)}, score_.banjo));
      grace.notes[0].out_of = Technique::hammer_on;
      score_.measures.back().strokes.push_back(grace);
    }
    Fraction left = step.length;
    bool tied = false;
    while (left > 0) {
      if (at_ == score_.measures.back().length) open_measure();
      Stroke stroke;
      stroke.onset = at_;
      stroke.duration = std::min(left, score_.measures.back().length - at_);
      left = left - stroke.duration;
      for (const Placement& place : step.places) {
        Note note = note_at(place, score_.banjo);
        note.tied_from_previous = tied;
        note.tied_to_next = left > 0;
        if (!tied && &place == step.places.data()) {
          note.into = step.grace_fret ? Technique::hammer_on : step.into;
          if (step.into != Technique::none && !step.grace_fret) lead_to(place.string, step.into);
        }
        if (tied || note.into != Technique::none) note.picking_finger.reset();
        stroke.notes.push_back(note);
      }
      std::stable_sort(stroke.notes.begin(), stroke.notes.end(),
                       [](const Note& a, const Note& b) { return a.pitch.midi() > b.pitch.midi(); });
      at_ += stroke.duration;
      score_.measures.back().strokes.push_back(stroke);
      tied = true;
    }
  }

  void lead_to(int string, Technique technique) {
    for (std::size_t m = score_.measures.size(); m-- > 0;) {
      auto& strokes = score_.measures[m].strokes;
      if (strokes.empty()) continue;
      for (Note& from : strokes.back().notes) {
        if (from.placement->string == string) from.out_of = technique;
      }
      return;
    }
  }

  const Meter meter_;
  Score score_;
  Fraction at_;
};

Difficulty difficulty_of(const Steps& lick) {
  return difficulty(Built(lick).score());
}

// ---- rungs: each makes one thing harder, or says that it cannot --------------------------------------

using Rung = bool (*)(Steps& lick, std::mt19937& random);

std::size_t any_of(std::size_t count, std::mt19937& random) {
  return std::uniform_int_distribution<std::size_t>(0, count - 1)(random);
}

// A picked note becomes a slurred one.
bool slur_a_pair(Steps& lick, std::mt19937&) {
  for (std::size_t i = 1; i < lick.steps.size(); ++i) {
    Step& to = lick.steps[i];
    const Step& from = lick.steps[i - 1];
    if (to.into != Technique::none || to.grace_fret || to.places.size() != 1 || from.places.size() != 1 ||
        to.places[0].string != from.places[0].string || to.places[0].fret == from.places[0].fret)
      continue;
    to.into = to.places[0].fret > from.places[0].fret ? Technique::hammer_on : Technique::pull_off;
    return true;
  }
  return false;
}

bool add_grace_slur(Steps& lick, std::mt19937& random) {
  Step& to = lick.steps[any_of(lick.steps.size(), random)];
  if (to.grace_fret || to.into != Technique::none || to.places[0].fret < 2 ||
      to.places[0].string == fifth_string)
    return false;
  to.grace_fret = to.places[0].fret - 1;
  return true;
}

bool slide_instead(Steps& lick, std::mt19937&) {
  for (std::size_t i = 1; i < lick.steps.size(); ++i) {
    Step& to = lick.steps[i];
    if (to.into != Technique::hammer_on || lick.steps[i - 1].places[0].fret == 0) continue;
    to.into = Technique::slide;
    return true;
  }
  return false;
}

bool some_place(const Steps& lick, const auto& holds) {
  return std::any_of(lick.steps.begin(), lick.steps.end(), [&](const Step& step) {
    return std::any_of(step.places.begin(), step.places.end(), holds);
  });
}

// The highest note of a grip a fret higher. It is the highest of all: no other one comes nearer to it.
bool widen_a_grip(Steps& lick, std::mt19937& random) {
  Step& step = lick.steps[any_of(lick.steps.size(), random)];
  Placement* highest = nullptr;
  int stopped = 0;
  for (Placement& place : step.places) {
    if (place.fret == 0) continue;
    ++stopped;
    if (highest == nullptr || place.fret > highest->fret) highest = &place;
  }
  if (stopped < 2 || highest->fret > 20) return false;
  if (some_place(lick, [&](const Placement& place) { return place.fret > highest->fret; })) return false;
  ++highest->fret;
  return true;
}

// The lowest one a fret lower.
bool widen_a_grip_downwards(Steps& lick, std::mt19937& random) {
  Step& step = lick.steps[any_of(lick.steps.size(), random)];
  Placement* lowest = nullptr;
  int stopped = 0;
  for (Placement& place : step.places) {
    if (place.fret == 0) continue;
    ++stopped;
    if (lowest == nullptr || place.fret < lowest->fret) lowest = &place;
  }
  if (stopped < 2 || lowest->fret < 2 || step.grace_fret) return false;
  if (some_place(lick, [&](const Placement& place) { return place.fret > 0 && place.fret < lowest->fret; }))
    return false;
  --lowest->fret;
  return true;
}

// Of two strokes one after the other.
bool widen_a_roll(Steps& lick, std::mt19937& random) {
  if (lick.steps.size() < 2) return false;
  const std::size_t i = 1 + any_of(lick.steps.size() - 1, random);
  Step& a = lick.steps[i - 1];
  Step& b = lick.steps[i];
  if (a.places.size() != 1 || b.places.size() != 1 || a.into != Technique::none ||
      b.into != Technique::none || a.grace_fret || b.grace_fret || a.places[0].fret == 0 ||
      b.places[0].fret == 0 || a.places[0].string == b.places[0].string)
    return false;
  Placement& higher = a.places[0].fret > b.places[0].fret ? a.places[0] : b.places[0];
  if (higher.fret > 20 || some_place(lick, [&](const Placement& place) { return place.fret > higher.fret; }))
    return false;
  ++higher.fret;
  return true;
}

bool raise(Steps& lick, std::size_t from) {
  const auto is_high = [](const Step& step) {
    return std::any_of(step.places.begin(), step.places.end(),
                       [](const Placement& place) { return place.fret > 20; });
  };
  if (std::any_of(lick.steps.begin(), lick.steps.end(), is_high)) return false;
  bool raised = false;
  for (std::size_t i = from; i < lick.steps.size(); ++i) {
    for (Placement& place : lick.steps[i].places) {
      if (place.fret == 0) continue;
      ++place.fret;
      raised = true;
    }
    if (lick.steps[i].grace_fret && *lick.steps[i].grace_fret > 0) ++*lick.steps[i].grace_fret;
  }
  return raised;
}

bool lengthen_the_shift(Steps& lick, std::mt19937&) {
  return raise(lick, lick.second_part);
}

bool move_up_the_neck(Steps& lick, std::mt19937&) {
  return raise(lick, 0);
}

bool halve_values(Steps& lick, std::mt19937&) {
  for (Step& step : lick.steps) {
    step.length = step.length / Fraction(2);
    if (step.length < Fraction(1, 64)) return false;
  }
  return true;
}

// A note that stands on the beat comes an eighth sooner, and is held over it.
bool anticipate(Steps& lick, std::mt19937& random) {
  if (lick.steps.size() < 2 || lick.meter.is_compound()) return false;
  const std::size_t i = 1 + any_of(lick.steps.size() - 1, random);
  if (!is_on_beat(lick, start_of(lick, i)) || lick.steps[i - 1].length < Fraction(1, 4)) return false;
  lick.steps[i - 1].length = lick.steps[i - 1].length - Fraction(1, 8);
  lick.steps[i].length += Fraction(1, 8);
  return true;
}

// A note off the beat is held on instead of an open string on it.
bool hold_over_the_beat(Steps& lick, std::mt19937& random) {
  if (lick.steps.size() < 3 || lick.meter.is_compound()) return false;
  const std::size_t i = 1 + any_of(lick.steps.size() - 2, random);
  const Step& on = lick.steps[i];
  if (is_on_beat(lick, start_of(lick, i - 1)) || !is_on_beat(lick, start_of(lick, i)) ||
      on.places.size() != 1 || on.places[0].fret != 0 || on.into != Technique::none ||
      lick.steps[i + 1].into != Technique::none)
    return false;
  lick.steps[i - 1].length += on.length;
  lick.steps.erase(lick.steps.begin() + static_cast<std::ptrdiff_t>(i));
  if (lick.second_part > i) --lick.second_part;
  return true;
}

struct NamedRung {
  const char* name;
  Rung harder;
};
constexpr NamedRung rungs[] = {{"a pair is slurred", slur_a_pair},
                               {"a grace note is added", add_grace_slur},
                               {"a slide instead of a hammer-on", slide_instead},
                               {"a grip is widened", widen_a_grip},
                               {"a grip is widened downwards", widen_a_grip_downwards},
                               {"a roll's grip is widened", widen_a_roll},
                               {"a shift is lengthened", lengthen_the_shift},
                               {"all is moved up the neck", move_up_the_neck},
                               {"values are halved", halve_values},
                               {"a note is anticipated", anticipate},
                               {"a note is held over the beat", hold_over_the_beat}};

std::string text_of(const Steps& lick) {
  std::string text;
  for (const Step& step : lick.steps) {
    text += text.empty() ? "" : " ";
    for (const Placement& place : step.places) {
      text += &place == step.places.data() ? "" : "+";
      text += std::to_string(place.string) + ":" + std::to_string(place.fret);
    }
    text += "*" + to_string(step.length);
  }
  return text;
}

std::string text_of(const Difficulty& found) {
  std::string text;
  for (const std::string& reason : found.reasons) text += (text.empty() ? "" : "; ") + reason;
  return text;
}

void climb(Steps lick, std::mt19937& random, std::vector<int>& climbed) {
  Difficulty before = difficulty_of(lick);
  for (int n = 0; n < 25; ++n) {
    const std::size_t which = any_of(std::size(rungs), random);
    Steps next = lick;
    if (!rungs[which].harder(next, random)) continue;
    const Difficulty after = difficulty_of(next);
    ASSERT_GE(after.effort, before.effort - 1e-9) << rungs[which].name << "\n"
                                                  << text_of(lick) << "\n"
                                                  << text_of(before) << "\n"
                                                  << text_of(next) << "\n"
                                                  << text_of(after);
    ASSERT_GE(after.level, before.level) << rungs[which].name;
    ++climbed[which];
    lick = next;
    before = after;
  }
}

Step random_step(std::mt19937& random, int lowest_fret, const Step* before) {
  Step step;
  if (any_of(4, random) == 0) step.length = Fraction(1, 4);
  const std::size_t notes = any_of(4, random) == 0 ? 2 : 1;
  for (std::size_t n = 0; n < notes; ++n) {
    Placement place;
    place.string = static_cast<std::int8_t>(1 + any_of(4, random));
    if (n > 0 && place.string == step.places[0].string)
      place.string = static_cast<std::int8_t>(place.string % 4 + 1);
    if (n == 0 && before != nullptr && any_of(3, random) == 0) place.string = before->places[0].string;
    if (any_of(3, random) != 0)
      place.fret = static_cast<std::int8_t>(lowest_fret + static_cast<int>(any_of(4, random)));
    step.places.push_back(place);
  }
  return step;
}

// Its second part above the first, on the neck.
Steps random_lick(std::mt19937& random) {
  constexpr int units[] = {4, 4, 8, 2};
  constexpr int beats[] = {4, 3, 6, 2};
  Steps lick;
  const std::size_t meter = any_of(4, random);
  lick.meter = {{beats[meter]}, units[meter], Meter::Symbol::numbers};
  const int low = 1 + static_cast<int>(any_of(5, random));
  const int high = low + 3 + static_cast<int>(any_of(6, random));
  const std::size_t count = 4 + any_of(10, random);
  lick.second_part = 1 + any_of(count - 2, random);
  lick.steps.reserve(count);
  for (std::size_t i = 0; i < count; ++i)
    lick.steps.push_back(
        random_step(random, i < lick.second_part ? low : high, i == 0 ? nullptr : &lick.steps.back()));
  return lick;
}

TEST(DifficultyLadders, RandomLicksNeverGetEasier) {
  std::mt19937 random(41);
  std::vector<int> climbed(std::size(rungs));
  for (int n = 0; n < testing::tried(2000); ++n) {
    climb(random_lick(random), random, climbed);
    if (HasFatalFailure()) return;
  }
  for (std::size_t i = 0; i < climbed.size(); ++i) EXPECT_GT(climbed[i], 20) << rungs[i].name;
}

// Rolls and lines as players have them: strings and frets, an eighth each.
std::vector<Steps> fixed_licks() {
  const std::vector<std::vector<Placement>> lines{
      {{3, 0}, {2, 0}, {5, 0}, {1, 0}, {4, 0}, {2, 0}, {5, 0}, {1, 0}},
      {{3, 2}, {3, 3}, {2, 0}, {1, 0}, {5, 0}, {4, 0}, {4, 2}, {3, 0}},
      {{4, 2}, {2, 1}, {5, 0}, {1, 2}, {3, 0}, {2, 1}, {5, 0}, {1, 2}},
      {{4, 5}, {4, 7}, {3, 4}, {3, 5}, {3, 7}, {2, 5}, {2, 6}, {2, 8}},
      {{3, 7}, {2, 8}, {5, 0}, {1, 9}, {3, 12}, {2, 12}, {5, 0}, {1, 12}}};
  std::vector<Steps> licks;
  licks.reserve(lines.size());
  for (const auto& line : lines) {
    Steps lick;
    for (const Placement place : line) lick.steps.push_back({Fraction(1, 8), {place}, Technique::none, {}});
    lick.second_part = lick.steps.size() - 1;
    licks.push_back(lick);
  }
  return licks;
}

TEST(DifficultyLadders, FixedLicksNeverGetEasier) {
  for (const Steps& lick : fixed_licks()) {
    std::mt19937 random(7);
    std::vector<int> climbed(std::size(rungs));
    for (int n = 0; n < 40; ++n) {
      climb(lick, random, climbed);
      if (HasFatalFailure()) return;
    }
  }
}

// Each of them counts for something: a measure that nothing moves would never fall either.
TEST(DifficultyLadders, EachThingCounts) {
  std::mt19937 random(3);
  const auto rises = [&](const Steps& lick, Rung harder) {
    Steps next = lick;
    for (int n = 0; n < 100; ++n) {
      if (harder(next, random)) break;
    }
    return difficulty_of(next).effort > difficulty_of(lick).effort;
  };
  const std::vector<Steps> licks = fixed_licks();
  EXPECT_TRUE(rises(licks[1], slur_a_pair));
  EXPECT_TRUE(rises(licks[4], lengthen_the_shift));
  EXPECT_TRUE(rises(licks[4], move_up_the_neck));
  EXPECT_TRUE(rises(licks[0], halve_values));
  Steps grip;
  grip.steps.push_back({Fraction(1, 4), {{1, 5}, {3, 2}}, Technique::none, {}});
  EXPECT_TRUE(rises(grip, widen_a_grip));
  Steps even;
  for (int i = 0; i < 4; ++i) even.steps.push_back({Fraction(1, 4), {{3, 0}}, Technique::none, {}});
  EXPECT_TRUE(rises(even, anticipate));
}

}  // namespace
}  // namespace fifthpeg
