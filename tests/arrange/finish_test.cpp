// Whole arrangements: several breaks, what stands before and behind them, and the part that accompanies.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <utility>
#include <vector>

#include "arrange/whole_arrangements.hpp"
#include "fifthpeg/check.hpp"
#include "fifthpeg/performance.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"
#include "hands/queries.hpp"
#include "hands/stroke_sequence.hpp"
#include "roundtrip/score_difference.hpp"

namespace fifthpeg {
namespace {

using testing::whole_arrangements;
using testing::WholeArrangement;

template <class Of>
void for_each_whole(const Of& of) {
  for (const WholeArrangement& one : whole_arrangements()) {
    SCOPED_TRACE(one.name());
    of(one);
  }
}

TEST(Finished, IsSound) {
  for_each_whole([](const WholeArrangement& one) {
    EXPECT_EQ(flaws(one.made.score), std::vector<std::string>{});
    Score normal = one.made.score;
    normalize(normal);
    EXPECT_EQ(normal, one.made.score);
    ASSERT_TRUE(one.made.backup.has_value());
    EXPECT_EQ(flaws(*one.made.backup), std::vector<std::string>{});
  });
}

TEST(Finished, StandsInMusicXmlAsItIs) {
  for_each_whole([](const WholeArrangement& one) {
    StringSink file;
    const std::vector<Score> further{*one.made.backup};
    write_musicxml(one.made.score, further, {}, file);
    const Reading reading = read_musicxml(file.str());
    EXPECT_EQ(testing::difference(one.made.score, reading.score), "");
    const Checked checked = check_file(file.str());
    for (const Finding& finding : checked.findings) {
      EXPECT_NE(finding.severity, Severity::error)
          << finding.rule << ' ' << to_string(finding.place) << ' ' << finding.text;
    }
  });
}

void expect_playable(const Score& score, Style style) {
  const hands::Model model(score.banjo, {}, style);
  const Stroke* before = nullptr;
  for (const hands::Event& event : hands::line_of(score)) {
    const Stroke& stroke = hands::stroke_at(score, event);
    EXPECT_EQ(hands::judge_hold(stroke, model).fault, hands::HoldFault::none)
        << to_string(hands::place_of(score, event));
    EXPECT_EQ(hands::judge_picking(stroke), hands::PickFault::none)
        << to_string(hands::place_of(score, event));
    if (before != nullptr) {
      EXPECT_FALSE(hands::judge_succession(*before, stroke, event.wait, model).forbidden)
          << to_string(hands::place_of(score, event));
    }
    before = &stroke;
    for (const Note& note : stroke.notes) {
      EXPECT_TRUE(note.placement && note.finger && gives(score.banjo, *note.placement, note));
      EXPECT_TRUE(note.picking_finger || note.into != Technique::none || note.tied_from_previous)
          << to_string(hands::place_of(score, event));
      EXPECT_NE(note.role, Role::none);
    }
  }
}

TEST(Finished, IsHeldAndPicked) {
  for_each_whole([](const WholeArrangement& one) {
    expect_playable(one.made.score, one.options.style);
    expect_playable(*one.made.backup, Style::roll);
  });
}

TEST(Finished, SaysOfEachStrokeWhyItIsThere) {
  for_each_whole([](const WholeArrangement& one) {
    std::vector<std::pair<std::size_t, std::size_t>> expected;
    std::vector<std::pair<std::size_t, std::size_t>> found;
    const auto& measures = one.made.score.measures;
    for (std::size_t m = 0; m < measures.size(); ++m) {
      for (std::size_t s = 0; s < measures[m].strokes.size(); ++s) {
        if (!measures[m].strokes[s].is_rest()) expected.emplace_back(m, s);
      }
    }
    for (const Reason& reason : one.made.reasons) {
      found.emplace_back(reason.measure, reason.stroke);
      EXPECT_FALSE(reason.text.empty());
      const Stroke& stroke = measures.at(reason.measure).strokes.at(reason.stroke);
      const bool melody = std::any_of(stroke.notes.begin(), stroke.notes.end(),
                                      [](const Note& note) { return note.role == Role::melody; });
      if (stroke.grace == Grace::none) {
        EXPECT_EQ(melody, reason.text.find("melody") != std::string::npos) << reason.text;
      }
      const bool kick_off = stroke.notes.front().role == Role::kick_off;
      EXPECT_EQ(kick_off, reason.text == "leads into the tune");
    }
    EXPECT_EQ(found, expected);
  });
}

TEST(Finished, HasTheMelodyWhereItSaysThatItHasIt) {
  for_each_whole([](const WholeArrangement& one) {
    std::vector<std::pair<Fraction, int>> expected;
    for (const MelodyNote& note : one.made.melody) {
      if (note.kept) expected.emplace_back(note.at, note.midi);
    }
    std::vector<std::pair<Fraction, int>> found;
    Fraction start;
    for (const Measure& measure : one.made.score.measures) {
      for (const Stroke& stroke : measure.strokes) {
        if (stroke.grace != Grace::none) continue;
        for (const Note& note : stroke.notes) {
          if (note.role == Role::melody && !note.tied_from_previous)
            found.emplace_back(start + stroke.onset, note.pitch.midi());
        }
      }
      start += measure.length;
    }
    EXPECT_EQ(found, expected);
  });
}

TEST(Finished, HasABackupWithTheSameMeasures) {
  for_each_whole([](const WholeArrangement& one) {
    const auto& measures = one.made.score.measures;
    const auto& others = one.made.backup->measures;
    ASSERT_EQ(measures.size(), others.size());
    for (std::size_t m = 0; m < measures.size(); ++m) {
      EXPECT_EQ(measures[m].length, others[m].length) << m;
      EXPECT_EQ(measures[m].number, others[m].number) << m;
      EXPECT_EQ(measures[m].implicit, others[m].implicit) << m;
      EXPECT_EQ(measures[m].repeat_starts, others[m].repeat_starts) << m;
      EXPECT_EQ(measures[m].repeat_times, others[m].repeat_times) << m;
      EXPECT_EQ(measures[m].ending, others[m].ending) << m;
      EXPECT_EQ(measures[m].right_bar, others[m].right_bar) << m;
      EXPECT_EQ(measures[m].chords, others[m].chords) << m;
    }
    EXPECT_EQ(one.made.score.banjo, one.made.backup->banjo);
    const Performance melody = perform(one.made.score);
    const Performance backup = perform(*one.made.backup);
    ASSERT_EQ(melody.measures.size(), backup.measures.size());
    EXPECT_EQ(melody.whole_notes(melody.measures.back().end), backup.whole_notes(backup.measures.back().end));
  });
}

TEST(Finished, CountsItsMeasures) {
  for_each_whole([](const WholeArrangement& one) {
    int number = 0;
    for (const Measure& measure : one.made.score.measures) {
      if (!measure.implicit) {
        EXPECT_EQ(measure.number, std::to_string(++number));
      }
    }
    std::vector<std::string> names;
    for (const Measure& measure : one.made.score.measures) {
      for (const Direction& direction : measure.directions) {
        if (direction.kind == Direction::Kind::rehearsal) names.push_back(direction.text);
      }
    }
    std::vector<std::string> expected;
    for (int b = 1; b <= one.options.variations && one.options.variations > 1; ++b)
      expected.push_back("Break " + std::to_string(b));
    EXPECT_EQ(names, expected);
  });
}

}  // namespace
}  // namespace fifthpeg
