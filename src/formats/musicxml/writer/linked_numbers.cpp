#include "formats/musicxml/writer/linked_numbers.hpp"

namespace fifthpeg::musicxml::writer {

int LinkedNumbers::stop(Technique technique, const Note& note) {
  const int string = string_of(note);
  Link* found = nullptr;
  bool same_string = false;
  for (Link& link : links_) {
    if (link.technique != technique || link.stroke == stroke_) continue;
    if (technique == Technique::slur && (link.stroke + 1 != stroke_ || note.tied_from_previous)) continue;
    const bool same = link.string == string;
    const bool earlier = found == nullptr || link.stroke < found->stroke;
    if ((same && !same_string) || (same == same_string && earlier)) {
      found = &link;
      same_string = same;
    }
  }
  if (found == nullptr) return number_of_lone_stops;
  found->technique = Technique::none;
  return first_ + static_cast<int>(found - links_.data());
}

int LinkedNumbers::start(Technique technique, const Note& note) {
  Link* chosen = links_.data();
  for (Link& link : links_) {
    if (link.technique == Technique::none) {
      chosen = &link;
      break;
    }
    if (link.stroke < chosen->stroke) chosen = &link;
  }
  *chosen = {technique, string_of(note), stroke_};
  return first_ + static_cast<int>(chosen - links_.data());
}

}  // namespace fifthpeg::musicxml::writer
