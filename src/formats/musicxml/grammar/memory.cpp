#include "formats/musicxml/grammar/memory.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <cstddef>
#include <cstdlib>
#include <cstring>
#include <libxml/xmlmemory.h>
#include <malloc.h>
#include <new>

namespace fifthpeg::musicxml::grammar {
namespace {

// Enough to compile the grammar of scores. Never given back: whoever needed it is about to end.
constexpr std::size_t reserve_bytes = std::size_t{8} << 20;
alignas(std::max_align_t) std::array<char, reserve_bytes> reserve;
std::atomic<std::size_t> reserve_used{0};

thread_local bool reserve_was_needed = false;

bool is_in_reserve(const void* memory) {
  const auto* const byte = static_cast<const char*>(memory);
  return byte >= reserve.data() && byte < reserve.data() + reserve.size();
}

// In front of each piece of the reserve stands how long it is.
constexpr std::size_t header = alignof(std::max_align_t);

void* from_reserve(std::size_t size) {
  reserve_was_needed = true;
  const std::size_t whole = header + (size + header - 1) / header * header;
  const std::size_t at = size > reserve_bytes ? reserve_bytes : reserve_used.fetch_add(whole);
  // Through libxml2, which then leaves behind what it has: the last resort.
  if (at + whole > reserve_bytes) throw std::bad_alloc();
  char* const piece = reserve.data() + at + header;
  std::memcpy(piece - header, &size, sizeof size);
  return piece;
}

// Functions of C for C: who owns what is libxml2's affair.
// NOLINTBEGIN(cppcoreguidelines-owning-memory)
void* allocate(std::size_t size) {
  void* const memory = std::malloc(size);
  return memory != nullptr ? memory : from_reserve(size);
}

void release(void* memory) {
  if (!is_in_reserve(memory)) std::free(memory);
}

void* reallocate(void* old, std::size_t size) {
  if (old == nullptr) return allocate(size);
  std::size_t old_size = 0;
  if (is_in_reserve(old)) {
    std::memcpy(&old_size, static_cast<char*>(old) - header, sizeof old_size);
  } else {
    void* const memory = std::realloc(old, size);
    if (memory != nullptr) return memory;
    old_size = ::malloc_usable_size(old);
  }
  void* const memory = allocate(size);
  std::memcpy(memory, old, std::min(old_size, size));
  release(old);
  return memory;
}
// NOLINTEND(cppcoreguidelines-owning-memory)

char* copy(const char* text) {
  const std::size_t size = std::strlen(text) + 1;
  return static_cast<char*>(std::memcpy(allocate(size), text, size));
}

}  // namespace

void guard_libxml2_memory() {
  xmlFreeFunc frees = nullptr;
  xmlMallocFunc allocates = nullptr;
  xmlReallocFunc reallocates = nullptr;
  xmlStrdupFunc copies = nullptr;
  xmlMemGet(&frees, &allocates, &reallocates, &copies);
  // Memory of the C library's own functions and of these is released by both.
  if (allocates == &std::malloc && frees == &std::free) xmlMemSetup(release, allocate, reallocate, copy);
}

MemoryWatch::MemoryWatch() noexcept {
  reserve_was_needed = false;
}

bool MemoryWatch::ran_out() noexcept {
  return reserve_was_needed;
}

void MemoryWatch::require_memory() {
  if (reserve_was_needed) throw std::bad_alloc();
}

}  // namespace fifthpeg::musicxml::grammar
