// Memory for libxml2. In many places it takes a request that is refused for a fault of the document, in
// others it goes on with a null pointer. So it is refused none: what the system has not is taken from a
// reserve, and what was made with that is thrown away.
#pragma once

namespace fifthpeg::musicxml::grammar {

// To be called before libxml2 is used here for the first time. Holds for the whole process, but where that
// has given libxml2 other functions for memory: these stay.
void guard_libxml2_memory();

// What libxml2 does in this thread while it exists.
class MemoryWatch {
 public:
  MemoryWatch() noexcept;
  // Whether the reserve was needed: time to stop.
  static bool ran_out() noexcept;
  // Throws std::bad_alloc where it was.
  static void require_memory();
};

}  // namespace fifthpeg::musicxml::grammar
