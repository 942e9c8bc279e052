// From an input to a score and the banjo it is to be played on: the first steps of every command.
#pragma once

#include <optional>
#include <string>

#include "cli/options.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg::cli {

struct Loaded : Reading {
  bool has_places = false;  // strings and frets, in the file
};

// Reads an input by its content, infers chords and sets up the banjo as asked. Placements in the file that do
// not give their pitch on that banjo any more are taken out, and reported; those that will give it after
// moving the piece by as many half steps as the hands are to stay. Throws ReadError and UsageError.
Loaded load(const std::string& input, const InputOptions& options, const HandsOptions* hands = nullptr);

// Reads an input for an arrangement, which chooses the key and the shapes itself.
Loaded load_melody(const std::string& input, InputOptions options);

// The error, with what else there is in the source that could be read.
UnplayableError about_source(const Inventory& inventory, const UnplayableError& error);

// Finds the hands for what was loaded, in the octave that suits it. Throws UnplayableError.
FingeringResult finger_loaded(Loaded& reading, const InputOptions& options, HandsOptions hands);

}  // namespace fifthpeg::cli
