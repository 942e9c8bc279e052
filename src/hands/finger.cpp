#include <algorithm>
#include <array>
#include <exception>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "hands/explain.hpp"
#include "hands/fit.hpp"
#include "hands/model.hpp"
#include "hands/octave.hpp"
#include "hands/search.hpp"
#include "hands/source_fingering.hpp"
#include "score/ties.hpp"

namespace fifthpeg {
namespace {

using hands::Event;

// Takes notes out that were let go, and the ties that led to and from them.
void dropped(Score& score, const std::vector<Event>& line, const std::vector<hands::Dropped>& notes) {
  for (std::size_t i = notes.size(); i-- > 0;) {  // from the back, so that indices stay true
    Stroke& stroke = stroke_at(score, line[notes[i].event]);
    stroke.notes.erase(stroke.notes.begin() + static_cast<std::ptrdiff_t>(notes[i].note));
  }
  drop_loose_ties(score);
}

// Writes what was decided for a stroke, and reports what could not be kept.
class Writer {
 public:
  Writer(Score& score, const hands::Model& model, bool picking_fingers_kept, Report& report)
      : score_(score),
        confinement_(model.confinement()),
        slurs_are_of_style_(model.costs().slur_off_beat_under > 0.0F),
        picking_fingers_kept_(picking_fingers_kept),
        report_(report) {}

  void write(const Event& at, const hands::Grip& grip, const hands::Picking& picking) {
    Stroke& stroke = stroke_at(score_, at);
    find_leads(stroke);
    bool placed_anew = false;
    for (std::size_t n = 0; n < stroke.notes.size(); ++n) {
      Note& note = stroke.notes[n];
      const Placement placement = grip.notes[n];
      placed_anew = placed_anew || note.placement != placement;
      note.placement = placement;
      if (placement.fret > 0 && (placement.fret < confinement_.low || placement.fret > confinement_.high)) {
        report_.add(EntryKind::decision, "outside-position",
                    "a note is played outside the part of the neck that was asked for",
                    hands::place_of(score_, at));
      }
      note.finger = grip.fingers[n];
      const std::int8_t picking_finger =
          picking.picking_fingers[static_cast<std::size_t>(placement.string - 1)];
      if (picking_fingers_kept_ && note.picking_finger && picking_finger == hands::no_picking_finger) {
        report_.add(
            EntryKind::loss, "picking-finger-not-picked",
            "a picking finger is left out where nothing is picked: at the end of a slide, a hammer-on, a "
            "pull-off or a tie",
            hands::place_of(score_, at));
      }
      note.picking_finger.reset();
      if (picking_finger != hands::no_picking_finger)
        note.picking_finger = static_cast<PickingFinger>(picking_finger);
      if (note.tied_from_previous) continue;
      write_technique(at, note, grip.techniques[n], leads_[n]);
    }
    if (grip.count > 3 && stroke.brush == Brush::none && all_one_picking_finger(stroke)) {
      stroke.brush = Brush::plain;
      report_.add(EntryKind::decision, "played-as-brush",
                  "a stroke of more than three notes is played as a brush", hands::place_of(score_, at));
    }
    if (placed_anew && stroke.brush != Brush::none && hands::across(picking.strings) != picking.strings) {
      report_.add(EntryKind::decision, "brush-damps-string",
                  "a brush goes over a string that has no note there: damp it with a finger that is free",
                  hands::place_of(score_, at));
    }
    before_ = &stroke;
  }

 private:
  static bool all_one_picking_finger(const Stroke& stroke) {
    std::optional<PickingFinger> picking_finger;
    for (const Note& note : stroke.notes) {
      if (!note.picking_finger || (picking_finger && *picking_finger != *note.picking_finger)) return false;
      picking_finger = note.picking_finger;
    }
    return picking_finger.has_value();
  }

  // Before the stroke is written, from where a technique leads into each of its notes over other strokes: the
  // last note on its string that leads on so, by the strings that the source gives.
  void find_leads(Stroke& stroke) {
    leads_.assign(stroke.notes.size(), nullptr);
    for (std::size_t n = 0; n < stroke.notes.size(); ++n) {
      const Note& note = stroke.notes[n];
      if (note.into == Technique::none || !note.placement) continue;
      Note* const lead = std::exchange(leading(note.into, *note.placement), nullptr);
      if (!is_before(lead) && (note.into != Technique::slur || !slurred_from_before())) leads_[n] = lead;
    }
    for (Note& note : stroke.notes)
      if (note.out_of != Technique::none && note.placement) leading(note.out_of, *note.placement) = &note;
  }

  Note*& leading(Technique technique, Placement placement) {
    return leading_.at(static_cast<std::size_t>(technique))
        .at(static_cast<std::size_t>(placement.string - 1));
  }

  // Whether it is a note of the stroke before.
  bool is_before(const Note* note) const {
    return before_ != nullptr && std::any_of(before_->notes.begin(), before_->notes.end(),
                                             [&](const Note& other) { return &other == note; });
  }

  // A slur of the source may come from another string.
  bool slurred_from_before() const {
    return before_ != nullptr &&
           std::any_of(before_->notes.begin(), before_->notes.end(),
                       [](const Note& other) { return other.out_of == Technique::slur; });
  }

  static void end_lead(Note* lead, Technique technique) {
    if (lead != nullptr && lead->out_of == technique) lead->out_of = Technique::none;
  }

  // Nothing on paper either: it would lead over a rest.
  void end_slur_over_rest(Note& note, Note* lead) {
    note.into = Technique::none;
    end_lead(lead, Technique::slur);
    for (Note& other : before_->notes) end_lead(&other, Technique::slur);
  }

  // The note from which the technique leads into a note on the same string.
  Note* source_of(const Note& note) const {
    if (before_ == nullptr) return nullptr;
    for (Note& other : before_->notes) {
      if (other.placement && other.placement->string == note.placement->string) return &other;
    }
    return nullptr;
  }

  void write_technique(const Event& at, Note& note, Technique technique, Note* lead) {
    if (technique == Technique::none) {
      if (note.into == Technique::none) return;
      report_.add(EntryKind::loss, "slur-not-played",
                  "a note that cannot be hammered on, pulled off or slid to from the one before it is picked",
                  hands::place_of(score_, at));
      if (note.into == Technique::slur) {
        if (before_ != nullptr && comes_after_rest(at, *before_)) end_slur_over_rest(note, lead);
        return;
      }
      if (lead != nullptr) {
        end_lead(lead, note.into);
        note.into = Technique::none;
        return;
      }
      // What cannot be played as it was named stays a slur on paper.
      if (before_ != nullptr) {
        for (Note& other : before_->notes) {
          if (other.out_of == note.into) other.out_of = Technique::slur;
        }
      }
      note.into = Technique::slur;
      return;
    }
    Note* const source = source_of(note);
    if (note.into == Technique::none) {
      const Place place = hands::place_of(score_, at);
      if (slurs_are_of_style_ && at.off_beat) {
        report_.add(EntryKind::decision, "slur-of-style",
                    "a hammer-on, pull-off or slide gives a note between two strokes of the nail, as the "
                    "style does",
                    place);
      } else {
        report_.add(EntryKind::decision, "slur-suggested",
                    "a hammer-on, pull-off or slide is proposed where a line is fast", place);
      }
    } else if (before_ != nullptr && source != nullptr && source->out_of == Technique::none) {
      // The source's slur came from a note on another string: it leads from here now.
      for (Note& other : before_->notes) {
        if (other.out_of != note.into) continue;
        other.out_of = Technique::none;
        break;
      }
    }
    end_lead(lead, note.into);
    note.into = technique;
    if (source != nullptr) source->out_of = technique;
  }

  Score& score_;
  const hands::Confinement& confinement_;
  bool slurs_are_of_style_;
  bool picking_fingers_kept_;
  Report& report_;
  Stroke* before_ = nullptr;
  std::vector<Note*> leads_;  // of the notes of a stroke
  std::array<std::array<Note*, string_count>, static_cast<std::size_t>(Technique::slur) + 1> leading_{};
};

struct Found {
  std::optional<Score> folded;  // the score, where notes of it are in another octave
  hands::Fit fit;
  hands::Path path;

  const Score& of(const Score& score) const { return folded ? *folded : score; }
};

// The piece moved as the options say, or by as few octaves as bring every note into range.
Found find_there(const Score& score, const std::vector<Event>& line, const HandsOptions& options,
                 const hands::Model& model, hands::Candidates& candidates) {
  Found found;
  found.fit = hands::fit(score, line, options, candidates);
  found.path = hands::cheapest_path(score, line, found.fit, model, candidates);
  if (!options.transpose && found.fit.half_steps != 0) {
    found.fit.report.add(EntryKind::decision, "moved-by-octaves",
                         hands::moved_by_octaves(found.fit.half_steps) + " to bring every note into range");
  }
  return found;
}

// Whether it is worth moving further for: a piece is not moved for a trifle.
bool is_worth_moving(const Found& further, const Found& nearer) {
  const std::size_t lost = further.fit.dropped.size();
  const std::size_t lost_nearer = nearer.fit.dropped.size();
  return lost != lost_nearer ? lost < lost_nearer : 5 * further.path.cost < 4 * nearer.path.cost;
}

// The octave in which the piece costs the hands least, the written one where no other is clearly easier.
Found find(const Score& score, const std::vector<Event>& line, const HandsOptions& options,
           const hands::Model& model, hands::Candidates& candidates) {
  const bool free =
      !options.transpose && options.easiest_octave && !hands::source_fingering(score).placements;
  if (!free) return find_there(score, line, options, model, candidates);
  const hands::Octaves octaves(score, line);
  const bool whole_neck = model.confinement() == hands::Confinement{};
  const auto worth = octaves.worth_a_search(options.fold, whole_neck);
  if (worth.empty()) return find_there(score, line, options, model, candidates);

  std::optional<Found> best;
  hands::Octave chosen;
  std::exception_ptr refusal;
  for (const hands::Octave& octave : worth) {
    if (best && best->fit.dropped.empty() && hands::Octaves::far_easier(chosen, octave)) break;
    HandsOptions there = options;
    there.transpose = octave.half_steps;
    std::optional<Score> folded;
    Report report;
    if (octave.outside > 0) {
      folded = score;
      hands::fold(*folded, octave.half_steps, report);
    }
    try {
      Found found = find_there(folded ? *folded : score, line, there, model, candidates);
      found.folded = std::move(folded);
      found.fit.report.merge(report);
      if (best && !is_worth_moving(found, *best)) continue;
      best = std::move(found);
      chosen = octave;
    } catch (const UnplayableError&) {
      if (!refusal) refusal = std::current_exception();
    }
  }
  if (!best) std::rethrow_exception(refusal);
  Report& report = best->fit.report;
  if (chosen.half_steps != 0) {
    report.add(EntryKind::decision, "moved-by-octaves",
               hands::moved_by_octaves(chosen.half_steps) + ", where it is easiest to play");
  }
  if (const hands::Octave* const easier = octaves.held_back(chosen)) {
    report.add(EntryKind::decision, "octave-held-back", hands::what_holds_back(score, line, chosen, *easier));
  }
  return std::move(*best);
}

}  // namespace

FingeringResult finger(Score& score, const HandsOptions& options) {
  const std::vector<Event> line = hands::line_of(score);
  Style style = options.style;
  if (style == Style::automatic) {
    hands::Cost smallest = std::numeric_limits<hands::Cost>::max();
    for (const Style candidate : {Style::roll, Style::melodic, Style::single_string, Style::clawhammer}) {
      const hands::Model model(score.banjo, options, candidate);
      hands::Candidates candidates = model.candidates();
      const hands::Cost cost = find(score, line, options, model, candidates).path.cost;
      if (cost < smallest) {
        smallest = cost;
        style = candidate;
      }
    }
  }
  const hands::Model model(score.banjo, options, style);
  hands::Candidates candidates = model.candidates();
  Found found = find(score, line, options, model, candidates);

  FingeringResult result;
  result.source = hands::source_fingering(score);
  result.half_steps = found.fit.half_steps;
  result.cost = found.path.cost;
  result.style = style;
  if (options.explain) {
    result.explanation = hands::explain(found.of(score), line, found.fit, model, candidates, found.path);
  }
  Report report = std::move(found.fit.report);
  if (options.style == Style::automatic && !line.empty()) {
    report.add(EntryKind::decision, "style-chosen",
               "of the four styles, " + std::string(slug(style)) + " costs the hands least");
  }

  const Score& source = found.of(score);
  // What a decision means is found again from the score as it was; what is written stands behind that.
  hands::RequestedStrokes strokes(source, line, found.fit);
  const auto write_into = [&](Score& target) {
    Writer writer(target, model, found.fit.kept.picking_finger, report);
    for (std::uint32_t i = 0; i < line.size(); ++i) {
      const auto stroke = candidates.of(strokes.at(i));
      const hands::Decision decision = found.path.decisions[i];
      writer.write(line[i], stroke->grips[decision.grip], stroke->pickings[decision.picking]);
    }
  };
  if (found.fit.half_steps != 0 || !found.fit.dropped.empty() || found.folded) {
    Score moved = source;
    if (found.fit.half_steps != 0) transpose(moved, found.fit.half_steps);
    dropped(moved, line, found.fit.dropped);
    write_into(moved);
    score = std::move(moved);
  } else {
    write_into(score);
  }
  hands::report_fingering(score, result.source, options, report);
  result.report = std::move(report);
  return result;
}

}  // namespace fifthpeg
