// Technique: hammer-ons, pull-offs, slides, chokes and picking fingers that no banjo plays.
#include <algorithm>
#include <array>
#include <stdexcept>
#include <string>
#include <tuple>

#include "check/part_rules.hpp"

namespace fifthpeg::check {
namespace {

// The picking hand's letters: of the trade (T, I, M), of the classical guitar (p i m a c x e), R and L for
// ring and little finger, 0 to 5 of old tutors, and a cross for the thumb of older ones.
bool is_digit(std::string_view text) {
  constexpr std::string_view letters = "TIMRLPACXEtimrlpacxe+012345";
  return text.size() == 1 && letters.find(text.front()) != std::string_view::npos;
}

class TechniqueRules : public PartRules {
 public:
  explicit TechniqueRules(Findings& findings) : findings_(findings) {}

  void measure(const RawPart& part, const RawMeasure& measure) override {
    if (is_percussion(part) || !may_be_banjo(part)) return;
    ends_.clear();
    std::size_t group = 0;
    for (const RawNote& note : measure.notes) {
      if (!note.chord) ++group;
      single(part, measure, note);
      for (const Mark& mark : note.marks) {
        const bool technique = mark.kind == Mark::Kind::slide || mark.kind == Mark::Kind::hammer_on ||
                               mark.kind == Mark::Kind::pull_off;
        if (technique) ends_.push_back({&note, &mark, 2 * group + (mark.start ? 1 : 0)});
      }
    }
    std::stable_sort(ends_.begin(), ends_.end(), [](const Met& a, const Met& b) {
      return std::tuple(a.note->onset, a.note->grace == Grace::none, a.order) <
             std::tuple(b.note->onset, b.note->grace == Grace::none, b.order);
    });
    for (const Met& met : ends_) join(part, measure, met);
  }

  void finish(const RawPart&, bool) override { open_.clear(); }

 private:
  // Where a note lies.
  struct Stopped {
    explicit Stopped(const RawNote& raw)
        : string(raw.string), fret(raw.fret), midi(raw.midi()), staff(raw.staff), voice(raw.voice) {}
    std::optional<int> string, fret, midi;
    int staff;
    int voice;
  };
  struct Met {
    const RawNote* note = nullptr;
    const Mark* mark = nullptr;
    std::size_t order = 0;
  };
  struct Open {
    Mark mark;
    Stopped note;
  };

  void single(const RawPart& part, const RawMeasure& measure, const RawNote& note) {
    if (note.note.choke && note.fret == 0) {
      findings_.add("technique-choke-open", place_at(part, measure, note), "an open string is choked here",
                    note.string);
    }
    for (const std::string& pluck : note.plucks) {
      if (is_digit(pluck)) continue;
      findings_.add("technique-pluck", place_at(part, measure, note),
                    "\"" + pluck.substr(0, 20) + "\" is not a picking finger", note.string);
    }
  }

  void join(const RawPart& part, const RawMeasure& measure, const Met& met) {
    if (met.mark->start) {
      constexpr std::size_t most = 1000;
      if (open_.size() < most) open_.push_back({*met.mark, Stopped(*met.note)});
      return;
    }
    auto best = open_.end();
    int best_score = -1;
    for (auto it = open_.begin(); it != open_.end(); ++it) {
      if (it->mark.kind != met.mark->kind || it->mark.number != met.mark->number) continue;
      const int score = (it->note.staff == met.note->staff ? 4 : 0) +
                        (it->note.voice == met.note->voice ? 2 : 0) +
                        (it->note.string == met.note->string ? 1 : 0);
      if (score >= best_score) {
        best_score = score;
        best = it;
      }
    }
    if (best == open_.end()) return;  // pairs.cpp reports it
    judge(place_at(part, measure, *met.note), met.mark->kind, best->note, Stopped(*met.note));
    open_.erase(best);
  }

  void judge(const Place& place, Mark::Kind kind, const Stopped& from, const Stopped& to) {
    const std::string_view name = kind == Mark::Kind::slide       ? "slide"
                                  : kind == Mark::Kind::hammer_on ? "hammer-on"
                                                                  : "pull-off";
    if (from.string && to.string && *from.string != *to.string) {
      findings_.add("technique-across-strings", place,
                    "a " + std::string(name) + " goes from string " + std::to_string(*from.string) +
                        " to string " + std::to_string(*to.string),
                    to.string);
      return;
    }
    const bool frets = from.fret && to.fret && from.string && to.string;
    if (!frets && (!from.midi || !to.midi)) return;
    const int rise = frets ? *to.fret - *from.fret : *to.midi - *from.midi;
    const std::string way =
        frets ? "from fret " + std::to_string(*from.fret) + " to fret " + std::to_string(*to.fret)
              : "from " + words_of_pitch(*from.midi) + " to " + words_of_pitch(*to.midi);
    if (kind == Mark::Kind::hammer_on && rise <= 0) {
      findings_.add("technique-hammer-on-down", place, "this hammer-on goes " + way, to.string);
    } else if (kind == Mark::Kind::pull_off && rise >= 0) {
      findings_.add("technique-pull-off-up", place, "this pull-off goes " + way, to.string);
    } else if (kind == Mark::Kind::slide && (rise == 0 || (frets && *from.fret == 0))) {
      findings_.add("technique-slide-nowhere", place, "this slide goes " + way, to.string);
    }
  }

  Findings& findings_;
  std::vector<Met> ends_;
  std::vector<Open> open_;
};

}  // namespace

std::unique_ptr<PartRules> technique_rules(Findings& findings) {
  return std::make_unique<TechniqueRules>(findings);
}

}  // namespace fifthpeg::check
