#pragma once
#include <atomic>
#include <memory>

#include <QFutureWatcher>
#include <QObject>

#include "app/session/document.h"

namespace armslength::app {

// What became of the marks when the picture was saved elsewhere.
struct Carried {
  quint64 marks_revision = 0;  // the marks it was made from; newer ones are not to be overwritten
  Marks marks;
  int moved = 0;        // points that went with the drawing
  int to_confirm = 0;   // points listed as proposed that were not before
};

// Takes marks to the saved state of their picture, off this thread. A point whose surroundings are still there
// goes with them; where the drawing is new the point is listed as proposed. A newer Start replaces an older one.
class Carrier : public QObject {
  Q_OBJECT
 public:
  explicit Carrier(QObject* parent = nullptr);
  ~Carrier() override;
  void Start(std::shared_ptr<const Picture> before, const Marks& marks, quint64 marks_revision, std::shared_ptr<const Picture> after);
  [[nodiscard]] bool Busy() const { return watcher_.isRunning(); }

 signals:
  void Ready(std::shared_ptr<const armslength::app::Carried> carried);  // only when something changed

 private:
  QFutureWatcher<std::shared_ptr<const Carried>> watcher_;
  std::shared_ptr<std::atomic<bool>> cancel_;
};

}  // namespace armslength::app
