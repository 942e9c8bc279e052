#include "cli/lick_folder.hpp"

#include <algorithm>
#include <filesystem>
#include <iterator>
#include <system_error>

#include "cli/input.hpp"
#include "cli/messages.hpp"
#include "cli/option_values.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

namespace fs = std::filesystem;

bool is_named_musicxml(const fs::path& path) {
  const auto format = format_by_extension(path.string());
  return format == OutputFormat::musicxml || format == OutputFormat::mxl;
}

std::string why_unreadable(const std::error_code& error) {
  if (error == std::errc::no_such_file_or_directory) return "there is no such folder; check the name";
  if (error == std::errc::not_a_directory) return "is a file; name the folder that it is in";
  return "cannot be read: " + error.message();
}

std::vector<std::string> music_files_in(const std::string& folder) {
  std::error_code error;
  std::vector<std::string> files;
  bool has_text = false;
  const fs::directory_iterator end;
  for (fs::directory_iterator at(folder, error); !error && at != end; at.increment(error)) {
    const fs::path& path = at->path();
    const bool is_hidden = path.filename().string().starts_with('.');
    if (!is_hidden && is_named_musicxml(path)) files.push_back(path.string());
    has_text = has_text || (!is_hidden && format_by_extension(path.string()) == OutputFormat::text);
  }
  if (error) throw ReadError(why_unreadable(error));
  if (files.empty()) {
    std::string text = "there is no MusicXML in that folder (.musicxml, .xml or .mxl)";
    if (has_text) text += "; 'fifthpeg convert LICK.txt -o LICK.musicxml' makes it of text tab";
    throw ReadError(text);
  }
  std::sort(files.begin(), files.end());
  return files;
}

ReadOptions for_licks(const ReadOptions& options) {
  ReadOptions of_file;
  of_file.max_bytes = options.max_bytes;
  of_file.all_parts = true;
  return of_file;
}

std::string name_of(const std::string& file) {
  return printable(fs::path(file).filename().string());
}

}  // namespace

LickFolder lick_folder_in(std::string_view option, const std::string& path, const ReadOptions& options) {
  LickFolder folder;
  try {
    folder.files = music_files_in(path);
  } catch (const ReadError& error) {
    throw ReadError(std::string(option) + " " + printable(path) + ": " + error.what());
  }
  const ReadOptions of_file = for_licks(options);
  for (const std::string& file : folder.files) {
    const std::string name = name_of(file);
    try {
      folder.licks.push_back({name, read(read_input(file, of_file.max_bytes), of_file).score});
    } catch (const Error& error) {
      const std::string place = to_string(error.place());
      std::string text = "the lick '";
      text.append(name).append("' cannot be read: ");
      if (!place.empty()) text.append(place).append(": ");
      folder.report.add(EntryKind::decision, "lick-unreadable", text.append(error.what()));
    }
  }
  return folder;
}

LickFolder licks_in(std::string_view option, const std::vector<std::string>& paths,
                    const ReadOptions& options) {
  LickFolder all;
  const ReadOptions of_file = for_licks(options);
  for (const std::string& path : paths) {
    std::error_code error;
    if (fs::is_directory(path, error)) {
      LickFolder folder = lick_folder_in(option, path, options);
      std::move(folder.licks.begin(), folder.licks.end(), std::back_inserter(all.licks));
      std::move(folder.files.begin(), folder.files.end(), std::back_inserter(all.files));
      all.report.merge(folder.report);
      continue;
    }
    try {
      all.licks.push_back({name_of(path), read(read_input(path, of_file.max_bytes), of_file).score});
    } catch (const ReadError& failure) {
      std::string text = std::string(option) + " " + printable(path) + ": ";
      const std::string place = to_string(failure.place());
      if (!place.empty()) text += place + ": ";
      throw ReadError(text + failure.what());
    }
    all.files.push_back(path);
  }
  return all;
}

}  // namespace fifthpeg::cli
