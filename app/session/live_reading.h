#pragma once
#include <memory>
#include <optional>

#include <QObject>

#include "app/session/newest_wins.h"
#include "canon/canon.h"
#include "check/finding.h"
#include "marks/figure.h"
#include "reading/body/body_reading.h"
#include "reading/head/head_profile.h"
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

  // `canon`, `character`: what the figure is judged against; nothing: its style is free.
  void Request(quint64 revision, int figure, FigureMarks marks, std::optional<Canon> canon,
               std::optional<HeadProfile> character = {});
  [[nodiscard]] bool Busy() const { return worker_.Busy(); }

 signals:
  void Ready(std::shared_ptr<const armslength::app::LiveResult> result);

 private:
  struct Job {
    quint64 revision;
    int figure;
    FigureMarks marks;
    std::optional<Canon> canon;
    std::optional<HeadProfile> character;
  };
  void Read(const Job& job, const JobControl& control);
  // Null when stopped.
  std::shared_ptr<LiveResult> Pose(const Job& job, const JobControl& control);
  static std::shared_ptr<LiveResult> Everything(const Job& job, const JobControl& control);

  // The worker's own: the last pose, a start for the next one while a mark is dragged.
  BodyReading last_;
  int last_figure_ = -1;
  NewestWins<Job> worker_;
};

}  // namespace armslength::app
