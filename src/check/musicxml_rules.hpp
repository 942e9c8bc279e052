// All rules that look at a MusicXML document, part by part and as a whole.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "check/families.hpp"
#include "check/part_rules.hpp"

namespace fifthpeg::check {

class MusicXmlRules : public DocumentVisitor {
 public:
  explicit MusicXmlRules(Findings& findings) : findings_(findings), teaching_(findings) {}

  void head(const Tree& tree) override;
  void measure(std::string_view part, const Element& label, const Tree& tree) override;
  // Behind the last measure that could be read.
  void finish(bool complete);

  Origin origin_of(const std::string& id) const;
  bool is_banjo(const std::string& id) const;
  const TabFixes& tab_fixes() const { return tab_fixes_; }
  // Of a part by its id: whether its first measure is a pickup that is not marked, and so on, is told as a
  // finding; what mend() needs beside stands here.
  const RawHead& raw_head() const { return head_; }

 private:
  struct Part {
    RawPart raw;
    std::vector<std::unique_ptr<PartRules>> rules;
    std::vector<std::int64_t> lines;
  };
  Part& part(std::string_view id);

  Findings& findings_;
  RawHead head_;
  TeachingRules teaching_;
  TabFixes tab_fixes_;
  std::map<std::string, Part, std::less<>> parts_;
  std::vector<std::string> order_;  // of the parts
};

}  // namespace fifthpeg::check
