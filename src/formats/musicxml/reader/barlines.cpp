// `barline`: repeats, endings, styles, signs over barlines.
#include <algorithm>
#include <array>
#include <utility>

#include "formats/musicxml/part_reader.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

constexpr int most_times = 1000;           // that anything is repeated
constexpr std::size_t most_endings = 100;  // over one measure

// "1", "1, 2", "1-3"; {1} where nothing can be read.
std::vector<int> ending_numbers(std::string_view text) {
  std::vector<int> numbers;
  int value = -1;
  int range_from = -1;
  const auto close = [&] {
    if (value < 1) return;
    const int from = range_from >= 1 && range_from <= value ? range_from : value;
    for (int number = from; number <= value && numbers.size() < most_endings; ++number) {
      numbers.push_back(number);
    }
    value = range_from = -1;
  };
  for (const char c : text) {
    if (c >= '0' && c <= '9') {
      value = std::min(most_times, std::max(value, 0) * 10 + (c - '0'));
    } else if (c == '-' && value >= 1) {
      range_from = value;
      value = -1;
    } else {
      close();
    }
  }
  close();
  return numbers;
}

struct Bar {
  enum class Where : std::int8_t { left, middle, right } where = Where::right;
  std::string_view style;
  bool forward = false;
  bool backward = false;
};

void read_ending(const Element& element, PartState& state) {
  std::string_view type;
  std::vector<int> numbers;
  each_attribute(element, [&](const Attribute& attribute, Name name) {
    if (name == Name::number) {
      numbers = ending_numbers(attribute.Value());
    } else if (name == Name::type) {
      type = attribute.Value();
    } else {
      state.diagnostics.unread(attribute, element);
    }
  });
  if (numbers.empty()) numbers = ending_numbers(token_of(element));
  Measure& measure = state.measure->measure;
  RawBarline& line = state.measure->written->barlines.back();
  (type == "start" ? line.ending_starts : line.ending_stops) = true;
  if (type == "start") {
    if (numbers.empty()) {
      state.diagnostics.repair("musicxml-ending", "an ending without a number was read as the first",
                               state.diagnostics.line_of(element));
      numbers = {1};
    }
    state.open_ending = numbers;
    measure.ending = Ending{std::move(numbers), true, Ending::Stop::none};
    return;
  }
  if (!state.open_ending) {
    state.diagnostics.repair("musicxml-ending-without-start",
                             "the end of an ending that never began was left out",
                             state.diagnostics.line_of(element));
    return;
  }
  if (!measure.ending) measure.ending = Ending{*state.open_ending, false, Ending::Stop::none};
  measure.ending->stop = type == "discontinue" ? Ending::Stop::open : Ending::Stop::closed;
  state.open_ending.reset();
}

void read_repeat(const Element& element, Bar& bar, PartState& state) {
  int times = 2;
  each_attribute(element, [&](const Attribute& attribute, Name name) {
    const std::string_view value(attribute.Value());
    if (name == Name::direction) {
      bar.forward = value == "forward";
      bar.backward = value == "backward";
    } else if (name == Name::times) {
      times = whole_number(value).value_or(0);
      if (times < 2 || times > most_times) {
        times = 2;
        state.diagnostics.repair("musicxml-repeat-times",
                                 "a repeat that is played fewer than two times was read as two",
                                 state.diagnostics.line_of(element));
      }
    } else {
      state.diagnostics.unread(attribute, element);
    }
  });
  state.measure->written->barlines.back().repeat_forward = bar.forward;
  state.measure->written->barlines.back().repeat_backward = bar.backward;
  if (bar.where == Bar::Where::middle) {
    state.diagnostics.loss("musicxml-repeat-inside", "a repeat sign inside a measure is left out",
                           state.diagnostics.line_of(element));
    bar.forward = bar.backward = false;
    return;
  }
  if (bar.forward) {
    (bar.where == Bar::Where::left ? state.measure->measure.repeat_starts : state.repeat_starts_next) = true;
  } else if (bar.backward) {
    auto& measures = state.part.measures;
    if (bar.where == Bar::Where::right) {
      state.measure->measure.repeat_times = times;
    } else if (measures.size() > 1) {  // what ends at the left barline ended the measure before
      measures[measures.size() - 2].measure.repeat_times = times;
      measures[measures.size() - 2].measure.right_bar = BarStyle::regular;
    }
  }
}

void set_style(const Bar& bar, std::int64_t line, PartState& state) {
  using Row = std::pair<std::string_view, BarStyle>;
  static constexpr std::array<Row, 7> rows{{{"regular", BarStyle::regular},
                                            {"light-light", BarStyle::light_light},
                                            {"light-heavy", BarStyle::light_heavy},
                                            {"heavy", BarStyle::heavy},
                                            {"dashed", BarStyle::dashed},
                                            {"dotted", BarStyle::dotted},
                                            {"none", BarStyle::none}}};
  if (bar.style.empty() || bar.forward || bar.backward) return;
  const auto* const row =
      std::find_if(rows.begin(), rows.end(), [&](const Row& one) { return one.first == bar.style; });
  auto& measures = state.part.measures;
  Measure* measure = &measures.back().measure;
  if (bar.where == Bar::Where::left && measures.size() > 1) measure = &measures[measures.size() - 2].measure;
  if (row == rows.end() || bar.where == Bar::Where::middle ||
      (bar.where == Bar::Where::left && measures.size() == 1)) {
    if (bar.style != "regular") {
      state.diagnostics.loss("musicxml-bar-style", "a barline style of its own is left out", line);
    }
    return;
  }
  if (measure->repeat_times == 0) measure->right_bar = row->second;
}

}  // namespace

void read_barline(const Element& element, PartState& state) {
  Bar bar;
  const std::int64_t line = state.diagnostics.line_of(element);
  state.measure->written->barlines.push_back({line});
  std::int64_t segno = 0;  // the line of the sign
  std::int64_t coda = 0;
  each_attribute(element, [&](const Attribute& attribute, Name name) {
    const std::string_view value(attribute.Value());
    switch (name) {
      case Name::location:
        bar.where = value == "left"     ? Bar::Where::left
                    : value == "middle" ? Bar::Where::middle
                                        : Bar::Where::right;
        break;
      case Name::segno:
        segno = line;
        break;
      case Name::coda:
        coda = line;
        break;
      case Name::divisions:
        break;
      default:
        state.diagnostics.unread(attribute, element);
    }
  });
  each_child(element, [&](const Element& child, Name name) {
    switch (name) {
      case Name::bar_style:
        bar.style = token_of(child);
        state.diagnostics.attributes_unread(child);
        break;
      case Name::repeat:
        read_repeat(child, bar, state);
        break;
      case Name::ending:
        read_ending(child, state);
        break;
      case Name::segno:
        segno = state.diagnostics.line_of(child);
        state.diagnostics.attributes_unread(child);
        break;
      case Name::coda:
        coda = state.diagnostics.line_of(child);
        state.diagnostics.attributes_unread(child);
        break;
      default:
        state.diagnostics.unread(child);
    }
  });
  const Fraction at = bar.where == Bar::Where::left ? Fraction(0) : state.position;
  if (segno > 0) state.measure->directions.push_back({{at, Direction::Kind::segno, {}}, 1, segno});
  if (coda > 0) state.measure->directions.push_back({{at, Direction::Kind::coda, {}}, 1, coda});
  set_style(bar, line, state);
}

}  // namespace fifthpeg::musicxml::reader
