#include "formats/musicxml/head.hpp"

#include <algorithm>
#include <array>
#include <cstdio>

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
std::optional<Swing> parse_swing(const std::string& text) {
  int num = 0;
  int den = 0;
  Swing swing;
  int end = -1;
  std::sscanf(text.c_str(), "%9d/%9d %9d:%9d%n", &num, &den, &swing.first, &swing.second, &end);
  if (end != static_cast<int>(text.size()) || std::min({num, den, swing.first, swing.second}) < 1)
    return std::nullopt;
  swing.unit = Fraction(num, den);
  return swing;
}

// Fields that a part may have to itself. The names of none begin like another's.
constexpr std::array part_fields{musicxml::field_fifth_capo, musicxml::field_fifth_tuning,
                                 musicxml::field_frets, musicxml::field_key_estimated};

void take_fields(const PartFields& fields, Head& head) {
  if (fields.fifth_capo) head.fifth_capo = fields.fifth_capo;
  if (fields.fifth_tuning) head.fifth_tuning = fields.fifth_tuning;
  if (fields.frets) head.frets = fields.frets;
  if (fields.key_estimated) head.key_estimated = *fields.key_estimated;
}

class HeadReader {
 public:
  HeadReader(const Element& root, Diagnostics& diagnostics) : root_(root), diagnostics_(diagnostics) {}

  Head run() {
    diagnostics_.unread_inside(root_);
    each_child(root_, [&](const Element& child, std::string_view name) {
      if (name == "work") {
        if (const Element* const title = child.FirstChildElement("work-title")) titles_.work = keep(*title);
      } else if (name == "movement-title") {
        titles_.movement = keep(child);
      } else if (name == "identification") {
        read_identification(child);
      } else if (name == "credit") {
        read_credit(child);
      }
    });
    settle_title();
    take_fields(of_all_, head_);
    return std::move(head_);
  }

 private:
  std::string keep(const Element& element) {
    return head_.texts.emplace_back(diagnostics_.line_of(element), text_of(element)).second;
  }

  void read_identification(const Element& element) {
    each_child(element, [&](const Element& child, std::string_view name) {
      if (name == "creator") {
        read_creator(child);
      } else if (name == "rights") {
        add_line(head_.work.rights, keep(child));
        head_.has_rights = head_.has_rights || !token_of(child).empty();
      } else if (name == "source") {
        add_line(head_.work.source, text_of(child));
      } else if (name == "miscellaneous") {
        each_child(child, [&](const Element& field, std::string_view kind) {
          if (kind == "miscellaneous-field") read_field(field);
        });
      }
    });
  }

  void read_creator(const Element& element) {
    const char* const stated = element.Attribute("type");
    const std::string_view type = stated == nullptr ? "composer" : stated;
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
                        element);
    }
  }

  void read_field(const Element& element) {
    const std::string_view name = attribute(element, "name");
    const std::string text = text_of(element);
    bool known = true;
    if (name == musicxml::field_fifth_frets) {
      head_.own_nut = trimmed(text) == musicxml::own_nut;
    } else if (name == musicxml::field_swing) {
      head_.swing = parse_swing(std::string(trimmed(text)));
      known = head_.swing.has_value();
    } else {
      known = read_part_field(name, text);
    }
    if (!known) {
      diagnostics_.loss("musicxml-miscellaneous", "a miscellaneous field of the file is left out", element);
    }
  }

  // Of all parts, or, with an id behind the name, of that part.
  bool read_part_field(std::string_view name, const std::string& text) {
    const auto field = std::find_if(part_fields.begin(), part_fields.end(), [name](std::string_view one) {
      return name == one ||
             (name.starts_with(one) && name.size() > one.size() + 1 && name[one.size()] == '.');
    });
    if (field == part_fields.end()) return false;
    PartFields& of = name == *field ? of_all_ : head_.of_parts[std::string(name.substr(field->size() + 1))];
    if (*field == musicxml::field_fifth_capo) {
      of.fifth_capo = whole_number(text);
      return of.fifth_capo.has_value();
    }
    if (*field == musicxml::field_fifth_tuning) {
      of.fifth_tuning = parse_pitch(trimmed(text));
      return of.fifth_tuning.has_value();
    }
    if (*field == musicxml::field_key_estimated) {
      of.key_estimated = is_yes(text);
      return true;
    }
    of.frets = whole_number(text);
    constexpr int most_frets = 60;
    const bool known = of.frets && *of.frets >= 1 && *of.frets <= most_frets;
    if (!known) of.frets.reset();
    return known;
  }

  // Only a page knows credits; but some files have their title nowhere else.
  void read_credit(const Element& element) {
    bool title = false;
    std::string_view type;
    std::string words;
    each_child(element, [&](const Element& child, std::string_view name) {
      if (name == "credit-type") {
        title = title || token_of(child) == "title";
        if (type.empty()) type = token_of(child);
      }
      if (name != "credit-words") return;
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
  PartFields of_all_;
  Titles titles_;
  std::int64_t credit_line_ = 0;
};

}  // namespace

Head Head::of_part(const std::string& id) const {
  Head head = *this;
  if (const auto fields = of_parts.find(id); fields != of_parts.end()) take_fields(fields->second, head);
  return head;
}

Head read_head(const Element& root, Diagnostics& diagnostics) {
  return HeadReader(root, diagnostics).run();
}

}  // namespace fifthpeg::musicxml::reader
