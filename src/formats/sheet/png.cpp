#include <algorithm>
#include <cmath>

#include "fifthpeg/errors.hpp"
#include "formats/sheet/cairo_page.hpp"
#include "formats/sheet/writers.hpp"

namespace fifthpeg::sheet {

namespace {

constexpr double most_dots = 32767;  // of one side of a picture of Cairo

}  // namespace

void write_png(const Page& page, double dots_per_mm, Sink& sink) {
  const auto dots = [&](double length) { return std::ceil(length * dots_per_mm - 1e-6); };
  const double width = dots(page.width);
  const double height = dots(page.height);
  if (std::max(width, height) > most_dots) {
    throw WriteError("the picture would have more than 32767 dots on one side; take fewer dots");
  }
  const CairoSurface surface(
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, static_cast<int>(width), static_cast<int>(height)));
  must_succeed(cairo_surface_status(surface.get()));
  const Cairo cairo(cairo_create(surface.get()));
  cairo_set_source_rgb(cairo.get(), 1, 1, 1);
  cairo_paint(cairo.get());
  cairo_scale(cairo.get(), dots_per_mm, dots_per_mm);
  draw_page(cairo.get(), page);
  must_succeed(cairo_status(cairo.get()));
  CairoStream stream(sink);
  const cairo_status_t status = cairo_surface_write_to_png_stream(surface.get(), CairoStream::write, &stream);
  stream.rethrow();
  must_succeed(status);
}

}  // namespace fifthpeg::sheet
