// How the pitch of a bent note moves.
#include <algorithm>

#include "fifthpeg/performance.hpp"

namespace fifthpeg {
namespace {

// How much of a note a slide takes, and the most that a glide takes.
const Fraction slide_share{1, 3};
const Fraction longest_glide{1, 8};

std::int64_t most_ticks(const Performance& performance) {
  return (longest_glide / performance.tick + Fraction(1, 2)).floor();
}

}  // namespace

std::vector<Glide> glides_of(const Performance& performance, const SoundedNote& note) {
  if (note.bend < 0) return {};
  const Bend& bend = performance.bends[static_cast<std::size_t>(note.bend)];
  const std::int64_t length = note.end - note.start;
  const std::int64_t most = most_ticks(performance);
  if (bend.kind == Bend::Kind::slide) {
    const std::int64_t share = length * slide_share.num() / slide_share.den();
    return {{note.end - std::clamp<std::int64_t>(share, 1, most), note.end, 0, bend.cents}};
  }
  std::vector<Glide> glides;
  if (bend.before) {
    glides.push_back({note.start, note.start, bend.cents, bend.cents});
  } else {
    glides.push_back({note.start, note.start + std::min(length / 2, most), 0, bend.cents});
  }
  if (bend.release) glides.push_back({note.end - std::min(length / 4, most), note.end, bend.cents, 0});
  return glides;
}

}  // namespace fifthpeg
