#include "licks/form.hpp"

#include <algorithm>

#include "fifthpeg/licks.hpp"

namespace fifthpeg::licks {
namespace {

// Ways of playing that make another lick of the same notes, as bits. Hammer-ons, pull-offs and plain slurs
// are one: which of them it is the notes say.
namespace manners {
constexpr std::uint32_t slurred = 1U << 0U;
constexpr std::uint32_t slid = 1U << 1U;
constexpr std::uint32_t grace = 1U << 2U;
constexpr std::uint32_t brushed = 1U << 3U;
constexpr std::uint32_t chime = 1U << 4U;
constexpr std::uint32_t muffled = 1U << 5U;
constexpr std::uint32_t choked = 1U << 6U;
constexpr std::uint32_t damped = 1U << 7U;
}  // namespace manners

std::uint32_t manner_of(const Note& note) {
  std::uint32_t manner = 0;
  if (note.into == Technique::slide) {
    manner |= manners::slid;
  } else if (note.into != Technique::none) {
    manner |= manners::slurred;
  }
  if (note.harmonic) manner |= manners::chime;
  if (note.dead) manner |= manners::muffled;
  if (note.choke) manner |= manners::choked;
  if (note.ring == Ring::damp) manner |= manners::damped;
  return manner;
}

// False where nothing of it is struck.
bool take_stroke(const Stroke& stroke, FormStroke& form) {
  bool all_known = true;
  for (const Note& note : stroke.notes) {
    if (note.tied_from_previous) continue;
    form.pitches.push_back(note.pitch.midi());
    form.manner |= manner_of(note);
    all_known = all_known && note.placement.has_value();
    if (note.placement) form.strings.push_back(note.placement->string);
  }
  if (!all_known) form.strings.clear();
  if (stroke.grace != Grace::none) form.manner |= manners::grace;
  if (stroke.brush != Brush::none) form.manner |= manners::brushed;
  std::sort(form.pitches.begin(), form.pitches.end());
  std::sort(form.strings.begin(), form.strings.end());
  return !form.pitches.empty();
}

}  // namespace

LickForm form_of(const Score& lick) {
  // Somebody may have written that a lick is played a thousand times.
  constexpr std::size_t most_played = 4 * longest_lick;
  LickForm form;
  Fraction start;  // of the measure, from the barline before the first stroke
  for (const std::size_t index : playing_order(lick, most_played).measures) {
    const Measure& measure = lick.measures[index];
    if (form.strokes.empty()) start = counted_before(measure);
    for (const Stroke& stroke : measure.strokes) {
      FormStroke one;
      if (!take_stroke(stroke, one)) continue;
      one.at = start + stroke.onset;
      if (!form.strokes.empty()) {
        const int before = form.strokes.back().pitches.back();
        const int top = one.pitches.back();
        one.direction = top > before ? 1 : top < before ? -1 : 0;
      }
      form.strokes.push_back(std::move(one));
    }
    start += measure.length;
  }
  return form;
}

std::string identity_of(const LickForm& form) {
  std::string text;
  for (const FormStroke& stroke : form.strokes) {
    text.append(to_string(stroke.at)).append(":").append(std::to_string(stroke.manner));
    for (const int pitch : stroke.pitches) {
      text.append(",").append(std::to_string(pitch - form.strokes.front().pitches.front()));
    }
    text.append(";");
  }
  return text;
}

}  // namespace fifthpeg::licks
