#include <algorithm>

#include "arrange/candidates.hpp"
#include "arrange/weights.hpp"
#include "hands/chord_shapes.hpp"

namespace fifthpeg::arranging {
namespace {

// Where the index finger stands for closed shapes up the neck; 1 is first position. Common practice.
constexpr int positions[] = {1, 2, 3, 5, 7, 9, 10, 12};
constexpr int frets_in_position = 3;  // above the first
constexpr int high_break_fret = 5;

}  // namespace

Neckwork::Neckwork(const Banjo& banjo, int level, bool high_break)
    : banjo_(banjo), level_(level), high_break_(high_break) {
  for (int string = 1; string <= string_count; ++string)
    open_.at(static_cast<std::size_t>(string)) = banjo.open_midi(string);
}

int Neckwork::fretted(int string, int fret) const {
  return banjo_.midi_at({static_cast<std::int8_t>(string), static_cast<std::int8_t>(fret)}).value_or(-1);
}

int Neckwork::fret_of(int string, int midi) const {
  const int open = open_.at(static_cast<std::size_t>(string));
  if (string == fifth_string) return midi == open ? 0 : -1;
  return midi >= open && midi - open <= banjo_.last_fret() ? midi - open : -1;
}

bool Neckwork::is_low(int midi) const {
  for (int string = 1; string <= string_count; ++string) {
    const int fret = fret_of(string, midi);
    if (fret >= 0 && fret <= first_frets + (string == 1 ? 1 : 0)) return true;
  }
  return false;
}

Neckwork::Stand Neckwork::stand_at(const Harmony& harmony, int low) const {
  Stand stand;
  stand.low = low;
  stand.high = low + frets_in_position;
  stand.reach_on_first = level_ > 1 ? 1 : 0;
  stand.fill.fill(-1);
  if (!harmony.known) return stand;
  const auto tone = [&](int string, int fret) { return harmony.tones.has(pitch(string, fret)); };
  const auto shape = low == 1 ? hands::chord_shape(banjo_, harmony.symbol) : std::nullopt;
  for (int string = 1; string < fifth_string; ++string) {
    auto& fill = stand.fill.at(static_cast<std::size_t>(string));
    if (shape && shape->on(string).fret && stand.has(string, *shape->on(string).fret)) {
      fill = static_cast<std::int8_t>(*shape->on(string).fret);
      continue;
    }
    if ((low == 1 || level_ <= 2) && tone(string, 0)) fill = 0;
    for (int fret = stand.high; fill != 0 && fret >= low; --fret) {
      if (fret <= banjo_.last_fret() && tone(string, fret)) fill = static_cast<std::int8_t>(fret);
    }
    if (fill < 0 && tone(string, 0)) fill = 0;
  }
  return stand;
}

std::vector<Neckwork::Stand> Neckwork::stands(const Unit& unit) {
  std::string key = unit.harmony.known ? to_string(unit.harmony.symbol) : "";
  auto found = known_.find(key);
  if (found == known_.end()) {
    std::vector<Stand> all;
    for (const int low : positions) {
      if (low + frets_in_position <= std::min(banjo_.last_fret(), highest_fret(level_)))
        all.push_back(stand_at(unit.harmony, low));
    }
    found = known_.emplace(std::move(key), std::move(all)).first;
  }
  // Learners stay at the nut but for what is not there, and what is beside that.
  std::vector<Stand> result;
  for (const Stand& stand : found->second) {
    const bool first = stand.low == 1;
    const bool whole_neck = level_ >= 3 || high_break_;
    if (!first && level_ == 1) continue;
    const auto only_there = [&](int midi) {
      if (is_low(midi)) return false;
      for (int string = 1; string < fifth_string; ++string) {
        const int fret = fret_of(string, midi);
        if (fret > 0 && stand.has(string, fret)) return true;
      }
      return false;
    };
    const auto wanted_there = [&](const Wanted& one) { return only_there(one.midi); };
    if (first || whole_neck || only_there(unit.peak) ||
        std::any_of(unit.wanted.begin(), unit.wanted.end(), wanted_there))
      result.push_back(stand);
  }
  if (high_break_) keep_high(unit.wanted, result);
  return result;
}

// Those up the neck alone, where one of them has all that is wanted.
void Neckwork::keep_high(const std::vector<Wanted>& wanted, std::vector<Stand>& stands) const {
  const auto has_all = [&](const Stand& stand) {
    return stand.low >= high_break_fret && std::all_of(wanted.begin(), wanted.end(), [&](const Wanted& one) {
             for (int string = 1; string <= string_count; ++string) {
               const int fret = fret_of(string, one.midi);
               if (fret >= 0 && stand.has(string, fret)) return true;
             }
             return false;
           });
  };
  if (std::none_of(stands.begin(), stands.end(), has_all)) return;
  std::erase_if(stands, [&](const Stand& stand) { return stand.low < high_break_fret; });
}

}  // namespace fifthpeg::arranging
