#include "formats/musicxml/reader/inventory.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <iterator>
#include <optional>

#include "base/text.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/reader/raw.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

constexpr int banjo_program = 106;  // General MIDI level 1, counted from 1
constexpr int drum_channel = 10;

class PartWalk {
 public:
  PartWalk(const PartSource& source, PartSummary& summary, PartTraits& traits)
      : source_(source), summary_(summary), traits_(traits) {}

  void run(bool with_music) {
    summary_.id = source_.id;
    if (source_.description != nullptr) describe(*source_.description);
    if (with_music) {
      SliceParser parser;
      for (const MeasureSource& measure : source_.measures) walk(parser.parse(measure.music));
    }
    settle();
  }

 private:
  void describe(const Element& element) {
    each_child(element, [&](const Element& child, Name name) {
      switch (name) {
        case Name::part_name:
          summary_.name = text_of(child);
          break;
        case Name::score_instrument:
          each_child(child, [&](const Element& inner, Name kind) {
            if (kind == Name::instrument_name && summary_.instrument.empty()) {
              summary_.instrument = trimmed(text_of(inner));
            }
            if (kind == Name::instrument_sound && sound_.empty()) sound_ = token_of(inner);
          });
          break;
        case Name::midi_instrument:
          each_child(child, [&](const Element& inner, Name kind) {
            const auto number = whole_number(token_of(inner));
            if (!number) return;
            if (kind == Name::midi_program && !summary_.program && *number >= 1 && *number <= 128) {
              summary_.program = number;
            }
            if (kind == Name::midi_channel && !summary_.channel && *number >= 1 && *number <= 16) {
              summary_.channel = number;
            }
          });
          break;
        default:
          break;
      }
    });
    if (summary_.instrument.empty()) summary_.instrument = sound_;
  }

  void walk(const Element& measure) {
    each_child(measure, [&](const Element& child, Name name) {
      if (name == Name::note) note(child);
      if (name == Name::attributes) attributes(child);
    });
  }

  void attributes(const Element& element) {
    each_child(element, [&](const Element& child, Name name) {
      if (name == Name::transpose) {
        int half_steps = 0;
        each_child(child, [&](const Element& inner, Name kind) {
          const int number = std::clamp(whole_number(token_of(inner)).value_or(0), -1000, 1000);
          if (kind == Name::chromatic) half_steps += number;
          if (kind == Name::octave_change) half_steps += 12 * number;
        });
        const auto staff = staff_of(child.Attribute("number"));
        if (staff == 0) {
          half_steps_.fill(half_steps);
        } else {
          half_steps_.at(staff) = half_steps;
        }
      } else if (name == Name::clef) {
        each_child(child, [&](const Element& inner, Name kind) {
          if (kind != Name::sign) return;
          if (token_of(inner) == "TAB") mark_tab(child);
          percussion_clef_ = percussion_clef_ || token_of(inner) == "percussion";
        });
      } else if (name == Name::staff_details) {
        int lines = 0;
        each_child(child, [&](const Element&, Name kind) {
          if (kind == Name::staff_tuning) ++lines;
        });
        if (lines > 0) mark_tab(child);
        if (lines == string_count) five_strings_ = true;
      }
    });
  }

  void mark_tab(const Element& of_staff) {
    traits_.tab = true;
    staves_.at(std::max<std::size_t>(1, staff_of(of_staff.Attribute("number")))).tab = true;
  }

  static std::size_t staff_of(const char* number) {
    if (number == nullptr) return 0;
    return static_cast<std::size_t>(std::clamp(whole_number(number).value_or(0), 0, most_staves));
  }

  void note(const Element& element) {
    std::optional<Step> letter;
    int alter = 0;
    std::optional<int> octave;
    std::size_t staff = 1;
    bool pitched = false;
    bool tied = false;
    bool cue = false;
    for (const Element* child = element.FirstChildElement(); child != nullptr;
         child = child->NextSiblingElement()) {
      switch (name_of(child->Name())) {
        case Name::pitch:
          pitched = true;
          each_child(*child, [&](const Element& inner, Name kind) {
            if (kind == Name::step) letter = step(token_of(inner));
            if (kind == Name::alter) {
              const auto exact = decimal(token_of(inner)).value_or(0);
              alter = static_cast<int>((exact + Fraction(1, 2)).floor());
            }
            if (kind == Name::octave) octave = whole_number(token_of(inner));
          });
          break;
        case Name::unpitched:
          ++unpitched_;
          break;
        case Name::tie:
          tied = tied || child->Attribute("type", "stop") != nullptr;
          break;
        case Name::cue:
          cue = true;
          break;
        case Name::staff:
          staff = std::max<std::size_t>(1, staff_of(child->GetText()));
          break;
        case Name::lyric:
          traits_.lyrics = true;
          break;
        default:
          break;
      }
    }
    if (!pitched || tied || cue || !letter || !octave || std::abs(*octave) > 12 || std::abs(alter) > 12)
      return;
    const int midi =
        Pitch{*letter, static_cast<std::int8_t>(alter), static_cast<std::int8_t>(*octave)}.midi() +
        half_steps_.at(staff);
    if (midi < 0 || midi > 127) return;
    Staff& counted = staves_.at(staff);
    ++counted.notes;
    counted.pitch_sum += midi;
    counted.lowest = std::min(counted.lowest, midi);
    counted.highest = std::max(counted.highest, midi);
  }

  // A tab staff under a notation staff repeats its notes: they are counted once.
  void add_up() {
    const auto has_notation = [](const Staff& staff) { return staff.notes > 0 && !staff.tab; };
    const bool any_notation = std::any_of(staves_.begin(), staves_.end(), has_notation);
    std::int64_t pitch_sum = 0;
    for (const Staff& staff : staves_) {
      if (staff.notes == 0 || (staff.tab && any_notation)) continue;
      summary_.notes += staff.notes;
      pitch_sum += staff.pitch_sum;
      summary_.lowest = std::min(summary_.lowest.value_or(staff.lowest), staff.lowest);
      summary_.highest = std::max(summary_.highest.value_or(staff.highest), staff.highest);
    }
    if (summary_.notes > 0) {
      traits_.mean_pitch = static_cast<double>(pitch_sum) / static_cast<double>(summary_.notes);
    }
  }

  void settle() {
    add_up();
    summary_.percussion = summary_.channel == drum_channel || percussion_clef_ ||
                          unpitched_ > summary_.notes || sound_.starts_with("drum") ||
                          sound_.starts_with("metal") || sound_.starts_with("wood");
    const std::string name = base::lower_case(summary_.name) + " " + base::lower_case(summary_.instrument);
    if (name.find("banjo") != std::string::npos) {
      traits_.banjo_because = "its name says banjo";
    } else if (base::lower_case(sound_).find("banjo") != std::string::npos) {
      traits_.banjo_because = "its instrument sound is a banjo's";
    } else if (summary_.program == banjo_program) {
      traits_.banjo_because = "its General MIDI program is the banjo's";
    } else if (five_strings_) {
      traits_.banjo_because = "its tab has five strings";
    }
    traits_.banjo = !traits_.banjo_because.empty() && !summary_.percussion;
    static constexpr std::array<std::string_view, 9> words{"melody", "tune",   "lead",     "fiddle", "violin",
                                                           "voice",  "vocals", "mandolin", "flute"};
    traits_.tune = std::any_of(words.begin(), words.end(),
                               [&](std::string_view word) { return name.find(word) != std::string::npos; });
  }

  struct Staff {
    bool tab = false;
    std::uint64_t notes = 0;
    std::int64_t pitch_sum = 0;
    int lowest = 127;
    int highest = 0;
  };

  const PartSource& source_;
  PartSummary& summary_;
  PartTraits& traits_;
  std::string sound_;
  std::array<int, most_staves + 1> half_steps_{};
  std::array<Staff, most_staves + 1> staves_{};
  bool percussion_clef_ = false;
  bool five_strings_ = false;
  std::uint64_t unpitched_ = 0;
};

std::string list_of(const Survey& survey) {
  constexpr std::size_t most = 12;
  std::string text;
  for (std::size_t i = 0; i < std::min(survey.parts.size(), most); ++i) {
    if (i > 0) text += ", ";
    text += std::to_string(i + 1) + " " + std::string(trimmed(survey.parts[i].name));
  }
  if (survey.parts.size() > most) text += " ...";
  return text;
}

Choice wanted_part(const Survey& survey, const std::string& wanted) {
  const std::string name = base::lower_case(trimmed(wanted));
  for (std::size_t i = 0; i < survey.parts.size(); ++i) {
    if (base::lower_case(trimmed(survey.parts[i].name)) == name) return {i, "asked for by its name"};
  }
  if (const auto number = whole_number(wanted);
      number && *number >= 1 && static_cast<std::size_t>(*number) <= survey.parts.size()) {
    return {static_cast<std::size_t>(*number - 1), "asked for by its number"};
  }
  for (std::size_t i = 0; i < survey.parts.size(); ++i) {
    if (base::lower_case(survey.parts[i].id) == name) return {i, "asked for by its id"};
  }
  throw UsageError("there is no part \"" + wanted + "\"; the file has " + list_of(survey));
}

}  // namespace

Survey survey(const Document& document) {
  Survey result;
  // Of the only part nothing has to be known before it is read.
  const bool with_music = document.parts().size() > 1;
  const std::size_t count = document.parts().size();
  result.parts.resize(count);
  result.traits.resize(count);
  for (std::size_t i = 0; i < count; ++i)
    PartWalk(document.parts()[i], result.parts[i], result.traits[i]).run(with_music);
  return result;
}

Choice choose(const Survey& survey, const std::string& wanted) {
  if (!wanted.empty()) return wanted_part(survey, wanted);
  if (survey.parts.size() == 1) return {0, "the only part"};

  std::vector<std::size_t> eligible;
  for (std::size_t i = 0; i < survey.parts.size(); ++i) {
    if (survey.parts[i].notes > 0 && !survey.parts[i].percussion) eligible.push_back(i);
  }
  if (eligible.empty()) return {0, "no part has pitched notes; the first was taken"};
  if (eligible.size() == 1) return {eligible.front(), "the only part with notes that is not percussion"};

  // Of several banjo parts, the notation before its tab copy, and the busier before the other.
  const auto most_notes = [&](std::size_t a, std::size_t b) {
    return survey.parts[a].notes < survey.parts[b].notes;
  };
  std::vector<std::size_t> banjos;
  std::copy_if(eligible.begin(), eligible.end(), std::back_inserter(banjos),
               [&](std::size_t i) { return survey.traits[i].banjo; });
  if (!banjos.empty()) {
    const std::size_t part = *std::max_element(banjos.begin(), banjos.end(), most_notes);
    return {part, survey.traits[part].banjo_because};
  }
  const auto highest = [&](std::size_t a, std::size_t b) {
    return survey.traits[a].mean_pitch < survey.traits[b].mean_pitch;
  };
  // The tune: what is called so, or sung; otherwise the highest of the parts that play throughout.
  const auto first_that = [&](auto what) -> std::optional<std::size_t> {
    const auto found = std::find_if(eligible.begin(), eligible.end(), what);
    if (found == eligible.end()) return std::nullopt;
    return *found;
  };
  if (const auto part = first_that([&](std::size_t i) { return survey.traits[i].tune; })) {
    return {*part, "no part is a banjo's; this one carries the tune by its name"};
  }
  if (const auto part = first_that([&](std::size_t i) { return survey.traits[i].lyrics; })) {
    return {*part, "no part is a banjo's; this one carries the tune: it has words to sing"};
  }
  const std::uint64_t busiest =
      survey.parts[*std::max_element(eligible.begin(), eligible.end(), most_notes)].notes;
  std::vector<std::size_t> steady;
  std::copy_if(eligible.begin(), eligible.end(), std::back_inserter(steady),
               [&](std::size_t i) { return survey.parts[i].notes * 3 >= busiest; });
  const std::size_t part = *std::max_element(steady.begin(), steady.end(), highest);
  return {part,
          "no part is a banjo's; this one carries the tune: it is the highest of those that play throughout"};
}

}  // namespace fifthpeg::musicxml::reader
