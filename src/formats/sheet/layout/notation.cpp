#include "formats/sheet/layout/notation.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>

namespace fifthpeg::sheet {
namespace {

constexpr int steps_in_octave = 7;
constexpr int lowest_line = 4 * steps_in_octave + 2;  // E4

double width_of(MusicSign sign) {
  const SignOutline& outline = outline_of(sign);
  return outline.right - outline.left;
}

// Accidentals nearer than an octave touch (common practice); the highest stands nearest to its head.
constexpr int touching = 7;
constexpr double accidental_gap = 0.2;  // in staff gaps, before a head or another accidental

// In as few columns, one left of the other, as keep them from touching.
void place_accidentals(std::vector<Head>& heads, double gap) {
  struct SignColumn {
    int lowest = 0;    // position
    double width = 0;  // of the widest
    std::vector<Head*> heads;
  };
  std::vector<SignColumn> columns;
  for (Head& head : heads) {
    if (!head.sign) continue;
    auto column = std::find_if(columns.begin(), columns.end(), [&head](const SignColumn& one) {
      return one.lowest - head.position >= touching;
    });
    if (column == columns.end()) column = columns.insert(columns.end(), SignColumn{});
    column->lowest = head.position;
    column->width = std::max(column->width, width_of(accidental_sign(*head.sign)) * gap);
    column->heads.push_back(&head);
  }
  double x = -width_of(MusicSign::black_head) * gap / 2;
  for (const SignColumn& column : columns) {
    x -= column.width + accidental_gap * gap;
    for (Head* const head : column.heads) head->sign_left = x;
  }
}

}  // namespace

int staff_position(const Pitch& sounding) {
  return (sounding.octave + 1) * steps_in_octave + static_cast<int>(sounding.step) - lowest_line;
}

MusicSign accidental_sign(int alter) {
  constexpr std::array<MusicSign, 5> signs{MusicSign::double_flat, MusicSign::flat, MusicSign::natural,
                                           MusicSign::sharp, MusicSign::double_sharp};
  const int from_double_flat = std::clamp(alter, -2, 2) + 2;
  return signs.at(static_cast<std::size_t>(from_double_flat));
}

std::vector<Head> Notation::heads_of(const Stroke& stroke, bool first) {
  std::vector<Head> heads;
  for (const Note& note : stroke.notes) {
    Head head;
    head.position = staff_position(note.pitch);
    if (first && !note.tied_from_previous) head.sign = accidentals_.before(note.pitch);
    heads.push_back(head);
  }
  // Notes stand highest first. Of two a second apart, the upper one moves to the right of the stem.
  for (std::size_t i = heads.size(); i-- > 0;) {
    const auto is_beside = [&](const Head& lower) {
      return lower.shifted == heads[i].shifted && heads[i].position - lower.position <= 1;
    };
    const auto below = heads.begin() + static_cast<std::ptrdiff_t>(i) + 1;
    while (std::any_of(below, heads.end(), is_beside)) ++heads[i].shifted;
  }
  place_accidentals(heads, sizes_.staff_gap * (stroke.grace == Grace::none ? 1.0 : grace_head_scale));
  return heads;
}

Reach Notation::reach_of(const std::vector<Head>& heads, bool grace) const {
  const double gap = sizes_.staff_gap * (grace ? grace_head_scale : 1.0);
  const double half = width_of(MusicSign::black_head) * gap / 2;
  Reach reach{half, half};
  for (const Head& head : heads) {
    reach.right = std::max(reach.right, half * (1 + 2 * head.shifted));
    if (head.sign) reach.left = std::max(reach.left, -head.sign_left);
  }
  return reach;
}

std::vector<int> key_positions(const Key& key) {
  // Written positions on the staff, as every edition has them: sharps F C G D A E B, flats the other way.
  constexpr std::array<int, 7> sharps{8, 5, 9, 6, 3, 7, 4};
  constexpr std::array<int, 7> flats{4, 7, 3, 6, 2, 5, 1};
  const auto count =
      static_cast<std::size_t>(std::min(std::abs(static_cast<int>(key.fifths)), steps_in_octave));
  const auto& all = key.fifths >= 0 ? sharps : flats;
  return {all.begin(), all.begin() + static_cast<std::ptrdiff_t>(count)};
}

double Notation::key_width(const Key& key) const {
  const double one = width_of(key.fifths >= 0 ? MusicSign::sharp : MusicSign::flat) + accidental_gap / 2;
  return static_cast<double>(key_positions(key).size()) * one * sizes_.staff_gap;
}

}  // namespace fifthpeg::sheet
