#include "app/session/live_reading.h"

#include "check/body/body_checks.h"

namespace armslength::app {

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
    BodyReadingOptions options;
    options.control.stop_requested = [this] {
      const std::scoped_lock hold(lock_);
      return quit_ || next_.has_value();
    };
    const Canon* canon = job->canon ? &*job->canon : nullptr;
    options.scan_hypotheses = options.find_helpful_mark = false;
    const auto send = [&](BodyReading reading, bool pose_only) {
      auto result = std::make_shared<LiveResult>();
      result->revision = job->revision;
      result->figure = job->figure;
      result->pose_only = pose_only;
      result->reading = std::move(reading);
      if (!pose_only) result->findings = CheckBody(job->marks, result->reading);
      emit Ready(result);
    };
    auto pose = ReadBody(job->marks, canon, options);
    if (!pose) continue;
    send(std::move(*pose), true);
    if (!job->findings) continue;
    options.scan_hypotheses = options.find_helpful_mark = true;
    if (auto full = ReadBody(job->marks, canon, options)) send(std::move(*full), false);
  }
}

}  // namespace armslength::app
