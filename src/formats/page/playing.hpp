// What the program of a page plays and marks, as JSON (music.js reads it):
//
//   {"pieces": [{
//     "title": "Cripple Creek",
//     "numbers": ["1", "2"],       of the measures, as printed
//     "seconds": 12.5,             how long it lasts
//     "roles": true,               whether its notes say which of them are the melody
//     "frets": 22, "capo": 0,
//     "strings": [{"name": "d", "midi": 62, "nut": 0}],   from the first; the fret that it begins at
//     "measures": [...], "strokes": [...], "notes": [...], "backing": [...]
//   }]}
//
// with rows in the order in which they are played, repeats and jumps carried out, in seconds at the written
// tempo:
//
//   measure   its index, pass, start, end, seconds of a beat, beats of a whole one, seconds that a count-in
//             begins before it, and the times of its beats
//   stroke    when, index of its measure, index in the measure, pass
//   note      row of its stroke, start, how long it lasts, string, fret (-1: none), MIDI number, velocity,
//             how it begins and stops, as in audio.hpp (numbers of Begin and Stop), 1 of a chime and 2 of a
//             muffled string, how much of the string sounds, 1 of a slide and 2 of a choke, glides (from, to,
//             cents from, cents to, in seconds from its start), finger of the fret hand, finger of the
//             picking hand, 1 of the melody
//   backing   start, how long it lasts, number of SoundPart, string, MIDI number, velocity
#pragma once

#include <string>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::page {

// Adds to the report what is written and cannot be heard.
std::string playing_json(const std::vector<Score>& pieces, Report& report);

}  // namespace fifthpeg::page
