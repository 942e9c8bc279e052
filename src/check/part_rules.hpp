// Rules that look at one part of a MusicXML document, measure by measure. One object a part and family.
#pragma once

#include <array>
#include <cstddef>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "check/findings.hpp"
#include "check/raw.hpp"

namespace fifthpeg::check {

class PartRules {
 public:
  PartRules() = default;
  PartRules(const PartRules&) = delete;
  PartRules& operator=(const PartRules&) = delete;
  virtual ~PartRules() = default;

  virtual void measure(const RawPart& part, const RawMeasure& measure) = 0;
  // Behind the last measure. `complete` is false where the file broke off, so that what is open may well
  // have been closed.
  virtual void finish(const RawPart& part, bool complete) = 0;
};

std::unique_ptr<PartRules> time_rules(Findings& findings);
std::unique_ptr<PartRules> pair_rules(Findings& findings);
// What of the tab has exactly one right answer, for mend().
struct TabFixes {
  struct Fret {
    std::size_t note = 0;  // byte of the note's element
    int fret = 0;          // what must stand there
    bool mixed = false;    // the part has both numberings
  };
  std::vector<Fret> frets;
  // Of a part by its id: the tuning of strings 1 to 5 that the pitches prove, as MIDI numbers without capo.
  std::map<std::string, std::array<int, 5>> tunings;
};
std::unique_ptr<PartRules> tab_rules(Findings& findings, const RawHead& head, TabFixes& fixes);
std::unique_ptr<PartRules> technique_rules(Findings& findings);

// Whether a part is for the five-string banjo, or says nothing that speaks against it.
bool may_be_banjo(const RawPart& part);

}  // namespace fifthpeg::check
