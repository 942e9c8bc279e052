#include "fifthpeg/fraction.hpp"

#include "fifthpeg/errors.hpp"

namespace fifthpeg {

void refuse_time() {
  throw TimeError("time-overflow",
                  "holds times that are too long or too finely divided; shorten or simplify it");
}

std::string to_string(Fraction value) {
  if (value.is_whole()) return std::to_string(value.num());
  return std::to_string(value.num()) + "/" + std::to_string(value.den());
}

}  // namespace fifthpeg
