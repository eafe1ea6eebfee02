#pragma once
#include <memory>

#include <QWidget>

#include "app/session/live_reading.h"

class QAction;
class QStackedWidget;

namespace armslength::app {

class Commands;
class SolidView;
class StandingView;

// Beside the picture, when asked for: the drawn body upright next to its canon, and body or head
// from any side. They follow the marks live; what is older than the marks is shown pale.
class SideViews : public QWidget {
  Q_OBJECT
 public:
  SideViews(Commands& commands, QWidget* parent = nullptr);
  // Null: nothing read. `stale`: older than the marks.
  void Show(std::shared_ptr<const LiveResult> result, bool stale);
  void SetView(int index);  // 0 upright, 1 body from any side, 2 head from any side

 protected:
  void showEvent(QShowEvent* event) override;

 private:
  void Refresh();
  std::shared_ptr<const LiveResult> result_;
  bool stale_ = false;
  QStackedWidget* stack_;
  StandingView* standing_;
  SolidView *body_, *head_;
  QAction* choose_[3] = {};
};

}  // namespace armslength::app
