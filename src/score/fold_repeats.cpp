// Repeats that are written out, folded into repeat signs and endings.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "fifthpeg/edit.hpp"
#include "score/playing_order.hpp"

namespace fifthpeg {
namespace {

// Common practice: a part of a tune that is written with repeat signs has four measures or more, and an
// ending one or two.
constexpr double shortest_part = 4;
constexpr double longest_ending = 2;
constexpr std::size_t longest_part = 64;  // measures
// What a reader pays for signs, in measures that are printed.
constexpr double cost_of_repeat = 0.5;
constexpr double cost_of_endings = 1.0;

// A measure, or what of it stands before or after the place where a part with a pickup begins.
struct Portion {
  enum class Of : std::int8_t { whole, head, tail } of = Of::whole;
  std::size_t measure = 0;
  Measure content;
  double measures = 1;  // how much of a measure it is
  std::size_t id = 0;   // equal music, equal number
};

// The part of a measure from one place to another, where no stroke reaches over these; else nothing.
std::optional<Measure> part_of(const Measure& measure, Fraction from, Fraction to) {
  Measure part = measure;
  part.length = to - from;
  part.strokes.clear();
  Fraction filled = from;
  for (const Stroke& stroke : measure.strokes) {
    const bool is_grace = stroke.grace != Grace::none;
    Stroke kept = stroke;
    const Fraction end = is_grace ? stroke.onset : stroke.onset + stroke.duration;
    if (end < from || stroke.onset > to || (!is_grace && (end == from || stroke.onset == to))) continue;
    if (is_grace && stroke.onset == to) continue;
    if (stroke.onset < from || end > to) {
      if (!stroke.is_rest() || !stroke.tuplets.empty()) return std::nullopt;
      kept.onset = std::max(stroke.onset, from);
      kept.duration = std::min(end, to) - kept.onset;
    }
    if (!is_grace) filled = kept.onset + kept.duration;
    kept.onset -= from;
    part.strokes.push_back(std::move(kept));
  }
  if (filled != to) return std::nullopt;
  const auto keep = [&](auto& things) {
    std::erase_if(things, [&](const auto& thing) {
      return thing.at < from || (thing.at >= to && to < measure.length);
    });
    for (auto& thing : things) thing.at -= from;
  };
  keep(part.tempos);
  keep(part.chords);
  keep(part.directions);
  return part;
}

bool repeats_already(const Score& score) {
  return std::any_of(score.measures.begin(), score.measures.end(), [](const Measure& measure) {
    return measure.repeat_starts || measure.repeat_times > 0 || measure.ending ||
           std::any_of(measure.directions.begin(), measure.directions.end(), is_jump);
  });
}

Fraction length_of(const Score& score) {
  Fraction length;
  for (const Measure& measure : score.measures) length += measure.length;
  return length;
}

class Folder {
 public:
  Folder(Score& score, PieceEnd end) : score_(score), end_(end) {}

  Report run() {
    split();
    number();
    plan();
    return write();
  }

 private:
  // ---- what may be a part ------------------------------------------------------------------------

  // Where a piece begins with a pickup, its parts do too, and begin inside measures.
  void split() {
    const auto& measures = score_.measures;
    const Measure& first = measures.front();
    const Fraction pickup =
        first.implicit && first.length < first.meter.length() ? first.length : Fraction(0);
    for (std::size_t i = 0; i < measures.size(); ++i) {
      const Measure& measure = measures[i];
      const double of_meter = (measure.length / measure.meter.length()).to_double();
      const Fraction border = measure.length - pickup;
      if (i > 0 && pickup > 0 && measure.length == measure.meter.length() && measure.meter == first.meter &&
          measure.key_changes.empty()) {
        auto head = part_of(measure, 0, border);
        auto tail = part_of(measure, border, measure.length);
        if (head && tail) {
          head->right_bar = BarStyle::regular;
          tail->implicit = true;
          const double share = (border / measure.length).to_double();
          portions_.push_back({Portion::Of::head, i, std::move(*head), share});
          portions_.push_back({Portion::Of::tail, i, std::move(*tail), 1 - share});
          continue;
        }
      }
      portions_.push_back({Portion::Of::whole, i, measure, of_meter});
    }
    if (pickup > 0 && end_ == PieceEnd::open) add_silence(pickup);
  }

  // A last measure that is full is followed, each time but the last, by what a measure has before the next
  // pickup. Where that is a rest, the silence at the end is as good.
  void add_silence(Fraction pickup) {
    const Measure& last = score_.measures.back();
    if (last.length != last.meter.length() || last.meter != score_.measures.front().meter) return;
    Measure rest;
    rest.meter = last.meter;
    rest.key = last.key_changes.empty() ? last.key : last.key_changes.back().key;
    rest.length = last.length - pickup;
    rest.strokes.emplace_back();
    rest.strokes.back().duration = rest.length;
    portions_.push_back({Portion::Of::head, score_.measures.size(), std::move(rest), 0});
  }

  // What is equal but for what unfolded() changes, and for barlines, is the same music.
  void number() {
    std::unordered_map<std::uint64_t, std::vector<std::size_t>> known;  // by a hash: portions
    const Tempo* tempo = nullptr;
    std::vector<Tempo> at_start(portions_.size());
    std::vector<Measure> compared;
    for (std::size_t i = 0; i < portions_.size(); ++i) {
      Measure content = portions_[i].content;
      for (const Tempo& one : portions_[i].content.tempos) {
        if (one.at == 0) tempo = &one;
      }
      if (tempo != nullptr) at_start[i] = *tempo;
      at_start[i].at = 0;
      at_start[i].words.clear();
      at_start[i].shown = true;
      if (!portions_[i].content.tempos.empty()) tempo = &portions_[i].content.tempos.back();
      std::erase_if(content.tempos, [](const Tempo& one) { return one.at == 0; });
      content.number.clear();
      content.right_bar = BarStyle::regular;
      compared.push_back(std::move(content));
      auto& like = known[hash_of(compared.back())];
      const auto same = std::find_if(like.begin(), like.end(), [&](std::size_t other) {
        return at_start[other] == at_start[i] && compared[other] == compared[i];
      });
      portions_[i].id = same == like.end() ? i : *same;
      if (same == like.end()) like.push_back(i);
    }
  }

  static std::uint64_t hash_of(const Measure& measure) {
    std::uint64_t hash = 14695981039346656037U;  // FNV-1a
    const auto add = [&](std::int64_t value) {
      hash = (hash ^ static_cast<std::uint64_t>(value)) * 1099511628211U;
    };
    add(measure.length.num());
    for (const Stroke& stroke : measure.strokes) {
      add(stroke.onset.num());
      add(stroke.onset.den());
      for (const Note& note : stroke.notes) add(note.pitch.midi());
    }
    return hash;
  }

  // ---- the shortest way to print it ------------------------------------------------------------------

  struct Step {
    double cost = 0;         // from here to the end
    std::size_t body = 1;    // portions that are printed once
    std::size_t times = 1;   // and played so often
    std::size_t ending = 0;  // portions of the first ending
    std::size_t second = 0;  // and of the second
    std::size_t next() const { return ending == 0 ? body * times : 2 * body + ending + second; }
  };

  void plan() {
    const std::size_t count = portions_.size();
    sums_.assign(count + 1, 0.0);
    for (std::size_t i = 0; i < count; ++i) sums_[i + 1] = sums_[i] + portions_[i].measures;
    steps_.assign(count + 1, {});
    // How many portions from here on are equal to those so many later.
    std::vector<std::size_t> equal(2 * longest_part + 1, 0);
    for (std::size_t i = count; i-- > 0;) {
      Step& best = steps_[i];
      best.cost = portions_[i].measures + steps_[i + 1].cost;
      for (std::size_t lag = 1; lag < equal.size() && i + lag < count; ++lag) {
        equal[lag] = portions_[i].id == portions_[i + lag].id ? equal[lag] + 1 : 0;
        if (equal[lag] == 0) continue;
        if (equal[lag] >= lag) {
          consider_repeat(i, lag, equal[lag] / lag + 1);
        } else {
          consider_endings(i, equal[lag], lag);
        }
      }
    }
  }

  // What is none of the score's measures.
  bool is_silence(std::size_t portion) const { return portions_[portion].measure == score_.measures.size(); }

  double measures_in(std::size_t from, std::size_t to) const { return sums_[to] - sums_[from]; }

  void consider_repeat(std::size_t at, std::size_t body, std::size_t most_times) {
    if (measures_in(at, at + body) < shortest_part - slack) return;
    for (std::size_t times = 2; times <= most_times; ++times) {
      consider(at, {measures_in(at, at + body) + cost_of_repeat, body, times});
    }
  }

  // The body is played twice, `lag` portions apart, and then something else each time.
  void consider_endings(std::size_t at, std::size_t body, std::size_t lag) {
    const std::size_t ending = lag - body;
    const double first = measures_in(at + body, at + lag);
    const double part = measures_in(at, at + lag);
    if (part < shortest_part - slack || first > std::min(longest_ending, part / 4) + slack) return;
    // The last one may be without the pickup of the next part.
    const std::size_t from = at + lag + body;
    for (std::size_t second = 1; second <= ending && from + second <= portions_.size(); ++second) {
      if (second < ending && from + second < portions_.size()) continue;
      if (is_silence(from + second - 1)) continue;
      consider(at, {measures_in(at, at + lag) + measures_in(from, from + second) + cost_of_endings, body, 2,
                    ending, second});
    }
  }

  void consider(std::size_t at, Step step) {
    step.cost += steps_[at + step.next()].cost;
    if (step.cost <= steps_[at].cost - (steps_[at].times > 1 ? slack : 0)) steps_[at] = step;
  }

  // ---- the result --------------------------------------------------------------------------------

  Report write() {
    Report report;
    double again = 0;  // measures that are not printed
    for (std::size_t at = 0; at < portions_.size(); at += steps_[at].next()) {
      const Step& step = steps_[at];
      if (step.times == 1) {
        print(at, at + 1);
        continue;
      }
      const std::size_t begins = printed_.size();
      const double body = measures_in(at, at + step.body);
      again += body * static_cast<double>(step.times - 1);
      seam_ = true;
      print(at, at + step.body);
      // At the beginning of a piece the sign is left out (common practice).
      printed_[begins].repeat_starts = begins > 0;
      if (step.ending > 0) {
        const std::size_t first = at + step.body;
        print_ending(first, first + step.ending, {{1}, true, Ending::Stop::closed});
      }
      printed_.back().repeat_times = static_cast<int>(step.times);
      seam_ = true;
      if (step.ending > 0) {
        const std::size_t second = at + 2 * step.body + step.ending;
        print_ending(second, second + step.second, {{2}, true, Ending::Stop::open});
      }
      ++repeats_;
    }
    if (repeats_ == 0) return report;
    score_.measures = std::move(printed_);
    count_measures(score_.measures);
    normalize(score_);
    report.add(EntryKind::decision, "repeats-folded",
               std::to_string(std::lround(again)) + " measures that repeat others are written with " +
                   (repeats_ == 1 ? "a repeat sign" : std::to_string(repeats_) + " repeat signs"));
    return report;
  }

  void print_ending(std::size_t from, std::size_t to, Ending ending) {
    const std::size_t begins = printed_.size();
    seam_ = true;
    print(from, to);
    const Ending::Stop stop = std::exchange(ending.stop, Ending::Stop::none);
    for (std::size_t i = begins; i < printed_.size(); ++i) {
      ending.starts = i == begins;
      printed_[i].ending = ending;
    }
    printed_.back().ending->stop = stop;
    seam_ = true;
  }

  // Both halves of a measure make the measure, unless a part begins between them.
  void print(std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < to; ++i) {
      const Portion& portion = portions_[i];
      if (is_silence(i)) continue;
      if (portion.of == Portion::Of::tail && !seam_) {
        printed_.back() = score_.measures[portion.measure];
      } else {
        printed_.push_back(portion.content);
      }
      seam_ = false;
    }
  }

  static constexpr double slack = 1e-9;

  Score& score_;
  PieceEnd end_;
  std::vector<Portion> portions_;
  std::vector<double> sums_;  // measures before each portion
  std::vector<Step> steps_;   // from each portion on
  std::vector<Measure> printed_;
  bool seam_ = true;  // a part, or an ending, begins with what is printed next
  std::size_t repeats_ = 0;
};

}  // namespace

Report fold_repeats(Score& score, PieceEnd end) {
  if (score.measures.size() < 2 || repeats_already(score)) return {};
  const Fraction length = length_of(score);
  Report report = Folder(score, end).run();
  if (end == PieceEnd::open && length_of(unfolded(score)) > length) {
    report.add(EntryKind::decision, "end-rests", "the last time ends with the rest that the others have");
  }
  return report;
}

}  // namespace fifthpeg
