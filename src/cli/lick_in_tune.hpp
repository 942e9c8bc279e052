// A tune that licks go into, and which of its places.
#pragma once

#include <optional>
#include <string>

#include "cli/fixed_points.hpp"
#include "cli/options.hpp"
#include "fifthpeg/licks.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::cli {

struct HostTune {
  Score score;  // with both hands
  SourceFingering source;
  Report report;
};
// Reads a tune and finds the hands for it. Throws as load() and finger_loaded() do.
HostTune load_host(const std::string& input, const InputOptions& options, const HandsOptions& hands);

// Why a lick has no place, as the end of a sentence, and the capo with which it might have one.
std::string why_no_place(const Score& tune, const Score& lick, const FitOptions& options);

// The places that are asked for: the one that an option ("--at MEASURE") names by measure and beat, or the
// best `most` that there are. Throws UsageError "no-such-measure" and "no-such-beat", UnplayableError
// "lick-without-place".
std::vector<LickPlace> places_asked_for(const Score& tune, const Score& lick, std::string_view option,
                                        const std::optional<MusicPoint>& point, std::size_t most,
                                        const FitOptions& options);

}  // namespace fifthpeg::cli
