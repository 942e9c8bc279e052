#include "formats/musicxml/names.hpp"

#include <array>
#include <cstddef>

namespace fifthpeg::musicxml {
namespace {

struct Entry {
  std::string_view text;
  Name name = Name::unknown;
};

// clang-format off

// Element and attribute names as in MusicXML 4.0, W3C Community Group Report, June 2021.
constexpr auto acted_upon = std::to_array<Entry>({
    {"accent", Name::accent}, {"actual-notes", Name::actual_notes}, {"alter", Name::alter},
    {"alternate", Name::alternate}, {"arpeggiate", Name::arpeggiate},
    {"articulations", Name::articulations}, {"artificial", Name::artificial},
    {"attributes", Name::attributes}, {"backup", Name::backup}, {"bar-style", Name::bar_style},
    {"barline", Name::barline}, {"base-pitch", Name::base_pitch}, {"bass", Name::bass},
    {"bass-alter", Name::bass_alter}, {"bass-step", Name::bass_step}, {"beat-type", Name::beat_type},
    {"beat-unit", Name::beat_unit}, {"beat-unit-dot", Name::beat_unit_dot},
    {"beat-unit-tied", Name::beat_unit_tied}, {"beats", Name::beats}, {"bend", Name::bend},
    {"bend-alter", Name::bend_alter}, {"cancel", Name::cancel}, {"capo", Name::capo},
    {"chord", Name::chord}, {"chromatic", Name::chromatic}, {"clef", Name::clef}, {"coda", Name::coda},
    {"creator", Name::creator}, {"credit", Name::credit}, {"credit-type", Name::credit_type},
    {"credit-words", Name::credit_words}, {"cue", Name::cue}, {"dacapo", Name::dacapo},
    {"dalsegno", Name::dalsegno}, {"damp", Name::damp}, {"damp-all", Name::damp_all},
    {"degree", Name::degree}, {"degree-alter", Name::degree_alter}, {"degree-type", Name::degree_type},
    {"degree-value", Name::degree_value}, {"detached-legato", Name::detached_legato},
    {"diatonic", Name::diatonic}, {"direction", Name::direction}, {"direction-type", Name::direction_type},
    {"divisions", Name::divisions}, {"dot", Name::dot}, {"double", Name::double_},
    {"duration", Name::duration}, {"dynamics", Name::dynamics}, {"elision", Name::elision},
    {"encoding", Name::encoding}, {"ending", Name::ending}, {"extend", Name::extend},
    {"fermata", Name::fermata}, {"fifths", Name::fifths}, {"fine", Name::fine},
    {"fingering", Name::fingering}, {"fingernails", Name::fingernails}, {"first", Name::first},
    {"forward", Name::forward}, {"forward-repeat", Name::forward_repeat}, {"fret", Name::fret},
    {"glissando", Name::glissando}, {"grace", Name::grace}, {"hammer-on", Name::hammer_on},
    {"harmonic", Name::harmonic}, {"harmony", Name::harmony}, {"id", Name::id},
    {"identification", Name::identification}, {"implicit", Name::implicit},
    {"instrument", Name::instrument}, {"instrument-name", Name::instrument_name},
    {"instrument-sound", Name::instrument_sound}, {"interchangeable", Name::interchangeable},
    {"inversion", Name::inversion}, {"key", Name::key}, {"kind", Name::kind}, {"line", Name::line},
    {"location", Name::location}, {"lyric", Name::lyric}, {"measure", Name::measure},
    {"measure-style", Name::measure_style}, {"metronome", Name::metronome},
    {"metronome-note", Name::metronome_note}, {"midi-channel", Name::midi_channel},
    {"midi-device", Name::midi_device}, {"midi-instrument", Name::midi_instrument},
    {"midi-program", Name::midi_program}, {"midi-unpitched", Name::midi_unpitched},
    {"miscellaneous", Name::miscellaneous}, {"miscellaneous-field", Name::miscellaneous_field},
    {"mode", Name::mode}, {"movement-title", Name::movement_title}, {"name", Name::name},
    {"natural", Name::natural}, {"non-arpeggiate", Name::non_arpeggiate}, {"normal-dot", Name::normal_dot},
    {"normal-notes", Name::normal_notes}, {"normal-type", Name::normal_type},
    {"notations", Name::notations}, {"note", Name::note}, {"notehead", Name::notehead},
    {"number", Name::number}, {"octave", Name::octave}, {"octave-change", Name::octave_change},
    {"offset", Name::offset}, {"open-string", Name::open_string}, {"other-dynamics", Name::other_dynamics},
    {"other-technical", Name::other_technical}, {"part", Name::part}, {"part-list", Name::part_list},
    {"part-name", Name::part_name}, {"per-minute", Name::per_minute}, {"pitch", Name::pitch},
    {"pizzicato", Name::pizzicato}, {"pluck", Name::pluck}, {"pre-bend", Name::pre_bend},
    {"print-object", Name::print_object}, {"pull-off", Name::pull_off}, {"rehearsal", Name::rehearsal},
    {"release", Name::release}, {"repeat", Name::repeat}, {"rest", Name::rest}, {"rights", Name::rights},
    {"root", Name::root}, {"root-alter", Name::root_alter}, {"root-step", Name::root_step},
    {"score-instrument", Name::score_instrument}, {"score-part", Name::score_part},
    {"score-partwise", Name::score_partwise}, {"score-timewise", Name::score_timewise},
    {"second", Name::second}, {"segno", Name::segno}, {"senza-misura", Name::senza_misura},
    {"sign", Name::sign}, {"slash", Name::slash}, {"slide", Name::slide}, {"slur", Name::slur},
    {"sound", Name::sound}, {"sounding-pitch", Name::sounding_pitch}, {"source", Name::source},
    {"spiccato", Name::spiccato}, {"staccatissimo", Name::staccatissimo}, {"staccato", Name::staccato},
    {"staff", Name::staff}, {"staff-details", Name::staff_details}, {"staff-lines", Name::staff_lines},
    {"staff-tuning", Name::staff_tuning}, {"staff-type", Name::staff_type}, {"staves", Name::staves},
    {"step", Name::step}, {"straight", Name::straight}, {"string", Name::string},
    {"strong-accent", Name::strong_accent}, {"substitution", Name::substitution}, {"swing", Name::swing},
    {"swing-style", Name::swing_style}, {"swing-type", Name::swing_type}, {"syllabic", Name::syllabic},
    {"symbol", Name::symbol}, {"technical", Name::technical}, {"tempo", Name::tempo},
    {"tenuto", Name::tenuto}, {"text", Name::text}, {"tie", Name::tie}, {"tied", Name::tied},
    {"time", Name::time}, {"time-modification", Name::time_modification}, {"time-only", Name::time_only},
    {"times", Name::times}, {"tocoda", Name::tocoda}, {"touching-pitch", Name::touching_pitch},
    {"transpose", Name::transpose}, {"tuning-alter", Name::tuning_alter},
    {"tuning-octave", Name::tuning_octave}, {"tuning-step", Name::tuning_step}, {"tuplet", Name::tuplet},
    {"tuplet-actual", Name::tuplet_actual}, {"tuplet-dot", Name::tuplet_dot},
    {"tuplet-normal", Name::tuplet_normal}, {"tuplet-number", Name::tuplet_number},
    {"tuplet-type", Name::tuplet_type}, {"type", Name::type}, {"unpitched", Name::unpitched},
    {"value", Name::value}, {"version", Name::version}, {"voice", Name::voice}, {"words", Name::words},
    {"work", Name::work}, {"work-title", Name::work_title},
});

constexpr auto layout = std::to_array<std::string_view>({
    "accidental", "above", "additional", "after-barline", "appearance", "arrangement", "beam",
    "bezier-offset", "bezier-offset2", "bezier-x", "bezier-x2", "bezier-y", "bezier-y2", "blank-page",
    "bottom-staff", "bracket", "bracket-degrees", "cautionary", "color", "concert-score", "dash-length",
    "default-x", "default-y", "defaults", "dir", "display-octave", "display-step", "editorial",
    "enclosure", "encoder", "encoding-date", "encoding-description", "end-length", "end-line",
    "end-paragraph", "eyeglasses", "fan", "filled", "font-family", "font-size", "font-style",
    "font-weight", "group-abbreviation", "group-abbreviation-display", "group-barline", "group-name",
    "group-name-display", "group-symbol", "group-time", "halign", "height", "justify", "key-octave",
    "letter-spacing", "line-detail", "line-end", "line-height", "line-length", "line-shape",
    "line-through", "line-type", "lyric-font", "lyric-language", "measure-distance", "measure-layout",
    "measure-numbering", "multiple-rest", "multiple-rest-always", "multiple-rest-range", "music-font",
    "new-page", "new-system", "non-controlling", "note-size", "notehead-text", "orientation", "overline",
    "page-layout", "page-number", "parentheses", "parentheses-degrees", "part-abbreviation",
    "part-abbreviation-display", "part-group", "part-name-display", "part-symbol", "placement",
    "plus-minus", "position", "print", "print-dot", "print-frame", "print-leger", "print-lyric",
    "print-spacing", "relative-x", "relative-y", "repeater", "rotation", "scaling", "separator",
    "show-frets", "show-number", "show-type", "size", "smufl", "software", "spread", "stack-degrees",
    "staff-divide", "staff-layout", "staff-size", "staff-spacing", "stem", "supports", "system",
    "system-distance", "system-dividers", "system-layout", "system-margins", "text-x", "text-y",
    "top-staff", "unbroken", "underline", "use-dots", "use-stems", "use-symbols", "valign", "width",
    "winged", "space-length", "octave-shift", "word-font", "xml:lang", "xml:space", "xmlns", "xmlns:xlink",
    "group",
});

constexpr auto placeless = std::to_array<std::string_view>({
    "abbreviated", "accelerate", "accidental-mark", "accidental-text", "accord", "accordion-high",
    "accordion-low", "accordion-middle", "accordion-registration", "after-jump", "approach", "arrow",
    "arrow-direction", "arrow-style", "arrowhead", "assess", "attack", "attribute", "barre",
    "bass-separator", "beat-repeat", "beater", "bookmark", "bottom-margin", "brass-bend", "breath-mark",
    "caesura", "circular-arrow", "clef-octave-change", "credit-image", "credit-symbol", "damper-pedal",
    "dashed-circle", "dashes", "delayed-inverted-turn", "delayed-turn", "departure", "directive",
    "display-text", "distance", "doit", "double-tongue", "down-bow", "effect", "element", "elevation",
    "end-dynamics", "ensemble", "except-voice", "f", "falloff", "feature", "ff", "fff", "ffff", "fffff",
    "ffffff", "figure", "figure-number", "figured-bass", "first-beat", "first-fret", "flip", "footnote",
    "for-part", "fp", "frame", "frame-frets", "frame-note", "frame-strings", "function", "fz", "glass",
    "glyph", "golpe", "group-link", "grouping", "half-muted", "hand", "handbell", "harmon-closed",
    "harmon-mute", "harp-pedals", "haydn", "heel", "hole", "hole-closed", "hole-shape", "hole-type",
    "humming", "image", "instrument-abbreviation", "instrument-change", "instrument-link", "instruments",
    "inverted-mordent", "inverted-turn", "inverted-vertical-turn", "ipa", "key-accidental", "key-alter",
    "key-step", "last-beat", "latency", "laughing", "left-divider", "left-margin", "level", "line-width",
    "link", "listen", "listening", "long", "make-time", "measure-repeat", "member-of", "membrane", "metal",
    "metronome-arrows", "metronome-beam", "metronome-dot", "metronome-relation", "metronome-tied",
    "metronome-tuplet", "metronome-type", "mf", "midi-bank", "midi-name", "millimeters", "mordent",
    "movement-number", "mp", "mute", "n", "niente", "numeral", "numeral-alter", "numeral-fifths",
    "numeral-key", "numeral-mode", "numeral-root", "open", "opus", "ornaments", "other-appearance",
    "other-articulation", "other-direction", "other-listen", "other-listening", "other-notation",
    "other-ornament", "other-percussion", "other-play", "p", "page", "page-height", "page-margins",
    "page-width", "pan", "part-clef", "part-link", "part-transpose", "pedal", "pedal-alter", "pedal-step",
    "pedal-tuning", "percussion", "pf", "pitched", "play", "player", "player-name", "plop", "port", "pp",
    "ppp", "pppp", "ppppp", "pppppp", "prefix", "principal-voice", "reference", "relation", "rf", "rfz",
    "right-divider", "right-margin", "schleifer", "scoop", "scordatura", "second-beat", "semi-pitched",
    "sf", "sffz", "sfp", "sfpp", "sfz", "sfzp", "shake", "shape", "slash-dot", "slash-type", "slashes",
    "smear", "snap-pizzicato", "soft-accent", "soft-pedal", "solo", "sostenuto-pedal", "staff-distance",
    "start-note", "steal-time-following", "steal-time-previous", "stick", "stick-location",
    "stick-material", "stick-type", "stopped", "stress", "string-mute", "suffix", "sync", "tap", "tenths",
    "thumb-position", "time-relation", "timpani", "tip", "toe", "top-margin", "top-system-distance",
    "tremolo", "trill-mark", "trill-step", "triple-tongue", "turn", "two-note-turn", "unplayed",
    "unstress", "up-bow", "vertical-turn", "virtual-instrument", "virtual-library", "virtual-name",
    "volume", "wait", "wavy-line", "wedge", "with-bar", "wood", "work-number",
});

// clang-format on

constexpr std::size_t slots = 2048;  // a power of two, about four times the number of names

constexpr std::uint32_t hash(std::string_view text) {  // FNV-1a
  std::uint32_t value = 2166136261U;
  for (const char c : text) value = (value ^ static_cast<unsigned char>(c)) * 16777619U;
  return value ^ (value >> 15);
}

// Open addressing, filled by the compiler.
constexpr std::array<Entry, slots> make_table() {
  std::array<Entry, slots> table{};
  const auto put = [&table](std::string_view text, Name name) {
    std::size_t slot = hash(text) % slots;
    while (!table[slot].text.empty()) slot = (slot + 1) % slots;
    table[slot] = {text, name};
  };
  for (const Entry& entry : acted_upon) put(entry.text, entry.name);
  for (const std::string_view text : layout) put(text, Name::layout);
  for (const std::string_view text : placeless) put(text, Name::placeless);
  return table;
}

constexpr std::array<Entry, slots> table = make_table();

}  // namespace

Name name_of(const char* name) {
  const std::string_view text(name);
  for (std::size_t slot = hash(text) % slots; !table[slot].text.empty(); slot = (slot + 1) % slots) {
    if (table[slot].text == text) return table[slot].name;
  }
  return Name::unknown;
}

}  // namespace fifthpeg::musicxml
