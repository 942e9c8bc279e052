// `barline`: repeats, endings, styles, signs over barlines.
#include <algorithm>
#include <utility>

#include "formats/musicxml/names.hpp"
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
  const std::string_view type = attribute(element, "type");
  std::vector<int> numbers = ending_numbers(attribute(element, "number"));
  if (numbers.empty()) numbers = ending_numbers(token_of(element));
  Measure& measure = state.measure->measure;
  RawBarline& line = state.measure->written->barlines.back();
  (type == "start" ? line.ending_starts : line.ending_stops) = true;
  if (type == "start") {
    if (numbers.empty()) {
      state.diagnostics.repair("musicxml-ending", "an ending without a number was read as the first",
                               element);
      numbers = {1};
    }
    state.open_ending = numbers;
    measure.ending = Ending{std::move(numbers), true, Ending::Stop::none};
    return;
  }
  if (!state.open_ending) {
    state.diagnostics.loss("musicxml-ending-without-start",
                           "the end of an ending that never began was left out", element);
    return;
  }
  if (!measure.ending) measure.ending = Ending{*state.open_ending, false, Ending::Stop::none};
  measure.ending->stop = type == "discontinue" ? Ending::Stop::open : Ending::Stop::closed;
  state.open_ending.reset();
}

void read_repeat(const Element& element, Bar& bar, PartState& state) {
  const std::string_view direction = attribute(element, "direction");
  bar.forward = direction == "forward";
  bar.backward = direction == "backward";
  int times = 2;
  if (const char* const stated = element.Attribute("times")) {
    times = whole_number(stated).value_or(0);
    if (times < 2 || times > most_times) {
      times = 2;
      state.diagnostics.repair("musicxml-repeat-times",
                               "a repeat that is played fewer than two times was read as two", element);
    }
  }
  state.measure->written->barlines.back().repeat_forward = bar.forward;
  state.measure->written->barlines.back().repeat_backward = bar.backward;
  if (bar.where == Bar::Where::middle) {
    state.diagnostics.loss("musicxml-repeat-inside", "a repeat sign inside a measure is left out", element);
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
  if (bar.style.empty() || bar.forward || bar.backward) return;
  const auto style = named<BarStyle>(bar.style, bar_style_names);
  auto& measures = state.part.measures;
  Measure* measure = &measures.back().measure;
  if (bar.where == Bar::Where::left && measures.size() > 1) measure = &measures[measures.size() - 2].measure;
  if (!style || bar.where == Bar::Where::middle || (bar.where == Bar::Where::left && measures.size() == 1)) {
    if (bar.style != "regular") {
      state.diagnostics.loss("musicxml-bar-style", "a barline style of its own is left out", line);
    }
    return;
  }
  if (measure->repeat_times == 0) measure->right_bar = *style;
}

}  // namespace

void read_barline(const Element& element, PartState& state) {
  Bar bar;
  const std::int64_t line = state.diagnostics.line_of(element);
  state.measure->written->barlines.push_back({line});
  const std::string_view location = attribute(element, "location");
  bar.where = location == "left"     ? Bar::Where::left
              : location == "middle" ? Bar::Where::middle
                                     : Bar::Where::right;
  std::int64_t segno = element.Attribute("segno") != nullptr ? line : 0;  // the line of the sign
  std::int64_t coda = element.Attribute("coda") != nullptr ? line : 0;
  each_child(element, [&](const Element& child, std::string_view name) {
    if (name == "bar-style") {
      bar.style = token_of(child);
    } else if (name == "repeat") {
      read_repeat(child, bar, state);
    } else if (name == "ending") {
      read_ending(child, state);
    } else if (name == "segno") {
      segno = state.diagnostics.line_of(child);
    } else if (name == "coda") {
      coda = state.diagnostics.line_of(child);
    }
  });
  const Fraction at = bar.where == Bar::Where::left ? Fraction(0) : state.position;
  if (segno > 0) state.measure->directions.push_back({{at, Direction::Kind::segno, {}}, 1, segno});
  if (coda > 0) state.measure->directions.push_back({{at, Direction::Kind::coda, {}}, 1, coda});
  set_style(bar, line, state);
}

}  // namespace fifthpeg::musicxml::reader
