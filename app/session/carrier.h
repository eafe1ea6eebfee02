#pragma once
#include <memory>

#include <QObject>

#include "app/session/document.h"
#include "app/session/newest_wins.h"

namespace armslength::app {

// What became of the marks when the picture was saved elsewhere.
struct Carried {
  quint64 marks_revision = 0;  // the marks it was made from; newer ones are not to be overwritten
  Marks marks;
  int moved = 0;        // points that went with the drawing
  int to_confirm = 0;   // points listed as proposed that were not before
};

// Takes marks to the saved state of their picture, off this thread. A point whose surroundings are still there
// goes with them; where the drawing is new the point is listed as proposed. A newer Start replaces an older one. Ready
// comes from another thread: connect it queued.
class Carrier : public QObject {
  Q_OBJECT
 public:
  explicit Carrier(QObject* parent = nullptr);
  void Start(std::shared_ptr<const Picture> before, const Marks& marks, quint64 marks_revision, std::shared_ptr<const Picture> after);

 signals:
  void Ready(std::shared_ptr<const armslength::app::Carried> carried);  // only when something changed

 private:
  struct Job {
    std::shared_ptr<const Picture> before, after;
    Marks marks;
    quint64 marks_revision = 0;
  };
  void Carry(Job& job, const JobControl& control);

  NewestWins<Job> worker_;
};

}  // namespace armslength::app
