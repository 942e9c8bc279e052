// Reading: what the reader and the hands repair, assume and leave out. They report it by themselves; here it
// becomes findings, but for what another rule says in its own words, and for what is no fault of the file.
#include <algorithm>
#include <array>
#include <string>

#include "check/families.hpp"

namespace fifthpeg::check {
namespace {

// An entry of a report that another rule finds by itself.
struct ToldElsewhere {
  std::string_view entry;
  std::string_view rules;  // names of rules and families, apart by blanks
  // Where its finding stands: beside the entry, or once for the whole file.
  enum class Where : std::int8_t { beside, once } where = Where::beside;
};

constexpr auto beside = ToldElsewhere::Where::beside;
constexpr auto once = ToldElsewhere::Where::once;

constexpr std::string_view placement_rules =
    "tab-fret-contradicts-pitch tab-fret-not-there tab-fret-past-neck tab-string-not-there";

constexpr auto told_elsewhere = std::to_array<ToldElsewhere>({
    {"midi-bad-meta", "midi-tempo midi-meter", once},
    {"midi-hanging-note", "midi-hanging-note", once},
    {"midi-note-off-without-note", "midi-stray-note-off", once},
    {"midi-overlapping-note", "midi-overlapping-note", once},
    {"midi-riff-length", "midi-cut-off", once},
    {"musicxml-backup", "time-backup-too-far", beside},
    {"musicxml-bare-ampersand", "grammar-not-xml", once},
    {"musicxml-bend", "grammar", beside},
    {"musicxml-capo", "grammar", beside},
    {"musicxml-chord-alone", "time-chord-alone", beside},
    {"musicxml-copy-differs", "tab-staves-disagree", beside},
    {"musicxml-copy-strings", "tab-staves-disagree", beside},
    {"musicxml-degree", "grammar", beside},
    {"musicxml-divisions", "grammar", beside},
    {"musicxml-divisions-missing", "time-no-divisions", once},
    {"musicxml-duration", "grammar", beside},
    {"musicxml-duration-missing", "grammar", beside},
    {"musicxml-encoding", "file-encoding-lies", once},
    {"musicxml-encoding-broken", "file-encoding-broken", once},
    {"musicxml-ending", "grammar", beside},
    {"musicxml-ending-without-start", "pairs-ending", beside},
    {"musicxml-entity", "grammar-unfetched-entity", once},
    {"musicxml-fifth-fret-counting", "tab-fifth-numbering-mixed", once},
    {"musicxml-fifth-frets", "tab-fifth-own-nut tab-fifth-numbering-mixed", once},
    {"musicxml-fingering", "grammar", beside},
    {"musicxml-forbidden-character", "grammar-not-xml", once},
    {"musicxml-fret-alone", "tab-no-placement", beside},
    {"musicxml-frets", "tab-fret-past-neck", once},
    {"musicxml-key", "grammar", beside},
    {"musicxml-key-estimated", "teaching-no-key", once},
    {"musicxml-kind", "grammar", beside},
    {"musicxml-measure-long", "time-measure-too-long", beside},
    {"musicxml-meter", "grammar", beside},
    {"musicxml-octave", "tab-all-pitches-off tab-string-off", once},
    {"musicxml-part-unlisted", "grammar-dangling-reference", once},
    {"musicxml-pitch", "grammar", beside},
    {"musicxml-placement", placement_rules, beside},
    {"musicxml-placement", "tab-all-pitches-off tab-string-off", once},
    {"musicxml-pluck", "technique-pluck", beside},
    {"musicxml-printed-value", "time-type-contradicts-duration", beside},
    {"musicxml-repeat-times", "grammar", beside},
    {"musicxml-slur-alone", "pairs-slur", beside},
    {"musicxml-string", "tab-string-not-there", beside},
    {"musicxml-string-fret", "grammar", beside},
    {"musicxml-string-twice", "tab-two-on-one-string", beside},
    {"musicxml-swing", "grammar", beside},
    {"musicxml-tempo", "grammar", beside},
    {"musicxml-tie-alone", "pairs-tie pairs-tie-pitch", beside},
    {"musicxml-title-credit", "teaching-no-title", once},
    {"musicxml-transpose", "grammar", beside},
    {"musicxml-tuning", "grammar", beside},
    {"musicxml-tuning-derived", "tab-no-tuning tab-all-pitches-off tab-string-off", once},
    {"musicxml-tuning-octave", "tab-all-pitches-off tab-string-off tab-tuning-strange", once},
    {"musicxml-unpitched", "grammar", beside},
    {"placement-contradicts-pitch", placement_rules, beside},
    {"placement-contradicts-pitch", "tab-all-pitches-off tab-string-off", once},
    {"placements-cannot-be-held", "hands-cannot-hold", beside},
    {"fingers-cannot-be-used", "hands-finger-twice hands-cannot-hold", beside},
    {"picking-fingers-cannot-be-used", "hands-pick-twice hands-picking-finger-too-fast", beside},
});

// Losses and choices that say nothing against the file: sound notation that a banjo score does not keep, or
// has another form for; and measures that may be short for a reason that the rules on time know.
constexpr auto no_fault = std::to_array<std::string_view>({"musicxml-bar-style",
                                                           "musicxml-chord-lengths",
                                                           "musicxml-creator",
                                                           "musicxml-cue",
                                                           "musicxml-element-notehead",
                                                           "musicxml-fermata-shape",
                                                           "musicxml-glissando",
                                                           "musicxml-instrument",
                                                           "musicxml-key-of-staff",
                                                           "musicxml-key-non-traditional",
                                                           "musicxml-layout",
                                                           "musicxml-measure-short",
                                                           "musicxml-meter-mixed",
                                                           "musicxml-miscellaneous",
                                                           "musicxml-movement-title",
                                                           "musicxml-non-arpeggiate",
                                                           "musicxml-part",
                                                           "musicxml-processing-instruction",
                                                           "musicxml-senza-misura",
                                                           "musicxml-slur-between-voices",
                                                           "musicxml-sound-offset",
                                                           "musicxml-staccato",
                                                           "musicxml-swing-changes",
                                                           "musicxml-tab-part",
                                                           "musicxml-unison",
                                                           "musicxml-voices",
                                                           "slur-not-played"});

bool says_nothing_against_the_file(const Entry& entry) {
  if (entry.kind == EntryKind::repair) return false;
  // An element or an attribute that has no place in a banjo score.
  const std::string_view slug = entry.slug;
  // Of MIDI, and of the hands, what is decided and left out is no fault of who wrote the file.
  if (slug.starts_with("midi-")) return true;
  if (entry.kind == EntryKind::decision && !slug.starts_with("musicxml-") && !slug.starts_with("text-tab-"))
    return true;
  return slug.starts_with("musicxml-element-") || slug.starts_with("musicxml-attribute-") ||
         std::find(no_fault.begin(), no_fault.end(), slug) != no_fault.end();
}

std::string_view rule_for(EntryKind kind) {
  return kind == EntryKind::repair ? "reading-repaired"
         : kind == EntryKind::loss ? "reading-left-out"
                                   : "reading-assumed";
}

// Words with a blank between them.
std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    words.emplace_back(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return words;
}

// Whether another rule says it: one that was found there, or that nobody wants to hear of.
bool is_told(const Entry& entry, const Place& place, const Findings& findings) {
  // A rule of MIDI bytes has the slug of the entry.
  if (find_rule(entry.slug) != nullptr) return true;
  return std::any_of(told_elsewhere.begin(), told_elsewhere.end(), [&](const ToldElsewhere& told) {
    if (told.entry != entry.slug) return false;
    const std::vector<std::string> names = words_of(told.rules);
    return std::any_of(names.begin(), names.end(), [&](const std::string& name) {
      return !findings.takes_any(name) ||
             (told.where == once ? findings.has(name) : findings.has(name, place));
    });
  });
}

}  // namespace

void reading_rules(const Report& report, const Score& score, const Origin& origin, Findings& findings) {
  for (const Entry& entry : report.entries()) {
    if (says_nothing_against_the_file(entry)) continue;
    std::vector<Place> places = entry.places;
    if (places.empty()) places.emplace_back();
    for (Place& reported : places) {
      const Place place = in_file(std::move(reported), score, origin);
      if (!is_told(entry, place, findings)) findings.add(rule_for(entry.kind), place, entry.text);
    }
  }
}

Place in_file(Place place, const Score& score, const Origin& origin) {
  place.part = origin.part;
  if (place.line > 0 || place.measure.empty()) return place;
  const std::size_t count = std::min(score.measures.size(), origin.lines.size());
  for (std::size_t m = 0; m < count; ++m) {
    if (score.measures[m].number != place.measure) continue;
    place.line = origin.lines[m];
    break;
  }
  return place;
}

}  // namespace fifthpeg::check
