// The generated grammars as they are in schemas/generated, made part of the program by embed_grammar.cmake.
#pragma once

#include <string_view>

namespace fifthpeg::musicxml::grammar {

// Of a file such as "musicxml.xsd"; empty where there is none of that name.
std::string_view grammar_text(std::string_view name);

}  // namespace fifthpeg::musicxml::grammar
