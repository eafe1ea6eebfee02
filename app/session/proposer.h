#pragma once
#include <atomic>
#include <memory>

#include <QFutureWatcher>
#include <QObject>

#include "app/session/document.h"
#include "proposal/proposal.h"

namespace armslength::app {

// A first guess of all marks, made off this thread. What comes out is listed as proposed: it never
// makes a construction finding until the artist has accepted each point.
class Proposer : public QObject {
  Q_OBJECT
 public:
  explicit Proposer(QObject* parent = nullptr);
  ~Proposer() override;
  void Start(std::shared_ptr<const Picture> picture);
  // Nothing more comes of what was started: another picture is on the table.
  void Cancel();
  [[nodiscard]] bool Busy() const { return watcher_.isRunning() && !*cancel_; }

 signals:
  void Ready(std::shared_ptr<const armslength::Proposal> proposal);
  void Failed(const QString& why);

 private:
  struct Outcome {
    std::shared_ptr<const Proposal> proposal;
    QString failure;
  };
  QFutureWatcher<Outcome> watcher_;
  std::shared_ptr<std::atomic<bool>> cancel_;
};

// The work with the proposal's points where the artist has none: on their figures in order, the figures
// beyond them added. Points the artist set are never moved.
[[nodiscard]] Work WithProposal(Work work, const Proposal& proposal, const PictureFacts& picture);

}  // namespace armslength::app
