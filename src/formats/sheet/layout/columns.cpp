#include "formats/sheet/layout/columns.hpp"

#include <algorithm>
#include <map>
#include <utility>

#include "base/text.hpp"
#include "engraving/beam.hpp"
#include "engraving/beat_groups.hpp"
#include "engraving/grid.hpp"
#include "engraving/stroke_splitter.hpp"
#include "engraving/tuplets.hpp"
#include "engraving/wording.hpp"
#include "formats/sheet/layout/notation.hpp"

namespace fifthpeg::sheet {
namespace {

constexpr std::size_t row_count = static_cast<std::size_t>(Row::count);

void widen(Reach& reach, double left, double right) {
  reach.left = std::max(reach.left, left);
  reach.right = std::max(reach.right, right);
}

// The value whose natural gap is the shortest one: what at least a tenth of the strokes are as short as.
Fraction usual_shortest(const Score& score) {
  std::map<Fraction, std::size_t> counts;
  std::size_t all = 0;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.grace != Grace::none || stroke.duration <= 0) continue;
      ++counts[stroke.duration];
      ++all;
    }
  }
  std::size_t so_far = 0;
  for (const auto& [duration, count] : counts) {
    so_far += count;
    // Eighths alone still leave room for sixteenths between them.
    if (so_far * 10 >= all) return std::min(duration, Fraction(1, 8));
  }
  return {1, 8};
}

// From one column to the next: how much a row asks for between what stands in both.
double white_in(Row row, const Sizes& sizes) {
  return row == Row::staff ? sizes.pad : sizes.text_pad;
}

bool has_flag(const engraving::Piece& piece) {
  return piece.value && engraving::beam_count(piece.value.type) > 0 &&
         piece.beams.front() == engraving::Beam::none;
}

class PieceColumns {
 public:
  PieceColumns(const Score& score, const SheetOptions& options, const Sizes& sizes, TextFace& face,
               Report& report)
      : score_(score),
        options_(options),
        sizes_(sizes),
        face_(face),
        notation_(sizes),
        shortest_(usual_shortest(score).to_double()) {
    const std::int64_t divisions = engraving::divisions_for(score);
    if (divisions != 0) grid_ = engraving::Grid(divisions);
    if (options.shapes) shapes_ = held_shapes(score);
    if (options.chord_grids) chord_shapes_ = first_shapes(score, report);
  }

  std::vector<MeasureColumns> make() {
    std::vector<MeasureColumns> made;
    made.reserve(score_.measures.size());
    for (const Measure& measure : score_.measures) {
      made.push_back(columns_of(measure, made.empty() ? nullptr : made.back().measure));
    }
    return made;
  }

 private:
  MeasureColumns columns_of(const Measure& measure, const Measure* before) {
    MeasureColumns made;
    made.measure = &measure;
    made.shows_meter = before == nullptr || measure.meter != before->meter;
    made.shows_key = before == nullptr || measure.key != before->key;
    const engraving::Grid grid = grid_ ? *grid_ : engraving::grid_for(measure);
    const engraving::BeatMap beats = engraving::beat_map(measure, grid);
    engraving::split_strokes(measure, grid, beats, made.engraving);
    engraving::beam_pieces(measure, grid, beats, made.engraving);
    engraving::group_tuplets(measure, grid, made.engraving);

    notation_.start(measure.key);
    auto change = measure.key_changes.begin();
    for (std::size_t i = 0; i < made.engraving.pieces.size(); ++i) {
      for (; change != measure.key_changes.end() && grid.ticks(change->at) <= made.engraving.pieces[i].onset;
           ++change) {
        notation_.start(change->key);
      }
      add_piece(measure, made.engraving.pieces[i], i, grid, made.columns);
    }
    add_chords(measure, made.columns);
    add_shapes(measure, made.columns);
    for (Column& column : made.columns) measure_texts(column);
    space(measure, made);
    return made;
  }

  void add_piece(const Measure& measure, const engraving::Piece& piece, std::size_t index,
                 const engraving::Grid& grid, std::vector<Column>& columns) {
    Column column;
    column.at = {piece.onset, grid.whole};
    column.stroke = &measure.strokes[piece.stroke];
    column.piece = index;
    column.grace = column.stroke->grace != Grace::none;
    const auto beam = piece.beams.front();
    column.parts_beat = beam != engraving::Beam::none && beam != engraving::Beam::begin;
    if (!columns.empty() && columns.back().grace) column.parts_beat = true;
    if (piece.first) {
      for (const Note* note : engraving::by_string(*column.stroke)) add_fingers(*note, column);
      std::reverse(column.picking.begin(), column.picking.end());
      std::reverse(column.fingers.begin(), column.fingers.end());
    }
    measure_staff(piece, column);
    if (options_.notation && !column.stroke->is_rest()) {
      column.heads = notation_.heads_of(*column.stroke, piece.first);
      const Reach reach = notation_.reach_of(column.heads, column.grace);
      const double flags = has_flag(piece) ? outline_of(MusicSign::up_flag).right * sizes_.staff_gap : 0;
      const double dots = piece.value.dots * 0.5 * sizes_.staff_gap;
      widen(column.in(Row::staff), reach.left, reach.right + flags + dots);
    }
    columns.push_back(std::move(column));
  }

  void add_fingers(const Note& note, Column& column) const {
    if (note.picking_finger) column.picking.emplace_back(engraving::picking_letter(*note.picking_finger));
    if (options_.fingers && note.finger && !finger_is_plain(note)) {
      column.fingers.emplace_back(engraving::finger_sign(*note.finger));
    }
  }

  // What stands on the strings: numbers, rests, and what belongs to them.
  void measure_staff(const engraving::Piece& piece, Column& column) {
    Reach& reach = column.in(Row::staff);
    const Stroke& stroke = *column.stroke;
    if (stroke.is_rest()) {
      const double half = sizes_.string_gap * 0.55;
      widen(reach, half, half + piece.value.dots * sizes_.string_gap * 0.4);
      return;
    }
    for (const Note& note : stroke.notes) {
      if (!note.placement) continue;
      const double half = fret_reach(note, !piece.first, stroke, options_, sizes_, face_);
      double right = half;
      if (note.ring == Ring::damp && piece.last) right += sizes_.string_gap * 0.55;
      if (note.choke) right += sizes_.string_gap * 0.9;
      widen(reach, half, right);
    }
    if (stroke.brush != Brush::none && piece.first) reach.left += sizes_.string_gap * 0.75;
    if (piece.value.dots > 0) widen(reach, 0, sizes_.string_gap * (0.25 + 0.3 * piece.value.dots));
    // A flag hangs to the right of its stem.
    if (has_flag(piece)) widen(reach, 0, outline_of(MusicSign::down_flag).right * sizes_.staff_gap);
  }

  // Each over the column that begins with it, or over one of its own.
  void add_chords(const Measure& measure, std::vector<Column>& columns) const {
    for (const ChordSymbol& chord : measure.chords) {
      const auto is_here = [&chord](const Column& column) { return column.at == chord.at && !column.grace; };
      auto here = std::find_if(columns.begin(), columns.end(), is_here);
      if (here == columns.end()) {
        Column own;
        own.at = std::min(chord.at, measure.length);
        const auto after = std::find_if(columns.begin(), columns.end(),
                                        [&own](const Column& column) { return column.at > own.at; });
        own.parts_beat = true;
        here = columns.insert(after, std::move(own));
      }
      here->chords.push_back(column_chord(chord));
    }
  }

  ColumnChord column_chord(const ChordSymbol& chord) const {
    ColumnChord made;
    made.text = base::one_line(to_string(chord));
    made.width = face_.size_of(made.text, sizes_.chord).width;
    if (const auto shape = chord_shapes_.find(&chord); shape != chord_shapes_.end()) {
      made.grid.emplace(shape->second, score_.banjo, sizes_, face_);
      made.text_left = std::max(0.0, made.grid->middle() - made.width / 2);
      made.width = std::max(made.text_left + made.width, made.grid->width());
    }
    return made;
  }

  void add_shapes(const Measure& measure, std::vector<Column>& columns) {
    const auto index = static_cast<std::size_t>(&measure - score_.measures.data());
    for (; next_shape_ < shapes_.size() && shapes_[next_shape_].measure == index; ++next_shape_) {
      const Stroke* const stroke = &measure.strokes[shapes_[next_shape_].stroke];
      const auto here = std::find_if(columns.begin(), columns.end(),
                                     [stroke](const Column& column) { return column.stroke == stroke; });
      if (here != columns.end()) here->shape = shapes_[next_shape_].text;
    }
  }

  void measure_texts(Column& column) {
    const auto center = [&](Row row, const std::vector<std::string>& texts, TextStyle style) {
      for (const std::string& text : texts) {
        const TextSize& size = face_.size_of(text, style);
        const double half = (size.right - size.left) / 2;
        widen(column.in(row), half, half);
      }
    };
    center(Row::picking, column.picking, sizes_.picking);
    center(Row::fingers, column.fingers, sizes_.finger);
    if (column.stroke != nullptr && column.piece) {
      for (const Lyric& lyric : column.stroke->lyrics) {
        center(Row::lyrics, {base::one_line(lyric.text)}, sizes_.lyric);
      }
    }
    // Chord symbols begin over their note, as words do.
    double chords = 0;
    for (const ColumnChord& chord : column.chords) {
      chords += chord.width + (chords > 0 ? sizes_.text_pad : 0);
    }
    const double half_fret = sizes_.string_gap * 0.35;
    if (chords > 0) column.in(Row::chords) = {half_fret, chords - half_fret};
  }

  // Gives the columns their springs: none is narrower than what any row asks for.
  void space(const Measure& measure, MeasureColumns& made) const {
    double opening = sizes_.bar_pad;
    if (measure.repeat_starts) opening += repeat_width(sizes_);
    if (made.shows_meter) opening += meter_width(measure.meter, sizes_, face_) + sizes_.bar_pad;
    if (made.shows_key && options_.notation) opening += notation_.key_width(measure.key) + sizes_.bar_pad;
    // Where each row is filled to, and where the column before stands, from the barline.
    std::array<double, row_count> filled{};
    double at = 0;
    for (std::size_t i = 0; i < made.columns.size(); ++i) {
      Column& column = made.columns[i];
      const double had = at;
      double least = 0;
      for (std::size_t row = 0; row < row_count; ++row) {
        const Reach& reach = column.reach.at(row);
        column.line_lead = std::max(column.line_lead, sizes_.bar_pad + reach.left);
        if (reach.left + reach.right == 0 && row != static_cast<std::size_t>(Row::staff)) continue;
        const bool staff = row == static_cast<std::size_t>(Row::staff);
        const double white = i > 0 && filled.at(row) > 0 ? white_in(static_cast<Row>(row), sizes_) : 0;
        const double begin = i == 0 ? (staff ? opening : 0) : filled.at(row);
        least = std::max(least, begin + white + reach.left);
      }
      at = std::max(least, had);
      if (i == 0) {
        made.lead = at;
      } else {
        Column& previous = made.columns[i - 1];
        previous.after.least = at - had;
        const double length = (column.at - previous.at).to_double();
        previous.after.natural = natural_gap(length, shortest_, sizes_.shortest_gap);
      }
      for (std::size_t row = 0; row < row_count; ++row) {
        const Reach& reach = column.reach.at(row);
        if (reach.left + reach.right > 0) filled.at(row) = at + reach.right;
      }
    }
    if (made.columns.empty()) {
      made.lead = opening;
      return;
    }
    double end = 0;
    for (const double row : filled) end = std::max(end, row);
    Column& last = made.columns.back();
    last.after.least = std::max(end + sizes_.bar_pad, at + sizes_.bar_pad) - at;
    if (measure.repeat_times > 0) last.after.least += repeat_width(sizes_);
    const double length = (measure.length - last.at).to_double();
    last.after.natural = natural_gap(length, shortest_, sizes_.shortest_gap);
  }

  const Score& score_;
  const SheetOptions& options_;
  const Sizes& sizes_;
  TextFace& face_;
  Notation notation_;
  double shortest_;
  std::optional<engraving::Grid> grid_;  // nothing: each measure has its own
  std::vector<HeldShape> shapes_;
  std::size_t next_shape_ = 0;
  std::map<const ChordSymbol*, hands::ChordShape> chord_shapes_;
};

}  // namespace

std::string fret_text(const Note& note, bool goes_on) {
  if (note.dead) return "x";
  const std::string fret = std::to_string(note.placement->fret);
  if (note.harmonic) return "<" + fret + ">";
  return note.tied_from_previous || goes_on ? "(" + fret + ")" : fret;
}

TextStyle fret_style(const Sizes& sizes, const Stroke& stroke) {
  return stroke.grace == Grace::none ? sizes.fret : sizes.grace_fret;
}

bool is_outlined(const Note& note, bool goes_on, const SheetOptions& options) {
  return options.roles && note.role == Role::melody && !note.tied_from_previous && !goes_on;
}

double fret_reach(const Note& note, bool goes_on, const Stroke& stroke, const SheetOptions& options,
                  const Sizes& sizes, TextFace& face) {
  const TextStyle style = fret_style(sizes, stroke);
  const TextSize& size = face.size_of(fret_text(note, goes_on), style);
  const double half = (size.right - size.left) / 2;
  if (!is_outlined(note, goes_on, options)) return half;
  return std::max(half + sizes.outline_pad, sizes.outline_half * style.size);
}

std::string meter_beats(const Meter& meter) {
  std::string text;
  for (const int beats : meter.beats) text += (text.empty() ? "" : "+") + std::to_string(beats);
  return text;
}

double meter_width(const Meter& meter, const Sizes& sizes, TextFace& face) {
  const TextSize beats = face.size_of(meter_beats(meter), sizes.meter);
  const TextSize unit = face.size_of(std::to_string(meter.unit), sizes.meter);
  return std::max(beats.right - beats.left, unit.right - unit.left);
}

double repeat_width(const Sizes& sizes) {
  return sizes.string_gap * 0.9;
}

std::vector<MeasureColumns> columns_of(const Score& score, const SheetOptions& options, const Sizes& sizes,
                                       TextFace& face, Report& report) {
  return PieceColumns(score, options, sizes, face, report).make();
}

}  // namespace fifthpeg::sheet
