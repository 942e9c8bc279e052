// Pairs: what has two ends, and jumps that must lead somewhere.
#include <algorithm>
#include <array>
#include <string>
#include <tuple>

#include "check/part_rules.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::check {
namespace {

struct PairWords {
  std::string_view rule;
  std::string_view name;  // for people
};

PairWords words_of(Mark::Kind kind) {
  switch (kind) {
    case Mark::Kind::slur:
      return {"pairs-slur", "slur"};
    case Mark::Kind::slide:
      return {"pairs-slide", "slide"};
    case Mark::Kind::hammer_on:
      return {"pairs-hammer-on", "hammer-on"};
    case Mark::Kind::pull_off:
      return {"pairs-pull-off", "pull-off"};
    case Mark::Kind::tuplet:
      return {"pairs-tuplet", "tuplet"};
    default:
      return {"pairs-tie", "tie"};
  }
}

constexpr std::size_t most_open = 10'000;  // ends that wait for another

class PairRules : public PartRules {
 public:
  PairRules(Findings& findings, PairFixes& fixes) : findings_(findings), fixes_(fixes) {}

  void measure(const RawPart& part, const RawMeasure& measure) override {
    // A tie into the first measure of an ending, or of what is repeated, may come from elsewhere.
    from_elsewhere_ = measure.index == 0 || after_repeat_;
    for (const RawBarline& line : measure.written->barlines) {
      if (line.ending_starts || line.repeat_forward) from_elsewhere_ = true;
    }
    is_banjo_ = !is_percussion(part) && may_be_banjo(part);
    marks(part, measure);
    try {
      if (measure.timed) ties(part, measure);
      start_ += measure.extent;
    } catch (const TimeError&) {
      ties_.clear();
    }
    barlines(part, measure);
    jumps(part, measure);
    after_repeat_ = std::any_of(measure.written->barlines.begin(), measure.written->barlines.end(),
                                [](const auto& line) { return line.repeat_backward; });
  }

  void finish(const RawPart& /*part*/, bool complete) override {
    if (!complete) return;
    for (const Open& open : open_) unclosed(open);
    for (const HangingTie& tie : ties_) loose_tie(tie);
    if (repeat_) findings_.add("pairs-repeat", *repeat_, "the repeat that begins here never ends");
    if (ending_) findings_.add("pairs-ending", *ending_, "the bracket that begins here never ends");
    if (dal_segno_ && !segno_)
      findings_.add("pairs-dal-segno", *dal_segno_, "D.S. stands here, and no segno anywhere in the part");
    if (to_coda_ && !coda_)
      findings_.add("pairs-to-coda", *to_coda_, "To Coda stands here, and no coda anywhere in the part");
    if (fine_ && fine_before_end_ && !jumps_back_)
      findings_.add("pairs-fine", *fine_, "Fine stands here, and no D.C. or D.S. after it leads back");
  }

 private:
  struct Open {
    Mark mark;
    Place place;
    MarkedNote note;
    NoteIndex index;
  };

  struct HangingTie {
    int midi = 0;
    int staff = 1;
    std::uint16_t voice = 0;
    Fraction end;  // from the start of the part
    Place place;
    NoteIndex index;
  };
  struct Met {  // a mark in its measure
    const RawNote* note = nullptr;
    const Mark* mark = nullptr;
    std::size_t order = 0;
  };

  // In the order in which they are played: an end that comes first in time may come later in the file.
  void marks(const RawPart& part, const RawMeasure& measure) {
    met_.clear();
    std::size_t group = 0;
    for (const RawNote& note : measure.notes) {
      if (is_banjo_) technique_rules(part, measure, note, findings_);
      if (!note.chord) ++group;
      for (const Mark& mark : note.marks) {
        if (mark.kind == Mark::Kind::tie || mark.kind == Mark::Kind::tied) continue;
        // A tuplet ends on the note on which it may also begin; all else ends before it begins anew.
        const bool later = (mark.kind == Mark::Kind::tuplet) != mark.start;
        met_.push_back({&note, &mark, 2 * group + (later ? 1 : 0)});
      }
    }
    std::stable_sort(met_.begin(), met_.end(), [](const Met& a, const Met& b) {
      return std::tuple(a.note->onset, a.note->grace == Grace::none, a.order) <
             std::tuple(b.note->onset, b.note->grace == Grace::none, b.order);
    });
    for (const Met& met : met_) {
      if (met.mark->start) {
        if (open_.size() < most_open)
          open_.push_back({*met.mark, place_at(part, measure, *met.note), MarkedNote(*met.note),
                           index_of(part, measure, *met.note)});
      } else {
        close(part, measure, met);
      }
    }
  }

  void close(const RawPart& part, const RawMeasure& measure, const Met& met) {
    const MarkedNote note(*met.note);
    Place place = place_at(part, measure, *met.note);
    auto best = open_.end();
    int best_score = -1;
    for (auto it = open_.begin(); it != open_.end(); ++it) {
      if (it->mark.kind != met.mark->kind || it->mark.number != met.mark->number) continue;
      const int score = (it->note.staff == note.staff ? 4 : 0) + (it->note.voice == note.voice ? 2 : 0) +
                        (it->note.string == note.string ? 1 : 0);
      if (score >= best_score) {
        best_score = score;
        best = it;
      }
    }
    if (best != open_.end()) {
      if (is_banjo_) technique_rules(met.mark->kind, best->note, note, place, findings_);
      open_.erase(best);
      return;
    }
    const PairWords words = words_of(met.mark->kind);
    place.line = met.mark->line;
    findings_.add(words.rule, place, "a " + std::string(words.name) + " ends here that never began");
  }

  void unclosed(const Open& open) {
    const PairWords words = words_of(open.mark.kind);
    Place place = open.place;
    place.line = open.mark.line;
    if (open.mark.kind == Mark::Kind::tuplet) fixes_.tuplet_starts.insert(open.index);
    findings_.add(words.rule, place, "the " + std::string(words.name) + " that begins here never ends");
  }

  void ties(const RawPart& part, const RawMeasure& measure) {
    for (const RawNote& note : measure.notes) {
      const std::optional<int> midi = note.midi();
      if (!midi) continue;
      const Ties tied = ties_of(note);
      if (!tied.all_drawn()) {
        findings_.add("pairs-tie-not-shown", place_at(part, measure, note),
                      "the tie of this note is heard and not drawn");
      }
      if (!tied.all_heard() && note.grace == Grace::none) {
        findings_.add("pairs-tie-not-heard", place_at(part, measure, note),
                      "the tie of this note is printed and does not sound: it has tied, and no tie");
      }
      if (tied.stop || tied.drawn_stop) tie_ends(part, measure, note, *midi);
      if ((tied.start || tied.drawn_start) && ties_.size() < most_open) {
        ties_.push_back({*midi, note.staff, note.voice, start_ + note.end(), place_at(part, measure, note),
                         index_of(part, measure, note)});
      }
    }
    expire();
  }

  void tie_ends(const RawPart& part, const RawMeasure& measure, const RawNote& note, int midi) {
    const Fraction at = start_ + note.onset;
    const auto same = std::find_if(ties_.begin(), ties_.end(), [&](const HangingTie& tie) {
      return tie.midi == midi && tie.staff == note.staff && tie.end == at;
    });
    if (same != ties_.end()) {
      ties_.erase(same);
      return;
    }
    // In another staff, or where the durations do not fit: still its end.
    const auto loose =
        std::find_if(ties_.begin(), ties_.end(), [&](const HangingTie& tie) { return tie.midi == midi; });
    if (loose != ties_.end()) {
      ties_.erase(loose);
      return;
    }
    const auto other = std::find_if(ties_.begin(), ties_.end(), [&](const HangingTie& tie) {
      return tie.staff == note.staff && tie.voice == note.voice && tie.end == at && tie.midi != midi;
    });
    if (other != ties_.end()) {
      findings_.add("pairs-tie-pitch", place_at(part, measure, note),
                    "this " + words_of_pitch(midi) + " is tied to a " + words_of_pitch(other->midi));
      ties_.erase(other);
      return;
    }
    if (from_elsewhere_ && note.onset == 0) return;
    fixes_.tie_stops.insert(index_of(part, measure, note));
    findings_.add("pairs-tie", place_at(part, measure, note), "a tie ends here that never began");
  }

  // Ties whose time is long past.
  void expire() {
    std::erase_if(ties_, [&](const HangingTie& tie) {
      if (tie.end >= start_) return false;
      loose_tie(tie);
      return true;
    });
  }

  void loose_tie(const HangingTie& tie) {
    fixes_.tie_starts.insert(tie.index);
    findings_.add("pairs-tie", tie.place, "the tie that begins here ends at no note of its pitch");
  }

  void barlines(const RawPart& part, const RawMeasure& measure) {
    for (const RawBarline& line : measure.written->barlines) {
      const Place place = place_in(part, measure, line.line);
      if (line.repeat_forward) {
        if (repeat_)
          findings_.add("pairs-repeat", *repeat_,
                        "another repeat begins before the one that begins here ends");
        repeat_ = place;
      }
      if (line.repeat_backward) repeat_.reset();
      if (line.ending_starts) {
        if (ending_) findings_.add("pairs-ending", *ending_, "another bracket begins before this one ends");
        ending_ = place;
      } else if (line.ending_stops) {
        if (!ending_) findings_.add("pairs-ending", place, "a bracket ends here that never began");
        ending_.reset();
      }
    }
  }

  void jumps(const RawPart& part, const RawMeasure& measure) {
    using Kind = Direction::Kind;
    // The line of the last one of its kind in the measure; 0 where there is none.
    const auto line_of = [&measure](Kind kind) {
      std::int64_t line = 0;
      for (const auto& one : measure.directions) line = one.direction.kind == kind ? one.line : line;
      return line;
    };
    const auto keep = [&](std::optional<Place>& place, Kind kind) {
      const std::int64_t line = place ? 0 : line_of(kind);
      if (line > 0) place = place_in(part, measure, line);
    };
    if (fine_ && !measure.notes.empty()) fine_before_end_ = true;
    if (measure.directions.empty()) return;
    keep(fine_, Kind::fine);
    if (fine_ && (line_of(Kind::da_capo) > 0 || line_of(Kind::dal_segno) > 0)) jumps_back_ = true;
    keep(dal_segno_, Kind::dal_segno);
    keep(to_coda_, Kind::to_coda);
    segno_ = segno_ || line_of(Kind::segno) > 0;
    coda_ = coda_ || line_of(Kind::coda) > 0;
  }

  Findings& findings_;
  PairFixes& fixes_;
  std::vector<Open> open_;
  std::vector<HangingTie> ties_;
  std::vector<Met> met_;
  Fraction start_;  // of the measure
  bool after_repeat_ = false;
  bool from_elsewhere_ = false;
  bool is_banjo_ = false;
  std::optional<Place> repeat_, ending_, fine_, dal_segno_, to_coda_;
  bool segno_ = false;
  bool coda_ = false;
  bool jumps_back_ = false;
  bool fine_before_end_ = false;
};

}  // namespace

std::unique_ptr<PartRules> pair_rules(Findings& findings, PairFixes& fixes) {
  return std::make_unique<PairRules>(findings, fixes);
}

}  // namespace fifthpeg::check
