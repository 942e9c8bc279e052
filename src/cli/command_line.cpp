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

#include "cli/help.hpp"
#include "cli/messages.hpp"
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

constexpr char reading[] = "Reading";
constexpr char banjo[] = "Banjo (by default as the file says, or open G without capo)";
constexpr char fingering[] = "Hands";
constexpr char writing[] = "Writing";
constexpr char which_rules[] = "Which rules";

constexpr int most_jobs = 64;
constexpr int fewest_frets = 6;  // one more than the fifth string needs to begin at
constexpr int most_frets = 36;

class CommandLine {
 public:
  CommandLine() : app_("", "fifthpeg") {
    app_.formatter(std::make_shared<HelpFormatter>());
    app_.set_help_flag("-h,--help", "print this help");
    app_.set_version_flag("--version", "fifthpeg " + std::string(version), "print the version");
    app_.require_subcommand(0, 1);
    app_.fallthrough(false);
    add_convert();
    add_show();
    add_describe();
    add_advise();
    add_check();
  }

  Request parse(int argc, const char* const* argv) {
    if (argc > 1 && std::string_view(argv[1]) == "help") return help_on(argc > 2 ? argv[2] : "");
    try {
      app_.parse(argc, argv);
    } catch (const CLI::CallForHelp&) {
      const auto asked = app_.get_subcommands();
      return Answer{asked.empty() ? app_.help() : asked.front()->help()};
    } catch (const CLI::CallForVersion&) {
      return Answer{"fifthpeg " + std::string(version) + "\n"};
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
  // 'fifthpeg help show' is 'fifthpeg show --help'.
  Answer help_on(const std::string& name) const {
    if (name.empty()) return {app_.help()};
    for (const auto& [command, request] : commands_) {
      if (command->get_name() == name) return {command->help()};
    }
    throw UsageError(unknown_command(name) + see_help());
  }

  CLI::App* add_command(const std::string& name, std::function<Request()> request) {
    CLI::App* command = app_.add_subcommand(name);
    command->formatter(std::make_shared<HelpFormatter>());
    command->set_help_flag("-h,--help", "print this help");
    command->add_option("IN", inputs_)->type_name("");
    commands_.emplace_back(command, std::move(request));
    return command;
  }

  // An option with a value. What the value means is found out after all of the command line has been read, so
  // that a wrong one does not stand in the way of --help; in the order in which the options are added.
  template <typename Set>
  void value(CLI::App* command, const std::string& names, const std::string& form, Set set,
             const std::string& description, const std::string& group = "Options") {
    const std::string name = names.substr(names.find("--"));
    const CLI::callback_t take = [this, name, set](const CLI::results_t& values) {
      given_.emplace_back([name, set, text = values.front()] { set(name, text); });
      return true;
    };
    command->add_option(names, take, description)->type_name(form)->group(group);
  }

  static void flag(CLI::App* command, const std::string& names, bool& given, const std::string& description,
                   const std::string& group = "Options") {
    command->add_flag(names, given, description)->group(group);
  }

  void add_max_bytes(CLI::App* command, std::size_t& max_bytes, const std::string& group = "Options") {
    const auto set = [&max_bytes](auto name, auto text) { max_bytes = byte_count(name, text); };
    value(command, "--max-bytes", "SIZE", set, "largest input accepted; 64M by default", group);
  }

  void add_jobs(CLI::App* command, int& jobs) {
    jobs = std::clamp(static_cast<int>(std::thread::hardware_concurrency()), 1, most_jobs);
    const auto set = [&jobs](auto name, auto text) { jobs = whole_number(name, text, 1, most_jobs); };
    value(command, "--jobs", "N", set, "inputs at a time; by default one per processor");
  }

  void add_width(CLI::App* command, std::function<void(int)> take, const std::string& description,
                 const std::string& group = "Options") {
    const auto set = [take](auto name, auto text) {
      take(whole_number(name, text, narrowest_tab, widest_tab));
    };
    value(command, "--width", "N", set, description, group);
  }

  static void add_quiet(CLI::App* command, bool& quiet) {
    flag(command, "-q,--quiet", quiet, "report errors only");
  }

  void add_reading(CLI::App* command, ReadOptions& read) {
    value(
        command, "--part", "P", [&read](auto, auto text) { read.part = text; },
        "part to read: its name or number in 'describe'", reading);
    flag(command, "--all-parts", read.all_parts, "also read chord symbols from the other parts", reading);
    value(
        command, "--grid", "STEP", [&read](auto name, auto text) { read.grid = grid_step(name, text); },
        "MIDI: shortest note value, such as 1/16, or 1/24\nfor triplets of sixteenths", reading);
    value(
        command, "--pickup", "LENGTH",
        [&read](auto name, auto text) { read.pickup = note_length(name, text); },
        "MIDI: length of the pickup before the first full\nmeasure, such as 1/8; 0 for none", reading);
    command
        ->add_flag_callback(
            "--keep-swing", [&read] { read.straighten_swing = false; },
            "MIDI: do not straighten swung eighths")
        ->group(reading);
    add_max_bytes(command, read.max_bytes, reading);
  }

  void add_banjo(CLI::App* command, BanjoOptions& options) {
    const auto fret = [&options](auto name, auto text, int lowest) {
      return whole_number(name, text, lowest, options.frets.value_or(most_frets) - 1);
    };
    value(
        command, "--tuning", "T", [&options](auto name, auto text) { options.tuning = tuning(name, text); },
        "name or pitches: open-g, double-c, gDGCD", banjo);
    value(
        command, "--frets", "N",
        [&options](auto name, auto text) {
          options.frets = whole_number(name, text, fewest_frets, most_frets);
        },
        "number of frets; 22 by default", banjo);
    value(
        command, "--capo", "N",
        [&options, fret](auto name, auto text) { options.capo = fret(name, text, 0); },
        "fret of the capo; 0 for none", banjo);
    value(
        command, "--fifth-capo", "F",
        [&options, fret](auto name, auto text) { options.fifth_capo = fret(name, text, fifth_nut_fret); },
        "fret where the fifth string begins; 5 is its own\nnut; by default it follows --capo", banjo);
  }

  void add_fingering(CLI::App* command, HandsOptions& hands) {
    value(
        command, "--transpose", "auto|N",
        [&hands](auto name, auto text) { hands.transpose = transposition(name, text); },
        "half steps to transpose by; auto (default) moves\nby octaves, and only if notes are out of range,\n"
        "or many of them outside the frets asked for",
        fingering);
    flag(command, "--thin", hands.thin, "drop inner notes of chords that no hand can play", fingering);
    value(
        command, "--refinger", "missing|all|frets-only",
        [&hands](auto name, auto text) { hands.refinger = refinger(name, text); },
        "what to find: what the file lacks (default), all,\nor all but the picking fingers", fingering);
    value(
        command, "--neck", "any|low|high", [&hands](auto name, auto text) { hands.neck = neck(name, text); },
        "part of the neck to fret in", fingering);
    value(
        command, "--position", "A-B",
        [&hands](auto name, auto text) { hands.position = fret_range(name, text); },
        "fret only from fret A to fret B", fingering);
    value(
        command, "--slurs", "keep|suggest",
        [&hands](auto name, auto text) { hands.suggest_slurs = slurs_suggested(name, text); },
        "suggest: add hammer-ons, pull-offs and slides to\nfast passages; keep: add none. By default only\n"
        "clawhammer adds some, off the beat",
        fingering);
    add_hand(command, hands);
  }

  // For HandsOptions and AdviseOptions.
  template <typename Hands>
  void add_hand(CLI::App* command, Hands& hands) {
    value(
        command, "--style", "STYLE", [&hands](auto name, auto text) { hands.style = style(name, text); },
        "roll (default), melodic, single-string,\nclawhammer, or auto: the easiest", fingering);
    // From a ukulele to a longneck and beyond; from a child's hand to twice a grown one.
    value(
        command, "--scale-length", "MM",
        [&hands](auto name, auto text) { hands.scale_length_mm = decimal(name, text, 300, 1000); },
        "nut to bridge; 667 mm by default", fingering);
    value(
        command, "--reach", "FACTOR",
        [&hands](auto name, auto text) { hands.reach = decimal(name, text, 0.5, 2); },
        "scales stretch limits: 0.9 for a smaller hand", fingering);
  }

  void add_convert() {
    ConvertOptions& options = convert_;
    CLI::App* command = add_command("convert", [this] { return convert_request(); });
    value(
        command, "-o,--output", "OUT", [&options](auto, auto text) { options.output = text; },
        "output file; - is standard output");
    value(
        command, "-d,--directory", "DIR", [&options](auto, auto text) { options.directory = text; },
        "write a file for each input into DIR");
    value(
        command, "--to", "FORMAT", [this](auto name, auto text) { to_ = output_format(name, text); },
        "musicxml, mxl, mid or txt, where OUT does not say");
    flag(command, "--force", options.force, "overwrite existing files, but never an input");
    flag(command, "--strict", options.strict, "write nothing if anything would be lost");
    flag(command, "--json", options.json, "write a JSON report to standard output");
    add_jobs(command, options.jobs);
    add_quiet(command, options.quiet);
    add_reading(command, options.in.read);
    add_banjo(command, options.in.banjo);
    add_fingering(command, options.hands);
    value(
        command, "--staves", "WHICH",
        [&options](auto name, auto text) { options.musicxml.staves = staves(name, text); },
        "MusicXML: both (default), notation or tab", writing);
    value(
        command, "--fifth-frets", "FROM",
        [&options](auto name, auto text) { options.musicxml.fifth_frets = fifth_frets(name, text); },
        "MusicXML: count the fifth string's frets from\nlong-nut (default) or own-nut", writing);
    flag(command, "--channel-per-string", options.midi.channel_per_string,
         "MIDI: string 1 on channel 1, and so on", writing);
    command
        ->add_flag_callback(
            "--no-repeats", [&options] { options.midi.unfold_repeats = false; },
            "MIDI: play repeated sections once")
        ->group(writing);
    add_width(
        command, [&options](int width) { options.text.width = width; }, "text tab: columns; 80 by default",
        writing);
    flag(command, "--fingers", options.text.fingers, "text tab: add a line for the fret hand's fingers",
         writing);
  }

  void add_show() {
    ShowOptions& options = show_;
    CLI::App* command = add_command("show", [this] { return show_request(); });
    add_width(
        command, [&options](int width) { options.width = width; },
        "columns; by default the terminal's, or 80");
    flag(command, "--fingers", options.fingers, "add a line for the fret hand's fingers");
    flag(command, "--explain", options.explain, "print below the tab what each stroke costs the hands");
    add_quiet(command, options.quiet);
    add_reading(command, options.in.read);
    add_banjo(command, options.in.banjo);
    add_fingering(command, options.hands);
  }

  void add_describe() {
    DescribeOptions& options = describe_;
    CLI::App* command = add_command("describe", [this] {
      describe_.input = single_input();
      return Request(describe_);
    });
    flag(command, "--json", options.json, "print JSON");
    add_quiet(command, options.quiet);
    add_reading(command, options.in.read);
    add_banjo(command, options.in.banjo);
  }

  void add_advise() {
    AdviseRequest& request = advise_;
    CLI::App* command = add_command("advise", [this] {
      advise_.input = single_input();
      return Request(advise_);
    });
    flag(command, "--other-keys", request.advise.other_keys, "consider other sounding keys too");
    value(
        command, "--most", "N",
        [&request](auto name, auto text) {
          request.advise.most = static_cast<std::size_t>(whole_number(name, text, 1, 100));
        },
        "how many suggestions to print; 6 by default");
    flag(command, "--json", request.json, "print JSON");
    add_quiet(command, request.quiet);
    add_reading(command, request.in.read);
    add_hand(command, request.advise);
  }

  void add_check() {
    CheckRequest& request = check_;
    CLI::App* command = add_command("check", [this] { return check_request(); });
    flag(command, "--rules", request.list_rules, "list all rules, with reasons and fixes");
    value(
        command, "--fix", "OUT", [&request](auto, auto text) { request.fix = text; },
        "fix whatever has one right answer and write OUT,\na copy where nothing has; the findings are then\n"
        "those of OUT");
    flag(command, "--force", request.force, "overwrite OUT if it exists");
    flag(command, "--strict", request.strict, "treat warnings as errors");
    flag(command, "--all", request.all, "list every finding of a rule, however many");
    flag(command, "--json", check_json_, "print findings as JSON");
    flag(command, "--sarif", check_sarif_, "print findings as SARIF 2.1.0");
    add_jobs(command, request.jobs);
    add_max_bytes(command, request.check.max_bytes);
    const auto set_rules = [](std::vector<std::string>& list) {
      return [&list](auto name, auto text) { list = rule_names(name, text); };
    };
    const auto set_severity = [](Severity& bound) {
      return [&bound](auto name, auto text) { bound = severity(name, text); };
    };
    value(command, "--only", "RULES", set_rules(request.check.only),
          "only these rules or families, separated by commas", which_rules);
    value(command, "--skip", "RULES", set_rules(request.check.skip), "all but these", which_rules);
    value(command, "--min-severity", "S", set_severity(request.check.least),
          "leave out below S: note (default), warning, error", which_rules);
    value(command, "--max-severity", "S", set_severity(request.check.most),
          "leave out above S: error by default", which_rules);
    add_hand(command, request.check.hands);
  }

  std::string single_input() const {
    if (inputs_.empty()) throw UsageError("no input given; name a file, or - for standard input");
    if (inputs_.size() > 1) throw UsageError("takes one input, but " + inputs_given());
    return inputs_.front();
  }

  std::vector<std::string> several_inputs() const {
    if (inputs_.empty()) throw UsageError("no input given; name files, or - for standard input");
    if (std::count(inputs_.begin(), inputs_.end(), standard_stream) > 1) {
      throw UsageError("standard input (-) can be read only once");
    }
    return inputs_;
  }

  std::string inputs_given() const { return std::to_string(inputs_.size()) + " were given"; }

  bool is_given(const std::string& option) const { return app_.get_subcommands().front()->count(option) > 0; }

  void require_one_way_to_say_position() const {
    if (is_given("--neck") && is_given("--position")) {
      throw UsageError("--neck and --position cannot be combined");
    }
  }

  Request convert_request() {
    convert_.inputs = several_inputs();
    convert_.format = format();
    require_one_way_to_say_position();
    require_options_of_format();
    if (is_musicxml(convert_.format)) convert_.musicxml.encoding_date = encoding_date();
    if (convert_.json && convert_.output == standard_stream) {
      throw UsageError("--json and -o - would both write to standard output; give -o a file");
    }
    return convert_;
  }

  OutputFormat format() const {
    const std::string& output = convert_.output;
    if (output.empty() == convert_.directory.empty()) throw UsageError("give either -o OUT or -d DIR");
    if (!convert_.directory.empty()) {
      if (!to_) throw UsageError("-d needs --to musicxml, mxl, mid or txt");
      if (std::count(inputs_.begin(), inputs_.end(), standard_stream) != 0) {
        throw UsageError("-d names outputs after inputs, and standard input has no name; use -o");
      }
      return *to_;
    }
    if (inputs_.size() > 1) {
      throw UsageError("-o takes one input, but " + inputs_given() + "; use -d DIR for several");
    }
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
  void require_options_of_format() const {
    struct Belongs {
      const char* option;
      OutputFormat format;
    };
    constexpr std::array<Belongs, 6> options{{{"--staves", OutputFormat::musicxml},
                                              {"--fifth-frets", OutputFormat::musicxml},
                                              {"--channel-per-string", OutputFormat::midi},
                                              {"--no-repeats", OutputFormat::midi},
                                              {"--width", OutputFormat::text},
                                              {"--fingers", OutputFormat::text}}};
    for (const Belongs& one : options) {
      const bool fits = one.format == convert_.format ||
                        (one.format == OutputFormat::musicxml && is_musicxml(convert_.format));
      if (fits || !is_given(one.option)) continue;
      throw UsageError(std::string(one.option) + " is for " + std::string(name(one.format)) +
                       ", but the output is " + std::string(name(convert_.format)));
    }
  }

  Request show_request() {
    show_.input = single_input();
    require_one_way_to_say_position();
    show_.hands.explain = show_.explain;
    return show_;
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

  std::string see_help() const {
    const auto asked = app_.get_subcommands();
    const std::string command = asked.empty() ? "" : " " + asked.front()->get_name();
    return "; see 'fifthpeg" + command + " --help'";
  }

  static std::string unknown_command(const std::string& name) {
    return "unknown command '" + printable(name) + "'; choose " + command_names("or");
  }

  std::string message_of(const CLI::ParseError& error) const {
    const std::vector<std::string> rest = app_.remaining(true);
    if (dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr && !rest.empty()) {
      if (app_.get_subcommands().empty() && !rest.front().starts_with('-'))
        return unknown_command(rest.front());
      return "unknown option '" + printable(rest.front()) + "'";
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

  std::vector<std::string> inputs_;
  std::optional<OutputFormat> to_;
  ConvertOptions convert_;
  ShowOptions show_;
  DescribeOptions describe_;
  AdviseRequest advise_;
  CheckRequest check_;
  bool check_json_ = false;
  bool check_sarif_ = false;
};

}  // namespace

Request parse_command_line(int argc, const char* const* argv) {
  return CommandLine().parse(argc, argv);
}

std::vector<OptionText> option_texts(const std::string& command) {
  return CommandLine().option_texts(command);
}

}  // namespace fifthpeg::cli
