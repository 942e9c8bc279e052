// Where each rule fires in its broken file, but for line and byte, which the cases reckon from the file. A
// rule that is not listed speaks of the whole file, or of a byte of it alone. A rule with several cases is
// listed once a case.
#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "check/cases.hpp"

namespace check_test {
namespace {

// Read off the handout in check_sample.hpp: its notes are named a to o.
constexpr std::pair<std::string_view, std::string_view> places[] = {
    {"midi-hanging-note", "measure 1, beat 1"},
    {"midi-overlapping-note", "measure 1, beat 1.5"},
    {"midi-stray-note-off", "measure 1, beat 1"},
    {"midi-bend-without-range", "measure 1, beat 1"},
    {"grammar-not-xml", "part P1, measure 1"},
    {"grammar-too-much", "part P1, measure 1"},
    {"grammar-unknown-element", "part P1, measure 1"},
    {"grammar-misplaced-element", "part P1, measure 1"},
    {"grammar-missing-element", "part P1, measure 1"},
    {"grammar-unexpected-text", "part P1, measure 1"},
    {"grammar-bad-value", "part P1, measure 1"},
    {"grammar-unknown-attribute", "part P1, measure 1"},
    {"grammar-missing-attribute", "part P1"},
    {"grammar-repeated-id", "part P1, measure 1"},
    {"grammar-dangling-reference", "part P2"},
    {"time-no-divisions", "part Banjo, measure 1"},
    {"time-measure-too-long", "part Banjo, measure 3"},
    {"time-measure-too-short", "part Banjo, measure 2"},
    {"time-pickup-unmarked", "part Banjo, measure 1"},
    {"time-voices-overlap", "part Banjo, measure 1, beat 2"},
    {"time-voice-hole", "part Banjo, measure 1, beat 2"},
    {"time-type-contradicts-duration", "part Banjo, measure 1, beat 3"},
    {"time-type-contradicts-duration", "part Banjo, measure 3, beat 3"},
    {"time-no-type", "part Banjo, measure 1, beat 1"},
    {"time-backup-too-far", "part Banjo, measure 1"},
    {"time-chord-alone", "part Banjo, measure 4"},
    {"time-chord-longer", "part Banjo, measure 4, beat 3"},
    {"pairs-tie", "part Banjo, measure 2, beat 3"},
    {"pairs-tie", "part Banjo, measure 3, beat 1"},
    {"pairs-tie-pitch", "part Banjo, measure 3, beat 1"},
    {"pairs-tie-not-shown", "part Banjo, measure 3, beat 1"},
    {"pairs-tie-not-heard", "part Banjo, measure 3, beat 1"},
    {"pairs-slur", "part Banjo, measure 4, beat 1"},
    {"pairs-slur", "part Banjo, measure 4, beat 2"},
    {"pairs-slide", "part Banjo, measure 2, beat 1"},
    {"pairs-hammer-on", "part Banjo, measure 1, beat 1"},
    {"pairs-pull-off", "part Banjo, measure 1, beat 4"},
    {"pairs-tuplet", "part Banjo, measure 3, beat 3"},
    {"pairs-repeat", "part Banjo, measure 1"},
    {"pairs-ending", "part Banjo, measure 4"},
    {"pairs-dal-segno", "part Banjo, measure 4"},
    {"pairs-to-coda", "part Banjo, measure 3"},
    {"pairs-fine", "part Banjo, measure 2"},
    {"tab-fret-contradicts-pitch", "part Banjo, measure 2, beat 2, string 4"},
    {"tab-all-pitches-off", "part Banjo, measure 1, beat 1"},
    {"tab-string-off", "part Banjo, measure 2, beat 3, string 1"},
    {"tab-fifth-numbering-mixed", "part Banjo, measure 4, beat 1, string 5"},
    {"tab-fifth-own-nut", "part Banjo, measure 4, beat 1, string 5"},
    {"tab-fret-not-there", "part Banjo, measure 4, beat 1, string 5"},
    {"tab-string-not-there", "part Banjo, measure 1, beat 3"},
    {"tab-fret-past-neck", "part Banjo, measure 1, beat 3, string 2"},
    {"tab-two-on-one-string", "part Banjo, measure 4, beat 3, string 1"},
    {"tab-staves-disagree", "part Banjo, measure 4, beat 3"},
    {"tab-no-tuning", "part Banjo"},
    {"tab-tuning-strange", "part Banjo, string 4"},
    {"tab-no-placement", "part Banjo, measure 1, beat 3"},
    {"technique-hammer-on-down", "part Banjo, measure 1, beat 2, string 3"},
    {"technique-pull-off-up", "part Banjo, measure 1, beat 4, string 2"},
    {"technique-across-strings", "part Banjo, measure 1, beat 4, string 3"},
    {"technique-slide-nowhere", "part Banjo, measure 2, beat 2, string 4"},
    {"technique-choke-open", "part Banjo, measure 1, beat 4, string 2"},
    {"technique-pluck", "part Banjo, measure 1, beat 3, string 2"},
    {"reading-refused", "measure 1, beat 3"},
    {"reading-repaired", "part Banjo, measure 1, beat 3"},
    {"reading-left-out", "part Banjo, measure 1, beat 3"},
    {"reading-assumed", "part Banjo, measure 2, beat 1"},
    {"hands-cannot-hold", "part Banjo, measure 4, beat 3"},
    {"hands-stretch", "part Banjo, measure 4, beat 3"},
    {"hands-finger-twice", "part Banjo, measure 4, beat 3"},
    {"hands-pick-twice", "part Banjo, measure 4, beat 3"},
    {"hands-picking-finger-too-fast", "part Banjo, measure 3, beat 3 2/3"},
    {"hands-leap", "part Banjo, measure 2, beat 3"},
    {"hands-unplayable", "measure 1, beat 2"},
    {"teaching-part-unnamed", "part P1"},
    {"teaching-ends-inside-measure", "part Banjo, measure 4"},
    {"teaching-too-fast", "part Banjo, measure 3, beat 3 2/3"},
};

}  // namespace

std::string_view where_it_fires(std::string_view rule, std::size_t nth) {
  for (const auto& [slug, where] : places) {
    if (slug == rule && nth-- == 0) return where;
  }
  return {};
}

}  // namespace check_test
