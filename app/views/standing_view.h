#pragma once
#include <optional>

#include <QImage>
#include <QWidget>

#include "check/body/standing.h"

namespace armslength::app {

// The drawn body straightened up beside its canon's on one floor: head heights ruled across, the
// spread of the levels as bands, and the parts that depart named with how much. Breadths are a
// fixed convention, alike for both; only lengths are measured.
class StandingView : public QWidget {
  Q_OBJECT
 public:
  explicit StandingView(QWidget* parent = nullptr);
  // Nothing: says that no body was read yet. `stale`: shown pale, with a line that says so.
  void Show(std::optional<StandingFigure> standing, const QString& canon_name, bool stale = false);
  [[nodiscard]] QSize sizeHint() const override { return {420, 520}; }
  [[nodiscard]] QSize minimumSizeHint() const override { return {260, 340}; }

 protected:
  void paintEvent(QPaintEvent* event) override;

 private:
  void PaintBodies(QPainter& painter, const QRectF& room);
  void PaintParts(QPainter& painter, double drawn_x, double canon_x, double floor, double scale);
  QString Spoken() const;

  std::optional<StandingFigure> standing_;
  QString canon_;
  bool stale_ = false;
};

}  // namespace armslength::app
