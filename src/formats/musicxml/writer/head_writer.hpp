// Everything before the first measure, and the banjo in the first measure's attributes.
#pragma once

#include <span>

#include "fifthpeg/score.hpp"
#include "fifthpeg/write.hpp"
#include "formats/musicxml/writer/xml_writer.hpp"

namespace fifthpeg::musicxml::writer {

// Declarations, work, identification and part-list. Leaves score-partwise open. Throws UsageError for an
// encoding date that is no date.
void write_head(const Score& score, std::span<const Score> further, const MusicXmlOptions& options,
                XmlWriter& xml, Report& report);

// staff-details with tuning and capo; `number` of the staff, or 0 where there is only one.
void write_staff_details(const Banjo& banjo, bool tab, int number, XmlWriter& xml, Report& report);

// Swing as MusicXML can say it: a unit of eighths or sixteenths.
bool has_standard_unit(const Swing& swing);

}  // namespace fifthpeg::musicxml::writer
