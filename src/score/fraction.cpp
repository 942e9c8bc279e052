#include "fifthpeg/fraction.hpp"

namespace fifthpeg {

std::string to_string(Fraction value) {
  if (value.is_whole()) return std::to_string(value.num());
  return std::to_string(value.num()) + "/" + std::to_string(value.den());
}

}  // namespace fifthpeg
