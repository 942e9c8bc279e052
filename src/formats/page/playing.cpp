#include "formats/page/playing.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <utility>

#include "base/text.hpp"
#include "engraving/wording.hpp"
#include "fifthpeg/audio.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/performance.hpp"
#include "performance/backing.hpp"
#include "performance/beats.hpp"

namespace fifthpeg::page {
namespace {

using Json = nlohmann::ordered_json;

void report_unheard(const Score& score, const Performance& performance, Report& report) {
  if (performance.repeats_ignored) {
    report.add(EntryKind::loss, "page-endless-repeats",
               "repeats and jumps would never end; the page plays the piece straight through");
  }
  for (const Unheard& one : performance.unheard) {
    const Measure& measure = score.measures[one.measure];
    const Place place{{}, measure.number, beat_at(measure, measure.strokes[one.stroke].onset)};
    if (one.kind == Unheard::Kind::pitch) {
      report.add(EntryKind::loss, "page-pitch", "a note so low or so high is not played", place);
    }
    if (one.kind == Unheard::Kind::slide) {
      report.add(EntryKind::loss, "page-slide", "a slide that leads nowhere is not heard", place);
    }
  }
}

// To a tenth of a millisecond.
double rounded(double seconds) {
  return std::round(seconds * 1e4) / 1e4;
}

class PlayingPiece {
 public:
  PlayingPiece(const Score& score, Report& report) : score_(score), performance_(perform(score)) {
    report_unheard(score, performance_, report);
  }

  Json rows() const {
    Json piece;
    piece["title"] = base::one_line(score_.work.title);
    piece["numbers"] = Json::array();
    for (const Measure& measure : score_.measures) piece["numbers"].push_back(base::one_line(measure.number));
    std::int64_t end = performance_.measures.empty() ? 0 : performance_.measures.back().end;
    for (const SoundedNote& note : performance_.notes) end = std::max(end, note.end);
    piece["seconds"] = seconds(end);
    piece["roles"] = has_role(score_, Role::melody);
    piece["frets"] = score_.banjo.frets;
    piece["capo"] = score_.banjo.capo;
    piece["strings"] = strings();
    piece["measures"] = measures();
    add_notes(piece);
    piece["backing"] = backing();
    return piece;
  }

 private:
  double seconds(std::int64_t ticks) const { return rounded(performance_.seconds(ticks)); }
  std::int64_t ticks(Fraction whole_notes) const {
    return std::llround((whole_notes / performance_.tick).to_double());
  }

  Json strings() const {
    const Banjo& banjo = score_.banjo;
    Json strings = Json::array();
    for (int string = 1; string <= string_count; ++string) {
      strings.push_back({{"name", engraving::string_name(banjo.tuning, string)},
                         {"midi", banjo.open_midi(string)},
                         {"nut", string == fifth_string ? banjo.fifth_capo : banjo.capo}});
    }
    return strings;
  }

  Json measures() const {
    Json rows = Json::array();
    for (const PlayedMeasure& played : performance_.measures) {
      const Measure& measure = score_.measures[played.measure];
      Measure whole = measure;
      whole.length = measure.meter.length();
      const auto beats = static_cast<std::int64_t>(performance::beats(whole).size());
      const double begins = performance_.seconds(played.start);
      // The tempo where it begins, whatever becomes of it.
      const double whole_note = (performance_.seconds(played.start + ticks(Fraction(1, 64))) - begins) * 64;
      Json row = {played.measure,
                  played.pass,
                  rounded(begins),
                  seconds(played.end),
                  rounded(whole_note * (whole.length / Fraction(beats)).to_double()),
                  beats,
                  rounded(whole_note * (whole.length + counted_before(measure)).to_double())};
      for (const Fraction beat : performance::beats(measure))
        row.push_back(seconds(played.start + ticks(beat)));
      rows.push_back(std::move(row));
    }
    return rows;
  }

  // The notes of a brush begin one after the other, and those of the next stroke behind them.
  void add_notes(Json& piece) const {
    Json strokes = Json::array();
    Json notes = Json::array();
    const Sounding sounds = sounding(score_, performance_);
    const SoundedNote* before = nullptr;
    for (std::size_t i = 0; i < performance_.notes.size(); ++i) {
      const SoundedNote& note = performance_.notes[i];
      if (before == nullptr || before->measure != note.measure || before->stroke != note.stroke ||
          before->pass != note.pass)
        strokes.push_back({seconds(note.start), note.measure, note.stroke, note.pass});
      notes.push_back(note_row(note, sounds.strings[i], strokes.size() - 1));
      before = &note;
    }
    piece["strokes"] = std::move(strokes);
    piece["notes"] = std::move(notes);
  }

  Json note_row(const SoundedNote& sounded, const SoundedString& string, std::size_t stroke) const {
    const Note& note = score_.measures[sounded.measure].strokes[sounded.stroke].notes[sounded.note];
    Json glides = Json::array();
    for (const SoundedGlide& glide : string.glides) {
      glides.push_back({rounded(glide.from - string.start), rounded(glide.to - string.start),
                        glide.cents_from, glide.cents_to});
    }
    return {stroke,
            rounded(string.start),
            rounded(string.end - string.start),
            static_cast<int>(string.string),
            note.placement ? static_cast<int>(note.placement->fret) : -1,
            static_cast<int>(string.midi),
            static_cast<int>(string.velocity),
            static_cast<int>(string.begin),
            static_cast<int>(string.stop),
            string.dead       ? 2
            : string.harmonic ? 1
                              : 0,
            rounded(string.length),
            bend_of(sounded),
            std::move(glides),
            note.finger ? engraving::finger_sign(*note.finger) : "",
            note.picking_finger ? engraving::picking_letter(*note.picking_finger) : "",
            note.role == Role::melody ? 1 : 0};
  }

  int bend_of(const SoundedNote& sounded) const {
    if (sounded.bend < 0) return 0;
    return performance_.bends[static_cast<std::size_t>(sounded.bend)].kind == Bend::Kind::slide ? 1 : 2;
  }

  // What practice tracks have, too. A symbol that says no notes has been drawn: nothing of it is lost.
  Json backing() const {
    Json rows = Json::array();
    const bool has_chords = std::any_of(score_.measures.begin(), score_.measures.end(),
                                        [](const Measure& measure) { return !measure.chords.empty(); });
    if (!has_chords) return rows;
    Report drawn;
    const auto backing =
        performance::backing_for(performance_.repeats_ignored ? score_ : unfolded(score_), drawn);
    std::vector<SoundedString> all;
    for (const Score* part : {&backing.bass, &backing.chords}) {
      for (SoundedString& string : sounding(*part, perform(*part)).strings) {
        string.part = part == &backing.bass ? SoundPart::bass : SoundPart::chords;
        all.push_back(std::move(string));
      }
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const SoundedString& a, const SoundedString& b) { return a.start < b.start; });
    for (const SoundedString& one : all) {
      rows.push_back({rounded(one.start), rounded(one.end - one.start), static_cast<int>(one.part),
                      static_cast<int>(one.string), static_cast<int>(one.midi),
                      static_cast<int>(one.velocity)});
    }
    return rows;
  }

  const Score& score_;
  Performance performance_;
};

}  // namespace

std::string playing_json(const std::vector<Score>& pieces, Report& report) {
  Json music;
  music["pieces"] = Json::array();
  for (const Score& score : pieces) music["pieces"].push_back(PlayingPiece(score, report).rows());
  // Nothing in a string ends a script element or begins a comment.
  std::string text;
  for (const char letter : music.dump(-1, ' ', true)) {
    if (letter == '<') {
      text += "\\u003c";
    } else if (letter == '>') {
      text += "\\u003e";
    } else {
      text += letter;
    }
  }
  return text;
}

}  // namespace fifthpeg::page
