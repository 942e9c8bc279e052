// The words of the help and of the manual page around the options.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace fifthpeg::cli {

// One of the program's commands.
struct CommandText {
  std::string_view name;
  std::string_view arguments;    // "IN...", as they stand in the synopsis
  std::string_view purpose;      // a few words
  std::string_view description;  // a paragraph
  std::string_view examples;     // a command a line
  std::string_view notes;        // a paragraph, or empty
  std::string_view statuses;     // a paragraph
};
std::span<const CommandText> command_texts();

// What an exit status means.
struct StatusText {
  int status;
  std::string_view meaning;
};
std::span<const StatusText> status_texts();

inline constexpr std::string_view program_purpose = "banjo tab from MIDI, MusicXML and text";
// What IN can be.
extern const std::string_view input_text;

// "convert, show, describe, advise or check".
std::string command_names(std::string_view conjunction);

// What `--help` prints, given the list of options.
std::string program_help(const std::string& options);
std::string command_help(std::string_view command, const std::string& options);

}  // namespace fifthpeg::cli
