// What hangs on notes and between them: techniques, fingers, articulations, words, chord symbols, and what
// is told because the score has no place for it.
#include <gtest/gtest.h>

#include "formats/musicxml/reader/support.hpp"

namespace fifthpeg {
namespace {

using namespace testing;

std::string technical(std::string_view inside) {
  return "<technical>" + std::string(inside) + "</technical>";
}

TEST(MusicXmlTechniques, HammerPullSlide) {
  const Reading reading = read_sound(one_measure(
      note("D4", 2, technical("<hammer-on type=\"start\" number=\"1\">H</hammer-on>")) +
      note("E4", 2,
           technical("<hammer-on type=\"stop\" number=\"1\"/><pull-off type=\"start\">P</pull-off>")) +
      note("D4", 2, technical("<pull-off type=\"stop\"/>") + "<slide type=\"start\"/>") +
      note("G4", 2, "<slide type=\"stop\"/>")));
  EXPECT_EQ(first_note(reading, 0).out_of, Technique::hammer_on);
  EXPECT_EQ(first_note(reading, 1).into, Technique::hammer_on);
  EXPECT_EQ(first_note(reading, 1).out_of, Technique::pull_off);
  EXPECT_EQ(first_note(reading, 2).into, Technique::pull_off);
  EXPECT_EQ(first_note(reading, 2).out_of, Technique::slide);
  EXPECT_EQ(first_note(reading, 3).into, Technique::slide);
  EXPECT_TRUE(reading.report.empty()) << all_told(reading.report);
  const Reading glissando = read_sound(one_measure(note("D4", 4, "<glissando type=\"start\"/>") +
                                                   note("G4", 4, "<glissando type=\"stop\"/>")));
  EXPECT_EQ(first_note(glissando, 1).into, Technique::slide);
  EXPECT_EQ(told(glissando.report, "musicxml-glissando", EntryKind::decision), 2U);
}

TEST(MusicXmlTechniques, SlursJoinNeighbors) {
  const Reading reading = read_sound(one_measure(note("D4", 2, "<slur type=\"start\"/>") + note("E4", 2) +
                                                 note("G4", 2, "<slur type=\"stop\"/>") + note("A4", 2)));
  EXPECT_EQ(first_note(reading, 0).out_of, Technique::slur);
  EXPECT_EQ(first_note(reading, 1).into, Technique::slur);
  EXPECT_EQ(first_note(reading, 1).out_of, Technique::slur);
  EXPECT_EQ(first_note(reading, 2).into, Technique::slur);
  EXPECT_EQ(first_note(reading, 2).out_of, Technique::none);
}

TEST(MusicXmlTechniques, SlurOverAHammerOnAddsNothing) {
  const Reading reading = read_sound(one_measure(
      note("D4", 2, technical("<hammer-on type=\"start\"/>") + "<slur type=\"start\"/>") +
      note("E4", 2, technical("<hammer-on type=\"stop\"/>")) + note("D4", 4, "<slur type=\"stop\"/>")));
  EXPECT_EQ(first_note(reading, 0).out_of, Technique::hammer_on);
  EXPECT_EQ(first_note(reading, 1).into, Technique::hammer_on);
  EXPECT_EQ(first_note(reading, 1).out_of, Technique::slur);
}

// As a hammer-on on a string is drawn that another one is struck meanwhile: the notes under it are not
// slurred.
TEST(MusicXmlTechniques, SlurFromEndToEndOfAHammerOnIsPartOfIt) {
  const Reading reading = read_sound(one_measure(
      note("D4", 2, technical("<hammer-on type=\"start\"/>") + "<slur type=\"start\"/>") + note("G3", 2) +
      note("B3", 2) + note("E4", 2, technical("<hammer-on type=\"stop\"/>") + "<slur type=\"stop\"/>")));
  EXPECT_EQ(first_note(reading, 0).out_of, Technique::hammer_on);
  EXPECT_EQ(first_note(reading, 1).out_of, Technique::none);
  EXPECT_EQ(first_note(reading, 2).into, Technique::none);
  EXPECT_EQ(first_note(reading, 3).into, Technique::hammer_on);
  EXPECT_TRUE(reading.report.empty()) << all_told(reading.report);
}

// A phrase under one slur that begins and ends with a hammer-on of its own.
TEST(MusicXmlTechniques, SlurOverSeveralHammerOnsJoinsThem) {
  const std::string start = technical("<hammer-on type=\"start\"/>");
  const std::string stop = technical("<hammer-on type=\"stop\"/>");
  const Reading reading =
      read_sound(one_measure(note("D4", 2, start + "<slur type=\"start\"/>") + note("E4", 2, stop) +
                             note("G4", 2, start) + note("A4", 2, stop + "<slur type=\"stop\"/>")));
  EXPECT_EQ(first_note(reading, 1).out_of, Technique::slur);
  EXPECT_EQ(first_note(reading, 2).into, Technique::slur);
  EXPECT_EQ(first_note(reading, 2).out_of, Technique::hammer_on);
}

TEST(MusicXmlTechniques, SlurOverARestJoinsTheNotesBesideIt) {
  const Reading reading = read_sound(one_measure(note("D4", 2, "<slur type=\"start\"/>") + note("rest", 2) +
                                                 note("E4", 4, "<slur type=\"stop\"/>")));
  EXPECT_EQ(first_note(reading, 0).out_of, Technique::slur);
  EXPECT_EQ(first_note(reading, 2).into, Technique::slur);
}

TEST(MusicXmlTechniques, SlurOverATieGoesOnFromItsEnd) {
  const Reading reading = read_sound(
      part(measure(note("D4", 8, "<slur type=\"start\"/>", "", "<tie type=\"start\"/>")) +
           measure(note("D4", 4, "", "", "<tie type=\"stop\"/>") + note("E4", 4, "<slur type=\"stop\"/>"),
                   "2", "")));
  EXPECT_EQ(first_note(reading, 0, 0).out_of, Technique::none);
  EXPECT_EQ(first_note(reading, 0, 1).out_of, Technique::slur);
  EXPECT_EQ(first_note(reading, 1, 1).into, Technique::slur);
}

TEST(MusicXmlTechniques, SlurWithoutItsOtherEnd) {
  const Reading reading = read_sound(one_measure(note("D4", 4, "<slur type=\"start\"/>") + note("E4", 4)));
  EXPECT_EQ(first_note(reading, 0).out_of, Technique::slur);
  EXPECT_EQ(first_note(reading, 1).into, Technique::none);
  EXPECT_EQ(told(reading.report, "musicxml-slur-alone", EntryKind::repair), 1U);
}

TEST(MusicXmlTechniques, FingersAndDigits) {
  const auto fingered = [](std::string_view inside) {
    return read_sound(one_measure(note("D4", 8, technical(inside))));
  };
  EXPECT_EQ(first_note(fingered("<fingering>0</fingering>")).finger, FretFinger::open);
  EXPECT_EQ(first_note(fingered("<fingering>4</fingering>")).finger, FretFinger::little);
  EXPECT_EQ(first_note(fingered("<fingering>T</fingering>")).finger, FretFinger::thumb);
  EXPECT_EQ(first_note(fingered("<open-string/>")).finger, FretFinger::open);
  EXPECT_EQ(told(fingered("<fingering>5</fingering>").report, "musicxml-fingering", EntryKind::loss), 1U);
  EXPECT_EQ(first_note(fingered("<pluck>T</pluck>")).picking_finger, PickingFinger::thumb);
  EXPECT_EQ(first_note(fingered("<pluck>p</pluck>")).picking_finger, PickingFinger::thumb);
  EXPECT_EQ(first_note(fingered("<pluck>i</pluck>")).picking_finger, PickingFinger::index);
  EXPECT_EQ(first_note(fingered("<pluck>M</pluck>")).picking_finger, PickingFinger::middle);
  EXPECT_EQ(first_note(fingered("<pluck>a</pluck>")).picking_finger, PickingFinger::ring);
  EXPECT_EQ(first_note(fingered("<fingernails/>")).picking_finger, PickingFinger::nail);
  EXPECT_EQ(told(fingered("<pluck>xx</pluck>").report, "musicxml-pluck", EntryKind::loss), 1U);
  for (const std::string name :
       {"tap", "golpe", "thumb-position", "up-bow", "down-bow", "snap-pizzicato", "stopped"}) {
    EXPECT_EQ(told(fingered("<" + name + "/>").report, "musicxml-element-" + name, EntryKind::loss), 1U)
        << name;
  }
}

TEST(MusicXmlTechniques, BendsHarmonicsDeadNotesRings) {
  const auto with = [](std::string_view notations) {
    return read_sound(one_measure(note("D4", 8, notations)));
  };
  const auto choke = [&](std::string_view inside) { return first_note(with(technical(inside))).choke; };
  EXPECT_EQ(choke("<bend><bend-alter>2</bend-alter></bend>"), (Choke{200, false, false}));
  EXPECT_EQ(choke("<bend><bend-alter>0.5</bend-alter></bend>"), (Choke{50, false, false}));
  EXPECT_EQ(choke("<bend><bend-alter>1</bend-alter><pre-bend/></bend>"), (Choke{100, true, false}));
  EXPECT_EQ(
      choke("<bend><bend-alter>2</bend-alter></bend><bend><bend-alter>-2</bend-alter><release/></bend>"),
      (Choke{200, false, true}));
  EXPECT_TRUE(first_note(with(technical("<harmonic><natural/></harmonic>"))).harmonic);
  EXPECT_EQ(told(with(technical("<harmonic><artificial/></harmonic>")).report, "musicxml-element-artificial"),
            1U);
  EXPECT_EQ(first_note(with("<tied type=\"let-ring\"/>")).ring, Ring::let_ring);
  EXPECT_EQ(first_note(with(technical("<other-technical>damp</other-technical>"))).ring, Ring::damp);
  const Reading dead = read_sound(one_measure(note("D4", 8, "", "", "<notehead>x</notehead>")));
  EXPECT_TRUE(first_note(dead).dead);
}

// A sign to damp stands where the hand comes down: after what it stops.
TEST(MusicXmlTechniques, ASignToDampStopsWhatSoundsUpToIt) {
  constexpr std::string_view damp = "<direction><direction-type><damp-all/></direction-type></direction>";
  const auto damped = [](const Reading& reading) {
    std::string found;
    for (const Measure& measure : reading.score.measures)
      for (const Stroke& stroke : measure.strokes)
        found += stroke.is_rest() ? '-' : stroke.notes.back().ring == Ring::damp ? 'x' : 'o';
    return found;
  };
  const std::string rest = note("rest", 2);
  const std::string pinch = note("D4", 4) + note("G4", 4, "", "<chord/>");
  const auto after = [&](const std::string& before, const std::string& next) {
    return read_sound(one_measure(before + std::string(damp) + next));
  };
  EXPECT_EQ(damped(after(pinch, note("E4", 4))), "xo");
  EXPECT_EQ(damped(after(note("E4", 2) + pinch, rest)), "ox-");
  const Reading whole_pinch = after(pinch, note("E4", 4));
  for (const Note& one : whole_pinch.score.measures[0].strokes[0].notes) EXPECT_EQ(one.ring, Ring::damp);
  EXPECT_EQ(damped(after("", note("E4", 8))), "x");
  const Reading nothing = after(note("rest", 8), "");
  EXPECT_EQ(damped(nothing), "-");
  EXPECT_EQ(told(nothing.report, "musicxml-damp", EntryKind::loss), 1U);
  const Reading over_the_bar =
      read_sound(part(measure(note("D4", 8)) + measure(std::string(damp) + note("E4", 8), "2", "")));
  EXPECT_EQ(damped(over_the_bar), "xo");
}

TEST(MusicXmlTechniques, BrushesAndArticulations) {
  const auto with = [](std::string_view notations) {
    return read_sound(one_measure(note("D4", 8, notations)));
  };
  EXPECT_EQ(strokes(with("<arpeggiate/>"))[0].brush, Brush::plain);
  EXPECT_EQ(strokes(with("<arpeggiate direction=\"up\"/>"))[0].brush, Brush::up);
  EXPECT_EQ(strokes(with("<arpeggiate direction=\"down\"/>"))[0].brush, Brush::down);
  EXPECT_EQ(
      told(with("<non-arpeggiate type=\"top\"/>").report, "musicxml-non-arpeggiate", EntryKind::decision),
      1U);
  const Articulations all = strokes(with(
      "<articulations><accent/><strong-accent/><staccato/><tenuto/></articulations><fermata/>"))[0]
                                .articulations;
  EXPECT_EQ(all, (Articulations{true, true, true, true, true}));
  EXPECT_EQ(
      told(with("<articulations><scoop/></articulations>").report, "musicxml-element-scoop", EntryKind::loss),
      1U);
  EXPECT_EQ(told(with("<ornaments><trill-mark/></ornaments>").report, "musicxml-element-ornaments",
                 EntryKind::loss),
            1U);
}

std::string played(std::string_view inside) {
  std::string text = note("D4", 8);
  text.insert(text.find("</note>"), "<play>" + std::string(inside) + "</play>");
  return text;
}
std::string role(std::string_view name) {
  return "<other-play type=\"fifthpeg-role\">" + std::string(name) + "</other-play>";
}

TEST(MusicXmlRoles, AreRead) {
  for (const Role one : {Role::melody, Role::fill, Role::drone, Role::lick, Role::kick_off, Role::backup}) {
    const Reading reading = read_sound(one_measure(played(role(to_string(one)))));
    EXPECT_EQ(first_note(reading).role, one);
    EXPECT_FALSE(reading.report.has_losses()) << all_told(reading.report);
  }
}

TEST(MusicXmlRoles, WhatIsNoneIsTold) {
  for (const char* unknown : {"harmony", "", "none", "MELODY"}) {
    const Reading reading = read_sound(one_measure(played(role(unknown))));
    EXPECT_EQ(first_note(reading).role, Role::none);
    EXPECT_EQ(told(reading.report, "musicxml-role", EntryKind::loss), 1U) << unknown;
  }
  const Reading twice = read_sound(one_measure(played(role("melody") + role("melody") + role("fill"))));
  EXPECT_EQ(first_note(twice).role, Role::melody);
  EXPECT_EQ(told(twice.report, "musicxml-role", EntryKind::loss), 1U);
}

// What else is said of a note's playing is told by its own name beside a role, and as a whole without one.
TEST(MusicXmlRoles, WhatOthersSayOfPlayingIsTold) {
  const std::string foreign = "<other-play type=\"vibrato\">melody</other-play>";
  const Reading alone = read_sound(one_measure(played(foreign + "<ipa>a</ipa>")));
  EXPECT_EQ(first_note(alone).role, Role::none);
  EXPECT_EQ(told(alone.report, "musicxml-element-play", EntryKind::loss), 1U);
  const Reading beside = read_sound(one_measure(played(foreign + role("fill") + "<mute>on</mute>")));
  EXPECT_EQ(first_note(beside).role, Role::fill);
  EXPECT_EQ(told(beside.report, "musicxml-element-play"), 0U);
  EXPECT_EQ(told(beside.report, "musicxml-element-other-play", EntryKind::loss), 1U);
  EXPECT_EQ(told(beside.report, "musicxml-element-mute", EntryKind::loss), 1U);
}

TEST(MusicXmlRoles, ATiedNoteHasTheRoleOfTheNoteThatGoesOn) {
  const auto tied = [](std::string_view first, std::string_view second) {
    const auto one = [](std::string_view type, std::string_view said) {
      std::string text = note("D4", 8, "<tied type=\"" + std::string(type) + "\"/>", "",
                              "<tie type=\"" + std::string(type) + "\"/>");
      if (!said.empty()) text.insert(text.find("</note>"), "<play>" + role(said) + "</play>");
      return text;
    };
    return read_sound(part(measure(one("start", first)) + measure(one("stop", second), "2", "")));
  };
  for (const char* second : {"melody", ""}) {
    const Reading reading = tied("melody", second);
    EXPECT_EQ(first_note(reading, 0, 1).role, Role::melody);
    EXPECT_EQ(told(reading.report, "musicxml-role"), 0U);
  }
  for (const char* first : {"melody", ""}) {
    const Reading reading = tied(first, "fill");
    EXPECT_EQ(first_note(reading, 0, 1).role, first_note(reading).role);
    ASSERT_EQ(told(reading.report, "musicxml-role", EntryKind::loss), 1U);
    EXPECT_EQ(reading.report.entries().front().places.front().measure, "2");
  }
}

TEST(MusicXmlLyrics, VersesSyllablesElisions) {
  const std::string lyrics =
      "<lyric number=\"1\"><syllabic>begin</syllabic><text>li</text></lyric><lyric "
      "number=\"2\"><text>the</text>"
      "<elision> </elision><text>old</text></lyric><lyric "
      "name=\"chorus\"><text>a</text><elision/><text>b</text><extend/></lyric>";
  std::string text = one_measure(note("D4", 8));
  text.insert(text.find("</note>"), lyrics);
  const Reading reading = read_sound(text);
  const std::vector<Lyric> expected{{"1", Syllabic::begin, "li"},
                                    {"2", Syllabic::single, "the old"},
                                    {"chorus", Syllabic::single, "a\u203Fb"}};
  // An elision of a blank may be dropped by a parser; then the words stand joined by the undertie.
  ASSERT_EQ(strokes(reading)[0].lyrics.size(), 3U);
  EXPECT_EQ(strokes(reading)[0].lyrics[0], expected[0]);
  EXPECT_EQ(strokes(reading)[0].lyrics[2], expected[2]);
  EXPECT_NE(strokes(reading)[0].lyrics[1].text.find("old"), std::string::npos);
}

TEST(MusicXmlDirections, WordsMarksAndDynamics) {
  const auto direction = [](std::string_view type, std::string_view more = "") {
    return "<direction><direction-type>" + std::string(type) + "</direction-type>" + std::string(more) +
           "</direction>";
  };
  const Reading reading = read_sound(one_measure(
      direction("<words>softly</words>") + direction("<rehearsal>B</rehearsal>") + note("D4", 4) +
      direction("<dynamics><mf/></dynamics>", "<offset>-2</offset>") +
      direction("<segno/>", "<sound segno=\"segno\"/>") + note("E4", 4, "<dynamics><p/></dynamics>") +
      direction("<words>Fine</words>", "<sound fine=\"yes\"/>")));
  const std::vector<Direction> expected{
      {0, Direction::Kind::words, "softly"},     {0, Direction::Kind::rehearsal, "B"},
      {{1, 4}, Direction::Kind::dynamics, "mf"}, {{1, 2}, Direction::Kind::segno, ""},
      {{1, 2}, Direction::Kind::dynamics, "p"},  {1, Direction::Kind::fine, "Fine"}};
  EXPECT_EQ(reading.score.measures[0].directions, expected);
}

TEST(MusicXmlDirections, JumpsArePlayed) {
  const auto words = [](std::string_view text, std::string_view sound) {
    return "<direction><direction-type><words>" + std::string(text) + "</words></direction-type><sound " +
           std::string(sound) + "/></direction>";
  };
  const Reading reading = read_sound(
      part(measure(note("D4", 8)) + measure(note("E4", 8) + words("Fine", "fine=\"yes\""), "2", "") +
           measure(note("G4", 8) + words("D.C. al Fine", "dacapo=\"yes\""), "3", "")));
  EXPECT_EQ(playing_order(reading.score).measures, (std::vector<std::size_t>{0, 1, 2, 0, 1}));
}

TEST(MusicXmlDirections, WordsOfAJumpWithoutItsSoundAreWords) {
  const Reading reading = read_sound(one_measure(
      note("D4", 8) + "<direction><direction-type><words>D.C. al Fine</words></direction-type></direction>"));
  EXPECT_EQ(reading.score.measures[0].directions.at(0).kind, Direction::Kind::words);
  EXPECT_EQ(told(reading.report, "musicxml-jump-words", EntryKind::decision), 1U);
}

TEST(MusicXmlDirections, Tempos) {
  const auto metronome = [](std::string_view inside, std::string_view sound = "",
                            std::string_view words = "") {
    return read_sound(one_measure("<direction>" + std::string(words) + "<direction-type><metronome>" +
                                  std::string(inside) + "</metronome></direction-type>" + std::string(sound) +
                                  "</direction>" + note("D4", 8)));
  };
  const auto tempo = [](const Reading& reading) { return reading.score.measures[0].tempos.at(0); };
  const Tempo plain = tempo(metronome("<beat-unit>quarter</beat-unit><per-minute>100</per-minute>"));
  EXPECT_EQ(plain, (Tempo{0, 100, {1, 4}, "", true}));
  const Tempo dotted =
      tempo(metronome("<beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>c. 80</per-minute>", "",
                      "<direction-type><words>Lively</words></direction-type>"));
  EXPECT_EQ(dotted, (Tempo{0, 120, {3, 8}, "Lively", true}));
  EXPECT_EQ(
      tempo(metronome("<beat-unit>half</beat-unit><per-minute>60</per-minute>", "<sound tempo=\"121.5\"/>"))
          .quarters_per_minute,
      Fraction(243, 2));
  EXPECT_EQ(told(metronome("<beat-unit>quarter</beat-unit><beat-unit>eighth</beat-unit>").report,
                 "musicxml-metronome", EntryKind::loss),
            1U);
  const Reading heard = read_sound(one_measure("<sound tempo=\"90\"/>" + note("D4", 8)));
  EXPECT_EQ(tempo(heard), (Tempo{0, 90, {1, 4}, "", false}));
  EXPECT_EQ(told(read_sound(one_measure("<sound tempo=\"0\"/>" + note("D4", 8))).report, "musicxml-tempo"),
            1U);
}

TEST(MusicXmlDirections, Swing) {
  const auto swing = [](std::string_view inside) {
    return read_sound(
               one_measure("<sound><swing>" + std::string(inside) + "</swing></sound>" + note("D4", 8)))
        .score.swing;
  };
  EXPECT_EQ(swing("<first>2</first><second>1</second><swing-type>eighth</swing-type>"),
            (Swing{{1, 8}, 2, 1}));
  EXPECT_EQ(swing("<first>3</first><second>2</second><swing-type>16th</swing-type>"), (Swing{{1, 16}, 3, 2}));
  EXPECT_FALSE(swing("<straight/>"));
  EXPECT_FALSE(swing("<first>0</first><second>1</second>"));
}

TEST(MusicXmlHarmony, KindsDegreesBassOffset) {
  const std::string harmony =
      "<harmony><root><root-step>D</root-step><root-alter>0</root-alter></root><kind "
      "text=\"7\">dominant</kind>"
      "<bass><bass-step>F</bass-step><bass-alter>1</bass-alter></bass><degree><degree-value>9</degree-value>"
      "<degree-alter>-1</degree-alter><degree-type>add</degree-type></degree><offset>4</offset></harmony>";
  const Reading reading = read_sound(one_measure(harmony + note("D4", 8)));
  ASSERT_EQ(reading.score.measures[0].chords.size(), 1U);
  const ChordSymbol& chord = reading.score.measures[0].chords[0];
  EXPECT_EQ(chord.at, Fraction(1, 2));
  EXPECT_EQ(to_string(chord), "D7(addb9)/F#");
  EXPECT_EQ(chord.text, "7");
  const Reading none = read_sound(one_measure(
      "<harmony><root><root-step text=\"\">C</root-step></root><kind text=\"N.C.\">none</kind></harmony>" +
      note("D4", 8)));
  EXPECT_FALSE(none.report.has_losses()) << all_told(none.report);
  EXPECT_EQ(to_string(none.score.measures[0].chords.at(0)), "N.C.");
  const Reading odd = read_sound(one_measure(
      "<harmony><root><root-step>C</root-step></root><kind>mystic</kind><frame/></harmony>" + note("D4", 8)));
  EXPECT_EQ(odd.score.measures[0].chords.at(0).kind, "other");
  EXPECT_EQ(told(odd.report, "musicxml-kind", EntryKind::repair), 1U);
  EXPECT_EQ(told(odd.report, "musicxml-element-frame", EntryKind::loss), 1U);
  const Reading far = read_sound(one_measure(
      "<harmony><root><root-step>C</root-step></root><kind>major</kind><offset>400</offset></harmony>" +
      note("D4", 8)));
  EXPECT_EQ(far.score.measures[0].chords.at(0).at, Fraction(1));
  EXPECT_EQ(told(far.report, "musicxml-offset", EntryKind::repair), 1U);
}

// ---- nothing in silence ----

TEST(MusicXmlTold, EveryElementAndAttributeWithoutAPlace) {
  const Reading reading = read_sound(one_measure(
      "<direction><direction-type><wedge type=\"crescendo\"/></direction-type></direction>"
      "<direction><direction-type><pedal type=\"start\"/></direction-type><sound pan=\"90\"/></direction>"
      "<figured-bass><figure/></figured-bass><wobble/>" +
      note("D4", 4, "<technical><string>1</string><fret>0</fret></technical>") +
      "<note dynamics=\"80\" attack=\"3\" time-only=\"1\" "
      "frobnicate=\"x\"><pitch><step>E</step><octave>4</octave></pitch>"
      "<duration>4</duration><play><mute>on</mute></play></note>"));
  for (const std::string slug :
       {"musicxml-element-wedge", "musicxml-element-pedal", "musicxml-attribute-pan",
        "musicxml-element-figured-bass", "musicxml-element-unknown", "musicxml-attribute-dynamics",
        "musicxml-attribute-attack", "musicxml-attribute-time-only", "musicxml-attribute-unknown",
        "musicxml-element-play"}) {
    EXPECT_EQ(told(reading.report, slug, EntryKind::loss), 1U) << slug;
  }
  for (const Entry& one : reading.report.entries()) {
    if (one.slug == "musicxml-attribute-dynamics") {
      EXPECT_EQ(one.places.front().measure, "1");
      EXPECT_EQ(one.places.front().line, 2);
    }
  }
}

TEST(MusicXmlTold, PureLayoutIsAChoiceAndNoLoss) {
  const Reading reading = read_sound(
      document("<part id=\"P1\">" +
                   measure("<print new-system=\"yes\"><system-layout/></print><note default-x=\"10\" "
                           "color=\"#FF0000\"><pitch><step>E</step>"
                           "<octave>4</octave></pitch><duration>8</duration><stem "
                           "default-y=\"3\">up</stem><beam number=\"1\">begin</beam></note>") +
                   "</part>",
               "<defaults><scaling/></defaults><credit "
               "page=\"1\"><credit-words>x</credit-words></credit><part-list><score-part id=\"P1\">"
               "<part-name>Banjo</part-name></score-part></part-list>"));
  EXPECT_FALSE(reading.report.has_losses()) << all_told(reading.report);
  EXPECT_EQ(told(reading.report, "musicxml-layout", EntryKind::decision), 1U);
}

TEST(MusicXmlTold, UnpitchedNotes) {
  const Reading reading =
      read_sound(one_measure("<note><unpitched/><duration>4</duration></note>" + note("D4", 4)));
  EXPECT_EQ(line_of(reading), "- 1/2, D4 1/2");
  EXPECT_EQ(told(reading.report, "musicxml-unpitched", EntryKind::loss), 1U);
}

TEST(MusicXmlHead, WorkAndPeople) {
  const Reading reading = read_sound(document(
      "<part id=\"P1\">" + measure(note("D4", 8)) + "</part>",
      "<work><work-title>Library "
      "Reel</work-title></work><movement-title>Other</movement-title><identification>"
      "<creator type=\"composer\">Trad.</creator><creator type=\"arranger\">A</creator><creator "
      "type=\"poet\">B</creator>"
      "<creator type=\"engraver\">C</creator><rights>For the class</rights><source>A notebook</source>"
      "<miscellaneous><miscellaneous-field "
      "name=\"mood\">glad</miscellaneous-field></miscellaneous></identification>"
      "<part-list><score-part id=\"P1\"><part-name>Five-string</part-name></score-part></part-list>"));
  EXPECT_EQ(reading.score.work, (Work{"Library Reel", "Trad.", "A", "B", "For the class", "A notebook"}));
  EXPECT_EQ(reading.score.part_name, "Five-string");
  EXPECT_EQ(told(reading.report, "musicxml-movement-title", EntryKind::loss), 1U);
  EXPECT_EQ(told(reading.report, "musicxml-creator", EntryKind::loss), 1U);
  EXPECT_EQ(told(reading.report, "musicxml-miscellaneous", EntryKind::loss), 1U);
}

}  // namespace
}  // namespace fifthpeg
