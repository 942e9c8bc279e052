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
  "constexpr GrammarText texts[] = {\n${table}};\n\n}  // namespace\n\n"
  "std::span<const GrammarText> grammar_texts() { return texts; }\n\n}  // namespace fifthpeg::musicxml::grammar\n")
