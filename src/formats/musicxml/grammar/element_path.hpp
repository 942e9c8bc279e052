// Where in a score the checker is, in the words of a reader: part, measure, note, and what is inside it.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "formats/musicxml/grammar.hpp"
#include "formats/musicxml/grammar/vocabulary.hpp"

namespace fifthpeg::musicxml::grammar {

class ElementPath {
 public:
  struct Level {
    std::string_view name;  // must outlive the level
    const ElementWords* words = nullptr;
    std::size_t at = 0;  // the place in words->order of the child that came last
    std::size_t children = 0;
    std::string_view last_child;  // and its name; empty before the first
    bool content_reported =
        false;  // something is wrong with which elements stand in it, and has been reported
    bool text_reported = false;
    std::size_t text_length = 0;  // so far, in bytes; counted only where the value matters
  };

  // `label` is the part's id or the measure's number; looked at for landmarks alone.
  void enter(std::string_view name, const ElementWords& words, std::string_view label);
  void leave();

  bool outside() const { return levels_.empty(); }
  // Whether here() is a score, or a part of one that is laid out by parts.
  bool holds_measures() const;
  Level& here() { return levels_.back(); }

  // The outermost element is named only where there is nothing else.
  GrammarSpot spot() const;

 private:
  std::vector<Level> levels_;
  std::string part_;
  std::string measure_;
  std::string score_part_;
  std::size_t note_ = 0;  // of this measure, from 1
};

}  // namespace fifthpeg::musicxml::grammar
