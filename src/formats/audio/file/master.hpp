// As loud as the next one: gain and limiter for a whole track.
#pragma once

#include <cstddef>
#include <functional>
#include <span>

#include "fifthpeg/audio_file.hpp"

namespace fifthpeg::audio {

struct Master {
  double gain = 1;
  bool limited = false;  // peaks have to be turned down
  double softer_by = 0;  // LU below written_loudness, where more gain would hurt
};

// Finds them by listening to all of it, several times where peaks are in the way.
Master master(const Sounding& sounding);

// All samples with the gain and under written_peak, a piece at a time.
void play(const Sounding& sounding, const Master& master,
          const std::function<void(std::span<const double>)>& take);

}  // namespace fifthpeg::audio
