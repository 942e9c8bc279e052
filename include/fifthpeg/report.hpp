// What reading, fingering and writing have to say: data, never text thrown on a screen.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/fraction.hpp"

namespace fifthpeg {

// Where in a file. What is not known stays empty.
struct Place {
  std::string part;              // name or id
  std::string measure;           // its printed number
  std::optional<Fraction> beat;  // counted from 1, see beat_at()
  std::int64_t line = 0;         // of a text file, from 1
  std::int64_t byte = -1;        // of a binary file, from 0
  friend bool operator==(const Place&, const Place&) = default;
};

// "measure 3, beat 2 1/2", "line 40", "byte 0x1f2 (498)"; empty where nothing is known.
std::string to_string(const Place& place);

enum class EntryKind : std::int8_t {
  loss,      // something in the source that the result does not carry
  repair,    // the source is wrong; it was read by what it must mean
  decision,  // something that had to be decided, and how
};

// Everything told of one kind: counted, with its first places kept.
struct Entry {
  EntryKind kind = EntryKind::loss;
  std::string slug;  // "midi-hanging-note": stable, for programs
  std::string text;  // one sentence for people, without place or count
  std::uint64_t count = 0;
  std::vector<Place> places;  // the first ones, at most Report::kept_places
  friend bool operator==(const Entry&, const Entry&) = default;
};

class Report {
 public:
  static constexpr std::size_t kept_places = 1000;

  // Adds one occurrence. Tellings with the same slug and text are counted together.
  void add(EntryKind kind, std::string_view slug, std::string_view text, const Place& place = {});
  // Appends another report, adding up what is the same.
  void merge(const Report& other);
  // Takes out what was told under a slug; says whether there was anything.
  bool forget(std::string_view slug) {
    return std::erase_if(entries_, [slug](const Entry& told) { return told.slug == slug; }) > 0;
  }

  const std::vector<Entry>& entries() const { return entries_; }  // in the order first told
  bool has_losses() const;
  bool empty() const { return entries_.empty(); }

 private:
  std::vector<Entry> entries_;
};

}  // namespace fifthpeg
