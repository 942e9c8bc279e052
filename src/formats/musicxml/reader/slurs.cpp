#include <algorithm>

#include "formats/musicxml/reader/groups.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

// A note of the part. The head of a stroke is its first note.
struct NoteAt {
  std::uint32_t measure = 0;
  std::uint32_t note = 0;
};

struct OpenSlur {
  int number = 1;
  NoteAt start;
  std::uint16_t voice = 0;
  std::size_t place = 0;  // index of the stroke in its voice
};

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
    for (const OpenSlur& slur : open_) start_alone(at(slur.start));
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
    for (std::uint32_t i = from; i < to; ++i) {
      for (const Mark& mark : notes[i].marks) {
        if (mark.kind == Mark::Kind::slur && !mark.start) close(mark, {m, i}, line.size() - 1);
      }
    }
    for (std::uint32_t i = from; i < to; ++i) {
      for (const Mark& mark : notes[i].marks) {
        if (mark.kind == Mark::Kind::slur && mark.start) open(mark, {m, i}, line.size() - 1);
      }
    }
  }

  void open(const Mark& mark, NoteAt note, std::size_t place) {
    constexpr std::size_t most = 32;  // twice the numbers that MusicXML 4.0 has
    if (open_.size() == most) {
      start_alone(at(open_.front().start));
      open_.erase(open_.begin());
    }
    open_.push_back({mark.number, note, at(note).voice, place});
  }

  void close(const Mark& mark, NoteAt end, std::size_t place) {
    const auto found = std::find_if(open_.rbegin(), open_.rend(),
                                    [&](const OpenSlur& slur) { return slur.number == mark.number; });
    if (found == open_.rend()) return stop_alone(at(end));
    const OpenSlur slur = *found;
    open_.erase(std::next(found).base());
    if (slur.voice != at(end).voice) {
      diagnostics_.loss("musicxml-slur-between-voices", "a slur from one voice to another is left out",
                        at(end).line);
      return;
    }
    const auto& line = voice(slur.voice);
    NoteAt last = slur.start;
    for (std::size_t i = slur.place + 1; i <= place && i < line.size(); ++i) {
      const NoteAt next = i == place ? end : line[i];
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
  std::vector<OpenSlur> open_;
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
