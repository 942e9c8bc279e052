#include "formats/sheet/layout/pages.hpp"

#include <algorithm>
#include <limits>

namespace fifthpeg::sheet {
namespace {

constexpr double foot_lines = 2.2;  // what is kept free for the foot, in lines of it
constexpr double foot_step = 1.2;

// A block with all that has to stay with it.
struct Group {
  std::size_t first = 0;
  std::size_t end = 0;
  double height = 0;  // with the white between
  double white_before = 0;
  std::size_t lines = 0;
};

// What is too high for a page has to part where it should not.
std::vector<Group> groups_of(const std::vector<Block>& blocks, double page_height) {
  std::vector<Group> groups;
  bool open = false;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const Block& block = blocks[i];
    const double more = block.white_before + block.height();
    if (open && groups.back().height + more > page_height) open = false;
    if (!open) groups.push_back({i, i, 0, block.white_before, 0});
    Group& group = groups.back();
    group.height += open ? more : block.height();
    group.end = i + 1;
    group.lines += block.is_line ? 1 : 0;
    open = block.keep_with_next;
  }
  return groups;
}

double cost_of_page(double filled, double height, std::size_t lines, bool last_page, bool first_page) {
  const double empty = std::max(0.0, 1 - filled / height);
  double cost = 1;  // a page
  if (!last_page) cost += empty * empty * 4;
  const bool orphan = lines == 1 && last_page && !first_page;
  if (orphan) cost += 0.6;
  return cost;
}

// The index behind the last group of each page.
std::vector<std::size_t> break_pages(const std::vector<Group>& groups, double height) {
  constexpr double never = std::numeric_limits<double>::infinity();
  std::vector<double> best(groups.size() + 1, never);
  std::vector<std::size_t> from(groups.size() + 1, 0);
  best[0] = 0;
  for (std::size_t first = 0; first < groups.size(); ++first) {
    double filled = 0;
    std::size_t lines = 0;
    for (std::size_t i = first; i < groups.size(); ++i) {
      filled += groups[i].height + (i > first ? groups[i].white_before : 0);
      lines += groups[i].lines;
      if (filled > height && i > first) break;
      const double cost =
          best[first] + cost_of_page(filled, height, lines, i + 1 == groups.size(), first == 0);
      if (cost < best[i + 1]) {
        best[i + 1] = cost;
        from[i + 1] = first;
      }
    }
  }
  std::vector<std::size_t> ends;
  for (std::size_t at = groups.size(); at > 0; at = from[at]) ends.push_back(at);
  std::reverse(ends.begin(), ends.end());
  return ends;
}

// Lines of music move away from each other, and stay with their heading.
bool moves_apart(const std::vector<Block>& blocks, std::size_t i) {
  return blocks[i].is_line && blocks[i - 1].is_line;
}

// How much lines of a page move apart: a page that is nearly full is filled.
double moved_apart(const std::vector<Block>& blocks, std::size_t first, std::size_t end, double height,
                   const Sizes& sizes) {
  double filled = 0;
  std::size_t gaps = 0;
  for (std::size_t i = first; i < end; ++i) {
    filled += blocks[i].height() + (i > first ? blocks[i].white_before : 0);
    if (i > first && moves_apart(blocks, i)) ++gaps;
  }
  constexpr double nearly_full = 0.75;
  if (gaps == 0 || filled < nearly_full * height) return 0;
  return std::clamp((height - filled) / static_cast<double>(gaps), 0.0, 3 * sizes.string_gap);
}

std::vector<MeasureAt> moved(std::vector<MeasureAt> measures, double right, double down) {
  for (MeasureAt& one : measures) {
    one.box = {one.box.left + right, one.box.top + down, one.box.right + right, one.box.bottom + down};
  }
  return measures;
}

}  // namespace

double PageSize::text_height(const Sizes& sizes) const {
  return height - 2 * margin - foot_lines * sizes.page_number.size;
}

PageSize page_size(const SheetOptions& options) {
  PageSize size;
  if (options.paper == Paper::letter) {  // 8 1/2 by 11 in
    size.width = 215.9;
    size.height = 279.4;
  }
  if (options.landscape) std::swap(size.width, size.height);
  return size;
}

Page page_of(const Block& block, double width, double margin, TextFace& face) {
  Page page;
  page.width = width;
  page.height = block.white_before + block.height();
  const double down = block.white_before - block.top;
  Pen(face, page.marks).take(block.marks, margin, down);
  page.measures = moved(block.measures, margin, down);
  return page;
}

std::vector<Page> pages_of(const std::vector<Block>& blocks, const PageSize& size, const Sizes& sizes,
                           const std::vector<std::string>& foot, TextFace& face) {
  // The foot of the first page may have several lines; all pages leave room for them.
  const double more =
      foot.size() > 1 ? static_cast<double>(foot.size() - 1) * foot_step * sizes.page_number.size : 0;
  const double height = size.text_height(sizes) - more;
  const std::vector<Group> groups = groups_of(blocks, height);
  std::vector<Page> pages;
  std::size_t first_group = 0;
  const std::vector<std::size_t> ends = break_pages(groups, height);
  for (const std::size_t end_group : ends) {
    const std::size_t first = groups[first_group].first;
    const std::size_t end = groups[end_group - 1].end;
    Page& page = pages.emplace_back();
    page.width = size.width;
    page.height = size.height;
    Pen pen(face, page.marks);
    const double apart = moved_apart(blocks, first, end, height, sizes);
    double y = size.margin;
    for (std::size_t i = first; i < end; ++i) {
      const Block& block = blocks[i];
      if (i > first) y += block.white_before + (moves_apart(blocks, i) ? apart : 0);
      pen.take(block.marks, size.margin, y - block.top);
      y += block.height();
    }
    const double base = size.height - size.margin;
    double line = base - more;
    if (pages.size() == 1) {
      for (const std::string& text : foot) {
        pen.text(Kind::rights, text, sizes.page_number, {size.margin, line});
        line += sizes.page_number.size * foot_step;
      }
    }
    if (ends.size() > 1) {
      const std::string number = std::to_string(pages.size()) + " / " + std::to_string(ends.size());
      pen.text_ending(Kind::page_number, number, sizes.page_number, {size.width - size.margin, base});
    }
    first_group = end_group;
  }
  return pages;
}

}  // namespace fifthpeg::sheet
