// One `note` element with everything in it.
#pragma once

#include <cstdint>

#include "engraving/accidentals.hpp"
#include "engraving/engraving.hpp"
#include "engraving/grid.hpp"
#include "fifthpeg/score.hpp"
#include "fifthpeg/write.hpp"
#include "formats/musicxml/writer/linked_numbers.hpp"
#include "formats/musicxml/writer/xml_writer.hpp"

namespace fifthpeg::musicxml::writer {

// The staff that is being written.
struct StaffRole {
  int number = 0;  // 0: there is only one
  int voice = 1;
  bool leading = true;  // the first one written, which carries everything
  bool notation = true;
  bool picking_fingers = true;  // under the tab where there is one (common practice)
};

class NoteWriter {
 public:
  NoteWriter(const Banjo& banjo, const MusicXmlOptions& options, XmlWriter& xml, Report& report)
      : banjo_(banjo), options_(options), xml_(xml), report_(report) {}

  // Before the first piece of each staff of each measure.
  void start(const StaffRole& staff, const Measure& measure, const engraving::Grid& grid,
             const engraving::Engraving& engraving);
  // The pieces of the measure, one after the other. `accidentals` is used on a notation staff.
  void write(std::size_t piece, engraving::Accidentals& accidentals);

 private:
  void write_rest(const engraving::Piece& piece);
  void write_pitch_of(const Note& note);
  void write_note(std::size_t index, engraving::Accidentals& accidentals);
  void write_value();
  void write_time_modification();
  void write_beams();
  void write_notations(const Note* note, std::size_t index);
  void write_tied(const Note& note);
  // The numbers of a note's techniques into it and out of it; 0 where it has none here.
  struct Numbers {
    int into = 0, out_of = 0;
  };
  Numbers link(const Note& note);
  void write_technique(Technique technique, bool start, int number);
  void write_slurs_and_slides(const Note& note, Numbers numbers);
  void write_technical(const Note& note, Numbers numbers);
  void write_finger(const Note& note);
  void write_picking_finger(const Note& note);
  void write_placement(const Placement& placement);
  void write_choke(const Choke& choke);
  void write_tuplets();
  void write_articulations();
  void write_lyrics();
  void write_role(const Note& note);
  void write_picking_lyric();
  void advance_tuplets();
  bool is_grace() const { return stroke_->grace != Grace::none; }
  bool ties_back(const Note& note) const;
  bool ties_on(const Note& note) const;

  const Banjo& banjo_;
  const MusicXmlOptions& options_;
  XmlWriter& xml_;
  Report& report_;

  StaffRole staff_;
  const Measure* measure_ = nullptr;
  const engraving::Grid* grid_ = nullptr;
  const engraving::Engraving* engraving_ = nullptr;
  const engraving::Piece* piece_ = nullptr;
  const Stroke* stroke_ = nullptr;
  std::size_t next_group_ = 0;  // of engraving_->groups, in order of beginning
  LinkedNumbers leading_links_{1};
  LinkedNumbers second_links_{1 + numbers_per_staff};
  engraving::NoteValue tuplet_unit_;  // of the outermost tuplet that is open
};

}  // namespace fifthpeg::musicxml::writer
