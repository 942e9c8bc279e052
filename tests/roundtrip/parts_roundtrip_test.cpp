// Several parts in one file: each is read back as what it was.
#include <algorithm>
#include <gtest/gtest.h>
#include <set>
#include <span>
#include <string>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"
#include "formats/midi/writer/lick.hpp"
#include "formats/midi/writer/parse.hpp"
#include "property/random_parts.hpp"
#include "roundtrip/midi_held.hpp"
#include "roundtrip/score_difference.hpp"

namespace fifthpeg::testing {
namespace {

std::span<const Score> only(const Score& score) {
  return {&score, 1};
}

ReadOptions part(const std::string& name) {
  ReadOptions options;
  options.part = name;
  return options;
}

TEST(MusicXmlParts, EachIsReadBack) {
  for (std::uint64_t seed = 1; seed <= 120; ++seed) {
    const RandomParts parts = random_parts(seed);
    for (const Staves staves : {Staves::both, Staves::notation, Staves::tab}) {
      MusicXmlOptions options;
      options.staves = staves;
      if (seed % 3 == 0) options.fifth_frets = FifthFrets::from_own_nut;
      StringSink sink;
      write_musicxml(parts.first, only(parts.second), options, sink);
      for (const auto& [name, wanted] : {std::pair{"Banjo", &parts.first}, {"2", &parts.second}}) {
        const Reading reading = read_musicxml(sink.str(), part(name));
        ASSERT_EQ(difference(*wanted, reading.score), "") << "seed " << seed << ", part " << name;
        ASSERT_EQ(reading.score, *wanted) << "seed " << seed;
        ASSERT_FALSE(reading.report.has_losses()) << reading.report.entries().front().text;
        ASSERT_EQ(reading.inventory.parts.size(), 2U);
      }
      ASSERT_EQ(read_musicxml(sink.str()).score, parts.first) << "where none is asked for";
    }
  }
}

TEST(MusicXmlParts, CompressedTheyAreTheSame) {
  const RandomParts parts = random_parts(7);
  StringSink plain;
  StringSink packed;
  write_musicxml(parts.first, only(parts.second), {}, plain);
  write_mxl(parts.first, only(parts.second), {}, packed);
  EXPECT_EQ(read(packed.str(), part("2")).score, read(plain.str(), part("2")).score);
  EXPECT_EQ(read(packed.str(), part("2")).score, parts.second);
}

// A neck, a fifth capo, a key that was estimated: of one part they are not the other's.
TEST(MusicXmlParts, WhatStandsInTheHeadIsOfItsPart) {
  for (const bool of_first : {true, false}) {
    RandomParts parts = random_parts(3);
    for (Score* score : {&parts.first, &parts.second}) {
      for (Measure& measure : score->measures) {
        for (Stroke& stroke : measure.strokes) {
          for (Note& note : stroke.notes) note.placement.reset();
        }
      }
      score->banjo = {};
      score->key_estimated = false;
    }
    Score& unusual = of_first ? parts.first : parts.second;
    unusual.banjo.frets = 19;
    unusual.banjo.capo = 2;
    unusual.banjo.fifth_capo = 9;
    unusual.key_estimated = true;
    StringSink sink;
    write_musicxml(parts.first, only(parts.second), {}, sink);
    for (const auto& [name, wanted] : {std::pair{"1", &parts.first}, {"2", &parts.second}}) {
      const Score score = read_musicxml(sink.str(), part(name)).score;
      EXPECT_EQ(score.banjo, wanted->banjo) << name;
      EXPECT_EQ(score.key_estimated, wanted->key_estimated) << name;
    }
  }
}

void drop_words(Score& score) {
  for (Measure& measure : score.measures) {
    for (Stroke& stroke : measure.strokes) stroke.lyrics.clear();
  }
}

TEST(MidiParts, EachIsReadBack) {
  RandomScoreOptions random;
  random.grace = random.repeats = false;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    RandomParts parts = random_parts(seed, random);
    Measure* second = parts.second.measures.data();
    bool first_has_words = false;
    bool second_has_words = false;
    for (Measure& measure : parts.first.measures) {  // what is the piece's is the first's
      // Where a part has no note, a mark stands at the nearest time that its notes have.
      const auto between = [second](const auto& mark) {
        return std::none_of(second->strokes.begin(), second->strokes.end(),
                            [&](const Stroke& stroke) { return stroke.onset == mark.at; });
      };
      std::erase_if(measure.chords, between);
      std::erase_if(measure.directions, between);
      second->tempos = measure.tempos;
      second->key = measure.key;
      second->key_changes = measure.key_changes;
      second->chords = measure.chords;
      second->directions = measure.directions;
      second->number = measure.number;
      // A part without words takes those of another track: they may be a singer's.
      for (const Stroke& stroke : measure.strokes)
        first_has_words = first_has_words || !stroke.lyrics.empty();
      for (const Stroke& stroke : second->strokes)
        second_has_words = second_has_words || !stroke.lyrics.empty();
      ++second;
    }
    if (first_has_words != second_has_words) {
      drop_words(parts.first);
      drop_words(parts.second);
    }
    MidiOptions options;
    options.channel_per_string = true;
    StringSink sink;
    write_midi(parts.first, only(parts.second), options, sink);
    for (const auto& [name, wanted] : {std::pair{"Banjo", &parts.first}, {"Second Banjo", &parts.second}}) {
      const Reading reading = read_midi(sink.str(), part(name));
      ASSERT_EQ(reading.inventory.parts.size(), 2U) << "seed " << seed;
      const Held read = held_by_midi(reading.score, true);
      const Held written = held_by_midi(*wanted, true);
      ASSERT_EQ(read.banjo, written.banjo) << "seed " << seed;
      ASSERT_EQ(read.part_name, written.part_name);
      ASSERT_EQ(read.swing, written.swing);
      ASSERT_EQ(read.marks, written.marks) << "seed " << seed << ", " << name;
      ASSERT_EQ(read.notes.size(), written.notes.size()) << "seed " << seed << ", " << name;
      for (std::size_t i = 0; i < read.notes.size(); ++i) {
        HeldNote note = read.notes[i];
        if (!written.notes[i].end) note.end.reset();
        ASSERT_EQ(note, written.notes[i]) << "seed " << seed << ", " << name << ", note " << i;
      }
    }
  }
}

Written write_parts(const Score& first, const std::vector<Score>& further, const MidiOptions& options = {}) {
  Written written;
  StringSink sink;
  written.report = write_midi(first, further, options, sink);
  written.bytes = sink.str();
  written.file = MidiParser(written.bytes).parse();
  return written;
}

Score two_measures() {
  return score_of({measure({stroke({1, 2}, {on(3, 0)}), stroke({1, 2}, {on(1, 0)})}),
                   measure({stroke({3, 4}, {on(2, 1)}), stroke({1, 4}, {})})});
}

std::set<int> channels_of(const std::vector<MidiEvent>& track) {
  std::set<int> channels;
  for (const MidiEvent& event : track) {
    if (event.status != 0xff) channels.insert(event.channel());
  }
  return channels;
}

TEST(MidiParts, EachHasATrackAndChannelsOfItsOwn) {
  const Score score = two_measures();
  const Written fifteen = write_parts(score, std::vector<Score>(14, score));
  ASSERT_EQ(fifteen.file.tracks.size(), 16U);
  std::set<int> all;
  for (std::size_t track = 1; track < 16; ++track) {
    const auto channels = channels_of(fifteen.file.tracks[track]);
    EXPECT_EQ(channels.size(), 1U);
    all.insert(channels.begin(), channels.end());
    EXPECT_EQ(notes_of(fifteen.file.tracks[track]).size(), 3U);
  }
  EXPECT_EQ(all.size(), 15U);
  EXPECT_FALSE(all.contains(9)) << "percussion's";
  const Written by_string = write_parts(score, {score}, {.channel_per_string = true});
  EXPECT_EQ(channels_of(by_string.file.tracks.at(1)), (std::set<int>{0, 1, 2, 3, 4}));
  EXPECT_EQ(channels_of(by_string.file.tracks.at(2)), (std::set<int>{6, 7, 8, 10, 11}));
}

TEST(MidiParts, TheFirstIsWrittenAsItIsByItself) {
  const Score score = two_measures();
  const Written alone = write_and_parse(score);
  const Written together = write_parts(score, {score});
  const auto data = [](const Written& written, std::size_t track) {
    std::string text;
    for (const MidiEvent& event : written.file.tracks.at(track)) {
      text += std::to_string(event.tick) + " " + std::to_string(event.status) + " " +
              std::to_string(event.type) + " " + std::to_string(event.second) + event.data + "\n";
    }
    return text;
  };
  EXPECT_EQ(data(alone, 0), data(together, 0));
  EXPECT_EQ(data(alone, 1), data(together, 1));
}

// The tempos and jumps of the first are the piece's; where one part needs finer ticks, both have them.
TEST(MidiParts, PlayByOneClock) {
  Score first = two_measures();
  first.measures[0].tempos = {{0, 100, {1, 4}, ""}};
  first.measures[1].directions = {{1, Direction::Kind::da_capo, "D.C."}};
  Score second = score_of({measure(std::vector<Stroke>(7, stroke({1, 7}, {on(5, 0)}))), measure({rest(1)})});
  second.measures[0].tempos = {{0, 180, {1, 4}, ""}};
  const Written written = write_parts(first, {second});
  EXPECT_EQ(written.file.division % 7, 0);
  EXPECT_EQ(metas_of(written.conductor(), 0x51).size(), 1U);
  EXPECT_TRUE(metas_of(written.file.tracks.at(2), 0x51).empty());
  const auto notes = notes_of(written.file.tracks.at(2));
  ASSERT_EQ(notes.size(), 14U) << "played twice, too";
  EXPECT_EQ(notes[7].on, 8 * written.file.division);
  EXPECT_EQ(written.told("midi-further-part"), 1U) << "its tempo";
  EXPECT_EQ(written.file.tracks.at(1).back().tick, written.file.tracks.at(2).back().tick);
}

TEST(MidiParts, TellsWhichPartLost) {
  Score second = two_measures();
  second.part_name = "Second Banjo";
  second.measures[0].strokes[0].notes[0].harmonic = true;
  second.measures[0].chords = {*parse_chord_symbol("G")};
  second.measures[1].directions = {{0, Direction::Kind::words, "softly"},
                                   {0, Direction::Kind::dynamics, "p"}};
  const Written written = write_parts(two_measures(), {second});
  EXPECT_EQ(written.told("midi-further-part"), 2U);
  for (const char* slug : {"midi-harmonic", "midi-further-part", "midi-dynamics"}) {
    const auto& entries = written.report.entries();
    const auto entry =
        std::find_if(entries.begin(), entries.end(), [slug](const Entry& one) { return one.slug == slug; });
    ASSERT_NE(entry, entries.end()) << slug;
    EXPECT_EQ(entry->places.front().part, "Second Banjo");
  }
}

// What of two parts has to be alike, and how it is said where it is not.
TEST(Parts, OfOtherMeasuresAreRefused) {
  const Score first = two_measures();
  const auto refusal = [&first](auto&& change, const MidiOptions& options = {}, std::size_t parts = 1) {
    Score second = two_measures();
    second.part_name = "Second Banjo";
    change(second);
    const std::vector<Score> further(parts, second);
    std::string said;
    StringSink sink;
    try {
      write_midi(first, further, options, sink);
    } catch (const UsageError& error) {
      said = error.code() + ": " + to_string(error.place()) + ": " + error.what();
    }
    EXPECT_TRUE(said.empty() || sink.str().empty());
    if (!said.starts_with("parts-differ")) return said;
    try {
      write_musicxml(first, further, {}, sink);
    } catch (const UsageError& error) {
      EXPECT_EQ(error.code() + ": " + to_string(error.place()) + ": " + error.what(), said);
      return said;
    }
    return std::string("written as MusicXML");
  };
  EXPECT_EQ(refusal([](Score&) {}), "");
  EXPECT_EQ(
      refusal([](Score& score) { score.measures.pop_back(); }),
      "parts-differ: part Second Banjo: the part Second Banjo cannot be played with the first: it has 1 "
      "measures, not 2");
  const std::string other =
      "the part Second Banjo cannot be played with the first: a measure has another "
      "length, meter, repeat or ending";
  const std::string here = "parts-differ: part Second Banjo, measure 2: ";
  EXPECT_EQ(refusal([](Score& score) {
              score.measures[1].length = {3, 4};
              score.measures[1].strokes.pop_back();
            }),
            here + other);
  EXPECT_EQ(refusal([](Score& score) {
              score.measures[1].meter = {{2}, 2, Meter::Symbol::numbers};
            }),
            here + other);
  EXPECT_EQ(refusal([](Score& score) { score.measures[1].repeat_times = 2; }), here + other);
  EXPECT_EQ(refusal([](Score& score) { score.measures[1].repeat_starts = true; }), here + other);
  EXPECT_EQ(refusal([](Score& score) {
              score.measures[1].ending = Ending{{1}, true, Ending::Stop::closed};
            }),
            here + other);
  EXPECT_NE(refusal([](Score& score) { score.swing = Swing{}; }).find("it swings otherwise"),
            std::string::npos);
  const auto nothing = [](Score&) {};
  EXPECT_EQ(refusal(nothing, {}, 14), "");
  EXPECT_EQ(refusal(nothing, {}, 15),
            "too-many-parts: : a MIDI file has channels for 15 such parts, not for 16");
  EXPECT_EQ(refusal(nothing, {.channel_per_string = true}, 1), "");
  EXPECT_EQ(refusal(nothing, {.channel_per_string = true}, 2),
            "too-many-parts: : a MIDI file has channels for 2 such parts, not for 3");
}

}  // namespace
}  // namespace fifthpeg::testing
