// What could be played over one unit: each a cell of the picking hand with its strings stopped somewhere,
// and what it costs as music.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "arrange/plan.hpp"
#include "fifthpeg/banjo.hpp"

namespace fifthpeg::arranging {

// One string in a slot.
struct Played {
  static constexpr std::int8_t slurred = -1;
  std::int8_t string = 0;
  std::int8_t fret = 0;
  std::int8_t finger = slurred;  // a PickingFinger
  Technique into = Technique::none;
  Role role = Role::fill;
  std::int8_t wanted = -1;  // which of the unit's melody notes it is; none
  friend bool operator==(const Played&, const Played&) = default;
};

struct SlotPlay {
  std::array<Played, 4> notes{};  // the melody first
  std::int8_t count = 0;
  std::int8_t from_fret = -1;  // a grace note on the first note's string, that slides or hammers into it
  Brush brush = Brush::none;
  friend bool operator==(const SlotPlay&, const SlotPlay&) = default;
};

struct Candidate {
  std::array<SlotPlay, most_slots> slots{};
  std::int8_t count = 0;
  std::int16_t pattern = -1;  // which cell; less than 0 for none
  LickPiece piece;
  int cost = 0;
  friend bool operator==(const Candidate&, const Candidate&) = default;
};

// The first candidates in order of cost, which are worth a search.
inline constexpr std::size_t most_candidates = 64;
// In rolls, besides, of each finger that may begin a unit at least so many.
inline constexpr std::size_t fewest_beginnings = 6;

// Where learners play.
inline constexpr int first_frets = 4;

// Which strings give what: the banjo as it is set up, and the part of the neck that a level plays in.
class Neckwork {
 public:
  Neckwork(const Banjo& banjo, int level, bool high_break);

  // A part of the neck with a chord: what each string gives of it there.
  struct Stand {
    std::array<std::int8_t, string_count + 1> fill{};  // frets by string; -1 for none
    int low = 0;                                       // stopped notes lie from here
    int high = 0;
    int reach_on_first = 1;  // one more there, where the little finger has room
    int fill_on(int string) const { return static_cast<int>(fill.at(static_cast<std::size_t>(string))); }
    bool has(int string, int fret) const {
      return fret == 0 ||
             (string != fifth_string && fret >= low && fret <= high + (string == 1 ? reach_on_first : 0));
    }
  };
  // Those in which a unit may be played; the lowest first.
  std::vector<Stand> stands(const Unit& unit);

  const Banjo& banjo() const { return banjo_; }
  int level() const { return level_; }
  int pitch(int string, int fret) const {
    return fret == 0 ? open_.at(static_cast<std::size_t>(string)) : fretted(string, fret);
  }
  // Where a string gives a pitch; -1 for nowhere.
  int fret_of(int string, int midi) const;
  // Whether a pitch lies in the first frets.
  bool is_low(int midi) const;

 private:
  int fretted(int string, int fret) const;
  Stand stand_at(const Harmony& harmony, int low) const;
  void keep_high(const std::vector<Wanted>& wanted, std::vector<Stand>& stands) const;

  Banjo banjo_;
  int level_;
  bool high_break_;
  std::array<int, string_count + 1> open_{};
  std::map<std::string, std::vector<Stand>> known_;  // by chord
};

// Three-finger rolls. At least one candidate, whatever is wanted.
std::vector<Candidate> roll_candidates(const Unit& unit, Neckwork& neck);
// Clawhammer. Likewise.
std::vector<Candidate> clawhammer_candidates(const Unit& unit, Neckwork& neck);

// What one candidate costs after another, as music: in rolls, in clawhammer.
using Seam = int (*)(const Unit& unit_before, const Candidate& before, const Candidate& next, int level);
int roll_seam(const Unit& unit_before, const Candidate& before, const Candidate& next, int level);
int clawhammer_seam(const Unit& unit_before, const Candidate& before, const Candidate& next, int level);

// The picking fingers for strings one after the other (0: none, or slurred), none twice in following slots;
// the first with another finger than `not_first`.
std::array<std::int8_t, most_slots> picking_fingers(const std::array<std::int8_t, most_slots>& strings,
                                                    int count, int not_first = -1);

}  // namespace fifthpeg::arranging
