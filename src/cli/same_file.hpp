// Outputs that are inputs at the same time.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace fifthpeg::cli {

// The code of the error for what can be said nowhere but in the input itself.
inline constexpr char standard_output_is_input[] = "standard-output-is-input";

// Throws UsageError where one of the outputs is one of the inputs, by whatever name: the conversion would
// take the place of what it was made from. Links are followed, and standard input and output count as the
// file that they are connected to. So does standard error, which then says nothing any more.
void refuse_to_write_over_inputs(const std::vector<std::string>& inputs,
                                 const std::vector<std::string>& outputs);

// For each output another one that is the same file, by its name or by links; nothing where there is none.
std::vector<std::optional<std::size_t>> shared_outputs(const std::vector<std::string>& outputs);

}  // namespace fifthpeg::cli
