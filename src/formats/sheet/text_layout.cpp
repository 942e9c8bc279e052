#include "formats/sheet/text_layout.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "base/text.hpp"
#include "base/utf8.hpp"

namespace fifthpeg::sheet {

namespace {

struct FontOptionsDestroy {
  void operator()(cairo_font_options_t* options) const { cairo_font_options_destroy(options); }
};

struct FontDescriptionFree {
  void operator()(PangoFontDescription* description) const { pango_font_description_free(description); }
};

// To look for the machine's fonts takes longer than to lay out a page. One for each thread, as Pango wants
// it.
PangoFontMap* font_map() {
  thread_local const std::unique_ptr<PangoFontMap, ObjectUnref> map(
      pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT));
  return map.get();
}

}  // namespace

std::string plain_line(std::string_view text) {
  std::string line = base::one_line(text);
  // U+FFFE and U+FFFF, which are no characters: XML 1.0, production 2.
  for (const char* none : {"\xEF\xBF\xBE", "\xEF\xBF\xBF"}) {
    for (std::size_t at = 0; (at = line.find(none, at)) != std::string::npos;) {
      line.replace(at, 3, base::replacement_character);
    }
  }
  return line;
}

TextLayout::TextLayout()
    : context_(pango_font_map_create_context(font_map())), layout_(pango_layout_new(context_.get())) {
  // As large on every surface, and whatever this machine is set to.
  const std::unique_ptr<cairo_font_options_t, FontOptionsDestroy> options(cairo_font_options_create());
  cairo_font_options_set_antialias(options.get(), CAIRO_ANTIALIAS_GRAY);
  cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options(context_.get(), options.get());
  pango_context_set_round_glyph_positions(context_.get(), FALSE);
  pango_context_set_language(context_.get(), pango_language_from_string("en"));
  pango_layout_set_single_paragraph_mode(layout_.get(), TRUE);
  pango_layout_set_wrap(layout_.get(), PANGO_WRAP_WORD_CHAR);
}

PangoLayout* TextLayout::lay_out(const std::string& line, TextStyle style, double width) {
  const std::unique_ptr<PangoFontDescription, FontDescriptionFree> font(pango_font_description_new());
  pango_font_description_set_family_static(font.get(), "Noto Sans");
  pango_font_description_set_absolute_size(font.get(), style.size * units_per_mm);
  pango_font_description_set_weight(font.get(), style.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_style(font.get(), style.italic ? PANGO_STYLE_ITALIC : PANGO_STYLE_NORMAL);
  pango_layout_set_font_description(layout_.get(), font.get());
  pango_layout_set_width(layout_.get(), width > 0 ? static_cast<int>(std::floor(width * units_per_mm)) : -1);
  pango_layout_set_text(layout_.get(), line.data(), static_cast<int>(line.size()));
  return layout_.get();
}

bool TextLayout::goes_leftwards(const std::string& line, TextStyle style) {
  // No script before Hebrew, U+0590 on, is: to lay out every text would take most of the time.
  if (std::ranges::all_of(line, [](char byte) { return static_cast<unsigned char>(byte) < 0xD6; })) {
    return false;
  }
  return pango_layout_get_line_readonly(lay_out(line, style), 0)->resolved_dir == PANGO_DIRECTION_RTL;
}

}  // namespace fifthpeg::sheet
