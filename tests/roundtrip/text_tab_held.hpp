// What of a score text tab holds: the rest is taken out, or put into the one form in which it is read back.
#pragma once

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/text.hpp"
#include "engraving/count.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::testing {

// Text tab does not hold, and the writer's report or the form itself says so:
//   how many frets the neck has, whether a meter stands as C, tempos that are not shown, hundredths of a
//   beat; bar styles but single and double ones; whether an ending's bracket stays open or is not there; the
//   printed value of grace notes and whether they have a stroke, note values as printed, tuplets as they are
//   bracketed: what is read is found anew from the times;
//   frets and pitches of dead notes, chimes that do not sound as the string does where they are touched; how
//   pitches are spelled other than in their key; techniques, chokes, rings and the like of notes without a
//   string; fret-hand fingers and what notes are for, unless asked for; times of words and chords between two
//   columns, which go to the column before; numbers of measures that are not counted; names of verses.
class TextTabHolder {
 public:
  TextTabHolder(Score score, bool fingers, bool roles)
      : score_(std::move(score)), fingers_(fingers), roles_(roles) {}

  Score run() {
    score_.banjo.frets = Banjo{}.frets;
    for (std::size_t i = 0; i < score_.measures.size(); ++i) hold(score_.measures[i], i);
    link_techniques();
    normalize(score_);
    for (Measure& measure : score_.measures) {
      for (Stroke& stroke : measure.strokes) {
        stroke.unparted = false;
        stroke.tuplets.clear();
      }
    }
    return std::move(score_);
  }

 private:
  void hold(Measure& measure, std::size_t index) {
    const bool last = index + 1 == score_.measures.size();
    if (measure.implicit) measure.number = "not counted";
    measure.meter.symbol = Meter::Symbol::numbers;
    if (measure.repeat_times == 0) {
      const bool doubled =
          measure.right_bar == BarStyle::light_light || measure.right_bar == BarStyle::light_heavy;
      measure.right_bar = !doubled ? BarStyle::regular : last ? BarStyle::light_heavy : BarStyle::light_light;
    }
    if (measure.ending && measure.ending->stop == Ending::Stop::none)
      measure.ending->stop = Ending::Stop::open;
    std::vector<Fraction> columns;
    for (const auto& place : engraving::counted_places(measure, index == 0)) columns.push_back(place.offset);
    const auto pull = [&](Fraction& at) {
      if (at >= measure.length) return;
      const auto after = std::upper_bound(columns.begin(), columns.end(), at);
      at = after == columns.begin() ? columns.front() : *(after - 1);
    };
    for (Tempo& tempo : measure.tempos) {
      pull(tempo.at);
      tempo.shown = true;
    }
    for (KeyChange& change : measure.key_changes) pull(change.at);
    for (ChordSymbol& chord : measure.chords) {
      pull(chord.at);
      chord.text.clear();
    }
    for (Direction& direction : measure.directions) {
      pull(direction.at);
      if (direction.kind == Direction::Kind::fine && direction.text == "Fine") direction.text.clear();
    }
    for (Stroke& stroke : measure.strokes) hold(stroke, measure);
  }

  void hold(Stroke& stroke, const Measure& measure) {
    if (stroke.grace != Grace::none) {
      stroke.grace = Grace::slashed;
      stroke.duration = {1, 16};
    }
    Key key = measure.key;
    for (const KeyChange& change : measure.key_changes) {
      if (change.at <= stroke.onset) key = change.key;
    }
    for (Note& note : stroke.notes) {
      if (note.placement && note.dead) {
        note.placement->fret = 0;
        note.pitch.octave = 4;
        note.pitch = spell(*score_.banjo.midi_at(*note.placement), key);
      } else if (note.placement) {
        note.pitch = spell(note.harmonic ? chime_at(*note.placement) : note.pitch.midi(), key);
      } else {
        Note kept;
        kept.pitch = note.pitch;
        kept.picking_finger = note.picking_finger;
        kept.finger = note.finger;
        kept.role = note.role;
        kept.tied_from_previous = note.tied_from_previous;
        kept.tied_to_next = note.tied_to_next;
        note = kept;
      }
      if (!fingers_) note.finger.reset();
      if (!roles_) note.role = Role::none;
    }
  }

  // A chime sounds as the string does where it is touched.
  int chime_at(Placement place) const {
    const Banjo& banjo = score_.banjo;
    const int open = banjo.open_midi(place.string);
    for (const int above : {12, 19, 24}) {
      if (banjo.chime_fret_for(place.string, open + above) == place.fret) return open + above;
    }
    return *banjo.midi_at(place);
  }

  // What leads into a note leads out of the one before it on its string; what leads nowhere is not written.
  void link_techniques() {
    std::array<Note*, string_count> last{};
    for (Measure& measure : score_.measures) {
      for (Stroke& stroke : measure.strokes) {
        std::vector<Note*> here;
        for (Note& note : stroke.notes) {
          if (note.placement) here.push_back(&note);
        }
        for (Note* note : here) {
          Note*& before = last.at(static_cast<std::size_t>(note->placement->string - 1));
          if (before != nullptr && note->into == Technique::none) note->into = before->out_of;
          if (before != nullptr) before->out_of = note->into;
          before = note;
        }
      }
    }
    for (Note* note : last) {
      if (note != nullptr) note->out_of = Technique::none;
    }
  }

  Score score_;
  bool fingers_;
  bool roles_;
};

inline Score held_by_text_tab(const Score& score, bool fingers, bool roles = false) {
  return TextTabHolder(score, fingers, roles).run();
}

}  // namespace fifthpeg::testing
