#include "formats/musicxml/reader/strokes.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <tuple>
#include <utility>

#include "formats/musicxml/reader/groups.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

// More than a whole orchestra strikes at once; what is beyond is damage.
constexpr std::size_t most_notes = 100;
constexpr std::size_t nowhere = static_cast<std::size_t>(-1);

// A struck note whose tie is to be taken up.
struct TiedStroke {
  std::size_t measure = nowhere;
  std::size_t stroke = 0;
  std::size_t note = 0;
  Fraction end;  // in its measure
};

class StrokeMaker {
 public:
  StrokeMaker(RawPart& part, Score& score, Diagnostics& diagnostics)
      : part_(part), score_(score), diagnostics_(diagnostics) {}

  void run() {
    const auto tuplets = find_tuplets(part_);
    score_.measures.reserve(part_.measures.size());
    const bool only = part_.measures.size() == 1;
    for (std::size_t m = 0; m < part_.measures.size(); ++m) {
      RawMeasure& raw = part_.measures[m];
      if (raw.dropped && only && raw.measure.number == "0") continue;  // stands for no measure at all
      make_measure(raw, tuplets[m]);
    }
  }

 private:
  // ---- measures ----

  void make_measure(RawMeasure& raw, const std::vector<TupletSpan>& tuplets) {
    score_.measures.push_back(std::move(raw.measure));
    measure_ = &score_.measures.back();
    raw_ = &raw;
    spans_ = &tuplets;
    one_voice_ = find_one_voice();
    diagnostics_.enter_measure(measure_);
    diagnostics_.move_to(0);
    set_length();
    pick_spans();
    find_cuts();
    fill();
    keep_inside(measure_->tempos);
    keep_inside(measure_->key_changes);
    keep_inside(measure_->chords);
    measure_->directions.reserve(raw.directions.size());
    for (RawDirection& one : raw.directions) measure_->directions.push_back(std::move(one.direction));
    keep_inside(measure_->directions);
    diagnostics_.enter_measure(nullptr);
    raw.notes = {};  // as much memory is freed as the strokes take
  }

  bool find_one_voice() const {
    const auto& notes = raw_->notes;
    return std::all_of(notes.begin(), notes.end(), [&](const RawNote& note) {
      return note.voice == notes.front().voice && note.staff == notes.front().staff;
    });
  }

  void set_length() {
    const Fraction meter = measure_->meter.length();
    const auto& notes = raw_->notes;
    Fraction& length = measure_->length;
    length = raw_->extent;
    const bool whole_rest =
        !notes.empty() && std::all_of(notes.begin(), notes.end(), [](const RawNote& note) {
          return note.measure_rest && note.kind == RawNote::Kind::rest;
        });
    if (length == 0) {
      length = meter;
      diagnostics_.repair("musicxml-measure-empty",
                          "a measure without notes and rests was filled with a rest", raw_->line);
    } else if (whole_rest && length != meter && !measure_->implicit) {
      length = meter;
      diagnostics_.repair("musicxml-measure-rest",
                          "a whole-measure rest of another length was made to fill its measure", raw_->line);
      for (RawNote& note : raw_->notes) {
        note.onset = 0;
        note.duration = meter;
      }
    } else if (!measure_->implicit && length > meter) {
      diagnostics_.repair("musicxml-measure-long",
                          "a measure holds more than its meter; it is as long as its notes", raw_->line);
    } else if (!measure_->implicit && length < meter && !may_be_short()) {
      diagnostics_.choice("musicxml-measure-short",
                          "a measure holds less than its meter; it is as long as its notes", raw_->line);
    }
  }

  // The first and the last measure, and one before a repeat or an uncounted measure: parts of a whole one.
  bool may_be_short() const {
    const std::size_t next = score_.measures.size();
    return next == 1 || next == part_.measures.size() || measure_->repeat_times > 0 ||
           part_.measures[next].measure.implicit || part_.measures[next].measure.repeat_starts;
  }

  template <typename Positioned>
  void keep_inside(std::vector<Positioned>& things) {
    for (Positioned& one : things) {
      if (one.at <= measure_->length) continue;
      diagnostics_.move_to(measure_->length);
      diagnostics_.repair("musicxml-offset", "something placed outside of its measure was moved to its edge",
                          raw_->line);
      one.at = measure_->length;
    }
  }

  // ---- tuplets ----

  // Of tuplets in several voices at once, those of the first voice that has them there.
  void pick_spans() {
    picked_.clear();
    active_.clear();
    next_span_ = 0;
    if (spans_->empty()) return;
    picked_ = *spans_;
    std::stable_sort(picked_.begin(), picked_.end(), [](const TupletSpan& a, const TupletSpan& b) {
      return std::tie(a.from, a.voice, a.level) < std::tie(b.from, b.voice, b.level);
    });
    Fraction busy;  // how far the tuplets of `voice` reach
    std::uint16_t voice = 0;
    std::size_t kept = 0;
    for (TupletSpan& span : picked_) {
      if (span.from < busy && span.voice != voice) continue;
      if (span.from >= busy) voice = span.voice;
      busy = std::max(busy, span.to);
      std::swap(picked_[kept++], span);
    }
    picked_.resize(kept);
  }

  // Asked with rising `from`.
  std::vector<Tuplet> tuplets_at(Fraction from, Fraction to) {
    std::vector<Tuplet> result;
    if (picked_.empty()) return result;
    while (next_span_ < picked_.size() && picked_[next_span_].from <= from) active_.push_back(next_span_++);
    std::erase_if(active_, [&](std::size_t i) { return picked_[i].to <= from; });
    std::stable_sort(active_.begin(), active_.end(),
                     [&](std::size_t a, std::size_t b) { return picked_[a].level < picked_[b].level; });
    for (const std::size_t i : active_) {
      const TupletSpan& span = picked_[i];
      Tuplet tuplet = span.tuplet;
      tuplet.starts = tuplet.starts && span.from == from;
      tuplet.stops = tuplet.stops && span.to == to;
      result.push_back(tuplet);
    }
    return result;
  }

  // Where a stroke must not go on: at the ends of tuplets.
  void find_cuts() {
    cuts_.clear();
    for (const TupletSpan& span : picked_) {
      cuts_.push_back(span.from);
      cuts_.push_back(span.to);
    }
    std::sort(cuts_.begin(), cuts_.end());
    next_cut_ = 0;
  }

  std::optional<Fraction> cut_between(Fraction from, Fraction to) {
    while (next_cut_ < cuts_.size() && cuts_[next_cut_] <= from) ++next_cut_;
    if (next_cut_ < cuts_.size() && cuts_[next_cut_] < to) return cuts_[next_cut_];
    return std::nullopt;
  }

  // ---- strokes ----

  void fill() {
    auto& notes = raw_->notes;
    const auto before = [](const RawNote& a, const RawNote& b) {
      if (a.onset != b.onset) return a.onset < b.onset;
      return a.grace != Grace::none && b.grace == Grace::none;
    };
    if (!std::is_sorted(notes.begin(), notes.end(), before))
      std::stable_sort(notes.begin(), notes.end(), before);
    now_ = 0;
    current_.clear();
    rests_.clear();
    next_rest_ = 0;
    for (std::size_t i = 0; i < notes.size();) {
      std::size_t graces = i;
      while (graces < notes.size() && notes[graces].onset == notes[i].onset &&
             notes[graces].grace != Grace::none) {
        ++graces;
      }
      std::size_t end = graces;
      while (end < notes.size() && notes[end].onset == notes[i].onset) ++end;
      take_onset(i, graces, end);
      i = end;
    }
    advance(measure_->length);
    emit_graces();
  }

  // All that begins at one place: grace notes from `from`, the rest from `graces`.
  void take_onset(std::size_t from, std::size_t graces, std::size_t to) {
    auto& notes = raw_->notes;
    const Fraction onset = notes[from].onset;
    struck_.clear();
    for (std::size_t i = graces; i < to; ++i) {
      RawNote& note = notes[i];
      if (note.kind == RawNote::Kind::unpitched) {
        diagnostics_.move_to(onset);
        diagnostics_.loss("musicxml-unpitched", "a note without pitch, string and fret is left out",
                          note.line);
      }
      if (note.kind == RawNote::Kind::pitched && has_room(struck_.size(), note) && !rings_on(note)) {
        struck_.push_back(i);
      }
      if (note.kind == RawNote::Kind::rest) rests_.push_back(i);
    }
    const bool silent = current_.empty() || current_end_ <= onset;
    if (!struck_.empty() || (graces > from && silent)) advance(onset);
    for (std::size_t i = from; i < graces; ++i) add_grace(notes[i]);
    if (struck_.empty()) {
      if (now_ == onset) emit_graces();
      return;
    }
    emit_graces();
    current_ = struck_;
    current_onset_ = onset;
    current_end_ = onset;
    for (const std::size_t i : current_) current_end_ = std::max(current_end_, onset + notes[i].duration);
  }

  bool has_room(std::size_t notes, const RawNote& note) {
    if (notes < most_notes) return true;
    diagnostics_.move_to(note.onset);
    diagnostics_.loss("musicxml-notes-at-once", "notes beyond a hundred at one place are left out",
                      note.line);
    return false;
  }

  // Whether a note only goes on with one that was struck before the last stroke, in another voice. That one
  // rings; this is no stroke.
  bool rings_on(RawNote& note) {
    if (!note.note.tied_from_previous) return false;
    TiedStroke& tie = ties_.at(static_cast<std::size_t>(std::clamp(note.note.pitch.midi(), 0, 127)));
    const std::size_t measure = score_.measures.size() - 1;
    // The note of the stroke being held back is not in `ties_` yet.
    if (!current_.empty()) {
      for (const std::size_t i : current_) {
        const RawNote& held = raw_->notes[i];
        if (held.note.tied_to_next && held.note.pitch.midi() == note.note.pitch.midi() &&
            held.onset + held.duration == note.onset) {
          return false;
        }
      }
    }
    if (tie.measure != nowhere && (tie.measure == measure || tie.measure + 1 == measure)) {
      const Fraction here =
          tie.measure == measure ? note.onset : note.onset + score_.measures[tie.measure].length;
      if (tie.end == here) {
        const bool is_last = current_.empty() && tie.measure == last_.measure && tie.stroke == last_.stroke;
        if (is_last && (tie.measure == measure ? now_ == note.onset : note.onset == 0)) return false;
        Note& source = score_.measures[tie.measure].strokes[tie.stroke].notes[tie.note];
        source.ring = Ring::let_ring;
        source.tied_to_next = false;
        reported_ringing(note);
        if (note.note.tied_to_next) {
          tie.end = note.onset + note.duration;
          if (tie.measure != measure) tie.end += score_.measures[tie.measure].length;
        } else {
          tie.measure = nowhere;
        }
        return true;
      }
    }
    diagnostics_.move_to(note.onset);
    diagnostics_.loss("musicxml-tie-alone", "one end of a tie has no other end; it was left out", note.line);
    note.note.tied_from_previous = false;
    return false;
  }

  void reported_ringing(const RawNote& note) {
    diagnostics_.move_to(note.onset);
    diagnostics_.choice("musicxml-voices",
                        "several voices became one line: notes that last beyond the next stroke ring on",
                        note.line);
  }

  // Brings the line up to `to`: the stroke that is held, and a rest if it ends before.
  void advance(Fraction to) {
    if (!current_.empty()) {
      const Fraction end = std::min(current_end_, to);
      emit_stroke(end);
      current_.clear();
    }
    while (now_ < to) {
      // A rest of the file gives its place, and what hangs on it.
      while (next_rest_ < rests_.size() && raw_->notes[rests_[next_rest_]].onset < now_) ++next_rest_;
      Stroke rest;
      rest.onset = now_;
      Fraction end = to;
      while (next_rest_ < rests_.size() && raw_->notes[rests_[next_rest_]].onset == now_) {
        RawNote& raw = raw_->notes[rests_[next_rest_++]];
        if (rest.articulations == Articulations{}) rest.articulations = raw.articulations;
        if (rest.lyrics.empty()) rest.lyrics = std::move(raw.lyrics);
        if (rest.brush == Brush::none) rest.brush = raw.brush;
        if (one_voice_) end = std::min(end, now_ + raw.duration);
        rest.unparted = end == now_ + raw.duration;
      }
      const Fraction written_end = end;
      if (next_rest_ < rests_.size()) end = std::min(end, raw_->notes[rests_[next_rest_]].onset);
      if (const auto cut = cut_between(now_, end)) end = *cut;
      rest.duration = end - now_;
      rest.unparted = rest.unparted && end == written_end;
      rest.tuplets = tuplets_at(now_, end);
      measure_->strokes.push_back(std::move(rest));
      now_ = end;
    }
  }

  void emit_stroke(Fraction end) {
    Stroke stroke;
    stroke.onset = current_onset_;
    for (const std::size_t i : current_) add_note(stroke, raw_->notes[i], end);
    keep_strings_apart(stroke);
    // At the ends of tuplets a stroke is divided, and tied.
    while (const auto cut = cut_between(stroke.onset, end)) {
      Stroke first = stroke;
      first.duration = *cut - stroke.onset;
      first.tuplets = tuplets_at(stroke.onset, *cut);
      for (Note& note : first.notes) {
        note.tied_to_next = true;
        note.out_of = Technique::none;
        note.ring = Ring::natural;
      }
      push(std::move(first), *cut);
      stroke.onset = *cut;
      stroke.brush = Brush::none;
      stroke.articulations = {};
      stroke.lyrics.clear();
      for (Note& note : stroke.notes) {
        note.tied_from_previous = true;
        note.into = Technique::none;
        note.finger.reset();
        note.picking_finger.reset();
        note.choke.reset();
      }
    }
    // One note of the file, so far: settle_unparted() looks whether that says anything.
    stroke.unparted = stroke.onset == current_onset_ && end == current_end_;
    stroke.duration = end - stroke.onset;
    stroke.tuplets = tuplets_at(stroke.onset, end);
    push(std::move(stroke), end);
    now_ = end;
  }

  void push(Stroke&& stroke, Fraction end) {
    const std::size_t measure = score_.measures.size() - 1;
    const std::size_t index = measure_->strokes.size();
    for (std::size_t n = 0; n < stroke.notes.size(); ++n) {
      const Note& note = stroke.notes[n];
      TiedStroke& tie = ties_.at(static_cast<std::size_t>(std::clamp(note.pitch.midi(), 0, 127)));
      tie = note.tied_to_next ? TiedStroke{measure, index, n, std::max(end, end_of(n, end))} : TiedStroke{};
    }
    last_ = {measure, index, 0, end};
    measure_->strokes.push_back(std::move(stroke));
  }

  // Where the n-th note of the held stroke ends in its own voice.
  Fraction end_of(std::size_t n, Fraction otherwise) const { return n < ends_.size() ? ends_[n] : otherwise; }

  void add_note(Stroke& stroke, RawNote& raw, Fraction end) {
    if (stroke.notes.empty()) ends_.clear();
    if (stroke.brush == Brush::none) stroke.brush = raw.brush;
    add(stroke.articulations, raw.articulations);
    for (Lyric& lyric : raw.lyrics) stroke.lyrics.push_back(std::move(lyric));

    const Fraction own_end = raw.onset + raw.duration;
    // The same note in two voices is struck once, unless on two strings.
    if (!one_voice_) {
      for (std::size_t n = 0; n < stroke.notes.size(); ++n) {
        Note& other = stroke.notes[n];
        const bool two_strings =
            other.placement && raw.note.placement && other.placement->string != raw.note.placement->string;
        if (other.pitch.midi() != raw.note.pitch.midi() || two_strings) continue;
        diagnostics_.move_to(raw.onset);
        diagnostics_.choice("musicxml-unison", "a note that two voices share is struck once", raw.line);
        if (!other.placement) other.placement = raw.note.placement;
        if (!other.finger) other.finger = raw.note.finger;
        if (!other.picking_finger) other.picking_finger = raw.note.picking_finger;
        if (other.role == Role::none) other.role = raw.note.role;
        if (own_end > ends_[n]) {
          ends_[n] = own_end;
          other.tied_to_next = raw.note.tied_to_next;
        }
        if (own_end > end) ring(other, raw);
        return;
      }
    }
    Note note = raw.note;
    if (own_end > end) ring(note, raw);
    if (own_end < end) {
      diagnostics_.move_to(raw.onset);
      diagnostics_.choice("musicxml-chord-lengths",
                          "notes of a stroke that end early last as long as its longest", raw.line);
      note.tied_to_next = false;
    }
    stroke.notes.push_back(note);
    ends_.push_back(own_end);
  }

  void ring(Note& note, const RawNote& raw) {
    if (note.ring == Ring::natural) note.ring = Ring::let_ring;
    reported_ringing(raw);
  }

  void add_grace(RawNote& raw) {
    if (raw.kind != RawNote::Kind::pitched) return;
    if (!raw.chord || graces_.empty()) {
      Stroke& stroke = graces_.emplace_back();
      stroke.duration = raw.printed;
      stroke.grace = raw.grace;
    }
    Stroke& stroke = graces_.back();
    if (stroke.brush == Brush::none) stroke.brush = raw.brush;
    if (stroke.articulations == Articulations{}) stroke.articulations = raw.articulations;
    for (Lyric& lyric : raw.lyrics) stroke.lyrics.push_back(std::move(lyric));
    if (has_room(stroke.notes.size(), raw)) stroke.notes.push_back(raw.note);
  }

  void emit_graces() {
    for (Stroke& stroke : graces_) {
      stroke.onset = now_;
      keep_strings_apart(stroke);
      measure_->strokes.push_back(std::move(stroke));
    }
    graces_.clear();
  }

  // Two notes on one string cannot sound together: the first keeps it.
  void keep_strings_apart(Stroke& stroke) {
    std::array<bool, string_count + 1> used{};
    for (Note& note : stroke.notes) {
      if (!note.placement) continue;
      bool& taken = used.at(static_cast<std::size_t>(note.placement->string));
      if (taken) {
        diagnostics_.move_to(stroke.onset);
        diagnostics_.loss("musicxml-string-twice",
                          "two notes that are struck together are on one string; the second is given another",
                          raw_->line);
        note.placement.reset();
      }
      taken = true;
    }
  }

  RawPart& part_;
  Score& score_;
  Diagnostics& diagnostics_;

  // Of the measure being made:
  RawMeasure* raw_ = nullptr;
  Measure* measure_ = nullptr;
  const std::vector<TupletSpan>* spans_ = nullptr;
  bool one_voice_ = true;
  Fraction now_;                      // how far the line is made
  std::vector<std::size_t> struck_;   // notes that begin a stroke
  std::vector<std::size_t> current_;  // notes of the stroke that is held until its end is known
  Fraction current_onset_, current_end_;
  std::vector<Fraction> ends_;      // of the notes of the stroke being made, in their own voices
  std::vector<std::size_t> rests_;  // in order
  std::size_t next_rest_ = 0;
  std::vector<Stroke> graces_;  // waiting for the next place where a stroke can begin
  std::vector<TupletSpan> picked_;
  std::size_t next_span_ = 0;
  std::vector<std::size_t> active_;
  std::vector<Fraction> cuts_;
  std::size_t next_cut_ = 0;

  // Over barlines:
  std::array<TiedStroke, 128> ties_;  // by MIDI number
  TiedStroke last_;                   // the last stroke made
};

}  // namespace

void make_strokes(RawPart& part, Score& score, Diagnostics& diagnostics) {
  StrokeMaker(part, score, diagnostics).run();
}

}  // namespace fifthpeg::musicxml::reader
