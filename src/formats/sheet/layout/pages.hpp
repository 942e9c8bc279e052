// Blocks, such as headings and lines of music, put on pages.
#pragma once

#include <string>
#include <vector>

#include "fifthpeg/sheet.hpp"
#include "formats/sheet/drawing.hpp"
#include "formats/sheet/layout/pen.hpp"
#include "formats/sheet/layout/sizes.hpp"

namespace fifthpeg::sheet {

// Something as wide as the page's text that is not broken over pages.
struct Block {
  std::vector<Mark> marks;  // from the left margin, and a height of its own
  double top = 0;           // of what it covers
  double bottom = 0;
  double white_before = 0;            // between the block over it and its top, unless it begins a page
  bool keep_with_next = false;        // no page may end behind it
  bool is_line = false;               // of music: may be moved apart to fill a page
  std::vector<MeasureAt> measures{};  // of a line

  double height() const { return bottom - top; }
};

struct PageSize {
  double width = 210;
  double height = 297;
  double margin = 14;  // on all sides

  double text_width() const { return width - 2 * margin; }
  double text_height(const Sizes& sizes) const;  // without what stands at the foot
};
PageSize page_size(const SheetOptions& options);

// A block as a page of its own, as wide as asked and as high as the block with the white before it.
Page page_of(const Block& block, double width, double margin, TextFace& face);

// Puts the blocks on pages with the page's number at the foot, if there are several, and `foot` at that of
// the first. Breaks over all pages at once, as lines are broken: none is left nearly empty for want of one
// line from the page before.
std::vector<Page> pages_of(const std::vector<Block>& blocks, const PageSize& size, const Sizes& sizes,
                           const std::vector<std::string>& foot, TextFace& face);

}  // namespace fifthpeg::sheet
