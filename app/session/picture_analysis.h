#pragma once
#include <memory>

#include <QObject>

#include "app/canvas/pyramid.h"
#include "app/session/newest_wins.h"
#include "check/pixels/picture_checks.h"

namespace armslength::app {

// The fresh-eye views that need an analysis, worked out off this thread once per picture. Of a large
// picture a small level comes first (well under a second), the picture itself after it. A newer
// picture stops the older one's analysis. Ready comes from another thread: connect it queued.
class PictureAnalysis : public QObject {
  Q_OBJECT
 public:
  explicit PictureAnalysis(QObject* parent = nullptr);
  void Start(std::shared_ptr<const Picture> picture, std::shared_ptr<const Pyramid> pyramid);

 signals:
  void Ready(std::shared_ptr<const armslength::PictureReport> report, quint64 start);

 public:
  // Number of the last Start: reports of older ones are out of date.
  [[nodiscard]] quint64 Started() const { return started_; }

 private:
  struct Job {
    quint64 start = 0;
    std::shared_ptr<const Picture> picture;
    std::shared_ptr<const Pyramid> pyramid;
  };
  void Analyse(const Job& job, const JobControl& control);

  quint64 started_ = 0;
  NewestWins<Job> worker_;
};

}  // namespace armslength::app
