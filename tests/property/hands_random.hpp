// Random banjo passages: several tunings, chords, grace notes, ties, slurs, fixed points.
#pragma once

#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::testing {

struct PassageKind {
  int strokes = 6;
  int frets = 12;  // of the banjo; and pitches up to its highest
  int chords = 4;  // one stroke in so many holds several notes; 0: none
  int graces = 6;  // one in so many is a grace note
  int slurs = 5;   // one in so many is slurred into
  int ties = 8;
  int fixed = 4;  // one note in so many has some fixed point
};

class RandomPassages {
 public:
  explicit RandomPassages(unsigned seed) : random_(seed) {}

  Score next(const PassageKind& kind) {
    Score score;
    const auto& tunings = named_tunings();
    score.banjo.tuning = tunings[below(static_cast<int>(tunings.size()))].tuning;
    score.banjo.frets = kind.frets;
    if (one_in(4)) {
      score.banjo.capo = static_cast<int>(below(3));
      score.banjo.fifth_capo = usual_fifth_capo(score.banjo.capo);
    }
    Fraction onset;
    std::vector<Note>* before = nullptr;
    const int tempo = 60 + static_cast<int>(below(140));
    for (int i = 0; i < kind.strokes; ++i) {
      if (score.measures.empty() || onset >= score.measures.back().length) {
        Measure measure;
        measure.number = std::to_string(score.measures.size() + 1);
        measure.length = measure.meter.length();
        if (score.measures.empty()) measure.tempos.push_back({0, tempo, {1, 4}, "", true});
        measure.strokes.reserve(64);
        score.measures.push_back(measure);
        onset = 0;
        before = nullptr;
      }
      Stroke stroke;
      stroke.onset = onset;
      stroke.duration = one_in(4) ? Fraction(1, 16) : Fraction(1, 8);
      if (onset + stroke.duration > score.measures.back().length) stroke.duration = Fraction(1, 16);
      const bool grace = kind.graces > 0 && one_in(kind.graces);
      if (grace) stroke.grace = Grace::slashed;
      const int notes = kind.chords > 0 && one_in(kind.chords) ? 2 + static_cast<int>(below(3)) : 1;
      add_notes(score.banjo, notes, kind, stroke);
      if (before != nullptr) link(*before, stroke, kind, grace);
      if (notes > 2 && one_in(3)) stroke.brush = Brush::up;
      if (!grace) onset += stroke.duration;
      std::vector<Stroke>& strokes = score.measures.back().strokes;
      strokes.push_back(stroke);
      before = &strokes.back().notes;
    }
    // The last measure may end early: what is not filled takes no part in the hands' work.
    if (!score.measures.empty()) score.measures.back().length = onset;
    return score;
  }

  std::size_t below(int n) {
    return static_cast<std::size_t>(std::uniform_int_distribution<int>(0, n - 1)(random_));
  }
  bool one_in(int n) { return n > 0 && below(n) == 0; }

 private:
  // Notes that can be held together: each on a string of its own, within four frets or open.
  void add_notes(const Banjo& banjo, int notes, const PassageKind& kind, Stroke& stroke) {
    const int low = 1 + static_cast<int>(below(std::max(1, banjo.last_fret() - 3)));
    std::vector<int> strings{1, 2, 3, 4, 5};
    std::shuffle(strings.begin(), strings.end(), random_);
    for (const int string : strings) {
      if (static_cast<int>(stroke.notes.size()) == notes) break;
      const int fret = one_in(3) ? 0 : low + static_cast<int>(below(3));
      const Placement placement{static_cast<std::int8_t>(string), static_cast<std::int8_t>(fret)};
      const auto midi = banjo.midi_at(placement);
      if (!midi) continue;
      Note note;
      note.pitch = spell(*midi, Key{1, Mode::major});
      if (one_in(10)) note.ring = one_in(2) ? Ring::let_ring : Ring::damp;
      if (kind.fixed > 0 && one_in(kind.fixed)) fix(note, placement);
      stroke.notes.push_back(note);
    }
    if (stroke.notes.empty()) {
      Note note;
      note.pitch = spell(banjo.open_midi(3), Key{1, Mode::major});
      stroke.notes.push_back(note);
    }
    std::stable_sort(stroke.notes.begin(), stroke.notes.end(),
                     [](const Note& a, const Note& b) { return a.pitch.midi() > b.pitch.midi(); });
  }

  void fix(Note& note, Placement placement) {
    switch (below(3)) {
      case 0:
        note.placement = placement;
        break;
      case 1:
        note.placement = placement;
        if (placement.fret > 0) note.finger = static_cast<FretFinger>(1 + below(4));
        break;
      default:
        note.picking_finger = static_cast<PickingFinger>(below(3));
    }
  }

  void link(std::vector<Note>& before, Stroke& stroke, const PassageKind& kind, bool grace) {
    for (Note& note : stroke.notes) {
      if (one_in(kind.slurs) && !before.empty()) {
        constexpr Technique into[] = {Technique::slur, Technique::slur, Technique::hammer_on,
                                      Technique::pull_off, Technique::slide};
        note.into = into[below(5)];
        before.front().out_of = note.into;
      } else if (!grace && one_in(kind.ties)) {
        for (Note& other : before) {
          if (other.pitch.midi() != note.pitch.midi() || other.tied_to_next) continue;
          other.tied_to_next = true;
          note.tied_from_previous = true;
          break;
        }
      }
    }
  }

  std::mt19937 random_;
};

}  // namespace fifthpeg::testing
