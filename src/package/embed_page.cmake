# Writes a C++ file that holds the style, program and controls of a page: cmake -D OUTPUT=x.cpp -D FOLDER=src/formats/page
# -P embed_page.cmake
# Bytes rather than one string literal, because compilers need not take literals of this length.
file(GLOB inputs "${FOLDER}/*.js" "${FOLDER}/*.css" "${FOLDER}/*.html")
list(SORT inputs)
set(arrays "")
set(table "")
set(index 0)
foreach(input IN LISTS inputs)
  get_filename_component(name "${input}" NAME)
  file(READ "${input}" bytes HEX)
  file(SHA256 "${input}" sum)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "'\\\\x\\1'," bytes "${bytes}")
  string(APPEND arrays "constexpr char page_text_${index}[] = {${bytes}};\n")
  string(APPEND table "    {\"${name}\", {page_text_${index}, sizeof page_text_${index}}, \"${sum}\"},\n")
  math(EXPR index "${index} + 1")
endforeach()
file(WRITE "${OUTPUT}"
  "#include \"formats/page/page_files.hpp\"\n\n#include <stdexcept>\n#include <string>\n\n"
  "namespace fifthpeg::page {\nnamespace {\n\n${arrays}\nconstexpr PageFile page_files[] = {\n${table}};\n\n"
  "}  // namespace\n\nconst PageFile& page_file(std::string_view name) {\n  for (const PageFile& one : page_files)\n"
  "    if (one.name == name) return one;\n  throw std::out_of_range(\"no part of the page: \" + std::string(name));\n}\n\n"
  "}  // namespace fifthpeg::page\n")
