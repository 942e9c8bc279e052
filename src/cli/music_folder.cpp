#include "cli/music_folder.hpp"

#include <algorithm>
#include <filesystem>
#include <string_view>
#include <system_error>

#include "base/text.hpp"
#include "cli/input.hpp"
#include "cli/option_values.hpp"
#include "cli/options.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg::cli {
namespace {

namespace fs = std::filesystem;

std::string why_no_folder(const std::error_code& error) {
  if (error == std::errc::no_such_file_or_directory) return "there is no such folder; check the name";
  if (error == std::errc::not_a_directory) return "is a file; name the folder that it is in";
  return "cannot be read: " + error.message();
}

// Whether XML, in whatever encoding, has the name of one of the roots of MusicXML near its beginning.
bool names_a_score(std::string_view bytes) {
  constexpr std::size_t enough = std::size_t{1} << 16;
  std::string text(bytes.substr(0, enough));
  std::erase(text, '\0');
  return text.find("score-partwise") != text.npos || text.find("score-timewise") != text.npos;
}

class FolderWalk {
 public:
  MusicFolder run(const std::string& folder) {
    if (const std::error_code error = look_into(folder)) throw ReadError(why_no_folder(error));
    while (!folders_.empty()) {
      const fs::path next = std::move(folders_.back());
      folders_.pop_back();
      if (look_into(next)) found_.files.push_back(next.string());
    }
    std::sort(found_.files.begin(), found_.files.end());
    return std::move(found_);
  }

 private:
  std::error_code look_into(const fs::path& folder) {
    std::error_code error;
    const fs::directory_iterator end;
    for (fs::directory_iterator at(folder, error); !error && at != end; at.increment(error)) take(*at);
    return error;
  }

  void take(const fs::directory_entry& entry) {
    const fs::path& path = entry.path();
    if (path.filename().string().starts_with('.')) return;
    if (format_by_extension(path.string())) {
      found_.files.push_back(path.string());
      return;
    }
    std::error_code unknown;  // what cannot be told is a file of another kind
    if (!entry.is_directory(unknown)) {
      ++found_.others;
    } else if (entry.is_symlink(unknown)) {
      ++found_.linked_folders;
    } else {
      folders_.push_back(path);
    }
  }

  MusicFolder found_;
  std::vector<fs::path> folders_;  // still to be looked into
};

}  // namespace

MusicFolder music_folder(const std::string& folder) {
  return FolderWalk().run(folder);
}

bool may_be_music(const std::string& path) {
  const bool is_text = base::ends_with_ignoring_case(path, ".txt");
  if (!is_text && !base::ends_with_ignoring_case(path, ".xml")) return true;
  constexpr std::size_t most_bytes = std::size_t{1} << 22;
  try {
    const std::string bytes = read_input(path, most_bytes);
    return sniff(bytes) != Format::musicxml || names_a_score(bytes);
  } catch (const ReadError& error) {
    // An empty text may be what the answer is being written to.
    return error.code() != "not-music" && !(is_text && error.code() == "input-empty");
  }
}

bool is_folder(const std::string& path) {
  std::error_code unknown;
  return path != standard_stream && fs::is_directory(path, unknown);
}

std::vector<std::string> with_folders_opened(const std::vector<std::string>& inputs) {
  std::vector<std::string> files;
  for (const std::string& input : inputs) {
    MusicFolder folder;
    try {
      if (is_folder(input)) folder = music_folder(input);
    } catch (const ReadError&) {
      // It says so when it is read.
    }
    std::erase_if(folder.files, [](const std::string& file) { return !may_be_music(file); });
    if (folder.files.empty()) {
      files.push_back(input);
    } else {
      files.insert(files.end(), folder.files.begin(), folder.files.end());
    }
  }
  return files;
}

}  // namespace fifthpeg::cli
