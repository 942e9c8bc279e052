// The values that options take: text to value. Each throws UsageError, naming the option and what would
// be right.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "cli/options.hpp"
#include "fifthpeg/banjo.hpp"
#include "fifthpeg/fraction.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::cli {

int whole_number(std::string_view option, std::string_view text, int lowest, int highest);
// "65536", "64M", "1G": K, M and G are powers of 1024.
std::size_t byte_count(std::string_view option, std::string_view text);
// "1/16": one note value as a fraction of a whole note.
Fraction grid_step(std::string_view option, std::string_view text);
// "1/8", "3/16", "0": of a whole note.
Fraction note_length(std::string_view option, std::string_view text);
// 4/4, 6/8: as many beats of a note value that is a power of two.
Meter meter(std::string_view option, std::string_view text);
Tuning tuning(std::string_view option, std::string_view text);
// "auto", which is nothing, or half steps.
std::optional<int> transposition(std::string_view option, std::string_view text);
Style style(std::string_view option, std::string_view text);
// The same, without auto.
Style one_style(std::string_view option, std::string_view text);
// "G", "Am7", "D/F#".
ChordSymbol chord(std::string_view option, std::string_view text);
// "4", "3.5", "7/2".
Fraction beats(std::string_view option, std::string_view text);
// "fill-in", "kick-off" ...
LickUse lick_use(std::string_view option, std::string_view text);
// "slide,pinch": by the names of Summary::techniques; "grace-note" is "grace note".
std::vector<std::string> techniques(std::string_view option, std::string_view text);
// "1-3", or "2": both ends included.
struct LevelRange {
  int lowest = easiest_difficulty;
  int highest = greatest_difficulty;
};
LevelRange level_range(std::string_view option, std::string_view text);
// "A", "F#m", "D mixolydian".
Key key(std::string_view option, std::string_view text);
// The reverse: "D mixolydian", or "D" for any mode.
std::string key_text(const Key& key);
// "5-9": frets, both ends included.
FretRange fret_range(std::string_view option, std::string_view text);
// The same, or "5": one fret; "0" and "0-0" are no fret, which is 0 to 0.
FretRange stopped_frets(std::string_view option, std::string_view text);
// "3-4", or "3": measures by their printed numbers, both ends included.
MeasureRange measure_range(std::string_view option, std::string_view text);
// "50,65,80": percent.
std::vector<int> speeds(std::string_view option, std::string_view text);
// A number between two bounds, such as 0.9 or 667.
double decimal(std::string_view option, std::string_view text, double lowest, double highest);
// Text, or after an @ the name of a file that has it; with an empty line between two paragraphs.
std::vector<std::string> paragraphs(std::string_view option, std::string_view text);
// "teaching,midi-bytes": rules and families of rules.
std::vector<std::string> rule_names(std::string_view option, std::string_view text);

// "melody,lick": what notes are for.
std::vector<Role> roles(std::string_view option, std::string_view text);
std::vector<std::string> role_words();

// "both, notation or tab".
std::string alternatives(const std::vector<std::string>& words);
// The words that an option takes, where it takes words; empty for any other option.
std::vector<std::string> choices(std::string_view option);
// What one of them means.
int word_value(std::string_view option, std::string_view text);
template <typename Value>
Value one_of(std::string_view option, std::string_view text) {
  return static_cast<Value>(word_value(option, text));
}

// What a file is by its name: ".musicxml" and ".xml", ".mxl", ".mid" and ".midi", ".txt"; case aside.
std::optional<OutputFormat> format_by_extension(std::string_view path);
// What a file of that format is called: ".musicxml".
std::string_view extension(OutputFormat format);
// What a sheet is by its name: ".pdf", ".svg", ".png", ".html"; case aside.
std::optional<SheetFormat> sheet_format_by_extension(std::string_view path);
// What a practice track is by its name: ".mid" and ".midi", ".wav", ".flac"; case aside.
std::optional<PracticeFormat> practice_format_by_extension(std::string_view path);
// "MusicXML", "MIDI": for people.
std::string_view name(OutputFormat format);

// The date that goes into files: of SOURCE_DATE_EPOCH if that is set, otherwise today, in UTC.
// "2026-01-31".
std::string encoding_date();

}  // namespace fifthpeg::cli
