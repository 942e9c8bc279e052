#include "hands/candidates.hpp"

#include <algorithm>
#include <string_view>
#include <utility>

namespace fifthpeg::hands {
namespace {

Struck struck_by(const Grip& grip, const RequestedStroke& stroke) {
  Struck struck;
  struck.strings = grip.picked;
  struck.brush = stroke.brush;
  struck.off_beat = stroke.off_beat;
  for (std::size_t n = 0; n < static_cast<std::size_t>(grip.count); ++n) {
    if ((grip.picked & string_bit(grip.notes[n].string)) == 0) continue;
    struck.fixed[static_cast<std::size_t>(grip.notes[n].string - 1)] = stroke.notes[n].picking_finger;
  }
  return struck;
}

}  // namespace

std::size_t Candidates::Hash::operator()(const RequestedStroke& stroke) const {
  const auto bytes = bytes_of(stroke);
  return std::hash<std::string_view>{}({bytes.data(), bytes.size()});
}

std::shared_ptr<const StrokeOptions> Candidates::of(const RequestedStroke& stroke) {
  const auto known = kept_.find(stroke);
  if (known != kept_.end()) return known->second;

  auto options = std::make_shared<StrokeOptions>();
  options->grips = grips_for(stroke, neck_, costs_, confinement_);
  if (stroke.count > 1) options->margin = StrokeOptions::chord_margin;
  for (std::size_t n = 0; n < static_cast<std::size_t>(stroke.count); ++n) {
    const RequestedNote& note = stroke.notes[n];
    const bool fixed = note.slur_asked || note.tied || note.string != RequestedNote::free ||
                       note.finger != RequestedNote::free || note.ringing == RequestedNote::let_ring;
    if (fixed) options->margin = std::max(options->margin, StrokeOptions::fixed_margin);
  }
  std::vector<Struck> asked;  // for which pickings have been found
  std::vector<StrokeOptions::Group> found;
  std::vector<Grip> playable;
  for (const Grip& grip : options->grips) {
    const Struck struck = struck_by(grip, stroke);
    const auto same = std::find_if(asked.begin(), asked.end(), [&](const Struck& other) {
      return other.strings == struck.strings && other.fixed == struck.fixed;
    });
    const auto at = static_cast<std::size_t>(same - asked.begin());
    if (same == asked.end()) {
      const std::vector<Picking> ways = picking_.pickings(struck);
      asked.push_back(struck);
      found.push_back(
          {static_cast<std::uint16_t>(options->pickings.size()), static_cast<std::uint16_t>(ways.size())});
      options->pickings.insert(options->pickings.end(), ways.begin(), ways.end());
    }
    if (found[at].pickings == 0) continue;  // fixed digits that do not go with these strings
    const Grip* const last = playable.empty() ? nullptr : &playable.back();
    const bool same_places = last != nullptr && last->picked == grip.picked && last->notes == grip.notes;
    const int places = last == nullptr ? 0 : same_places ? last->places : last->places + 1;
    playable.push_back(grip);
    playable.back().places = static_cast<std::uint16_t>(places);
    options->groups.push_back(found[at]);
    options->playable = options->playable || !grip.slurred;
  }
  options->grips = std::move(playable);
  if (kept_.size() >= most_kept) kept_.clear();
  kept_.emplace(stroke, options);
  return options;
}

}  // namespace fifthpeg::hands
