// Hands: what the model that assigns fingerings says to placements, fingers and digits that are there.
#include "fifthpeg/hands.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "check/families.hpp"
#include "fifthpeg/errors.hpp"
#include "hands/learner.hpp"
#include "hands/model.hpp"
#include "hands/queries.hpp"
#include "hands/stroke_sequence.hpp"

namespace fifthpeg::check {
namespace {

using hands::HoldFault;
using hands::PickFault;

std::string rounded(double value) {
  return std::to_string(std::lround(value));
}

std::string words_of_span(const hands::Hold& hold) {
  return "frets " + std::to_string(hold.low_fret) + " and " + std::to_string(hold.high_fret) + " lie " +
         rounded(hold.span_mm) + " mm apart; ";
}

std::string words_of_fault(const hands::Hold& hold) {
  switch (hold.fault) {
    case HoldFault::too_far:
    case HoldFault::fingers_too_far:
      return words_of_span(hold) + "these fingers reach " + rounded(hold.hard_mm) + " mm";
    case HoldFault::finger_in_two_places:
      return "one finger is asked for at two frets at once";
    case HoldFault::fingers_out_of_order:
      return "a higher finger stands at a lower fret than its neighbor";
    case HoldFault::open_string_under_bar:
      return "an open string lies under a finger that is laid over it";
    case HoldFault::too_few_fingers:
      return "there are more places than fingers";
    default:
      return {};
  }
}

class HandsRules {
 public:
  HandsRules(const Score& score, const HandsOptions& options, const Origin& origin, Findings& findings)
      : score_(score),
        origin_(origin),
        findings_(findings),
        model_(score.banjo, options, options.style == Style::automatic ? Style::roll : options.style) {}

  void run() {
    const std::vector<hands::Event> line = hands::line_of(score_);
    double now = 0.0;
    const Stroke* before = nullptr;
    for (const hands::Event& at : line) {
      now += at.wait.seconds;
      const Stroke& stroke = hands::stroke_at(score_, at);
      hold(at, stroke, now);
      pick(at, stroke);
      if (origin_.tempo && before != nullptr && stroke.grace == Grace::none && before->grace == Grace::none)
        succession(at, *before, stroke);
      before = &stroke;
    }
    if (origin_.tempo) pace();
  }

  Place place(const hands::Event& at) const {
    Place place = hands::place_of(score_, at);
    place.part = origin_.part;
    if (at.measure < origin_.lines.size()) place.line = origin_.lines[at.measure];
    return place;
  }

 private:
  void hold(const hands::Event& at, const Stroke& stroke, double now) {
    const hands::Hold hold = hands::judge_hold(stroke, model_);
    switch (hold.fault) {
      case HoldFault::unplaced:
      case HoldFault::no_such_fret:
      case HoldFault::two_on_one_string:
        return;  // tab.cpp reports it
      case HoldFault::finger_in_two_places:
      case HoldFault::fingers_out_of_order:
        findings_.add("hands-finger-twice", place(at), words_of_fault(hold));
        break;
      case HoldFault::none:
        if (hold.span_mm > hold.comfortable_mm) {
          findings_.add("hands-stretch", place(at),
                        words_of_span(hold) + "comfortable is " + rounded(hold.comfortable_mm) + " mm");
        }
        break;
      default:
        findings_.add("hands-cannot-hold", place(at), words_of_fault(hold));
    }
    if (hold.low_fret > 0 && origin_.tempo) leap(at, hold, now);
  }

  // Between two strokes that stop strings: the hand has all the time there is, open strings included.
  void leap(const hands::Event& at, const hands::Hold& hold, double now) {
    if (stopped_low_ > 0) {
      const int frets = hold.low_fret > stopped_high_   ? hold.low_fret - stopped_high_
                        : hold.high_fret < stopped_low_ ? stopped_low_ - hold.high_fret
                                                        : 0;
      constexpr int one_hand = 4;  // frets within which no leap is needed
      const double seconds = now - stopped_at_;
      const auto& notes = hands::stroke_at(score_, at).notes;
      const bool slides = std::any_of(notes.begin(), notes.end(),
                                      [](const Note& note) { return note.into == Technique::slide; });
      if (frets > one_hand && !slides && hands::lacks_time(frets, static_cast<float>(seconds))) {
        findings_.add("hands-leap", place(at),
                      "the hand has " + rounded(seconds * 1000.0) + " ms to move by " +
                          std::to_string(frets) + " frets");
      }
    }
    stopped_low_ = hold.low_fret;
    stopped_high_ = hold.high_fret;
    stopped_at_ = now;
  }

  void pick(const hands::Event& at, const Stroke& stroke) {
    const PickFault fault = hands::judge_picking(stroke);
    if (fault == PickFault::none) return;
    findings_.add("hands-pick-twice", place(at),
                  fault == PickFault::picking_finger_on_two_strings
                      ? "one picking finger would have to strike two strings at once"
                  : fault == PickFault::picking_fingers_crossed
                      ? "the picking fingers would have to cross"
                      : "more than three strings are pinched at once");
  }

  void succession(const hands::Event& at, const Stroke& before, const Stroke& stroke) {
    const hands::Succession found = hands::judge_succession(before, stroke, at.wait, model_);
    if (!found.forbidden) return;
    findings_.add(
        "hands-picking-finger-too-fast", place(at),
        "the same picking finger strikes again after " + rounded(at.wait.seconds * 1000.0F) + " ms");
  }

  // How soon a picking finger has to strike again, whatever the others do between.
  void pace() {
    constexpr std::size_t enough = 4;
    const std::vector<hands::FingerRepeat> repeats = hands::finger_repeats(score_);
    if (repeats.size() < enough) return;
    const auto soonest = std::min_element(
        repeats.begin(), repeats.end(),
        [](const hands::FingerRepeat& a, const hands::FingerRepeat& b) { return a.seconds < b.seconds; });
    if (soonest->seconds >= hands::easy_repeat_seconds) return;
    const int slower = static_cast<int>(hands::learners_tempo(soonest->value, {1, 4}));
    findings_.add("teaching-too-fast", place(soonest->at),
                  "at " + rounded(tempo_at(soonest->at)) +
                      " quarter notes a minute a picking finger strikes again after " +
                      rounded(soonest->seconds * 1000.0) + " ms; a learner manages up to about " +
                      std::to_string(slower));
  }

  double tempo_at(const hands::Event& at) const {
    double tempo = Tempo{}.quarters_per_minute.to_double();
    for (std::size_t m = 0; m <= at.measure; ++m) {
      for (const Tempo& one : score_.measures[m].tempos) {
        if (m < at.measure || one.at <= score_.measures[m].strokes[at.stroke].onset)
          tempo = one.quarters_per_minute.to_double();
      }
    }
    return tempo;
  }

  const Score& score_;
  const Origin& origin_;
  Findings& findings_;
  hands::Model model_;
  int stopped_low_ = 0;
  int stopped_high_ = 0;
  double stopped_at_ = 0.0;
};

// What there is to say of the stroke at a place if it has more notes than a banjo has strings.
std::optional<std::string> too_many_notes(const Score& score, const Place& place) {
  for (const hands::Event& at : hands::line_of(score)) {
    const std::size_t notes = hands::stroke_at(score, at).notes.size();
    if (notes <= string_count || !(hands::place_of(score, at) == place)) continue;
    return std::to_string(notes) + " notes are struck at once, and a banjo has five strings: leave out " +
           std::to_string(notes - string_count) + " or more";
  }
  return std::nullopt;
}

// Whether the piece can be put on the banjo at all, as convert would do it.
Report playable(const Score& score, const HandsOptions& options, const Origin& origin, Findings& findings) {
  Score copy = score;
  try {
    return finger(copy, options).report;
  } catch (const UnplayableError& error) {
    findings.add("hands-unplayable", in_file(error.place(), score, origin),
                 too_many_notes(score, error.place()).value_or(error.what()));
  } catch (const TimeError&) {  // the rules on time say so
  }
  return {};
}

}  // namespace

Report hands_rules(const Score& score, const HandsOptions& options, const Origin& origin,
                   Findings& findings) {
  HandsRules(score, options, origin, findings).run();
  return playable(score, options, origin, findings);
}

}  // namespace fifthpeg::check
