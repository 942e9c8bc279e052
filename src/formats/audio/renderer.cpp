#include "formats/audio/renderer.hpp"

#include <algorithm>
#include <cmath>

namespace fifthpeg::audio {
namespace {

constexpr double longest_ringing_out = 2;  // seconds
constexpr double a4_hz = 440;
constexpr int a4_midi = 69;

const StringSettings& settings_of(SoundPart part) {
  switch (part) {
    case SoundPart::bass:
      return bass_string;
    case SoundPart::chords:
      return chord_string;
    case SoundPart::banjo:
      break;
  }
  return banjo_string;
}

Strike strike_of(Begin begin) {
  return static_cast<Strike>(begin);
}
Release release_of(Stop stop) {
  return static_cast<Release>(stop);
}
static_assert(static_cast<int>(Strike::slide) == static_cast<int>(Begin::slide));
static_assert(static_cast<int>(Release::stop) == static_cast<int>(Stop::stop));

// As loud as devices play a velocity: 40 lg(velocity / 127) dB (Downloadable Sounds level 1, MIDI
// Manufacturers Association, from memory).
double strength_of(int velocity) {
  const double share = velocity / 127.0;
  return share * share;
}

}  // namespace

Renderer::Renderer(const Sounding& sounding, double rate)
    : sounding_(sounding), rate_(rate), body_(rate), click_(rate) {}

std::int64_t Renderer::sample_at(double seconds) const {
  return static_cast<std::int64_t>(std::floor(seconds * rate_ + 0.5));
}

std::int64_t Renderer::length() const {
  return sample_at(sounding_.seconds + longest_ringing_out);
}

StringVoice& Renderer::voice_of(const SoundedString& sounded) {
  const std::pair<SoundPart, int> key{sounded.part, sounded.string};
  const auto found = strings_.find(key);
  if (found != strings_.end()) return found->second;
  const auto seed = static_cast<std::uint32_t>(100 * static_cast<int>(sounded.part) + sounded.string);
  StringVoice& voice = strings_.try_emplace(key, settings_of(sounded.part), rate_, seed).first->second;
  voice.pass(now_);
  return voice;
}

void Renderer::begin(const SoundedString& sounded) {
  StringNote note;
  note.end = sample_at(sounded.end);
  note.hz = a4_hz * std::exp2((sounded.midi - a4_midi) / 12.0);
  note.strength = strength_of(sounded.velocity);
  note.length = sounded.length;
  note.strike = strike_of(sounded.begin);
  note.release = release_of(sounded.stop);
  note.harmonic = sounded.harmonic;
  note.dead = sounded.dead;
  note.glides.reserve(sounded.glides.size());
  for (const SoundedGlide& glide : sounded.glides) {
    note.glides.push_back({sample_at(glide.from), sample_at(glide.to), static_cast<double>(glide.cents_from),
                           static_cast<double>(glide.cents_to)});
  }
  voice_of(sounded).begin(std::move(note));
}

void Renderer::add_strings(std::size_t from, std::size_t to) {
  for (auto& [key, voice] : strings_) {
    std::vector<double>& bus = key.first == SoundPart::banjo ? banjo_ : others_;
    voice.add_to(std::span(bus).subspan(from, to - from));
  }
  click_.add_to(std::span(others_).subspan(from, to - from));
}

void Renderer::next(std::span<double> out) {
  banjo_.assign(out.size(), 0);
  others_.assign(out.size(), 0);
  const std::int64_t end = now_ + static_cast<std::int64_t>(out.size());
  const std::int64_t start = now_;
  const auto& notes = sounding_.strings;
  const auto& clicks = sounding_.clicks;
  while (now_ < end) {
    while (next_string_ < notes.size() && sample_at(notes[next_string_].start) <= now_)
      begin(notes[next_string_++]);
    while (next_click_ < clicks.size() && sample_at(clicks[next_click_].start) <= now_)
      click_.begin(clicks[next_click_++].accent);
    std::int64_t until = end;
    if (next_string_ < notes.size()) until = std::min(until, sample_at(notes[next_string_].start));
    if (next_click_ < clicks.size()) until = std::min(until, sample_at(clicks[next_click_].start));
    add_strings(static_cast<std::size_t>(now_ - start), static_cast<std::size_t>(until - start));
    now_ = until;
  }
  body_.sound(banjo_);
  for (std::size_t i = 0; i < out.size(); ++i) out[i] = banjo_[i] + others_[i];
}

}  // namespace fifthpeg::audio

namespace fifthpeg {

std::vector<float> render(const Sounding& sounding) {
  constexpr std::size_t piece = 4096;
  audio::Renderer renderer(sounding);
  std::vector<float> samples(static_cast<std::size_t>(renderer.length()));
  std::vector<double> next(piece);
  for (std::size_t at = 0; at < samples.size(); at += piece) {
    const std::size_t count = std::min(piece, samples.size() - at);
    renderer.next(std::span(next).first(count));
    for (std::size_t i = 0; i < count; ++i) samples[at + i] = static_cast<float>(next[i]);
  }
  return samples;
}

}  // namespace fifthpeg
