// What makes one place for a lick better than another, in units of the hands' cost table, where one finger
// more is about 20. Common practice, weighed by ear: licks answer the ends of phrases; they lead on; they
// belong to the beat that they are written from; what follows should not be out of their reach.
#pragma once

#include <cstdint>

namespace fifthpeg::licks::place_weights {

inline constexpr std::int64_t in_mid_phrase = 60;
inline constexpr std::int64_t in_place_of_melody = 70;  // the end of a phrase, and for each of its notes
inline constexpr std::int64_t each_note_replaced = 6;
inline constexpr std::int64_t in_place_of_lick = 30;   // that is there already
inline constexpr std::int64_t no_chord_tone = 60;      // the melody holds a note that the chord has not
inline constexpr std::int64_t leads_elsewhere = 30;    // the next chord is another than the lick's last
inline constexpr std::int64_t lands_or_leads = -30;    // the tune goes on as the lick says
inline constexpr std::int64_t begins_as_melody = -20;  // with the melody's own note
inline constexpr std::int64_t other_beat = 40;
inline constexpr std::int64_t moved_on_neck = 20;
inline constexpr std::int64_t half_as_fast = 60;   // eighths where the tune goes in sixteenths
inline constexpr std::int64_t each_beat_left = 4;  // of the melody's rest
inline constexpr std::int64_t most_beats_left = 5;
inline constexpr int near_in_pitch = 9;  // half steps from the lick's last note to the tune's next
inline constexpr std::int64_t each_half_step_beyond = 5;
// From here on getting in or out is worth a word.
inline constexpr std::int64_t easy_seam = 30;
inline constexpr std::int64_t hard_seam = 90;
inline constexpr int shift_worth_a_word = 3;

}  // namespace fifthpeg::licks::place_weights
