#pragma once
#include <QColor>
#include <QPointF>
#include <QString>

class QPainter;

namespace armslength::app {

// Lines and words on a picture get a light edge, so that they stay readable on any paint.
[[nodiscard]] inline QColor HaloColour() { return {255, 255, 255, 215}; }

void HaloCross(QPainter& painter, const QPointF& at, double arm, const QColor& colour, double width);
// Dark words with their baseline starting at `at`.
void HaloLabel(QPainter& painter, const QPointF& at, const QString& text);
// A number in a dark disc, centred at `at`.
void NumberDisc(QPainter& painter, const QPointF& at, const QString& number);

}  // namespace armslength::app
