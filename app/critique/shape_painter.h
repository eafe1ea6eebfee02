#pragma once
#include <functional>
#include <memory>
#include <vector>

#include <QColor>
#include <QPainter>
#include <QPalette>
#include <QTransform>
#include <QWidget>

#include "app/canvas/pyramid.h"
#include "check/finding.h"

namespace armslength::app {

// As drawn: orange, dashed. Target: blue, solid. On a panel of this palette they are lighter or darker,
// so that lines keep 3:1 against it (WCAG 2.1, 1.4.11).
[[nodiscard]] QColor DrawnOn(const QPalette& palette);
[[nodiscard]] QColor TargetOn(const QPalette& palette);
// Text of second rank: at least 4.5:1 on the panel (WCAG 2.1, 1.4.3).
[[nodiscard]] QColor QuietTextOn(const QPalette& palette);

// Ratio of relative luminances, 1..21 (WCAG 2.1).
[[nodiscard]] double Contrast(const QColor& a, const QColor& b);

// Paints a finding's shapes over the picture, lines `line_px` wide on the screen at any zoom, with a
// white edge that keeps them readable on dark paint.
void PaintShapes(QPainter& painter, const std::vector<GuideShape>& shapes, const QTransform& widget_from_picture,
                 double line_px = 2.0, bool labels = true);

// The part of a picture that shows a finding, in the proportions of `size`: all of its shapes with
// some room round them; the whole picture's nearest part when it has no place. Picture px.
[[nodiscard]] QRectF CropFor(const Finding& finding, const QSize& picture, const QSizeF& size);

// That part of the picture with what was measured painted on it.
class CropView : public QWidget {
  Q_OBJECT
 public:
  explicit CropView(QWidget* parent = nullptr);
  void Show(std::shared_ptr<const Pyramid> picture, const Finding& finding);
  [[nodiscard]] QSize sizeHint() const override { return {280, 150}; }
  [[nodiscard]] bool hasHeightForWidth() const override { return true; }
  // Tall for what is tall, between 0.55 and 0.85 of the width, so that the answers stay in sight.
  [[nodiscard]] int heightForWidth(int width) const override { return static_cast<int>(width * tall_); }

 protected:
  void paintEvent(QPaintEvent* event) override;

 private:
  std::shared_ptr<const Pyramid> picture_;
  Finding finding_;
  double tall_ = 0.55;
};

}  // namespace armslength::app
