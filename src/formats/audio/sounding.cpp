// sounding(): from a performance to what is asked of the strings, in seconds.
#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "fifthpeg/audio.hpp"
#include "formats/audio/settings.hpp"

namespace fifthpeg {
namespace {

// Notes without a placement take turns on strings of their own.
constexpr int first_free_string = 6;
constexpr int free_strings = 8;
constexpr double some_length = 0.75;  // of a string that is not known: somewhere in the first position

// How much of a string as long as the neck's sounds, where its pitch is `midi`.
double sounding_length(const Banjo& banjo, int string, int midi) {
  const int capo = string == fifth_string ? banjo.fifth_capo : banjo.capo;
  return std::exp2(-(capo + midi - banjo.open_midi(string)) / 12.0);
}

Begin begin_of(const Note& note) {
  switch (note.into) {
    case Technique::hammer_on:
      return Begin::hammer;
    case Technique::pull_off:
      return Begin::pull;
    case Technique::slide:
      return Begin::slide;
    case Technique::slur:
    case Technique::none:
      break;
  }
  return Begin::pluck;
}

Stop stop_of(const Note& note, const Stroke& stroke) {
  if (note.ring == Ring::let_ring) return Stop::open;
  if (note.ring == Ring::damp || stroke.articulations.staccato) return Stop::stop;
  const bool nobody_holds_it = note.harmonic || (note.placement && note.placement->fret == 0);
  return nobody_holds_it ? Stop::open : Stop::lift;
}

class Listener {
 public:
  Listener(const Score& score, const Performance& performance, SoundPart part)
      : score_(score), performance_(performance), part_(part) {}

  void add_to(std::vector<SoundedString>& strings) {
    strings.reserve(strings.size() + performance_.notes.size());
    for (const SoundedNote& note : performance_.notes) strings.push_back(sounded(note));
  }

 private:
  SoundedString sounded(const SoundedNote& from) {
    const Stroke& stroke = score_.measures[from.measure].strokes[from.stroke];
    const Note& note = stroke.notes[from.note];
    SoundedString to;
    to.start = performance_.seconds(from.start);
    to.end = performance_.seconds(from.end);
    to.part = part_;
    to.midi = static_cast<std::int8_t>(from.midi);
    to.velocity = from.velocity;
    to.harmonic = note.harmonic;
    to.dead = note.dead;
    if (part_ == SoundPart::banjo && from.string != 0) {
      to.string = from.string;
      to.length = std::min(1.0, sounding_length(score_.banjo, from.string, from.midi));
      to.begin = begin_of(note);
      to.stop = stop_of(note, stroke);
    } else {
      to.string = static_cast<std::int8_t>(first_free_string + next_free_);
      next_free_ = (next_free_ + 1) % free_strings;
      to.length = some_length;
      to.stop = note.ring == Ring::let_ring ? Stop::open : Stop::lift;
    }
    for (const Glide& glide : glides_of(performance_, from)) {
      to.glides.push_back({performance_.seconds(glide.from), performance_.seconds(glide.to), glide.cents_from,
                           glide.cents_to});
    }
    return to;
  }

  const Score& score_;
  const Performance& performance_;
  SoundPart part_;
  int next_free_ = 0;
};

void put_in_order(Sounding& sounding) {
  std::stable_sort(sounding.strings.begin(), sounding.strings.end(),
                   [](const SoundedString& a, const SoundedString& b) { return a.start < b.start; });
}

void add_part(const Score& score, const Performance& performance, SoundPart part, Sounding& sounding) {
  Listener(score, performance, part).add_to(sounding.strings);
  const std::int64_t end = performance.measures.empty() ? 0 : performance.measures.back().end;
  sounding.seconds = std::max(sounding.seconds, performance.seconds(end));
}

}  // namespace

Sounding sounding(const Score& score, const Performance& performance) {
  Sounding result;
  add_part(score, performance, SoundPart::banjo, result);
  return result;
}

Sounding sounding(const Score& score, std::span<const Score> backing, const std::vector<Click>& clicks) {
  const Performance performance = perform(score);
  Sounding result = sounding(score, performance);
  for (const Score& part : backing) {
    add_part(part, perform(part), &part == &backing.front() ? SoundPart::bass : SoundPart::chords, result);
  }
  put_in_order(result);
  for (const HeardClick& click : heard(clicks, performance)) {
    result.clicks.push_back({performance.seconds(click.start), click.accent});
  }
  return result;
}

}  // namespace fifthpeg
