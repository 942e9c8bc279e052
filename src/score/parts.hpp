// Scores that are played together: what they have to share.
#pragma once

#include <span>
#include <string>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

// Throws UsageError "parts-differ", with the measure, where a further part has other measures than the first:
// not as many, or of another length, meter, repeat or ending; or where it swings otherwise.
void require_one_frame(const Score& score, std::span<const Score> further);

// The same report, of a part of that name.
Report in_part(const Report& report, const std::string& part_name);

}  // namespace fifthpeg
