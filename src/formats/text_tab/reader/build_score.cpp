#include "formats/text_tab/reader/build_score.hpp"

#include <algorithm>
#include <array>
#include <map>

#include "base/text.hpp"
#include "engraving/find_tuplets.hpp"
#include "engraving/wording.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/harmony.hpp"
#include "formats/text_tab/conventions.hpp"
#include "formats/text_tab/reader/chord_names.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

const Fraction grace_length(1, 16);  // what a grace note is printed as (common practice)

std::optional<PickingFinger> picking_called(char letter) {
  for (int i = 0; i <= static_cast<int>(PickingFinger::nail); ++i) {
    const auto finger = static_cast<PickingFinger>(i);
    if (engraving::picking_letter(finger).front() == letter) return finger;
  }
  return std::nullopt;
}

std::optional<FretFinger> finger_called(char letter) {
  if (letter == 'T') return FretFinger::thumb;
  if (letter < '0' || letter > '4') return std::nullopt;
  return static_cast<FretFinger>(letter - '0');
}

Role role_called(char letter) {
  const std::size_t index = role_letters.find(letter);
  return index == std::string_view::npos ? Role::none : static_cast<Role>(index);
}

// The notes of a stroke as the lines of fingers have them: those without a string, then from string 5 to 1.
std::vector<Note*> in_line_order(Stroke& stroke) {
  std::vector<Note*> notes;
  for (Note& note : stroke.notes) notes.push_back(&note);
  std::stable_sort(notes.begin(), notes.end(), [](const Note* a, const Note* b) {
    const auto rank = [](const Note* note) { return note->placement ? -note->placement->string : -99; };
    return rank(a) < rank(b);
  });
  return notes;
}

class ScoreBuilder {
 public:
  ScoreBuilder(const TabText& text, const Heading& heading, const StringOrder& strings, Report& report)
      : text_(text), heading_(heading), strings_(strings), report_(report) {}

  Score run() {
    score_.work = heading_.work;
    if (!heading_.part_name.empty()) score_.part_name = heading_.part_name;
    score_.banjo = strings_.banjo;
    score_.swing = heading_.swing;
    if (heading_.key) {
      key_ = *heading_.key;
      score_.key_estimated = heading_.key_estimated;
    }
    score_.measures.reserve(text_.measures.size());
    for (std::size_t i = 0; i < text_.measures.size(); ++i) add_measure(i);
    const bool states_none =
        std::none_of(score_.measures.begin(), score_.measures.end(),
                     [](const Measure& one) { return one.key != Key{} || !one.key_changes.empty(); });
    if (!heading_.key && states_none) estimate_key();
    if (!heading_.chords_sound) settle_chord_names(score_, report_);
    if (heading_.tempo) {
      auto& tempos = score_.measures.front().tempos;
      tempos.insert(tempos.begin(), *heading_.tempo);
    }
    normalize(score_);
    return std::move(score_);
  }

 private:
  struct NoteIndex {
    std::size_t measure = 0;
    std::size_t stroke = 0;
    std::size_t note = 0;
  };

  Place at(const TabMeasure& measure) const { return {{}, score_.measures.back().number, {}, measure.line}; }

  void estimate_key() {
    score_.key_estimated = true;
    // Names of shapes under a capo are of another key; how they are read is told when they are moved for
    // good.
    Score sounding = score_;
    Report told_later;
    if (!heading_.chords_sound) settle_chord_names(sounding, told_later);
    const Key key = find_key(sounding);
    state_key(score_, key);
    score_.key_estimated = true;  // and not stated
    report_.add(EntryKind::decision, "text-tab-key",
                "no key is stated; the music suggests " + to_string(key));
  }

  int midi_of(const TabNote& note) const {
    const Placement place = strings_.placement(note);
    const Banjo& banjo = strings_.banjo;
    const int fretted = banjo.midi_at(place).value_or(0);
    if (!note.harmonic) return fretted;
    // A chime sounds by the part of the string over which it is touched.
    const int open = banjo.open_midi(place.string);
    for (const int above : {12, 19, 24}) {
      if (banjo.chime_fret_for(place.string, open + above) == place.fret) return open + above;
    }
    return fretted;
  }

  // ---- measures --------------------------------------------------------------------------------------

  void add_measure(std::size_t index) {
    const TabMeasure& tab = text_.measures[index];
    const bool last = index + 1 == text_.measures.size();
    Measure& measure = score_.measures.emplace_back();
    measure.meter = tab.meter;
    measure.length = tab.length;
    measure.implicit = tab.implicit;
    measure.number = number_of(tab, index);
    measure.repeat_starts = tab.repeat_starts;
    measure.ending = tab.ending;
    if (tab.doubled) measure.right_bar = last ? BarStyle::light_heavy : BarStyle::light_light;
    if (tab.repeat_ends) measure.repeat_times = std::max(2, tab.times);
    measure.key = key_;
    for (const Slot& slot : tab.slots) take_words(slot, measure);
    for (const Said& what : tab.at_end) take_said(what, measure.length, measure);
    key_ = measure.key;
    add_strokes(tab, measure);
    if (!measure.key_changes.empty()) key_ = measure.key_changes.back().key;
  }

  std::string number_of(const TabMeasure& tab, std::size_t index) {
    if (!tab.number.empty()) return tab.number;
    if (tab.implicit) return index == 0 ? "0" : "X" + std::to_string(++uncounted_);
    return std::to_string(++counted_);
  }

  void take_words(const Slot& slot, Measure& measure) {
    const Fraction at = std::min(slot.onset, measure.length);
    for (const std::string& text : slot.chords) {
      if (auto chord = parse_chord_symbol(text)) {
        chord->at = at;
        measure.chords.push_back(*std::move(chord));
      }
    }
    for (const Said& what : slot.words) take_said(what, at, measure);
  }

  static void take_said(const Said& what, Fraction at, Measure& measure) {
    if (const auto* key = std::get_if<Key>(&what)) {
      if (at == 0) {
        measure.key = *key;
      } else {
        measure.key_changes.push_back({at, *key});
      }
    } else if (const auto* tempo = std::get_if<Tempo>(&what)) {
      measure.tempos.push_back(*tempo);
      measure.tempos.back().at = at;
    } else if (const auto* plays = std::get_if<Plays>(&what)) {
      if (measure.repeat_times > 0) measure.repeat_times = plays->times;
    } else if (const auto* direction = std::get_if<Direction>(&what)) {
      measure.directions.push_back(*direction);
      measure.directions.back().at = at;
    }
  }

  // ---- strokes ---------------------------------------------------------------------------------------

  // Slots with a time of their own, each lasting to the next one.
  std::vector<engraving::Stretch> stretches_of(const TabMeasure& tab) const {
    std::vector<engraving::Stretch> stretches;
    for (std::size_t i = 0; i < tab.slots.size(); ++i) {
      const Slot& slot = tab.slots[i];
      if (slot.grace || (!slot.is_struck() && !slot.rest)) continue;
      const Fraction before = stretches.empty() ? Fraction(-1) : stretches.back().from;
      if (slot.onset < 0 || slot.onset >= tab.length || slot.onset <= before) {
        Place place = at(tab);
        if (!slot.notes.empty()) {
          place.line = slot.notes.front().line;
          place.column = slot.notes.front().source;
        }
        throw ReadError("text-tab-times",
                        "this note has no time of its own in its measure; look at what counts it", place);
      }
      if (!stretches.empty()) {
        stretches.back().to = slot.onset;
      } else if (slot.onset > 0) {
        stretches.push_back({0, slot.onset, -1});
      }
      stretches.push_back({slot.onset, tab.length, slot.is_struck() ? static_cast<std::int64_t>(i) : -1});
    }
    if (stretches.empty()) stretches.push_back({0, tab.length, -1});
    return stretches;
  }

  void add_strokes(const TabMeasure& tab, Measure& measure) {
    std::vector<engraving::Stretch> stretches = stretches_of(tab);
    const auto groups = engraving::find_tuplets(stretches, tab.meter, tab.length);
    engraving::cut_at_groups(stretches, groups);
    std::size_t group = 0;
    std::size_t next_grace = 0;
    for (const engraving::Stretch& stretch : stretches) {
      if (!stretch.goes_on) add_graces(tab, next_grace, stretch.from, measure);
      Stroke stroke;
      stroke.onset = stretch.from;
      stroke.duration = stretch.to - stretch.from;
      while (group < groups.size() && groups[group].to <= stretch.from) ++group;
      if (group < groups.size() && groups[group].from <= stretch.from) {
        const engraving::TupletSpan& one = groups[group];
        stroke.tuplets.push_back({one.actual, one.normal, one.from == stretch.from, one.to == stretch.to});
      }
      if (stretch.stroke >= 0) {
        const Slot& slot = tab.slots[static_cast<std::size_t>(stretch.stroke)];
        take_notes(slot, stroke, stretch.from, measure, stretch.goes_on);
        if (!stretch.goes_on) take_signs(tab, slot, stroke);
        tie_parts(stretch, stroke);
      }
      add(std::move(stroke), measure);
    }
    add_graces(tab, next_grace, tab.length, measure);
  }

  void add_graces(const TabMeasure& tab, std::size_t& next, Fraction until, Measure& measure) {
    for (; next < tab.slots.size(); ++next) {
      const Slot& slot = tab.slots[next];
      if (!slot.grace) continue;
      if (slot.onset > until) return;
      Stroke stroke;
      stroke.onset = std::min(slot.onset, tab.length);
      stroke.duration = grace_length;
      stroke.grace = Grace::slashed;
      take_notes(slot, stroke, stroke.onset, measure, false);
      take_signs(tab, slot, stroke);
      add(std::move(stroke), measure);
    }
  }

  // Parts of a stroke that a tuplet cuts are tied to each other.
  static void tie_parts(const engraving::Stretch& stretch, Stroke& stroke) {
    for (Note& note : stroke.notes) {
      if (stretch.goes_on) {
        note.tied_from_previous = true;
        note.into = Technique::none;
        note.choke.reset();
      }
      if (stretch.is_continued) {
        note.tied_to_next = true;
        note.out_of = Technique::none;
        note.ring = Ring::natural;
      }
    }
  }

  Key key_at(Fraction time, const Measure& measure) const {
    Key key = measure.key;
    for (const KeyChange& change : measure.key_changes) {
      if (change.at <= time) key = change.key;
    }
    return key;
  }

  void take_notes(const Slot& slot, Stroke& stroke, Fraction time, const Measure& measure, bool goes_on) {
    const Key key = key_at(time, measure);
    for (const TabNote& tab : slot.notes) {
      Note note;
      note.placement = strings_.placement(tab);
      note.pitch = spell(midi_of(tab), key);
      note.dead = tab.dead;
      note.harmonic = tab.harmonic;
      note.into = tab.into;
      note.out_of = tab.out_of;
      note.choke = tab.choke;
      note.ring = tab.ring;
      if (heading_.everything_rings && note.ring == Ring::natural) note.ring = Ring::let_ring;
      if (tab.choke_without_height && !goes_on) {
        report_.add(EntryKind::decision, "text-tab-choke-height",
                    "a choke without its height is read as a whole step",
                    {{}, score_.measures.back().number, {}, tab.line});
      }
      if (tab.in_parentheses && !goes_on) tie(note, tab);
      stroke.notes.push_back(note);
    }
    std::string_view rest = slot.unplaced;
    while (!rest.empty()) {
      const auto plus = rest.find('+');
      std::string_view name = rest.substr(0, plus);
      Note note;
      if (name.starts_with(text_of(Sign::grace))) name.remove_prefix(1);
      const bool tied = name.starts_with('(');
      if (tied) name = name.substr(1, name.size() - 2);
      note.pitch = parse_pitch(name).value_or(Pitch{});
      if (heading_.everything_rings) note.ring = Ring::let_ring;
      if (tied && !goes_on) tie_unplaced(note);
      stroke.notes.push_back(note);
      rest = plus == std::string_view::npos ? std::string_view{} : rest.substr(plus + 1);
    }
  }

  // In parentheses: tied where the stroke before has the same fret of the string.
  void tie(Note& note, const TabNote& tab) {
    Note* from = last_stroke_note([&](const Note& other) { return other.placement == note.placement; });
    if (from == nullptr || note.dead || from->dead) {
      report_.add(EntryKind::decision, "text-tab-parentheses",
                  "a note in parentheses that repeats nothing is read as struck",
                  {{}, score_.measures.back().number, {}, tab.line, -1, tab.source});
      return;
    }
    from->tied_to_next = note.tied_from_previous = true;
  }

  void tie_unplaced(Note& note) {
    Note* from = last_stroke_note([&](const Note& other) {
      return !other.placement && !other.tied_to_next && other.pitch.midi() == note.pitch.midi();
    });
    if (from == nullptr) return;
    from->tied_to_next = note.tied_from_previous = true;
  }

  template <typename Is>
  Note* last_stroke_note(Is is) {
    if (!has_last_) return nullptr;
    auto& notes = score_.measures[last_.measure].strokes[last_.stroke].notes;
    const auto found = std::find_if(notes.begin(), notes.end(), is);
    return found == notes.end() ? nullptr : &*found;
  }

  void take_signs(const TabMeasure& tab, const Slot& slot, Stroke& stroke) {
    for (const char mark : slot.marks) {
      Articulations& marks = stroke.articulations;
      if (mark == text_of(Sign::accent).front()) marks.accent = true;
      if (mark == text_of(Sign::strong_accent).front()) marks.strong_accent = true;
      if (mark == text_of(Sign::staccato).front()) marks.staccato = true;
      if (mark == text_of(Sign::tenuto).front()) marks.tenuto = true;
      if (mark == text_of(Sign::fermata).front()) marks.fermata = true;
    }
    std::string_view picking = slot.picking;
    while (!picking.empty() && stroke.brush == Brush::none) {
      if (picking.front() == text_of(Sign::brush).front()) stroke.brush = Brush::plain;
      if (picking.front() == text_of(Sign::brush_up).front()) stroke.brush = Brush::up;
      if (picking.front() == text_of(Sign::brush_down).front()) stroke.brush = Brush::down;
      if (stroke.brush == Brush::none) break;
      picking.remove_prefix(1);
    }
    give(tab, picking, stroke, [](Note& note, char letter) { note.picking_finger = picking_called(letter); });
    give(tab, slot.fingers, stroke, [](Note& note, char letter) { note.finger = finger_called(letter); });
    give(tab, slot.roles, stroke, [](Note& note, char letter) { note.role = role_called(letter); });
    for (const auto& [verse, text] : slot.lyrics) add_lyric(verse, text, stroke);
  }

  template <typename Give>
  void give(const TabMeasure& tab, std::string_view letters, Stroke& stroke, Give to) {
    if (letters.empty()) return;
    const std::vector<Note*> notes = in_line_order(stroke);
    if (letters.size() != notes.size()) {
      report_.add(EntryKind::loss, "text-tab-fingers",
                  "fingers or roles that are not as many as the notes over them were left out", at(tab));
      return;
    }
    for (std::size_t i = 0; i < notes.size(); ++i) to(*notes[i], letters[i]);
  }

  void add_lyric(int verse, std::string_view text, Stroke& stroke) {
    bool& open = open_words_[verse];
    const bool goes_on = text.size() > 1 && text.ends_with('-');
    if (goes_on) text.remove_suffix(1);
    const Syllabic syllabic =
        goes_on ? (open ? Syllabic::middle : Syllabic::begin) : (open ? Syllabic::end : Syllabic::single);
    open = goes_on;
    stroke.lyrics.push_back({std::to_string(verse), syllabic, std::string(text)});
  }

  void add(Stroke&& stroke, Measure& measure) {
    const NoteIndex index{score_.measures.size() - 1, measure.strokes.size(), 0};
    const bool grace = stroke.grace != Grace::none;
    measure.strokes.push_back(std::move(stroke));
    auto& notes = measure.strokes.back().notes;
    for (std::size_t i = 0; i < notes.size(); ++i) {
      if (!notes[i].placement) continue;
      link(notes[i], {index.measure, index.stroke, i});
    }
    if (grace) return;
    last_ = index;
    has_last_ = true;
  }

  // What leads into a note leads out of the one before it on its string.
  void link(const Note& note, const NoteIndex& here) {
    auto& before = last_on_string_.at(static_cast<std::size_t>(note.placement->string - 1));
    if (before && note.into != Technique::none) {
      Note& from = score_.measures[before->measure].strokes[before->stroke].notes[before->note];
      if (from.out_of == Technique::none) from.out_of = note.into;
    }
    before = here;
  }

  const TabText& text_;
  const Heading& heading_;
  const StringOrder& strings_;
  Report& report_;
  Score score_;
  Key key_;
  int counted_ = 0;
  int uncounted_ = 0;
  NoteIndex last_;  // the last stroke that is not grace
  bool has_last_ = false;
  std::array<std::optional<NoteIndex>, string_count> last_on_string_{};
  std::map<int, bool> open_words_;  // by verse: whether a word goes on
};

}  // namespace

Score build_score(const TabText& text, const Heading& heading, const StringOrder& strings, Report& report) {
  return ScoreBuilder(text, heading, strings, report).run();
}

}  // namespace fifthpeg::text_tab::reader
