// One check of one document: libxml2's parser in front, its schema validator behind, and between them this,
// which knows the place, reports the findings, and keeps from the validator what would hide everything after
// it: the validator looks at nothing more in an element once something stands in it that may not.
#pragma once

#include <cstddef>
#include <libxml/parser.h>
#include <libxml/xmlschemas.h>
#include <memory>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "formats/musicxml/grammar.hpp"
#include "formats/musicxml/grammar/element_path.hpp"
#include "formats/musicxml/grammar/vocabulary.hpp"

namespace fifthpeg::musicxml::grammar {

class GrammarRun {
 public:
  // `roots`: what a document may start with.
  GrammarRun(const Vocabulary& vocabulary, xmlSchema& schema, const std::vector<std::string>& roots,
             std::size_t kept);

  GrammarVerdict check(std::string_view document);

 private:
  // A start tag as libxml2 hands it over: five pointers an attribute.
  struct Tag {
    const xmlChar* name;
    const xmlChar* prefix;
    const xmlChar* name_space;
    int namespace_count;
    const xmlChar** namespaces;
    int attribute_count;
    int defaulted_count;
    const xmlChar** attributes;
  };
  struct Reference {
    std::int64_t line = 0;
    GrammarSpot place;
    std::string attribute;
  };

  // What libxml2's parser calls; it leads to the functions below.
  static xmlSAXHandler handlers();
  void start(const Tag& tag);
  void end(const xmlChar* name, const xmlChar* prefix, const xmlChar* name_space);
  void text(const xmlChar* written, int length, bool cdata);
  // False, and the check is over, where what it stands for is more than the parser may see.
  bool takes_entity(std::string_view content);
  void undeclared_entity(std::string_view name);
  void on_parser_error(const xmlError& error);
  void on_validator_error(const xmlError& error);

  const ElementWords* root(const Tag& tag);
  const ElementWords* child(const Tag& tag);
  void check_ids(const ElementWords& words, const Tag& tag);
  void check_references();
  void stop();

  void add_unknown(std::string_view name, const ElementWords& holder);
  void add_misplaced(std::string_view name, const ElementPath::Level& holder);
  void add_text(std::string_view written);
  void add_value(const xmlError& error);
  void add_attribute(const xmlError& error);
  void add(GrammarFault fault, std::string message, std::string expected);
  void add_at(std::int64_t line, GrammarSpot place, GrammarFault fault, std::string message,
              std::string expected);

  std::int64_t line() const;

  const Vocabulary& vocabulary_;
  xmlSchema& schema_;
  const std::vector<std::string>& roots_;
  std::size_t kept_;
  GrammarVerdict verdict_;
  ElementPath path_;
  xmlParserCtxt* parser_ = nullptr;  // these three only while check() runs
  xmlSAXHandler* validator_ = nullptr;
  void* validator_context_ = nullptr;
  std::size_t skipped_ = 0;  // how deep inside an element that the validator is not shown
  bool stopped_ = false;
  std::unordered_map<std::string, std::int64_t> ids_;      // and the line of each
  std::unordered_map<std::string, Reference> references_;  // the first to each id
};

}  // namespace fifthpeg::musicxml::grammar
