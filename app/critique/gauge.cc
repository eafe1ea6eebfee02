#include "app/critique/gauge.h"

#include <algorithm>
#include <cmath>

#include <QPainter>

#include "app/critique/shape_painter.h"
#include "report/words.h"

namespace armslength::app {
namespace {

double Or(const std::optional<double>& value, double otherwise) {
  return value && std::isfinite(*value) ? *value : otherwise;
}

}  // namespace

GaugeView::GaugeView(QWidget* parent) : QWidget(parent) {
  setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
}

bool GaugeView::Has(const Finding& f) {
  return f.measured && f.expected && !CountsThings(f.unit) && std::isfinite(*f.measured) && std::isfinite(*f.expected) &&
         (*f.measured != *f.expected || Or(f.tolerance, 0.0) > 0.0);
}

void GaugeView::Show(const Finding& finding) {
  finding_ = finding;
  setVisible(Has(finding));
  if (Has(finding))
    setAccessibleName(tr("Drawn %1, expected %2")
                          .arg(QString::fromStdString(MeasureText(*finding.measured, finding.unit)),
                               QString::fromStdString(MeasureText(*finding.expected, finding.unit))));
  update();
}

QSize GaugeView::sizeHint() const { return {280, 2 * fontMetrics().height() + 22}; }

void GaugeView::paintEvent(QPaintEvent*) {
  if (!Has(finding_)) return;
  QPainter p(this);
  p.setRenderHint(QPainter::Antialiasing);
  const double measured = *finding_.measured, expected = *finding_.expected;
  const double tolerance = std::max(0.0, Or(finding_.tolerance, 0.0)), spread = 2.0 * std::max(0.0, Or(finding_.sd, 0.0));
  double low = std::min({expected - tolerance, measured - spread}), high = std::max({expected + tolerance, measured + spread});
  const double room = std::max(0.12 * (high - low), 1e-9);
  low -= room;
  high += room;
  const QColor drawn = DrawnOn(palette()), target = TargetOn(palette());
  const double y = height() / 2.0;
  const auto x = [&](double value) { return 2.0 + (width() - 4.0) * (value - low) / (high - low); };

  p.setPen(QPen(QuietTextOn(palette()), 1.0));
  p.drawLine(QPointF(0, y), QPointF(width(), y));
  if (tolerance > 0.0) {
    QColor band = target;
    band.setAlphaF(0.28F);
    p.fillRect(QRectF(x(expected - tolerance), y - 7, x(expected + tolerance) - x(expected - tolerance), 14), band);
  }
  p.setPen(QPen(target, 2.5));
  p.drawLine(QPointF(x(expected), y - 9), QPointF(x(expected), y + 9));
  if (spread > 0.0) {  // a bar with ends: the spread of what was measured
    p.setPen(QPen(drawn, 2.0));
    p.drawLine(QPointF(x(measured - spread), y), QPointF(x(measured + spread), y));
    for (const double end : {measured - spread, measured + spread}) p.drawLine(QPointF(x(end), y - 4), QPointF(x(end), y + 4));
  }
  p.setPen(Qt::NoPen);
  p.setBrush(drawn);
  p.drawEllipse(QPointF(x(measured), y), 5.0, 5.0);

  // Words above for what was drawn, below for what is expected, beside their marks.
  p.setPen(palette().color(QPalette::WindowText));
  const auto word = [&](const QString& text, double at, double top) {
    const double wide = fontMetrics().horizontalAdvance(text);
    p.drawText(QRectF(std::clamp(at - wide / 2.0, 0.0, std::max(0.0, width() - wide)), top, wide + 1.0, fontMetrics().height()),
               Qt::AlignLeft | Qt::AlignVCenter, text);
  };
  word(tr("drawn %1").arg(QString::fromStdString(MeasureText(measured, finding_.unit))), x(measured), 0.0);
  word(tr("expected %1").arg(QString::fromStdString(MeasureText(expected, finding_.unit))), x(expected),
       height() - fontMetrics().height());
}

}  // namespace armslength::app
