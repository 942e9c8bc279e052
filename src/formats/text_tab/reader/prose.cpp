#include "formats/text_tab/reader/prose.hpp"

#include <algorithm>
#include <array>
#include <set>
#include <string>
#include <string_view>

#include "base/number.hpp"
#include "base/text.hpp"
#include "formats/text_tab/reader/words.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

constexpr unsigned highest_capo = 12;

// A sentence with one of these says what may be, or what is not so.
constexpr std::array<std::string_view, 17> doubts{"if",      "or",    "could", "can",    "may",    "might",
                                                  "would",   "maybe", "when",  "which",  "what",   "not",
                                                  "without", "no",    "don't", "either", "instead"};
// Between "capo" and its fret, "tuned" or "tuning" and what to.
constexpr std::array<std::string_view, 8> between{"on", "at", "the", "fret", "is", "to", "in", "up"};
// What "capo" is of, or what its number counts, where that is not the fret of the capo.
constexpr std::array<std::string_view, 5> of_fifth{"string", "strings", "fifth", "5th", "5th-string"};
constexpr std::array<std::string_view, 7> ordinals{"first", "second", "third",  "fourth",
                                                   "fifth", "sixth",  "seventh"};
constexpr std::array<std::string_view, 7> cardinals{"one", "two", "three", "four", "five", "six", "seven"};

template <std::size_t Size>
std::optional<unsigned> rank_in(const std::array<std::string_view, Size>& words, std::string_view word) {
  const auto found = std::find_if(words.begin(), words.end(), [word](std::string_view one) {
    return base::same_ignoring_case(word, one);
  });
  if (found == words.end()) return std::nullopt;
  return static_cast<unsigned>(found - words.begin()) + 1;
}

// "2", "2nd", "second", "two".
std::optional<unsigned> number_in(std::string_view word) {
  if (const auto rank = rank_in(ordinals, word)) return rank;
  if (const auto rank = rank_in(cardinals, word)) return rank;
  const auto end = std::min(word.find_first_not_of("0123456789"), word.size());
  const std::string_view behind = word.substr(end);
  const bool plain = behind.empty() || behind == "st" || behind == "nd" || behind == "rd" || behind == "th";
  return plain ? base::number<unsigned>(word.substr(0, end)) : std::nullopt;
}

class SentenceReader {
 public:
  explicit SentenceReader(std::vector<std::string> words) : words_(std::move(words)) {}

  std::optional<unsigned> capo_at(std::size_t index) const {
    const std::string_view word = words_[index];
    const bool named = base::same_ignoring_case(word, "capo") || base::same_ignoring_case(word, "capoed") ||
                       base::same_ignoring_case(word, "capo'd");
    if (!named || (index > 0 && rank_in(of_fifth, words_[index - 1]))) return std::nullopt;
    const std::size_t at = behind(index);
    const auto fret = number_in(this->word(at));
    if (!fret || *fret < 1 || *fret > highest_capo || rank_in(of_fifth, this->word(at + 1)))
      return std::nullopt;
    return fret;
  }

  std::optional<Tuning> tuning_at(std::size_t index) const {
    const bool tuned = base::same_ignoring_case(words_[index], "tuned");
    if (!tuned && !base::same_ignoring_case(words_[index], "tuning")) return std::nullopt;
    const std::size_t at = behind(index);
    if (const auto after = called(word(at) + " " + word(at + 1))) return after;
    if (const auto after = called(word(at))) return after;
    if (tuned || index == 0) return std::nullopt;
    if (index > 1) {
      if (const auto before = called(words_[index - 2] + " " + words_[index - 1])) return before;
    }
    return called(words_[index - 1]);
  }

 private:
  std::string word(std::size_t index) const { return index < words_.size() ? words_[index] : std::string(); }

  std::size_t behind(std::size_t index) const {
    std::size_t at = index + 1;
    while (at < words_.size() && rank_in(between, words_[at])) ++at;
    return at;
  }

  // A letter alone, as behind "open" in "open C tuning", is no name of a tuning.
  static std::optional<Tuning> called(std::string_view name) {
    name = base::trimmed(name);
    return name.size() > 1 ? parse_tuning(name) : std::nullopt;
  }

  std::vector<std::string> words_;
};

// Without what stands around it.
std::string bare(std::string_view word) {
  constexpr std::string_view around = ".,;:!?()[]\"'*";
  const auto begin = word.find_first_not_of(around);
  if (begin == std::string_view::npos) return {};
  return std::string(word.substr(begin, word.find_last_not_of(around) + 1 - begin));
}

std::vector<std::vector<std::string>> sentences_in(const std::vector<const Row*>& rows) {
  std::vector<std::vector<std::string>> sentences(1);
  std::int64_t line = 0;
  for (const Row* row : rows) {
    if (row->line != line + 1) sentences.emplace_back();
    line = row->line;
    for (const Item& item : items_of(*row, 1)) {
      if (std::string word = bare(item.text); !word.empty()) sentences.back().push_back(std::move(word));
      if (item.text.find_last_of(".!?;") == item.text.size() - 1) sentences.emplace_back();
    }
  }
  return sentences;
}

}  // namespace

Prose read_prose(const std::vector<const Row*>& rows) {
  std::set<unsigned> capos;
  std::vector<Tuning> tunings;
  for (const std::vector<std::string>& words : sentences_in(rows)) {
    if (std::any_of(words.begin(), words.end(),
                    [](const std::string& word) { return rank_in(doubts, word).has_value(); }))
      continue;
    const SentenceReader sentence(words);
    for (std::size_t i = 0; i < words.size(); ++i) {
      if (const auto capo = sentence.capo_at(i)) capos.insert(*capo);
      if (const auto tuning = sentence.tuning_at(i)) tunings.push_back(*tuning);
    }
  }
  Prose prose;
  if (capos.size() == 1) prose.capo = static_cast<int>(*capos.begin());
  if (!tunings.empty() &&
      std::all_of(tunings.begin(), tunings.end(), [&](const Tuning& one) { return one == tunings.front(); }))
    prose.tuning = tunings.front();
  return prose;
}

}  // namespace fifthpeg::text_tab::reader
