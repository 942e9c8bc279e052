// The strings: pitch, onset, decay, how notes begin and end, and that nothing clicks.
#include <cmath>
#include <gtest/gtest.h>
#include <utility>
#include <vector>

#include "formats/audio/heard.hpp"
#include "formats/audio/renderer.hpp"
#include "formats/audio/settings.hpp"

namespace fifthpeg {
namespace {

using namespace testing;

TEST(String, EveryFretOfEveryStringIsInTune) {
  for (int string = 1; string <= string_count; ++string) {
    for (int fret = string == fifth_string ? fifth_nut_fret : 0; fret <= 22; ++fret) {
      const SoundedString note = note_at(string, fret);
      const Samples samples = render(sounding_of({note}));
      const double wanted = hz_of(note.midi);
      EXPECT_NEAR(cents(partial_near(between(samples, 0.02, 0.4), wanted), wanted), 0, 1)
          << "string " << string << ", fret " << fret;
    }
  }
}

TEST(String, IsInTuneAtOtherRates) {
  for (const double rate : {48'000.0, 96'000.0, 22'050.0}) {
    const SoundedString note = note_at(1, 22);
    const Sounding asked = sounding_of({note});
    audio::Renderer renderer(asked, rate);
    std::vector<double> wide(static_cast<std::size_t>(0.4 * rate));
    renderer.next(wide);
    const Samples samples(wide.begin(), wide.end());
    const double wanted = hz_of(note.midi) * sample_rate / rate;
    EXPECT_NEAR(cents(partial_near(std::span(samples).subspan(1000), wanted), wanted), 0, 1) << rate;
  }
}

TEST(String, BeginsWhenItIsStruck) {
  for (const int fret : {0, 7, 22}) {
    const double start = 0.1234;
    const Samples samples = render(sounding_of({note_at(1, fret, start)}, 2));
    EXPECT_EQ(peak(between(samples, 0, start)), 0);
    const double highest = peak(samples);
    const auto first = static_cast<std::size_t>(
        std::find_if(samples.begin(), samples.end(),
                     [&](float sample) { return std::abs(sample) > 0.1 * highest; }) -
        samples.begin());
    EXPECT_NEAR(static_cast<double>(first) / sample_rate, start, 0.002);
  }
}

// The fundamental falls by 60 dB in the time that settings.hpp states.
TEST(String, DecaysAsStated) {
  for (const auto& [string, fret] : std::vector<std::pair<int, int>>{{4, 0}, {3, 0}, {1, 0}, {1, 12}}) {
    const SoundedString note = note_at(string, fret);
    const Samples samples = render(sounding_of({note}));
    const double hz = hz_of(note.midi);
    const double early = 20 * std::log10(amplitude(between(samples, 0.05, 0.15), hz));
    const double late = 20 * std::log10(amplitude(between(samples, 0.35, 0.45), hz));
    const double seconds = 60 * 0.3 / (early - late);
    const double stated = audio::banjo_string.decay_seconds *
                          std::pow(hz / audio::reference_hz, -audio::banjo_string.decay_slope);
    EXPECT_NEAR(seconds / stated, 1, 0.03) << "string " << string << ", fret " << fret;
  }
}

// What is bright goes first: partials about 4 kHz in the time that settings.hpp states.
TEST(String, GetsDullerAsItSounds) {
  const Samples samples = render(sounding_of({note_at(1, 12)}));
  const double hz = 7 * hz_of(74);
  const double early = 20 * std::log10(amplitude(between(samples, 0.02, 0.07), hz));
  const double late = 20 * std::log10(amplitude(between(samples, 0.12, 0.17), hz));
  EXPECT_NEAR(60 * 0.1 / (early - late), audio::banjo_string.bright_seconds, 0.04);
}

// Of notes that end after 0.3 s: what is left of them a tenth of a second later.
double left_after(Stop stop) {
  SoundedString note = note_at(2, 1);
  note.end = 0.3;
  note.stop = stop;
  const Samples samples = render(sounding_of({note}));
  return decibels(between(samples, 0.4, 0.45)) - decibels(between(samples, 0.25, 0.3));
}

TEST(String, RingsOnIsLiftedOrStopped) {
  EXPECT_GT(left_after(Stop::open), -8);
  EXPECT_LT(left_after(Stop::lift), left_after(Stop::open) - 8);
  EXPECT_LT(left_after(Stop::stop), left_after(Stop::lift) - 40);
}

TEST(String, ADeadNoteIsAThump) {
  SoundedString note = note_at(3, 0);
  const Samples rings = render(sounding_of({note}));
  note.dead = true;
  const Samples samples = render(sounding_of({note}));
  EXPECT_GT(peak(samples), 0.2 * peak(rings));
  EXPECT_LT(decibels(between(samples, 0.1, 0.2)), decibels(between(rings, 0.1, 0.2)) - 40);
}

// Of a string that is touched at its middle only every second partial sounds.
TEST(String, AChimeHasNothingOfTheOpenString) {
  SoundedString note = note_at(3, 12);
  note.harmonic = true;
  const Samples samples = render(sounding_of({note}));
  const auto heard = between(samples, 0.1, 0.5);
  const double octave = amplitude(heard, hz_of(67));
  for (const int odd : {1, 3, 5}) EXPECT_LT(amplitude(heard, odd * hz_of(55)), 0.001 * octave);
}

TEST(String, ASlideArrives) {
  for (const auto& [from, to] : std::vector<std::pair<int, int>>{{2, 4}, {12, 7}, {0, 15}, {22, 17}}) {
    SoundedString note = note_at(1, from);
    note.end = 0.5;
    note.glides = {{0.2, 0.5, 0, 100 * (to - from)}};
    SoundedString arrived = note_at(1, to, 0.5);
    arrived.begin = Begin::slide;
    const Samples samples = render(sounding_of({note, arrived}));
    const double before = hz_of(note.midi);
    const double after = hz_of(arrived.midi);
    EXPECT_NEAR(cents(partial_near(between(samples, 0.02, 0.19), before), before), 0, 2);
    EXPECT_NEAR(cents(partial_near(between(samples, 0.52, 0.8), after), after), 0, 2);
    // Half way in the middle of the time.
    const double half_way = std::sqrt(before * after);
    const auto middle = between(samples, 0.335, 0.365);
    if (std::abs(to - from) < 5) continue;
    EXPECT_GT(amplitude(middle, half_way), 1.5 * amplitude(middle, before)) << from << " to " << to;
    EXPECT_GT(amplitude(middle, half_way), 1.5 * amplitude(middle, after)) << from << " to " << to;
  }
}

TEST(String, AChokeIsPushedHeldAndLetDown) {
  SoundedString note = note_at(2, 8);
  note.glides = {{0, 0.1, 0, 200}, {0.5, 0.6, 200, 0}};
  const Samples samples = render(sounding_of({note}));
  const double hz = hz_of(note.midi);
  EXPECT_NEAR(cents(partial_near(between(samples, 0.12, 0.48), hz * std::exp2(2 / 12.0)), hz), 200, 2);
  EXPECT_NEAR(cents(partial_near(between(samples, 0.62, 0.9), hz), hz), 0, 2);
}

// Softer than a pluck, in tune at once, and the string goes on.
TEST(String, HammersAndPullsAreSofterAndInTune) {
  for (const Begin begin : {Begin::hammer, Begin::pull}) {
    const bool up = begin == Begin::hammer;
    const SoundedString first = note_at(3, up ? 0 : 2);
    SoundedString second = note_at(3, up ? 2 : 0, 0.25);
    const Samples plucked = render(sounding_of({first, second}));
    second.begin = begin;
    const Samples samples = render(sounding_of({first, second}));
    const double hz = hz_of(second.midi);
    EXPECT_NEAR(cents(partial_near(between(samples, 0.27, 0.6), hz), hz), 0, 2);
    EXPECT_LT(peak(between(samples, 0.25, 0.35)), 0.9 * peak(between(plucked, 0.25, 0.35)));
    EXPECT_GT(decibels(between(samples, 0.25, 0.35)), decibels(between(samples, 0.2, 0.25)) - 1);
  }
}

// A string that sounds is struck again at every place of its vibration, as softly as can be: no step from one
// sample to the next is greater than those of the vibration itself.
TEST(String, StrikingAgainDoesNotClick) {
  for (const Begin begin : {Begin::pluck, Begin::hammer, Begin::pull, Begin::slide}) {
    for (const int fret : {0, 5, 17}) {
      for (int i = 0; i < 40; ++i) {
        const double again = 0.2 + i * 0.00037;
        SoundedString soft = note_at(4, fret, again);
        soft.velocity = 1;
        soft.begin = begin;
        const Samples samples = render(sounding_of({note_at(4, fret), soft}));
        ASSERT_LE(steepest(between(samples, again - 0.0005, again + 0.03)),
                  1.1 * steepest(between(samples, again - 0.03, again - 0.0005)))
            << "begin " << static_cast<int>(begin) << ", fret " << fret << ", " << again;
      }
    }
  }
}

// Also where it is struck a third time while the first is still fading.
TEST(String, StrikingAgainAtOnceDoesNotClick) {
  for (int i = 1; i < 8; ++i) {
    SoundedString second = note_at(4, 2, 0.2);
    SoundedString third = note_at(4, 3, 0.2 + 0.001 * i);
    second.velocity = third.velocity = 1;
    const Samples samples = render(sounding_of({note_at(4, 0), second, third}));
    EXPECT_LE(steepest(between(samples, 0.1995, 0.25)), 1.1 * steepest(between(samples, 0.15, 0.1995)));
  }
}

TEST(String, StoppingDoesNotClick) {
  SoundedString note = note_at(4, 0);
  note.end = 0.2;
  note.stop = Stop::stop;
  const Samples samples = render(sounding_of({note}));
  EXPECT_LE(steepest(between(samples, 0.1995, 0.3)), 1.1 * steepest(between(samples, 0.15, 0.1995)));
}

TEST(String, ANewStrokeEndsTheOldNote) {
  const Samples samples = render(sounding_of({note_at(1, 0), note_at(1, 5, 0.3)}));
  const auto after = between(samples, 0.33, 0.7);
  EXPECT_LT(amplitude(after, hz_of(62)), 0.02 * amplitude(after, hz_of(67)));
}

// The fifth string is a string of its own: the same pitch on the first does not end it.
TEST(String, StringsSoundTogether) {
  const Samples samples = render(sounding_of({note_at(5, 5), note_at(1, 0, 0.3)}));
  const auto after = between(samples, 0.33, 0.7);
  EXPECT_GT(amplitude(after, hz_of(67)), 0.1 * amplitude(after, hz_of(62)));
}

TEST(String, SilenceStaysSilent) {
  EXPECT_EQ(peak(render(sounding_of({}, 3))), 0);
  EXPECT_EQ(render(Sounding{}).size(), 2U * sample_rate);
}

// What has died away is nothing, and never a number that processors are slow with.
TEST(String, EndsInSilence) {
  Sounding sounding = sounding_of({note_at(4, 0), note_at(1, 3)}, 30);
  sounding.clicks = {{0.5, true}};
  audio::Renderer renderer(sounding);
  std::vector<double> samples(static_cast<std::size_t>(renderer.length()));
  renderer.next(samples);
  for (const double sample : samples) ASSERT_NE(std::fpclassify(sample), FP_SUBNORMAL);
  for (std::size_t i = samples.size() / 2; i < samples.size(); ++i) ASSERT_EQ(samples[i], 0);
}

TEST(String, IsTheSameWhateverThePieces) {
  const Sounding sounding = sounding_of({note_at(1, 0), note_at(3, 2, 0.1), note_at(1, 2, 0.25)});
  audio::Renderer whole(sounding);
  audio::Renderer pieces(sounding);
  std::vector<double> at_once(20'000);
  whole.next(at_once);
  std::vector<double> one_by_one;
  std::vector<double> piece(128);
  while (one_by_one.size() < at_once.size()) {
    pieces.next(piece);
    one_by_one.insert(one_by_one.end(), piece.begin(), piece.end());
  }
  for (std::size_t i = 0; i < at_once.size(); ++i) ASSERT_NEAR(at_once[i], one_by_one[i], 1e-12) << i;
}

TEST(Click, IsShortAndHigherWithAccent) {
  Sounding sounding;
  sounding.clicks = {{0.1, true}, {0.6, false}};
  sounding.seconds = 1;
  const Samples samples = render(sounding);
  EXPECT_EQ(peak(between(samples, 0, 0.1)), 0);
  EXPECT_GT(peak(between(samples, 0.1, 0.105)), 0.1);
  EXPECT_LT(decibels(between(samples, 0.15, 0.2)), decibels(between(samples, 0.1, 0.11)) - 40);
  EXPECT_EQ(peak(between(samples, 0.25, 0.6)), 0);
  EXPECT_GT(amplitude(between(samples, 0.1, 0.13), 1950), 3 * amplitude(between(samples, 0.1, 0.13), 1300));
  EXPECT_GT(amplitude(between(samples, 0.6, 0.63), 1300), 3 * amplitude(between(samples, 0.6, 0.63), 1950));
}

}  // namespace
}  // namespace fifthpeg
