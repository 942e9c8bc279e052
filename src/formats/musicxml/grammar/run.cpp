#include "formats/musicxml/grammar/run.hpp"

#include <algorithm>
#include <cstddef>
#include <libxml/SAX2.h>
#include <libxml/xmlerror.h>
#include <new>
#include <utility>

#include "base/text.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/grammar/memory.hpp"
#include "formats/musicxml/grammar/messages.hpp"
#include "formats/musicxml/grammar/xml_text.hpp"
#include "formats/musicxml/measure_splitter.hpp"

namespace fifthpeg::musicxml::grammar {
namespace {

// An attribute of a start tag is five pointers: local name, prefix, namespace, first and end of the value.
const xmlChar** attribute_at(const xmlChar** attributes, int index) {
  return attributes + std::ptrdiff_t{5} * index;
}
std::string_view attribute_name(const xmlChar** attributes, int index) {
  return view(attribute_at(attributes, index)[0]);
}
bool attribute_in_namespace(const xmlChar** attributes, int index) {
  return attribute_at(attributes, index)[2] != nullptr;
}
std::string_view attribute_value(const xmlChar** attributes, int index) {
  const xmlChar** attribute = attribute_at(attributes, index);
  return {reinterpret_cast<const char*>(attribute[3]), static_cast<std::size_t>(attribute[4] - attribute[3])};
}

struct FreeParser {
  void operator()(xmlParserCtxt* parser) const {
    xmlFreeDoc(parser->myDoc);  // made for the entities that the document declares
    parser->myDoc = nullptr;
    xmlFreeParserCtxt(parser);
  }
};
struct FreeValidator {
  void operator()(xmlSchemaValidCtxt* validator) const { xmlSchemaFreeValidCtxt(validator); }
};
struct Unplug {
  void operator()(xmlSchemaSAXPlugStruct* plug) const { xmlSchemaSAXUnplug(plug); }
};

}  // namespace

// What libxml2 calls. Entities that the document itself declares are kept and expanded by libxml2, which
// bounds how far they grow; those of other files are left undeclared, so that nothing is opened.
xmlSAXHandler GrammarRun::handlers() {
  static const auto run = [](void* context) -> GrammarRun& {
    return *static_cast<GrammarRun*>(static_cast<xmlParserCtxt*>(context)->_private);
  };
  xmlSAXHandler sax = {};
  sax.initialized = XML_SAX2_MAGIC;
  sax.startDocument = xmlSAX2StartDocument;
  sax.internalSubset = xmlSAX2InternalSubset;
  sax.getEntity = xmlSAX2GetEntity;
  sax.entityDecl = [](void* context, const xmlChar* name, int type, const xmlChar* public_id,
                      const xmlChar* system_id, xmlChar* content) {
    if (type == XML_INTERNAL_GENERAL_ENTITY && run(context).takes_entity(view(content)))
      xmlSAX2EntityDecl(context, name, type, public_id, system_id, content);
  };
  sax.startElementNs = [](void* context, const xmlChar* name, const xmlChar* prefix,
                          const xmlChar* name_space, int namespace_count, const xmlChar** namespaces,
                          int attribute_count, int defaulted_count, const xmlChar** attributes) {
    run(context).start({name, prefix, name_space, namespace_count, namespaces, attribute_count,
                        defaulted_count, attributes});
  };
  sax.endElementNs = [](void* context, const xmlChar* name, const xmlChar* prefix,
                        const xmlChar* name_space) { run(context).end(name, prefix, name_space); };
  sax.characters = [](void* context, const xmlChar* text, int length) {
    run(context).text(text, length, false);
  };
  sax.ignorableWhitespace = sax.characters;
  sax.cdataBlock = [](void* context, const xmlChar* text, int length) {
    run(context).text(text, length, true);
  };
  sax.reference = [](void* context, const xmlChar* name) { run(context).undeclared_entity(view(name)); };
  sax.serror = [](void* context, xmlError* error) { run(context).on_parser_error(*error); };
  return sax;
}

GrammarRun::GrammarRun(const Vocabulary& vocabulary, xmlSchema& schema, const std::vector<std::string>& roots,
                       std::size_t kept)
    : vocabulary_(vocabulary), schema_(schema), roots_(roots), kept_(kept) {}

GrammarVerdict GrammarRun::check(std::string_view document) {
  const MemoryWatch memory;
  const std::unique_ptr<xmlSchemaValidCtxt, FreeValidator> validator(xmlSchemaNewValidCtxt(&schema_));
  xmlSchemaSetValidStructuredErrors(
      validator.get(),
      [](void* context, xmlError* error) { static_cast<GrammarRun*>(context)->on_validator_error(*error); },
      this);
  // With no handlers of ours to call, what comes back are the validator's own, for us to call.
  const std::unique_ptr<xmlSchemaSAXPlugStruct, Unplug> plug(
      xmlSchemaSAXPlug(validator.get(), &validator_, &validator_context_));

  xmlSAXHandler sax = handlers();
  std::string_view rest = document;
  const std::unique_ptr<xmlParserCtxt, FreeParser> parser(
      xmlCreateIOParserCtxt(&sax, nullptr, read_text, nullptr, &rest, XML_CHAR_ENCODING_NONE));
  if (plug == nullptr || parser == nullptr) throw std::bad_alloc();
  parser_ = parser.get();
  parser_->_private = this;
  xmlCtxtUseOptions(parser_, XML_PARSE_NOENT | XML_PARSE_NONET);
  xmlParseDocument(parser_);
  memory.require_memory();
  verdict_.complete = !stopped_ && parser_->wellFormed == 1;
  if (!stopped_) check_references();
  return std::move(verdict_);
}

// Markup that an entity stands for was not in the text that was looked at before.
bool GrammarRun::takes_entity(std::string_view content) {
  try {
    refuse_crowded_tags(content);
    return true;
  } catch (const ReadError& error) {
    add(GrammarFault::too_much, error.what(), {});
    stop();
    return false;
  }
}

void GrammarRun::start(const Tag& tag) {
  if (MemoryWatch::ran_out()) stop();
  if (stopped_) return;
  if (skipped_ > 0) {
    ++skipped_;
    return;
  }
  const ElementWords* words = path_.outside() ? root(tag) : child(tag);
  if (words == nullptr) {
    skipped_ = 1;
    return;
  }
  std::string_view label;
  if (words->landmark != Landmark::none) {
    const std::string_view key = words->landmark == Landmark::measure ? "number" : "id";
    for (int i = 0; i < tag.attribute_count; ++i)
      if (attribute_name(tag.attributes, i) == key) label = attribute_value(tag.attributes, i);
  }
  path_.enter(view(tag.name), *words, label);
  if (words->identified) check_ids(*words, tag);
  validator_->startElementNs(validator_context_, tag.name, tag.prefix, tag.name_space, tag.namespace_count,
                             tag.namespaces, tag.attribute_count, tag.defaulted_count, tag.attributes);
}

// The outermost element; null, and the check is over, if no document starts with it.
const ElementWords* GrammarRun::root(const Tag& tag) {
  verdict_.root = std::string(view(tag.name));
  const bool right =
      tag.name_space == nullptr && std::find(roots_.begin(), roots_.end(), verdict_.root) != roots_.end();
  if (!right) {
    const std::string where =
        tag.name_space == nullptr ? "" : " of the namespace " + in_quotes(view(tag.name_space));
    add(GrammarFault::wrong_root, "the file starts with " + in_tag(verdict_.root) + where, in_tags(roots_));
    stop();
    return nullptr;
  }
  const ElementWords* words = vocabulary_.element(verdict_.root);
  if (words->attribute("version") != nullptr) {
    verdict_.version = "1.0";  // what the standard takes a file for that says nothing
    for (int i = 0; i < tag.attribute_count; ++i)
      if (attribute_name(tag.attributes, i) == "version" && !attribute_in_namespace(tag.attributes, i))
        verdict_.version = std::string(base::trimmed(attribute_value(tag.attributes, i)));
    verdict_.judged = version_note(verdict_.version);
  }
  return words;
}

// An element inside another; null, and reported, if it may not stand at this point.
const ElementWords* GrammarRun::child(const Tag& tag) {
  ElementPath::Level& holder = path_.here();
  const std::string_view name = view(tag.name);
  const std::size_t next =
      tag.name_space == nullptr ? holder.words->order.step(holder.at, name) : Order::nowhere;
  if (next == Order::nowhere) {
    if (tag.name_space != nullptr) {
      add(GrammarFault::unknown_element,
          in_tag(name) + " is of the namespace " + in_quotes(view(tag.name_space)) +
              ", and MusicXML has none",
          in_tags(holder.words->children()));
    } else if (!holder.words->may_hold(name)) {
      add_unknown(name, *holder.words);
    } else if (!holder.content_reported) {
      add_misplaced(name, holder);
    }
    holder.content_reported = true;  // other faults of the order here may follow from this one
    return nullptr;
  }
  // libxml2 keeps a note of each child of an open element. A part and a score need no bound: with so simple
  // an order it does not.
  constexpr std::size_t most = 500'000;
  if (++holder.children > most && !path_.holds_measures()) {
    add(GrammarFault::too_much, in_tag(holder.name) + " holds more than half a million elements", {});
    stop();
    return nullptr;
  }
  holder.at = next;
  holder.last_child = holder.words->order.places[next].name;
  return &vocabulary_.gathered(*holder.words->order.places[next].element);
}

void GrammarRun::end(const xmlChar* name, const xmlChar* prefix, const xmlChar* name_space) {
  if (stopped_) return;
  if (skipped_ > 0) {
    --skipped_;
    return;
  }
  ElementPath::Level& here = path_.here();
  const Order& order = here.words->order;
  if (!order.places[here.at].may_be_last && !here.content_reported) {
    here.content_reported = true;
    const std::string what =
        here.last_child.empty() ? " holds nothing" : " ends after " + in_tag(here.last_child);
    add(GrammarFault::missing_element, in_tag(here.name) + what, in_tags(order.expected(here.at)));
  }
  validator_->endElementNs(validator_context_, name, prefix, name_space);
  path_.leave();
}

// The validator sees only text whose value matters: it would look through all of an element's text again for
// each piece of it. What may be any text, and what may be none, is decided here.
void GrammarRun::text(const xmlChar* written, int length, bool cdata) {
  if (stopped_ || skipped_ > 0 || path_.outside()) return;
  ElementPath::Level& here = path_.here();
  const std::string_view text(reinterpret_cast<const char*>(written), static_cast<std::size_t>(length));
  if (here.words->values.empty()) {
    const bool blank = base::trimmed(text).empty();
    if (!blank || !here.words->holds_elements()) add_text(text);
    return;
  }
  if (here.words->takes_any_text()) return;
  constexpr std::size_t longest = 10'000;  // bytes; no value of the grammar comes near
  here.text_length += text.size();
  if (here.text_length > longest) {
    if (here.text_reported) return;
    here.text_reported = true;
    add(GrammarFault::bad_value, in_tag(here.name) + " holds far more text than any of its values",
        here.words->values);
    return;
  }
  if (cdata) {
    validator_->cdataBlock(validator_context_, written, length);
  } else {
    validator_->characters(validator_context_, written, length);
  }
}

void GrammarRun::undeclared_entity(std::string_view name) {
  if (stopped_ || skipped_ > 0) return;
  add(GrammarFault::unfetched_entity,
      "the entity " + in_quotes(name) + " is not declared in this file, and other files are not fetched",
      "the text itself");
}

// Ids are unique in a file, and what refers to one must find it (XML Schema part 1, 3.3.4, validation rule
// "Identity constraint: cvc-id"). libxml2 sees to the first only with the whole document in memory, and never
// to the second.
void GrammarRun::check_ids(const ElementWords& words, const Tag& tag) {
  for (int i = 0; i < tag.attribute_count; ++i) {
    if (attribute_in_namespace(tag.attributes, i)) continue;
    const AttributeWords* attribute = words.attribute(attribute_name(tag.attributes, i));
    if (attribute == nullptr || attribute->identity == Identity::none) continue;
    std::string id(base::trimmed(attribute_value(tag.attributes, i)));
    if (attribute->identity == Identity::names) {
      const auto [first, added] = ids_.emplace(std::move(id), line());
      if (!added)
        add(GrammarFault::repeated_id,
            "the id " + in_quotes(first->first) + " is already used on line " + std::to_string(first->second),
            "an id that no other element has");
    } else if (!references_.contains(id)) {
      references_.emplace(std::move(id),
                          Reference{line(), references_.size() < kept_ ? path_.spot() : GrammarSpot{},
                                    std::string(attribute->name)});
    }
  }
}

void GrammarRun::check_references() {
  std::vector<std::pair<std::string, Reference>> lost;
  for (auto& [id, reference] : references_)
    if (!id.empty() && !ids_.contains(id)) lost.emplace_back(id, std::move(reference));
  std::sort(lost.begin(), lost.end(), [](const auto& a, const auto& b) {
    return std::pair(a.second.line, std::string_view(a.first)) <
           std::pair(b.second.line, std::string_view(b.first));
  });
  for (auto& [id, reference] : lost)
    add_at(reference.line, std::move(reference.place), GrammarFault::dangling_reference,
           "the " + reference.attribute + " " + in_quotes(id) +
               " refers to an element that the file does not have",
           "the id of an element of this file");
}

void GrammarRun::on_parser_error(const xmlError& error) {
  if (stopped_ || error.level < XML_ERR_ERROR) return;
  if (error.code == XML_WAR_UNDECLARED_ENTITY || error.code == XML_ERR_UNDECLARED_ENTITY) {
    // Declared elsewhere, perhaps; a document that has no other places to look in stops here.
    undeclared_entity(view(error.str1));
    if (error.level != XML_ERR_FATAL) return;
  } else if (error.code == XML_ERR_INTERNAL_ERROR) {
    add(GrammarFault::too_much, "elements are nested more than 256 deep, or a text is longer than 10 MB", {});
  } else if (error.code == XML_ERR_TAG_NAME_MISMATCH && error.str1 != nullptr && error.str2 != nullptr) {
    add(GrammarFault::not_xml,
        "<" + std::string(error.str1) + ">, which begins in line " + std::to_string(error.int1) +
            ", is not closed before </" + std::string(error.str2) + ">",
        {});
  } else {
    add(GrammarFault::not_xml, std::string(describe_xml_error(error.code)), {});
  }
  stop();
}

void GrammarRun::stop() {
  stopped_ = true;
  xmlStopParser(parser_);
}

std::int64_t GrammarRun::line() const {
  return parser_->input == nullptr ? 0 : static_cast<std::int64_t>(parser_->input->line);
}

}  // namespace fifthpeg::musicxml::grammar
