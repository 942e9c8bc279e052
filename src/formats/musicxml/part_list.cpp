#include "formats/musicxml/part_list.hpp"

#include <algorithm>
#include <array>

#include "base/text.hpp"

namespace fifthpeg::musicxml {
namespace {

constexpr int drum_channel = 10;  // General MIDI level 1, counted from 1

constexpr std::array<std::string_view, 1> banjo_words{"banjo"};
constexpr std::array<std::string_view, 12> other_strings{"guitar",   "ukulele", "mandolin", "bass",
                                                         "violin",   "fiddle",  "lute",     "bouzouki",
                                                         "dulcimer", "dobro",   "viola",    "cello"};
constexpr std::array<std::string_view, 9> tune_words{"melody", "tune",   "lead",     "fiddle", "violin",
                                                     "voice",  "vocals", "mandolin", "flute"};
constexpr std::array<std::string_view, 2> backup_words{"backup", "back-up"};

template <typename Words>
bool has_one_of(std::string_view text, const Words& words) {
  return std::any_of(words.begin(), words.end(),
                     [text](std::string_view word) { return text.find(word) != std::string_view::npos; });
}

}  // namespace

std::string PartDescription::label() const {
  const std::string_view shown = trimmed(name);
  return shown.empty() ? id : std::string(shown);
}

bool PartDescription::percussion() const {
  return channel == drum_channel || sound.starts_with("drum") || sound.starts_with("metal") ||
         sound.starts_with("wood");
}

bool PartDescription::names_banjo() const {
  return has_one_of(words, banjo_words);
}

bool PartDescription::name_is_banjo() const {
  return has_one_of(base::lower_case(name) + ' ' + base::lower_case(instrument), banjo_words);
}

bool PartDescription::names_other_strings() const {
  return has_one_of(words, other_strings);
}

bool PartDescription::names_tune() const {
  return has_one_of(base::lower_case(name) + ' ' + base::lower_case(instrument), tune_words);
}

bool PartDescription::names_backup() const {
  return has_one_of(base::lower_case(name), backup_words);
}

PartDescription describe(const Element& score_part) {
  PartDescription part;
  part.id = attribute(score_part, "id");
  part.listed = true;
  part.line = score_part.GetLineNum();
  const auto add_words = [&part](std::string_view text) { part.words += ' ' + base::lower_case(text); };
  each_child(score_part, [&](const Element& child, std::string_view name) {
    if (name == "part-name") {
      part.name = text_of(child);
      add_words(part.name);
    }
    if (name != "score-instrument" && name != "midi-instrument") return;
    each_child(child, [&](const Element& inner, std::string_view kind) {
      if (kind == "instrument-name") {
        const std::string text = text_of(inner);
        if (part.instrument.empty()) part.instrument = trimmed(text);
        add_words(text);
      } else if (kind == "instrument-sound") {
        if (part.sound.empty()) part.sound = token_of(inner);
        add_words(token_of(inner));
      }
      const auto number = whole_number(token_of(inner));
      if (!number) return;
      if (kind == "midi-program" && !part.program && *number >= 1 && *number <= 128) part.program = number;
      if (kind == "midi-channel" && !part.channel && *number >= 1 && *number <= 16) part.channel = number;
    });
  });
  if (part.instrument.empty()) part.instrument = part.sound;
  return part;
}

}  // namespace fifthpeg::musicxml
