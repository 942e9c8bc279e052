// write_smf: a standard MIDI file of format 1 with a conductor track and a banjo track.
#include <stdexcept>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/write.hpp"
#include "write/smf/banjo_track.hpp"
#include "write/smf/clock.hpp"
#include "write/smf/conductor_track.hpp"
#include "write/smf/losses.hpp"
#include "write/smf/performance.hpp"
#include "write/smf/track_bytes.hpp"

namespace fifthpeg {

void write_smf(const Score& score, const SmfOptions& options, Sink& sink, Report& report) {
  try {
    const smf::Clock clock(score, options, report);
    smf::tell_losses(score, options, clock, report);
    const std::string conductor = smf::conductor_track(score, clock, report);
    const smf::Performance performance = smf::perform(score, clock, options.channel_per_string, report);
    const std::string banjo = smf::banjo_track(score, clock, performance, options.channel_per_string, report);
    sink.write(smf::file_header(2, static_cast<unsigned>(clock.ticks_per_quarter())));
    sink.write(conductor);
    sink.write(banjo);
  } catch (const std::overflow_error&) {
    throw WriteError("the score holds times too long or too fine to be counted");
  }
}

}  // namespace fifthpeg
