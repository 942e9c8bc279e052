// What stops the work. Everything that does not stop it is in a Report instead.
//
// The functions of this library throw Error and the classes below, std::bad_alloc, and nothing else. A
// function that throws leaves what it was given to change as it was, normalize() apart; sinks may have bytes.
#pragma once

#include <cstdint>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>

#include "fifthpeg/pitch.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg {

// What an error is about, for programs: only what applies is set.
struct ErrorData {
  std::optional<Pitch> pitch;         // the note that is in the way, as the source has it
  std::optional<int> half_steps;      // a move of the whole piece that helps
  std::optional<std::int64_t> limit;  // what was exceeded: bytes, frets, measures, ticks
  // Of the source, where whoever reads it knows:
  bool only_part = false;      // it has no other part to take instead
  bool several_lines = false;  // the part has several staves or voices
};

class Error : public std::runtime_error {
 public:
  Error(std::string_view code, const std::string& what, Place place = {}, const ErrorData& data = {})
      : std::runtime_error(what), code_(code), place_(std::move(place)), data_(data) {}

  // what() is one line: what is wrong, and where the library knows it what to do, without the place.
  // A stable word for programs: "note-out-of-range".
  const std::string& code() const { return code_; }
  const Place& place() const { return place_; }
  const ErrorData& data() const { return data_; }

 private:
  std::string code_;
  Place place_;
  ErrorData data_;
};

class UsageError : public Error {  // an option that cannot be
 public:
  using Error::Error;
  explicit UsageError(const std::string& what, Place place = {}) : Error("usage", what, std::move(place)) {}
};
class ReadError : public Error {  // an input that cannot be read
 public:
  using Error::Error;
  explicit ReadError(const std::string& what, Place place = {})
      : Error("unreadable", what, std::move(place)) {}
};
class WriteError : public Error {  // an output that cannot be written
 public:
  using Error::Error;
  explicit WriteError(const std::string& what, Place place = {})
      : Error("unwritable", what, std::move(place)) {}
};
class UnplayableError : public Error {  // music that cannot be put on a banjo as asked
 public:
  using Error::Error;
  explicit UnplayableError(const std::string& what, Place place = {})
      : Error("unplayable", what, std::move(place)) {}
};
// A time that is too long or too finely divided for a Fraction. Readers and writers throw ReadError and
// WriteError instead; every other function that counts times may throw it.
class TimeError : public Error {
 public:
  using Error::Error;
};

}  // namespace fifthpeg
