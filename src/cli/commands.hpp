// The commands: one file each. A command writes its result and its messages; it returns how it ended, and
// throws what keeps it from starting.
#pragma once

#include "cli/options.hpp"
#include "cli/status.hpp"

namespace fifthpeg::cli {

Status convert(const ConvertOptions& options);
Status show(const ShowOptions& options);
Status describe(const DescribeOptions& options);
Status advise(const AdviseRequest& request);
Status check(const CheckRequest& request);

}  // namespace fifthpeg::cli
