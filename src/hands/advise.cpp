// Which key, octave, tuning and capo suit a piece. A capo at fret c with the piece moved by k half steps is
// for the hands the piece moved by k - c on the bare neck, so that single notes are weighed once for each
// tuning and move; what comes out best is then fingered as a whole.
#include <algorithm>
#include <array>
#include <cstdlib>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <utility>

#include "base/text.hpp"
#include "fifthpeg/banjo.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "hands/fit.hpp"
#include "hands/model.hpp"
#include "hands/octave.hpp"
#include "hands/search.hpp"

namespace fifthpeg {
namespace {

using hands::Event;
using hands::SettingCosts;

constexpr SettingCosts setting_costs;

constexpr int highest_capo = 5;          // common practice: beyond that the strings get stiff and short
constexpr int highest_capo_retuned = 4;  // common practice: G shapes go to 5 for C, others less far
constexpr int highest_fifth_capo = 10;   // spikes and screws sit at frets 7 to 10 (common practice)
constexpr std::size_t fingered_at_most = 12;

int pitch_class(int midi) {
  return ((midi % 12) + 12) % 12;
}

// The piece as far as single notes go.
struct Notes {
  hands::PitchCounts at{};  // by MIDI number; what lies outside 0..127 is put at the ends
  std::array<std::uint64_t, 12> of_class{};
  std::array<std::uint64_t, 12> on_downbeats{};
  std::uint64_t count = 0;
  std::vector<Note> kinds;  // one of each pitch, apart from others where choked or a chime
  int tonic = 0;            // pitch class
  bool major_third = true;
};

constexpr int minor_third = 3;
constexpr int major_third = 4;
constexpr int fourth = 5;
constexpr int fifth = 7;
constexpr int minor_seventh = 10;

std::uint64_t count_of(const Notes& notes, int pitch) {
  return notes.of_class[static_cast<std::size_t>(pitch_class(pitch))];
}

bool has_major_third(const Notes& notes, Mode mode) {
  switch (mode) {
    case Mode::major:
    case Mode::lydian:
    case Mode::mixolydian:
    case Mode::ionian:
      return true;
    case Mode::none:
      return count_of(notes, notes.tonic + major_third) >= count_of(notes, notes.tonic + minor_third);
    default:
      return false;
  }
}

// How much of a piece stands on a tonic and its fifth.
std::uint64_t weight_of(const Notes& notes, int tonic) {
  return count_of(notes, tonic) + count_of(notes, tonic + fifth);
}

// How many measures begin within the chord on a tonic.
std::uint64_t downbeats_in_chord(const Notes& notes, int tonic, bool major) {
  const auto at = [&](int pitch) { return notes.on_downbeats[static_cast<std::size_t>(pitch_class(pitch))]; };
  return at(tonic) + at(tonic + (major ? major_third : minor_third)) + at(tonic + fifth);
}

// Tunes end on their tonic, and signatures often say no mode but major or minor, or a wrong one (common
// practice): a tune that ends outside the chord that its signature names, and has its weight there and begins
// its measures there too, is in the mode of its last note. Others only lead back into their beginning.
void find_tonic(const Key& key, int last, Notes& notes) {
  notes.tonic = pitch_class(7 * tonic(key));
  const int ends_on = pitch_class(last - notes.tonic);
  const bool in_chord = ends_on == 0 || ends_on == minor_third || ends_on == major_third;
  const bool vague = key.mode == Mode::major || key.mode == Mode::minor;  // what every file says
  const bool major_there = count_of(notes, last + major_third) >= count_of(notes, last + minor_third);
  const bool stands_there = weight_of(notes, last) > weight_of(notes, notes.tonic) &&
                            downbeats_in_chord(notes, last, major_there) >
                                downbeats_in_chord(notes, notes.tonic, key.mode != Mode::minor);
  if (key.mode == Mode::none || (vague && !in_chord && stands_there)) {
    notes.tonic = pitch_class(last);
    notes.major_third = has_major_third(notes, Mode::none);
  } else {
    notes.major_third = has_major_third(notes, key.mode);
  }
}

Notes notes_of(const Score& score, const std::vector<Event>& line) {
  Notes notes;
  std::set<std::tuple<int, bool, bool>> kinds;
  for (const Event& at : line) {
    for (const Note& note : stroke_at(score, at).notes) {
      if (note.dead) continue;
      const int midi = note.pitch.midi();
      if (kinds.emplace(midi, note.choke.has_value(), note.harmonic).second) notes.kinds.push_back(note);
      ++notes.at[static_cast<std::size_t>(std::clamp(midi, 0, 127))];
      ++notes.of_class[static_cast<std::size_t>(pitch_class(midi))];
      if (stroke_at(score, at).onset == 0) ++notes.on_downbeats[static_cast<std::size_t>(pitch_class(midi))];
      ++notes.count;
    }
  }
  if (!line.empty()) {
    find_tonic(score.measures.front().key, stroke_at(score, line.back()).notes.back().pitch.midi(), notes);
  }
  return notes;
}

struct Candidate {
  const NamedTuning* tuning = nullptr;
  Banjo banjo;
  int half_steps = 0;
  std::int64_t setup_cost = 0;  // in hundredths of a unit
  std::int64_t hands = 0;       // the same, of the notes one by one
};

// Above the tonic, in half steps.
int drone_degree(const Notes& notes, const Candidate& candidate) {
  return pitch_class(candidate.banjo.open_midi(fifth_string) - candidate.half_steps - notes.tonic);
}

// In the key's chord; or of a minor or modal tune, where a fourth and a minor seventh stand in for a third.
bool is_of_chord(const Notes& notes, int degree) {
  return degree == 0 || degree == fifth || degree == (notes.major_third ? major_third : minor_third);
}
bool stands_in(const Notes& notes, int degree) {
  return !notes.major_third && (degree == fourth || degree == minor_seventh);
}

int drone_set_up_cost(const Notes& notes, int degree) {
  if (degree == 0 || degree == fifth) return 0;
  return is_of_chord(notes, degree) ? setting_costs.drone_third : setting_costs.drone_outside;
}

// Of a long string, above the tonic, in half steps.
int string_degree(const Notes& notes, const Candidate& candidate, int string) {
  return pitch_class(candidate.banjo.open_midi(string) - candidate.half_steps - notes.tonic);
}

// Of the piece, or of the scale that its chord belongs to.
bool is_in_piece(const Notes& notes, int degree) {
  return is_of_chord(notes, degree) || count_of(notes, notes.tonic + degree) * 100 >= notes.count;
}

int string_set_up_cost(const Notes& notes, int degree) {
  if (is_of_chord(notes, degree)) return 0;
  return (stands_in(notes, degree) ? setting_costs.string_stands_in : setting_costs.string_off_chord) +
         (is_in_piece(notes, degree) ? 0 : setting_costs.string_outside);
}

void set_fifth_capo(const Notes& notes, Candidate& candidate) {
  const int usual = usual_fifth_capo(candidate.banjo.capo);
  const auto cost_at = [&](int fret) {
    candidate.banjo.fifth_capo = fret;
    return drone_set_up_cost(notes, drone_degree(notes, candidate)) +
           std::abs(fret - usual) * setting_costs.fifth_capo_fret;
  };
  int best = usual;
  for (int fret = fifth_nut_fret; fret <= highest_fifth_capo; ++fret) {
    if (cost_at(fret) < cost_at(best)) best = fret;
  }
  candidate.banjo.fifth_capo = best;
}

int retuning_cost(const Tuning& tuning) {
  const int strings = hands::retuned_strings(open_g(), tuning);
  return strings == 0 ? 0 : setting_costs.retuned + strings * setting_costs.retuned_string;
}

// Whether every note has a place.
bool fits(const Notes& notes, const Candidate& candidate) {
  return std::all_of(notes.kinds.begin(), notes.kinds.end(), [&](const Note& note) {
    return has_place(candidate.banjo, string_sound(note, candidate.half_steps));
  });
}

void weigh(const Notes& notes, Candidate& candidate) {
  const Banjo& banjo = candidate.banjo;
  candidate.hands = 10 * hands::cost_one_by_one(banjo, notes.at, candidate.half_steps);
  int every_note = retuning_cost(candidate.tuning->tuning);
  if (banjo.capo > 0) every_note += setting_costs.capo + banjo.capo * setting_costs.capo_fret;
  every_note += std::max(0, banjo.capo - 2) * setting_costs.high_capo_fret +
                std::max(0, banjo.capo - 3) * setting_costs.highest_capo_fret;
  every_note += std::abs(banjo.fifth_capo - usual_fifth_capo(banjo.capo)) * setting_costs.fifth_capo_fret;
  every_note += drone_set_up_cost(notes, drone_degree(notes, candidate));
  bool has_tonic = false;
  for (int string = 1; string < fifth_string; ++string) {
    const int degree = string_degree(notes, candidate, string);
    every_note += string_set_up_cost(notes, degree);
    has_tonic = has_tonic || degree == 0;
  }
  if (!has_tonic) every_note += setting_costs.no_tonic;
  if (pitch_class(candidate.half_steps) != 0) every_note += setting_costs.other_key;
  candidate.setup_cost += static_cast<std::int64_t>(notes.count) * every_note;
}

std::vector<Candidate> candidates_for(const Score& score, const Notes& notes, const AdviseOptions& options) {
  std::vector<Candidate> candidates;
  const int last = options.other_keys ? 5 : 0;
  const int first = options.other_keys ? -6 : 0;
  for (const NamedTuning& tuning : named_tunings()) {
    const int last_capo = tuning.tuning == open_g() ? highest_capo : highest_capo_retuned;
    for (int capo = 0; capo <= last_capo; ++capo) {
      for (int octave = -farthest_move; octave <= farthest_move; octave += 12) {
        for (int step = first; step <= last; ++step) {
          Candidate candidate;
          candidate.tuning = &tuning;
          candidate.banjo = score.banjo;
          candidate.banjo.tuning = tuning.tuning;
          candidate.banjo.capo = capo;
          candidate.half_steps = octave + step;
          if (std::abs(candidate.half_steps) > farthest_move) continue;
          set_fifth_capo(notes, candidate);
          if (!fits(notes, candidate)) continue;
          weigh(notes, candidate);
          candidates.push_back(candidate);
        }
      }
    }
  }
  return candidates;
}

std::string name_of_class(const Score& score, int midi) {
  const Key key = score.measures.empty() ? Key{} : score.measures.front().key;
  std::string name = to_string(spell(midi, key));
  name.erase(name.find_first_of("-0123456789"));
  return name;
}

// How the long strings, open, go with the key.
std::string open_strings_text(const Score& score, const Notes& notes, const Candidate& candidate) {
  std::string all;
  std::string off;
  std::string outside;
  for (int string = 4; string >= 1; --string) {
    const std::string name = name_of_class(score, candidate.banjo.open_midi(string));
    const int degree = string_degree(notes, candidate, string);
    all += " " + name;
    if (is_of_chord(notes, degree)) continue;
    std::string& list = is_in_piece(notes, degree) ? off : outside;
    if ((" " + list + " ").find(" " + name + " ") == std::string::npos)
      list += (list.empty() ? "" : " ") + name;
  }
  std::string text = "open strings" + all + ": ";
  if (off.empty() && outside.empty()) return text + "the key's chord";
  if (!off.empty()) text += off + " not of the key's chord";
  if (!outside.empty()) text += (off.empty() ? "" : ", ") + outside + " not in the piece";
  return text;
}

// The weightiest first; what the values of the advice say by themselves is not said again.
std::vector<std::string> reasons_for(const Score& score, const Notes& notes, const Candidate& candidate,
                                     const Advice& advice) {
  std::vector<std::string> reasons;
  if (!advice.playable) {
    reasons.emplace_back("some strokes lose notes that no hand can hold");
  }
  if (advice.notes > 0) {
    reasons.push_back(std::to_string((100 * advice.open + advice.notes / 2) / advice.notes) +
                      "% of the notes on open strings");
  }
  if (candidate.banjo.capo > 0) {
    reasons.push_back("capo at " + std::to_string(candidate.banjo.capo) + ", shapes of " +
                      to_string(advice.shapes));
  }
  const int degree = drone_degree(notes, candidate);
  const std::string drone = name_of_class(score, candidate.banjo.open_midi(fifth_string));
  reasons.push_back("the drone sounds " + drone +
                    (degree == 0                  ? ", the tonic"
                     : degree == fifth            ? ", the fifth"
                     : is_of_chord(notes, degree) ? ", the third"
                                                  : ", which is not of the key's chord"));
  reasons.push_back(open_strings_text(score, notes, candidate));
  return reasons;
}

Advice advice_for(const Score& score, const std::vector<Event>& line, const Notes& notes,
                  const Candidate& candidate, const AdviseOptions& options) {
  Advice advice;
  advice.banjo = candidate.banjo;
  advice.half_steps = candidate.half_steps;
  const Key key = score.measures.empty() ? Key{} : score.measures.front().key;
  advice.key = moved(key, move_for(key, candidate.half_steps));
  const int shape_steps = candidate.half_steps - candidate.banjo.capo;
  advice.shapes = moved(key, move_for(key, shape_steps));
  advice.notes = notes.count;
  Score as_set_up;
  as_set_up.banjo = candidate.banjo;
  as_set_up.measures = score.measures;
  HandsOptions hands_options;
  hands_options.transpose = candidate.half_steps;
  hands_options.thin = true;
  hands_options.refinger = Refinger::all;
  hands_options.scale_length_mm = options.scale_length_mm;
  hands_options.reach = options.reach;
  const hands::Model model(candidate.banjo, hands_options, options.style);
  hands::Candidates candidates = model.candidates();
  const hands::Fit fit = hands::fit(as_set_up, line, hands_options, candidates);
  const hands::Path path = hands::cheapest_path(as_set_up, line, fit, model, candidates);
  advice.cost = path.cost;
  advice.playable = fit.dropped.empty();
  hands::RequestedStrokes strokes(as_set_up, line, fit);
  for (std::uint32_t i = 0; i < line.size(); ++i) {
    const hands::Grip& grip = candidates.of(strokes.at(i))->grips[path.decisions[i].grip];
    for (std::size_t n = 0; n < static_cast<std::size_t>(grip.count); ++n) {
      advice.open += grip.notes[n].fret == 0 ? 1 : 0;
    }
  }
  advice.setup_cost += static_cast<std::int64_t>(fit.dropped.size()) * setting_costs.outside / 100;
  advice.setup_cost += advice.cost / 16 + candidate.setup_cost / 100;
  advice.reasons = reasons_for(score, notes, candidate, advice);
  return advice;
}

}  // namespace

std::vector<Advice> advise(const Score& score, const AdviseOptions& options) {
  if (options.style == Style::automatic)
    throw UsageError("style-not-named", "advice is for one style: name it");
  const std::vector<Event> line = hands::line_of(score);
  const Notes notes = notes_of(score, line);
  std::vector<Candidate> candidates = candidates_for(score, notes, options);
  std::stable_sort(candidates.begin(), candidates.end(), [](const Candidate& a, const Candidate& b) {
    return a.setup_cost + a.hands < b.setup_cost + b.hands;
  });
  const std::size_t fingered = std::min(candidates.size(), std::max(fingered_at_most, options.most));
  std::vector<Advice> advice;
  for (std::size_t i = 0; i < fingered; ++i) {
    advice.push_back(advice_for(score, line, notes, candidates[i], options));
  }
  std::stable_sort(advice.begin(), advice.end(), [](const Advice& a, const Advice& b) {
    return a.playable != b.playable ? a.playable : a.setup_cost < b.setup_cost;
  });
  if (advice.size() > options.most) advice.resize(options.most);
  return advice;
}

UnplayableError why_nothing_fits(const Score& score, const AdviseOptions& options) {
  const std::optional<Span> span = span_of(score);
  if (!span) return {"no-pitches", "there is nothing to advise on: no note has a pitch"};
  const auto range_of = [&](const NamedTuning& tuning) {
    Banjo banjo = score.banjo;
    banjo.tuning = tuning.tuning;
    banjo.capo = 0;
    banjo.fifth_capo = fifth_nut_fret;
    return std::pair{banjo.lowest(), banjo.highest()};
  };
  const auto size_of = [&](const NamedTuning& tuning) {
    const auto [lowest, highest] = range_of(tuning);
    return highest - lowest;
  };
  const auto& tunings = named_tunings();
  const NamedTuning& roomiest =
      *std::max_element(tunings.begin(), tunings.end(),
                        [&](const NamedTuning& a, const NamedTuning& b) { return size_of(a) < size_of(b); });
  const auto [lowest, highest] = range_of(roomiest);
  std::string text =
      "the tune spans " + base::counted(static_cast<std::uint64_t>(span->half_steps()), "half step") + ", " +
      to_string(span->lowest) + " to " + to_string(span->highest) + ", and the banjo has at most " +
      std::to_string(highest - lowest) + ", " + to_string(spell(lowest, Key{})) + " to " +
      to_string(spell(highest, Key{})) + " in " + std::string(roomiest.name);
  if (span->half_steps() > highest - lowest) {
    return {"tune-too-wide", text, {}, {{}, {}, highest - lowest}};
  }
  return {options.other_keys ? "no-key-fits" : "no-octave-fits",
          text + "; octaves from where it is written it fits no usual tuning"};
}

}  // namespace fifthpeg
