#include "cli/lick_folder.hpp"

#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <iterator>

#include "base/text.hpp"
#include "cli/input.hpp"
#include "cli/messages.hpp"
#include "cli/music_folder.hpp"
#include "cli/option_values.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

namespace fs = std::filesystem;

bool is_named_musicxml(const std::string& path) {
  const auto format = format_by_extension(path);
  return format == OutputFormat::musicxml || format == OutputFormat::mxl;
}

std::vector<std::string> musicxml_files_in(const std::string& folder) {
  std::vector<std::string> files = music_folder(folder).files;
  const auto is_text = [](const std::string& file) {
    return format_by_extension(file) == OutputFormat::text;
  };
  const bool has_text = std::any_of(files.begin(), files.end(), is_text);
  // What has no such name is a folder that cannot be looked into, which will be said.
  std::erase_if(
      files, [](const std::string& file) { return format_by_extension(file) && !is_named_musicxml(file); });
  if (!files.empty()) return files;
  std::string text = "there is no MusicXML in that folder (.musicxml, .xml or .mxl)";
  if (has_text) text += "; 'fifthpeg convert LICK.txt -o LICK.musicxml' makes it of text tab";
  throw ReadError(text);
}

std::vector<std::string> music_files_in(const std::string& folder) {
  std::vector<std::string> files = music_folder(folder).files;
  std::erase_if(files, [](const std::string& file) { return !may_be_music(file); });
  if (files.empty()) throw ReadError("there is no music in that folder (MusicXML, MIDI or text tab)");
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

LickFolder folder_of(std::string_view option, const std::string& path, const ReadOptions& options,
                     std::vector<std::string> (*files_in)(const std::string&)) {
  LickFolder folder;
  try {
    folder.files = files_in(path);
  } catch (const ReadError& error) {
    throw ReadError(std::string(option) + " " + printable(path) + ": " + error.what());
  }
  const ReadOptions of_file = for_licks(options);
  for (const std::string& file : folder.files) {
    const std::string name = printable(fs::path(file).lexically_relative(path).string());
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

}  // namespace

LickFolder lick_folder_in(std::string_view option, const std::string& path, const ReadOptions& options) {
  LickFolder folder = folder_of(option, path, options, musicxml_files_in);
  const std::vector<std::string> music = music_folder(path).files;
  const auto others = std::count_if(music.begin(), music.end(), [](const std::string& file) {
    return format_by_extension(file) && !is_named_musicxml(file) && may_be_music(file);
  });
  if (others > 0) {
    folder.report.add(EntryKind::decision, "licks-passed-over",
                      base::counted(static_cast<std::uint64_t>(others), "file") +
                          " of MIDI or text tab in the folder of licks " + (others == 1 ? "is" : "are") +
                          " passed over; 'fifthpeg convert LICK.txt -o LICK.musicxml' makes MusicXML of one");
  }
  return folder;
}

LickFolder licks_in(std::string_view option, const std::vector<std::string>& paths,
                    const ReadOptions& options) {
  LickFolder all;
  const ReadOptions of_file = for_licks(options);
  for (const std::string& path : paths) {
    if (is_folder(path)) {
      LickFolder folder = folder_of(option, path, options, music_files_in);
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
