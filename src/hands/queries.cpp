#include "hands/queries.hpp"

#include <algorithm>

namespace fifthpeg::hands {
namespace {

bool is_stopped(const Note& note) {
  return note.placement && note.placement->fret > 0;
}

int finger_number(const Note& note) {
  return note.finger ? static_cast<int>(*note.finger) : 0;
}

// Of two stopped notes, what is wrong between their fingers.
HoldFault between(const Note& a, const Note& b, const Neck& neck) {
  const Note& low = a.placement->fret <= b.placement->fret ? a : b;
  const Note& high = &low == &a ? b : a;
  const int low_finger = finger_number(low);
  const int high_finger = finger_number(high);
  const double span = neck.span_mm(low.placement->fret, high.placement->fret);
  if (low_finger == 0 || high_finger == 0) return HoldFault::none;
  if (low_finger == high_finger) {
    return low.placement->fret == high.placement->fret ? HoldFault::none : HoldFault::finger_in_two_places;
  }
  const int fret_thumb = static_cast<int>(FretFinger::thumb);
  if (low_finger == fret_thumb || high_finger == fret_thumb) {
    return span > neck.thumb_limit() ? HoldFault::fingers_too_far : HoldFault::none;
  }
  if (low.placement->fret == high.placement->fret) return HoldFault::none;
  if (low_finger > high_finger) return HoldFault::fingers_out_of_order;
  return span > neck.limits(low_finger, high_finger).hard ? HoldFault::fingers_too_far : HoldFault::none;
}

HoldFault first_fault(const Stroke& stroke, const Neck& neck) {
  unsigned taken = 0;
  for (const Note& note : stroke.notes) {
    if (!note.placement) return HoldFault::unplaced;
    if (!neck.banjo().midi_at(*note.placement)) return HoldFault::no_such_fret;
    const unsigned bit = 1U << note.placement->string;
    if ((taken & bit) != 0) return HoldFault::two_on_one_string;
    taken |= bit;
  }
  for (std::size_t i = 0; i < stroke.notes.size(); ++i) {
    for (std::size_t j = i + 1; j < stroke.notes.size(); ++j) {
      if (!is_stopped(stroke.notes[i]) || !is_stopped(stroke.notes[j])) continue;
      const HoldFault fault = between(stroke.notes[i], stroke.notes[j], neck);
      if (fault != HoldFault::none) return fault;
    }
  }
  return HoldFault::none;
}

bool is_under_a_bar(const Stroke& stroke, const Note& open) {
  for (const Note& a : stroke.notes) {
    for (const Note& b : stroke.notes) {
      if (!is_stopped(a) || !is_stopped(b) || !a.finger || a.finger != b.finger) continue;
      if (a.placement->string < open.placement->string && open.placement->string < b.placement->string)
        return true;
    }
  }
  return false;
}

void measure(const Stroke& stroke, const Neck& neck, Hold& hold) {
  const Note* low = nullptr;
  const Note* high = nullptr;
  for (const Note& note : stroke.notes) {
    if (!is_stopped(note)) continue;
    if (low == nullptr || note.placement->fret < low->placement->fret) low = &note;
    if (high == nullptr || note.placement->fret > high->placement->fret) high = &note;
  }
  Stretch limits = neck.limits(1, 4);
  if (low != nullptr) {
    hold.low_fret = fret_of(*low->placement);
    hold.high_fret = fret_of(*high->placement);
    hold.span_mm = neck.span_mm(hold.low_fret, hold.high_fret);
    const int a = finger_number(*low);
    const int b = finger_number(*high);
    if (a >= 1 && b <= 4 && a < b) limits = neck.limits(a, b);
  }
  hold.comfortable_mm = limits.comfortable;
  hold.hard_mm = limits.hard;
}

RequestedStroke as_written(const Stroke& stroke, bool with_fingers) {
  RequestedStroke wanted_stroke;
  for (const Note& note : stroke.notes) {
    RequestedNote& wanted_note = wanted_stroke.add();
    wanted_note = requested(note, 0, {true, with_fingers, false});
    wanted_note.slurs = 0;
    wanted_note.slur_asked = false;
  }
  return wanted_stroke;
}

}  // namespace

Hold judge_hold(const Stroke& stroke, const Model& model) {
  Hold hold;
  const Neck& neck = model.neck();
  hold.fault = first_fault(stroke, neck);
  if (hold.fault == HoldFault::unplaced || hold.fault == HoldFault::no_such_fret) return hold;
  measure(stroke, neck, hold);
  if (hold.fault != HoldFault::none) return hold;
  // Two notes a string have been found above, so that there are no more notes than strings here.
  if (can_be_held(as_written(stroke, true), neck)) return hold;
  for (const Note& note : stroke.notes) {
    if (!is_stopped(note) && is_under_a_bar(stroke, note)) hold.fault = HoldFault::open_string_under_bar;
  }
  if (hold.fault != HoldFault::none) return hold;
  hold.fault = hold.span_mm > hold.hard_mm                    ? HoldFault::too_far
               : can_be_held(as_written(stroke, false), neck) ? HoldFault::fingers_out_of_order
                                                              : HoldFault::too_few_fingers;
  return hold;
}

PickFault judge_picking(const Stroke& stroke) {
  if (stroke.brush != Brush::none) return PickFault::none;
  std::array<int, string_count + 1> picking_finger_on{};
  picking_finger_on.fill(no_picking_finger);
  int picked = 0;
  bool frails = false;
  for (const Note& note : stroke.notes) {
    if (!note.placement || !note.picking_finger || note.tied_from_previous) continue;
    if (note.placement->string < 1 || note.placement->string > string_count) continue;
    picking_finger_on.at(static_cast<std::size_t>(string_of(*note.placement))) =
        static_cast<int>(*note.picking_finger);
    frails = frails || *note.picking_finger == PickingFinger::nail;
    ++picked;
  }
  if (frails) return PickFault::none;  // the frailing hand brushes as it strikes
  if (picked > 3) return PickFault::too_many_strings;
  int before = -1;  // no picking finger yet
  for (std::size_t string = string_count; string >= 1; --string) {
    if (picking_finger_on[string] == no_picking_finger) continue;
    if (picking_finger_on[string] == before) return PickFault::picking_finger_on_two_strings;
    if (picking_finger_on[string] < before) return PickFault::picking_fingers_crossed;
    before = picking_finger_on[string];
  }
  return PickFault::none;
}

namespace {

Picking picking_of(const Stroke& stroke) {
  Picking picking;
  for (const Note& note : stroke.notes) {
    if (!note.placement || note.tied_from_previous) continue;
    if (note.placement->string < 1 || note.placement->string > string_count) continue;
    const bool slurred = note.into == Technique::hammer_on || note.into == Technique::pull_off ||
                         note.into == Technique::slide;
    if (slurred && !note.picking_finger) continue;
    picking.strings |= string_bit(note.placement->string);
    if (!note.picking_finger) continue;
    picking.used |= static_cast<std::uint8_t>(1U << static_cast<unsigned>(*note.picking_finger));
    picking.picking_fingers.at(static_cast<std::size_t>(note.placement->string - 1)) =
        static_cast<std::int8_t>(*note.picking_finger);
  }
  note_drops(picking);
  return picking;
}

}  // namespace

Succession judge_succession(const Stroke& before, const Stroke& next, Wait wait, const Model& model) {
  const Picking a = picking_of(before);
  const Picking b = picking_of(next);
  Succession result;
  result.same_picking_finger = (a.used & b.used) != 0;
  result.same_string = (a.strings & b.strings) != 0;
  result.cost = model.picking_hand().repeat_cost(a, b, wait) + model.picking_hand().hurry_cost(a, b, wait);
  result.forbidden = result.same_picking_finger && wait.seconds < model.costs().picking_finger_takes;
  return result;
}

bool leads(Technique technique, const Note& from, const Note& to) {
  if (!from.placement || !to.placement || from.placement->string != to.placement->string) return false;
  const int a = fret_of(*from.placement);
  const int b = fret_of(*to.placement);
  const bool fingers_known = from.finger && to.finger && a > 0 && b > 0;
  switch (technique) {
    case Technique::hammer_on:
      return b > a && (!fingers_known || *to.finger > *from.finger);
    case Technique::pull_off:
      return b < a && (!fingers_known || *to.finger < *from.finger);
    case Technique::slide:
      return a > 0 && b > 0 && a != b && (!fingers_known || *to.finger == *from.finger);
    default:
      return true;
  }
}

}  // namespace fifthpeg::hands
