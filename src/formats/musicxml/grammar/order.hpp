// Builds the order of an element's children from the pieces of its content model: V. M. Glushkov, "The
// abstract theory of automata", Russian Mathematical Surveys 16 (1961); as used for content models by A.
// Brueggemann-Klein and D. Wood, "One-unambiguous regular languages", Information and Computation 142 (1998).
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "formats/musicxml/grammar/vocabulary.hpp"

namespace fifthpeg::musicxml::grammar {

class OrderBuilder {
 public:
  struct Piece {
    bool may_be_empty = true;
    std::vector<std::size_t> first;  // the places that it may start with
    std::vector<std::size_t> last;   // and end with
  };

  OrderBuilder() { order_.places.emplace_back(); }

  Piece element(ElementWords* words);
  Piece sequence(const std::vector<Piece>& pieces);
  Piece choice(const std::vector<Piece>& pieces);
  // As minOccurs and maxOccurs say, which are empty where they are not written.
  Piece occurring(Piece piece, std::string_view least, std::string_view most);

  Order finish(const Piece& whole);

 private:
  void join(const std::vector<std::size_t>& from, const std::vector<std::size_t>& to);
  static void append(std::vector<std::size_t>& places, const std::vector<std::size_t>& more);

  Order order_;
};

}  // namespace fifthpeg::musicxml::grammar
