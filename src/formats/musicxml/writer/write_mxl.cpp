// Compressed MusicXML: a zip archive with its media type first and uncompressed, META-INF/container.xml and
// the score. The score is compressed as it is written and never stands in memory as a whole. All members
// bear the earliest date that an archive can state, so that the same score gives the same bytes.
#include <exception>
#include <string>
#include <zip.h>

#include "base/zip_handles.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/write.hpp"
#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/writer/score_writer.hpp"

namespace fifthpeg {
namespace {

using base::Archive;
using base::Source;
using musicxml::writer::ScoreWriter;

constexpr zip_uint16_t first_dos_date = 1U << 5U | 1U;  // 1980-01-01
constexpr zip_uint16_t first_dos_time = 0;

[[noreturn]] void fail(const std::string& why) {
  throw WriteError("the compressed score could not be made: " + why);
}

class CountingSink : public Sink {
 public:
  void write(std::string_view bytes) override { count_ += bytes.size(); }
  zip_uint64_t count() const { return count_; }

 private:
  zip_uint64_t count_ = 0;
};

// The uncompressed length, which the archive states in front of the data. (Archives whose lengths come
// behind the data use extensions that not every reader has.)
zip_uint64_t length_of(const Score& score, const MusicXmlOptions& options) {
  CountingSink sink;
  Report unheard;
  ScoreWriter writer(score, options, sink, unheard);
  while (writer.write_some()) {
  }
  return sink.count();
}

// The score's document as libzip reads it: what is written goes into a buffer that is read empty.
class Document {
 public:
  Document(const Score& score, const MusicXmlOptions& options, Report& report)
      : length_(length_of(score, options)), writer_(score, options, sink_, report) {
    zip_error_init(&error_);
  }
  ~Document() { zip_error_fini(&error_); }
  Document(const Document&) = delete;
  Document& operator=(const Document&) = delete;

  // libzip's callback; nothing is thrown through it.
  static zip_int64_t serve(void* state, void* data, zip_uint64_t length, zip_source_cmd_t command) {
    return static_cast<Document*>(state)->serve(data, length, command);
  }
  // What stopped the writing, if anything did.
  std::exception_ptr failure() const { return failure_; }

 private:
  class Pending : public Sink {
   public:
    void write(std::string_view bytes) override { text.append(bytes); }
    std::string text;
  };

  zip_int64_t serve(void* data, zip_uint64_t length, zip_source_cmd_t command) {
    switch (command) {
      case ZIP_SOURCE_OPEN:
      case ZIP_SOURCE_CLOSE:
      case ZIP_SOURCE_FREE:
        return 0;
      case ZIP_SOURCE_READ:
        return read(static_cast<char*>(data), length);
      case ZIP_SOURCE_STAT: {
        auto* stat = static_cast<zip_stat_t*>(data);
        zip_stat_init(stat);
        stat->valid = ZIP_STAT_SIZE;
        stat->size = length_;
        return sizeof(zip_stat_t);
      }
      case ZIP_SOURCE_ERROR:
        return zip_error_to_data(&error_, data, length);
      case ZIP_SOURCE_SUPPORTS:
        return zip_source_make_command_bitmap(ZIP_SOURCE_OPEN, ZIP_SOURCE_READ, ZIP_SOURCE_CLOSE,
                                              ZIP_SOURCE_STAT, ZIP_SOURCE_ERROR, ZIP_SOURCE_FREE, -1);
      default:
        zip_error_set(&error_, ZIP_ER_OPNOTSUPP, 0);
        return -1;
    }
  }

  zip_int64_t read(char* data, zip_uint64_t length) {
    try {
      while (more_ && sink_.text.size() - taken_ < length) {
        sink_.text.erase(0, taken_);
        taken_ = 0;
        more_ = writer_.write_some();
      }
    } catch (...) {
      failure_ = std::current_exception();
      zip_error_set(&error_, ZIP_ER_READ, 0);
      return -1;
    }
    const std::size_t count = sink_.text.copy(data, length, taken_);
    taken_ += count;
    return static_cast<zip_int64_t>(count);
  }

  zip_uint64_t length_;
  Pending sink_;
  ScoreWriter writer_;
  std::size_t taken_ = 0;  // of what is pending
  bool more_ = true;
  zip_error_t error_{};
  std::exception_ptr failure_;
};

void add(zip_t* archive, std::string_view name, Source source, zip_int32_t method) {
  const std::string path(name);
  const zip_int64_t index = zip_file_add(archive, path.c_str(), source.get(), ZIP_FL_ENC_UTF_8);
  if (index < 0) fail(zip_strerror(archive));
  source.release();  // NOLINT(bugprone-unused-return-value): the archive owns it now
  const auto member = static_cast<zip_uint64_t>(index);
  if (zip_set_file_compression(archive, member, method, 0) != 0 ||
      zip_file_set_dostime(archive, member, first_dos_time, first_dos_date, 0) != 0) {
    fail(zip_strerror(archive));
  }
}

// The bytes must outlive the archive.
Source source_of(zip_t* archive, std::string_view bytes) {
  Source source(zip_source_buffer(archive, bytes.data(), bytes.size(), 0));
  if (!source) fail(zip_strerror(archive));
  return source;
}

void copy(zip_source_t* from, Sink& to) {
  if (zip_source_open(from) != 0) fail(zip_error_strerror(zip_source_error(from)));
  std::string block(std::size_t{64} << 10, '\0');
  zip_int64_t count = 0;
  while ((count = zip_source_read(from, block.data(), block.size())) > 0) {
    to.write(std::string_view(block).substr(0, static_cast<std::size_t>(count)));
  }
  zip_source_close(from);
  if (count < 0) fail(zip_error_strerror(zip_source_error(from)));
}

std::string container() {
  return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
         "<container>\n"
         "  <rootfiles>\n"
         "    <rootfile full-path=\"" +
         std::string(musicxml::mxl_score_name) +
         "\" media-type=\"application/vnd.recordare.musicxml+xml\"/>\n"
         "  </rootfiles>\n"
         "</container>\n";
}

}  // namespace

Report write_mxl(const Score& score, const MusicXmlOptions& options, Sink& sink) {
  Report report;
  try {
    Document document(score, options, report);
    const std::string container_xml = container();
    zip_error_t error;
    zip_error_init(&error);
    Source result(zip_source_buffer_create(nullptr, 0, 0, &error));
    if (!result) fail(zip_error_strerror(&error));
    Archive archive(zip_open_from_source(result.get(), ZIP_CREATE | ZIP_TRUNCATE, &error));
    if (!archive) fail(zip_error_strerror(&error));
    zip_source_keep(result.get());  // the archive owns one reference, we the other

    add(archive.get(), "mimetype", source_of(archive.get(), musicxml::mxl_media_type), ZIP_CM_STORE);
    add(archive.get(), "META-INF/container.xml", source_of(archive.get(), container_xml), ZIP_CM_DEFLATE);
    Source score_source(zip_source_function(archive.get(), &Document::serve, &document));
    if (!score_source) fail(zip_strerror(archive.get()));
    add(archive.get(), musicxml::mxl_score_name, std::move(score_source), ZIP_CM_DEFLATE);

    if (zip_close(archive.get()) != 0) {
      if (document.failure()) std::rethrow_exception(document.failure());
      fail(zip_strerror(archive.get()));
    }
    archive.release();  // NOLINT(bugprone-unused-return-value): closed
    copy(result.get(), sink);
  } catch (const TimeError&) {
    throw WriteError("time-overflow",
                     "a time in the score is too fine or too long to be written as MusicXML");
  }
  return report;
}

}  // namespace fifthpeg
