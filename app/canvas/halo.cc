#include "app/canvas/halo.h"

#include <algorithm>

#include <QPainter>
#include <QPainterPath>

namespace armslength::app {

void HaloCross(QPainter& painter, const QPointF& at, double arm, const QColor& colour, double width) {
  for (const bool under : {true, false}) {
    painter.setPen(QPen(under ? HaloColour() : colour, under ? width + 2.5 : width));
    painter.drawLine(at - QPointF(arm, 0), at + QPointF(arm, 0));
    painter.drawLine(at - QPointF(0, arm), at + QPointF(0, arm));
  }
}

void HaloLabel(QPainter& painter, const QPointF& at, const QString& text) {
  QFont font = painter.font();
  font.setBold(true);
  QPainterPath path;
  path.addText(at, font, text);
  painter.save();
  painter.setBrush(Qt::NoBrush);
  painter.strokePath(path, QPen(QColor(255, 255, 255, 235), 4.5, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
  painter.fillPath(path, QColor(24, 24, 24));
  painter.restore();
}

void NumberDisc(QPainter& painter, const QPointF& at, const QString& number) {
  const double wide = std::max(20.0, painter.fontMetrics().horizontalAdvance(number) + 12.0), high = 20.0;
  const QRectF disc(at.x() - wide / 2, at.y() - high / 2, wide, high);
  painter.setPen(QPen(HaloColour(), 1.5));
  painter.setBrush(QColor(30, 30, 30));
  painter.drawRoundedRect(disc, high / 2, high / 2);
  painter.setPen(Qt::white);
  painter.drawText(disc, Qt::AlignCenter, number);
}

}  // namespace armslength::app
