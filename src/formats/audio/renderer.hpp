// From what sounds, in seconds, to samples: strings, body and click, a piece at a time.
#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <span>
#include <utility>
#include <vector>

#include "fifthpeg/audio.hpp"
#include "formats/audio/body.hpp"
#include "formats/audio/click.hpp"
#include "formats/audio/string_voice.hpp"

namespace fifthpeg::audio {

class Renderer {
 public:
  explicit Renderer(const Sounding& sounding, double rate = sample_rate);

  // The samples that come next, as many as there is room for.
  void next(std::span<double> out);
  // How many there are in all, with what rings out.
  std::int64_t length() const;

 private:
  std::int64_t sample_at(double seconds) const;
  void begin(const SoundedString& sounded);
  StringVoice& voice_of(const SoundedString& sounded);
  void add_strings(std::size_t from, std::size_t to);

  const Sounding& sounding_;
  double rate_;
  // By part and number.
  std::map<std::pair<SoundPart, int>, StringVoice> strings_;
  Body body_;
  ClickVoice click_;
  std::size_t next_string_ = 0;
  std::size_t next_click_ = 0;
  std::int64_t now_ = 0;
  std::vector<double> banjo_;
  std::vector<double> others_;
};

}  // namespace fifthpeg::audio
