#include <algorithm>
#include <utility>

#include "engraving/written_values.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/read.hpp"
#include "formats/musicxml/diagnostics.hpp"
#include "formats/musicxml/document.hpp"
#include "formats/musicxml/encoding.hpp"
#include "formats/musicxml/head.hpp"
#include "formats/musicxml/part_reader.hpp"
#include "formats/musicxml/read_document.hpp"
#include "formats/musicxml/reader/groups.hpp"
#include "formats/musicxml/reader/inventory.hpp"
#include "formats/musicxml/reader/lines.hpp"
#include "formats/musicxml/reader/merge_tab_staff.hpp"
#include "formats/musicxml/reader/strings.hpp"
#include "formats/musicxml/reader/strokes.hpp"
#include "score/chosen_part.hpp"
#include "score/ties.hpp"

namespace fifthpeg {
namespace {

using musicxml::Decoded;
using musicxml::Document;
using musicxml::reader::Diagnostics;
using musicxml::reader::PartChoice;
using musicxml::reader::RawPart;
using musicxml::reader::Survey;

std::string display_name(const PartSummary& part) {
  return part.name.empty() ? part.id : part.name;
}

// Another part that is only the tab of the chosen one, or its notation, is taken with it.
void take_tab_part(const Document& document, const Survey& survey, std::size_t chosen, RawPart& part,
                   Diagnostics& diagnostics) {
  for (std::size_t i = 0; i < survey.parts.size(); ++i) {
    const bool complements = survey.traits[i].tab != survey.traits[chosen].tab;
    if (i == chosen || !complements || survey.parts[i].notes == 0) continue;
    diagnostics.quiet(true);
    RawPart other = read_part(document.parts()[i], diagnostics);
    diagnostics.quiet(false);
    if (!is_copy(part, other)) continue;
    add_as_staves(part, std::move(other));
    diagnostics.choice("musicxml-tab-part",
                       "a part of notation and a part of tab hold the same notes and were read as one", 0);
    return;
  }
}

void take_chords_of_others(const Document& document, std::size_t chosen, RawPart& part,
                           Diagnostics& diagnostics) {
  for (std::size_t i = 0; i < document.parts().size(); ++i) {
    if (i == chosen) continue;
    diagnostics.quiet(true);
    RawPart other = read_part(document.parts()[i], diagnostics);
    diagnostics.quiet(false);
    const std::size_t count = std::min(part.measures.size(), other.measures.size());
    for (std::size_t m = 0; m < count; ++m) {
      auto& ours = part.measures[m].measure.chords;
      std::vector<Fraction> taken;
      taken.reserve(ours.size());
      for (const ChordSymbol& chord : ours) taken.push_back(chord.at);
      std::sort(taken.begin(), taken.end());
      for (ChordSymbol& chord : other.measures[m].measure.chords) {
        if (!std::binary_search(taken.begin(), taken.end(), chord.at)) ours.push_back(std::move(chord));
      }
    }
  }
}

void estimate_missing_key(Score& score, Diagnostics& diagnostics) {
  score.key_estimated = true;
  const Key key = find_key(score);
  for (Measure& measure : score.measures) measure.key = key;
  diagnostics.choice("musicxml-key-estimated",
                     "the file states no key; it was estimated as " + to_string(key), 0);
}

// The stroke that a hand on the strings stops at a place: the one that sounds up to there or over it, maybe
// from the measure before; where there is a rest or nothing, the one that begins there.
Stroke* stopped_at(Score& score, std::size_t measure, Fraction place) {
  std::vector<Stroke>& strokes = score.measures[measure].strokes;
  const auto begins = std::find_if(strokes.begin(), strokes.end(), [place](const Stroke& stroke) {
    return stroke.grace == Grace::none && stroke.onset >= place;
  });
  const auto last_real = [](auto from, auto end) {
    return std::find_if(from, end, [](const Stroke& stroke) { return stroke.grace == Grace::none; });
  };
  const auto before = last_real(std::make_reverse_iterator(begins), strokes.rend());
  if (before != strokes.rend()) {
    if (!before->is_rest()) return &*before;
  } else if (measure > 0) {
    std::vector<Stroke>& earlier = score.measures[measure - 1].strokes;
    const auto last = last_real(earlier.rbegin(), earlier.rend());
    if (last != earlier.rend() && !last->is_rest()) return &*last;
  }
  return begins != strokes.end() && begins->onset == place && !begins->is_rest() ? &*begins : nullptr;
}

void damp(Score& score, std::size_t measure, const std::vector<musicxml::reader::RawDamp>& damps,
          musicxml::reader::Diagnostics& diagnostics) {
  for (const auto& one : damps) {
    Stroke* const stopped = stopped_at(score, measure, one.at);
    if (stopped == nullptr) {
      diagnostics.loss("musicxml-damp",
                       "a sign to damp the strings stands where nothing sounds, and is left out", one.line);
      continue;
    }
    for (Note& note : stopped->notes) note.ring = Ring::damp;
  }
}

// Which roles the notes have, in order; empty where none has any.
std::vector<Role> stated_roles(const Score& score) {
  std::vector<Role> roles;
  if (!has_roles(score)) return roles;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) roles.push_back(note.role);
    }
  }
  return roles;
}

// What is tied has the role of the note that goes on, whatever the file says of it.
void report_tied_roles(const Score& score, const std::vector<Role>& in_file,
                       musicxml::reader::Diagnostics& diagnostics) {
  if (in_file.empty()) return;
  std::size_t at = 0;
  for (const Measure& measure : score.measures) {
    diagnostics.enter_measure(&measure);
    for (const Stroke& stroke : measure.strokes) {
      diagnostics.move_to(stroke.onset);
      for (const Note& note : stroke.notes) {
        const Role said = in_file[at++];
        if (said == Role::none || said == note.role) continue;
        diagnostics.loss("musicxml-role",
                         "a tied note has the role of the note that goes on; its own is left out");
      }
    }
  }
}

// What the inventory counts in the chosen part is what was read from it: copies are one.
void recount(const Score& score, PartSummary& summary) {
  summary.notes = 0;
  summary.lowest.reset();
  summary.highest.reset();
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        if (note.tied_from_previous) continue;
        ++summary.notes;
        const int midi = note.pitch.midi();
        summary.lowest = std::min(summary.lowest.value_or(midi), midi);
        summary.highest = std::max(summary.highest.value_or(midi), midi);
      }
    }
  }
}

}  // namespace

Reading musicxml::reader::read_document(const Document& document, const ReadOptions& options, Report report) {
  Reading reading;
  reading.report = std::move(report);
  Diagnostics diagnostics(reading.report);

  Survey survey = musicxml::reader::survey(document);
  const PartChoice choice = choose(survey, options.part);
  if (survey.parts.size() > 1 && options.part.empty()) {
    reading.report.add(EntryKind::decision, "musicxml-part",
                       chosen_part_text(survey.parts, choice.part, choice.reason));
  }
  reading.inventory.format =
      "MusicXML " + document.version() + (document.timewise() ? " timewise" : " partwise");
  reading.inventory.chosen = choice.part;
  reading.inventory.reason = choice.reason;

  const musicxml::reader::Head head =
      read_head(document.root(), diagnostics).of_part(document.parts()[choice.part].description.id);
  if (survey.parts.size() > 1) diagnostics.enter_part(display_name(survey.parts[choice.part]));
  RawPart part = read_part(document.parts()[choice.part], diagnostics);
  if (survey.parts.size() > 1) {
    if (options.all_parts) take_chords_of_others(document, choice.part, part, diagnostics);
    take_tab_part(document, survey, choice.part, part, diagnostics);
  }

  Score& score = reading.score;
  score.work = head.work;
  score.part_name =
      document.parts()[choice.part].description.listed ? survey.parts[choice.part].name : "Banjo";
  score.banjo = settle_strings(part, head, diagnostics);
  join_copies(part, diagnostics);
  list_lines(part, reading.inventory);
  keep_line(part, options);
  connect_slurs(part, diagnostics);
  score.swing = head.swing ? head.swing : part.swing;
  score.key_estimated = head.key_estimated;
  make_strokes(part, score, diagnostics);
  for (std::size_t m = 0; m < score.measures.size(); ++m) {
    diagnostics.enter_measure(&score.measures[m]);
    damp(score, m, part.measures[m].damps, diagnostics);
  }
  const std::vector<Role> roles = stated_roles(score);
  for (const LooseTie& tie : drop_loose_ties(score)) {
    const Measure& measure = score.measures[tie.measure];
    diagnostics.enter_measure(&measure);
    diagnostics.move_to(measure.strokes[tie.stroke].onset);
    diagnostics.loss("musicxml-tie-alone", "one end of a tie has no other end; it was left out");
  }
  report_tied_roles(score, roles, diagnostics);
  diagnostics.enter_measure(nullptr);
  normalize(score);
  engraving::settle_unparted(score);
  if (!part.has_key && !score.measures.empty()) estimate_missing_key(score, diagnostics);

  recount(score, survey.parts[choice.part]);
  survey.parts[choice.part].percussion |=
      std::any_of(part.staves.begin(), part.staves.end(), [](const auto& staff) { return staff.percussion; });
  reading.inventory.parts = std::move(survey.parts);
  diagnostics.report_layout();
  return reading;
}

Reading read_musicxml(std::string_view bytes, const ReadOptions& options) {
  if (bytes.size() > options.max_bytes) {
    throw ReadError("input-too-large",
                    "the input is larger than " + std::to_string(options.max_bytes) + " bytes", {},
                    {{}, {}, static_cast<std::int64_t>(options.max_bytes)});
  }
  try {
    Report report;
    Decoded decoded;
    decode(bytes, decoded, report);
    const Document document(decoded.text, Document::Damage::refuse, report);
    Reading reading = musicxml::reader::read_document(document, options, std::move(report));
    reading.inventory.encoding = decoded.encoding;
    return reading;
  } catch (const TimeError&) {
    throw ReadError("times are divided too finely to be added up");
  }
}

}  // namespace fifthpeg
