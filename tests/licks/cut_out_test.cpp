// Licks of the collection that are put into the tunes of this repository, cut out of them again, and looked
// for.
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <gtest/gtest.h>
#include <iterator>
#include <string>
#include <vector>

#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/licks.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg {
namespace {

struct NamedLick {
  std::string name;
  Score score;
};

Score score_in(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(file), {}};
  return read(bytes).score;
}

std::vector<NamedLick> collection() {
  std::vector<NamedLick> licks;
  for (const auto& entry : std::filesystem::directory_iterator(FIXTURES "/licks")) {
    if (entry.path().extension() == ".musicxml")
      licks.push_back({entry.path().stem().string(), score_in(entry.path())});
  }
  std::sort(licks.begin(), licks.end(),
            [](const NamedLick& a, const NamedLick& b) { return a.name < b.name; });
  return licks;
}

// In the tuning of the lick, with all its places and fingers.
Score tune_for(const Score& lick, const std::string& name) {
  Score tune = score_in(std::filesystem::path(FIXTURES) / name);
  tune.banjo = {};
  tune.banjo.tuning = lick.banjo.tuning;
  for (Measure& measure : tune.measures) {
    for (Stroke& stroke : measure.strokes) {
      for (Note& note : stroke.notes) {
        note.placement.reset();
        note.finger.reset();
        note.picking_finger.reset();
      }
    }
  }
  finger(tune);
  return tune;
}

std::string likest(const std::vector<NamedLick>& licks, const Score& cut_out) {
  const auto alike = [&](const NamedLick& one) { return likeness(one.score, cut_out); };
  return std::max_element(licks.begin(), licks.end(),
                          [&](const NamedLick& a, const NamedLick& b) { return alike(a) < alike(b); })
      ->name;
}

// What of a score is of the lick that was put into it, by itself.
Score cut_out_of(const Fitted& fitted) {
  Score lick = slice(fitted.score, fitted.first, fitted.last - fitted.first + 1);
  keep_only(lick, {Role::lick});
  return lick;
}

TEST(CutOut, IsFoundInTheCollectionAndFitsBackBitForBit) {
  const std::vector<NamedLick> licks = collection();
  ASSERT_GE(licks.size(), 50U);
  std::size_t put = 0;
  std::size_t refused = 0;
  for (const char* const name : {"soldiers-joy.musicxml", "boil-them-cabbage-down.mid"}) {
    for (std::size_t k = 0; k < licks.size(); ++k) {
      const NamedLick& lick = licks[k];
      const Score tune = tune_for(lick.score, name);
      const std::size_t measure = (k * 3 + 1) % (tune.measures.size() - 2);
      SCOPED_TRACE(lick.name + " in measure " + std::to_string(measure) + " of " + name);
      LickPlace place;
      Fitted fitted;
      try {
        place = place_at(tune, lick.score, measure);
        fitted = fit_lick(tune, lick.score, place);
      } catch (const UnplayableError&) {
        ++refused;
        continue;
      }
      ++put;
      const Score cut_out = cut_out_of(fitted);
      EXPECT_EQ(likest(licks, cut_out), lick.name);
      // As it sounds: a lick that can be moved would be moved again where the tune has another chord.
      place.half_steps = 0;
      EXPECT_EQ(fit_lick(fitted.score, cut_out, place).score, fitted.score);
      EXPECT_EQ(fit_lick(tune, cut_out, place).score, fitted.score);
    }
  }
  EXPECT_GE(put, 100U);
  EXPECT_LE(refused, 14U);
}

}  // namespace
}  // namespace fifthpeg
