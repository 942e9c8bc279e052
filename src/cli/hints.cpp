#include "cli/hints.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <string_view>

#include "cli/option_values.hpp"
#include "hands/usual_set_ups.hpp"

namespace fifthpeg::cli {
namespace {

struct Hint {
  std::string_view code;  // of an error, of an entry in a report, or of a rule
  std::string_view text;  // put behind what is said; @ stands for the half steps of a move that helps
  std::string_view of_only_part = text;              // where there is no other part
  std::string_view of_several_lines = of_only_part;  // nor, but several staves or voices
};
constexpr auto hints = std::to_array<Hint>({
    {"capo-off-neck", "; change it, or give --frets"},
    {"input-too-large", "; --max-bytes raises the limit"},
    {"no-octave-fits", ", but --other-keys may find a key that does"},
    {"note-out-of-range", "; --transpose @ brings every note in", "; --transpose @ brings every note in",
     "; --staff 1 reads one staff of the part, and --voice 1 one voice; --transpose @ brings every note in"},
    {"notes-span-too-wide", ", so that no --transpose brings them all in; another --part or --tuning may",
     ", so that no --transpose brings them all in; another --tuning may",
     ", so that no --transpose brings them all in; one --staff or --voice may fit"},
    {"chart-for-music", "; give the music, and the chart with --chords"},
    {"no-roles", "; --only is for what 'fifthpeg arrange' writes"},
    {"no-move-fits", "; another --part or --tuning may help", "; another --tuning may help",
     "; one --staff or --voice may fit"},
    {"stroke-cannot-be-held", "; thinning (--thin) lets inner notes go",
     "; thinning (--thin) lets inner notes go",
     "; thinning (--thin) lets inner notes go, and --staff or --voice reads one of them"},
    {"tune-too-wide", "; another --part may fit", "", "; one --staff or --voice may fit"},
    {"midi-part", "; --part reads another"},
    {"musicxml-part", "; --part reads another"},
    {"musicxml-voices", "; --staff or --voice reads one of them"},
    {"music-moved-with-strings", "; --keep-pitches keeps the pitches and changes the tab"},
    {"moved-from-found-key", "; if that key is wrong, give the right one with --source-key"},
    {"key-of-other-mode", "; if that key is wrong, give the right one with --source-key"},
    {"octave-held-back", "; --fold plays such notes in another octave"},
    {"fingering-kept", "; --refinger all chooses all of them again"},
    {"high-on-the-neck", "; 'fifthpeg advise' says which tuning and capo suit it"},
    {"tab-finger", "; --fingers adds a line for them"},
    {"tab-role", "; --roles adds a line for it"},
    {"places-not-written", "; --channel-per-string keeps them"},
    {"midi-take",
     "; if that is wrong, set --meter, --pickup or --grid, or keep the file's beats with --keep-beats"},
    {"text-tab-spacing", "; --unit and --meter say otherwise"},
    {"text-tab-no-bars", "; --unit and --meter say otherwise"},
    {"text-tab-meter", "; --meter says otherwise"},
    {"midi-no-beat", "; --meter, --pickup and --grid may help"},
    {"no-chords", "; --chords infer finds some"},
    {"lick-in-one-ending", "; --in-one-ending puts it there"},
    {"practice-tempo", "; --tempo says otherwise"},
    {"slur-of-style", "; --slurs keep adds none"},
    {"sheet-no-roles", "; 'fifthpeg arrange' writes music that says it"},
    {"sheet-too-high", "; a smaller --size lets it fit"},
    {"title-from-name", "; --title gives another"},
    {"part-named-banjo", "; --part-name gives another name"},
    {"file-too-large", " Use --max-bytes."},
});

const Hint& hint_for(std::string_view code) {
  static constexpr Hint none{};
  const auto found =
      std::find_if(hints.begin(), hints.end(), [&](const Hint& hint) { return hint.code == code; });
  return found == hints.end() ? none : *found;
}

std::string hint_of_capo(const std::string& how, const Key& wanted, int capo) {
  constexpr int highest = 5;  // common practice: above it few frets are left
  if (capo < 1 || capo > highest) return {};
  const std::string key = key_text(wanted);
  const bool one_word = key.find(' ') == std::string::npos;
  return "; " + how + ": --key " + (one_word ? key : "'" + key + "'") + " --capo " + std::to_string(capo);
}

// "A minor shapes".
std::string shapes_text(Step tonic, bool minor) {
  std::string text = to_string(Pitch{tonic, 0, 0});
  text.pop_back();  // its octave
  return text + (minor ? " minor shapes" : " shapes");
}

}  // namespace

std::string with_hint(const Error& error) {
  const Hint& found = hint_for(error.code());
  const ErrorData& data = error.data();
  std::string hint(data.several_lines ? found.of_several_lines
                   : data.only_part   ? found.of_only_part
                                      : found.text);
  if (const std::size_t at = hint.find('@'); at != std::string::npos) {
    if (data.half_steps) {
      hint.replace(at, 1, std::to_string(*data.half_steps));
    } else {
      hint = "; another --transpose or --tuning may bring it in";
    }
  }
  return error.what() + hint;
}

Entry with_hint(Entry entry) {
  entry.text += hint_for(entry.slug).text;
  return entry;
}

std::string hint_of_capo_for_tab(const Key& wanted, int half_steps, int capo) {
  if (half_steps < 1) return {};
  return hint_of_capo("with a capo the tab stays as it is", wanted, capo + half_steps);
}

std::string hint_of_capo_for_shapes(const Key& wanted, const Tuning& tuning, Style style) {
  const bool minor = is_minor(wanted.mode);
  const auto usual = hands::usual_set_ups(style == Style::automatic ? Style::roll : style,
                                          {pitch_class(pitch_at(tonic(wanted), 60).midi()), !minor});
  const auto first = std::find_if(usual.begin(), usual.end(),
                                  [&](const hands::UsualSetUp& one) { return one.tuning->tuning == tuning; });
  if (first == usual.end() || first->fifth_capo != usual_fifth_capo(first->capo)) return {};
  return hint_of_capo("in " + shapes_text(first->shapes, minor) + " with a capo", wanted, first->capo);
}

std::string hint_of_key_for_capo(const Banjo& banjo, bool minor, Style style) {
  constexpr std::array<std::string_view, 12> major_keys{"C",  "Db", "D",  "Eb", "E",  "F",
                                                        "F#", "G",  "Ab", "A",  "Bb", "B"};
  constexpr std::array<std::string_view, 12> minor_keys{"Cm",  "C#m", "Dm",  "Ebm", "Em",  "Fm",
                                                        "F#m", "Gm",  "G#m", "Am",  "Bbm", "Bm"};
  std::optional<hands::UsualSetUp> best;
  std::string_view key;
  for (std::size_t tonic = 0; tonic < major_keys.size(); ++tonic) {
    for (const auto& one : hands::usual_set_ups(style, {static_cast<int>(tonic), !minor})) {
      if (one.tuning->tuning != banjo.tuning || one.capo != banjo.capo) continue;
      const bool better = !best || one.rank < best->rank || (one.rank == best->rank && one.shapes == Step::G);
      if (!better) continue;
      best = one;
      key = (minor ? minor_keys : major_keys).at(tonic);
    }
  }
  if (!best) return {};
  return "; --key " + std::string(key) + " plays " + shapes_text(best->shapes, minor) + " with it";
}

std::string hint_of_part(std::size_t number, const std::string& name) {
  const std::string text = std::to_string(number);
  return "; part " + text + (name.empty() ? "" : " (" + name + ")") + " has such notes: --part " + text +
         " reads it";
}

std::string with_hint(const Rule& rule) {
  return std::string(rule.fix) + std::string(hint_for(rule.slug).text);
}

}  // namespace fifthpeg::cli
