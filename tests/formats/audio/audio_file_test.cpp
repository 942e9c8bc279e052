// Audio files: as loud as they should be, never too loud, and what they hold.
#include "fifthpeg/audio_file.hpp"

#include <cmath>
#include <cstring>
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "formats/audio/file/limiter.hpp"
#include "formats/audio/heard.hpp"
#include "formats/audio/noise.hpp"

namespace fifthpeg {
namespace {

using testing::note_at;
using testing::peak;
using testing::sounding_of;

constexpr std::size_t wav_header = 44;  // bytes, of RIFF WAVE with a format of 16 bytes and data alone

std::vector<float> samples_in(const std::string& wav) {
  std::vector<float> samples((wav.size() - wav_header) / 2);
  for (std::size_t i = 0; i < samples.size(); ++i) {
    std::int16_t sample = 0;
    std::memcpy(&sample, wav.data() + wav_header + 2 * i, 2);
    samples[i] = static_cast<float>(sample) / 32768.0F;
  }
  return samples;
}

std::string wav_of(const Sounding& sounding, Report* report = nullptr) {
  StringSink sink;
  const Report said = write_audio(sounding, AudioFormat::wav, sink);
  if (report != nullptr) *report = said;
  return sink.str();
}

// A forward roll on open strings, a note every `each` seconds.
Sounding roll(int notes, double each, int velocity) {
  constexpr int strings[] = {3, 2, 1, 5, 2, 1, 3, 1};
  std::vector<SoundedString> sounded;
  for (int i = 0; i < notes; ++i) {
    const int string = strings[i % 8];
    sounded.push_back(note_at(string, string == fifth_string ? fifth_nut_fret : 0, i * each));
    sounded.back().velocity = static_cast<std::uint8_t>(velocity);
  }
  return sounding_of(sounded, notes * each);
}

// Down to a note every 0.8 seconds, a slow quarter, and from pp to fff.
TEST(AudioFile, IsAsLoudAsTheNext) {
  for (const double each : {0.12, 0.3, 0.8}) {
    for (const int velocity : {30, 80, 127}) {
      Report report;
      const std::string wav = wav_of(roll(24, each, velocity), &report);
      const std::vector<float> samples = samples_in(wav);
      EXPECT_NEAR(loudness(samples), written_loudness, 0.5) << each << " " << velocity;
      EXPECT_LE(peak(samples), written_peak + 0.0001);
      EXPECT_TRUE(report.empty());
    }
  }
}

// One note in a long silence cannot be as loud without being squeezed: told, and still below full scale.
TEST(AudioFile, SaysWhenItIsSofter) {
  Sounding sounding = sounding_of({note_at(1, 20)}, 1);
  sounding.strings.front().dead = true;
  Report report;
  const std::vector<float> samples = samples_in(wav_of(sounding, &report));
  EXPECT_LE(peak(samples), written_peak + 0.0001);
  ASSERT_EQ(report.entries().size(), 1U);
  EXPECT_EQ(report.entries().front().slug, "audio-softer");
  EXPECT_LT(loudness(samples), written_loudness - 0.5);
}

TEST(AudioFile, OfSilenceIsSilent) {
  Report report;
  const std::vector<float> samples = samples_in(wav_of(sounding_of({}, 1), &report));
  EXPECT_EQ(samples.size(), 3U * sample_rate);
  EXPECT_EQ(peak(samples), 0);
  EXPECT_TRUE(report.empty());
}

TEST(AudioFile, IsWhatItsNameSays) {
  const Sounding sounding = roll(8, 0.2, 80);
  const std::string wav = wav_of(sounding);
  EXPECT_EQ(wav.substr(0, 4), "RIFF");
  EXPECT_EQ(wav.substr(8, 8), "WAVEfmt ");
  std::uint32_t length = 0;
  std::memcpy(&length, wav.data() + 40, 4);
  EXPECT_EQ(length, wav.size() - wav_header);
  StringSink flac;
  write_audio(sounding, AudioFormat::flac, flac);
  EXPECT_EQ(flac.str().substr(0, 4), "fLaC");
  EXPECT_LT(flac.str().size(), wav.size());
  EXPECT_EQ(wav_of(sounding), wav) << "equal input, equal bytes";
}

TEST(AudioFile, CannotBeTooLong) {
  StringSink sink;
  EXPECT_THROW(write_audio(sounding_of({}, longest_audio + 1), AudioFormat::wav, sink), WriteError);
}

TEST(Limiter, KeepsPeaksUnderTheCeilingAndLeavesTheRest) {
  audio::Limiter limiter(0.5, sample_rate);
  audio::Noise noise(7);
  std::vector<double> in;
  std::vector<double> out;
  for (int i = 0; i < 50'000; ++i) {
    const bool loud = i > 20'000 && i < 21'000;
    in.push_back((loud ? 1.5 : 0.3) * noise.next());
    out.push_back(limiter.next(in.back()));
    ASSERT_LE(std::abs(out.back()), 0.5);
  }
  const std::size_t delay = limiter.delay();
  for (std::size_t i = delay; i < 19'000; ++i) ASSERT_NEAR(out[i], in[i - delay], 1e-12);
  // And again when it has let up.
  for (std::size_t i = 45'000; i < 50'000; ++i) ASSERT_NEAR(out[i], in[i - delay], 0.002);
}

}  // namespace
}  // namespace fifthpeg
