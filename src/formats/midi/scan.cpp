#include "formats/midi/scan.hpp"

#include <algorithm>
#include <array>
#include <cstdio>

#include "formats/midi/track_bytes.hpp"

namespace fifthpeg::midi {
namespace {

constexpr std::size_t chunk_header = 8;
constexpr std::size_t most_tracks = 65'535;  // what the header can count

std::string hex(unsigned value) {
  char text[16];
  std::snprintf(text, sizeof text, "0x%02x", value);
  return text;
}

std::uint32_t big_endian(std::string_view bytes, std::size_t at, std::size_t size) {
  std::uint32_t value = 0;
  for (std::size_t i = 0; i < size; ++i) value = value << 8 | static_cast<std::uint8_t>(bytes[at + i]);
  return value;
}

std::uint32_t little_endian(std::string_view bytes, std::size_t at) {
  std::uint32_t value = 0;
  for (std::size_t i = 4; i-- > 0;) value = value << 8 | static_cast<std::uint8_t>(bytes[at + i]);
  return value;
}

bool is_known_meta(Meta type) {
  constexpr std::array known{Meta::sequence_number, Meta::channel_prefix,    Meta::port,
                             Meta::tempo,           Meta::smpte_offset,      Meta::time_signature,
                             Meta::key_signature,   Meta::sequencer_specific};
  return is_text(type) || std::find(known.begin(), known.end(), type) != known.end();
}

// Thrown where the rest of a track, or of the file, cannot be read. What is wrong is in the scan.
struct Unreadable {};

// What the scan of the file and that of a track say.
class ScanReporter {
 public:
  explicit ScanReporter(Scan& scan) : scan_(scan) {}

  void add(EntryKind kind, std::string_view slug, std::string_view text, std::size_t byte) {
    scan_.report.add(kind, slug, text, at_byte(byte));
  }
  void damaged(std::string_view slug, std::string text, std::size_t byte) {
    scan_.damage.push_back({std::string(slug), std::move(text), byte});
  }
  [[noreturn]] void fail(std::string_view slug, std::string text, std::size_t byte) {
    damaged(slug, std::move(text), byte);
    throw Unreadable{};
  }

 protected:
  Scan& scan_;
};

// Reads the events of one track; never past its end.
class TrackScanner : public ScanReporter {
 public:
  // The chunk at `begin` of the file, which may end before the chunk does.
  TrackScanner(std::string_view file, std::size_t begin, std::size_t length, Scan& scan)
      : ScanReporter(scan),
        file_(file),
        track_(scan.tracks.emplace_back()),
        at_(begin + chunk_header),
        past_end_(length > file.size() - at_),
        end_(past_end_ ? file.size() : at_ + length) {
    track_.byte = begin;
  }

  // Returns where the next chunk begins.
  std::size_t run() {
    bool broken = false;
    try {
      while (!ended_ && at_ < end_) take_event();
    } catch (const Unreadable&) {
      broken = true;
    }
    finish_piece();
    track_.end = std::min(now_, last_tick);
    if (ended_ && past_end_) {
      // The events themselves say where the track ends; the length is wrong, and the next chunk follows.
      add(EntryKind::repair, "midi-track-length", "a track claims more bytes than there are",
          track_.byte + 4);
      return at_;
    }
    if (ended_ && at_ < end_) {
      add(EntryKind::repair, "midi-early-end", "bytes after the end of a track were ignored", at_);
    } else if (!ended_ && !broken && past_end_) {
      damaged("midi-cut-off", "the file ends inside a track; is it cut off?", end_);
    } else if (!ended_ && !broken) {
      track_.lacks_end = true;
      track_.chunk_end = at_;
      add(EntryKind::repair, "midi-no-end-of-track", "a track has no end-of-track event", at_);
    }
    return end_;
  }

 private:
  static constexpr int most_messages = 48;         // of a piece
  static constexpr unsigned any_resolution = 480;  // ticks stay ticks

  void take_event() {
    const std::size_t begin = at_;
    now_ += take_variable_length();
    if (now_ > last_tick) {
      fail("midi-too-long", "the music goes on beyond " + std::to_string(last_tick) + " ticks", begin);
    }
    const std::size_t status_at = at_;
    const unsigned status = peek();
    if (status >= 0x80) ++at_;
    if (status >= 0xF0) {
      running_broken_ = true;
      take_system(status, status_at);
      return;
    }
    if (status >= 0x80) {
      running_ = status;
      running_broken_ = false;
    } else if (running_ == 0) {
      fail("midi-no-status", "a data byte " + hex(status) + " where a status byte is required", status_at);
    } else if (running_broken_) {
      add(EntryKind::repair, "midi-running-status",
          "a message leaves out its status byte after a meta or system exclusive event; the one before "
          "holds",
          status_at);
    }
    if (messages_ == most_messages) finish_piece();
    const unsigned data1 = take_data();
    piece_.channel(now_, running_, data1, data_bytes(running_) == 2 ? take_data() : 0U);
    ++messages_;
  }

  // The sound messages, as files of their own (see ScannedTrack::pieces).
  void finish_piece() {
    if (messages_ == 0) return;
    track_.pieces.push_back(file_header(1, any_resolution) + piece_.finish(0));
    piece_ = {};
    messages_ = 0;
  }

  [[noreturn]] void cut_off() {
    fail("midi-cut-off",
         end_ == file_.size() ? "the file ends inside an event; is it cut off?"
                              : "a track ends inside an event",
         end_);
  }

  std::uint8_t peek() {
    if (at_ >= end_) cut_off();
    return static_cast<std::uint8_t>(file_[at_]);
  }

  std::uint8_t take_data() {
    const std::uint8_t byte = peek();
    if (byte >= 0x80) {
      fail("midi-data-byte", "a byte " + hex(byte) + " where a data byte below 0x80 is required", at_);
    }
    ++at_;
    return byte;
  }

  std::uint32_t take_variable_length() {
    const std::size_t begin = at_;
    std::uint32_t value = 0;
    for (int i = 0; i < 4; ++i) {
      const std::uint8_t byte = peek();
      ++at_;
      value = value << 7U | (byte & 0x7FU);
      if (byte < 0x80) return value;
    }
    fail("midi-long-number", "a variable-length number of more than four bytes", begin);
  }

  std::string_view take_bytes(std::size_t length) {
    if (length > end_ - at_) cut_off();
    const std::string_view bytes = file_.substr(at_, length);
    at_ += length;
    return bytes;
  }

  void take_system(unsigned status, std::size_t at) {
    switch (status) {
      case 0xFF:
        take_meta(at);
        break;
      case 0xF0:
      case 0xF7:
        add(EntryKind::loss, "midi-sysex", "system exclusive messages were ignored", at);
        take_bytes(take_variable_length());
        break;
      case 0xF4:
      case 0xF5:
      case 0xF9:
      case 0xFD:
        fail("midi-status", "the status byte " + hex(status) + " is not defined", at);
      default:
        // System common and real-time messages may not stand in a file; how long they are is known.
        add(EntryKind::repair, "midi-system-message",
            "a system message that does not belong in a file was ignored", at);
        take_bytes(status == 0xF2 ? 2U : status == 0xF1 || status == 0xF3 ? 1U : 0U);
    }
  }

  void take_meta(std::size_t at) {
    const std::uint8_t type_byte = peek();
    ++at_;
    if (type_byte >= 0x80) {
      fail("midi-meta-type", "a meta event of type " + hex(type_byte) + "; types end at 0x7f", at + 1);
    }
    const auto type = static_cast<Meta>(type_byte);
    const std::string_view data = take_bytes(take_variable_length());
    if (type == Meta::end_of_track) {
      ended_ = true;
    } else if (is_known_meta(type)) {
      track_.metas.push_back({now_, at, type, data});
    } else {
      add(EntryKind::loss, "midi-unknown-meta", "meta events of unknown types were ignored", at);
    }
  }

  std::string_view file_;
  ScannedTrack& track_;
  std::size_t at_;  // the next byte
  bool past_end_;   // the chunk claims more bytes than there are
  std::size_t end_;
  std::int64_t now_ = 0;
  bool ended_ = false;           // by its event
  unsigned running_ = 0;         // the last channel status
  bool running_broken_ = false;  // by a meta or system exclusive event since
  TrackBytes piece_;
  int messages_ = 0;  // in it
};

class Scanner : public ScanReporter {
 public:
  Scanner(std::string_view bytes, Scan& scan) : ScanReporter(scan), bytes_(bytes) {}

  void run() {
    try {
      read_chunks(read_header(unwrap_riff()));
    } catch (const Unreadable&) {
    }
  }

 private:
  // An RMID file is a MIDI file inside of a RIFF container: returns where the inner file begins.
  std::size_t unwrap_riff() {
    if (bytes_.size() < 12 || !bytes_.starts_with("RIFF") || bytes_.substr(8, 4) != "RMID") return 0;
    std::size_t at = 12;
    while (at + chunk_header <= bytes_.size()) {
      const std::size_t length = little_endian(bytes_, at + 4);
      const std::size_t body = at + chunk_header;
      if (bytes_.substr(at, 4) == "data") {
        add(EntryKind::decision, "midi-riff", "the MIDI file inside a RIFF container was read", at);
        scan_.riff_length_at = at + 4;
        if (length <= bytes_.size() - body) {
          bytes_ = bytes_.substr(0, body + length);
        } else {
          add(EntryKind::repair, "midi-riff-length", "the RIFF data chunk claims more bytes than there are",
              at + 4);
        }
        return body;
      }
      add(EntryKind::loss, "midi-riff-chunk", "a RIFF chunk beside the music was ignored", at);
      if (length > bytes_.size() - body) break;
      at = body + length + length % 2;
    }
    fail("midi-riff-without-data", "a RIFF container of type RMID without a data chunk", 0);
  }

  // Returns where the chunks behind it begin.
  std::size_t read_header(std::size_t at) {
    if (bytes_.substr(at, 4) != "MThd") {
      fail("midi-no-header", "not a standard MIDI file: it does not begin with MThd", at);
    }
    if (bytes_.size() - at < chunk_header + 6) {
      fail("midi-cut-off", "the file ends inside its header; is it cut off?", bytes_.size());
    }
    const std::size_t length = big_endian(bytes_, at + 4, 4);
    const std::size_t body = at + chunk_header;
    if (length < 6) {
      fail("midi-header-length", "the header is " + std::to_string(length) + " bytes long, not 6", at + 4);
    }
    scan_.format = static_cast<int>(big_endian(bytes_, body, 2));
    if (scan_.format > 2) {
      fail("midi-format", "MIDI format " + std::to_string(scan_.format) + "; only 0, 1 and 2 exist", body);
    }
    claimed_at_ = body + 2;
    claimed_tracks_ = big_endian(bytes_, claimed_at_, 2);
    read_division(body + 4);
    if (length == 6) return body + length;
    const bool past_end = length > bytes_.size() - body;
    add(EntryKind::repair, "midi-header-length",
        past_end ? "the header claims more bytes than there are"
                 : "the header is longer than 6 bytes; the rest was ignored",
        at + 4);
    return body + (past_end ? 6 : length);
  }

  void read_division(std::size_t at) {
    const std::uint32_t word = big_endian(bytes_, at, 2);
    if (word == 0) fail("midi-division", "a quarter note of 0 ticks", at);
    if ((word & 0x8000U) == 0) {
      scan_.division.ticks_per_quarter = static_cast<int>(word);
      return;
    }
    const int frames = 256 - static_cast<int>(word >> 8U);
    const int ticks = static_cast<int>(word & 0xFFU);
    if ((frames != 24 && frames != 25 && frames != 29 && frames != 30) || ticks == 0) {
      fail("midi-division",
           "a time code division of " + std::to_string(frames) + " frames a second with " +
               std::to_string(ticks) + " ticks each; 24, 25, 29 and 30 frames exist",
           at);
    }
    scan_.division.frames_per_second = frames;
    scan_.division.ticks_per_frame = ticks;
  }

  void read_chunks(std::size_t at) {
    while (at < bytes_.size()) {
      if (!begins_chunk(at)) {
        after_last_chunk(at);
        break;
      }
      const std::size_t length = big_endian(bytes_, at + 4, 4);
      const std::size_t body = at + chunk_header;
      if (bytes_.substr(at, 4) == "MTrk") {
        if (scan_.tracks.size() == most_tracks) fail("midi-too-many-tracks", "more than 65535 tracks", at);
        at = TrackScanner(bytes_, at, length, scan_).run();
      } else if (length > bytes_.size() - body) {
        fail("midi-cut-off",
             "the file ends inside a chunk that claims " + std::to_string(length) + " bytes; is it cut off?",
             at + 4);
      } else {
        add(EntryKind::loss, "midi-unknown-chunk", "a chunk of an unknown type was ignored", at);
        at = body + length;
      }
    }
    compare_track_count();
  }

  // By the letters of its type.
  bool begins_chunk(std::size_t at) const {
    const std::string_view type = bytes_.substr(at, 4);
    return bytes_.size() - at >= chunk_header &&
           std::all_of(type.begin(), type.end(), [](char c) { return c >= 0x20 && c <= 0x7E; });
  }

  void after_last_chunk(std::size_t at) {
    if (scan_.tracks.size() < claimed_tracks_ && bytes_.size() - at < chunk_header) {
      damaged("midi-cut-off", "the file ends where another track should begin; is it cut off?", at);
    } else if (scan_.tracks.size() < claimed_tracks_) {
      damaged("midi-no-chunk", "no chunk begins here, although more tracks are announced", at);
    } else {
      add(EntryKind::repair, "midi-bytes-after-end", "bytes after the last chunk were ignored", at);
    }
  }

  void compare_track_count() {
    if (scan_.tracks.empty() && scan_.damage.empty()) {
      damaged("midi-no-tracks", "there is no track in it", bytes_.size());
    } else if (scan_.tracks.size() != claimed_tracks_) {
      add(EntryKind::repair, "midi-track-count",
          "the header claims " + std::to_string(claimed_tracks_) + " tracks, " +
              std::to_string(scan_.tracks.size()) + " are there",
          claimed_at_);
    }
    if (scan_.format == 0 && scan_.tracks.size() > 1) {
      add(EntryKind::repair, "midi-format-0-tracks", "format 0 has one track; read as format 1", claimed_at_);
      scan_.format = 1;
    }
  }

  std::string_view bytes_;
  std::size_t claimed_tracks_ = 0;
  std::size_t claimed_at_ = 0;
};

}  // namespace

Scan scan(std::string_view bytes) {
  Scan result;
  Scanner(bytes, result).run();
  return result;
}

}  // namespace fifthpeg::midi
