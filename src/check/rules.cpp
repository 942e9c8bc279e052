#include <algorithm>
#include <array>

#include "fifthpeg/check.hpp"

namespace fifthpeg {
namespace {

constexpr std::string_view smf_spec = "Standard MIDI Files 1.0 (RP-001)";
constexpr std::string_view midi_spec = "MIDI 1.0 Detailed Specification";
constexpr std::string_view container_spec = "MusicXML 4.0, compressed files";
constexpr std::string_view grammar_spec = "MusicXML 4.0 and XML 1.0; schemas/musicxml.rnc";
constexpr std::string_view common = "common practice";
constexpr std::string_view reader = "what reading the file for a conversion reports";
constexpr std::string_view hand_model = "this program's model of the hands, from memory";

// What fixes many things.
constexpr std::string_view export_again = "Export the file again.";
constexpr std::string_view close_or_remove = "Add the other end, or remove this one.";

}  // namespace

// One line a rule: slug, family, severity, what is wrong, how to fix it, source, whether fix() does.
const std::vector<Rule>& rules() {
  using enum RuleFamily;
  using enum Severity;
  static const std::vector<Rule> all{
      // ---- MIDI bytes ----
      {"midi-no-header", midi_bytes, error,
       "A MIDI file begins with the four letters MThd, and this one does not.", export_again, smf_spec},
      {"midi-header-length", midi_bytes, error, "The header chunk is not six bytes long.", export_again,
       smf_spec},
      {"midi-format", midi_bytes, error, "The header states a format that does not exist.",
       "Export the file as format 0 or 1.", smf_spec},
      {"midi-division", midi_bytes, error, "The header does not say how long a tick is.", export_again,
       smf_spec},
      {"midi-cut-off", midi_bytes, error, "The file or a track ends in the middle of something.",
       "Copy or download the file again, or export it again.", smf_spec},
      {"midi-no-chunk", midi_bytes, error, "More tracks are announced, and no chunk begins here.",
       export_again, smf_spec},
      {"midi-no-tracks", midi_bytes, error, "There is no track in the file.", export_again, smf_spec},
      {"midi-track-count", midi_bytes, error, "The header states another number of tracks than there are.",
       "Export the file again, or correct bytes 10 and 11.", smf_spec},
      {"midi-format-0-tracks", midi_bytes, error, "A file of format 0 has more than one track.",
       "Export the file as format 1.", smf_spec},
      {"midi-track-length", midi_bytes, error, "A track states more bytes than there are.", export_again,
       smf_spec},
      {"midi-long-number", midi_bytes, error, "A variable-length number has more than four bytes.",
       export_again, smf_spec},
      {"midi-no-status", midi_bytes, error,
       "A data byte stands where an event must begin with its status byte.", export_again, smf_spec},
      {"midi-status", midi_bytes, error, "A status byte has no meaning.", export_again, midi_spec},
      {"midi-data-byte", midi_bytes, error, "A data byte is above 127.", export_again, midi_spec},
      {"midi-meta-type", midi_bytes, error, "A meta event has a type above 127.", export_again, smf_spec},
      {"midi-running-status", midi_bytes, warning,
       "A message leaves out its status byte after a meta or system exclusive event, which ends running "
       "status.",
       "Export the file with full status bytes.", smf_spec},
      {"midi-system-message", midi_bytes, error, "A system common or real-time message stands in the file.",
       "Remove it, or export the file again.", smf_spec},
      {"midi-no-end-of-track", midi_bytes, error, "A track has no end-of-track event.",
       "Add the bytes 00 FF 2F 00 at its end.", smf_spec, true},
      {"midi-early-end", midi_bytes, error, "A track continues after its end-of-track event.",
       "Move the event to the end of the track, or remove what follows it.", smf_spec},
      {"midi-bytes-after-end", midi_bytes, warning, "Bytes follow the last track.", "Remove them.", smf_spec},
      {"midi-tempo", midi_bytes, error,
       "A tempo is zero, broken, or unplayable: below 10 or above 500 quarter notes a minute.",
       "Set a playable tempo.", "RP-001, set tempo; limits from memory"},
      {"midi-meter", midi_bytes, error, "A meter has no beats, or a beat that is not a note value.",
       "Set the meter that the tune has.", "RP-001, time signature"},
      {"midi-hanging-note", midi_bytes, warning, "A note has no note-off.", "Add its note-off where it ends.",
       midi_spec},
      {"midi-overlapping-note", midi_bytes, note,
       "A key is struck again on its channel while it still sounds.",
       "End the first note before the second begins.", midi_spec},
      {"midi-stray-note-off", midi_bytes, note, "A note-off has no note to end.", "Remove it.", midi_spec},
      {"midi-bend-without-range", midi_bytes, note,
       "Pitch is bent on a channel that never states its bend range; players assume two half steps.",
       "State the range: controllers 101 0, 100 0, then 6 with the half steps.", "MIDI 1.0, RPN 0"},

      // ---- container ----
      {"file-unknown", container, error, "The file is neither MIDI nor MusicXML nor tab.",
       "Export MIDI or MusicXML from the program that made it.", "the formats' own first bytes or lines"},
      {"file-encoding-lies", container, warning, "The file states one encoding and is in another.",
       "Save it as UTF-8, and have it say so.", "XML 1.0, 4.3.3"},
      {"file-encoding-broken", container, error, "The file has bytes that are not valid in its encoding.",
       "Save the file as UTF-8 from the program that made it.", "XML 1.0, 4.3.3"},
      {"file-encoding-unknown", container, error, "The encoding that the file states is not supported.",
       "Save it as UTF-8.", "XML 1.0, 4.3.3"},
      {"file-too-large", container, error,
       "The file, or what an archive unpacks to, is larger than the limit.",
       "Raise the limit if it is meant to be so large.", "a limit of this program"},
      {"mxl-damaged", container, error, "The archive is damaged, cut off or encrypted.",
       "Copy or download it again, or export it again.", "ZIP, ISO/IEC 21320-1"},
      {"mxl-no-container", container, error, "The archive has no META-INF/container.xml.",
       "Export it again, or add the container.", container_spec},
      {"mxl-container", container, error, "The container does not say which file is the score.",
       "Name the score in rootfiles/rootfile, as its full-path.", container_spec},
      {"mxl-container-grammar", container, warning,
       "The container has something that its grammar does not allow.", "Export it again.",
       "MusicXML 4.0, container.xsd; schemas/container.rnc"},
      {"mxl-no-rootfile", container, error, "The container names a score that the archive does not hold.",
       "Correct the full-path, or add the file.", container_spec},
      {"mxl-media-type", container, warning, "The first rootfile has a media type that is not MusicXML's.",
       "Write application/vnd.recordare.musicxml+xml, or leave the attribute out.", container_spec},
      {"mxl-mimetype", container, warning,
       "The archive's mimetype file says something else, or is not the first entry, or is compressed.",
       "Write application/vnd.recordare.musicxml into it, first and without compression.", container_spec},
      {"mxl-path", container, error, "The archive has an entry whose path leads out of it.",
       "Do not trust the archive; export it again.", "ISO/IEC 21320-1"},

      // ---- grammar ----
      {"grammar-not-xml", grammar, error, "The file is not well-formed XML.", export_again, grammar_spec},
      {"grammar-too-much", grammar, error,
       "Something is nested too deeply, too long, or there is too much of it.", export_again,
       "limits of this program"},
      {"grammar-wrong-root", grammar, error, "The outermost element is not one that a score begins with.",
       "Export the file as MusicXML.", grammar_spec},
      {"grammar-unknown-element", grammar, error, "An element is inside one that never has it.",
       "Remove it, or correct its name.", grammar_spec},
      {"grammar-misplaced-element", grammar, error, "An element is out of order.", "Move it to its place.",
       grammar_spec},
      {"grammar-missing-element", grammar, error, "An element lacks something that it must hold.",
       "Add what is missing.", grammar_spec},
      {"grammar-unexpected-text", grammar, error, "Text is where none is allowed.", "Remove it.",
       grammar_spec},
      {"grammar-bad-value", grammar, error, "A value is not one of those allowed.", "Correct the value.",
       grammar_spec},
      {"grammar-unknown-attribute", grammar, error, "An element has an attribute that it never has.",
       "Remove it.", grammar_spec},
      {"grammar-missing-attribute", grammar, error, "An element lacks an attribute that it must have.",
       "Add it.", grammar_spec},
      {"grammar-repeated-id", grammar, error, "Two elements have the same id.", "Give each its own.",
       grammar_spec},
      {"grammar-dangling-reference", grammar, error, "Something refers to an id that the file does not have.",
       "Correct the reference, or add the element.", grammar_spec},
      {"grammar-unfetched-entity", grammar, error,
       "The file uses an entity of another file, which is not fetched.", "Write the text itself.",
       grammar_spec},
      {"grammar-older-version", grammar, note,
       "The file is of another version, and was judged by what 4.0 still allows.",
       "Nothing needs to be done; an export as 4.0 is judged by its own rules.",
       "MusicXML 4.0, version attribute"},

      // ---- time ----
      {"time-no-divisions", time, error,
       "There are durations, and nothing says how many make a quarter note.",
       "State divisions in the first attributes of the part.", "MusicXML 4.0, divisions", true},
      {"time-measure-too-long", time, warning, "A measure holds more than its meter.",
       "Shorten a note, or change the meter.", common},
      {"time-measure-too-short", time, warning,
       "A measure holds less than its meter, and no neighbor or pickup makes up for it.",
       "Add what is missing as a rest, or mark the measure as implicit.", common},
      {"time-pickup-unmarked", time, note, "The first measure is a pickup and is not marked as one.",
       "Mark it implicit=\"yes\".", "MusicXML 4.0, implicit", true},
      {"time-voices-overlap", time, note, "A note of a voice begins before the one before it has ended.",
       "Correct the durations, or put one of the notes into another voice.", "MusicXML 4.0, voice"},
      {"time-voice-hole", time, note, "The only voice of a measure has a gap where a rest should be.",
       "Write the rest.", common},
      {"time-type-contradicts-duration", time, error, "What is printed for a note is not how long it lasts.",
       "Correct the type, the dots or the tuplet, or else the duration.", "MusicXML 4.0, type and duration"},
      {"time-no-type", time, note, "A note has no printed value.", "State its type.", "MusicXML 4.0, type",
       true},
      {"time-backup-too-far", time, error,
       "The notes of a staff or voice are shorter than what the file goes back by to begin the next one "
       "(<backup>).",
       "Add the note or rest that is missing, or correct the duration of the backup.",
       "MusicXML 4.0, backup"},
      {"time-chord-alone", time, error, "A further note of a chord follows no note.",
       "Remove its chord element, or move it after its chord.", "MusicXML 4.0, chord"},
      {"time-chord-longer", time, warning, "A further note of a chord is longer than the chord's first.",
       "Give both the same duration.", "MusicXML 4.0, chord"},

      // ---- pairs ----
      {"pairs-tie", pairs, warning, "A tie has only one end.", close_or_remove, "MusicXML 4.0, tie and tied",
       true},
      {"pairs-tie-pitch", pairs, error, "A tie joins two notes of different pitch.",
       "Make it a slur, or correct the pitch.", "MusicXML 4.0, tie"},
      {"pairs-tie-not-shown", pairs, warning, "A tie sounds and is not printed.",
       "Add the tied element that belongs to its tie.", "MusicXML 4.0, tie and tied", true},
      {"pairs-tie-not-heard", pairs, warning, "A note is tied for the eye and not for the ear.",
       "Add the tie element that belongs to its tied; if it is no tie, make it a slur.",
       "MusicXML 4.0, tie and tied"},
      {"pairs-slur", pairs, warning, "A slur has only one end.", close_or_remove, "MusicXML 4.0, slur"},
      {"pairs-slide", pairs, warning, "A slide has only one end.", close_or_remove, "MusicXML 4.0, slide"},
      {"pairs-hammer-on", pairs, warning, "A hammer-on has only one end.", close_or_remove,
       "MusicXML 4.0, hammer-on"},
      {"pairs-pull-off", pairs, warning, "A pull-off has only one end.", close_or_remove,
       "MusicXML 4.0, pull-off"},
      {"pairs-tuplet", pairs, warning, "A tuplet is not closed, or closed without having begun.",
       "Add the other end of its bracket.", "MusicXML 4.0, tuplet", true},
      {"pairs-repeat", pairs, warning, "A repeat begins and never ends.", "Add the repeat sign at its end.",
       "MusicXML 4.0, repeat"},
      {"pairs-ending", pairs, warning, "An ending's bracket has only one end.", "Add the other end.",
       "MusicXML 4.0, ending"},
      {"pairs-dal-segno", pairs, error, "Something says D.S., and there is no segno.", "Add the segno.",
       common},
      {"pairs-to-coda", pairs, error, "Something says To Coda, and there is no coda.", "Add the coda.",
       common},
      {"pairs-fine", pairs, warning, "A Fine stands before the end, and nothing ever leads back to it.",
       "Add the D.C. or D.S., or remove the Fine.", common},

      // ---- tab ----
      {"tab-fret-contradicts-pitch", tab, error, "String and fret give another pitch than the note has.",
       "Correct the fret, the string or the pitch; a student learns the fret.",
       "MusicXML 4.0, string, fret, staff-tuning"},
      {"tab-all-pitches-off", tab, warning, "All pitches differ from string and fret by the same interval.",
       "Correct the tuning, the capo or the transposition.", "MusicXML 4.0, transpose and capo"},
      {"tab-string-off", tab, error, "All notes of one string differ from its tuning by the same interval.",
       "Correct the staff-tuning of the string, or the pitches.", "MusicXML 4.0, staff-tuning"},
      {"tab-fifth-numbering-mixed", tab, error,
       "Frets of the fifth string are counted from the long strings' nut in some places and from its own in "
       "others.",
       "Count them from the long strings' nut throughout.", common, true},
      {"tab-fifth-own-nut", tab, note, "Frets of the fifth string are counted from its own nut.",
       "Count them from the long strings' nut, as banjo tab does: fret 7 is a whole step above open.", common,
       true},
      {"tab-fret-not-there", tab, error,
       "The fifth string has no frets 1 to 5, counted from the long strings' nut.",
       "Correct the fret or the string.", common},
      {"tab-string-not-there", tab, error, "A banjo has strings 1 to 5.", "Correct the string.",
       "MusicXML 4.0, string-number"},
      {"tab-fret-past-neck", tab, warning, "The fret lies past the end of the neck.",
       "Play the note elsewhere; most banjos have 22 frets.", common},
      {"tab-two-on-one-string", tab, error, "Two notes stand on one string at once.", "Move one of them.",
       common},
      {"tab-staves-disagree", tab, warning, "Notation and tab of a measure do not have the same notes.",
       "Correct the one that is wrong.", common},
      {"tab-no-tuning", tab, warning, "A tab staff does not say how it is tuned.", "Add staff-tuning.",
       "MusicXML 4.0, staff-tuning", true},
      {"tab-tuning-strange", tab, warning, "A string is tuned more than a fourth from its usual pitch.",
       "Correct the tuning; strings of usual gauge break or flap there.", common},
      {"tab-no-placement", tab, warning, "A note on a tab staff has no string or no fret.",
       "Say where it is played.", "MusicXML 4.0, string and fret"},

      // ---- technique ----
      {"technique-hammer-on-down", technique, error, "A hammer-on does not go up.",
       "Make it a pull-off, or correct the frets.", common},
      {"technique-pull-off-up", technique, error, "A pull-off does not go down.",
       "Make it a hammer-on, or correct the frets.", common},
      {"technique-across-strings", technique, error,
       "A hammer-on, pull-off or slide goes from one string to another.",
       "Put both notes on one string, or pick the second.", common},
      {"technique-slide-nowhere", technique, warning,
       "A slide begins and ends on the same fret, or on an open string.", "Say from which fret it comes.",
       common},
      {"technique-choke-open", technique, error, "An open string is choked; there is no finger to push it.",
       "Stop the note on another string, or remove the choke.", common},
      {"technique-pluck", technique, warning, "The picking finger is not one that exists.",
       "Write T, I or M.", common},

      // ---- hands ----
      {"hands-cannot-hold", hands, error, "No fret hand holds this as it is written.",
       "Move notes to other strings, or leave one out.", hand_model},
      {"hands-stretch", hands, note, "The fret hand is stretched past what is comfortable.",
       "Move notes to other strings; stop where it hurts.", hand_model},
      {"hands-finger-twice", hands, error, "A finger stands in two places at once, or fingers cross.",
       "Give the notes other fingers.", hand_model},
      {"hands-pick-twice", hands, error, "The picking hand cannot strike this at once.",
       "Use one finger for each string, at most three strings in a pinch, or mark a brush.", hand_model},
      {"hands-picking-finger-too-fast", hands, warning,
       "The same picking finger strikes again sooner than it can.", "Give the second note to another finger.",
       hand_model},
      {"hands-leap", hands, warning, "The fret hand has to leap and has no time for it.",
       "Play one of the notes elsewhere on the neck.", hand_model},
      {"hands-unplayable", hands, warning, "The music cannot be put on the banjo as it stands.",
       "Move it to another octave or key, or thin its chords.", hand_model},

      // ---- reading ----
      {"reading-refused", reading, error, "No score can be made of the file.",
       "Correct what is named here, or export the file again.", reader},
      {"reading-repaired", reading, warning,
       "Something in the file is wrong, and was read as it was probably meant.",
       "Correct it in the file; other programs may read it otherwise.", reader},
      {"reading-left-out", reading, warning, "Something in the file has no meaning here, and was left out.",
       "Correct it, or remove it.", reader},
      {"reading-assumed", reading, note, "The file leaves something open, and it is assumed.",
       "State it in the file.", reader},

      // ---- teaching ----
      {"teaching-no-title", teaching, note, "There is no title.", "Give it one.", common},
      {"teaching-no-tempo", teaching, note, "There is no tempo.", "State one that students can manage.",
       common},
      {"teaching-no-key", teaching, note, "There is no key signature.", "State the key.", common},
      {"teaching-no-meter", teaching, warning, "There is no meter.", "State it.", common},
      {"teaching-no-tuning", teaching, note, "Nothing shows how the banjo is tuned.",
       "Add a tab staff with its tuning.", common},
      {"teaching-no-chords", teaching, note, "There are no chord symbols.",
       "Add them, so that somebody can play along.", common},
      {"teaching-no-picking-fingers", teaching, note, "No note says which picking finger plays it.",
       "Add T, I and M.", common},
      {"teaching-part-unnamed", teaching, note, "A part has no name.", "Name it.", common},
      {"teaching-several-parts", teaching, note, "There is more than one instrument.",
       "Make a handout of the banjo's part alone.", common},
      {"teaching-no-credit", teaching, note,
       "Nobody is named: no composer, arranger or source, not even Traditional.", "Say who made it.", common},
      {"teaching-no-rights", teaching, note, "Nothing says who may copy this. This is no legal advice.",
       "Add a rights line; for music and law, ask somebody who knows.", common},
      {"teaching-broken-text", teaching, warning, "A text was garbled by a wrong encoding.", "Type it again.",
       "Unicode, replacement character; UTF-8 read as Windows-1252"},
      {"teaching-ends-inside-measure", teaching, note, "The music ends in the middle of a measure.",
       "Fill the measure with a rest, so that it can be repeated in time.", common},
      {"teaching-too-fast", teaching, note, "The tempo is above what a learner will manage.",
       "State a slower tempo to learn it at.", hand_model},
  };
  return all;
}

std::string_view slug(Severity severity) {
  constexpr std::array<std::string_view, 3> names{"note", "warning", "error"};
  return names.at(static_cast<std::size_t>(severity));
}

std::string_view slug(RuleFamily family) {
  constexpr std::array<std::string_view, 10> names{"midi-bytes", "container", "grammar",   "time",
                                                   "pairs",      "tab",       "technique", "hands",
                                                   "reading",    "teaching"};
  return names.at(static_cast<std::size_t>(family));
}

const Rule* find_rule(std::string_view slug) {
  const auto& all = rules();
  const auto found =
      std::find_if(all.begin(), all.end(), [slug](const Rule& rule) { return rule.slug == slug; });
  return found == all.end() ? nullptr : &*found;
}

std::uint64_t Checked::count(Severity severity) const {
  return static_cast<std::uint64_t>(
      std::count_if(findings.begin(), findings.end(),
                    [severity](const Finding& finding) { return finding.severity == severity; }));
}

}  // namespace fifthpeg
