// Says where two scores differ, for messages of tests. Empty where they are equal in what it looks at; the
// equality itself is operator==.
#pragma once

#include <string>

#include "fifthpeg/score.hpp"

namespace fifthpeg::testing {

inline std::string note_text(const Note& note) {
  std::string text = to_string(note.pitch);
  if (note.placement) {
    text += "@" + std::to_string(note.placement->string) + "/" + std::to_string(note.placement->fret);
  }
  if (note.finger) text += " finger" + std::to_string(static_cast<int>(*note.finger));
  if (note.picking_finger) text += " digit" + std::to_string(static_cast<int>(*note.picking_finger));
  text += " into" + std::to_string(static_cast<int>(note.into)) + " out" +
          std::to_string(static_cast<int>(note.out_of));
  text += " ring" + std::to_string(static_cast<int>(note.ring));
  if (note.tied_from_previous) text += " <";
  if (note.tied_to_next) text += " ~";
  if (note.harmonic) text += " harmonic";
  if (note.dead) text += " dead";
  if (note.choke) {
    text += " choke" + std::to_string(note.choke->cents) + (note.choke->before ? "b" : "") +
            (note.choke->release ? "r" : "");
  }
  if (note.role != Role::none) (text += " ") += to_string(note.role);
  return text;
}

inline std::string stroke_text(const Stroke& stroke) {
  std::string text = to_string(stroke.onset) + "+" + to_string(stroke.duration) + " grace" +
                     std::to_string(static_cast<int>(stroke.grace)) + " brush" +
                     std::to_string(static_cast<int>(stroke.brush));
  const Articulations& a = stroke.articulations;
  text += std::string(" art") + (a.accent ? "a" : "") + (a.strong_accent ? "S" : "") +
          (a.staccato ? "s" : "") + (a.tenuto ? "t" : "") + (a.fermata ? "f" : "");
  for (const Tuplet& tuplet : stroke.tuplets) {
    text += " [" + std::to_string(tuplet.actual) + ":" + std::to_string(tuplet.normal) +
            (tuplet.starts ? "(" : "") + (tuplet.stops ? ")" : "") + "]";
  }
  for (const Note& note : stroke.notes) text += " {" + note_text(note) + "}";
  for (const Lyric& lyric : stroke.lyrics) text += " '" + lyric.verse + ":" + lyric.text + "'";
  return text;
}

inline std::string difference(const Score& a, const Score& b) {
  if (!(a.work == b.work)) return "work: " + a.work.title + " | " + b.work.title;
  if (a.part_name != b.part_name) return "part name: " + a.part_name + " | " + b.part_name;
  if (!(a.banjo == b.banjo)) {
    const auto text = [](const Banjo& banjo) {
      return to_string(banjo.tuning) + " capo " + std::to_string(banjo.capo) + " fifth " +
             std::to_string(banjo.fifth_capo) + " frets " + std::to_string(banjo.frets);
    };
    return "banjo: " + text(a.banjo) + " | " + text(b.banjo);
  }
  if (a.swing != b.swing) return "swing";
  if (a.key_estimated != b.key_estimated) return "key estimated";
  if (a.measures.size() != b.measures.size()) {
    return "measures: " + std::to_string(a.measures.size()) + " | " + std::to_string(b.measures.size());
  }
  for (std::size_t m = 0; m < a.measures.size(); ++m) {
    const Measure& x = a.measures[m];
    const Measure& y = b.measures[m];
    const std::string where = "measure " + x.number + ": ";
    if (x.number != y.number || x.implicit != y.implicit) return where + "number";
    if (!(x.meter == y.meter)) return where + "meter " + to_string(x.meter) + " | " + to_string(y.meter);
    if (!(x.key == y.key)) return where + "key " + to_string(x.key) + " | " + to_string(y.key);
    if (x.length != y.length) return where + "length " + to_string(x.length) + " | " + to_string(y.length);
    if (x.repeat_starts != y.repeat_starts || x.repeat_times != y.repeat_times) return where + "repeats";
    if (x.ending != y.ending) return where + "ending";
    if (x.right_bar != y.right_bar) return where + "right bar";
    if (x.tempos != y.tempos) {
      std::string text = where + "tempos";
      for (const auto* tempos : {&x.tempos, &y.tempos}) {
        text += " |";
        for (const Tempo& tempo : *tempos) {
          text += " " + to_string(tempo.at) + " " + to_string(tempo.quarters_per_minute) + " of " +
                  to_string(tempo.beat_unit) + " '" + tempo.words + "'" + (tempo.shown ? "" : " hidden");
        }
      }
      return text;
    }
    if (x.key_changes != y.key_changes) return where + "key changes";
    if (x.chords != y.chords) return where + "chords";
    if (x.directions != y.directions) {
      std::string text = where + "directions";
      for (const auto* directions : {&x.directions, &y.directions}) {
        text += " |";
        for (const Direction& one : *directions) {
          text += " " + to_string(one.at) + " " + std::to_string(static_cast<int>(one.kind)) + "'" +
                  one.text + "'";
        }
      }
      return text;
    }
    for (std::size_t s = 0; s < std::min(x.strokes.size(), y.strokes.size()); ++s) {
      if (!(x.strokes[s] == y.strokes[s])) {
        return where + "stroke " + stroke_text(x.strokes[s]) + "\n          | " + stroke_text(y.strokes[s]);
      }
    }
    if (x.strokes.size() != y.strokes.size()) return where + "number of strokes";
  }
  return a == b ? "" : "something else";
}

}  // namespace fifthpeg::testing
