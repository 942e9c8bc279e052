#include "hands/candidates.hpp"

#include <algorithm>
#include <utility>

#include "hands/fret_hand.hpp"

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

std::uint8_t slurred_by(const Grip& grip) {
  unsigned strings = 0;
  for (std::size_t n = 0; n < static_cast<std::size_t>(grip.count); ++n) {
    if (grip.techniques[n] != Technique::none) strings |= string_bit(grip.notes[n].string);
  }
  return static_cast<std::uint8_t>(strings);
}

}  // namespace

std::size_t Candidates::Hash::operator()(const RequestedStroke& stroke) const {
  std::size_t hash =
      static_cast<std::size_t>(stroke.count) * 4 + (stroke.brush ? 2 : 0) + (stroke.off_beat ? 1 : 0);
  const auto mix = [&hash](int value) {
    hash = (hash ^ static_cast<std::size_t>(value + 2)) * 0x9E3779B97F4A7C15U;
  };
  for (std::size_t n = 0; n < static_cast<std::size_t>(stroke.count); ++n) {
    const RequestedNote& note = stroke.notes[n];
    mix(note.midi);
    mix(((note.string * 64 + note.fret) * 8 + note.finger) * 8 + note.picking_finger);
    mix(note.slurs * 4 + static_cast<int>(note.ringing));
    mix((note.slur_asked ? 1 : 0) + (note.tied ? 2 : 0) + (note.bent ? 4 : 0) + (note.dead ? 8 : 0) +
        (note.harmonic ? 16 : 0));
  }
  return hash ^ (hash >> 32);
}

std::shared_ptr<const StrokeOptions> Candidates::of(const RequestedStroke& stroke) {
  const auto known = kept_.find(stroke);
  if (known != kept_.end()) return known->second;

  auto options = std::make_shared<StrokeOptions>();
  options->grips = grips_for(stroke, neck_, costs_, confinement_);
  std::vector<Struck> asked;  // for which pickings have been found, with where they are
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
      options->groups.push_back(
          {static_cast<std::uint16_t>(options->pickings.size()), static_cast<std::uint16_t>(ways.size())});
      options->pickings.insert(options->pickings.end(), ways.begin(), ways.end());
    }
    const auto [first, count] = options->groups[at];
    if (count == 0) continue;  // fixed picking fingers that do not go with these strings
    playable.push_back(grip);
    options->outlines.push_back({grip.total, first, count, static_cast<std::uint16_t>(at), options->rows,
                                 options->limits, grip.position,
                                 grip.slurred ? std::uint8_t{0} : grip.position, slurred_by(grip)});
    const std::size_t rows = grip.position == 0 ? HandState::positions : 1;
    options->rows = static_cast<std::uint16_t>(options->rows + rows);
    options->limits += static_cast<std::uint32_t>(rows * count);
    options->playable = options->playable || !grip.slurred;
  }
  options->grips = std::move(playable);
  options->picking_lanes = PickingColumns(options->pickings);
  if (kept_.size() >= most_kept) kept_.clear();
  kept_.emplace(stroke, options);
  return options;
}

}  // namespace fifthpeg::hands
