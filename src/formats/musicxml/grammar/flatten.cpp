#include "formats/musicxml/grammar/flatten.hpp"

#include <new>
#include <string>
#include <string_view>
#include <unordered_map>

#include "formats/musicxml/grammar/xml_text.hpp"

namespace fifthpeg::musicxml::grammar {
namespace {

bool is(const xmlNode& node, std::string_view name) {
  return node.type == XML_ELEMENT_NODE && view(node.name) == name;
}

std::string_view property(const xmlNode& node, std::string_view name) {
  for (const xmlAttr* a = node.properties; a != nullptr; a = a->next)
    if (view(a->name) == name && a->children != nullptr) return view(a->children->content);
  return {};
}

bool occurs_once(const xmlNode& node) {
  return property(node, "minOccurs").empty() && property(node, "maxOccurs").empty();
}

xmlNode* first_element(const xmlNode& node) {
  xmlNode* child = node.children;
  while (child != nullptr && child->type != XML_ELEMENT_NODE) child = child->next;
  return child;
}

class Flattening {
 public:
  explicit Flattening(const xmlNode& root) {
    for (xmlNode* node = root.children; node != nullptr; node = node->next)
      if (is(*node, "group")) groups_[std::string(property(*node, "name"))] = first_element(*node);
  }

  void inside(xmlNode& node) {
    for (xmlNode* child = node.children; child != nullptr;) {
      xmlNode* const inner = is(node, "choice") ? choice_in(*child) : nullptr;
      if (inner == nullptr) {
        inside(*child);
        child = child->next;
        continue;
      }
      // Its alternatives take its place, and are looked at in their turn.
      for (const xmlNode* one = inner->children; one != nullptr; one = one->next) {
        xmlNode* const copy = xmlDocCopyNode(const_cast<xmlNode*>(one), node.doc, 1);  // NOLINT: is only read
        if (copy == nullptr) throw std::bad_alloc();
        xmlAddPrevSibling(child, copy);
      }
      xmlNode* const next = inner->children != nullptr ? first_copy(*child, *inner) : child->next;
      xmlUnlinkNode(child);
      xmlFreeNode(child);
      child = next;
    }
  }

 private:
  // The choice that a part of a choice amounts to; null where it is something else, or may stand more or less
  // often than once.
  xmlNode* choice_in(xmlNode& part) const {
    if (part.type != XML_ELEMENT_NODE || !occurs_once(part)) return nullptr;
    if (is(part, "choice")) return &part;
    if (!is(part, "group")) return nullptr;
    const auto found = groups_.find(std::string(property(part, "ref")));
    if (found == groups_.end() || found->second == nullptr) return nullptr;
    return is(*found->second, "choice") && occurs_once(*found->second) ? found->second : nullptr;
  }

  // The first of the copies that were put before `part`.
  static xmlNode* first_copy(xmlNode& part, const xmlNode& inner) {
    xmlNode* copy = &part;
    for (const xmlNode* one = inner.children; one != nullptr; one = one->next) copy = copy->prev;
    return copy;
  }

  std::unordered_map<std::string, xmlNode*> groups_;
};

}  // namespace

void flatten_choices(xmlDoc& schema) {
  xmlNode* const root = xmlDocGetRootElement(&schema);
  if (root != nullptr) Flattening(*root).inside(*root);
}

}  // namespace fifthpeg::musicxml::grammar
