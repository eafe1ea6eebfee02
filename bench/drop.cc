// Time from a dropped picture to what is said about the body: load, propose, accept every mark as it stands, critique. Wall time, as
// an artist waits for it; the time that nudging takes is the artist's own.
//   bench_drop [FOLDER [COUNT]]      the first COUNT (4) of b*.png there
#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include <fmt/format.h>
#include <unistd.h>

#include "jobs/critique_job.h"
#include "marks/marks_file.h"
#include "picture/picture.h"
#include "proposal/proposal.h"

int main(int argc, char** argv) {
  using namespace armslength;
  namespace fs = std::filesystem;
  const fs::path folder = argc > 1 ? argv[1] : AL_PROPOSAL_PICTURES;
  const std::size_t count = argc > 2 ? std::strtoul(argv[2], nullptr, 10) : 4;
  if (!fs::is_directory(folder)) {
    fmt::print(stderr, "no folder {}\n", folder.string());
    return 3;
  }
  std::vector<fs::path> files;
  for (const auto& entry : fs::directory_iterator(folder))
    if (entry.path().extension() == ".png" && entry.path().filename().string().starts_with("b")) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  if (files.size() > count) files.resize(count);
  const fs::path marks_file = fs::temp_directory_path() / fmt::format("armslength-bench-{}.marks.json", static_cast<long>(::getpid()));
  std::vector<double> seconds;
  std::vector<int> answers;
  for (const fs::path& file : files) {
    const auto start = std::chrono::steady_clock::now();
    const auto picture = LoadPicture(file);
    if (!picture) continue;
    const auto proposal = ProposeMarks(*picture);
    if (!proposal || proposal->figures.empty()) continue;
    Marks marks = ToMarks(*proposal, picture->facts);
    for (FigureMarks& figure : marks.figures) figure.proposed.clear();
    if (!SaveMarks(marks, marks_file)) break;
    CritiqueJobOptions options;
    options.picture = file;
    options.marks = marks_file;
    const auto outcome = EvaluateCritique(options);
    seconds.push_back(std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    int said = 0;
    if (outcome)
      for (const Finding* f : outcome->critique.All()) said += f->id.starts_with("body.") && f->verdict != Verdict::kCannotTell;
    answers.push_back(said);
    fmt::print("{:<40} {:5.1f} s  {:2} findings on the body\n", file.stem().string(), seconds.back(), said);
  }
  std::error_code ignored;
  fs::remove(marks_file, ignored);
  if (seconds.empty()) {
    fmt::print(stderr, "no figure found in {}\n", folder.string());
    return 1;
  }
  std::sort(seconds.begin(), seconds.end());
  fmt::print("from drop to the first findings on the body: {:.1f} s (median of {}), longest {:.1f} s; on {} of them something is said\n",
             seconds[seconds.size() / 2], seconds.size(), seconds.back(),
             std::count_if(answers.begin(), answers.end(), [](int n) { return n > 0; }));
  return 0;
}
