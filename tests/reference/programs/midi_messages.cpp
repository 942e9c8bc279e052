// midi_messages FILE: prints the channel messages of a MIDI file, one a line: track (from 0), tick, bytes.
#include <cstdio>
#include <fstream>
#include <sstream>

#include "formats/midi/messages.hpp"
#include "formats/midi/scan.hpp"

int main(int argc, char** argv) {
  if (argc != 2) return 1;
  std::ifstream file(argv[1], std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  const std::string text = bytes.str();
  const fifthpeg::midi::Scan scan = fifthpeg::midi::scan(text);
  for (std::size_t track = 0; track < scan.tracks.size(); ++track) {
    for_each_message(scan.tracks[track], [track](const fifthpeg::midi::ChannelMessage& message) {
      std::printf("%zu %lld %d %d", track, static_cast<long long>(message.tick), message.status,
                  message.first);
      if (message.kind() != 0xC0 && message.kind() != 0xD0) std::printf(" %d", message.second);
      std::printf("\n");
    });
  }
  return scan.damage.empty() ? 0 : 1;
}
