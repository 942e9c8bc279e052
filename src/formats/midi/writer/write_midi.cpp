// write_midi: a standard MIDI file of format 1 with a conductor track and a banjo track.
#include <stdexcept>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/write.hpp"
#include "formats/midi/track_bytes.hpp"
#include "formats/midi/writer/banjo_track.hpp"
#include "formats/midi/writer/conductor_track.hpp"
#include "formats/midi/writer/losses.hpp"
#include "performance/clock.hpp"
#include "performance/performance.hpp"

namespace fifthpeg {

void write_midi(const Score& score, const MidiOptions& options, Sink& sink, Report& report) {
  try {
    const performance::Clock clock(score, options, report);
    midi::writer::tell_losses(score, options, clock, report);
    const std::string conductor = midi::writer::conductor_track(score, clock, report);
    const performance::Performance performance =
        performance::perform(score, clock, options.channel_per_string, report);
    const std::string banjo =
        midi::writer::banjo_track(score, clock, performance, options.channel_per_string, report);
    sink.write(midi::file_header(2, static_cast<unsigned>(clock.ticks_per_quarter())));
    sink.write(conductor);
    sink.write(banjo);
  } catch (const std::overflow_error&) {
    throw WriteError("the score holds times too long or too fine to be counted");
  }
}

}  // namespace fifthpeg
