// Judges many documents with the program's own grammar, for the tests that compare it with others:
//
//   standard input:  for each document its length in bytes as a decimal number, a line feed, the document
//   standard output: for each a line: the kinds of its findings with spaces between them, nothing where it
//   has none
//
// The one argument is "score" or "container".
#include <cstddef>
#include <iostream>
#include <string>

#include "formats/musicxml/grammar.hpp"

int main(int count, char** arguments) {
  using fifthpeg::musicxml::grammar::Grammar;
  const std::string what = count == 2 ? arguments[1] : "";
  if (what != "score" && what != "container") return 2;
  const Grammar& grammar = Grammar::of(what == "score" ? Grammar::Of::score : Grammar::Of::container);
  std::size_t length = 0;
  while (std::cin >> length && std::cin.get() == '\n') {
    std::string document(length, '\0');
    if (!std::cin.read(document.data(), static_cast<std::streamsize>(length))) return 1;
    std::string line;
    for (const auto& finding : grammar.check(document).findings) {
      if (!line.empty()) line += ' ';
      line += slug(finding.fault);
    }
    std::cout << line << '\n';
  }
  return 0;
}
