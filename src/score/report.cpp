#include "fifthpeg/report.hpp"

#include <algorithm>
#include <array>
#include <cstdio>

namespace fifthpeg {
namespace {

struct EntryKindText {
  std::string_view slug;
  std::string_view verb;
};

const EntryKindText& text_of(EntryKind kind) {
  constexpr static std::array<EntryKindText, 3> texts{
      {{"loss", "lost"}, {"repair", "repaired"}, {"choice", "decided"}}};
  return texts.at(static_cast<std::size_t>(kind));
}

Entry& entry_for(std::vector<Entry>& entries, EntryKind kind, std::string_view slug, std::string_view text) {
  const auto same = [&](const Entry& one) {
    return one.kind == kind && one.slug == slug && one.text == text;
  };
  // What happens often happens again soon: look at the last one first.
  const auto found = std::find_if(entries.rbegin(), entries.rend(), same);
  if (found != entries.rend()) return *found;
  return entries.emplace_back(Entry{kind, std::string(slug), std::string(text), 0, {}});
}

}  // namespace

std::string to_string(const Place& place) {
  std::string text;
  const auto add = [&text](const std::string& part) {
    if (!text.empty()) text += ", ";
    text += part;
  };
  if (!place.part.empty()) add("part " + place.part);
  const bool pickup = place.measure == "0";  // as MusicXML numbers it
  if (!place.measure.empty()) add(pickup ? "the pickup" : "measure " + place.measure);
  if (place.beat) add("beat " + counted_as(*place.beat));
  if (place.line > 0) add("line " + std::to_string(place.line));
  if (place.column > 0) add("column " + std::to_string(place.column));
  if (place.byte >= 0) {
    char hex[32];
    std::snprintf(hex, sizeof hex, "0x%llx", static_cast<unsigned long long>(place.byte));
    add("byte " + std::string(hex) + " (" + std::to_string(place.byte) + ")");
  }
  return text;
}

std::string_view slug(EntryKind kind) {
  return text_of(kind).slug;
}

std::string to_text(const Entry& entry) {
  std::string text = std::string(text_of(entry.kind).verb) + ": " + entry.text;
  if (text.ends_with('.')) text.pop_back();  // a bracket may follow
  const std::string place = entry.places.empty() ? std::string() : to_string(entry.places.front());
  if (entry.count > 1) {
    text +=
        " (" + std::to_string(entry.count) + " times" + (place.empty() ? "" : ", first at " + place) + ")";
  } else if (!place.empty()) {
    text += " (" + place + ")";
  }
  return text;
}

std::string to_text(const Report& report) {
  std::string text;
  for (const Entry& entry : report.entries()) text += to_text(entry) + "\n";
  return text;
}

void Report::add(EntryKind kind, std::string_view slug, std::string_view text, const Place& place) {
  Entry& entry = entry_for(entries_, kind, slug, text);
  ++entry.count;
  if (entry.places.size() < kept_places) entry.places.push_back(place);
}

void Report::add(const Entry& entry) {
  Entry& ours = entry_for(entries_, entry.kind, entry.slug, entry.text);
  ours.count += entry.count;
  const std::size_t taken = std::min(kept_places - ours.places.size(), entry.places.size());
  ours.places.insert(ours.places.end(), entry.places.begin(),
                     entry.places.begin() + static_cast<std::ptrdiff_t>(taken));
}

void Report::merge(const Report& other) {
  for (const Entry& entry : other.entries_) add(entry);
}

bool Report::has_losses() const {
  return std::any_of(entries_.begin(), entries_.end(),
                     [](const Entry& entry) { return entry.kind == EntryKind::loss; });
}

}  // namespace fifthpeg
