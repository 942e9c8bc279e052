#include "formats/sheet/text_face.hpp"

#include <cstddef>
#include <functional>
#include <map>
#include <unordered_map>

#include "base/text.hpp"
#include "formats/sheet/text_layout.hpp"

namespace fifthpeg::sheet {

namespace {

TextSize size_of_layout(PangoLayout* layout) {
  PangoRectangle ink{};
  PangoRectangle logical{};
  pango_layout_get_extents(layout, &ink, &logical);
  const int baseline = pango_layout_get_baseline(layout);
  const auto mm = [](int units) { return units / TextLayout::units_per_mm; };
  TextSize size;
  size.width = mm(logical.width);
  size.complete = pango_layout_get_unknown_glyphs_count(layout) == 0;
  if (ink.width > 0 && ink.height > 0) {
    size.left = mm(ink.x);
    size.right = mm(ink.x + ink.width);
    size.ascent = mm(baseline - ink.y);
    size.descent = mm(ink.y + ink.height - baseline);
  }
  return size;
}

}  // namespace

struct TextFace::Pango {
  struct Hash {
    using is_transparent = void;
    std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>()(text); }
  };

  TextLayout layout;
  // Of each style; what they hold stays where it is.
  std::map<TextStyle, std::unordered_map<std::string, TextSize, Hash, std::equal_to<>>> sizes;
};

TextFace::TextFace() : pango_(std::make_unique<Pango>()) {}
TextFace::~TextFace() = default;

const TextSize& TextFace::size_of(std::string_view text, TextStyle style) {
  auto& sizes = pango_->sizes[style];
  const auto known = sizes.find(text);
  if (known != sizes.end()) return known->second;
  const TextSize size = size_of_layout(pango_->layout.lay_out(plain_line(text), style));
  lacks_characters_ = lacks_characters_ || !size.complete;
  return sizes.emplace(text, size).first->second;
}

std::vector<std::string> TextFace::wrapped(std::string_view text, TextStyle style, double width) {
  const std::string line = plain_line(base::trimmed(text));
  PangoLayout* const layout = pango_->layout.lay_out(line, style, width);
  std::vector<std::string> lines;
  for (const GSList* each = pango_layout_get_lines_readonly(layout); each != nullptr; each = each->next) {
    const auto* const broken = static_cast<const PangoLayoutLine*>(each->data);
    lines.emplace_back(base::trimmed(std::string_view(line).substr(
        static_cast<std::size_t>(broken->start_index), static_cast<std::size_t>(broken->length))));
  }
  return lines;
}

}  // namespace fifthpeg::sheet
