#include "score/parts.hpp"

#include <algorithm>

#include "fifthpeg/errors.hpp"

namespace fifthpeg {
namespace {

bool same_frame(const Measure& a, const Measure& b) {
  return a.length == b.length && a.implicit == b.implicit && a.meter.beats == b.meter.beats &&
         a.meter.unit == b.meter.unit && a.repeat_starts == b.repeat_starts &&
         a.repeat_times == b.repeat_times && a.ending == b.ending;
}

[[noreturn]] void refuse_part(const Score& part, const std::string& what, const std::string& measure = {}) {
  throw UsageError("parts-differ", "the part " + part.part_name + " cannot be played with the first: " + what,
                   {part.part_name, measure, {}});
}

}  // namespace

void require_one_frame(const Score& score, std::span<const Score> further) {
  for (const Score& part : further) {
    if (part.measures.size() != score.measures.size()) {
      refuse_part(part, "it has " + std::to_string(part.measures.size()) + " measures, not " +
                            std::to_string(score.measures.size()));
    }
    if (part.swing != score.swing) refuse_part(part, "it swings otherwise");
    const auto differs = std::mismatch(part.measures.begin(), part.measures.end(), score.measures.begin(),
                                       score.measures.end(), same_frame)
                             .first;
    if (differs != part.measures.end()) {
      refuse_part(part, "a measure has another length, meter, repeat or ending", differs->number);
    }
  }
}

Report in_part(const Report& report, const std::string& part_name) {
  Report named;
  for (Entry entry : report.entries()) {
    for (Place& place : entry.places) place.part = part_name;
    named.add(entry);
  }
  return named;
}

}  // namespace fifthpeg
