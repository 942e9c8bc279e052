// Exact time. A Fraction counts whole notes: 1/4 is a quarter note, 1/12 an eighth of a triplet.
#pragma once

#include <algorithm>
#include <bit>
#include <compare>
#include <cstdint>
#include <numeric>
#include <string>

namespace fifthpeg {

// Throws TimeError.
[[noreturn]] void refuse_time();

// A rational number in lowest terms with a positive denominator. Every operation is exact; one whose
// result does not fit into 64 bits throws TimeError (errors.hpp) rather than rounding.
class Fraction {
 public:
  constexpr Fraction() = default;
  constexpr Fraction(std::int64_t whole) : num_(whole) {}  // NOLINT: whole numbers are fractions
  constexpr Fraction(std::int64_t num, std::int64_t den) { assign(num, den); }

  constexpr std::int64_t num() const { return num_; }
  constexpr std::int64_t den() const { return den_; }

  // The largest whole number that is not above the fraction.
  constexpr std::int64_t floor() const {
    return num_ >= 0 || num_ % den_ == 0 ? num_ / den_ : num_ / den_ - 1;
  }
  constexpr bool is_whole() const { return den_ == 1; }
  // For boundaries such as seconds and pictures; never fed back into a score.
  constexpr double to_double() const { return static_cast<double>(num_) / static_cast<double>(den_); }

  friend constexpr Fraction operator+(Fraction a, Fraction b) {
    if (a.is_small() && b.is_small()) {
      if (a.den_ == b.den_) return make_small(a.num_ + b.num_, a.den_);
      return make_small(a.num_ * b.den_ + b.num_ * a.den_, a.den_ * b.den_);
    }
    if (a.den_ == b.den_) return make(wide(a.num_) + b.num_, a.den_);
    return make(wide(a.num_) * b.den_ + wide(b.num_) * a.den_, wide(a.den_) * b.den_);
  }
  friend constexpr Fraction operator-(Fraction a, Fraction b) { return a + (-b); }
  friend constexpr Fraction operator*(Fraction a, Fraction b) {
    if (a.is_small() && b.is_small()) return make_small(a.num_ * b.num_, a.den_ * b.den_);
    return make(wide(a.num_) * b.num_, wide(a.den_) * b.den_);
  }
  friend constexpr Fraction operator/(Fraction a, Fraction b) {
    if (a.is_small() && b.is_small() && b.num_ > 0) return make_small(a.num_ * b.den_, a.den_ * b.num_);
    return make(wide(a.num_) * b.den_, wide(a.den_) * b.num_);
  }
  constexpr Fraction operator-() const {
    if (num_ == INT64_MIN) return make(-wide(num_), den_);
    Fraction result = *this;  // in lowest terms already
    result.num_ = -num_;
    return result;
  }
  constexpr Fraction& operator+=(Fraction other) { return *this = *this + other; }
  constexpr Fraction& operator-=(Fraction other) { return *this = *this - other; }
  constexpr Fraction& operator*=(Fraction other) { return *this = *this * other; }
  constexpr Fraction& operator/=(Fraction other) { return *this = *this / other; }

  friend constexpr bool operator==(Fraction a, Fraction b) = default;
  friend constexpr std::strong_ordering operator<=>(Fraction a, Fraction b) {
    if (a.den_ == b.den_) return a.num_ <=> b.num_;
    if (a.is_small() && b.is_small()) return a.num_ * b.den_ <=> b.num_ * a.den_;
    return wide(a.num_) * b.den_ <=> wide(b.num_) * a.den_;
  }

 private:
  __extension__ using Wide = __int128;
  static constexpr Wide wide(std::int64_t value) { return value; }

  // Nearly all fractions are small: what is made of two of these fits into 64 bits, in which everything is
  // several times as fast.
  static constexpr std::int64_t small_limit = std::int64_t{1} << 30;
  constexpr bool is_small() const { return num_ < small_limit && num_ > -small_limit && den_ < small_limit; }

  // Of a positive denominator. Nearly all denominators of music are powers of two, which need no division.
  static constexpr Fraction make_small(std::int64_t num, std::int64_t den) {
    Fraction result;
    const auto bits = static_cast<std::uint64_t>(den);
    if ((bits & (bits - 1)) == 0) {  // std::has_single_bit counts them all, by a call on older processors
      const int twos = std::min(std::countr_zero(static_cast<std::uint64_t>(num)), std::countr_zero(bits));
      result.num_ = num >> twos;  // exact, of a negative number too (C++20)
      result.den_ = den >> twos;
    } else {
      const std::int64_t common = std::gcd(num, den);
      result.num_ = num / common;
      result.den_ = den / common;
    }
    return result;
  }

  static constexpr Wide common_divisor(Wide a, Wide b) {
    while (b != 0) {
      if (a <= INT64_MAX && b <= INT64_MAX) {
        return std::gcd(static_cast<std::int64_t>(a), static_cast<std::int64_t>(b));
      }
      const Wide rest = a % b;
      a = b;
      b = rest;
    }
    return a;
  }

  static constexpr Wide quotient(Wide a, Wide b) {
    const bool small = a <= INT64_MAX && a >= -INT64_MAX && b <= INT64_MAX;
    // b is a divisor of what is not 0: the analyzer loses that where common_divisor narrows.
    // NOLINTNEXTLINE(clang-analyzer-core.DivideZero)
    return small ? Wide{static_cast<std::int64_t>(a) / static_cast<std::int64_t>(b)} : a / b;
  }

  constexpr void assign(Wide num, Wide den) {
    if (den == 0) refuse_time();
    if (den < 0) {
      num = -num;
      den = -den;
    }
    if (den != 1) {
      const Wide common = common_divisor(num < 0 ? -num : num, den);
      if (common != 1) {
        num = quotient(num, common);
        den = quotient(den, common);
      }
    }
    constexpr Wide limit = INT64_MAX;
    if (num > limit || num < -limit || den > limit) refuse_time();
    num_ = static_cast<std::int64_t>(num);
    den_ = static_cast<std::int64_t>(den);
  }
  static constexpr Fraction make(Wide num, Wide den) {
    Fraction result;
    result.assign(num, den);
    return result;
  }

  std::int64_t num_ = 0;
  std::int64_t den_ = 1;
};

// "3/8", "2", "-1/4".
std::string to_string(Fraction value);
// As people count, and type: "3", "2.5"; "2 1/3" where no short decimal is as much. Not for negative values.
std::string counted_as(Fraction value);

}  // namespace fifthpeg
