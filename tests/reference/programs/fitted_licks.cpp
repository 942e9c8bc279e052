// Puts every lick of a folder into tunes, at its best place if it has one and at a measure that somebody
// might ask for, and looks at what has become of each tune. Of what is put wherever, every third is checked
// as a file. A tune is on a banjo in the tuning of the lick:
//
//   arguments:       folder of MusicXML licks, MusicXML tunes
//   standard output: for each tune a line: its name and NAME=VALUE, separated by tabs; after it, for whatever
//   is wrong, a line that begins with "wrong:"
#include <algorithm>
#include <exception>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "arrange/lick_extent.hpp"
#include "fifthpeg/check.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/licks.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"

namespace {

using namespace fifthpeg;

struct Named {
  std::string name;
  Score score;
};

std::string bytes_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

std::vector<Named> licks_of(const std::filesystem::path& folder) {
  std::vector<Named> licks;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() != ".musicxml") continue;
    licks.push_back({entry.path().filename().string(), read(bytes_of(entry.path())).score});
  }
  std::sort(licks.begin(), licks.end(), [](const Named& a, const Named& b) { return a.name < b.name; });
  return licks;
}

// ---- what may change -------------------------------------------------------------------------------

struct Sound {
  Fraction at;  // from the start of the score
  Stroke stroke;
};

std::vector<Sound> sounds_of(const Score& score) {
  std::vector<Sound> sounds;
  Fraction start;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (!stroke.is_rest()) sounds.push_back({start + stroke.onset, stroke});
    }
    start += measure.length;
  }
  return sounds;
}

// What every stroke keeps, at the seams too: where it is, its pitches, places and roles.
auto kept(const Note& note) {
  return std::tuple(note.pitch.midi(), note.placement, note.role);
}
bool same_but_for_a_seam(const Sound& was, const Sound& is) {
  return was.at == is.at &&
         std::equal(was.stroke.notes.begin(), was.stroke.notes.end(), is.stroke.notes.begin(),
                    is.stroke.notes.end(),
                    [](const Note& one, const Note& other) { return kept(one) == kept(other); });
}

struct Time {
  Fraction from;
  Fraction to;
};

std::vector<Sound> outside(const Score& score, const Time& time, bool before) {
  std::vector<Sound> sounds = sounds_of(score);
  std::erase_if(sounds, [&](const Sound& one) { return before ? one.at >= time.from : one.at < time.to; });
  return sounds;
}

// Every stroke of one side, of which the one at the seam, `seam`, may be cut and have other fingers.
bool same_side(const std::vector<Sound>& was, const std::vector<Sound>& is, Fraction seam) {
  return std::equal(was.begin(), was.end(), is.begin(), is.end(), [&](const Sound& one, const Sound& other) {
    return one.at == seam ? same_but_for_a_seam(one, other)
                          : one.at == other.at && one.stroke == other.stroke;
  });
}

Measure without_strokes(Measure measure) {
  measure.strokes.clear();
  return measure;
}

// The lick's own notes, where it stands.
bool has_lick(const Score& score, const Time& time, const Score& lick, const LickPlace& place,
              Fraction start) {
  std::vector<Sound> is = sounds_of(score);
  std::erase_if(is, [&](const Sound& one) { return one.at < time.from || one.at >= time.to; });
  std::vector<Sound> wanted = sounds_of(lick);
  const Fraction shift = time.from - start;
  for (Sound& one : wanted) one.at += shift;
  std::erase_if(wanted, [&](const Sound& one) { return one.at < time.from || one.at >= time.to; });
  const auto pitches = [](const Sound& one) {
    std::multiset<int> all;
    for (const Note& note : one.stroke.notes) all.insert(note.pitch.midi());
    return all;
  };
  // An open fifth string stays, whatever the frets move by.
  const auto is_drone = [](const Sound& one) {
    return std::any_of(one.stroke.notes.begin(), one.stroke.notes.end(), [](const Note& note) {
      return note.placement && *note.placement == Placement{fifth_string, 0};
    });
  };
  return std::equal(is.begin(), is.end(), wanted.begin(), wanted.end(), [&](const Sound& a, const Sound& b) {
    if (a.at != b.at || a.stroke.notes.size() != b.stroke.notes.size()) return false;
    for (const Note& note : a.stroke.notes) {
      if (note.role != Role::lick || !note.placement) return false;
    }
    std::multiset<int> moved;
    for (const int midi : pitches(b)) moved.insert(midi + place.half_steps);
    return is_drone(a) || pitches(a) == moved;
  });
}

// ---- one tune --------------------------------------------------------------------------------------

using Errors = std::set<std::pair<std::string, std::string>>;
Errors errors_of(const Score& score) {
  CheckOptions options;
  options.least = Severity::error;
  StringSink written;
  write_musicxml(score, {}, written);
  Errors errors;
  for (const Finding& finding : check_file(written.str(), options).findings)
    errors.emplace(finding.rule, to_string(finding.place));
  return errors;
}

class Tune {
 public:
  explicit Tune(Score score) : score_(std::move(score)), errors_(errors_of(score_)) {}

  const Score& score() const { return score_; }

  // What is wrong with it with the lick in it; nothing where all is well. To ask `check` too takes longest.
  std::string wrong_with(const Fitted& fitted, const Score& lick, const LickPlace& place, bool check) const {
    const auto extent = arranging::extent_of(lick).value();
    const Time time = time_of(place, extent.end - extent.start);
    const std::vector<std::string> faults = flaws(fitted.score);
    if (!faults.empty()) return faults.front();
    Score normal = fitted.score;
    normalize(normal);
    if (normal != fitted.score) return "not in its one form";
    if (fitted.score.banjo != score_.banjo || fitted.score.measures.size() != score_.measures.size())
      return "another banjo, or other measures";
    for (std::size_t m = 0; m < score_.measures.size(); ++m) {
      if (without_strokes(fitted.score.measures[m]) != without_strokes(score_.measures[m]))
        return "measure " + score_.measures[m].number + " has other signs than notes";
    }
    const auto before = outside(score_, time, true);
    const auto after = outside(score_, time, false);
    if (!before.empty() && !same_side(before, outside(fitted.score, time, true), before.back().at))
      return "a note before it has changed";
    if (!after.empty() && !same_side(after, outside(fitted.score, time, false), after.front().at))
      return "a note after it has changed";
    const Fraction start = extent.start - counted_before(lick.measures.front());
    if (!has_lick(fitted.score, time, lick, place, start)) return "the lick is not there";
    if (!check) return {};
    for (const auto& [rule, where] : errors_of(fitted.score)) {
      if (!errors_.contains({rule, where})) return "check: " + rule + " at " + where;
    }
    return {};
  }

 private:
  Time time_of(const LickPlace& place, Fraction length) const {
    Fraction start;
    for (std::size_t m = 0; m < place.measure; ++m) start += score_.measures[m].length;
    return {start + place.at, start + place.at + length};
  }

  Score score_;
  Errors errors_;
};

using Figures = std::map<std::string, long>;

void put(const Tune& tune, const Named& lick, const LickPlace& place, bool check, Figures& figures,
         std::vector<std::string>& wrong) {
  const Fitted fitted = fit_lick(tune.score(), lick.score, place);
  ++figures["put"];
  if (check) ++figures["checked"];
  const std::string found = tune.wrong_with(fitted, lick.score, place, check);
  if (found.empty()) return;
  wrong.push_back(lick.name + " in measure " + std::to_string(place.measure) + " at " + to_string(place.at) +
                  ": " + found);
}

// Places that a tune has on a banjo; none where no hand plays it there.
std::optional<Tune> tune_on(const Score& read, const Banjo& banjo) {
  Score score = read;
  score.banjo = banjo;
  try {
    finger(score);
  } catch (const UnplayableError&) {
    return std::nullopt;
  }
  return Tune(std::move(score));
}

}  // namespace

int main(int count, char** arguments) {
  const std::vector<Named> licks = licks_of(arguments[1]);
  for (int i = 2; i < count; ++i) {
    const Score score = read(bytes_of(arguments[i])).score;
    std::map<std::string, std::optional<Tune>> in_tuning;
    Figures figures;
    std::vector<std::string> wrong;
    for (std::size_t k = 0; k < licks.size(); ++k) {
      const Named& lick = licks[k];
      Banjo banjo;
      banjo.tuning = lick.score.banjo.tuning;
      const std::string name = to_string(banjo.tuning);
      if (!in_tuning.contains(name)) in_tuning[name] = tune_on(score, banjo);
      if (!in_tuning[name]) {
        ++figures["refused-tuning"];
        continue;
      }
      const Tune& tune = *in_tuning[name];
      const auto places = places_for(tune.score(), lick.score);
      if (!places.empty()) {
        ++figures["placed"];
        // A place that it has is one where it can be put.
        try {
          put(tune, lick, places.front(), true, figures, wrong);
        } catch (const std::exception& error) {
          wrong.push_back(lick.name + ": its best place refuses it: " + error.what());
        }
      }
      const std::size_t measure = (static_cast<std::size_t>(i) * 5 + k * 3) % tune.score().measures.size();
      try {
        const bool check = (static_cast<std::size_t>(i) + k) % 3 == 0;
        put(tune, lick, place_at(tune.score(), lick.score, measure), check, figures, wrong);
      } catch (const UnplayableError& error) {
        ++figures["refused-" + error.code()];
      } catch (const std::exception& error) {
        wrong.push_back(lick.name + ", measure " + std::to_string(measure) + ": " + error.what());
      }
    }
    std::cout << arguments[i];
    for (const auto& [name, value] : figures) std::cout << '\t' << name << '=' << value;
    std::cout << '\n';
    for (const std::string& one : wrong) std::cout << "wrong: " << one << '\n';
  }
  return 0;
}
