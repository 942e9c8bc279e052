#include "formats/sheet/layout/links.hpp"

#include <algorithm>
#include <array>

namespace fifthpeg::sheet {
namespace {

std::optional<Link::Kind> link_kind(Technique technique) {
  switch (technique) {
    case Technique::hammer_on:
      return Link::Kind::hammer_on;
    case Technique::pull_off:
      return Link::Kind::pull_off;
    case Technique::slide:
      return Link::Kind::slide;
    case Technique::slur:
      return Link::Kind::slur;
    case Technique::none:
      break;
  }
  return std::nullopt;
}

// Takes out the note that leads to this one: of those with its technique the one on its string, or else the
// earliest.
std::optional<LinkEnd> take_start(std::vector<LinkEnd>& open, const Note& note, std::size_t column) {
  const auto leads_here = [&](const LinkEnd& end) {
    return end.note->out_of == note.into && end.column != column;
  };
  auto found = std::find_if(open.begin(), open.end(), [&](const LinkEnd& end) {
    return leads_here(end) && end.note->placement->string == note.placement->string;
  });
  if (found == open.end()) found = std::find_if(open.begin(), open.end(), leads_here);
  if (found == open.end()) return std::nullopt;
  const LinkEnd start = *found;
  open.erase(found);
  return start;
}

}  // namespace

Links::Links(const std::vector<MeasureColumns>& measures) {
  std::array<std::optional<LinkEnd>, string_count> last{};  // note of each string
  std::vector<LinkEnd> open;                                // notes that lead to others which have not come
  std::size_t index = 0;
  for (const MeasureColumns& measure : measures) {
    for (const Column& column : measure.columns) {
      const std::size_t here = index++;
      if (column.stroke == nullptr) continue;
      const engraving::Piece& piece = measure.engraving.pieces[*column.piece];
      for (const Note& note : column.stroke->notes) {
        if (!note.placement) continue;
        auto& before = last.at(static_cast<std::size_t>(note.placement->string - 1));
        const LinkEnd end{here, &note};
        if (!piece.first || note.tied_from_previous) {
          if (before) links_.push_back({Link::Kind::tie, before, end});
        } else if (const auto kind = link_kind(note.into)) {
          const auto from = take_start(open, note, here);
          links_.push_back({*kind, from ? from : before, end});
        }
        before = end;
      }
      if (!piece.last) continue;
      for (const Note& note : column.stroke->notes) {
        if (note.placement && link_kind(note.out_of)) open.push_back({here, &note});
      }
      // What is not reached soon leads nowhere.
      constexpr std::size_t most_open = 16;
      while (open.size() > most_open) {
        links_.push_back({*link_kind(open.front().note->out_of), open.front(), std::nullopt});
        open.erase(open.begin());
      }
    }
  }
  for (const LinkEnd& end : open) links_.push_back({*link_kind(end.note->out_of), end, std::nullopt});
  for (std::size_t i = 0; i < links_.size(); ++i) {
    if (links_[i].from) ends_.emplace_back(links_[i].from->column, i);
    if (links_[i].to) ends_.emplace_back(links_[i].to->column, i);
  }
  std::sort(ends_.begin(), ends_.end());
}

std::vector<const Link*> Links::between(std::size_t first, std::size_t last) const {
  std::vector<std::size_t> found;
  const auto begin = std::lower_bound(ends_.begin(), ends_.end(), std::pair(first, std::size_t{0}));
  for (auto end = begin; end != ends_.end() && end->first <= last; ++end) found.push_back(end->second);
  std::sort(found.begin(), found.end());
  found.erase(std::unique(found.begin(), found.end()), found.end());
  std::vector<const Link*> links;
  links.reserve(found.size());
  for (const std::size_t index : found) links.push_back(&links_[index]);
  return links;
}

}  // namespace fifthpeg::sheet
