// Which pitch a string and fret give, and which of them give a note.
#include <algorithm>
#include <array>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

int Banjo::open_midi(int string) const {
  const int raised = string == fifth_string ? fifth_capo - fifth_nut_fret : capo;
  return tuning.open(string).midi() + raised;
}

std::optional<int> Banjo::midi_at(Placement placement) const {
  const int string = placement.string;
  const int fret = placement.fret;
  if (string < 1 || string > string_count || fret < 0 || fret > last_fret()) return std::nullopt;
  if (fret == 0) return open_midi(string);
  if (string != fifth_string) return open_midi(string) + fret;
  const int from_nut = fret + capo;
  if (from_nut <= fifth_capo) return std::nullopt;
  return open_midi(string) + from_nut - fifth_capo;
}

std::optional<int> Banjo::fret_for(int string, int midi) const {
  const int above = midi - open_midi(string);
  if (above < 0) return std::nullopt;
  if (above == 0) return 0;
  const int fret = string == fifth_string ? fifth_capo + above - capo : above;
  if (fret < 1 || fret > last_fret()) return std::nullopt;
  return fret;
}

std::optional<int> Banjo::chime_fret_for(int string, int midi) const {
  struct Chime {
    int sounds;   // half steps above the open string
    int touched;  // frets above its nut or capo
  };
  // A half, a third and a quarter of the string (physics of the string; common practice).
  constexpr std::array<Chime, 3> chimes{{{12, 12}, {19, 7}, {24, 5}}};
  const int open = open_midi(string);
  for (const Chime& chime : chimes) {
    if (midi - open == chime.sounds) return fret_for(string, open + chime.touched);
  }
  return std::nullopt;
}

int Banjo::lowest() const {
  int midi = open_midi(1);
  for (int string = 2; string <= string_count; ++string) midi = std::min(midi, open_midi(string));
  return midi;
}

int Banjo::highest() const {
  int midi = 0;
  for (int string = 1; string <= string_count; ++string) {
    const int last = string == fifth_string ? std::max(0, frets - fifth_capo) : std::max(0, last_fret());
    midi = std::max(midi, open_midi(string) + last);
  }
  return midi;
}

StringSound string_sound(const Note& note, int half_steps) {
  return {note.pitch.midi() + half_steps, note.harmonic, note.dead, note.choke.has_value()};
}

bool gives(const Banjo& banjo, Placement placement, const StringSound& sound) {
  const auto midi = banjo.midi_at(placement);
  if (!midi) return false;
  if (sound.dead || *midi == sound.midi) return true;
  return sound.harmonic && banjo.chime_fret_for(placement.string, sound.midi) == placement.fret;
}

bool gives(const Banjo& banjo, Placement placement, const Note& note) {
  return gives(banjo, placement, string_sound(note));
}

std::optional<int> fret_for(const Banjo& banjo, int string, const StringSound& sound) {
  if (sound.harmonic) {
    if (const auto fret = banjo.chime_fret_for(string, sound.midi)) return fret;
  }
  const auto fret = banjo.fret_for(string, sound.midi);
  if (!fret && sound.dead) return 0;
  if (fret && *fret == 0 && sound.choked) return std::nullopt;
  return fret;
}

bool has_place(const Banjo& banjo, const StringSound& sound) {
  for (int string = 1; string <= string_count; ++string) {
    if (fret_for(banjo, string, sound)) return true;
  }
  return false;
}

}  // namespace fifthpeg
