// Takes choices apart that stand in choices: a | (b | c) becomes a | b | c, which means the same. trang
// writes one within another for each pattern that has a name, and for an element that holds a mixture of
// dozens of others libxml2 then compiles three times as long.
#pragma once

#include <libxml/tree.h>

namespace fifthpeg::musicxml::grammar {

// A document of XML Schema as trang writes it, changed where it stands.
void flatten_choices(xmlDoc& schema);

}  // namespace fifthpeg::musicxml::grammar
