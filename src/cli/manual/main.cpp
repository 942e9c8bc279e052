#include <cstdio>
#include <string_view>

#include "cli/manual/manual.hpp"

// fifthpeg_manual man|bash: prints one of the papers.
int main(int argc, char** argv) {
  const std::string_view asked = argc == 2 ? argv[1] : "";
  if (asked != "man" && asked != "bash") {
    std::fputs("usage: fifthpeg_manual man|bash\n", stderr);
    return 2;
  }
  const std::string text = asked == "man" ? fifthpeg::cli::man_page() : fifthpeg::cli::bash_completion();
  return std::fputs(text.c_str(), stdout) < 0 || std::fflush(stdout) != 0 ? 1 : 0;
}
