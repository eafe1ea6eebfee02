#pragma once
#include <atomic>
#include <memory>

#include <QFutureWatcher>
#include <QObject>

#include "check/pixels/picture_checks.h"

namespace armslength::app {

// What the picture says by itself, with its fresh-eye views, worked out off this thread once per
// picture. A newer picture stops the older one's analysis.
class PictureAnalysis : public QObject {
  Q_OBJECT
 public:
  explicit PictureAnalysis(QObject* parent = nullptr);
  ~PictureAnalysis() override;
  void Start(std::shared_ptr<const Picture> picture);

 signals:
  void Ready(std::shared_ptr<const armslength::PictureReport> report);

 private:
  QFutureWatcher<std::shared_ptr<const PictureReport>> watcher_;
  std::shared_ptr<std::atomic<bool>> cancel_;
};

}  // namespace armslength::app
