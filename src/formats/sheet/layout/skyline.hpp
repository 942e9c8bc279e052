// How far what has been drawn over or under a staff reaches, along the line: what comes next goes beyond it,
// so that nothing collides.
#pragma once

#include <cstddef>
#include <vector>

namespace fifthpeg::sheet {

class Skyline {
 public:
  enum class Side : bool { above, below };

  // Over `width` millimeters from 0; places beyond either end count as at it. At first all is at `start`.
  Skyline(Side side, double width, double start);

  Side side() const { return side_; }

  // The farthest of what lies between two places.
  double reach(double left, double right) const;
  // What lies there reaches at least that far.
  void raise(double left, double right, double to);
  // The farthest of all.
  double farthest() const;
  // How far `other`, which lies the other way, can go at most, as a distance that is added to it, before the
  // two touch somewhere. Both are of one line.
  double room_for(const Skyline& other) const;
  // What lies in `other`, moved by that, lies here, too.
  void add(const Skyline& other, double moved);

 private:
  static constexpr double step = 0.25;  // millimeters
  std::size_t slot(double x) const;
  double farther(double a, double b) const { return (side_ == Side::above) == (a < b) ? a : b; }

  Side side_;
  std::vector<double> reach_;
};

}  // namespace fifthpeg::sheet
