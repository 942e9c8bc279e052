// write_text_tab: heading, lines of tab, legend.
#include <algorithm>
#include <string>
#include <vector>

#include "base/display_width.hpp"
#include "engraving/wording.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/write.hpp"
#include "formats/text_tab/conventions.hpp"
#include "formats/text_tab/writer/columns.hpp"
#include "formats/text_tab/writer/heading.hpp"
#include "formats/text_tab/writer/system.hpp"

namespace fifthpeg {
namespace {

constexpr int narrowest = 24;
constexpr int widest = 10'000;

std::string legend(const text_tab::SignsUsed& used, int width) {
  std::vector<std::string> items;
  for (std::size_t i = 0; i < used.size(); ++i) {
    if (!used.test(i)) continue;
    const text_tab::SignText& sign = text_tab::sign_texts.at(i);
    items.push_back(std::string(sign.sign) + " " + std::string(sign.meaning));
  }
  return base::lines_of(items, "; ", width);
}

void report_bar_styles(const Score& score, Report& report) {
  for (std::size_t i = 0; i < score.measures.size(); ++i) {
    const Measure& measure = score.measures[i];
    const bool last = i + 1 == score.measures.size();
    const bool shown = measure.right_bar == BarStyle::regular ||
                       measure.right_bar == (last ? BarStyle::light_heavy : BarStyle::light_light);
    if (!shown) {
      report.add(EntryKind::loss, "tab-bar-style", "a barline of another kind is drawn single or double",
                 {{}, measure.number, {}});
    }
  }
}

}  // namespace

Report write_text_tab(const Score& score, const TextTabOptions& options, Sink& sink) {
  if (options.width < narrowest || options.width > widest) {
    throw UsageError("width-out-of-range", "a text tab can be " + std::to_string(narrowest) + " to " +
                                               std::to_string(widest) + " columns wide, not " +
                                               std::to_string(options.width));
  }
  Report report;
  try {
    const text_tab::TabStyle style{options.fingers, options.roles, engraving::everything_rings(score),
                                   options.shapes ? held_shapes(score) : std::vector<HeldShape>{}};
    sink.write(text_tab::heading(score, options.width));
    report_bar_styles(score, report);
    text_tab::ColumnMaker maker(style, report);
    text_tab::System system(score.banjo.tuning, options.width, sink);
    text_tab::SignsUsed used;
    for (const Measure& measure : score.measures) {
      std::vector<std::string> at_end;
      const bool last = &measure == &score.measures.back();
      const auto columns = maker.make(measure, &measure == score.measures.data(), last, at_end);
      if (system.add(measure, columns, at_end)) used.set(static_cast<std::size_t>(text_tab::Sign::continues));
    }
    system.flush();
    used |= maker.used();
    sink.write(legend(used, options.width));
  } catch (const TimeError&) {
    throw WriteError("time-overflow", "the score holds times too long or too fine to be counted");
  }
  return report;
}

}  // namespace fifthpeg
