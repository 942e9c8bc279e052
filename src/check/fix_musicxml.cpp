// What of a MusicXML text has exactly one right answer, as edits of the text.
#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "check/fix.hpp"
#include "check/musicxml_rules.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/outline.hpp"
#include "formats/musicxml/part_reader.hpp"

namespace fifthpeg::check {
namespace {

using musicxml::attribute;
using musicxml::child_token;
using musicxml::Document;
using musicxml::each_child;
using musicxml::Element;
using musicxml::MeasureSource;
using musicxml::Outline;
using musicxml::PartSource;
using musicxml::token_of;
using musicxml::reader::Diagnostics;
using musicxml::reader::PartReader;

// The last child for which wanted(child, name) holds; null where there is none.
template <typename Wanted>
const Element* last_child(const Element& parent, Wanted wanted) {
  const Element* last = nullptr;
  each_child(parent, [&](const Element& child, std::string_view name) {
    if (wanted(child, name)) last = &child;
  });
  return last;
}

bool states_divisions(const Element& music) {
  return last_child(music, [](const Element& child, std::string_view name) {
           return name == "attributes" && child.FirstChildElement("divisions") != nullptr;
         }) != nullptr;
}

// The divisions that a note's printed value makes of its duration; nothing where it proves none.
std::optional<Fraction> divisions_by(const Element& note) {
  if (note.FirstChildElement("rest") != nullptr) return std::nullopt;  // of a measure, it is a whole in print
  const auto duration = musicxml::decimal(child_token(note, "duration"));
  const auto value = musicxml::note_value(child_token(note, "type"));
  if (!duration || !value || *duration <= 0) return std::nullopt;
  int dots = 0;
  each_child(note, [&dots](const Element&, std::string_view name) { dots += name == "dot" ? 1 : 0; });
  Fraction printed = musicxml::dotted(*value, dots);
  if (const Element* ratio = note.FirstChildElement("time-modification")) {
    const auto actual = musicxml::whole_number(child_token(*ratio, "actual-notes"));
    const auto normal = musicxml::whole_number(child_token(*ratio, "normal-notes"));
    if (!actual || !normal || *actual < 1 || *normal < 1) return std::nullopt;
    printed = printed * Fraction(*normal) / Fraction(*actual);
  }
  return *duration / (printed * 4);
}

// The divisions that all printed values of a part prove, up to where it states some.
std::optional<std::int64_t> proven_divisions(const PartSource& part) {
  std::optional<Fraction> proven;
  bool contradicted = false;
  musicxml::SliceParser parser;
  for (const MeasureSource& measure : part.measures) {
    const Element& music = parser.parse(measure.music);
    if (states_divisions(music)) break;
    each_child(music, [&](const Element& child, std::string_view name) {
      const auto divisions = name == "note" ? divisions_by(child) : std::nullopt;
      if (!divisions) return;
      contradicted = contradicted || !divisions->is_whole() || (proven && *proven != *divisions);
      proven = divisions;
    });
  }
  if (contradicted || !proven) return std::nullopt;
  return proven->num();
}

class Fixer {
 public:
  Fixer(const Document& document, const RuleSelection& selection, const MusicXmlRules& rules,
        const std::vector<Finding>& found, std::vector<Fix>& fixes)
      : document_(document),
        selection_(selection),
        tab_(rules.tab_fixes()),
        pairs_(rules.pair_fixes()),
        fixes_(fixes) {
    for (const Finding& finding : found) {
      if (finding.rule == "time-pickup-unmarked") pickups_.emplace(finding.place.part, finding.place.measure);
    }
  }

  std::vector<Edit> run() {
    for (const PartSource& source : document_.parts()) part(source);
    return std::move(edits_);
  }

 private:
  void part(const PartSource& source) {
    RawPart raw;
    raw.description = source.description;
    raw_ = &raw;
    tuned_ = false;
    proof_.reset();
    Report passed_over;
    Diagnostics quiet(passed_over);
    quiet.quiet(true);
    PartReader reader(raw, quiet);
    for (const MeasureSource& measure : source.measures) {
      const Element& music = reader.parse(measure);
      source_ = &measure;
      music_ = &music;
      outline_.reset();
      if (!raw.divisions_stated && !states_divisions(music)) give_divisions(source);
      this->measure(reader.read(measure, music));
      raw.measures.clear();
    }
  }

  void measure(const RawMeasure& measure) {
    mark_pickup(measure);
    give_tuning(measure);
    elements_.clear();
    each_child(*music_, [this](const Element& child, std::string_view name) {
      if (name == "note") elements_.push_back(&child);
    });
    for (std::size_t i = 0; i < measure.notes.size(); ++i) {
      renumber(measure, i);
      give_type(measure, i);
      ties(measure, i);
    }
    try {
      if (measure.timed) tuplets(measure);
    } catch (const TimeError&) {  // times beyond all music are left alone
    }
  }

  // ---- places in the text ----

  const Outline& outline() {
    if (!outline_) outline_.emplace(source_->music, *music_);
    return *outline_;
  }
  std::size_t slice_start() const {
    return static_cast<std::size_t>(source_->music.text.data() - document_.text().data());
  }
  std::optional<std::size_t> content_of(const Element& element) {
    const auto inside = outline().content_of(element);
    if (!inside) return std::nullopt;
    return slice_start() + *inside;
  }
  // Behind the last child whose name `is`; nothing where there is none.
  template <typename Is>
  std::optional<std::size_t> behind_last(const Element& parent, Is is) {
    const Element* last = last_child(
        parent, [&](const Element& child, std::string_view) { return is(std::string_view(child.Name())); });
    if (last == nullptr) return std::nullopt;
    return slice_start() + outline().of(*last).end;
  }
  static auto is_one_of(std::initializer_list<std::string_view> names) {
    return
        [names](std::string_view name) { return std::find(names.begin(), names.end(), name) != names.end(); };
  }

  // Puts a text in the place of that of an element; comments and the like in it stay. False where there is
  // none.
  bool write_text(const Element& element, const std::string& text) {
    const auto inside = content_of(element);
    if (!inside) return false;
    const std::string_view all = document_.text();
    const std::size_t end = all.rfind('<', slice_start() + outline().of(element).end - 1);
    bool written = false;
    const auto replace = [&](std::size_t from, std::size_t to) {
      if (musicxml::trimmed(all.substr(from, to - from)).empty()) return;
      edits_.push_back({from, to - from, written ? std::string() : text});
      written = true;
    };
    const musicxml::TagScanner scanner(all);
    for (std::size_t at = *inside; at < end;) {
      musicxml::Tag tag;
      const std::size_t next = scanner.next(at, tag) ? std::min(tag.from, end) : end;
      replace(at, next);
      if (next == end) break;
      if (all.substr(tag.from).starts_with("<![CDATA[")) replace(tag.from, tag.to);
      at = tag.to;
    }
    return written;
  }

  void insert(std::size_t at, std::string text) { edits_.push_back({at, 0, std::move(text)}); }
  void record(std::string_view rule, const Place& place, std::string text) {
    fixes_.push_back({std::string(rule), place, std::move(text)});
  }

  // ---- fixes ----

  void give_divisions(const PartSource& source) {
    if (!selection_.takes("time-no-divisions")) return;
    if (!proof_) proof_ = proven_divisions(source);
    const std::optional<std::int64_t> divisions = *proof_;
    if (!divisions) return;
    const std::string element = "<divisions>" + std::to_string(*divisions) + "</divisions>";
    const Element* first = music_->FirstChildElement();
    const bool has_attributes = first != nullptr && std::string_view(first->Name()) == "attributes";
    const auto inside = has_attributes ? content_of(*first) : std::nullopt;
    if (inside) {
      insert(behind_last(*first, is_one_of({"footnote", "level"})).value_or(*inside), element);
    } else if (const auto start = content_of(*music_)) {
      insert(*start, "<attributes>" + element + "</attributes>");
    } else {
      return;
    }
    raw_->divisions = *divisions;
    raw_->divisions_stated = true;
    Place place;
    place.part = raw_->description.label();
    place.measure = attribute(*source_->measure, "number");
    place.line = source_->music.line;
    record("time-no-divisions", place,
           "stated " + std::to_string(*divisions) + " divisions, as the note values prove");
  }

  // The start tag of the measure: in a timewise score the slice is a part of it.
  std::optional<musicxml::Tag> tag_of_measure() const {
    const musicxml::TagScanner scanner(document_.text());
    std::optional<musicxml::Tag> last;
    musicxml::Tag tag;
    for (std::size_t at = 0; scanner.next(at, tag) && tag.from <= slice_start(); at = tag.to) {
      if (tag.kind == musicxml::Tag::Kind::open && scanner.name(tag) == "measure") last = tag;
    }
    return last;
  }

  // Where in a start tag the value of an attribute stands, and its length; nothing where it has none.
  static std::optional<std::pair<std::size_t, std::size_t>> attribute_value(std::string_view tag,
                                                                            std::string_view name) {
    constexpr std::string_view blanks = " \t\r\n";
    for (std::size_t at = tag.find_first_of(blanks); at < tag.size();) {
      const std::size_t begin = tag.find_first_not_of(blanks, at);
      const std::size_t open = tag.find_first_of("\"'", begin);
      if (open == std::string_view::npos) break;
      const std::size_t close = tag.find(tag[open], open + 1);
      if (close == std::string_view::npos) break;
      if (tag.substr(begin, tag.find_first_of(" \t\r\n=", begin) - begin) == name)
        return std::pair(open + 1, close - open - 1);
      at = close + 1;
    }
    return std::nullopt;
  }

  void mark_pickup(const RawMeasure& measure) {
    if (measure.index != 0) return;
    if (!pickups_.contains({raw_->description.label(), measure.measure.number})) return;
    const auto tag = tag_of_measure();
    if (!tag) return;
    if (marked_.insert(tag->from).second) {
      const auto value = attribute_value(document_.text().substr(tag->from, tag->to - tag->from), "implicit");
      if (value) {
        edits_.push_back({tag->from + value->first, value->second, "yes"});
      } else {
        insert(tag->to - 1, " implicit=\"yes\"");
      }
    }
    record("time-pickup-unmarked", place_in(*raw_, measure, measure.line), "marked the pickup");
  }

  void give_tuning(const RawMeasure& measure) {
    const auto found = tab_.tunings.find(raw_->description.id);
    if (tuned_ || found == tab_.tunings.end() || !selection_.takes("tab-no-tuning")) return;
    each_child(*music_, [&](const Element& element, std::string_view name) {
      if (tuned_ || name != "attributes") return;
      const Element* tab = last_child(element, [](const Element& child, std::string_view kind) {
        return kind == "clef" && child_token(child, "sign") == "TAB";
      });
      if (tab == nullptr) return;
      const std::string_view number = attribute(*tab, "number");
      const Element* details = last_child(element, [&](const Element& child, std::string_view kind) {
        return kind == "staff-details" && attribute(child, "number") == number;
      });
      const std::string tuning = staff_tunings(found->second);
      if (details != nullptr) {
        const auto inside = content_of(*details);
        if (!inside) return;
        const auto after = behind_last(*details, is_one_of({"staff-type", "staff-lines", "line-detail"}));
        insert(after.value_or(*inside), tuning);
      } else {
        insert(*behind_last(element, is_one_of({"clef", "staff-details"})),
               "<staff-details" +
                   (number.empty() ? std::string() : " number=\"" + std::string(number) + "\"") +
                   "><staff-lines>5</staff-lines>" + tuning + "</staff-details>");
      }
      tuned_ = true;
      record("tab-no-tuning", place_in(*raw_, measure, tab->GetLineNum() + source_->music.line - 1),
             "stated the tuning that the pitches prove");
    });
  }

  static std::string staff_tunings(const std::array<int, 5>& open) {
    std::string text;
    for (int line = 1; line <= 5; ++line) {
      const Pitch pitch = spell(open.at(static_cast<std::size_t>(5 - line)), Key{1, Mode::major});
      text += "<staff-tuning line=\"" + std::to_string(line) + "\"><tuning-step>" +
              to_string(pitch).substr(0, 1) + "</tuning-step>" +
              (pitch.alter == 0 ? std::string()
                                : "<tuning-alter>" + std::to_string(pitch.alter) + "</tuning-alter>") +
              "<tuning-octave>" + std::to_string(pitch.octave) + "</tuning-octave></staff-tuning>";
    }
    return text;
  }

  void renumber(const RawMeasure& measure, std::size_t index) {
    const auto found = tab_.frets.find({raw_->description.id, measure.index, index});
    if (found == tab_.frets.end()) return;
    const auto& [right, mixed] = found->second;
    const std::string_view rule = mixed ? "tab-fifth-numbering-mixed" : "tab-fifth-own-nut";
    if (!selection_.takes(rule)) return;
    const RawNote& note = measure.notes[index];
    // clang 14 captures no structured binding by itself.
    each_child(*elements_[index], [&, right = right](const Element& notations, std::string_view name) {
      if (name != "notations") return;
      const Element* technical = notations.FirstChildElement("technical");
      const Element* fret = technical == nullptr ? nullptr : technical->FirstChildElement("fret");
      if (fret == nullptr || !write_text(*fret, std::to_string(right))) return;
      record(rule, place_at(*raw_, measure, note),
             "renumbered fret " + std::to_string(note.fret.value_or(0)) + " of the fifth string to " +
                 std::to_string(right));
    });
  }

  void give_type(const RawMeasure& measure, std::size_t index) {
    const RawNote& note = measure.notes[index];
    const bool other =
        note.kind == RawNote::Kind::rest || note.grace != Grace::none || note.cue || note.tremolo;
    if (other || note.typed || !selection_.takes("time-no-type")) return;
    const Element& element = *elements_[index];
    const engraving::NoteValue value = plain_value(note);
    if (!value || (note.dots > 0 && note.dots != value.dots)) return;  // dots that no value goes with
    const auto at =
        behind_last(element, is_one_of({"duration", "tie", "instrument", "footnote", "level", "voice"}));
    if (!at) return;
    const std::string type(engraving::type_name(value.type));
    insert(*at, "<type>" + type + "</type>" + (value.dots > 0 && note.dots == 0 ? "<dot/>" : ""));
    record("time-no-type", place_at(*raw_, measure, note), "printed it as " + spoken_name(value, "note"));
  }

  // Puts an element into a note's notations, which are made where there are none.
  void notate(const Element& note, const std::string& added) {
    const Element* notations = note.FirstChildElement("notations");
    if (const auto inside = notations == nullptr ? std::nullopt : content_of(*notations)) {
      insert(behind_last(*notations, is_one_of({"footnote", "level"})).value_or(*inside), added);
      return;
    }
    const auto follows = is_one_of({"notations", "lyric", "play", "listen"});
    const auto at = behind_last(note, [&](std::string_view name) { return !follows(name); });
    if (at) insert(*at, "<notations>" + added + "</notations>");
  }

  // What leads nowhere goes; what is heard is drawn.
  void ties(const RawMeasure& measure, std::size_t index) {
    const RawNote& note = measure.notes[index];
    if (!note.midi()) return;
    Ties tied = ties_of(note);
    const NoteIndex here{raw_->description.id, measure.index, index};
    if (selection_.takes("pairs-tie")) {
      if (pairs_.tie_starts.contains(here)) {
        untie(measure, index, "start");
        tied.start = tied.drawn_start = false;
      }
      if (pairs_.tie_stops.contains(here)) {
        untie(measure, index, "stop");
        tied.stop = tied.drawn_stop = false;
      }
    }
    if (tied.all_drawn() || !selection_.takes("pairs-tie-not-shown")) return;
    std::string added;
    if (tied.stop && !tied.drawn_stop) added += "<tied type=\"stop\"/>";
    if (tied.start && !tied.drawn_start) added += "<tied type=\"start\"/>";
    notate(*elements_[index], added);
    record("pairs-tie-not-shown", place_at(*raw_, measure, note), "drew the tie that is heard");
  }

  void untie(const RawMeasure& measure, std::size_t index, std::string_view end) {
    const auto remove = [&](const Element& child, std::string_view name) {
      if ((name != "tie" && name != "tied") || attribute(child, "type") != end) return;
      const Outline::Range& range = outline().of(child);
      edits_.push_back({slice_start() + range.begin, range.end - range.begin, {}});
    };
    each_child(*elements_[index], [&](const Element& child, std::string_view name) {
      remove(child, name);
      if (name == "notations") each_child(child, remove);
    });
    record("pairs-tie", place_at(*raw_, measure, measure.notes[index]),
           end == "start" ? "removed the tie that ends at no note" : "removed the tie that never began");
  }

  // A tuplet that begins and, in its voice and measure, comes out even before any other bracket.
  void tuplets(const RawMeasure& measure) {
    if (!selection_.takes("pairs-tuplet")) return;
    for (std::size_t i = 0; i < measure.notes.size(); ++i) {
      const RawNote& first = measure.notes[i];
      const Mark* start = tuplet_mark(first, true);
      if (start == nullptr || !pairs_.tuplet_starts.contains({raw_->description.id, measure.index, i}))
        continue;
      if (first.chord || first.grace != Grace::none || first.actual == first.normal) continue;
      if (!first.type || first.dots > 0) continue;
      const Fraction whole = first.printed * Fraction(first.normal);
      Fraction sum;
      for (std::size_t k = i; k < measure.notes.size(); ++k) {
        const RawNote& note = measure.notes[k];
        if (note.voice != first.voice || note.staff != first.staff || note.chord || note.grace != Grace::none)
          continue;
        if (note.actual != first.actual || note.normal != first.normal) break;
        if (tuplet_mark(note, false) != nullptr) break;
        if (k > i && tuplet_mark(note, true) != nullptr) break;
        sum += note.duration;
        if (sum > whole) break;
        if (sum < whole) continue;
        notate(*elements_[k], "<tuplet type=\"stop\" number=\"" + std::to_string(start->number) + "\"/>");
        record("pairs-tuplet", place_at(*raw_, measure, note), "closed the tuplet");
        break;
      }
    }
  }

  static const Mark* tuplet_mark(const RawNote& note, bool start) {
    const auto found = std::find_if(note.marks.begin(), note.marks.end(), [start](const Mark& mark) {
      return mark.kind == Mark::Kind::tuplet && mark.start == start;
    });
    return found == note.marks.end() ? nullptr : &*found;
  }

  const Document& document_;
  const RuleSelection& selection_;
  const TabFixes& tab_;
  const PairFixes& pairs_;
  std::vector<Fix>& fixes_;
  std::set<std::pair<std::string, std::string>> pickups_;
  std::set<std::size_t> marked_;  // where the tags of marked measures begin
  std::vector<Edit> edits_;

  // Of the part and the measure that are looked at:
  RawPart* raw_ = nullptr;
  bool tuned_ = false;
  std::optional<std::optional<std::int64_t>> proof_;  // of its divisions, once it has been looked for
  const MeasureSource* source_ = nullptr;
  const Element* music_ = nullptr;
  std::vector<const Element*> elements_;  // of its notes
  std::optional<Outline> outline_;
};

[[noreturn]] void refuse(const Place& place) {
  throw ReadError("cannot be fixed, because it cannot be read to its end", place);
}

Place first_place(const Report& report) {
  for (const Entry& entry : report.entries()) {
    if (!entry.places.empty()) return entry.places.front();
  }
  return {};
}

std::vector<Edit> edits_of(const Document& document, const RuleSelection& selection,
                           std::vector<Fix>& fixes) {
  Findings findings(selection, CheckOptions{}.max_findings);
  MusicXmlRules rules(document, findings);
  rules.run();
  if (rules.damage()) refuse(rules.damage()->place());
  Checked checked;
  findings.deliver(checked);
  return Fixer(document, selection, rules, checked.findings, fixes).run();
}

}  // namespace

std::vector<Edit> musicxml_edits(std::string_view text, const RuleSelection& selection,
                                 std::vector<Fix>& fixes) {
  std::optional<Document> document;
  Report report;
  try {
    document.emplace(text, Document::Damage::refuse, report);
  } catch (const ReadError& error) {
    refuse(error.place());
  }
  // What had to be repaired before it could be parsed is no longer the text that is to be edited.
  if (document->text().size() != text.size()) {
    throw ReadError(
        "cannot be fixed, because it has characters or references that XML does not allow; correct these "
        "first",
        first_place(report));
  }
  return edits_of(*document, selection, fixes);
}

}  // namespace fifthpeg::check
