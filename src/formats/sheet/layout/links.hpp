// What leads from one note to another, mostly on the same string: ties, slurs, hammer-ons, pull-offs, slides.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "fifthpeg/score.hpp"
#include "formats/sheet/layout/columns.hpp"

namespace fifthpeg::sheet {

struct LinkEnd {
  std::size_t column = 0;  // counted over the whole piece
  const Note* note = nullptr;
};

struct Link {
  enum class Kind : std::uint8_t { tie, slur, hammer_on, pull_off, slide } kind = Kind::tie;
  // Nothing at either end: it comes from nowhere, or leads nowhere.
  std::optional<LinkEnd> from;
  std::optional<LinkEnd> to;
};

class Links {
 public:
  Links() = default;
  explicit Links(const std::vector<MeasureColumns>& measures);

  // Those with an end in columns `first` to `last`, in order of where they end.
  std::vector<const Link*> between(std::size_t first, std::size_t last) const;

 private:
  std::vector<Link> links_;
  std::vector<std::pair<std::size_t, std::size_t>> ends_;  // column and index in links_, in order
};

}  // namespace fifthpeg::sheet
