// Which option helps: what the program adds to what the library says, by code. The library knows no options.
#pragma once

#include <string>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/check.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg::cli {

// What is wrong, and the option that helps.
std::string with_hint(const Error& error);
Entry with_hint(Entry entry);
// For music that has been moved to a key: the capo that gives the same key with the tab as it is, which has
// so far had `capo`; or with the shapes that players of the style use in the tuning. Empty where there is
// none.
std::string hint_of_capo_for_tab(const Key& wanted, int half_steps, int capo);
std::string hint_of_capo_for_shapes(const Key& wanted, const Tuning& tuning, Style style);
// The key that the banjo's capo gives with the shapes that players of the style use. Empty where there is
// none.
std::string hint_of_key_for_capo(const Banjo& banjo, bool minor, Style style);
// Another part has what was looked for.
std::string hint_of_part(std::size_t number, const std::string& name);
// How to fix what the rule finds.
std::string with_hint(const Rule& rule);

}  // namespace fifthpeg::cli
