// The track with the notes.
#include <algorithm>
#include <array>
#include <cstdlib>
#include <queue>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

#include "formats/midi/conventions.hpp"
#include "formats/midi/track_bytes.hpp"
#include "formats/midi/writer/tracks.hpp"

namespace fifthpeg::midi::writer {
namespace {

constexpr unsigned release_velocity = 64;  // MIDI 1.0: where a device has none
constexpr int bend_center = 8192;
// The bend range set by registered parameter 0, in half steps to either side: an octave, room for any slide
// that a hand makes.
constexpr int bend_range = 12;
constexpr unsigned channel_count = 16;
constexpr int bend_steps = 16;  // to a glide
// Look no farther than this for notes that a bend would disturb.
constexpr std::size_t farthest_look = 64;

// At one tick: what stops, bends, what is sung, what starts.
enum class Rank : std::uint8_t { off, bend };

struct Later {
  std::int64_t tick = 0;
  Rank rank = Rank::off;
  std::uint8_t channel = 0;
  std::uint16_t value = 0;  // the key, or the bend
  std::uint32_t serial = 0;
  std::int32_t glide_of = -1;  // a slide that begins: the note
};

struct Sooner {
  bool operator()(const Later& a, const Later& b) const {
    return std::tie(a.tick, a.rank, a.serial) > std::tie(b.tick, b.rank, b.serial);
  }
};

class BanjoTrack {
 public:
  BanjoTrack(const Score& score, const performance::Clock& clock, const Performance& performance,
             const Channels& channels, Report& report)
      : score_(score), clock_(clock), performance_(performance), channels_(channels), report_(report) {}

  std::string run() {
    begin();
    std::size_t syllable = 0;
    const auto& notes = performance_.notes;
    const auto& syllables = performance_.syllables;
    while (next_ < notes.size() || syllable < syllables.size()) {
      const std::int64_t sung = syllable < syllables.size() ? syllables[syllable].start : INT64_MAX;
      const std::int64_t struck = next_ < notes.size() ? notes[next_].start : INT64_MAX;
      catch_up(std::min(sung, struck));
      if (sung <= struck) {
        sing(syllables[syllable++]);
      } else {
        strike(next_++);
      }
    }
    catch_up(INT64_MAX);
    return track_.finish(clock_.end());
  }

 private:
  void begin() {
    track_.meta(0, Meta::track_name, score_.part_name);
    if (channels_.program == banjo_program) track_.meta(0, Meta::text, banjo_text());
    std::array<bool, channel_count> used{};
    for (const SoundedNote& note : performance_.notes) used.at(channel_of(note)) = true;
    const bool bends = std::any_of(performance_.bends.begin(), performance_.bends.end(), is_within_range);
    for (int n = 0; n < (channels_.by_string ? channels_a_banjo : 1); ++n) {
      const auto channel = static_cast<unsigned>(channel_behind(channels_.first, n));
      if (n == string_count && !used.at(channel)) continue;
      track_.channel(0, 0xc0U | channel, static_cast<unsigned>(channels_.program));
      if (bends) set_bend_range(channel);
    }
  }

  std::string banjo_text() const {
    BanjoText text{score_.banjo, channels_.by_string, channels_.by_string ? channels_.first : 0, {}};
    // Silence at the beginning may be the first measure's or stand before a pickup: said where it is one.
    if (!score_.measures.empty() && performance::lead(score_, 0) > 0)
      text.pickup = score_.measures.front().length;
    return to_text(text);
  }

  // Registered parameter 0 is the bend range; the null parameter afterwards keeps later data entries from
  // changing it (MIDI 1.0).
  void set_bend_range(unsigned channel) {
    constexpr std::array<std::pair<unsigned, unsigned>, 6> controls{
        {{101, 0}, {100, 0}, {6, bend_range}, {38, 0}, {101, 127}, {100, 127}}};
    for (const auto& [control, value] : controls) track_.channel(0, 0xb0U | channel, control, value);
  }

  void catch_up(std::int64_t tick) {
    while (!later_.empty() && later_.top().tick <= tick) {
      const Later event = later_.top();
      later_.pop();
      if (event.glide_of >= 0) {
        glide(static_cast<std::size_t>(event.glide_of));
      } else if (event.rank == Rank::off) {
        track_.channel(event.tick, 0x80U | event.channel, event.value, release_velocity);
        --sounding_.at(event.channel);
      } else {
        track_.channel(event.tick, 0xe0U | event.channel, event.value & 0x7fU, event.value >> 7U);
      }
    }
  }

  void sing(const SungSyllable& syllable) {
    const Stroke& stroke = score_.measures[syllable.measure].strokes[syllable.stroke];
    const Lyric& lyric = stroke.lyrics[syllable.lyric];
    const bool goes_on = lyric.syllabic == Syllabic::begin || lyric.syllabic == Syllabic::middle;
    track_.meta(syllable.start, Meta::lyric, goes_on ? lyric.text + "-" : lyric.text);
  }

  void strike(std::size_t index) {
    const SoundedNote& note = performance_.notes[index];
    if (note.bend >= 0) prepare_bend(index, note);
    track_.channel(note.start, 0x90U | channel_of(note), note.midi, note.velocity);
    ++sounding_.at(channel_of(note));
    push({note.end, Rank::off, channel_of(note), note.midi, 0, -1});
  }

  void prepare_bend(std::size_t index, const SoundedNote& note) {
    const Bend& bend = bend_of(note);
    if (!is_within_range(bend)) {
      lose(bend, "midi-slide", "a slide that MIDI cannot show as a bend is lost");
    } else if (bend.kind == Bend::Kind::slide) {
      push({glides_of(performance_, note).front().from, Rank::bend, channel_of(note), 0, 0,
            static_cast<std::int32_t>(index)});
    } else if (sounding_.at(channel_of(note)) > 0 || disturbs(note, index + 1)) {
      lose(bend, "midi-choke", "a choke would also bend other notes on its channel; it is left out");
    } else {
      choke(note, bend);
    }
  }

  void glide(std::size_t index) {
    const SoundedNote& note = performance_.notes[index];
    const Bend& bend = bend_of(note);
    if (sounding_.at(channel_of(note)) != 1 || disturbs(note, next_)) {
      lose(bend, "midi-slide", "a slide that MIDI cannot show as a bend is lost");
      return;
    }
    curve(note, bend, glides_of(performance_, note).front());
    reset(note);
  }

  void choke(const SoundedNote& note, const Bend& bend) {
    for (Glide glide : glides_of(performance_, note)) {
      if (glide.from == glide.to) {
        push_bend(note, glide.from, glide.cents_to);
        continue;
      }
      // Begins after the note, which is struck unbent.
      if (glide.from == note.start) {
        glide.from += std::max<std::int64_t>(1, (glide.to - glide.from) / bend_steps);
      }
      curve(note, bend, glide);
    }
    reset(note);
    catch_up(note.start);
  }

  // In even steps; the first one where the glide begins, the last one before its end so that it sounds.
  void curve(const SoundedNote& note, const Bend& bend, const Glide& glide) {
    if (std::abs(bend.cents) > bend_range * 100) {
      lose(bend, "midi-bend-range", "a bend of more than an octave is cut short");
    }
    std::int64_t last = -1;
    for (int step = 1; step <= bend_steps; ++step) {
      const std::int64_t length = glide.to - glide.from;
      const std::int64_t tick = glide.from + length * (step - 1) / bend_steps;
      const std::int64_t following = glide.from + length * step / bend_steps;
      if (step < bend_steps && tick == following) continue;
      if (tick == last) continue;
      last = tick;
      push_bend(note, tick, glide.cents_from + (glide.cents_to - glide.cents_from) * step / bend_steps);
    }
  }

  void push_bend(const SoundedNote& note, std::int64_t tick, int cents) {
    // Away from the center, so that readers that cut off fractions of a cent find the same cents.
    const int steps = bend_range * 100;
    const int scaled = std::abs(cents) * bend_center;
    const int distance = (scaled + steps - 1) / steps;
    const int value = cents < 0 ? bend_center - distance : bend_center + distance;
    push({tick, Rank::bend, channel_of(note),
          static_cast<std::uint16_t>(std::clamp(value, 0, 2 * bend_center - 1)), 0, -1});
  }

  void reset(const SoundedNote& note) { push({note.end, Rank::bend, channel_of(note), bend_center, 0, -1}); }

  // Whether another note on its channel starts before it ends, from the note `from` on.
  bool disturbs(const SoundedNote& note, std::size_t from) const {
    const auto& notes = performance_.notes;
    const std::size_t to = std::min(notes.size(), from + farthest_look);
    for (std::size_t i = from; i < to; ++i) {
      if (notes[i].start >= note.end) return false;
      if (channel_of(notes[i]) == channel_of(note) && &notes[i] != &note) return true;
    }
    return to < notes.size();
  }

  std::uint8_t channel_of(const SoundedNote& note) const {
    const int n = !channels_.by_string ? 0 : note.string == 0 ? string_count : note.string - 1;
    return static_cast<std::uint8_t>(channel_behind(channels_.first, n));
  }

  // A choke that goes farther is cut short, a slide would not arrive.
  static bool is_within_range(const Bend& bend) {
    return bend.kind == Bend::Kind::choke || std::abs(bend.cents) <= bend_range * 100;
  }

  const Bend& bend_of(const SoundedNote& note) const {
    return performance_.bends[static_cast<std::size_t>(note.bend)];
  }

  void push(Later event) {
    event.serial = serial_++;
    later_.push(event);
  }

  void lose(const Bend& bend, std::string_view slug, std::string_view text) {
    if (bend.pass != 1) return;
    const Measure& measure = score_.measures[bend.measure];
    const Fraction onset = measure.strokes[bend.stroke].onset;
    report_.add(EntryKind::loss, slug, text, {{}, measure.number, beat_at(measure, onset)});
  }

  const Score& score_;
  const performance::Clock& clock_;
  const Performance& performance_;
  Channels channels_;
  Report& report_;
  TrackBytes track_;
  std::priority_queue<Later, std::vector<Later>, Sooner> later_;
  std::uint32_t serial_ = 0;
  std::size_t next_ = 0;  // the next note to strike
  std::array<int, channel_count> sounding_{};
};

}  // namespace

std::string banjo_track(const Score& score, const performance::Clock& clock, const Performance& performance,
                        const Channels& channels, Report& report) {
  return BanjoTrack(score, clock, performance, channels, report).run();
}

}  // namespace fifthpeg::midi::writer
