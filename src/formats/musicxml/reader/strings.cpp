#include "formats/musicxml/reader/strings.hpp"

#include <algorithm>
#include <cstdlib>
#include <map>
#include <memory>
#include <numeric>
#include <string>

#include "formats/musicxml/infer_tuning.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

constexpr int most_strings = 12;
constexpr int usual_frets = 22;
constexpr int most_frets = 36;
constexpr int octave = 12;

// How often each (midi - fret) was met on each string of each staff.
struct Evidence {
  static constexpr int offset = 100;  // midi - fret lies in -99..127
  static constexpr int range = 230;
  std::array<std::array<std::uint32_t, range>, most_strings + 1> stopped{};
  std::array<std::array<std::uint32_t, range>, most_strings + 1> open{};  // fret 0 alone
  std::array<std::uint64_t, most_strings + 1> on_string{};

  // Of notes on the first `strings` strings.
  std::uint64_t total(int strings) const {
    return std::accumulate(on_string.begin() + 1, on_string.begin() + 1 + strings, std::uint64_t{0});
  }
  static std::size_t slot(int difference) {
    return static_cast<std::size_t>(std::clamp(difference + offset, 0, range - 1));
  }
  std::uint64_t stopped_at(int string, int open_midi) const {
    return stopped.at(static_cast<std::size_t>(string))[slot(open_midi)];
  }
  std::uint64_t open_at(int string, int open_midi) const {
    return open.at(static_cast<std::size_t>(string))[slot(open_midi)];
  }
  // What was met, open or stopped, as the pitch of an open string.
  static void add(const std::array<std::uint32_t, range>& counts, int raised,
                  std::map<int, std::uint64_t>& met) {
    for (std::size_t i = 0; i < counts.size(); ++i) {
      if (counts.at(i) > 0) met[static_cast<int>(i) - offset + raised] += counts.at(i);
    }
  }
};

bool has_place(const RawNote& raw) {
  return raw.string && raw.fret && *raw.string >= 1 && *raw.string <= most_strings;
}

template <typename Visit>
void each_note(RawPart& part, Visit visit) {
  for (RawMeasure& measure : part.measures) {
    for (RawNote& raw : measure.notes) visit(measure, raw);
  }
}

// Open strings as MIDI numbers, by string from 1; `count` of them.
struct Strings {
  std::array<std::optional<Pitch>, most_strings + 1> pitch;
  int count = 0;
};

class Settler {
 public:
  Settler(RawPart& part, const Head& head, Diagnostics& diagnostics)
      : part_(part), head_(head), diagnostics_(diagnostics) {}

  Banjo run() {
    set_numbers_of_the_head();
    const Strings declared = declared_strings();
    collect_evidence();
    if (declared.count == string_count) {
      take_declared(declared);
    } else if (const std::uint64_t placed = all_.total(std::max(declared.count, string_count));
               declared.count > 0 && placed > 0 && agreement(declared, 0) * 5 >= placed * 4) {
      // Half of a banjo's notes agree with a guitar's strings by chance: three of them are the same.
      drop_all_placements();
    } else if (all_.total(string_count) > 0) {
      derive(declared.count > 0);
    } else if (declared.count > 0) {
      diagnostics_.loss("musicxml-tuning-other",
                        "the tuning of an instrument without five strings was left out: open G");
    }
    settle_fifth_capo();
    settle_frets();
    shift_octaves();
    settle_numbering();
    place_notes();
    return banjo_;
  }

 private:
  void repair(std::string_view slug, std::string_view text) { diagnostics_.repair(slug, text, 0); }

  void set_numbers_of_the_head() {
    if (head_.frets) banjo_.frets = *head_.frets;
    banjo_.capo = part_.capo.value_or(0);
    if (banjo_.capo >= banjo_.frets) {
      diagnostics_.loss("musicxml-capo", "a capo at an impossible fret was ignored");
      banjo_.capo = 0;
    }
    banjo_.fifth_capo = usual_fifth_capo(banjo_.capo);
    if (head_.fifth_capo) {
      if (*head_.fifth_capo >= fifth_nut_fret && *head_.fifth_capo < banjo_.frets) {
        banjo_.fifth_capo = *head_.fifth_capo;
      } else {
        diagnostics_.loss("musicxml-capo", "a capo at an impossible fret was ignored");
      }
    }
    if (banjo_.fifth_capo >= banjo_.frets) banjo_.fifth_capo = fifth_nut_fret;
    if (banjo_.fifth_capo >= banjo_.frets) banjo_.frets = usual_frets;
  }

  // The tuning as it stands in the file, from the staff that has one; count 0 if no staff is fully tuned.
  Strings declared_strings() const {
    for (const RawStaff& staff : part_.staves) {
      if (staff.tuned_lines == 0) continue;
      const int lines = std::clamp(staff.lines.value_or(staff.tuned_lines), staff.tuned_lines, most_strings);
      Strings strings;
      strings.count = lines;
      for (int string = 1; string <= lines; ++string) {
        strings.pitch.at(static_cast<std::size_t>(string)) =
            staff.tuning.at(static_cast<std::size_t>(lines - string));
      }
      const auto first = strings.pitch.begin() + 1;
      if (std::all_of(first, first + lines, [](const auto& pitch) { return pitch.has_value(); }))
        return strings;
    }
    return {};
  }

  void collect_evidence() {
    by_staff_.resize(most_staves + 1);
    each_note(part_, [&](const RawMeasure&, const RawNote& raw) {
      if (!has_place(raw) || raw.kind != RawNote::Kind::pitched || raw.note.harmonic) return;
      auto& own = by_staff_.at(raw.staff);
      if (!own) own = std::make_unique<Evidence>();
      const auto string = static_cast<std::size_t>(*raw.string);
      const std::size_t slot = Evidence::slot(raw.note.pitch.midi() - *raw.fret);
      for (Evidence* evidence : {own.get(), &all_}) {
        ++(*raw.fret == 0 ? evidence->open : evidence->stopped).at(string)[slot];
        ++evidence->on_string.at(string);
      }
    });
  }

  // How many of the placed notes agree with these strings if pitches are moved by `octaves`.
  std::uint64_t agreement(const Strings& strings, int octaves) const {
    return agreement(all_, strings, octaves);
  }
  std::uint64_t agreement(const Evidence& evidence, const Strings& strings, int octaves) const {
    std::uint64_t sum = 0;
    for (int string = 1; string <= strings.count; ++string) {
      const auto& pitch = strings.pitch.at(static_cast<std::size_t>(string));
      const bool drone = strings.count == string_count && string == fifth_string;
      // The capo raises all strings from their staff-tuning, the drone too (MusicXML 4.0, capo).
      const int open = pitch->midi() + banjo_.capo - octave * octaves;
      sum += evidence.open_at(string, open) + evidence.stopped_at(string, open);
      if (drone) {
        const int from_long_nut = open + banjo_.capo - banjo_.fifth_capo;
        if (from_long_nut != open) sum += evidence.stopped_at(string, from_long_nut);
        if (banjo_.capo != 0)
          sum += evidence.open_at(string, pitch->midi() - octave * octaves);  // capo not on the drone
      }
    }
    return sum;
  }
  static Strings moved_by_octaves(Strings strings, int octaves) {
    for (auto& pitch : strings.pitch) {
      if (pitch) pitch->octave = static_cast<std::int8_t>(pitch->octave + octaves);
    }
    return strings;
  }

  static int distance_from_open_g(const Strings& strings) {
    int sum = 0;
    for (int string = 1; string <= string_count; ++string) {
      sum +=
          std::abs(strings.pitch.at(static_cast<std::size_t>(string))->midi() - open_g().open(string).midi());
    }
    return sum;
  }

  // Whether there are strings whose places prove that they are tuned otherwise.
  bool proves_other_than(const Strings& declared) const {
    const OpenStrings met = open_strings();
    for (int string = 1; string <= string_count; ++string) {
      const int open = declared.pitch.at(static_cast<std::size_t>(string))->midi() + banjo_.capo;
      const auto proven = proven_open(met, string);
      if (proven && *proven != open) return true;
    }
    return false;
  }

  void take_declared(const Strings& declared) {
    Strings strings = declared;
    int octaves = 0;
    const std::uint64_t placed = all_.total(string_count);
    if (placed > 0 && agreement(declared, 0) * 2 < placed) {
      const Strings lower = moved_by_octaves(declared, -1);
      if (distance_from_open_g(lower) < distance_from_open_g(declared) && agreement(lower, 0) * 2 >= placed) {
        strings = lower;
        repair("musicxml-tuning-octave", "the tuning stands an octave too high; strings and frets prove it");
      } else {
        for (const int candidate : {-1, 1, -2, 2}) {
          if (agreement(declared, candidate) * 4 >= placed * 3) octaves = candidate;
          if (octaves != 0) break;
        }
        if (octaves == 0 && proves_other_than(declared)) return derive(true);
      }
    } else if (!part_.transposes && placed > 0) {
      // Everything agrees, but an octave above any banjo: written pitches, and no `transpose` to say so.
      const Strings lower = moved_by_octaves(declared, -1);
      if (distance_from_open_g(lower) <= string_count * 3 &&
          distance_from_open_g(declared) > string_count * 8) {
        strings = lower;
        octaves = -1;
      }
    }
    octaves_.fill(octaves);
    // Each staff may be right or wrong by itself.
    for (std::size_t staff = 0; staff < by_staff_.size(); ++staff) {
      if (!by_staff_[staff]) continue;
      const Evidence& evidence = *by_staff_[staff];
      for (const int candidate : {0, octaves, -1, 1}) {
        if (agreement(evidence, strings, candidate) * 4 >= evidence.total(string_count) * 3) {
          octaves_[staff] = candidate;
          break;
        }
      }
    }
    use(strings);
  }

  void use(const Strings& strings) {
    for (int string = 1; string <= string_count; ++string) {
      banjo_.tuning.strings.at(static_cast<std::size_t>(string - 1)) =
          *strings.pitch.at(static_cast<std::size_t>(string));
    }
  }

  void drop_all_placements() {
    diagnostics_.loss(
        "musicxml-other-instrument",
        "the part is fingered for an instrument that is not a five-string banjo: strings and frets "
        "are left out",
        0);
    banjo_.capo = 0;
    banjo_.fifth_capo = usual_fifth_capo(0);
    each_note(part_, [](RawMeasure&, RawNote& raw) {
      if (raw.kind == RawNote::Kind::pitched) raw.string.reset();
    });
  }

  // What the places say of each string. Of the fifth string the open notes say it, and only where there are
  // none those that are stopped, which may be counted either way.
  OpenStrings open_strings() const {
    OpenStrings met;
    for (std::size_t string = 1; string <= string_count; ++string) {
      Evidence::add(all_.open.at(string), 0, met.at(string));
      if (string != fifth_string) Evidence::add(all_.stopped.at(string), 0, met.at(string));
    }
    if (!met[fifth_string].empty()) return met;
    std::map<int, std::uint64_t> stopped;
    Evidence::add(all_.stopped[fifth_string], 0, stopped);
    if (stopped.empty()) return met;
    const auto most = std::max_element(stopped.begin(), stopped.end(),
                                       [](const auto& a, const auto& b) { return a.second < b.second; });
    const bool own = (most->first - open_g().open(fifth_string).midi()) % octave == 0;
    Evidence::add(all_.stopped[fifth_string], own ? 0 : fifth_nut_fret, met[fifth_string]);
    return met;
  }

  // The tuning from pitches, strings and frets alone.
  void derive(bool declared_is_wrong) {
    const InferredTuning found = infer_tuning(open_strings(), banjo_.capo);
    octaves_.fill(found.octaves);
    banjo_.tuning = found.tuning;
    if (found.explained == 0) {
      repair("musicxml-tuning-derived",
             declared_is_wrong ? "the stated tuning contradicts pitches, strings and frets, and these prove "
                                 "none: open G was assumed"
                               : "there is no tuning, and pitches, strings and frets prove none: open G was "
                                 "assumed");
      return;
    }
    repair("musicxml-tuning-derived",
           declared_is_wrong
               ? "the stated tuning contradicts pitches, strings and frets; the tuning was inferred from them"
               : "there is no tuning; it was inferred from pitches, strings and frets");
  }

  // Tuning's drone is the string's own pitch; so far it is what the capo raises to the sounding one.
  void settle_fifth_capo() {
    if (head_.fifth_capo) {
      if (head_.fifth_tuning) {
        banjo_.tuning.strings.back() = *head_.fifth_tuning;
      } else {
        Pitch& drone = banjo_.tuning.strings.back();
        drone = spell(drone.midi() + banjo_.capo - (banjo_.fifth_capo - fifth_nut_fret), Key{1, Mode::major});
      }
      return;
    }
    if (banjo_.capo == 0) return;
    const int uncapoed = banjo_.tuning.open(fifth_string).midi() - octave * octaves_[1];
    const std::uint64_t without = all_.open_at(fifth_string, uncapoed);
    if (without > all_.open_at(fifth_string, uncapoed + banjo_.capo)) {
      banjo_.fifth_capo = fifth_nut_fret;
      repair("musicxml-fifth-capo",
             "the capo does not raise the fifth string: its open notes sound at its own nut");
    }
  }

  void settle_frets() {
    if (head_.frets) return;
    int highest = 0;
    each_note(part_, [&](const RawMeasure&, const RawNote& raw) {
      if (has_place(raw) && *raw.string <= string_count && *raw.fret + banjo_.capo <= most_frets) {
        highest = std::max<int>(highest, *raw.fret + banjo_.capo);
      }
    });
    if (highest > banjo_.frets) {
      diagnostics_.choice("musicxml-frets", "the neck was assumed to reach the highest fret used", 0);
      banjo_.frets = highest;
    }
  }

  void shift_octaves() {
    bool reported = false;
    each_note(part_, [&](const RawMeasure&, RawNote& raw) {
      const int octaves = octaves_.at(raw.staff);
      if (octaves == 0 || raw.kind != RawNote::Kind::pitched) return;
      const int midi = raw.note.pitch.midi() + octave * octaves;
      if (midi < 0 || midi > 127) return;
      raw.note.pitch.octave = static_cast<std::int8_t>(raw.note.pitch.octave + octaves);
      reported = true;
    });
    if (reported) {
      repair("musicxml-octave",
             "the pitches are an octave off: strings and frets say so throughout, and were used");
    }
  }

  // The two ways of counting frets on the fifth string. A fret that both would give alike says nothing.
  void settle_numbering() {
    if (head_.own_nut) {
      own_nut_ = *head_.own_nut;
      return;
    }
    std::uint64_t own = 0;
    std::uint64_t from_long = 0;
    each_note(part_, [&](const RawMeasure&, const RawNote& raw) {
      if (!has_place(raw) || *raw.string != fifth_string || *raw.fret == 0 ||
          raw.kind != RawNote::Kind::pitched)
        return;
      const int above = raw.note.pitch.midi() - banjo_.open_midi(fifth_string);
      if (above == *raw.fret) ++own;
      if (above == *raw.fret + banjo_.capo - banjo_.fifth_capo) ++from_long;
    });
    own_nut_ = own > from_long;
    if (own_nut_) {
      diagnostics_.choice("musicxml-fifth-frets",
                          "the file counts the fifth string's frets from that string's own nut", 0);
    }
  }

  std::optional<Placement> by_numbers(int string, int fret, bool own_nut) const {
    if (string > string_count) return std::nullopt;
    int written = fret;
    if (string == fifth_string && own_nut && fret > 0) written = fret + banjo_.fifth_capo - banjo_.capo;
    if (written > most_frets) return std::nullopt;
    const Placement placement{static_cast<std::int8_t>(string), static_cast<std::int8_t>(written)};
    if (!banjo_.midi_at(placement)) return std::nullopt;
    return placement;
  }

  void place_notes() {
    each_note(part_, [&](const RawMeasure& measure, RawNote& raw) {
      if (raw.kind == RawNote::Kind::rest || (!raw.string && !raw.fret)) return;
      diagnostics_.enter_measure(&measure.measure);
      diagnostics_.move_to(raw.onset);
      place(measure, raw);
    });
    diagnostics_.enter_measure(nullptr);
  }

  void place(const RawMeasure& measure, RawNote& raw) {
    if (raw.kind == RawNote::Kind::unpitched) {
      const auto placement = has_place(raw) ? by_numbers(*raw.string, *raw.fret, own_nut_) : std::nullopt;
      if (!placement) return;
      raw.note.placement = placement;
      raw.note.pitch = spell(*banjo_.midi_at(*placement), measure.measure.key);
      raw.kind = RawNote::Kind::pitched;
      diagnostics_.repair("musicxml-pitch-missing",
                          "a note without a pitch was given that of its string and fret", raw.line);
      return;
    }
    const int midi = raw.note.pitch.midi();
    const auto fits = [&](const std::optional<Placement>& placement) {
      // A chime's pitch may be the one it sounds or that of the fret it is touched over.
      return placement && gives(banjo_, *placement, raw.note);
    };
    if (has_place(raw)) {
      const auto placement = by_numbers(*raw.string, *raw.fret, own_nut_);
      if (fits(placement)) {
        raw.note.placement = placement;
        return;
      }
      const auto other = by_numbers(*raw.string, *raw.fret, !own_nut_);
      if (*raw.string == fifth_string && fits(other)) {
        raw.note.placement = other;
        diagnostics_.repair(
            "musicxml-fifth-fret-counting",
            "a fret of the fifth string is counted differently from the rest; its pitch was kept", raw.line);
        return;
      }
      report_contradiction(raw);
    } else if (raw.string && *raw.string >= 1 && *raw.string <= string_count) {
      // A string alone says the fret too.
      const auto fret = banjo_.fret_for(*raw.string, midi);
      if (fret) {
        raw.note.placement =
            Placement{static_cast<std::int8_t>(*raw.string), static_cast<std::int8_t>(*fret)};
      } else {
        report_contradiction(raw);
      }
    } else if (raw.string) {
      diagnostics_.loss("musicxml-string",
                        "string " + std::to_string(*raw.string) + " is left out: a banjo has strings 1 to 5",
                        raw.line);
    } else {
      diagnostics_.loss("musicxml-fret-alone", "a fret without a string is left out", raw.line);
    }
  }

  void report_contradiction(const RawNote& raw) {
    diagnostics_.loss("musicxml-placement",
                      "a string and fret that do not give the note's pitch were left out; the pitch was kept",
                      raw.line);
  }

  RawPart& part_;
  const Head& head_;
  Diagnostics& diagnostics_;
  Banjo banjo_;
  Evidence all_;
  std::vector<std::unique_ptr<Evidence>> by_staff_;
  std::array<int, most_staves + 1> octaves_{};
  bool own_nut_ = false;
};

}  // namespace

Banjo settle_strings(RawPart& part, const Head& head, Diagnostics& diagnostics) {
  return Settler(part, head, diagnostics).run();
}

}  // namespace fifthpeg::musicxml::reader
