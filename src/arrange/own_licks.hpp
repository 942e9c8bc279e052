// Licks that a player brings along: from a score in tab to slots, and where in a tune they have a place.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "arrange/candidates.hpp"
#include "arrange/lick_room.hpp"
#include "fifthpeg/arrange.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg::arranging {

// A lick by slots, as units and their candidates have it. Chords are numbered as shape_of() does, so that it
// is the same lick with any capo.
struct SlottedLick {
  std::string name;
  Banjo banjo;
  Fraction slot;                // an eighth or a sixteenth
  int span = 0;                 // slots of the unit that begins a measure of its meter
  int level = 1;                // from which on it is played
  std::vector<SlotPlay> slots;  // from the start of the unit in which it begins to the end of its last note
  std::vector<int> chords;      // one for each
  int to = -1;                  // the chord that it leads to
  std::optional<int> landing;   // the note that it leads to, in half steps above the open first string
};
LickAsks asks_of(const SlottedLick& lick);

// Nothing where it is of no use, which is reported, as is that its chords were found in it. Picking fingers
// that it does not state are found.
std::optional<SlottedLick> slotted(const OwnLick& own, Report& report);

// What a unit of so many slots plays of it; empty slots follow its end.
Candidate piece_of(const SlottedLick& whole, int from, int slots);

// Writes Unit::licks: where the melody of a plan rests long enough, over their chords, on this banjo. The
// units are those of the score, of whose end `room` is for the pickup of another break. A lick begins with
// the last note of a phrase, or after it.
void find_places(const std::vector<SlottedLick>& licks, const Score& score, Fraction room,
                 const Neckwork& neck, std::vector<Unit>& units);

// The pieces that have a place in a unit.
std::vector<Candidate> own_candidates(const Unit& unit, const std::vector<SlottedLick>& licks,
                                      const Neckwork& neck);

// Which of them ways play, by number; that the others are not played, and why, is reported. The units are
// those of the score.
void report_unplayed(const std::vector<SlottedLick>& licks, const Score& score,
                     const std::vector<Unit>& units, const std::vector<bool>& played, const Neckwork& neck,
                     Report& report);

}  // namespace fifthpeg::arranging
