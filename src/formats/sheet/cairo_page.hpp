// A page drawn by Cairo, and what every surface of Cairo needs.
#pragma once

#include <cairo.h>
#include <exception>
#include <memory>

#include "fifthpeg/write.hpp"
#include "formats/sheet/drawing.hpp"

namespace fifthpeg::sheet {

struct CairoDestroy {
  void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};
using Cairo = std::unique_ptr<cairo_t, CairoDestroy>;
using CairoSurface = std::unique_ptr<cairo_surface_t, CairoDestroy>;

// Throws WriteError, or std::bad_alloc, where Cairo has failed.
void must_succeed(cairo_status_t status);

// Takes what Cairo writes to a sink. What the sink throws must not go through Cairo, which is C: it is kept.
class CairoStream {
 public:
  explicit CairoStream(Sink& sink) : sink_(&sink) {}

  // A cairo_write_func_t; the closure is a CairoStream.
  static cairo_status_t write(void* closure, const unsigned char* data, unsigned int length);

  // Throws what the sink threw.
  void rethrow() const {
    if (thrown_) std::rethrow_exception(thrown_);
  }

 private:
  Sink* sink_;
  std::exception_ptr thrown_;
};

// In black, one unit a millimeter. What fails is in the status of the cairo_t.
void draw_page(cairo_t* cairo, const Page& page);

}  // namespace fifthpeg::sheet
