#include "formats/musicxml/reader/inventory.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <iterator>
#include <optional>

#include "base/text.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/raw.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

constexpr int banjo_program = 106;  // General MIDI level 1, counted from 1

// The value of an attribute in the text of a tag; empty where it is not there.
std::string_view attribute_in(std::string_view tag, std::string_view name) {
  constexpr std::string_view blanks = " \t\r\n";
  for (std::size_t at = tag.find(name); at != std::string_view::npos; at = tag.find(name, at + 1)) {
    if (at == 0 || blanks.find(tag[at - 1]) == std::string_view::npos) continue;
    std::string_view rest = trimmed(tag.substr(at + name.size()));
    if (!rest.starts_with('=')) continue;
    rest = trimmed(rest.substr(1));
    if (rest.empty()) return {};
    return rest.substr(1, rest.find(rest.front(), 1) - 1);
  }
  return {};
}

std::size_t staff_of(std::string_view number) {
  return static_cast<std::size_t>(std::clamp(whole_number(number).value_or(0), 0, most_staves));
}

// Counts the notes of a part. Its measures are gone through tag by tag and not parsed: of all parts but one
// nothing else is needed.
class PartScan {
 public:
  PartScan(const PartSource& source, PartSummary& summary, PartTraits& traits)
      : source_(source), summary_(summary), traits_(traits) {}

  void run(bool with_music) {
    const PartDescription& part = source_.description;
    summary_.id = part.id;
    summary_.name = part.name;
    summary_.instrument = part.instrument;
    summary_.program = part.program;
    summary_.channel = part.channel;
    if (with_music) {
      for (const MeasureSource& measure : source_.measures) {
        if (!scan(measure.music.text)) SliceParser().parse(measure.music);  // throws, with the right words
      }
    }
    settle();
  }

 private:
  // False where tags do not match.
  bool scan(std::string_view text) {
    const TagScanner scanner(text);
    std::vector<std::string_view> open;
    Tag tag;
    for (std::size_t at = 0; scanner.next(at, tag); at = tag.to) {
      if (tag.kind == Tag::Kind::other) continue;
      const std::string_view name = scanner.name(tag);
      if (tag.kind == Tag::Kind::close) {
        if (open.empty() || open.back() != name) return false;
        open.pop_back();
        end(name);
        continue;
      }
      const std::string_view behind = text.substr(tag.to);
      start(name, text.substr(tag.from, tag.to - tag.from), trimmed(behind.substr(0, behind.find('<'))));
      if (tag.kind == Tag::Kind::open) open.push_back(name);
      if (tag.kind == Tag::Kind::empty) end(name);
    }
    return open.empty();
  }

  void start(std::string_view name, std::string_view tag, std::string_view text) {
    if (name == "note") {
      note_ = Note{};
    } else if (note_) {
      start_in_note(name, tag, text);
    } else if (name == "transpose") {
      transposed_staff_ = staff_of(attribute_in(tag, "number"));
      half_steps_now_ = 0;
      transposing_ = true;
    } else if (transposing_ && (name == "chromatic" || name == "octave-change")) {
      const int number = std::clamp(whole_number(text).value_or(0), -1000, 1000);
      half_steps_now_ += name == "chromatic" ? number : 12 * number;
    } else if (name == "clef" || name == "staff-details") {
      staff_ = std::max<std::size_t>(1, staff_of(attribute_in(tag, "number")));
      tunings_ = 0;
    } else if (name == "sign") {
      if (text == "TAB") mark_tab();
      percussion_clef_ = percussion_clef_ || text == "percussion";
    } else if (name == "staff-tuning") {
      ++tunings_;
      mark_tab();
    }
  }

  void start_in_note(std::string_view name, std::string_view tag, std::string_view text) {
    if (name == "step") {
      note_->letter = step(text);
    } else if (name == "alter") {
      note_->alter = static_cast<int>((decimal(text).value_or(0) + Fraction(1, 2)).floor());
    } else if (name == "octave") {
      note_->octave = whole_number(text);
    } else if (name == "staff") {
      note_->staff = std::max<std::size_t>(1, staff_of(text));
    } else if (name == "unpitched") {
      ++unpitched_;
    } else if (name == "tie") {
      note_->left_out = note_->left_out || attribute_in(tag, "type") == "stop";
    } else if (name == "cue") {
      note_->left_out = true;
    } else if (name == "lyric") {
      traits_.lyrics = traits_.lyrics || attribute_in(tag, "number") != picking_verse;
    }
  }

  void end(std::string_view name) {
    if (name == "note" && note_) {
      count(*note_);
      note_.reset();
    } else if (name == "transpose" && transposing_) {
      transposing_ = false;
      if (transposed_staff_ == 0) {
        half_steps_.fill(half_steps_now_);
      } else {
        half_steps_.at(transposed_staff_) = half_steps_now_;
      }
    } else if (name == "staff-details") {
      five_strings_ = five_strings_ || tunings_ == string_count;
    }
  }

  void mark_tab() {
    traits_.tab = true;
    staves_.at(staff_).tab = true;
  }

  struct Note {
    std::optional<Step> letter;
    int alter = 0;
    std::optional<int> octave;
    std::size_t staff = 1;
    bool left_out = false;  // a cue note, or one that a tie carries on
  };

  void count(const Note& note) {
    if (note.left_out || !note.letter || !note.octave || std::abs(*note.octave) > 12 ||
        std::abs(note.alter) > 12)
      return;
    const int midi =
        Pitch{*note.letter, static_cast<std::int8_t>(note.alter), static_cast<std::int8_t>(*note.octave)}
            .midi() +
        half_steps_.at(note.staff);
    if (midi < 0 || midi > 127) return;
    Staff& counted = staves_.at(note.staff);
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
    const PartDescription& part = source_.description;
    summary_.percussion = part.percussion() || percussion_clef_ || unpitched_ > summary_.notes;
    if (part.names_banjo()) {
      traits_.banjo_because =
          part.name_is_banjo() ? "its name says banjo" : "its instrument sound is a banjo's";
    } else if (summary_.program == banjo_program) {
      traits_.banjo_because = "its General MIDI program is the banjo's";
    } else if (five_strings_) {
      traits_.banjo_because = "its tab has five strings";
    }
    traits_.banjo = !traits_.banjo_because.empty() && !summary_.percussion;
    traits_.tune = part.names_tune();
    traits_.backup = part.names_backup();
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
  std::array<int, most_staves + 1> half_steps_{};
  std::array<Staff, most_staves + 1> staves_{};
  std::optional<Note> note_;  // that is open
  bool transposing_ = false;
  std::size_t transposed_staff_ = 0;  // 0 is all
  int half_steps_now_ = 0;
  std::size_t staff_ = 1;  // of the clef or the strings
  int tunings_ = 0;
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

PartChoice requested_part(const Survey& survey, const std::string& wanted) {
  const std::string name = base::lower_case(trimmed(wanted));
  for (std::size_t i = 0; i < survey.parts.size(); ++i)
    if (base::lower_case(trimmed(survey.parts[i].name)) == name) return {i, "asked for by its name"};
  const int number = whole_number(wanted).value_or(0);
  if (number >= 1 && static_cast<std::size_t>(number) <= survey.parts.size())
    return {static_cast<std::size_t>(number - 1), "asked for by its number"};
  for (std::size_t i = 0; i < survey.parts.size(); ++i)
    if (base::lower_case(survey.parts[i].id) == name) return {i, "asked for by its id"};
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
    PartScan(document.parts()[i], result.parts[i], result.traits[i]).run(with_music);
  return result;
}

PartChoice choose(const Survey& survey, const std::string& wanted) {
  if (!wanted.empty()) return requested_part(survey, wanted);
  if (survey.parts.size() == 1) return {0, "the only part"};

  std::vector<std::size_t> eligible;
  for (std::size_t i = 0; i < survey.parts.size(); ++i) {
    if (survey.parts[i].notes > 0 && !survey.parts[i].percussion) eligible.push_back(i);
  }
  if (eligible.empty()) return {0, "no part has pitched notes; the first was taken"};
  if (eligible.size() == 1) return {eligible.front(), "the only part with notes that is not percussion"};

  const auto those = [&eligible](auto what) {
    std::vector<std::size_t> found;
    std::copy_if(eligible.begin(), eligible.end(), std::back_inserter(found), what);
    return found;
  };
  const auto busiest = [&survey](const std::vector<std::size_t>& of) {
    return *std::max_element(of.begin(), of.end(), [&](std::size_t a, std::size_t b) {
      return survey.parts[a].notes < survey.parts[b].notes;
    });
  };
  // Of several banjo parts, the first of those that play throughout: the notation before its tab copy. What
  // is called backup only where there is no other.
  auto banjos = those([&](std::size_t i) { return survey.traits[i].banjo && !survey.traits[i].backup; });
  if (banjos.empty()) banjos = those([&](std::size_t i) { return survey.traits[i].banjo; });
  for (const std::size_t i : banjos) {
    if (survey.parts[i].notes * 3 >= survey.parts[busiest(banjos)].notes)
      return {i, survey.traits[i].banjo_because};
  }
  // The tune: what is called so, or sung; otherwise the highest of the parts that play throughout.
  const auto named = those([&](std::size_t i) { return survey.traits[i].tune; });
  if (!named.empty()) return {named.front(), "no part is a banjo's; this one carries the tune by its name"};
  const auto sung = those([&](std::size_t i) { return survey.traits[i].lyrics; });
  if (!sung.empty())
    return {sung.front(), "no part is a banjo's; this one carries the tune: it has words to sing"};
  const std::uint64_t most = survey.parts[busiest(eligible)].notes;
  const auto steady = those([&](std::size_t i) { return survey.parts[i].notes * 3 >= most; });
  const auto highest = std::max_element(steady.begin(), steady.end(), [&](std::size_t a, std::size_t b) {
    return survey.traits[a].mean_pitch < survey.traits[b].mean_pitch;
  });
  return {*highest,
          "no part is a banjo's; this one carries the tune: it is the highest of those that play throughout"};
}

}  // namespace fifthpeg::musicxml::reader
