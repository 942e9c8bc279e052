// A part, handed to the sink a measure at a time.
#pragma once

#include <string>

#include "engraving/accidentals.hpp"
#include "engraving/beat_groups.hpp"
#include "engraving/engraving.hpp"
#include "engraving/grid.hpp"
#include "fifthpeg/score.hpp"
#include "fifthpeg/write.hpp"
#include "formats/musicxml/writer/note_writer.hpp"
#include "formats/musicxml/writer/xml_writer.hpp"

namespace fifthpeg::musicxml::writer {

class PartWriter {
 public:
  // Score, XML and report must outlive the writer.
  PartWriter(const Score& score, const MusicXmlOptions& options, XmlWriter& xml, Report& report);

  // `part` with that id. Throws WriteError for times that no number can hold.
  void write(const std::string& id);

 private:
  struct Cursors {  // what of the measure's positioned things comes next
    std::size_t tempo = 0, key = 0, direction = 0, chord = 0;
  };

  void write_measure(const Measure& measure);
  void write_left_barline(const Measure& measure);
  void write_right_barline(const Measure& measure);
  void write_ending(const Ending& ending, std::string_view type);
  void write_attributes(const Measure& measure);
  void write_key(const Key& key);
  void write_time(const Meter& meter);
  void write_clefs();
  void write_staff(const Measure& measure, const StaffRole& staff);
  void write_things_before(const Measure& measure, std::int64_t start, std::int64_t end);
  void write_key_change(const Key& key, std::int64_t offset);
  void report_values(const Measure& measure);
  std::int64_t offset_of(Fraction at, std::int64_t start) const;

  const Score& score_;
  const MusicXmlOptions options_;
  Report& report_;
  XmlWriter& xml_;
  NoteWriter notes_;
  bool common_divisions_;
  engraving::Grid grid_;
  engraving::BeatMap beats_;
  engraving::Engraving engraving_;
  engraving::Accidentals accidentals_;
  Cursors cursors_;
  const Meter* meter_ = nullptr;  // null before the first measure
  Key key_in_force_;
  std::int64_t stated_divisions_ = 0;
};

}  // namespace fifthpeg::musicxml::writer
