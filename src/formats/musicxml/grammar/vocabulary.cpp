#include "formats/musicxml/grammar/vocabulary.hpp"

#include <algorithm>
#include <iterator>
#include <numeric>
#include <stdexcept>

#include "base/text.hpp"
#include "formats/musicxml/grammar/messages.hpp"
#include "formats/musicxml/grammar/order.hpp"
#include "formats/musicxml/grammar/xml_text.hpp"

namespace fifthpeg::musicxml::grammar {
namespace {

constexpr std::string_view schema_namespace = "http://www.w3.org/2001/XMLSchema";

// The value of an attribute of the schema; empty where it has none.
std::string_view property(const xmlNode& node, std::string_view name) {
  for (const xmlAttr* a = node.properties; a != nullptr; a = a->next)
    if (view(a->name) == name && a->children != nullptr) return view(a->children->content);
  return {};
}

// The declarations inside a node: its children without text, comments and annotations.
std::vector<const xmlNode*> parts(const xmlNode& node) {
  std::vector<const xmlNode*> found;
  for (const xmlNode* child = node.children; child != nullptr; child = child->next)
    if (child->type == XML_ELEMENT_NODE && child->ns != nullptr &&
        view(child->ns->href) == schema_namespace && view(child->name) != "annotation")
      found.push_back(child);
  return found;
}

Landmark landmark(std::string_view name) {
  if (name == "part") return Landmark::part;
  if (name == "measure") return Landmark::measure;
  if (name == "note") return Landmark::note;
  if (name == "score-part") return Landmark::score_part;
  return Landmark::none;
}

// What the values of a type are, gathered through its restrictions and unions.
struct Values {
  std::vector<std::string> listed;
  std::vector<std::string> described;
};

std::string described(const Values& values) {
  std::vector<std::string> all = values.described;
  for (const std::string& value : values.listed) all.push_back(value.empty() ? "nothing" : value);
  return listed_or(all);
}

}  // namespace

// Walks the documents of one schema. Only the constructs that trang writes for our grammar are understood.
class Vocabulary::Reader {
 public:
  Reader(Vocabulary& vocabulary, const std::vector<const xmlDoc*>& schema) : vocabulary_(vocabulary) {
    for (const xmlDoc* document : schema) {
      const xmlNode* root = document->children;
      while (root != nullptr && root->type != XML_ELEMENT_NODE) root = root->next;
      if (root == nullptr) continue;
      const std::string_view target = property(*root, "targetNamespace");
      const std::string prefix = target.ends_with("xlink") ? "xlink:" : target.empty() ? "" : "xml:";
      for (const xmlNode* node : parts(*root)) {
        named_[key(kind(*node), prefix + std::string(property(*node, "name")))] = node;
        if (kind(*node) == "element") elements_.push_back(node);
      }
    }
  }

  // Elements refer to one another: all of them are there before the first is gathered. Those declared inside
  // others, part and measure, are inside the roots.
  void run(const std::vector<std::string>& roots) {
    for (const xmlNode* node : elements_) {
      ElementWords& words = declared(*node);
      vocabulary_.by_name_[words.name] = &words;
    }
    inner_ = true;
    for (const std::string& root : roots) gather(*vocabulary_.by_name_.at(root));
    inner_ = false;
  }

  void gather(ElementWords& words) const {
    std::call_once(words.gathered, [&] { fill(*words.declaration, words); });
  }

  std::string values_of_attribute(const xmlNode& node) const {
    if (const std::string_view type = property(node, "type"); !type.empty()) return values(type);
    std::string words;
    for (const xmlNode* part : parts(node)) words = described(values_of(*part));
    return words;
  }

 private:
  static std::string_view kind(const xmlNode& node) { return view(node.name); }

  static std::string key(std::string_view what, std::string_view name) {
    return std::string(what).append(" ").append(name);
  }

  const xmlNode* named(std::string_view what, std::string_view name) const {
    const auto found = named_.find(key(what, name));
    return found == named_.end() ? nullptr : found->second;
  }

  ElementWords& declared(const xmlNode& node) const {
    ElementWords& words = vocabulary_.all_.emplace_back();
    words.declaration = &node;
    words.name = property(node, "name");
    words.landmark = landmark(words.name);
    return words;
  }

  void fill(const xmlNode& node, ElementWords& words) const {
    OrderBuilder order;
    std::vector<OrderBuilder::Piece> pieces;
    if (const std::string_view type = property(node, "type"); !type.empty())
      of_type(type, words, order, pieces);
    inside(node, words, order, pieces);
    words.order = order.finish(order.sequence(pieces));
    words.identified = std::any_of(words.attributes.begin(), words.attributes.end(),
                                   [](const AttributeWords& a) { return a.identity != Identity::none; });
  }

  // What stands in an element's declaration: its content goes to `pieces`, the rest into `words`.
  void inside(const xmlNode& node, ElementWords& words, OrderBuilder& order,
              std::vector<OrderBuilder::Piece>& pieces) const {
    for (const xmlNode* part : parts(node)) {
      const std::string_view what = kind(*part);
      if (what == "sequence" || what == "choice" || what == "group") {
        pieces.push_back(content(*part, order));
      } else if (what == "attributeGroup") {
        if (const xmlNode* group = named(what, property(*part, "ref"))) inside(*group, words, order, pieces);
      } else if (what == "attribute") {
        words.attributes.push_back(attribute(*part));
      } else if (what == "simpleType") {
        words.values = described(values_of(*part));
      } else {  // complexType, simpleContent, extension
        if (what == "extension") of_type(property(*part, "base"), words, order, pieces);
        inside(*part, words, order, pieces);
      }
    }
  }

  void of_type(std::string_view type, ElementWords& words, OrderBuilder& order,
               std::vector<OrderBuilder::Piece>& pieces) const {
    if (const xmlNode* complex = named("complexType", type)) {
      inside(*complex, words, order, pieces);
    } else {
      words.values = values(type);
    }
  }

  OrderBuilder::Piece content(const xmlNode& node, OrderBuilder& order) const {
    const std::string_view what = kind(node);
    OrderBuilder::Piece piece;
    if (what == "element") {
      const std::string_view ref = property(node, "ref");
      if (ref.empty()) {  // declared on the spot: a part in a measure, or a measure in a part
        if (!inner_) throw std::logic_error("only the grammar's roots are to declare elements inside");
        ElementWords& words = declared(node);
        gather(words);
        piece = order.element(&words);
      } else {
        piece = order.element(vocabulary_.by_name_.at(ref));
      }
    } else {
      std::vector<OrderBuilder::Piece> pieces;
      const xmlNode* holder = what == "group" ? named(what, property(node, "ref")) : &node;
      if (holder != nullptr)
        for (const xmlNode* part : parts(*holder)) pieces.push_back(content(*part, order));
      piece = what == "choice" ? order.choice(pieces) : order.sequence(pieces);
    }
    return order.occurring(std::move(piece), property(node, "minOccurs"), property(node, "maxOccurs"));
  }

  AttributeWords attribute(const xmlNode& node) const {
    AttributeWords words;
    words.declaration = &node;
    if (const std::string_view ref = property(node, "ref"); !ref.empty()) {
      if (const xmlNode* shared = named("attribute", ref)) words = attribute(*shared);
      words.name = ref;
    } else {
      words.name = property(node, "name");
      const std::string_view type = property(node, "type");
      if (type == "xs:ID") words.identity = Identity::names;
      if (type == "xs:IDREF") words.identity = Identity::refers;
    }
    words.required = property(node, "use") == "required";
    return words;
  }

  std::string values(std::string_view type) const { return described(values_of_name(type)); }

  Values values_of_name(std::string_view type) const {
    if (const std::string_view words = describe_type(type); !words.empty()) return {{}, {std::string(words)}};
    if (const xmlNode* node = named("simpleType", type)) return values_of(*node);
    throw std::logic_error("the grammar has no type " + std::string(type));
  }

  Values values_of(const xmlNode& simple_type) const {
    Values all;
    const auto add = [&all](Values more) {
      std::move(more.listed.begin(), more.listed.end(), std::back_inserter(all.listed));
      std::move(more.described.begin(), more.described.end(), std::back_inserter(all.described));
    };
    for (const xmlNode* how : parts(simple_type)) {
      if (kind(*how) == "union") {
        const std::string_view members = property(*how, "memberTypes");
        for (std::size_t at = 0; at < members.size();) {
          const std::size_t end = std::min(members.find(' ', at), members.size());
          if (end > at) add(values_of_name(members.substr(at, end - at)));
          at = end + 1;
        }
        for (const xmlNode* member : parts(*how)) add(values_of(*member));
      } else {
        Bounds bounds;
        bounds.base = property(*how, "base");
        bool listed = false;
        for (const xmlNode* facet : parts(*how)) {
          const std::string_view what = kind(*facet);
          const std::string_view value = property(*facet, "value");
          if (what == "enumeration") {
            listed = true;
            all.listed.emplace_back(value);
          } else if (what == "minInclusive") {
            bounds.least = value;
          } else if (what == "minExclusive") {
            bounds.above = value;
          } else if (what == "maxInclusive") {
            bounds.most = value;
          }
        }
        if (!listed) all.described.push_back(describe_bounds(bounds));
      }
    }
    return all;
  }

  Vocabulary& vocabulary_;
  bool inner_ = false;
  std::vector<const xmlNode*> elements_;
  std::unordered_map<std::string, const xmlNode*> named_;
};

bool ElementWords::takes_any_text() const {
  return values == any_text;
}

bool ElementWords::may_hold(std::string_view child) const {
  return std::any_of(order.places.begin() + 1, order.places.end(),
                     [child](const Order::Place& place) { return place.name == child; });
}

std::vector<std::string> ElementWords::children() const {
  std::vector<std::string> names;
  for (std::size_t i = 1; i < order.places.size(); ++i)
    if (std::find(names.begin(), names.end(), order.places[i].name) == names.end())
      names.emplace_back(order.places[i].name);
  return names;
}

const AttributeWords* ElementWords::attribute(std::string_view attribute_name) const {
  const auto found = std::find_if(attributes.begin(), attributes.end(),
                                  [&](const AttributeWords& words) { return words.name == attribute_name; });
  return found == attributes.end() ? nullptr : &*found;
}

Vocabulary::Vocabulary(const std::vector<const xmlDoc*>& schema, const std::vector<std::string>& roots) {
  auto reader = std::make_unique<Reader>(*this, schema);
  reader->run(roots);
  reader_ = std::move(reader);
}

Vocabulary::~Vocabulary() = default;

const ElementWords& Vocabulary::gathered(ElementWords& element) const {
  reader_->gather(element);
  return element;
}

const ElementWords* Vocabulary::element(std::string_view name) const {
  const auto found = by_name_.find(name);
  return found == by_name_.end() ? nullptr : &gathered(*found->second);
}

std::string Vocabulary::values(const AttributeWords& attribute) const {
  return reader_->values_of_attribute(*attribute.declaration);
}

std::vector<std::string> Vocabulary::holders(std::string_view child) const {
  std::vector<std::string> found;
  for (ElementWords& words : all_)
    if (gathered(words).may_hold(child) && std::find(found.begin(), found.end(), words.name) == found.end())
      found.emplace_back(words.name);
  return found;
}

std::string nearest(std::string_view written, const std::vector<std::string>& known) {
  constexpr std::size_t longest = 40;  // no name of the grammar is longer, and the work grows with the square
  if (written.size() > longest) return {};
  std::string best;
  std::size_t least = 1 + written.size() / 3;  // a slip changes less than a third of a name
  for (const std::string& name : known) {
    // Letters added, left out, mistaken, or two of them swapped: the optimal string alignment distance.
    std::vector<std::size_t> before(name.size() + 1);
    std::vector<std::size_t> last(name.size() + 1);
    std::vector<std::size_t> now(name.size() + 1);
    std::iota(last.begin(), last.end(), std::size_t{0});
    for (std::size_t i = 1; i <= written.size(); ++i) {
      now[0] = i;
      for (std::size_t j = 1; j <= name.size(); ++j) {
        const bool same = base::lower_case(written[i - 1]) == base::lower_case(name[j - 1]);
        now[j] = std::min({last[j] + 1, now[j - 1] + 1, last[j - 1] + (same ? 0U : 1U)});
        if (i > 1 && j > 1 && written[i - 1] == name[j - 2] && written[i - 2] == name[j - 1])
          now[j] = std::min(now[j], before[j - 2] + 1);
      }
      before.swap(last);
      last.swap(now);
    }
    if (last[name.size()] < least) {
      least = last[name.size()];
      best = name;
    }
  }
  return best;
}

}  // namespace fifthpeg::musicxml::grammar
