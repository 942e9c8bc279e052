#include "fifthpeg/check.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <stdexcept>

#include "check/families.hpp"
#include "check/musicxml_rules.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"
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
    } else if (format == Format::text_tab) {
      checked_.format = "text tab";
      tab(bytes);
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
    if (!checked_.readable) return;
    ReadOptions options;
    options.max_bytes = options_.max_bytes;
    const auto reading = attempt([&] { return read(bytes, options); }, midi::at_byte(0));
    if (!reading) return;
    if (selection_.takes(RuleFamily::teaching)) teaching_rules(*reading, scan, findings_);
    judge(*reading, {"", {}, states(scan, midi::Meta::tempo)}, true);
  }

  // A tab says nothing but its music: that is looked at as MusicXML would have it.
  void tab(std::string_view bytes) {
    ReadOptions options;
    options.max_bytes = options_.max_bytes;
    const auto reading = attempt([&] { return read(bytes, options); }, {});
    if (!reading) return;
    StringSink document;
    write_musicxml(reading->score, {}, document);
    Report passed_over;
    const musicxml::Document music(document.str(), musicxml::Document::Damage::stop_at, passed_over);
    Findings found(selection_, options_.max_findings);
    MusicXmlRules(music, found).run();
    Checked of_music;
    found.deliver(of_music);
    for (Finding& finding : of_music.findings) {
      // The lines are those of a document that nobody has.
      findings_.add(finding.rule, {{}, finding.place.measure, finding.place.beat}, std::move(finding.text),
                    finding.string);
    }
    judge(*reading, {"", {}, !reading->score.measures.front().tempos.empty()}, true);
  }

  void xml(std::string_view bytes) {
    musicxml::Decoded decoded;
    if (!encoding_rules(bytes, decoded, findings_)) {
      checked_.readable = false;
      return;
    }
    silence(silenced_by(decoded.text));
    if (!bounded(decoded.text)) return;
    const bool grammar = selection_.takes(RuleFamily::grammar);
    if (grammar) checked_.readable = grammar_rules(bytes, decoded, options_.max_findings, findings_);
    // Who reads the file gets over more than the grammar does.
    if (music() || !grammar) checked_.readable = score(decoded.text);
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

  // False where no score can be made of it.
  bool score(std::string_view text) {
    Report report;
    try {
      const musicxml::Document document(text, musicxml::Document::Damage::stop_at, report);
      MusicXmlRules rules(document, findings_);
      rules.run();
      if (rules.damage()) return broken(*rules.damage());
      const auto reading =
          attempt([&] { return musicxml::reader::read_document(document, {}, std::move(report)); }, {});
      if (!reading) return false;
      const std::string& id = reading->inventory.parts.at(reading->inventory.chosen).id;
      judge(*reading, rules.origin_of(id), rules.is_banjo(id));
    } catch (const ReadError& error) {
      return broken(error);
    }
    return true;
  }

  // Where the XML is broken the grammar says more of it, if that is asked.
  bool broken(const ReadError& error) {
    if (!findings_.has_errors()) findings_.add("reading-refused", error.place(), error.what());
    return false;
  }

  // A score as a player would meet it, and what had to be done to get there.
  void judge(const Reading& reading, const Origin& origin, bool banjo) {
    Report fingering;
    if (banjo && (selection_.takes(RuleFamily::hands) || selection_.takes(RuleFamily::reading) ||
                  selection_.takes("teaching-too-fast"))) {
      fingering = hands_rules(reading.score, options_.hands, origin, findings_);
    }
    reading_rules(reading.report, reading.score, origin, findings_);
    reading_rules(fingering, reading.score, origin, findings_);
  }

  // Whether there are rules to look at that speak of more than bytes and grammar.
  bool music() const {
    using enum RuleFamily;
    constexpr std::array<RuleFamily, 7> families{time, pairs, tab, technique, hands, teaching, reading};
    return std::any_of(families.begin(), families.end(),
                       [this](RuleFamily family) { return selection_.takes(family); });
  }

  // Nothing where no score can be made of the file.
  template <typename Read>
  std::optional<Reading> attempt(Read read, const Place& otherwise) {
    try {
      return read();
    } catch (const Error& error) {
      findings_.add("reading-refused", error.place() == Place{} ? otherwise : error.place(), error.what());
      checked_.readable = false;
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
