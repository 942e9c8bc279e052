#include "formats/musicxml/printed_value.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

// A duration is a whole number of divisions. One that would not be was rounded to the nearest; in a tuplet
// the places were, so that a note may be almost a division off. What would be half or double is no rounding.
bool is_rounded(const RawNote& note, Fraction expected, Fraction divisions) {
  if ((expected * divisions * 4).is_whole()) return false;
  const Fraction division = Fraction(1) / (divisions * 4);
  const Fraction off = expected > note.duration ? expected - note.duration : note.duration - expected;
  if (off * 2 < division) return true;
  const bool tuplet = note.actual != note.normal && note.dots == 0;
  return tuplet && off < division && note.duration * 2 > expected && note.duration < expected * 2;
}

}  // namespace

std::optional<Fraction> contradicting_value(const RawNote& note, const RawMeasure& measure,
                                            Fraction divisions) {
  if (!note.type || note.grace != Grace::none || note.cue || note.tremolo || note.measure_rest)
    return std::nullopt;
  const Fraction expected = note.printed * Fraction(note.normal) / Fraction(note.actual);
  if (expected == note.duration) return std::nullopt;
  // A whole rest is as long as any measure.
  const bool whole_rest =
      note.kind == RawNote::Kind::rest && note.printed == 1 && note.dots == 0 && note.onset == 0;
  const Meter* const meter = measure.meter();
  const bool fills =
      note.duration == measure.extent || (meter != nullptr && note.duration == meter->length());
  if (whole_rest && fills) return std::nullopt;
  return is_rounded(note, expected, divisions) ? std::nullopt : std::optional(expected);
}

}  // namespace fifthpeg::musicxml::reader
