#include "formats/midi/reader/bends.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

namespace fifthpeg::midi::reader {
namespace {

constexpr int least_choke_cents = 30;  // less is vibrato
constexpr int slide_tolerance_cents = 10;
constexpr int most_slide_half_steps = 12;

// What one note's bend does, from its beginning to its end.
struct Contour {
  int at_start = 0;
  int highest = 0;
  int lowest = 0;
  int at_end = 0;           // just before the note stops
  double first_move = 1.0;  // share of the note at which the bend first moves
};

class BendReader {
 public:
  BendReader(std::vector<TakenNote>& notes, const std::vector<BendPoint>& bends, Report& report)
      : notes_(notes), report_(report) {
    for (const BendPoint& bend : bends) by_channel_.at(bend.channel).push_back(bend);
    for (std::size_t i = 0; i < notes.size(); ++i) order_.at(notes[i].played.channel).push_back(i);
  }

  void run() {
    for (std::size_t channel = 0; channel < by_channel_.size(); ++channel) {
      if (!by_channel_[channel].empty()) read_channel(by_channel_[channel], order_[channel]);
    }
  }

 private:
  void read_channel(const std::vector<BendPoint>& bends, const std::vector<std::size_t>& order) {
    std::size_t bend = 0;  // the first after the note's onset
    int value = 0;         // in force at the onset
    for (std::size_t n = 0; n < order.size(); ++n) {
      TakenNote& note = notes_[order[n]];
      while (bend < bends.size() && bends[bend].tick <= note.played.on) value = bends[bend++].cents;
      // Look no farther than the next onset, so that each bend is looked at once.
      std::int64_t until = note.played.off;
      std::size_t next = n + 1;
      while (next < order.size() && notes_[order[next]].played.on <= note.played.on) ++next;
      if (next < order.size()) until = std::min(until, notes_[order[next]].played.on);
      if (value == 0 && (bend == bends.size() || bends[bend].tick >= until)) continue;
      const Contour contour = contour_of(note, bends, bend, value, until);
      interpret(note, contour, next < order.size() ? &notes_[order[next]] : nullptr);
    }
  }

  static Contour contour_of(const TakenNote& note, const std::vector<BendPoint>& bends, std::size_t from,
                            int value, std::int64_t until) {
    Contour contour;
    contour.at_start = contour.highest = contour.lowest = contour.at_end = value;
    const double length = static_cast<double>(std::max<std::int64_t>(1, note.played.off - note.played.on));
    for (std::size_t i = from; i < bends.size() && bends[i].tick < until; ++i) {
      if (bends[i].cents == contour.at_end) continue;
      contour.at_end = bends[i].cents;
      contour.highest = std::max(contour.highest, contour.at_end);
      contour.lowest = std::min(contour.lowest, contour.at_end);
      if (contour.first_move >= 1.0) {
        contour.first_move = static_cast<double>(bends[i].tick - note.played.on) / length;
      }
    }
    return contour;
  }

  void interpret(TakenNote& note, const Contour& contour, TakenNote* next) {
    if (contour.at_start == 0 && next != nullptr && contour.at_end != 0 && is_slide(note, contour, *next)) {
      note.slides_out = true;
      next->slides_in = true;
      return;
    }
    if (contour.highest >= least_choke_cents && contour.lowest >= -least_choke_cents) {
      note.choke_cents = static_cast<std::int16_t>(contour.highest);
      note.choked_before = contour.at_start >= contour.highest - least_choke_cents;
      // The last step of a release may fall on the note's very end and so be missing.
      note.choke_released = contour.at_end <= contour.highest / 4;
      return;
    }
    report_.add(EntryKind::loss, "midi-bend", "pitch bends that are neither slide nor choke were ignored");
  }

  static bool is_slide(const TakenNote& note, const Contour& contour, const TakenNote& next) {
    const int half_steps = next.played.key - note.played.key;
    if (half_steps == 0 || std::abs(half_steps) > most_slide_half_steps) return false;
    if (note.string != next.string || next.played.on > 2 * note.played.off - note.played.on) return false;
    return std::abs(contour.at_end - 100 * half_steps) <= slide_tolerance_cents && contour.first_move >= 0.4;
  }

  std::vector<TakenNote>& notes_;
  Report& report_;
  std::array<std::vector<BendPoint>, 16> by_channel_;
  std::array<std::vector<std::size_t>, 16> order_;
};

}  // namespace

void read_bends(std::vector<TakenNote>& notes, const std::vector<BendPoint>& bends, Report& report) {
  BendReader(notes, bends, report).run();
}

}  // namespace fifthpeg::midi::reader
