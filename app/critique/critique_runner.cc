#include "app/critique/critique_runner.h"

#include <algorithm>
#include <iterator>

#include "check/one_light.h"
#include "check/pixels/picture_checks.h"
#include "jobs/figure_checks.h"
#include "reading/head/character_file.h"

namespace armslength::app {

CritiqueRunner::CritiqueRunner(QObject* parent)
    : QObject(parent), worker_(NewestWins<Request>::Priority::kAfterTheWindow,
                               [this](const Request& request, const JobControl& control) { Measure(request, control); }) {}

void CritiqueRunner::Ask(Request request) { worker_.Ask(std::move(request)); }

void CritiqueRunner::Send(const Request& request, Measured measured, const QString& failure) {
  auto result = std::make_shared<CritiqueResult>();
  result->revision = request.revision;
  result->picture_sha256 = request.picture->facts.sha256;
  result->measured = std::move(measured);
  result->failure = failure;
  emit Ready(result);
}

void CritiqueRunner::Measure(const Request& request, const JobControl& control) {
  const auto failed = [&](const Error& error) {
    if (error.kind != ErrorKind::kCancelled) Send(request, {}, QString::fromStdString(error.Text()));
  };
  Measured measured;
  measured.picture = request.picture->facts;
  // A canon file is named relative to where the marks file is: beside the picture.
  auto tasks = FigureTasks(request.marks, request.path.toStdString() + ".marks.json", std::nullopt);
  if (!tasks) return failed(tasks.error());
  for (FigureTask& task : *tasks) {
    const auto file = request.characters.find(task.marks.name);
    if (file == request.characters.end()) continue;
    if (auto character = LoadCharacter(file->second))
      task.character = std::move(*character);
    else  // moved or damaged: the head is judged freely, and that is said
      measured.trouble.push_back(character.error().Text());
  }
  PictureCheckOptions checks;
  const auto take = [&](std::vector<FigureResult> results) {
    measured.figures.clear();
    measured.findings.clear();
    checks.lit_limbs.clear();
    for (FigureResult& r : results) {
      std::ranges::move(r.lit_limbs, std::back_inserter(checks.lit_limbs));
      measured.figures.push_back(std::move(r.figure));
      for (Finding& f : r.findings) measured.findings.push_back(std::move(f));
    }
  };
  if (!tasks->empty()) {
    auto results = CheckFigures(*tasks, 0, control);
    if (!results) return failed(results.error());
    take(std::move(*results));
    Send(request, measured);
  }

  if (!tasks->empty()) {  // once more with the picture: what lies on the body is seen there
    for (FigureTask& task : *tasks) task.picture = request.picture.get();
    auto results = CheckFigures(*tasks, 0, control);
    if (!results) return failed(results.error());
    take(std::move(*results));
  }
  checks.stage = request.stage;
  checks.marks = &request.marks;
  // What stands on marks nobody has looked at must not reach the picture's own checks.
  for (const FigureCritique& f : measured.figures)
    checks.readings.push_back(f.body && f.marks.proposed.empty() ? &*f.body : nullptr);
  checks.make_views = false;
  checks.control = control;
  auto report = CheckPicture(*request.picture, checks);
  if (!report) return failed(report.error());
  for (Finding& f : report->findings) measured.findings.push_back(std::move(f));
  if (!checks.lit_limbs.empty()) JoinLight(measured.findings);
  measured.notes = std::move(report->notes);
  measured.picture_checked = true;
  Send(request, std::move(measured));
}

}  // namespace armslength::app
