// Phrases on whose fingering players agree: each is what is asked for and what has to come out. Common
// practice of the trade, from memory.
//
// A word is a stroke: notes joined by +, each string:fret, then .finger where it is stopped (.* where players
// differ), then the picking finger's letter (* or none where they differ). Before the string: h hammered on,
// p pulled off, s slid into, all from the note before on the string; d damped. =8 sets the length of what
// follows to an eighth, - is a rest, [F] a chord symbol. What is asked for are the pitches, the lengths and
// the techniques.
#pragma once

#include <array>
#include <string_view>

#include "fifthpeg/hands.hpp"

namespace fifthpeg::testing {

struct Phrase {
  std::string_view name;
  Style style;
  int tempo;  // quarters a minute
  std::string_view text;
};

inline constexpr std::array phrases{
    // ---- rolls over open chords ----
    Phrase{"alternating thumb, G", Style::roll, 120, "=8 3:0T 2:0I 5:0T 1:0M 4:0T 2:0I 5:0T 1:0M"},
    Phrase{"forward, G", Style::roll, 150, "=8 2:0I 1:0M 5:0T 2:0I 1:0M 5:0T 2:0I 1:0M"},
    Phrase{"backward, G", Style::roll, 120, "=8 1:0M 2:0I 5:0T 1:0M 2:0I 5:0T 1:0M 2:0I"},
    Phrase{"forward and back, G", Style::roll, 120, "=8 3:0T 2:0I 1:0M 5:0T 1:0M 2:0I 3:0T 1:0M"},
    Phrase{"alternating thumb, C", Style::roll, 120, "=8 4:2.2T 2:1.1I 5:0T 1:2.3M 3:0T 2:1.1I 5:0T 1:2.3M"},
    Phrase{"forward and back, D7", Style::roll, 120, "=8 3:2.2T 2:1.1I 1:0M 5:0T 1:0M 2:1.1I 3:2.2T 1:0M"},
    Phrase{"alternating thumb, F", Style::roll, 120,
           "=8 4:3.3T 2:1.1I 3:2.2T 1:3.4M 4:3.3T 2:1.1I 3:2.2T 1:3.4M"},
    Phrase{"alternating thumb, E minor", Style::roll, 120,
           "=8 4:2.2T 2:0I 5:0T 1:2.3M 3:0T 2:0I 5:0T 1:2.3M"},
    Phrase{"forward, C to D7", Style::roll, 110,
           "=8 2:1.1I 1:2.3M 5:0T 2:1.1I 1:2.3M 5:0T 2:1.1I 1:2.3M 3:2.2T 2:1.1I 1:0M 3:2.2T 2:1.1I 1:0M "
           "3:2.2T 1:0M"},
    // ---- pinches ----
    Phrase{"bass and pinch, G", Style::roll, 100, "=4 3:0T 5:0T+1:0M 4:0T 5:0T+1:0M"},
    Phrase{"bass and pinch, C", Style::roll, 100, "=4 4:2.2T 5:0T+1:2.3M 3:0T 5:0T+1:2.3M"},
    Phrase{"fourth and second together", Style::roll, 100, "=4 4:0T+2:0M 5:0T+1:0M 4:0T+2:0M 5:0T+1:0M"},
    Phrase{"neighboring strings together", Style::roll, 100, "=4 2:0I+1:0M 5:0T 2:0I+1:0M 5:0T"},
    Phrase{"ending pinch", Style::roll, 100, "=8 3:0T 2:0I 5:0T 1:0M =2 5:0T+3:0I+1:0M"},
    // ---- tags and fill-ins ----
    Phrase{"tag with a hammer-on", Style::roll, 120, "=16 3:2.2T h3:3.3 =8 2:0I 5:0T 1:0M 3:0T 1:0M 5:0T"},
    Phrase{"tag with a pull-off", Style::roll, 120, "=16 3:3.3T p3:2.2 =8 3:0 1:0M 5:0T 3:0 2:0 1:0M"},
    Phrase{"fill-in on the fourth string", Style::roll, 120,
           "=16 4:0T h4:2.2 =8 3:0I 1:0M 5:0T 3:0I 2:0 1:0M"},
    Phrase{"hammer-on in G", Style::roll, 120, "=16 3:0T h3:2.2 =8 2:0I 5:0T 1:0M 4:0T 2:0I 5:0T 1:0M"},
    Phrase{"pull-off on the first string", Style::roll, 110,
           "=16 1:2.2M p1:0 =8 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T"},
    // ---- walk-ups ----
    Phrase{"walk up to G", Style::roll, 110, "=4 4:0T 4:2.*T 4:4.*T 3:0T"},
    Phrase{"walk up to G by half steps", Style::roll, 110, "=4 4:2.1 4:3.2 4:4.3 3:0"},
    Phrase{"walk up to C", Style::roll, 110, "=4 3:0 3:2.2 2:0 2:1.1"},
    Phrase{"plain melody in quarters", Style::roll, 100, "=4 2:0 2:0 2:1.1 1:0 1:0 2:1.1 2:0 3:2.2"},
    // ---- slides into unisons ----
    Phrase{"third string into the open second", Style::roll, 120,
           "=16 3:2.2T s3:4.2 =8 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T"},
    Phrase{"second string into the open first", Style::roll, 120,
           "=16 2:1.2 s2:3.2 =8 1:0M 5:0T 2:0I 1:0M 5:0T 1:0M"},
    Phrase{"fourth string into the open third", Style::roll, 120,
           "=16 4:2.2T s4:5.2 =8 3:0I 1:0M 5:0T 3:0 2:0 1:0M"},
    Phrase{"first string into the drone", Style::roll, 110,
           "=16 1:2.2M s1:5.2 =8 5:0T 2:0I 1:0M 5:0T 2:0I 1:0M"},
    Phrase{"slide and pinch with the open string", Style::roll, 100,
           "=8 3:2.2T s3:4.2 =4 2:0I+1:0M =8 5:0T 1:0M =4 2:0I"},
    // ---- closed chord licks, each in two or three places ----
    Phrase{"bar at 2", Style::roll, 120, "=8 3:2.1T 2:2.1I 1:2.1M 4:2.1T 2:2.1I 1:2.1M 3:2.1T 1:2.1M"},
    Phrase{"bar at 3", Style::roll, 120, "=8 3:3.1T 2:3.1I 1:3.1M 4:3.1T 2:3.1I 1:3.1M 3:3.1T 1:3.1M"},
    Phrase{"bar at 4", Style::roll, 120, "=8 3:4.1T 2:4.1I 1:4.1M 4:4.1T 2:4.1I 1:4.1M 3:4.1T 1:4.1M"},
    Phrase{"F shape at 4", Style::roll, 120, "=8 4:6.3T 2:4.1I 1:6.4M 3:5.2T 2:4.1I 1:6.4M 4:6.3T 1:6.4M"},
    Phrase{"F shape at 5", Style::roll, 120, "=8 4:7.3T 2:5.1I 1:7.4M 3:6.2T 2:5.1I 1:7.4M 4:7.3T 1:7.4M"},
    Phrase{"F shape at 6", Style::roll, 120, "=8 4:8.3T 2:6.1I 1:8.4M 3:7.2T 2:6.1I 1:8.4M 4:8.3T 1:8.4M"},
    Phrase{"D shape at 5", Style::roll, 120, "=8 4:7.3T 2:6.2I 1:7.4M 3:5.1T 2:6.2I 1:7.4M 4:7.3T 1:7.4M"},
    Phrase{"D shape at 6", Style::roll, 120, "=8 4:8.3T 2:7.2I 1:8.4M 3:6.1T 2:7.2I 1:8.4M 4:8.3T 1:8.4M"},
    Phrase{"F shape slid into", Style::roll, 110,
           "=8 1:6.*M s1:7.* 2:5.1I 3:6.2T 1:7.*M 2:5.1I 3:6.2T 1:7.*M"},
    Phrase{"D shape struck, then rolled", Style::roll, 110,
           "=4 3:6.1T+2:7.2I+1:8.4M =8 4:8.3T 2:7.2I 1:8.4M 3:6.1T 2:7.2I 1:8.4M"},
    Phrase{"bar slid as a block", Style::roll, 100,
           "=8 3:4.1T+2:4.1I+1:4.1M s3:5.1+s2:5.1+s1:5.1 =4 - =8 "
           "3:5.1T 2:5.1I 1:5.1M -"},
    // ---- double stops ----
    Phrase{"thirds down the neck", Style::roll, 90,
           "=4 2:8.1I+1:9.2M 2:6.1I+1:7.2M 2:3.1I+1:4.2M 2:1.1I+1:2.2M"},
    Phrase{"thirds on the inner strings", Style::roll, 90, "=4 3:2.2+2:1.1 3:3.2+2:2.1 3:2.2+2:1.1 3:0+2:0"},
    Phrase{"sixths on 3 and 1", Style::roll, 90,
           "=4 3:5.1T+1:7.3M 3:7.1T+1:9.3M 3:9.1T+1:10.2M 3:5.1T+1:7.3M"},
    Phrase{"sixths on 4 and 2", Style::roll, 90, "=4 4:2.2T+2:1.1M 4:3.2T+2:2.1M 4:2.2T+2:1.1M 4:0T+2:0M"},
    // ---- vamps ----
    Phrase{"vamp in the F shape", Style::roll, 110,
           "=8 4:7.3T - 3:6.2T+2:5.1I+1:7.4M - 4:7.3T - 3:6.2T+2:5.1I+1:7.4M -"},
    Phrase{"vamp, F shape to the next", Style::roll, 110,
           "=8 4:7.3T 3:6.2T+2:5.1I+1:7.4M 4:7.3T 3:6.2T+2:5.1I+1:7.4M 4:9.3T 3:8.2T+2:7.1I+1:9.4M 4:9.3T "
           "3:8.2T+2:7.1I+1:9.4M"},
    Phrase{"vamp in the D shape", Style::roll, 110,
           "=8 4:7.3T 3:5.1T+2:6.2I+1:7.4M 4:7.3T 3:5.1T+2:6.2I+1:7.4M =2 3:5.1T+2:6.2I+1:7.4M"},
    Phrase{"vamp in a bar", Style::roll, 110,
           "=8 4:2.1T 3:2.1T+2:2.1I+1:2.1M 4:2.1T 3:2.1T+2:2.1I+1:2.1M =2 3:2.1T+2:2.1I+1:2.1M"},
    // ---- high breaks ----
    Phrase{"bar at 12, forward roll", Style::roll, 120,
           "=8 2:12.1I 1:12.1M 5:0T 2:12.1I 1:12.1M 5:0T 2:12.1I 1:12.1M"},
    Phrase{"slide up to the twelfth fret", Style::roll, 110,
           "=8 1:10.*M s1:12.* 5:0T 1:12.*M 5:0T 1:12.*M 5:0T 1:12.*M"},
    Phrase{"thirds at 8 with the drone", Style::roll, 120,
           "=8 2:8.1I 1:9.2M 5:0T 2:8.1I 1:9.2M 5:0T 2:8.1I 1:9.2M"},
    // ---- scales ----
    Phrase{"melodic scale up", Style::melodic, 120, "=8 3:0 4:7.4 2:0 3:5.2 1:0 2:5.2 1:4.1 5:0T"},
    Phrase{"melodic scale down", Style::melodic, 120, "=8 5:0T 1:4.1 2:5.2 1:0 3:5.2 2:0 4:7.4 3:0"},
    Phrase{"melodic, there and back", Style::melodic, 100, "=8 3:0 4:7.* 2:0 3:5.* 1:0 3:5.* 2:0 4:7.*"},
    Phrase{"single string, at 8", Style::single_string, 120,
           "=8 1:8.1T 1:10.3I 1:11.4T 1:10.3I 1:8.1T 1:10.3I 1:8.1T 1:10.3I"},
    Phrase{"single string, five notes at 1", Style::single_string, 120,
           "=8 4:1.1T 4:3.3I 3:1.1T 3:3.3I 2:1.1T 3:3.3I 3:1.1T 4:3.3I"},
    // ---- clawhammer ----
    Phrase{"bum-ditty", Style::clawhammer, 100,
           "=4 3:0N =8 3:0N+2:0N+1:0N 5:0T =4 4:0N =8 3:0N+2:0N+1:0N 5:0T"},
    Phrase{"double thumb", Style::clawhammer, 100, "=8 1:0N 5:0T 2:0N 5:0T 3:0N 5:0T 2:0N 5:0T"},
    Phrase{"drop thumb", Style::clawhammer, 100, "=8 1:0N 2:0T 1:0N 5:0T 1:0N 2:0T 1:0N 5:0T"},
    Phrase{"hammer-on after the nail", Style::clawhammer, 100,
           "=8 3:0N h3:2.* 1:0N 5:0T 3:0N h3:2.* 1:0N 5:0T"},
    Phrase{"pull-off after the nail", Style::clawhammer, 100,
           "=8 1:2.*N p1:0 2:0N 5:0T 1:2.*N p1:0 2:0N 5:0T"},
    Phrase{"bum-ditty in C", Style::clawhammer, 100,
           "=4 4:2.2N =8 3:0N+2:1.1N+1:2.3N 5:0T =4 2:1.1N =8 3:0N+2:1.1N+1:2.3N 5:0T"},
};

// Written before anybody saw what comes of them.
inline constexpr std::array fresh_phrases{
    Phrase{"slide into the bar at 5", Style::roll, 110,
           "=8 1:3.*M s1:5.* 2:5.1I 3:5.1T 1:5.*M 2:5.1I 3:5.1T 1:5.*M"},
    Phrase{"slide into the D shape at 7", Style::roll, 110,
           "=8 1:7.*M s1:9.4 2:8.2I 3:7.1T 1:9.4M 2:8.2I 4:9.3T 1:9.4M"},
    Phrase{"slide on the fourth string into the F shape", Style::roll, 110,
           "=8 4:5.3T s4:7.3 2:5.1I 1:7.4M 3:6.2T 2:5.1I 1:7.4M 4:7.3T"},
    Phrase{"minor shape struck, then rolled", Style::roll, 100,
           "=4 4:7.3T+2:5.1I+1:7.4M =8 3:5.1T 2:5.1I 1:7.4M 4:7.3T 2:5.1I 1:7.4M"},
    Phrase{"F shape struck and moved up two frets", Style::roll, 100,
           "=4 3:4.2T+2:3.1I+1:5.4M 3:4.2T+2:3.1I+1:5.4M 3:6.2T+2:5.1I+1:7.4M 3:6.2T+2:5.1I+1:7.4M"},
    Phrase{"third slid into, then the drone", Style::roll, 110,
           "=8 2:6.1I+1:7.2M s2:8.1+s1:9.2 5:0T 1:9.2M 2:8.1I 5:0T 1:9.2M -"},
    Phrase{"bar at 7 rolled forward", Style::roll, 120,
           "=8 3:7.1T 2:7.1I 1:7.1M 3:7.1T 2:7.1I 1:7.1M 4:7.1T 1:7.1M"},
    Phrase{"G run", Style::roll, 110, "=8 4:0T 4:2.*T 3:0T 3:2.*I 2:0I 4:0T 3:0 -"},
    Phrase{"hammer-on and forward roll over C", Style::roll, 120,
           "=16 4:0T h4:2.2 =8 2:1.1I 1:2.3M 5:0T 2:1.1I 1:2.3M 5:0T"},
    Phrase{"pull-off from the second fret, third string", Style::roll, 120,
           "=16 3:2.2T p3:0 =8 2:0I 1:0M 5:0T 2:0I 1:0M 5:0T"},
    Phrase{"double hammer-on into B", Style::roll, 120, "=16 3:2.2T h3:3.3 =8 2:0I 1:0M 5:0T 2:0I 1:0M 5:0T"},
    Phrase{"C to F to G in pinches", Style::roll, 100, "=4 4:2.2T+1:2.3M 4:3.3T+1:3.4M 4:0T+1:0M 3:0T+1:0M"},
    Phrase{"sixths walking up in G", Style::roll, 90,
           "=4 3:0T+1:2.*M 3:2.1T+1:4.3M 3:4.1T+1:5.2M 3:5.1T+1:7.3M"},
    Phrase{"tune in first position, eighths", Style::roll, 100, "=8 1:0 1:2.* 2:0 2:1.1 3:2.2 3:0 4:4.* 4:0"},
    Phrase{"vamp in the F shape at 3", Style::roll, 110,
           "=8 4:5.3T 3:4.2T+2:3.1I+1:5.4M 4:5.3T 3:4.2T+2:3.1I+1:5.4M =2 3:4.2T+2:3.1I+1:5.4M"},
    Phrase{"melodic, A minor scale up", Style::melodic, 120, "=8 3:2.* 2:0 3:5.* 1:0 2:5.* 1:3.* 5:0T 1:7.*"},
    Phrase{"clawhammer, D to G", Style::clawhammer, 100, "=4 4:0N =8 3:2.*N 5:0T =4 3:0N =8 1:0N 5:0T"},
    Phrase{"clawhammer, hammered third string", Style::clawhammer, 100,
           "=8 3:0N h3:2.* 2:0N 5:0T 1:0N - 3:0N 5:0T"},
};

}  // namespace fifthpeg::testing
