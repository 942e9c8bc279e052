#include "formats/musicxml/grammar/element_path.hpp"

#include "formats/musicxml/grammar/messages.hpp"

namespace fifthpeg::musicxml::grammar {
namespace {

// A part's id or a measure's number, cut where it is absurdly long.
std::string label_of(std::string_view written) {
  return shortened(written, 30);
}

}  // namespace

void ElementPath::enter(std::string_view name, const ElementWords& words, std::string_view label) {
  Level level;
  level.name = name;
  level.words = &words;
  levels_.push_back(level);
  switch (words.landmark) {
    case Landmark::part:
      part_ = label_of(label);
      note_ = 0;  // in a timewise score each part counts its own notes of the measure
      break;
    case Landmark::measure:
      measure_ = label_of(label);
      note_ = 0;
      break;
    case Landmark::score_part:
      score_part_ = label_of(label);
      break;
    case Landmark::note:
      ++note_;
      break;
    case Landmark::none:
      break;
  }
}

void ElementPath::leave() {
  levels_.pop_back();
}

bool ElementPath::holds_measures() const {
  return levels_.size() == 1 || (levels_.size() == 2 && levels_.back().words->landmark == Landmark::part);
}

GrammarSpot ElementPath::spot() const {
  GrammarSpot spot;
  const auto add = [](std::string& text, std::string_view name, std::string_view label) {
    if (!text.empty()) text += ", ";
    text += name;
    if (!label.empty()) (text += ' ') += label;
  };
  const auto rest = [&](std::string_view name, std::string_view label) {
    add(spot.words, name, label);
    add(spot.inside, name, label);
  };
  for (std::size_t i = 0; i < levels_.size(); ++i) {
    const Level& level = levels_[i];
    switch (level.words->landmark) {
      case Landmark::part:
        add(spot.words, "part", part_);
        spot.part = part_;
        break;
      case Landmark::measure:
        add(spot.words, "measure", measure_);
        spot.measure = measure_;
        break;
      case Landmark::score_part:
        rest("score-part", score_part_);
        break;
      case Landmark::note:
        rest("note", std::to_string(note_));
        break;
      case Landmark::none:
        if (i > 0 || levels_.size() == 1) rest(label_of(level.name), {});
        break;
    }
  }
  return spot;
}

}  // namespace fifthpeg::musicxml::grammar
