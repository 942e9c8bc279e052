// What a line of text over or under a system is, by what stands in it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "formats/text_tab/reader/bars.hpp"
#include "formats/text_tab/reader/words.hpp"

namespace fifthpeg::text_tab::reader {

// Which columns are struck, in order, each once.
using Columns = std::vector<std::size_t>;

// The nearest of the columns that is no further away than one; nothing where there is none.
std::optional<std::size_t> index_near(const Columns& columns, std::size_t column);

// "1 & 2 &" and the like: its labels as the writer has them, or nothing.
std::optional<std::vector<Item>> as_count(const Row& row, const std::vector<Span>& spans);
// "Q E E", "4 8 8", "1/4 1/8": a note value for each place that is struck.
std::optional<std::vector<std::pair<std::size_t, Fraction>>> as_values(const Row& row, const Columns& struck);
// "T I M", "TM", "r".
std::optional<std::vector<Item>> as_picking(const Row& row);
// "2 1 0".
std::optional<std::vector<Item>> as_fingers(const Row& row);
// "=  m  fd m": what notes are for.
std::optional<std::vector<Item>> as_roles(const Row& row);
// "E4+G4".
std::optional<std::vector<Item>> as_pitches(const Row& row);
// ">", "_" and the like.
std::optional<std::vector<Item>> as_marks(const Row& row);
// "G  C7".
std::optional<std::vector<Item>> as_chords(const Row& row);
// Numbers that stand over barlines.
std::optional<std::vector<Item>> as_numbers(const Row& row, const std::vector<Span>& spans);
// "[1.-----][2.---", and what goes on from the system before.
bool is_bracket(const Row& row);
// "D (bar, 7)": shapes that the hand holds.
bool is_shapes(const Row& row);
// Syllables under the places that are struck.
std::optional<std::vector<Item>> as_lyrics(const Row& row, const Columns& struck);

}  // namespace fifthpeg::text_tab::reader
