// hands_figures FILE...: how the files are fingered in each style, as written and as advise() would set them
// up, so that a change to the cost table shows what it did. Ends with status 1 where a stroke comes out that
// no hand can play, or nothing could be fingered at all.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"
#include "hands/queries.hpp"
#include "hands/stroke_sequence.hpp"

namespace {

using namespace fifthpeg;

struct Figures {
  std::size_t pieces = 0;
  std::size_t refused = 0;  // UnplayableError
  std::size_t measures = 0;
  std::size_t notes = 0;
  std::size_t open = 0;
  std::size_t picked = 0;
  std::size_t same_picking_finger = 0;  // twice in a row
  std::size_t same_string = 0;
  double shift_mm = 0.0;  // the way that the lowest stopped fret goes
  std::int64_t cost = 0;
  std::size_t faults = 0;     // strokes that cannot be held or picked
  std::size_t forbidden = 0;  // one digit twice, faster than it goes
};

void add(const Score& score, Style style, Figures& figures) {
  const hands::Model model(score.banjo, {}, style);
  const Stroke* before = nullptr;
  int low_fret = 0;
  figures.measures += score.measures.size();
  for (const hands::Event& at : hands::line_of(score)) {
    const Stroke& stroke = stroke_at(score, at);
    const hands::Hold hold = judge_hold(stroke, model);
    const bool picks = hands::judge_picking(stroke) == hands::PickFault::none;
    figures.faults += hold.fault != hands::HoldFault::none || !picks ? 1 : 0;
    if (hold.low_fret > 0) {
      if (low_fret > 0) {
        figures.shift_mm +=
            model.neck().span_mm(std::min(low_fret, hold.low_fret), std::max(low_fret, hold.low_fret));
      }
      low_fret = hold.low_fret;
    }
    for (const Note& note : stroke.notes) {
      ++figures.notes;
      figures.open += note.placement->fret == 0 ? 1 : 0;
      figures.picked += note.picking_finger ? 1 : 0;
    }
    if (before != nullptr) {
      const hands::Succession succession = judge_succession(*before, stroke, at.wait, model);
      figures.same_picking_finger += succession.same_picking_finger ? 1 : 0;
      figures.same_string += succession.same_string ? 1 : 0;
      figures.forbidden += succession.forbidden ? 1 : 0;
    }
    before = &stroke;
  }
}

double share(std::size_t part, std::size_t whole) {
  return whole == 0 ? 0.0 : 100.0 * static_cast<double>(part) / static_cast<double>(whole);
}

}  // namespace

namespace {

constexpr std::array styles{Style::roll, Style::melodic, Style::single_string, Style::clawhammer};
using ByStyle = std::array<Figures, styles.size()>;

void finger_in_each_style(const char* name, const std::string& bytes, bool as_advised, ByStyle& all) {
  for (std::size_t s = 0; s < styles.size(); ++s) {
    Figures& figures = all.at(s);
    ++figures.pieces;
    try {
      Score score = read(bytes).score;
      HandsOptions options;
      options.style = styles.at(s);
      options.thin = true;
      options.refinger = Refinger::all;
      if (as_advised) {
        AdviseOptions wanted;
        wanted.style = options.style;
        const std::vector<Advice> advice = advise(score, wanted);
        if (advice.empty()) {
          ++figures.refused;
          std::fprintf(stderr, "%s: nothing fits\n", name);
          continue;
        }
        score.banjo = advice.front().banjo;
        options.transpose = advice.front().half_steps;
      }
      figures.cost += finger(score, options).cost;
      add(score, styles.at(s), figures);
    } catch (const Error& error) {
      ++figures.refused;
      std::fprintf(stderr, "%s: %s: %s\n", name, to_string(error.place()).c_str(), error.what());
    }
  }
}

// Whether all of it can be played.
bool print(const char* title, const ByStyle& all) {
  std::printf("%s\n%-14s %7s %8s %9s %7s %9s %11s %9s %8s %9s %7s\n", title, "style", "pieces", "notes",
              "cost/note", "open %", "digit x2%", "string x2 %", "mm/measure", "refused", "forbidden",
              "faults");
  bool sound = true;
  for (std::size_t s = 0; s < styles.size(); ++s) {
    const Figures& f = all.at(s);
    const auto notes = static_cast<double>(std::max<std::size_t>(f.notes, 1));
    std::printf("%-14s %7zu %8zu %9.2f %7.1f %9.1f %11.1f %9.1f %8zu %9zu %7zu\n",
                std::string(slug(styles.at(s))).c_str(), f.pieces, f.notes,
                static_cast<double>(f.cost) / notes, share(f.open, f.notes),
                share(f.same_picking_finger, f.notes), share(f.same_string, f.notes),
                f.shift_mm / static_cast<double>(std::max<std::size_t>(f.measures, 1)), f.refused,
                f.forbidden, f.faults);
    sound = sound && f.faults == 0 && f.forbidden == 0 && f.notes > 0;
  }
  return sound;
}

}  // namespace

int main(int count, char** arguments) {
  ByStyle written;
  ByStyle advised;
  for (int i = 1; i < count; ++i) {
    std::ifstream file(arguments[i], std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(file), {}};
    finger_in_each_style(arguments[i], bytes, false, written);
    finger_in_each_style(arguments[i], bytes, true, advised);
  }
  const bool sound = print("As written", written);
  return print("As advised", advised) && sound ? 0 : 1;
}
