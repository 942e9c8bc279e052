// Sheets are drawn by a program of their own, which has Pango and Cairo.
#include "cli/become.hpp"
#include "cli/commands.hpp"

namespace fifthpeg::cli {

Status run(const SheetRequest& request) {
  become("fifthpeg-sheet", "draws sheets", request.words);
}

}  // namespace fifthpeg::cli
