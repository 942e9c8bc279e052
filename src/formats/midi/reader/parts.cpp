#include "formats/midi/reader/parts.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/number.hpp"
#include "base/text.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/midi/conventions.hpp"
namespace fifthpeg::midi::reader {
namespace {

// How readily the sixteen families of General MIDI 1, eight programs each, carry a tune (common practice).
// Added to the score.
constexpr std::array<double, 16> carries_tune{
    0.0,   // piano
    0.0,   // chromatic percussion
    -0.3,  // organ
    0.0,   // guitar
    -2.0,  // bass
    0.3,   // strings
    -0.6,  // ensemble
    0.2,   // brass
    0.4,   // reed
    0.5,   // pipe
    0.5,   // synth lead
    -1.5,  // synth pad
    -1.5,  // synth effects
    0.3,   // ethnic
    -1.5,  // percussive
    -2.0   // sound effects
};

struct NameHint {
  std::string_view word;
  double weight;
};
// Words in a name that say what a part does (common practice).
constexpr std::array<NameHint, 18> hints{{{"melody", 3.0},
                                          {"lead", 2.5},
                                          {"tune", 2.5},
                                          {"solo", 2.0},
                                          {"vocal", 2.0},
                                          {"voice", 1.5},
                                          {"violin", 2.0},
                                          {"fiddle", 2.0},
                                          {"mandolin", 1.5},
                                          {"flute", 1.5},
                                          {"bass", -3.0},
                                          {"drum", -4.0},
                                          {"chord", -2.5},
                                          {"pad", -2.5},
                                          {"rhythm", -2.5},
                                          {"accomp", -2.5},
                                          {"backup", -1.5},
                                          {"guitar", -0.5}}};

// How much a part looks like a tune.
double tune_score(const PlayedPart& part, const PartSummary& summary, std::int64_t whole_length,
                  std::size_t most_notes) {
  // Alone most of the time, in a singing range, busy, and there throughout.
  std::int64_t sounding = 0;
  std::int64_t covered = 0;
  std::int64_t covered_until = 0;
  double pitch_sum = 0.0;
  for (const PlayedNote& note : part.notes) {
    sounding += note.off - note.on;
    const std::int64_t from = std::max(note.on, covered_until);
    if (note.off > from) {
      covered += note.off - from;
      covered_until = note.off;
    }
    pitch_sum += note.key;
  }
  const auto count = static_cast<double>(part.notes.size());
  const double voices = covered > 0 ? static_cast<double>(sounding) / static_cast<double>(covered) : 1.0;
  const double mean_pitch = pitch_sum / count;
  double score = 2.0 / voices;
  score += mean_pitch < 50 ? -1.5 : mean_pitch < 58 ? -0.3 : mean_pitch > 90 ? -1.0 : (mean_pitch - 60) / 40;
  score += std::sqrt(count / static_cast<double>(most_notes));
  score += whole_length > 0 ? static_cast<double>(covered) / static_cast<double>(whole_length) : 0.0;
  if (part.program >= 0) score += carries_tune.at(static_cast<std::size_t>(part.program / 8));
  const std::string name = base::lower_case(summary.name);
  for (const NameHint& hint : hints) {
    if (name.find(hint.word) != std::string::npos) score += hint.weight;
  }
  return score;
}

std::size_t part_named(const std::vector<PartSummary>& summaries, const std::string& wanted) {
  const std::string lower = base::lower_case(wanted);
  for (std::size_t i = 0; i < summaries.size(); ++i) {
    if (base::lower_case(summaries[i].name) == lower || base::lower_case(summaries[i].id) == lower) return i;
  }
  const auto number = base::number<std::size_t>(wanted);
  if (number && *number >= 1 && *number <= summaries.size()) return *number - 1;
  constexpr std::size_t most_named = 12;
  std::string known;
  for (std::size_t i = 0; i < std::min(summaries.size(), most_named); ++i) {
    known += (i == 0 ? "" : ", ") + std::to_string(i + 1);
    if (!summaries[i].name.empty()) known += " (" + summaries[i].name + ")";
  }
  if (summaries.size() > most_named) known += " ...";
  throw UsageError("there is no part \"" + wanted + "\"; the file has " + known);
}

}  // namespace

std::vector<PartSummary> summarize(const std::vector<PlayedPart>& parts,
                                   const std::vector<TrackText>& texts) {
  std::vector<PartSummary> summaries;
  for (const PlayedPart& part : parts) {
    PartSummary& summary = summaries.emplace_back();
    summary.id = "track " + std::to_string(part.track + 1) + ", channel " + std::to_string(part.channel + 1);
    const TrackText& text = texts.at(part.track);
    summary.name = text.name;
    summary.percussion = part.channel == percussion_channel;
    summary.channel = part.channel + 1;
    if (part.program >= 0) summary.program = part.program + 1;
    summary.instrument = text.instrument;
    if (summary.instrument.empty() && summary.percussion) summary.instrument = "percussion";
    if (summary.instrument.empty() && part.program >= 0) summary.instrument = program_name(part.program);
    summary.notes = part.notes.size();
    for (const PlayedNote& note : part.notes) {
      summary.lowest = std::min<int>(summary.lowest.value_or(note.key), note.key);
      summary.highest = std::max<int>(summary.highest.value_or(note.key), note.key);
    }
  }
  return summaries;
}

ChosenPart choose_part(const std::vector<PlayedPart>& parts, const std::vector<PartSummary>& summaries,
                       const std::string& wanted) {
  if (!wanted.empty()) return {part_named(summaries, wanted), "asked for"};
  if (parts.size() == 1) return {0, "the only part with notes"};
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (!summaries[i].percussion && parts[i].program == banjo_program) return {i, "its program is banjo"};
  }
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (summaries[i].percussion) continue;
    if (base::lower_case(summaries[i].name + " " + summaries[i].instrument).find("banjo") !=
        std::string::npos) {
      return {i, "it is named banjo"};
    }
  }
  std::int64_t length = 0;
  std::size_t most_notes = 1;
  for (const PlayedPart& part : parts) {
    for (const PlayedNote& note : part.notes) length = std::max(length, note.off);
    most_notes = std::max(most_notes, part.notes.size());
  }
  ChosenPart best{parts.size(),
                  "it looks most like the tune, by its range, its number of notes, and one note at a time"};
  double best_score = 0.0;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (summaries[i].percussion) continue;
    const double score = tune_score(parts[i], summaries[i], length, most_notes);
    if (best.part == parts.size() || score > best_score) {
      best.part = i;
      best_score = score;
    }
  }
  if (best.part == parts.size()) return {0, "there is nothing but percussion"};
  return best;
}

}  // namespace fifthpeg::midi::reader
