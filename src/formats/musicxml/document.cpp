#include "formats/musicxml/document.hpp"

#include <cstring>
#include <unordered_map>

#include "fifthpeg/errors.hpp"
#include "formats/musicxml/encoding.hpp"
#include "formats/musicxml/sanitize.hpp"
#include "score/limits.hpp"

namespace fifthpeg::musicxml {
namespace {

// The name of an element for a message: bounded, and printable.
std::string shown(const char* name) {
  std::string result(name, strnlen(name, 40));
  for (char& c : result) {
    if (c < 0x21 || c > 0x7E) c = '?';
  }
  return result;
}

[[noreturn]] void reject_root(const Element& root) {
  const std::string name = shown(root.Name());
  const Place place = at_line(root.GetLineNum());
  if (name == "html" || name == "HTML") {
    throw ReadError("this is an HTML page, not MusicXML; was the file downloaded completely?", place);
  }
  if (name == "opus") {
    throw ReadError("this is a MusicXML opus, a list of scores; give the scores themselves", place);
  }
  if (name == "container") {
    throw ReadError("this is the container list from an .mxl archive; give the archive itself", place);
  }
  if (name == "sounds") throw ReadError("this is MusicXML's list of instrument sounds, not a score", place);
  throw ReadError("this is XML but not MusicXML: its outermost element is " + name, place);
}

void add_measure(PartSource& part, const MeasureSource& measure) {
  if (part.measures.size() == most_measures) {
    throw ReadError("a part has more than " + std::to_string(most_measures) + " measures",
                    at_line(measure.music.line));
  }
  part.measures.push_back(measure);
}

}  // namespace

Document::Document(std::string_view text, Damage damage, Report& report)
    : text_(sanitize(text, repaired_, report)) {
  Sliced sliced = slice(text_);
  slices_ = std::move(sliced.slices);
  parse(sliced, damage);
  root_ = xml_.RootElement();
  if (root_ == nullptr) throw ReadError("there is no element in the XML", at_line(1));
  const std::string_view name = root_->Name();
  timewise_ = name == "score-timewise";
  if (!timewise_ && name != "score-partwise") reject_root(*root_);
  const char* version = root_->Attribute("version");
  // MusicXML 1.0 had no version attribute; since then its default is "1.0".
  version_ = version == nullptr ? "1.0" : shown(version);
  collect_parts(report);
  if (!parts_.empty() || damage_) return;
  damage_ = ReadError("the score has no part in it", at_line(root_->GetLineNum()));
  if (damage == Damage::refuse) throw *damage_;
}

void Document::parse(Sliced& sliced, Damage damage) {
  const auto error = xml_.Parse(sliced.skeleton.data(), sliced.skeleton.size());
  if (error == tinyxml2::XML_SUCCESS) return;
  damage_ = broken(error, text_, 1, xml_.ErrorLineNum());
  if (damage == Damage::refuse) throw *damage_;
  const std::string whole = whole_measures(sliced.skeleton);
  if (whole.empty() || xml_.Parse(whole.data(), whole.size()) != tinyxml2::XML_SUCCESS) throw *damage_;
}

void Document::collect_parts(Report& report) {
  each_child(*root_, [&](const Element& child, std::string_view name) {
    if (name != "part-list") return;
    each_child(child, [&](const Element& entry, std::string_view kind) {
      if (kind == "score-part") part_list_.push_back(describe(entry));
    });
  });
  std::unordered_map<std::string_view, const PartDescription*> described;
  for (const PartDescription& part : part_list_) described.emplace(part.id, &part);

  std::unordered_map<std::string_view, std::size_t> index;
  const auto part_of = [&](const Element& part) -> PartSource& {
    const char* id = part.Attribute("id");
    const std::string_view key = attribute(part, "id");
    const auto [found, is_new] = index.emplace(key, parts_.size());
    if (is_new) {
      PartSource source;
      const auto entry = described.find(key);
      if (entry != described.end() && id != nullptr) {
        source.description = *entry->second;
      } else {
        source.description.id = key;
        report.add(EntryKind::repair, "musicxml-part-unlisted", "a part is missing in the part list",
                   at_line(part.GetLineNum()));
      }
      parts_.push_back(std::move(source));
    }
    return parts_[found->second];
  };
  // The slices come in the order of the elements that stand for them, in parts and measures alike.
  std::size_t next = 0;
  each_child(*root_, [&](const Element& outer, std::string_view name) {
    if (name != "part" && name != "measure") return;
    const bool is_part = name == "part";
    PartSource* const part = is_part && !timewise_ ? &part_of(outer) : nullptr;
    each_child(outer, [&](const Element& inner, std::string_view kind) {
      if (kind != "part" && kind != "measure") return;
      if (next == slices_.size()) return;  // cannot be, unless the XML is broken in a way the parser takes
      const Slice& slice = slices_[next++];
      if (part != nullptr && kind == "measure") {
        add_measure(*part, {&inner, slice});
      } else if (!is_part && timewise_ && kind == "part") {
        add_measure(part_of(inner), {&outer, slice});
      }
    });
  });
}

}  // namespace fifthpeg::musicxml
