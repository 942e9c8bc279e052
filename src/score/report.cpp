#include "fifthpeg/report.hpp"

#include <algorithm>
#include <cstdio>

namespace fifthpeg {
namespace {

// "2", "2 1/2".
std::string beat_text(Fraction beat) {
  const Fraction whole = beat.floor();
  const Fraction rest = beat - whole;
  std::string text = to_string(whole);
  if (rest != 0) text.append(1, ' ').append(to_string(rest));
  return text;
}

Entry& entry(std::vector<Entry>& told, EntryKind kind, std::string_view slug, std::string_view text) {
  const auto same = [&](const Entry& one) {
    return one.kind == kind && one.slug == slug && one.text == text;
  };
  // What is told often is told again soon: look at the last one first.
  const auto found = std::find_if(told.rbegin(), told.rend(), same);
  if (found != told.rend()) return *found;
  return told.emplace_back(Entry{kind, std::string(slug), std::string(text), 0, {}});
}

}  // namespace

std::string to_string(const Place& place) {
  std::string text;
  const auto add = [&text](const std::string& part) {
    if (!text.empty()) text += ", ";
    text += part;
  };
  if (!place.part.empty()) add("part " + place.part);
  if (!place.measure.empty()) add("measure " + place.measure);
  if (place.beat) add("beat " + beat_text(*place.beat));
  if (place.line > 0) add("line " + std::to_string(place.line));
  if (place.byte >= 0) {
    char hex[32];
    std::snprintf(hex, sizeof hex, "0x%llx", static_cast<unsigned long long>(place.byte));
    add("byte " + std::string(hex) + " (" + std::to_string(place.byte) + ")");
  }
  return text;
}

void Report::add(EntryKind kind, std::string_view slug, std::string_view text, const Place& place) {
  Entry& told = entry(entries_, kind, slug, text);
  ++told.count;
  if (told.places.size() < kept_places) told.places.push_back(place);
}

void Report::merge(const Report& other) {
  for (const Entry& theirs : other.entries_) {
    Entry& ours = entry(entries_, theirs.kind, theirs.slug, theirs.text);
    ours.count += theirs.count;
    const std::size_t room = kept_places - ours.places.size();
    const std::size_t taken = std::min(room, theirs.places.size());
    ours.places.insert(ours.places.end(), theirs.places.begin(),
                       theirs.places.begin() + static_cast<std::ptrdiff_t>(taken));
  }
}

bool Report::has_losses() const {
  return std::any_of(entries_.begin(), entries_.end(),
                     [](const Entry& told) { return told.kind == EntryKind::loss; });
}

}  // namespace fifthpeg
