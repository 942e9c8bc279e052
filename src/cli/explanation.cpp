#include "cli/explanation.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "cli/messages.hpp"

namespace fifthpeg::cli {
namespace {

std::string padded(std::string text, std::size_t width) {
  if (text.size() < width) text.append(width - text.size(), ' ');
  return text;
}

// "2.5 grace".
std::string beat_of(const Measure& measure, const Stroke& stroke) {
  return counted_as(beat_at(measure, stroke.onset)) + (stroke.grace == Grace::none ? "" : " grace");
}

// "3:2" is string 3, fret 2, as the header says.
std::string notes_text(const Stroke& stroke) {
  std::string text;
  for (const Note& note : stroke.notes) {
    if (!text.empty()) text += ' ';
    if (note.placement) {
      text += std::to_string(note.placement->string) + ":" + std::to_string(note.placement->fret);
    } else {
      text += to_string(note.pitch);
    }
  }
  return text;
}

// What each kind of cost is for, in the words of the list and of the legend below it.
struct KindWords {
  std::string_view name;
  std::string_view meaning;
};
constexpr std::array<KindWords, cost_kinds> kind_words{{
    {"fretting", "fretting at all, and more in high positions and on the fifth string"},
    {"stretch", "fingers further apart than is comfortable, or crowded"},
    {"fingers", "each finger put down; more for the little finger, bars, and a finger that leaps"},
    {"shift", "the hand moving along the neck: how far, and in how little time"},
    {"ringing cut", "a note is cut off while it should still ring"},
    {"picking", "a picking finger off its usual strings, or off its beat"},
    {"repeats", "the same picking finger or string twice in a row, more at speed"},
    {"slurs", "hammer-ons, pull-offs and slides, and slurs that cannot be played"},
    {"outside", "outside the part of the neck that was asked for"},
}};

std::string cost_text(const Explained& explained) {
  std::string text;
  for (std::size_t kind = 0; kind < cost_kinds; ++kind) {
    if (explained.cost.at(kind) == 0) continue;
    if (!text.empty()) text += ", ";
    text += std::string(kind_words.at(kind).name) + " " + std::to_string(explained.cost.at(kind));
  }
  return text.empty() ? "nothing" : text;
}

std::string runners_up_text(const Explained& explained) {
  std::string text;
  for (const RunnerUp& runner_up : explained.notes) {
    if (!text.empty()) text += ", ";
    text += runner_up.string == 0 ? "none"
                                  : "string " + std::to_string(runner_up.string) +
                                        (runner_up.more < 0 ? " " : " +") + std::to_string(runner_up.more);
  }
  return text;
}

void write_legend(const std::array<bool, cost_kinds>& seen, Sink& out) {
  std::string text;
  for (std::size_t kind = 0; kind < cost_kinds; ++kind) {
    if (!seen.at(kind)) continue;
    text += "  " + padded(std::string(kind_words.at(kind).name), 13) +
            std::string(kind_words.at(kind).meaning) + "\n";
  }
  if (!text.empty()) out.write("\nWhat the costs are for; putting one finger down costs about 20:\n" + text);
}

}  // namespace

void write_explanation(const Score& score, const FingeringResult& fingered, Sink& out) {
  using Row = std::array<std::string, 5>;
  constexpr std::size_t rows_at_a_time = 4096;
  const Row header{"measure", "beat", "string:fret", "other string", "cost"};
  out.write(
      "\nWhat each stroke costs the hands, and for each of its notes, highest first, the next best string "
      "and\n"
      "how much more the whole piece would cost with the note there; playing a measure unlike the same\n"
      "measure elsewhere counts as well. \"none\": no other string will do.\n\n");
  std::vector<Row> rows;
  const auto flush = [&] {
    std::array<std::size_t, 4> widths{};
    for (const Row& row : rows) {
      for (std::size_t c = 0; c < widths.size(); ++c) widths.at(c) = std::max(widths.at(c), row.at(c).size());
    }
    for (const Row& row : rows) {
      std::string line;
      for (std::size_t c = 0; c < widths.size(); ++c) line += padded(row.at(c), widths.at(c) + 2);
      out.write(line + row.back() + "\n");
    }
    rows.clear();
  };
  rows.push_back(header);
  std::array<bool, cost_kinds> seen{};
  for (const Explained& explained : fingered.explanation) {
    const Measure& measure = score.measures.at(explained.measure);
    const Stroke& stroke = measure.strokes.at(explained.stroke);
    rows.push_back({printable(measure.number), beat_of(measure, stroke), notes_text(stroke),
                    runners_up_text(explained), cost_text(explained)});
    for (std::size_t kind = 0; kind < cost_kinds; ++kind) {
      seen.at(kind) = seen.at(kind) || explained.cost.at(kind) != 0;
    }
    if (rows.size() == rows_at_a_time) flush();
  }
  flush();
  write_legend(seen, out);
  out.write("\nThe whole piece costs " + std::to_string(fingered.cost) + " in " +
            std::string(slug(fingered.style)) + " style.\n");
}

}  // namespace fifthpeg::cli
