// fifthpeg: notes into five-string banjo tab people can trust. This header includes all the others:
//
//   read      bytes to a Score, with what was lost on the way
//   score     the Score itself, its playing order, and what is wrong with one
//   summary   what is in it
//   edit      cutting, joining and filling measures
//   banjo     tunings, capos, places; setting up a score for another banjo
//   harmony   the key that a score stands in, and chords for a melody
//   hands     strings, frets and fingers for a score; which tuning, capo and key suit it
//   arrange   from a melody to banjo music
//   licks     what a lick does, which ones answer a question, where in a tune one goes
//   performance   what sounds when
//   practice  music to play along with: slowly, several times, counted in, with bass and chords
//   audio     what it sounds like, as samples
//   write     a Score to MusicXML, MIDI or text
//   check     what is wrong with a file
//
// From a file to tab:
//
//   fifthpeg::Reading reading = fifthpeg::read(bytes);
//   fifthpeg::finger(reading.score);
//   fifthpeg::StringSink tab;
//   fifthpeg::write_text_tab(reading.score, {}, tab);
//
// Threads: there is no shared state that changes. Functions may be called from any number of threads at once
// as long as no two use the same object while one of them changes it. A call runs in the thread that makes
// it.
//
// Errors: what stops the work is an exception of errors.hpp, or std::bad_alloc; everything else is in the
// Report of a result, or a Finding. Both carry stable codes; their texts are for people and may change.
//
// Nothing is read from or written to files, the network or the environment.
#pragma once

#include <string_view>

#include "fifthpeg/arrange.hpp"
#include "fifthpeg/audio.hpp"
#include "fifthpeg/banjo.hpp"
#include "fifthpeg/check.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/fraction.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/licks.hpp"
#include "fifthpeg/performance.hpp"
#include "fifthpeg/pitch.hpp"
#include "fifthpeg/practice.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "fifthpeg/summary.hpp"
#include "fifthpeg/write.hpp"

namespace fifthpeg {

std::string_view version();  // "0.1.0"

}  // namespace fifthpeg
