#include "cli/advice_text.hpp"

#include <cstdlib>

#include "cli/json.hpp"
#include "version.hpp"

namespace fifthpeg::cli {
namespace {

std::string set_up_text(const Banjo& banjo) {
  std::string text = to_string(banjo.tuning);
  if (banjo.capo != 0) text += ", capo " + std::to_string(banjo.capo);
  if (banjo.fifth_capo != short_nut_fret) text += ", fifth string at " + std::to_string(banjo.fifth_capo);
  return text;
}

std::string move_text(int half_steps) {
  if (half_steps == 0) return "as written";
  const int size = std::abs(half_steps);
  const std::string way = half_steps > 0 ? " up" : " down";
  if (size % 12 == 0) return (size == 12 ? "an octave" : std::to_string(size / 12) + " octaves") + way;
  return std::to_string(size) + (size == 1 ? " half step" : " half steps") + way;
}

std::string name_of(const Reading& reading) {
  const std::string& title = reading.score.work.title;
  return title.empty() ? "" : " (" + title + ")";
}

}  // namespace

std::string advice_text(const std::string& name, const Reading& reading, const std::vector<Advice>& advice) {
  std::string text = name + name_of(reading) + "\n";
  int rank = 0;
  for (const Advice& one : advice) {
    text += "\n" + std::to_string(++rank) + "  " + set_up_text(one.banjo) + "; " + move_text(one.half_steps) +
            ", " + to_string(one.key) + "; burden " + std::to_string(one.burden) + "\n";
    for (const std::string& reason : one.reasons) text += "     " + reason + "\n";
    text += "     fifthpeg convert " + one.convert_options + "\n";
  }
  return text;
}

std::string advice_json(const std::string& input, const Reading& reading, const std::vector<Advice>& advice) {
  Json list = Json::array();
  for (const Advice& one : advice) {
    list.push_back({{"tuning", spelling(one.banjo.tuning)},
                    {"capo", one.banjo.capo},
                    {"fifth_capo", one.banjo.fifth_capo},
                    {"half_steps", one.half_steps},
                    {"key", to_string(one.key)},
                    {"shapes", to_string(one.shapes)},
                    {"cost", one.cost},
                    {"burden", one.burden},
                    {"notes", one.notes},
                    {"open", one.open},
                    {"too_low", one.too_low},
                    {"too_high", one.too_high},
                    {"playable", one.playable},
                    {"reasons", one.reasons},
                    {"convert_options", one.convert_options}});
  }
  return document({{"program", "fifthpeg"},
                   {"version", version},
                   {"input", input},
                   {"title", reading.score.work.title},
                   {"advice", std::move(list)},
                   {"told", to_json(reading.report)}});
}

}  // namespace fifthpeg::cli
