// Chord charts: read from text or from a score, and put to another score.
#include <algorithm>
#include <optional>
#include <string>
#include <utility>

#include "base/text.hpp"
#include "base/utf8.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/harmony.hpp"
#include "harmony/units.hpp"

namespace fifthpeg {
namespace harmony {
namespace {

// ---- from text -----------------------------------------------------------------------------------

constexpr std::size_t most_parts = 64;  // of a measure

class ChartReader {
 public:
  explicit ChartReader(std::string_view text) : text_(text) {
    if (text_.starts_with("\xEF\xBB\xBF")) text_.remove_prefix(3);
  }

  ChordChart run() {
    for (line_ = 1; !text_.empty(); ++line_) {
      const std::size_t end = std::min(text_.find('\n'), text_.size());
      std::string_view line = text_.substr(0, end);
      text_.remove_prefix(std::min(end + 1, text_.size()));
      if (line.ends_with('\r')) line.remove_suffix(1);
      read_line(line);
    }
    if (chart_.empty()) throw ReadError("bad-chart", "there is no chord in it");
    return std::move(chart_);
  }

 private:
  struct Word {
    std::string_view text;
    std::int64_t column = 0;
  };

  [[noreturn]] void refuse(const std::string& what) const {
    Place place;
    place.line = line_;
    place.column = column_;
    throw ReadError("bad-chart", what, place);
  }

  void read_line(std::string_view line) {
    std::vector<Word> words;
    std::size_t bars = 0;
    bool after_bar = false;  // right after one: two make a double barline
    for (std::size_t at = 0; at < line.size();) {
      column_ = 1 + std::count_if(line.begin(), line.begin() + static_cast<std::ptrdiff_t>(at),
                                  [](char byte) { return !base::is_continuation(byte); });
      const char c = line[at];
      if (c == '|') {
        if (words.empty() && bars > 0 && !after_bar)
          refuse("a measure is empty; write . where the chord goes on, or % for the measure before again");
        add_measure(words);
        ++bars;
        after_bar = true;
        ++at;
        continue;
      }
      after_bar = false;
      if (c == ' ' || c == '\t') {
        ++at;
        continue;
      }
      if (c == '#') break;
      const std::size_t end = std::min(line.find_first_of(" \t|", at), line.size());
      words.push_back({line.substr(at, end - at), column_});
      at = end;
    }
    add_measure(words);
  }

  void add_measure(std::vector<Word>& words) {
    if (words.empty()) return;
    if (words.size() > most_parts) {
      column_ = words.front().column;
      refuse("a measure has more than " + std::to_string(most_parts) + " chords");
    }
    ChartMeasure measure;
    const bool again = words.front().text == "%";
    if (again) {
      column_ = words.front().column;
      if (words.size() > 1) refuse("% stands for a whole measure, with no other chord beside it");
      if (chart_.empty()) refuse("there is no measure before it that % could repeat");
      measure = chart_.back();
    } else {
      measure.parts = static_cast<int>(words.size());
      for (std::size_t w = 0; w < words.size(); ++w) {
        const auto chord = chord_of(words[w], w == 0);
        if (chord) measure.chords.push_back({Fraction(static_cast<std::int64_t>(w), measure.parts), *chord});
      }
    }
    last_ = measure.chords.back().chord;
    chart_.push_back(std::move(measure));
    words.clear();
  }

  // Nothing where the chord before goes on; a measure begins with it all the same.
  std::optional<ChordSymbol> chord_of(const Word& word, bool first) {
    column_ = word.column;
    if (word.text == "." || word.text == "/") {
      if (!last_) refuse("there is no chord yet to go on with");
      return first ? last_ : std::nullopt;
    }
    if (word.text == "%") refuse("% stands for a whole measure, with no other chord beside it");
    auto chord = parse_chord_symbol(word.text == "NC" || word.text == "N.C" ? "N.C." : word.text);
    if (!chord) {
      refuse("'" + base::printable(std::string(word.text)) +
             "' is no chord; chords are written like G, Am, D7 or N.C.");
    }
    last_ = *chord;
    return chord;
  }

  std::string_view text_;
  std::int64_t line_ = 0;
  std::int64_t column_ = 0;
  ChordChart chart_;
  std::optional<ChordSymbol> last_;
};

// ---- measures that are counted ----------------------------------------------------------------------

// A measure that is counted, with the rest of it where it is split.
struct Counted {
  std::size_t first = 0;
  std::size_t count = 1;
  Fraction length;
};

std::vector<Counted> counted_measures(const Score& score) {
  std::vector<Counted> counted;
  counted.reserve(score.measures.size());
  BarCounter counter(true);
  std::optional<std::size_t> bar;
  for (std::size_t m = 0; m < score.measures.size(); ++m) {
    const Measure& measure = score.measures[m];
    counter.next(measure, m + 1 == score.measures.size());
    if (counter.is_pickup()) continue;
    if (bar == counter.bar()) {
      ++counted.back().count;
      counted.back().length += measure.length;
    } else {
      counted.push_back({m, 1, measure.length});
    }
    bar = counter.bar();
  }
  return counted;
}

// Of so many equal parts, how many have passed, rounded up to whole ones: the first chords are the longer.
Fraction whole_parts(Fraction share, Fraction parts) {
  const Fraction passed = share * parts;
  return passed.is_whole() ? passed : Fraction(passed.floor() + 1);
}

// Where in a measure a chord begins.
Fraction chord_onset(Fraction share, int parts, const Meter& meter, Fraction length) {
  const Fraction exact = share * length;
  if (parts == 0 || length != meter.length()) return exact;
  const Fraction beats = length / meter.beat();
  if (beats.is_whole() && Fraction(parts) <= beats) return whole_parts(share, beats) * meter.beat();
  const Fraction units = length * Fraction(meter.unit);
  if (units.is_whole() && Fraction(parts) <= units) return whole_parts(share, units) / Fraction(meter.unit);
  return exact;
}

bool is_counted_alike(const Meter& a, const Meter& b) {
  return a.length() == b.length() && a.beat() == b.beat();
}

int beats_of(const Meter& meter) {
  return static_cast<int>((meter.length() / meter.beat()).floor());
}

bool is_same_symbol(const ChordSymbol& a, const ChordSymbol& b) {
  return a.root == b.root && a.kind == b.kind && a.degrees == b.degrees && a.bass == b.bass;
}

}  // namespace
}  // namespace harmony

ChordChart parse_chord_chart(std::string_view text) {
  return harmony::ChartReader(text).run();
}

ChordChart chart_of(const Score& score) {
  ChordChart chart;
  std::optional<ChordSymbol> last;
  std::size_t read = 0;
  const auto read_until = [&](std::size_t measure) {
    for (; read < measure; ++read)
      if (!score.measures[read].chords.empty()) last = score.measures[read].chords.back();
  };
  for (const auto& counted : harmony::counted_measures(score)) {
    ChartMeasure& entry = chart.emplace_back();
    entry.meter = score.measures[counted.first].meter;
    read_until(counted.first);
    Fraction start;
    for (std::size_t m = counted.first; m < counted.first + counted.count; ++m) {
      for (const ChordSymbol& chord : score.measures[m].chords)
        entry.chords.push_back({std::min((start + chord.at) / counted.length, Fraction(1)), chord});
      start += score.measures[m].length;
    }
    std::erase_if(entry.chords, [](const ChartMeasure::Chord& one) { return one.share >= 1; });
    if (last && (entry.chords.empty() || entry.chords.front().share > 0))
      entry.chords.insert(entry.chords.begin(), {Fraction(), *last});
    for (ChartMeasure::Chord& one : entry.chords) one.chord.at = 0;
  }
  return chart;
}

Report set_chords(Score& score, const ChordChart& chart) {
  const auto counted = harmony::counted_measures(score);
  if (counted.size() != chart.size()) {
    throw UsageError("chart-of-other-length",
                     "the chart has " + base::counted(chart.size(), "measure") + ", and the music has " +
                         std::to_string(counted.size()) +
                         "; write out all measures as the file has them, without a pickup");
  }
  const bool had_chords = std::any_of(score.measures.begin(), score.measures.end(),
                                      [](const Measure& measure) { return !measure.chords.empty(); });
  for (Measure& measure : score.measures) measure.chords.clear();
  Report report;
  std::optional<ChordSymbol> last;
  for (std::size_t c = 0; c < chart.size(); ++c) {
    const Measure& first = score.measures[counted[c].first];
    const bool other_meter = chart[c].meter && !harmony::is_counted_alike(*chart[c].meter, first.meter);
    const int parts = other_meter ? harmony::beats_of(*chart[c].meter) : chart[c].parts;
    if (other_meter) {
      report.add(EntryKind::decision, "chart-of-other-meter",
                 "the chords are of music in " + to_string(*chart[c].meter) + ", and this is in " +
                     to_string(first.meter) + ": they share its measures in the same order");
    }
    const bool stated = first.repeat_starts || (first.ending && first.ending->starts);
    for (const ChartMeasure::Chord& one : chart[c].chords) {
      if (last && harmony::is_same_symbol(*last, one.chord) && !(stated && one.share == 0)) continue;
      last = one.chord;
      Fraction at = harmony::chord_onset(one.share, parts, first.meter, counted[c].length);
      std::size_t m = counted[c].first;
      for (; m + 1 < counted[c].first + counted[c].count && at >= score.measures[m].length; ++m)
        at -= score.measures[m].length;
      score.measures[m].chords.push_back(one.chord);
      score.measures[m].chords.back().at = at;
    }
  }
  report.add(EntryKind::decision, "chords-of-chart",
             had_chords ? "the chord symbols are those of the chart, in place of the file's own"
                        : "the chord symbols are those of the chart");
  return report;
}

}  // namespace fifthpeg
