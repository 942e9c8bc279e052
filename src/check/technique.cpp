// Technique: hammer-ons, pull-offs, slides, chokes and picking fingers that no banjo plays.
#include <string>

#include "check/part_rules.hpp"

namespace fifthpeg::check {
namespace {

// The picking hand's letters: of the trade (T, I, M), of the classical guitar (p i m a c x e), R and L for
// ring and little finger, 0 to 5 of old tutors, and a cross for the thumb of older ones.
bool is_digit(std::string_view text) {
  constexpr std::string_view letters = "TIMRLPACXEtimrlpacxe+012345";
  return text.size() == 1 && letters.find(text.front()) != std::string_view::npos;
}

}  // namespace

void technique_rules(const RawPart& part, const RawMeasure& measure, const RawNote& note,
                     Findings& findings) {
  if (note.note.choke && note.fret == 0)
    findings.add("technique-choke-open", place_at(part, measure, note), "an open string is choked here",
                 note.string);
  for (const std::string& pluck : note.plucks) {
    if (is_digit(pluck)) continue;
    findings.add("technique-pluck", place_at(part, measure, note),
                 "\"" + pluck.substr(0, 20) + "\" is not a picking finger", note.string);
  }
}

void technique_rules(Mark::Kind kind, const MarkedNote& from, const MarkedNote& to, const Place& place,
                     Findings& findings) {
  if (kind != Mark::Kind::slide && kind != Mark::Kind::hammer_on && kind != Mark::Kind::pull_off) return;
  const std::string_view name = kind == Mark::Kind::slide       ? "slide"
                                : kind == Mark::Kind::hammer_on ? "hammer-on"
                                                                : "pull-off";
  if (from.string && to.string && *from.string != *to.string) {
    findings.add("technique-across-strings", place,
                 "a " + std::string(name) + " goes from string " + std::to_string(*from.string) +
                     " to string " + std::to_string(*to.string),
                 to.string);
    return;
  }
  const bool frets = from.fret && to.fret && from.string && to.string;
  if (!frets && (!from.midi || !to.midi)) return;
  const int rise = frets ? *to.fret - *from.fret : *to.midi - *from.midi;
  const std::string way =
      frets ? "from fret " + std::to_string(*from.fret) + " to fret " + std::to_string(*to.fret)
            : "from " + words_of_pitch(*from.midi) + " to " + words_of_pitch(*to.midi);
  if (kind == Mark::Kind::hammer_on && rise <= 0) {
    findings.add("technique-hammer-on-down", place, "this hammer-on goes " + way, to.string);
  } else if (kind == Mark::Kind::pull_off && rise >= 0) {
    findings.add("technique-pull-off-up", place, "this pull-off goes " + way, to.string);
  } else if (kind == Mark::Kind::slide && (rise == 0 || (frets && *from.fret == 0))) {
    findings.add("technique-slide-nowhere", place, "this slide goes " + way, to.string);
  }
}

}  // namespace fifthpeg::check
