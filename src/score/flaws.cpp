#include <algorithm>
#include <string>

#include "fifthpeg/score.hpp"

namespace fifthpeg {
namespace {

class Inspector {
 public:
  explicit Inspector(const Score& score) : score_(score) {}

  std::vector<std::string> run() {
    inspect_banjo();
    for (const Measure& measure : score_.measures) inspect(measure);
    inspect_endings();
    return std::move(flaws_);
  }

 private:
  void flaw(const std::string& text) {
    if (flaws_.size() < 100) flaws_.push_back(text);
  }
  void flaw(const Measure& measure, const std::string& text) {
    flaw("measure " + measure.number + ": " + text);
  }
  void flaw(const Measure& measure, const Stroke& stroke, const std::string& text) {
    flaw(measure, "stroke at " + to_string(stroke.onset) + ": " + text);
  }

  void inspect_banjo() {
    const Banjo& banjo = score_.banjo;
    if (banjo.capo < 0 || banjo.capo >= banjo.frets) flaw("capo off the neck");
    if (banjo.fifth_capo < fifth_nut_fret || banjo.fifth_capo >= banjo.frets) flaw("fifth capo off the neck");
  }

  void inspect_endings() {
    const Ending* open = nullptr;
    for (const Measure& measure : score_.measures) {
      if (measure.ending) {
        const bool goes_on = open != nullptr && open->numbers == measure.ending->numbers;
        if (!measure.ending->starts && !goes_on) flaw(measure, "an ending that goes on from nowhere");
      } else if (open != nullptr) {
        flaw(measure, "an ending that goes on to nowhere");
      }
      open = measure.ending && measure.ending->stop == Ending::Stop::none ? &*measure.ending : nullptr;
    }
  }

  template <typename Positioned>
  void inspect_positions(const Measure& measure, const std::vector<Positioned>& things, const char* what) {
    for (std::size_t i = 0; i < things.size(); ++i) {
      if (things[i].at < 0 || things[i].at > measure.length) flaw(measure, std::string(what) + " outside");
      if (i > 0 && things[i].at < things[i - 1].at) flaw(measure, std::string(what) + " out of order");
    }
  }

  void inspect(const Measure& measure) {
    const Meter& meter = measure.meter;
    if (meter.beats.empty() || meter.unit < 1 ||
        std::any_of(meter.beats.begin(), meter.beats.end(), [](int beats) { return beats < 1; })) {
      flaw(measure, "meter of nothing");
    }
    if (measure.length <= 0) flaw(measure, "no length");
    if (measure.key.fifths < -7 || measure.key.fifths > 7) flaw(measure, "key off the circle");
    if (measure.repeat_times < 0 || measure.repeat_times == 1) flaw(measure, "repeated once");
    if (measure.repeat_times > 0 && measure.right_bar != BarStyle::regular) {
      flaw(measure, "a bar style beside the repeat's own");
    }
    if (measure.ending && measure.ending->numbers.empty()) flaw(measure, "ending without a number");
    inspect_positions(measure, measure.tempos, "tempo");
    inspect_positions(measure, measure.key_changes, "key change");
    inspect_positions(measure, measure.chords, "chord symbol");
    inspect_positions(measure, measure.directions, "direction");

    Fraction now;
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.onset != now) flaw(measure, stroke, "expected at " + to_string(now));
      if (stroke.duration <= 0) flaw(measure, stroke, "no duration");
      if (stroke.grace == Grace::none) now = stroke.onset + stroke.duration;
      inspect(measure, stroke);
    }
    if (now != measure.length) {
      flaw(measure, "strokes fill " + to_string(now) + " of " + to_string(measure.length));
    }
  }

  void inspect(const Measure& measure, const Stroke& stroke) {
    if (stroke.grace != Grace::none && stroke.is_rest()) flaw(measure, stroke, "grace without a note");
    for (const Tuplet& tuplet : stroke.tuplets) {
      if (tuplet.actual < 1 || tuplet.normal < 1) flaw(measure, stroke, "tuplet of nothing");
    }
    for (std::size_t i = 0; i < stroke.notes.size(); ++i) {
      const Note& note = stroke.notes[i];
      if (i > 0 && note.pitch.midi() > stroke.notes[i - 1].pitch.midi()) {
        flaw(measure, stroke, "notes out of order");
      }
      if (!note.placement) continue;
      if (!gives(score_.banjo, *note.placement, note)) {
        flaw(measure, stroke, "placement contradicts pitch " + to_string(note.pitch));
      }
      for (std::size_t j = 0; j < i; ++j) {
        if (stroke.notes[j].placement && stroke.notes[j].placement->string == note.placement->string) {
          flaw(measure, stroke, "two notes on string " + std::to_string(note.placement->string));
        }
      }
    }
  }

  const Score& score_;
  std::vector<std::string> flaws_;
};

}  // namespace

std::vector<std::string> flaws(const Score& score) {
  return Inspector(score).run();
}

}  // namespace fifthpeg
