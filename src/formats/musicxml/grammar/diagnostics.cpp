// The part of a run that puts a mistake into words.
#include <libxml/xmlerror.h>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/text.hpp"
#include "formats/musicxml/grammar/messages.hpp"
#include "formats/musicxml/grammar/run.hpp"
#include "formats/musicxml/grammar/xml_text.hpp"

namespace fifthpeg::musicxml::grammar {
namespace {

// libxml2 names an attribute {namespace}name; people write xml:lang and xlink:href.
std::string as_written(std::string_view name) {
  if (!name.starts_with('{') || name.find('}') == std::string_view::npos) return std::string(name);
  const std::string_view name_space = name.substr(1, name.find('}') - 1);
  const std::string local(name.substr(name.find('}') + 1));
  if (name_space == "http://www.w3.org/XML/1998/namespace") return "xml:" + local;
  if (name_space == "http://www.w3.org/1999/xlink") return "xlink:" + local;
  return local + " (of the namespace " + std::string(name_space) + ")";
}

// "Element 'note', attribute 'color': ...": the only place where libxml2 says which attribute has a wrong
// value.
std::string attribute_of(std::string_view message) {
  constexpr std::string_view before = ", attribute '";
  const std::size_t colon = message.find("': ");
  const std::size_t begin = message.find(before);
  if (begin == std::string_view::npos || begin > colon) return {};
  const std::size_t name = begin + before.size();
  return as_written(message.substr(name, message.find('\'', name) - name));
}

std::vector<std::string> attribute_names(const ElementWords& words) {
  std::vector<std::string> names;
  for (const AttributeWords& attribute : words.attributes) names.emplace_back(attribute.name);
  return names;
}

}  // namespace

void GrammarRun::on_validator_error(const xmlError& error) {
  switch (error.code) {
    case XML_SCHEMAV_ELEMENT_CONTENT:  // reported already: see child() and end()
      if (!path_.here().content_reported) {
        path_.here().content_reported = true;
        add(GrammarFault::misplaced_element,
            "the content of " + in_tag(path_.here().name) + " is out of order", {});
      }
      return;
    case XML_SCHEMAV_CVC_COMPLEX_TYPE_2_1:
    case XML_SCHEMAV_CVC_COMPLEX_TYPE_2_2:
    case XML_SCHEMAV_CVC_COMPLEX_TYPE_2_3:
      add_text({});
      return;
    case XML_SCHEMAV_CVC_COMPLEX_TYPE_3_2_1:
    case XML_SCHEMAV_CVC_COMPLEX_TYPE_4:
      add_attribute(error);
      return;
    default:
      add_value(error);
  }
}

void GrammarRun::add_unknown(std::string_view name, const ElementWords& holder) {
  const std::vector<std::string> children = holder.children();
  std::string message = in_tag(name);
  const std::vector<std::string> holders = vocabulary_.holders(name);
  const std::string meant = holders.empty() ? nearest(name, children) : std::string();
  if (holders.empty()) {
    message += " is not an element of MusicXML";
  } else {
    message += " does not belong in " + in_tag(holder.name) + " but in " + in_tags(holders);
  }
  if (!meant.empty()) message += "; " + in_tag(meant) + " may be meant";
  std::string expected = in_tags(children);
  if (children.empty()) expected = holder.values.empty() ? "nothing" : holder.values;
  add(GrammarFault::unknown_element, std::move(message), std::move(expected));
}

void GrammarRun::add_misplaced(std::string_view name, const ElementPath::Level& holder) {
  std::string message;
  if (holder.last_child.empty()) {
    message = in_tag(name) + " cannot come first in " + in_tag(holder.name);
  } else if (holder.last_child == name) {
    message = "there is one " + in_tag(name) + " more than is allowed in " + in_tag(holder.name);
  } else {
    message = in_tag(name) + " cannot come after " + in_tag(holder.last_child) + " in " + in_tag(holder.name);
  }
  const std::vector<std::string> expected = holder.words->order.expected(holder.at);
  add(GrammarFault::misplaced_element, std::move(message),
      expected.empty() ? "nothing more in " + in_tag(holder.name) : in_tags(expected));
}

void GrammarRun::add_text(std::string_view written) {
  ElementPath::Level& here = path_.here();
  if (here.text_reported) return;
  here.text_reported = true;
  const std::string what = base::trimmed(written).empty() ? "blanks" : in_quotes(base::trimmed(written));
  if (here.words->holds_elements()) {
    add(GrammarFault::unexpected_text,
        in_tag(here.name) + " holds the text " + what + " between its elements",
        in_tags(here.words->order.expected(here.at)));
  } else {
    add(GrammarFault::unexpected_text, in_tag(here.name) + " must be empty and holds " + what, "nothing");
  }
}

void GrammarRun::add_value(const xmlError& error) {
  const ElementWords& words = *path_.here().words;
  const std::string attribute = attribute_of(view(error.message));
  if (attribute.empty() && path_.here().text_reported) return;  // the validator was not shown all of it
  const std::string_view value = view(error.str1);
  std::string subject = attribute.empty() ? in_tag(words.name) : attribute + " on " + in_tag(words.name);
  subject += base::trimmed(value).empty() ? " is empty" : " is " + in_quotes(value);
  const AttributeWords* known = words.attribute(attribute);
  if (attribute.empty()) {
    add(GrammarFault::bad_value, std::move(subject), words.values);
  } else {
    add(GrammarFault::bad_value, std::move(subject),
        known == nullptr ? std::string() : vocabulary_.values(*known));
  }
}

void GrammarRun::add_attribute(const xmlError& error) {
  const ElementWords& words = *path_.here().words;
  const std::string name = as_written(view(error.str1));
  if (error.code == XML_SCHEMAV_CVC_COMPLEX_TYPE_4) {
    const AttributeWords* known = words.attribute(name);
    add(GrammarFault::missing_attribute, in_tag(words.name) + " has no " + name,
        known == nullptr ? name : name + " with " + vocabulary_.values(*known));
    return;
  }
  const std::vector<std::string> names = attribute_names(words);
  const std::string meant = nearest(name, names);
  std::string message = in_tag(words.name) + " has no attribute " + in_quotes(name);
  if (!meant.empty()) message += "; " + meant + " may be meant";
  add(GrammarFault::unknown_attribute, std::move(message), names.empty() ? "no attribute" : listed_or(names));
}

void GrammarRun::add(GrammarFault fault, std::string message, std::string expected) {
  // Words are made only for what is kept: a file may hold a million mistakes.
  add_at(line(), verdict_.findings.size() < kept_ ? path_.spot() : GrammarSpot{}, fault, std::move(message),
         std::move(expected));
}

void GrammarRun::add_at(std::int64_t line, GrammarSpot place, GrammarFault fault, std::string message,
                        std::string expected) {
  ++verdict_.count;
  if (verdict_.findings.size() < kept_)
    verdict_.findings.push_back({fault, line, std::move(place), std::move(message), std::move(expected)});
}

}  // namespace fifthpeg::musicxml::grammar
