#include "engraving/beam.hpp"

#include <algorithm>

namespace fifthpeg::engraving {
namespace {

class Beamer {
 public:
  Beamer(const Measure& measure, const Grid& grid, const BeatMap& beats, std::vector<Piece>& pieces)
      : measure_(measure), grid_(grid), beats_(beats), pieces_(pieces) {}

  void run() {
    beam_grace_notes();
    if (beats_.unit == 0) return;
    std::int64_t group = 0;  // counts tuplets and the stretches between them
    std::int64_t window = -1;
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      const Piece& piece = pieces_[i];
      const Stroke& stroke = measure_.strokes[piece.stroke];
      if (stroke.grace != Grace::none) continue;
      const bool in_tuplet = !stroke.tuplets.empty();
      if (in_tuplet != in_tuplet_ || (piece.first && in_tuplet && stroke.tuplets.front().starts)) {
        finish_run();
        ++group;
        in_tuplet_ = in_tuplet;
      }
      const std::int64_t here = in_tuplet ? -group : window_of(piece.onset + beats_.shift);
      if (here != window) finish_run();
      window = here;
      if (stroke.is_rest() || beam_count(piece.value.type) == 0) {
        finish_run();
      } else {
        run_.push_back(i);
      }
      if (piece.last && in_tuplet && stroke.tuplets.front().stops) {
        finish_run();
        ++group;
      }
    }
    finish_run();
  }

 private:
  // Grace notes in a row before the same note.
  void beam_grace_notes() {
    std::vector<std::size_t> run;
    const auto finish = [&] {
      if (run.size() > 1) beam(run, 0);
      run.clear();
    };
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      const Stroke& stroke = measure_.strokes[pieces_[i].stroke];
      if (stroke.grace != Grace::none && beam_count(pieces_[i].value.type) > 0) {
        run.push_back(i);
      } else {
        finish();
      }
    }
    finish();
  }

  // The start of the stretch that beams never leave.
  std::int64_t window_of(std::int64_t at) {
    while (bound_ + 1 < beats_.bounds.size() && beats_.bounds[bound_ + 1] <= at) ++bound_;
    const std::int64_t start = beats_.bounds[bound_];
    return beats_.beam_span == 0 ? start : start + (at - start) / beats_.beam_span * beats_.beam_span;
  }

  void finish_run() {
    if (run_.size() > 1) {
      if (in_tuplet_ || beats_.beam_beat == 0 || is_whole_of_eighths()) {
        beam(run_, subdivision(run_));
      } else {
        beam_by_beats();
      }
    }
    run_.clear();
  }

  bool is_on_beat(std::int64_t at) const { return (at + beats_.shift) % beats_.beam_beat == 0; }

  bool is_whole_of_eighths() const {
    const Piece& last = pieces_[run_.back()];
    return is_on_beat(pieces_[run_.front()].onset) && is_on_beat(last.onset + last.duration) &&
           std::all_of(run_.begin(), run_.end(),
                       [&](std::size_t i) { return beam_count(pieces_[i].value.type) == 1; });
  }

  void beam_by_beats() {
    std::size_t begin = 0;
    while (begin < run_.size()) {
      const std::int64_t beat = (pieces_[run_[begin]].onset + beats_.shift) / beats_.beam_beat;
      std::size_t end = begin + 1;
      while (end < run_.size() && (pieces_[run_[end]].onset + beats_.shift) / beats_.beam_beat == beat) ++end;
      if (end - begin > 1) {
        beat_.assign(run_.begin() + static_cast<std::ptrdiff_t>(begin),
                     run_.begin() + static_cast<std::ptrdiff_t>(end));
        beam(beat_, subdivision(beat_));
      }
      begin = end;
    }
  }

  // Where all beams but the first are parted; 0 for nowhere.
  std::int64_t subdivision(const std::vector<std::size_t>& run) const {
    const bool fine = std::any_of(run.begin(), run.end(),
                                  [&](std::size_t i) { return beam_count(pieces_[i].value.type) > 2; });
    return fine && !in_tuplet_ ? grid_.whole / 8 : 0;
  }

  void beam(const std::vector<std::size_t>& run, std::int64_t subdivision) {
    for (std::size_t n = 0; n < run.size(); ++n) {
      const int beams = beam_count(pieces_[run[n]].value.type);
      for (int level = 0; level < beams; ++level) {
        const std::int64_t part = level == 0 ? 0 : subdivision;
        const bool before = n > 0 && joined(run[n - 1], run[n], level, part);
        const bool after = n + 1 < run.size() && joined(run[n], run[n + 1], level, part);
        pieces_[run[n]].beams[static_cast<std::size_t>(level)] = before && after ? Beam::carry_on
                                                                 : before        ? Beam::end
                                                                 : after         ? Beam::begin
                                                                                 : hook(run, n);
      }
    }
  }

  bool joined(std::size_t left, std::size_t right, int level, std::int64_t part) const {
    if (beam_count(pieces_[left].value.type) <= level || beam_count(pieces_[right].value.type) <= level)
      return false;
    if (part == 0) return true;
    return (pieces_[left].onset + beats_.shift) / part == (pieces_[right].onset + beats_.shift) / part;
  }

  // Forward where the note begins the next larger value, backward where it ends it.
  Beam hook(const std::vector<std::size_t>& run, std::size_t n) const {
    if (n == 0) return Beam::forward_hook;
    if (n + 1 == run.size()) return Beam::backward_hook;
    const Piece& piece = pieces_[run[n]];
    const std::int64_t larger = 2 * piece.duration;
    return larger > 0 && (piece.onset + beats_.shift) % larger == 0 ? Beam::forward_hook
                                                                    : Beam::backward_hook;
  }

  const Measure& measure_;
  const Grid& grid_;
  const BeatMap& beats_;
  std::vector<Piece>& pieces_;
  std::vector<std::size_t> run_;
  std::vector<std::size_t> beat_;
  std::size_t bound_ = 0;  // of the group last looked at
  bool in_tuplet_ = false;
};

}  // namespace

void beam_pieces(const Measure& measure, const Grid& grid, const BeatMap& beats, Engraving& engraving) {
  Beamer(measure, grid, beats, engraving.pieces).run();
}

}  // namespace fifthpeg::engraving
