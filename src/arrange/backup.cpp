#include "arrange/backup.hpp"

#include <utility>

#include "arrange/candidates.hpp"
#include "arrange/melody.hpp"
#include "arrange/path.hpp"
#include "arrange/plan.hpp"
#include "arrange/vamp.hpp"
#include "arrange/written.hpp"
#include "hands/model.hpp"

namespace fifthpeg::arranging {
namespace {

// From this level on backup is a vamp.
constexpr int vamps_from = 3;

// Units over the chords of the melody, which somebody else plays; where it rests is known.
std::vector<Unit> units_without_melody(const Score& score, const std::vector<InferredChord>& inferred,
                                       int level) {
  Report passed_over;
  Plan plan = plan_of(score, melody_of(score, passed_over), inferred, {}, Style::roll, level);
  for (Unit& unit : plan.units) {
    unit.wanted.clear();
    unit.held = 0;
    unit.next_midi = 0;
    unit.next_after = 0;
  }
  return std::move(plan.units);
}

Score rolls_over(const Score& score, const std::vector<Unit>& units, int level) {
  Neckwork neck(score.banjo, level, false);
  const hands::Model model(score.banjo, {}, Style::roll);
  const auto candidates = [&](const Unit& unit) { return roll_candidates(unit, neck); };
  Score backup = written(score, units, cheapest_way(units, candidates, model, neck, roll_seam));
  for (Measure& measure : backup.measures) {
    for (Stroke& stroke : measure.strokes) {
      for (Note& note : stroke.notes) note.role = Role::backup;
    }
  }
  return backup;
}

}  // namespace

Score backup_of(const Score& score, const std::vector<InferredChord>& inferred, int level) {
  const std::vector<Unit> units = units_without_melody(score, inferred, level);
  Score backup;
  if (level < vamps_from) {
    backup = rolls_over(score, units, level);
  } else {
    backup = score;
    write_vamp(backup, units, level);
  }
  backup.part_name = "Banjo backup";
  HandsOptions hands;
  hands.transpose = 0;
  hands.suggest_slurs = false;
  finger(backup, hands);
  return backup;
}

}  // namespace fifthpeg::arranging
