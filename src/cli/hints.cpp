#include "cli/hints.hpp"

#include <algorithm>
#include <array>
#include <string_view>

namespace fifthpeg::cli {
namespace {

struct Hint {
  std::string_view code;  // of an error, of an entry in a report, or of a rule
  std::string_view text;  // put behind what is said; @ stands for the half steps of a move that helps
};
constexpr auto hints = std::to_array<Hint>({
    {"capo-off-neck", "; change it, or give --frets"},
    {"input-too-large", "; --max-bytes raises the limit"},
    {"no-octave-fits", ", but --other-keys may find a key that does"},
    {"note-out-of-range", "; --transpose @ brings every note in"},
    {"notes-span-too-wide", ", so that no --transpose brings them all in; another --part or --tuning may"},
    {"no-move-fits", "; another --part or --tuning may help"},
    {"stroke-cannot-be-held", "; thinning (--thin) lets inner notes go"},
    {"tune-too-wide", "; another --part may fit"},
    {"music-moved-with-strings", "; --keep-pitches keeps the pitches and changes the tab"},
    {"moved-from-found-key", "; --source-key says if it is in another"},
    {"key-of-other-mode", "; --source-key says if it is in another"},
    {"octave-held-back", "; --fold plays such notes in another octave"},
    {"fingering-kept", "; --refinger all finds all of them anew"},
    {"high-on-the-neck", "; 'fifthpeg advise' says which tuning and capo suit it"},
    {"places-not-written", "; --channel-per-string keeps them"},
    {"midi-take", "; --meter, --pickup and --grid say otherwise, --keep-beats takes the file's"},
    {"midi-no-beat", "; --meter and --grid may help to find it"},
    {"slur-of-style", "; --slurs keep adds none"},
    {"title-from-name", "; --title gives another"},
    {"part-named-banjo", "; --part-name gives another name"},
    {"file-too-large", " Use --max-bytes."},
});

std::string_view hint_for(std::string_view code) {
  const auto found =
      std::find_if(hints.begin(), hints.end(), [&](const Hint& hint) { return hint.code == code; });
  return found == hints.end() ? std::string_view{} : found->text;
}

}  // namespace

std::string with_hint(const Error& error) {
  std::string hint(hint_for(error.code()));
  if (const std::size_t at = hint.find('@'); at != std::string::npos) {
    if (error.data().half_steps) {
      hint.replace(at, 1, std::to_string(*error.data().half_steps));
    } else {
      hint = "; another --transpose or --tuning may bring it in";
    }
  }
  return error.what() + hint;
}

Entry with_hint(Entry entry) {
  entry.text += hint_for(entry.slug);
  return entry;
}

std::string with_hint(const Rule& rule) {
  return std::string(rule.fix) + std::string(hint_for(rule.slug));
}

}  // namespace fifthpeg::cli
