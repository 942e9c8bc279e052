#include <algorithm>
#include <iterator>
#include <unistd.h>
#include <unordered_map>
#include <utility>

#include "cli/commands.hpp"
#include "cli/found.hpp"
#include "cli/lick_description.hpp"
#include "cli/load.hpp"
#include "cli/music_folder.hpp"
#include "cli/ordered_parallel.hpp"
#include "cli/output.hpp"
#include "cli/same_file.hpp"
#include "fifthpeg/errors.hpp"
#include "licks/form.hpp"

namespace fifthpeg::cli {
namespace {

// Any two licks have ups, downs and strings in common; below a half, ears find nothing of the one in the
// other (from memory).
constexpr double least_alike = 0.5;

// What became of one file.
struct LookedAt {
  bool too_long = false;
  bool unlike = false;             // it answers, and is less alike than is worth listing
  std::optional<FoundLick> found;  // where it answers
  std::optional<Failure> failure;
};

// The files that inputs name, and the music in their folders.
std::vector<std::string> files_of(const std::vector<std::string>& inputs, Search& search) {
  std::vector<std::string> files;
  for (const std::string& input : inputs) {
    if (!is_folder(input)) {
      files.push_back(input);
      continue;
    }
    try {
      MusicFolder folder = music_folder(input);
      search.others += folder.others;
      search.linked_folders += folder.linked_folders;
      search.others +=
          std::erase_if(folder.files, [](const std::string& file) { return !may_be_music(file); });
      std::move(folder.files.begin(), folder.files.end(), std::back_inserter(files));
    } catch (...) {
      search.failures.push_back(current_failure(input, ""));
    }
  }
  return files;
}

// A file that is read, and is no lick that hands could play.
Failure no_lick(const std::string& file, const std::string& why_not) {
  if (why_not.empty()) return {Status::unreadable, file, {}, "no-notes", "there are no notes in it"};
  return {Status::refused, file, {}, "unplayable", why_not};
}

LookedAt look_at(const std::string& file, const FindRequest& request,
                 const std::optional<licks::LickForm>& liked) {
  LookedAt seen;
  try {
    const Loaded reading = load(file, request.in);
    ToldOfLick told = told_of_lick(reading);
    if (!told.facts) {
      seen.too_long = told.why_not.empty() && reading.score.measures.size() > longest_lick;
      if (!seen.too_long) seen.failure = no_lick(file, told.why_not);
      return seen;
    }
    FoundLick lick;
    lick.file = file;
    lick.title = reading.score.work.title;
    lick.facts = std::move(*told.facts);
    lick.tuning = reading.score.banjo.tuning;
    if (request.tuning && lick.tuning != *request.tuning) return seen;
    auto answer = answers(lick.facts, request.query);
    if (!answer) return seen;
    lick.answer = std::move(*answer);
    const licks::LickForm form = licks::form_of(reading.score);
    lick.identity = licks::identity_of(form);
    if (liked) {
      lick.alike = licks::likeness(form, *liked);
      seen.unlike = *lick.alike < least_alike;
      if (seen.unlike) return seen;
    }
    seen.found = std::move(lick);
  } catch (...) {
    seen.failure = current_failure(file, "");
  }
  return seen;
}

// The likest first, where that is asked for; then what answers best; of equals, the easiest.
bool comes_before(const FoundLick& a, const FoundLick& b) {
  if (a.alike != b.alike) return a.alike > b.alike;
  if (a.answer.rank != b.answer.rank) return a.answer.rank < b.answer.rank;
  if (a.facts.difficulty.level != b.facts.difficulty.level)
    return a.facts.difficulty.level < b.facts.difficulty.level;
  return a.file < b.file;
}

void find_the_same(std::vector<FoundLick>& found) {
  std::unordered_map<std::string, const std::string*> first;
  for (FoundLick& lick : found) {
    const auto [before, is_new] = first.emplace(lick.identity, &lick.file);
    if (!is_new) lick.same_as = *before->second;
  }
}

Search search_for(const FindRequest& request, const std::optional<licks::LickForm>& liked) {
  Search search;
  const std::vector<std::string> files = files_of(request.inputs, search);
  std::vector<std::string> read = files;
  if (!request.like.empty()) read.push_back(request.like);
  refuse_to_write_over_inputs(read, {standard_stream});
  std::vector<LookedAt> seen(files.size());
  const auto work = [&](std::size_t at) { seen[at] = look_at(files[at], request, liked); };
  const auto done = [&](std::size_t at) {
    LookedAt& one = seen[at];
    search.too_long += one.too_long ? 1 : 0;
    search.unlike += one.unlike ? 1 : 0;
    if (one.failure) search.failures.push_back(std::move(*one.failure));
    if (!one.too_long && !one.failure) ++search.licks;
    if (one.found) search.found.push_back(std::move(*one.found));
  };
  run_in_order(files.size(), request.jobs, work, done);
  std::sort(search.found.begin(), search.found.end(), comes_before);
  find_the_same(search.found);
  return search;
}

// What cannot be read outweighs what no hand can play.
Status status_of(const std::vector<Failure>& failures) {
  Status status = Status::done;
  for (const Failure& failure : failures) {
    status = std::max(status, failure.status == Status::refused ? Status::refused : Status::unreadable);
  }
  return status;
}

void print_found(const Search& search, const FindRequest& request, Status status) {
  std::size_t left_out = 0;
  switch (request.form) {
    case FindForm::text:
      print(found_text(search));
      break;
    case FindForm::json:
      print(found_json(search, status));
      break;
    case FindForm::files:
    case FindForm::nul: {
      DescriptorSink out(STDOUT_FILENO);
      const std::string names = found_files(search, request.form == FindForm::nul ? '\0' : '\n', left_out);
      // Programs need the bytes of a name, and terminals would act upon them.
      out.write(request.form == FindForm::files && ::isatty(STDOUT_FILENO) == 1 ? base::printable_lines(names)
                                                                                : names);
      out.flush();
    }
  }
  if (left_out > 0) {
    say("left out " + base::counted(left_out, "file") + " with a line end in the name; -0 prints " +
        (left_out == 1 ? "it" : "them") + " too\n");
  }
}

}  // namespace

Status run(const FindRequest& request) {
  std::optional<licks::LickForm> liked;
  if (!request.like.empty()) {
    try {
      liked = licks::form_of(load(request.like, request.in).score);
      if (liked->strokes.empty()) throw ReadError("no-notes", "has no notes for others to be like");
    } catch (...) {
      return say_failure(current_failure(request.like, ""));
    }
  }
  const Search search = search_for(request, liked);
  const Status status = status_of(search.failures);
  print_found(search, request, status);
  if (!request.quiet) say(search_lines(search));
  for (const Failure& failure : search.failures) say_failure(failure);
  return status;
}

}  // namespace fifthpeg::cli
