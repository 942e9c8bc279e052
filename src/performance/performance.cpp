#include "performance/performance.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <string_view>
#include <utility>

#include "score/grace.hpp"
#include "score/playing_order.hpp"

namespace fifthpeg::performance {
namespace {

struct Loudness {
  std::string_view mark;
  int velocity;
};
// Equal steps of 16 from one mark to the next (common practice).
constexpr std::array<Loudness, 8> loudness{
    {{"ppp", 16}, {"pp", 32}, {"p", 48}, {"mp", 64}, {"mf", 80}, {"f", 96}, {"ff", 112}, {"fff", 127}}};
constexpr int usual_velocity = 80;
constexpr int accent_rise = 16;
constexpr int strong_accent_rise = 28;
// In music whose notes say which of them are the tune, those that go with it are softer by one mark and a
// half: one is heard as another loudness, two as another player (from memory). What leads is louder than the
// picked notes beside it even where the fret hand sounds it, so that a slide or pull-off does not bury the
// tune.
constexpr int accompaniment_drop = 24;
constexpr int least_lead = 20;
// What the fret hand sounds is softer than what the picking hand does: three quarters of its velocity.
constexpr int fret_hand_num = 3;
constexpr int fret_hand_den = 4;

// A little less than a thirty-second, on no usual grid.
const Fraction grace_length{1, 44};
const Fraction longest_grace_seconds{grace_milliseconds, 1000};
// More than a sixty-fourth, or it would seem struck together with what follows.
const Fraction shortest_grace{1, 60};
const Fraction grace_apart{1, 66};
// Written notes may begin on thirty-seconds and triplet sixteenths: in parts of a quarter note.
constexpr std::array<std::int64_t, 2> written_grids{8, 12};
constexpr std::int64_t off_grid_ticks = 2;
constexpr std::int64_t most_nudges = 12;
constexpr std::size_t fewest_in_brush = 3;
const Fraction longest_damp{1, 16};
const Fraction brush_step_seconds{15, 1000};
// At high tempos: less than a sixty-fourth, the finest written difference.
const Fraction longest_brush_step{1, 72};
const Fraction usual_quarters_per_minute{120};  // Standard MIDI Files 1.0: 120 where no tempo is set

constexpr int softest = 1;
constexpr int loudest = 127;

bool leads(Role role) {
  return role == Role::melody || role == Role::lick || role == Role::kick_off;
}
bool accompanies(Role role) {
  return role == Role::fill || role == Role::drone || role == Role::backup;
}

constexpr std::size_t nothing = static_cast<std::size_t>(-1);

class Performer {
 public:
  Performer(const Score& score, const Clock& clock, bool strings_apart)
      : score_(score),
        clock_(clock),
        strings_apart_(strings_apart),
        follows_roles_(has_role(score, Role::melody)) {
    result_.tick = Fraction(1, std::int64_t{4} * clock.ticks_per_quarter());
    result_.repeats_ignored = clock.repeats_ignored();
    result_.tempos.push_back({0, quarters_per_minute_, 0.0});
    last_on_string_.fill(nothing);
    for (auto& keys : last_on_key_) keys.fill(nothing);
  }

  Performance run() {
    std::vector<std::int32_t> passes(score_.measures.size(), 0);
    const auto tempos = tempos_in_force(score_);
    const auto velocities = velocities_in_force();
    const auto& played = clock_.played();
    for (std::size_t i = 0; i < played.size(); ++i) {
      const Measure& measure = score_.measures[played[i].index];
      if (i > 0 && played[i].index != played[i - 1].index + 1) {
        velocity_ = velocities[played[i].index];
        if (const Tempo* tempo = tempos[played[i].index]) follow(*tempo, played[i].start);
      }
      ring_limit_ = played[std::min(i + 1, played.size() - 1)].end;
      measure_index_ = played[i].index;
      pass_ = ++passes[played[i].index];
      result_.measures.push_back({played[i].index, pass_, played[i].start, played[i].end});
      play(measure, MeasureClock(score_, clock_, played[i]));
    }
    play_graces(clock_.end(), clock_.end());
    find_what_does_not_ring();
    for (const OpenSlide& slide : slides_) lose(slide);
    std::stable_sort(result_.notes.begin(), result_.notes.end(),
                     [](const SoundedNote& a, const SoundedNote& b) { return a.start < b.start; });
    return std::move(result_);
  }

 private:
  struct Where {
    std::size_t measure = 0;
    std::size_t stroke = 0;
  };
  struct OpenSlide {
    std::size_t note = 0;
    int string = 0;  // 0: not known
    Bend bend;       // its cents are known when the slide arrives
  };
  // A note left to ring, when it is played for the first time.
  struct Ringing {
    std::size_t note = 0;
    std::int64_t written_end = 0;
    Where at;
  };
  struct TiedNote {
    std::size_t note = 0;
    int string = 0;
  };
  struct GraceStroke {
    const Stroke* stroke = nullptr;
    std::size_t measure = 0;
  };
  struct Previous {
    std::size_t note = 0;
    bool gives_way = false;  // may be shortened for the grace notes of the next stroke
  };

  // The loudness where each measure begins, as printed.
  std::vector<std::uint8_t> velocities_in_force() {
    std::vector<std::uint8_t> result;
    for (const Measure& measure : score_.measures) {
      result.push_back(static_cast<std::uint8_t>(velocity_));
      for (const Direction& direction : measure.directions) follow(direction);
    }
    velocity_ = usual_velocity;
    return result;
  }

  void play(const Measure& measure, const MeasureClock& tick) {
    auto direction = measure.directions.begin();
    auto tempo = measure.tempos.begin();
    for (const Stroke& stroke : measure.strokes) {
      for (; direction != measure.directions.end() && direction->at <= stroke.onset; ++direction) {
        follow(*direction);
      }
      for (; tempo != measure.tempos.end() && tempo->at <= stroke.onset; ++tempo) {
        follow(*tempo, tick(tempo->at));
      }
      if (stroke.grace != Grace::none) {
        graces_.push_back({&stroke, measure_index_});
        continue;
      }
      const std::int64_t written_start = tick(stroke.onset);
      const std::int64_t end = std::max(tick(stroke.onset + stroke.duration), written_start + 1);
      const std::int64_t start = play_graces(written_start, end);
      strike(stroke, start, end, measure_index_);
      previous_start_ = written_start;
      if (const Lyric* lyric = sung(stroke, pass_)) {
        result_.syllables.push_back({start, measure_index_, index_of(stroke, measure_index_),
                                     static_cast<std::size_t>(lyric - stroke.lyrics.data())});
      }
    }
    for (; direction != measure.directions.end(); ++direction) follow(*direction);
    for (; tempo != measure.tempos.end(); ++tempo) follow(*tempo, tick(tempo->at));
  }

  void follow(const Direction& direction) {
    if (direction.kind != Direction::Kind::dynamics) return;
    if (const int velocity = velocity_of(direction.text); velocity > 0) velocity_ = velocity;
  }
  void follow(const Tempo& tempo, std::int64_t tick) {
    if (tempo.quarters_per_minute <= 0 || tempo.quarters_per_minute == quarters_per_minute_) return;
    quarters_per_minute_ = tempo.quarters_per_minute;
    const bool from_start = measure_index_ == 0 && pass_ == 1 && tempo.at == 0;
    auto& tempos = result_.tempos;
    const std::int64_t start = from_start ? 0 : std::max(tick, tempos.back().start);
    if (start == tempos.back().start) {
      tempos.back().quarters_per_minute = quarters_per_minute_;
    } else {
      tempos.push_back({start, quarters_per_minute_, result_.seconds(start)});
    }
  }

  // Plays the grace strokes that are waiting, before `main`; returns when the stroke they lead to starts.
  std::int64_t play_graces(std::int64_t main, std::int64_t main_end) {
    if (graces_.empty()) return main;
    const auto count = static_cast<std::int64_t>(graces_.size());
    const auto each_in = [&](std::int64_t room) {
      const std::int64_t wanted = std::min(clock_.ticks(grace_length), in_ticks(longest_grace_seconds));
      const std::int64_t least = std::min(clock_.ticks(shortest_grace), wanted);
      return std::min(std::max(std::min(wanted, room / 4), least), room / (2 * count));
    };
    std::int64_t each = off_grid(main, each_in(main - previous_start_), count);
    std::int64_t first = main - count * each;
    std::int64_t start = main;
    if (each < 1) {
      each = each_in(main_end - main);
      first = main;
      start = main + count * each;
    } else {
      shorten_previous(first);
    }
    for (const GraceStroke& grace : graces_) {
      strike(*grace.stroke, first, std::max(first + each, first + 1), grace.measure);
      first += each;
    }
    graces_.clear();
    return start;
  }

  std::int64_t in_ticks(Fraction seconds) const {
    return clock_.ticks(seconds * quarters_per_minute_ / 60 / 4);
  }

  // A length for each of the grace notes, a little shorter if that keeps them off the grids.
  std::int64_t off_grid(std::int64_t main, std::int64_t each, std::int64_t count) const {
    const auto stands_on_grid = [&](std::int64_t length) {
      for (std::int64_t i = 1; i <= std::min<std::int64_t>(count, 8); ++i) {
        for (const std::int64_t parts : written_grids) {
          const std::int64_t step = clock_.ticks_per_quarter() / parts;
          const std::int64_t off = step > 0 ? (main - i * length) % step : off_grid_ticks;
          if (off < off_grid_ticks || step - off < off_grid_ticks) return true;
        }
      }
      return false;
    };
    const std::int64_t least = clock_.ticks(grace_apart);
    for (std::int64_t nudge = 0; nudge < most_nudges && each - nudge > least; ++nudge) {
      if (!stands_on_grid(each - nudge)) return each - nudge;
    }
    return each;
  }

  // What sounded up to the stroke makes room for its grace notes, unless it is tied on.
  void shorten_previous(std::int64_t end) {
    for (const Previous& previous : previous_) {
      SoundedNote& note = result_.notes[previous.note];
      if (previous.gives_way && note.end > end) note.end = std::max(note.start + 1, end);
    }
  }

  std::int64_t brush_step(const Stroke& stroke, std::int64_t length) const {
    if (stroke.brush == Brush::none || stroke.notes.size() < fewest_in_brush) return 0;
    const std::int64_t wanted = std::min(in_ticks(brush_step_seconds), clock_.ticks(longest_brush_step));
    const auto gaps = static_cast<std::int64_t>(stroke.notes.size()) - 1;
    return std::min(wanted, length / (4 * gaps));
  }

  void strike(const Stroke& stroke, std::int64_t start, std::int64_t end, std::size_t measure) {
    const Where at{measure, index_of(stroke, measure)};
    if (stroke.grace == Grace::none) {
      arriving_.swap(ties_);
      ties_.clear();
    }
    previous_.clear();
    if (stroke.is_rest()) return;
    begun_slides_.clear();
    first_of_stroke_ = result_.notes.size();
    const std::int64_t step = brush_step(stroke, end - start);
    const std::size_t count = stroke.notes.size();
    for (std::size_t i = 0; i < count; ++i) {
      const Note& note = stroke.notes[stroke.brush == Brush::down ? i : count - 1 - i];
      sound(note, stroke, {start, start + step * static_cast<std::int64_t>(i), end}, at);
    }
    drop_lost_slides();
    slides_.insert(slides_.end(), begun_slides_.begin(), begun_slides_.end());
  }

  struct Span {
    std::int64_t start;   // of the stroke
    std::int64_t struck;  // later in a brush
    std::int64_t end;
  };

  std::size_t index_of(const Stroke& stroke, std::size_t measure) const {
    return static_cast<std::size_t>(&stroke - score_.measures[measure].strokes.data());
  }

  void sound(const Note& note, const Stroke& stroke, Span span, const Where& at) {
    const int key = note.pitch.midi();
    if (key < 0 || key > 127) {
      if (pass_ == 1) result_.unheard.push_back({Unheard::Kind::pitch, at.measure, at.stroke});
      return;
    }
    const int string = note.placement ? note.placement->string : 0;
    std::size_t index = note.tied_from_previous ? tied_note(key, string) : nothing;
    if (index == nothing) {
      index = begin(note, stroke, span, at);
    } else {
      result_.notes[index].end = span.end;
    }
    SoundedNote& sounded = result_.notes[index];
    sounded.end = std::max(end_of(note, stroke, span), sounded.start + 1);
    if (note.tied_to_next) ties_.push_back({index, string});
    if (note.ring == Ring::let_ring && pass_ == 1) ringing_.push_back({index, span.end, at});
    previous_.push_back({index, note.ring != Ring::let_ring && !note.tied_to_next});
    bend(note, index, string, at);
  }

  std::int64_t end_of(const Note& note, const Stroke& stroke, Span span) const {
    const std::int64_t half = note.out_of == Technique::slide ? 0 : (span.end - span.start) / 2;
    switch (note.ring) {
      case Ring::let_ring:
        return std::max(span.end, ring_limit_);
      case Ring::damp:
        return span.end - std::min(half, clock_.ticks(longest_damp));
      case Ring::natural:
        break;
    }
    return stroke.articulations.staccato ? span.end - half : span.end;
  }

  std::size_t tied_note(int key, int string) {
    for (TiedNote& tie : arriving_) {
      const bool same = tie.note != nothing && result_.notes[tie.note].midi == key &&
                        (tie.string == 0 || string == 0 || tie.string == string);
      if (same) return std::exchange(tie.note, nothing);
    }
    return nothing;
  }

  std::size_t begin(const Note& note, const Stroke& stroke, Span span, const Where& at) {
    SoundedNote sounded;
    sounded.start = span.struck;
    sounded.end = span.end;
    sounded.measure = at.measure;
    sounded.stroke = static_cast<std::uint32_t>(at.stroke);
    sounded.note = static_cast<std::uint32_t>(&note - stroke.notes.data());
    sounded.pass = pass_;
    sounded.midi = static_cast<std::uint8_t>(note.pitch.midi());
    sounded.velocity = static_cast<std::uint8_t>(velocity(note, stroke));
    if (note.placement) sounded.string = note.placement->string;
    // A string sounds one note at a time, and what is not apart each pitch once, except within one stroke.
    const auto string = static_cast<std::size_t>(sounded.string);
    auto& last_on_key = last_on_key_.at(strings_apart_ ? string : 0).at(sounded.midi);
    stop(last_on_key, span.struck);
    if (string != 0) stop(last_on_string_.at(string), span.struck);
    const std::size_t index = result_.notes.size();
    result_.notes.push_back(sounded);
    last_on_key = index;
    if (string != 0) last_on_string_.at(string) = index;
    return index;
  }

  void stop(std::size_t index, std::int64_t tick) {
    if (index == nothing || index >= first_of_stroke_) return;
    SoundedNote& note = result_.notes[index];
    if (note.end > tick) note.end = std::max(note.start + 1, tick);
  }

  int velocity(const Note& note, const Stroke& stroke) const {
    const int rise = stroke.articulations.strong_accent ? strong_accent_rise
                     : stroke.articulations.accent      ? accent_rise
                                                        : 0;
    const int accompaniment = std::max(velocity_ - accompaniment_drop, softest);
    int velocity = rise + (follows_roles_ && accompanies(note.role) ? accompaniment : velocity_);
    if (note.into != Technique::none) velocity = velocity * fret_hand_num / fret_hand_den;
    if (follows_roles_ && accompanies(note.role)) velocity = std::min(velocity, loudest - least_lead);
    if (follows_roles_ && leads(note.role)) velocity = std::max(velocity, accompaniment + least_lead + rise);
    return std::clamp(velocity, softest, loudest);
  }

  void bend(const Note& note, std::size_t index, int string, const Where& at) {
    arrive(index, string, note.into == Technique::slide);
    Bend bend;
    bend.measure = at.measure;
    bend.stroke = at.stroke;
    bend.pass = pass_;
    if (note.choke && result_.notes[index].bend < 0) {
      bend.kind = Bend::Kind::choke;
      bend.cents = note.choke->cents;
      bend.before = note.choke->before;
      bend.release = note.choke->release;
      attach(index, bend);
    }
    if (note.out_of == Technique::slide) begun_slides_.push_back({index, string, bend});
  }

  void attach(std::size_t index, const Bend& bend) {
    result_.notes[index].bend = static_cast<std::int32_t>(result_.bends.size());
    result_.bends.push_back(bend);
  }

  // A slide on this string, begun on an earlier stroke, arrives; after a repeat or jump perhaps elsewhere.
  void arrive(std::size_t index, int string, bool wanted) {
    const auto slide = std::find_if(slides_.begin(), slides_.end(), [&](const OpenSlide& open) {
      return open.string == string && open.note != index;
    });
    if (slide == slides_.end()) return;
    const int rise = result_.notes[index].midi - result_.notes[slide->note].midi;
    if (result_.notes[slide->note].bend < 0 && rise != 0 && wanted) {
      slide->bend.kind = Bend::Kind::slide;
      slide->bend.cents = rise * 100;
      attach(slide->note, slide->bend);
    } else {
      lose(*slide);
    }
    slides_.erase(slide);
  }

  // A slide whose string is not known arrives in the very next stroke or not at all.
  void drop_lost_slides() {
    std::erase_if(slides_, [this](const OpenSlide& slide) {
      const bool lost = slide.string == 0 ||
                        std::any_of(begun_slides_.begin(), begun_slides_.end(),
                                    [&](const OpenSlide& begun) { return begun.string == slide.string; });
      if (lost) lose(slide);
      return lost;
    });
  }

  void lose(const OpenSlide& slide) {
    if (slide.bend.pass == 1) {
      result_.unheard.push_back({Unheard::Kind::slide, slide.bend.measure, slide.bend.stroke});
    }
  }

  // At the end of the piece, or where its string is picked again at once, a note cannot ring on.
  void find_what_does_not_ring() {
    for (const Ringing& ringing : ringing_) {
      if (result_.notes[ringing.note].end > ringing.written_end) continue;
      result_.unheard.push_back({Unheard::Kind::let_ring, ringing.at.measure, ringing.at.stroke});
    }
  }

  const Score& score_;
  const Clock& clock_;
  bool strings_apart_;
  bool follows_roles_;  // where the score says which notes are the tune
  Performance result_;

  int velocity_ = usual_velocity;
  Fraction quarters_per_minute_ = usual_quarters_per_minute;
  std::int64_t ring_limit_ = 0;
  std::size_t measure_index_ = 0;
  std::int32_t pass_ = 0;
  std::int64_t previous_start_ = 0;  // of the last stroke that was not grace
  std::vector<GraceStroke> graces_;  // waiting for the stroke that they lead to
  std::vector<Previous> previous_;   // notes of the last stroke
  std::vector<Ringing> ringing_;     // all of them
  std::vector<TiedNote> ties_;       // from the last stroke that was not grace
  std::vector<TiedNote> arriving_;   // into the present one
  std::vector<OpenSlide> slides_, begun_slides_;
  std::size_t first_of_stroke_ = 0;
  std::array<std::size_t, string_count + 1> last_on_string_{};
  std::array<std::array<std::size_t, 128>, string_count + 1> last_on_key_{};
};

}  // namespace

Performance perform(const Score& score, const Clock& clock, bool strings_apart) {
  return Performer(score, clock, strings_apart).run();
}

const Lyric* sung(const Stroke& stroke, int pass) {
  if (stroke.lyrics.empty()) return nullptr;
  if (stroke.lyrics.size() > 1) {
    const std::string verse = std::to_string(pass);
    for (const Lyric& lyric : stroke.lyrics) {
      if (lyric.verse == verse) return &lyric;
    }
  }
  return &stroke.lyrics.front();
}

int velocity_of(const std::string& dynamics) {
  for (const Loudness& one : loudness) {
    if (one.mark == dynamics) return one.velocity;
  }
  return 0;
}

}  // namespace fifthpeg::performance

namespace fifthpeg {

double Performance::seconds(std::int64_t ticks) const {
  const auto after = std::upper_bound(tempos.begin(), tempos.end(), ticks,
                                      [](std::int64_t at, const PlayedTempo& one) { return at < one.start; });
  const PlayedTempo& tempo = after == tempos.begin() ? tempos.front() : *(after - 1);
  const double quarters = static_cast<double>(ticks - tempo.start) * 4.0 * tick.to_double();
  return tempo.seconds + quarters * 60.0 / tempo.quarters_per_minute.to_double();
}

Performance perform(const Score& score, const PerformOptions& options) {
  return performance::perform(score, performance::Clock(score, options), options.strings_apart);
}

}  // namespace fifthpeg
