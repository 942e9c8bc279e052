// A MusicXML document opened: its head, and its parts as lists of measures, whether it was partwise or
// timewise. The measures are still text: see SliceParser.
#pragma once

#include <string>
#include <string_view>
#include <tinyxml2.h>
#include <vector>

#include "fifthpeg/report.hpp"
#include "formats/musicxml/encoding.hpp"
#include "formats/musicxml/measure_splitter.hpp"
#include "formats/musicxml/values.hpp"

namespace fifthpeg::musicxml {

struct MeasureSource {
  const Element* measure = nullptr;  // an element without content that has the attributes: number, implicit
  Slice music;                       // the text of the element that has the notes
};

struct PartSource {
  std::string id;
  const Element* description = nullptr;  // its score-part; null if the part list does not have it
  std::vector<MeasureSource> measures;
};

class Document {
 public:
  // `bytes` in any encoding; they must outlive the document. Throws ReadError with the line for what is not
  // XML, and for XML that is not a MusicXML score.
  Document(std::string_view bytes, Report& report);

  const Element& root() const { return *root_; }
  const std::string& version() const { return version_; }    // "3.1"
  const std::string& encoding() const { return encoding_; }  // "UTF-8"
  bool timewise() const { return timewise_; }
  const std::vector<PartSource>& parts() const { return parts_; }  // at least one

 private:
  void collect_parts(Report& report);

  Decoded decoded_;
  std::string repaired_;
  std::vector<Slice> slices_;
  tinyxml2::XMLDocument xml_;  // all but the measures
  const Element* root_ = nullptr;
  std::string version_;
  std::string encoding_;
  bool timewise_ = false;
  std::vector<PartSource> parts_;
};

}  // namespace fifthpeg::musicxml
