// Checking: what is wrong with a teaching file, as a careful teacher, an engraver and a standards lawyer
// would each have caught it. Nothing wrong inside a file stops the check; it becomes a finding.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg {

enum class Severity : std::int8_t {
  note,     // worth knowing
  warning,  // a careful teacher would mend it
  error,    // the file breaks its standard, or a student would learn something wrong from it
};

enum class RuleFamily : std::int8_t {
  midi_bytes,
  container,
  grammar,
  time,
  pairs,
  tab,
  technique,
  hands,
  teaching
};

// One row of the table of rules.
struct Rule {
  std::string_view slug;  // "tab-fret-contradicts-pitch": stable, for --only, --skip and programs
  RuleFamily family = RuleFamily::grammar;
  Severity severity = Severity::warning;
  std::string_view wrong;      // one sentence: what is wrong
  std::string_view mend;       // one sentence: how to mend it
  std::string_view source;     // a standard with its section, or 'common practice', or 'from memory'
  bool mended_by_fix = false;  // has exactly one right answer, which mend() writes
};

// All rules, by family and slug.
const std::vector<Rule>& rules();
// The rule with that slug, or nothing.
const Rule* find_rule(std::string_view slug);

struct Finding {
  std::string rule;  // the slug
  Severity severity = Severity::warning;
  Place place;
  std::optional<int> string;  // 1 to 5, where a single string is meant
  std::string text;           // what was found here, in one sentence
  friend bool operator==(const Finding&, const Finding&) = default;
};

struct CheckOptions {
  std::vector<std::string> only;  // slugs or family names; empty: all
  std::vector<std::string> skip;
  Severity least = Severity::note;  // findings below this are left out
  HandsOptions hands;               // how hands are judged: scale length, reach, style
  std::size_t max_bytes = std::size_t{64} << 20;
  std::size_t max_findings = 10'000;  // of one file; more are counted only
};

struct Checked {
  std::string format;             // as Inventory::format; empty where the file is none that is known
  std::vector<Finding> findings;  // worst first, then by place
  std::vector<std::string>
      silenced;                // rules that the file itself asks to be silent about, as they stand there
  std::uint64_t left_out = 0;  // findings beyond max_findings
  bool readable = true;        // false: the bytes could not be read to the end
};

// Checks one file. UsageError for a slug in `only` or `skip` that does not exist.
Checked check(std::string_view bytes, const CheckOptions& options = {});

}  // namespace fifthpeg
