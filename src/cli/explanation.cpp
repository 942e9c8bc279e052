#include "cli/explanation.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <string>

namespace fifthpeg::cli {
namespace {

std::string padded(std::string text, std::size_t width) {
  if (text.size() < width) text.append(width - text.size(), ' ');
  return text;
}

// "2", "2 1/2", as messages say it.
std::string beat_text(Fraction beat) {
  const Fraction whole = beat.floor();
  return beat == whole ? to_string(whole) : to_string(whole) + " " + to_string(beat - whole);
}

std::string place_text(const Measure& measure, const Stroke& stroke) {
  return measure.number + ":" + beat_text(beat_at(measure.meter, stroke.onset)) +
         (stroke.grace == Grace::none ? "" : " grace");
}

// "3:2" is string 3, fret 2.
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

std::string cost_text(const Explained& explained) {
  std::string text;
  for (std::size_t kind = 0; kind < cost_kinds; ++kind) {
    if (explained.cost.at(kind) == 0) continue;
    if (!text.empty()) text += ", ";
    text +=
        std::string(to_string(static_cast<CostKind>(kind))) + " " + std::to_string(explained.cost.at(kind));
  }
  return text.empty() ? "nothing" : text;
}

std::string runners_up_text(const Explained& explained) {
  std::string text;
  for (const RunnerUp& runner_up : explained.notes) {
    if (!text.empty()) text += ' ';
    text += runner_up.string == 0
                ? "-"
                : std::to_string(runner_up.string) + " (+" + std::to_string(runner_up.more) + ")";
  }
  return text;
}

}  // namespace

void write_explanation(const Score& score, const Fingered& fingered, Sink& out) {
  struct Row {
    std::string place, notes, runners_up, cost;
  };
  constexpr std::size_t rows_at_a_time = 4096;
  out.write(
      "\nWhat each stroke costs the hands. Notes are string:fret; the next best string of each follows, "
      "with\n"
      "what the whole piece would cost more with the note there.\n\n");
  std::vector<Row> rows;
  const auto flush = [&] {
    std::array<std::size_t, 3> widths{5, 5, 9};
    for (const Row& row : rows) {
      widths = {std::max(widths[0], row.place.size()), std::max(widths[1], row.notes.size()),
                std::max(widths[2], row.runners_up.size())};
    }
    for (const Row& row : rows) {
      out.write(padded(row.place, widths[0]) + "  " + padded(row.notes, widths[1]) + "  " +
                padded(row.runners_up, widths[2]) + "  " + row.cost + "\n");
    }
    rows.clear();
  };
  rows.push_back({"place", "notes", "next best", "cost"});
  for (const Explained& explained : fingered.explanation) {
    const Measure& measure = score.measures.at(explained.measure);
    const Stroke& stroke = measure.strokes.at(explained.stroke);
    rows.push_back(
        {place_text(measure, stroke), notes_text(stroke), runners_up_text(explained), cost_text(explained)});
    if (rows.size() == rows_at_a_time) flush();
  }
  flush();
  out.write("\nThe whole costs " + std::to_string(fingered.cost) + " in the style " +
            std::string(slug(fingered.style)) + ".\n");
}

}  // namespace fifthpeg::cli
