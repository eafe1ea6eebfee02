#pragma once
#include <memory>

#include <QObject>

#include "app/canvas/canvas.h"
#include "check/pixels/picture_checks.h"

class QAction;

namespace armslength::app {

class Commands;

// The fresh-eye views as commands on single keys. Mirror, grey, blur and size are the canvas's own and
// there at once at any picture size; silhouette and lines come from the picture's analysis and
// can be chosen when that is done.
class LookViews : public QObject {
  Q_OBJECT
 public:
  LookViews(Canvas& canvas, Commands& commands, QObject* parent = nullptr);

  // Analysis of the open picture; null while there is none.
  void SetReport(std::shared_ptr<const PictureReport> report);
  void Reset();
  [[nodiscard]] bool Mirrored() const;
  // In the order they are shown.
  [[nodiscard]] const std::vector<QAction*>& Actions() const { return actions_; }

 signals:
  // Something to tell in the window's status line.
  void Message(const QString& text);
  void MirroredChanged(bool on);

 private:
  void Apply(QAction* changed);

  Canvas& canvas_;
  std::shared_ptr<const PictureReport> report_;
  std::vector<QAction*> actions_;
  QAction *mirrored_, *upside_, *grey_, *groups_, *blurred_, *small_, *silhouette_, *lines_;
  int group_count_ = 3;
  bool applying_ = false;
};

}  // namespace armslength::app
