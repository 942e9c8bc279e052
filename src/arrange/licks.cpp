#include "arrange/licks.hpp"

#include <algorithm>

#include "hands/request.hpp"

namespace fifthpeg::arranging {
namespace {

// How far a lick that is not the chord's first choice stands behind.
constexpr int not_first = 2;

std::int8_t digit_at(std::string_view text, std::size_t at) {
  return static_cast<std::int8_t>(text[at] - '0');
}

PickingFinger finger_named(char letter) {
  return letter == 'I' ? PickingFinger::index : letter == 'M' ? PickingFinger::middle : PickingFinger::thumb;
}

// "3:0T", "3:2/4T", "3:h2".
Played read_note(std::string_view word, std::int8_t& from_fret, const Played& before) {
  Played note;
  note.role = Role::lick;
  note.string = digit_at(word, 0);
  if (word[2] == 'h') {
    note.fret = digit_at(word, 3);
    note.into = note.fret < before.fret ? Technique::pull_off : Technique::hammer_on;
    return note;
  }
  note.fret = digit_at(word, 2);
  if (word.size() > 5 && word[3] == '/') {
    from_fret = note.fret;
    note.fret = digit_at(word, 4);
    note.into = from_fret == 0 ? Technique::hammer_on : Technique::slide;
  }
  note.finger = static_cast<std::int8_t>(finger_named(word.back()));
  return note;
}

}  // namespace

int chord_number(std::string_view name) {
  const auto symbol = parse_chord_symbol(name);
  return symbol ? hands::chord_of(*symbol, 0) : hands::no_chord;
}

bool lie_alike(const Banjo& one, const Banjo& other) {
  for (int string = 2; string <= fifth_string; ++string) {
    if (one.open_midi(string) - one.open_midi(1) != other.open_midi(string) - other.open_midi(1))
      return false;
  }
  return true;
}

bool lies_as_open_g(const Banjo& banjo) {
  return lie_alike(banjo, {});
}

int shape_of(int chord, const Banjo& banjo) {
  if (chord < 0) return chord;
  const int raised = banjo.open_midi(1) - Banjo{}.open_midi(1);
  return pitch_class(chord - raised) + (chord >= 12 ? 12 : 0);
}

// What players put where a singer takes breath, from memory and of our own; all of it lies in first position.
const std::vector<LickRow>& lick_table() {
  static const std::vector<LickRow> table{
      {"G", "G", 1, "3:0T 2:0I 1:0M 5:0T"},
      {"G", "G", 1, "2:0I 1:0M 5:0T 2:0I"},
      {"G", "G", 2, "3:2/4T 2:0I 5:0T 1:0M"},
      {"G", "G", 2, "4:2T 3:0I 5:0T 1:0M"},
      {"G", "G", 3, "4:0T 4:h2 3:0I 1:0M"},
      {"G", "G", 3, "1:0M 2:0I 5:0T 2:0I"},
      {"G", "C", 1, "3:0T 2:0I 5:0T 1:0M"},
      {"G", "C", 2, "3:0T 3:h2 2:0I 3:0T"},
      {"G", "C", 3, "3:0T 3:2I 2:0T 1:0M"},
      {"G", "D", 1, "3:0T 2:0I 1:0M 3:0T"},
      {"G", "D", 2, "4:0T 3:0I 4:2T 1:0M"},
      {"G", "Em", 2, "3:0T 2:0I 4:2T 1:0M"},
      {"G", "Am", 2, "3:0T 3:h2 2:0I 1:0M"},
      {"C", "G", 1, "4:2T 2:1I 5:0T 1:2M"},
      {"C", "G", 2, "4:2T 2:1I 3:0T 1:0M"},
      {"C", "C", 1, "3:0T 2:1I 5:0T 1:2M"},
      {"C", "C", 2, "4:2T 3:0I 2:1T 1:2M"},
      {"C", "D", 2, "4:2T 2:1I 3:0T 1:2M"},
      {"D", "G", 1, "4:0T 2:1I 3:2T 1:0M"},
      {"D", "G", 2, "4:0T 4:h2 3:0I 1:0M"},
      {"D", "G", 3, "3:2T 2:1I 4:0T 1:0M"},
      {"D", "D", 1, "4:0T 3:2I 2:3T 1:4M"},
      {"D", "D", 1, "4:0T 3:2I 2:1T 1:0M"},
      {"D", "D", 2, "3:0T 3:h2 2:3I 1:0M"},
      {"D", "D", 2, "3:2T 2:1I 4:0T 1:0M"},
      {"D", "C", 2, "4:0T 3:2I 4:2T 1:2M"},
      {"Em", "Em", 1, "4:2T 3:0I 2:0T 1:2M"},
      {"Em", "G", 1, "4:2T 3:0I 5:0T 2:0I"},
      {"Em", "D", 2, "4:2T 3:0I 2:0T 1:0M"},
      {"Em", "C", 2, "4:2T 3:0I 2:0T 1:2M"},
      {"Am", "Am", 1, "4:2T 3:2I 2:1T 1:2M"},
      {"Am", "G", 2, "3:2T 2:1I 5:0T 1:0M"},
      {"Am", "Em", 2, "3:2T 2:1I 4:2T 1:2M"},
      {"Am", "D", 2, "3:2T 2:1I 4:0T 1:0M"},
      {"G", "G", 1, "3:0T 2:0I 5:0T"},
      {"G", "G", 2, "3:0T 2:0I 1:0M"},
      {"G", "C", 1, "3:0T 2:0I 1:0M"},
      {"G", "D", 1, "3:0T 2:0I 4:0T"},
      {"C", "G", 1, "4:2T 2:1I 1:2M"},
      {"C", "C", 1, "4:2T 3:0I 2:1M"},
      {"D", "G", 1, "4:0T 3:2I 1:0M"},
      {"D", "D", 1, "4:0T 3:2I 2:3M"},
      {"D", "D", 1, "4:0T 3:2I 2:1M"},
      {"G", "G", 1, "3:0T 2:0I 1:0M 5:0T 2:0I 1:0M"},
      {"G", "G", 2, "3:2/4T 2:0I 1:0M 5:0T 2:0I 1:0M"},
      {"G", "C", 1, "3:0T 2:0I 5:0T 1:0M 2:0I 1:0M"},
      {"G", "D", 1, "3:0T 2:0I 1:0M 3:0T 2:0I 1:0M"},
      {"C", "G", 1, "4:2T 2:1I 1:2M 5:0T 2:1I 1:2M"},
      {"C", "C", 1, "4:2T 3:0I 2:1M 5:0T 3:0I 2:1M"},
      {"D", "G", 1, "4:0T 2:1I 1:0M 3:2T 2:1I 1:0M"},
      {"D", "D", 1, "4:0T 3:2I 1:0M 3:2T 2:3I 1:0M"},
      {"D", "D", 1, "4:0T 3:2I 1:0M 3:2T 2:1I 1:0M"},
  };
  return table;
}

Candidate parse_lick(std::string_view words) {
  Candidate parsed;
  Played before;
  while (!words.empty()) {
    std::string_view word = words.substr(0, words.find(' '));
    words.remove_prefix(std::min(words.size(), word.size() + 1));
    SlotPlay& slot = parsed.slots.at(static_cast<std::size_t>(parsed.count++));
    while (word != "-" && !word.empty()) {
      const std::string_view note = word.substr(0, word.find('+'));
      word.remove_prefix(std::min(word.size(), note.size() + 1));
      slot.notes.at(static_cast<std::size_t>(slot.count++)) = before =
          read_note(note, slot.from_fret, before);
    }
  }
  return parsed;
}

namespace {

// A seventh that the chord does not have leads on to the chord a fourth higher; anywhere else it is wrong.
bool sevenths_lead(const Candidate& lick, const Unit& unit, const Neckwork& neck) {
  constexpr int minor_seventh = 10;
  constexpr int fourth = 5;
  if (unit.next_chord >= 0 && unit.harmony.above_root(unit.next_chord) == fourth) return true;
  for (const SlotPlay& slot : lick.slots) {
    for (std::size_t n = 0; n < static_cast<std::size_t>(slot.count); ++n) {
      const int midi = neck.pitch(slot.notes[n].string, slot.notes[n].fret);
      if (unit.harmony.above_root(midi) == minor_seventh && !unit.harmony.tones.has(midi)) return false;
    }
  }
  return true;
}

}  // namespace

std::vector<Lick> licks_for(const Unit& unit, const Neckwork& neck) {
  std::vector<Lick> licks;
  const Banjo& banjo = neck.banjo();
  if (!lies_as_open_g(banjo)) return licks;
  const int from = shape_of(unit.harmony.hands, banjo);
  const int to = shape_of(unit.next_chord, banjo);
  int cost = 0;
  for (const LickRow& row : lick_table()) {
    if (row.level > neck.level() || chord_number(row.from) != from || chord_number(row.to) != to) continue;
    Candidate played = parse_lick(row.words);
    if (played.count != unit.slots || !sevenths_lead(played, unit, neck)) continue;
    licks.push_back({played, cost});
    cost += not_first;
  }
  return licks;
}

}  // namespace fifthpeg::arranging
