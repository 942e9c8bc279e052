// What stops the work. Everything that does not stop it is told in a Report instead.
#pragma once

#include <stdexcept>
#include <string>

#include "fifthpeg/report.hpp"

namespace fifthpeg {

// what() is one line: what is wrong and what to do about it, without the place.
class Error : public std::runtime_error {
 public:
  explicit Error(const std::string& what, Place place = {})
      : std::runtime_error(what), place_(std::move(place)) {}
  const Place& place() const { return place_; }

 private:
  Place place_;
};

class UsageError : public Error {  // an option that cannot be: exit status 2
 public:
  using Error::Error;
};
class ReadError : public Error {  // an input that cannot be read: exit status 3
 public:
  using Error::Error;
};
class WriteError : public Error {  // an output that cannot be written: exit status 4
 public:
  using Error::Error;
};
class UnplayableError : public Error {  // music that cannot be put on a banjo as asked: exit status 1
 public:
  using Error::Error;
};

}  // namespace fifthpeg
