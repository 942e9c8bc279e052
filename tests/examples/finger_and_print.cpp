// finger_and_print [HALF-STEPS]: a lick made in code, moved, fingered, and printed as text tab. Exits with 1
// where it then has no place on the banjo.
#include <cstdlib>
#include <exception>
#include <fifthpeg/fifthpeg.hpp>
#include <iostream>
#include <string_view>
#include <vector>

namespace {

// One measure of eighth notes.
fifthpeg::Score lick(const std::vector<std::string_view>& pitches) {
  fifthpeg::Measure measure;
  measure.number = "1";
  measure.key = {1, fifthpeg::Mode::major};
  measure.length = measure.meter.length();
  const fifthpeg::Fraction eighth{1, 8};
  fifthpeg::Fraction onset;
  for (const std::string_view name : pitches) {
    fifthpeg::Stroke stroke;
    stroke.onset = onset;
    stroke.duration = eighth;
    fifthpeg::Note note;
    note.pitch = fifthpeg::parse_pitch(name).value();
    stroke.notes.push_back(note);
    measure.strokes.push_back(stroke);
    onset += eighth;
  }
  fifthpeg::Score score;
  score.work.title = "Lick";
  score.measures.push_back(measure);
  fifthpeg::refill(score, 0);  // rests to the end of the measure
  return score;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    fifthpeg::Score score = lick({"G3", "B3", "D4", "G4", "F4", "D4", "B3"});
    fifthpeg::HandsOptions options;
    options.transpose = argc > 1 ? std::atoi(argv[1]) : 0;
    options.style = fifthpeg::Style::roll;
    fifthpeg::finger(score, options);
    fifthpeg::StringSink tab;
    fifthpeg::write_text_tab(score, {}, tab);
    std::cout << tab.str();
  } catch (const fifthpeg::UnplayableError& error) {
    std::cerr << to_string(error.place()) << ": " << error.what() << "\n";
    return 1;
  } catch (const std::exception& error) {
    std::cerr << error.what() << "\n";
    return 2;
  }
}
