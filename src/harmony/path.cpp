#include "harmony/path.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace fifthpeg::harmony {
namespace {

// Points of a table in the unit of those that notes give.
constexpr Points of_table = 1000;
// So many are e times as likely.
constexpr double per_e = 10.0 * static_cast<double>(of_table);

Points fit_of(const Unit& unit, const Degree& degree, int tonic) {
  const Fit& table = degree.minor ? fit_of_minor : fit_of_major;
  Points points = of_table * degree.points;
  for (std::size_t above = 0; above < table.size(); ++above) {
    const int midi = tonic + degree.half_steps + static_cast<int>(above);
    points += table.at(above) * unit.weight.at(pitch_class_of(midi));
  }
  return points;
}

Points change_of(const Degree& from, const Degree& to, bool inside) {
  constexpr int fifth = 7;
  constexpr int fourth = 5;
  const std::size_t up = pitch_class_of(to.half_steps - from.half_steps);
  int points = inside ? change_inside : change_at_barline;
  if (up == fourth) points += fall_of_fifth + (from.minor ? 0 : fall_from_major);
  if (up == fifth) points += rise_of_fifth;
  if (from.half_steps == fifth && !from.minor && to.half_steps != 0) points += dominant_elsewhere;
  return of_table * points;
}

}  // namespace

std::span<const Degree> degrees_of(const Key& key) {
  switch (key.mode) {
    case Mode::mixolydian:
      return mixolydian_degrees;
    case Mode::dorian:
      return dorian_degrees;
    case Mode::minor:
    case Mode::aeolian:
    case Mode::phrygian:
    case Mode::locrian:
      return minor_degrees;
    default:
      return major_degrees;
  }
}

Path::Path(std::span<const Unit> units, const Key& key)
    : degrees_(degrees_of(key)),
      inside_(units.size()),
      fit_(units.size()),
      before_(units.size()),
      after_(units.size()) {
  for (std::size_t from = 0; from < degrees_.size(); ++from) {
    for (std::size_t to = 0; to < degrees_.size(); ++to) {
      if (from == to) continue;
      changes_[0].at(from).at(to) = change_of(degrees_[from], degrees_[to], false);
      changes_[1].at(from).at(to) = change_of(degrees_[from], degrees_[to], true);
    }
  }
  const int tonic = 7 * fifthpeg::tonic(key);
  for (std::size_t i = 0; i < units.size(); ++i) {
    inside_[i] = i > 0 && units[i].bar == units[i - 1].bar;
    for (std::size_t d = 0; d < degrees_.size(); ++d) fit_[i].at(d) = fit_of(units[i], degrees_[d], tonic);
  }
  go_forward();
  go_back();
}

Points Path::change(std::size_t to_unit, std::size_t from, std::size_t to) const {
  return changes_.at(inside_[to_unit] ? 1 : 0).at(from).at(to);
}

Points Path::through(std::size_t unit, std::size_t degree) const {
  return before_[unit].at(degree) + after_[unit].at(degree);
}

void Path::go_forward() {
  before_.front() = fit_.front();
  for (std::size_t i = 1; i < fit_.size(); ++i) {
    for (std::size_t to = 0; to < degrees_.size(); ++to) {
      Points most = INT64_MIN;
      for (std::size_t from = 0; from < degrees_.size(); ++from) {
        most = std::max(most, before_[i - 1].at(from) + change(i, from, to));
      }
      before_[i].at(to) = most + fit_[i].at(to);
    }
  }
}

void Path::go_back() {
  for (std::size_t d = 0; d < degrees_.size(); ++d) {
    after_.back().at(d) = degrees_[d].half_steps == 0 ? of_table * end_on_tonic : 0;
  }
  for (std::size_t i = fit_.size() - 1; i > 0; --i) {
    for (std::size_t from = 0; from < degrees_.size(); ++from) {
      Points most = INT64_MIN;
      for (std::size_t to = 0; to < degrees_.size(); ++to) {
        most = std::max(most, change(i, from, to) + fit_[i].at(to) + after_[i].at(to));
      }
      after_[i - 1].at(from) = most;
    }
  }
}

std::vector<std::size_t> Path::best() const {
  std::vector<std::size_t> path(fit_.size());
  for (std::size_t i = 0; i < path.size(); ++i) {
    Points most = INT64_MIN;
    for (std::size_t d = 0; d < degrees_.size(); ++d) {
      const Points here = fit_[i].at(d) + after_[i].at(d) + (i == 0 ? 0 : change(i, path[i - 1], d));
      if (here <= most) continue;
      most = here;
      path[i] = d;
    }
  }
  return path;
}

std::size_t Path::second(std::size_t unit, std::size_t first) const {
  std::size_t found = first == 0 ? 1 : 0;
  for (std::size_t d = 0; d < degrees_.size(); ++d) {
    if (d != first && through(unit, d) > through(unit, found)) found = d;
  }
  return found;
}

double Path::sureness(std::size_t unit, std::size_t first) const {
  double all = 0;
  for (std::size_t d = 0; d < degrees_.size(); ++d) {
    all += std::exp(static_cast<double>(through(unit, d) - through(unit, first)) / per_e);
  }
  return 1 / all;
}

}  // namespace fifthpeg::harmony
