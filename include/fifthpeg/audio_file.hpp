// Audio files: what sounds, as WAV and FLAC.
//
// In a library of its own, fifthpeg::audio, since it alone needs libsndfile. Files are mono, 44.1 kHz, 16
// bits: one instrument without a room has nothing to say in a second channel, and a file of half the size is
// mailed sooner.
#pragma once

#include <cstdint>

#include "fifthpeg/audio.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/write.hpp"

namespace fifthpeg {

// ITU-R BS.1770 loudness of what is written, in LUFS.
inline constexpr double written_loudness = -16;
// No sample of what is written is above it: -1 dB of full scale.
inline constexpr double written_peak = 0.891;

enum class AudioFormat : std::int8_t { wav, flac };

// Writes audio at written_loudness, so that one track is as loud as the next. Where peaks would then be above
// written_peak they are turned down for a moment, and where that does not do, all of it is softer and the
// report says so ("audio-softer"). Takes what libsndfile writes. Throws WriteError "too-long" for what is
// longer than longest_audio.
inline constexpr double longest_audio = 3 * 3600;  // seconds
Report write_audio(const Sounding& sounding, AudioFormat format, Sink& sink);

}  // namespace fifthpeg
