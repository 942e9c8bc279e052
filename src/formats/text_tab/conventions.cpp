#include "formats/text_tab/conventions.hpp"

#include "base/text.hpp"

namespace fifthpeg::text_tab {

const PickingLetter& picking_letter(PickingFinger finger) {
  constexpr static std::array<PickingLetter, 6> letters{{{"T", Sign::count},
                                                         {"I", Sign::count},
                                                         {"M", Sign::count},
                                                         {text_of(Sign::ring_finger), Sign::ring_finger},
                                                         {text_of(Sign::little_finger), Sign::little_finger},
                                                         {text_of(Sign::nail), Sign::nail}}};
  return letters.at(static_cast<std::size_t>(finger));
}

std::string string_name(const Tuning& tuning, int string) {
  std::string name = to_string(tuning.open(string));
  name.erase(name.find_first_of("-0123456789"));
  if (string == 1 || string == fifth_string) name.front() = base::lower_case(name.front());
  return name;
}

}  // namespace fifthpeg::text_tab
