// The shape that a chord symbol has on a banjo.
#include "hands/chord_shapes.hpp"

#include <array>
#include <bit>
#include <gtest/gtest.h>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "hands/model.hpp"
#include "hands/queries.hpp"
#include "score/chord_tones.hpp"

namespace fifthpeg::hands {
namespace {

Banjo banjo_with(const Tuning& tuning) {
  Banjo banjo;
  banjo.tuning = tuning;
  return banjo;
}

// "5:x 4:2m 3:0 2:1i 1:2r": every string with its fret and its finger; x: not played; "none": no shape.
std::string text_of(const std::optional<ChordShape>& shape) {
  if (!shape) return "none";
  std::string text;
  for (int string = string_count; string >= 1; --string) {
    const StringHold& hold = shape->on(string);
    text += (text.empty() ? "" : " ") + std::to_string(string) + ":";
    text += hold.fret ? std::to_string(*hold.fret) : "x";
    if (hold.finger) text += std::string_view("0imrlT")[static_cast<std::size_t>(*hold.finger)];
  }
  return text;
}

std::string shape_of(std::string_view symbol, const Banjo& banjo = {}) {
  return text_of(chord_shape(banjo, parse_chord_symbol(symbol).value()));
}

// Common practice.
TEST(ChordShapes, AreTheUsualOnesInOpenG) {
  const std::vector<std::pair<std::string_view, std::string_view>> facts{
      {"G", "5:0 4:0 3:0 2:0 1:0"},      {"C", "5:0 4:2m 3:0 2:1i 1:2r"},   {"D7", "5:x 4:0 3:2m 2:1i 1:0"},
      {"D", "5:x 4:4r 3:2i 2:3m 1:4l"},  {"Em", "5:0 4:2m 3:0 2:0 1:2r"},   {"Am", "5:x 4:2r 3:2m 2:1i 1:2l"},
      {"F", "5:x 4:3r 3:2m 2:1i 1:3l"},  {"A", "5:x 4:2i 3:2i 2:2i 1:2i"},  {"B", "5:x 4:4i 3:4i 2:4i 1:4i"},
      {"Bb", "5:x 4:3i 3:3i 2:3i 1:3i"}, {"F#", "5:x 4:4r 3:3m 2:2i 1:4l"}, {"Fm", "5:x 4:3r 3:1i 2:1i 1:3l"},
      {"Gm", "5:0 4:5r 3:3i 2:3i 1:5l"},
  };
  for (const auto& [symbol, shape] : facts) EXPECT_EQ(shape_of(symbol), shape) << symbol;
}

// Common practice: G7, A7 and Em7 as players have them, A minor seventh and C sixth over the bar. The others
// are what the hands' model makes of their notes.
TEST(ChordShapes, AreFoundForWhatTheTableDoesNotHave) {
  EXPECT_EQ(shape_of("G6"), "5:0 4:0 3:0 2:0 1:2m");
  EXPECT_EQ(shape_of("A7"), "5:0 4:2i 3:2i 2:2i 1:5l");
  EXPECT_EQ(shape_of("G7"), "5:0 4:0 3:0 2:0 1:3r");
  EXPECT_EQ(shape_of("Em7"), "5:0 4:0 3:0 2:0 1:2m");
  EXPECT_EQ(shape_of("Am7"), "5:0 4:5i 3:5i 2:5i 1:7r");
  EXPECT_EQ(shape_of("Cmaj7"), "5:0 4:2i 3:5r 2:0 1:5l");
  EXPECT_EQ(shape_of("Bdim"), "5:x 4:0 3:4r 2:0 1:3m");
  EXPECT_EQ(shape_of("C6"), "5:0 4:5i 3:5i 2:5i 1:7r");
}

TEST(ChordShapes, AreOpenWhereTheTuningIsTheChord) {
  EXPECT_EQ(shape_of("D", banjo_with(parse_tuning("open-d").value())), "5:0 4:0 3:0 2:0 1:0");
  EXPECT_EQ(shape_of("Gsus4", banjo_with(parse_tuning("modal-g").value())), "5:0 4:0 3:0 2:0 1:0");
}

// Chord symbols sound, frets are counted from the capo: in A with the shapes of G.
TEST(ChordShapes, MoveAlongWithACapo) {
  Banjo banjo;
  banjo.capo = 2;
  banjo.fifth_capo = usual_fifth_capo(2);
  EXPECT_EQ(shape_of("A", banjo), shape_of("G"));
  EXPECT_EQ(shape_of("D", banjo), shape_of("C"));
  EXPECT_EQ(shape_of("E7", banjo), shape_of("D7"));
  EXPECT_EQ(shape_of("Bb", banjo), shape_of("G#"));
}

TEST(ChordShapes, OfAChordOverAnotherBassAreTheChords) {
  EXPECT_EQ(shape_of("D7/F#"), shape_of("D7"));
}

TEST(ChordShapes, AreNotThereForWhatNamesNoNotes) {
  EXPECT_EQ(shape_of("N.C."), "none");
  EXPECT_EQ(shape_of("C(pedal)"), "none");
  EXPECT_EQ(shape_of("G13"), "none");  // six notes on four strings
}

constexpr std::array kinds{"",     "m",       "7",     "aug", "dim",  "maj7", "m7", "dim7",   "aug7",
                           "m7b5", "m(maj7)", "6",     "m6",  "9",    "maj9", "m9", "11",     "maj11",
                           "m11",  "13",      "maj13", "m13", "sus2", "sus4", "5",  "(add9)", "7(b9)"};
constexpr std::array roots{"C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"};

Stroke stroke_of(const ChordShape& shape, const Banjo& banjo) {
  Stroke stroke;
  stroke.duration = {1, 4};
  for (int string = 1; string < fifth_string; ++string) {
    const StringHold& hold = shape.on(string);
    if (!hold.fret) continue;
    Note note;
    note.placement = Placement{static_cast<std::int8_t>(string), static_cast<std::int8_t>(*hold.fret)};
    note.pitch = spell(banjo.midi_at(*note.placement).value_or(0), {});
    note.finger = hold.finger;
    stroke.notes.push_back(note);
  }
  return stroke;
}

// The seventh chords of the table are played without their third, too.
unsigned needed_by(const ChordSymbol& chord, const ChordTones& tones) {
  if (chord.kind != "dominant" || !chord.degrees.empty()) return tones.needed;
  constexpr int major_third = 4;
  return tones.needed & ~ChordTones::bit(Pitch{chord.root.step, chord.root.alter, 4}.midi() + major_third);
}

class ShapesOfAllChords : public ::testing::TestWithParam<std::size_t> {};

TEST_P(ShapesOfAllChords, SoundTheChordAndCanBeHeld) {
  const NamedTuning& tuning = named_tunings()[GetParam()];
  for (const int capo : {0, 3}) {
    Banjo banjo = banjo_with(tuning.tuning);
    banjo.capo = capo;
    banjo.fifth_capo = usual_fifth_capo(capo);
    const Model model(banjo, {}, Style::roll);
    for (const std::string_view kind : kinds) {
      for (const std::string_view root : roots) {
        const std::string symbol = std::string(root) + std::string(kind);
        SCOPED_TRACE(std::string(tuning.name) + ", capo " + std::to_string(capo) + ": " + symbol);
        const ChordSymbol chord = parse_chord_symbol(symbol).value();
        const auto shape = chord_shape(banjo, chord);
        // Four strings have a chord of four notes, or of five without its fifth.
        const auto tones = chord_tones(chord).value();
        EXPECT_EQ(shape.has_value(), std::popcount(tones.needed) <= 4) << text_of(shape);
        if (!shape) continue;
        SCOPED_TRACE(text_of(shape));
        unsigned sounding = 0;
        for (int string = 1; string <= string_count; ++string) {
          const StringHold& hold = shape->on(string);
          EXPECT_EQ(hold.finger.has_value(), hold.fret.value_or(0) > 0);
          if (!hold.fret) continue;
          const auto placement =
              Placement{static_cast<std::int8_t>(string), static_cast<std::int8_t>(*hold.fret)};
          const auto midi = banjo.midi_at(placement);
          ASSERT_TRUE(midi);
          EXPECT_TRUE(tones.has(*midi));
          if (string != fifth_string) sounding |= ChordTones::bit(*midi);
        }
        EXPECT_EQ(needed_by(chord, tones) & ~sounding, 0U);
        EXPECT_EQ(judge_hold(stroke_of(*shape, banjo), model).fault, HoldFault::none);
      }
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Tunings, ShapesOfAllChords,
                         ::testing::Range(std::size_t{0}, named_tunings().size()));

}  // namespace
}  // namespace fifthpeg::hands
