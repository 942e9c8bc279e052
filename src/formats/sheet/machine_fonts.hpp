// Where the machine's fonts are looked for.
#pragma once

namespace fifthpeg::sheet {

// Takes fonts from the usual folders, without the rules that the machine has for them: sheets need no other
// face for "serif", and to read the rules takes longer than to draw a sheet. Does nothing where fontconfig is
// told by its environment where to look, or where those folders hold no fonts.
//
// For a program that has its process to itself, before any text is measured: it is so for all of the process.
void look_for_fonts_without_rules();

}  // namespace fifthpeg::sheet
