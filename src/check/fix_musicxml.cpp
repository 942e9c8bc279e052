// What of a MusicXML text has exactly one right answer, as edits of the text.
#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "check/fix.hpp"
#include "check/musicxml_rules.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/values.hpp"

namespace fifthpeg::check {
namespace {

bool is_one_of(std::string_view name, std::initializer_list<std::string_view> names) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

// The divisions of each part that its printed values prove: all of them, or none.
class DivisionsVisitor : public DocumentVisitor {
 public:
  void head(const Tree&) override {}
  void measure(std::string_view part, const Element&, const Tree& tree) override {
    Proof& proof = proofs_[std::string(part)];
    if (proof.stated) return;
    tree.each(tree.root(), [&](const Element& element) {
      if (element.name == "attributes" && tree.child(element, "divisions") != nullptr) proof.stated = true;
      if (element.name == "note" && !proof.stated) note(proof, element, tree);
    });
  }
  std::optional<std::int64_t> proven(const std::string& part) const {
    const auto found = proofs_.find(part);
    if (found == proofs_.end() || found->second.contradicted || !found->second.value) return std::nullopt;
    return found->second.value;
  }

 private:
  struct Proof {
    bool stated = false;
    bool contradicted = false;
    std::optional<std::int64_t> value;
  };

  static void note(Proof& proof, const Element& element, const Tree& tree) {
    const auto duration = musicxml::decimal(tree.child_text(element, "duration"));
    const auto value = musicxml::note_value(tree.child_text(element, "type"));
    if (!duration || !value || *duration <= 0) return;
    if (tree.child(element, "rest") != nullptr) return;  // a rest of a measure is a whole one in print
    int dots = 0;
    tree.each(element, [&](const Element& child) { dots += child.name == "dot" ? 1 : 0; });
    Fraction printed = musicxml::dotted(*value, dots);
    if (const Element* ratio = tree.child(element, "time-modification")) {
      const auto actual = musicxml::whole_number(tree.child_text(*ratio, "actual-notes"));
      const auto normal = musicxml::whole_number(tree.child_text(*ratio, "normal-notes"));
      if (!actual || !normal || *actual < 1 || *normal < 1) return;
      printed = printed * Fraction(*normal) / Fraction(*actual);
    }
    const Fraction divisions = *duration / (printed * 4);
    if (!divisions.is_whole() || (proof.value && *proof.value != divisions.num())) proof.contradicted = true;
    proof.value = divisions.num();
  }

  std::map<std::string, Proof> proofs_;
};

class Fixer : public DocumentVisitor {
 public:
  Fixer(std::string_view text, const Choice& choice, const TabFixes& tab, const std::vector<Finding>& found,
        const DivisionsVisitor& divisions, std::vector<Fix>& fixes)
      : text_(text), choice_(choice), tab_(tab), divisions_(divisions), fixes_(fixes) {
    for (const TabFixes::Fret& fret : tab_.frets) frets_[fret.note] = fret;
    for (const Finding& finding : found) {
      if (finding.rule == "time-pickup-unmarked") pickups_.emplace(finding.place.part, finding.place.measure);
    }
  }

  void head(const Tree& tree) override {
    for (RawPart& part : read_head(tree).parts) parts_[part.id].raw = std::move(part);
  }

  void measure(std::string_view id, const Element& label, const Tree& tree) override {
    State& state = parts_[std::string(id)];
    state.raw.id = std::string(id);
    if (!state.raw.divisions) give_divisions(state, label, tree);
    const RawMeasure measure = read_measure(state.raw, label, tree);
    mark_pickup(state, measure, label);
    give_tuning(state, measure, tree);
    for (const RawNote& note : measure.notes) {
      const Element& element = tree.elements()[note.element];
      renumber(state, measure, note, element, tree);
      give_type(state, measure, note, element, tree);
    }
    try {
      if (measure.timed) {
        ties(state, measure, tree);
        tuplets(state, measure, tree);
      }
      state.start += measure.extent;
    } catch (const TimeError&) {
      state.ties.clear();
    }
  }

  std::vector<Edit> edits() { return std::move(edits_); }

 private:
  struct OpenTie {
    int midi = 0;
    int staff = 1;
    std::string voice;
    Fraction end;
  };
  struct State {
    RawPart raw;
    std::vector<OpenTie> ties;
    Fraction start;
    bool tuned = false;
  };

  void insert(std::size_t at, std::string text) { edits_.push_back({at, 0, std::move(text)}); }
  void tell(std::string_view rule, const Place& place, std::string text) {
    fixes_.push_back({std::string(rule), place, std::move(text)});
  }

  // Where the content of an element begins; nothing where it is an empty tag.
  std::optional<std::size_t> content_of(const Element& element) const {
    const std::size_t close = text_.find('>', element.tag_end);
    if (close == std::string_view::npos || close == 0 || text_[close - 1] == '/') return std::nullopt;
    return close + 1;
  }

  void give_divisions(State& state, const Element& label, const Tree& tree) {
    const auto divisions = divisions_.proven(state.raw.id);
    const bool stated = [&] {
      bool found = false;
      tree.each(tree.root(), [&](const Element& element) {
        if (element.name == "attributes" && tree.child(element, "divisions") != nullptr) found = true;
      });
      return found;
    }();
    if (!divisions || stated || !choice_.takes("time-no-divisions")) return;
    const std::string element = "<divisions>" + std::to_string(*divisions) + "</divisions>";
    const Element* attributes = tree.child(tree.root(), "attributes");
    const auto inside = attributes == nullptr ? std::nullopt : content_of(*attributes);
    const bool first = attributes != nullptr && tree.root().first != Element::none &&
                       &tree.elements()[tree.root().first] == attributes;
    if (inside && first) {
      insert(*inside, element);
    } else if (const auto start = content_of(tree.root())) {
      insert(*start, "<attributes>" + element + "</attributes>");
    } else {
      return;
    }
    state.raw.divisions = *divisions;
    Place place;
    place.part = state.raw.label();
    place.measure = std::string(attribute(label, "number"));
    place.line = label.line;
    tell("time-no-divisions", place,
         "stated " + std::to_string(*divisions) + " divisions, as the note values prove");
  }

  void mark_pickup(const State& state, const RawMeasure& measure, const Element& label) {
    if (measure.index != 0) return;
    if (!pickups_.contains({state.raw.label(), measure.number})) return;
    if (marked_.insert(label.tag_end).second) {
      const std::string_view tag = text_.substr(label.begin, label.tag_end - label.begin);
      std::size_t at = tag.find("implicit=\"no\"");
      if (at == std::string_view::npos) at = tag.find("implicit='no'");
      if (at != std::string_view::npos) {
        constexpr std::size_t to_value = 10;  // behind implicit="
        edits_.push_back({label.begin + at + to_value, 2, "yes"});
      } else if (!has_attribute(label, "implicit")) {
        insert(label.tag_end, " implicit=\"yes\"");
      } else {
        return;
      }
    }
    tell("time-pickup-unmarked", place_in(state.raw, measure, measure.line), "marked the pickup");
  }

  void give_tuning(State& state, const RawMeasure& measure, const Tree& tree) {
    const auto found = tab_.tunings.find(state.raw.id);
    if (state.tuned || found == tab_.tunings.end() || !choice_.takes("tab-no-tuning")) return;
    tree.each(tree.root(), [&](const Element& element) {
      if (state.tuned || element.name != "attributes") return;
      const Element* tab = nullptr;
      const Element* details = nullptr;
      std::size_t behind = 0;
      tree.each(element, [&](const Element& child) {
        if (child.name == "clef" && tree.child_text(child, "sign") == "TAB") tab = &child;
        if (is_one_of(child.name, {"clef", "staff-details"})) behind = child.end;
      });
      if (tab == nullptr) return;
      const std::string_view number = attribute(*tab, "number");
      tree.each(element, [&](const Element& child) {
        if (child.name == "staff-details" && attribute(child, "number") == number) details = &child;
      });
      std::string tuning;
      for (int line = 1; line <= 5; ++line) {
        const Pitch pitch = spell(found->second.at(static_cast<std::size_t>(5 - line)), Key{1, Mode::major});
        tuning += "<staff-tuning line=\"" + std::to_string(line) + "\"><tuning-step>" +
                  to_string(pitch).substr(0, 1) + "</tuning-step>" +
                  (pitch.alter == 0 ? std::string()
                                    : "<tuning-alter>" + std::to_string(pitch.alter) + "</tuning-alter>") +
                  "<tuning-octave>" + std::to_string(pitch.octave) + "</tuning-octave></staff-tuning>";
      }
      if (details != nullptr) {
        const auto inside = content_of(*details);
        if (!inside) return;
        std::size_t at = *inside;
        tree.each(*details, [&](const Element& child) {
          if (is_one_of(child.name, {"staff-type", "staff-lines", "line-detail"})) at = child.end;
        });
        insert(at, tuning);
      } else {
        insert(behind, "<staff-details" +
                           (number.empty() ? std::string() : " number=\"" + std::string(number) + "\"") +
                           "><staff-lines>5</staff-lines>" + tuning + "</staff-details>");
      }
      state.tuned = true;
      tell("tab-no-tuning", place_in(state.raw, measure, tab->line),
           "stated the tuning that the pitches prove");
    });
  }

  void renumber(const State& state, const RawMeasure& measure, const RawNote& note, const Element& element,
                const Tree& tree) {
    const auto found = frets_.find(note.begin);
    if (found == frets_.end()) return;
    const std::string_view rule = found->second.mixed ? "tab-fifth-numbering-mixed" : "tab-fifth-own-nut";
    if (!choice_.takes(rule)) return;
    tree.each(element, [&](const Element& notations) {
      if (notations.name != "notations") return;
      const Element* technical = tree.child(notations, "technical");
      const Element* fret = technical == nullptr ? nullptr : tree.child(*technical, "fret");
      const auto inside = fret == nullptr ? std::nullopt : content_of(*fret);
      if (!inside) return;
      const std::size_t end = text_.find('<', *inside);
      edits_.push_back({*inside, end - *inside, std::to_string(found->second.fret)});
      tell(rule, place_at(state.raw, measure, note),
           "renumbered fret " + std::to_string(note.fret.value_or(0)) + " of the short string to " +
               std::to_string(found->second.fret));
    });
  }

  void give_type(const State& state, const RawMeasure& measure, const RawNote& note, const Element& element,
                 const Tree& tree) {
    if (note.rest || note.grace || note.cue || note.tremolo || !note.type.empty() ||
        !choice_.takes("time-no-type"))
      return;
    const auto value = plain_value(note);
    std::size_t behind = 0;
    tree.each(element, [&](const Element& child) {
      if (is_one_of(child.name, {"duration", "tie", "instrument", "footnote", "level", "voice"}))
        behind = child.end;
    });
    if (!value || behind == 0) return;
    std::string added = "<type>" + std::string(value->type) + "</type>";
    if (value->dots > 0 && tree.child(element, "dot") == nullptr) added += "<dot/>";
    insert(behind, added);
    tell("time-no-type", place_at(state.raw, measure, note),
         "printed it as " + std::string(value->dots > 0 ? "a dotted " : "") + std::string(value->type));
  }

  // Puts an element into a note's notations, which are made where there are none.
  void notate(const Element& note, const Tree& tree, const std::string& added) {
    const Element* notations = tree.child(note, "notations");
    const auto inside = notations == nullptr ? std::nullopt : content_of(*notations);
    if (inside) {
      insert(*inside, added);
      return;
    }
    std::size_t behind = note.tag_end;
    tree.each(note, [&](const Element& child) {
      if (!is_one_of(child.name, {"notations", "lyric", "play", "listen"})) behind = child.end;
    });
    insert(behind, "<notations>" + added + "</notations>");
  }

  void ties(State& state, const RawMeasure& measure, const Tree& tree) {
    for (const RawNote& note : measure.notes) {
      if (!note.midi) continue;
      bool start = false, stop = false, drawn_start = false, drawn_stop = false;
      for (const Mark& mark : note.marks) {
        const bool is_start = mark.end == Mark::End::start;
        if (mark.kind == Mark::Kind::tie) (is_start ? start : stop) = true;
        if (mark.kind == Mark::Kind::tied) (is_start ? drawn_start : drawn_stop) = true;
      }
      const Element& element = tree.elements()[note.element];
      const Fraction at = state.start + note.onset;
      const auto open = std::find_if(state.ties.begin(), state.ties.end(), [&](const OpenTie& tie) {
        return tie.midi == *note.midi && tie.staff == note.staff && tie.voice == note.voice && tie.end == at;
      });
      std::string added;
      if (open != state.ties.end()) {
        state.ties.erase(open);
        if (!stop && !drawn_stop && !note.grace) {
          if (choice_.takes("pairs-tie")) end_tie(state, measure, note, element, tree, added);
          stop = drawn_stop = true;
        }
      }
      if (choice_.takes("pairs-tie-not-shown") && ((stop && !drawn_stop) || (start && !drawn_start))) {
        if (stop && !drawn_stop) added += "<tied type=\"stop\"/>";
        if (start && !drawn_start) added += "<tied type=\"start\"/>";
        tell("pairs-tie-not-shown", place_at(state.raw, measure, note), "drew the tie that is heard");
      }
      if (!added.empty()) notate(element, tree, added);
      constexpr std::size_t most = 10'000;
      if ((start || drawn_start) && !note.grace && state.ties.size() < most)
        state.ties.push_back({*note.midi, note.staff, note.voice, state.start + note.end()});
    }
    std::erase_if(state.ties, [&](const OpenTie& tie) { return tie.end < state.start; });
  }

  // A tie that begins, and a note of its pitch where it ends: only the stop is missing.
  void end_tie(const State& state, const RawMeasure& measure, const RawNote& note, const Element& element,
               const Tree& tree, std::string& added) {
    std::size_t behind = 0;
    tree.each(element, [&](const Element& child) {
      if (child.name == "duration") behind = child.end;
    });
    if (behind == 0) return;
    insert(behind, "<tie type=\"stop\"/>");
    added += "<tied type=\"stop\"/>";
    tell("pairs-tie", place_at(state.raw, measure, note), "ended the tie of the note before");
  }

  // A tuplet that begins and, in its voice and measure, comes out even before any other bracket.
  void tuplets(const State& state, const RawMeasure& measure, const Tree& tree) {
    if (!choice_.takes("pairs-tuplet")) return;
    for (std::size_t i = 0; i < measure.notes.size(); ++i) {
      const RawNote& first = measure.notes[i];
      const Mark* start = tuplet_mark(first, Mark::End::start);
      if (start == nullptr || first.chord || first.grace || first.actual == first.normal) continue;
      const auto value = musicxml::note_value(first.type);
      if (!value || first.dots > 0) continue;
      const Fraction whole = *value * Fraction(first.normal);
      Fraction sum;
      for (std::size_t k = i; k < measure.notes.size(); ++k) {
        const RawNote& note = measure.notes[k];
        if (note.voice != first.voice || note.staff != first.staff || note.chord || note.grace) continue;
        if (note.actual != first.actual || note.normal != first.normal) break;
        if (tuplet_mark(note, Mark::End::stop) != nullptr) break;
        if (k > i && tuplet_mark(note, Mark::End::start) != nullptr) break;
        sum += note.duration;
        if (sum > whole) break;
        if (sum < whole) continue;
        notate(tree.elements()[note.element], tree,
               "<tuplet type=\"stop\" number=\"" + std::to_string(start->number) + "\"/>");
        tell("pairs-tuplet", place_at(state.raw, measure, note), "closed the tuplet");
        break;
      }
    }
  }

  static const Mark* tuplet_mark(const RawNote& note, Mark::End end) {
    const auto found = std::find_if(note.marks.begin(), note.marks.end(), [end](const Mark& mark) {
      return mark.kind == Mark::Kind::tuplet && mark.end == end;
    });
    return found == note.marks.end() ? nullptr : &*found;
  }

  std::string_view text_;
  const Choice& choice_;
  const TabFixes& tab_;
  const DivisionsVisitor& divisions_;
  std::vector<Fix>& fixes_;
  std::map<std::size_t, TabFixes::Fret> frets_;
  std::set<std::pair<std::string, std::string>> pickups_;
  std::set<std::size_t> marked_;
  std::map<std::string, State> parts_;
  std::vector<Edit> edits_;
};

}  // namespace

std::vector<Edit> musicxml_edits(std::string_view text, const Choice& choice, std::vector<Fix>& fixes) {
  CheckOptions all;
  Findings findings(choice, all.max_findings);
  MusicXmlRules rules(findings);
  const WalkEnd end = walk(text, rules);
  if (!end.complete || !end.score) {
    Place place;
    place.line = end.line;
    throw ReadError("cannot be mended, because it cannot be read to its end", place);
  }
  rules.finish(true);
  Checked checked;
  findings.deliver(checked);
  DivisionsVisitor divisions;
  walk(text, divisions);
  Fixer fixer(text, choice, rules.tab_fixes(), checked.findings, divisions, fixes);
  walk(text, fixer);
  return fixer.edits();
}

}  // namespace fifthpeg::check
