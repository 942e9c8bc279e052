// keep_only: one line taken out of music that was made of it.
#include <algorithm>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg {
namespace {

class RoleFilter {
 public:
  RoleFilter(Score& score, const std::vector<Role>& roles) : score_(score), roles_(roles) {}

  void run() {
    for (Measure& measure : score_.measures) {
      for (Stroke& stroke : measure.strokes) end_links(stroke);
    }
    const bool fills_gaps = roles_ == std::vector<Role>{Role::melody};
    for (Measure& measure : score_.measures) {
      if (fills_gaps) break_at_rests(measure.strokes);
      for (Stroke& stroke : measure.strokes) keep(stroke);
      std::erase_if(measure.strokes,
                    [](const Stroke& stroke) { return stroke.is_rest() && stroke.grace != Grace::none; });
      if (fills_gaps) hold_over_gaps(measure.strokes);
      dissolve_silent_tuplets(measure.strokes);
    }
    normalize(score_);
  }

 private:
  bool is_kept(const Note& note) const {
    return std::find(roles_.begin(), roles_.end(), note.role) != roles_.end();
  }

  // A technique that joins a note that stays to one that goes ends: what was reached by it is struck now.
  void end_links(Stroke& stroke) {
    for (Note& note : stroke.notes) {
      if (note.into == Technique::none) continue;
      Note* const from = take_start(note);
      if (from == nullptr || is_kept(*from) == is_kept(note)) continue;
      from->out_of = Technique::none;
      note.into = Technique::none;
    }
    for (Note& note : stroke.notes) {
      if (note.out_of != Technique::none) open_.push_back(&note);
    }
    // What is not reached soon leads nowhere.
    constexpr std::size_t most_open = 16;
    if (open_.size() > most_open) open_.erase(open_.begin(), open_.end() - most_open);
  }

  // The note that leads to this one: of those with its technique the one on its string, or else the earliest.
  Note* take_start(const Note& note) {
    const auto leads_here = [&note](const Note* from) { return from->out_of == note.into; };
    const auto string = [](const Note& one) { return one.placement ? one.placement->string : 0; };
    auto found = std::find_if(open_.begin(), open_.end(), [&](const Note* from) {
      return leads_here(from) && string(*from) == string(note);
    });
    if (found == open_.end()) found = std::find_if(open_.begin(), open_.end(), leads_here);
    if (found == open_.end()) return nullptr;
    Note* const from = *found;
    open_.erase(found);
    return from;
  }

  void keep(Stroke& stroke) const {
    const std::size_t before = stroke.notes.size();
    std::erase_if(stroke.notes, [this](const Note& note) { return !is_kept(note); });
    if (stroke.notes.size() == before) return;
    if (stroke.notes.size() < 2) stroke.brush = Brush::none;
    if (!stroke.is_rest()) return;
    // The words are sung to the notes, and how they are struck is theirs, too.
    stroke.lyrics.clear();
    stroke.articulations = {};
    stroke.unparted = false;
  }

  // Where the score itself rests nothing is held: notes its rests, since those that come about look alike.
  void break_at_rests(const std::vector<Stroke>& strokes) {
    rests_.clear();
    for (const Stroke& stroke : strokes) {
      if (stroke.is_rest()) rests_.push_back(stroke.onset);
    }
  }

  bool is_own_rest(const Stroke& stroke) const {
    return std::find(rests_.begin(), rests_.end(), stroke.onset) != rests_.end();
  }

  static bool may_be_held(const Stroke& stroke) {
    return !stroke.articulations.staccato &&
           std::none_of(stroke.notes.begin(), stroke.notes.end(), [](const Note& note) {
             return note.dead || note.ring == Ring::damp || note.tied_to_next;
           });
  }

  // The notes of the tune last until the next of them, as far as something else filled their time.
  void hold_over_gaps(std::vector<Stroke>& strokes) const {
    std::vector<Stroke> held;
    held.reserve(strokes.size());
    for (std::size_t first = 0; first < strokes.size();) {
      const std::size_t end = end_of_group(strokes, first);
      const bool is_gap =
          std::all_of(strokes.begin() + static_cast<std::ptrdiff_t>(first),
                      strokes.begin() + static_cast<std::ptrdiff_t>(end),
                      [this](const Stroke& one) { return one.is_rest() && !is_own_rest(one); });
      Stroke* const before = held.empty() || !held.back().tuplets.empty() ? nullptr : &held.back();
      if (is_gap && before != nullptr && !before->is_rest() && before->grace == Grace::none &&
          may_be_held(*before)) {
        for (std::size_t i = first; i < end; ++i) before->duration += strokes[i].duration;
        before->unparted = false;
      } else {
        held.insert(held.end(), strokes.begin() + static_cast<std::ptrdiff_t>(first),
                    strokes.begin() + static_cast<std::ptrdiff_t>(end));
      }
      first = end;
    }
    strokes = std::move(held);
  }

  // Behind the tuplet that begins with a stroke, or behind the stroke: a tuplet is a gap as a whole.
  static std::size_t end_of_group(const std::vector<Stroke>& strokes, std::size_t first) {
    std::size_t last = first;
    if (!strokes[first].tuplets.empty()) {
      const auto stops = [](const Stroke& one) { return !one.tuplets.empty() && one.tuplets.front().stops; };
      while (last + 1 < strokes.size() && !stops(strokes[last])) ++last;  // grace notes are of none
    }
    return last + 1;
  }

  // Rests that fill a whole tuplet are a rest of its time.
  static void dissolve_silent_tuplets(std::vector<Stroke>& strokes) {
    std::size_t levels = 0;
    for (const Stroke& stroke : strokes) levels = std::max(levels, stroke.tuplets.size());
    for (std::size_t level = 0; level < levels; ++level) {
      std::size_t first = strokes.size();  // of the group that is open; none
      for (std::size_t i = 0; i < strokes.size(); ++i) {
        if (strokes[i].tuplets.size() <= level) continue;
        if (strokes[i].tuplets[level].starts) first = i;
        if (!strokes[i].tuplets[level].stops || first > i) continue;
        const auto begin = strokes.begin() + static_cast<std::ptrdiff_t>(first);
        const auto end = strokes.begin() + static_cast<std::ptrdiff_t>(i) + 1;
        const bool silent = std::all_of(begin, end, [](const Stroke& stroke) { return stroke.is_rest(); });
        for (auto one = begin; silent && one != end; ++one) one->tuplets.resize(level);
        first = strokes.size();
      }
    }
  }

  Score& score_;
  const std::vector<Role>& roles_;
  std::vector<Note*> open_;      // notes that lead to others which have not come
  std::vector<Fraction> rests_;  // where those of the measure begin that the score has itself
};

// "melody, fill and drone".
std::string roles_in(const Score& score) {
  std::vector<std::string> names;
  for (const Role role : {Role::melody, Role::fill, Role::drone, Role::lick, Role::kick_off, Role::backup}) {
    if (has_role(score, role)) names.emplace_back(to_string(role));
  }
  std::string text;
  for (const std::string& name : names) {
    if (!text.empty()) text += &name == &names.back() ? " and " : ", ";
    text += name;
  }
  return text;
}

}  // namespace

void keep_only(Score& score, const std::vector<Role>& roles) {
  if (!has_roles(score)) throw UsageError("no-roles", "the score does not say what its notes are for");
  const bool any = std::any_of(roles.begin(), roles.end(),
                               [&score](Role role) { return role != Role::none && has_role(score, role); });
  if (!any) {
    throw UsageError("no-such-role", "no note of the score is of that kind: they are " + roles_in(score));
  }
  RoleFilter(score, roles).run();
}

}  // namespace fifthpeg
