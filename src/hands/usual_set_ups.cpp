#include "hands/usual_set_ups.hpp"

#include <algorithm>

namespace fifthpeg::hands {
namespace {
namespace usual {

// Who uses a set-up.
constexpr unsigned bit(Style style) {
  return 1U << static_cast<unsigned>(style);
}
constexpr unsigned roll = bit(Style::roll);
constexpr unsigned rolls = roll | bit(Style::melodic);
constexpr unsigned single = bit(Style::single_string);
constexpr unsigned claw = bit(Style::clawhammer);
constexpr unsigned picks = rolls | single;
constexpr unsigned all = picks | claw;

constexpr std::string_view open_g_tuning = "open-g";
constexpr std::string_view c_tuning = "c";
constexpr std::string_view double_c = "double-c";
constexpr std::string_view sawmill = "modal-g";
constexpr std::string_view d_tuning = "d";
constexpr std::string_view open_d = "open-d";

struct Row {
  unsigned styles;
  std::string_view tuning;
  Step shapes;
  std::int8_t lowest_capo;
  std::int8_t highest_capo;
  // Where the fifth string begins without capo; with one it is moved along. Spikes sit at 7, 9 and 10; one at
  // 6 or 8 is the fifth string tuned up a half step.
  std::int8_t fifth;
  std::int8_t rank;
  std::string_view why;
};

using enum Step;

// All of it is common practice. Capo 2 of G shapes is A, 3 B flat, 4 B; of C shapes D, E flat, E; of D shapes
// E, F, F sharp; capo 1 is for the flat keys between.
constexpr Row major_rows[] = {
    {all, open_g_tuning, G, 0, 4, 5, 0, "open G sounds the key's chord"},
    {all, c_tuning, G, 0, 4, 5, 1, "open G with the fourth string let down, for low notes"},

    {picks, open_g_tuning, D, 0, 0, 5, 0, "D is played from open G, with the fifth string as it is"},
    {rolls, open_g_tuning, D, 0, 0, 7, 1, "D from open G, with the fifth string at the spike that gives A"},
    {rolls, open_g_tuning, D, 1, 3, 7, 0, "D shapes in open G, with the drone on the key's fifth"},
    {claw, open_g_tuning, D, 3, 3, 7, 1, "D shapes in open G, with the drone on the key's fifth"},
    {single, open_g_tuning, D, 1, 3, 5, 1, "D shapes in open G"},
    {picks, open_g_tuning, D, 4, 4, 5, 0, "D shapes in open G"},
    {claw, open_g_tuning, D, 0, 0, 5, 2, "D from open G saves retuning"},
    {roll, d_tuning, D, 0, 4, 5, 2, "D tuning sounds the key's chord"},
    {claw, d_tuning, D, 0, 3, 5, 1, "D tuning sounds the key's chord"},
    {claw, d_tuning, D, 4, 4, 5, 0, "D tuning sounds the key's chord"},
    {roll | claw, open_d, D, 0, 0, 5, 2, "open D, with the third in the drone, is for the old D pieces"},

    {picks, open_g_tuning, C, 0, 4, 5, 0, "C shapes lie well in open G, and nothing is retuned"},
    {claw, double_c, C, 0, 4, 5, 0, "double C is the clawhammer tuning for C shapes"},
    {single, c_tuning, C, 0, 4, 5, 0, "standard C, with its low C, is the classic players' tuning"},
    {rolls | claw, c_tuning, C, 0, 4, 5, 1, "standard C, for the low tonic"},
    {claw, open_g_tuning, C, 0, 2, 5, 2, "C shapes in open G save retuning"},

    {rolls, open_g_tuning, F, 0, 0, 10, 0, "F from open G, with the fifth string at the spike that gives C"},
    {single, open_g_tuning, F, 0, 0, 5, 0, "closed positions need no capo"},
    {claw, double_c, F, 0, 0, 5, 0, "F is played from double C"},
    {rolls, open_g_tuning, A, 0, 2, 7, 1, "A shapes in open G, for low notes, with the drone on the tonic"},
    {rolls, open_g_tuning, E, 0, 0, 9, 1, "E from open G, with the fifth string at the spike that gives B"},
    {single, open_g_tuning, A, 0, 2, 5, 1, "closed positions need little capo"},
    {single, open_g_tuning, E, 0, 2, 5, 1, "closed positions need little capo"},
};

// Minor and modal keys.
constexpr Row minor_rows[] = {
    {rolls | claw, sawmill, G, 0, 4, 5, 0, "sawmill has no third among its strings and suits modal tunes"},
    {single, open_g_tuning, G, 0, 4, 5, 0, "closed positions in open G"},
    {rolls | claw, open_g_tuning, G, 0, 4, 5, 1, "open G saves retuning, with the thirds stopped"},
    {rolls | claw, double_c, G, 0, 4, 5, 1, "double C has no third among its strings, and low notes"},

    {all, open_g_tuning, E, 0, 2, 5, 0, "the strings of open G all belong to E minor"},
    {all, open_g_tuning, E, 4, 4, 5, 1, "the strings of open G all belong to E minor"},

    {rolls, open_g_tuning, A, 0, 1, 7, 2, "A minor from open G, with the drone on the tonic"},
    {rolls, open_g_tuning, A, 2, 3, 7, 0, "A minor shapes in open G, with the drone on the tonic"},
    {single, open_g_tuning, A, 0, 4, 5, 0, "A minor shapes lie well in open G"},
    {claw, open_g_tuning, A, 0, 2, 7, 2, "A minor shapes in open G save retuning"},

    {rolls, open_g_tuning, D, 0, 0, 7, 0,
     "D minor from open G, with the fifth string at the spike that gives A"},
    {rolls, open_g_tuning, D, 1, 3, 7, 1, "D minor shapes in open G, with the drone on the key's fifth"},
    {single, open_g_tuning, D, 0, 0, 5, 0, "D minor shapes lie well in open G"},
    {single, open_g_tuning, D, 1, 4, 5, 1, "D minor shapes lie well in open G"},

    {claw, double_c, C, 0, 3, 5, 0, "double C has no third among its strings and suits modal tunes"},
    {claw, double_c, C, 4, 4, 5, 1, "double C has no third among its strings and suits modal tunes"},
    {rolls, double_c, C, 0, 4, 5, 1, "double C has no third among its strings and suits modal tunes"},
    {single, c_tuning, C, 0, 4, 5, 0, "standard C, with its low C, is the classic players' tuning"},
    {rolls, open_g_tuning, B, 0, 0, 9, 1,
     "B minor from open G, with the fifth string at the spike that gives B"},
};

const NamedTuning* tuning_named(std::string_view slug) {
  const auto& named = named_tunings();
  return &*std::find_if(named.begin(), named.end(), [&](const NamedTuning& one) { return one.slug == slug; });
}

}  // namespace usual
}  // namespace

std::vector<UsualSetUp> usual_set_ups(Style style, const Home& home) {
  std::vector<UsualSetUp> found;
  const auto add = [&](const usual::Row& row) {
    const int capo = pitch_class(home.tonic - Pitch{row.shapes, 0, 0}.midi());
    if ((row.styles & usual::bit(style)) == 0 || capo < row.lowest_capo || capo > row.highest_capo) return;
    found.push_back({usual::tuning_named(row.tuning), capo, row.fifth + capo, row.shapes, row.rank, row.why});
  };
  if (home.major) {
    std::for_each(std::begin(usual::major_rows), std::end(usual::major_rows), add);
  } else {
    std::for_each(std::begin(usual::minor_rows), std::end(usual::minor_rows), add);
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const UsualSetUp& a, const UsualSetUp& b) { return a.rank < b.rank; });
  return found;
}

}  // namespace fifthpeg::hands
