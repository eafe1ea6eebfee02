#include "app/session/picture_analysis.h"

#include <QtConcurrent>

#include "app/session/background.h"

namespace armslength::app {

PictureAnalysis::PictureAnalysis(QObject* parent) : QObject(parent) {
  connect(&watcher_, &QFutureWatcherBase::finished, this, [this] {
    if (watcher_.future().resultCount() > 0 && watcher_.result()) emit Ready(watcher_.result());
  });
}

PictureAnalysis::~PictureAnalysis() {
  if (cancel_) *cancel_ = true;
  watcher_.waitForFinished();
}

void PictureAnalysis::Start(std::shared_ptr<const Picture> picture) {
  if (cancel_) *cancel_ = true;
  cancel_ = std::make_shared<std::atomic<bool>>(false);
  watcher_.setFuture(QtConcurrent::run([picture = std::move(picture), cancel = cancel_] {
    LetTheWindowGoFirst();
    PictureCheckOptions options;
    options.control.stop_requested = [cancel] { return cancel->load(); };
    auto report = CheckPicture(*picture, options);
    return report ? std::make_shared<const PictureReport>(std::move(*report)) : nullptr;
  }));
}

}  // namespace armslength::app
