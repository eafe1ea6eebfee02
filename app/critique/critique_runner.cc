#include "app/critique/critique_runner.h"

#include <QFileInfo>

#include "app/session/background.h"
#include "check/pixels/picture_checks.h"
#include "jobs/figure_checks.h"

namespace armslength::app {

CritiqueRunner::CritiqueRunner(QObject* parent) : QObject(parent), thread_([this] { Run(); }) {}

CritiqueRunner::~CritiqueRunner() {
  {
    const std::scoped_lock hold(lock_);
    quit_ = true;
  }
  wake_.notify_all();
  thread_.join();
}

void CritiqueRunner::Ask(Request request) {
  {
    const std::scoped_lock hold(lock_);
    next_ = std::move(request);
  }
  wake_.notify_one();
}

bool CritiqueRunner::Busy() const {
  const std::scoped_lock hold(lock_);
  return busy_ || next_.has_value();
}

void CritiqueRunner::Run() {
  LetTheWindowGoFirst();
  for (;;) {
    std::optional<Request> request;
    {
      std::unique_lock hold(lock_);
      busy_ = false;
      wake_.wait(hold, [this] { return quit_ || next_; });
      if (quit_) return;
      request = std::move(next_);
      next_.reset();
      busy_ = true;
    }
    Measure(*request);
  }
}

void CritiqueRunner::Send(const Request& request, Measured measured, const QString& failure) {
  auto result = std::make_shared<CritiqueResult>();
  result->revision = request.revision;
  result->picture_sha256 = request.facts.sha256;
  result->measured = std::move(measured);
  result->failure = failure;
  emit Ready(result);
}

void CritiqueRunner::Measure(const Request& request) {
  JobControl control;
  control.stop_requested = [this] {
    const std::scoped_lock hold(lock_);
    return quit_ || next_.has_value();
  };
  const auto failed = [&](const Error& error) {
    if (error.kind != ErrorKind::kCancelled) Send(request, {}, QString::fromStdString(error.Text()));
  };
  Measured measured;
  measured.picture = request.facts;
  // A canon file is named relative to where the marks file is: beside the picture.
  auto tasks = FigureTasks(request.marks, request.path.toStdString() + ".marks.json", std::nullopt);
  if (!tasks) return failed(tasks.error());
  const auto take = [&](std::vector<FigureResult> results) {
    measured.figures.clear();
    measured.findings.clear();
    for (FigureResult& r : results) {
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

  PictureOptions options;
  options.load_layers = true;
  options.control = control;
  auto picture = LoadPicture(request.path.toStdString(), options);
  if (!picture) return failed(picture.error());
  // Saved meanwhile: the window is about to open the new state and will ask again.
  if (picture->facts.sha256 != request.facts.sha256) return;
  if (!tasks->empty()) {  // once more with the picture: what lies on the body is seen there
    for (FigureTask& task : *tasks) task.picture = &*picture;
    auto results = CheckFigures(*tasks, 0, control);
    if (!results) return failed(results.error());
    take(std::move(*results));
  }
  PictureCheckOptions checks;
  checks.stage = request.stage;
  checks.marks = &request.marks;
  for (const FigureCritique& f : measured.figures) checks.readings.push_back(f.body ? &*f.body : nullptr);
  checks.make_views = false;
  checks.control = control;
  auto report = CheckPicture(*picture, checks);
  if (!report) return failed(report.error());
  for (Finding& f : report->findings) measured.findings.push_back(std::move(f));
  measured.notes = std::move(report->notes);
  measured.picture_checked = true;
  Send(request, std::move(measured));
}

}  // namespace armslength::app
