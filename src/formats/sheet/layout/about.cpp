#include "formats/sheet/layout/about.hpp"

#include <optional>
#include <vector>

#include "base/text.hpp"
#include "fifthpeg/summary.hpp"

namespace fifthpeg::sheet {
namespace {

// From the first chord symbol to the last, or the only one; nothing where there is none.
std::string chords_of(const Score& score) {
  std::optional<std::string> first;
  std::string last;
  bool changes = false;
  for (const Measure& measure : score.measures) {
    for (const ChordSymbol& chord : measure.chords) {
      last = base::one_line(to_string(chord));
      if (!first) first = last;
      changes = changes || *first != last;
    }
  }
  if (!first) return {};
  return changes ? "from " + *first + " to " + last : "over " + last;
}

std::string length_of(const Score& score, const Summary& summary) {
  // Neither a pickup nor the rest of a parted measure is one.
  std::size_t count = 0;
  for (const Measure& measure : score.measures) {
    const bool pickup = summary.pickup && &measure == score.measures.data();
    if (!pickup && !measure.implicit) ++count;
  }
  std::string text = base::counted(count, "measure");
  if (summary.meters.size() == 1) text += " of " + to_string(score.measures.back().meter);
  return summary.pickup ? text + " after a pickup" : text;
}

std::string place_of(const Summary& summary) {
  if (!summary.frets) return summary.open > 0 ? "open strings" : "";
  const FretSpan& frets = *summary.frets;
  if (frets.lowest == frets.highest) return "fret " + std::to_string(frets.lowest);
  return "frets " + std::to_string(frets.lowest) + " to " + std::to_string(frets.highest);
}

}  // namespace

std::string about(const Score& score) {
  if (score.measures.empty()) return {};
  const Summary summary = summarize(score);
  std::string line;
  for (const std::string& part : {to_string(score.measures.front().key), chords_of(score),
                                  length_of(score, summary), place_of(summary)}) {
    if (!part.empty()) line += (line.empty() ? "" : "; ") + part;
  }
  return line;
}

}  // namespace fifthpeg::sheet
