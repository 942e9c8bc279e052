#include <array>
#include <string_view>

#include "fifthpeg/write.hpp"

namespace fifthpeg {
namespace {

struct LossOf {
  std::string_view slug;  // as the writers report it
  bool SourceFingering::*what;
};
constexpr std::array<LossOf, 5> losses{{{"midi-placement", &SourceFingering::placements},
                                        {"midi-finger", &SourceFingering::fingers},
                                        {"midi-picking-finger", &SourceFingering::picking_fingers},
                                        {"tab-finger", &SourceFingering::fingers},
                                        {"midi-neck", &SourceFingering::neck}}};

}  // namespace

Report losses_of_source(Report written, const SourceFingering& source) {
  for (const LossOf& loss : losses) {
    if (source.*loss.what || !written.erase(loss.slug)) continue;
    if (loss.what == &SourceFingering::placements) {
      written.add(EntryKind::decision, "places-not-written",
                  "the output does not say on which strings and frets the notes are played");
    }
  }
  return written;
}

}  // namespace fifthpeg
