// The questions that a checker asks the model of the hands.
#include "hands/queries.hpp"

#include <gtest/gtest.h>

#include "hands/scores.hpp"

namespace fifthpeg::hands {
namespace {

struct Stopped {
  int string;
  int fret;
  FretFinger finger;
};

Stroke stroke_of(std::initializer_list<Stopped> notes) {
  Stroke stroke;
  for (const Stopped& one : notes) {
    Note note;
    note.placement = Placement{static_cast<std::int8_t>(one.string), static_cast<std::int8_t>(one.fret)};
    note.pitch = spell(Banjo{}.midi_at(*note.placement).value_or(60), Key{});
    note.finger = one.finger;
    stroke.notes.push_back(note);
  }
  return stroke;
}

HoldFault fault_of(std::initializer_list<Stopped> notes) {
  const Model model(Banjo{}, HandsOptions{}, Style::roll);
  return judge_hold(stroke_of(notes), model).fault;
}

using enum FretFinger;

TEST(Queries, HoldsUsualChords) {
  EXPECT_EQ(fault_of({{1, 2, ring}, {2, 1, index}, {3, 0, open}, {4, 2, middle}}), HoldFault::none);
  EXPECT_EQ(fault_of({{1, 12, index}, {2, 12, index}, {3, 12, index}, {4, 12, index}}), HoldFault::none);
  EXPECT_EQ(fault_of({{1, 7, little}, {2, 6, middle}, {3, 5, index}, {4, 7, ring}}), HoldFault::none);
}

TEST(Queries, SaysWhatCannotBeHeld) {
  EXPECT_EQ(fault_of({{1, 2, index}, {1, 4, ring}}), HoldFault::two_on_one_string);
  EXPECT_EQ(fault_of({{5, 3, index}}), HoldFault::no_such_fret);
  EXPECT_EQ(fault_of({{1, 2, index}, {2, 4, index}}), HoldFault::finger_in_two_places);
  EXPECT_EQ(fault_of({{1, 2, ring}, {2, 4, index}}), HoldFault::fingers_out_of_order);
  EXPECT_EQ(fault_of({{1, 1, index}, {2, 9, little}}), HoldFault::fingers_too_far);
  EXPECT_EQ(fault_of({{1, 2, index}, {2, 5, middle}}), HoldFault::fingers_too_far);  // 94 mm for neighbors
  EXPECT_EQ(fault_of({{1, 5, index}, {2, 0, open}, {3, 5, index}}), HoldFault::open_string_under_bar);
}

TEST(Queries, SaysHowFarAStretchIs) {
  const Model model(Banjo{}, HandsOptions{}, Style::roll);
  const Hold hold = judge_hold(stroke_of({{1, 5, little}, {4, 1, index}}), model);
  EXPECT_EQ(hold.fault, HoldFault::none);
  // Equal temperament on 667 mm: L (2^(-1/12) - 2^(-5/12)).
  EXPECT_NEAR(hold.span_mm, 129.9, 0.1);
  EXPECT_DOUBLE_EQ(hold.comfortable_mm, 120.0);
  EXPECT_DOUBLE_EQ(hold.hard_mm, 150.0);
  EXPECT_EQ(hold.low_fret, 1);
  EXPECT_EQ(hold.high_fret, 5);
}

Stroke picked(std::initializer_list<std::pair<int, PickingFinger>> notes) {
  Stroke stroke;
  for (const auto& [string, picking_finger] : notes) {
    Note note;
    note.placement = Placement{static_cast<std::int8_t>(string), 0};
    note.picking_finger = picking_finger;
    stroke.notes.push_back(note);
  }
  return stroke;
}

TEST(Queries, SaysWhatCannotBePicked) {
  using enum PickingFinger;
  EXPECT_EQ(judge_picking(picked({{1, PickingFinger::middle}, {3, PickingFinger::thumb}})), PickFault::none);
  EXPECT_EQ(judge_picking(picked({{1, PickingFinger::thumb}, {3, PickingFinger::thumb}})),
            PickFault::picking_finger_on_two_strings);
  EXPECT_EQ(judge_picking(picked({{1, PickingFinger::thumb}, {3, PickingFinger::middle}})),
            PickFault::picking_fingers_crossed);
  Stroke four = picked({{1, PickingFinger::middle},
                        {2, PickingFinger::index},
                        {3, PickingFinger::thumb},
                        {4, PickingFinger::thumb}});
  EXPECT_EQ(judge_picking(four), PickFault::too_many_strings);
  four.brush = Brush::up;
  EXPECT_EQ(judge_picking(four), PickFault::none);
}

TEST(Queries, JudgesOneStrokeAfterAnother) {
  const Model model(Banjo{}, HandsOptions{}, Style::roll);
  const Stroke thumb = picked({{3, PickingFinger::thumb}});
  const Stroke index = picked({{2, PickingFinger::index}});
  EXPECT_EQ(judge_succession(thumb, index, 0.05F, model).cost, 0);
  const Succession fast = judge_succession(thumb, thumb, 0.05F, model);
  EXPECT_TRUE(fast.same_picking_finger);
  EXPECT_TRUE(fast.same_string);
  EXPECT_TRUE(fast.forbidden);
  const Succession slow = judge_succession(thumb, thumb, 1.0F, model);
  EXPECT_FALSE(slow.forbidden);
  EXPECT_EQ(slow.cost, 0);
  EXPECT_LT(judge_succession(thumb, thumb, 0.3F, model).cost,
            judge_succession(thumb, thumb, 0.15F, model).cost);
}

TEST(Queries, SaysWhetherATechniqueLeadsThere) {
  const Stroke from = stroke_of({{1, 2, FretFinger::index}});
  const Stroke to = stroke_of({{1, 4, FretFinger::ring}});
  EXPECT_TRUE(leads(Technique::hammer_on, from.notes[0], to.notes[0]));
  EXPECT_FALSE(leads(Technique::pull_off, from.notes[0], to.notes[0]));
  EXPECT_TRUE(leads(Technique::pull_off, to.notes[0], from.notes[0]));
  EXPECT_FALSE(leads(Technique::slide, from.notes[0], to.notes[0])) << "another finger";
  const Stroke other = stroke_of({{2, 4, FretFinger::ring}});
  EXPECT_FALSE(leads(Technique::hammer_on, from.notes[0], other.notes[0])) << "another string";
}

}  // namespace
}  // namespace fifthpeg::hands
