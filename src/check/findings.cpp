#include "check/findings.hpp"

#include <algorithm>
#include <tuple>

#include "fifthpeg/errors.hpp"

namespace fifthpeg::check {
namespace {

bool is_called(const Rule& rule, std::string_view name) {
  return rule.slug == name || slug(rule.family) == name;
}

std::string on_line(std::string_view name, const Place& place) {
  return std::string(name) + " line " + std::to_string(place.line);
}
// The grammar names a part by its id, the others by its name.
std::string in_measure(std::string_view name, const Place& place) {
  const bool grammar = name == slug(RuleFamily::grammar);
  return std::string(name) + " measure " + place.measure + " " + (grammar ? std::string() : place.part);
}

}  // namespace

bool is_rule_or_family(std::string_view name) {
  return std::any_of(rules().begin(), rules().end(), [&](const Rule& rule) { return is_called(rule, name); });
}

RuleSelection::RuleSelection(const CheckOptions& options) : taken_(rules().size(), options.only.empty()) {
  for (const auto* names : {&options.only, &options.skip}) {
    for (const std::string& name : *names) {
      if (!is_rule_or_family(name))
        throw UsageError("unknown-rule", "'" + name + "' is neither a rule nor a family of rules");
    }
  }
  for (const std::string& name : options.only) set(name, true);
  for (const std::string& name : options.skip) set(name, false);
  for (std::size_t i = 0; i < taken_.size(); ++i) {
    const Severity severity = rules()[i].severity;
    if (severity < options.least || severity > options.most) taken_[i] = false;
  }
}

void RuleSelection::set(std::string_view name, bool on) {
  const auto& all = rules();
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (is_called(all[i], name)) taken_[i] = on;
  }
}

void RuleSelection::silence(const std::vector<std::string>& names) {
  for (const std::string& name : names) set(name, false);
}

bool RuleSelection::takes(std::string_view slug) const {
  const Rule* const rule = find_rule(slug);
  return rule != nullptr && taken_[static_cast<std::size_t>(rule - rules().data())];
}

bool RuleSelection::takes(RuleFamily family) const {
  const auto& all = rules();
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].family == family && taken_[i]) return true;
  }
  return false;
}

bool RuleSelection::takes_any(std::string_view name) const {
  const auto& all = rules();
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (taken_[i] && is_called(all[i], name)) return true;
  }
  return false;
}

bool Findings::has(std::string_view name) const {
  return left_out_ > 0 || where_.contains(std::string(name));
}

bool Findings::has(std::string_view name, const Place& place) const {
  if (left_out_ > 0 || (place.line > 0 && where_.contains(on_line(name, place)))) return true;
  return !place.measure.empty() && where_.contains(in_measure(name, place));
}

void Findings::add(std::string_view slug, const Place& place, std::string text, std::optional<int> string) {
  if (!selection_.takes(slug)) return;
  const Rule& rule = *find_rule(slug);
  auto& found = found_.at(static_cast<std::size_t>(rule.severity));
  if (found.size() >= most_) {
    ++left_out_;
    return;
  }
  for (const std::string_view name : {rule.slug, fifthpeg::slug(rule.family)}) {
    where_.emplace(name);
    if (place.line > 0) where_.insert(on_line(name, place));
    if (!place.measure.empty()) where_.insert(in_measure(name, place));
  }
  found.push_back({std::string(slug), rule.severity, place, string, std::move(text)});
}

void Findings::deliver(Checked& checked) {
  // What has no place speaks of the whole file, and comes first.
  const auto key = [](const Finding& finding) {
    return std::tuple(finding.place.line, finding.place.byte, std::string_view(finding.rule));
  };
  for (std::size_t severity = found_.size(); severity-- > 0;) {
    auto& found = found_.at(severity);
    std::stable_sort(found.begin(), found.end(),
                     [&](const Finding& a, const Finding& b) { return key(a) < key(b); });
    for (Finding& finding : found) {
      if (checked.findings.size() < most_) {
        checked.findings.push_back(std::move(finding));
      } else {
        ++left_out_;
      }
    }
    found.clear();
  }
  checked.left_out = left_out_;
}

}  // namespace fifthpeg::check
