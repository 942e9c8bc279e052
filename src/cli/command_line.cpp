#include "cli/command_line.hpp"

#include <algorithm>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <thread>
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

// What is written after an option, before it means anything; nothing where the option is not given.
using Text = std::optional<std::string>;

// CLI11's options with our words around them.
class HelpFormatter : public CLI::Formatter {
 public:
  HelpFormatter() { column_width(27); }

  std::string make_help(const CLI::App* app, std::string, CLI::AppFormatMode mode) const override {
    const HelpText& text = help_text(app->get_parent() == nullptr ? "" : app->get_name());
    std::string groups = make_groups(app, mode);  // with two blank lines between one and the next
    for (std::size_t at = groups.find("\n\n\n"); at != std::string::npos; at = groups.find("\n\n\n", at)) {
      groups.erase(at, 1);
    }
    return std::string(text.usage) + groups + "\n" + std::string(text.after);
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

class Commands {
 public:
  Commands() : app_("", "fifthpeg") {
    app_.formatter(std::make_shared<HelpFormatter>());
    app_.set_help_flag("-h,--help", "print this help");
    app_.set_version_flag("--version", "fifthpeg " + std::string(version_text), "print the version");
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
      return Answer{"fifthpeg " + std::string(version_text) + "\n"};
    } catch (const CLI::ParseError& error) {
      throw UsageError(told_by(error) + see_help());
    }
    try {
      if (convert_->parsed()) return convert();
      if (show_->parsed()) return show();
      if (describe_->parsed()) return describe();
      if (advise_->parsed()) return advise();
      if (check_->parsed()) return check();
    } catch (const UsageError& error) {
      throw UsageError(error.what() + see_help());
    }
    throw UsageError("no command given; say convert, show, describe, advise or check, see 'fifthpeg --help'");
  }

 private:
  // 'fifthpeg help show' is 'fifthpeg show --help'.
  Answer help_on(const std::string& command) {
    if (command.empty()) return {app_.help()};
    for (const CLI::App* known : app_.get_subcommands({})) {
      if (known->get_name() == command) return {known->help()};
    }
    throw UsageError("'" + printable(command) +
                     "' is no command; say convert, show, describe, advise or check" + see_help());
  }

  // Shared by the commands; each has its own, so that one command's option is no other's.
  struct InputTexts {
    Text part, grid, pickup, max_bytes, tuning, capo, fifth_capo, frets;
    bool all_parts = false;
    bool keep_swing = false;
  };
  struct HandsTexts {
    Text transpose, refinger, style, neck, position, slurs, scale_length, reach;
    bool thin = false;
  };

  static CLI::Option* value(CLI::App* command, const std::string& names, Text& text, const std::string& form,
                            const std::string& description) {
    return command->add_option(names, text, description)->type_name(form);
  }

  CLI::App* add_command(const std::string& name) {
    CLI::App* command = app_.add_subcommand(name);
    command->formatter(std::make_shared<HelpFormatter>());
    command->set_help_flag("-h,--help", "print this help");
    return command;
  }

  static void add_reading_options(CLI::App* command, InputTexts& texts) {
    value(command, "--part", texts.part, "P", "the part to take: its name, or number in 'describe'")
        ->group("Reading");
    command->add_flag("--all-parts", texts.all_parts, "take chord symbols from the other parts too")
        ->group("Reading");
    value(command, "--grid", texts.grid, "STEP",
          "MIDI: the finest note value, such as 1/16, or 1/24\nfor triplets of them")
        ->group("Reading");
    value(command, "--pickup", texts.pickup, "LENGTH",
          "MIDI: how long before the first full measure the\nfirst note comes: 1/8; 0 for on its first beat")
        ->group("Reading");
    command->add_flag("--keep-swing", texts.keep_swing, "MIDI: leave swung eighths as they are")
        ->group("Reading");
    value(command, "--max-bytes", texts.max_bytes, "SIZE", "largest input: 64M, by default")
        ->group("Reading");
  }

  static void add_input_options(CLI::App* command, InputTexts& texts) {
    add_reading_options(command, texts);
    value(command, "--tuning", texts.tuning, "T", "a name or a spelling: open-g, double-c, gDGCD")
        ->group("The banjo (where not given: as the file says, or open G without capo)");
    const std::string group = command->get_option("--tuning")->get_group();
    value(command, "--capo", texts.capo, "N", "fret of the capo; 0 is none")->group(group);
    value(command, "--fifth-capo", texts.fifth_capo, "F",
          "fret where the short string begins: 5 is its own\nnut; by default it goes along with --capo")
        ->group(group);
    value(command, "--frets", texts.frets, "N", "frets on the neck; 22 by default")->group(group);
  }

  static void add_hands_options(CLI::App* command, HandsTexts& texts) {
    value(command, "--transpose", texts.transpose, "auto|N",
          "half steps to move by; auto (default) moves by\noctaves, and only if notes are out of range "
          "or,\nmany of them, of the frets that are asked for")
        ->group("Hands");
    command->add_flag("--thin", texts.thin, "drop inner notes of chords that no hand can hold")
        ->group("Hands");
    value(command, "--refinger", texts.refinger, "missing|all|frets-only",
          "find what the file does not say (default), all,\nor strings, frets and fingers but no digits")
        ->group("Hands");
    value(command, "--neck", texts.neck, "any|low|high", "the part of the neck to stop strings in")
        ->group("Hands");
    value(command, "--position", texts.position, "A-B", "stop strings from fret A to fret B only")
        ->group("Hands");
    value(command, "--slurs", texts.slurs, "keep|suggest",
          "suggest: add hammer-ons, pull-offs and slides\nwhere a line is fast; keep: add none. "
          "Otherwise\nonly clawhammer adds some, off the beat")
        ->group("Hands");
    add_hand_size(command, texts);
  }

  static void add_hand_size(CLI::App* command, HandsTexts& texts) {
    value(command, "--style", texts.style, "STYLE",
          "roll (default), melodic, single-string,\nclawhammer, or auto: what is easiest")
        ->group("Hands");
    value(command, "--scale-length", texts.scale_length, "MM", "nut to bridge; 667 mm by default")
        ->group("Hands");
    value(command, "--reach", texts.reach, "FACTOR", "scales stretch limits: 0.9 for a smaller hand")
        ->group("Hands");
  }

  void add_convert() {
    convert_ = add_command("convert");
    convert_->add_option("IN", convert_inputs_)->type_name("");
    value(convert_, "-o,--output", output_, "OUT", "the file to write; - is standard output");
    value(convert_, "-d,--directory", directory_, "DIR", "write a file for each input there");
    value(convert_, "--to", to_, "FORMAT", "musicxml, mxl, mid or txt, where OUT does not say");
    convert_->add_flag("--force", force_, "replace files that exist, but never an input");
    convert_->add_flag("--strict", strict_, "write nothing where anything would be lost");
    convert_->add_flag("--json", json_, "report on standard output for programs");
    value(convert_, "--jobs", jobs_, "N", "inputs at a time; by default one a processor");
    convert_->add_flag("-q,--quiet", quiet_, "say nothing but errors");
    add_input_options(convert_, convert_in_);
    add_hands_options(convert_, convert_hands_);
    value(convert_, "--staves", staves_, "WHICH", "MusicXML: both (default), notation or tab")
        ->group("Writing");
    value(convert_, "--fifth-frets", fifth_frets_, "FROM",
          "MusicXML: short string's frets counted from\nlong-nut (default) or own-nut")
        ->group("Writing");
    convert_->add_flag("--channel-per-string", channel_per_string_, "MIDI: string 1 on channel 1, and so on")
        ->group("Writing");
    convert_->add_flag("--no-repeats", no_repeats_, "MIDI: play repeated sections once")->group("Writing");
    value(convert_, "--width", width_, "N", "text tab: columns; 80 by default")->group("Writing");
    convert_->add_flag("--fingers", fingers_, "text tab: a line for the fret hand's fingers as well")
        ->group("Writing");
  }

  void add_show() {
    show_ = add_command("show");
    show_->add_option("IN", show_inputs_)->type_name("");
    value(show_, "--width", show_width_, "N", "columns; by default the terminal's, or 80");
    show_->add_flag("--fingers", fingers_, "a line for the fret hand's fingers as well");
    show_->add_flag("--explain", explain_, "below the tab, what each stroke costs the hands");
    show_->add_flag("-q,--quiet", quiet_, "say nothing but errors");
    add_input_options(show_, show_in_);
    add_hands_options(show_, show_hands_);
  }

  void add_describe() {
    describe_ = add_command("describe");
    describe_->add_option("IN", describe_inputs_)->type_name("");
    describe_->add_flag("--json", json_, "the same for programs");
    describe_->add_flag("-q,--quiet", quiet_, "say nothing but errors");
    add_input_options(describe_, describe_in_);
  }

  void add_check() {
    check_ = add_command("check");
    check_->add_option("IN", check_inputs_)->type_name("");
    check_->add_flag("--rules", list_rules_, "list all rules, with reasons and remedies");
    value(check_, "--fix", fix_, "OUT",
          "mend what has one right answer, into OUT, which\nis a copy where nothing has; the findings are "
          "those\nof the result");
    check_->add_flag("--force", force_, "replace OUT if it exists");
    check_->add_flag("--strict", strict_, "warnings count like errors");
    check_->add_flag("--all", all_findings_, "tell a rule's findings one by one, however many");
    check_->add_flag("--json", json_, "findings for programs");
    check_->add_flag("--sarif", sarif_, "findings in SARIF 2.1.0, for programs too");
    value(check_, "--jobs", jobs_, "N", "files at a time; by default one a processor");
    value(check_, "--max-bytes", check_max_bytes_, "SIZE", "largest input: 64M, by default");
    const std::string group = "Which rules";
    value(check_, "--only", only_, "RULES", "only these: rules or families, commas between")->group(group);
    value(check_, "--skip", skip_, "RULES", "all but these")->group(group);
    value(check_, "--min-severity", least_, "S", "leave out below S: note (default), warning, error")
        ->group(group);
    value(check_, "--max-severity", most_severe_, "S", "leave out above S: error by default")->group(group);
    add_hand_size(check_, check_hands_);
  }

  void add_advise() {
    advise_ = add_command("advise");
    advise_->add_option("IN", advise_inputs_)->type_name("");
    advise_->add_flag("--other-keys", other_keys_, "consider other sounding keys too");
    value(advise_, "--most", most_, "N", "how many ways to show; 6 by default");
    advise_->add_flag("--json", json_, "the same for programs");
    advise_->add_flag("-q,--quiet", quiet_, "say nothing but errors");
    add_reading_options(advise_, advise_in_);
    add_hand_size(advise_, advise_hands_);
  }

  static InputOptions input_options(const InputTexts& texts) {
    InputOptions in;
    if (texts.part) in.read.part = *texts.part;
    in.read.all_parts = texts.all_parts;
    in.read.straighten_swing = !texts.keep_swing;
    if (texts.grid) in.read.grid = grid_step("--grid", *texts.grid);
    if (texts.pickup) in.read.pickup = note_length("--pickup", *texts.pickup);
    if (texts.max_bytes) in.read.max_bytes = byte_count("--max-bytes", *texts.max_bytes);
    if (texts.tuning) in.banjo.tuning = tuning("--tuning", *texts.tuning);
    constexpr int fewest_frets = 6;  // one more than the fifth string needs to begin at
    constexpr int most_frets = 36;
    if (texts.frets) in.banjo.frets = whole_number("--frets", *texts.frets, fewest_frets, most_frets);
    const int last = in.banjo.frets.value_or(most_frets) - 1;
    if (texts.capo) in.banjo.capo = whole_number("--capo", *texts.capo, 0, last);
    if (texts.fifth_capo) {
      in.banjo.fifth_capo = whole_number("--fifth-capo", *texts.fifth_capo, fifth_nut_fret, last);
    }
    return in;
  }

  static HandsOptions hands_options(const HandsTexts& texts) {
    HandsOptions hands;
    if (texts.transpose) hands.transpose = transposition("--transpose", *texts.transpose);
    if (texts.refinger) hands.refinger = refinger("--refinger", *texts.refinger);
    hands.thin = texts.thin;
    if (texts.style) hands.style = style("--style", *texts.style);
    if (texts.neck) hands.neck = neck("--neck", *texts.neck);
    if (texts.position) hands.position = fret_range("--position", *texts.position);
    if (texts.slurs) hands.suggest_slurs = slurs_suggested("--slurs", *texts.slurs);
    if (texts.neck && texts.position) throw UsageError("--neck and --position are two ways to say one thing");
    // From a ukulele to a longneck and beyond; from a child's hand to twice a grown one.
    if (texts.scale_length) hands.scale_length_mm = decimal("--scale-length", *texts.scale_length, 300, 1000);
    if (texts.reach) hands.reach = decimal("--reach", *texts.reach, 0.5, 2);
    return hands;
  }

  static int width(const std::string& text) {
    return whole_number("--width", text, narrowest_tab, widest_tab);
  }

  static std::string single_input(const std::vector<std::string>& inputs) {
    if (inputs.empty()) throw UsageError("no input given; name a file, or - for standard input");
    if (inputs.size() > 1)
      throw UsageError("takes one input, and there are " + std::to_string(inputs.size()));
    return inputs.front();
  }

  Request convert() {
    ConvertOptions options;
    options.inputs = convert_inputs_;
    if (options.inputs.empty()) throw UsageError("no input given; name files, or - for standard input");
    if (std::count(options.inputs.begin(), options.inputs.end(), standard_stream) > 1) {
      throw UsageError("standard input (-) can be read only once");
    }
    options.output = output_.value_or("");
    options.directory = directory_.value_or("");
    options.format = format();
    options.in = input_options(convert_in_);
    options.hands = hands_options(convert_hands_);
    set_writing(options);
    options.force = force_;
    options.strict = strict_;
    options.json = json_;
    options.quiet = quiet_;
    if (options.json && options.output == standard_stream) {
      throw UsageError("--json and -o - would both write to standard output; give -o a file");
    }
    options.jobs = jobs();
    return options;
  }

  int jobs() const {
    constexpr int most_jobs = 64;
    return jobs_ ? whole_number("--jobs", *jobs_, 1, most_jobs)
                 : std::clamp(static_cast<int>(std::thread::hardware_concurrency()), 1, most_jobs);
  }

  OutputFormat format() const {
    if (output_.value_or("").empty() == directory_.value_or("").empty()) {
      throw UsageError("give either -o OUT or -d DIR to say where the result goes");
    }
    const std::optional<OutputFormat> told = to_ ? std::optional(output_format("--to", *to_)) : std::nullopt;
    if (directory_ && !directory_->empty()) {
      if (!told) throw UsageError("-d needs --to musicxml, mxl, mid or txt");
      if (std::count(convert_inputs_.begin(), convert_inputs_.end(), standard_stream) != 0) {
        throw UsageError("-d names outputs after inputs, and standard input has no name; use -o");
      }
      return *told;
    }
    if (convert_inputs_.size() > 1) {
      throw UsageError("-o takes one input, and there are " + std::to_string(convert_inputs_.size()) +
                       "; use -d DIR for several");
    }
    const std::optional<OutputFormat> named = format_by_extension(*output_);
    if (told && named && told != named) {
      throw UsageError("--to " + *to_ + " and the name '" + printable(*output_) + "' say different formats");
    }
    if (told) return *told;
    if (named) return *named;
    if (*output_ == standard_stream) throw UsageError("-o - needs --to musicxml, mxl, mid or txt");
    throw UsageError("'" + printable(*output_) +
                     "' does not say the format; end it in .musicxml, .xml, .mxl, .mid, .midi or .txt, or "
                     "give --to");
  }

  // An option for one format, given for another, is a mistake that would otherwise go unnoticed.
  void set_writing(ConvertOptions& options) const {
    const OutputFormat format = options.format;
    const auto only_for = [&](bool source_fingering, const char* option, bool right, const char* what) {
      if (!source_fingering || right) return;
      throw UsageError(std::string(option) + " is for " + what + ", and the output is " +
                       std::string(name(format)));
    };
    const bool is_musicxml = format == OutputFormat::musicxml || format == OutputFormat::mxl;
    only_for(staves_.has_value(), "--staves", is_musicxml, "MusicXML");
    only_for(fifth_frets_.has_value(), "--fifth-frets", is_musicxml, "MusicXML");
    only_for(channel_per_string_, "--channel-per-string", format == OutputFormat::midi, "MIDI");
    only_for(no_repeats_, "--no-repeats", format == OutputFormat::midi, "MIDI");
    only_for(width_.has_value(), "--width", format == OutputFormat::text, "text tab");
    only_for(fingers_, "--fingers", format == OutputFormat::text, "text tab");
    if (staves_) options.musicxml.staves = staves("--staves", *staves_);
    if (fifth_frets_) options.musicxml.fifth_frets = fifth_frets("--fifth-frets", *fifth_frets_);
    if (is_musicxml) options.musicxml.encoding_date = encoding_date();
    options.midi.channel_per_string = channel_per_string_;
    options.midi.unfold_repeats = !no_repeats_;
    if (width_) options.text.width = width(*width_);
    options.text.fingers = fingers_;
  }

  Request show() const {
    ShowOptions options;
    options.input = single_input(show_inputs_);
    options.in = input_options(show_in_);
    options.hands = hands_options(show_hands_);
    if (show_width_) options.width = width(*show_width_);
    options.fingers = fingers_;
    options.explain = explain_;
    options.hands.explain = explain_;
    options.quiet = quiet_;
    return options;
  }

  Request describe() const {
    DescribeOptions options;
    options.input = single_input(describe_inputs_);
    options.in = input_options(describe_in_);
    options.json = json_;
    options.quiet = quiet_;
    return options;
  }

  Request advise() const {
    AdviseRequest request;
    request.input = single_input(advise_inputs_);
    request.in = input_options(advise_in_);
    const HandsOptions hands = hands_options(advise_hands_);
    request.advise.style = hands.style;
    request.advise.scale_length_mm = hands.scale_length_mm;
    request.advise.reach = hands.reach;
    request.advise.other_keys = other_keys_;
    if (most_) request.advise.most = static_cast<std::size_t>(whole_number("--most", *most_, 1, 100));
    request.json = json_;
    request.quiet = quiet_;
    return request;
  }

  static std::vector<std::string> names(const Text& text) {
    std::vector<std::string> result;
    std::string name;
    for (const char c : text.value_or("") + ",") {
      if (c != ',') {
        name += c;
        continue;
      }
      if (!name.empty()) result.push_back(name);
      name.clear();
    }
    return result;
  }

  // What --only and --skip name is looked up by the check itself, which would say so once a file.
  static void require_rules(std::string_view option, const std::vector<std::string>& names) {
    for (const std::string& name : names) {
      const auto& all = rules();
      const bool known = std::any_of(all.begin(), all.end(), [&name](const Rule& rule) {
        return rule.slug == name || slug(rule.family) == name;
      });
      if (!known) {
        throw UsageError(std::string(option) + ": '" + printable(name) +
                         "' is neither a rule nor a family of rules; 'fifthpeg check --rules' lists them");
      }
    }
  }

  Request check() const {
    CheckRequest request;
    request.list_rules = list_rules_;
    request.inputs = check_inputs_;
    if (request.inputs.empty() && !list_rules_)
      throw UsageError("no input given; name files, or - for standard input");
    if (std::count(request.inputs.begin(), request.inputs.end(), standard_stream) > 1)
      throw UsageError("standard input (-) can be read only once");
    if (json_ && sarif_) throw UsageError("--json and --sarif are two forms; choose one");
    request.form = json_ ? CheckForm::json : sarif_ ? CheckForm::sarif : CheckForm::text;
    request.fix = fix_.value_or("");
    request.force = force_;
    if (fix_ && fix_->empty()) throw UsageError("--fix needs a name for the result");
    if (fix_ && request.inputs.size() != 1)
      throw UsageError("--fix takes one input, and there are " + std::to_string(request.inputs.size()));
    if (request.fix == standard_stream && (json_ || sarif_))
      throw UsageError("--fix - and a report would both write to standard output; give --fix a file");
    request.strict = strict_;
    request.all = all_findings_;
    request.check.only = names(only_);
    request.check.skip = names(skip_);
    require_rules("--only", request.check.only);
    require_rules("--skip", request.check.skip);
    if (least_) request.check.least = severity("--min-severity", *least_);
    if (most_severe_) request.check.most = severity("--max-severity", *most_severe_);
    if (request.check.least > request.check.most)
      throw UsageError("--min-severity is above --max-severity; nothing would be left");
    if (check_max_bytes_) request.check.max_bytes = byte_count("--max-bytes", *check_max_bytes_);
    request.check.hands = hands_options(check_hands_);
    request.jobs = jobs();
    return request;
  }

  std::string see_help() const {
    const auto asked = app_.get_subcommands();
    const std::string command = asked.empty() ? "" : " " + asked.front()->get_name();
    return "; see 'fifthpeg" + command + " --help'";
  }

  std::string told_by(const CLI::ParseError& error) const {
    const auto asked = app_.get_subcommands();
    const std::vector<std::string> rest = app_.remaining(true);
    if (dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr && !rest.empty()) {
      if (asked.empty() && !rest.front().starts_with('-')) {
        return "'" + printable(rest.front()) +
               "' is no command; say convert, show, describe, advise or check";
      }
      return "unknown option '" + printable(rest.front()) + "'";
    }
    std::string what = error.what();
    if (dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr) {
      const std::string option = what.substr(0, what.find(':'));
      if (what.find("missing") != std::string::npos) return option + " needs a value";
      return option + " takes one value, and is given once";
    }
    return what;
  }

  CLI::App app_;
  CLI::App* convert_ = nullptr;
  CLI::App* show_ = nullptr;
  CLI::App* describe_ = nullptr;
  CLI::App* advise_ = nullptr;
  CLI::App* check_ = nullptr;

  std::vector<std::string> convert_inputs_, show_inputs_, describe_inputs_, advise_inputs_, check_inputs_;
  InputTexts convert_in_, show_in_, describe_in_, advise_in_;
  HandsTexts convert_hands_, show_hands_, advise_hands_, check_hands_;
  Text only_, skip_, least_, most_severe_, check_max_bytes_, fix_;
  bool list_rules_ = false;
  bool all_findings_ = false;
  bool sarif_ = false;
  Text output_, directory_, to_, jobs_, staves_, fifth_frets_, width_, show_width_, most_;
  bool force_ = false;
  bool strict_ = false;
  bool json_ = false;
  bool quiet_ = false;
  bool channel_per_string_ = false;
  bool no_repeats_ = false;
  bool fingers_ = false;
  bool explain_ = false;
  bool other_keys_ = false;
};

}  // namespace

Request parse_command_line(int argc, const char* const* argv) {
  return Commands().parse(argc, argv);
}

}  // namespace fifthpeg::cli
