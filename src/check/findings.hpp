// Collects findings: only those of rules that were asked for and that the file has not silenced.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_set>
#include <vector>

#include "fifthpeg/check.hpp"

namespace fifthpeg::check {

bool is_rule_or_family(std::string_view name);

// Which rules are to be looked at.
class RuleSelection {
 public:
  // UsageError for a name that is neither a rule's nor a family's.
  explicit RuleSelection(const CheckOptions& options);

  // What a file asks to be silent about: names of rules and families.
  void silence(const std::vector<std::string>& names);
  bool takes(std::string_view slug) const;
  bool takes(RuleFamily family) const;
  // Whether a rule of that name, or one of a family of that name, is to be looked at.
  bool takes_any(std::string_view name) const;

 private:
  void set(std::string_view name, bool on);
  std::vector<bool> taken_;  // by index into rules()
};

class Findings {
 public:
  Findings(const RuleSelection& selection, std::size_t most) : selection_(selection), most_(most) {}

  bool takes(std::string_view slug) const { return selection_.takes(slug); }
  bool takes_any(std::string_view name) const { return selection_.takes_any(name); }
  // Whether a rule, or one of a family, was found broken anywhere; on the line of a place or in its measure.
  // Once there are more findings than are kept, that cannot be ruled out.
  bool has(std::string_view name) const;
  bool has(std::string_view name, const Place& place) const;
  bool has_errors() const { return !found_.at(static_cast<std::size_t>(Severity::error)).empty(); }
  void add(std::string_view slug, const Place& place, std::string text, std::optional<int> string = {});
  // Moves what was found into `checked`: worst first, then by place.
  void deliver(Checked& checked);

 private:
  const RuleSelection& selection_;
  std::size_t most_;
  // By severity, so that a flood of notes never crowds out an error.
  std::array<std::vector<Finding>, 3> found_;
  std::unordered_set<std::string> where_;  // what has() is asked for
  std::uint64_t left_out_ = 0;
};

}  // namespace fifthpeg::check
