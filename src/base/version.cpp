#include "version.hpp"

#include "fifthpeg/fifthpeg.hpp"

namespace fifthpeg {

std::string_view version() {
  return version_text;
}

}  // namespace fifthpeg
