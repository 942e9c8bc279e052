#include <cairo-pdf.h>

#include "formats/sheet/cairo_page.hpp"
#include "formats/sheet/text_layout.hpp"
#include "formats/sheet/writers.hpp"

namespace fifthpeg::sheet {

namespace {

constexpr double points_per_mm = 72 / 25.4;  // ISO 32000-1, 8.3.2.3: a unit is 1/72 inch

// Draws nothing, all over the page. Cairo keeps the region that has been drawn on: of a thousand marks it is
// the most of the work to join them, while all of them are in one rectangle.
void cover(cairo_t* cairo, const Page& page) {
  cairo_set_fill_rule(cairo, CAIRO_FILL_RULE_EVEN_ODD);
  for (int twice = 0; twice < 2; ++twice) cairo_rectangle(cairo, 0, 0, page.width, page.height);
  cairo_fill(cairo);
  cairo_set_fill_rule(cairo, CAIRO_FILL_RULE_WINDING);
}

}  // namespace

void write_pdf(const Drawing& drawing, Sink& sink) {
  CairoStream stream(sink);
  const CairoSurface surface(cairo_pdf_surface_create_for_stream(CairoStream::write, &stream, 0, 0));
  must_succeed(cairo_surface_status(surface.get()));
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, plain_line(drawing.title).c_str());
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_SUBJECT,
                                 plain_line(drawing.description).c_str());
  // Else it is now, and no two files are the same.
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, nullptr);
  for (const Page& page : drawing.pages) {
    cairo_pdf_surface_set_size(surface.get(), page.width * points_per_mm, page.height * points_per_mm);
    const Cairo cairo(cairo_create(surface.get()));
    cairo_scale(cairo.get(), points_per_mm, points_per_mm);
    cover(cairo.get(), page);
    draw_page(cairo.get(), page);
    cairo_show_page(cairo.get());
    stream.rethrow();
    must_succeed(cairo_status(cairo.get()));
  }
  cairo_surface_finish(surface.get());
  stream.rethrow();
  must_succeed(cairo_surface_status(surface.get()));
}

}  // namespace fifthpeg::sheet
