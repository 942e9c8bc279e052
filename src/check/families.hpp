// The families of rules that look at a file as a whole.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "check/findings.hpp"
#include "check/part_rules.hpp"
#include "fifthpeg/read.hpp"
namespace fifthpeg::midi {
struct Scan;
enum class Meta : std::uint8_t;
}  // namespace fifthpeg::midi
namespace fifthpeg::musicxml {
struct Decoded;
}

namespace fifthpeg::check {

// The names of rules and families that a file asks to be silent about: text events of MIDI, processing
// instructions of MusicXML (see Checked::silenced).
std::vector<std::string> silenced_by(const midi::Scan& scan);
std::vector<std::string> silenced_by(std::string_view text);

// The bytes of a MIDI file, as the scan of the reader found them, and the notes in it.
void midi_byte_rules(const midi::Scan& scan, Findings& findings);

// A compressed file. Returns the bytes of its score; empty where it cannot be had.
std::string container_rules(std::string_view archive, std::size_t max_bytes, Findings& findings);
// The encoding of XML; false where it cannot be read.
bool encoding_rules(std::string_view bytes, musicxml::Decoded& decoded, Findings& findings);

// The grammar of MusicXML. False where the file is no score, or could not be looked at to its end. Where it
// is in another encoding than it says, or has characters that XML does not allow, that is said, and the rest
// is judged without it.
bool grammar_rules(std::string_view bytes, const musicxml::Decoded& decoded, std::size_t most,
                   Findings& findings);

// What a teacher wants on a handout: sums up over measures.
class TeachingRules {
 public:
  explicit TeachingRules(Findings& findings) : findings_(findings) {}

  void head(const Head& head);
  void measure(const RawPart& part, const RawMeasure& measure);
  void finish(const Head& head, const std::vector<const RawPart*>& parts);
  bool tempo_shown() const { return tempo_; }
  // Text that went through a wrong encoding; at most one finding a text.
  void text(const Place& place, std::string_view text);

 private:
  struct Last {
    bool known = false;
    Place place;
    Fraction extent;
    Fraction length;
    Fraction pickup;
  };

  Findings& findings_;
  bool notes_ = false;
  bool tempo_ = false;
  bool chords_ = false;
  bool picking_fingers_ = false;
  std::map<std::string, Last> last_;  // by part id
};

// The same for MIDI, from what was read of it.
void teaching_rules(const Reading& reading, const midi::Scan& scan, Findings& findings);
// Whether an event of a type is in the file.
bool states(const midi::Scan& scan, midi::Meta type);

// Where a score was read from: the name of its part, and the line of each measure, where there are lines.
struct Origin {
  std::string part;
  std::vector<std::int64_t> lines;
  bool tempo = true;  // whether the file states one; without it nothing is said of how fast hands have to be
};

// A place in a score as one in its file: with the name of the part, and the line where it has none.
Place in_file(Place place, const Score& score, const Origin& origin);

// What was reported while the score was read, or fingered: after all rules that say a part of it better.
void reading_rules(const Report& report, const Score& score, const Origin& origin, Findings& findings);

// Both hands, by the model that assigns fingerings. Returns what that reports of the file's own.
Report hands_rules(const Score& score, const HandsOptions& options, const Origin& origin, Findings& findings);

}  // namespace fifthpeg::check
