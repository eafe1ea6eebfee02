#pragma once
#include <optional>

#include <QWidget>

#include "app/views/clay.h"

namespace armslength::app {

// What the drawing implies, from any side: the body that was read, or the head, as plain grey clay.
// It starts as the picture's own view; drag or arrow keys turn it, Home or a double press brings
// the picture's view back. Lengths that are off: as drawn orange and dashed, target blue.
class SolidView : public QWidget {
  Q_OBJECT
 public:
  enum class Part : std::uint8_t { kBody, kHead };
  explicit SolidView(Part part, QWidget* parent = nullptr);

  // Nothing, or readings that are not usable: says so.
  void Show(std::optional<BodyReading> body, std::optional<HeadReading> head, bool stale = false);

  // Radians from the picture's view: about the figure's upright, then about the page's level.
  void SetTurn(double around_rad, double over_rad);
  [[nodiscard]] double Around() const { return around_; }
  [[nodiscard]] double Over() const { return over_; }
  void Reset() { SetTurn(0.0, 0.0); }

  // Where a point of body space is shown, widget px; nothing without a body.
  [[nodiscard]] std::optional<QPointF> ShownAt(const Vec3& in_body) const;
  [[nodiscard]] QSize sizeHint() const override { return {420, 520}; }
  [[nodiscard]] QSize minimumSizeHint() const override { return {220, 260}; }

 signals:
  void Turned();

 protected:
  void paintEvent(QPaintEvent* event) override;
  void resizeEvent(QResizeEvent* event) override;
  void mousePressEvent(QMouseEvent* event) override;
  void mouseMoveEvent(QMouseEvent* event) override;
  void mouseReleaseEvent(QMouseEvent* event) override;
  void mouseDoubleClickEvent(QMouseEvent* event) override;
  void keyPressEvent(QKeyEvent* event) override;

 private:
  void PaintBody(QPainter& painter);
  void PaintHead(QPainter& painter);
  void Fit();
  [[nodiscard]] QString Trouble() const;
  [[nodiscard]] Eigen::Matrix3d Rotation() const;
  [[nodiscard]] HeadPose TurnedHead() const;

  Part part_;
  std::optional<BodyReading> body_;
  std::optional<HeadReading> head_;
  ClayBody clay_;
  std::vector<ClayLength> lengths_;
  bool stale_ = false, dragging_ = false;
  double around_ = 0.0, over_ = 0.0;
  double zoom_ = 1.0;        // widget px per picture px
  QPointF middle_px_;        // picture px shown at the widget's middle
  QPointF last_;
};

}  // namespace armslength::app
