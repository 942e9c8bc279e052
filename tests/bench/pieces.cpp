#include "bench/pieces.hpp"

#include <array>
#include <random>
#include <string_view>

namespace fifthpeg::bench {
namespace {

constexpr unsigned ticks_per_quarter = 480;
constexpr unsigned ticks_per_note = ticks_per_quarter / 2;
constexpr std::size_t notes_per_measure = 8;

// Played: at 120 quarter notes a minute a tick is about a millisecond.
constexpr std::uint32_t most_off = 10;  // before or after its time
constexpr std::uint32_t shortest_played = 150;
constexpr std::uint32_t longest_played = 215;  // let go before the next note, however early that comes
static_assert(longest_played + 2 * most_off < ticks_per_note);

// What strings 1 to 5 sound in the shapes of G, C, D, E minor, A minor and F, open G (common practice).
constexpr std::array<std::array<int, 5>, 6> chords{{{62, 59, 55, 50, 67},
                                                    {64, 60, 55, 52, 67},
                                                    {66, 62, 57, 54, 67},
                                                    {64, 59, 55, 52, 67},
                                                    {64, 60, 57, 52, 67},
                                                    {65, 60, 57, 53, 67}}};

// Strings struck: the alternating-thumb, forward, backward and forward-reverse rolls (common practice).
constexpr std::array<std::array<int, notes_per_measure>, 4> rolls{
    {{3, 2, 5, 1, 4, 2, 5, 1}, {3, 2, 1, 5, 3, 2, 1, 5}, {1, 2, 5, 1, 2, 5, 1, 2}, {3, 2, 1, 5, 1, 2, 3, 1}}};

// G major over the range in which a melody lies.
constexpr std::array<int, 10> scale{55, 57, 59, 60, 62, 64, 66, 67, 69, 71};

void append_variable_length(std::string& out, std::uint32_t value) {
  for (unsigned shift = 28; shift > 0; shift -= 7) {
    if (value >> shift != 0) out += static_cast<char>(0x80U | (value >> shift & 0x7FU));
  }
  out += static_cast<char>(value & 0x7FU);
}

void append_big_endian(std::string& out, std::uint32_t value, unsigned bytes) {
  for (unsigned at = bytes; at-- > 0;) out += static_cast<char>(value >> (8 * at) & 0xFFU);
}

void append_meta(std::string& out, int kind, std::string_view data) {
  out += '\0';  // at once
  out += '\xFF';
  out += static_cast<char>(kind);
  append_variable_length(out, static_cast<std::uint32_t>(data.size()));
  out += data;
}

void append_track(std::string& file, std::string& events) {
  append_meta(events, 0x2F, "");
  file += "MTrk";
  append_big_endian(file, static_cast<std::uint32_t>(events.size()), 4);
  file += events;
}

}  // namespace

std::string piece(std::size_t notes, std::uint32_t seed, Timing timing) {
  using namespace std::string_view_literals;
  std::mt19937 random(seed);  // its numbers are the same everywhere, those of distributions are not
  const auto below = [&random](std::size_t limit) { return random() % limit; };
  std::mt19937 hands(seed);  // of their own, so that what is played is the same either way

  std::string conductor;
  append_meta(conductor, 0x03, "Rolls");
  append_meta(conductor, 0x58, "\x04\x02\x18\x08"sv);  // 4/4
  append_meta(conductor, 0x59, "\x01\x00"sv);          // G major
  append_meta(conductor, 0x51, "\x07\xA1\x20"sv);      // 120 quarter notes a minute

  std::string banjo;
  banjo.reserve(notes * 9 + 64);
  append_meta(banjo, 0x03, "Banjo");
  banjo += "\0\xC0\x69"sv;  // General MIDI program 106
  std::size_t chord = 0;
  std::size_t roll = 0;
  std::size_t melody = 4;
  std::uint32_t dropped = 0;  // when the note before was
  for (std::size_t at = 0; at < notes; ++at) {
    const std::size_t in_measure = at % notes_per_measure;
    if (in_measure == 0) {
      chord = below(chords.size());
      roll = below(rolls.size());
    }
    int pitch = chords[chord][static_cast<std::size_t>(rolls[roll][in_measure] - 1)];
    if (in_measure % 4 == 0 && below(2) == 0) {
      melody = (melody + scale.size() + below(5) - 2) % scale.size();
      pitch = scale[melody];
    }
    auto struck = static_cast<std::uint32_t>(at * ticks_per_note);
    std::uint32_t length = ticks_per_note;
    if (timing == Timing::played) {
      struck += static_cast<std::uint32_t>(at == 0 ? 0 : hands() % (2 * most_off + 1) - most_off);
      length = shortest_played + static_cast<std::uint32_t>(hands() % (longest_played - shortest_played + 1));
    }
    append_variable_length(banjo, struck - dropped);
    dropped = struck + length;
    banjo += '\x90';
    banjo += static_cast<char>(pitch);
    banjo += static_cast<char>(80 + below(32));
    append_variable_length(banjo, length);
    banjo += '\x80';
    banjo += static_cast<char>(pitch);
    banjo += '\0';
  }

  std::string file("MThd\0\0\0\x06\0\x01\0\x02"sv);
  append_big_endian(file, ticks_per_quarter, 2);
  append_track(file, conductor);
  append_track(file, banjo);
  return file;
}

}  // namespace fifthpeg::bench
