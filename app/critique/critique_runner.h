#pragma once
#include <memory>
#include <optional>

#include <QObject>

#include "app/critique/arrange.h"
#include "app/session/newest_wins.h"

namespace armslength::app {

// The measuring behind one state of the marks and the picture.
struct CritiqueResult {
  quint64 revision = 0;        // of the marks
  std::string picture_sha256;
  Measured measured;
  QString failure;             // not empty: nothing was measured, and why
};

// Measures everything the program can say about the open picture, off this thread: the figures
// first (a fraction of a second), then the picture's own checks (seconds for a big one), each
// sent when it is there. The newest request wins; an older one is stopped.
class CritiqueRunner : public QObject {
  Q_OBJECT
 public:
  explicit CritiqueRunner(QObject* parent = nullptr);

  struct Request {
    quint64 revision = 0;
    QString path;          // of the picture
    std::shared_ptr<const Picture> picture;  // as the window has it open; REQUIRED
    Marks marks;
    std::optional<Stage> stage;
    std::map<std::string, std::string> characters;  // as in Work
  };
  void Ask(Request request);
  [[nodiscard]] bool Busy() const { return worker_.Busy(); }

 signals:
  void Ready(std::shared_ptr<const armslength::app::CritiqueResult> result);

 private:
  void Measure(const Request& request, const JobControl& control);
  void Send(const Request& request, Measured measured, const QString& failure = {});

  NewestWins<Request> worker_;
};

}  // namespace armslength::app
