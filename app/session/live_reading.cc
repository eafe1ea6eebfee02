#include "app/session/live_reading.h"

#include <algorithm>

#include <QElapsedTimer>

#include "app/session/feet.h"
#include "jobs/figure_checks.h"

namespace armslength::app {
namespace {

bool HasBodyMarks(const FigureMarks& marks) {
  return std::ranges::any_of(marks.points, [](const auto& p) {
    return p.first >= PointId::kShoulderL && p.first <= PointId::kToeR;
  });
}

bool HasFaceMarks(const FigureMarks& marks) {
  return std::ranges::any_of(marks.points, [](const auto& p) {
    return p.first >= PointId::kJawL && p.first <= PointId::kNoseTip;
  });
}

}  // namespace

LiveReading::LiveReading(QObject* parent)
    : QObject(parent), worker_(NewestWins<Job>::Priority::kAsTheWindow,
                               [this](const Job& job, const JobControl& control) { Read(job, control); }) {}

void LiveReading::Request(quint64 revision, int figure, FigureMarks marks, std::optional<Canon> canon,
                          std::optional<HeadProfile> character) {
  worker_.Ask({revision, figure, std::move(marks), std::move(canon), std::move(character)});
}

void LiveReading::Read(const Job& job, const JobControl& control) {
  QElapsedTimer clock;
  clock.start();
  const auto pose = Pose(job, control);
  if (!pose) return;
  pose->pose_ms = static_cast<double>(clock.nsecsElapsed()) / 1e6;
  emit Ready(pose);
  const auto all = Everything(job, control);
  if (!all) return;
  all->pose_ms = pose->pose_ms;
  all->all_ms = static_cast<double>(clock.nsecsElapsed()) / 1e6;
  emit Ready(all);
}

std::shared_ptr<LiveResult> LiveReading::Pose(const Job& job, const JobControl& control) {
  auto result = std::make_shared<LiveResult>();
  result->revision = job.revision;
  result->figure = job.figure;
  BodyReadingOptions options;
  options.control = control;
  options.scan_hypotheses = options.find_helpful_mark = false;
  if (HasBodyMarks(job.marks)) {
    const auto same_points = [&] {
      for (int i = 0; i < kBodyPointCount; ++i)
        if (last_.marked[static_cast<std::size_t>(i)] != job.marks.Has(static_cast<PointId>(i))) return false;
      return true;
    };
    if (last_.usable && last_figure_ == job.figure && same_points()) options.start = &last_;
    auto body = ReadBody(job.marks, job.canon ? &*job.canon : nullptr, options);
    if (!body) return nullptr;
    last_ = *body;
    last_figure_ = job.figure;
    result->reading = std::move(*body);
    PointUnmarkedFeetForward(job.marks, result->reading);
  }
  if (HasFaceMarks(job.marks)) {
    HeadReadingOptions head;
    head.body = result->reading.usable ? &result->reading : nullptr;
    head.test_faults = false;
    head.profile = job.character ? &*job.character : nullptr;
    if (auto read = ReadHead(job.marks, head)) result->head = std::move(*read);
  }
  return result;
}

std::shared_ptr<LiveResult> LiveReading::Everything(const Job& job, const JobControl& control) {
  FigureTask task;
  task.marks = job.marks;
  task.canon = job.canon;
  task.character = job.character;
  auto checked = CheckFigure(task, control, 0);  // both cores: the artist is waiting
  if (!checked) return nullptr;
  auto result = std::make_shared<LiveResult>();
  result->revision = job.revision;
  result->figure = job.figure;
  result->pose_only = false;
  if (checked->figure.body) result->reading = std::move(*checked->figure.body);
  PointUnmarkedFeetForward(job.marks, result->reading);
  result->head = std::move(checked->figure.head);
  result->findings = std::move(checked->findings);
  return result;
}

}  // namespace armslength::app
