#include "formats/text_tab/reader/words.hpp"

#include <algorithm>
#include <array>

#include "base/number.hpp"
#include "base/text.hpp"
#include "engraving/note_value.hpp"
#include "formats/text_tab/conventions.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

constexpr int most_beats_of_meter = 64;

struct JumpWords {
  std::string_view start;
  Direction::Kind kind;
};
// In the order of trying: "Coda" is a part of "To Coda".
constexpr std::array<JumpWords, 9> jumps{{{"D.C.", Direction::Kind::da_capo},
                                          {"Da Capo", Direction::Kind::da_capo},
                                          {"D.S.", Direction::Kind::dal_segno},
                                          {"Dal Segno", Direction::Kind::dal_segno},
                                          {"To Coda", Direction::Kind::to_coda},
                                          {"Coda", Direction::Kind::coda},
                                          {"Segno", Direction::Kind::segno},
                                          {"Fine", Direction::Kind::fine},
                                          {"al Fine", Direction::Kind::da_capo}}};

// From the softest to the loudest, and what stands for a single accent of them (standard notation).
constexpr std::array<std::string_view, 14> dynamics{"pppp", "ppp", "pp", "p",  "mp",  "mf", "f",
                                                    "ff",   "fff", "fp", "sf", "sfz", "rf", "rfz"};

}  // namespace

std::vector<Item> items_of(const Row& row, std::size_t blanks) {
  std::vector<Item> items;
  const std::string& text = row.columns;
  std::size_t gap = blanks;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == ' ') {
      ++gap;
      continue;
    }
    if (gap >= blanks) items.push_back({i, i, {}});
    gap = 0;
    items.back().end = i + 1;
  }
  for (Item& item : items) item.text = row.text(item.begin, item.end);
  return items;
}

std::optional<Meter> meter_of(std::string_view text) {
  const auto slash = text.find('/');
  if (slash == std::string_view::npos) return std::nullopt;
  const auto unit = base::number<unsigned>(text.substr(slash + 1));
  if (!unit || *unit < 1 || *unit > 64 || (*unit & (*unit - 1)) != 0) return std::nullopt;
  Meter meter;
  meter.unit = static_cast<int>(*unit);
  meter.beats.clear();
  std::string_view rest = text.substr(0, slash);
  while (true) {
    const auto plus = rest.find('+');
    const auto beats = base::number<unsigned>(rest.substr(0, plus));
    if (!beats || *beats < 1 || *beats > most_beats_of_meter || meter.beats.size() == 16) return std::nullopt;
    meter.beats.push_back(static_cast<int>(*beats));
    if (plus == std::string_view::npos) return meter;
    rest.remove_prefix(plus + 1);
  }
}

std::optional<Key> key_of(std::string_view text) {
  text = base::trimmed(text);
  if (auto key = parse_key(text)) {
    // "G" is major, as people say it.
    if (key->mode == Mode::none) key->mode = Mode::major;
    return key;
  }
  // A signature whose mode is not told, as to_string() writes it.
  for (int fifths = -7; fifths <= 7; ++fifths) {
    const Key key{static_cast<std::int8_t>(fifths), Mode::none};
    if (to_string(key) == text) return key;
  }
  return std::nullopt;
}

std::optional<Fraction> length_of(std::string_view text) {
  const auto slash = text.find('/');
  const auto over = base::number<unsigned>(text.substr(0, slash));
  const auto under = slash == std::string_view::npos ? std::optional<unsigned>(1)
                                                     : base::number<unsigned>(text.substr(slash + 1));
  constexpr unsigned most = 1U << 20U;
  if (!over || !under || *over == 0 || *under == 0 || *over > most || *under > most) return std::nullopt;
  return Fraction(*over, *under);
}

std::optional<Fraction> value_named(std::string_view name) {
  for (std::int8_t type = 0; type <= 13; ++type) {
    for (std::int8_t dots = 0; dots <= 2; ++dots) {
      const engraving::NoteValue value{type, dots};
      if (base::same_ignoring_case(engraving::spoken_name(value), name))
        return Fraction(engraving::length_in_units(value), engraving::value_units);
    }
  }
  if (!name.ends_with(" note")) return std::nullopt;
  return length_of(name.substr(0, name.size() - 5));
}

std::optional<Tempo> tempo_of(std::string_view text) {
  Tempo tempo;
  const auto equals = text.rfind('=');
  if (equals == std::string_view::npos) {
    // "120", "120 bpm": what people write in a heading.
    std::string_view number = text;
    if (base::ends_with_ignoring_case(number, "bpm"))
      number = base::trimmed(number.substr(0, number.size() - 3));
    const auto beats = base::number<unsigned>(number);
    if (!beats || *beats < 10 || *beats > 999) return std::nullopt;
    tempo.quarters_per_minute = *beats;
    return tempo;
  }
  std::string_view unit = base::trimmed(text.substr(0, equals));
  if (const auto comma = unit.rfind(", "); comma != std::string_view::npos) {
    tempo.words = std::string(unit.substr(0, comma));
    unit = base::trimmed(unit.substr(comma + 2));
  }
  const auto value = value_named(unit);
  const std::string_view count = base::trimmed(text.substr(equals + 1));
  const auto point = count.find('.');
  const auto whole = base::number<unsigned>(count.substr(0, point));
  Fraction beats = whole.value_or(0);
  if (point != std::string_view::npos) {
    const std::string_view decimals = count.substr(point + 1);
    const auto share = base::number<unsigned>(decimals);
    if (!share || decimals.size() > 2) return std::nullopt;
    beats += Fraction(*share, decimals.size() == 1 ? 10 : 100);
  }
  if (!value || !whole || *whole > 100'000 || beats <= 0) return std::nullopt;
  tempo.beat_unit = *value;
  tempo.quarters_per_minute = beats * *value * 4;
  return tempo;
}

Said said(const std::string& text) {
  if (const auto meter = meter_of(text)) return *meter;
  if (base::starts_with_ignoring_case(text, "key:")) {
    if (const auto key = key_of(std::string_view(text).substr(4))) return *key;
  }
  if (text.find('=') != std::string::npos) {
    if (const auto tempo = tempo_of(text)) return *tempo;
  }
  if (text.starts_with(lasts_text)) {
    if (const auto length = length_of(std::string_view(text).substr(lasts_text.size())))
      return Lasts{*length};
  }
  if (text.starts_with("play ") && text.ends_with(" times")) {
    const auto times = base::number<unsigned>(std::string_view(text).substr(5, text.size() - 11));
    if (times && *times >= 2 && *times <= 1000) return Plays{static_cast<int>(*times)};
  }
  Direction direction;
  direction.text = text;
  if (text.size() > 2 && text.front() == '[' && text.back() == ']') {
    direction.kind = Direction::Kind::rehearsal;
    direction.text = text.substr(1, text.size() - 2);
    return direction;
  }
  if (std::find(dynamics.begin(), dynamics.end(), text) != dynamics.end()) {
    direction.kind = Direction::Kind::dynamics;
    return direction;
  }
  for (const JumpWords& jump : jumps) {
    if (!base::starts_with_ignoring_case(text, jump.start)) continue;
    direction.kind = jump.kind;
    if (text == jump.start) direction.text.clear();
    return direction;
  }
  return direction;
}

bool is_plain_words(const Said& what) {
  const auto* direction = std::get_if<Direction>(&what);
  return direction != nullptr && direction->kind == Direction::Kind::words;
}

}  // namespace fifthpeg::text_tab::reader
