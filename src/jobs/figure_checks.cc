#include "jobs/figure_checks.h"

#include <algorithm>
#include <atomic>
#include <map>
#include <mutex>

#include <fmt/format.h>

#include "check/body/body_checks.h"
#include "check/face/face_checks.h"
#include "check/surface/surface_checks.h"
#include "check/unconfirmed.h"
#include "reading/head/character_file.h"
#include "reading/head/head_reading.h"
#include "reading/learn/learn_head.h"

namespace armslength {
namespace {

// A face whose sides are swapped is no reason to refuse the rest of the figure.
HeadReading ReadHeadOrSayWhy(const FigureTask& task, const BodyReading* body) {
  HeadReadingOptions options;
  options.body = body;
  options.profile = task.character ? &*task.character : nullptr;
  auto head = ReadHead(task.marks, options);
  if (head) return std::move(*head);
  HeadReading unusable;
  unusable.why_not = head.error().cause;
  unusable.ask = head.error().remedy;
  if (task.character) unusable.prior = *task.character;
  return unusable;
}

bool LooksLikeFile(const std::string& canon) { return canon.ends_with(".json") || canon.find('/') != std::string::npos; }

tl::unexpected<Error> Cancelled() {
  return Fail(ErrorKind::kCancelled, "", "", "stopped while reading the figures", "Nothing was written");
}

}  // namespace

Result<std::vector<FigureTask>> FigureTasks(const Marks& marks, const std::filesystem::path& marks_file,
                                            const std::optional<std::string>& canon_option,
                                            const std::optional<std::filesystem::path>& character) {
  std::optional<Canon> for_all;
  if (canon_option) {
    auto canon = FindCanon(*canon_option);
    if (!canon) return tl::unexpected(canon.error());
    for_all = std::move(*canon);
  }
  std::optional<HeadProfile> head;
  bool named = false;  // the character is one of these figures
  if (character) {
    auto loaded = LoadCharacter(*character);
    if (!loaded) return tl::unexpected(loaded.error());
    head = std::move(*loaded);
    named = std::any_of(marks.figures.begin(), marks.figures.end(), [&](const FigureMarks& f) { return f.name == head->name; });
  }
  std::vector<FigureTask> tasks;
  for (std::size_t i = 0; i < marks.figures.size(); ++i) {
    FigureTask task;
    task.marks = marks.figures[i];
    task.canon = for_all;
    if (head && (!named || task.marks.name == head->name)) task.character = head;
    if (!for_all && !task.marks.canon.empty()) {
      std::string name = task.marks.canon;
      if (LooksLikeFile(name) && std::filesystem::path(name).is_relative())
        name = (marks_file.parent_path() / name).string();
      auto canon = FindCanon(name);
      if (!canon) {
        Error error = canon.error();
        if (error.file.empty() || error.file == task.marks.canon) {
          error.file = marks_file.string();
          error.place = fmt::format("/figures/{}/canon", i);
        }
        return tl::unexpected(std::move(error));
      }
      task.canon = std::move(*canon);
    }
    tasks.push_back(std::move(task));
  }
  return tasks;
}

Result<FigureResult> CheckFigure(const FigureTask& task, const JobControl& control, int threads) {
  FigureResult result;
  result.figure.marks = task.marks;
  if (HasBodyMarks(task.marks)) {
    BodyReadingOptions options;
    options.control.stop_requested = control.stop_requested;  // progress is counted in figures
    options.threads = threads;
    const Canon* canon = task.canon ? &*task.canon : nullptr;
    Result<BodyReading> reading = task.body ? Result<BodyReading>(*task.body) : ReadBody(task.marks, canon, options);
    if (!reading) return tl::unexpected(reading.error());
    for (Finding& f : CheckBody(task.marks, *reading)) result.findings.push_back(std::move(f));
    // What stands on marks nobody has looked at must not reach the picture's own checks.
    std::vector<LitLimb>* lit = task.marks.proposed.empty() ? &result.lit_limbs : nullptr;
    for (Finding& f : CheckSurface(task.marks, *reading, task.picture, options.control, lit))
      result.findings.push_back(std::move(f));
    result.figure.standing = Straighten(*reading);
    result.figure.body = std::move(*reading);
  }
  if (HasFaceMarks(task.marks)) {
    const BodyReading* body = result.figure.body ? &*result.figure.body : nullptr;
    HeadReading head = task.head ? *task.head : ReadHeadOrSayWhy(task, body);
    // Whether the head sits on its neck is asked once: of the body where it can say.
    const bool seat_told = std::any_of(result.findings.begin(), result.findings.end(),
                                       [](const Finding& f) { return f.id == "body.head.on_neck"; });
    for (Finding& f : CheckHead(task.marks, head, body))
      if (!seat_told || f.id != "head.neck.axis") result.findings.push_back(std::move(f));
    result.figure.head = std::move(head);
  }
  HoldBackUnconfirmed(task.marks, result.findings);
  for (Finding& f : result.findings)
    if (f.figure.empty()) f.figure = task.marks.name;
  return result;
}

Result<void> ReadHeadsTogether(std::vector<FigureTask>& tasks, const JobControl& control) {
  std::map<std::string, std::vector<std::size_t>> of_name;
  for (std::size_t i = 0; i < tasks.size(); ++i)
    if (!tasks[i].marks.name.empty() && HasFaceMarks(tasks[i].marks)) of_name[tasks[i].marks.name].push_back(i);
  for (const auto& [name, members] : of_name) {
    if (members.size() < 2) continue;
    if (control.Stopped()) return Cancelled();
    std::vector<FigureMarks> drawings;
    for (const std::size_t i : members) drawings.push_back(tasks[i].marks);
    HeadReadingOptions options;
    const auto& character = tasks[members.front()].character;
    options.profile = character ? &*character : nullptr;
    auto together = ReadCharacter(drawings, options);
    if (!together) continue;  // swapped sides or no readable head: each drawing says so by itself
    for (std::size_t k = 0; k < members.size(); ++k) tasks[members[k]].head = std::move(together->readings[k]);
  }
  return {};
}

Result<std::vector<FigureResult>> CheckFigures(const std::vector<FigureTask>& tasks, int threads,
                                               const JobControl& control) {
  std::vector<FigureResult> results(tasks.size());
  std::mutex guard;
  std::optional<std::pair<std::size_t, Error>> trouble;  // of the first figure in order
  std::size_t done = 0;
  ParallelFor(static_cast<int>(tasks.size()), threads, [&](int i) {
    const auto at = static_cast<std::size_t>(i);
    if (control.Stopped()) return;
    auto result = CheckFigure(tasks[at], control, tasks.size() == 1 ? threads : 1);
    const std::lock_guard lock(guard);
    if (!result) {
      if (!trouble || at < trouble->first) trouble.emplace(at, result.error());
      return;
    }
    results[at] = std::move(*result);
    control.Report(static_cast<double>(++done) / static_cast<double>(tasks.size()), "reading the figures");
  });
  if (control.Stopped()) return Cancelled();
  if (trouble) return tl::unexpected(std::move(trouble->second));
  return results;
}

}  // namespace armslength
