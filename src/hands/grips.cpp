#include "hands/grips.hpp"

#include <algorithm>
#include <bit>

namespace fifthpeg::hands {
namespace {

constexpr std::size_t index_of(CostKind kind) {
  return static_cast<std::size_t>(kind);
}

// Builds grips note by note: first strings and frets, then fingers in fret order, then techniques.
class GripBuilder {
 public:
  GripBuilder(const RequestedStroke& stroke, const Neck& neck, const CostTable& costs,
              const Confinement& confinement, bool first_only, std::vector<Grip>& out)
      : stroke_(stroke),
        neck_(neck),
        costs_(costs),
        confinement_(confinement),
        first_only_(first_only),
        out_(out) {
    grip_.count = stroke.count;
    grip_.chord = stroke.chord;
    for (int n = 0; n < stroke.count; ++n) {
      crossing_allowed_ = crossing_allowed_ || note(n).finger > static_cast<int>(FretFinger::open);
    }
  }

  void build() { lay(0); }

 private:
  const RequestedNote& note(int n) const { return stroke_.notes[static_cast<std::size_t>(n)]; }
  Placement& placed(int n) { return grip_.notes[static_cast<std::size_t>(n)]; }
  FretFinger& finger(int n) { return grip_.fingers[static_cast<std::size_t>(n)]; }
  bool done() const { return first_only_ && !out_.empty(); }
  void charge(CostKind kind, int units) {
    std::int16_t& cost = grip_.cost[index_of(kind)];
    cost = static_cast<std::int16_t>(cost + units);
  }

  // ---- strings and frets ----

  void lay(int n) {
    if (n == stroke_.count) {
      order_stopped_notes();
      put_fingers(0, 0, 0);
      return;
    }
    for (int string = 1; string <= string_count && !done(); ++string) {
      if ((grip_.sounding & string_bit(string)) != 0) continue;
      if (note(n).string != RequestedNote::free && note(n).string != string) continue;
      const auto fret = note(n).fret != RequestedNote::free
                            ? std::optional<int>(note(n).fret)
                            : fret_for(neck_.banjo(), string, note(n).sound());
      if (!fret || *fret > highest_fret) continue;
      const FretFinger open_or_not =
          note(n).finger == RequestedNote::free ? FretFinger::index : static_cast<FretFinger>(note(n).finger);
      if (note(n).finger != RequestedNote::free && (open_or_not == FretFinger::open) != (*fret == 0))
        continue;
      placed(n) = {static_cast<std::int8_t>(string), static_cast<std::int8_t>(*fret)};
      finger(n) = FretFinger::open;
      const std::uint8_t bit = string_bit(string);
      grip_.sounding |= bit;
      if (*fret == 0) grip_.open |= bit;
      if (within_hand(n)) lay(n + 1);
      grip_.sounding = static_cast<std::uint8_t>(grip_.sounding & ~bit);
      grip_.open = static_cast<std::uint8_t>(grip_.open & ~bit);
    }
  }

  // Whether the notes laid so far, the last of them `n`, are within one hand's span.
  bool within_hand(int n) {
    if (placed(n).fret == 0) return true;
    const double hard =
        neck_.limits(1, 4).hard + neck_.thumb_limit();  // exact limits follow with the fingers
    for (int other = 0; other < n; ++other) {
      const auto [low, high] = std::minmax(placed(other).fret, placed(n).fret);
      if (low > 0 && neck_.span_mm(low, high) > hard) return false;
    }
    return true;
  }

  // ---- fingers ----

  // By fret, and at one fret from the fifth string to the first: the order in which fingers stand.
  void order_stopped_notes() {
    stopped_ = 0;
    for (int n = 0; n < stroke_.count; ++n) {
      if (placed(n).fret > 0) order_[static_cast<std::size_t>(stopped_++)] = n;
    }
    std::sort(order_.begin(), order_.begin() + stopped_, [this](int a, int b) {
      if (placed(a).fret != placed(b).fret) return placed(a).fret < placed(b).fret;
      return placed(a).string > placed(b).string;
    });
  }

  // `floor` is the highest finger at a lower fret, `last` the finger of the note before in the order.
  void put_fingers(int k, int floor, int last) {
    if (done()) return;
    if (k == stopped_) {
      finish();
      return;
    }
    const int n = order_[static_cast<std::size_t>(k)];
    const bool same_fret = k > 0 && placed(order_[static_cast<std::size_t>(k - 1)]).fret == placed(n).fret;
    if (!same_fret) floor = std::max(floor, highest_finger_);
    for (int f = 1; f <= 4; ++f) {
      const bool used = grip_.use[static_cast<std::size_t>(f - 1)].strings != 0;
      const bool bar = used && same_fret && f == last;
      const bool crossing = same_fret && !used && f < last;
      if (used ? !bar : f <= floor) continue;
      if (crossing && !crossing_allowed_) continue;
      if (!may_be(n, static_cast<FretFinger>(f))) continue;
      put(n, f, [&] { put_fingers(k + 1, floor, std::max(f, last)); });
    }
    // The thumb helps out where the fingers have a chord to hold.
    const int string = string_of(placed(n));
    const bool thumb = stopped_ > 2 || (stopped_ > 1 && string == fifth_string) ||
                       note(n).finger == static_cast<int>(FretFinger::thumb);
    if (thumb && string >= 4 && grip_.use[thumb_index].strings == 0 && may_be(n, FretFinger::thumb)) {
      put(n, 5, [&] { put_fingers(k + 1, floor, last); });
    }
  }

  bool may_be(int n, FretFinger f) const {
    return note(n).finger == RequestedNote::free || note(n).finger == static_cast<int>(f);
  }

  template <class Then>
  void put(int n, int f, const Then& then) {
    FingerUse& use = grip_.use[static_cast<std::size_t>(f - 1)];
    const FingerUse before = use;
    const int highest_before = highest_finger_;
    use.strings |= string_bit(placed(n).string);
    use.fret = static_cast<std::uint8_t>(placed(n).fret);
    use.covered = across(use.strings);
    finger(n) = static_cast<FretFinger>(f);
    if (f <= 4) highest_finger_ = std::max(highest_finger_, f);
    then();
    highest_finger_ = highest_before;
    finger(n) = FretFinger::open;
    use = before;
  }

  // Nothing rings under a bar: no open string, and no string stopped lower down.
  bool bars_stand() {
    for (const FingerUse& use : grip_.use) {
      if (use.strings == 0 || std::has_single_bit(use.strings)) continue;
      if ((use.covered & grip_.open) != 0) return false;
      for (int n = 0; n < stroke_.count; ++n) {
        if ((use.covered & string_bit(placed(n).string)) != 0 && placed(n).fret < use.fret) return false;
      }
    }
    return true;
  }

  // ---- the whole grip ----

  void finish() {
    if (!bars_stand()) return;
    grip_.cost = {};
    grip_.beside = 0;
    charge_notes();
    if (stretches()) for_each_position();
  }

  // Whether a long string that is silent here gives the note open.
  bool has_open_string(int n) const {
    for (int string = 1; string < fifth_string; ++string) {
      if ((grip_.sounding & string_bit(string)) == 0 && is_open(string, n)) return true;
    }
    return false;
  }

  void charge_notes() {
    grip_.open_elsewhere = 0;
    for (int n = 0; n < stroke_.count; ++n) {
      const int fret = fret_of(placed(n));
      if (fret == 0) {
        charge(CostKind::fretting, costs_.open + (placed(n).string == fifth_string ? costs_.drone : 0));
        if (stroke_.count > 1) charge(CostKind::fretting, costs_.open_in_chord);
        if (note(n).ringing == RequestedNote::stopped_short) charge(CostKind::ring, costs_.open_cut_short);
        continue;
      }
      if (note(n).bent) {
        if (finger(n) == FretFinger::index) charge(CostKind::technique, costs_.index_chokes);
        if (finger(n) == FretFinger::little) charge(CostKind::technique, costs_.little_finger_chokes);
      }
      if (has_open_string(n)) grip_.open_elsewhere |= string_bit(placed(n).string);
      if (stroke_.count == 1) {
        charge(CostKind::fretting, costs_.high_by_itself(fret));
        if (fret > 4 && stroke_.long_note && finger(n) == FretFinger::little && costs_.open == 0 &&
            is_open_somewhere(n))
          charge(CostKind::fingers, costs_.rests_on_little_finger);
      } else {
        note_open_beside(n);
      }
      if (placed(n).string == fifth_string) charge(CostKind::fretting, costs_.on_fretted_drone);
      const int beyond = std::max(confinement_.low - fret, fret - confinement_.high);
      if (beyond > 0) charge(CostKind::confinement, costs_.outside + beyond * costs_.outside_fret);
    }
  }

  bool is_open(int string, int n) const { return fret_for(neck_.banjo(), string, note(n).sound()) == 0; }
  bool is_open_somewhere(int n) const {
    for (int string = 1; string <= string_count; ++string) {
      if (is_open(string, n)) return true;
    }
    return false;
  }
  void note_open_beside(int n) {
    if (note(n).ringing == RequestedNote::stopped_short) return;
    for (const int string : {placed(n).string - 1, placed(n).string + 1}) {
      if (string < 1 || string >= fifth_string || (grip_.sounding & string_bit(string)) != 0) continue;
      if (is_open(string, n)) grip_.beside |= string_bit(string);
    }
  }

  // False where the fingers stand too far apart.
  bool stretches() {
    grip_.strain = 0;
    lowest_finger_ = 0;
    highest_used_ = 0;
    for (int f = 1; f <= 4; ++f) {
      const FingerUse& use = grip_.use[static_cast<std::size_t>(f - 1)];
      if (use.strings == 0) continue;
      if (lowest_finger_ == 0) lowest_finger_ = f;
      highest_used_ = f;
      for (int g = lowest_finger_; g < f; ++g) {
        const FingerUse& lower = grip_.use[static_cast<std::size_t>(g - 1)];
        if (lower.strings == 0) continue;
        const double span = neck_.span_mm(lower.fret, use.fret);
        const Stretch limits = neck_.limits(g, f);
        if (span > limits.hard) return false;
        if (span > limits.comfortable) {
          grip_.strain += (1 + static_cast<int>((span - limits.comfortable) / 5.0)) * costs_.stretch_5_mm;
        }
      }
    }
    if (crossing_allowed_) charge_crossings();
    return thumb_reaches();
  }

  // Only fixed fingers cross: at one fret, a higher finger on a lower-lying string.
  void charge_crossings() {
    for (int k = 1; k < stopped_; ++k) {
      const int a = order_[static_cast<std::size_t>(k - 1)];
      const int b = order_[static_cast<std::size_t>(k)];
      if (finger(a) == FretFinger::thumb || finger(b) == FretFinger::thumb) continue;
      if (placed(a).fret == placed(b).fret && finger(b) < finger(a))
        charge(CostKind::fingers, 2 * costs_.below_its_fret);
    }
  }

  bool thumb_reaches() const {
    const FingerUse& thumb = grip_.use[thumb_index];
    if (thumb.strings == 0) return true;
    for (int f = 1; f <= 4; ++f) {
      const FingerUse& use = grip_.use[static_cast<std::size_t>(f - 1)];
      if (use.strings == 0) continue;
      const auto [low, high] = std::minmax(use.fret, thumb.fret);
      if (neck_.span_mm(low, high) > neck_.thumb_limit()) return false;
    }
    return true;
  }

  // The hand stays where it is, or goes to where the lowest or the highest finger has its fret. The thumb
  // stands opposite the middle finger.
  void for_each_position() {
    emit(0);
    if (stopped_ == 0) return;
    const auto natural = [&](int f) {
      return std::max(1, grip_.use[static_cast<std::size_t>(f - 1)].fret - f + 1);
    };
    const int first =
        lowest_finger_ == 0 ? std::max(1, grip_.use[thumb_index].fret - 1) : natural(lowest_finger_);
    emit(first);
    if (highest_used_ > lowest_finger_ && natural(highest_used_) != first) emit(natural(highest_used_));
  }

  // ---- techniques ----

  void emit(int position) {
    grip_.position = static_cast<std::uint8_t>(position);
    grip_.techniques = {};
    grip_.slurred = grip_.slides = grip_.slides_as_asked = grip_.tied = false;
    grip_.picked = grip_.natural = grip_.let_ring = 0;
    std::int8_t asked = 0;
    int lost = 0;
    const auto cost_before = grip_.cost;
    for (int n = 0; n < stroke_.count; ++n) {
      const std::uint8_t bit = string_bit(placed(n).string);
      grip_.tied = grip_.tied || note(n).tied;
      if (!note(n).tied) grip_.picked |= bit;
      if (note(n).ringing == RequestedNote::natural) grip_.natural |= bit;
      if (note(n).ringing == RequestedNote::let_ring) grip_.let_ring |= bit;
      asked = static_cast<std::int8_t>(asked | note(n).slurs);
      lost += note(n).slur_asked ? 1 : 0;
    }
    for (const Technique technique : {Technique::hammer_on, Technique::pull_off, Technique::slide}) {
      // A slide takes the hand along; to a fretted note the others hold it where it is.
      if ((asked & RequestedNote::bit(technique)) == 0) continue;
      if (technique != Technique::slide || position == 0) emit_slurred(technique);
    }
    charge(CostKind::technique, lost * costs_.lost_slur);
    push();
    grip_.cost = cost_before;
  }

  void emit_slurred(Technique technique) {
    const Grip before = grip_;
    for (int n = 0; n < stroke_.count; ++n) {
      if ((note(n).slurs & RequestedNote::bit(technique)) == 0 ||
          (placed(n).fret == 0 && technique != Technique::pull_off)) {
        if (note(n).slur_asked) charge(CostKind::technique, costs_.lost_slur);
        continue;
      }
      grip_.techniques[static_cast<std::size_t>(n)] = technique;
      grip_.slurred = true;
      grip_.picked = static_cast<std::uint8_t>(grip_.picked & ~string_bit(placed(n).string));
      charge(CostKind::technique, technique == Technique::hammer_on  ? costs_.hammer_on
                                  : technique == Technique::pull_off ? costs_.pull_off
                                                                     : costs_.slide);
      if (technique == Technique::slide) {
        grip_.slides = true;
        grip_.slides_as_asked = grip_.slides_as_asked || note(n).slur_asked;
        if (finger(n) == FretFinger::little) charge(CostKind::technique, costs_.little_finger_slides);
        if (finger(n) == FretFinger::index && stroke_.count == 1)
          charge(CostKind::technique, costs_.index_slides);
      }
      if (!note(n).slur_asked) charge(CostKind::technique, costs_.suggested);
    }
    if (grip_.slurred) push();
    grip_ = before;
  }

  void push() {
    grip_.wide = stroke_.count > 1 || grip_.slurred || grip_.tied;
    grip_.fingers_used = 0;
    grip_.lowest = stopped_ == 0 ? 0 : static_cast<std::uint8_t>(placed(order_[0]).fret);
    for (std::size_t f = 0; f < finger_count; ++f) {
      if (grip_.use[f].strings != 0) grip_.fingers_used |= static_cast<std::uint8_t>(1U << f);
    }
    out_.push_back(grip_);
    int total = 0;
    for (const std::int16_t cost : grip_.cost) total += cost;
    out_.back().total = total;
  }

  const RequestedStroke& stroke_;
  const Neck& neck_;
  const CostTable& costs_;
  const Confinement& confinement_;
  bool first_only_;
  std::vector<Grip>& out_;
  Grip grip_;
  std::array<int, string_count> order_{};
  int stopped_ = 0;
  int highest_finger_ = 0;
  int lowest_finger_ = 0;
  int highest_used_ = 0;
  bool crossing_allowed_ = false;
};

}  // namespace

std::vector<Grip> grips_for(const RequestedStroke& stroke, const Neck& neck, const CostTable& costs,
                            const Confinement& confinement) {
  std::vector<Grip> grips;
  GripBuilder(stroke, neck, costs, confinement, false, grips).build();
  return grips;
}

bool can_be_held(const RequestedStroke& stroke, const Neck& neck) {
  static constexpr CostTable costs;
  static constexpr Confinement anywhere;
  std::vector<Grip> grips;
  GripBuilder(stroke, neck, costs, anywhere, true, grips).build();
  return !grips.empty();
}

}  // namespace fifthpeg::hands
