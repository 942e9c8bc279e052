#include "arrange/setting.hpp"

#include <algorithm>
#include <cstdlib>

#include "arrange/line.hpp"
#include "arrange/phrases.hpp"
#include "arrange/weights.hpp"
#include "fifthpeg/harmony.hpp"
#include "hands/usual_set_ups.hpp"

namespace fifthpeg::arranging {
namespace {

// What a melody note costs where it lies, about as the hands would have it (src/hands/costs.hpp).
constexpr int open_note = 0;
constexpr int stopped_note = 3;
constexpr int each_fret_up = 3;  // above the fourth
constexpr int on_fourth_string = 5;
constexpr int no_place = 80;
// Played in another octave than its neighbors, or with its phrase in another than the rest of the tune; in a
// line, which is all melody and goes up the neck where it likes.
constexpr int alone = 80;
constexpr int alone_in_line = 400;
constexpr int with_its_phrase = 24;
constexpr int with_its_phrase_in_line = 100;
// A melody is heard best where its middle lies between open string 3 and the third fret of string 1; each
// half step from there, and each note.
constexpr int middle_low = 59;
constexpr int middle_high = 65;
constexpr int each_half_step_off = 1;
// For each note of the melody in tenths: set-ups that players think of later, which are worth it only where
// the melody has no place in the usual ones, or lies up the neck in them; and capos far up.
constexpr int each_rank = 40;
constexpr int each_capo_fret = 3;
// Of a melody no more notes than this, in percent, move by an octave to be played at all.
constexpr std::size_t most_folded = 50;
// Settings that cost up to this much more than the best, in percent, are tried too.
constexpr int worth_a_try = 12;
constexpr std::size_t most_tried = 2;

struct SetUpRow {
  Banjo banjo;
  int rank = 0;
};

int cost_of(const Banjo& banjo, int midi, int level, bool line) {
  int best = no_place;
  for (int string = 1; string < fifth_string; ++string) {
    const auto fret = banjo.fret_for(string, midi);
    if (!fret) continue;
    int cost = *fret == 0 ? open_note : stopped_note;
    if (*fret > 4) cost += (*fret - 4) * each_fret_up * (level <= 2 && !line ? 2 : 1);
    if (string == 4) cost += on_fourth_string;
    best = std::min(best, cost);
  }
  return best;
}

}  // namespace

MelodyRange melody_range(const Banjo& banjo, int level) {
  int low = 127;
  for (int string = 1; string < fifth_string; ++string) low = std::min(low, banjo.open_midi(string));
  const int first = banjo.open_midi(1);
  if (level == lowest_level) {
    const int drone = banjo.open_midi(fifth_string);
    return {low,
            drone == first + highest_fret(lowest_level) + 1 ? drone : first + highest_fret(lowest_level)};
  }
  return {low, first + std::min(highest_fret(level), banjo.last_fret())};
}

namespace {

// Rolls are made of the shapes of G and C, and of E, A and D minor (common practice).
bool rolls_on(const hands::UsualSetUp& usual, bool major) {
  return !major || usual.shapes == Step::G || usual.shapes == Step::C;
}

void add_usual(std::vector<SetUpRow>& rows, const hands::UsualSetUp& usual, const Score& score,
               const ArrangeOptions& options) {
  if (options.keep_tuning && usual.tuning->tuning != score.banjo.tuning) return;
  // What is not asked for is not retuned but in clawhammer, where players do (common practice).
  if (!options.keep_tuning && options.style != Style::clawhammer && usual.tuning->tuning != open_g()) return;
  Banjo banjo = score.banjo;
  banjo.tuning = usual.tuning->tuning;
  banjo.capo = usual.capo;
  banjo.fifth_capo = usual.fifth_capo;
  const bool known =
      std::any_of(rows.begin(), rows.end(), [&](const SetUpRow& row) { return row.banjo == banjo; });
  if (!known) rows.push_back({banjo, usual.rank});
}

// Where a score's own tuning is kept, its capo may still be free, and the other way round.
std::vector<SetUpRow> set_ups_of(const Score& score, int tonic, bool major, const ArrangeOptions& options) {
  std::vector<SetUpRow> rows;
  if (options.keep_capo) {
    rows.push_back({score.banjo, 0});
    return rows;
  }
  const auto usual = hands::usual_set_ups(options.style, {tonic, major});
  for (const auto& one : usual) {
    if (options.style == Style::clawhammer || rolls_on(one, major)) add_usual(rows, one, score, options);
  }
  // F has neither with a capo in reach: then as players set up for that key.
  if (rows.empty()) {
    for (const auto& one : usual) add_usual(rows, one, score, options);
  }
  if (rows.empty()) {
    Banjo banjo = score.banjo;
    for (int capo = 0; capo <= 4; ++capo) {
      banjo.capo = capo;
      banjo.fifth_capo = usual_fifth_capo(capo);
      rows.push_back({banjo, 2});
    }
  }
  return rows;
}

}  // namespace

std::vector<Setting> settings_of(const Score& score, const std::vector<Tone>& melody, const Key& key,
                                 const ArrangeOptions& options) {
  const Key wanted = options.key.value_or(key);
  const int move = options.key ? half_steps_between(key, wanted) : 0;
  const int tonic_class = pitch_class(7 * tonic(key) + move);
  const std::vector<bool> ends = phrase_ends(score, melody, slot_of(score, melody));
  const int notes = static_cast<int>(melody.size());

  std::vector<Setting> settings;
  for (const SetUpRow& row : set_ups_of(score, tonic_class, !is_minor(key.mode), options)) {
    const bool line = is_line(options.style);
    const MelodyRange range = melody_range(row.banjo, line ? highest_level : options.level);
    for (int octave = -5; octave <= 5; ++octave) {
      Setting setting{row.banjo, move + 12 * octave, row.rank, 0};
      const std::vector<OctaveMove> moves = octave_moves(melody, ends, range, setting.half_steps);
      std::size_t without = 0;
      std::int64_t sum = 0;
      for (std::size_t i = 0; i < melody.size(); ++i) {
        const int midi = melody[i].midi + setting.half_steps;
        setting.estimate += moves[i].alone
                                ? (line ? alone_in_line : alone)
                                : cost_of(row.banjo, midi + moves[i].half_steps, options.level, line) +
                                      (moves[i].half_steps == 0 ? 0
                                       : line                   ? with_its_phrase_in_line
                                                                : with_its_phrase);
        if (midi < range.low || midi > range.high) ++without;
        sum += midi + moves[i].half_steps - row.banjo.capo;
      }
      if (without * 100 > melody.size() * most_folded) continue;
      const int middle = static_cast<int>(sum / std::max(1, notes));
      const int off = std::max({0, middle_low - middle, middle - middle_high});
      setting.estimate += notes * off * each_half_step_off;
      setting.estimate += notes * (row.rank * each_rank + row.banjo.capo * each_capo_fret) / 10;
      settings.push_back(setting);
    }
  }
  std::stable_sort(settings.begin(), settings.end(),
                   [](const Setting& a, const Setting& b) { return a.estimate < b.estimate; });
  const auto far = std::find_if(settings.begin(), settings.end(), [&](const Setting& setting) {
    return setting.estimate * 100 > settings.front().estimate * (100 + worth_a_try) + 100;
  });
  settings.erase(far, settings.end());
  // What the hands save in a set-up that players think of later is no reason for it.
  const int rank = settings.empty() ? 0 : settings.front().rank;
  std::erase_if(settings, [&](const Setting& setting) { return setting.rank > rank; });
  if (settings.size() > most_tried) settings.resize(most_tried);
  return settings;
}

void report_unusual_shapes(const Banjo& banjo, const Key& key, const ArrangeOptions& options,
                           Report& report) {
  if (!options.keep_capo || banjo.capo == 0) return;
  const auto usual = hands::usual_set_ups(options.style, {pitch_class(7 * tonic(key)), !is_minor(key.mode)});
  const bool is_usual = std::any_of(usual.begin(), usual.end(), [&](const hands::UsualSetUp& one) {
    return one.tuning->tuning == banjo.tuning && one.capo == banjo.capo;
  });
  const bool has_any = std::any_of(usual.begin(), usual.end(), [&](const hands::UsualSetUp& one) {
    return one.tuning->tuning == banjo.tuning;
  });
  if (is_usual || !has_any) return;
  report.add(EntryKind::decision, "capo-shapes",
             "with the capo at fret " + std::to_string(banjo.capo) + " the hands have the shapes of " +
                 to_string(moved(key, move_for(key, -banjo.capo))) + ", which few players use");
}

}  // namespace fifthpeg::arranging
