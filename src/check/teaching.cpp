// Teaching: what a teacher wants on a handout.
#include <algorithm>

#include "check/families.hpp"
#include "check/part_rules.hpp"
#include "formats/midi/scan.hpp"
namespace fifthpeg::check {
namespace {

using musicxml::trimmed;

// UTF-8 that was read as Windows-1252 and written as UTF-8 again: a letter from 0xC2 or 0xC3 followed by
// what a continuation byte looks like there. "Ã©" for "é", "â€™" for an apostrophe.
bool is_broken(std::string_view text) {
  if (text.find("\xEF\xBF\xBD") != std::string_view::npos) return true;          // U+FFFD
  if (text.find("\xC3\xA2\xE2\x82\xAC") != std::string_view::npos) return true;  // U+00E2 U+20AC
  for (std::size_t i = 0; i + 3 < text.size(); ++i) {
    const auto byte = [&](std::size_t k) { return static_cast<unsigned char>(text[i + k]); };
    const bool lead = byte(0) == 0xC3 && (byte(1) == 0x82 || byte(1) == 0x83);  // U+00C2, U+00C3
    const bool follows = byte(2) == 0xC2 && byte(3) >= 0xA0 && byte(3) <= 0xBF;
    if (lead && follows) return true;
  }
  return false;
}

}  // namespace

void TeachingRules::text(const Place& place, std::string_view text) {
  if (!is_broken(text)) return;
  findings_.add("teaching-broken-text", place,
                "\"" + std::string(text.substr(0, 60)) + "\" was garbled by a wrong encoding");
}

void TeachingRules::head(const Head& head) {
  for (const auto& [line, written] : head.texts) {
    Place place;
    place.line = line;
    text(place, written);
  }
}

void TeachingRules::measure(const RawPart& part, const RawMeasure& measure) {
  tempo_ = tempo_ || !measure.measure.tempos.empty();
  chords_ = chords_ || !measure.measure.chords.empty();
  for (const RawNote& note : measure.notes) {
    if (note.kind == RawNote::Kind::rest) continue;
    notes_ = true;
    picking_fingers_ = picking_fingers_ || !note.plucks.empty();
  }
  for (const auto& [line, written] : measure.written->texts) text(place_in(part, measure, line), written);

  Last& last = last_[part.description.id];
  const Meter* const meter = measure.meter();
  if (measure.index == 0 && meter != nullptr && measure.extent < meter->length())
    last.pickup = measure.extent;
  last.known = measure.timed && meter != nullptr && !measure.notes.empty() && measure.index > 0;
  if (!last.known) return;
  last.place = place_in(part, measure, measure.line);
  last.extent = measure.extent;
  last.length = meter->length();
  const bool rests = std::all_of(measure.notes.begin(), measure.notes.end(),
                                 [](const RawNote& n) { return n.measure_rest; });
  if (rests) last.extent = last.length;
}

void TeachingRules::finish(const Head& head, const std::vector<const RawPart*>& parts) {
  const auto whole = [&](std::string_view slug, const char* text) { findings_.add(slug, {}, text); };
  if (trimmed(head.work.title).empty())
    whole("teaching-no-title", "neither a work title nor a movement title is given");
  if (!head.has_credit && trimmed(head.work.source).empty())
    whole("teaching-no-credit", "no composer, arranger, other creator or source is named");
  if (!head.has_rights) whole("teaching-no-rights", "there is no rights line");
  if (!notes_) return;
  if (!tempo_) whole("teaching-no-tempo", "neither a metronome mark nor a tempo for the ear is given");
  if (!chords_) whole("teaching-no-chords", "no measure has a chord symbol");
  if (!picking_fingers_) whole("teaching-no-picking-fingers", "no note names a picking finger");
  bool key = false, meter = false, tuning = false, banjo = false, tab = false;
  std::size_t heard = 0;
  for (const RawPart* part : parts) {
    key = key || part->key_seen;
    meter = meter || part->meter_seen;
    banjo = banjo || may_be_banjo(*part);
    for (const RawStaff& staff : part->staves) {
      tuning = tuning || staff.tuned_now() > 0;
      tab = tab || staff.tab_clef;
    }
    if (part->measures_read > 0) ++heard;
    const musicxml::PartDescription& described = part->description;
    if (described.listed && trimmed(described.name).empty()) {
      Place place;
      place.part = described.id;
      findings_.add("teaching-part-unnamed", place, "the part has an id and no name");
    }
  }
  if (!key) whole("teaching-no-key", "no part has a key");
  if (!meter) whole("teaching-no-meter", "no part has a meter");
  if (banjo && !tuning && !tab) whole("teaching-no-tuning", "no staff has a tuning");
  if (heard > 1)
    findings_.add("teaching-several-parts", {}, std::to_string(heard) + " parts are in the file");
  for (const auto& [id, last] : last_) {
    if (!last.known || last.extent >= last.length) continue;
    if (last.pickup > 0 && last.pickup + last.extent == last.length) continue;
    findings_.add("teaching-ends-inside-measure", last.place,
                  "the last measure lasts " + counted_as(last.extent * 4) + " quarter notes instead of " +
                      counted_as(last.length * 4));
  }
}

bool states(const midi::Scan& scan, midi::Meta type) {
  return std::any_of(scan.tracks.begin(), scan.tracks.end(), [type](const midi::ScannedTrack& track) {
    return std::any_of(track.metas.begin(), track.metas.end(),
                       [type](const midi::MetaEvent& meta) { return meta.type == type; });
  });
}

void teaching_rules(const Reading& reading, const midi::Scan& scan, Findings& findings) {
  using midi::Meta;
  const Work& work = reading.score.work;
  const std::size_t parts = reading.inventory.parts.size();
  const auto whole = [&](std::string_view slug, const char* text) { findings.add(slug, {}, text); };
  if (work.title.empty()) whole("teaching-no-title", "no track name or text gives a title");
  if (work.rights.empty()) whole("teaching-no-rights", "there is no copyright event");
  if (!states(scan, Meta::key_signature)) whole("teaching-no-key", "there is no key signature event");
  if (!states(scan, Meta::tempo)) whole("teaching-no-tempo", "there is no tempo event; players assume 120");
  if (!states(scan, Meta::time_signature))
    whole("teaching-no-meter", "there is no time signature event; players assume 4/4");
  if (parts > 1) findings.add("teaching-several-parts", {}, std::to_string(parts) + " parts are in the file");
}

}  // namespace fifthpeg::check
