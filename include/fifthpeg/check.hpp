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
  warning,  // a careful teacher would fix it
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
  reading,
  teaching
};

// "error", "midi-bytes": as people and programs write them.
std::string_view slug(Severity severity);
std::string_view slug(RuleFamily family);

// One row of the table of rules.
struct Rule {
  std::string_view slug;  // "tab-fret-contradicts-pitch": stable, for CheckOptions and programs
  RuleFamily family = RuleFamily::grammar;
  Severity severity = Severity::warning;
  std::string_view wrong;   // one sentence: what is wrong
  std::string_view fix;     // one sentence: how to fix it
  std::string_view source;  // a standard with its section, or 'common practice', or 'from memory'
  bool fixable = false;     // has exactly one right answer, which fix() writes
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
  std::string text;           // what was found here, in one sentence without its full stop
  friend bool operator==(const Finding&, const Finding&) = default;
};

struct CheckOptions {
  std::vector<std::string> only;  // slugs or family names; empty: all
  std::vector<std::string> skip;
  // Findings that weigh less than the one or more than the other are left out.
  Severity least = Severity::note;
  Severity most = Severity::error;
  HandsOptions hands;  // how hands are judged: scale length, reach, style
  std::size_t max_bytes = std::size_t{64} << 20;
  std::size_t max_findings = 10'000;  // of one file; more are counted only
};

struct Checked {
  std::string format;  // "MIDI", "MusicXML", "compressed MusicXML", "text tab"; empty: none of these
  std::vector<Finding> findings;  // worst first, then by place
  // Rules and families that the file itself asks to be silent about, each once. In MusicXML a processing
  // instruction asks so, <?fifthpeg-check silence="pairs-slur teaching"?>; in MIDI a text event,
  // "fifthpeg-check silence: pairs-slur teaching". Their slugs stand apart by blanks or commas.
  std::vector<std::string> silenced;
  std::uint64_t left_out = 0;  // findings beyond max_findings
  bool readable = true;        // false: the file could not be read to its end; read() refuses it

  // How many findings of that severity there are, those beyond max_findings not counted.
  std::uint64_t count(Severity severity) const;
};

// Checks one file, as far as it can be read. UsageError for a slug in `only` or `skip` that does not exist.
Checked check_file(std::string_view bytes, const CheckOptions& options = {});

// One thing that was fixed.
struct Fix {
  std::string rule;
  Place place;
  std::string text;  // what was done, in one sentence
  friend bool operator==(const Fix&, const Fix&) = default;
};

struct FixResult {
  std::string bytes;  // the file with its fixes; nothing else of it is changed
  std::vector<Fix> fixes;
};

// Fixes, in MusicXML text in UTF-8 and in MIDI files, what has exactly one right answer; see
// Rule::fixable and `only` and `skip`. Never touches a note's pitch or time. Throws ReadError for a
// file that it cannot change: an archive, another encoding, one that cannot be read to its end.
FixResult fix(std::string_view bytes, const CheckOptions& options = {});

}  // namespace fifthpeg
