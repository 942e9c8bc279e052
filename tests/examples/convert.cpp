// convert IN OUT: MIDI or MusicXML in, MusicXML with banjo tab out. Exits with 1 where that cannot be.
#include <exception>
#include <fifthpeg/fifthpeg.hpp>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>

namespace {

std::string content_of(const char* path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) throw fifthpeg::ReadError(std::string(path) + " cannot be opened");
  return {std::istreambuf_iterator<char>(file), {}};
}

// Bytes go where the writer's caller wants them.
class FileSink : public fifthpeg::Sink {
 public:
  explicit FileSink(const char* path) : file_(path, std::ios::binary) {}
  void write(std::string_view bytes) override {
    if (!file_.write(bytes.data(), static_cast<std::streamsize>(bytes.size()))) {
      throw fifthpeg::WriteError("the output cannot be written");
    }
  }

 private:
  std::ofstream file_;
};

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) {
    std::cerr << "usage: convert IN OUT\n";
    return 2;
  }
  try {
    fifthpeg::Reading reading = fifthpeg::read(content_of(argv[1]));
    fifthpeg::Report report = reading.report;
    const fifthpeg::FingeringResult fingering = fifthpeg::finger(reading.score);
    report.merge(fingering.report);
    FileSink out(argv[2]);
    report.merge(fifthpeg::write_musicxml(reading.score, {}, out));
    std::cerr << to_text(report);
  } catch (const fifthpeg::Error& error) {
    const std::string place = to_string(error.place());
    std::cerr << (place.empty() ? "" : place + ": ") << error.what() << " [" << error.code() << "]\n";
    return 1;
  } catch (const std::exception& error) {
    std::cerr << error.what() << "\n";
    return 1;
  }
}
