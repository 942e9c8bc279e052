// A MusicXML document opened: its head, and its parts as lists of measures, whether it was partwise or
// timewise. The measures are still text: see SliceParser.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <tinyxml2.h>
#include <vector>

#include "fifthpeg/report.hpp"
#include "formats/musicxml/measure_splitter.hpp"
#include "formats/musicxml/part_list.hpp"
#include "formats/musicxml/values.hpp"

namespace fifthpeg::musicxml {

struct MeasureSource {
  const Element* measure = nullptr;  // an element without content that has the attributes: number, implicit
  Slice music;                       // the text of the element that has the notes
};

struct PartSource {
  PartDescription description;
  std::vector<MeasureSource> measures;
};

class Document {
 public:
  // What to do about a document that breaks off, or whose XML is broken outside of its measures.
  enum class Damage : std::int8_t { refuse, stop_at };

  // `text` in UTF-8; it must outlive the document. Throws ReadError with the line for what is not XML, and
  // for XML that is not a MusicXML score.
  Document(std::string_view text, Damage damage, Report& report);

  const Element& root() const { return *root_; }
  const std::string& version() const { return version_; }  // "3.1"
  bool timewise() const { return timewise_; }
  const std::vector<PartSource>& parts() const { return parts_; }  // at least one, unless damage may be
  const std::vector<PartDescription>& part_list() const { return part_list_; }
  // Where the document breaks off; nothing where it is whole, its measures excepted.
  const std::optional<ReadError>& damage() const { return damage_; }
  std::string_view text() const { return text_; }  // what the slices are slices of

 private:
  void parse(Sliced& sliced, Damage damage);
  void collect_parts(Report& report);

  std::string repaired_;
  std::string_view text_;
  std::vector<Slice> slices_;
  tinyxml2::XMLDocument xml_;  // all but the measures
  const Element* root_ = nullptr;
  std::string version_;
  bool timewise_ = false;
  std::vector<PartDescription> part_list_;
  std::vector<PartSource> parts_;
  std::optional<ReadError> damage_;
};

}  // namespace fifthpeg::musicxml
