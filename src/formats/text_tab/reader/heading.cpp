#include "formats/text_tab/reader/heading.hpp"

#include <algorithm>
#include <array>

#include "base/number.hpp"
#include "base/text.hpp"
#include "engraving/wording.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/text_tab/conventions.hpp"
#include "formats/text_tab/reader/prose.hpp"
#include "formats/text_tab/reader/words.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

// What a heading says, by what stands before its colon; people write some of it without one.
enum class Entry : std::int8_t {
  none,
  title,
  part,
  composer,
  arranger,
  words,
  source,
  rights,
  tuning,
  capo,
  fifth_capo,
  key,
  meter,
  tempo,
  swing
};
struct EntryName {
  std::string_view name;
  Entry entry;
};
constexpr std::array<EntryName, 25> entry_names{{{"title", Entry::title},
                                                 {"tune", Entry::title},
                                                 {"song", Entry::title},
                                                 {"subject", Entry::title},
                                                 {"part", Entry::part},
                                                 {"composer", Entry::composer},
                                                 {"arranger", Entry::arranger},
                                                 {"arranged by", Entry::arranger},
                                                 {"tabbed by", Entry::arranger},
                                                 {"words", Entry::words},
                                                 {"source", Entry::source},
                                                 {"rights", Entry::rights},
                                                 {"tuning", Entry::tuning},
                                                 {"tuned", Entry::tuning},
                                                 {"fifth-string capo", Entry::fifth_capo},
                                                 {"5th string capo", Entry::fifth_capo},
                                                 {"5th capo", Entry::fifth_capo},
                                                 {"capo", Entry::capo},
                                                 {"key", Entry::key},
                                                 {"meter", Entry::meter},
                                                 {"time", Entry::meter},
                                                 {"time signature", Entry::meter},
                                                 {"tempo", Entry::tempo},
                                                 {"bpm", Entry::tempo},
                                                 {"swing", Entry::swing}}};

struct Stated {
  Entry entry = Entry::none;
  std::string value;
};

Stated entry_of(const std::string& text) {
  const auto colon = text.find(':');
  if (colon != std::string::npos) {
    const std::string_view name = base::trimmed(std::string_view(text).substr(0, colon));
    for (const EntryName& known : entry_names) {
      if (base::same_ignoring_case(name, known.name))
        return {known.entry, std::string(base::trimmed(std::string_view(text).substr(colon + 1)))};
    }
    return {};
  }
  // "Capo 2", "tuning gDGBD", "key of G", "Time 6/8".
  for (const EntryName& known : entry_names) {
    if (known.entry < Entry::tuning || !base::starts_with_ignoring_case(text, known.name)) continue;
    const std::string_view rest = std::string_view(text).substr(known.name.size());
    if (!rest.starts_with(' ')) continue;
    if (base::starts_with_ignoring_case(base::trimmed(rest), "of ") && known.entry == Entry::key)
      return {Entry::key, std::string(base::trimmed(base::trimmed(rest).substr(3)))};
    return {known.entry, std::string(base::trimmed(rest))};
  }
  return {};
}

// "open G (gDGBD)": what stands in parentheses is exact.
std::optional<Tuning> tuning_of(std::string_view text) {
  const auto open = text.find('(');
  const auto close = text.find(')', open == std::string_view::npos ? 0 : open);
  if (open != std::string_view::npos && close != std::string_view::npos) {
    if (const auto exact = parse_tuning(base::trimmed(text.substr(open + 1, close - open - 1)))) return exact;
    text = base::trimmed(text.substr(0, open));
  }
  if (const auto tuning = parse_tuning(text)) return tuning;
  // "open G tuning", "G D G B D" in capitals, "g-D-G-B-D".
  std::string plain;
  for (const char c : text) plain += c == '-' || c == ',' ? ' ' : c;
  if (const auto tuning = parse_tuning(plain)) return tuning;
  if (base::ends_with_ignoring_case(text, " tuning"))
    return parse_tuning(base::trimmed(text.substr(0, text.size() - 7)));
  return std::nullopt;
}

std::optional<Swing> swing_of(std::string_view text) {
  constexpr std::string_view start = "pairs of ";
  constexpr std::string_view notes = " notes ";
  const auto at = text.find(notes);
  if (!text.starts_with(start) || at == std::string_view::npos || at < start.size()) return std::nullopt;
  const auto unit = value_named(text.substr(start.size(), at - start.size()));
  const std::string_view ratio = text.substr(at + notes.size());
  const auto colon = ratio.find(':');
  const auto first = base::number<unsigned>(ratio.substr(0, colon));
  const auto second =
      colon == std::string_view::npos ? std::nullopt : base::number<unsigned>(ratio.substr(colon + 1));
  if (!unit || !first || !second || *first == 0 || *second == 0 || *first > 100 || *second > 100)
    return std::nullopt;
  return Swing{*unit, static_cast<int>(*first), static_cast<int>(*second)};
}

// Three blanks part items, and so do two where an entry follows another: "Key: G  Meter: 4/4".
std::vector<Item> heading_items(const Row& row) {
  constexpr std::size_t parting = 3;
  std::vector<Item> items;
  for (Item& next : items_of(row, parting - 1)) {
    const bool is_near = !items.empty() && next.begin < items.back().end + parting;
    const bool goes_on = is_near && (entry_of(next.text).entry == Entry::none ||
                                     entry_of(items.back().text).entry == Entry::none);
    if (!goes_on) {
      items.push_back(std::move(next));
      continue;
    }
    items.back().end = next.end;
    items.back().text = row.text(items.back().begin, next.end);
  }
  return items;
}

class HeadingReader {
 public:
  HeadingReader(const std::vector<Row>& texts, Report& report) : texts_(texts), report_(report) {}

  Heading run() {
    const bool stated = std::any_of(texts_.begin(), texts_.end(), [](const Row& row) {
      return base::starts_with_ignoring_case(row.columns, "tuning:");
    });
    for (std::size_t i = 0; i < texts_.size(); ++i) {
      const Row& row = texts_[i];
      if (i == 0 || row.line != texts_[i - 1].line + 1) end_entry();
      const std::vector<Item> items = heading_items(row);
      for (std::size_t k = 0; k < items.size(); ++k) {
        if (take(items[k], row) || take_parts(items[k], row)) continue;
        // What a narrow page has broken goes on in the next line of its block.
        if (k == 0 && go_on(items[k])) continue;
        const std::string line = row.text(0, row.columns.size());
        const bool alone = items.size() == 1;
        if (i == 0 && alone && is_plain_title(line)) {
          heading_.work.title = line;
          prose_.push_back(&row);
          look_for_meter(row);
          if (!stated)
            report_.add(EntryKind::decision, "text-tab-title", "the first line is read as the title");
        } else if (i == 1 && alone && stated && row.line == texts_[0].line + 1 &&
                   heading_.work.rights.empty()) {
          // The only name that the writer gives without saying what it is.
          take_name(heading_.work.rights, line);
        } else {
          leave(row);
        }
      }
    }
    end_entry();
    if (!heading_.meter && found_meter_) {
      heading_.meter = found_meter_;
      report_.add(EntryKind::decision, "text-tab-meter",
                  "the meter is read from the text: " + to_string(*found_meter_));
    }
    take_prose();
    return std::move(heading_);
  }

 private:
  [[noreturn]] static void refuse(const Item& item, const Row& row) {
    throw ReadError("text-tab-heading", "'" + base::one_line(item.text) + "' is not understood",
                    {{}, {}, {}, row.line, -1, row.source_column(item.begin)});
  }

  bool take(const Item& item, const Row& row) {
    if (base::same_ignoring_case(item.text, engraving::all_rings_text)) {
      heading_.everything_rings = true;
      return true;
    }
    if (base::same_ignoring_case(item.text, chords_sound_text)) {
      heading_.chords_sound = true;
      return true;
    }
    const Stated said = entry_of(item.text);
    if (said.entry == Entry::none || said.value.empty()) return false;
    end_entry();
    switch (said.entry) {
      case Entry::title:
        take_name(heading_.work.title, said.value);
        break;
      case Entry::part:
        take_name(heading_.part_name, said.value);
        break;
      case Entry::composer:
        take_name(heading_.work.composer, said.value);
        break;
      case Entry::arranger:
        take_name(heading_.work.arranger, said.value);
        break;
      case Entry::words:
        take_name(heading_.work.lyricist, said.value);
        break;
      case Entry::source:
        take_name(heading_.work.source, said.value);
        break;
      case Entry::rights:
        take_name(heading_.work.rights, said.value);
        break;
      default:
        return take_music(said, item, row);
    }
    return true;
  }

  // "Tuning gDGBD, key of G": several in one sentence, where all of it is entries.
  bool take_parts(const Item& item, const Row& row) {
    if (item.text.find(", ") == std::string::npos || item.text.find(':') != std::string::npos) return false;
    std::vector<Item> parts;
    for (std::string_view rest = item.text; !rest.empty();) {
      const auto comma = std::min(rest.find(','), rest.size());
      Item part = item;
      part.text = std::string(base::trimmed(rest.substr(0, comma)));
      if (entry_of(part.text).entry == Entry::none) return false;
      parts.push_back(std::move(part));
      rest.remove_prefix(std::min(comma + 1, rest.size()));
    }
    bool any = false;
    for (const Item& part : parts) any = take(part, row) || any;
    return any;
  }

  // An entry that has not been understood may have its end in the next line.
  bool go_on(const Item& item) {
    if (last_ != nullptr) {
      *last_ += " " + item.text;
      return true;
    }
    if (!open_) return false;
    Item whole = *open_;
    whole.text += " " + item.text;
    const Row& row = *open_row_;
    open_.reset();
    return take(whole, row);
  }

  void end_entry() {
    last_ = nullptr;
    if (!open_) return;
    // "Tempo: lively" says nothing that can be counted.
    const Entry entry = entry_of(open_->text).entry;
    if (entry != Entry::tempo && entry != Entry::swing) refuse(*open_, *open_row_);
    leave(*open_row_);
    open_.reset();
  }

  void take_name(std::string& where, const std::string& value) {
    if (!where.empty()) return;  // the first is the heading's
    where = value;
    last_ = &where;
  }

  // Of a text without a colon only what is understood is an entry.
  bool take_music(const Stated& said, const Item& item, const Row& row) {
    const bool stated = item.text.find(':') != std::string::npos;
    const auto must = [&](bool understood) {
      if (understood || !stated) return understood;
      open_ = item;
      open_row_ = &row;
      return true;
    };
    switch (said.entry) {
      case Entry::tuning:
        if (const auto tuning = tuning_of(said.value)) heading_.tuning = tuning;
        return must(tuning_of(said.value).has_value());
      case Entry::capo:
      case Entry::fifth_capo: {
        const bool none = base::same_ignoring_case(said.value, engraving::no_capo_text);
        std::string_view number = said.value;
        // "Capo: 2nd fret", but not a sentence that begins so.
        if (stated) number = number.substr(0, number.find_first_not_of("0123456789"));
        const auto fret = none ? std::optional<unsigned>(said.entry == Entry::capo ? 0 : fifth_nut_fret)
                               : base::number<unsigned>(number);
        const bool possible = fret && *fret <= 20 && (said.entry == Entry::capo || *fret >= fifth_nut_fret);
        if (possible)
          (said.entry == Entry::capo ? heading_.capo : heading_.fifth_capo) = static_cast<int>(*fret);
        return must(possible);
      }
      case Entry::key: {
        std::string_view name = said.value;
        constexpr std::string_view estimated_mark = " (estimated)";
        const bool estimated = name.ends_with(estimated_mark);
        if (estimated) name.remove_suffix(estimated_mark.size());
        const auto key = key_of(name);
        if (key) {
          heading_.key = key;
          heading_.key_estimated = estimated;
        }
        return must(key.has_value());
      }
      case Entry::meter:
        if (const auto meter = meter_of(said.value)) heading_.meter = meter;
        return must(meter_of(said.value).has_value());
      case Entry::tempo:
        if (const auto tempo = tempo_of(said.value)) heading_.tempo = tempo;
        return must(heading_.tempo.has_value());
      default:
        if (const auto swing = swing_of(said.value)) heading_.swing = swing;
        return must(heading_.swing.has_value());
    }
  }

  // "here it is, in 6/8": said in a sentence.
  void look_for_meter(const Row& row) {
    if (found_meter_) return;
    for (const Item& item : items_of(row, 1)) {
      const std::string_view word =
          std::string_view(item.text).substr(0, item.text.find_last_not_of(",.;:!)") + 1);
      const auto meter = meter_of(word);
      if (!meter || meter->unit < 2 || meter->unit > 8 || meter->beats.front() < 2) continue;
      found_meter_ = meter;
      return;
    }
  }

  // An entry says it better.
  void take_prose() {
    const Prose prose = read_prose(prose_);
    if (prose.tuning && !heading_.tuning) {
      heading_.tuning = prose.tuning;
      report_.add(EntryKind::decision, "text-tab-tuning",
                  "the tuning is read from the text: " + to_string(*prose.tuning));
    }
    if (prose.capo && !heading_.capo) {
      heading_.capo = prose.capo;
      report_.add(EntryKind::decision, "text-tab-capo",
                  "the capo is read from the text: fret " + std::to_string(*prose.capo));
    }
  }

  void leave(const Row& row) {
    look_for_meter(row);
    if (prose_.empty() || prose_.back() != &row) prose_.push_back(&row);
    heading_.left_out.push_back(row.line);
  }

  const std::vector<Row>& texts_;
  Report& report_;
  Heading heading_;
  // What a line without an entry may go on with: a name, or an entry that is not understood yet.
  std::string* last_ = nullptr;
  std::optional<Item> open_;
  const Row* open_row_ = nullptr;
  std::optional<Meter> found_meter_;
  std::vector<const Row*> prose_;
};

const std::string& whole_legend() {
  static const std::string text = [] {
    std::string all;
    for (const SignText& sign : sign_texts)
      all += std::string(sign.sign) + " " + std::string(sign.meaning) + "\n";
    return all;
  }();
  return text;
}

}  // namespace

Heading read_heading(const std::vector<Row>& texts, Report& report) {
  return HeadingReader(texts, report).run();
}

bool is_legend(const Row& row) {
  const std::string text = row.text(0, row.columns.size());
  std::string_view rest = text;
  while (true) {
    const auto end = rest.find(';');
    const std::string_view item = base::trimmed(rest.substr(0, end));
    if (!item.empty() && whole_legend().find(item) == std::string::npos) return false;
    if (end == std::string_view::npos) return true;
    rest.remove_prefix(end + 1);
  }
}

}  // namespace fifthpeg::text_tab::reader
