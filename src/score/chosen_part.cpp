#include "score/chosen_part.hpp"

namespace fifthpeg {
namespace {

const std::string& name_or_id(const PartSummary& part) {
  return part.name.empty() ? part.id : part.name;
}

}  // namespace

std::string chosen_part_text(const std::vector<PartSummary>& parts, std::size_t chosen,
                             const std::string& reason) {
  std::string text = "part " + std::to_string(chosen + 1) + " of " + std::to_string(parts.size()) + " (" +
                     name_or_id(parts[chosen]) + ") was read: " + reason;
  if (parts.size() == 2) text += "; the other is " + name_or_id(parts[1 - chosen]);
  return text;
}

}  // namespace fifthpeg
