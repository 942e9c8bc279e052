// What the command line asks for, after it has been read and checked: plain values, one struct a command.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "cli/fixed_points.hpp"
#include "cli/labels.hpp"
#include "fifthpeg/arrange.hpp"
#include "fifthpeg/banjo.hpp"
#include "fifthpeg/check.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/licks.hpp"
#include "fifthpeg/practice.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/sheet.hpp"
#include "fifthpeg/write.hpp"

namespace fifthpeg::cli {

// The name that stands for standard input and standard output.
inline constexpr char standard_stream[] = "-";

// From an input to music on the banjo: what all commands share.
struct InputOptions {
  ReadOptions read;
  SetUp banjo;  // what --tuning, --capo, --fifth-capo and --frets say
  bool keep_pitches = false;
  bool infer_chords = false;
  std::optional<ChordChart> chart;  // in place of the file's chord symbols
  std::optional<Key> key;           // to move the music to
  std::optional<Key> source_key;    // in which it stands, where the estimate is wrong
  std::vector<std::string>
      also_read;  // the other files that were named, for --positions, --chords and --licks
  bool fold_repeats = false;
  std::vector<Role> only;  // which notes are kept; empty: all
};

enum class OutputFormat : std::int8_t { musicxml, mxl, midi, text };

// From music on the banjo to a file: what the commands that write scores share.
struct WritingOptions {
  OutputFormat format = OutputFormat::musicxml;
  MusicXmlOptions musicxml;
  MidiOptions midi;
  TextTabOptions text;
  Labels labels;
  bool force = false;
  bool strict = false;
};

struct ConvertOptions {
  std::vector<std::string> inputs;
  std::string output;     // a path or "-"; empty where `directory` is set
  std::string directory;  // empty where `output` is set
  InputOptions in;
  HandsOptions hands;
  std::optional<ArrangeOptions> arrange;  // 'arrange' rather than 'convert'
  Report licks_report;                    // of the files that --licks named
  WritingOptions writing;
  bool skip_existing = false;
  bool json = false;
  bool quiet = false;
  int jobs = 1;
};

// How wide text tab can be, in columns.
inline constexpr int narrowest_tab = 40;
inline constexpr int widest_tab = 10'000;

struct ShowOptions {
  std::string input;
  InputOptions in;
  HandsOptions hands;
  std::optional<int> width;  // not set: what COLUMNS says, or the terminal's
  bool fingers = false;
  bool shapes = false;
  bool roles = false;
  bool explain = false;
  bool quiet = false;
};

struct DescribeOptions {
  std::vector<std::string> inputs;
  InputOptions in;
  bool json = false;
  bool quiet = false;
};

struct AdviseRequest {
  std::vector<std::string> inputs;
  InputOptions in;
  AdviseOptions advise;
  bool json = false;
  bool quiet = false;
};

enum class CheckForm : std::int8_t { text, json, sarif };

struct CheckRequest {
  std::vector<std::string> inputs;
  CheckOptions check;
  CheckForm form = CheckForm::text;
  std::string fix;  // where the fixed file goes; empty: nothing is fixed
  bool force = false;
  bool list_rules = false;
  bool strict = false;
  bool all = false;  // print each finding of a rule, however many there are
  int jobs = 1;
};

enum class SheetFormat : std::int8_t { pdf, svg, png, html };

struct SheetRequest {
  std::vector<std::string> words;  // of the command line, the program's name first
  std::vector<std::string> inputs;
  std::string output;  // a path or "-"
  SheetFormat format = SheetFormat::pdf;
  InputOptions in;
  HandsOptions hands;
  SheetOptions sheet;
  Labels labels;      // of several inputs, the title is that of the handout
  TunePoint in_tune;  // each input is a lick, and is shown there, too; without a tune, it is not
  int dots_per_inch = 200;
  bool force = false;
  bool quiet = false;
};

enum class PracticeFormat : std::int8_t { midi, wav, flac };

struct PracticeRequest {
  std::vector<std::string> words;  // of the command line, the program's name first
  std::string input;
  std::string output;  // a path or "-"
  PracticeFormat format = PracticeFormat::wav;
  InputOptions in;
  HandsOptions hands;
  PracticeOptions practice;
  Labels labels;
  bool force = false;
  bool quiet = false;
};

enum class FindForm : std::int8_t { text, json, files, nul };

struct FindRequest {
  std::vector<std::string> inputs;  // folders and files
  InputOptions in;
  LickQuery query;
  std::optional<Tuning> tuning;  // that it is for
  std::string like;              // a lick; empty: none is named
  FindForm form = FindForm::text;
  bool quiet = false;
  int jobs = 1;
};

struct FitRequest {
  std::string tune;
  std::vector<std::string> licks;  // files and folders that --licks or --lick named
  bool one_lick = false;           // --lick
  std::optional<MusicPoint> at;
  int versions = 1;      // what --try asks for
  std::size_t most = 3;  // places of each lick that are listed
  FitOptions fit;
  InputOptions in;
  HandsOptions hands;
  std::string output;  // a path or "-"; empty: places are listed
  WritingOptions writing;
  bool tries = false;  // --try was given
  bool json = false;
  bool quiet = false;
};

// A text that was asked for: --help, --version.
struct Answer {
  std::string text;
};

using Request = std::variant<Answer, ConvertOptions, ShowOptions, DescribeOptions, AdviseRequest,
                             CheckRequest, SheetRequest, PracticeRequest, FindRequest, FitRequest>;

}  // namespace fifthpeg::cli
