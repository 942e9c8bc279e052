// What a score holds, counted: what one wants to know of a tune before one plays it.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg {

// A value that holds from a place on.
template <typename Value>
struct Change {
  std::string measure;  // its printed number
  Fraction beat{1};     // counted from 1, see beat_at()
  Value value;
};

struct FretSpan {
  int lowest = 0;
  int highest = 0;
};

// A name with how often it occurs.
using Counted = std::pair<std::string, std::uint64_t>;

struct Summary {
  std::size_t measures = 0;
  std::size_t measures_as_played = 0;  // repeats and jumps carried out
  bool jumps_ignored = false;          // they would never end; see PlayingOrder::bounded
  std::optional<Fraction> pickup;      // length of an incomplete first measure
  std::size_t irregular_measures = 0;  // other measures whose length is not the meter's
  std::uint64_t repeats = 0;           // counted where they end
  std::uint64_t endings = 0;           // counted where they start
  std::vector<Counted> jumps;          // "D.C.", "D.S.", "segno", "coda", "to coda", "fine"
  std::vector<Change<Meter>> meters;
  std::vector<Change<Key>> keys;
  std::vector<Change<Tempo>> tempos;
  std::vector<Counted> chord_symbols;  // in order of appearance

  std::uint64_t strokes = 0;  // that strike something; grace strokes included
  std::uint64_t notes = 0;    // struck: a tied chain counts once
  std::optional<Span> range;
  std::uint64_t outside_range = 0;  // notes below or above what the banjo, set up as it is, can sound
  std::vector<Counted> techniques;  // only those that occur

  std::uint64_t placed = 0;                             // notes that have a string and fret
  std::uint64_t fingered = 0;                           // ... a fret-hand finger
  std::uint64_t with_picking_finger = 0;                // ... a picking finger
  std::array<std::uint64_t, string_count> on_string{};  // placed notes; [0] is string 1
  std::uint64_t open = 0;                               // placed notes at fret 0
  std::optional<FretSpan> frets;                        // of the notes placed and not open
};

Summary summarize(const Score& score);

// All that Summary::techniques can name, in its order: "hammer-on", "pull-off", "slide" ...
std::span<const std::string_view> technique_names();

}  // namespace fifthpeg
