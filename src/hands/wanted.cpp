#include "hands/wanted.hpp"

namespace fifthpeg::hands {
namespace {

struct Touched {
  int above_open;  // half steps
  int fret;        // above the string's own nut or capo
};
constexpr Touched harmonics[] = {{12, 12}, {19, 7}, {24, 5}};

// The written number of the fret that lies `above` half steps over the open string.
std::optional<int> fret_above(const Banjo& banjo, int string, int above) {
  return banjo.fret_for(string, banjo.open_midi(string) + above);
}

}  // namespace

WantedNote wanted(const Note& note, int half_steps, bool keep) {
  WantedNote result;
  result.midi = note.pitch.midi() + half_steps;
  if (keep && half_steps == 0) result.fixed = note.placement;
  result.tied = note.tied_from_previous;
  result.stopped = note.choke.has_value();
  result.dead = note.dead;
  result.harmonic = note.harmonic;
  return result;
}

std::optional<int> fret_for(const Banjo& banjo, const WantedNote& note, int string) {
  if (note.harmonic) {
    const int above = note.midi - banjo.open_midi(string);
    for (const Touched& touched : harmonics) {
      if (touched.above_open == above) return fret_above(banjo, string, touched.fret);
    }
  }
  const auto fret = banjo.fret_for(string, note.midi);
  if (!fret && note.dead) return 0;
  if (fret && *fret == 0 && note.stopped) return std::nullopt;
  return fret;
}

bool gives(const Banjo& banjo, const WantedNote& note, Placement placement) {
  const auto sounding = banjo.midi_at(placement);
  if (!sounding) return false;
  if (note.dead || *sounding == note.midi) return true;
  return note.harmonic && fret_for(banjo, note, placement.string) == placement.fret;
}

bool within_range(const Banjo& banjo, const WantedNote& note) {
  for (int string = 1; string <= string_count; ++string) {
    if (fret_for(banjo, note, string)) return true;
  }
  return false;
}

}  // namespace fifthpeg::hands
