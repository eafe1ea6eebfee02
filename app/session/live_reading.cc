#include "app/session/live_reading.h"

#include <algorithm>

#include <QElapsedTimer>

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

LiveReading::LiveReading(QObject* parent) : QObject(parent), thread_([this] { Run(); }) {}

LiveReading::~LiveReading() {
  {
    const std::scoped_lock hold(lock_);
    quit_ = true;
  }
  wake_.notify_all();
  thread_.join();
}

void LiveReading::Request(quint64 revision, int figure, FigureMarks marks, std::optional<Canon> canon, bool findings) {
  {
    const std::scoped_lock hold(lock_);
    next_ = Job{revision, figure, std::move(marks), std::move(canon), findings};
  }
  wake_.notify_one();
}

bool LiveReading::Busy() const {
  const std::scoped_lock hold(lock_);
  return busy_ || next_.has_value();
}

void LiveReading::Run() {
  for (;;) {
    std::optional<Job> job;
    {
      std::unique_lock hold(lock_);
      busy_ = false;
      wake_.wait(hold, [this] { return quit_ || next_; });
      if (quit_) return;
      job = std::move(next_);
      next_.reset();
      busy_ = true;
    }
    JobControl control;
    control.stop_requested = [this] {
      const std::scoped_lock hold(lock_);
      return quit_ || next_.has_value();
    };
    QElapsedTimer clock;
    clock.start();
    if (auto pose = Pose(*job, control)) {
      pose->pose_ms = clock.nsecsElapsed() / 1e6;
      emit Ready(pose);
      if (!job->findings) continue;
      if (auto all = Everything(*job, control)) {
        all->pose_ms = pose->pose_ms;
        all->all_ms = clock.nsecsElapsed() / 1e6;
        emit Ready(all);
      }
    }
  }
}

std::shared_ptr<LiveResult> LiveReading::Pose(const Job& job, const JobControl& control) {
  auto result = std::make_shared<LiveResult>();
  result->revision = job.revision;
  result->figure = job.figure;
  BodyReadingOptions options;
  options.control = control;
  options.scan_hypotheses = options.find_helpful_mark = false;
  if (HasBodyMarks(job.marks)) {
    auto body = ReadBody(job.marks, job.canon ? &*job.canon : nullptr, options);
    if (!body) return nullptr;
    result->reading = std::move(*body);
  }
  if (HasFaceMarks(job.marks)) {
    HeadReadingOptions head;
    head.body = result->reading.usable ? &result->reading : nullptr;
    head.test_faults = false;
    if (auto read = ReadHead(job.marks, head)) result->head = std::move(*read);
  }
  return result;
}

std::shared_ptr<LiveResult> LiveReading::Everything(const Job& job, const JobControl& control) {
  FigureTask task;
  task.marks = job.marks;
  task.canon = job.canon;
  auto checked = CheckFigure(task, control);
  if (!checked) return nullptr;
  auto result = std::make_shared<LiveResult>();
  result->revision = job.revision;
  result->figure = job.figure;
  result->pose_only = false;
  if (checked->figure.body) result->reading = std::move(*checked->figure.body);
  result->head = std::move(checked->figure.head);
  result->findings = std::move(checked->findings);
  return result;
}

}  // namespace armslength::app
