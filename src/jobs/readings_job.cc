#include "jobs/readings_job.h"

#include <utility>

#include "jobs/figure_checks.h"
#include "marks/marks_file.h"
#include "report/critique_json.h"

namespace armslength {

Result<std::vector<std::string>> RunReadings(const ReadingsJobOptions& options) {
  if (options.marks.empty())
    return Fail(ErrorKind::kUsage, "", "", "no marks file was named", "Name one or more NAME.marks.json files");
  struct File {
    PictureFacts picture;
    std::size_t first = 0, count = 0;  // its figures among all tasks
  };
  std::vector<File> files;
  std::vector<FigureTask> tasks;
  for (const auto& path : options.marks) {
    if (options.control.Stopped())
      return Fail(ErrorKind::kCancelled, "", "", "stopped while reading the marks files", "Nothing was written");
    auto marks = LoadMarks(path);
    if (!marks) return tl::unexpected(marks.error());
    auto figures = FigureTasks(*marks, path, options.canon, options.character);
    if (!figures) return tl::unexpected(figures.error());
    File file;
    file.picture.file = marks->picture.file;
    file.picture.width = marks->picture.width;
    file.picture.height = marks->picture.height;
    file.first = tasks.size();
    file.count = figures->size();
    files.push_back(std::move(file));
    for (FigureTask& task : *figures) tasks.push_back(std::move(task));
  }
  if (options.together)
    if (auto read = ReadHeadsTogether(tasks, options.control); !read) return tl::unexpected(read.error());
  // Figures, not files, are the unit of work: one big file keeps both cores busy too.
  auto results = CheckFigures(tasks, options.threads, options.control);
  if (!results) return tl::unexpected(results.error());

  std::vector<std::string> lines;
  for (std::size_t i = 0; i < files.size(); ++i) {
    std::vector<FigureCritique> figures;
    std::vector<Finding> findings;
    for (std::size_t k = files[i].first; k < files[i].first + files[i].count; ++k) {
      FigureResult& result = (*results)[k];
      figures.push_back(std::move(result.figure));
      for (Finding& f : result.findings) findings.push_back(std::move(f));
    }
    Critique critique = Rank(std::move(files[i].picture), std::move(figures), std::move(findings));
    lines.push_back(ReadingLine(options.marks[i].string(), critique));
  }
  return lines;
}

}  // namespace armslength
