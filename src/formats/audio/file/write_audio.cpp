// write_audio: through libsndfile, which takes memory for a file.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <memory>
#include <sndfile.h>
#include <string>
#include <vector>

#include "fifthpeg/audio_file.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/audio/file/master.hpp"

namespace fifthpeg {
namespace {

// Both formats go back to their beginning at the end, to say how long they are.
struct MemoryFile {
  std::string bytes;
  sf_count_t at = 0;
};

MemoryFile& memory_file(void* file) {
  return *static_cast<MemoryFile*>(file);
}

SF_VIRTUAL_IO memory_calls() {
  SF_VIRTUAL_IO calls{};
  calls.get_filelen = [](void* file) { return static_cast<sf_count_t>(memory_file(file).bytes.size()); };
  calls.seek = [](sf_count_t offset, int whence, void* file) {
    MemoryFile& memory = memory_file(file);
    if (whence == SEEK_CUR) offset += memory.at;
    if (whence == SEEK_END) offset += static_cast<sf_count_t>(memory.bytes.size());
    memory.at = std::max<sf_count_t>(0, offset);
    return memory.at;
  };
  calls.read = [](void* to, sf_count_t count, void* file) {
    MemoryFile& memory = memory_file(file);
    const auto length = static_cast<sf_count_t>(memory.bytes.size());
    const sf_count_t taken = std::clamp<sf_count_t>(length - memory.at, 0, count);
    std::memcpy(to, memory.bytes.data() + memory.at, static_cast<std::size_t>(taken));
    memory.at += taken;
    return taken;
  };
  calls.write = [](const void* from, sf_count_t count, void* file) {
    MemoryFile& memory = memory_file(file);
    const auto end = static_cast<std::size_t>(memory.at + count);
    try {
      if (memory.bytes.size() < end) memory.bytes.resize(end);
    } catch (const std::bad_alloc&) {
      return sf_count_t{0};  // may not pass through C
    }
    std::memcpy(memory.bytes.data() + memory.at, from, static_cast<std::size_t>(count));
    memory.at += count;
    return count;
  };
  calls.tell = [](void* file) { return memory_file(file).at; };
  return calls;
}

struct CloseSound {
  void operator()(SNDFILE* file) const { sf_close(file); }
};

constexpr double full_scale = 32767;

}  // namespace

Report write_audio(const Sounding& sounding, AudioFormat format, Sink& sink) {
  if (sounding.seconds > longest_audio) {
    throw WriteError("too-long", "the audio would be longer than " +
                                     std::to_string(static_cast<int>(longest_audio / 3600)) + " hours");
  }
  MemoryFile memory;
  SF_VIRTUAL_IO calls = memory_calls();
  SF_INFO info{};
  info.samplerate = sample_rate;
  info.channels = 1;
  info.format = (format == AudioFormat::flac ? SF_FORMAT_FLAC : SF_FORMAT_WAV) | SF_FORMAT_PCM_16;
  std::unique_ptr<SNDFILE, CloseSound> file(sf_open_virtual(&calls, SFM_WRITE, &info, &memory));
  if (!file) throw WriteError(std::string("libsndfile writes no such audio: ") + sf_strerror(nullptr));

  const audio::Master master = audio::master(sounding);
  std::vector<short> samples;
  audio::play(sounding, master, [&](std::span<const double> piece) {
    samples.resize(piece.size());
    std::transform(piece.begin(), piece.end(), samples.begin(),
                   [](double sample) { return static_cast<short>(std::lround(full_scale * sample)); });
    const auto count = static_cast<sf_count_t>(samples.size());
    if (sf_write_short(file.get(), samples.data(), count) != count) throw std::bad_alloc();
  });
  file.reset();
  sink.write(memory.bytes);

  Report report;
  if (master.softer_by > 0.5) {
    report.add(EntryKind::decision, "audio-softer",
               "the audio is softer than other tracks, or its attacks would sound squeezed");
  }
  return report;
}

}  // namespace fifthpeg
