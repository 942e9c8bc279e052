#include "cli/command_line.hpp"

#include <algorithm>
#include <array>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <thread>
#include <utility>
#include <vector>

// The only place that includes it: it is large.
#include <CLI/CLI.hpp>

#include "cli/chord_chart.hpp"
#include "cli/closest.hpp"
#include "cli/fixed_points.hpp"
#include "cli/help.hpp"
#include "cli/lick_folder.hpp"
#include "cli/messages.hpp"
#include "cli/music_folder.hpp"
#include "cli/option_values.hpp"
#include "fifthpeg/errors.hpp"
#include "version.hpp"

namespace fifthpeg::cli {
namespace {

// CLI11's list of options with our words around it.
class HelpFormatter : public CLI::Formatter {
 public:
  HelpFormatter() { column_width(27); }

  std::string make_help(const CLI::App* app, std::string, CLI::AppFormatMode mode) const override {
    std::string options = make_groups(app, mode);  // with two blank lines between one group and the next
    for (std::size_t at = options.find("\n\n\n"); at != std::string::npos; at = options.find("\n\n\n", at)) {
      options.erase(at, 1);
    }
    return app->get_parent() == nullptr ? program_help(options) : command_help(app->get_name(), options);
  }
  std::string make_option_name(const CLI::Option* option, bool is_positional) const override {
    std::string names = CLI::Formatter::make_option_name(option, is_positional);
    if (const std::size_t comma = names.find(','); comma != std::string::npos) names.insert(comma + 1, " ");
    return names;
  }
  std::string make_option_opts(const CLI::Option* option) const override {
    return option->get_type_size() == 0 ? "" : " " + option->get_type_name();
  }
};

constexpr int most_jobs = 64;
constexpr int most_staves = 32;  // of a part
constexpr int fewest_frets = 6;  // one more than the fifth string needs to begin at
constexpr int most_frets = 36;
constexpr int slowest = 10;  // beats a minute
constexpr int fastest = 500;

// What a value that needs no reading is: the text itself.
std::string plain(std::string_view, std::string_view text) {
  return std::string(text);
}

auto from_to(int lowest, int highest) {
  return [=](auto name, auto text) { return whole_number(name, text, lowest, highest); };
}

auto decimal_from_to(double lowest, double highest) {
  return [=](auto name, auto text) { return decimal(name, text, lowest, highest); };
}

class CommandLine {
 public:
  CommandLine() : app_("", "fifthpeg") {
    app_.formatter(std::make_shared<HelpFormatter>());
    app_.set_help_flag("-h,--help", "print this help");
    app_.set_version_flag("--version", "fifthpeg " + std::string(version_text), "print the version");
    app_.require_subcommand(0, 1);
    app_.fallthrough(false);
    add_convert();
    add_arrange();
    add_show();
    add_describe();
    add_advise();
    add_check();
    add_sheet();
    add_practice();
    add_find();
    add_fit();
  }

  Request parse(int argc, const char* const* argv) {
    sheet_.words.assign(argv, argv + argc);
    practice_.words = sheet_.words;
    if (argc == 2 && std::string_view(argv[1]) == "version") return Answer{version()};
    if (argc > 1 && std::string_view(argv[1]) == "help") {
      if (argc > 3) throw UsageError("help takes one command, not '" + printable(argv[3]) + "' as well");
      return help_on(argc > 2 ? argv[2] : "");
    }
    try {
      app_.parse(argc, argv);
    } catch (const CLI::CallForHelp&) {
      const auto asked = app_.get_subcommands();
      return Answer{asked.empty() ? app_.help() : asked.front()->help()};
    } catch (const CLI::CallForVersion&) {
      return Answer{version()};
    } catch (const CLI::ParseError& error) {
      throw UsageError(message_of(error) + see_help());
    }
    try {
      for (const auto& set : given_) set();
      for (const auto& [command, request] : commands_) {
        if (command->parsed()) return request();
      }
    } catch (const UsageError& error) {
      throw UsageError(error.what() + see_help());
    }
    throw UsageError("no command given; choose " + command_names("or") + see_help());
  }

  std::vector<OptionText> option_texts(const std::string& command) const {
    const CLI::App& app = command.empty() ? app_ : *app_.get_subcommand(command);
    std::vector<OptionText> texts;
    for (const CLI::Option* option : app.get_options()) {
      if (option->get_positional()) continue;
      const auto& short_names = option->get_snames();
      texts.push_back({short_names.empty() ? "" : "-" + short_names.front(),
                       "--" + option->get_lnames().front(),
                       option->get_type_size() == 0 ? "" : option->get_type_name(), option->get_description(),
                       option->get_group()});
    }
    return texts;
  }

 private:
  static std::string version() { return "fifthpeg " + std::string(version_text) + "\n"; }

  // 'fifthpeg help show' is 'fifthpeg show --help'.
  Answer help_on(const std::string& name) const {
    if (name.empty()) return {app_.help()};
    for (const auto& [command, request] : commands_) {
      if (command->get_name() == name) return {command->help()};
    }
    throw UsageError(unknown_command(name) + see_help());
  }
  // What is added from here on belongs to this command.
  void begin_command(const std::string& name, std::function<Request()> request) {
    command_ = app_.add_subcommand(name);
    command_->formatter(std::make_shared<HelpFormatter>());
    command_->set_help_flag("-h,--help", "print this help");
    command_->add_option("IN", inputs_)->type_name("");
    commands_.emplace_back(command_, std::move(request));
    group_ = "Options";
  }

  // An option with a value, which `read` makes out of its text. That is done after all of the command line
  // has been seen, so that a wrong value does not stand in the way of --help, and in the order in which
  // options are added.
  template <typename Target, typename Read>
  void value(const std::string& names, const std::string& form, Target& target, Read read,
             const std::string& description) {
    const std::size_t start = names.find("--");
    const std::string name = names.substr(start, names.find(',', start) - start);
    const CLI::callback_t take = [this, name, &target, read](const CLI::results_t& values) {
      given_.emplace_back([name, &target, read, text = values.front()] { target = read(name, text); });
      return true;
    };
    command_->add_option(names, take, description)->type_name(form)->group(group_);
  }

  // The same of an option that may be given several times: `add` is called for each.
  template <typename Add>
  void values(const std::string& name, const std::string& form, Add add, const std::string& description) {
    const CLI::callback_t take = [this, name, add](const CLI::results_t& values) {
      for (const std::string& text : values) given_.emplace_back([name, add, text] { add(name, text); });
      return true;
    };
    command_->add_option(name, take, description)
        ->type_name(form)
        ->group(group_)
        ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll)
        ->allow_extra_args(false);
  }

  void flag(const std::string& names, bool& given, const std::string& description) {
    command_->add_flag(names, given, description)->group(group_);
  }
  void flag_that_turns_off(const std::string& name, bool& what, const std::string& description) {
    command_
        ->add_flag_callback(
            name, [&what] { what = false; }, description)
        ->group(group_);
  }

  void add_max_bytes(std::size_t& max_bytes) {
    value("--max-bytes", "SIZE", max_bytes, byte_count, "largest input accepted; 64M by default");
  }

  void add_jobs(int& jobs) {
    jobs = std::clamp(static_cast<int>(std::thread::hardware_concurrency()), 1, most_jobs);
    value("--jobs", "N", jobs, from_to(1, most_jobs), "inputs at a time; by default one per processor");
  }

  void add_quiet(bool& quiet) { flag("-q,--quiet", quiet, "report errors only"); }

  void add_reading(ReadOptions& read) {
    group_ = "Reading";
    value("--part", "P", read.part, plain, "part to read: its name or number in 'describe'");
    value("--staff", "N", read.staff, from_to(1, most_staves),
          "MusicXML: only this staff of the part, such as 1");
    value("--voice", "V", read.voice, plain, "MusicXML: only this voice, as 'describe' names it");
    flag("--all-parts", read.all_parts, "also read chord symbols from the other parts");
    value("--grid", "STEP", read.grid, grid_step,
          "MIDI: shortest note value, such as 1/16, or 1/24\nfor triplets of sixteenths");
    value("--unit", "LENGTH", read.unit, grid_step,
          "text tab: what a column stands for where only its\nspacing tells times, such as 1/16");
    value("--pickup", "LENGTH", read.pickup, note_length,
          "MIDI: length of the pickup before the first full\nmeasure, such as 1/8; 0 for none");
    value("--meter", "METER", read.meter, meter,
          "MIDI, text tab: meter, such as 6/8, instead of the\nfile's");
    flag("--keep-beats", read.keep_beats,
         "MIDI: keep the beats of the file in a take that was\nplayed without a click");
    flag_that_turns_off("--keep-swing", read.straighten_swing, "MIDI: do not straighten swung eighths");
    add_max_bytes(read.max_bytes);
  }

  void add_only(std::vector<Role>& only) {
    value("--only", "ROLES", only, roles,
          "keep only the notes of these roles, separated by\ncommas: melody, fill, drone, lick, kick-off, "
          "backup;\nin music that 'arrange' made");
  }

  void add_chords(bool& infer) {
    value("--chords", "given|infer", infer, one_of<bool>,
          "infer: chord symbols from the notes, where the\nfile has none; given (default): as in the file");
  }

  // For 'arrange', which finds the chords that are not there anyway.
  void add_chord_chart(ConvertOptions& arrange) {
    group_ = "Chords (by default as the file says, or found)";
    const auto take = [&arrange](std::string_view name, std::string_view text) -> std::optional<ChordChart> {
      arrange.arrange->infer_chords = text == "infer";
      if (text == "infer") return std::nullopt;
      arrange.in.also_read.emplace_back(text);
      return chord_chart_in(name, std::string(text), arrange.in.read);
    };
    value(
        "--chords", "FILE|infer", arrange.in.chart, take,
        "the chords of FILE: a chart such as | G | C D |,\nor music with the same measures; infer: from the\n"
        "notes, whatever the file says");
  }

  void add_licks(ConvertOptions& arrange) {
    group_ = "Arrangement";
    const auto take = [&arrange](std::string_view name, std::string_view text) {
      LickFolder folder = lick_folder_in(name, std::string(text), arrange.in.read);
      auto& files = arrange.in.also_read;
      files.insert(files.end(), folder.files.begin(), folder.files.end());
      arrange.licks_report = std::move(folder.report);
      return std::move(folder.licks);
    };
    value("--licks", "DIR", arrange.arrange->licks, take,
          "licks of your own, in tab, each a MusicXML file in\nDIR or a folder in it: where the melody rests "
          "they\n"
          "come before those of the program");
  }

  void add_key(InputOptions& in) {
    group_ = "Key";
    value("--key", "KEY", in.key, key,
          "move the music to KEY by the smaller interval: A,\nBbm, 'D mixolydian'");
    value("--source-key", "KEY", in.source_key, key,
          "the key that the music is in, where that is found\nwrongly");
  }

  void add_repeats(bool& fold) {
    value("--repeats", "given|fold", fold, one_of<bool>,
          "fold: repeat signs and endings instead of measures\nthat are written out again; given (default): "
          "as in\n"
          "the file");
  }

  void add_banjo(InputOptions& in) {
    SetUp& banjo = in.banjo;
    group_ = "Banjo (by default as the file says, or open G without capo)";
    const auto fret_from = [&banjo](int lowest) {
      return [&banjo, lowest](auto name, auto text) {
        return whole_number(name, text, lowest, banjo.frets.value_or(most_frets) - 1);
      };
    };
    value("--tuning", "T", banjo.tuning, tuning, "name or pitches: open-g, double-c, gDGCD");
    value("--frets", "N", banjo.frets, from_to(fewest_frets, most_frets), "number of frets; 22 by default");
    value("--capo", "N", banjo.capo, fret_from(0),
          "fret of the capo; 0 for none. Tab of the input\nstays and sounds higher");
    value("--fifth-capo", "F", banjo.fifth_capo, fret_from(fifth_nut_fret),
          "fret where the fifth string begins; 5 is its own\nnut; by default it follows --capo");
    flag("--keep-pitches", in.keep_pitches, "with --capo: tab keeps its pitches and changes frets");
  }

  void add_fingering(HandsOptions& hands, std::vector<std::string>& also_read) {
    group_ = "Hands";
    value("--transpose", "auto|N", hands.transpose, transposition,
          "half steps to transpose by, after --key; auto\n(default) moves what has no tab to the octave "
          "that\nis easiest to play, and tab only if notes are out of\nrange");
    flag("--fold", hands.fold,
         "let up to 3 % of the notes move by an octave, where\nthe rest is then easier to play");
    flag("--thin", hands.thin, "drop inner notes of chords that no hand can play");
    value("--refinger", "missing|all|frets-only", hands.refinger, one_of<Refinger>,
          "what to find: what the file lacks (default), all,\nor all but the picking fingers");
    value("--neck", "any|low|high", hands.neck, one_of<NeckPart>, "part of the neck to fret in");
    value("--position", "A-B", hands.position, fret_range, "fret only from fret A to fret B");
    flag("--closed", hands.closed,
         "fret chords, damped notes and slides rather than\nplay them on open strings");
    values(
        "--at", "POINT",
        [&hands](std::string_view name, std::string_view text) {
          hands.fixed_points.push_back(fixed_point(name, text));
        },
        "fix one note: '3:2 string 4' is measure 3, beat 2;\nstring, fret, finger and pick can be fixed; may "
        "be\n"
        "given again");
    value(
        "--positions", "FILE", hands.fixed_points,
        [&hands, &also_read](std::string_view name, std::string_view path) {
          also_read.emplace_back(path);
          std::vector<FixedPoint> points = fixed_points_in(name, path);
          points.insert(points.end(), hands.fixed_points.begin(), hands.fixed_points.end());
          return points;
        },
        "a file with a POINT on each line");
    value("--slurs", "keep|suggest", hands.suggest_slurs, one_of<bool>,
          "suggest: add hammer-ons, pull-offs and slides to\nfast passages; keep: add none. By default only\n"
          "clawhammer adds some, off the beat");
    add_hand(hands, true);
  }

  // For HandsOptions and AdviseOptions.
  template <typename Hands>
  void add_hand(Hands& hands, bool automatic = false) {
    group_ = "Hands";
    value("--style", "STYLE", hands.style, automatic ? style : one_style,
          automatic ? "roll (default), melodic, single-string,\nclawhammer, or auto: the easiest"
                    : "roll (default), melodic, single-string or\nclawhammer");
    // From a ukulele to a longneck and beyond; from a child's hand to twice a grown one.
    value("--scale-length", "MM", hands.scale_length_mm, decimal_from_to(300, 1000),
          "nut to bridge; 667 mm by default");
    value("--reach", "FACTOR", hands.reach, decimal_from_to(0.5, 2),
          "scales stretch limits: 0.9 for a smaller hand");
  }

  void add_labels(Labels& labels) {
    group_ = "Words and tempo (by default the file's)";
    value("--title", "TEXT", labels.title, plain, "title; by default the file's name where it has none");
    value("--composer", "TEXT", labels.composer, plain, "who made it");
    value("--credit", "TEXT", labels.credit, plain, "where it comes from, such as Traditional");
    value("--rights", "TEXT", labels.rights, plain, "who may copy it");
    value("--part-name", "TEXT", labels.part_name, plain, "name of the part; Banjo by default");
    value("--tempo", "N", labels.tempo, from_to(slowest, fastest), "beats a minute, from beginning to end");
  }

  void add_outputs(ConvertOptions& convert) {
    value("-o,--output", "OUT", convert.output, plain, "output file; - is standard output");
    value("-d,--directory", "DIR", convert.directory, plain, "write a file for each input into DIR");
    value("--to", "FORMAT", to_, one_of<OutputFormat>, "musicxml, mxl, mid or txt, where OUT does not say");
    flag("--force", convert.writing.force, "overwrite existing files, but never an input");
    flag("--skip-existing", convert.skip_existing,
         "leave existing files as they are and convert the\nothers: goes on with a batch that was stopped");
    flag("--strict", convert.writing.strict, "write nothing if anything would be lost");
    flag("--json", convert.json, "write a JSON report to standard output");
    add_jobs(convert.jobs);
    add_quiet(convert.quiet);
  }

  void add_writing(WritingOptions& writing) {
    add_labels(writing.labels);
    group_ = "Writing";
    value("--staves", "WHICH", writing.musicxml.staves, one_of<Staves>,
          "MusicXML: both (default), notation or tab");
    value("--fifth-frets", "FROM", writing.musicxml.fifth_frets, one_of<FifthFrets>,
          "MusicXML: count the fifth string's frets from\nlong-nut (default) or own-nut");
    value("--picking-fingers", "HOW", writing.musicxml.picking_fingers, one_of<PickingFingers>,
          "MusicXML: picking fingers as fingering marks\n"
          "(technical, default), or as lyrics too, for programs\nthat show no marks");
    flag("--channel-per-string", writing.midi.channel_per_string, "MIDI: string 1 on channel 1, and so on");
    flag_that_turns_off("--no-repeats", writing.midi.unfold_repeats, "MIDI: play repeated sections once");
    value("--width", "N", writing.text.width, from_to(narrowest_tab, widest_tab),
          "text tab: columns; 80 by default");
    flag("--fingers", writing.text.fingers, "text tab: add a line for the fret hand's fingers");
    flag("--shapes", writing.text.shapes, "text tab: name the shapes that they hold");
    flag("--roles", writing.text.roles,
         "text tab: add a line of what notes are for: m melody,\nf fill, d drone, l lick, k kick-off, b "
         "backup");
  }

  void add_convert() {
    begin_command("convert", [this] { return convert_request(convert_); });
    add_outputs(convert_);
    add_reading(convert_.in.read);
    add_only(convert_.in.only);
    add_repeats(convert_.in.fold_repeats);
    add_chords(convert_.in.infer_chords);
    add_key(convert_.in);
    add_banjo(convert_.in);
    add_fingering(convert_.hands, convert_.in.also_read);
    add_writing(convert_.writing);
  }

  void add_arrange() {
    begin_command("arrange", [this] { return convert_request(arrange_); });
    ArrangeOptions& arrange = arrange_.arrange.emplace();
    add_outputs(arrange_);
    group_ = "Arrangement";
    value("--style", "STYLE", arrange.style, one_style,
          "roll (default), melodic, single-string or\nclawhammer");
    value("--level", "N", arrange.level, from_to(lowest_level, highest_level),
          "how much of the melody is kept, and how much is\nasked of the hands: 1 to 4; 2 by default");
    flag(
        "--backup", arrange.backup,
        "a second part, of what the banjo plays while another\ninstrument has the tune: rolls, or from level "
        "3 on a\nvamp up the neck");
    flag("--kickoff", arrange.kick_off, "notes that lead into a tune without a pickup");
    flag("--ending", arrange.ending, "a closing tag after the last note");
    value(
        "--variations", "N", arrange.variations, from_to(1, most_variations),
        "so many breaks one after the other, each played\notherwise; from level 3 on the second up the neck");
    value("--seed", "N", arrange.seed, from_to(0, highest_seed),
          "other numbers choose otherwise among what is about\nas good");
    flag("--explain", arrange.explain,
         "say of each stroke why it is there: string:fret, and\nby how much what else was near is harder; "
         "one finger\nmore is about 20");
    add_reading(arrange_.in.read);
    add_licks(arrange_);
    add_repeats(arrange_.in.fold_repeats);
    add_chord_chart(arrange_);
    add_key(arrange_.in);
    add_banjo(arrange_.in);
    add_writing(arrange_.writing);
  }

  void add_show() {
    begin_command("show", [this] { return show_request(); });
    value("--width", "N", show_.width, from_to(narrowest_tab, widest_tab),
          "columns; by default the terminal's, or 80");
    flag("--fingers", show_.fingers, "add a line for the fret hand's fingers");
    flag("--shapes", show_.shapes, "name the shapes that they hold: G (D shape, 7)");
    flag("--roles", show_.roles,
         "add a line of what notes are for: m melody, f fill,\nd drone, l lick, k kick-off, b backup");
    flag("--explain", show_.explain, "print below the tab what each stroke costs the hands");
    add_quiet(show_.quiet);
    add_reading(show_.in.read);
    add_only(show_.in.only);
    add_repeats(show_.in.fold_repeats);
    add_chords(show_.in.infer_chords);
    add_key(show_.in);
    add_banjo(show_.in);
    add_fingering(show_.hands, show_.in.also_read);
  }

  void add_describe() {
    begin_command("describe", [this] {
      describe_.inputs = several_inputs();
      return describe_;
    });
    flag("--json", describe_.json, "print JSON");
    add_quiet(describe_.quiet);
    add_reading(describe_.in.read);
    add_only(describe_.in.only);
    add_banjo(describe_.in);
  }

  void add_advise() {
    begin_command("advise", [this] {
      advise_.inputs = several_inputs();
      return advise_;
    });
    flag("--other-keys", advise_.advise.other_keys, "consider other sounding keys too");
    const auto count = [](auto name, auto text) {
      return static_cast<std::size_t>(whole_number(name, text, 1, 100));
    };
    value("--most,--limit", "N", advise_.advise.most, count, "how many suggestions to print; 6 by default");
    flag("--json", advise_.json, "print JSON");
    add_quiet(advise_.quiet);
    add_reading(advise_.in.read);
    add_only(advise_.in.only);
    add_key(advise_.in);
    add_hand(advise_.advise);
  }

  void add_check() {
    begin_command("check", [this] { return check_request(); });
    flag("--rules", check_.list_rules, "list all rules, with reasons and fixes");
    value("--fix", "OUT", check_.fix, plain,
          "fix whatever has one right answer and write OUT;\nnothing is written where nothing has, and else "
          "the\n"
          "findings are those of OUT");
    flag("--force", check_.force, "overwrite OUT if it exists");
    flag("--strict", check_.strict, "treat warnings as errors");
    flag("--all", check_.all, "list every finding of a rule, however many");
    flag("--json", check_json_, "print findings as JSON");
    flag("--sarif", check_sarif_, "print findings as SARIF 2.1.0");
    add_jobs(check_.jobs);
    add_max_bytes(check_.check.max_bytes);
    group_ = "Which rules";
    value("--only", "RULES", check_.check.only, rule_names,
          "only these rules or families, separated by commas");
    value("--skip", "RULES", check_.check.skip, rule_names, "all but these");
    value("--min-severity", "S", check_.check.least, one_of<Severity>,
          "leave out below S: note (default), warning, error");
    value("--max-severity", "S", check_.check.most, one_of<Severity>, "leave out above S: error by default");
    add_hand(check_.check.hands);
  }

  void add_sheet() {
    begin_command("sheet", [this] { return sheet_request(); });
    value("-o,--output", "OUT", sheet_.output, plain, "output file; - is a PDF on standard output");
    flag("--force", sheet_.force, "overwrite existing files, but never an input");
    add_quiet(sheet_.quiet);
    group_ = "Page";
    value("--paper", "a4|letter", sheet_.sheet.paper, one_of<Paper>, "paper; a4 by default");
    flag("--landscape", sheet_.sheet.landscape, "wide rather than high");
    value("--size", "FACTOR", sheet_.sheet.size, decimal_from_to(0.4, 3),
          "size of the music; 1 by default, readable at arm's\nlength");
    value("--measures-a-line", "N", sheet_.sheet.measures_a_line, from_to(1, 100),
          "measures in each line; as many as suit by default");
    value("--dpi", "N", sheet_.dots_per_inch, from_to(30, 1200), "PNG: dots per inch; 200 by default");
    group_ = "What is drawn";
    flag("--notation", sheet_.sheet.notation, "an ordinary staff over the tab");
    flag("--fingers", sheet_.sheet.fingers, "fingers of the fret hand under the picking fingers");
    flag("--shapes", sheet_.sheet.shapes, "names of the shapes that they hold");
    flag("--chord-grids", sheet_.sheet.chord_grids,
         "a grid of the neck with the fingers at the first\nuse of each chord");
    flag(
        "--roles", sheet_.sheet.roles,
        "an outline around the melody, and brackets over\nlicks and kick-offs, in music that 'arrange' made");
    group_ = "Handout";
    value("--note", "TEXT|@FILE", sheet_.sheet.paragraphs, paragraphs,
          "paragraphs under the title, with an empty line\nbetween them");
    flag("--phrases", sheet_.sheet.phrases,
         "each piece whole, then phrase by phrase: from one\nrehearsal letter or double bar to the next");
    value("--every", "N", sheet_.sheet.measures_a_phrase, from_to(1, 1000),
          "with --phrases: phrases of N measures");
    value("--in-tune", "TUNE[:MEASURE[:BEAT]]", sheet_.in_tune, tune_point,
          "each input is a lick, and is shown in its place in\nthis tune, too: the best one, or that at "
          "MEASURE");
    add_labels(sheet_.labels);
    add_reading(sheet_.in.read);
    add_only(sheet_.in.only);
    add_repeats(sheet_.in.fold_repeats);
    add_chords(sheet_.in.infer_chords);
    add_key(sheet_.in);
    add_banjo(sheet_.in);
    add_fingering(sheet_.hands, sheet_.in.also_read);
  }

  void add_practice() {
    begin_command("practice", [this] { return practice_request(); });
    value("-o,--output", "OUT", practice_.output, plain, "output file; - is WAV on standard output");
    flag("--force", practice_.force, "overwrite existing files, but never an input");
    add_quiet(practice_.quiet);
    group_ = "Practice";
    PracticeOptions& practice = practice_.practice;
    value("--speed", "PERCENTS", practice.speeds, speeds,
          "percents of the tempo, one after the other, such as\n50,65,80,100; 100 by default");
    value("--times", "N", practice.times, from_to(1, 1000),
          "how often each speed is played; once by default");
    value("--count-in", "N", practice.count_in, from_to(0, 16),
          "measures that are counted before each speed; 1 by\ndefault, 0 for none");
    flag("--click", practice.click, "click on every beat");
    value("--measures", "A-B", practice.measures, measure_range,
          "only these measures, by the numbers over them; what\nthey have of repeats is played straight "
          "through");
    flag("--backup", practice.backing, "bass and chords from the chord symbols, plainly");
    flag("--swing", practice.swing, "play eighths long-short");
    value("--tempo", "N", practice_.labels.tempo, from_to(slowest, fastest),
          "what 100 % is, in beats a minute; by default as the\nmusic says");
    value("--title", "TEXT", practice_.labels.title, plain,
          "MIDI: title; by default the file's name where it has\nnone");
    add_reading(practice_.in.read);
    add_only(practice_.in.only);
    add_chords(practice_.in.infer_chords);
    add_key(practice_.in);
    add_banjo(practice_.in);
    add_fingering(practice_.hands, practice_.in.also_read);
  }

  void add_find() {
    begin_command("find", [this] { return find_request(); });
    LickQuery& query = find_.query;
    group_ = "What is asked of a lick (nothing that is not given)";
    value("--from", "CHORD", query.from, chord, "the chord over its first note, such as G or Em");
    value("--to", "CHORD", query.to, chord,
          "the chord that it leads to; a triad and its seventh\nchord go together");
    value("--key", "KEY", query.key, key,
          "the key that the chords are in and that it is to\nsound in, with a capo or moved; without it the "
          "chords\n"
          "are in G, and other keys answer by the same steps");
    value("--beats", "N", query.beats, beats, "how long it is, or less than a beat shorter: 4, 3.5");
    value("--frets", "A-B", query.frets, stopped_frets,
          "all that it stops lies from fret A to fret B, or at\none fret; 0: open strings alone");
    value("--technique", "NAMES", query.techniques, techniques,
          "it has these, separated by commas, such as\nslide,hammer-on");
    const auto style_asked = [](auto name, auto text) { return std::optional(one_style(name, text)); };
    value("--style", "STYLE", query.style, style_asked, "roll, melodic, single-string or clawhammer");
    value("--use", "USE", query.use, lick_use,
          "what it is for before all: fill-in, walk-up, segue,\nturnaround, tag, ending, kick-off or "
          "low-to-high");
    value("--tuning", "T", find_.tuning, tuning, "the tuning that it is for: open-g, double-c, gDGCD");
    const auto levels = [&query](auto name, auto text) {
      const LevelRange range = level_range(name, text);
      query.highest_level = range.highest;
      return range.lowest;
    };
    value("--level", "A-B", query.lowest_level, levels, "how hard it is, 1 to 5, such as 1-3 or 2");
    value("--like", "FILE", find_.like, plain,
          "those at least half like the lick in FILE, the\nlikest first: the same notes at the same times "
          "count\n"
          "most, in any key, then ups and downs, slides and\nslurs, and strings");
    group_ = "Options";
    flag("--json", find_json_, "print JSON");
    flag("--files", find_files_, "print the names of files alone, one a line");
    flag("-0,--nul", find_nul_,
         "the same, with a NUL byte after each: for xargs -0,\nwhatever is in the names");
    add_jobs(find_.jobs);
    add_max_bytes(find_.in.read.max_bytes);
    add_quiet(find_.quiet);
  }

  void add_fit() {
    begin_command("fit", [this] { return fit_request(); });
    command_->add_option("--licks", fit_.licks, "list where each of these licks can go")
        ->type_name("DIR|FILE...")
        ->group(group_);
    value("--lick", "FILE", lick_, plain, "the lick to put into the tune, with -o");
    value(
        "--at", "MEASURE[:BEAT]", fit_.at, music_point,
        "where it begins; by default at its best place. With\na measure alone its pickup comes before that");
    value("--try", "N", fit_.versions, from_to(1, 20),
          "versions with it in its N best places, OUT-1, OUT-2\nand so on");
    flag("--in-one-ending", fit_.fit.in_one_ending, "it may stand in one of several endings alone");
    const auto count = [](auto name, auto text) {
      return static_cast<std::size_t>(whole_number(name, text, 1, 100));
    };
    value("--most", "N", fit_.most, count, "places of each lick that are listed; 3 by default");
    value("-o,--output", "OUT", fit_.output, plain, "output file; - is standard output");
    value("--to", "FORMAT", to_, one_of<OutputFormat>, "musicxml, mxl, mid or txt, where OUT does not say");
    flag("--force", fit_.writing.force, "overwrite existing files, but never an input");
    flag("--strict", fit_.writing.strict, "write nothing if anything would be lost");
    flag("--json", fit_.json, "print JSON");
    add_quiet(fit_.quiet);
    add_reading(fit_.in.read);
    add_chords(fit_.in.infer_chords);
    add_key(fit_.in);
    add_banjo(fit_.in);
    add_hand(fit_.hands);
    add_writing(fit_.writing);
  }

  std::string single_input() const {
    if (inputs_.empty()) throw UsageError("no input given; name a file, or - for standard input");
    if (inputs_.size() > 1) throw UsageError("this command takes one input, but " + inputs_given());
    return inputs_.front();
  }

  std::vector<std::string> several_inputs() {
    if (inputs_.empty()) throw UsageError("no input given; name files, or - for standard input");
    if (std::count(inputs_.begin(), inputs_.end(), standard_stream) > 1) {
      throw UsageError("standard input (-) can be read only once");
    }
    inputs_ = with_folders_opened(inputs_);
    return inputs_;
  }

  std::string inputs_given() const { return std::to_string(inputs_.size()) + " were given"; }

  bool is_given(const std::string& option) const { return app_.get_subcommands().front()->count(option) > 0; }

  void require_one_way_to_say_each() const { require_at_most_one("--neck", "--position"); }

  void require_at_most_one(const std::string& option, const std::string& other) const {
    if (is_given(option) && is_given(other))
      throw UsageError(option + " and " + other + " cannot be combined");
  }

  Request convert_request(ConvertOptions& convert) {
    convert.inputs = several_inputs();
    convert.writing.format = format_of(convert);
    if (!convert.arrange) require_one_way_to_say_each();
    require_options_of_format(convert.writing);
    if (convert.writing.force && convert.skip_existing) {
      throw UsageError("--force and --skip-existing cannot be combined");
    }
    if (is_musicxml(convert.writing.format)) convert.writing.musicxml.encoding_date = encoding_date();
    if (convert.json && convert.output == standard_stream) {
      throw UsageError("--json and -o - would both write to standard output; give -o a file");
    }
    return convert;
  }

  OutputFormat format_of(const ConvertOptions& convert) const {
    const std::string& output = convert.output;
    if (output.empty() == convert.directory.empty()) throw UsageError("give either -o OUT or -d DIR");
    if (!convert.directory.empty()) {
      if (!to_) throw UsageError("-d needs --to musicxml, mxl, mid or txt");
      if (std::count(inputs_.begin(), inputs_.end(), standard_stream) != 0) {
        throw UsageError("-d names outputs after inputs, and standard input has no name; use -o");
      }
      return *to_;
    }
    if (inputs_.size() > 1) {
      throw UsageError("-o takes one input, but " + inputs_given() + "; use -d DIR for several");
    }
    return format_of_output(output);
  }

  OutputFormat format_of_output(const std::string& output) const {
    const std::optional<OutputFormat> by_extension = format_by_extension(output);
    if (to_ && by_extension && to_ != by_extension) {
      throw UsageError("--to and the name '" + printable(output) + "' ask for different formats");
    }
    if (to_) return *to_;
    if (by_extension) return *by_extension;
    if (output == standard_stream) throw UsageError("-o - needs --to musicxml, mxl, mid or txt");
    throw UsageError("the name '" + printable(output) +
                     "' does not tell the format; end it in .musicxml, .xml, .mxl, .mid, .midi or .txt, or "
                     "give --to");
  }

  static bool is_musicxml(OutputFormat format) {
    return format == OutputFormat::musicxml || format == OutputFormat::mxl;
  }

  // An option for one format, given for another, is a mistake that would otherwise go unnoticed.
  void require_options_of_format(const WritingOptions& writing) const {
    struct Belongs {
      const char* option;
      OutputFormat format;
    };
    constexpr std::array<Belongs, 9> options{{{"--staves", OutputFormat::musicxml},
                                              {"--fifth-frets", OutputFormat::musicxml},
                                              {"--picking-fingers", OutputFormat::musicxml},
                                              {"--channel-per-string", OutputFormat::midi},
                                              {"--no-repeats", OutputFormat::midi},
                                              {"--width", OutputFormat::text},
                                              {"--fingers", OutputFormat::text},
                                              {"--shapes", OutputFormat::text},
                                              {"--roles", OutputFormat::text}}};
    for (const Belongs& one : options) {
      const bool fits = one.format == writing.format ||
                        (one.format == OutputFormat::musicxml && is_musicxml(writing.format));
      if (fits || !is_given(one.option)) continue;
      throw UsageError(std::string(one.option) + " is for " + std::string(name(one.format)) +
                       ", but the output is " + std::string(name(writing.format)));
    }
  }

  Request fit_request() {
    if (inputs_.empty()) {
      throw UsageError(is_given("--licks")
                           ? "no tune given; name it before --licks, which takes all that follows"
                           : "no tune given; name its file, or - for standard input");
    }
    fit_.tune = single_input();
    require_at_most_one("--lick", "--licks");
    require_at_most_one("--at", "--try");
    if (!lick_.empty()) fit_.licks = {lick_};
    if (fit_.licks.empty())
      throw UsageError("no lick given; --licks lists places, and --lick with -o puts one in");
    fit_.one_lick = !lick_.empty();
    fit_.tries = is_given("--try");
    fit_.fit.style = fit_.hands.style;
    if (fit_.output.empty()) {
      for (const char* const option : {"--at", "--try", "--to"}) {
        if (is_given(option)) throw UsageError(std::string(option) + " needs -o OUT");
      }
      return fit_;
    }
    if (!fit_.one_lick) throw UsageError("-o needs --lick, the one lick to put in; --licks lists places");
    if (is_given("--most")) throw UsageError("--most is for lists of places; --try writes several versions");
    fit_.writing.format = format_of_output(fit_.output);
    require_options_of_format(fit_.writing);
    if (is_musicxml(fit_.writing.format)) fit_.writing.musicxml.encoding_date = encoding_date();
    if (fit_.output == standard_stream && fit_.tries)
      throw UsageError("--try writes several files, so -o needs a name for them");
    if (fit_.output == standard_stream && fit_.json)
      throw UsageError("--json and -o - would both write to standard output; give -o a file");
    return fit_;
  }

  Request show_request() {
    show_.input = single_input();
    require_one_way_to_say_each();
    show_.hands.explain = show_.explain;
    return show_;
  }

  Request sheet_request() {
    sheet_.inputs = several_inputs();
    if (is_given("--every") && !sheet_.sheet.phrases) throw UsageError("--every needs --phrases");
    require_one_way_to_say_each();
    if (sheet_.output.empty()) throw UsageError("give -o OUT, such as -o lick.pdf");
    if (sheet_.output == standard_stream) return sheet_;
    const auto format = sheet_format_by_extension(sheet_.output);
    if (!format) {
      throw UsageError("the name '" + printable(sheet_.output) +
                       "' does not tell the format; end it in .pdf, .svg, .png or .html");
    }
    sheet_.format = *format;
    if (sheet_.format != SheetFormat::png && is_given("--dpi")) {
      throw UsageError("--dpi is for PNG, but the output is '" + printable(sheet_.output) + "'");
    }
    return sheet_;
  }

  Request practice_request() {
    practice_.input = single_input();
    require_one_way_to_say_each();
    if (practice_.output.empty()) throw UsageError("give -o OUT, such as -o slow.wav");
    if (practice_.output == standard_stream) return practice_;
    const auto format = practice_format_by_extension(practice_.output);
    if (!format) {
      throw UsageError("the name '" + printable(practice_.output) +
                       "' does not tell the format; end it in .mid, .wav or .flac");
    }
    practice_.format = *format;
    return practice_;
  }

  Request check_request() {
    CheckRequest& request = check_;
    if (!request.list_rules) request.inputs = several_inputs();
    if (check_json_ && check_sarif_) throw UsageError("choose either --json or --sarif");
    request.form = check_json_ ? CheckForm::json : check_sarif_ ? CheckForm::sarif : CheckForm::text;
    if (is_given("--fix")) {
      if (request.fix.empty()) throw UsageError("--fix needs the name of an output file");
      if (inputs_.size() != 1) throw UsageError("--fix takes one input, but " + inputs_given());
      if (request.fix == standard_stream && request.form != CheckForm::text) {
        throw UsageError("--fix - and a report would both write to standard output; give --fix a file");
      }
    }
    if (request.check.least > request.check.most) {
      throw UsageError("--min-severity is above --max-severity, which leaves no rule");
    }
    return request;
  }

  Request find_request() {
    if (inputs_.empty()) throw UsageError("no input given; name a folder of licks");
    if (std::count(inputs_.begin(), inputs_.end(), standard_stream) > 0) {
      throw UsageError("find looks into files and folders, and not into standard input");
    }
    if (find_json_ && (find_files_ || find_nul_)) throw UsageError("choose either --json or names of files");
    find_.form = find_json_    ? FindForm::json
                 : find_nul_   ? FindForm::nul
                 : find_files_ ? FindForm::files
                               : FindForm::text;
    find_.inputs = inputs_;
    find_.in.read.all_parts = true;  // where the chord symbols may be
    return find_;
  }

  std::string see_help() const {
    const auto asked = app_.get_subcommands();
    const std::string command = asked.empty() ? "" : " " + asked.front()->get_name();
    return "; see 'fifthpeg" + command + " --help'";
  }

  std::string unknown_command(const std::string& name) const {
    std::vector<std::string> names;
    for (const auto& [command, request] : commands_) names.push_back(command->get_name());
    const auto meant = closest(name, names);
    return "unknown command '" + printable(name) + "'; " +
           (meant ? "perhaps " + *meant + " was meant" : "choose " + command_names("or"));
  }

  std::string unknown_option(const std::string& option) const {
    const auto asked = app_.get_subcommands();
    std::vector<std::string> names;
    for (const OptionText& one : option_texts(asked.empty() ? "" : asked.front()->get_name()))
      names.push_back(one.name);
    const std::string name = option.substr(0, option.find('='));
    for (const auto& [command, request] : commands_) {
      for (const OptionText& one : option_texts(command->get_name()))
        if (one.name == name) return name + " is an option of " + command->get_name();
    }
    const auto meant = closest(name, names);
    return "unknown option '" + printable(option) + "'" + (meant ? "; perhaps " + *meant + " was meant" : "");
  }

  std::string message_of(const CLI::ParseError& error) const {
    const std::vector<std::string> rest = app_.remaining(true);
    if (dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr && !rest.empty()) {
      if (app_.get_subcommands().empty() && !rest.front().starts_with('-'))
        return unknown_command(rest.front());
      return unknown_option(rest.front());
    }
    std::string what = error.what();
    if (dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr) {
      const std::string option = what.substr(0, what.find(':'));
      if (what.find("missing") != std::string::npos) return option + " needs a value";
      return option + " takes one value and may be given only once";
    }
    return what;
  }

  CLI::App app_;
  std::vector<std::pair<CLI::App*, std::function<Request()>>> commands_;
  std::vector<std::function<void()>> given_;
  CLI::App* command_ = nullptr;  // the one that options are being added to
  std::string group_;            // the heading that they stand under

  std::vector<std::string> inputs_;
  std::optional<OutputFormat> to_;
  ConvertOptions convert_;
  ConvertOptions arrange_;
  ShowOptions show_;
  DescribeOptions describe_;
  AdviseRequest advise_;
  CheckRequest check_;
  SheetRequest sheet_;
  PracticeRequest practice_;
  FitRequest fit_;
  std::string lick_;  // that --lick names
  bool check_json_ = false;
  bool check_sarif_ = false;
  FindRequest find_;
  bool find_json_ = false;
  bool find_files_ = false;
  bool find_nul_ = false;
};

}  // namespace

Request parse_command_line(int argc, const char* const* argv) {
  return CommandLine().parse(argc, argv);
}

std::vector<OptionText> option_texts(const std::string& command) {
  return CommandLine().option_texts(command);
}

}  // namespace fifthpeg::cli
