#include "score/playing_order.hpp"

#include <algorithm>
#include <string>

namespace fifthpeg {
namespace {

using JumpKind = Direction::Kind;

bool has(const Measure& measure, JumpKind kind) {
  return std::any_of(measure.directions.begin(), measure.directions.end(),
                     [kind](const Direction& direction) { return direction.kind == kind; });
}

bool plays_in_pass(const Ending& ending, int pass) {
  return std::find(ending.numbers.begin(), ending.numbers.end(), pass) != ending.numbers.end();
}

// Follows the signs through a score. Conventions (common practice): a repeat without a forward sign goes
// back to the end of the last repeated section, or to the beginning; after D.C. or D.S. inner repeats are not
// taken, of endings the last is played, and Fine and "to coda" hold only then. A sign takes effect at the end
// of its measure, segno and coda at the beginning of theirs.
class Player {
 public:
  Player(const Score& score, std::size_t limit) : measures_(score.measures), limit_(limit) {}

  PlayingOrder run() {
    std::size_t at = 0;
    while (at < measures_.size()) {
      const Measure& measure = measures_[at];
      if (measure.repeat_starts && at != section_) enter_section(at);
      if (skipped(at)) {
        at = next_bracket(at);
        continue;
      }
      if (order_.measures.size() == limit_) return straight_through();
      order_.measures.push_back(at);
      const std::size_t next = after(at);
      if (next == finished) break;
      at = next;
    }
    return std::move(order_);
  }

 private:
  static constexpr std::size_t finished = static_cast<std::size_t>(-1);

  void enter_section(std::size_t at) {
    section_ = at;
    pass_ = 1;
  }

  // An ending that starts here and is not for this pass.
  bool skipped(std::size_t at) {
    if (!bracket_starts(at)) return false;
    if (jumped_) return bracket_starts(next_bracket(at));  // only the last is played
    return !plays_in_pass(*measures_[at].ending, pass_);
  }

  // The measure after the bracket that starts at `at`.
  std::size_t next_bracket(std::size_t at) const {
    for (; at < measures_.size(); ++at) {
      const auto& ending = measures_[at].ending;
      if (!ending) return at;
      if (ending->stop != Ending::Stop::none || bracket_starts(at + 1)) return at + 1;
    }
    return at;
  }

  bool bracket_starts(std::size_t at) const {
    return at < measures_.size() && measures_[at].ending && measures_[at].ending->starts;
  }

  // How often the section that ends with the repeat at `at` is played: at least as often as its endings say.
  int times(std::size_t at) const {
    int most = measures_[at].repeat_times;
    const auto& ending = measures_[at].ending;
    if (!ending) return most;
    for (const int number : ending->numbers) most = std::max(most, number + (bracket_starts(at + 1) ? 1 : 0));
    return most;
  }

  std::size_t after(std::size_t at) {
    const Measure& measure = measures_[at];
    if (jumped_ && has(measure, JumpKind::fine)) return finished;
    if (jumped_ && has(measure, JumpKind::to_coda)) {
      const std::size_t coda = find(JumpKind::coda, at + 1);
      if (coda != finished) return coda;
    }
    if (measure.repeat_times > 0 && !jumped_) {
      if (pass_ < times(at)) {
        ++pass_;
        return section_;
      }
      enter_section(at + 1);
    }
    if (!jumped_ && (has(measure, JumpKind::da_capo) || has(measure, JumpKind::dal_segno))) {
      jumped_ = true;
      const std::size_t segno = has(measure, JumpKind::dal_segno) ? find(JumpKind::segno, 0) : 0;
      if (segno != finished) return segno;
    }
    return at + 1;
  }

  std::size_t find(JumpKind kind, std::size_t from) const {
    for (std::size_t i = from; i < measures_.size(); ++i) {
      if (has(measures_[i], kind)) return i;
    }
    return finished;
  }

  PlayingOrder straight_through() const {
    PlayingOrder order;
    order.bounded = true;
    for (std::size_t i = 0; i < measures_.size(); ++i) order.measures.push_back(i);
    return order;
  }

  const std::vector<Measure>& measures_;
  std::size_t limit_;
  PlayingOrder order_;
  std::size_t section_ = 0;
  int pass_ = 1;
  bool jumped_ = false;
};

// What is played after a jump goes on in the tempo printed there.
void restate_tempo(Measure& measure, const Tempo* printed) {
  const bool states_its_own = !measure.tempos.empty() && measure.tempos.front().at == 0;
  if (printed == nullptr || states_its_own) return;
  const auto restated = measure.tempos.insert(measure.tempos.begin(), *printed);
  restated->at = 0;
  restated->words.clear();
}

}  // namespace

PlayingOrder playing_order(const Score& score, std::size_t limit) {
  return Player(score, limit).run();
}

std::vector<const Tempo*> tempos_in_force(const Score& score) {
  std::vector<const Tempo*> result;
  const Tempo* in_force = nullptr;
  for (const Measure& measure : score.measures) {
    result.push_back(in_force);
    if (!measure.tempos.empty()) in_force = &measure.tempos.back();
  }
  return result;
}

void count_measures(std::vector<Measure>& measures) {
  int number = 1;
  for (Measure& measure : measures) {
    measure.number = std::to_string(measure.implicit && number == 1 ? 0 : number);
    if (!measure.implicit) ++number;
  }
}

Score unfolded(const Score& score) {
  Score result{score.work, score.part_name, score.banjo, score.swing, score.key_estimated, {}};
  const PlayingOrder order = playing_order(score);
  const std::vector<const Tempo*> tempos = tempos_in_force(score);
  std::size_t expected = 0;
  for (const std::size_t index : order.measures) {
    Measure measure = score.measures[index];
    if (index != expected) restate_tempo(measure, tempos[index]);
    expected = index + 1;
    measure.repeat_starts = false;
    measure.repeat_times = 0;
    measure.ending.reset();
    std::erase_if(measure.directions, is_jump);
    result.measures.push_back(std::move(measure));
  }
  count_measures(result.measures);
  normalize(result);
  return result;
}

}  // namespace fifthpeg
