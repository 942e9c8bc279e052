// Texts over, under and beside tab: parted into words, and read where they say something.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "fifthpeg/score.hpp"
#include "formats/text_tab/tab_line.hpp"

namespace fifthpeg::text_tab::reader {

// Something that stands in a line of text.
struct Item {
  std::size_t begin = 0;  // columns
  std::size_t end = 0;
  std::string text;
};
// Parted where at least so many blanks stand.
std::vector<Item> items_of(const Row& row, std::size_t blanks);

std::optional<Meter> meter_of(std::string_view text);        // "6/8", "3+2/8"
std::optional<Key> key_of(std::string_view text);            // "G major", "2 sharps (D major or B minor)"
std::optional<Tempo> tempo_of(std::string_view text);        // "Lively, quarter = 120"
std::optional<Fraction> length_of(std::string_view text);    // "7/8"
std::optional<Fraction> value_named(std::string_view name);  // "dotted quarter"

struct Lasts {
  Fraction length;
};
struct Plays {
  int times = 2;
};
using Said = std::variant<Meter, Key, Tempo, Lasts, Plays, Direction>;
// What a text over the tab says; a text that says nothing else is a direction in words.
Said said(const std::string& text);
// Whether it is a direction in words that nothing marks as one.
bool is_plain_words(const Said& what);

}  // namespace fifthpeg::text_tab::reader
