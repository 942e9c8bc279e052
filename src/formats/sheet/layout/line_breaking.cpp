#include "formats/sheet/layout/line_breaking.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace fifthpeg::sheet {
namespace {

// The last line may be left short, but a lonely short measure there hurts the eye.
constexpr double shortest_last_line = 0.4;

// What is wrong with a line: nothing where it has its natural width, more and more the farther from it.
double badness(double natural, double width) {
  const double off = std::log2(width / std::max(natural, 1e-6));
  return std::pow(std::abs(off), 3) * 100;
}

// Of the items from `first` on, added one after the other.
class FilledLine {
 public:
  FilledLine(std::span<const LineItem> items, std::size_t first, double width)
      : items_(items),
        width_(width),
        least_(items[first].opening),
        natural_(items[first].opening),
        next_(first) {}

  void add() {
    least_ += items_[next_].least;
    natural_ += items_[next_].natural;
    ++next_;
    ++count_;
  }
  bool fits() const { return least_ <= width_ || count_ == 1; }
  double cost() const {
    constexpr double a_line = 1;  // of two ways as good, the one with fewer lines
    constexpr double a_parted_measure = 30;
    const LineItem& last = items_[next_ - 1];
    constexpr double a_parted_phrase = 1.5;
    const double cost =
        a_line + (last.ends_measure ? 0 : a_parted_measure) + (last.ends_phrase ? 0 : a_parted_phrase);
    const bool last_line = next_ == items_.size() || last.must_break;
    if (!last_line || natural_ >= width_) return cost + badness(natural_, width_);
    return cost + std::max(0.0, shortest_last_line - natural_ / width_) * 40;
  }

 private:
  std::span<const LineItem> items_;
  double width_;
  double least_;
  double natural_;
  std::size_t next_;
  std::size_t count_ = 0;
};

}  // namespace

double cost_of_lines(std::span<const LineItem> items, std::span<const std::size_t> ends, double width) {
  constexpr double never = std::numeric_limits<double>::infinity();
  double cost = 0;
  std::size_t first = 0;
  for (const std::size_t end : ends) {
    FilledLine line(items, first, width);
    for (std::size_t i = first; i < end; ++i) {
      if (i + 1 < end && items[i].must_break) return never;
      line.add();
    }
    if (!line.fits()) return never;
    cost += line.cost();
    first = end;
  }
  return cost;
}

std::vector<std::size_t> break_lines(std::span<const LineItem> items, double width) {
  constexpr double never = std::numeric_limits<double>::infinity();
  std::vector<double> best(items.size() + 1, never);  // of the way to a break before item i
  std::vector<std::size_t> from(items.size() + 1, 0);
  best[0] = 0;
  for (std::size_t first = 0; first < items.size(); ++first) {
    FilledLine line(items, first, width);
    for (std::size_t i = first; i < items.size(); ++i) {
      line.add();
      if (!line.fits()) break;
      if (const double cost = best[first] + line.cost(); cost < best[i + 1]) {
        best[i + 1] = cost;
        from[i + 1] = first;
      }
      if (items[i].must_break) break;
    }
  }
  std::vector<std::size_t> ends;
  for (std::size_t at = items.size(); at > 0; at = from[at]) ends.push_back(at);
  std::reverse(ends.begin(), ends.end());
  return ends;
}

}  // namespace fifthpeg::sheet
