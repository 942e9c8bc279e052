// smf_messages FILE...: prints the name of each sound MIDI file whose messages are read otherwise than libsmf
// reads them, with the first difference. The exit status is 1 if there is one.
#include <cstdio>
#include <fstream>
#include <sstream>

#include "formats/midi/by_libsmf.hpp"

int main(int argc, char** argv) {
  int status = 0;
  for (int i = 1; i < argc; ++i) {
    std::ifstream file(argv[i], std::ios::binary);
    std::ostringstream bytes;
    bytes << file.rdbuf();
    const std::string difference = smf_by_libsmf::difference(bytes.str());
    if (difference.empty()) continue;
    std::printf("%s: %s\n", argv[i], difference.c_str());
    std::fflush(stdout);  // a leak of libsmf's, of a file that it refuses, may end the program before that
    status = 1;
  }
  return status;
}
