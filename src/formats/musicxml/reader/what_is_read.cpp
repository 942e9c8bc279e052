#include "formats/musicxml/reader/what_is_read.hpp"

#include <algorithm>
#include <array>
#include <unordered_map>
#include <unordered_set>

#include "formats/musicxml/grammar.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

struct Row {
  std::string_view element, children, attributes;
};

constexpr auto rows = std::to_array<Row>({
    {"score-partwise", "work movement-title identification credit part-list part", "version"},
    {"score-timewise", "work movement-title identification credit part-list measure", "version"},
    {"work", "work-title", ""},
    {"identification", "creator rights source encoding miscellaneous", ""},
    {"part-list", "score-part", ""},

    {"attributes", "divisions key time clef staff-details transpose measure-style staves", ""},
    {"key", "fifths mode", "number symbol"},
    {"time", "beats beat-type senza-misura", "number symbol"},
    {"clef", "sign line clef-octave-change", "number symbol"},
    {"staff-details", "staff-type staff-lines staff-tuning capo", "number symbol"},
    {"staff-tuning", "tuning-step tuning-alter tuning-octave", "line"},
    {"transpose", "diatonic chromatic octave-change", "number symbol"},

    {"note",
     "pitch duration voice type staff notations dot chord rest time-modification tie grace lyric notehead "
     "unpitched cue instrument play",
     "print-object"},
    {"pitch", "step alter octave", ""},
    {"rest", "", "measure"},
    {"grace", "", "slash"},
    {"tie", "", "type"},
    {"lyric", "syllabic text elision", "number name"},
    {"play", "ipa mute semi-pitched other-play", ""},
    {"other-play", "", "type"},
    {"backup", "duration voice staff", ""},
    {"forward", "duration voice staff", ""},

    {"notations",
     "technical tied slur tuplet slide glissando articulations fermata arpeggiate non-arpeggiate dynamics",
     ""},
    {"technical",
     "string fret fingering pluck fingernails hammer-on pull-off bend harmonic open-string other-technical",
     ""},
    {"fingering", "", "substitution alternate"},
    {"hammer-on", "", "type number"},
    {"pull-off", "", "type number"},
    {"bend", "bend-alter pre-bend release", ""},
    {"harmonic", "natural sounding-pitch", ""},
    {"tied", "", "type number"},
    {"slur", "", "type number"},
    {"slide", "", "type number"},
    {"glissando", "", "type number"},
    {"tuplet", "tuplet-actual tuplet-normal", "type number"},
    {"tuplet-actual", "tuplet-number", ""},
    {"tuplet-normal", "tuplet-number", ""},
    {"articulations", "accent strong-accent staccatissimo spiccato staccato tenuto detached-legato", ""},
    {"strong-accent", "", "type"},
    {"arpeggiate", "", "direction"},

    {"direction", "direction-type offset staff voice sound", ""},
    {"direction-type", "words rehearsal segno coda dynamics metronome damp damp-all", ""},
    {"words", "", "xml:lang"},
    {"dynamics", "*", ""},
    {"metronome", "beat-unit beat-unit-dot beat-unit-tied per-minute", "print-object"},
    {"sound", "swing offset",
     "tempo dacapo dalsegno tocoda fine segno coda dynamics divisions forward-repeat"},
    {"swing", "straight first second swing-type", ""},

    {"harmony", "root kind bass degree offset inversion staff", ""},
    {"root", "root-step root-alter", ""},
    {"root-step", "", "text"},
    {"kind", "", "text"},
    {"bass", "bass-step bass-alter", ""},
    {"bass-step", "", "text"},
    {"degree", "degree-value degree-alter degree-type", ""},

    {"barline", "bar-style repeat ending segno coda", "location segno coda divisions"},
    {"repeat", "", "direction times"},
    {"ending", "", "number type"},
});

// Those that are read with no more than their text, if that.
constexpr std::string_view leaves =
    "measure-style type dot notehead text elision string fret pluck fingernails release open-string "
    "other-technical tuplet-number accent staccatissimo spiccato staccato tenuto detached-legato "
    "fermata non-arpeggiate rehearsal segno coda damp damp-all other-dynamics per-minute root-alter "
    "bass-alter degree-value degree-alter degree-type bar-style";

// clang-format off
constexpr auto layout = std::to_array<std::string_view>({
    "above", "accidental", "additional", "after-barline", "appearance", "arrangement", "beam",
    "bezier-offset", "bezier-offset2", "bezier-x", "bezier-x2", "bezier-y", "bezier-y2", "blank-page",
    "bottom-staff", "bracket", "bracket-degrees", "cancel", "cautionary", "color", "concert-score",
    "dash-length", "default-x", "default-y", "defaults", "dir", "display-octave", "display-step", "editorial",
    "enclosure", "encoder", "encoding-date", "encoding-description", "end-length", "end-line",
    "end-paragraph", "eyeglasses", "fan", "filled", "font-family", "font-size", "font-style", "font-weight",
    "group", "group-abbreviation", "group-abbreviation-display", "group-barline", "group-name",
    "group-name-display", "group-symbol", "group-time", "halign", "height", "id", "justify", "key-octave",
    "letter-spacing", "line-detail", "line-end", "line-height", "line-length", "line-shape", "line-through",
    "line-type", "location", "lyric-font", "lyric-language", "measure-distance", "measure-layout",
    "measure-numbering", "multiple-rest", "multiple-rest-always", "multiple-rest-range", "music-font", "name",
    "new-page", "new-system", "non-controlling", "note-size", "notehead-text", "number", "octave-shift",
    "orientation", "overline", "page-layout", "page-number", "parentheses", "parentheses-degrees",
    "part-abbreviation", "part-abbreviation-display", "part-group", "part-name-display", "part-symbol",
    "placement", "plus-minus", "position", "print", "print-dot", "print-frame", "print-leger", "print-lyric",
    "print-object", "print-spacing", "relative-x", "relative-y", "repeater", "rotation", "scaling",
    "separator", "show-frets", "show-number", "show-type", "size", "smufl", "software", "space-length",
    "spread", "stack-degrees", "staff-divide", "staff-layout", "staff-size", "staff-spacing", "stem",
    "supports", "system", "system-distance", "system-dividers", "system-layout", "system-margins", "text-x",
    "text-y", "top-staff", "tuplet-dot", "tuplet-type", "unbroken", "underline", "use-dots", "use-stems",
    "use-symbols", "valign", "width", "winged", "word-font", "xml:lang", "xml:space", "xmlns", "xmlns:xlink",
});
// clang-format on

std::vector<std::string_view> split(std::string_view names) {
  std::vector<std::string_view> found;
  while (!names.empty()) {
    const std::size_t end = std::min(names.find(' '), names.size());
    found.push_back(names.substr(0, end));
    names.remove_prefix(std::min(end + 1, names.size()));
  }
  return found;
}

}  // namespace

const ReadInside* read_inside(std::string_view element) {
  static const auto table = [] {
    std::unordered_map<std::string_view, ReadInside> made;
    for (const Row& row : rows) made[row.element] = {split(row.children), split(row.attributes)};
    for (const std::string_view leaf : split(leaves)) made[leaf] = {};
    return made;
  }();
  const auto found = table.find(element);
  return found == table.end() ? nullptr : &found->second;
}

Unread unread_kind(std::string_view name) {
  static const std::unordered_set<std::string_view> looks(layout.begin(), layout.end());
  if (looks.contains(name)) return Unread::layout;
  return grammar::is_name(name) ? Unread::placeless : Unread::unknown;
}

}  // namespace fifthpeg::musicxml::reader
