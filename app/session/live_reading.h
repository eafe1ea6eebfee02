#pragma once
#include <condition_variable>
#include <memory>
#include <mutex>
#include <optional>
#include <thread>

#include <QObject>

#include "canon/canon.h"
#include "check/finding.h"
#include "marks/figure.h"
#include "reading/body/body_reading.h"
#include "reading/head/head_reading.h"

namespace armslength::app {

// One figure's reading for one revision of the marks.
struct LiveResult {
  quint64 revision = 0;
  int figure = 0;
  bool pose_only = true;           // findings are still to come
  BodyReading reading;             // not usable without body marks; says why
  std::optional<HeadReading> head; // with marks of the face
  std::vector<Finding> findings;   // of the figure; empty while pose_only
  double pose_ms = 0.0, all_ms = 0.0;  // time the readings took
};

// Keeps one figure's reading in step with its marks: the newest request wins, an older one is
// stopped. First the pose (a few ms), then all findings; each is sent with the revision it
// belongs to, so that nobody shows a stale one as current. Ready comes from another thread:
// connect it queued.
class LiveReading : public QObject {
  Q_OBJECT
 public:
  explicit LiveReading(QObject* parent = nullptr);
  ~LiveReading() override;

  // `findings`: also scan what is off; false while a drag is still moving fast is fine.
  void Request(quint64 revision, int figure, FigureMarks marks, std::optional<Canon> canon, bool findings = true);
  [[nodiscard]] bool Busy() const;

 signals:
  void Ready(std::shared_ptr<const armslength::app::LiveResult> result);

 private:
  struct Job {
    quint64 revision;
    int figure;
    FigureMarks marks;
    std::optional<Canon> canon;
    bool findings;
  };
  void Run();
  // Null when stopped.
  static std::shared_ptr<LiveResult> Pose(const Job& job, const JobControl& control);
  static std::shared_ptr<LiveResult> Everything(const Job& job, const JobControl& control);

  mutable std::mutex lock_;
  std::condition_variable wake_;
  std::optional<Job> next_;
  bool quit_ = false, busy_ = false;
  std::thread thread_;
};

}  // namespace armslength::app
