// How each thing of score.hpp stands in MusicXML 4.0. The writer writes this and nothing else; the reader
// reads this back without loss (and much more, from other sources). Names of elements and attributes are
// those of the standard; "the schema" is its published XML Schema.
//
// ## The document
// score-partwise, version 4.0, UTF-8, one part, id "P1"; further parts are "P2", "P3" ..., each written as it
// would be by itself, but for what stands once: title, people and rights are those of the first.
//   work.title            work/work-title
//   work.composer ...     identification/creator, type composer, arranger, lyricist
//   work.rights, .source  identification/rights, identification/source
//   part_name             part-name (an empty name is an empty element)
// Empty texts are left out. Text is kept to the byte: white space at the ends counts, CR is written &#13;,
// and a text of nothing but white space is written in character references so that no parser drops it.
//
// ## Staves and voices
// staves both: staff 1 is notation, voice 1; then `backup` over the measure; staff 2 is tab, voice 5.
// staves notation or tab: one staff, voice 1, no `staff` elements.
// The first staff written carries everything but the picking fingers, which stand at the tab where there is
// one. The second repeats the notes, rests, ties, tuplets, beams, placement, techniques, ring, chokes,
// harmonics, dead notes, brushes and roles, and nothing else (no fingers of the fret hand, accidentals,
// articulations, fermatas, lyrics, directions or chord symbols).
//
// ## The banjo
// staff-details of the tab staff (of the notation staff where it is the only one): five staff-tuning, line 1
// is string 5, and capo where it is not 0. staff-tuning is the sounding pitch that, raised by `capo`, is the
// open string; so line 1 is the drone's tuning where its capo is the usual one, and tuning + (fifth_capo - 5)
// - capo half steps otherwise. Then two miscellaneous-field say what cannot be seen: fifth-capo (the number)
// and fifth-tuning (the drone's own pitch, as to_string(Pitch) spells it).
// Miscellaneous fields are written only where they differ from the default:
//   fifthpeg.fifth-capo *   fret of the drone's capo           default usual_fifth_capo(capo)
//   fifthpeg.fifth-tuning * "G4"                               written along with fifth-capo
//   fifthpeg.frets *        frets on the neck                  default 22
//   fifthpeg.fifth-frets    "own-nut": frets on string 5 are   default "long-nut"
//                           counted from its capo or nut
//   fifthpeg.key-estimated *  "yes"                              default "no"
//   fifthpeg.swing          "1/4 2:1", for units that `swing`  default none
//                           cannot say (not 1/8 or 1/16)
// What holds for one of several parts has its id behind a dot: "fifthpeg.frets.P2". Where the first part has
// such a field, each further part says all that are marked with a star above, defaults, too: what names no
// part holds for all that do not say it themselves. With own-nut, the file's fret on string 5 is fret + capo
// - fifth_capo (0 stays 0).
//
// ## Pitch
// `pitch` is written an octave above the sounding one; transpose diatonic 0, chromatic 0, octave-change -1.
//
// ## Measures
//   number, implicit      the attributes of `measure`
//   meter                 time, where it differs from the measure before; additive beats "3+2";
//                         symbol="common" or "cut"
//   key                   the first key element at the start of the measure, where it differs from the key
//                         in force; a mode of none is no `mode` element
//   key_changes           further `attributes` with `key`, at their place. One at 0 comes second: the
//                         measure's own key is then always written before it. One inside a note stands
//                         between a forward and a backup of the same length, before the note.
//   length                what the notes and rests of the staff add up to
//   repeat_starts         left barline, heavy-light, repeat forward
//   repeat_times          right barline, light-heavy, repeat backward; `times` where it is not 2
//   ending                left barline, ending start, where `starts`; right barline, ending stop (closed) or
//                         discontinue (open); number "1,2". Measures between, where neither is set, carry
//                         the bracket on without an element.
//   right_bar             bar-style of the right barline; none is written for regular
// A score without measures is one measure, number "0", implicit, without notes: a measure that has no
// duration is no measure.
//
// ## Time
// divisions: the least common multiple over the whole score while that is at most max_score_divisions, then
// it stands once; otherwise each measure states its own. Whole multiples always.
//
// ## Directions, tempo, chord symbols
// Each stands before the first note or rest that ends after it, with `offset` (in divisions) from there, or
// after the last one if it is at the end of the measure. Those of one kind stand in the order of the score.
//   tempos        direction: words (if any), metronome, sound tempo. Not shown: metronome print-object="no";
//                 not shown, no words, quarters: `sound tempo` by itself, as a child of the measure.
//                 quarters_per_minute is sound/@tempo (not per-minute, which is rounded for the eye): with up
//                 to exact_tempo_places decimal places exactly that number, with more the simplest fraction
//                 (least denominator) that rounds to it at that many places: fraction_of_decimal() in
//                 decimal.hpp.
//                 beat_unit is beat-unit, dots and beat-unit-tied added up.
//   words         direction/words
//   rehearsal     direction/rehearsal
//   dynamics      direction/dynamics: the element of that name, otherwise other-dynamics with the text
//   segno, coda   direction/segno or coda, then words if there is a text; sound segno="segno", coda="coda"
//   to_coda, da_capo, dal_segno, fine
//                 direction/words; sound tocoda="coda", dacapo="yes", dalsegno="segno", fine="yes".
//                 An empty text is written as the usual word below, marked by xml:lang: the usual word with
//                 xml:lang is read as an empty text, without xml:lang as itself.
//   swing         `sound/swing` by itself at the start of the first measure; swing-type always written
//   chords        harmony: root, kind with the printed text in @text (left out if empty), bass, degrees,
//                 offset
//
// ## Strokes
// The notes of a stroke stand in the order of the score, `chord` on all but the first. What belongs to the
// stroke stands on its first note: articulations, fermata, tuplet, beam, lyrics; arpeggiate on all.
//   duration      as it sounds. A value that is no single note value, or that would hide the beat, is written
//                 as several notes tied together (or several rests), which normalize() joins again, unless
//                 the stroke is unparted; a note that would be written so and is not is read as that: brush,
//                 articulations, lyrics, `into`, finger, digit and choke on the first of them; `out_of` and
//                 ring on the last; placement, harmonic, dead and role on all. A rest that fills the meter is
//                 rest measure="yes" without a type. A value that no note values add up to (1/7 without a
//                 tuplet) is one note without a type: its duration speaks.
//   grace         grace, slash="yes" where slashed; printed value in type and dots, from which a tuplet's
//                 time-modification takes to the stroke's duration as elsewhere
//   brush         arpeggiate; direction up, down or (plain) none
//   articulations accent, strong-accent, staccato, tenuto, fermata
//   tuplets       time-modification is the product over the levels, not reduced. Each level's first and last
//                 note carry tuplet start and stop, number = level + 1 (outermost 1), and each start has
//                 tuplet-actual and tuplet-normal with tuplet-number. The levels of a stroke are the groups
//                 open over it, if their product is its time-modification; otherwise one level of that ratio.
//   lyrics        lyric: number is the verse, or, where that is no NMTOKEN, name is; syllabic; text
//
// ## Notes
//   placement     technical/string and fret, on both staves
//   finger        technical/fingering: 1, 2, 3, 4; nothing on an open string, which fret 0 says, and 0 where
//                 there is no fret; the thumb over the neck is technical/other-technical with the text below,
//                 since programs read a fingering as a number, and people a T as the picking thumb
//   picking_finger  technical/pluck: T, I, M, R (ring), L (little); technical/fingernails for the nail. On
//                 request they stand once more as a verse of lyrics, numbered as below, with N for the nail;
//                 it is not read again
//   out_of, into  type start, and type stop: technical/hammer-on ("H"), technical/pull-off ("P"), slide
//                 (line-type solid), slur. hammer-on and pull-off have a slur of the same number beside them,
//                 as they are drawn: a slur end beside a hammer-on or pull-off end is part of that.
//                 A start takes the lowest number that is free, 1 to 5, 6 to 10 on the second staff; the stop
//                 of the same technique on the same string, or else of the earliest such start, has the same.
//                 Either end may stand by itself: a stop has number 11 then. The ends of a slur with
//                 other strokes between them, or of one to a tied note, stand by themselves, since a slur
//                 joins all notes under it but tied ones.
//   ring          let_ring: tied type="let-ring"; damp: technical/other-technical with the text below
//   ties          tie and tied, start and stop
//   harmonic      technical/harmonic/natural
//   dead          notehead x
//   role          play/other-play, type as below, with to_string(Role), on both staves and on all that a tie
//                 joins: whoever looks for the tune finds each of its notes. None is not written
//   choke         technical/bend, bend-alter = cents / 100; with pre-bend where `before`. `release` is a
//   second
//                 bend, bend-alter = -cents / 100, with release.
#pragma once

#include <array>
#include <string>
#include <string_view>

#include "fifthpeg/score.hpp"

namespace fifthpeg::musicxml {

// Names of miscellaneous-field.
inline constexpr std::string_view field_fifth_capo = "fifthpeg.fifth-capo";
inline constexpr std::string_view field_fifth_tuning = "fifthpeg.fifth-tuning";
inline constexpr std::string_view field_frets = "fifthpeg.frets";
inline constexpr std::string_view field_fifth_frets = "fifthpeg.fifth-frets";
inline constexpr std::string_view field_key_estimated = "fifthpeg.key-estimated";
inline constexpr std::string_view field_swing = "fifthpeg.swing";
inline constexpr std::string_view own_nut = "own-nut";
inline constexpr std::string_view long_nut = "long-nut";

// The text of other-technical for a note stopped by the hand. The SMuFL glyph beside it is pluckedDamp.
inline constexpr std::string_view damp_text = "damp";
// And for a note held by the thumb of the fret hand.
inline constexpr std::string_view thumb_text = "thumb over the neck";

// The type of other-play for what a note is for.
inline constexpr std::string_view role_type = "fifthpeg-role";

inline constexpr std::string_view picking_verse = "fifthpeg.picking";
inline constexpr std::string_view nail_letter = "N";

// What is printed for a jump whose words the score does not have (common practice), and its xml:lang.
struct UsualWord {
  std::string_view text;
  std::string_view language;
};
// Signs and jumps: how `sound` says each of them. A score has one segno and one coda; their tokens are these.
struct Jump {
  Direction::Kind kind;
  const char* attribute;
  std::string_view value;
  UsualWord usual;
};
inline constexpr auto jumps = std::to_array<Jump>({
    {Direction::Kind::da_capo, "dacapo", "yes", {"D.C.", "it"}},
    {Direction::Kind::dal_segno, "dalsegno", "segno", {"D.S.", "it"}},
    {Direction::Kind::to_coda, "tocoda", "coda", {"To Coda", "en"}},
    {Direction::Kind::fine, "fine", "yes", {"Fine", "it"}},
    {Direction::Kind::segno, "segno", "segno", {}},
    {Direction::Kind::coda, "coda", "coda", {}},
});

// See "tempos" above.
inline constexpr int exact_tempo_places = 9;

// Of the parts, counted from 1.
inline std::string part_id(std::size_t number) {
  return "P" + std::to_string(number);
}

// Members of a compressed file.
inline constexpr std::string_view mxl_container_name = "META-INF/container.xml";
inline constexpr std::string_view mxl_media_type = "application/vnd.recordare.musicxml";
inline constexpr std::string_view musicxml_media_type = "application/vnd.recordare.musicxml+xml";
inline constexpr std::string_view mxl_score_name = "score.musicxml";

}  // namespace fifthpeg::musicxml
