#include "formats/sheet/layout/skyline.hpp"

#include <algorithm>
#include <cmath>

namespace fifthpeg::sheet {

Skyline::Skyline(Side side, double width, double start)
    : side_(side), reach_(static_cast<std::size_t>(std::ceil(std::max(width, step) / step)) + 1, start) {}

std::size_t Skyline::slot(double x) const {
  const double last = static_cast<double>(reach_.size() - 1);
  return static_cast<std::size_t>(std::clamp(std::floor(x / step), 0.0, last));
}

double Skyline::reach(double left, double right) const {
  double most = reach_[slot(left)];
  for (std::size_t i = slot(left); i <= slot(right); ++i) most = farther(most, reach_[i]);
  return most;
}

void Skyline::raise(double left, double right, double to) {
  for (std::size_t i = slot(left); i <= slot(right); ++i) reach_[i] = farther(reach_[i], to);
}

double Skyline::room_for(const Skyline& other) const {
  double room = reach_.front() - other.reach_.front();
  for (std::size_t i = 0; i < std::min(reach_.size(), other.reach_.size()); ++i) {
    room = farther(room, reach_[i] - other.reach_[i]);
  }
  return room;
}

void Skyline::add(const Skyline& other, double moved) {
  for (std::size_t i = 0; i < std::min(reach_.size(), other.reach_.size()); ++i) {
    reach_[i] = farther(reach_[i], other.reach_[i] + moved);
  }
}

double Skyline::farthest() const {
  double most = reach_.front();
  for (const double one : reach_) most = farther(most, one);
  return most;
}

}  // namespace fifthpeg::sheet
