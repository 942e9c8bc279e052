#include "formats/text_tab/reader/strings.hpp"

#include <algorithm>
#include <cstdlib>
#include <string>

#include "base/text.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

using Labels = std::array<std::string, string_count>;  // top first

constexpr int more_frets = 24;

bool is_labelled(const Labels& labels) {
  return std::none_of(labels.begin(), labels.end(), [](const std::string& label) { return label.empty(); });
}

bool are_numbers(const Labels& labels) {
  return std::all_of(labels.begin(), labels.end(), [](const std::string& label) {
    return !label.empty() && label.front() >= '1' && label.front() <= '5';
  });
}

// The tuning that labels name, read from the fifth string on, which is the lowest line, or the top one.
std::optional<Tuning> tuning_named(const Labels& labels, bool upside_down) {
  std::string spelled;
  for (std::size_t i = 0; i < labels.size(); ++i) {
    std::string label = labels.at(upside_down ? i : labels.size() - 1 - i);
    // B as it is called in German (common practice).
    if (!label.empty() && (label.front() == 'h' || label.front() == 'H')) label.front() = 'B';
    spelled += (spelled.empty() ? "" : " ") + label;
  }
  return parse_tuning(spelled);
}

int distance(const Tuning& a, const Tuning& b) {
  int sum = 0;
  for (int string = 1; string <= string_count; ++string)
    sum += std::abs(a.open(string).midi() - b.open(string).midi());
  return sum;
}

// Whether the labels are the names of a tuning's strings, octaves aside.
bool name_strings_of(const Tuning& tuning, const std::optional<Tuning>& named) {
  if (!named) return false;
  for (int string = 1; string <= string_count; ++string) {
    if (pitch_class(named->open(string).midi()) != pitch_class(tuning.open(string).midi())) return false;
  }
  return true;
}

class StringFinder {
 public:
  StringFinder(const TabText& text, const Heading& heading, Report& report)
      : text_(text), heading_(heading), report_(report) {}

  StringOrder run() {
    find_tuning();
    Banjo& banjo = order_.banjo;
    banjo.capo = heading_.capo.value_or(0);
    banjo.fifth_capo = heading_.fifth_capo.value_or(usual_fifth_capo(banjo.capo));
    orient();
    count_frets();
    return std::move(order_);
  }

 private:
  static Place at_line(std::int64_t line) { return {{}, {}, {}, line}; }

  void find_tuning() {
    if (heading_.tuning) {
      order_.banjo.tuning = *heading_.tuning;
      return;
    }
    for (std::size_t i = 0; i < text_.labels.size(); ++i) {
      const Labels& labels = text_.labels[i];
      if (!is_labelled(labels) || are_numbers(labels)) continue;
      const auto normal = tuning_named(labels, false);
      const auto reversed = tuning_named(labels, true);
      if (!normal || !reversed) {
        throw ReadError("text-tab-labels",
                        "the names of the strings are no tuning; state it, as in 'Tuning: gDGBD'",
                        at_line(text_.label_lines[i]));
      }
      order_.banjo.tuning = distance(*reversed, open_g()) < distance(*normal, open_g()) ? *reversed : *normal;
      report_.add(EntryKind::decision, "text-tab-tuning",
                  "the tuning is read from the names of the strings: " + to_string(order_.banjo.tuning));
      return;
    }
    report_.add(EntryKind::decision, "text-tab-tuning",
                "no tuning is stated; the tab is read in " + to_string(order_.banjo.tuning));
  }

  void orient() {
    for (std::size_t i = 0; i < text_.labels.size(); ++i) {
      const Labels& labels = text_.labels[i];
      bool upside_down = false;
      if (are_numbers(labels)) {
        upside_down = labels.front() == "5" && labels.back() == "1";
      } else if (is_labelled(labels)) {
        const bool normal = name_strings_of(order_.banjo.tuning, tuning_named(labels, false));
        upside_down = !normal && name_strings_of(order_.banjo.tuning, tuning_named(labels, true));
        if (!normal && !upside_down) {
          report_.add(EntryKind::repair, "text-tab-labels",
                      "the names of the strings are not those of the tuning; the tuning that is stated holds",
                      at_line(text_.label_lines[i]));
        }
      } else {
        upside_down = i > 0 ? order_.upside_down.back() : frets_say_upside_down();
      }
      if (upside_down) {
        report_.add(EntryKind::repair, "text-tab-upside-down",
                    "string 5 stands on top here; the lines are read from the bottom up",
                    at_line(text_.label_lines[i]));
      }
      order_.upside_down.push_back(upside_down);
    }
  }

  template <typename Visit>
  void each_note(Visit visit) const {
    for (const TabMeasure& measure : text_.measures) {
      for (const Slot& slot : measure.slots) {
        for (const TabNote& note : slot.notes) visit(note);
      }
    }
  }

  // Of lines without names: the fifth string has no frets 1 to 5, and the first one hardly ever only such
  // that it has.
  bool frets_say_upside_down() const {
    bool low_on_top = false;
    bool low_below = false;
    bool any_on_top = false;
    each_note([&](const TabNote& note) {
      const bool low = !note.dead && note.fret >= 1 && note.fret <= fifth_nut_fret;
      if (note.row == 0) any_on_top = true;
      if (low && note.row == 0) low_on_top = true;
      if (low && note.row + 1 == string_count) low_below = true;
    });
    return low_below && !low_on_top && any_on_top;
  }

  void count_frets() {
    Banjo& banjo = order_.banjo;
    int highest = 0;
    bool own_nut = false;
    each_note([&](const TabNote& note) {
      if (note.dead) return;
      highest = std::max(highest, note.fret);
      const bool fifth = order_.upside_down[note.system] ? note.row == 0 : note.row + 1 == string_count;
      if (fifth && note.fret > 0 && note.fret + banjo.capo <= banjo.fifth_capo) own_nut = true;
    });
    if (own_nut) {
      order_.fifth_shift = banjo.fifth_capo - banjo.capo;
      report_.add(EntryKind::repair, "text-tab-fifth-frets",
                  "frets of the fifth string are counted from its own nut here, and were read so");
    }
    if (highest > banjo.last_fret() && highest + banjo.capo <= more_frets) banjo.frets = more_frets;
  }

  const TabText& text_;
  const Heading& heading_;
  Report& report_;
  StringOrder order_;
};

}  // namespace

Placement StringOrder::placement(const TabNote& note) const {
  const int row = static_cast<int>(note.row);
  const int string = upside_down[note.system] ? string_count - row : row + 1;
  const int shift = string == fifth_string && note.fret > 0 ? fifth_shift : 0;
  const Placement place{static_cast<std::int8_t>(string), static_cast<std::int8_t>(note.fret + shift)};
  if (!banjo.midi_at(place)) {
    throw ReadError(
        "text-tab-fret",
        "string " + std::to_string(string) + " has no fret " + std::to_string(note.fret) + " here",
        {{}, {}, {}, note.line, -1, note.source});
  }
  return place;
}

StringOrder find_strings(const TabText& text, const Heading& heading, Report& report) {
  return StringFinder(text, heading, report).run();
}

}  // namespace fifthpeg::text_tab::reader
