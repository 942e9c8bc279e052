#include "formats/midi/conventions.hpp"

#include <algorithm>
#include <bit>
#include <cstdint>

#include "base/number.hpp"
namespace fifthpeg::midi {
namespace {

constexpr std::string_view banjo_label = "fifthpeg: tuning ";
constexpr std::string_view swing_label = "fifthpeg: swing ";
constexpr std::string_view capo_word = "capo";
constexpr std::string_view fifth_capo_word = "fifth-capo";
constexpr std::string_view channel_per_string_word = "channel-per-string";
constexpr std::string_view first_channel_word = "first-channel";
constexpr std::string_view pickup_word = "pickup";

// Units of swing, in parts of a whole note, and how long one of the two may be.
constexpr std::int64_t coarsest_swing = 4;
constexpr std::int64_t finest_swing = 32;
constexpr int longest_share = 16;

// The next word, or what stands in double quotes.
std::string_view take_word(std::string_view& text) {
  while (text.starts_with(' ')) text.remove_prefix(1);
  const bool quoted = text.starts_with('"');
  if (quoted) text.remove_prefix(1);
  const std::size_t end = std::min(text.find(quoted ? '"' : ' '), text.size());
  const std::string_view word = text.substr(0, end);
  text.remove_prefix(std::min(text.size(), end + 1));
  return word;
}

using base::number;

// "1/4": a length.
std::optional<Fraction> length(std::string_view word) {
  const std::size_t slash = std::min(word.find('/'), word.size());
  const auto num = number<int>(word.substr(0, slash));
  const auto den = slash == word.size() ? std::optional(1) : number<int>(word.substr(slash + 1));
  if (!num || !den || *num < 1 || *den < 1) return std::nullopt;
  return Fraction(*num, *den);
}

}  // namespace

std::string to_text(const BanjoText& stated) {
  const Banjo& banjo = stated.banjo;
  std::string tuning = spelling(banjo.tuning);
  if (tuning.find(' ') != std::string::npos) tuning = '"' + tuning + '"';
  std::string text(banjo_label);
  text += tuning;
  const auto add = [&text](std::string_view word, const std::string& value) {
    text.append(" ").append(word).append(value.empty() ? "" : " ").append(value);
  };
  add(capo_word, std::to_string(banjo.capo));
  add(fifth_capo_word, std::to_string(banjo.fifth_capo));
  if (stated.channel_per_string) add(channel_per_string_word, {});
  if (stated.first_channel > 0) add(first_channel_word, std::to_string(stated.first_channel + 1));
  if (stated.pickup > 0) add(pickup_word, to_string(stated.pickup));
  return text;
}

std::optional<BanjoText> parse_banjo_text(std::string_view text) {
  if (!text.starts_with(banjo_label)) return std::nullopt;
  text.remove_prefix(banjo_label.size());
  BanjoText result;
  const auto tuning = parse_tuning(take_word(text));
  if (!tuning) return std::nullopt;
  result.banjo.tuning = *tuning;
  while (!text.empty()) {
    const std::string_view key = take_word(text);
    if (key == channel_per_string_word) {
      result.channel_per_string = true;
    } else if (key == first_channel_word) {
      const auto channel = number<int>(take_word(text));
      if (!channel || *channel < 1 || *channel > most_channels + 1) return std::nullopt;
      result.first_channel = *channel - 1;
    } else if (key == pickup_word) {
      const auto pickup = length(take_word(text));
      if (!pickup) return std::nullopt;
      result.pickup = *pickup;
    } else if (key == capo_word || key == fifth_capo_word) {
      const auto value = number<int>(take_word(text));
      const bool fifth = key == fifth_capo_word;
      if (!value || *value < (fifth ? fifth_nut_fret : 0) || *value >= result.banjo.frets)
        return std::nullopt;
      (fifth ? result.banjo.fifth_capo : result.banjo.capo) = *value;
    }
  }
  return result;
}

std::string to_text(const Swing& swing) {
  return std::string(swing_label) + to_string(swing.unit) + " " + std::to_string(swing.first) + " " +
         std::to_string(swing.second);
}

std::optional<Swing> parse_swing_text(std::string_view text) {
  if (!text.starts_with(swing_label)) return std::nullopt;
  text.remove_prefix(swing_label.size());
  const auto unit = length(take_word(text));
  const auto first = number<int>(take_word(text));
  const auto second = number<int>(take_word(text));
  if (!unit || !first || !second || !text.empty()) return std::nullopt;
  const bool is_unit = unit->num() == 1 && std::has_single_bit(static_cast<std::uint64_t>(unit->den())) &&
                       unit->den() >= coarsest_swing && unit->den() <= finest_swing;
  const auto is_share = [](int share) { return share >= 1 && share <= longest_share; };
  if (!is_unit || !is_share(*first) || !is_share(*second)) return std::nullopt;
  return Swing{*unit, *first, *second};
}

}  // namespace fifthpeg::midi
