#include "formats/musicxml/reader/merge_tab_staff.hpp"

#include <algorithm>
#include <iterator>
#include <tuple>

namespace fifthpeg::musicxml::reader {
namespace {

constexpr int second_part_staves = most_staves / 2;  // where the staves of a tab part are put

// What makes two notes the same: place, rank among grace notes there, pitch.
struct CopyKey {
  Fraction onset;
  int rank = 0;  // of a grace stroke at its place, from the first; main notes come after all
  int midi = 0;
  std::size_t index = 0;  // of the note in its measure

  friend bool operator<(const CopyKey& a, const CopyKey& b) {
    return std::tie(a.onset, a.rank, a.midi) < std::tie(b.onset, b.rank, b.midi);
  }
};

constexpr int main_rank = 1 << 30;

// The keys of a measure's notes on the staves that `takes`, in order.
template <typename Takes>
void collect(const RawMeasure& measure, Takes takes, std::vector<CopyKey>& keys) {
  keys.clear();
  int rank = 0;
  Fraction grace_onset(-1);
  int grace_staff = 0;
  for (std::size_t i = 0; i < measure.notes.size(); ++i) {
    const RawNote& raw = measure.notes[i];
    if (raw.grace == Grace::none || raw.onset != grace_onset || raw.staff != grace_staff) rank = 0;
    if (raw.grace != Grace::none) {
      if (!raw.chord) ++rank;
      grace_onset = raw.onset;
      grace_staff = raw.staff;
    }
    if (raw.kind != RawNote::Kind::pitched || !takes(raw)) continue;
    keys.push_back({raw.onset, raw.grace == Grace::none ? main_rank : rank, raw.note.pitch.midi(), i});
  }
  if (!std::is_sorted(keys.begin(), keys.end())) std::stable_sort(keys.begin(), keys.end());
}

// Calls both(a, b) for each pair of equal keys.
template <typename Both>
void match(const std::vector<CopyKey>& a, const std::vector<CopyKey>& b, Both both) {
  auto left = a.begin();
  auto right = b.begin();
  while (left != a.end() && right != b.end()) {
    if (*left < *right) {
      ++left;
    } else if (*right < *left) {
      ++right;
    } else {
      both(*left++, *right++);
    }
  }
}

// Which staves hold tab, and which notation, among those that hold notes.
struct Roles {
  std::array<bool, most_staves + 1> tab{};
  bool both = false;
};

Roles roles_of(const RawPart& part) {
  Roles roles;
  bool any_tab = false;
  bool any_notation = false;
  for (std::size_t staff = 1; staff < part.staves.size(); ++staff) {
    const RawStaff& one = part.staves.at(staff);
    if (one.notes == 0) continue;
    roles.tab.at(staff) = one.tab;
    (one.tab ? any_tab : any_notation) = true;
  }
  roles.both = any_tab && any_notation;
  if (roles.both || !any_tab) return roles;
  // Two tab staves, or one: what has no strings is the notation, whatever its clef says.
  for (std::size_t staff = 1; staff < part.staves.size(); ++staff) {
    if (part.staves.at(staff).notes > 0 && part.staves.at(staff).placed == 0) {
      roles.tab.at(staff) = false;
      any_notation = true;
    }
  }
  roles.both = any_notation && std::any_of(part.staves.begin(), part.staves.end(),
                                           [](const RawStaff& staff) { return staff.placed > 0; });
  return roles;
}

template <typename T>
void take_if_missing(std::optional<T>& ours, const std::optional<T>& theirs) {
  if (!ours) ours = theirs;
}

bool is_slur(const Mark& mark) {
  return mark.kind == Mark::Kind::slur;
}

void take_over(RawNote& note, RawNote& copy, bool with_slurs, Diagnostics& diagnostics) {
  Note& ours = note.note;
  Note& theirs = copy.note;
  if (theirs.placement) {
    if (ours.placement && ours.placement != theirs.placement) {
      diagnostics.loss("musicxml-copy-strings", "notation and tab name different strings; the tab was used",
                       copy.line);
    }
    ours.placement = theirs.placement;
  }
  take_if_missing(ours.finger, theirs.finger);
  take_if_missing(ours.picking_finger, theirs.picking_finger);
  take_if_missing(ours.choke, theirs.choke);
  if (ours.into == Technique::none) ours.into = theirs.into;
  if (ours.out_of == Technique::none) ours.out_of = theirs.out_of;
  if (ours.ring == Ring::natural) ours.ring = theirs.ring;
  ours.harmonic = ours.harmonic || theirs.harmonic;
  ours.dead = ours.dead || theirs.dead;
  if (ours.role == Role::none) ours.role = theirs.role;
  if (theirs.role != Role::none && theirs.role != ours.role) {
    diagnostics.loss("musicxml-copy-role", "notation and tab name different roles; the notation's was kept",
                     copy.line);
  }
  if (note.brush == Brush::none) note.brush = copy.brush;
  add(note.articulations, copy.articulations);
  if (note.lyrics.empty()) note.lyrics = std::move(copy.lyrics);
  if (!with_slurs) return;
  std::erase_if(note.marks, is_slur);
  std::copy_if(copy.marks.begin(), copy.marks.end(), std::back_inserter(note.marks), is_slur);
}

// Directions of the tab staff that stand at the notation staff too.
void drop_copied_directions(RawMeasure& measure, const Roles& roles) {
  const auto on_tab = [&roles](const RawDirection& one) {
    return roles.tab.at(static_cast<std::size_t>(std::clamp(one.staff, 1, most_staves)));
  };
  const auto before = [](const Direction& a, const Direction& b) {
    return std::tie(a.at, a.kind, a.text) < std::tie(b.at, b.kind, b.text);
  };
  if (std::none_of(measure.directions.begin(), measure.directions.end(), on_tab)) return;
  std::vector<Direction> notation;
  for (const RawDirection& one : measure.directions) {
    if (!on_tab(one)) notation.push_back(one.direction);
  }
  std::sort(notation.begin(), notation.end(), before);
  std::erase_if(measure.directions, [&](const RawDirection& one) {
    return on_tab(one) && std::binary_search(notation.begin(), notation.end(), one.direction, before);
  });
}

}  // namespace

bool is_copy(const RawPart& part, const RawPart& other) {
  if (part.measures.size() != other.measures.size()) return false;
  std::uint64_t ours = 0;
  std::uint64_t theirs = 0;
  std::uint64_t same = 0;
  std::vector<CopyKey> left;
  std::vector<CopyKey> right;
  const auto all = [](const RawNote&) { return true; };
  const auto fold = [](std::vector<CopyKey>& keys) {
    for (CopyKey& key : keys) key.midi %= 12;
    std::stable_sort(keys.begin(), keys.end());
  };
  for (std::size_t i = 0; i < part.measures.size(); ++i) {
    collect(part.measures[i], all, left);
    collect(other.measures[i], all, right);
    fold(left);
    fold(right);
    ours += left.size();
    theirs += right.size();
    match(left, right, [&same](const CopyKey&, const CopyKey&) { ++same; });
  }
  return same > 0 && same * 10 >= ours * 9 && same * 10 >= theirs * 9;
}

void add_as_staves(RawPart& part, RawPart&& other) {
  const auto moved_staff = [](std::size_t staff) {
    return std::min<std::size_t>(staff + second_part_staves, most_staves);
  };
  for (std::size_t staff = 1; staff <= second_part_staves; ++staff) {
    part.staves.at(moved_staff(staff)) = other.staves.at(staff);
  }
  for (std::size_t i = 0; i < part.measures.size() && i < other.measures.size(); ++i) {
    for (RawNote& raw : other.measures[i].notes) {
      raw.staff = static_cast<std::uint8_t>(moved_staff(raw.staff));
      raw.voice = static_cast<std::uint16_t>(std::min<std::size_t>(raw.voice + part.voices, 65000));
      part.measures[i].notes.push_back(std::move(raw));
    }
  }
  part.voices += other.voices;
  if (!part.capo) part.capo = other.capo;
}

void join_copies(RawPart& part, Diagnostics& diagnostics) {
  const Roles roles = roles_of(part);
  if (!roles.both) return;
  const auto on_tab = [&roles](const RawNote& raw) { return roles.tab.at(raw.staff); };
  const auto on_notation = [&roles](const RawNote& raw) { return !roles.tab.at(raw.staff); };

  std::uint64_t tab_notes = 0;
  std::uint64_t same = 0;
  bool notation_slurs = false;
  std::vector<CopyKey> notation;
  std::vector<CopyKey> tab;
  for (const RawMeasure& measure : part.measures) {
    collect(measure, on_notation, notation);
    collect(measure, on_tab, tab);
    tab_notes += tab.size();
    match(notation, tab, [&same](const CopyKey&, const CopyKey&) { ++same; });
    for (const RawNote& raw : measure.notes)
      notation_slurs = notation_slurs || (!on_tab(raw) && raw.has_marks(Mark::Kind::slur));
  }
  if (same * 2 < tab_notes || same == 0) return;  // two staves of different music

  std::vector<bool> out;
  for (RawMeasure& measure : part.measures) {
    diagnostics.enter_measure(&measure.measure);
    collect(measure, on_notation, notation);
    collect(measure, on_tab, tab);
    out.assign(measure.notes.size(), false);
    match(notation, tab, [&](const CopyKey& ours, const CopyKey& theirs) {
      RawNote& copy = measure.notes[theirs.index];
      diagnostics.move_to(copy.onset);
      take_over(measure.notes[ours.index], copy, !notation_slurs, diagnostics);
      out[theirs.index] = true;
    });
    // Notes on the tab alone stay, each by itself; its rests are rests of the notation.
    std::size_t kept = 0;
    for (std::size_t i = 0; i < measure.notes.size(); ++i) {
      RawNote& raw = measure.notes[i];
      if (out[i] || (on_tab(raw) && raw.kind == RawNote::Kind::rest)) continue;
      if (on_tab(raw)) {
        diagnostics.move_to(raw.onset);
        diagnostics.repair("musicxml-copy-differs", "a note stands on the tab staff alone; it was taken too",
                           raw.line);
        raw.chord = false;
        std::erase_if(raw.marks, [](const Mark& mark) { return mark.kind == Mark::Kind::tuplet; });
      }
      if (kept != i) measure.notes[kept] = std::move(raw);
      ++kept;
    }
    measure.notes.resize(kept);
    drop_copied_directions(measure, roles);
  }
  diagnostics.enter_measure(nullptr);
}

}  // namespace fifthpeg::musicxml::reader
