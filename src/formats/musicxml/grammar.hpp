// The grammar of MusicXML 4.0 and of the container inside a .mxl file, compiled in: what is wrong with a
// file's elements, attributes and values, and what may stand there instead.
//
// The grammars are schemas/musicxml.rnc and schemas/container.rnc; libxml2 checks with the XML Schema that is
// generated from them. Nothing is read or fetched but the bytes given.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace fifthpeg::musicxml::grammar {

// Whether MusicXML has an element or an attribute of that name.
bool is_name(std::string_view name);

enum class GrammarFault : std::uint8_t {
  too_much,            // nested too deep, too long or too many; nothing after this place was checked
  not_xml,             // the bytes are not well-formed XML; nothing after this place was checked
  wrong_root,          // the file starts with an element that no score (or container) starts with
  unknown_element,     // an element that never stands in the one around it
  misplaced_element,   // one that may stand there, but not at this point of the order
  missing_element,     // an element ended before all that it needs
  unexpected_text,     // text where only elements may stand, or nothing at all
  bad_value,           // the text of an element or an attribute is none of its values
  unknown_attribute,   // an attribute that the element does not have
  missing_attribute,   // one that it must have
  repeated_id,         // two elements with the same id
  dangling_reference,  // a reference to an id that the file does not have
  unfetched_entity,    // an entity of another file, which is not fetched
};

// "misplaced-element": stable, for programs.
std::string_view slug(GrammarFault fault);

// Where in a score something is.
struct GrammarSpot {
  std::string words;    // "part P1, measure 3, note 2, pitch": from the outside in, as a reader counts
  std::string part;     // "P1", its id; empty outside of parts, as are the other two
  std::string measure;  // "3", its number
  std::string inside;   // "note 2, pitch": the rest of the words
};

struct GrammarFinding {
  GrammarFault fault = GrammarFault::not_xml;
  std::int64_t line = 0;  // from 1; of the end of a start tag that runs over several lines
  GrammarSpot place;
  std::string message;   // what was found: one sentence without its full stop
  std::string expected;  // what may stand there; empty where nothing can be said
};

struct GrammarVerdict {
  std::vector<GrammarFinding> findings;  // in the order of the file, the first `kept` of them
  std::uint64_t count = 0;               // of all findings
  bool complete = false;                 // the whole of a score or container was looked at
  std::string root;                      // "score-partwise"; empty if the file never got that far
  std::string version;                   // of MusicXML, as the file states it; "1.0" where it says nothing
  // Says that a file of another version was judged by 4.0; empty for 4.0 and for containers.
  std::string judged;

  bool valid() const { return count == 0; }
};

class Grammar {
 public:
  enum class Of : std::uint8_t { score, container };

  // Compiled at the first call and then shared: any number of threads may check with one at the same time.
  static const Grammar& of(Of what);

  // Checks a whole document in memory, in any encoding that libxml2 knows, and keeps the first `kept`
  // findings. Time is linear in its length; the memory needed beside it does not grow with it, but for the
  // ids and for the children of one element (some 100 bytes each). Elements may nest 256 deep, a text be 10
  // MB long, an element hold half a million others (a part or a score any number); what exceeds that is a
  // finding. Never throws for what the bytes hold.
  GrammarVerdict check(std::string_view document, std::size_t kept = 1000) const;

  explicit Grammar(Of what);
  ~Grammar();
  Grammar(const Grammar&) = delete;
  Grammar& operator=(const Grammar&) = delete;

 private:
  struct Compiled;
  std::unique_ptr<const Compiled> compiled_;
};

}  // namespace fifthpeg::musicxml::grammar
