#include <string>
#include <string_view>
#include <vector>

#include "cli/command_line.hpp"
#include "cli/help.hpp"
#include "cli/manual/manual.hpp"
#include "cli/option_values.hpp"

namespace fifthpeg::cli {
namespace {

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : " ") + word;
  return text;
}

std::string names(const OptionText& option, const char* separator) {
  return option.short_name.empty() ? option.name : option.short_name + separator + option.name;
}

// What completes the value of an option; empty where nothing can.
std::string values(const OptionText& option) {
  if (option.value == "OUT" || option.value == "FILE" || option.value == "DIR|FILE...")
    return "_fifthpeg_files -f";
  if (option.value == "DIR") return "_fifthpeg_files -d";
  if (option.value == "FILE|infer") return "_fifthpeg_words_or_files infer";
  // Of music, --only has roles; of 'check', rules.
  if (option.value == "ROLES") return "_fifthpeg_list \"" + joined(role_words()) + "\"";
  const std::string words = joined(choices(option.name));
  if (words.empty()) return "";
  const bool several = option.value == "RULES" || option.value == "NAMES";
  return (several ? "_fifthpeg_list \"" : "_fifthpeg_words \"") + words + "\"";
}

// The shell's case for a command: the values of its options, and the options.
std::string branch(const std::string& command) {
  std::string with_values;
  std::string others;
  std::vector<std::string> options;
  for (const OptionText& option : option_texts(command)) {
    options.push_back(names(option, " "));
    if (option.value.empty()) continue;
    const std::string pattern = names(option, "|");
    if (const std::string complete = values(option); !complete.empty()) {
      with_values.append("        ").append(pattern).append(") ").append(complete).append("; return ;;\n");
    } else {
      others += (others.empty() ? "" : "|") + pattern;
    }
  }
  return "    " + command + ")\n      case $previous in\n" + with_values + "        " + others +
         ") return ;;\n      esac\n      options=\"" + joined(options) + "\" ;;\n";
}

constexpr std::string_view before =
    R"(# bash completion for fifthpeg, made from the options that its help lists.

_fifthpeg_words() {
  mapfile -t COMPREPLY < <(compgen -W "$1" -- "$current")
}

# Words with commas between them: the last one is completed.
_fifthpeg_list() {
  local before=
  [[ $current != *,* ]] || before=${current%,*},
  mapfile -t COMPREPLY < <(compgen -P "$before" -W "$1" -- "${current##*,}")
}

_fifthpeg_files() {
  compopt -o filenames 2>/dev/null
  mapfile -t COMPREPLY < <(compgen "$1" -- "$current")
}

_fifthpeg_words_or_files() {
  compopt -o filenames 2>/dev/null
  mapfile -t COMPREPLY < <(compgen -W "$1" -- "$current"; compgen -f -- "$current")
}

_fifthpeg() {
  local current=${COMP_WORDS[COMP_CWORD]} previous=${COMP_WORDS[COMP_CWORD-1]}
  local command=${COMP_WORDS[1]} options
  COMPREPLY=()
  # '--option=value' comes as three words.
  if [[ $current == = ]]; then
    current=
  elif [[ $previous == = ]] && ((COMP_CWORD > 2)); then
    previous=${COMP_WORDS[COMP_CWORD-2]}
  fi
)";

constexpr std::string_view after = R"(    *) return ;;
  esac
  if [[ $current == -* ]]; then
    _fifthpeg_words "$options"
  else
    _fifthpeg_files -f
  fi
}

complete -F _fifthpeg fifthpeg
)";

}  // namespace

std::string bash_completion() {
  std::vector<std::string> commands;
  std::vector<std::string> options;
  for (const CommandText& command : command_texts()) commands.emplace_back(command.name);
  for (const OptionText& option : option_texts("")) options.push_back(names(option, " "));
  std::string text(before);
  text += "  local commands=\"" + joined(commands) + "\"\n";
  text += "  if ((COMP_CWORD == 1)); then\n    _fifthpeg_words \"$commands help " + joined(options) +
          "\"\n    return\n  fi\n";
  text += "  case $command in\n    help) ((COMP_CWORD > 2)) || _fifthpeg_words \"$commands\"; return ;;\n";
  for (const std::string& command : commands) text += branch(command);
  return text + std::string(after);
}

}  // namespace fifthpeg::cli
