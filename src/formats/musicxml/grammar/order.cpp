#include "formats/musicxml/grammar/order.hpp"

#include <algorithm>
#include <stdexcept>

namespace fifthpeg::musicxml::grammar {

std::size_t Order::step(std::size_t place, std::string_view child) const {
  for (const std::size_t next : places[place].next)
    if (places[next].name == child) return next;
  return nowhere;
}

std::vector<std::string> Order::expected(std::size_t place) const {
  std::vector<std::string> names;
  for (const std::size_t next : places[place].next)
    if (std::find(names.begin(), names.end(), places[next].name) == names.end())
      names.emplace_back(places[next].name);
  return names;
}

OrderBuilder::Piece OrderBuilder::element(ElementWords* words) {
  order_.places.push_back({words->name, words, {}, false});
  const std::size_t place = order_.places.size() - 1;
  return {false, {place}, {place}};
}

OrderBuilder::Piece OrderBuilder::sequence(const std::vector<Piece>& pieces) {
  Piece whole{true, {}, {}};
  for (const Piece& piece : pieces) {
    join(whole.last, piece.first);
    if (whole.may_be_empty) append(whole.first, piece.first);
    if (!piece.may_be_empty) whole.last.clear();
    append(whole.last, piece.last);
    whole.may_be_empty = whole.may_be_empty && piece.may_be_empty;
  }
  return whole;
}

OrderBuilder::Piece OrderBuilder::choice(const std::vector<Piece>& pieces) {
  Piece whole{pieces.empty(), {}, {}};
  for (const Piece& piece : pieces) {
    append(whole.first, piece.first);
    append(whole.last, piece.last);
    whole.may_be_empty = whole.may_be_empty || piece.may_be_empty;
  }
  return whole;
}

OrderBuilder::Piece OrderBuilder::occurring(Piece piece, std::string_view least, std::string_view most) {
  if ((!least.empty() && least != "0" && least != "1") ||
      (!most.empty() && most != "1" && most != "unbounded"))
    throw std::logic_error("the grammar counts beyond one, which is not understood here");
  if (most == "unbounded") join(piece.last, piece.first);
  if (least == "0") piece.may_be_empty = true;
  return piece;
}

Order OrderBuilder::finish(const Piece& whole) {
  order_.places[0].next = whole.first;
  order_.places[0].may_be_last = whole.may_be_empty;
  for (const std::size_t place : whole.last) order_.places[place].may_be_last = true;
  for (Order::Place& place : order_.places) std::sort(place.next.begin(), place.next.end());
  return std::move(order_);
}

void OrderBuilder::join(const std::vector<std::size_t>& from, const std::vector<std::size_t>& to) {
  for (const std::size_t place : from) append(order_.places[place].next, to);
}

void OrderBuilder::append(std::vector<std::size_t>& places, const std::vector<std::size_t>& more) {
  for (const std::size_t place : more)
    if (std::find(places.begin(), places.end(), place) == places.end()) places.push_back(place);
}

}  // namespace fifthpeg::musicxml::grammar
