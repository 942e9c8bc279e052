#include <string>
#include <string_view>

#include "cli/command_line.hpp"
#include "cli/help.hpp"
#include "cli/manual/manual.hpp"
#include "version.hpp"

namespace fifthpeg::cli {
namespace {

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
  text += section("DESCRIPTION") + "Puts notes from MIDI and MusicXML files on the five\\-string banjo.\n" +
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
  text += section("EXAMPLES");
  for (const CommandText& command : command_texts()) text += examples(command.examples);
  text += section("SEE ALSO") +
          "The JSON Schemas of all reports are installed in share/fifthpeg/schemas, with a "
          "table of all rules of\n" +
          bold("fifthpeg check") + " in check\\-rules.md.\n";
  return text;
}

}  // namespace fifthpeg::cli
