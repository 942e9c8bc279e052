#include "cli/labels.hpp"

#include <algorithm>
#include <filesystem>

#include "base/text.hpp"
#include "cli/options.hpp"
#include "fifthpeg/edit.hpp"

namespace fifthpeg::cli {
namespace {

// "soldiers-joy.mid" is about soldiers joy.
std::string title_of(const std::string& input) {
  std::string title = std::filesystem::path(input).stem().string();
  std::replace_if(
      title.begin(), title.end(), [](char letter) { return letter == '-' || letter == '_'; }, ' ');
  return title;
}

void settle_title(Score& score, const std::string& input, Report& report) {
  if (!score.work.title.empty() || input == standard_stream) return;
  score.work.title = title_of(input);
  report.add(EntryKind::decision, "title-from-name",
             "there is no title; it is called '" + score.work.title + "' after the file");
}

void settle_part_name(Score& score, Report& report) {
  const std::string banjo = Score{}.part_name;
  if (base::lower_case(score.part_name).find(base::lower_case(banjo)) != std::string::npos) return;
  if (!score.part_name.empty()) {
    report.add(EntryKind::decision, "part-named-banjo",
               "the part '" + score.part_name + "' is called " + banjo + " now");
  }
  score.part_name = banjo;
}

void settle_tempo(Score& score, int beats_a_minute, Report& report) {
  if (score.measures.empty()) return;
  Tempo tempo;
  tempo.beat_unit = score.measures.front().meter.beat();
  tempo.quarters_per_minute = tempo.beat_unit * 4 * beats_a_minute;
  if (state_one_tempo(score, tempo) > 1) {
    report.add(EntryKind::loss, "tempo-changes-replaced",
               "the changes of tempo went with the tempo asked for");
  }
}

}  // namespace

Report put_on(Score& score, const Labels& labels, const std::string& input) {
  Report report;
  if (labels.title) score.work.title = *labels.title;
  if (labels.composer) score.work.composer = *labels.composer;
  if (labels.rights) score.work.rights = *labels.rights;
  if (labels.credit) score.work.source = *labels.credit;
  if (labels.part_name) score.part_name = *labels.part_name;
  if (labels.tempo) settle_tempo(score, *labels.tempo, report);
  settle_title(score, input, report);
  if (!labels.part_name) settle_part_name(score, report);
  return report;
}

}  // namespace fifthpeg::cli
