#include "cli/found.hpp"

#include <array>
#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include "base/text.hpp"
#include "cli/json.hpp"
#include "cli/lick_description.hpp"
#include "cli/option_values.hpp"

namespace fifthpeg::cli {
namespace {

// What is said of one lick, with commas or other signs between.
class FoundLine {
 public:
  void add(const std::string& text, const char* before = ", ") {
    if (text.empty()) return;
    if (!line_.empty()) line_ += before;
    line_ += text;
  }
  std::string take() { return std::move(line_); }

 private:
  std::string line_;
};

template <typename List>
std::string between(const List& words, const char* separator) {
  FoundLine line;
  for (const auto& word : words) line.add(std::string(word), separator);
  return line.take();
}

// "1 beat", "3.5 beats".
std::string beats_text(Fraction beats) {
  std::array<char, 32> number{};
  std::snprintf(number.data(), number.size(), "%.4g", beats.to_double());
  return std::string(number.data()) + (beats == 1 ? " beat" : " beats");
}

std::string frets_text(const std::optional<FretSpan>& frets) {
  if (!frets) return "open strings";
  const std::string lowest = std::to_string(frets->lowest);
  if (frets->lowest == frets->highest) return "fret " + lowest;
  return "frets " + lowest + " to " + std::to_string(frets->highest);
}

std::string uses_text(const std::vector<UseFound>& uses) {
  std::vector<std::string_view> names;
  names.reserve(uses.size());
  for (const UseFound& one : uses) names.push_back(slug(one.use));
  return between(names, " or ");
}

// Rounded down, so that nothing but the same is 100 %.
std::string percent_text(double alike) {
  return std::to_string(static_cast<int>(std::floor(100 * alike))) + " % alike";
}

std::string line_of(const FoundLick& lick) {
  const LickFacts& facts = lick.facts;
  FoundLine line;
  line.add(to_string(facts.from) + " to " + to_string(facts.to) + " in " + to_string(facts.key));
  line.add(beats_text(facts.beats));
  line.add(std::string(slug(facts.style)));
  if (lick.tuning != open_g()) line.add("in " + to_string(lick.tuning));
  line.add(frets_text(facts.frets));
  line.add(between(facts.techniques, ", "));
  line.add(uses_text(facts.uses));
  line.add("level " + std::to_string(facts.difficulty.level));
  line.add(between(lick.answer.reasons, ", "), "; ");
  if (lick.alike) line.add(percent_text(*lick.alike), "; ");
  if (!lick.same_as.empty()) line.add("the same as " + printable(lick.same_as), "; ");
  return printable(lick.file) + ": " + line.take() + "\n";
}

Json lick_members(const FoundLick& lick) {
  const LickAnswer& answer = lick.answer;
  return {{"input", lick.file},
          {"title", lick.title},
          {"tuning", spelling(lick.tuning)},
          {"rank", answer.rank},
          {"reasons", answer.reasons},
          {"half_steps", answer.half_steps},
          {"capo", answer.capo ? Json(*answer.capo) : Json(nullptr)},
          {"likeness", lick.alike ? Json(*lick.alike) : Json(nullptr)},
          {"same_as", lick.same_as.empty() ? Json(nullptr) : Json(lick.same_as)},
          {"lick", to_json(lick.facts)}};
}

}  // namespace

std::string found_text(const Search& search) {
  std::string text;
  for (const FoundLick& lick : search.found) text += line_of(lick);
  return text;
}

std::string found_json(const Search& search, Status status) {
  Json licks = Json::array();
  for (const FoundLick& lick : search.found) licks.push_back(lick_members(lick));
  Json failures = Json::array();
  for (const Failure& failure : search.failures) failures.push_back(failure_members(failure.file, failure));
  return program_document({{"status", static_cast<int>(status)},
                           {"searched", search.licks},
                           {"passed_over",
                            {{"other_kinds", search.others},
                             {"too_long", search.too_long},
                             {"less_alike", search.unlike},
                             {"linked_folders", search.linked_folders}}},
                           {"licks", std::move(licks)},
                           {"failures", std::move(failures)}});
}

std::string found_files(const Search& search, char end, std::size_t& left_out) {
  std::string text;
  for (const FoundLick& lick : search.found) {
    if (lick.file.find(end) == lick.file.npos) {
      text += lick.file;
      text += end;
    } else {
      ++left_out;
    }
  }
  return text;
}

std::string search_lines(const Search& search) {
  std::string lines;
  // A folder of licks has a list of them, or a sheet; that is worth a line only where licks are missing.
  if (search.others > 0 && (search.found.empty() || !search.failures.empty())) {
    lines += "passed over " + base::counted(search.others, "file") + " of " +
             (search.others == 1 ? "another kind" : "other kinds") + "\n";
  }
  if (search.too_long > 0) {
    lines += "passed over " + base::counted(search.too_long, "piece") + " of more than " +
             base::counted(longest_lick, "measure") + "\n";
  }
  if (search.linked_folders > 0) {
    lines += "did not follow " + base::counted(search.linked_folders, "link") +
             (search.linked_folders == 1 ? " to a folder; name it to have it searched\n"
                                         : " to folders; name them to have them searched\n");
  }
  if (search.unlike > 0) {
    lines += base::counted(search.unlike, search.found.empty() ? "lick" : "other lick") +
             (search.unlike == 1 ? " is" : " are") + " less than half alike\n";
  }
  if (search.licks == 0) {
    if (search.failures.empty()) lines += "there are no licks there\n";
  } else if (search.found.empty() && search.unlike == 0) {
    lines += search.licks == 1
                 ? "the one lick there does not do what is asked\n"
                 : "none of the " + std::to_string(search.licks) + " licks there does what is asked\n";
  }
  return lines;
}

}  // namespace fifthpeg::cli
