// Which key, octave, tuning and capo suit a piece: the set-ups that players use for its style and key, each
// in the octave that finger() takes. Their rank comes first, and the hands' cost decides within it.
#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <tuple>
#include <utility>

#include "base/text.hpp"
#include "fifthpeg/banjo.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "hands/octave.hpp"
#include "hands/source_fingering.hpp"
#include "hands/usual_set_ups.hpp"
#include "score/interval.hpp"

namespace fifthpeg {
namespace {

using hands::Event;
using hands::UsualSetUp;

constexpr std::size_t fingered_at_most = 12;
constexpr std::size_t folded_at_most = 2;

// Folding is worth telling of where it makes a piece cost less than so many hundredths. From memory.
constexpr std::int64_t clearly_easier_percent = 80;

// What a note that has to be let go asks besides. From memory.
constexpr std::int64_t note_let_go = 6000;

// The piece as far as single notes go.
struct Notes {
  std::array<std::uint64_t, 12> of_class{};
  std::array<std::uint64_t, 12> on_downbeats{};
  std::uint64_t count = 0;
  hands::Home home;
};

constexpr int minor_third = 3;
constexpr int major_third = 4;
constexpr int fifth = 7;

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
      return count_of(notes, notes.home.tonic + major_third) >=
             count_of(notes, notes.home.tonic + minor_third);
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
  notes.home.tonic = pitch_class(7 * tonic(key));
  const int ends_on = pitch_class(last - notes.home.tonic);
  const bool in_chord = ends_on == 0 || ends_on == minor_third || ends_on == major_third;
  const bool vague = key.mode == Mode::major || key.mode == Mode::minor;  // what every file says
  const bool major_there = count_of(notes, last + major_third) >= count_of(notes, last + minor_third);
  const bool stands_there = weight_of(notes, last) > weight_of(notes, notes.home.tonic) &&
                            downbeats_in_chord(notes, last, major_there) >
                                downbeats_in_chord(notes, notes.home.tonic, key.mode != Mode::minor);
  if (key.mode == Mode::none || (vague && !in_chord && stands_there)) {
    notes.home.tonic = pitch_class(last);
    notes.home.major = has_major_third(notes, Mode::none);
  } else {
    notes.home.major = has_major_third(notes, key.mode);
  }
}

Notes notes_of(const Score& score, const std::vector<Event>& line) {
  Notes notes;
  for (const Event& at : line) {
    for (const Note& note : stroke_at(score, at).notes) {
      if (note.dead) continue;
      const auto of_class = static_cast<std::size_t>(pitch_class(note.pitch.midi()));
      ++notes.of_class[of_class];
      if (stroke_at(score, at).onset == 0) ++notes.on_downbeats[of_class];
      ++notes.count;
    }
  }
  if (!line.empty()) {
    find_tonic(score.measures.front().key, stroke_at(score, line.back()).notes.back().pitch.midi(), notes);
  }
  return notes;
}

// In another key.
hands::Home home_of(const Notes& notes, int half_steps) {
  return {pitch_class(notes.home.tonic + half_steps), notes.home.major};
}

// One way to try.
struct Candidate {
  UsualSetUp set_up;
  int half_steps = 0;         // to another key
  std::int64_t estimate = 0;  // what the ranking would go by if single notes were all
};

// What the ranking goes by: players pass over what they would try first only for what asks half as much of
// the hands, and leave the key for what asks a fifth less. From memory.
std::int64_t ranked(std::int64_t cost, const Candidate& candidate) {
  const int quarters = 4 * candidate.set_up.rank + (candidate.half_steps != 0 ? 1 : 0);
  return cost + cost * quarters / 4;
}

Banjo banjo_for(const Score& score, const UsualSetUp& set_up) {
  Banjo banjo = score.banjo;
  banjo.tuning = set_up.tuning->tuning;
  banjo.capo = set_up.capo;
  banjo.fifth_capo = set_up.fifth_capo;
  return banjo;
}

// Without capo, whatever the key: for a piece that has no place in a set-up that is usual for it.
std::vector<UsualSetUp> any_tuning() {
  std::vector<UsualSetUp> found;
  for (const NamedTuning& tuning : named_tunings()) {
    found.push_back({&tuning, 0, fifth_nut_fret, Step::C, 0,
                     "what players use for this key does not have every note; this does"});
  }
  return found;
}

// The ways that have a place for every note, or where notes may fold, for all but a few; the most promising
// first.
std::vector<Candidate> candidates_for(const Score& score, const std::vector<Event>& line, const Notes& notes,
                                      const AdviseOptions& options, bool fold) {
  std::vector<Candidate> candidates;
  const auto add = [&](int half_steps, const std::vector<UsualSetUp>& set_ups) {
    Score piece = score;
    if (half_steps != 0) transpose(piece, half_steps);
    for (const UsualSetUp& set_up : set_ups) {
      piece.banjo = banjo_for(score, set_up);
      const auto octaves = hands::Octaves(piece, line).worth_a_search(fold, true);
      const auto easiest = std::min_element(octaves.begin(), octaves.end(), [](const auto& a, const auto& b) {
        return a.estimate < b.estimate;
      });
      if (easiest == octaves.end() || (fold && easiest->outside == 0)) continue;
      candidates.push_back({set_up, half_steps, 0});
      candidates.back().estimate = ranked(easiest->estimate, candidates.back());
    }
  };
  const int first = options.other_keys ? -6 : 0;
  const int last = options.other_keys ? 5 : 0;
  for (int half_steps = first; half_steps <= last; ++half_steps)
    add(half_steps, hands::usual_set_ups(options.style, home_of(notes, half_steps)));
  const bool nothing_usual = candidates.empty() && !fold;
  for (int half_steps = first; half_steps <= last && nothing_usual; ++half_steps)
    add(half_steps, any_tuning());
  std::stable_sort(candidates.begin(), candidates.end(),
                   [](const Candidate& a, const Candidate& b) { return a.estimate < b.estimate; });
  return candidates;
}

struct Way {
  Candidate candidate;
  Advice advice;
};

std::string name_of_class(const Key& key, int midi) {
  std::string name = to_string(spell(midi, key));
  name.erase(name.find_first_of("-0123456789"));
  return name;
}

// Of an open string, above the tonic, in half steps.
int string_degree(const Notes& notes, const Advice& advice, int string) {
  return pitch_class(advice.banjo.open_midi(string) - advice.half_steps - notes.home.tonic);
}

bool is_of_chord(const Notes& notes, int degree) {
  return degree == 0 || degree == fifth || degree == (notes.home.major ? major_third : minor_third);
}

// Of the piece, or of the scale that its chord belongs to.
bool is_in_piece(const Notes& notes, int degree) {
  return is_of_chord(notes, degree) || count_of(notes, notes.home.tonic + degree) * 100 >= notes.count;
}

// How the long strings, open, go with the key.
std::string open_strings_text(const Notes& notes, const Advice& advice) {
  std::string all;
  std::string off;
  std::string outside;
  for (int string = 4; string >= 1; --string) {
    const std::string name = name_of_class(advice.key, advice.banjo.open_midi(string));
    const int degree = string_degree(notes, advice, string);
    all += " " + name;
    if (is_of_chord(notes, degree)) continue;
    std::string& list = is_in_piece(notes, degree) ? off : outside;
    if ((" " + list + " ").find(" " + name + " ") == std::string::npos)
      list += (list.empty() ? "" : " ") + name;
  }
  std::string text = "open strings" + all + ": ";
  if (off.empty() && outside.empty()) return text + "the key's chord";
  if (!off.empty()) text += off + " not in the key's chord";
  if (!outside.empty()) text += (off.empty() ? "" : ", ") + outside + " not in the piece";
  return text;
}

std::string drone_text(const Notes& notes, const Advice& advice) {
  const int degree = string_degree(notes, advice, fifth_string);
  std::string text = "the drone sounds " + name_of_class(advice.key, advice.banjo.open_midi(fifth_string)) +
                     (degree == 0                  ? ", the tonic"
                      : degree == fifth            ? ", the fifth"
                      : is_of_chord(notes, degree) ? ", the third"
                                                   : ", which is not in the key's chord");
  // Common practice: spikes sit at 7, 9 and 10.
  if (advice.banjo.fifth_capo == 6) text += ", tuned up a half step";
  if (advice.banjo.fifth_capo == 8) text += ", from the spike at 7 tuned up a half step";
  return text;
}

std::string why_players_do(const Notes& notes, const Candidate& candidate, const Advice& advice) {
  const UsualSetUp& set_up = candidate.set_up;
  if (set_up.capo == 0) return std::string(set_up.why);
  const std::string name = name_of_class(advice.key, notes.home.tonic + candidate.half_steps);
  std::string shapes = to_string(Pitch{set_up.shapes, 0, 0});
  shapes.pop_back();
  // As players spell a set-up: aDADE.
  std::string sounds = name_of_class(advice.key, advice.banjo.open_midi(fifth_string));
  sounds.front() = base::lower_case(sounds.front());
  for (int string = 4; string >= 1; --string)
    sounds += name_of_class(advice.key, advice.banjo.open_midi(string));
  return "capo at " + std::to_string(set_up.capo) + " (" + sounds + "), " + name + " played as " + shapes +
         ": " + std::string(set_up.why);
}

// The weightiest first; what the values of the advice say by themselves is not said again.
std::vector<std::string> reasons_for(const Notes& notes, const Candidate& candidate, const Advice& advice) {
  std::vector<std::string> reasons;
  if (!advice.playable) {
    reasons.emplace_back("some strokes lose notes that no hand can hold");
  }
  reasons.push_back(why_players_do(notes, candidate, advice));
  const int rests_on = pitch_class(notes.home.tonic + candidate.half_steps);
  if (advice.key.mode != Mode::none && rests_on != pitch_class(7 * tonic(advice.key)))
    reasons.push_back("the tune comes to rest on " + name_of_class(advice.key, rests_on));
  if (advice.notes > 0) {
    reasons.push_back(std::to_string((100 * advice.open + advice.notes / 2) / advice.notes) +
                      "% of the notes on open strings");
  }
  reasons.push_back(drone_text(notes, advice));
  reasons.push_back(open_strings_text(notes, advice));
  return reasons;
}

std::int64_t times(const Report& report, std::string_view slug) {
  std::uint64_t sum = 0;
  for (const Entry& entry : report.entries()) sum += entry.slug == slug ? entry.count : 0;
  return static_cast<std::int64_t>(sum);
}

// Fingered as anybody would who sets the banjo up like this and asks for nothing else.
Way tried(const Score& score, const Notes& notes, const Candidate& candidate, const AdviseOptions& options,
          bool fold) {
  Score piece = score;
  if (candidate.half_steps != 0) transpose(piece, candidate.half_steps);
  piece.banjo = banjo_for(score, candidate.set_up);
  HandsOptions hands;
  hands.style = options.style;
  hands.thin = true;
  hands.fold = fold;
  hands.refinger = Refinger::all;
  hands.easiest_octave = !hands::source_fingering(score).placements;
  hands.scale_length_mm = options.scale_length_mm;
  hands.reach = options.reach;
  const FingeringResult found = finger(piece, hands);

  Advice advice;
  advice.banjo = piece.banjo;
  advice.half_steps = candidate.half_steps + found.half_steps;
  const Key key = score.measures.empty() ? Key{} : score.measures.front().key;
  advice.key = moved(key, move_for(key, advice.half_steps));
  advice.shapes = moved(key, move_for(key, advice.half_steps - advice.banjo.capo));
  advice.notes = notes.count;
  advice.folded = static_cast<std::uint64_t>(times(found.report, "note-folded"));
  for (const Measure& measure : piece.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) advice.open += note.placement->fret == 0 ? 1 : 0;
    }
  }
  const std::int64_t let_go = times(found.report, "note-let-go");
  advice.playable = let_go == 0;
  advice.cost = found.cost;
  advice.setup_cost = ranked(found.cost, candidate) + let_go * note_let_go;
  advice.reasons = reasons_for(notes, candidate, advice);
  return {candidate, std::move(advice)};
}

// Why the way that comes first is before a usual one, which is not among the ways where a note has no place.
std::string why_passed_over(const Advice& first, const Advice* usual) {
  if (usual == nullptr) return "it does not have every note";
  if (!usual->playable) return "it loses notes here";
  const int apart = usual->half_steps - first.half_steps;
  if (apart == 0) return "it asks much more of the hands here";
  return "the tune lies " + interval_text(apart) + (apart > 0 ? " higher" : " lower") + " there";
}

// What comes first and is not what players would try first says so.
void explain_first(const Notes& notes, const AdviseOptions& options, std::vector<Way>& ways) {
  Way& first = ways.front();
  const int half_steps = first.candidate.half_steps;
  const UsualSetUp usual = hands::usual_set_ups(options.style, home_of(notes, half_steps)).front();
  if (usual.rank >= first.candidate.set_up.rank) return;
  const auto found = std::find_if(ways.begin(), ways.end(), [&](const Way& way) {
    return way.candidate.half_steps == half_steps && way.candidate.set_up == usual;
  });
  const std::string where = std::string(usual.tuning->name) +
                            (usual.capo == 0 ? "" : " with the capo at " + std::to_string(usual.capo));
  first.advice.reasons.push_back(
      "players look at " + where + " first, but " +
      why_passed_over(first.advice, found == ways.end() ? nullptr : &found->advice));
}

}  // namespace

std::vector<Advice> advise(const Score& score, const AdviseOptions& options) {
  if (options.style == Style::automatic)
    throw UsageError("style-not-named",
                     "advice is for one style, not auto; choose roll, melodic, single-string or clawhammer");
  const std::vector<Event> line = hands::line_of(score);
  const Notes notes = notes_of(score, line);
  const std::vector<Candidate> candidates = candidates_for(score, line, notes, options, false);
  const std::size_t fingered = std::min(candidates.size(), std::max(fingered_at_most, options.most));
  std::vector<Way> ways;
  for (std::size_t i = 0; i < fingered; ++i) {
    ways.push_back(tried(score, notes, candidates[i], options, false));
  }
  std::stable_sort(ways.begin(), ways.end(), [](const Way& a, const Way& b) {
    return std::tuple(!a.advice.playable, a.advice.setup_cost, a.candidate.set_up.rank) <
           std::tuple(!b.advice.playable, b.advice.setup_cost, b.candidate.set_up.rank);
  });
  if (!ways.empty()) explain_first(notes, options, ways);
  std::vector<Advice> advice;
  for (std::size_t i = 0; i < std::min(ways.size(), options.most); ++i) {
    advice.push_back(std::move(ways[i].advice));
  }
  return advice;
}

std::optional<Advice> advise_folding(const Score& score, const AdviseOptions& options,
                                     const std::vector<Advice>& without) {
  if (hands::source_fingering(score).placements) return std::nullopt;
  AdviseOptions same_key = options;
  same_key.other_keys = false;
  const std::vector<Event> line = hands::line_of(score);
  const Notes notes = notes_of(score, line);
  const std::vector<Candidate> candidates = candidates_for(score, line, notes, same_key, true);
  std::optional<Advice> best;
  for (std::size_t i = 0; i < std::min(candidates.size(), folded_at_most); ++i) {
    Advice advice = tried(score, notes, candidates[i], same_key, true).advice;
    if (advice.folded == 0 || !advice.playable) continue;
    if (!best || advice.setup_cost < best->setup_cost) best = std::move(advice);
  }
  const bool gains = best && (without.empty() || !without.front().playable ||
                              best->setup_cost * 100 < without.front().setup_cost * clearly_easier_percent);
  return gains ? best : std::nullopt;
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
          text + "; in this key no octave of it fits a usual tuning"};
}

}  // namespace fifthpeg
