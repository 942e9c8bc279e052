#include <array>
#include <string>
#include <string_view>

#include "cli/command_line.hpp"
#include "cli/help.hpp"
#include "cli/manual/manual.hpp"
#include "cli/option_values.hpp"
#include "version.hpp"

namespace fifthpeg::cli {
namespace {

// How a source says what the hands do, and how tab prints it.
struct Mark {
  std::string_view what;
  std::string_view musicxml;
  std::string_view tab;
};
constexpr std::array<Mark, 13> marks{{
    {"a string and a fret", "<technical><string>3</string><fret>2</fret></technical>",
     "2 on the line of the string"},
    {"a finger of the fret hand", "<technical><fingering>2</fingering></technical>",
     "2 in the row of --fingers; 0 is an open string"},
    {"the thumb over the neck",
     "<technical><other-technical>thumb over the neck</other-technical></technical>",
     "T in the row of --fingers"},
    {"a picking finger", "<technical><pluck>I</pluck></technical>", "I under the tab; T, I, M, R or L"},
    {"the nail of the frailing finger", "<technical><fingernails/></technical>", "N under the tab"},
    {"a note that rings on", "<tied type=\"let-ring\"/>", "~ after the fret"},
    {"a note stopped dead", "<technical><other-technical>damp</other-technical></technical>",
     "x after the fret"},
    {"a muffled note", "<notehead>x</notehead>", "X in place of the fret"},
    {"a chime", "<technical><harmonic><natural/></harmonic></technical>", "< > around the fret"},
    {"a choke by a whole step", "<technical><bend><bend-alter>2</bend-alter></bend></technical>",
     "b and the fret that it sounds like"},
    {"a hammer-on", "<technical><hammer-on type=\"start\"/></technical>", "h before the second fret"},
    {"a pull-off", "<technical><pull-off type=\"start\"/></technical>", "p before the second fret"},
    {"a slide", "<slide type=\"start\"/>", "/ or \\ before the second fret"},
}};

// Text as roff prints it, character by character; a line must not begin with what roff takes for a request.
std::string escaped(std::string_view text) {
  std::string result;
  for (const char c : text) {
    if (result.empty() || result.back() == '\n') result += c == '.' || c == '\'' ? "\\&" : "";
    result += c == '\\' ? "\\e" : c == '-' ? "\\-" : c == '\'' ? "\\(aq" : std::string(1, c);
  }
  return result;
}

std::string bold(std::string_view text) {
  return "\\fB" + escaped(text) + "\\fP";
}
std::string italic(std::string_view text) {
  return "\\fI" + escaped(text) + "\\fP";
}

std::string section(std::string_view name) {
  return ".SH " + std::string(name) + "\n";
}

std::string examples(std::string_view lines) {
  return ".PP\n.RS 4\n.nf\n" + escaped(lines) + ".fi\n.RE\n";
}

std::string list_item(const std::string& term, std::string_view text) {
  return ".TP\n" + term + "\n" + escaped(text) + "\n";
}

std::string options(const std::string& command) {
  std::string text;
  std::string group = "Options";
  for (const OptionText& option : option_texts(command)) {
    if (option.group != group) {
      group = option.group;
      text += ".PP\n" + italic(group) + "\n";
    }
    std::string names = option.short_name.empty() ? "" : bold(option.short_name) + ", ";
    names += bold(option.name);
    if (!option.value.empty()) names += " " + italic(option.value);
    text += list_item(names, option.description);
  }
  return text;
}

std::string synopsis(const CommandText& command) {
  return bold("fifthpeg " + std::string(command.name)) + " " + escaped(command.arguments);
}

}  // namespace

std::string man_page() {
  std::string text = ".\\\" Made from the help of the program.\n.TH FIFTHPEG 1 \"\" \"fifthpeg " +
                     std::string(version_text) + "\" \"User Commands\"\n.nh\n.ad l\n";
  text += section("NAME") + "fifthpeg \\- " + escaped(program_purpose) + "\n" + section("SYNOPSIS");
  for (const CommandText& command : command_texts()) {
    text += synopsis(command) + " [" + italic("OPTIONS") + "]\n.br\n";
  }
  text += bold("fifthpeg help") + " [" + italic("COMMAND") + "]\n";
  text += section("DESCRIPTION") +
          "Puts notes from MIDI and MusicXML files and from text tab on the five\\-string banjo.\n" +
          escaped(input_text);
  for (const CommandText& command : command_texts()) {
    text += list_item(bold(command.name), command.purpose);
  }
  text += section("OPTIONS") + options("");
  text += section("COMMANDS");
  for (const CommandText& command : command_texts()) {
    text +=
        ".SS " + synopsis(command) + "\n" + escaped(command.description) + options(std::string(command.name));
    if (!command.notes.empty()) text += ".PP\n" + escaped(command.notes);
    text += ".PP\nExit status: " + escaped(command.statuses);
  }
  text += section("EXIT STATUS");
  for (const StatusText& one : status_texts())
    text += list_item(bold(std::to_string(one.status)), one.meaning);
  text += section("ENVIRONMENT") +
          list_item(bold("COLUMNS"), "Width of the tab that 'show' prints on a terminal.") +
          list_item(bold("SOURCE_DATE_EPOCH"),
                    "Seconds since 1970: the date written into MusicXML, instead of today's.");
  text +=
      section("FILES") +
      list_item(bold(".fifthpeg-") + italic("NUMBER") + bold(".part"),
                "An output being written, in the same directory. It gets its own name when it is complete\n"
                "and is removed when the program is interrupted.");
  text += section("MARKS") + "In a MusicXML source these stand in the " + bold("notations") +
          " of a note, the " + bold("notehead") + " in the " + bold("note") +
          " itself. A hammer\\-on, a pull\\-off and a slide also have an end, of type stop, at the second "
          "note. A\n"
          "direction " +
          bold("damp") + " or " + bold("damp-all") + " stops the stroke before it dead.\n";
  for (const Mark& mark : marks) {
    text += list_item(italic(mark.what), mark.musicxml) + ".br\nIn tab: " + escaped(mark.tab) + ".\n";
  }
  text += ".PP\nWhat a note is for stands in the " + bold("note") + " itself, behind its lyrics:\n" +
          examples("<play><other-play type=\"fifthpeg-role\">melody</other-play></play>\n") + "It is " +
          escaped(alternatives(role_words())) + ".\n";
  text += section("EXAMPLES");
  for (const CommandText& command : command_texts()) text += examples(command.examples);
  text += section("SEE ALSO") +
          "The JSON Schemas of all reports are installed in share/fifthpeg/schemas, with a "
          "table of all rules of\n" +
          bold("fifthpeg check") + " in check\\-rules.md.\n";
  return text;
}

}  // namespace fifthpeg::cli
