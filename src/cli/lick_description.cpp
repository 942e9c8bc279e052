#include "cli/lick_description.hpp"

#include <cmath>
#include <string_view>

#include "base/text.hpp"
#include "cli/description_page.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

bool is_percussion(const Inventory& inventory) {
  return inventory.chosen < inventory.parts.size() && inventory.parts[inventory.chosen].percussion;
}

// "a, b, c".
std::string in_a_row(const std::vector<std::string>& list, std::string_view separator = ", ") {
  std::string text;
  for (const std::string& one : list) {
    if (!text.empty()) text += separator;
    text += one;
  }
  return text;
}
std::string in_a_row(const std::vector<int>& list) {
  std::vector<std::string> texts;
  texts.reserve(list.size());
  for (const int one : list) texts.push_back(std::to_string(one));
  return in_a_row(texts);
}

std::string counted_beats(Fraction beats) {
  return counted_as(beats) + (beats == 1 ? " beat" : " beats");
}

std::string chords_of(const LickFacts& facts) {
  return to_string(facts.from) + " to " + to_string(facts.to) +
         (facts.chords_inferred ? " (found in its notes)" : "") + ", in " + to_string(facts.key);
}

std::string time_of(const LickFacts& facts) {
  std::string text = counted_beats(facts.beats);
  if (facts.pickup == facts.beats) {
    text += facts.beats == 1 ? ", before the barline" : ", all before the barline";
  } else if (facts.pickup > 0) {
    text += ", of which " + counted_as(facts.pickup) + (facts.pickup > 1 ? " are" : " is") +
            " before the barline";
  }
  if (facts.lands) text += ", then lands on the next measure";
  return text;
}

std::string places_of(const LickFacts& facts) {
  std::string text = facts.strings.size() == 1 ? "string " : "strings ";
  text += in_a_row(facts.strings);
  if (!facts.frets) return text + ", all open";
  text += facts.frets->lowest == facts.frets->highest ? ", fret " + std::to_string(facts.frets->lowest)
                                                      : ", frets " + std::to_string(facts.frets->lowest) +
                                                            " to " + std::to_string(facts.frets->highest);
  return text;
}

// Nothing where the file has none.
std::optional<double> own_tempo_of(const Score& score) {
  const Measure& first = score.measures.front();
  if (first.tempos.empty()) return std::nullopt;
  return (first.tempos.front().quarters_per_minute * Fraction(1, 4) / first.meter.beat()).to_double();
}

std::string own_tempo_text(double beats_a_minute) {
  return "its own tempo is " + std::to_string(std::lround(beats_a_minute)) + " beats a minute";
}

std::string steps_of(const Difficulty& difficulty) {
  const std::string start = std::to_string(difficulty.start) + " beats a minute";
  if (difficulty.ladder.size() < 2) return start + ", which is the tempo to aim for";
  return start + ", aim for " + std::to_string(difficulty.goal) + ": " + in_a_row(difficulty.ladder);
}

}  // namespace

ToldOfLick told_of_lick(const Reading& reading) {
  if (is_percussion(reading.inventory))
    return {{}, "percussion has no strings: there is nothing to say of hands"};
  try {
    return {lick_facts(reading.score), {}, own_tempo_of(reading.score)};
  } catch (const UsageError&) {  // it is no lick
    return {};
  } catch (const UnplayableError& error) {
    const std::string place = to_string(error.place());
    return {{}, "there is nothing to say of hands: " + (place.empty() ? "" : place + ": ") + error.what()};
  } catch (const TimeError& error) {
    return {{}, std::string("there is nothing to say of hands: ") + error.what()};
  }
}

void add_lick(Page& page, const ToldOfLick& lick) {
  if (!lick.facts) {
    page.line("as a lick", lick.why_not);
    return;
  }
  const LickFacts& facts = *lick.facts;
  page.gap();
  page.row("as a lick");
  std::string label = "for";
  for (const UseFound& found : facts.uses) {
    page.line(label, std::string(slug(found.use)) + ": " + found.rule);
    label.clear();
  }
  page.line("leads from", chords_of(facts));
  page.line("lasts", time_of(facts));
  page.line("plays", places_of(facts));
  page.line("shapes", in_a_row(facts.shapes, "; "));
  page.line("rolls", in_a_row(facts.rolls));
  page.line("style", std::string(slug(facts.style)));
  const Difficulty& difficulty = facts.difficulty;
  page.line("difficulty", "level " + std::to_string(difficulty.level) + " of " +
                              std::to_string(greatest_difficulty) + ": " +
                              in_a_row(difficulty.reasons, "; "));
  page.line("start at", steps_of(difficulty));
  if (lick.own_tempo) page.line("", own_tempo_text(*lick.own_tempo));
  page.line("caution", difficulty.caution);
}

Json to_json(const LickFacts& facts) {
  Json uses = Json::array();
  for (const UseFound& found : facts.uses) uses.push_back({{"use", slug(found.use)}, {"rule", found.rule}});
  const Difficulty& difficulty = facts.difficulty;
  return {{"key", to_string(facts.key)},
          {"fifths", facts.key.fifths},
          {"from", to_string(facts.from)},
          {"to", to_string(facts.to)},
          {"chords_inferred", facts.chords_inferred},
          {"beats", to_json(facts.beats)},
          {"pickup", to_json(facts.pickup)},
          {"lands", facts.lands},
          {"capo", facts.capo},
          {"frets", facts.frets ? Json{{"lowest", facts.frets->lowest}, {"highest", facts.frets->highest}}
                                : Json(nullptr)},
          {"strings", facts.strings},
          {"shapes", facts.shapes},
          {"techniques", facts.techniques},
          {"rolls", facts.rolls},
          {"style", slug(facts.style)},
          {"uses", std::move(uses)},
          {"difficulty",
           {{"level", difficulty.level},
            {"effort", difficulty.effort},
            {"reasons", difficulty.reasons},
            {"caution", difficulty.caution},
            {"start", difficulty.start},
            {"goal", difficulty.goal},
            {"ladder", difficulty.ladder}}}};
}

}  // namespace fifthpeg::cli
