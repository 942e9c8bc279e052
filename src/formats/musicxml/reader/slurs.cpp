#include <algorithm>
#include <optional>
#include <utility>

#include "formats/musicxml/reader/groups.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

// A note of the part. The head of a stroke is its first note.
struct NoteAt {
  std::uint32_t measure = 0;
  std::uint32_t note = 0;
  friend bool operator==(const NoteAt&, const NoteAt&) = default;
};

// The start of a slur, a hammer-on or a pull-off that waits for its end.
struct Open {
  Mark::Kind kind = Mark::Kind::slur;
  int number = 1;
  NoteAt start;
  std::uint16_t voice = 0;
  std::size_t place = 0;  // index of the stroke in its voice
};

constexpr std::size_t most_open = 32;  // of a kind: twice the numbers that MusicXML 4.0 has

bool is_technique(const Mark& mark) {
  return mark.kind == Mark::Kind::hammer_on || mark.kind == Mark::Kind::pull_off;
}

class Connector {
 public:
  Connector(RawPart& part, Diagnostics& diagnostics)
      : part_(part), diagnostics_(diagnostics), strokes_(part.voices + 1) {}

  void run() {
    for (std::uint32_t m = 0; m < part_.measures.size(); ++m) {
      auto& notes = part_.measures[m].notes;
      diagnostics_.enter_measure(&part_.measures[m].measure);
      for (std::uint32_t i = 0; i < notes.size();) {
        std::uint32_t end = i + 1;
        while (end < notes.size() && notes[end].chord && notes[end].voice == notes[i].voice) ++end;
        read_stroke(m, i, end);
        i = end;
      }
    }
    for (const Open& slur : slurs_) start_alone(at(slur.start));
    diagnostics_.enter_measure(nullptr);
  }

 private:
  RawNote& at(NoteAt place) { return part_.measures[place.measure].notes[place.note]; }
  std::vector<NoteAt>& voice(std::uint16_t index) {
    return strokes_[std::min<std::size_t>(index, strokes_.size() - 1)];
  }

  // Beside a string technique a slur is only how that is drawn.
  void start_alone(RawNote& raw) {
    if (raw.note.out_of != Technique::none) return;
    raw.note.out_of = Technique::slur;
    report_alone(raw);
  }
  void stop_alone(RawNote& raw) {
    if (raw.note.into != Technique::none) return;
    raw.note.into = Technique::slur;
    report_alone(raw);
  }
  void report_alone(const RawNote& raw) {
    diagnostics_.repair("musicxml-slur-alone", "one end of a slur has no other end; it stays at its own note",
                        raw.line);
  }

  void read_stroke(std::uint32_t m, std::uint32_t from, std::uint32_t to) {
    auto& notes = part_.measures[m].notes;
    auto& line = voice(notes[from].voice);
    line.push_back({m, from});
    diagnostics_.move_to(notes[from].onset);
    const auto each = [&](bool start, auto is, auto take) {
      for (std::uint32_t i = from; i < to; ++i) {
        for (const Mark& mark : notes[i].marks) {
          if (mark.start == start && is(mark)) take(mark, NoteAt{m, i});
        }
      }
    };
    const auto is_slur = [](const Mark& mark) { return mark.kind == Mark::Kind::slur; };
    led_here_.clear();
    each(false, is_technique, [&](const Mark& mark, NoteAt end) { close_technique(mark, end); });
    each(false, is_slur, [&](const Mark& mark, NoteAt end) { close_slur(mark, end, line.size() - 1); });
    each(true, is_technique, [&](const Mark& mark, NoteAt start) { open_technique(mark, start); });
    each(true, is_slur, [&](const Mark& mark, NoteAt start) { open_slur(mark, start, line.size() - 1); });
  }

  static std::optional<Open> taken(std::vector<Open>& open, const Mark& mark) {
    const auto found = std::find_if(open.rbegin(), open.rend(), [&](const Open& one) {
      return one.kind == mark.kind && one.number == mark.number;
    });
    if (found == open.rend()) return std::nullopt;
    const Open one = *found;
    open.erase(std::next(found).base());
    return one;
  }

  void open_technique(const Mark& mark, NoteAt start) {
    if (techniques_.size() == most_open) techniques_.erase(techniques_.begin());
    techniques_.push_back({mark.kind, mark.number, start, at(start).voice, 0});
  }

  void close_technique(const Mark& mark, NoteAt end) {
    if (const auto start = taken(techniques_, mark)) led_here_.emplace_back(start->start, end);
  }

  void open_slur(const Mark& mark, NoteAt start, std::size_t place) {
    if (slurs_.size() == most_open) {
      start_alone(at(slurs_.front().start));
      slurs_.erase(slurs_.begin());
    }
    slurs_.push_back({mark.kind, mark.number, start, at(start).voice, place});
  }

  void close_slur(const Mark& mark, NoteAt end, std::size_t place) {
    const auto slur = taken(slurs_, mark);
    if (!slur) return stop_alone(at(end));
    // From one end of a technique to the other it is only how that is drawn, whatever lies between.
    if (std::find(led_here_.begin(), led_here_.end(), std::pair(slur->start, end)) != led_here_.end()) return;
    if (slur->voice != at(end).voice) {
      diagnostics_.loss("musicxml-slur-between-voices", "a slur from one voice to another is left out",
                        at(end).line);
      return;
    }
    const auto& line = voice(slur->voice);
    NoteAt last = slur->start;
    for (std::size_t i = slur->place + 1; i <= place && i < line.size(); ++i) {
      const NoteAt next = i == place ? end : line[i];
      if (at(next).kind == RawNote::Kind::rest) continue;
      join(at(last), at(next));
      last = next;
    }
  }

  static void join(RawNote& from, RawNote& to) {
    if (from.kind != RawNote::Kind::pitched || to.kind != RawNote::Kind::pitched) return;
    const bool tied = from.note.tied_to_next && to.note.tied_from_previous;
    if (tied || from.note.out_of != Technique::none || to.note.into != Technique::none) return;
    from.note.out_of = Technique::slur;
    to.note.into = Technique::slur;
  }

  RawPart& part_;
  Diagnostics& diagnostics_;
  std::vector<std::vector<NoteAt>> strokes_;  // by voice
  std::vector<Open> slurs_;
  std::vector<Open> techniques_;
  std::vector<std::pair<NoteAt, NoteAt>> led_here_;  // the techniques that end in the stroke at hand
};

}  // namespace

void connect_slurs(RawPart& part, Diagnostics& diagnostics) {
  const bool any = std::any_of(part.measures.begin(), part.measures.end(), [](const RawMeasure& measure) {
    return std::any_of(measure.notes.begin(), measure.notes.end(),
                       [](const RawNote& raw) { return raw.has_marks(Mark::Kind::slur); });
  });
  if (any) Connector(part, diagnostics).run();
}

}  // namespace fifthpeg::musicxml::reader
