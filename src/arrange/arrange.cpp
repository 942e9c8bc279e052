#include "fifthpeg/arrange.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <utility>

#include "arrange/breaks.hpp"
#include "arrange/candidates.hpp"
#include "arrange/finish.hpp"
#include "arrange/line.hpp"
#include "arrange/melody.hpp"
#include "arrange/own_licks.hpp"
#include "arrange/path.hpp"
#include "arrange/plan.hpp"
#include "arrange/reasons.hpp"
#include "arrange/setting.hpp"
#include "arrange/variation.hpp"
#include "arrange/written.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/harmony.hpp"

namespace fifthpeg {
namespace {

using arranging::Break;
using arranging::BreakWay;
using arranging::Candidates;
using arranging::Neckwork;
using arranging::Plan;
using arranging::Setting;
using arranging::SlotPlay;
using arranging::SlottedLick;
using arranging::Tone;
using arranging::Unit;

bool has_chords(const Score& score) {
  return std::any_of(score.measures.begin(), score.measures.end(),
                     [](const Measure& measure) { return !measure.chords.empty(); });
}

bool marks_melody(const Score& score) {
  return std::any_of(score.measures.begin(), score.measures.end(), [](const Measure& measure) {
    return std::any_of(measure.strokes.begin(), measure.strokes.end(), [](const Stroke& stroke) {
      return std::any_of(stroke.notes.begin(), stroke.notes.end(),
                         [](const Note& note) { return note.role == Role::melody; });
    });
  });
}

// The score where it is to sound, with chords.
struct Ground {
  Score score;
  std::vector<InferredChord> inferred;
  Report report;
};

Ground ground_for(const Score& source, const Setting& setting) {
  Ground ground;
  ground.score = source;
  transpose(ground.score, setting.half_steps);
  ground.score.banjo = setting.banjo;
  if (!has_chords(ground.score)) {
    ground.inferred = infer_chords(ground.score);
    ground.report.merge(add_inferred_chords(ground.score));
  }
  return ground;
}

// Another set-up than that of the file.
void report_set_up(const Banjo& banjo, const Banjo& given, const Key& key, Report& report) {
  if (banjo == given) return;
  std::string text = "set up for " + to_string(key) + ": " + to_string(banjo.tuning);
  text += banjo.capo == 0 ? ", no capo" : ", capo " + std::to_string(banjo.capo);
  if (banjo.fifth_capo != fifth_nut_fret) text += ", fifth string " + std::to_string(banjo.fifth_capo);
  report.add(EntryKind::decision, "set-up-for-key", std::move(text));
}

// ---- breaks of cells -----------------------------------------------------------------------------

// What a style goes through for one break on one banjo.
struct Searching {
  Searching(const Banjo& banjo, const ArrangeOptions& options, const std::vector<SlottedLick>& own_licks,
            bool high)
      : neck(banjo, options.level, high),
        model(banjo, {}, options.style),
        frails(options.style == Style::clawhammer),
        own(own_licks) {}

  std::vector<arranging::Candidate> candidates(const Unit& unit) {
    if (frails) return arranging::clawhammer_candidates(unit, neck);
    std::vector<arranging::Candidate> all = arranging::own_candidates(unit, own, neck);
    const auto made = arranging::roll_candidates(unit, neck);
    all.insert(all.end(), made.begin(), made.end());
    return all;
  }
  arranging::Way cheapest(const std::vector<Unit>& units, const Candidates& of) const {
    return arranging::cheapest_way(units, of, model, neck, seam());
  }
  arranging::Seam seam() const { return frails ? arranging::clawhammer_seam : arranging::roll_seam; }

  Neckwork neck;
  hands::Model model;
  bool frails;
  const std::vector<SlottedLick>& own;
};

// One setting, arranged.
struct Made {
  Ground ground;
  Plan plan;
  arranging::Way way;
};

Made make(const Score& source, const Setting& setting, const ArrangeOptions& options,
          const std::vector<SlottedLick>& own) {
  Made made;
  made.ground = ground_for(source, setting);
  Report passed_over;
  made.plan = arranging::plan_of(made.ground.score, arranging::melody_of(made.ground.score, passed_over),
                                 made.ground.inferred, arranging::melody_range(setting.banjo, options.level),
                                 options.style, options.level);
  Searching searching(setting.banjo, options, own, false);
  const Fraction room = options.variations > 1 ? arranging::room_for_pickup(made.ground.score) : Fraction();
  arranging::find_places(own, made.ground.score, room, searching.neck, made.plan.units);
  made.way =
      searching.cheapest(made.plan.units, [&](const Unit& unit) { return searching.candidates(unit); });
  return made;
}

// What becomes of the melody in a break.
std::vector<MelodyNote> melody_notes(const Plan& plan, const BreakWay& played) {
  std::vector<MelodyNote> notes;
  notes.reserve(plan.melody.size());
  for (std::size_t i = 0; i < plan.melody.size(); ++i) {
    const Tone& tone = plan.melody[i];
    notes.push_back(
        {tone.at, tone.length, tone.midi, plan.on_beat[i], plan.ends_phrase[i], plan.asked[i], false});
  }
  for (std::size_t u = 0; u < played.units.size(); ++u) {
    for (const SlotPlay& slot : played.way.chosen[u].slots) {
      const int wanted = slot.count > 0 ? slot.notes[0].wanted : -1;
      if (wanted >= 0) notes[played.units[u].wanted[static_cast<std::size_t>(wanted)].tone].kept = true;
    }
  }
  return notes;
}

// What the level asks for and the arrangement does not have.
void report_left_out(const Made& made, const std::vector<MelodyNote>& melody, Report& report) {
  for (std::size_t i = 0; i < melody.size(); ++i) {
    if (!melody[i].asked || melody[i].kept) continue;
    const Tone& tone = made.plan.melody[i];
    const Measure& measure = made.ground.score.measures[tone.measure];
    report.add(EntryKind::decision, "melody-note-left-out",
               "a melody note is left out where what is played around it is worth more",
               {{}, measure.number, beat_at(measure, tone.in_measure), 0, -1, 0});
  }
}

void report_alike(std::size_t number, Report& report) {
  report.add(EntryKind::decision, "break-alike",
             "break " + std::to_string(number + 1) +
                 " is much like another: the melody leaves no more ways to play it in this style and level");
}

void report_not_higher(std::size_t number, Report& report) {
  report.add(EntryKind::decision, "break-not-higher",
             "break " + std::to_string(number + 1) +
                 " lies no higher on the neck than the first: the melody is up there already, or cannot be");
}

// Each break of an arrangement has its own number, whatever the seed.
std::uint32_t seed_of(std::size_t number, const ArrangeOptions& options) {
  return static_cast<std::uint32_t>(options.seed * most_variations) + static_cast<std::uint32_t>(number);
}

std::vector<SlottedLick> own_licks_of(const ArrangeOptions& options, Report& report) {
  std::vector<SlottedLick> own;
  own.reserve(options.licks.size());
  for (const OwnLick& lick : options.licks) {
    if (auto made = arranging::slotted(lick, report)) own.push_back(std::move(*made));
  }
  return own;
}

std::vector<Break> breaks_of(const Made& made, const ArrangeOptions& options,
                             const std::vector<SlottedLick>& own, Report& report) {
  const Score& ground = made.ground.score;
  std::vector<bool> own_played(own.size(), false);
  std::vector<BreakWay> earlier;
  std::vector<Score> scores;
  std::vector<Break> breaks;
  for (std::size_t b = 0; b < static_cast<std::size_t>(options.variations); ++b) {
    const bool high = arranging::is_high_break(b, options.level);
    Searching searching(ground.banjo, options, own, high);
    const Candidates plain = [&](const Unit& unit) { return searching.candidates(unit); };
    Candidates liked = plain;
    BreakWay played{made.plan.units, made.way};
    Break one;
    if (b == 0 && options.seed == 0) {
      one.score = arranging::written(ground, played.units, played.way);
    } else {
      if (b > 0) played.units = arranging::with_kept_melody(earlier.front());
      for (const int again : arranging::dearer_again) {
        liked = arranging::varied(plain, earlier, seed_of(b, options), high, again);
        played.way = searching.cheapest(played.units, liked);
        one.score = arranging::written(ground, played.units, played.way);
        if (arranging::is_another(one.score, scores)) break;
      }
      if (!arranging::is_another(one.score, scores)) report_alike(b, report);
    }
    if (high && !arranging::lies_higher(one.score, scores.front())) report_not_higher(b, report);
    one.melody = melody_notes(made.plan, played);
    if (options.explain) {
      one.reasons = arranging::reasons_of(played.units, played.way, liked, searching.model, searching.neck,
                                          searching.seam(), own);
    }
    for (const arranging::Candidate& candidate : played.way.chosen) {
      if (candidate.piece.lick >= 0) own_played[static_cast<std::size_t>(candidate.piece.lick)] = true;
    }
    scores.push_back(one.score);
    breaks.push_back(std::move(one));
    earlier.push_back(std::move(played));
  }
  const Neckwork neck(ground.banjo, options.level, false);
  arranging::report_unplayed(own, ground, made.plan.units, own_played, neck, report);
  return breaks;
}

Arrangement pattern_arrangement(const Score& source, const Key& key, const std::vector<Setting>& settings,
                                const ArrangeOptions& options) {
  Report report;
  const std::vector<SlottedLick> own = own_licks_of(options, report);
  Made best = make(source, settings.front(), options, own);
  int half_steps = settings.front().half_steps;
  for (std::size_t i = 1; i < settings.size(); ++i) {
    Made other = make(source, settings[i], options, own);
    if (other.way.cost >= best.way.cost) continue;
    best = std::move(other);
    half_steps = settings[i].half_steps;
  }
  report_set_up(best.ground.score.banjo, source.banjo, moved(key, move_for(key, half_steps)), report);
  report.merge(best.ground.report);
  report.merge(best.plan.report);
  std::vector<Break> breaks = breaks_of(best, options, own, report);
  report_left_out(best, breaks.front().melody, report);
  const arranging::Tune tune{std::move(best.ground.score), std::move(best.ground.inferred),
                             moved(key, move_for(key, half_steps))};
  Arrangement result = arranging::finished(std::move(breaks), tune, options);
  report.merge(result.report);
  result.report = std::move(report);
  return result;
}

// ---- breaks of a line ----------------------------------------------------------------------------

// Up the neck, where a second break of a line is played as far as its notes are there.
constexpr FretRange high_line{7, 15};

// The line itself, where it asks the least of the hands.
Arrangement line_arrangement(const Score& source, const Key& key, const std::vector<Setting>& settings,
                             const ArrangeOptions& options) {
  const auto line_on = [&](const Ground& ground, std::size_t b) {
    arranging::LineManner manner;
    manner.fills = static_cast<int>(seed_of(b, options));
    if (arranging::is_high_break(b, options.level)) manner.position = high_line;
    return arranging::line_of(ground.score, ground.inferred, options.style, options.level, manner);
  };
  std::optional<arranging::Line> best;
  Ground ground;
  int half_steps = 0;
  for (const Setting& setting : settings) {
    Ground other = ground_for(source, setting);
    arranging::Line line = line_on(other, 0);
    if (best && line.cost >= best->cost) continue;
    best = std::move(line);
    ground = std::move(other);
    half_steps = setting.half_steps;
  }
  Report report;
  report_set_up(ground.score.banjo, source.banjo, moved(key, move_for(key, half_steps)), report);
  report.merge(ground.report);
  report.merge(best->report);
  std::vector<Score> scores;
  std::vector<Break> breaks;
  for (std::size_t b = 0; b < static_cast<std::size_t>(options.variations); ++b) {
    arranging::Line line = b == 0 ? std::move(*best) : line_on(ground, b);
    if (!arranging::is_another(line.score, scores)) report_alike(b, report);
    if (arranging::is_high_break(b, options.level) && !arranging::lies_higher(line.score, scores.front()))
      report_not_higher(b, report);
    if (!options.explain) line.reasons.clear();
    scores.push_back(line.score);
    breaks.push_back({std::move(line.score), std::move(line.melody), std::move(line.reasons)});
  }
  const arranging::Tune tune{std::move(ground.score), std::move(ground.inferred),
                             moved(key, move_for(key, half_steps))};
  Arrangement result = arranging::finished(std::move(breaks), tune, options);
  report.merge(result.report);
  result.report = std::move(report);
  return result;
}

void report_difficulty(const Score& score, Report& report) {
  const Difficulty found = difficulty(score);
  report.add(EntryKind::decision, "how-hard",
             "for a learner this is of difficulty " + std::to_string(found.level) + " of " +
                 std::to_string(greatest_difficulty) + ": start at " + std::to_string(found.start) +
                 " beats a minute, and aim for " + std::to_string(found.goal));
}

}  // namespace

Arrangement arrange(const Score& given, const ArrangeOptions& options) {
  if (options.level < lowest_level || options.level > highest_level)
    throw UsageError("no-such-level", "a level is 1, 2, 3 or 4");
  if (options.style == Style::automatic)
    throw UsageError("no-such-style", "choose the style of an arrangement: there is no easiest one");
  if (options.variations < 1 || options.variations > most_variations)
    throw UsageError("no-such-variations",
                     "an arrangement has 1 to " + std::to_string(most_variations) + " breaks");
  if (options.seed < 0 || options.seed > highest_seed)
    throw UsageError("no-such-seed", "a seed is a number from 0 to " + std::to_string(highest_seed));
  Report told;
  if (!options.licks.empty() && options.style != Style::roll)
    throw UsageError("licks-of-rolls", "licks of one's own are for rolls, not for other styles");
  Score source = given;
  if (marks_melody(given)) {
    keep_only(source, {Role::melody});
    told.add(EntryKind::decision, "melody-by-role",
             "the notes that are marked as the melody are arranged, and no others");
  }
  for (Measure& measure : source.measures) {
    if (options.infer_chords) measure.chords.clear();
  }
  const std::vector<Tone> melody = arranging::melody_of(source, told);
  if (melody.empty()) throw UnplayableError("no-melody", "there is no note to arrange");
  const Key key = options.source_key.value_or(find_key(source));
  const std::vector<Setting> settings = arranging::settings_of(source, melody, key, options);
  if (settings.empty()) {
    throw UnplayableError("melody-out-of-range",
                          "in no octave does the banjo have nearly all notes of the melody");
  }
  arranging::report_unusual_shapes(settings.front().banjo, options.key.value_or(key), options, told);
  Arrangement result = arranging::is_line(options.style)
                           ? line_arrangement(source, key, settings, options)
                           : pattern_arrangement(source, key, settings, options);
  told.merge(result.report);
  result.report = std::move(told);
  report_difficulty(result.score, result.report);
  return result;
}

}  // namespace fifthpeg
