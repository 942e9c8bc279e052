#include "formats/musicxml/grammar/compile.hpp"

#include <libxml/parser.h>
#include <libxml/xmlIO.h>
#include <libxml/xmlschemastypes.h>
#include <stdexcept>
#include <string>

#include "formats/musicxml/grammar/memory.hpp"
#include "formats/musicxml/grammar/text.hpp"
#include "formats/musicxml/grammar/xml_text.hpp"

namespace fifthpeg::musicxml::grammar {
namespace {

// The grammar of scores is three documents, one a namespace, and libxml2 asks for the other two by address.
// Under this made-up scheme it finds them in memory; other addresses are none of our business.
constexpr std::string_view scheme = "fifthpeg-grammar:/";

int is_ours(const char* address) {
  return std::string_view(address).starts_with(scheme) ? 1 : 0;
}

void* open_ours(const char* address) {
  const std::string_view text = grammar_text(std::string_view(address).substr(scheme.size()));
  return text.empty() ? nullptr : std::make_unique<std::string_view>(text).release();
}

int close_ours(void* context) {
  const std::unique_ptr<std::string_view> text(static_cast<std::string_view*>(context));
  return 0;
}

// What libxml2 has to set up once in a program before threads use it.
void prepare_libxml2() {
  static const bool prepared = [] {
    xmlInitParser();
    xmlSchemaInitTypes();
    return xmlRegisterInputCallbacks(is_ours, open_ours, read_text, close_ours) >= 0;
  }();
  if (!prepared) throw std::runtime_error("libxml2 has no memory for the built-in grammar");
}

void keep_quiet(void* /*context*/, xmlError* /*error*/) {}

std::unique_ptr<xmlDoc, FreeDocument> parsed(std::string_view name) {
  const std::string address = std::string(scheme) + std::string(name);
  std::unique_ptr<xmlDoc, FreeDocument> document(
      xmlReadFile(address.c_str(), nullptr, XML_PARSE_NONET | XML_PARSE_NOBLANKS | XML_PARSE_COMPACT));
  if (document == nullptr)
    throw std::runtime_error("the built-in grammar " + std::string(name) + " is damaged");
  return document;
}

struct FreeSchemaParser {
  void operator()(xmlSchemaParserCtxt* parser) const { xmlSchemaFreeParserCtxt(parser); }
};

}  // namespace

Grammar::Compiled::Compiled(Of grammar) {
  guard_libxml2_memory();
  const MemoryWatch memory;
  prepare_libxml2();
  const bool score = grammar == Of::score;
  roots = score ? std::vector<std::string>{"score-partwise", "score-timewise"}
                : std::vector<std::string>{"container"};
  documents.push_back(parsed(score ? "musicxml.xsd" : "container.xsd"));
  if (score) {
    documents.push_back(parsed("xml.xsd"));
    documents.push_back(parsed("xlink.xsd"));
  }
  const std::unique_ptr<xmlSchemaParserCtxt, FreeSchemaParser> parser(
      xmlSchemaNewDocParserCtxt(documents.front().get()));
  xmlSchemaSetParserStructuredErrors(parser.get(), keep_quiet, nullptr);
  schema.reset(xmlSchemaParse(parser.get()));
  if (schema == nullptr) throw std::runtime_error("the built-in grammar does not compile");
  // libxml2 is done with changing the document: it takes out what has no meaning.
  std::vector<const xmlDoc*> read;
  for (const auto& document : documents) read.push_back(document.get());
  vocabulary = std::make_unique<const Vocabulary>(read, roots);
  memory.require_memory();
}

}  // namespace fifthpeg::musicxml::grammar
