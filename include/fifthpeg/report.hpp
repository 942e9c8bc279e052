// What reading, setting up, fingering and writing have to say: data, never text thrown on a screen. Each
// function that has something to say holds a Report in its result, or returns one.
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
  std::int64_t column = 0;       // in a line, from 1, in characters
  friend bool operator==(const Place&, const Place&) = default;
};

// "measure 3, beat 2.5", "line 40, column 12", "byte 0x1f2 (498)"; empty where nothing is known.
std::string to_string(const Place& place);

enum class EntryKind : std::int8_t {
  loss,      // a value of the source that the result does not carry, be it right or wrong
  repair,    // the source is wrong; it was read by what it must mean, and no value was dropped for that
  decision,  // something that had to be decided, and how
};

// "loss", "repair", "choice": as programs write them.
std::string_view slug(EntryKind kind);

// Everything of one kind: counted, with its first places kept.
struct Entry {
  EntryKind kind = EntryKind::loss;
  std::string slug;  // "midi-hanging-note": stable, for programs
  std::string text;  // one sentence for people, without place or count
  std::uint64_t count = 0;
  std::vector<Place> places;  // the first ones, at most Report::kept_places
  friend bool operator==(const Entry&, const Entry&) = default;
};

// "lost: a slur is picked (3 times, first at measure 2, beat 1)": one line without its end.
std::string to_text(const Entry& entry);

class Report {
 public:
  static constexpr std::size_t kept_places = 1000;

  // Adds one occurrence. Those with the same slug and text are counted together.
  void add(EntryKind kind, std::string_view slug, std::string_view text, const Place& place = {});
  void add(const Entry& entry);
  // Appends another report, adding up what is the same.
  void merge(const Report& other);
  // Takes out the entries with a slug; says whether there were any.
  bool erase(std::string_view slug) {
    return std::erase_if(entries_, [slug](const Entry& entry) { return entry.slug == slug; }) > 0;
  }

  const std::vector<Entry>& entries() const { return entries_; }  // in the order first added
  bool has_losses() const;
  bool empty() const { return entries_.empty(); }

 private:
  std::vector<Entry> entries_;
};

// A line for each entry.
std::string to_text(const Report& report);

}  // namespace fifthpeg
