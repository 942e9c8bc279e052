// All rules that look at a MusicXML document, part by part and as a whole.
#pragma once

#include <map>
#include <optional>
#include <string>

#include "check/families.hpp"
#include "check/part_rules.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/document.hpp"

namespace fifthpeg::check {

class MusicXmlRules {
 public:
  // What is damaged is not looked at.
  MusicXmlRules(const musicxml::Document& document, Findings& findings)
      : document_(document), findings_(findings), teaching_(findings) {}

  void run();
  // Why the document could not be read to its end; nothing where it could.
  const std::optional<ReadError>& damage() const { return damage_; }

  Origin origin_of(const std::string& id) const;
  bool is_banjo(const std::string& id) const;
  const TabFixes& tab_fixes() const { return tab_fixes_; }
  const PairFixes& pair_fixes() const { return pair_fixes_; }

 private:
  struct Part {
    RawPart raw;
    std::vector<std::int64_t> lines;
  };
  void run_part(const musicxml::PartSource& source);

  const musicxml::Document& document_;
  Findings& findings_;
  Head head_;
  TeachingRules teaching_;
  TabFixes tab_fixes_;
  PairFixes pair_fixes_;
  std::optional<ReadError> damage_;
  std::map<std::string, Part, std::less<>> parts_;
};

}  // namespace fifthpeg::check
