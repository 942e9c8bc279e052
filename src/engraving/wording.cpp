#include "engraving/wording.hpp"

#include <algorithm>
#include <array>

#include "base/text.hpp"
#include "engraving/note_value.hpp"

namespace fifthpeg::engraving {
namespace {

std::string note_value(Fraction length) {
  const NoteValue value = single_value(units_in(length));
  return value ? spoken_name(value) : to_string(length) + " note";
}

// "120", "112.5": two decimals at most.
std::string decimal(Fraction value) {
  const std::int64_t hundredths = (value * 100 + Fraction(1, 2)).floor();
  std::string text = std::to_string(hundredths / 100);
  const std::int64_t rest = hundredths % 100;
  if (rest == 0) return text;
  text += "." + std::to_string(rest / 10);
  if (rest % 10 != 0) text += std::to_string(rest % 10);
  return text;
}

}  // namespace

std::string_view picking_letter(PickingFinger finger) {
  constexpr std::array<std::string_view, 6> letters{"T", "I", "M", "R", "L", "N"};
  return letters.at(static_cast<std::size_t>(finger));
}

std::string_view finger_sign(FretFinger finger) {
  constexpr std::array<std::string_view, 6> signs{"0", "1", "2", "3", "4", "T"};
  return signs.at(static_cast<std::size_t>(finger));
}

std::string string_name(const Tuning& tuning, int string) {
  std::string name = to_string(tuning.open(string));
  name.erase(name.find_first_of("-0123456789"));
  if (string == 1 || string == fifth_string) name.front() = base::lower_case(name.front());
  return name;
}

std::string direction_text(const Direction& direction) {
  // What stands there where a direction has no words, by Direction::Kind.
  constexpr std::array<std::string_view, 9> usual{"",        "",     "",     "Segno", "Coda",
                                                  "To Coda", "D.C.", "D.S.", "Fine"};
  const std::string text = base::one_line(direction.text);
  if (direction.kind == Direction::Kind::rehearsal) return "[" + text + "]";
  return text.empty() ? std::string(usual.at(static_cast<std::size_t>(direction.kind))) : text;
}

std::string tempo_text(const Tempo& tempo) {
  std::string text = base::one_line(tempo.words);
  if (!text.empty()) text += ", ";
  const Fraction quarters = tempo.beat_unit * 4;
  return text + note_value(tempo.beat_unit) + " = " +
         decimal(quarters > 0 ? tempo.quarters_per_minute / quarters : tempo.quarters_per_minute);
}

std::string ending_text(const Ending& ending) {
  std::string text;
  for (const int number : ending.numbers) {
    if (text.size() > 16) break;
    text += (text.empty() ? "" : ",") + std::to_string(number);
  }
  return text + ".";
}

std::vector<std::string> set_up_items(const Score& score) {
  const Banjo& banjo = score.banjo;
  std::vector<std::string> items{"Tuning: " + to_string(banjo.tuning)};
  if (banjo.capo > 0) items.push_back("Capo: " + std::to_string(banjo.capo));
  if (banjo.fifth_capo != fifth_nut_fret) {
    items.push_back("Fifth-string capo: " + std::to_string(banjo.fifth_capo));
  } else if (banjo.capo > 0) {
    // Nobody would expect that it stays where it is.
    items.push_back("Fifth-string capo: " + std::string(no_capo_text));
  }
  if (score.measures.empty()) return items;
  const Measure& first = score.measures.front();
  items.push_back("Key: " + to_string(first.key) + (score.key_estimated ? " (estimated)" : ""));
  items.push_back("Meter: " + to_string(first.meter));
  if (!first.tempos.empty() && first.tempos.front().at == 0) {
    items.push_back("Tempo: " + tempo_text(first.tempos.front()));
  }
  if (score.swing) {
    items.push_back("Swing: pairs of " + note_value(score.swing->unit) + " notes " +
                    std::to_string(score.swing->first) + ":" + std::to_string(score.swing->second));
  }
  if (everything_rings(score)) items.emplace_back(all_rings_text);
  return items;
}

bool everything_rings(const Score& score) {
  bool any = false;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        if (note.ring == Ring::natural) return false;
        any = any || note.ring == Ring::let_ring;
      }
    }
  }
  return any;
}

std::vector<const Note*> by_string(const Stroke& stroke) {
  std::vector<const Note*> notes;
  for (const Note& note : stroke.notes) notes.push_back(&note);
  std::stable_sort(notes.begin(), notes.end(), [](const Note* a, const Note* b) {
    const auto rank = [](const Note* note) { return note->placement ? -note->placement->string : -99; };
    return rank(a) < rank(b);
  });
  return notes;
}

}  // namespace fifthpeg::engraving
