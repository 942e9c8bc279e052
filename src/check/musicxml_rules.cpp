#include "check/musicxml_rules.hpp"

namespace fifthpeg::check {

void MusicXmlRules::head(const Tree& tree) {
  head_ = read_head(tree);
  teaching_.head(head_);
  for (RawPart& described : head_.parts) {
    Part& made = part(described.id);
    made.raw = described;
  }
}

MusicXmlRules::Part& MusicXmlRules::part(std::string_view id) {
  const auto found = parts_.find(id);
  if (found != parts_.end()) return found->second;
  Part& made = parts_[std::string(id)];
  made.raw.id = std::string(id);
  made.rules.push_back(time_rules(findings_));
  made.rules.push_back(pair_rules(findings_));
  made.rules.push_back(tab_rules(findings_, head_, tab_fixes_));
  made.rules.push_back(technique_rules(findings_));
  order_.emplace_back(id);
  return made;
}

void MusicXmlRules::measure(std::string_view id, const Element& label, const Tree& tree) {
  Part& owner = part(id);
  const RawMeasure measure = read_measure(owner.raw, label, tree);
  owner.lines.push_back(measure.line);
  for (const auto& rules : owner.rules) rules->measure(owner.raw, measure);
  teaching_.measure(owner.raw, measure);
}

void MusicXmlRules::finish(bool complete) {
  std::vector<const RawPart*> raws;
  for (const std::string& id : order_) {
    Part& owner = parts_.find(id)->second;
    for (const auto& rules : owner.rules) rules->finish(owner.raw, complete);
    raws.push_back(&owner.raw);
  }
  if (complete) teaching_.finish(head_, raws);
}

Origin MusicXmlRules::origin_of(const std::string& id) const {
  const auto found = parts_.find(id);
  if (found == parts_.end()) return {};
  return {found->second.raw.label(), found->second.lines, teaching_.tempo_shown()};
}

bool MusicXmlRules::is_banjo(const std::string& id) const {
  const auto found = parts_.find(id);
  return found != parts_.end() && !found->second.raw.percussion && may_be_banjo(found->second.raw);
}

}  // namespace fifthpeg::check
