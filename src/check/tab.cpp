// Tab: strings, frets and tunings against pitches, and tab against notation.
#include <algorithm>
#include <array>
#include <string>
#include <tuple>

#include "check/part_rules.hpp"
#include "fifthpeg/banjo.hpp"
#include "formats/musicxml/infer_tuning.hpp"
#include "score/interval.hpp"

namespace fifthpeg::check {
namespace {

constexpr int fourth = 5;  // half steps

// A note with a pitch and a place on the banjo, kept until the whole part is known.
struct Placed {
  Place place;
  std::size_t measure = 0;  // in the part
  std::size_t note = 0;     // in its measure
  int string = 1;
  int fret = 0;
  int midi = 0;
  Pitch written;            // which may sound elsewhere
  std::optional<int> open;  // of its string, capo included; where a tuning is stated
};

class TabRules : public PartRules {
 public:
  TabRules(Findings& findings, const Head& head, TabFixes& fixes)
      : findings_(findings), head_(head), fixes_(fixes) {}

  void measure(const RawPart& part, const RawMeasure& measure) override {
    if (is_percussion(part) || !may_be_banjo(part)) return;
    set_up(part);
    missing_reported_ = false;
    for (const RawNote& note : measure.notes) {
      if (note.kind != RawNote::Kind::rest) one(part, measure, note);
    }
    two_on_one_string(part, measure);
    compare_staves(part, measure);
  }

  void finish(const RawPart& part, bool /*complete*/) override {
    if (is_percussion(part) || !may_be_banjo(part)) return;
    label_ = part.description.label();
    id_of_part_ = part.description.id;
    tunings(part);
    derive();
    find_offset();
    find_string_offsets();
    judge_long_strings();
    judge_short_string();
  }

 private:
  static int tuned_to(const RawStaff& staff, int string) {
    const auto& pitch = staff.tuning_now.at(static_cast<std::size_t>(string_count - string));
    return pitch ? pitch->midi() : 0;
  }

  // The tuning and the capo in force, of whichever staff states them.
  void set_up(const RawPart& part) {
    tuning_ = nullptr;
    capo_ = 0;
    has_tab_ = false;
    has_notation_ = false;
    for (const RawStaff& staff : part.staves) {
      if (tuning_ == nullptr && staff.tuned_now() == string_count) tuning_ = &staff;
      if (staff.capo && capo_ == 0) capo_ = *staff.capo;
      if (staff.tab_clef) has_tab_ = true;
      if (staff.clef_line > 0 && !staff.tab_clef) has_notation_ = true;
    }
  }

  int frets() const {
    constexpr int usual = 22;
    return head_.frets.value_or(usual);
  }
  bool own_nut() const { return head_.own_nut.value_or(false); }
  int short_offset() const { return head_.fifth_capo ? *head_.fifth_capo - capo_ : fifth_nut_fret; }

  void one(const RawPart& part, const RawMeasure& measure, const RawNote& note) {
    const bool on_tab = part.staves.at(note.staff).tab_clef;
    if (!note.string || !note.fret) {
      if (!on_tab || note.kind != RawNote::Kind::pitched || missing_reported_) return;
      missing_reported_ = true;  // one a measure
      findings_.add("tab-no-placement", place_at(part, measure, note),
                    note.string ? "a note here has no fret" : "a note here has no string");
      return;
    }
    const int string = *note.string;
    const int fret = *note.fret;
    if (string < 1 || string > string_count) {
      findings_.add("tab-string-not-there", place_at(part, measure, note),
                    "string " + std::to_string(string) + " is written" + other_place(note.midi()));
      return;
    }
    if (fret < 0 || fret + capo_ > frets()) {
      if (!note.note.harmonic) {
        findings_.add("tab-fret-past-neck", place_at(part, measure, note),
                      "fret " + std::to_string(fret) +
                          (capo_ > 0 ? " above a capo at " + std::to_string(capo_) : std::string()) +
                          " on a neck of " + std::to_string(frets()),
                      string);
      }
      return;
    }
    const std::optional<int> midi = note.midi();
    if (!midi || note.note.harmonic || note.note.dead || note.note.choke) return;
    placed_.push_back({place_at(part, measure, note),
                       measure.index,
                       static_cast<std::size_t>(&note - measure.notes.data()),
                       string,
                       fret,
                       *midi,
                       note.written,
                       {}});
    if (tuning_ != nullptr) placed_.back().open = tuned_to(*tuning_, string) + capo_;
  }

  void two_on_one_string(const RawPart& part, const RawMeasure& measure) {
    if (!measure.timed) return;
    std::map<std::tuple<Fraction, int, int>, const RawNote*> last;  // by onset, staff and string
    for (const RawNote& note : measure.notes) {
      if (note.kind == RawNote::Kind::rest || note.grace != Grace::none || !note.string) continue;
      const auto [there, is_new] = last.try_emplace({note.onset, note.staff, *note.string}, &note);
      const RawNote& other = *std::exchange(there->second, &note);
      // Two voices may share one note.
      const bool shared = other.voice != note.voice && other.fret == note.fret;
      if (is_new || shared) continue;
      findings_.add("tab-two-on-one-string", place_at(part, measure, note),
                    "two notes stand on one string at once", note.string);
    }
  }

  void compare_staves(const RawPart& part, const RawMeasure& measure) {
    if (!has_tab_ || !has_notation_ || !measure.timed) return;
    using Heard = std::pair<Fraction, int>;
    std::vector<Heard> notation, tab;
    for (const RawNote& note : measure.notes) {
      const std::optional<int> midi = note.midi();
      if (!midi || note.note.dead || note.note.harmonic || note.grace != Grace::none) continue;
      // Tab need not repeat what a tie carries on.
      const bool goes_on = std::any_of(note.marks.begin(), note.marks.end(), [](const Mark& mark) {
        return (mark.kind == Mark::Kind::tie || mark.kind == Mark::Kind::tied) && !mark.start;
      });
      if (goes_on) continue;
      const bool on_tab = part.staves.at(note.staff).tab_clef;
      // Octaves are a matter of the clef and the transposition of each staff.
      (on_tab ? tab : notation).emplace_back(note.onset, *midi % 12);
    }
    for (auto* heard : {&notation, &tab}) {
      std::sort(heard->begin(), heard->end());
      heard->erase(std::unique(heard->begin(), heard->end()), heard->end());
    }
    if (notation == tab || notation.empty() || tab.empty()) return;
    const auto differ = std::mismatch(notation.begin(), notation.end(), tab.begin(), tab.end());
    Fraction at = differ.first != notation.end() ? differ.first->first : differ.second->first;
    if (differ.first != notation.end() && differ.second != tab.end())
      at = std::min(differ.first->first, differ.second->first);
    Place place = place_in(part, measure, measure.line);
    if (measure.metered) place.beat = beat_at(measure.measure, at);
    findings_.add("tab-staves-disagree", place, "notation and tab have different notes here");
  }

  // ---- behind the last measure ----

  // Where another place is, for who looks at one: "in measure 4", "at beat 3 of this measure".
  static std::string where_from(const Placed& here, const Placed& other) {
    if (other.measure != here.measure) return "in measure " + other.place.measure;
    if (!other.place.beat) return "elsewhere in this measure";
    return "at beat " + to_string(*other.place.beat) + " of this measure";
  }

  void tunings(const RawPart& part) {
    set_up(part);
    for (const RawStaff& staff : part.staves) {
      Place place;
      place.part = label_;
      if (staff.tab_clef && tuning_ == nullptr) {
        place.line = staff.clef_line;
        findings_.add("tab-no-tuning", place, "this tab staff has no tuning");
      }
      if (staff.tuned_now() != string_count) continue;
      for (int string = 1; string <= string_count; ++string) {
        const int midi = tuned_to(staff, string);
        const int usual = open_g().open(string).midi();
        if (midi >= usual - fourth && midi <= usual + fourth) continue;
        place.line = staff.tuning_line;
        findings_.add("tab-tuning-strange", place,
                      "tuned to " + words_of_pitch(midi) + "; usual is " + words_of_pitch(usual), string);
      }
    }
  }

  // Where no tuning is stated, the places say what it is, as for whoever reads the file.
  void derive() {
    musicxml::OpenStrings met;
    for (const Placed& placed : placed_) {
      if (placed.open) return;
      if (placed.string == fifth_string && placed.fret > 0) continue;
      ++met.at(static_cast<std::size_t>(placed.string))[placed.midi - placed.fret];
    }
    const musicxml::InferredTuning found = musicxml::infer_tuning(met, capo_);
    constexpr int octave = 12;
    const auto open_of = [&](int string) {
      return found.tuning.open(string).midi() + capo_ - octave * found.octaves;
    };
    // To be stated in the file it has to be beyond doubt: all strings were met, and no place contradicts it.
    bool proven = found.octaves == 0;
    std::array<int, string_count> tuning{};
    for (int string = 1; string <= string_count; ++string) {
      const auto& opens = met.at(static_cast<std::size_t>(string));
      const int usual = open_g().open(string).midi();
      const int open = found.tuning.open(string).midi();
      if (opens.size() != 1 || opens.begin()->first != open_of(string) || open < usual - fourth ||
          open > usual + fourth) {
        proven = false;
      }
      tuning.at(static_cast<std::size_t>(string - 1)) = open;
    }
    if (proven && has_tab_) fixes_.tunings.emplace(id_of_part_, tuning);
    for (Placed& placed : placed_) placed.open = open_of(placed.string);
  }

  // Everything off by the same interval is one mistake, not hundreds.
  void find_offset() {
    std::map<int, int> differences;  // how often each was met
    const Placed* first = nullptr;
    int total = 0;
    for (const Placed& placed : placed_) {
      if (!placed.open || (placed.string == fifth_string && placed.fret > 0)) continue;
      if (first == nullptr) first = &placed;
      ++differences[placed.midi - *placed.open - placed.fret];
      ++total;
    }
    constexpr int fewest = 4;
    if (total < fewest) return;
    const auto [offset, count] =
        *std::max_element(differences.begin(), differences.end(),
                          [](const auto& a, const auto& b) { return a.second < b.second; });
    if (offset == 0 || count * 5 < total * 4) return;
    offset_ = offset;
    findings_.add("tab-all-pitches-off", first->place,
                  std::to_string(count) + " of " + std::to_string(total) + " notes sound " +
                      interval_text(offset) + (offset > 0 ? " above" : " below") + " their string and fret");
  }

  // The same for one string, which is tuned otherwise than it says. Of the fifth string's frets either
  // numbering may be meant.
  void find_string_offsets() {
    for (int string = 1; string <= string_count; ++string) {
      std::vector<Placed*> on_it;
      for (Placed& placed : placed_) {
        if (placed.string == string && placed.open) on_it.push_back(&placed);
      }
      constexpr std::size_t fewest = 3;
      if (on_it.size() < fewest) continue;
      std::vector<int> shifts{0};
      if (string == fifth_string) shifts.push_back(short_offset());
      const auto off = [&](const Placed* placed, int shift) {
        const int fret = placed->fret == 0 ? 0 : placed->fret - shift;
        return placed->midi - offset_ - *placed->open - fret;
      };
      if (std::any_of(shifts.begin(), shifts.end(),
                      [&](int shift) { return off(on_it.front(), shift) == 0; }))
        continue;
      for (const int shift : shifts) {
        const int first = off(on_it.front(), shift);
        if (std::any_of(on_it.begin(), on_it.end(),
                        [&](const Placed* one) { return off(one, shift) != first; }))
          continue;
        const int open = *on_it.front()->open;
        findings_.add("tab-string-off", on_it.front()->place,
                      "all " + std::to_string(on_it.size()) + " notes of the string are " +
                          interval_text(first) + (first > 0 ? " above" : " below") +
                          " what its tuning gives: it is tuned to " + words_of_pitch(open - capo_) +
                          ", and " + words_of_pitch(open - capo_ + first) + " would give them",
                      string);
        for (Placed* placed : on_it) *placed->open += first;
        break;
      }
    }
  }

  // All pitches are named as they are written, where a teacher looks for them.
  void contradiction(const Placed& placed, int expected, int shift) {
    const auto written = [&](int sounding) {
      const int midi = sounding + offset_ - placed.midi + placed.written.midi();
      return midi == placed.written.midi() ? to_string(placed.written) : words_of_pitch(midi);
    };
    const int right = placed.fret + placed.midi - offset_ - expected;
    const bool there = right == 0 || (right > shift && right + capo_ <= frets());
    findings_.add("tab-fret-contradicts-pitch", placed.place,
                  "fret " + std::to_string(placed.fret) + " is " + written(expected) + ", and the note is " +
                      to_string(placed.written) +
                      (there ? "; fret " + std::to_string(right) + " would be " + to_string(placed.written)
                             : other_place(placed.midi - offset_)),
                  placed.string);
  }

  // "; its pitch is fret 2 of string 3": the lowest fret that gives it; empty where none does.
  std::string other_place(std::optional<int> midi) const {
    if (!midi || tuning_ == nullptr) return {};
    std::optional<std::pair<int, int>> best;  // fret and string
    for (int string = 1; string <= string_count; ++string) {
      const int rise = *midi - tuned_to(*tuning_, string) - capo_;
      const int fret = string == fifth_string && rise > 0 && !own_nut() ? rise + short_offset() : rise;
      if (fret < 0 || fret + capo_ > frets()) continue;
      if (!best || fret < best->first) best = {fret, string};
    }
    if (!best) return "; no string of the tuning has its pitch";
    return "; its pitch is fret " + std::to_string(best->first) + " of string " +
           std::to_string(best->second);
  }

  void judge_long_strings() {
    for (const Placed& placed : placed_) {
      if (!placed.open || (placed.string == fifth_string && placed.fret > 0)) continue;
      const int expected = *placed.open + placed.fret;
      if (placed.midi - offset_ != expected) contradiction(placed, expected, -1);
    }
  }

  void judge_short_string() {
    const int shift = short_offset();
    std::vector<const Placed*> own_frets;
    const Placed* first_own = nullptr;
    const Placed* first_long = nullptr;
    int own = 0;
    for (const Placed& placed : placed_) {
      if (!placed.open || placed.string != fifth_string || placed.fret == 0) continue;
      const int rise = placed.midi - offset_ - *placed.open;
      const bool is_long = placed.fret > shift && rise == placed.fret - shift;
      const bool is_own = rise == placed.fret;
      if (is_long) {
        if (first_long == nullptr) first_long = &placed;
      } else if (is_own) {
        if (first_own == nullptr) first_own = &placed;
        ++own;
        if (!own_nut()) own_frets.push_back(&placed);
      } else if (placed.fret <= shift) {
        findings_.add("tab-fret-not-there", placed.place,
                      "fret " + std::to_string(placed.fret) + " is written, and the note is " +
                          to_string(placed.written) + other_place(placed.midi - offset_),
                      fifth_string);
      } else {
        contradiction(placed, *placed.open + placed.fret - (own_nut() ? 0 : shift), own_nut() ? -1 : shift);
      }
    }
    const bool mixed = first_own != nullptr && first_long != nullptr;
    for (const Placed* placed : own_frets) {
      fixes_.frets.emplace(NoteIndex{id_of_part_, placed->measure, placed->note},
                           TabFixes::Fret{placed->fret + shift, mixed});
    }
    if (mixed) {
      const Placed& odd = own_nut() ? *first_long : *first_own;
      const Placed& other = own_nut() ? *first_own : *first_long;
      findings_.add("tab-fifth-numbering-mixed", odd.place,
                    "fret " + std::to_string(odd.fret) + " is counted from " +
                        (own_nut() ? "the long strings' nut" : "the fifth string's own nut") +
                        " here, and otherwise " + where_from(odd, other),
                    fifth_string);
    } else if (first_own != nullptr && !own_nut()) {
      findings_.add("tab-fifth-own-nut", first_own->place,
                    (own == 1 ? std::string("one fret") : std::to_string(own) + " frets") +
                        " of the fifth string counted from its own nut, the first of them fret " +
                        std::to_string(first_own->fret),
                    fifth_string);
    }
  }

  Findings& findings_;
  const Head& head_;
  TabFixes& fixes_;
  std::vector<Placed> placed_;
  std::string label_;
  std::string id_of_part_;
  const RawStaff* tuning_ = nullptr;
  int capo_ = 0;
  int offset_ = 0;
  bool has_tab_ = false;
  bool has_notation_ = false;
  bool missing_reported_ = false;
};

}  // namespace

std::unique_ptr<PartRules> tab_rules(Findings& findings, const Head& head, TabFixes& fixes) {
  return std::make_unique<TabRules>(findings, head, fixes);
}

}  // namespace fifthpeg::check
