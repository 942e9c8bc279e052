#include "cli/closest.hpp"

#include <algorithm>
#include <cstddef>

namespace fifthpeg::cli {
namespace {

// Optimal string alignment distance: F. J. Damerau, Communications of the ACM 7(3), 1964.
std::size_t mistakes(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before(b.size() + 1);
  std::vector<std::size_t> row(b.size() + 1);
  std::vector<std::size_t> next(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    next[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t changed = row[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      next[j] = std::min({row[j] + 1, next[j - 1] + 1, changed});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        next[j] = std::min(next[j], before[j - 2] + 1);
    }
    before.swap(row);
    row.swap(next);
  }
  return row.back();
}

}  // namespace

std::optional<std::string> closest(std::string_view typed, const std::vector<std::string>& words) {
  constexpr std::size_t longest = 64;
  constexpr std::size_t letters_a_mistake = 3;
  if (typed.size() > longest) return std::nullopt;
  std::optional<std::string> best;
  std::size_t fewest = typed.size() / letters_a_mistake + 1;
  for (const std::string& word : words) {
    const std::size_t wrong = mistakes(typed, word);
    if (wrong >= fewest) continue;
    fewest = wrong;
    best = word;
  }
  return best;
}

}  // namespace fifthpeg::cli
