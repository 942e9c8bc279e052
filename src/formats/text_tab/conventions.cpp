#include "formats/text_tab/conventions.hpp"

#include "base/text.hpp"

namespace fifthpeg::text_tab {

std::string_view picking_letter(PickingFinger finger) {
  switch (finger) {
    case PickingFinger::thumb:
      return "T";
    case PickingFinger::index:
      return "I";
    case PickingFinger::middle:
      return "M";
    case PickingFinger::ring:
      return text_of(Sign::ring_finger);
    case PickingFinger::little:
      return text_of(Sign::little_finger);
    case PickingFinger::nail:
      return text_of(Sign::nail);
  }
  return {};
}

std::string string_name(const Tuning& tuning, int string) {
  std::string name = to_string(tuning.open(string));
  name.erase(name.find_first_of("-0123456789"));
  if (string == 1 || string == fifth_string) name.front() = base::lower_case(name.front());
  return name;
}

}  // namespace fifthpeg::text_tab
