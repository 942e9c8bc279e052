#include "formats/sheet/layout/phrases.hpp"

#include <algorithm>

#include "base/text.hpp"

namespace fifthpeg::sheet {
namespace {

std::string rehearsal_letter(const Measure& measure) {
  for (const Direction& direction : measure.directions) {
    if (direction.kind == Direction::Kind::rehearsal && direction.at == 0)
      return base::one_line(direction.text);
  }
  return {};
}

bool ends_phrase(const Measure& measure) {
  return measure.repeat_times > 0 || measure.right_bar == BarStyle::light_light ||
         measure.right_bar == BarStyle::light_heavy;
}

// Where phrases begin, the first measure aside.
std::vector<std::size_t> starts_of(const Score& score, int length) {
  std::vector<std::size_t> starts;
  int counted = 0;
  for (std::size_t i = 0; i < score.measures.size(); ++i) {
    const Measure& measure = score.measures[i];
    const bool by_sign = i > 0 && (!rehearsal_letter(measure).empty() || measure.repeat_starts ||
                                   ends_phrase(score.measures[i - 1]));
    // The rest of a measure behind a repeat sign is a pickup.
    const bool pickup = measure.implicit && by_sign;
    const bool by_length = counted == length && (!measure.implicit || pickup);
    if (length > 0 ? by_length : by_sign) {
      starts.push_back(i);
      counted = 0;
    }
    if (!measure.implicit) ++counted;
  }
  return starts;
}

std::string name_of(const Score& score, std::size_t first, std::size_t end) {
  const std::string letter = rehearsal_letter(score.measures[first]);
  // A pickup has a number in a file, and none on paper.
  const bool pickup = score.measures[first].implicit && end - first > 1;
  const std::string from = base::one_line(score.measures[pickup ? first + 1 : first].number);
  // Nor has the rest of a parted measure.
  std::size_t last = end - 1;
  while (last > first && score.measures[last].implicit) --last;
  const std::string to = base::one_line(score.measures[last].number);
  std::string place = from == to ? "measure " + from : "measures " + from + " to " + to;
  if (pickup) place = "pickup and " + place;
  return letter.empty() ? place : letter + ": " + place;
}

}  // namespace

std::vector<Phrase> phrases_of(const Score& score, int length) {
  const std::vector<std::size_t> starts = starts_of(score, length);
  std::vector<Phrase> phrases;
  std::size_t first = 0;
  for (std::size_t i = 0; i <= starts.size() && !starts.empty(); ++i) {
    const std::size_t end = i < starts.size() ? starts[i] : score.measures.size();
    if (end > first) phrases.push_back({first, end, name_of(score, first, end)});
    first = end;
  }
  return phrases;
}

std::vector<Phrase> phrases_asked_for(const std::vector<Score>& pieces, std::size_t piece,
                                      const SheetOptions& options) {
  const auto& whole = options.kept_whole;
  if (!options.phrases || std::find(whole.begin(), whole.end(), piece) != whole.end()) return {};
  return phrases_of(pieces[piece], options.measures_a_phrase);
}

}  // namespace fifthpeg::sheet
