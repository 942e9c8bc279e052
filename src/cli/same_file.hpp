// Outputs that are inputs at the same time.
#pragma once

#include <string>
#include <vector>

namespace fifthpeg::cli {

// Throws UsageError where one of the outputs is one of the inputs, by whatever name: the conversion would
// take the place of what it was made from. Links are followed, and standard input and output count as the
// file that they are connected to.
void refuse_to_write_over_inputs(const std::vector<std::string>& inputs,
                                 const std::vector<std::string>& outputs);

}  // namespace fifthpeg::cli
