#include "fifthpeg/check.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <stdexcept>

#include "check/families.hpp"
#include "check/musicxml_rules.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "formats/midi/scan.hpp"
#include "formats/musicxml/document.hpp"
#include "formats/musicxml/encoding.hpp"
#include "formats/musicxml/measure_splitter.hpp"
#include "formats/musicxml/read_document.hpp"

namespace fifthpeg {
namespace check {
namespace {

class Checking {
 public:
  Checking(const CheckOptions& options)
      : options_(options), selection_(options), findings_(selection_, options.max_findings) {}

  Checked run(std::string_view bytes) {
    if (bytes.size() > options_.max_bytes) {
      findings_.add("file-too-large", {}, "the file has " + std::to_string(bytes.size()) + " bytes");
      checked_.readable = false;
    } else {
      try {
        look(bytes, sniff(bytes));
      } catch (const ReadError& error) {
        findings_.add("file-unknown", error.place(), error.what());
        checked_.readable = false;
      }
    }
    findings_.deliver(checked_);
    return std::move(checked_);
  }

 private:
  void look(std::string_view bytes, Format format) {
    if (format == Format::midi) {
      checked_.format = "MIDI";
      midi(bytes);
    } else if (format == Format::mxl) {
      checked_.format = "compressed MusicXML";
      const std::string score = container_rules(bytes, options_.max_bytes, findings_);
      if (score.empty()) {
        checked_.readable = false;
      } else {
        xml(score);
      }
    } else {
      checked_.format = "MusicXML";
      xml(bytes);
    }
  }

  void midi(std::string_view bytes) {
    const midi::Scan scan = midi::scan(bytes);
    silence(silenced_by(scan));
    midi_byte_rules(scan, findings_);
    checked_.readable = scan.damage.empty();
    ReadOptions options;
    options.max_bytes = options_.max_bytes;
    if (const auto reading = attempt([&] { return read(bytes, options); })) {
      if (selection_.takes(RuleFamily::hands))
        hands_rules(reading->score, options_.hands, {"", {}, states(scan, midi::Meta::tempo)}, findings_);
      if (selection_.takes(RuleFamily::teaching)) teaching_rules(*reading, scan, findings_);
    }
  }

  void xml(std::string_view bytes) {
    musicxml::Decoded decoded;
    if (!encoding_rules(bytes, decoded, findings_)) {
      checked_.readable = false;
      return;
    }
    silence(silenced_by(decoded.text));
    if (!bounded(decoded.text)) return;
    if (selection_.takes(RuleFamily::grammar))
      checked_.readable = grammar_rules(bytes, options_.max_findings, findings_);
    if (music() || !selection_.takes(RuleFamily::grammar))
      checked_.readable = score(decoded.text) && checked_.readable;
  }

  // False for what no parser may see.
  bool bounded(std::string_view text) {
    try {
      musicxml::refuse_crowded_tags(text);
    } catch (const ReadError& error) {
      findings_.add("grammar-too-much", error.place(), error.what());
      checked_.readable = false;
    }
    return checked_.readable;
  }

  // False where it could not be read to its end.
  bool score(std::string_view text) {
    Report passed_over;
    try {
      const musicxml::Document document(text, musicxml::Document::Damage::stop_at, passed_over);
      MusicXmlRules rules(document, findings_);
      rules.run();
      if (rules.damage()) return false;
      if (selection_.takes(RuleFamily::hands) || selection_.takes("teaching-too-fast"))
        hands(document, rules);
    } catch (const ReadError&) {
      return false;  // the grammar reports it
    }
    return true;
  }

  void hands(const musicxml::Document& document, const MusicXmlRules& rules) {
    const auto reading = attempt([&] { return musicxml::reader::read_document(document, {}, {}); });
    if (!reading) return;
    const std::string& id = reading->inventory.parts.at(reading->inventory.chosen).id;
    if (rules.is_banjo(id)) hands_rules(reading->score, options_.hands, rules.origin_of(id), findings_);
  }

  // Whether there are rules to look at that speak of more than bytes and grammar.
  bool music() const {
    using enum RuleFamily;
    constexpr std::array<RuleFamily, 6> families{time, pairs, tab, technique, hands, teaching};
    return std::any_of(families.begin(), families.end(),
                       [this](RuleFamily family) { return selection_.takes(family); });
  }

  // A score as a player would meet it; nothing where the reader gives up, which other findings then explain.
  template <typename Read>
  static std::optional<Reading> attempt(Read read) {
    try {
      return read();
    } catch (const Error&) {
      return std::nullopt;
    }
  }

  void silence(std::vector<std::string> names) {
    selection_.silence(names);
    checked_.silenced = std::move(names);
  }

  const CheckOptions& options_;
  RuleSelection selection_;
  Findings findings_;
  Checked checked_;
};

}  // namespace
}  // namespace check

Checked check_file(std::string_view bytes, const CheckOptions& options) {
  return check::Checking(options).run(bytes);
}

}  // namespace fifthpeg
