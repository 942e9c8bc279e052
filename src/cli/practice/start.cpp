// Practice tracks are made by a program of their own, which has libsndfile.
#include "cli/become.hpp"
#include "cli/commands.hpp"

namespace fifthpeg::cli {

Status run(const PracticeRequest& request) {
  become("fifthpeg-practice", "makes practice tracks", request.words);
}

}  // namespace fifthpeg::cli
