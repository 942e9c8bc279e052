// The names of MusicXML's elements and attributes as numbers, so that a walk over children is a switch.
#pragma once

#include <cstdint>
#include <string_view>

namespace fifthpeg::musicxml {

enum class Name : std::uint8_t {
  unknown,    // no name of MusicXML 4.0
  layout,     // how a page looks; says nothing about music
  placeless,  // music, or about it, for which a banjo score has no place
  // The names that the reader acts upon:
  // clang-format off
  accent, actual_notes, alter, alternate, arpeggiate, articulations, artificial, attributes, backup,
  bar_style, barline, base_pitch, bass, bass_alter, bass_step, beat_type, beat_unit, beat_unit_dot,
  beat_unit_tied, beats, bend, bend_alter, cancel, capo, chord, chromatic, clef, coda, creator, credit,
  credit_type, credit_words, cue, dacapo, dalsegno, damp, damp_all, degree, degree_alter, degree_type,
  degree_value, detached_legato, diatonic, direction, direction_type, divisions, dot, double_, duration,
  dynamics, elision, encoding, ending, extend, fermata, fifths, fine, fingering, fingernails, first,
  forward, forward_repeat, fret, glissando, grace, hammer_on, harmonic, harmony, id, identification,
  implicit, instrument, instrument_name, instrument_sound, interchangeable, inversion, key, kind, line,
  location, lyric, measure, measure_style, metronome, metronome_note, midi_channel, midi_device,
  midi_instrument, midi_program, midi_unpitched, miscellaneous, miscellaneous_field, mode, movement_title,
  name, natural, non_arpeggiate, normal_dot, normal_notes, normal_type, notations, note, notehead, number,
  octave, octave_change, offset, open_string, other_dynamics, other_technical, part, part_list, part_name,
  per_minute, pitch, pizzicato, pluck, pre_bend, print_object, pull_off, rehearsal, release, repeat, rest,
  rights, root, root_alter, root_step, score_instrument, score_part, score_partwise, score_timewise,
  second, segno, senza_misura, sign, slash, slide, slur, sound, sounding_pitch, source, spiccato,
  staccatissimo, staccato, staff, staff_details, staff_lines, staff_tuning, staff_type, staves, step,
  straight, string, strong_accent, substitution, swing, swing_style, swing_type, syllabic, symbol,
  technical, tempo, tenuto, text, tie, tied, time, time_modification, time_only, times, tocoda,
  touching_pitch, transpose, tuning_alter, tuning_octave, tuning_step, tuplet, tuplet_actual, tuplet_dot,
  tuplet_normal, tuplet_number, tuplet_type, type, unpitched, value, version, voice, words, work,
  work_title,
  // clang-format on
};

// Linear in the length of the name.
Name name_of(const char* name);

}  // namespace fifthpeg::musicxml
