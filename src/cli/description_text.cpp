#include <algorithm>
#include <array>
#include <cstdio>
#include <string>
#include <vector>

#include "base/text.hpp"
#include "cli/description.hpp"
#include "cli/description_page.hpp"
#include "cli/messages.hpp"
#include "engraving/note_value.hpp"

namespace fifthpeg::cli {
namespace {

// Of a list that may be long, as many as are worth reading.
constexpr std::size_t shown_changes = 5;
constexpr std::size_t shown_chords = 24;

std::string decimal(double value) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.4g", value);
  return text.data();
}

// "quarter", "dotted quarter": a printed note value, or its fraction.
std::string note_value(Fraction length) {
  const engraving::NoteValue value = engraving::single_value(engraving::units_in(length));
  return value ? spoken_name(value) : to_string(length);
}

std::string text_of(const Meter& meter) {
  if (meter.symbol == Meter::Symbol::common) return to_string(meter) + " (C)";
  if (meter.symbol == Meter::Symbol::cut) return to_string(meter) + " (cut C)";
  return to_string(meter);
}
std::string text_of(const Key& key) {
  return to_string(key);
}
std::string text_of(const Tempo& tempo) {
  const Fraction a_minute = tempo.quarters_per_minute * Fraction(1, 4) / tempo.beat_unit;
  const std::string beats = note_value(tempo.beat_unit) + " = " + decimal(a_minute.to_double());
  return tempo.words.empty() ? beats : tempo.words + ", " + beats;
}

// "4/4; from measure 9 3/4; 7 more changes".
template <typename Value>
std::string text_of(const std::vector<Change<Value>>& changes) {
  std::string text;
  for (std::size_t at = 0; at < std::min(changes.size(), shown_changes); ++at) {
    const Change<Value>& change = changes[at];
    if (at > 0) {
      text += "; from measure " + change.measure;
      if (change.beat != 1) text += to_string(Place{{}, {}, change.beat}).insert(0, ", ");
      text += ": ";
    }
    text += text_of(change.value);
  }
  if (changes.size() > shown_changes) {
    text += "; " + base::counted(changes.size() - shown_changes, "more change");
  }
  return text;
}

std::string text_of(const std::vector<Counted>& list, std::size_t shown, const char* separator) {
  std::string text;
  for (std::size_t at = 0; at < std::min(list.size(), shown); ++at) {
    text += (at == 0 ? "" : separator) + list[at].first;
    if (list[at].second > 1) text += " (" + std::to_string(list[at].second) + ")";
  }
  if (list.size() > shown) text += separator + std::to_string(list.size() - shown) + " more";
  return text;
}

// Counts characters, not bytes; wide ones are not looked up.
std::size_t columns(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char byte) { return (static_cast<unsigned char>(byte) & 0xC0) != 0x80; }));
}

std::string instrument_of(const PartSummary& part) {
  std::string text = part.instrument;
  const auto add = [&text](const std::string& more) { text += (text.empty() ? "" : ", ") + more; };
  if (part.program) add("program " + std::to_string(*part.program));
  if (part.channel) add("channel " + std::to_string(*part.channel));
  if (part.percussion) add("percussion");
  return text;
}

void add_parts(Page& page, const Inventory& inventory) {
  using Row = std::array<std::string, 5>;
  std::vector<Row> rows{{"part", "name", "instrument", "notes", "range"}};
  for (std::size_t at = 0; at < inventory.parts.size(); ++at) {
    const PartSummary& part = inventory.parts[at];
    const std::string mark = at == inventory.chosen ? "*" : " ";
    // Of percussion, numbers name instruments, not pitches.
    const bool has_range = part.lowest && part.highest && !part.percussion;
    rows.push_back({std::to_string(at + 1) + " " + mark, printable(part.name.empty() ? part.id : part.name),
                    printable(instrument_of(part)), std::to_string(part.notes),
                    has_range ? pitch_name(*part.lowest) + " to " + pitch_name(*part.highest) : ""});
  }
  std::array<std::size_t, 5> widths{};
  for (const Row& row : rows) {
    for (std::size_t at = 0; at < row.size(); ++at) widths[at] = std::max(widths[at], columns(row[at]));
  }
  page.gap();
  for (const Row& row : rows) {
    std::string line;
    for (std::size_t at = 0; at < row.size(); ++at) {
      line += row[at] + std::string(widths[at] - columns(row[at]) + 2, ' ');
    }
    line.erase(line.find_last_not_of(' ') + 1);
    page.row(line);
  }
  page.gap();
}

void add_music(Page& page, const Reading& reading, const Summary& summary) {
  const Score& score = reading.score;
  page.line("meter", text_of(summary.meters));
  page.line("key", text_of(summary.keys) + (score.key_estimated ? " (estimated: the file gives none)" : ""));
  page.line("tempo", summary.tempos.empty() ? "not given" : text_of(summary.tempos));
  if (score.swing) {
    page.line("swing", note_value(score.swing->unit) + " notes, " + std::to_string(score.swing->first) +
                           " to " + std::to_string(score.swing->second));
  }
  std::string measures = std::to_string(summary.measures);
  if (summary.pickup) measures += ", the first a pickup of " + to_string(*summary.pickup);
  if (summary.irregular_measures > 0) {
    measures += ", " + std::to_string(summary.irregular_measures) + " shorter or longer than the meter";
  }
  page.line("measures", measures);
  std::string form;
  const auto add = [&form](const std::string& text) { form += (form.empty() ? "" : ", ") + text; };
  if (summary.repeats > 0) add(base::counted(summary.repeats, "repeat"));
  if (summary.endings > 0) add(base::counted(summary.endings, "ending"));
  if (!summary.jumps.empty()) add(text_of(summary.jumps, summary.jumps.size(), ", "));
  if (!form.empty()) {
    add(summary.jumps_ignored ? "endless, so played straight through"
                              : std::to_string(summary.measures_as_played) + " measures as played");
  }
  page.line("repeats", form.empty() ? "none" : form);
  page.line("chords",
            summary.chord_symbols.empty() ? "none" : text_of(summary.chord_symbols, shown_chords, "  "));
  page.line("techniques", summary.techniques.empty()
                              ? "none"
                              : text_of(summary.techniques, summary.techniques.size(), ", "));
}

void add_banjo(Page& page, const Score& score, const Summary& summary) {
  const Banjo& banjo = score.banjo;
  std::string set_up = to_string(banjo.tuning);
  if (banjo.capo > 0) set_up += ", capo " + std::to_string(banjo.capo);
  if (banjo.fifth_capo != fifth_nut_fret) set_up += ", fifth string from " + std::to_string(banjo.fifth_capo);
  set_up += ", " + std::to_string(banjo.frets) + " frets, " + pitch_name(banjo.lowest()) + " to " +
            pitch_name(banjo.highest());
  page.line("banjo", set_up);

  std::string notes = std::to_string(summary.notes) + " in " + base::counted(summary.strokes, "stroke");
  if (summary.range) {
    notes += ", " + to_string(summary.range->lowest) + " to " + to_string(summary.range->highest);
  }
  notes += summary.outside_range == 0
               ? ", all in the banjo's range"
               : ", " + std::to_string(summary.outside_range) + " outside the banjo's range";
  page.line("notes", notes);

  if (summary.placed == 0) {
    page.line("positions", "none in the file; 'convert' and 'show' choose them");
    return;
  }
  std::string placed =
      std::to_string(summary.placed) + " of " + std::to_string(summary.notes) + " in the file, ";
  placed += std::to_string(summary.open) + " open";
  if (summary.frets) {
    placed +=
        ", frets " + std::to_string(summary.frets->lowest) + " to " + std::to_string(summary.frets->highest);
  }
  placed += "; strings 1 to 5: ";
  for (std::size_t at = 0; at < summary.on_string.size(); ++at) {
    placed += (at == 0 ? "" : " ") + std::to_string(summary.on_string[at]);
  }
  page.line("positions", placed);
  if (summary.fingered + summary.with_picking_finger > 0) {
    page.line("fingers", std::to_string(summary.fingered) + " of the fret hand, " +
                             std::to_string(summary.with_picking_finger) + " of the picking hand");
  }
}

}  // namespace

std::string pitch_name(int midi) {
  return to_string(spell(midi, Key{}));
}

std::string description_text(const std::string& input, const Reading& reading, const Summary& summary,
                             const ToldOfLick& lick) {
  const Inventory& inventory = reading.inventory;
  const Work& work = reading.score.work;
  Page page(input);
  page.line("format", inventory.format + (inventory.resolution.empty() ? "" : ", " + inventory.resolution) +
                          (inventory.encoding.empty() ? "" : ", " + inventory.encoding));
  page.line("title", work.title);
  page.line("composer", work.composer);
  page.line("arranger", work.arranger);
  page.line("lyricist", work.lyricist);
  page.line("rights", work.rights);
  page.line("source", work.source);
  add_parts(page, inventory);
  if (inventory.chosen < inventory.parts.size()) {
    page.line("reads", "part " + std::to_string(inventory.chosen + 1) +
                           (inventory.reason.empty() ? "" : ": " + inventory.reason));
  }
  std::string lines;
  if (inventory.staves.size() > 1) {
    for (const int staff : inventory.staves)
      lines += (lines.empty() ? "staff " : ", ") + std::to_string(staff);
  }
  if (inventory.voices.size() > 1) {
    lines += lines.empty() ? "" : "; ";
    for (const std::string& voice : inventory.voices) {
      lines += (&voice == &inventory.voices.front() ? "voice " : ", ") + voice;
    }
  }
  page.line("lines", lines);
  if (inventory.residual > 0) {
    constexpr double percent_of_a_quarter = 400.0;
    page.line("timing", "played " + decimal(inventory.residual * percent_of_a_quarter) +
                            " % of a quarter note away from the written time, on average");
  }
  add_music(page, reading, summary);
  add_banjo(page, reading.score, summary);
  add_lick(page, lick);
  return page.take();
}

}  // namespace fifthpeg::cli
