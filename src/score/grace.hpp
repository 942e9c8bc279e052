// How long a grace note is played: as fast as it comes clean (common practice).
#pragma once

namespace fifthpeg {

inline constexpr int grace_milliseconds = 60;

}  // namespace fifthpeg
