#pragma once
#include <condition_variable>
#include <memory>
#include <mutex>
#include <optional>
#include <thread>

#include <QObject>

#include "app/critique/arrange.h"
#include "support/job.h"

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
  ~CritiqueRunner() override;

  struct Request {
    quint64 revision = 0;
    QString path;          // of the picture
    PictureFacts facts;
    Marks marks;
    std::optional<Stage> stage;
  };
  void Ask(Request request);
  [[nodiscard]] bool Busy() const;

 signals:
  void Ready(std::shared_ptr<const armslength::app::CritiqueResult> result);

 private:
  void Run();
  void Measure(const Request& request);
  void Send(const Request& request, Measured measured, const QString& failure = {});

  mutable std::mutex lock_;
  std::condition_variable wake_;
  std::optional<Request> next_;
  bool quit_ = false, busy_ = false;
  std::thread thread_;
};

}  // namespace armslength::app
