#include "hands/explain.hpp"

#include <algorithm>

namespace fifthpeg::hands {
namespace {

class Explainer {
 public:
  Explainer(const Score& score, const std::vector<Event>& line, const Fit& fit, const Model& model,
            Candidates& candidates, const Path& path)
      : line_(line), stepper_(model, path.in_time), wishes_(path.wishes) {
    RequestedStrokes strokes(score, line, fit);
    Ahead ahead(score, line, fit, candidates);
    frontiers_.push_back(Stepper::start());
    std::vector<Backpointer> links;
    for (std::uint32_t i = 0; i < line.size(); ++i) {
      wanted_.push_back(strokes.at(i));
      const auto options = ahead.next();
      coming_.push_back(ahead.coming());
      frontiers_.push_back(stepper_.step(frontiers_.back(), options, line[i].wait, links,
                                         wishes_.of(i, *options), coming_.back()));
    }
  }

  // For note `n` of stroke `i`, which lies on `string`.
  RunnerUp runner_up(std::size_t i, std::size_t n, std::int8_t string) {
    const RequestedNote& note = wanted_[i].notes[n];
    if (note.string != RequestedNote::free || note.tied) return {};
    const auto& options = frontiers_[i + 1].options;
    std::vector<int> more = wishes_.of(i, *options);
    more.resize(options->grips.size());
    for (std::size_t g = 0; g < more.size(); ++g) {
      if (options->grips[g].notes[n].string == string) more[g] = Frontier::unreached;
    }
    if (*std::min_element(more.begin(), more.end()) >= Frontier::unreached) return {};

    std::vector<Backpointer> links;
    Frontier other = stepper_.step(frontiers_[i], options, line_[i].wait, links, more, coming_[i]);
    if (other.values.empty()) return {};
    std::vector<std::int8_t> strings(links.size());  // of the note, on the way to each entry
    for (std::size_t entry = 0; entry < links.size(); ++entry) {
      strings[entry] = options->grips[links[entry].decision.grip].notes[n].string;
    }
    const std::size_t last = std::min(line_.size(), i + 1 + look_ahead);
    std::size_t at = i + 1;
    while (at < last && !rejoins(other, frontiers_[at])) {
      other = stepper_.step(other, frontiers_[at + 1].options, line_[at].wait, links,
                            wishes_.of(at, *frontiers_[at + 1].options), coming_[at]);
      std::vector<std::int8_t> next(links.size());
      for (std::size_t entry = 0; entry < links.size(); ++entry) {
        if (links[entry].before != Backpointer::nowhere) next[entry] = strings[links[entry].before];
      }
      strings.swap(next);
      ++at;
    }
    const Cost dearer = other.base - frontiers_[at].base;
    if (dearer >= forbidden) return {};  // nobody plays it so
    return {strings[other.best()], dearer};
  }

 private:
  // Whether two frontiers hold the same states at the same costs, but for a constant.
  static bool rejoins(const Frontier& a, const Frontier& b) {
    return a.rows.size() == b.rows.size() &&
           std::all_of(a.rows.begin(), a.rows.end(), [&](const Frontier::Row& row) {
             return std::any_of(b.rows.begin(), b.rows.end(), [&](const Frontier::Row& other) {
               return other.first_picking == row.first_picking && other.hand == row.hand &&
                      std::equal(&a.values[row.first_value], &a.values[row.first_value] + row.pickings,
                                 &b.values[other.first_value]);
             });
           });
  }

  const std::vector<Event>& line_;
  Stepper stepper_;
  Wishes wishes_;
  std::vector<RequestedStroke> wanted_;
  std::vector<Coming> coming_;       // after each
  std::vector<Frontier> frontiers_;  // before the first stroke, and after each
};

}  // namespace

std::vector<Explained> explain(const Score& score, const std::vector<Event>& line, const Fit& fit,
                               const Model& model, Candidates& candidates, const Path& path) {
  std::vector<Explained> result;
  result.reserve(line.size());
  Explainer explainer(score, line, fit, model, candidates, path);
  const auto costs = costs_by_kind(score, line, fit, model, candidates, path);
  RequestedStrokes strokes(score, line, fit);
  for (std::uint32_t i = 0; i < line.size(); ++i) {
    Explained explained;
    explained.measure = line[i].measure;
    explained.stroke = line[i].stroke;
    explained.cost = costs[i];
    const auto options = candidates.of(strokes.at(i));
    const Grip& grip = options->grips[path.decisions[i].grip];
    for (std::size_t n = 0; n < static_cast<std::size_t>(grip.count); ++n) {
      explained.notes.push_back(explainer.runner_up(i, n, grip.notes[n].string));
    }
    result.push_back(std::move(explained));
  }
  return result;
}

}  // namespace fifthpeg::hands
