// What the grammar says about each element, for finding the place of a mistake and for the words about it:
// which elements follow one another in it, which attributes it has, and in words what its values are. Read
// from the generated form itself, so that it cannot contradict it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <deque>
#include <libxml/tree.h>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace fifthpeg::musicxml::grammar {

struct ElementWords;

// The order of an element's children: places in its content model, each with the places that may come next
// (Glushkov's automaton). XML Schema asks that the name alone decides which place comes next. Place 0 is the
// start.
struct Order {
  struct Place {
    std::string_view name;  // the element's
    ElementWords* element = nullptr;
    std::vector<std::size_t> next;  // in the grammar's order
    bool may_be_last = false;
  };
  std::vector<Place> places;

  static constexpr std::size_t nowhere = static_cast<std::size_t>(-1);
  std::size_t step(std::size_t place, std::string_view child) const;  // nowhere if `child` may not come next
  std::vector<std::string> expected(std::size_t place) const;         // names that may come next, each once
};

// Elements by which people find their way in a file.
enum class Landmark : std::uint8_t { none, part, measure, note, score_part };

// Whether an attribute gives an element its name, or speaks of an element by its name.
enum class Identity : std::uint8_t { none, names, refers };

struct AttributeWords {
  std::string_view name;  // "default-x", "xml:lang"
  bool required = false;
  Identity identity = Identity::none;
  const xmlNode* declaration = nullptr;
};

struct ElementWords {
  std::string_view name;
  Order order;  // no places but the start where no element may stand in it
  std::vector<AttributeWords> attributes;
  std::string values;  // of its text; empty where it may hold none
  Landmark landmark = Landmark::none;
  bool identified = false;  // whether it has an attribute that names or refers
  const xmlNode* declaration = nullptr;
  std::once_flag gathered;

  bool holds_elements() const { return order.places.size() > 1; }
  bool takes_any_text() const;
  bool may_hold(std::string_view child) const;  // anywhere
  std::vector<std::string> children() const;    // in the grammar's order, each once
  const AttributeWords* attribute(std::string_view attribute_name) const;
};

// What the grammar says about an element is gathered when the element is first met: a score uses a fifth of
// the four hundred that there are. Any number of threads may do so at once.
class Vocabulary {
 public:
  // From the documents of one schema, which have to outlive it and are only read: the grammar, and those of
  // the xml and xlink attributes. `roots`: what a document may start with.
  Vocabulary(const std::vector<const xmlDoc*>& schema, const std::vector<std::string>& roots);
  ~Vocabulary();
  Vocabulary(const Vocabulary&) = delete;  // elements point to one another
  Vocabulary& operator=(const Vocabulary&) = delete;

  // The element of that name that is the same wherever it stands; null for part and measure, which are not.
  const ElementWords* element(std::string_view name) const;
  // The same element with all that is to be known; those that an Order leads to have but their names yet.
  const ElementWords& gathered(ElementWords& element) const;
  // "a number", "start or stop".
  std::string values(const AttributeWords& attribute) const;
  // The elements that `child` may stand in, by name.
  std::vector<std::string> holders(std::string_view child) const;

 private:
  class Reader;
  mutable std::deque<ElementWords> all_;
  std::unordered_map<std::string_view, ElementWords*> by_name_;
  std::unique_ptr<const Reader> reader_;
};

// The name among `known` that `written` is most likely a slip of the pen for; empty if none is near.
std::string nearest(std::string_view written, const std::vector<std::string>& known);

}  // namespace fifthpeg::musicxml::grammar
