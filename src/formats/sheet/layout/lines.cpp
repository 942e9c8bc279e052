#include "formats/sheet/layout/lines.hpp"

#include <algorithm>
#include <utility>

#include "engraving/wording.hpp"
#include "formats/sheet/layout/line_breaking.hpp"
#include "formats/sheet/layout/notation.hpp"

namespace fifthpeg::sheet {
namespace {

// What goes into a line as a whole: columns of one measure, with what stands in front of them.
struct Part {
  std::size_t measure = 0;
  std::size_t first = 0;  // columns
  std::size_t end = 0;
};

class LineMaker {
 public:
  LineMaker(const Piece& piece, double width, TextFace& face)
      : piece_(piece), sizes_(piece.sizes), notation_(piece.sizes), right_(width) {
    for (int string = 1; string <= string_count; ++string) {
      const TextSize size =
          face.size_of(engraving::string_name(piece.score.banjo.tuning, string), sizes_.string_name);
      left_ = std::max(left_, size.right - size.left);
    }
    left_ += 1.5 * sizes_.pad;
    std::size_t index = 0;
    for (const MeasureColumns& measure : piece.measures) {
      first_index_.push_back(index);
      index += measure.columns.size();
    }
  }

  std::vector<System> make() {
    part_measures();
    std::vector<LineItem> items;
    for (const Part& part : parts_) items.push_back(item_of(part));
    set_phrases(items);
    const std::vector<std::size_t> ends = break_lines(items, right_ - left_);
    std::vector<System> lines;
    double stretch = 1;
    for (const std::size_t end : ends) {
      const std::size_t first = lines.empty() ? 0 : ends[lines.size() - 1];
      lines.push_back(line_of(first, end, end == ends.back(), stretch));
    }
    if (!lines.empty()) {
      lines.front().first = true;
      lines.back().last = true;
    }
    return lines;
  }

 private:
  // Clef and key, which stand at the beginning of each line.
  double prefix(std::size_t measure) const {
    if (!piece_.options.notation) return 0;
    const double key = notation_.key_width(piece_.score.measures[measure].key);
    return signs_lead() + clef_width(sizes_) + (key > 0 ? key + sizes_.pad : 0);
  }
  double signs_lead() const { return sizes_.bar_pad * 0.7; }
  // What a measure's key signature takes, which goes into the prefix where it opens a line.
  double own_key(std::size_t measure) const {
    const MeasureColumns& columns = piece_.measures[measure];
    if (!piece_.options.notation || !columns.shows_key) return 0;
    return notation_.key_width(columns.measure->key) + sizes_.bar_pad;
  }

  double lead_of(const Part& part) const {
    const MeasureColumns& measure = piece_.measures[part.measure];
    return part.first == 0 ? measure.lead : 0;
  }
  // From where a line begins to the middle of its first column.
  double opening_lead(const Part& part) const {
    const MeasureColumns& measure = piece_.measures[part.measure];
    const double lead =
        part.first == 0 ? measure.lead - own_key(part.measure) : measure.columns[part.first].line_lead;
    return prefix(part.measure) + lead;
  }

  std::vector<Spring> springs_of(const Part& part) const {
    std::vector<Spring> springs;
    const auto& columns = piece_.measures[part.measure].columns;
    for (std::size_t i = part.first; i < part.end; ++i) springs.push_back(columns[i].after);
    return springs;
  }

  LineItem item_of(const Part& part) const {
    const std::vector<Spring> springs = springs_of(part);
    LineItem item;
    item.least = lead_of(part) + width_at(springs, least_stretch);
    item.natural = lead_of(part) + width_at(springs, 1);
    item.opening = opening_lead(part) - lead_of(part);
    item.ends_measure = part.end == piece_.measures[part.measure].columns.size();
    return item;
  }

  // Measures too wide for any line are parted, between beats where that is narrow enough.
  void part_measures() {
    const double width = right_ - left_;
    for (std::size_t measure = 0; measure < piece_.measures.size(); ++measure) {
      const auto& columns = piece_.measures[measure].columns;
      Part part{measure, 0, columns.size()};
      if (opening_lead_safe(part) + width_at(springs_of(part), least_stretch) <= width) {
        parts_.push_back(part);
        continue;
      }
      // In as few parts as it takes, and these as even as they get.
      std::vector<Part> parts = parted(measure, width);
      double least = 0;
      double most = width;
      while (most - least > 1) {
        const double middle = (least + most) / 2;
        std::vector<Part> even = parted(measure, middle);
        if (even.size() > parts.size()) {
          least = middle;
        } else {
          most = middle;
          parts = std::move(even);
        }
      }
      parts_.insert(parts_.end(), parts.begin(), parts.end());
    }
  }
  double opening_lead_safe(const Part& part) const {
    return piece_.measures[part.measure].columns.empty() ? 0 : opening_lead(part);
  }

  // The parts of a measure that are at most so wide, or hold a single column.
  std::vector<Part> parted(std::size_t measure, double width) const {
    const auto& columns = piece_.measures[measure].columns;
    std::vector<Part> parts;
    std::size_t first = 0;
    std::size_t at_beat = 0;  // the last place where it may end well
    double wide = 0;
    for (std::size_t i = 0; i < columns.size(); ++i) {
      if (i == first) wide = opening_lead({measure, first, columns.size()});
      wide += width_at({&columns[i].after, 1}, least_stretch);
      if (i > first && wide > width) {
        const std::size_t end = at_beat > first ? at_beat : i;
        parts.push_back({measure, first, end});
        first = end;
        i = end - 1;
        continue;
      }
      if (i + 1 < columns.size() && !columns[i + 1].parts_beat) at_beat = i + 1;
    }
    if (first < columns.size()) parts.push_back({measure, first, columns.size()});
    return parts;
  }

  // Tunes are counted in fours: lines end with those, with double bars and repeats, if they can.
  void set_phrases(std::vector<LineItem>& items) const {
    const int wanted = piece_.options.measures_a_line;
    int counted = 0;
    for (std::size_t i = 0; i < items.size(); ++i) {
      const Measure& measure = piece_.score.measures[parts_[i].measure];
      if (items[i].ends_measure && !measure.implicit) ++counted;
      items[i].ends_phrase =
          counted % 4 == 0 || measure.repeat_times > 0 || measure.right_bar == BarStyle::light_light;
      items[i].must_break = wanted > 0 && items[i].ends_measure && !measure.implicit && counted % wanted == 0;
    }
  }

  System line_of(std::size_t first, std::size_t end, bool last, double& stretch) const {
    System line{piece_};
    line.first = false;
    line.last = false;
    line.staff_left = left_;
    line.signs_left = left_ + signs_lead();
    std::vector<Spring> springs;
    double rigid = 0;
    for (std::size_t i = first; i < end; ++i) {
      const std::vector<Spring> own = springs_of(parts_[i]);
      springs.insert(springs.end(), own.begin(), own.end());
      rigid += i == first ? opening_lead_safe(parts_[i]) : lead_of(parts_[i]);
    }
    const double width = right_ - left_ - rigid;
    const double full = stretch_to(springs, width);
    // A last line that would have to be pulled is left as wide as the one before.
    const bool short_line = last && full > std::max(stretch, 1.0) * most_pulled;
    if (!short_line) stretch = full;
    place(first, end, stretch, line);
    line.staff_right = line.measures.empty() ? right_ : line.measures.back().right;
    return line;
  }

  void place(std::size_t first, std::size_t end, double stretch, System& line) const {
    double x = left_;
    for (std::size_t i = first; i < end; ++i) {
      const Part& part = parts_[i];
      const MeasureColumns& measure = piece_.measures[part.measure];
      PlacedMeasure placed;
      placed.measure = part.measure;
      placed.begins = part.first == 0;
      placed.ends = part.end == measure.columns.size();
      const bool opens = i == first;
      placed.left = x + (opens ? prefix(part.measure) : 0);
      const double repeat = measure.measure->repeat_starts && placed.begins ? repeat_width(sizes_) : 0;
      placed.key_x = placed.left + repeat + sizes_.bar_pad;
      placed.meter_x = placed.key_x + (opens ? 0 : own_key(part.measure));
      x += opens ? opening_lead_safe(part) : lead_of(part);
      placed.first_column = line.columns.size();
      for (std::size_t at = part.first; at < part.end; ++at) {
        const Column& column = measure.columns[at];
        const engraving::Piece* piece = column.piece ? &measure.engraving.pieces[*column.piece] : nullptr;
        line.columns.push_back({x, &column, piece, first_index_[part.measure] + at, part.measure});
        x += std::max(column.after.least, stretch * column.after.natural);
      }
      placed.end_column = line.columns.size();
      placed.right = x;
      line.measures.push_back(placed);
    }
  }

  static constexpr double least_stretch = 0.7;
  static constexpr double most_pulled = 1.25;

  const Piece& piece_;
  const Sizes& sizes_;
  Notation notation_;
  double left_ = 0;  // where the strings begin
  double right_;
  std::vector<std::size_t> first_index_;  // of the columns of each measure, counted over the piece
  std::vector<Part> parts_;
};

}  // namespace

std::vector<System> lines_of(const Piece& piece, double width, TextFace& face) {
  return LineMaker(piece, width, face).make();
}

}  // namespace fifthpeg::sheet
