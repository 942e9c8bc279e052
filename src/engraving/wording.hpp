// What a picture of music says in letters and words: the same on a sheet as in text tab.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::engraving {

// "T", "I", "M", "R", "L", "N".
std::string_view picking_letter(PickingFinger finger);
// "0" to "4", "T".
std::string_view finger_sign(FretFinger finger);
// "d", "B", "g": the highest and the fifth string in lower case (common practice).
std::string string_name(const Tuning& tuning, int string);
// The words of a direction; of a jump that has none, the usual ones. Safe to show, in one line.
std::string direction_text(const Direction& direction);
std::string tempo_text(const Tempo& tempo);  // "Lively, quarter = 120"
// "1.", "1,3."
std::string ending_text(const Ending& ending);
// "Tuning: open G (gDGBD)", "Capo: 2", "Key: G major" ... what has to be known before one plays.
std::vector<std::string> set_up_items(const Score& score);
inline constexpr std::string_view all_rings_text = "Let every string ring";
inline constexpr std::string_view no_capo_text = "none";
// Whether every note that is not stopped is left to ring, so that it is said once.
bool everything_rings(const Score& score);
// The notes of a stroke from the fifth string to the first, those without a place first.
std::vector<const Note*> by_string(const Stroke& stroke);

}  // namespace fifthpeg::engraving
