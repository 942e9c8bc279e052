#include "formats/text_tab/writer/heading.hpp"

#include <algorithm>
#include <string_view>
#include <vector>

#include "base/display_width.hpp"
#include "base/text.hpp"
#include "engraving/wording.hpp"
#include "formats/text_tab/conventions.hpp"

namespace fifthpeg::text_tab {
namespace {

constexpr std::string_view item_gap = "   ";

bool has_part(const Score& score) {
  return !score.part_name.empty() && score.part_name != Score{}.part_name;
}

bool has_bare_title(const Score& score, int width) {
  const std::string title = base::one_line(score.work.title);
  return is_plain_title(title) && base::display_width(title) <= width;
}

bool has_chords(const Score& score) {
  return std::any_of(score.measures.begin(), score.measures.end(),
                     [](const Measure& measure) { return !measure.chords.empty(); });
}

// Title and part in lines of their own. A title says that it is one where a reader could take it for
// something else, or where it takes several lines.
std::string title_and_part(const Score& score, int width) {
  const std::string title = base::one_line(score.work.title);
  const bool bare = title.empty() || has_bare_title(score, width);
  std::string out;
  for (const std::string& line : base::wrapped(bare ? title : "Title: " + title, width)) out += line + "\n";
  if (!has_part(score)) return out;
  return out + base::lines_of({"Part: " + base::one_line(score.part_name)}, item_gap, width);
}

std::vector<std::string> names_of(const Score& score, int width) {
  const Work& work = score.work;
  std::vector<std::string> items;
  const auto add = [&items](std::string_view label, const std::string& name) {
    if (!name.empty()) items.push_back(std::string(label) + base::one_line(name));
  };
  add("composer: ", work.composer);
  add("arranger: ", work.arranger);
  add("words: ", work.lyricist);
  add("source: ", work.source);
  // What is free to copy, or not, needs no word before it where it stands alone below the title.
  const bool alone = items.empty() && !has_part(score) && has_bare_title(score, width);
  add(alone ? "" : "rights: ", work.rights);
  return items;
}

}  // namespace

std::string heading(const Score& score, int width) {
  std::string out = title_and_part(score, width);
  out += base::lines_of(names_of(score, width), item_gap, width);
  if (!out.empty()) out += "\n";
  std::vector<std::string> set_up = engraving::set_up_items(score);
  if (score.banjo.capo > 0 && has_chords(score)) set_up.emplace_back(chords_sound_text);
  out += base::lines_of(set_up, item_gap, width);
  return out + "\n";
}

}  // namespace fifthpeg::text_tab
