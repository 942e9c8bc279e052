#include "formats/musicxml/head.hpp"

#include <vector>

#include "formats/musicxml/conventions.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

// Several elements of one kind become lines of one text.
void add_line(std::string& text, const std::string& line) {
  if (line.empty()) return;
  if (!text.empty()) text += '\n';
  text += line;
}

struct Titles {
  std::string work;
  std::string movement;
  std::string credit;  // a credit whose type is `title`
};

// "1/4 2:1".
std::optional<Swing> parse_swing(std::string_view text) {
  const auto slash = text.find('/');
  const auto space = text.find(' ');
  const auto colon = text.find(':');
  if (slash == std::string_view::npos || space == std::string_view::npos || colon == std::string_view::npos ||
      slash > space || space > colon) {
    return std::nullopt;
  }
  const auto num = whole_number(text.substr(0, slash));
  const auto den = whole_number(text.substr(slash + 1, space - slash - 1));
  const auto first = whole_number(text.substr(space + 1, colon - space - 1));
  const auto second = whole_number(text.substr(colon + 1));
  if (!num || !den || !first || !second || *num < 1 || *den < 1 || *first < 1 || *second < 1)
    return std::nullopt;
  return Swing{Fraction(*num, *den), *first, *second};
}

class HeadReader {
 public:
  HeadReader(const Element& root, Diagnostics& diagnostics) : root_(root), diagnostics_(diagnostics) {}

  Head run() {
    each_attribute(root_, [&](const Attribute& attribute, Name name) {
      if (name != Name::version) diagnostics_.unread(attribute, root_);
    });
    each_child(root_, [&](const Element& child, Name name) {
      switch (name) {
        case Name::work:
          read_work(child);
          break;
        case Name::movement_title:
          titles_.movement = keep(child);
          break;
        case Name::identification:
          read_identification(child);
          break;
        case Name::credit:
          read_credit(child);
          break;
        case Name::part_list:
          each_child(child, [&](const Element& entry, Name kind) {
            if (kind != Name::score_part) diagnostics_.unread(entry);
          });
          break;
        case Name::part:
        case Name::measure:
          break;
        default:
          diagnostics_.unread(child);
      }
    });
    settle_title();
    return std::move(head_);
  }

 private:
  std::string keep(const Element& element) {
    return head_.texts.emplace_back(diagnostics_.line_of(element), text_of(element)).second;
  }

  void read_work(const Element& element) {
    each_child(element, [&](const Element& child, Name name) {
      if (name == Name::work_title) {
        titles_.work = keep(child);
      } else {
        diagnostics_.unread(child);
      }
    });
  }

  void read_identification(const Element& element) {
    each_child(element, [&](const Element& child, Name name) {
      switch (name) {
        case Name::creator:
          read_creator(child);
          break;
        case Name::rights:
          add_line(head_.work.rights, keep(child));
          head_.has_rights = head_.has_rights || !token_of(child).empty();
          break;
        case Name::source:
          add_line(head_.work.source, text_of(child));
          break;
        case Name::encoding:  // what made the file, and how: not the music's concern
          break;
        case Name::miscellaneous:
          each_child(child, [&](const Element& field, Name kind) {
            if (kind == Name::miscellaneous_field) read_field(field);
          });
          break;
        default:
          diagnostics_.unread(child);
      }
    });
  }

  void read_creator(const Element& element) {
    const char* attribute = element.Attribute("type");
    const std::string_view type = attribute == nullptr ? "composer" : attribute;
    Work& work = head_.work;
    const std::string text = keep(element);
    head_.has_credit = head_.has_credit || !trimmed(text).empty();
    if (type == "composer") {
      add_line(work.composer, text);
    } else if (type == "arranger" || type == "transcriber") {
      add_line(work.arranger, text);
    } else if (type == "lyricist" || type == "poet") {
      add_line(work.lyricist, text);
    } else {
      diagnostics_.loss("musicxml-creator", "a creator who is not composer, arranger or lyricist is left out",
                        diagnostics_.line_of(element));
    }
  }

  void read_field(const Element& element) {
    const char* attribute = element.Attribute("name");
    const std::string_view name = attribute == nullptr ? "" : attribute;
    const std::string text = text_of(element);
    bool known = true;
    if (name == musicxml::field_fifth_capo) {
      head_.fifth_capo = whole_number(text);
      known = head_.fifth_capo.has_value();
    } else if (name == musicxml::field_fifth_tuning) {
      head_.fifth_tuning = parse_pitch(trimmed(text));
      known = head_.fifth_tuning.has_value();
    } else if (name == musicxml::field_frets) {
      head_.frets = whole_number(text);
      constexpr int most_frets = 60;
      known = head_.frets && *head_.frets >= 1 && *head_.frets <= most_frets;
      if (!known) head_.frets.reset();
    } else if (name == musicxml::field_fifth_frets) {
      head_.own_nut = trimmed(text) == musicxml::own_nut;
    } else if (name == musicxml::field_key_estimated) {
      head_.key_estimated = is_yes(text);
    } else if (name == musicxml::field_swing) {
      head_.swing = parse_swing(trimmed(text));
      known = head_.swing.has_value();
    } else {
      known = false;
    }
    if (!known) {
      diagnostics_.loss("musicxml-miscellaneous", "a miscellaneous field of the file is left out",
                        diagnostics_.line_of(element));
    }
  }

  // Only a page knows credits; but some files have their title nowhere else.
  void read_credit(const Element& element) {
    bool title = false;
    std::string_view type;
    std::string words;
    each_child(element, [&](const Element& child, Name name) {
      if (name == Name::credit_type) {
        title = title || token_of(child) == "title";
        if (type.empty()) type = token_of(child);
      }
      if (name != Name::credit_words) return;
      add_line(words, keep(child));
      if (type == "composer" || type == "lyricist" || type == "arranger") head_.has_credit = true;
      if (type == "rights") head_.has_rights = true;
    });
    if (title && titles_.credit.empty()) titles_.credit = std::move(words);
    credit_line_ = diagnostics_.line_of(element);
  }

  void settle_title() {
    std::string& title = head_.work.title;
    if (!titles_.work.empty()) {
      title = titles_.work;
      if (!titles_.movement.empty() && titles_.movement != titles_.work) {
        diagnostics_.loss("musicxml-movement-title",
                          "the title of the movement is left out beside that of the work", 0);
      }
    } else if (!titles_.movement.empty()) {
      title = titles_.movement;
    } else if (!titles_.credit.empty()) {
      title = titles_.credit;
      diagnostics_.repair("musicxml-title-credit",
                          "the title stood only on the page; it was taken from there", credit_line_);
    }
  }

  const Element& root_;
  Diagnostics& diagnostics_;
  Head head_;
  Titles titles_;
  std::int64_t credit_line_ = 0;
};

}  // namespace

Head read_head(const Element& root, Diagnostics& diagnostics) {
  return HeadReader(root, diagnostics).run();
}

}  // namespace fifthpeg::musicxml::reader
