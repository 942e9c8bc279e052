// A grammar that is ready to check with: libxml2's schema, and the vocabulary for the messages.
#pragma once

#include <libxml/tree.h>
#include <libxml/xmlschemas.h>
#include <memory>
#include <string>
#include <vector>

#include "formats/musicxml/grammar.hpp"
#include "formats/musicxml/grammar/vocabulary.hpp"

namespace fifthpeg::musicxml::grammar {

struct FreeDocument {
  void operator()(xmlDoc* document) const { xmlFreeDoc(document); }
};
struct FreeSchema {
  void operator()(xmlSchema* schema) const { xmlSchemaFree(schema); }
};

// Any number of checks may use it at once.
struct Grammar::Compiled {
  explicit Compiled(Of grammar);

  // XML Schema lets a file start with any element that it declares; a score starts with one of two.
  std::vector<std::string> roots;
  // The grammar itself first. Both others refer to them.
  std::vector<std::unique_ptr<xmlDoc, FreeDocument>> documents;
  std::unique_ptr<xmlSchema, FreeSchema> schema;
  std::unique_ptr<const Vocabulary> vocabulary;
};

}  // namespace fifthpeg::musicxml::grammar
