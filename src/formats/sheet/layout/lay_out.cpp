#include "formats/sheet/layout/lay_out.hpp"

#include <algorithm>
#include <limits>
#include <string>
#include <utility>
#include <vector>

#include "base/text.hpp"
#include "engraving/wording.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/sheet/layout/heading.hpp"
#include "formats/sheet/layout/lines.hpp"
#include "formats/sheet/layout/pages.hpp"
#include "formats/sheet/layout/phrases.hpp"
#include "formats/sheet/layout/system.hpp"

namespace fifthpeg::sheet {
namespace {

constexpr double smallest = 0.4;
constexpr double largest = 3;

// Room for ink that reaches over the ends of a line.
constexpr double strip_margin = 1.5;
constexpr const char* legend_title = "What the signs mean";

void report_unplaced(const Score& score, Report& report) {
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        if (note.placement) continue;
        report.add(EntryKind::loss, "sheet-unplaced", "a note without a string is not drawn on the tab",
                   {{}, measure.number, beat_at(measure, stroke.onset)});
      }
    }
  }
}

std::string described(const std::vector<Score>& pieces) {
  std::string text;
  for (const Score& score : pieces) {
    text += text.empty() ? "Banjo tab: " : " ";
    if (!score.work.title.empty()) text += base::one_line(score.work.title) + ", ";
    text += base::counted(score.measures.size(), "measure") + ".";
    for (const std::string& item : engraving::set_up_items(score)) text += " " + item + ".";
  }
  return text;
}

class Document {
 public:
  Document(const std::vector<Score>& pieces, const SheetOptions& options, Report& report)
      : pieces_(pieces),
        options_(options),
        report_(report),
        sizes_(options.size),
        page_(page_size(options)),
        is_handout_(pieces.size() > 1 || options.phrases || !options.paragraphs.empty()) {
    if (!(options.size >= smallest && options.size <= largest)) {
      throw UsageError("size-out-of-range", "a sheet can be 0.4 to 3 times the usual size");
    }
  }

  Drawing make() {
    report_missing_roles();
    if (!options_.title.empty() || !options_.paragraphs.empty()) {
      blocks_.push_back(title_of_all(options_, sizes_, page_.text_width(), face_));
    }
    // On a handout it stands first, since its pages are read one by one.
    if (is_handout_) add_legend();
    for (std::size_t i = 0; i < pieces_.size(); ++i) add_piece(i);
    if (!is_handout_) add_legend();
    Drawing drawing;
    drawing.pages = pages_of(blocks_, page_, sizes_, foot(), face_);
    report_missing_characters();
    if (!pieces_.empty()) {
      drawing.title = base::one_line(options_.title.empty() ? pieces_.front().work.title : options_.title);
      drawing.description = described(pieces_);
    }
    return drawing;
  }

  std::vector<Drawing> make_strips(double width) {
    report_missing_roles();
    page_.margin = strip_margin;
    page_.width = width;
    page_.height = std::numeric_limits<double>::max();
    std::vector<Drawing> strips;
    const auto add_strip = [&](const std::string& title) {
      Drawing& strip = strips.emplace_back();
      strip.title = base::one_line(title);
      for (const Block& block : blocks_) strip.pages.push_back(page_of(block, width, page_.margin, face_));
      blocks_.clear();
    };
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      add_piece(i);
      add_strip(pieces_[i].work.title);
      strips.back().description = described({pieces_[i]});
    }
    add_legend();
    add_strip(legend_title);
    report_missing_characters();
    return strips;
  }

 private:
  void report_missing_roles() {
    if (!options_.roles || std::any_of(pieces_.begin(), pieces_.end(), has_roles)) return;
    report_.add(EntryKind::decision, "sheet-no-roles",
                "nothing says what the notes are for, so that none is marked");
  }

  void report_missing_characters() {
    if (!face_.lacks_characters()) return;
    report_.add(EntryKind::loss, "sheet-characters",
                "no font of this machine has some characters of a text; boxes stand for them");
  }

  void add_piece(std::size_t index) {
    const Score& score = pieces_[index];
    report_unplaced(score, report_);
    const std::size_t first = blocks_.size();
    blocks_.push_back(heading(score, is_handout_, sizes_, page_.text_width(), face_));
    blocks_.back().white_before = sizes_.string_gap * 3;
    add_lines(score, options_);
    keep_together(first);
    SheetOptions again = options_;
    again.chord_grids = false;  // over the whole piece they stand already
    for (const Phrase& phrase : phrases_asked_for(pieces_, index, options_)) {
      const std::size_t here = blocks_.size();
      blocks_.push_back(paragraphs(Kind::about, {phrase.name}, sizes_.words, page_.text_width(), face_));
      blocks_.back().white_before = sizes_.string_gap * 2;
      blocks_.back().keep_with_next = true;
      add_lines(slice(score, phrase.first, phrase.end - phrase.first), again);
      keep_together(here);
    }
  }

  void add_lines(const Score& score, const SheetOptions& options) {
    Piece piece{score,
                options,
                sizes_,
                number_++,
                {},
                {},
                engraving::everything_rings(score),
                is_backup_alone(score)};
    try {
      piece.measures = columns_of(score, options, sizes_, face_, report_);
    } catch (const TimeError&) {
      throw WriteError("time-overflow", "the score holds times too long or too fine to be counted");
    }
    piece.links = Links(piece.measures);
    for (const System& line : lines_of(piece, page_.text_width(), face_)) {
      Drawn drawn = draw(line, face_);
      Block block{std::move(drawn.marks), drawn.top, drawn.bottom};
      block.white_before = sizes_.string_gap * 1.8;
      block.is_line = true;
      for (const PlacedMeasure& placed : line.measures) {
        block.measures.push_back({piece.number,
                                  static_cast<std::uint32_t>(placed.measure),
                                  {placed.left, block.top, placed.right, block.bottom}});
      }
      if (block.height() > page_.text_height(sizes_)) report_too_high(line, score);
      blocks_.push_back(std::move(block));
    }
  }

  void report_too_high(const System& line, const Score& score) {
    report_.add(EntryKind::loss, "sheet-too-high", "a line of music is higher than the page and runs off it",
                {{}, score.measures[line.measures.front().measure].number, {}});
  }

  // What fits on a page is not broken over two.
  void keep_together(std::size_t first) {
    if (!is_handout_) return;
    double height = 0;
    for (std::size_t i = first; i < blocks_.size(); ++i) {
      height += blocks_[i].height() + (i > first ? blocks_[i].white_before : 0);
    }
    if (height > page_.text_height(sizes_)) return;
    for (std::size_t i = first; i + 1 < blocks_.size(); ++i) blocks_[i].keep_with_next = true;
  }

  void add_legend() {
    Block signs = legend(pieces_, options_, sizes_, page_.text_width(), face_);
    if (signs.marks.empty()) return;
    if (!blocks_.empty()) blocks_.back().keep_with_next = true;
    blocks_.push_back(std::move(signs));
    blocks_.back().white_before = sizes_.string_gap * 1.2;
    blocks_.back().keep_with_next = is_handout_;
  }

  // Who may copy it, each once.
  std::vector<std::string> foot() {
    std::vector<std::string> lines;
    for (const Score& score : pieces_) {
      if (score.work.rights.empty()) continue;
      for (const std::string& line :
           face_.wrapped(base::one_line(score.work.rights), sizes_.page_number, page_.text_width() * 0.85)) {
        if (std::find(lines.begin(), lines.end(), line) == lines.end()) lines.push_back(line);
      }
    }
    return lines;
  }

  const std::vector<Score>& pieces_;
  const SheetOptions& options_;
  Report& report_;
  Sizes sizes_;
  PageSize page_;
  bool is_handout_;
  TextFace face_;
  std::vector<Block> blocks_;
  std::uint32_t number_ = 0;
};

}  // namespace

Drawing lay_out(const std::vector<Score>& pieces, const SheetOptions& options, Report& report) {
  return Document(pieces, options, report).make();
}

std::vector<Drawing> lay_out_strips(const std::vector<Score>& pieces, const SheetOptions& options,
                                    double width, Report& report) {
  return Document(pieces, options, report).make_strips(width);
}

}  // namespace fifthpeg::sheet
