#include "check/musicxml_rules.hpp"

#include <algorithm>
#include <array>

#include "formats/musicxml/part_reader.hpp"

namespace fifthpeg::check {

using musicxml::MeasureSource;
using musicxml::PartDescription;
using musicxml::PartSource;
using musicxml::reader::Diagnostics;
using musicxml::reader::PartReader;

void MusicXmlRules::run() {
  Report passed_over;
  Diagnostics quiet(passed_over);
  quiet.quiet(true);
  head_ = read_head(document_.root(), quiet);
  for (const PartDescription& part : document_.part_list()) head_.texts.emplace_back(part.line, part.name);
  teaching_.head(head_);
  damage_ = document_.damage();
  for (const PartSource& source : document_.parts()) run_part(source);
  if (damage_) return;
  // In the order of the part list; last those that are missing there.
  std::vector<const RawPart*> raws;
  for (const PartDescription& part : document_.part_list()) {
    Part& listed = parts_[part.id];
    listed.raw.description = part;
    raws.push_back(&listed.raw);
  }
  for (const auto& [id, part] : parts_) {
    if (!part.raw.description.listed) raws.push_back(&part.raw);
  }
  teaching_.finish(head_, raws);
}

void MusicXmlRules::run_part(const PartSource& source) {
  Part& part = parts_[source.description.id];
  RawPart& raw = part.raw;
  raw.description = source.description;
  const Head head = head_.of_part(source.description.id);
  const std::array<std::unique_ptr<PartRules>, 3> families{
      time_rules(findings_), pair_rules(findings_, pair_fixes_), tab_rules(findings_, head, tab_fixes_)};

  Report passed_over;
  Diagnostics quiet(passed_over);
  quiet.quiet(true);
  PartReader reader(raw, quiet);
  bool whole = true;
  for (const MeasureSource& measure : source.measures) {
    try {
      reader.read(measure, reader.parse(measure));
    } catch (const ReadError& error) {
      whole = false;  // the grammar reports it; what comes after has lost its time
      if (!damage_) damage_ = error;
      break;
    }
    const RawMeasure& read = raw.measures.back();
    part.lines.push_back(read.line);
    for (const auto& rules : families) rules->measure(raw, read);
    teaching_.measure(raw, read);
    raw.measures.clear();
  }
  for (const auto& rules : families) rules->finish(raw, whole && !document_.damage());
}

Origin MusicXmlRules::origin_of(const std::string& id) const {
  const auto found = parts_.find(id);
  if (found == parts_.end()) return {};
  return {found->second.raw.description.label(), found->second.lines, teaching_.tempo_shown()};
}

bool MusicXmlRules::is_banjo(const std::string& id) const {
  const auto found = parts_.find(id);
  return found != parts_.end() && !is_percussion(found->second.raw) && may_be_banjo(found->second.raw);
}

bool is_percussion(const RawPart& part) {
  return part.description.percussion() || std::any_of(part.staves.begin(), part.staves.end(),
                                                      [](const RawStaff& staff) { return staff.percussion; });
}

bool may_be_banjo(const RawPart& part) {
  for (const RawStaff& staff : part.staves) {
    const int tuned = staff.tuned_now();
    if (tuned > 0 && tuned != string_count) return false;
    if (staff.tab_clef && staff.lines && *staff.lines != string_count) return false;
  }
  return part.description.names_banjo() || !part.description.names_other_strings();
}

}  // namespace fifthpeg::check
