// Where in a tune a lick can go: the rules are those of src/arrange/lick_room.hpp, the ranking is here.
#include <algorithm>
#include <cstdlib>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "arrange/licks.hpp"
#include "base/text.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/licks.hpp"
#include "hands/source_fingering.hpp"
#include "licks/place_weights.hpp"
#include "licks/place_words.hpp"
#include "licks/placing.hpp"
#include "licks/read_lick.hpp"
#include "licks/seams.hpp"
#include "licks/staged_tune.hpp"

namespace fifthpeg {
namespace {

using arranging::LickAsks;
using arranging::LickRoom;
using arranging::LickStage;
using arranging::Objection;
using arranging::Unit;
using namespace licks::place_weights;
using licks::beats_in_words;
using licks::chord_name;
using licks::tone_name;

constexpr Fraction eighths(1, 8);

bool has_way(const std::vector<Objection>& hard, const LickRoom& room) {
  return std::none_of(hard.begin(), hard.end(), [&](Objection one) { return room.has(one); });
}

// ---- one place -----------------------------------------------------------------------------------

// A place of the tune with what speaks for it and against it; the hands not yet asked.
struct Asked {
  std::size_t measure = 0;
  Fraction at;
  std::size_t unit = 0;  // in which it begins
  int frets = 0;         // that the lick moves by
  LickAsks asks;         // from the start of that unit, moved
  LickRoom room;
};

class Placer {
 public:
  Placer(const Score& tune, const Score& lick, const FitOptions& options)
      : options_(licks::as_played(tune, options)),
        tune_(licks::staged(tune, options_)),
        lick_(licks::read_lick(lick, options_.style)),
        is_picked_(licks::is_picked(lick)),
        stage_(tune_.ground, tune_.units, tune.banjo, Fraction(), LickStage::Takes::its_time) {}

  bool strings_agree() const { return arranging::lie_alike(tune_.score.banjo, lick_.score.banjo); }

  // A frailing hand does not roll, nor the other way round: what the tune's hand would have to do, or
  // nothing.
  std::string other_manner() const {
    const bool frails = options_.style == Style::clawhammer;
    if (frails && is_picked_) return "it is picked with thumb, index and middle, and the tune is frailed";
    if (!frails && hands::given_by(lick_.score).nail) return "it is frailed, and the tune is not";
    return "";
  }

  // Where the lick's beats are the tune's.
  std::vector<Asked> all() const {
    std::vector<Asked> places;
    places.reserve(tune_.units.size());
    for (const Unit& unit : tune_.units) {
      const Measure& measure = tune_.ground.measures[unit.measure];
      const Fraction at = unit.at + lick_.asks.lead;
      if (!begins_unit(measure, counted_before(measure) + unit.at) || at >= measure.length) continue;
      places.push_back(asked(unit.measure, at));
    }
    return places;
  }

  Asked asked(std::size_t measure, Fraction at) const {
    Asked place;
    place.measure = measure;
    place.at = at;
    place.unit = licks::unit_at(tune_, measure, at);
    place.asks = lick_.asks;
    const Fraction later = at - tune_.units[place.unit].at - place.asks.lead;
    place.asks.lead += later;
    place.asks.length += later;
    for (arranging::LickChord& chord : place.asks.chords) chord.at += later;
    place.frets = frets_at(place);
    if (place.frets != 0) place.asks = arranging::moved(std::move(place.asks), place.frets);
    place.room = stage_.room_for(place.asks, place.unit);
    return place;
  }

  // What no place may have; the melody may give way at the end of a phrase.
  std::vector<Objection> hard() const {
    std::vector<Objection> all{Objection::tune_ends, Objection::parted, Objection::pickup, Objection::meter,
                               Objection::no_chord,  Objection::chord,  Objection::landing};
    if (lick_.leads_on) all.push_back(Objection::next_chord);
    if (is_kick_off()) all.push_back(Objection::no_phrase_end);
    return all;
  }
  bool is_free(const Asked& place) const {
    return has_way(hard(), place.room) && !hinders_melody(place) &&
           (options_.in_one_ending || !is_in_ending(place));
  }

  // With which the tune would have room for its shapes, if there is one.
  std::optional<int> capo_that_fits() const {
    if (!strings_agree() || !other_manner().empty()) return std::nullopt;
    constexpr int highest_capo = 7;
    constexpr int lowest_string = 4;
    const int lowest = lowest_note();
    const std::vector<Asked> here = all();
    const bool has_chords = std::any_of(here.begin(), here.end(), [](const Asked& place) {
      return has_way({Objection::meter, Objection::tune_ends, Objection::pickup, Objection::parted,
                      Objection::no_chord, Objection::chord},
                     place.room);
    });
    if (has_chords) return std::nullopt;
    for (int capo = 0; capo <= highest_capo; ++capo) {
      Banjo banjo = tune_.score.banjo;
      if (capo == banjo.capo) continue;
      banjo.capo = capo;
      banjo.fifth_capo = usual_fifth_capo(capo);
      if (!arranging::lie_alike(banjo, lick_.score.banjo) || lowest < banjo.open_midi(lowest_string))
        continue;
      const LickStage stage(tune_.ground, tune_.units, banjo, Fraction(), LickStage::Takes::its_time);
      const bool fits = std::any_of(here.begin(), here.end(), [&](const Asked& place) {
        const LickRoom room = stage.room_for(lick_.asks, place.unit);
        return !begins_otherwise(place) && has_way(hard(), room) && !room.has(Objection::melody) &&
               (options_.in_one_ending || !is_in_ending(place));
      });
      if (fits) return capo;
    }
    return std::nullopt;
  }

  LickPlace bare(const Asked& place) const {
    LickPlace found;
    found.measure = place.measure;
    found.at = place.at;
    found.half_steps = licks::half_steps_for(tune_.score.banjo, lick_.score.banjo, place.frets);
    return found;
  }

  // Nothing where the hands cannot.
  std::optional<LickPlace> judged(const Asked& place) const {
    LickPlace found = bare(place);
    try {
      const licks::Seams seams = seams_at(place, found.half_steps);
      judge_music(place, found);
      judge_hands(seams, found);
    } catch (const UnplayableError&) {
      return std::nullopt;
    }
    return found;
  }

  // Of a place that somebody asks for, what speaks against it.
  std::vector<std::string> against(const Asked& place) const {
    std::vector<std::string> said;
    const Key& key = tune_.ground.measures[place.measure].key;
    const auto unit = [&](Objection one) -> const Unit* {
      const auto& found = place.room.against.at(static_cast<std::size_t>(one));
      return found ? &tune_.units[*found] : nullptr;
    };
    const auto number = [&](const Unit& one) { return tune_.ground.measures[one.measure].number; };
    if (const Unit* one = unit(Objection::meter)) {
      said.push_back("measure " + number(*one) + " is in " +
                     to_string(tune_.ground.measures[one->measure].meter) + ", and the lick in " +
                     to_string(lick_.score.measures.front().meter));
    }
    if (const Unit* one = unit(Objection::no_chord))
      said.push_back("measure " + number(*one) + " has no chord");
    if (const Unit* one = unit(Objection::chord)) {
      const Fraction from = time_to(place, *one);
      said.push_back(
          "measure " + number(*one) + " has " + to_string(one->harmony.symbol) + ", and the lick is over " +
          chord_name(place.asks.chord_at(std::max(from, place.asks.lead)), tune_.score.banjo, key));
    }
    if (!other_manner().empty()) said.push_back(other_manner());
    if (hinders_melody(place)) said.emplace_back("the melody moves there");
    if (unit(Objection::pickup) != nullptr) said.emplace_back("it is in the pickup");
    if (unit(Objection::no_phrase_end) != nullptr && (is_kick_off() || hinders_melody(place)))
      said.emplace_back("no phrase ends there");
    if (const Unit* one = unit(Objection::next_chord); one != nullptr && lick_.leads_on) {
      said.push_back(
          "it leads to " + chord_name(place.asks.to, tune_.score.banjo, key) +
          ", and the tune goes on with " +
          chord_name(arranging::shape_of(one->next_chord, tune_.score.banjo), tune_.score.banjo, key));
    }
    if (unit(Objection::landing) != nullptr) {
      said.push_back("it lands on " + tone_name(tune_.score.banjo.open_midi(1) + *place.asks.landing, key) +
                     ", and the tune does not go on with that note");
    }
    return said;
  }

  // The first rule that leaves no place.
  std::string why_nowhere() const {
    if (!strings_agree()) {
      return "it is for " + to_string(lick_.score.banjo.tuning) + ", and the tune is in " +
             to_string(tune_.score.banjo.tuning);
    }
    if (!other_manner().empty()) return other_manner();
    std::vector<Asked> left = all();
    const auto none_without = [&left](std::initializer_list<Objection> some) {
      std::erase_if(left, [&](const Asked& place) {
        return std::any_of(some.begin(), some.end(), [&](Objection one) { return place.room.has(one); });
      });
      return left.empty();
    };
    if (none_without({Objection::meter})) {
      return "it is in " + to_string(lick_.score.measures.front().meter) + ", and the tune in " +
             to_string(tune_.ground.measures.front().meter);
    }
    if (none_without({Objection::tune_ends, Objection::pickup})) return "it is longer than the tune";
    if (none_without({Objection::parted}))
      return "repeats and endings part the tune too often for its length";
    if (none_without({Objection::no_chord, Objection::chord})) return "nowhere has the tune its chords";
    if (lick_.leads_on && none_without({Objection::next_chord}))
      return "where the tune has its chords, it goes on with another than the lick leads to";
    std::erase_if(left, [&](const Asked& place) { return hinders_melody(place); });
    if (left.empty()) return "the melody moves wherever the tune has its chords";
    if (is_kick_off() && none_without({Objection::no_phrase_end}))
      return "it leads into a phrase, and where the tune has its chords none begins after it";
    if (none_without({Objection::landing}))
      return "where it has room, the tune does not go on with the note that it lands on";
    std::erase_if(left, [&](const Asked& place) { return !options_.in_one_ending && is_in_ending(place); });
    if (left.empty()) return "it has room in one of several endings alone";
    return "where it has room, no hand gets in and out";
  }

  // Where in the tune it begins if its first whole measure is this one.
  std::pair<std::size_t, Fraction> beginning_in(std::size_t measure) const {
    if (lick_.time.pickup == 0) return {measure, written_from()};
    Fraction left = lick_.time.pickup;
    while (measure > 0) {
      const Fraction length = tune_.ground.measures[--measure].length;
      if (left <= length) return {measure, length - left};
      left -= length;
    }
    const Measure& first = tune_.ground.measures.front();
    throw UnplayableError(
        "no-room-for-pickup",
        "the lick begins " + beats_in_words(lick_.time.pickup, first.meter) +
            " before the barline, and the tune has no pickup as long; name a later measure, or "
            "give the tune a pickup measure of " +
            beats_in_words(lick_.time.pickup, first.meter) + " of rest",
        {{}, first.number, {}, 0, -1, 0});
  }

 private:
  Fraction written_from() const { return lick_.time.start; }

  int lowest_note() const {
    int lowest = std::numeric_limits<int>::max();
    for (const Measure& measure : tune_.score.measures) {
      for (const Stroke& stroke : measure.strokes) {
        for (const Note& note : stroke.notes) lowest = std::min(lowest, note.pitch.midi());
      }
    }
    return lowest;
  }

  // Before a barline, and into the measure after it: where a phrase begins.
  bool is_kick_off() const {
    const Measure& first = lick_.score.measures.front();
    return lick_.time.lands && lick_.time.start > 0 && lick_.time.end <= counted_before(first) + first.length;
  }
  bool hinders_melody(const Asked& place) const {
    return place.room.has(Objection::melody) && !closes_phrase(place);
  }

  bool begins_unit(const Measure& measure, Fraction place) const {
    Fraction start;
    while (start <= place) {
      for (const int span : arranging::spans_of(measure.meter, eighths)) {
        if (start == place) return true;
        start += eighths * Fraction(span);
      }
    }
    return false;
  }

  // By how much it has to move to stand over the tune's first chord, if it can; with the fewest frets.
  int frets_at(const Asked& place) const {
    if (!lick_.can_move) return 0;
    const Unit& unit = tune_.units[place.unit];
    const int wanted = unit.harmony.known ? arranging::shape_of(unit.harmony.hands, tune_.score.banjo) : -1;
    const int own = place.asks.chord_at(place.asks.lead);
    if (wanted < 0 || own < 0 || (wanted >= 12) != (own >= 12)) return 0;
    constexpr int octave = 12;
    const int up = pitch_class(wanted - own);
    if (up == 0) return 0;
    const int nearest = up <= octave / 2 ? up : up - octave;
    for (const int frets : {nearest, nearest > 0 ? nearest - octave : nearest + octave}) {
      if (has_frets(frets) && drone_agrees(place, frets)) return frets;
    }
    return 0;
  }
  bool has_frets(int frets) const {
    const auto all_lie = [&](const Stroke& stroke) {
      return std::all_of(stroke.notes.begin(), stroke.notes.end(), [&](const Note& note) {
        if (note.placement->fret == 0) return true;
        Placement to = *note.placement;
        to.fret = static_cast<std::int8_t>(to.fret + frets);
        return to.fret > 0 && tune_.score.banjo.midi_at(to).has_value();
      });
    };
    return std::all_of(lick_.time.strokes.begin(), lick_.time.strokes.end(), all_lie);
  }
  // The open fifth string does not move: the new chord has to have it, too.
  bool drone_agrees(const Asked& place, int frets) const {
    const bool drones =
        std::any_of(lick_.time.strokes.begin(), lick_.time.strokes.end(), [](const Stroke& stroke) {
          return std::any_of(stroke.notes.begin(), stroke.notes.end(),
                             [](const Note& note) { return note.placement->fret == 0; });
        });
    return frets == 0 || !drones ||
           tune_.units[place.unit].harmony.tones.has(tune_.score.banjo.open_midi(fifth_string));
  }

  bool is_in_ending(const Asked& place) const {
    return tune_.ground.measures[place.measure].ending.has_value();
  }

  bool begins_otherwise(const Asked& place) const {
    const Measure& measure = tune_.ground.measures[place.measure];
    const Fraction length = lick_.score.measures.front().meter.length();
    const auto in_measure = [&](Fraction at) { return at - length * Fraction((at / length).floor()); };
    return in_measure(counted_before(measure) + place.at) != in_measure(written_from());
  }

  // A lick of eighths in a tune of sixteenths.
  bool is_slow(const Asked& place) const {
    return tune_.units[place.unit].slot < eighths &&
           std::all_of(lick_.time.strokes.begin(), lick_.time.strokes.end(), [&](const Stroke& stroke) {
             return ((lick_.time.start + stroke.onset) / eighths).is_whole();
           });
  }

  // From the start of the unit in which a lick begins to another's.
  Fraction time_to(const Asked& place, const Unit& to) const {
    Fraction time;
    for (std::size_t u = place.unit; &tune_.units[u] != &to && u + 1 < tune_.units.size(); ++u)
      time += tune_.units[u].slot * Fraction(tune_.units[u].slots);
    return time;
  }

  Fraction time_of(const Asked& place) const {
    Fraction now = place.at;
    for (std::size_t m = 0; m < place.measure; ++m) now += tune_.ground.measures[m].length;
    return now;
  }
  static bool has_pitch_class(const Stroke& stroke, int midi) {
    return std::any_of(stroke.notes.begin(), stroke.notes.end(), [midi](const Note& note) {
      return pitch_class(note.pitch.midi()) == pitch_class(midi);
    });
  }
  // Whether the lick plays a pitch class of the tune at a time from its start.
  bool sounds(Fraction at, int midi, int half_steps) const {
    return std::any_of(lick_.time.strokes.begin(), lick_.time.strokes.end(), [&](const Stroke& stroke) {
      return stroke.onset == at && stroke.grace == Grace::none && has_pitch_class(stroke, midi - half_steps);
    });
  }

  // Whether it stands in place of the end of one phrase, in its last measure, on the beats that it is written
  // for, and ends as that does. The measure in which a phrase begins is its own, but for one that is twice as
  // long as the lick.
  bool closes_phrase(const Asked& place) const {
    if (begins_otherwise(place) || is_kick_off()) return false;
    return closes_one_of(place, tune_.melody, tune_.ends_phrase) ||
           closes_one_of(place, tune_.held_melody, tune_.held_ends_phrase);
  }
  bool closes_one_of(const Asked& place, const std::vector<arranging::Tone>& melody,
                     const std::vector<bool>& ends_phrase) const {
    const Fraction start = time_of(place);
    const Fraction end = start + lick_.time.end - lick_.time.start;
    auto i = static_cast<std::size_t>(
        std::partition_point(melody.begin(), melody.end(),
                             [&](const arranging::Tone& tone) { return tone.at < start; }) -
        melody.begin());
    while (i < melody.size() && !ends_phrase[i]) ++i;
    if (i == melody.size() || melody[i].at > end) return false;
    const arranging::Tone& last = melody[i];
    if (last.at - start > tune_.ground.measures[place.measure].meter.length()) return false;
    if (last.at < end && last.measure != place.measure) return false;
    std::size_t first = i;
    while (first > 0 && !ends_phrase[first - 1]) --first;
    if (melody[first].at >= start) return false;
    if (melody[first].measure == place.measure && last.at - melody[first].at < (end - start) * 2)
      return false;
    if (last.at == end) return place.asks.landing.has_value();  // and lands on it
    if (i + 1 < melody.size() && melody[i + 1].at < end) return false;
    const int half_steps = bare(place).half_steps;
    return sounds(last.at - start, last.midi, half_steps) ||
           has_pitch_class(lick_.time.strokes.back(), last.midi - half_steps);
  }

  std::size_t replaced_by(const Asked& place) const {
    const Fraction start = time_of(place);
    const Fraction end = start + lick_.time.end - lick_.time.start;
    const int half_steps = bare(place).half_steps;
    return static_cast<std::size_t>(
        std::count_if(tune_.held_melody.begin(), tune_.held_melody.end(), [&](const arranging::Tone& tone) {
          if (tone.at < start || tone.at >= end) return false;
          return std::none_of(
              lick_.time.strokes.begin(), lick_.time.strokes.end(), [&](const Stroke& stroke) {
                return stroke.onset == tone.at - start && stroke.grace == Grace::none &&
                       std::any_of(stroke.notes.begin(), stroke.notes.end(), [&](const Note& note) {
                         return note.pitch.midi() + half_steps == tone.midi;
                       });
              });
        }));
  }

  // The melody at the lick's beginning.
  struct MelodyThere {
    int held = 0;                   // pitch of the note that sounds there; 0: none
    bool begins = false;            // and begins there
    std::optional<Fraction> until;  // from there to the next note; nothing: there is none
  };
  MelodyThere melody_at(const Asked& place) const {
    MelodyThere there;
    const auto is_later = [&](const arranging::Tone& tone) {
      return tone.measure != place.measure ? tone.measure > place.measure : tone.in_measure > place.at;
    };
    const auto next = std::partition_point(tune_.held_melody.begin(), tune_.held_melody.end(),
                                           [&](const arranging::Tone& tone) { return !is_later(tone); });
    const Fraction now = time_of(place);
    if (next != tune_.held_melody.begin()) {
      const arranging::Tone& last = *(next - 1);
      if (last.at + last.length > now) there.held = last.midi;
      there.begins = last.at == now;
    }
    if (next == tune_.held_melody.end()) return there;
    there.until = next->at - now;
    return there;
  }

  licks::Seams seams_at(const Asked& place, int half_steps) const {
    const Fraction length = lick_.time.end - lick_.time.start;
    const licks::Stretch stretch = licks::stretch_of(tune_.score, place.measure, place.at, length, true);
    Score fitted = licks::put_in(
        tune_.score, stretch,
        licks::moved_strokes(lick_.time.strokes, lick_.score.banjo, tune_.score, place.measure, half_steps));
    licks::finger_seams(fitted, stretch, options_.style);
    return licks::seams_of(fitted, stretch, options_.style);
  }

  void judge_music(const Asked& place, LickPlace& found) const {
    const Measure& measure = tune_.ground.measures[place.measure];
    const Key& key = measure.key;
    const MelodyThere melody = melody_at(place);
    const Fraction length = lick_.time.end - lick_.time.start;
    found.replaced = replaced_by(place);
    if (hinders_melody(place)) {
      found.cost += in_mid_phrase + in_place_of_melody;
    } else if (place.room.has(Objection::melody) && found.replaced == 0) {
      found.reasons.emplace_back("it plays the melody's own notes at the end of a phrase");
    } else if (place.room.has(Objection::melody)) {
      found.cost += in_place_of_melody + each_note_replaced * static_cast<std::int64_t>(found.replaced);
      found.reasons.push_back("in place of the end of a phrase, " + base::counted(found.replaced, "note") +
                              " of the melody");
    } else {
      judge_room(place, melody, length, found);
    }
    judge_chords(place, key, found);
    if (begins_otherwise(place)) {
      found.cost += other_beat;
      found.reasons.push_back("it begins on beat " +
                              counted_as(beat_at(tune_.ground.measures[place.measure], place.at)) +
                              ", and is written from beat " +
                              counted_as(beat_at(lick_.score.measures.front().meter, written_from())));
    }
    if (replaces_lick(place)) {
      found.cost += in_place_of_lick;
      found.reasons.emplace_back("it takes the place of a lick that is there");
    }
    if (is_slow(place)) {
      found.cost += half_as_fast;
      found.reasons.emplace_back("it moves half as fast as the tune");
    }
    if (place.frets != 0) {
      found.cost += moved_on_neck;
      found.reasons.push_back("moved " +
                              base::counted(static_cast<std::uint64_t>(std::abs(place.frets)), "fret") +
                              (place.frets > 0 ? " up the neck" : " down the neck"));
    } else if (found.half_steps != 0) {
      found.reasons.push_back(tune_.score.banjo.capo > 0
                                  ? "in the same shapes, with capo " + std::to_string(tune_.score.banjo.capo)
                                  : "in the same shapes, without capo");
    }
    judge_register(place, found);
  }

  // Where the melody leaves room.
  void judge_room(const Asked& place, const MelodyThere& melody, Fraction length, LickPlace& found) const {
    const Measure& measure = tune_.ground.measures[place.measure];
    const bool ends = !place.room.has(Objection::no_phrase_end);
    if (melody.begins) {
      found.cost += begins_as_melody;
      found.reasons.push_back(
          (ends ? "it begins with the last note of a phrase, " : "it begins with the melody's own ") +
          tone_name(melody.held, measure.key));
    } else if (ends) {
      found.reasons.push_back(melody.until ? "a phrase has ended, and the melody waits for " +
                                                 beats_in_words(*melody.until, measure.meter)
                                           : "the melody has ended");
    } else if (melody.held != 0 && melody.until) {
      found.reasons.push_back("the melody holds " + tone_name(melody.held, measure.key) + " for " +
                              beats_in_words(*melody.until, measure.meter) + " more");
    } else {
      found.reasons.emplace_back("the melody rests there");
    }
    if (!ends) {
      found.cost += in_mid_phrase;
      found.reasons.emplace_back("no phrase ends there");
    }
    if (melody.held != 0 && !tune_.units[place.unit].harmony.tones.has(melody.held))
      found.cost += no_chord_tone;
    if (!melody.until) return;
    const std::int64_t left = ((*melody.until - length) / measure.meter.beat()).floor();
    found.cost += each_beat_left * std::clamp<std::int64_t>(left, 0, most_beats_left);
    if (left <= 0) found.reasons.emplace_back("it fills all of that time");
  }

  void judge_chords(const Asked& place, const Key& key, LickPlace& found) const {
    const Banjo& banjo = tune_.score.banjo;
    if (place.room.has(Objection::chord) || place.room.has(Objection::no_chord)) return;
    std::string over = "over ";
    int before = -1;
    for (const arranging::LickChord& chord : place.asks.chords) {
      if (chord.shape == before) continue;
      over += (before >= 0 ? " and then " : "") + chord_name(chord.shape, banjo, key);
      before = chord.shape;
    }
    found.reasons.push_back(over);
    if (place.room.has(Objection::landing)) return;
    if (place.asks.landing) {
      found.cost += lands_or_leads;
      found.reasons.push_back("it lands on the " + tone_name(banjo.open_midi(1) + *place.asks.landing, key) +
                              " with which the tune goes on");
    } else if (lick_.leads_on && !place.room.has(Objection::next_chord)) {
      found.cost += lands_or_leads;
      found.reasons.push_back("it leads to " + chord_name(place.asks.to, banjo, key) + ", as the tune does");
    } else if (place.room.has(Objection::next_chord)) {
      found.cost += leads_elsewhere;
    }
  }

  // Whether a player's lick, or a kick-off, is played in its time already.
  bool replaces_lick(const Asked& place) const {
    const Fraction start = time_of(place);
    const Fraction end = start + lick_.time.end - lick_.time.start;
    Fraction at;
    for (const Measure& measure : tune_.score.measures) {
      for (const Stroke& stroke : measure.strokes) {
        if (at + stroke.onset < start || at + stroke.onset >= end) continue;
        const bool has = std::any_of(stroke.notes.begin(), stroke.notes.end(), [](const Note& note) {
          return note.role == Role::lick || note.role == Role::kick_off;
        });
        if (has) return true;
      }
      at += measure.length;
    }
    return false;
  }

  // Of the melody's next note, if the tune goes on.
  void judge_register(const Asked& place, LickPlace& found) const {
    const Fraction end = time_of(place) + lick_.time.end - lick_.time.start;
    const auto next = std::partition_point(tune_.melody.begin(), tune_.melody.end(),
                                           [&](const arranging::Tone& tone) { return tone.at < end; });
    if (next == tune_.melody.end()) return;
    int last = 0;
    for (const Stroke& stroke : lick_.time.strokes) {
      if (!stroke.is_rest()) last = stroke.notes.front().pitch.midi() + found.half_steps;
    }
    const int apart = std::abs(last - next->midi);
    found.cost += each_half_step_beyond * std::max(0, apart - near_in_pitch);
    if (apart > near_in_pitch)
      found.reasons.push_back("what follows is " + std::to_string(apart) + " half steps " +
                              (next->midi > last ? "above" : "below"));
  }

  static void judge_hands(const licks::Seams& seams, LickPlace& found) {
    found.cost += std::max<std::int64_t>(seams.in.cost, 0) + std::max<std::int64_t>(seams.out.cost, 0);
    const auto say = [&](const licks::Seam& seam, const std::string& what) {
      if (std::abs(seam.shift) >= shift_worth_a_word && seam.cost > easy_seam) {
        found.reasons.push_back("the hand moves " + std::to_string(std::abs(seam.shift)) + " frets " +
                                (seam.shift > 0 ? "up" : "down") + " to get " + what);
      } else if (seam.cost > hard_seam) {
        found.reasons.push_back("it is hard to get " + what);
      } else if (seam.cost > easy_seam) {
        found.reasons.push_back("it takes some care to get " + what);
      }
    };
    if (seams.in.cost <= easy_seam && seams.out.cost <= easy_seam) {
      found.reasons.emplace_back("easy to get into and out of");
      return;
    }
    say(seams.in, "in");
    say(seams.out, "out");
  }

  FitOptions options_;
  licks::StagedTune tune_;
  licks::ReadLick lick_;
  bool is_picked_ = false;
  LickStage stage_;
};

}  // namespace

std::vector<LickPlace> places_for(const Score& tune, const Score& lick, const FitOptions& options) {
  const Placer placer(tune, lick, options);
  std::vector<LickPlace> places;
  if (!placer.strings_agree() || !placer.other_manner().empty()) return places;
  for (const Asked& place : placer.all()) {
    if (!placer.is_free(place)) continue;
    if (auto judged = placer.judged(place)) places.push_back(std::move(*judged));
  }
  std::stable_sort(places.begin(), places.end(),
                   [](const LickPlace& a, const LickPlace& b) { return a.cost < b.cost; });
  return places;
}

std::string why_nowhere(const Score& tune, const Score& lick, const FitOptions& options) {
  return Placer(tune, lick, options).why_nowhere();
}

std::optional<int> capo_that_fits(const Score& tune, const Score& lick, const FitOptions& options) {
  return Placer(tune, lick, options).capo_that_fits();
}

LickPlace place_at(const Score& tune, const Score& lick, std::size_t measure, std::optional<Fraction> at,
                   const FitOptions& options) {
  if (measure >= tune.measures.size() || (at && (*at < 0 || *at >= tune.measures[measure].length)))
    throw UsageError("no-such-measure", "there is no such place in the tune");
  const Placer placer(tune, lick, options);
  licks::require_same_strings(tune.banjo, lick.banjo);
  const auto [first, from] = at ? std::pair(measure, *at) : placer.beginning_in(measure);
  const Asked asked = placer.asked(first, from);
  // What keeps it from being put there, fit_lick() says.
  LickPlace place = placer.judged(asked).value_or(placer.bare(asked));
  place.against = placer.against(asked);
  return place;
}

}  // namespace fifthpeg
