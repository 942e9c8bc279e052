#include "formats/midi/reader/measures.hpp"

#include <algorithm>
#include <string>

#include "engraving/find_tuplets.hpp"

namespace fifthpeg::midi::reader {
namespace {

// Overlapping the next stroke by less than this, or by less than a third of its own length, is legato,
// not ringing on.
const Fraction shortest_ringing(1, 32);
const Fraction grace_value(1, 16);  // what a grace note is printed as (common practice)

class Filler {
 public:
  Filler(Score& score, const Bars& bars, const Layout& layout, const std::vector<PlacedStroke>& strokes,
         const std::vector<TakenNote>& notes, Report& report)
      : score_(score), bars_(bars), layout_(layout), strokes_(strokes), notes_(notes), report_(report) {}

  void run() {
    std::size_t next = 0;  // the first stroke that may still sound
    for (std::size_t i = 0; i < bars_.bars.size(); ++i) {
      Measure& measure = score_.measures[i];
      start_ = bars_.bars[i].start;
      if (i == 0) start_ += layout_.pickup_rest;
      const Fraction end = start_ + measure.length;
      lay_pieces(next, end);
      const auto groups = engraving::find_tuplets(pieces_, measure.meter, measure.length);
      engraving::cut_at_groups(pieces_, groups);
      write(measure, groups);
      while (next < strokes_.size() && strokes_[next].end <= end) ++next;
    }
  }

 private:
  // The stretches of the measure, from start_ to `end`: strokes, parts of strokes, rests.
  void lay_pieces(std::size_t next, Fraction end) {
    pieces_.clear();
    Fraction now = start_;
    for (std::size_t i = next; i < strokes_.size() && strokes_[i].at < end; ++i) {
      const PlacedStroke& stroke = strokes_[i];
      if (stroke.at > now) add(now, stroke.at, -1, false, false);
      const Fraction from = std::max(stroke.at, start_);
      const Fraction to = std::min(stroke.end, end);
      if (to <= from) continue;
      add(from, to, static_cast<std::int64_t>(i), stroke.at<from, stroke.end> to);
      now = to;
    }
    if (now < end) add(now, end, -1, false, false);
  }

  void add(Fraction from, Fraction to, std::int64_t stroke, bool goes_on, bool is_continued) {
    pieces_.push_back({from - start_, to - start_, stroke, goes_on, is_continued});
  }

  void write(Measure& measure, const std::vector<engraving::TupletSpan>& groups) {
    std::size_t group = 0;
    std::size_t change = 0;
    key_ = measure.key;
    measure.strokes.reserve(pieces_.size());
    for (const engraving::Stretch& piece : pieces_) {
      while (change < measure.key_changes.size() && measure.key_changes[change].at <= piece.from) {
        key_ = measure.key_changes[change++].key;
      }
      if (piece.stroke >= 0 && !piece.goes_on) write_graces(measure, piece);
      Stroke& stroke = measure.strokes.emplace_back();
      stroke.onset = piece.from;
      stroke.duration = piece.to - piece.from;
      while (group < groups.size() && groups[group].to <= piece.from) ++group;
      if (group < groups.size() && groups[group].from <= piece.from) {
        const engraving::TupletSpan& g = groups[group];
        stroke.tuplets.push_back({g.actual, g.normal, g.from == piece.from, g.to == piece.to});
      }
      if (piece.stroke < 0) continue;
      const PlacedStroke& placed = strokes_[static_cast<std::size_t>(piece.stroke)];
      if (!piece.goes_on) stroke.brush = placed.brush;
      write_notes(stroke, placed, piece);
    }
  }

  void write_graces(Measure& measure, const engraving::Stretch& piece) {
    for (const Strike& strike : strokes_[static_cast<std::size_t>(piece.stroke)].graces) {
      Stroke& grace = measure.strokes.emplace_back();
      grace.onset = piece.from;
      grace.duration = grace_value;
      grace.grace = Grace::slashed;
      for (std::size_t n = strike.last; n-- > strike.first;) add_note(grace, notes_[n]);
    }
  }

  // Adds a note. A pitch may stand on several strings, on two where they are not known, and each string once.
  Note* add_note(Stroke& stroke, const TakenNote& taken) {
    int same_pitch = 0;
    bool string_free = taken.string != 0;
    for (const Note& other : stroke.notes) {
      const bool same_string = other.placement && other.placement->string == taken.string;
      if (same_string) string_free = false;
      if (other.pitch.midi() == taken.played.key) same_pitch += same_string ? 2 : 1;
    }
    if (same_pitch >= 2 && !string_free) {
      report_.add(EntryKind::loss, "midi-same-note-twice", "a note that its stroke already has was ignored");
      return nullptr;
    }
    Note& note = stroke.notes.emplace_back();
    note.pitch = spell(taken.played.key, key_);
    if (!string_free) return &note;
    if (const auto fret = score_.banjo.fret_for(taken.string, taken.played.key)) {
      note.placement = Placement{taken.string, static_cast<std::int8_t>(*fret)};
    }
    return &note;
  }

  void write_notes(Stroke& stroke, const PlacedStroke& placed, const engraving::Stretch& piece) {
    for (std::size_t n = placed.last; n-- > placed.first;) {
      const TakenNote& taken = notes_[n];
      Note* note = add_note(stroke, taken);
      if (note == nullptr) continue;
      note->tied_from_previous = piece.goes_on;
      note->tied_to_next = piece.is_continued;
      if (!piece.goes_on) {
        if (taken.slides_in) note->into = Technique::slide;
        if (taken.choke_cents != 0) {
          note->choke = Choke{taken.choke_cents, taken.choked_before, taken.choke_released};
        }
      }
      if (piece.is_continued) continue;
      if (taken.slides_out) note->out_of = Technique::slide;
      if (rings_on(taken, static_cast<std::size_t>(piece.stroke))) note->ring = Ring::let_ring;
    }
  }

  // Whether a note sounds on well beyond the stroke that follows it.
  bool rings_on(const TakenNote& taken, std::size_t index) {
    if (index + 1 >= strokes_.size() || strokes_[index].end != strokes_[index + 1].at) return false;
    const std::int64_t next_on = notes_[strokes_[index + 1].first].played.on;
    const std::int64_t over = taken.played.off - next_on;
    if (over <= 0 || over * 3 < next_on - taken.played.on) return false;
    const Fraction written = strokes_[index].end - strokes_[index].at;
    const Fraction share(over, std::max<std::int64_t>(1, next_on - taken.played.on));
    if (share * written < shortest_ringing) return false;
    report_.add(EntryKind::decision, "midi-let-ring",
                "a note that sounds beyond the next stroke rings on there");
    return true;
  }

  Score& score_;
  const Bars& bars_;
  const Layout& layout_;
  const std::vector<PlacedStroke>& strokes_;
  const std::vector<TakenNote>& notes_;
  Report& report_;
  std::vector<engraving::Stretch> pieces_;
  Fraction start_;
  Key key_;
};

}  // namespace

Layout find_pickup(const Bars& bars, const Extent& extent, Report& report) {
  Layout layout;
  const auto& all = bars.bars;
  const Bar& first = all.front();
  const Bar& last = all.back();
  layout.last_length = last.length;
  const Fraction end_in_last = extent.end - last.start;
  const bool ends_inside = end_in_last > 0 && end_in_last < last.length;
  if (extent.pickup) {
    const Fraction pickup = *extent.pickup;
    const Fraction rest = first.length - pickup;
    const bool short_first = rest == 0 && all.size() > 1 && pickup < bars.meter_of(all[1]).length();
    const bool after_rest = rest > 0 && extent.first_onset >= rest;
    if (pickup == 0 || short_first || after_rest) {
      layout.short_first = short_first;
      if (pickup > 0) layout.pickup_rest = rest;
      const bool makes_up = pickup > 0 && ends_inside && end_in_last + pickup == last.length;
      if (((extent.end_exact && ends_inside) || makes_up) && all.size() > 1) layout.last_length = end_in_last;
      return layout;
    }
  }
  if (all.size() < 2) return layout;
  const Fraction next_length = bars.meter_of(all[1]).length();
  if (first.meter != all[1].meter && first.length < next_length) {
    layout.short_first = true;
    if (ends_inside && end_in_last + first.length == last.length) layout.last_length = end_in_last;
    report.add(EntryKind::decision, "midi-pickup", "the short first measure was read as a pickup");
    return layout;
  }
  const Fraction onset = extent.first_onset;
  if (onset <= 0 || onset >= first.length) return layout;
  const bool late = onset * 2 >= first.length;
  const bool complements = end_in_last == onset && last.length == first.length;
  if (!late && !complements) return layout;
  layout.pickup_rest = engraving::is_plain(onset) ? onset : Fraction((onset * 16).floor(), 16);
  if (layout.pickup_rest == onset && complements) layout.last_length = end_in_last;
  report.add(EntryKind::decision, "midi-pickup",
             "the silence at the beginning was taken away and the first measure read as a pickup");
  return layout;
}

void fill_measures(Score& score, const Bars& bars, const Layout& layout,
                   const std::vector<PlacedStroke>& strokes, const std::vector<TakenNote>& notes,
                   Report& report) {
  Filler(score, bars, layout, strokes, notes, report).run();
}

}  // namespace fifthpeg::midi::reader
