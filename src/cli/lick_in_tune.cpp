#include "cli/lick_in_tune.hpp"

#include <algorithm>
#include <utility>

#include "cli/load.hpp"
#include "cli/messages.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

std::size_t measure_numbered(const Score& score, std::string_view option, const std::string& number) {
  const auto found = std::find_if(score.measures.begin(), score.measures.end(),
                                  [&](const Measure& measure) { return measure.number == number; });
  if (found == score.measures.end()) {
    throw UsageError("no-such-measure", std::string(option) + ": there is no measure " + printable(number) +
                                            " in the tune; its last is " + score.measures.back().number);
  }
  return static_cast<std::size_t>(found - score.measures.begin());
}

LickPlace place_at_point(const Score& tune, const Score& lick, std::string_view option,
                         const MusicPoint& point, const FitOptions& options) {
  const std::size_t measure = measure_numbered(tune, option, point.measure);
  if (!point.beat) return place_at(tune, lick, measure, {}, options);
  const Measure& there = tune.measures[measure];
  const Fraction at = (*point.beat - beat_at(there, Fraction())) * there.meter.beat();
  if (at < 0 || at >= there.length) {
    throw UsageError("no-such-beat", std::string(option) + ": measure " + there.number + " has no beat " +
                                         counted_as(*point.beat));
  }
  return place_at(tune, lick, measure, at, options);
}

}  // namespace

HostTune load_host(const std::string& input, const InputOptions& options, const HandsOptions& hands) {
  Loaded reading = load(input, options, &hands);
  const FingeringResult fingered = finger_loaded(reading, options, hands);
  HostTune tune{std::move(reading.score), fingered.source, std::move(reading.report)};
  tune.report.merge(fingered.report);
  const bool has_chords = std::any_of(tune.score.measures.begin(), tune.score.measures.end(),
                                      [](const Measure& measure) { return !measure.chords.empty(); });
  if (!has_chords) {
    tune.report.add(
        EntryKind::decision, "places-by-found-chords",
        "the tune has no chord symbols: places are judged by chords that were found in its notes; "
        "--chords infer shows them");
  }
  return tune;
}

std::string why_no_place(const Score& tune, const Score& lick, const FitOptions& options) {
  std::string why = why_nowhere(tune, lick, options);
  if (const auto capo = capo_that_fits(tune, lick, options))
    why += "; with --capo " + std::to_string(*capo) + " it might have one";
  return why;
}

std::vector<LickPlace> places_asked_for(const Score& tune, const Score& lick, std::string_view option,
                                        const std::optional<MusicPoint>& point, std::size_t most,
                                        const FitOptions& options) {
  if (point) return {place_at_point(tune, lick, option.substr(0, option.find(' ')), *point, options)};
  std::vector<LickPlace> places = places_for(tune, lick, options);
  if (places.empty()) {
    throw UnplayableError("lick-without-place",
                          "the lick has no place in the tune: " + why_no_place(tune, lick, options) + "; " +
                              std::string(option) + " puts it where you want it");
  }
  if (places.size() > most) places.resize(most);
  return places;
}

}  // namespace fifthpeg::cli
