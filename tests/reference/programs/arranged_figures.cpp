// Arranges files and counts what good arrangements have much or little of:
//
//   arguments:       style, level, files
//   standard output: for each file a line: its name and NAME=VALUE, separated by tabs
#include <algorithm>
#include <bit>
#include <chrono>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <iterator>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "fifthpeg/arrange.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/performance.hpp"
#include "fifthpeg/read.hpp"
#include "score/chord_tones.hpp"

namespace {

using namespace fifthpeg;

struct Placed {
  const Stroke* stroke = nullptr;
  const Measure* measure = nullptr;
  Fraction at;  // from the start of the score
};

std::vector<Placed> strokes_of(const Score& score) {
  std::vector<Placed> strokes;
  Fraction start;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (!stroke.is_rest() && stroke.grace == Grace::none)
        strokes.push_back({&stroke, &measure, start + stroke.onset});
    }
    start += measure.length;
  }
  return strokes;
}

using Figures = std::map<std::string, long>;

void count_melody(const Arrangement& arrangement, Figures& figures) {
  for (const MelodyNote& note : arrangement.melody) {
    const std::string where = note.on_beat ? "beats" : "offs";
    ++figures[where];
    figures[where + "_asked"] += note.asked ? 1 : 0;
    figures[where + "_kept"] += note.kept ? 1 : 0;
  }
}

// Kept notes that do not sound where and as they should, and what claims to be melody and is none.
long wrong_notes(const Arrangement& arrangement, const std::vector<Placed>& strokes) {
  long wrong = 0;
  std::multimap<Fraction, int> kept;
  for (const MelodyNote& note : arrangement.melody) {
    if (note.kept) kept.emplace(note.at, note.midi);
  }
  for (const Placed& one : strokes) {
    for (const Note& note : one.stroke->notes) {
      if (note.role != Role::melody || note.tied_from_previous) continue;
      const auto found = kept.find(one.at);
      if (found == kept.end() || found->second != note.pitch.midi()) {
        ++wrong;
      } else {
        kept.erase(found);
      }
    }
  }
  return wrong + static_cast<long>(kept.size());
}

// As it stands, and taken out by what its notes are for.
void count_wrong(const Arrangement& arrangement, const std::vector<Placed>& strokes, Figures& figures) {
  figures["wrong"] += wrong_notes(arrangement, strokes);
  Score taken_out = arrangement.score;
  keep_only(taken_out, {Role::melody});
  figures["wrong_taken_out"] += wrong_notes(arrangement, strokes_of(taken_out));
}

// Whether the softest note of the melody is heard over the loudest that fills in.
void count_loudness(const Score& score, Figures& figures) {
  int softest = 127;
  int loudest = 0;
  for (const SoundedNote& sound : perform(score).notes) {
    const Note& note = score.measures[sound.measure].strokes[sound.stroke].notes[sound.note];
    if (note.role == Role::melody) {
      softest = std::min<int>(softest, sound.velocity);
    } else if (note.role == Role::fill || note.role == Role::drone) {
      loudest = std::max<int>(loudest, sound.velocity);
    }
  }
  if (softest < loudest + 20) ++figures["too_soft"];
}

// Fills outside the chord; what is no drone and has its role; what has none.
void count_strangers(const Score& score, Figures& figures) {
  std::optional<ChordTones> tones;
  for (const Measure& measure : score.measures) {
    auto chord = measure.chords.begin();
    for (const Stroke& stroke : measure.strokes) {
      for (; chord != measure.chords.end() && chord->at <= stroke.onset; ++chord) tones = chord_tones(*chord);
      if (stroke.grace != Grace::none) continue;
      for (const Note& note : stroke.notes) {
        const bool fits = note.role == Role::drone  ? note.placement == Placement{fifth_string, 0}
                          : note.role == Role::fill ? tones && tones->has(note.pitch.midi())
                                                    : note.role != Role::none;
        if (!fits) ++figures["strangers"];
      }
    }
  }
}

// Where frailing hands do not do what they do: a beat of the tune without the nail, the thumb on a beat or on
// the first string, a brush in a melody that moves in eighths.
void count_frailing(const Arrangement& arrangement, const std::vector<Placed>& strokes, Figures& figures) {
  const auto plays = [](const Stroke& stroke, PickingFinger finger) {
    return std::any_of(stroke.notes.begin(), stroke.notes.end(),
                       [&](const Note& note) { return note.picking_finger == finger; });
  };
  const auto is_melody = [](const Stroke& stroke) {
    return std::any_of(stroke.notes.begin(), stroke.notes.end(),
                       [](const Note& note) { return note.role == Role::melody; });
  };
  const auto beat_of = [](const Meter& meter) { return meter.is_compound() ? meter.beat() : Fraction(1, 4); };
  // Where the first measure that is not a pickup begins.
  const Measure& first = arrangement.score.measures.front();
  const Fraction begin = first.length < first.meter.length() ? first.length : Fraction(0);
  std::map<Fraction, const Stroke*> at;
  for (std::size_t i = 0; i < strokes.size(); ++i) {
    const Stroke& stroke = *strokes[i].stroke;
    const Measure& measure = *strokes[i].measure;
    at[strokes[i].at] = &stroke;
    const bool on_beat = ((counted_before(measure) + stroke.onset) / beat_of(measure.meter)).is_whole();
    for (const Note& note : stroke.notes) {
      if (note.picking_finger != PickingFinger::thumb) continue;
      if ((on_beat && strokes[i].at >= begin) || note.placement->string == 1) ++figures["thumb_astray"];
    }
    const Fraction eighth(1, 8);
    const bool before =
        i > 0 && strokes[i].at - strokes[i - 1].at <= eighth && is_melody(*strokes[i - 1].stroke);
    const bool after = i + 1 < strokes.size() && strokes[i + 1].at - strokes[i].at <= eighth &&
                       is_melody(*strokes[i + 1].stroke);
    if (stroke.brush != Brush::none && after && (before || is_melody(stroke))) ++figures["brush_in_line"];
  }
  Fraction start;
  for (const Measure& measure : arrangement.score.measures) {
    const Fraction beat = beat_of(measure.meter);
    for (Fraction in; in < measure.length; in += beat) {
      if (counted_before(measure) > 0 || start + in < std::max(begin, arrangement.melody.front().at))
        continue;
      const auto found = at.find(start + in);
      if (found == at.end() || !plays(*found->second, PickingFinger::nail)) ++figures["beats_without_nail"];
    }
    start += measure.length;
  }
}

void count_strokes(const std::vector<Placed>& strokes, Figures& figures) {
  for (const Placed& one : strokes) {
    ++figures["strokes"];
    for (const Note& note : one.stroke->notes) {
      const std::string role(to_string(note.role));
      ++figures[role];
      if (note.placement->fret > 4) ++figures["above_4"];
      if (note.placement->fret > 5) ++figures["above_5"];
      if (note.placement->fret > 7) ++figures["above_7"];
      if (note.into != Technique::none) ++figures["slurred"];
    }
    if (one.stroke->notes.size() > 1) ++figures["together"];
  }
}

// Four strokes in following eighths, or whatever the roll moves in, over two strings.
void count_windows(const std::vector<Placed>& strokes, Fraction slot, Figures& figures) {
  for (std::size_t i = 0; i + 4 <= strokes.size(); ++i) {
    unsigned strings = 0;
    bool whole = true;
    for (std::size_t k = i; k < i + 4 && whole; ++k) {
      whole = strokes[k].stroke->notes.size() == 1 && (k == i || strokes[k].at - strokes[k - 1].at == slot);
      strings |= 1U << static_cast<unsigned>(strokes[k].stroke->notes[0].placement->string);
    }
    if (!whole) continue;
    ++figures["windows"];
    if (std::popcount(strings) <= 2) ++figures["windows_of_two"];
  }
}

// What the roll moves in.
Fraction slot_of(const std::vector<Placed>& strokes) {
  std::map<Fraction, int> times;
  for (std::size_t i = 1; i < strokes.size(); ++i) ++times[strokes[i].at - strokes[i - 1].at];
  const auto most = std::max_element(times.begin(), times.end(),
                                     [](const auto& a, const auto& b) { return a.second < b.second; });
  return most == times.end() ? Fraction(1, 8) : most->first;
}

// From the first full measure on; where the melody rests at the end of a phrase, nothing need sound.
void count_slots(const Arrangement& arrangement, const std::vector<Placed>& strokes, Fraction slot,
                 Figures& figures) {
  const Measure& first = arrangement.score.measures.front();
  const Fraction begin = first.length < first.meter.length() ? first.length : Fraction(0);
  std::size_t note = 0;
  const auto& melody = arrangement.melody;
  for (std::size_t i = 0; i + 1 < strokes.size(); ++i) {
    if (strokes[i].at < begin) continue;
    while (note + 1 < melody.size() && melody[note + 1].at <= strokes[i].at) ++note;
    const long slots = static_cast<long>(((strokes[i + 1].at - strokes[i].at) / slot).floor());
    if (slots > 1 && melody[note].ends_phrase) continue;
    figures["slots"] += std::max(1L, slots);
    ++figures["slots_filled"];
  }
}

// In following eighths, or what is faster.
void count_repeats(const std::vector<Placed>& strokes, Fraction slot, Figures& figures) {
  const Fraction at_once = std::min(slot, Fraction(1, 8));
  for (std::size_t i = 1; i < strokes.size(); ++i) {
    if (strokes[i].at - strokes[i - 1].at > at_once) continue;
    for (const Note& a : strokes[i - 1].stroke->notes) {
      for (const Note& b : strokes[i].stroke->notes) {
        if (!b.picking_finger) continue;
        if (a.picking_finger && *a.picking_finger == *b.picking_finger) ++figures["same_finger"];
        const bool both = a.role == Role::melody && b.role == Role::melody;
        if (a.placement->string == b.placement->string && !both) ++figures["same_string"];
      }
    }
    const Note& a = strokes[i - 1].stroke->notes[0];
    const Note& b = strokes[i].stroke->notes[0];
    if (a.placement->fret > 0 && b.placement->fret > 0 && std::abs(a.placement->fret - b.placement->fret) > 4)
      ++figures["jumps"];
  }
}

}  // namespace

int main(int count, char** arguments) {
  ArrangeOptions options;
  options.style = *parse_style(arguments[1]);
  options.level = std::atoi(arguments[2]);
  for (int i = 3; i < count; ++i) {
    std::ifstream file(arguments[i], std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(file), {}};
    std::cout << arguments[i];
    try {
      const Score score = read(bytes).score;
      const auto begin = std::chrono::steady_clock::now();
      const Arrangement arrangement = arrange(score, options);
      const auto passed = std::chrono::steady_clock::now() - begin;
      Figures figures;
      figures["measures"] = static_cast<long>(score.measures.size());
      figures["us"] = std::chrono::duration_cast<std::chrono::microseconds>(passed).count();
      const auto strokes = strokes_of(arrangement.score);
      const Fraction slot = slot_of(strokes);
      count_slots(arrangement, strokes, slot, figures);
      count_melody(arrangement, figures);
      count_wrong(arrangement, strokes, figures);
      count_loudness(arrangement.score, figures);
      count_strangers(arrangement.score, figures);
      if (options.style == Style::clawhammer) count_frailing(arrangement, strokes, figures);
      count_strokes(strokes, figures);
      count_windows(strokes, slot, figures);
      count_repeats(strokes, slot, figures);
      figures["capo"] = arrangement.score.banjo.capo;
      for (const auto& [name, value] : figures) std::cout << '\t' << name << '=' << value;
    } catch (const UnplayableError& error) {
      std::cout << "\trefused=" << error.code();
    }
    std::cout << '\n';
  }
  return 0;
}
