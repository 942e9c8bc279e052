#include "formats/midi/scan.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <optional>

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

// Reads forward in [at, end) of the file; never past it.
struct Cursor {
  std::string_view bytes;
  std::size_t at = 0;
  std::size_t end = 0;
  bool past_end = false;  // the chunk claims more bytes than there are

  bool done() const { return at >= end; }
  std::size_t left() const { return end - at; }
  std::uint8_t peek() const { return static_cast<std::uint8_t>(bytes[at]); }
  std::uint8_t take() { return static_cast<std::uint8_t>(bytes[at++]); }
};

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

// Writes the sound messages of a track as files of their own (see ScannedTrack::pieces).
class PieceWriter {
 public:
  explicit PieceWriter(std::vector<std::string>& pieces) : pieces_(pieces) {}

  void add(std::int64_t tick, unsigned status, unsigned data1, unsigned data2) {
    if (messages_ == most_messages) finish();
    piece_.channel(tick, status, data1, data2);
    ++messages_;
  }

  void finish() {
    if (messages_ == 0) return;
    pieces_.push_back(file_header(1, any_resolution) + piece_.finish(0));
    piece_ = {};
    messages_ = 0;
  }

 private:
  static constexpr int most_messages = 64;
  static constexpr unsigned any_resolution = 480;  // ticks stay ticks

  std::vector<std::string>& pieces_;
  TrackBytes piece_;
  int messages_ = 0;
};

class Scanner {
 public:
  explicit Scanner(std::string_view bytes) : bytes_(bytes), end_(bytes.size()) {}

  Scan run() {
    std::size_t at = unwrap_riff();
    if (scan_.damage.empty() && read_header(at)) read_chunks(at);
    return std::move(scan_);
  }

 private:
  void add(EntryKind kind, std::string_view slug, std::string_view text, std::size_t byte) {
    scan_.report.add(kind, slug, text, at_byte(byte));
  }
  void damaged(std::string_view slug, std::string text, std::size_t byte) {
    scan_.damage.push_back({std::string(slug), std::move(text), byte});
  }

  // An RMID file is a MIDI file inside of a RIFF container: returns where the inner file begins.
  std::size_t unwrap_riff() {
    if (bytes_.size() < 12 || !bytes_.starts_with("RIFF") || bytes_.substr(8, 4) != "RMID") return 0;
    std::size_t at = 12;
    while (at + chunk_header <= bytes_.size()) {
      const std::size_t length = little_endian(bytes_, at + 4);
      const std::size_t body = at + chunk_header;
      if (bytes_.substr(at, 4) == "data") {
        add(EntryKind::decision, "midi-riff", "the MIDI file inside a RIFF container was read", at);
        if (length <= bytes_.size() - body) {
          end_ = body + length;
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
    damaged("midi-riff-without-data", "a RIFF container of type RMID without a data chunk", 0);
    return 0;
  }

  bool read_header(std::size_t& at) {
    if (end_ - at < 4 || bytes_.substr(at, 4) != "MThd") {
      damaged("midi-no-header", "not a standard MIDI file: it does not begin with MThd", at);
      return false;
    }
    if (end_ - at < chunk_header + 6) {
      damaged("midi-cut-off", "the file ends inside its header", end_);
      return false;
    }
    const std::size_t length = big_endian(bytes_, at + 4, 4);
    const std::size_t body = at + chunk_header;
    if (length < 6) {
      damaged("midi-header-length", "the header is " + std::to_string(length) + " bytes long, not 6", at + 4);
      return false;
    }
    scan_.format = static_cast<int>(big_endian(bytes_, body, 2));
    if (scan_.format > 2) {
      damaged("midi-format", "MIDI format " + std::to_string(scan_.format) + "; only 0, 1 and 2 exist", body);
      return false;
    }
    claimed_tracks_ = big_endian(bytes_, body + 2, 2);
    claimed_at_ = body + 2;
    if (!read_division(body + 4)) return false;
    if (length > end_ - body) {
      add(EntryKind::repair, "midi-header-length", "the header claims more bytes than there are", at + 4);
      at = body + 6;
      return true;
    }
    if (length > 6) {
      add(EntryKind::repair, "midi-header-length", "the header is longer than 6 bytes; the rest was ignored",
          at + 4);
    }
    at = body + length;
    return true;
  }

  bool read_division(std::size_t at) {
    const std::uint32_t word = big_endian(bytes_, at, 2);
    if ((word & 0x8000U) == 0) {
      scan_.division.ticks_per_quarter = static_cast<int>(word);
      if (word == 0) damaged("midi-division", "a quarter note of 0 ticks", at);
      return word != 0;
    }
    const int frames = 256 - static_cast<int>(word >> 8U);
    const int ticks = static_cast<int>(word & 0xFFU);
    if ((frames != 24 && frames != 25 && frames != 29 && frames != 30) || ticks == 0) {
      damaged("midi-division",
              "a time code division of " + std::to_string(frames) + " frames a second with " +
                  std::to_string(ticks) + " ticks each; 24, 25, 29 and 30 frames exist",
              at);
      return false;
    }
    scan_.division.frames_per_second = frames;
    scan_.division.ticks_per_frame = ticks;
    return true;
  }

  void read_chunks(std::size_t at) {
    while (at < end_) {
      if (!begins_chunk(at)) {
        after_last_chunk(at);
        break;
      }
      const std::size_t length = big_endian(bytes_, at + 4, 4);
      const std::size_t body = at + chunk_header;
      const bool past_end = length > end_ - body;
      const std::size_t chunk_end = past_end ? end_ : body + length;
      if (bytes_.substr(at, 4) == "MTrk") {
        if (scan_.tracks.size() == most_tracks) {
          damaged("midi-too-many-tracks", "more than 65535 tracks", at);
          return;
        }
        at = read_track(at, chunk_end, past_end);
      } else if (past_end) {
        damaged("midi-cut-off",
                "the file ends inside a chunk that claims " + std::to_string(length) + " bytes", at + 4);
        return;
      } else {
        add(EntryKind::loss, "midi-unknown-chunk", "a chunk of an unknown type was ignored", at);
        at = chunk_end;
      }
    }
    compare_track_count();
  }

  bool begins_chunk(std::size_t at) const {
    if (end_ - at < chunk_header) return false;
    for (std::size_t i = 0; i < 4; ++i) {
      const auto c = static_cast<unsigned char>(bytes_[at + i]);
      if (c < 0x20 || c > 0x7E) return false;
    }
    return true;
  }

  void after_last_chunk(std::size_t at) {
    if (scan_.tracks.size() < claimed_tracks_) {
      damaged("midi-no-chunk", "no chunk begins here, although more tracks are announced", at);
      return;
    }
    add(EntryKind::repair, "midi-bytes-after-end", "bytes after the last chunk were ignored", at);
  }

  void compare_track_count() {
    if (scan_.tracks.empty() && scan_.damage.empty()) {
      damaged("midi-no-tracks", "there is no track in it", end_);
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

  // Returns where the next chunk begins.
  std::size_t read_track(std::size_t at, std::size_t chunk_end, bool past_end) {
    ScannedTrack& track = scan_.tracks.emplace_back();
    track.byte = at;
    PieceWriter sound(track.pieces);
    Cursor cursor{bytes_, at + chunk_header, chunk_end, past_end};
    std::int64_t now = 0;
    bool ended = false;
    unsigned running = 0;         // the last channel status
    bool running_broken = false;  // by a meta or system exclusive event since
    while (!ended && !cursor.done()) {
      const std::size_t event_at = cursor.at;
      const auto delta = take_variable_length(cursor);
      if (!delta) break;
      now += *delta;
      if (now > last_tick) {
        damaged("midi-too-long", "the music goes on beyond " + std::to_string(last_tick) + " ticks",
                event_at);
        break;
      }
      if (!has_more(cursor)) break;
      const std::size_t status_at = cursor.at;
      unsigned status = cursor.peek();
      if (status >= 0xF0) {
        cursor.take();
        running_broken = true;
        if (!take_system(cursor, track, status, status_at, now, ended)) break;
        continue;
      }
      if (status >= 0x80) {
        cursor.take();
        running = status;
        running_broken = false;
      } else if (running == 0) {
        damaged("midi-no-status", "a data byte " + hex(status) + " where a status byte is required",
                status_at);
        break;
      } else if (running_broken) {
        add(EntryKind::repair, "midi-running-status",
            "a message leaves out its status byte after a meta or system exclusive event; the one before "
            "holds",
            status_at);
      }
      if (!take_channel(cursor, sound, running, now)) break;
    }
    sound.finish();
    track.end = now < last_tick ? now : last_tick;
    return finish_track(track, cursor, ended);
  }

  std::size_t finish_track(const ScannedTrack& track, const Cursor& cursor, bool ended) {
    if (ended && cursor.past_end) {
      // The events themselves say where the track ends; the length is wrong, and the next chunk follows.
      add(EntryKind::repair, "midi-track-length", "a track claims more bytes than there are", track.byte + 4);
      return cursor.at;
    }
    if (ended && !cursor.done()) {
      add(EntryKind::repair, "midi-early-end", "bytes after the end of a track were ignored", cursor.at);
    } else if (!ended && cursor.done() && !(damaged_in(track))) {
      if (cursor.past_end) {
        damaged("midi-cut-off", "the file ends inside a track", end_);
      } else {
        add(EntryKind::repair, "midi-no-end-of-track", "a track has no end-of-track event", cursor.at);
      }
    }
    return cursor.end;
  }

  bool damaged_in(const ScannedTrack& track) const {
    return !scan_.damage.empty() && scan_.damage.back().byte >= track.byte;
  }

  void cut_off(const Cursor& cursor) {
    damaged("midi-cut-off",
            cursor.past_end || cursor.end == end_ ? "the file ends inside an event"
                                                  : "a track ends inside an event",
            cursor.end);
  }

  bool has_more(const Cursor& cursor) {
    if (cursor.done()) cut_off(cursor);
    return !cursor.done();
  }

  std::optional<std::uint32_t> take_variable_length(Cursor& cursor) {
    const std::size_t begin = cursor.at;
    std::uint32_t value = 0;
    for (int i = 0; i < 4; ++i) {
      if (!has_more(cursor)) return std::nullopt;
      const std::uint8_t byte = cursor.take();
      value = value << 7U | (byte & 0x7FU);
      if (byte < 0x80) return value;
    }
    damaged("midi-long-number", "a variable-length number of more than four bytes", begin);
    return std::nullopt;
  }

  bool take_channel(Cursor& cursor, PieceWriter& sound, unsigned status, std::int64_t now) {
    std::uint8_t data1 = 0;
    std::uint8_t data2 = 0;
    if (!take_data(cursor, data1)) return false;
    if (data_bytes(status) == 2 && !take_data(cursor, data2)) return false;
    sound.add(now, status, data1, data2);
    return true;
  }

  bool take_data(Cursor& cursor, std::uint8_t& data) {
    if (!has_more(cursor)) return false;
    if (cursor.peek() >= 0x80) {
      damaged("midi-data-byte", "a byte " + hex(cursor.peek()) + " where a data byte below 0x80 is required",
              cursor.at);
      return false;
    }
    data = cursor.take();
    return true;
  }

  bool take_system(Cursor& cursor, ScannedTrack& track, unsigned status, std::size_t at, std::int64_t now,
                   bool& ended) {
    switch (status) {
      case 0xFF:
        return take_meta(cursor, track, at, now, ended);
      case 0xF0:
      case 0xF7: {
        add(EntryKind::loss, "midi-sysex", "system exclusive messages were ignored", at);
        const auto length = take_variable_length(cursor);
        if (!length) return false;
        return skip(cursor, *length);
      }
      case 0xF4:
      case 0xF5:
      case 0xF9:
      case 0xFD:
        damaged("midi-status", "the status byte " + hex(status) + " is not defined", at);
        return false;
      default:
        // System common and real-time messages may not stand in a file; how long they are is known.
        add(EntryKind::repair, "midi-system-message",
            "a system message that does not belong in a file was ignored", at);
        return skip(cursor, status == 0xF2 ? 2U : status == 0xF1 || status == 0xF3 ? 1U : 0U);
    }
  }

  bool skip(Cursor& cursor, std::size_t length) {
    if (length > cursor.left()) {
      cursor.at = cursor.end;
      cut_off(cursor);
      return false;
    }
    cursor.at += length;
    return true;
  }

  bool take_meta(Cursor& cursor, ScannedTrack& track, std::size_t at, std::int64_t now, bool& ended) {
    if (!has_more(cursor)) return false;
    const std::uint8_t type_byte = cursor.take();
    if (type_byte >= 0x80) {
      damaged("midi-meta-type", "a meta event of type " + hex(type_byte) + "; types end at 0x7f", at + 1);
      return false;
    }
    const auto type = static_cast<Meta>(type_byte);
    const auto length = take_variable_length(cursor);
    if (!length) return false;
    const std::size_t body = cursor.at;
    if (!skip(cursor, *length)) return false;
    if (type == Meta::end_of_track) {
      ended = true;
    } else if (is_known_meta(type)) {
      track.metas.push_back({now, at, type, bytes_.substr(body, *length)});
    } else {
      add(EntryKind::loss, "midi-unknown-meta", "meta events of unknown types were ignored", at);
    }
    return true;
  }

  std::string_view bytes_;
  std::size_t end_;
  std::size_t claimed_tracks_ = 0;
  std::size_t claimed_at_ = 0;
  Scan scan_;
};

}  // namespace

Scan scan(std::string_view bytes) {
  return Scanner(bytes).run();
}

}  // namespace fifthpeg::midi
