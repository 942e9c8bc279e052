#include <algorithm>
#include <array>
#include <string>
#include <string_view>

#include "base/number.hpp"
#include "fifthpeg/score.hpp"
namespace fifthpeg {
namespace {

struct KindText {
  std::string_view kind;  // kind-value of MusicXML 4.0
  std::string_view text;  // what players write after the root (common practice)
};

// Where two kinds share a text, the first is what the text is read as.
constexpr std::array<KindText, 32> kinds{{
    {"major", ""},
    {"minor", "m"},
    {"dominant", "7"},
    {"augmented", "aug"},
    {"diminished", "dim"},
    {"major-seventh", "maj7"},
    {"minor-seventh", "m7"},
    {"diminished-seventh", "dim7"},
    {"augmented-seventh", "aug7"},
    {"half-diminished", "m7b5"},
    {"major-minor", "m(maj7)"},
    {"major-sixth", "6"},
    {"minor-sixth", "m6"},
    {"dominant-ninth", "9"},
    {"major-ninth", "maj9"},
    {"minor-ninth", "m9"},
    {"dominant-11th", "11"},
    {"major-11th", "maj11"},
    {"minor-11th", "m11"},
    {"dominant-13th", "13"},
    {"major-13th", "maj13"},
    {"minor-13th", "m13"},
    {"suspended-second", "sus2"},
    {"suspended-fourth", "sus4"},
    {"power", "5"},
    {"Neapolitan", "(Neapolitan)"},
    {"Italian", "(Italian)"},
    {"French", "(French)"},
    {"German", "(German)"},
    {"pedal", "(pedal)"},
    {"Tristan", "(Tristan)"},
    {"other", "(other)"},
}};

std::string tone_name(const ChordTone& tone) {
  std::string text = to_string(Pitch{tone.step, tone.alter, 0});
  text.pop_back();
  return text;
}

std::string accidental(int alter) {
  return alter > 0 ? std::string(static_cast<std::size_t>(alter), '#')
                   : std::string(static_cast<std::size_t>(-alter), 'b');
}

std::string degree_text(const ChordDegree& degree) {
  const std::string value = accidental(degree.alter) + std::to_string(degree.value);
  switch (degree.kind) {
    case ChordDegree::Kind::add:
      return "(add" + value + ")";
    case ChordDegree::Kind::alter:
      return "(" + value + ")";
    case ChordDegree::Kind::subtract:
      return "(no" + value + ")";
  }
  return {};
}

std::optional<ChordTone> take_tone(std::string_view& text) {
  if (text.empty()) return std::nullopt;
  std::size_t length = 1;
  while (length < text.size() && length < 3 && (text[length] == '#' || text[length] == 'b')) ++length;
  const auto pitch = parse_pitch(std::string(text.substr(0, length)) + "4");
  if (!pitch) return std::nullopt;
  text.remove_prefix(length);
  return ChordTone{pitch->step, pitch->alter};
}

std::optional<ChordDegree> parse_degree(std::string_view text) {  // without its parentheses
  ChordDegree degree;
  degree.kind = ChordDegree::Kind::alter;
  if (text.starts_with("add")) {
    degree.kind = ChordDegree::Kind::add;
    text.remove_prefix(3);
  } else if (text.starts_with("no")) {
    degree.kind = ChordDegree::Kind::subtract;
    text.remove_prefix(2);
  }
  int alter = 0;
  while (!text.empty() && (text.front() == '#' || text.front() == 'b')) {
    alter += text.front() == '#' ? 1 : -1;
    text.remove_prefix(1);
  }
  const auto value = base::number<unsigned>(text);
  if (!value || text.size() > 2) return std::nullopt;
  degree.value = static_cast<std::int8_t>(*value);
  degree.alter = static_cast<std::int8_t>(alter);
  return degree;
}

}  // namespace

bool is_chord_kind(std::string_view kind) {
  return kind == "none" || std::any_of(kinds.begin(), kinds.end(),
                                       [kind](const KindText& known) { return known.kind == kind; });
}

std::string to_string(const ChordSymbol& chord) {
  if (chord.kind == "none") return "N.C.";
  std::string text = tone_name(chord.root);
  for (const KindText& kind : kinds) {
    if (kind.kind == chord.kind) text += kind.text;
  }
  for (const ChordDegree& degree : chord.degrees) text += degree_text(degree);
  if (chord.bass) text += "/" + tone_name(*chord.bass);
  return text;
}

std::optional<ChordSymbol> parse_chord_symbol(std::string_view text) {
  ChordSymbol chord;
  if (text == "N.C.") {
    chord.kind = "none";
    return chord;
  }
  const auto root = take_tone(text);
  if (!root) return std::nullopt;
  chord.root = *root;

  if (const auto slash = text.rfind('/'); slash != std::string_view::npos) {
    std::string_view bass = text.substr(slash + 1);
    const auto tone = take_tone(bass);
    if (!tone || !bass.empty()) return std::nullopt;
    chord.bass = *tone;
    text = text.substr(0, slash);
  }
  // The longest kind that fits leaves the degrees.
  const KindText* best = nullptr;
  for (const KindText& kind : kinds) {
    if (text.starts_with(kind.text) && (best == nullptr || kind.text.size() > best->text.size()))
      best = &kind;
  }
  text.remove_prefix(best->text.size());
  chord.kind = best->kind;
  while (!text.empty()) {
    const auto close = text.find(')');
    if (text.front() != '(' || close == std::string_view::npos) return std::nullopt;
    const auto degree = parse_degree(text.substr(1, close - 1));
    if (!degree) return std::nullopt;
    chord.degrees.push_back(*degree);
    text.remove_prefix(close + 1);
  }
  return chord;
}

}  // namespace fifthpeg
