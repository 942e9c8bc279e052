#include "formats/sheet/machine_fonts.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <fontconfig/fontconfig.h>
#include <memory>

namespace fifthpeg::sheet {

namespace {

struct FontConfigDestroy {
  void operator()(FcConfig* config) const { FcConfigDestroy(config); }
};

// Folders and caches as in the fonts.conf that fontconfig comes with.
constexpr const char* usual_folders = R"(<?xml version="1.0"?>
<fontconfig>
  <dir>/usr/share/fonts</dir>
  <dir>/usr/local/share/fonts</dir>
  <dir prefix="xdg">fonts</dir>
  <dir>~/.fonts</dir>
  <cachedir>/var/cache/fontconfig</cachedir>
  <cachedir prefix="xdg">fontconfig</cachedir>
  <cachedir>~/.fontconfig</cachedir>
</fontconfig>
)";

}  // namespace

void look_for_fonts_without_rules() {
  constexpr std::array variables{"FONTCONFIG_FILE", "FONTCONFIG_PATH", "FONTCONFIG_SYSROOT"};
  const auto is_set = [](const char* variable) { return std::getenv(variable) != nullptr; };
  if (std::ranges::any_of(variables, is_set)) return;
  const std::unique_ptr<FcConfig, FontConfigDestroy> config(FcConfigCreate());
  const auto* const text = reinterpret_cast<const FcChar8*>(usual_folders);
  if (FcConfigParseAndLoadFromMemory(config.get(), text, FcTrue) == FcFalse) return;
  if (FcConfigBuildFonts(config.get()) == FcFalse) return;
  const FcFontSet* const fonts = FcConfigGetFonts(config.get(), FcSetSystem);
  if (fonts != nullptr && fonts->nfont > 0) FcConfigSetCurrent(config.get());
}

}  // namespace fifthpeg::sheet
