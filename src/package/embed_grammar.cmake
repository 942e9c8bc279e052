# Writes a C++ file that holds other files: cmake -D OUTPUT=x.cpp -D "INPUTS=a.xsd;b.xsd" -P grammar_embed.cmake
# Without comments and the blanks between elements, which would be read anew at every start of the program.
# Bytes rather than one string literal, because compilers need not take literals of this length.
set(arrays "")
set(table "")
set(index 0)
foreach(input IN LISTS INPUTS)
  get_filename_component(name "${input}" NAME)
  file(READ "${input}" text)
  string(REGEX REPLACE "<!--([^-]|-[^-])*-->" "" text "${text}")
  string(REGEX REPLACE ">[ \r\n\t]+<" "><" text "${text}")
  string(HEX "${text}" bytes)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "'\\\\x\\1'," bytes "${bytes}")
  string(APPEND arrays "constexpr char text_${index}[] = {${bytes}};\n")
  string(APPEND table "    {\"${name}\", {text_${index}, sizeof text_${index}}},\n")
  math(EXPR index "${index} + 1")
endforeach()
file(WRITE "${OUTPUT}"
  "#include \"formats/musicxml/grammar/text.hpp\"\n\nnamespace fifthpeg::musicxml::grammar {\nnamespace {\n\n${arrays}\n"
  "struct GrammarText {\n  std::string_view name, text;\n};\nconstexpr GrammarText texts[] = {\n${table}};\n\n}  // namespace\n\n"
  "std::string_view grammar_text(std::string_view name) {\n  for (const GrammarText& one : texts)\n"
  "    if (one.name == name) return one.text;\n  return {};\n}\n\n}  // namespace fifthpeg::musicxml::grammar\n")
