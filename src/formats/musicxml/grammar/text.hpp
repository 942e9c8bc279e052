// The generated grammars as they are in schemas/generated, made part of the program by grammar_embed.cmake.
#pragma once

#include <span>
#include <string_view>

namespace fifthpeg::musicxml::grammar {

struct GrammarText {
  std::string_view name;  // "musicxml.xsd"
  std::string_view text;
};

std::span<const GrammarText> grammar_texts();

}  // namespace fifthpeg::musicxml::grammar
