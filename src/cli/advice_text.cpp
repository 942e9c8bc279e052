#include "cli/advice_text.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>

#include "base/text.hpp"
#include "cli/json.hpp"
#include "cli/messages.hpp"
#include "cli/option_values.hpp"
#include "score/interval.hpp"
namespace fifthpeg::cli {
namespace {

std::string set_up_text(const Banjo& banjo) {
  std::string text = to_string(banjo.tuning);
  if (banjo.capo != 0) text += ", capo " + std::to_string(banjo.capo);
  if (banjo.fifth_capo != fifth_nut_fret) text += ", fifth string at " + std::to_string(banjo.fifth_capo);
  return text;
}

std::string move_text(const AdviseRequest& request, int half_steps) {
  if (half_steps == 0) return request.in.key ? "as asked for" : "as written";
  return interval_text(half_steps) + (half_steps > 0 ? " up" : " down");
}

std::string name_of(const Reading& reading) {
  const std::string& title = reading.score.work.title;
  return title.empty() ? "" : " (" + printable(title) + ")";
}

// As bash reads bytes that are not safe to show: $'a\\x1bb'.
std::string escaped_word(const std::string& text) {
  std::string quoted = "$'";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '\'' || c == '\\') quoted += '\\';
    if (byte >= 0x20 && byte < 0x7F) {
      quoted += c;
    } else {
      std::array<char, 8> code{};
      std::snprintf(code.data(), code.size(), "\\x%02x", static_cast<unsigned>(byte));
      quoted += code.data();
    }
  }
  return quoted + "'";
}

// Quoted where a shell needs it, and never taken for an option.
std::string word(const std::string& text) {
  const auto is_plain = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '/' ||
           c == '.' || c == '-' || c == '_' || c == '+' || c == ',';
  };
  std::string path = text.size() > 1 && text.front() == '-' ? "./" + text : text;
  if (!path.empty() && std::all_of(path.begin(), path.end(), is_plain)) return path;
  if (printable(path) != path) return escaped_word(path);
  std::string quoted = "'";
  for (const char c : path) quoted += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return quoted + "'";
}

std::string tuning_text(const Tuning& tuning) {
  const auto& named = named_tunings();
  const auto found =
      std::find_if(named.begin(), named.end(), [&](const NamedTuning& one) { return one.tuning == tuning; });
  return found == named.end() ? spelling(tuning) : std::string(found->slug);
}

// In a name that no shell reads otherwise: "f#DF#AD" is "f-sharpDF-sharpAD".
std::string plain_word(std::string_view text) {
  std::string plain;
  for (const char c : text) plain += c == '#' ? "-sharp" : std::string(1, c == ' ' ? '-' : c);
  return plain;
}

// In the working directory, named after the input and what sets this suggestion apart from the others.
std::string output_for(const AdviseRequest& request, const std::string& input, const Advice& one) {
  std::string name = input == standard_stream ? "banjo" : std::filesystem::path(input).stem().string();
  if (request.advise.other_keys) name += "-in-" + plain_word(key_text(one.key));
  name += "-" + plain_word(tuning_text(one.banjo.tuning));
  if (one.banjo.capo != 0) name += "-capo-" + std::to_string(one.banjo.capo);
  if (one.banjo.fifth_capo != usual_fifth_capo(one.banjo.capo))
    name += "-fifth-" + std::to_string(one.banjo.fifth_capo);
  if (one.folded > 0) name += "-fold";
  return name + ".musicxml";
}

// The options given for reading and for the key, so that the same part is read the same way.
std::string reading_text(const InputOptions& in) {
  const ReadOptions& read = in.read;
  std::string text;
  if (!read.part.empty()) text += " --part " + word(read.part);
  if (read.staff) text += " --staff " + std::to_string(*read.staff);
  if (!read.voice.empty()) text += " --voice " + word(read.voice);
  if (read.all_parts) text += " --all-parts";
  if (read.grid) text += " --grid " + to_string(*read.grid);
  if (read.unit) text += " --unit " + to_string(*read.unit);
  if (read.pickup) text += " --pickup " + to_string(*read.pickup);
  if (read.meter) text += " --meter " + to_string(*read.meter);
  if (read.keep_beats) text += " --keep-beats";
  if (!read.straighten_swing) text += " --keep-swing";
  if (read.max_bytes != ReadOptions{}.max_bytes) text += " --max-bytes " + std::to_string(read.max_bytes);
  if (in.key) text += " --key " + word(key_text(*in.key));
  if (in.source_key) text += " --source-key " + word(key_text(*in.source_key));
  return text;
}

std::string decimal_text(double value) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%g", value);
  return text.data();
}

// The options given for the hands: what a smaller or larger one can hold decides what can be played.
std::string hands_text(const AdviseOptions& advise) {
  const AdviseOptions usual;
  std::string text;
  if (advise.style != usual.style) text += " --style " + std::string(slug(advise.style));
  if (advise.scale_length_mm != usual.scale_length_mm)
    text += " --scale-length " + decimal_text(advise.scale_length_mm);
  if (advise.reach != usual.reach) text += " --reach " + decimal_text(advise.reach);
  return text;
}

// All of it, whatever the input is for.
std::string convert_options(const AdviseRequest& request, const Advice& one) {
  return "--tuning " + tuning_text(one.banjo.tuning) + " --capo " + std::to_string(one.banjo.capo) +
         " --fifth-capo " + std::to_string(one.banjo.fifth_capo) +
         (one.folded > 0 ? " --fold" : " --transpose " + std::to_string(one.half_steps)) +
         (one.playable ? "" : " --thin") + hands_text(request.advise);
}

// Only the options that change something: `from` is the banjo that the input is for.
std::string command_text(const AdviseRequest& request, const std::string& input, const Banjo& from,
                         const Advice& one) {
  std::string text = "fifthpeg convert " + word(input) + " -o " + word(output_for(request, input, one)) +
                     reading_text(request.in);
  if (one.banjo.tuning != from.tuning) {
    text += " --tuning " + tuning_text(one.banjo.tuning);
  }
  int fifth_capo = from.fifth_capo;
  if (one.banjo.capo != from.capo) {
    text += " --capo " + std::to_string(one.banjo.capo);
    fifth_capo = usual_fifth_capo(one.banjo.capo);
  }
  if (one.banjo.fifth_capo != fifth_capo) text += " --fifth-capo " + std::to_string(one.banjo.fifth_capo);
  if (one.folded > 0) {
    text += " --fold";
  } else if (one.half_steps != 0) {
    text += " --transpose " + std::to_string(one.half_steps);
  }
  if (!one.playable) text += " --thin";
  return text + hands_text(request.advise);
}

// "open G (gDGBD), capo 2; an octave down, A major; cost 318", the reasons and the command.
std::string row_text(const AdviseRequest& request, const std::string& input, const Reading& reading,
                     const Advice& one) {
  std::string text = set_up_text(one.banjo) + "; " + move_text(request, one.half_steps) + ", " +
                     to_string(one.key) + "; cost " + std::to_string(one.cost) + "\n";
  for (const std::string& reason : one.reasons) text += "     " + reason + "\n";
  return text + "     " + command_text(request, input, reading.score.banjo, one) + "\n";
}

Json row_json(const AdviseRequest& request, const Advice& one) {
  return {{"tuning", spelling(one.banjo.tuning)},
          {"capo", one.banjo.capo},
          {"fifth_capo", one.banjo.fifth_capo},
          {"half_steps", one.half_steps},
          {"key", to_string(one.key)},
          {"shapes", to_string(one.shapes)},
          {"cost", one.cost},
          {"setup_cost", one.setup_cost},
          {"notes", one.notes},
          {"open", one.open},
          {"folded", one.folded},
          {"playable", one.playable},
          {"reasons", one.reasons},
          {"convert_options", convert_options(request, one)}};
}

constexpr char below[] =
    "\n"
    "The cost is what the whole tune asks of the hands, about 20 for each finger put down; lower is\n"
    "easier. It compares ways to play this tune, not one tune with another. What players try first\n"
    "for the style and the key comes first, unless another way asks much less.\n";

}  // namespace

std::string advice_text(const AdviseRequest& request, const std::string& input, const Reading& reading,
                        const std::vector<Advice>& advice, const std::optional<Advice>& folding) {
  std::string text = printable(input_name(input)) + name_of(reading) + "\n";
  int rank = 0;
  for (const Advice& one : advice) {
    text += "\n" + std::to_string(++rank) + "  " + row_text(request, input, reading, one);
  }
  if (folding) {
    text += std::string("\n") + (advice.empty() ? "Only" : "Easier") + " with --fold, which plays " +
            std::to_string(folding->folded) + " of " + base::counted(folding->notes, "note") +
            " in another octave:\n   " + row_text(request, input, reading, *folding);
  }
  return text + below;
}

Json advice_json(const AdviseRequest& request, const std::string& input, const Reading& reading,
                 const std::vector<Advice>& advice, const std::optional<Advice>& folding) {
  Json list = Json::array();
  for (const Advice& one : advice) list.push_back(row_json(request, one));
  if (list.empty() && folding) list.push_back(row_json(request, *folding));
  Json document{{"input", input},
                {"title", reading.score.work.title},
                {"advice", std::move(list)},
                {"told", to_json(reading.report)}};
  if (folding) document["folding"] = row_json(request, *folding);
  return document;
}

}  // namespace fifthpeg::cli
