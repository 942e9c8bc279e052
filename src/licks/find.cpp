// Which licks answer a question, and how well.
#include <algorithm>
#include <bit>
#include <string>
#include <utility>
#include <vector>

#include "fifthpeg/licks.hpp"
#include "score/chord_tones.hpp"
#include "score/interval.hpp"

namespace fifthpeg {
namespace {

// A rank is how far a lick is from exactly what was asked: the sum of these, all from common practice.
namespace rank {
constexpr int tone_apart = 4;       // a tone that its chord and the one asked for do not share: D7 for D
constexpr int chords_inferred = 2;  // its chords are asked for, and nobody wrote them down
constexpr int quarter_beat = 1;     // for each, or part of one, that it is shorter
constexpr int other_key = 1;        // the chords asked for are its own by their steps alone
constexpr int capo = 1;             // it stands in the key with a capo that players use
constexpr int high_capo = 2;        // or with one above these
constexpr int moved = 6;            // or its shapes do not stand there at all, and it has to be fingered anew
constexpr int relative_key = 30;    // it sounds minor where a major key is asked for, or the other way
                                    // around: more than the others come to together
constexpr int highest_usual_capo = 5;
}  // namespace rank
constexpr int highest_lick_capo = 7;

// Without a key, chords are those of G, major or minor.
constexpr Key usual_key{1, Mode::none};

int pitch_class_of(const ChordTone& tone) {
  return pitch_class(Pitch{tone.step, tone.alter, 4}.midi());
}

int pitch_class_of_tonic(const Key& key) {
  return pitch_class(7 * tonic(key));
}

// By the smaller interval: -5 to 6.
int nearest_move(int half_steps) {
  const int up = pitch_class(half_steps);
  return up > 6 ? up - 12 : up;
}

// Ways to stand in the key asked for: tonic on tonic; and where one key is minor and the other major, with
// the same signature, as E minor has the chords of G.
std::vector<int> moves_between(const Key& from, const Key& wanted) {
  const int tonics = pitch_class_of_tonic(wanted) - pitch_class_of_tonic(from);
  if (wanted.mode == Mode::none && !is_minor(from.mode)) return {nearest_move(tonics)};
  if (wanted.mode != Mode::none && is_minor(wanted.mode) == is_minor(from.mode))
    return {nearest_move(tonics)};
  constexpr int minor_third = 3;  // from the tonic of a minor key up to that of its relative major
  const int to_relative = tonics + (is_minor(wanted.mode) ? minor_third : -minor_third);
  if (wanted.mode == Mode::none) return {nearest_move(to_relative), nearest_move(tonics)};
  return {nearest_move(to_relative)};
}

// The tones of a chord over its root, as bits: bit 0 is the root.
std::optional<unsigned> tones_over_root(const ChordSymbol& chord) {
  const auto tones = chord_tones(chord);
  if (!tones) return std::nullopt;
  const auto root = static_cast<unsigned>(pitch_class_of(chord.root));
  constexpr unsigned octave = 12;
  return ((tones->all >> root) | (tones->all << (octave - root))) & ((1U << octave) - 1);
}

// How many tones a chord, moved by half steps, does not share with the one asked for. Nothing where it is
// another chord: by its root, its third or its fifth. A chord without a third, such as G5, goes with either.
std::optional<int> tones_apart(const ChordSymbol& asked, const ChordSymbol& has, int half_steps) {
  if (asked.kind == "none" || has.kind == "none") {
    return asked.kind == has.kind ? std::optional(0) : std::nullopt;
  }
  if (pitch_class(pitch_class_of(has.root) + half_steps) != pitch_class_of(asked.root)) return std::nullopt;
  const auto wanted = tones_over_root(asked);
  const auto there = tones_over_root(has);
  if (!wanted || !there) return asked.kind == has.kind ? std::optional(0) : std::nullopt;
  constexpr unsigned thirds = 1U << 3U | 1U << 4U;
  constexpr unsigned fifths = 1U << 6U | 1U << 7U | 1U << 8U;
  for (const unsigned group : {thirds, fifths}) {
    const unsigned a = *wanted & group;
    const unsigned b = *there & group;
    if (a != 0 && b != 0 && (a & b) == 0) return std::nullopt;
  }
  const auto bass_of = [](const ChordSymbol& chord) {
    return pitch_class_of(chord.bass.value_or(chord.root));
  };
  const bool same_bass = pitch_class(bass_of(has) + half_steps) == bass_of(asked);
  return std::popcount(*wanted ^ *there) + (same_bass ? 0 : 1);
}

// What is added to a rank, and why.
struct Distance {
  int rank = 0;
  std::string reason;
};

// Nothing where the chords are others.
std::optional<std::vector<Distance>> chords_apart(const LickFacts& facts, const LickQuery& query,
                                                  int half_steps) {
  std::vector<Distance> distances;
  for (const auto& [asked, has] : {std::pair(&query.from, &facts.from), std::pair(&query.to, &facts.to)}) {
    if (!*asked) continue;
    const auto apart = tones_apart(**asked, *has, half_steps);
    if (!apart) return std::nullopt;
    if (*apart == 0) continue;
    ChordSymbol in_its_key = **asked;
    in_its_key.root = has->root;
    in_its_key.bass.reset();
    distances.push_back(
        {rank::tone_apart * *apart, to_string(*has) + " rather than " + to_string(in_its_key)});
  }
  return distances;
}

int sum_of(const std::vector<Distance>& distances) {
  int sum = 0;
  for (const Distance& one : distances) sum += one.rank;
  return sum;
}

// In the key asked for, and over the chords, the way that is nearest.
class Standing {
 public:
  Standing(const LickFacts& facts, const LickQuery& query) : facts_(facts), query_(query) {
    const std::vector<int> moves = moves_between(facts.key, query.key.value_or(usual_key));
    if (!query.key) take(0, 0);
    for (const int half_steps : moves) take(half_steps, query.key ? key_rank(half_steps) : rank::other_key);
  }

  // Nothing where there is none.
  std::optional<std::vector<Distance>> distances() const { return best_; }
  int half_steps() const { return half_steps_; }
  std::optional<int> capo() const { return capo_with(half_steps_); }

 private:
  void take(int half_steps, int of_key) {
    auto distances = chords_apart(facts_, query_, half_steps);
    if (!distances) return;
    const bool of_chords = query_.from.has_value() || query_.to.has_value();
    if (of_chords && facts_.chords_inferred) {
      distances->push_back({rank::chords_inferred, "its chords were found in its notes"});
    }
    if (query_.key && half_steps != 0) distances->push_back({of_key, move_text(half_steps)});
    if (query_.key && is_minor(facts_.key.mode) != is_minor(query_.key->mode)) {
      const Key there = moved(facts_.key, move_for(facts_.key, half_steps));
      distances->push_back({rank::relative_key, "it sounds in " + to_string(there)});
    }
    if (!query_.key && half_steps != 0) distances->push_back({of_key, "in another key"});
    if (best_ && sum_of(*best_) <= sum_of(*distances)) return;
    best_ = std::move(distances);
    half_steps_ = query_.key ? half_steps : 0;
  }

  std::optional<int> capo_with(int half_steps) const {
    const int fret = pitch_class(facts_.capo + half_steps);
    return fret <= highest_lick_capo ? std::optional(fret) : std::nullopt;
  }

  int key_rank(int half_steps) const {
    if (half_steps == 0) return 0;
    const auto fret = capo_with(half_steps);
    if (!fret) return rank::moved;
    return *fret > rank::highest_usual_capo ? rank::high_capo : rank::capo;
  }

  std::string move_text(int half_steps) const {
    const auto fret = capo_with(half_steps);
    if (fret && *fret > 0) return "capo " + std::to_string(*fret);
    if (fret) return "no capo";
    return "moved " + std::string(half_steps > 0 ? "up " : "down ") + interval_text(half_steps);
  }

  const LickFacts& facts_;
  const LickQuery& query_;
  std::optional<std::vector<Distance>> best_;
  int half_steps_ = 0;
};

// Nothing where it lasts longer, or a beat or more shorter: that would be a hole in the music.
std::optional<Distance> beats_apart(Fraction beats, Fraction wanted) {
  const Fraction left = wanted - beats;
  if (left < 0 || left >= 1) return std::nullopt;
  if (left == 0) return Distance{};
  const auto quarters = static_cast<int>(-(-(left * 4)).floor());  // rounded up
  return Distance{rank::quarter_beat * quarters, to_string(left) + " of a beat shorter"};
}

bool lies_in(const std::optional<FretSpan>& frets, const FretRange& range) {
  return !frets || (frets->lowest >= range.low && frets->highest <= range.high);
}

bool has_all(const std::vector<std::string>& techniques, const std::vector<std::string>& wanted) {
  return std::all_of(wanted.begin(), wanted.end(), [&](const std::string& one) {
    return std::find(techniques.begin(), techniques.end(), one) != techniques.end();
  });
}

}  // namespace

std::optional<LickAnswer> answers(const LickFacts& facts, const LickQuery& query) {
  if (query.frets && !lies_in(facts.frets, *query.frets)) return std::nullopt;
  if (!has_all(facts.techniques, query.techniques)) return std::nullopt;
  if (query.style && facts.style != *query.style) return std::nullopt;
  const int level = facts.difficulty.level;
  if (level < query.lowest_level || level > query.highest_level) return std::nullopt;

  // Most licks can end something; those that are made for it are asked for.
  if (query.use && (facts.uses.empty() || facts.uses.front().use != *query.use)) return std::nullopt;

  const Standing standing(facts, query);
  auto distances = standing.distances();
  if (!distances) return std::nullopt;
  if (query.beats) {
    const auto apart = beats_apart(facts.beats, *query.beats);
    if (!apart) return std::nullopt;
    distances->push_back(*apart);
  }
  std::stable_sort(distances->begin(), distances->end(),
                   [](const Distance& a, const Distance& b) { return a.rank > b.rank; });
  LickAnswer answer;
  answer.half_steps = standing.half_steps();
  answer.capo = standing.capo();
  answer.rank = sum_of(*distances);
  for (Distance& one : *distances) {
    if (one.rank > 0) answer.reasons.push_back(std::move(one.reason));
  }
  return answer;
}

}  // namespace fifthpeg
