#include "app/critique/critique_runner.h"

#include "check/pixels/picture_checks.h"
#include "jobs/figure_checks.h"
#include "jobs/whole_checks.h"
#include "reading/head/character_file.h"

namespace armslength::app {

CritiqueRunner::CritiqueRunner(QObject* parent)
    : QObject(parent), worker_(NewestWins<Request>::Priority::kAfterTheWindow, [this](const Request& request, const JobControl& control) {
        Measure(request, control);
      }) {}

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
  std::vector<FigureResult> results;
  const auto check = [&]() -> Result<void> {
    auto done = CheckFigures(*tasks, 0, control);
    if (!done) return tl::unexpected(done.error());
    results = std::move(*done);
    return {};
  };
  if (!tasks->empty()) {
    if (const auto done = check(); !done) return failed(done.error());
    for (const FigureResult& r : results) {
      measured.figures.push_back(r.figure);
      measured.findings.insert(measured.findings.end(), r.findings.begin(), r.findings.end());
    }
    Send(request, measured);
    // Once more with the picture: what lies on the body is seen there. Body and head themselves are read already.
    for (std::size_t i = 0; i < tasks->size(); ++i) {
      (*tasks)[i].body = std::move(results[i].figure.body);
      (*tasks)[i].head = std::move(results[i].figure.head);
      (*tasks)[i].picture = request.picture.get();
    }
    if (const auto done = check(); !done) return failed(done.error());
  }
  PictureCheckOptions checks;
  checks.stage = request.stage;
  checks.marks = &request.marks;
  checks.make_views = false;
  checks.control = control;
  auto whole = CheckWhole(*request.picture, std::move(results), std::move(checks));
  if (!whole) return failed(whole.error());
  measured.figures = std::move(whole->figures);
  measured.findings = std::move(whole->findings);
  measured.notes = std::move(whole->picture.notes);
  measured.picture_checked = true;
  Send(request, std::move(measured));
}

}  // namespace armslength::app
