#include "fifthpeg/check.hpp"

#include <algorithm>
#include <array>
#include <memory>
#include <unordered_map>

#include "check/families.hpp"
#include "check/musicxml_rules.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg {
namespace check {
namespace {

class Checking {
 public:
  Checking(const CheckOptions& options)
      : options_(options), choice_(options), findings_(choice_, options.max_findings) {}

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
    bool key = false, tempo = false, meter = false;
    for (const midi::ScannedTrack& track : scan.tracks) {
      for (const midi::MetaEvent& meta : track.metas) {
        key = key || meta.type == midi::Meta::key_signature;
        tempo = tempo || meta.type == midi::Meta::tempo;
        meter = meter || meta.type == midi::Meta::time_signature;
      }
    }
    if (const auto reading = reading_of(bytes)) {
      if (choice_.takes(RuleFamily::hands))
        hands_rules(reading->score, options_.hands, {"", {}, tempo}, findings_);
      std::size_t parts = 0;
      for (const PartSummary& part : reading->inventory.parts) parts += part.notes > 0 ? 1U : 0U;
      if (choice_.takes(RuleFamily::teaching))
        teaching_rules(reading->score, key, tempo, meter, parts, findings_);
    }
  }

  void xml(std::string_view bytes) {
    std::string owned;
    std::string_view text;
    if (!encoding_rules(bytes, text, owned, findings_)) {
      checked_.readable = false;
      return;
    }
    silence(silenced_by(text));
    if (choice_.takes(RuleFamily::grammar)) {
      checked_.readable = grammar_rules(bytes, options_.max_findings, findings_);
      if (!music()) return;
    }
    MusicXmlRules rules(findings_);
    const WalkEnd end = walk(text, rules);
    rules.finish(end.complete);
    checked_.readable = end.complete && end.score;
    if (!end.score) return;
    if (!choice_.takes(RuleFamily::hands) && !choice_.takes("teaching-too-fast")) return;
    if (const auto reading = reading_of(bytes)) {
      const std::string& id = reading->inventory.parts.at(reading->inventory.chosen).id;
      if (rules.is_banjo(id)) hands_rules(reading->score, options_.hands, rules.origin_of(id), findings_);
    }
  }

  // Whether there are rules to look at that speak of more than bytes and grammar.
  bool music() const {
    using enum RuleFamily;
    constexpr std::array<RuleFamily, 6> families{time, pairs, tab, technique, hands, teaching};
    return std::any_of(families.begin(), families.end(),
                       [this](RuleFamily family) { return choice_.takes(family); });
  }

  // As a player would meet it; nothing where the reader gives up, which other findings then explain.
  std::optional<Reading> reading_of(std::string_view bytes) const {
    ReadOptions options;
    options.max_bytes = options_.max_bytes;
    try {
      return read(bytes, options);
    } catch (const Error&) {
      return std::nullopt;
    }
  }

  void silence(std::vector<std::string> names) {
    choice_.silence(names);
    checked_.silenced = std::move(names);
  }

  const CheckOptions& options_;
  Choice choice_;
  Findings findings_;
  Checked checked_;
};

}  // namespace
}  // namespace check

Checked check_file(std::string_view bytes, const CheckOptions& options) {
  return check::Checking(options).run(bytes);
}

}  // namespace fifthpeg
