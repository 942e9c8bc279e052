// Invented licks that show what a text tab has to show.
#pragma once

#include <utility>
#include <vector>

#include "formats/midi/writer/lick.hpp"

namespace fifthpeg::testing {

inline Stroke picked(Stroke stroke, PickingFinger picking_finger) {
  for (Note& note : stroke.notes) note.picking_finger = picking_finger;
  return stroke;
}

inline Stroke pinch() {
  Stroke result = stroke({1, 4}, {on(5, 0), on(1, 0)});
  result.notes[0].picking_finger = PickingFinger::thumb;
  result.notes[1].picking_finger = PickingFinger::middle;
  return result;
}

inline ChordSymbol chord_at(Fraction at, const char* text) {
  ChordSymbol chord = *parse_chord_symbol(text);
  chord.at = at;
  return chord;
}

// A pickup with a slide, a roll, a grace note, pinches, a triplet, a pull-off, a repeat with two endings.
inline Score returned_books() {
  const Fraction e{1, 8};
  const Fraction q{1, 4};
  const Fraction t{1, 12};
  constexpr auto T = PickingFinger::thumb;
  constexpr auto I = PickingFinger::index;
  constexpr auto M = PickingFinger::middle;
  Note slides = on(3, 2);
  slides.out_of = Technique::slide;
  Note hammered = on(3, 2);
  hammered.out_of = Technique::hammer_on;
  std::vector<Stroke> triplet{picked(stroke(t, {on(3, 0)}), T), picked(stroke(t, {on(2, 0)}), I),
                              picked(stroke(t, {on(1, 0)}), M)};
  for (Stroke& one : triplet) one.tuplets = {{3, 2, false, false}};
  triplet.front().tuplets[0].starts = triplet.back().tuplets[0].stops = true;

  Score score = score_of(
      {measure({picked(stroke(e, {slides}), T), stroke(e, {with(on(3, 4), Technique::slide)})}),
       measure({picked(stroke(e, {on(2, 0)}), I), picked(stroke(e, {on(5, 0)}), T),
                picked(stroke(e, {on(1, 0)}), M), picked(stroke(e, {on(3, 0)}), T),
                picked(stroke(e, {on(2, 0)}), I), picked(stroke(e, {on(1, 0)}), M),
                picked(stroke(e, {on(5, 0)}), T), picked(stroke(e, {on(1, 0)}), M)}),
       measure({grace(hammered), picked(stroke(q, {with(on(3, 3), Technique::hammer_on)}), T), pinch(),
                picked(stroke(q, {on(4, 0)}), T), pinch()}),
       measure({triplet[0], triplet[1], triplet[2], picked(stroke(e, {on(1, 10)}), M),
                stroke(e, {with(on(1, 7), Technique::pull_off)}), picked(stroke(q, {on(3, 0)}), T), rest(q)}),
       measure({picked(stroke(q, {on(4, 0)}), T), pinch(), picked(stroke(q, {on(3, 0)}), T)}),
       measure({picked(stroke(q, {on(4, 0)}), T), pinch(), picked(stroke(q, {on(3, 0)}), T)})});
  score.work.title = "Returned Books";
  score.work.composer = "Trad.";
  score.work.arranger = "A. Handout";
  auto& measures = score.measures;
  Tempo tempo;
  tempo.quarters_per_minute = 96;
  measures[0].tempos = {tempo};
  measures[1].chords = {chord_at(0, "G")};
  measures[2].chords = {chord_at(0, "C"), chord_at({1, 2}, "D7")};
  measures[1].repeat_starts = true;
  measures[4].repeat_times = 2;
  measures[4].ending = Ending{{1}, true, Ending::Stop::closed};
  measures[5].ending = Ending{{2}, true, Ending::Stop::open};
  measures[5].right_bar = BarStyle::light_heavy;
  return score;
}

// With a capo at 2: a brush, a tie, let ring, damped, a chime, a dead note, chokes, fret fingers, words.
inline Score overdue() {
  Banjo banjo;
  banjo.capo = 2;
  banjo.fifth_capo = usual_fifth_capo(2);
  const auto at = [&banjo](int string, int fret, std::optional<FretFinger> finger = {}) {
    Note note = on(string, fret, banjo);
    note.finger = finger;
    return note;
  };
  constexpr auto index = FretFinger::index;
  constexpr auto ring = FretFinger::ring;
  Stroke brush = stroke({1, 2}, {at(1, 5, ring), at(2, 5, ring), at(3, 5, ring)});
  brush.brush = Brush::up;
  Note ringing = at(5, 0);
  ringing.ring = Ring::let_ring;
  Note tied = at(3, 12);
  tied.tied_to_next = true;
  Note held = at(3, 12);
  held.tied_from_previous = true;
  Note chime = at(1, 12);
  chime.harmonic = true;
  Note dead = at(4, 2, index);
  dead.dead = true;
  Note damped = at(4, 2, index);
  damped.ring = Ring::damp;
  Note choked = at(2, 10, ring);
  choked.choke = Choke{200, false, true};
  Note loose = at(1, 0);
  loose.placement.reset();
  Stroke sung = stroke({1, 4}, {chime});
  sung.lyrics = {{"1", Syllabic::begin, "o"}};
  Stroke accented = stroke({1, 4}, {damped});
  accented.articulations.accent = true;
  accented.lyrics = {{"1", Syllabic::end, "verdue"}};
  Score score = score_of({measure({brush, stroke({1, 4}, {ringing}), stroke({1, 4}, {tied})}),
                          measure({stroke({1, 4}, {held}), sung, accented, stroke({1, 4}, {dead})}),
                          measure({stroke({1, 2}, {choked}), stroke({1, 2}, {loose})})});
  score.banjo = banjo;
  score.work.title = "Überfällig";
  score.measures[0].directions = {{0, Direction::Kind::rehearsal, "A"}, {0, Direction::Kind::dynamics, "mf"}};
  score.measures[2].directions = {{1, Direction::Kind::da_capo, "D.C. al Fine"}};
  score.measures[1].right_bar = BarStyle::light_light;
  score.measures[2].meter.symbol = Meter::Symbol::common;
  score.measures[2].key = {2, Mode::mixolydian};
  return score;
}

// Counted in six.
inline Score jig() {
  Meter six;
  six.beats = {6};
  six.unit = 8;
  const Fraction e{1, 8};
  Score score = score_of(
      {measure({stroke(e, {on(1, 0)})}, six),
       measure({stroke(e, {on(3, 0)}), stroke(e, {on(2, 0)}), stroke(e, {on(1, 0)}), stroke(e, {on(3, 2)}),
                stroke({1, 16}, {on(2, 1)}), stroke({1, 16}, {on(2, 3)}), stroke(e, {on(1, 2)})},
               six),
       measure({stroke({3, 8}, {on(3, 0)}), stroke({3, 8}, {on(4, 0)})}, six)});
  Tempo tempo;
  tempo.quarters_per_minute = Fraction(225, 2);
  tempo.beat_unit = {3, 8};
  tempo.words = "Lively";
  score.measures[0].tempos = {tempo};
  score.measures[2].right_bar = BarStyle::light_heavy;
  return score;
}

}  // namespace fifthpeg::testing
