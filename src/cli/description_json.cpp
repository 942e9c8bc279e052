#include "cli/description.hpp"
#include "cli/json.hpp"

namespace fifthpeg::cli {
namespace {

Json or_null(const std::optional<int>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json pitch(const Pitch& one) {
  return {{"midi", one.midi()}, {"name", to_string(one)}};
}

Json pitch(int midi) {
  return {{"midi", midi}, {"name", pitch_name(midi)}};
}

Json range(const Json& lowest, const Json& highest) {
  return {{"lowest", lowest}, {"highest", highest}};
}

Json part(std::size_t number, const PartSummary& part) {
  const bool has_range = part.lowest && part.highest;
  return {{"number", number},
          {"id", part.id},
          {"name", part.name},
          {"instrument", part.instrument},
          {"program", or_null(part.program)},
          {"channel", or_null(part.channel)},
          {"percussion", part.percussion},
          {"notes", part.notes},
          {"range", has_range ? range(pitch(*part.lowest), pitch(*part.highest)) : Json(nullptr)}};
}

Json value(const Meter& meter) {
  return {{"meter", to_string(meter)}};
}
Json value(const Key& key) {
  return {{"key", to_string(key)}, {"fifths", key.fifths}};
}
Json value(const Tempo& tempo) {
  return {{"quarters_per_minute", tempo.quarters_per_minute.to_double()},
          {"beat_unit", to_json(tempo.beat_unit)},
          {"words", tempo.words}};
}

template <typename Value>
Json changes(const std::vector<Change<Value>>& list) {
  Json json = Json::array();
  for (const Change<Value>& change : list) {
    Json one{{"measure", change.measure}};
    add_beat(one, change.beat);
    one.update(value(change.value));
    json.push_back(std::move(one));
  }
  return json;
}

Json counts(const std::vector<Counted>& list) {
  Json json = Json::array();
  for (const Counted& one : list) json.push_back({{"name", one.first}, {"count", one.second}});
  return json;
}

Json work_json(const Work& work) {
  return {{"title", work.title},       {"composer", work.composer}, {"arranger", work.arranger},
          {"lyricist", work.lyricist}, {"rights", work.rights},     {"source", work.source}};
}

Json file_json(const Inventory& inventory) {
  Json parts = Json::array();
  for (std::size_t at = 0; at < inventory.parts.size(); ++at) {
    parts.push_back(part(at + 1, inventory.parts[at]));
  }
  const bool is_chosen = inventory.chosen < inventory.parts.size();
  return {{"format", inventory.format},
          {"resolution", inventory.resolution},
          {"encoding", inventory.encoding},
          {"parts", std::move(parts)},
          {"chosen", is_chosen ? Json(inventory.chosen + 1) : Json(nullptr)},
          {"reason", inventory.reason},
          {"staves", inventory.staves},
          {"voices", inventory.voices},
          {"residual", inventory.residual}};
}

Json swing_json(const Swing& swing) {
  return {{"unit", to_json(swing.unit)}, {"first", swing.first}, {"second", swing.second}};
}

Json music_json(const Score& score, const Summary& summary) {
  return {{"meters", changes(summary.meters)},
          {"keys", changes(summary.keys)},
          {"key_estimated", score.key_estimated},
          {"tempos", changes(summary.tempos)},
          {"swing", score.swing ? swing_json(*score.swing) : Json(nullptr)},
          {"measures", summary.measures},
          {"measures_as_played", summary.measures_as_played},
          {"jumps_ignored", summary.jumps_ignored},
          {"pickup", summary.pickup ? to_json(*summary.pickup) : Json(nullptr)},
          {"irregular_measures", summary.irregular_measures},
          {"repeats", summary.repeats},
          {"endings", summary.endings},
          {"jumps", counts(summary.jumps)},
          {"chord_symbols", counts(summary.chord_symbols)},
          {"techniques", counts(summary.techniques)},
          {"strokes", summary.strokes},
          {"notes", summary.notes},
          {"range", summary.range ? range(pitch(summary.range->lowest), pitch(summary.range->highest))
                                  : Json(nullptr)}};
}

Json banjo_json(const Banjo& banjo, const Summary& summary) {
  return {{"tuning", spelling(banjo.tuning)},
          {"capo", banjo.capo},
          {"fifth_capo", banjo.fifth_capo},
          {"frets", banjo.frets},
          {"range", range(pitch(banjo.lowest()), pitch(banjo.highest()))},
          {"outside_range", summary.outside_range}};
}

Json positions_json(const Summary& summary) {
  return {{"placed", summary.placed},
          {"open", summary.open},
          {"on_string", summary.on_string},
          {"frets", summary.frets ? range(summary.frets->lowest, summary.frets->highest) : Json(nullptr)},
          {"fret_hand_fingers", summary.fingered},
          {"picking_digits", summary.with_picking_finger}};
}

}  // namespace

Json description_json(const std::string& input, const Reading& reading, const Summary& summary,
                      const ToldOfLick& lick) {
  return {{"input", input},
          {"work", work_json(reading.score.work)},
          {"file", file_json(reading.inventory)},
          {"music", music_json(reading.score, summary)},
          {"banjo", banjo_json(reading.score.banjo, summary)},
          {"positions", positions_json(summary)},
          {"lick", lick.facts ? to_json(*lick.facts) : Json(nullptr)},
          {"no_lick", lick.why_not},
          {"told", to_json(reading.report)}};
}

}  // namespace fifthpeg::cli
