// Sheet: scores to pages.
#include "fifthpeg/sheet.hpp"

#include "formats/sheet/drawing.hpp"
#include "formats/sheet/layout/lay_out.hpp"
#include "formats/sheet/writers.hpp"

namespace fifthpeg {

struct Sheet::Laid {
  sheet::Drawing drawing;
  Report report;
};

Sheet::Sheet(const std::vector<Score>& pieces, const SheetOptions& options)
    : laid_(std::make_unique<Laid>()) {
  laid_->drawing = sheet::lay_out(pieces, options, laid_->report);
}

Sheet::~Sheet() = default;
Sheet::Sheet(Sheet&&) noexcept = default;
Sheet& Sheet::operator=(Sheet&&) noexcept = default;

std::size_t Sheet::pages() const {
  return laid_->drawing.pages.size();
}
const Report& Sheet::report() const {
  return laid_->report;
}

void Sheet::write_pdf(Sink& sink) const {
  sheet::write_pdf(laid_->drawing, sink);
}
void Sheet::write_svg(std::size_t page, Sink& sink) const {
  sheet::write_svg(laid_->drawing.pages.at(page), laid_->drawing, sink);
}
void Sheet::write_png(std::size_t page, double dots_per_inch, Sink& sink) const {
  constexpr double mm_per_inch = 25.4;
  sheet::write_png(laid_->drawing.pages.at(page), dots_per_inch / mm_per_inch, sink);
}

}  // namespace fifthpeg
