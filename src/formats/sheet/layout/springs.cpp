#include "formats/sheet/layout/springs.hpp"

#include <algorithm>
#include <cmath>

namespace fifthpeg::sheet {

double natural_gap(double length, double shortest, double shortest_gap) {
  return shortest_gap * std::sqrt(std::max(length, 0.0) / shortest);
}

double width_at(std::span<const Spring> springs, double stretch) {
  double width = 0;
  for (const Spring& spring : springs) width += std::max(spring.least, stretch * spring.natural);
  return width;
}

double stretch_to(std::span<const Spring> springs, double width) {
  // The width grows with the stretch in straight pieces, one from each spring that begins to give.
  std::vector<Spring> giving;
  double rigid = 0;
  for (const Spring& spring : springs) {
    rigid += spring.least;
    if (spring.natural > 0) giving.push_back(spring);
  }
  std::sort(giving.begin(), giving.end(),
            [](const Spring& a, const Spring& b) { return a.least * b.natural < b.least * a.natural; });
  double natural = 0;
  for (std::size_t i = 0; i < giving.size(); ++i) {
    rigid -= giving[i].least;
    natural += giving[i].natural;
    const double stretch = (width - rigid) / natural;
    if (i + 1 == giving.size() || stretch * giving[i + 1].natural <= giving[i + 1].least) {
      return std::max(stretch, 0.0);
    }
  }
  return 0;
}

}  // namespace fifthpeg::sheet
