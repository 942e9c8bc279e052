// Reading standard MIDI files, from the bytes to the score. Each step is in a file of its own; this one
// says in which order they follow.

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/read.hpp"
#include "formats/midi/note_pairing.hpp"
#include "formats/midi/reader/bars.hpp"
#include "formats/midi/reader/bends.hpp"
#include "formats/midi/reader/chords.hpp"
#include "formats/midi/reader/durations.hpp"
#include "formats/midi/reader/measures.hpp"
#include "formats/midi/reader/meta_events.hpp"
#include "formats/midi/reader/parts.hpp"
#include "formats/midi/reader/pickup.hpp"
#include "formats/midi/reader/quantize.hpp"
#include "formats/midi/reader/stated.hpp"
#include "formats/midi/reader/strings.hpp"
#include "formats/midi/reader/strokes.hpp"
#include "formats/midi/reader/swing.hpp"
#include "formats/midi/reader/take.hpp"
#include "formats/midi/reader/tempo_map.hpp"
#include "formats/midi/reader/texts.hpp"
#include "formats/midi/scan.hpp"
#include "score/chosen_part.hpp"
#include "score/limits.hpp"

namespace fifthpeg {
namespace midi::reader {
namespace {

// Silence that a track holds after its last note is kept up to this, if it ends at a barline.
constexpr int longest_tail = 64;  // whole notes
// What sounds beyond the last barline by less than this (in whole notes) was let go late.
constexpr double let_go_late = 1.0 / 16;
// A grid is too coarse where more than this share of the strokes fall on the one before them; those that may
// be better, the coarsest first, in parts of a whole note.
constexpr double most_together = 1.0 / 16;
constexpr std::array<std::int64_t, 8> finer_grids{4, 6, 8, 12, 16, 24, 32, 48};

void append(PlayedPart& whole, const PlayedPart& part) {
  whole.notes.insert(whole.notes.end(), part.notes.begin(), part.notes.end());
  whole.bends.insert(whole.bends.end(), part.bends.begin(), part.bends.end());
}

class Reader {
 public:
  Reader(std::string_view bytes, const ReadOptions& options) : options_(options) {
    if (bytes.size() > options.max_bytes) {
      throw ReadError("input-too-large",
                      "the input is larger than " + std::to_string(options.max_bytes) + " bytes", {},
                      {{}, {}, static_cast<std::int64_t>(options.max_bytes)});
    }
    if (options.grid && !is_grid_step(*options.grid)) {
      throw UsageError(
          "a grid must be a step that can be printed, a power of two from 1/512 to 1 of a whole note or one "
          "of a tuplet of 3, 5, 7 or 9, not " +
          to_string(*options.grid));
    }
    scan_ = scan(bytes);
    if (!scan_.damage.empty()) throw ReadError(scan_.damage.front().text, at_byte(scan_.damage.front().byte));
    report().merge(scan_.report);
  }

  Reading run() {
    std::vector<PlayedPart> parts = pair_notes(scan_, report()).parts;
    for (ScannedTrack& track : scan_.tracks) track.pieces = {};
    settle_beats(parts);
    if (parts.empty()) throw ReadError("there are no notes in it");
    const Timeline timeline(scan_, report());
    parts_ = put_on(timeline, std::move(parts));
    texts_ = read_texts(scan_, timeline, parts_, report());
    choose(timeline);
    write_down(timeline);
    if (!score().measures.empty()) score().measures.back().right_bar = BarStyle::light_heavy;
    normalize(score());
    return std::move(reading_);
  }

 private:
  Score& score() { return reading_.score; }
  Report& report() { return reading_.report; }

  // Where the beats are that all else is read by.
  void settle_beats(std::vector<PlayedPart>& parts) {
    grid_ = options_.grid;
    pickup_ = options_.pickup;
    if (options_.meter) state_meter(scan_, *options_.meter);
    if (const auto take = retime_take(scan_, parts, options_, report())) {
      grid_ = take->grid;
      pickup_ = take->pickup;
      take_residual_ = take->residual;
      reading_.is_take = true;
    } else if (pickup_) {
      set_pickup(scan_, parts, *pickup_);
    }
  }

  // Onto the timeline. The patterns of format 2 follow one another, so that a channel is one part in all.
  std::vector<PlayedPart> put_on(const Timeline& timeline, std::vector<PlayedPart> parts) const {
    const bool moves = scan_.format == 2 || scan_.division.ticks_per_quarter == 0;
    if (!moves) return parts;
    for (PlayedPart& part : parts) {
      for (PlayedNote& note : part.notes) {
        note.on = timeline.at(part.track, note.on);
        note.off = timeline.at(part.track, note.off);
      }
      for (BendPoint& bend : part.bends) bend.tick = timeline.at(part.track, bend.tick);
    }
    if (scan_.format != 2) return parts;
    std::vector<PlayedPart> result;
    std::array<std::size_t, 16> of_channel{};
    for (PlayedPart& part : parts) {
      std::size_t& index = of_channel.at(static_cast<std::size_t>(part.channel));
      if (index == 0) {
        result.push_back(std::move(part));
        index = result.size();
        continue;
      }
      append(result[index - 1], part);
    }
    return result;
  }

  // ---- which part ------------------------------------------------------------------------------

  void choose(const Timeline& timeline) {
    describe_file(timeline);
    const std::vector<std::size_t> stated = merge_stated_strings();
    std::size_t found = StringParts::no_part;  // whose channels look like strings
    if (std::none_of(texts_.banjos.begin(), texts_.banjos.end(), has_channel_per_string)) {
      const BanjoText* const banjo = texts_.banjo(0);
      const auto strings = find_strings(parts_, banjo == nullptr ? Banjo{} : banjo->banjo, std::nullopt);
      if (strings) found = merge(*strings);
    }
    Inventory& inventory = reading_.inventory;
    inventory.parts = summarize(parts_, texts_.tracks);
    const auto is_stated = [&stated](std::size_t part) {
      return std::find(stated.begin(), stated.end(), part) != stated.end();
    };
    for (std::size_t i = 0; i < parts_.size(); ++i) {
      if (i == found || is_stated(i)) inventory.parts[i].id += " and others, one a string";
    }
    ChosenPart choice = choose_part(parts_, inventory.parts, options_.part);
    inventory.chosen = choice.part;
    inventory.reason = std::move(choice.reason);
    by_string_ = choice.part == found || is_stated(choice.part);
    if (const BanjoText* const banjo = texts_.banjo(parts_[choice.part].track)) {
      banjo_ = *banjo;
      score().banjo = banjo->banjo;
    }
    if (inventory.parts[choice.part].percussion) {
      report().add(
          EntryKind::decision, "midi-percussion",
          "the part that was taken is percussion, where numbers mean drums: they were read as pitches");
    }
    if (by_string_ && stated.empty()) {
      report().add(EntryKind::decision, "midi-channel-per-string",
                   "channels 1 to 5 fit the strings 1 to 5, and were read as these");
    }
    if (parts_.size() > 1 && options_.part.empty()) {
      report().add(EntryKind::decision, "midi-part",
                   chosen_part_text(inventory.parts, choice.part, inventory.reason));
    }
  }

  void describe_file(const Timeline& timeline) {
    Inventory& inventory = reading_.inventory;
    inventory.format = "MIDI format " + std::to_string(scan_.format);
    const Division& division = scan_.division;
    inventory.resolution = division.ticks_per_quarter > 0
                               ? std::to_string(timeline.map().ticks_per_quarter) + " ticks a quarter note"
                               : std::to_string(division.frames_per_second) + " frames a second, " +
                                     std::to_string(division.ticks_per_frame) + " ticks a frame";
  }

  static bool has_channel_per_string(const std::optional<BanjoText>& banjo) {
    return banjo && banjo->channel_per_string;
  }

  // Of the tracks that say so; returns the indices of the parts that are made, in order.
  std::vector<std::size_t> merge_stated_strings() {
    std::vector<std::size_t> merged;
    for (std::size_t track = 0; track < texts_.banjos.size(); ++track) {
      const auto& banjo = texts_.banjos[track];
      if (!has_channel_per_string(banjo)) continue;
      const auto strings = find_strings(parts_, banjo->banjo, StatedStrings{track, banjo->first_channel});
      if (strings && strings->any()) merged.push_back(merge(*strings));
    }
    return merged;
  }

  // Makes one part of those that are strings; returns its index.
  std::size_t merge(const StringParts& strings) {
    std::vector<std::size_t> members;
    for (const std::size_t index : strings.parts) {
      if (index != StringParts::no_part) members.push_back(index);
    }
    if (strings.unplaced != StringParts::no_part) members.push_back(strings.unplaced);
    std::sort(members.begin(), members.end());
    PlayedPart& first = parts_[members.front()];
    for (std::size_t i = 1; i < members.size(); ++i) {
      append(first, parts_[members[i]]);
    }
    std::stable_sort(first.notes.begin(), first.notes.end(),
                     [](const PlayedNote& a, const PlayedNote& b) { return a.on < b.on; });
    std::stable_sort(first.bends.begin(), first.bends.end(),
                     [](const BendPoint& a, const BendPoint& b) { return a.tick < b.tick; });
    for (std::size_t i = members.size(); i-- > 1;) {
      parts_.erase(parts_.begin() + static_cast<std::ptrdiff_t>(members[i]));
    }
    return members.front();
  }

  // ---- the score -------------------------------------------------------------------------------

  void write_down(const Timeline& timeline) {
    const TempoMap& map = timeline.map();
    const PlayedPart& part = parts_[reading_.inventory.chosen];
    take_notes(part);
    read_bends(notes_, part.bends, report());
    Bars bars = lay_out(timeline, part);
    refuse_emptiness(bars);
    std::vector<Strike> strikes = find_strikes(notes_, map, bars);
    const Straightener straightener = straighten(strikes, map, bars);
    place_strikes(strikes, map, bars);
    make_room(bars, map);
    find_ends(map, bars);
    const Layout layout = find_pickup(bars, extent(bars, timeline, part, straightener), report());
    make_measures(score(), bars, layout);
    const double together = one_stroke_s / map.seconds_per_tick_at(0);
    const Placer placer(score(), bars, layout, straightener, strokes_, std::max(map.rounding, together));
    place_keys(score(), map, placer);
    fill_measures(score(), bars, layout, strokes_, notes_, report());
    if (map.keys.empty()) estimate_key();
    place_tempos(score(), map, placer);
    place_markers(score(), texts_, placer);
    if (options_.all_parts) {
      std::vector<bool> taken(parts_.size(), false);
      taken[reading_.inventory.chosen] = true;
      place_chords(score(), recognize_chords(parts_, taken, static_cast<std::int64_t>(together)), placer);
    }
    place_lyrics(score(), texts_, part.track, placer, report());
    name_score();
  }

  void take_notes(const PlayedPart& part) {
    bool even = true;
    const int first_channel = banjo_ ? banjo_->first_channel : 0;
    notes_.reserve(part.notes.size());
    for (const PlayedNote& note : part.notes) {
      TakenNote& taken = notes_.emplace_back();
      taken.played = note;
      const auto string = by_string_ ? string_of_channel(note.channel, first_channel) : std::nullopt;
      if (string && *string < string_count) taken.string = static_cast<std::int8_t>(*string + 1);
      even = even && note.velocity == part.notes.front().velocity;
    }
    if (!even) report().add(EntryKind::loss, "midi-velocity", "the loudness of the notes was ignored");
  }

  Bars lay_out(const Timeline& timeline, const PlayedPart& part) {
    const TempoMap& map = timeline.map();
    std::int64_t last_off = 0;
    for (const PlayedPart& one : parts_) {
      for (const PlayedNote& note : one.notes) last_off = std::max(last_off, note.off);
    }
    std::int64_t end_of_track = 0;
    for (std::size_t i = 0; i < scan_.tracks.size(); ++i) {
      if (i == part.track || scan_.format == 2) {
        end_of_track = std::max(end_of_track, timeline.at(i, scan_.tracks[i].end));
      }
    }
    const std::int64_t tail = std::int64_t{longest_tail} * 4 * map.ticks_per_quarter;
    const bool has_tail = end_of_track > last_off && end_of_track - last_off <= tail;
    Bars bars = lay_out_bars(map, std::max<std::int64_t>(1, has_tail ? end_of_track : last_off), report());
    // Bars that are not needed for notes stay only if the track ends with one of them.
    const Bar& last = bars.bars.back();
    if (std::abs(last.end_tick() - static_cast<double>(end_of_track)) < 1.0 + map.rounding) return bars;
    const double late = let_go_late * 4 * map.ticks_per_quarter;
    while (bars.bars.size() > 1 && bars.bars.back().tick > static_cast<double>(last_off) - late &&
           bars.bars.back().tick > static_cast<double>(notes_.back().played.on) + late) {
      bars.bars.pop_back();
    }
    return bars;
  }

  void refuse_emptiness(const Bars& bars) const {
    std::size_t with_onset = 0;
    std::size_t bar = 0;
    for (std::size_t note = 0; note < notes_.size() && bar < bars.bars.size(); ++bar) {
      const double end = bars.bars[bar].end_tick();
      const std::size_t before = note;
      while (note < notes_.size() && static_cast<double>(notes_[note].played.on) < end) ++note;
      if (note > before) ++with_onset;
    }
    const std::size_t without = bars.bars.size() - std::min(bars.bars.size(), with_onset);
    if (without <= most_measures_without_onset) return;
    throw ReadError("the music has " + std::to_string(without) +
                    " measures in which no note begins, and at most " +
                    std::to_string(most_measures_without_onset) +
                    " are read; shorten the silence or the note that is held");
  }

  // Grace notes and the spread of a brush say nothing about the pairs that they stand in.
  Straightener straighten(std::vector<Strike>& strikes, const TempoMap& map, const Bars& bars) {
    std::vector<std::int64_t> onsets;
    const std::optional<Swing> stated = options_.straighten_swing ? texts_.swing : std::nullopt;
    if (stated || (options_.straighten_swing && !grid_)) {
      for (const Strike& strike : strikes) {
        if (!strike.grace) onsets.push_back(strike.tick);
      }
    }
    Straightener straightener(onsets, map, bars, stated);
    score().swing = straightener.swing();
    if (!straightener.swing()) return straightener;
    for (Strike& strike : strikes) strike.tick = straightener.straight(strike.tick);
    for (TakenNote& note : notes_) {
      note.played.on = straightener.straight(note.played.on);
      note.played.off = std::max(note.played.on, straightener.straight(note.played.off));
    }
    if (!stated) {
      report().add(EntryKind::decision, "midi-swing",
                   "swung eighths were read as even ones, with the swing stated");
    }
    return straightener;
  }

  void place_strikes(const std::vector<Strike>& strikes, const TempoMap& map, const Bars& bars) {
    std::vector<std::int64_t> ticks;
    for (const Strike& strike : strikes) {
      if (!strike.grace) ticks.push_back(strike.tick);
    }
    const Grid grid = quantize_onsets(ticks, map, bars, grid_);
    exact_ = grid.exact;
    reading_.inventory.residual = std::max(grid.residual, take_residual_);
    if (grid.residual > 0) {
      char text[96];
      std::snprintf(text, sizeof text, "times were moved onto the grid by %.1f ms on average",
                    grid.residual_seconds * 1000);
      report().add(EntryKind::decision, "midi-quantized", text);
    }
    if (grid_) report_coarse_grid(*grid_, grid, ticks, map, bars);
    std::vector<Strike> graces;
    std::size_t next = 0;
    strokes_.reserve(ticks.size());
    for (const Strike& strike : strikes) {
      if (strike.grace) {
        graces.push_back(strike);
        continue;
      }
      const Fraction at = grid.onsets[next++];
      if (!strokes_.empty() && strokes_.back().at == at) {
        // Too close for the grid: one stroke.
        strokes_.back().last = strike.last;
        report().add(EntryKind::decision, "midi-merged-strokes",
                     "notes that fall on one point of the grid became one stroke");
      } else {
        const std::int64_t tick =
            strokes_.empty() ? strike.tick : std::max(strike.tick, strokes_.back().tick);
        strokes_.push_back({at, at, tick, strike.first, strike.last, strike.brush, graces});
      }
      graces.clear();
    }
  }

  // How many onsets stand where the one before them does.
  static std::size_t falling_together(const Grid& grid) {
    std::size_t count = 0;
    for (std::size_t i = 1; i < grid.onsets.size(); ++i)
      count += grid.onsets[i] == grid.onsets[i - 1] ? 1 : 0;
    return count;
  }

  void report_coarse_grid(Fraction step, const Grid& grid, const std::vector<std::int64_t>& ticks,
                          const TempoMap& map, const Bars& bars) {
    const auto too_many = [&](std::size_t count) {
      return static_cast<double>(count) > most_together * static_cast<double>(ticks.size());
    };
    const std::size_t together = falling_together(grid);
    if (!too_many(together)) return;
    std::string finer;
    for (const std::int64_t den : finer_grids) {
      const Fraction other(1, den);
      if (other >= step || too_many(falling_together(quantize_onsets(ticks, map, bars, other)))) continue;
      finer = "; one of " + to_string(other) + " keeps them apart";
      break;
    }
    report().add(EntryKind::loss, "midi-grid-too-coarse",
                 "a grid of " + to_string(step) + " is too coarse: " + std::to_string(together) + " of " +
                     std::to_string(ticks.size()) + " strokes fall on the one before them" + finer);
  }

  // A last note that was moved onto the last barline needs a measure to stand in; a last measure that only a
  // late release reaches is not needed.
  void make_room(Bars& bars, const TempoMap& map) const {
    const Bar& last = bars.bars.back();
    if (strokes_.back().at < last.end()) return;
    const Fraction length = bars.meter_of(last).length();
    bars.bars.push_back(
        {last.end(), length, last.end_tick(), length.to_double() * 4 * map.ticks_per_quarter, last.meter});
  }

  StrokeSpan span(std::size_t i) const {
    StrokeSpan result;
    result.on = strokes_[i].tick;
    result.at = strokes_[i].at;
    for (std::size_t n = strokes_[i].first; n < strokes_[i].last; ++n) {
      result.off = std::max(result.off, notes_[n].played.off);
    }
    if (i + 1 < strokes_.size()) {
      const PlacedStroke& next = strokes_[i + 1];
      result.next_on = next.graces.empty() ? next.tick : next.graces.front().tick;
      result.next_at = next.at;
    }
    return result;
  }

  void find_ends(const TempoMap& map, const Bars& bars) {
    std::vector<StrokeSpan> spans;
    for (std::size_t i = 0; i < strokes_.size(); ++i) spans.push_back(span(i));
    const EndFinder ends(map, bars,
                         {exact_ && !reading_.is_take, reading_.is_take, grid_,
                          reading_.is_take ? pickup_.value_or(0) : Fraction(0)},
                         spans);
    for (std::size_t i = 0; i < strokes_.size(); ++i) {
      strokes_[i].end = std::min(ends.find(spans[i]), bars.bars.back().end());
      report_shorter_notes(strokes_[i], spans[i]);
    }
  }

  // A stroke has one length: notes of a chord that were clearly shorter than the longest are reported.
  void report_shorter_notes(const PlacedStroke& stroke, const StrokeSpan& span) {
    if (stroke.last - stroke.first < 2) return;
    const std::int64_t off = span.next_on < 0 ? span.off : std::min(span.off, span.next_on);
    for (std::size_t n = stroke.first; n < stroke.last; ++n) {
      const PlayedNote& note = notes_[n].played;
      if ((note.off - note.on) * 10 >= (off - note.on) * 7) continue;
      report().add(EntryKind::loss, "midi-shorter-note",
                   "a note of a chord that ends before the others was given their length");
    }
  }

  // Where the music of the file begins.
  Fraction first_onset(const Bars& bars) const {
    std::int64_t first = INT64_MAX;
    for (const PlayedPart& part : parts_) first = std::min(first, part.notes.front().on);
    const Fraction own = strokes_.front().at;
    const auto& chosen = parts_[reading_.inventory.chosen];
    if (chosen.notes.front().on <= first) return own;
    const std::size_t bar = bars.bar_at(static_cast<double>(first));
    return std::min(own, bars.bars[bar].start + bars.offset_at(bar, static_cast<double>(first), 64));
  }

  // Where the music begins and ends: with the track of the part if that is on the grid, else with the last
  // stroke.
  Extent extent(const Bars& bars, const Timeline& timeline, const PlayedPart& part,
                const Straightener& straightener) const {
    Extent result;
    result.first_onset = first_onset(bars);
    result.end = strokes_.back().end;
    if (banjo_) result.pickup = banjo_->pickup;
    if (pickup_) result.pickup = pickup_;
    if (reading_.is_take) return result;  // its track ends where somebody stopped the recorder
    const std::int64_t tick = straightener.straight(timeline.at(part.track, scan_.tracks[part.track].end));
    const auto end = static_cast<double>(tick);
    const std::size_t bar = bars.bars.size() - 1;
    const Bar& last = bars.bars[bar];
    if (end < last.tick || end > last.end_tick()) return result;
    const Fraction offset = bars.offset_at(bar, end, 64);
    const bool on_grid = std::abs(last.tick_at(offset) - end) < 1.0 + timeline.map().rounding;
    result.end = std::max(result.end, last.start + offset);
    result.end_exact = on_grid && result.end == last.start + offset;
    return result;
  }

  void estimate_key() {
    score().key_estimated = true;
    const Key key = find_key(score());
    state_key(score(), key);
    score().key_estimated = true;  // and not stated
    report().add(EntryKind::decision, "midi-key-estimated",
                 "the file states no key; by its notes it is in " + to_string(key));
  }

  void name_score() {
    score().work = texts_.work;
    const PartSummary& part = reading_.inventory.parts[reading_.inventory.chosen];
    if (!part.name.empty() && part.name != score().work.title) score().part_name = part.name;
  }

  const ReadOptions& options_;
  Scan scan_;
  Reading reading_;
  std::vector<PlayedPart> parts_;
  Texts texts_;
  std::optional<Fraction> grid_;    // asked for, or found
  std::optional<Fraction> pickup_;  // likewise
  double take_residual_ = 0.0;      // how far a take's onsets were moved
  bool by_string_ = false;
  std::optional<BanjoText> banjo_;  // what the file says of the part's
  bool exact_ = false;
  std::vector<TakenNote> notes_;  // of the part that is taken, by onset
  std::vector<PlacedStroke> strokes_;
};

}  // namespace
}  // namespace midi::reader

Reading read_midi(std::string_view bytes, const ReadOptions& options) {
  return midi::reader::Reader(bytes, options).run();
}

}  // namespace fifthpeg
