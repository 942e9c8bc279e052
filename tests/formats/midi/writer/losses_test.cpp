// What MIDI cannot hold of a score: that it is told, once for each that there is, and nothing besides.
#include <functional>
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "formats/midi/writer/lick.hpp"
#include "formats/midi/writer/parse.hpp"

namespace fifthpeg::testing {
namespace {

// Everything that a plain score does not have is told, once for each that there is; and nothing else.
TEST(MidiLosses, TellsOfThePrintedPageWhatMidiCannotHold) {
  const auto plain = [] {
    Score score = score_of({measure({stroke(1, {on(3, 0)})}), measure({stroke(1, {on(2, 0)})}),
                            measure({stroke(1, {on(1, 0)})})});
    for (Measure& one : score.measures) {
      one.strokes[0].notes[0].placement.reset();
      one.strokes[0].notes[0].finger.reset();
    }
    score.measures[0].tempos = {Tempo{}};
    score.measures[2].right_bar = BarStyle::light_heavy;
    return score;
  };
  ASSERT_FALSE(write_and_parse(plain()).report.has_losses());
  const auto expect_told = [&](const std::string& slug, std::uint64_t times, auto change) {
    Score score = plain();
    change(score);
    const Written written = write_and_parse(score);
    EXPECT_EQ(written.told(slug), times) << slug;
    for (const Entry& one : written.report.entries()) {
      EXPECT_TRUE(one.kind != EntryKind::loss || one.slug == slug) << one.slug << " beside " << slug;
    }
  };
  expect_told("midi-neck", 1, [](Score& score) { score.banjo.frets = 19; });
  expect_told("midi-bar-style", 2, [](Score& score) {
    score.measures[0].right_bar = BarStyle::light_light;
    score.measures[1].right_bar = BarStyle::dashed;
  });
  expect_told("midi-bar-style", 1, [](Score& score) {
    score.measures[1].right_bar = BarStyle::light_heavy;  // not the last one
  });
  expect_told("midi-tempo-mark", 1, [](Score& score) { score.measures[0].tempos[0].shown = false; });
  expect_told("midi-tempo-beat", 1, [](Score& score) { score.measures[0].tempos[0].beat_unit = {1, 2}; });
  // Nobody sees what a tempo that is only heard is stated in.
  expect_told("midi-tempo-mark", 1, [](Score& score) {
    score.measures[0].tempos[0].shown = false;
    score.measures[0].tempos[0].beat_unit = {1, 2};
  });
  expect_told("midi-measure-number", 3, [](Score& score) {
    for (Measure& one : score.measures) one.number = std::to_string(std::stoi(one.number) + 16);
  });
  expect_told("midi-measure-number", 1, [](Score& score) { score.measures[2].number = "2a"; });
  expect_told("midi-accent", 1,
              [](Score& score) { score.measures[0].strokes[0].articulations.accent = true; });
  expect_told("midi-accent", 1,
              [](Score& score) { score.measures[0].strokes[0].articulations.strong_accent = true; });
  for (const char* mark : {"p", "sfz"}) {
    expect_told("midi-dynamics", 1, [&](Score& score) {
      score.measures[0].directions = {{0, Direction::Kind::dynamics, mark}};
    });
  }
  const auto expect_chord_told = [&](const char* symbol, const char* wording, std::uint64_t times) {
    expect_told("midi-chord-symbol", times, [&](Score& score) {
      score.measures[0].chords = {*parse_chord_symbol(symbol)};
      score.measures[0].chords[0].text = wording;
    });
  };
  expect_chord_told("Am7", "m7", 0);
  expect_chord_told("Am7", "-7", 1);
  expect_chord_told("N.C.", "N.C.", 0);
  expect_chord_told("N.C.", "tacet", 1);
  expect_chord_told("Bb/D", "", 0);
  for (const char* verse : {"2", "chorus"}) {
    expect_told("midi-lyric", 1, [&](Score& score) {
      score.measures[0].strokes[0].lyrics = {{verse, Syllabic::single, "la"}};
    });
  }
  // A sign that leads nowhere is not played, and not written out either.
  expect_told("midi-repeat", 1, [](Score& score) {
    score.measures[1].directions = {{0, Direction::Kind::segno, ""}};
  });
  expect_told("midi-repeat", 1, [](Score& score) { score.measures[1].repeat_starts = true; });
}

// Which of the notes are the tune is heard; without a tune beside it, nothing is.
TEST(MidiLosses, TellsWhetherRolesAreHeard) {
  const auto told = [](Role first, Role second) {
    Score score = score_of({measure({stroke({1, 2}, {on(3, 0)}), stroke({1, 2}, {on(2, 0)})})});
    score.measures[0].strokes[0].notes[0].role = first;
    score.measures[0].strokes[1].notes[0].role = second;
    std::string text;
    const Written written = write_and_parse(score);
    for (const Entry& entry : written.report.entries()) {
      if (entry.slug == "midi-role") text += std::to_string(entry.count) + " " + entry.text + "\n";
    }
    return text;
  };
  EXPECT_EQ(told(Role::none, Role::none), "");
  EXPECT_EQ(told(Role::fill, Role::none), "1 what a note is for (melody, fill ...) is lost\n");
  EXPECT_EQ(told(Role::melody, Role::drone),
            "2 what a note is for (melody, fill ...) is heard only as loudness\n");
}

TEST(MidiLosses, TellsHowGraceNotesWerePrinted) {
  const auto told = [](Grace kind, Fraction value) {
    Stroke small = grace(on(3, 2));
    small.grace = kind;
    small.duration = value;
    return write_and_parse(
               score_of({measure({stroke({1, 2}, {on(3, 0)}), small, stroke({1, 2}, {on(3, 4)})})}))
        .told("midi-grace");
  };
  EXPECT_EQ(told(Grace::slashed, {1, 16}), 0U);
  EXPECT_EQ(told(Grace::slashed, {1, 8}), 1U);
  EXPECT_EQ(told(Grace::plain, {1, 16}), 1U);
}

TEST(MidiLosses, TellsOfNoModeThatWasEstimated) {
  Score score = score_of({measure({stroke(1, {on(3, 0)})})});
  score.measures[0].key.mode = Mode::dorian;
  EXPECT_EQ(write_and_parse(score).told("midi-mode"), 1U);
  score.key_estimated = true;
  EXPECT_EQ(write_and_parse(score).told("midi-mode"), 0U);
}

// Numbers by which measures are counted: from 1, without what is implicit; a pickup may be 0.
TEST(MidiLosses, TellsNothingOfNumbersThatAreCounted) {
  const auto told = [](bool implicit, const std::vector<const char*>& numbers) {
    Score score = score_of({measure({stroke({1, 4}, {on(3, 0)})}), measure({stroke(1, {on(2, 0)})}),
                            measure({stroke({3, 4}, {on(1, 0)})})});
    score.measures[0].implicit = implicit;
    for (std::size_t i = 0; i < numbers.size(); ++i) score.measures[i].number = numbers[i];
    return write_and_parse(score).told("midi-measure-number");
  };
  EXPECT_EQ(told(true, {"0", "1", "2"}), 0U);
  EXPECT_EQ(told(true, {"X1", "1", "2"}), 0U);
  EXPECT_EQ(told(false, {"0", "1", "2"}), 0U);
  EXPECT_EQ(told(false, {"1", "2", "3"}), 0U);
  EXPECT_EQ(told(true, {"1", "2", "3"}), 2U);
  EXPECT_EQ(told(false, {"1", "2", "4"}), 1U);
}

// A let-ring mark is heard where the string has time to ring on, and told as lost where it has none.
TEST(MidiLosses, TellsWhereALetRingMarkIsNotHeard) {
  const auto told = [](int next_string) {
    Note ringing = on(1, 0);
    ringing.ring = Ring::let_ring;
    return write_and_parse(
               score_of({measure({stroke({1, 2}, {ringing}), stroke({1, 2}, {on(next_string, 2)})})}))
        .told("midi-let-ring");
  };
  EXPECT_EQ(told(3), 0U);
  EXPECT_EQ(told(1), 1U);
  Note last = on(1, 0);
  last.ring = Ring::let_ring;
  EXPECT_EQ(write_and_parse(score_of({measure({stroke(1, {last})})})).told("midi-let-ring"), 1U);
}

// A score with something of everything, so that each field of score.hpp can be another one.
Score full_score() {
  Note choked = on(2, 3);
  choked.choke = Choke{};
  Score score = score_of({measure({stroke({1, 4}, {on(3, 0)}), stroke({1, 4}, {on(3, 2)}), grace(on(1, 2)),
                                   stroke({1, 4}, {on(1, 0), on(2, 0), on(3, 0)}), stroke({1, 4}, {choked})}),
                          measure({stroke({1, 2}, {on(5, 0)}), stroke({1, 2}, {on(1, 0)})}),
                          measure({stroke({1, 1}, {on(4, 0)})})});
  Measure& first = score.measures[0];
  first.tempos = {Tempo{}};
  first.key_changes = {{{1, 2}, {2, Mode::major}}};
  first.chords = {*parse_chord_symbol("D7(add13)/F#")};
  first.directions = {{0, Direction::Kind::words, "softly"}};
  first.strokes[0].lyrics = {{"1", Syllabic::single, "la"}};
  score.swing = Swing{{1, 8}, 2, 1};
  score.measures[2].right_bar = BarStyle::light_heavy;
  return score;
}

struct Change {
  const char* field;
  std::function<void(Score&)> make;
};

Stroke& stroke_at(Score& score, std::size_t index) {
  return score.measures[0].strokes[index];
}
Note& note_at(Score& score, std::size_t index) {
  return stroke_at(score, index).notes[0];
}

// Every field of score.hpp but these: key_estimated, since a source without a key has none to lose; tuplets,
// which are found anew from the times; and Mode::none, which MIDI takes for major.
std::vector<Change> changes() {
  using Kind = Direction::Kind;
  return {
      {"title", [](Score& s) { s.work.title = "Reel"; }},
      {"composer", [](Score& s) { s.work.composer = "A. Handout"; }},
      {"arranger", [](Score& s) { s.work.arranger = "A. Handout"; }},
      {"lyricist", [](Score& s) { s.work.lyricist = "A. Handout"; }},
      {"rights", [](Score& s) { s.work.rights = "For the class"; }},
      {"source", [](Score& s) { s.work.source = "A notebook"; }},
      {"part name", [](Score& s) { s.part_name = "Banjo 2"; }},
      {"tuning", [](Score& s) { s.banjo.tuning = *parse_tuning("gDGBE"); }},
      {"capo", [](Score& s) { s.banjo.capo = 1; }},
      {"fifth capo", [](Score& s) { s.banjo.fifth_capo = 7; }},
      {"frets", [](Score& s) { s.banjo.frets = 24; }},
      {"no swing", [](Score& s) { s.swing.reset(); }},
      {"swing unit",
       [](Score& s) {
         s.swing->unit = {1, 16};
       }},
      {"swing ratio", [](Score& s) { s.swing->first = 3; }},
      {"measure number", [](Score& s) { s.measures[1].number = "7"; }},
      {"beats",
       [](Score& s) {
         s.measures[1].meter.beats = {2, 2};
       }},
      {"symbol", [](Score& s) { s.measures[0].meter.symbol = Meter::Symbol::common; }},
      {"key", [](Score& s) { s.measures[1].key.fifths = 0; }},
      {"mode", [](Score& s) { s.measures[1].key.mode = Mode::mixolydian; }},
      {"repeat start", [](Score& s) { s.measures[1].repeat_starts = true; }},
      {"repeat", [](Score& s) { s.measures[1].repeat_times = 2; }},
      {"ending", [](Score& s) { s.measures[1].ending = Ending{}; }},
      {"bar style", [](Score& s) { s.measures[0].right_bar = BarStyle::light_light; }},
      {"tempo place",
       [](Score& s) {
         s.measures[0].tempos[0].at = {1, 4};
       }},
      {"tempo", [](Score& s) { s.measures[0].tempos[0].quarters_per_minute = 90; }},
      {"tempo's beat",
       [](Score& s) {
         s.measures[0].tempos[0].beat_unit = {1, 2};
       }},
      {"tempo's words", [](Score& s) { s.measures[0].tempos[0].words = "Lively"; }},
      {"tempo shown", [](Score& s) { s.measures[0].tempos[0].shown = false; }},
      {"key change's place",
       [](Score& s) {
         s.measures[0].key_changes[0].at = {3, 4};
       }},
      {"key change", [](Score& s) { s.measures[0].key_changes[0].key.fifths = 3; }},
      {"chord's place",
       [](Score& s) {
         s.measures[0].chords[0].at = {1, 4};
       }},
      {"chord's root", [](Score& s) { s.measures[0].chords[0].root.step = Step::E; }},
      {"chord's kind", [](Score& s) { s.measures[0].chords[0].kind = "minor"; }},
      {"chord's wording", [](Score& s) { s.measures[0].chords[0].text = "dom7"; }},
      {"chord's degree", [](Score& s) { s.measures[0].chords[0].degrees[0].value = 9; }},
      {"chord's bass", [](Score& s) { s.measures[0].chords[0].bass.reset(); }},
      {"words", [](Score& s) { s.measures[0].directions[0].text = "loudly"; }},
      {"rehearsal mark",
       [](Score& s) {
         s.measures[0].directions.push_back({0, Kind::rehearsal, "B"});
       }},
      {"dynamics",
       [](Score& s) {
         s.measures[0].directions.push_back({0, Kind::dynamics, "mf"});
       }},
      {"segno",
       [](Score& s) {
         s.measures[0].directions.push_back({0, Kind::segno, ""});
       }},
      {"coda",
       [](Score& s) {
         s.measures[1].directions.push_back({0, Kind::coda, ""});
       }},
      {"to coda",
       [](Score& s) {
         s.measures[1].directions.push_back({0, Kind::to_coda, ""});
       }},
      {"fine",
       [](Score& s) {
         s.measures[1].directions.push_back({{1, 1}, Kind::fine, ""});
       }},
      {"da capo",
       [](Score& s) {
         s.measures[1].directions.push_back({{1, 1}, Kind::da_capo, ""});
       }},
      {"dal segno",
       [](Score& s) {
         s.measures[1].directions.push_back({{1, 1}, Kind::dal_segno, ""});
       }},
      {"grace", [](Score& s) { stroke_at(s, 2).grace = Grace::plain; }},
      {"grace's value",
       [](Score& s) {
         stroke_at(s, 2).duration = {1, 8};
       }},
      {"plain brush", [](Score& s) { stroke_at(s, 3).brush = Brush::plain; }},
      {"brush up", [](Score& s) { stroke_at(s, 3).brush = Brush::up; }},
      {"brush down", [](Score& s) { stroke_at(s, 3).brush = Brush::down; }},
      {"brush of one", [](Score& s) { stroke_at(s, 0).brush = Brush::down; }},
      {"accent", [](Score& s) { stroke_at(s, 0).articulations.accent = true; }},
      {"strong accent", [](Score& s) { stroke_at(s, 0).articulations.strong_accent = true; }},
      {"staccato", [](Score& s) { stroke_at(s, 0).articulations.staccato = true; }},
      {"tenuto", [](Score& s) { stroke_at(s, 0).articulations.tenuto = true; }},
      {"fermata", [](Score& s) { stroke_at(s, 0).articulations.fermata = true; }},
      {"verse", [](Score& s) { stroke_at(s, 0).lyrics[0].verse = "2"; }},
      {"syllabic", [](Score& s) { stroke_at(s, 0).lyrics[0].syllabic = Syllabic::begin; }},
      {"lyric", [](Score& s) { stroke_at(s, 0).lyrics[0].text = "lo"; }},
      {"pitch", [](Score& s) { note_at(s, 0) = on(3, 1); }},
      {"spelling",
       [](Score& s) {
         note_at(s, 0).pitch = {Step::F, 2, note_at(s, 0).pitch.octave};
       }},
      {"finger", [](Score& s) { note_at(s, 0).finger = FretFinger::index; }},
      {"digit", [](Score& s) { note_at(s, 0).picking_finger = PickingFinger::thumb; }},
      {"hammer-on", [](Score& s) { note_at(s, 0).out_of = note_at(s, 1).into = Technique::hammer_on; }},
      {"pull-off", [](Score& s) { note_at(s, 0).out_of = note_at(s, 1).into = Technique::pull_off; }},
      {"slide", [](Score& s) { note_at(s, 0).out_of = note_at(s, 1).into = Technique::slide; }},
      {"slur", [](Score& s) { note_at(s, 0).out_of = note_at(s, 1).into = Technique::slur; }},
      {"let ring", [](Score& s) { note_at(s, 0).ring = Ring::let_ring; }},
      {"damp", [](Score& s) { note_at(s, 0).ring = Ring::damp; }},
      {"tie",
       [](Score& s) {
         note_at(s, 1) = note_at(s, 0);
         note_at(s, 0).tied_to_next = note_at(s, 1).tied_from_previous = true;
       }},
      {"harmonic", [](Score& s) { note_at(s, 0).harmonic = true; }},
      {"dead note", [](Score& s) { note_at(s, 0).dead = true; }},
      {"role", [](Score& s) { note_at(s, 0).role = Role::lick; }},
      {"no choke", [](Score& s) { note_at(s, 4).choke.reset(); }},
      {"choke's cents", [](Score& s) { note_at(s, 4).choke->cents = 100; }},
      {"choked before", [](Score& s) { note_at(s, 4).choke->before = true; }},
      {"choke let down", [](Score& s) { note_at(s, 4).choke->release = true; }},
  };
}

// Scores that differ give other bytes, or else other things are told.
TEST(MidiLosses, EveryFieldIsWrittenOrTold) {
  for (const bool by_string : {false, true}) {
    for (const bool unfold : {false, true}) {
      const MidiOptions options{.channel_per_string = by_string, .unfold_repeats = unfold};
      const Written before = write_and_parse(full_score(), options);
      for (const Change& change : changes()) {
        Score changed = full_score();
        change.make(changed);
        ASSERT_NE(changed, full_score()) << change.field;
        const Written after = write_and_parse(changed, options);
        EXPECT_TRUE(after.bytes != before.bytes || after.report.entries() != before.report.entries())
            << change.field << " is lost in silence";
      }
    }
  }
}

}  // namespace
}  // namespace fifthpeg::testing
