#include "formats/text_tab/writer/heading.hpp"

#include <string_view>
#include <vector>

#include "base/display_width.hpp"
#include "base/text.hpp"
#include "engraving/note_value.hpp"

namespace fifthpeg::text_tab {
namespace {

constexpr std::string_view item_gap = "   ";

std::string note_value(Fraction length) {
  const engraving::NoteValue value = engraving::single_value(engraving::units_in(length));
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

std::vector<std::string> names_of(const Work& work) {
  std::vector<std::string> items;
  const auto add = [&items](std::string_view label, const std::string& name) {
    if (!name.empty()) items.push_back(std::string(label) + base::one_line(name));
  };
  add("composer: ", work.composer);
  add("arranger: ", work.arranger);
  add("words: ", work.lyricist);
  add("source: ", work.source);
  add("", work.rights);
  return items;
}

std::vector<std::string> set_up(const Score& score, bool everything_rings) {
  const Banjo& banjo = score.banjo;
  std::vector<std::string> items{"Tuning: " + to_string(banjo.tuning)};
  if (banjo.capo > 0) items.push_back("Capo: " + std::to_string(banjo.capo));
  if (banjo.fifth_capo != fifth_nut_fret) {
    items.push_back("Fifth-string capo: " + std::to_string(banjo.fifth_capo));
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
  if (everything_rings) items.emplace_back("Let every string ring");
  return items;
}

}  // namespace

std::string tempo_text(const Tempo& tempo) {
  std::string text = base::one_line(tempo.words);
  if (!text.empty()) text += ", ";
  const Fraction quarters = tempo.beat_unit * 4;
  return text + note_value(tempo.beat_unit) + " = " +
         decimal(quarters > 0 ? tempo.quarters_per_minute / quarters : tempo.quarters_per_minute);
}

std::string heading(const Score& score, int width, bool everything_rings) {
  std::string out;
  const std::string part_name = score.part_name == Score{}.part_name ? "" : score.part_name;
  for (const std::string& name : {score.work.title, part_name}) {
    if (name.empty()) continue;
    for (const std::string& line : base::wrapped(base::one_line(name), width)) out += line + "\n";
  }
  out += base::lines_of(names_of(score.work), item_gap, width);
  if (!out.empty()) out += "\n";
  out += base::lines_of(set_up(score, everything_rings), item_gap, width);
  return out + "\n";
}

}  // namespace fifthpeg::text_tab
