// Where in a tune a lick may stand: what arrangements of licks, and whoever puts one into a tune, ask alike.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "arrange/plan.hpp"
#include "fifthpeg/banjo.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

// A chord that a lick is over, numbered as shape_of() does, so that it is the same with any capo.
struct LickChord {
  Fraction at;  // from the start of the unit in which the lick begins
  int shape = -1;
};

// What a lick asks of the units that it stands in. Times count from the start of the one in which it begins.
struct LickAsks {
  Fraction slot;                     // in which its meter falls into units
  int span = 0;                      // slots of the unit that begins a measure of its meter
  Fraction lead;                     // to its first note
  Fraction length;                   // to its end
  std::vector<LickChord> chords;     // in order; the first also stands before it
  int to = -1;                       // the chord that it leads to
  std::optional<int> landing;        // the note that it leads to, in half steps above the open first string
  std::vector<Placement> beginning;  // those of its first notes that can be the melody's

  int chord_at(Fraction at) const;
};

// What the lick asks when it moves up the neck, by half steps and with the frets that it stops.
LickAsks moved(LickAsks asks, int half_steps);

// What speaks against a place.
enum class Objection : std::int8_t {
  tune_ends,      // before the lick does
  next_break,     // the room is for the pickup of another break
  parted,         // by a repeat, an ending or a jump: something else is played in between
  pickup,         // before the first whole measure
  meter,          // another
  no_chord,       // the tune has none there
  chord,          // another
  melody,         // it moves there
  no_phrase_end,  // the phrase goes on
  next_chord,     // the lick leads to another
  landing         // the tune goes on with another note than the one that the lick lands on
};
inline constexpr std::size_t objections = 11;

struct LickRoom {
  std::size_t end = 0;  // the unit behind the lick
  // Of each objection, the first unit that raises it.
  std::array<std::optional<std::size_t>, objections> against{};

  bool has(Objection one) const { return against.at(static_cast<std::size_t>(one)).has_value(); }
  bool is_free() const;
};

// A tune as licks meet it.
class LickStage {
 public:
  // Of the time that a lick takes: the units that it touches, as cells do, or its own and no more.
  enum class Takes : std::int8_t { units, its_time };

  // The units are those of the score, of whose end `room` is for the pickup of another break.
  LickStage(const Score& score, const std::vector<Unit>& units, const Banjo& banjo, Fraction room,
            Takes takes)
      : score_(score), units_(units), banjo_(banjo), room_(room), takes_(takes) {}

  // Of a lick that begins in a unit.
  LickRoom room_for(const LickAsks& asks, std::size_t first) const;

 private:
  bool reaches_next_break(const Unit& unit) const;
  bool is_next(std::size_t unit) const;
  bool is_free(const LickAsks& asks, const Unit& unit, Fraction from) const;
  bool begins_with(const LickAsks& asks, int midi) const;
  bool lands(const LickAsks& asks, std::size_t unit) const;
  int shape_in(const Unit& unit) const;

  const Score& score_;
  const std::vector<Unit>& units_;
  Banjo banjo_;
  Fraction room_;
  Takes takes_;
};

// Whether nothing else is ever played between a measure and the one before it.
bool follows_at_once(const Score& score, std::size_t measure);

}  // namespace fifthpeg::arranging
