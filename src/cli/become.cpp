#include "cli/become.hpp"

#include <cerrno>
#include <filesystem>
#include <system_error>
#include <unistd.h>

#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {

void become(std::string_view program, std::string_view what, std::vector<std::string> words) {
  std::error_code none;
  const std::filesystem::path here = std::filesystem::read_symlink("/proc/self/exe", none).parent_path();
  std::vector<char*> pointers;
  pointers.reserve(words.size() + 1);
  for (std::string& word : words) pointers.push_back(word.data());
  pointers.push_back(nullptr);
  // Beside this one where it was built, and where it is installed.
  for (const std::filesystem::path& folder : {here, here.parent_path() / "libexec" / "fifthpeg"}) {
    ::execv((folder / program).c_str(), pointers.data());
    if (errno != ENOENT && errno != ENOTDIR) break;
  }
  throw UsageError("the program that " + std::string(what) + ", " + std::string(program) +
                   ", cannot be started (" + std::system_category().message(errno) +
                   "); install all of fifthpeg");
}

}  // namespace fifthpeg::cli
