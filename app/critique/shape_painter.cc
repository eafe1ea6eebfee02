#include "app/critique/shape_painter.h"

#include <algorithm>
#include <cmath>

#include <QFontMetricsF>
#include <QPainterPath>

#include "app/window/look_and_feel.h"
#include "report/shapes.h"

namespace armslength::app {
namespace {

using Role = GuideShape::Role;
using Form = GuideShape::Form;

bool Dark(const QPalette& palette) { return palette.color(QPalette::Window).lightness() < 128; }

std::vector<QPointF> Mapped(const GuideShape& shape, const QTransform& transform) {
  std::vector<QPointF> points;
  for (const Vec2& p : shape.points) {
    if (!p.allFinite()) return {};
    points.push_back(transform.map(QPointF(p.x(), p.y())));
  }
  return points;
}

void AddHead(QPainterPath& path, const QPointF& from, const QPointF& tip, double size) {
  QPointF along = tip - from;
  const double length = std::hypot(along.x(), along.y());
  if (length < 1e-6) return;
  along /= length;
  const double reach = std::min(size, 0.6 * length);
  const QPointF across(-along.y(), along.x());
  path.moveTo(tip - reach * along + 0.55 * reach * across);
  path.lineTo(tip);
  path.lineTo(tip - reach * along - 0.55 * reach * across);
}

QPainterPath PathOf(const GuideShape& shape, const std::vector<QPointF>& p, double line) {
  QPainterPath path;
  switch (shape.form) {
    case Form::kCross:
      for (const QPointF& c : p) {
        const double arm = 4.0 * line;
        path.moveTo(c - QPointF(arm, 0));
        path.lineTo(c + QPointF(arm, 0));
        path.moveTo(c - QPointF(0, arm));
        path.lineTo(c + QPointF(0, arm));
      }
      break;
    case Form::kEllipse: {
      if (p.size() < 3) break;
      const QPointF a = p[1] - p[0], b = p[2] - p[0];
      QPainterPath unit;
      unit.addEllipse(QPointF(0, 0), 1.0, 1.0);
      path = QTransform(a.x(), a.y(), b.x(), b.y(), p[0].x(), p[0].y()).map(unit);
      break;
    }
    case Form::kPolygon:
    case Form::kPolyline:
      if (p.size() < 2) break;
      path.moveTo(p[0]);
      for (std::size_t i = 1; i < p.size(); ++i) path.lineTo(p[i]);
      if (shape.form == Form::kPolygon) path.closeSubpath();
      else if (shape.role == Role::kArrow) AddHead(path, p[p.size() - 2], p.back(), 7.0 * line);
      break;
  }
  return path;
}

void PaintShape(QPainter& painter, const GuideShape& shape, const QTransform& transform, double line) {
  const std::vector<QPointF> points = Mapped(shape, transform);
  const QPainterPath path = PathOf(shape, points, line);
  if (path.isEmpty()) return;
  painter.setBrush(Qt::NoBrush);
  if (shape.role == Role::kBand) {
    QColor fill = Colours::Target();
    if (shape.form == Form::kPolyline || shape.form == Form::kCross) {
      fill.setAlphaF(0.24F);
      painter.strokePath(path, QPen(fill, 6.0 * line, Qt::SolidLine, Qt::FlatCap, Qt::RoundJoin));
    } else {
      fill.setAlphaF(0.18F);
      painter.fillPath(path, fill);
      fill.setAlphaF(0.5F);
      painter.strokePath(path, QPen(fill, 0.5 * line));
    }
    return;
  }
  QColor colour(40, 40, 42);
  if (shape.role == Role::kDrawn) colour = Colours::Drawn();
  if (shape.role == Role::kTarget) colour = Colours::Target();
  const double width = shape.role == Role::kHelp ? 0.6 * line : line;
  const bool dashed = shape.role == Role::kDrawn && shape.form != Form::kCross;
  QPen pen(colour, width, Qt::SolidLine, dashed ? Qt::FlatCap : Qt::RoundCap, Qt::RoundJoin);
  if (dashed) pen.setDashPattern({4.0, 2.4});
  // The white edge is dashed too: a target line below shows through the gaps.
  QPen edge = pen;
  edge.setColor(QColor(255, 255, 255, 200));
  edge.setWidthF(width + 1.8);
  if (dashed) edge.setDashPattern({4.0 * width / (width + 1.8), 2.4 * width / (width + 1.8)});
  painter.strokePath(path, edge);
  painter.strokePath(path, pen);
}

void PaintLabel(QPainter& painter, const GuideShape& shape, const QTransform& transform) {
  const auto points = Mapped(shape, transform);
  if (shape.label.empty() || points.empty()) return;
  const QString text = QString::fromStdString(shape.label);
  const QFontMetricsF metrics(painter.font());
  const std::size_t half = (points.size() - 1) / 2;
  const QPointF at = points.size() > 1 ? 0.5 * (points[half] + points[half + 1]) : points[0];
  QRectF box(QPointF(0, 0), QSizeF(metrics.horizontalAdvance(text) + 8.0, metrics.height() + 2.0));
  box.moveCenter(at + QPointF(box.width() / 2.0 + 8.0, 0.0));
  painter.setPen(Qt::NoPen);
  painter.setBrush(QColor(255, 255, 255, 225));
  painter.drawRoundedRect(box, 3, 3);
  painter.setPen(QColor(30, 30, 32));
  painter.drawText(box, Qt::AlignCenter, text);
}

}  // namespace

QColor DrawnOn(const QPalette& palette) { return Dark(palette) ? QColor(255, 154, 77) : QColor(190, 80, 0); }
QColor TargetOn(const QPalette& palette) { return Dark(palette) ? QColor(118, 176, 255) : Colours::Target(); }
QColor QuietTextOn(const QPalette& palette) { return Dark(palette) ? QColor(190, 190, 190) : QColor(82, 82, 82); }

double Contrast(const QColor& a, const QColor& b) {
  const auto luminance = [](const QColor& c) {
    const auto linear = [](double v) { return v <= 0.03928 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4); };
    return 0.2126 * linear(c.redF()) + 0.7152 * linear(c.greenF()) + 0.0722 * linear(c.blueF());
  };
  const double la = luminance(a), lb = luminance(b);
  return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

void PaintShapes(QPainter& painter, const std::vector<GuideShape>& shapes, const QTransform& transform, double line_px,
                 bool labels) {
  painter.save();
  painter.setRenderHint(QPainter::Antialiasing);
  // As drawn comes over target: through the gaps of its dashes the target shows.
  for (const Role role : {Role::kBand, Role::kHelp, Role::kTarget, Role::kDrawn, Role::kArrow})
    for (const GuideShape& shape : shapes)
      if (shape.role == role) PaintShape(painter, shape, transform, line_px);
  if (labels)
    for (const GuideShape& shape : shapes) PaintLabel(painter, shape, transform);
  painter.restore();
}

QRectF CropFor(const Finding& finding, const QSize& picture, const QSizeF& size) {
  const QRectF whole(QPointF(0, 0), QSizeF(picture));
  QRectF crop = whole;
  const BoxPx box = BoundsOf(ShapesOf(finding));
  if (!box.Empty()) {
    crop = QRectF(box.x, box.y, box.width, box.height);
    const double room = 0.18 * std::max(crop.width(), crop.height()) + 0.015 * std::max(whole.width(), whole.height());
    crop.adjust(-room, -room, room, room);
    // Never closer than a twelfth of the picture: a crop without surroundings tells nothing.
    const double least = std::max(whole.width(), whole.height()) / 12.0;
    const double wide = std::max(crop.width(), least), high = std::max(crop.height(), least);
    crop = QRectF(crop.center().x() - wide / 2.0, crop.center().y() - high / 2.0, wide, high);
  }
  const double ratio = size.width() / std::max(1.0, size.height());
  const QPointF middle = crop.center();
  if (crop.width() < crop.height() * ratio) crop.setWidth(crop.height() * ratio);
  else crop.setHeight(crop.width() / ratio);
  crop.moveCenter(middle);
  // Inside the picture as far as it goes.
  const auto inside = [](double at, double length, double all) {
    return length >= all ? (all - length) / 2.0 : std::clamp(at, 0.0, all - length);
  };
  crop.moveTo(inside(crop.x(), crop.width(), whole.width()), inside(crop.y(), crop.height(), whole.height()));
  return crop;
}

CropView::CropView(QWidget* parent) : QWidget(parent) {
  QSizePolicy policy(QSizePolicy::Expanding, QSizePolicy::Preferred);
  policy.setHeightForWidth(true);
  setSizePolicy(policy);
  setAttribute(Qt::WA_OpaquePaintEvent);
}

void CropView::Show(std::shared_ptr<const Pyramid> picture, const Finding& finding) {
  picture_ = std::move(picture);
  finding_ = finding;
  const BoxPx box = BoundsOf(ShapesOf(finding_));
  tall_ = box.Empty() ? 0.55 : std::clamp(box.height / std::max(1.0, box.width), 0.55, 0.85);
  updateGeometry();
  update();
}

void CropView::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  painter.fillRect(rect(), palette().color(QPalette::Dark));
  if (!picture_) return;
  const QRectF crop = CropFor(finding_, picture_->Size(), size());
  const double zoom = width() / crop.width();
  const int level = picture_->LevelFor(zoom * devicePixelRatioF());
  const ImageRgba8& image = picture_->Level(level);
  const double sx = static_cast<double>(image.width) / picture_->Size().width();
  const double sy = static_cast<double>(image.height) / picture_->Size().height();
  const QImage view(image.pixels.data(), image.width, image.height, 4 * image.width, QImage::Format_RGBA8888);
  // Only the part that exists: a wide crop of a tall picture has grey beside it.
  const QRectF part = crop & QRectF(QPointF(0, 0), QSizeF(picture_->Size()));
  QTransform widget_from_picture;
  widget_from_picture.scale(zoom, zoom);
  widget_from_picture.translate(-crop.x(), -crop.y());
  painter.setRenderHint(QPainter::SmoothPixmapTransform);
  const QRectF target = widget_from_picture.mapRect(part);
  painter.fillRect(target, Qt::white);  // what is transparent is paper
  painter.drawImage(target, view, QRectF(part.x() * sx, part.y() * sy, part.width() * sx, part.height() * sy));
  PaintShapes(painter, ShapesOf(finding_), widget_from_picture, 2.0, false);
}

}  // namespace armslength::app
