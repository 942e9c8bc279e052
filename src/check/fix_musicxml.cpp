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
  Fixer(const Document& document, const RuleSelection& selection, const TabFixes& tab,
        const std::vector<Finding>& found, std::vector<Fix>& fixes)
      : document_(document), selection_(selection), tab_(tab), fixes_(fixes) {
    for (const Finding& finding : found) {
      if (finding.rule == "time-pickup-unmarked") pickups_.emplace(finding.place.part, finding.place.measure);
    }
  }

  std::vector<Edit> run() {
    for (const PartSource& source : document_.parts()) part(source);
    return std::move(edits_);
  }

 private:
  struct TieStart {
    int midi = 0;
    int staff = 1;
    int voice = 0;
    Fraction end;
  };

  void part(const PartSource& source) {
    RawPart raw;
    raw.description = source.description;
    raw_ = &raw;
    ties_.clear();
    start_ = 0;
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
    }
    try {
      if (measure.timed) {
        ties(measure);
        tuplets(measure);
      }
      start_ += measure.extent;
    } catch (const TimeError&) {
      ties_.clear();
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
      insert(*inside, element);
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

  void mark_pickup(const RawMeasure& measure) {
    if (measure.index != 0) return;
    if (!pickups_.contains({raw_->description.label(), measure.measure.number})) return;
    const std::string_view text = document_.text();
    const std::size_t start = document_.timewise() ? text.rfind("<measure", slice_start()) : slice_start();
    if (start == std::string_view::npos) return;
    if (marked_.insert(start).second) {
      musicxml::Tag found;
      if (!musicxml::TagScanner(text).next(start, found)) return;
      const std::string_view tag = text.substr(start, found.to - 1 - start);
      constexpr std::string_view before = "implicit=\"";
      const std::size_t at = std::min(tag.find("implicit=\"no\""), tag.find("implicit='no'"));
      if (at != std::string_view::npos) {
        edits_.push_back({start + at + before.size(), 2, "yes"});
      } else if (source_->measure->FindAttribute("implicit") == nullptr) {
        insert(start + tag.size(), " implicit=\"yes\"");
      } else {
        return;
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
      const auto inside = fret == nullptr ? std::nullopt : content_of(*fret);
      if (!inside) return;
      const std::size_t end = document_.text().find('<', *inside);
      edits_.push_back({*inside, end - *inside, std::to_string(right)});
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
    if (!value) return;
    const auto at =
        behind_last(element, is_one_of({"duration", "tie", "instrument", "footnote", "level", "voice"}));
    if (!at) return;
    const std::string type(engraving::type_name(value.type));
    insert(*at, "<type>" + type + "</type>" + (value.dots > 0 && note.dots == 0 ? "<dot/>" : ""));
    record("time-no-type", place_at(*raw_, measure, note),
           "printed it as " + (value.dots > 0 ? "a dotted " + type : type));
  }

  // Puts an element into a note's notations, which are made where there are none.
  void notate(const Element& note, const std::string& added) {
    const Element* notations = note.FirstChildElement("notations");
    if (const auto inside = notations == nullptr ? std::nullopt : content_of(*notations)) {
      insert(*inside, added);
      return;
    }
    const auto follows = is_one_of({"notations", "lyric", "play", "listen"});
    const auto at = behind_last(note, [&](std::string_view name) { return !follows(name); });
    if (at) insert(*at, "<notations>" + added + "</notations>");
  }

  void ties(const RawMeasure& measure) {
    for (std::size_t i = 0; i < measure.notes.size(); ++i) {
      const RawNote& note = measure.notes[i];
      const std::optional<int> midi = note.midi();
      if (!midi) continue;
      Ties tied = ties_of(note);
      const Fraction at = start_ + note.onset;
      const auto open = std::find_if(ties_.begin(), ties_.end(), [&](const TieStart& tie) {
        return tie.midi == *midi && tie.staff == note.staff && tie.voice == note.voice && tie.end == at;
      });
      std::string added;
      if (open != ties_.end()) {
        ties_.erase(open);
        if (!tied.stop && !tied.drawn_stop && note.grace == Grace::none) {
          if (selection_.takes("pairs-tie")) end_tie(measure, note, *elements_[i], added);
          tied.stop = tied.drawn_stop = true;
        }
      }
      if (selection_.takes("pairs-tie-not-shown") && !tied.all_drawn()) {
        if (tied.stop && !tied.drawn_stop) added += "<tied type=\"stop\"/>";
        if (tied.start && !tied.drawn_start) added += "<tied type=\"start\"/>";
        record("pairs-tie-not-shown", place_at(*raw_, measure, note), "drew the tie that is heard");
      }
      if (!added.empty()) notate(*elements_[i], added);
      constexpr std::size_t most = 10'000;
      if ((tied.start || tied.drawn_start) && note.grace == Grace::none && ties_.size() < most)
        ties_.push_back({*midi, note.staff, note.voice, start_ + note.end()});
    }
    std::erase_if(ties_, [&](const TieStart& tie) { return tie.end < start_; });
  }

  // A tie that begins, and a note of its pitch where it ends: only the stop is missing.
  void end_tie(const RawMeasure& measure, const RawNote& note, const Element& element, std::string& added) {
    const auto at = behind_last(element, is_one_of({"duration"}));
    if (!at) return;
    insert(*at, "<tie type=\"stop\"/>");
    added += "<tied type=\"stop\"/>";
    record("pairs-tie", place_at(*raw_, measure, note), "ended the tie of the note before");
  }

  // A tuplet that begins and, in its voice and measure, comes out even before any other bracket.
  void tuplets(const RawMeasure& measure) {
    if (!selection_.takes("pairs-tuplet")) return;
    for (std::size_t i = 0; i < measure.notes.size(); ++i) {
      const RawNote& first = measure.notes[i];
      const Mark* start = tuplet_mark(first, true);
      if (start == nullptr || first.chord || first.grace != Grace::none || first.actual == first.normal)
        continue;
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
  std::vector<Fix>& fixes_;
  std::set<std::pair<std::string, std::string>> pickups_;
  std::set<std::size_t> marked_;  // where the tags of marked measures begin
  std::vector<Edit> edits_;

  // Of the part and the measure that are looked at:
  RawPart* raw_ = nullptr;
  std::vector<TieStart> ties_;
  Fraction start_;  // of the measure
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
  return Fixer(document, selection, rules.tab_fixes(), checked.findings, fixes).run();
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
  if (document->text().size() != text.size()) refuse(first_place(report));
  return edits_of(*document, selection, fixes);
}

}  // namespace fifthpeg::check
