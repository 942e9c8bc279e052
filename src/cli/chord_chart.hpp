// Chords that stand in a file of their own.
#pragma once

#include <string>
#include <string_view>

#include "fifthpeg/harmony.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg::cli {

// The chords of a chart in text, or of music that has chord symbols. Throws ReadError that names the option
// and the file.
ChordChart chord_chart_in(std::string_view option, const std::string& path, const ReadOptions& options);

// Whether a text is a chart of several measures.
bool is_chord_chart(const std::string& bytes);

}  // namespace fifthpeg::cli
