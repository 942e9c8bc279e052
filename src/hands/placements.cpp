#include "hands/placements.hpp"

#include <algorithm>

namespace fifthpeg::hands {
namespace {

// Four fingers stop four notes; a fifth needs one finger across several strings at the lowest fret, which
// leaves no string among them open.
bool enough_fingers(const Laid& laid) {
  int stopped = 0;
  int at_low_fret = 0;
  for (int i = 0; i < laid.count; ++i) {
    const int fret = laid.notes[static_cast<std::size_t>(i)].fret;
    stopped += fret > 0 ? 1 : 0;
    at_low_fret += fret > 0 && fret == laid.low_fret ? 1 : 0;
  }
  return stopped <= 4 || at_low_fret >= 2;
}

class Layer {
 public:
  Layer(const WantedStroke& stroke, const Banjo& banjo, const Neck& neck, std::vector<Laid>& out)
      : stroke_(stroke), banjo_(banjo), neck_(neck), out_(out) {
    laid_.count = static_cast<std::int8_t>(stroke.count);
  }

  void lay(int index, unsigned taken) {
    if (index == stroke_.count) {
      if (enough_fingers(laid_)) out_.push_back(laid_);
      return;
    }
    const WantedNote& note = stroke_.notes[static_cast<std::size_t>(index)];
    for (int string = 1; string <= string_count; ++string) {
      if ((taken & (1U << string)) != 0) continue;
      if (note.fixed && note.fixed->string != string) continue;
      const auto fret = note.fixed ? std::optional<int>(note.fixed->fret) : fret_for(banjo_, note, string);
      if (fret) put(index, taken, string, *fret);
    }
  }

 private:
  void put(int index, unsigned taken, int string, int fret) {
    const Laid before = laid_;
    laid_.notes[static_cast<std::size_t>(index)] = {static_cast<std::int8_t>(string),
                                                    static_cast<std::int8_t>(fret)};
    if (fret > 0) {
      const int low = laid_.low_fret == 0 ? fret : std::min<int>(laid_.low_fret, fret);
      const int high = std::max<int>(laid_.high_fret, fret);
      laid_.low_fret = static_cast<std::int8_t>(low);
      laid_.high_fret = static_cast<std::int8_t>(high);
    }
    if (laid_.low_fret == 0 || neck_.span_mm(laid_.low_fret, laid_.high_fret) <= hard_span_mm) {
      lay(index + 1, taken | (1U << string));
    }
    laid_ = before;
  }

  const WantedStroke& stroke_;
  const Banjo& banjo_;
  const Neck& neck_;
  std::vector<Laid>& out_;
  Laid laid_;
};

}  // namespace

std::vector<Laid> ways_to_lay(const WantedStroke& stroke, const Banjo& banjo, const Neck& neck) {
  std::vector<Laid> ways;
  Layer(stroke, banjo, neck, ways).lay(0, 0);
  return ways;
}

}  // namespace fifthpeg::hands
