// The commands: one file each. A command writes its result and its messages; it returns how it ended, and
// throws what keeps it from starting.
#pragma once

#include "cli/options.hpp"
#include "cli/status.hpp"

namespace fifthpeg::cli {

Status run(const ConvertOptions& options);
Status run(const ShowOptions& options);
Status run(const DescribeOptions& options);
Status run(const AdviseRequest& request);
Status run(const CheckRequest& request);
Status run(const SheetRequest& request);
Status run(const PracticeRequest& request);
Status run(const FindRequest& request);
Status run(const FitRequest& request);

}  // namespace fifthpeg::cli
