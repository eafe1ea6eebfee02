#include "app/views/solid_view.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Geometry>
#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>
#include <QPainterPath>

#include "app/critique/shape_painter.h"
#include "app/views/clay_image.h"
#include "app/window/look_and_feel.h"
#include "geometry/polygon.h"
#include "reading/head/head_curves.h"

namespace armslength::app {
namespace {

constexpr double kDegree = std::numbers::pi / 180.0;
constexpr double kStep = 10.0 * kDegree;
constexpr double kMostOver = 85.0 * kDegree;
// A drawn head is a shell round the face: from further round there is nothing read to show.
constexpr double kMostHeadTurn = 72.0 * kDegree, kMostHeadNod = 45.0 * kDegree;

bool Dark(const QPalette& palette) { return palette.color(QPalette::Base).lightness() < 128; }

QColor Clay(double light, bool dark) {  // neutral, so that nothing is read into its colour
  const int v = static_cast<int>(std::lround(dark ? 70.0 + 130.0 * light : 118.0 + 120.0 * light));
  return {v, v, v};
}

QPolygonF Polygon(const std::vector<Vec2>& points, const QTransform& t) {
  QPolygonF out;
  for (const Vec2& p : points)
    if (p.allFinite()) out << t.map(QPointF(p.x(), p.y()));
  return out;
}

}  // namespace

SolidView::SolidView(Part part, QWidget* parent) : QWidget(parent), part_(part) {
  setFocusPolicy(Qt::StrongFocus);
  setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Expanding);
  setCursor(Qt::OpenHandCursor);
  setAccessibleName(part == Part::kBody ? tr("The body behind the drawing, from any side")
                                        : tr("The head behind the drawing, from any side"));
  Show(std::nullopt, std::nullopt);
}

void SolidView::Show(std::optional<BodyReading> body, std::optional<HeadReading> head, bool stale) {
  body_ = std::move(body);
  head_ = std::move(head);
  stale_ = stale;
  clay_ = {};
  lengths_.clear();
  if (part_ == Part::kBody && body_ && body_->usable) {
    clay_ = ModelClay(*body_, head_ ? &*head_ : nullptr);
    lengths_ = LengthsOff(*body_);
  }
  SetTurn(around_, over_);
  Fit();
}

QString SolidView::Trouble() const {
  if (part_ == Part::kBody) {
    if (!body_) return tr("No body was read yet: set five marks of the body.");
    return body_->usable ? QString() : QString::fromStdString(body_->why_not);
  }
  if (!head_) return tr("No head was read yet: set six marks of the face.");
  return head_->usable ? QString() : QString::fromStdString(head_->why_not);
}

void SolidView::SetTurn(double around, double over) {
  around_ = std::remainder(around, 2.0 * std::numbers::pi);
  over_ = std::clamp(over, -kMostOver, kMostOver);
  if (part_ == Part::kHead && head_) {
    around_ = std::clamp(head_->pose.yaw_rad + around_, -kMostHeadTurn, kMostHeadTurn) - head_->pose.yaw_rad;
    over_ = std::clamp(head_->pose.pitch_rad + over_, -kMostHeadNod, kMostHeadNod) - head_->pose.pitch_rad;
  }
  const bool home = around_ == 0.0 && over_ == 0.0;
  setAccessibleDescription(home ? tr("As the picture shows it. Arrow keys turn it.")
                                : tr("Turned by %1 and tipped by %2 degrees. Home brings the picture's view back.")
                                      .arg(std::lround(around_ / kDegree))
                                      .arg(std::lround(over_ / kDegree)));
  emit Turned();
  update();
}

// Walking round the figure: about its upright first, then over it.
Eigen::Matrix3d SolidView::Rotation() const {
  const Vec3 up = body_ ? body_->camera.Up() : Vec3(0, -1, 0);
  return (Eigen::AngleAxisd(over_, Vec3::UnitX()) * Eigen::AngleAxisd(around_, up)).toRotationMatrix();
}

HeadPose SolidView::TurnedHead() const {
  HeadPose pose = head_->pose;
  pose.yaw_rad += around_;
  pose.pitch_rad += over_;
  return pose;
}

void SolidView::Fit() {
  // One scale for every turn, so that turning does not look like growing.
  const double room_x = std::max(40.0, width() - 40.0), room_y = std::max(40.0, height() - 56.0);
  if (!Trouble().isEmpty()) return;
  if (part_ == Part::kHead) {
    zoom_ = 0.82 * std::min(room_x, room_y) / std::max(1e-9, 1.12 * head_->pose.scale_px);
    middle_px_ = {head_->pose.origin_px.x(), head_->pose.origin_px.y()};
    return;
  }
  double across = 0.0, up = 0.0;  // from the upright axis, and along it
  const Vec3 axis = body_->camera.Up();
  for (const ClayPatch& patch : clay_.patches)
    for (const Vec3& p : patch.corner) {
      const Vec3 d = p - clay_.centre;
      across = std::max(across, (d - axis * d.dot(axis)).norm());
      up = std::max(up, std::abs(d.dot(axis)));
    }
  const double depth = 1.0 + body_->camera.inverse_distance * clay_.centre.z();
  const double px = body_->camera.scale_px / std::max(0.2, depth);
  zoom_ = std::min(room_x / (2.15 * across * px), room_y / (2.15 * up * px));
  const Vec2 middle = body_->camera.Project(clay_.centre);
  middle_px_ = {middle.x(), middle.y()};
}

std::optional<QPointF> SolidView::ShownAt(const Vec3& in_body) const {
  if (part_ != Part::kBody || !Trouble().isEmpty()) return {};
  const Vec3 turned = clay_.centre + Rotation() * (in_body - clay_.centre);
  const Vec2 px = body_->camera.Project(turned);
  return QPointF(width() / 2.0, height() / 2.0) + zoom_ * (QPointF(px.x(), px.y()) - middle_px_);
}

void SolidView::paintEvent(QPaintEvent*) {
  QPainter p(this);
  p.setRenderHint(QPainter::Antialiasing);
  p.fillRect(rect(), palette().color(QPalette::Base));
  const QString trouble = Trouble();
  if (!trouble.isEmpty()) {
    p.setPen(palette().color(QPalette::Text));
    p.drawText(rect().adjusted(24, 24, -24, -24), Qt::AlignCenter | Qt::TextWordWrap, trouble);
  } else {
    if (stale_) p.setOpacity(0.5);
    if (part_ == Part::kBody) PaintBody(p);
    else PaintHead(p);
    p.setOpacity(1.0);
    const bool home = around_ == 0.0 && over_ == 0.0;
    const QString say = stale_ ? tr("From before your last change")
                        : home ? tr("As the picture shows it")
                               : tr("Turned %1°, tipped %2°").arg(std::lround(around_ / kDegree)).arg(std::lround(over_ / kDegree));
    p.setPen(QuietTextOn(palette()));
    p.drawText(rect().adjusted(12, 0, -12, -8), Qt::AlignHCenter | Qt::AlignBottom, say);
  }
  if (hasFocus()) {
    p.setBrush(Qt::NoBrush);
    p.setPen(QPen(palette().color(QPalette::Text), 1.5));
    p.drawRoundedRect(QRectF(rect()).adjusted(1.5, 1.5, -1.5, -1.5), 3, 3);
  }
}

void SolidView::PaintBody(QPainter& p) {
  const Eigen::Matrix3d turn = Rotation();
  const BodyCamera& camera = body_->camera;
  const QPointF centre(width() / 2.0, height() / 2.0);
  const auto turned = [&](const Vec3& q) { return Vec3(clay_.centre + turn * (q - clay_.centre)); };
  const auto shown = [&](const Vec3& q) {
    const Vec2 px = camera.Project(q);
    return centre + zoom_ * (QPointF(px.x(), px.y()) - middle_px_);
  };
  // Drawn at twice a coarse screen's pixels and brought down, so that edges are smooth; plainer on
  // a fine screen and while it is being turned, so that it follows the hand.
  const double ratio = devicePixelRatioF();
  const double fine = dragging_ ? std::min(ratio, 1.0) : ratio < 1.5 ? 2.0 * ratio : ratio;
  ClayLook look;
  look.dark = Dark(palette());
  look.outline_px = 1.7 * fine;
  look.contour_px = 0.8 * fine;
  const QImage clay = DrawClay(
      clay_, (QSizeF(size()) * fine).toSize(), turned, [&](const Vec3& q) { return fine * shown(q); }, look);
  p.setRenderHint(QPainter::SmoothPixmapTransform);
  p.drawImage(QRectF(rect()), clay);

  const auto path = [&](const std::vector<Vec3>& points) {
    QPainterPath way;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const QPointF at = shown(turned(points[i]));
      if (i == 0) way.moveTo(at);
      else way.lineTo(at);
    }
    return way;
  };
  p.setBrush(Qt::NoBrush);
  for (const ClayLength& length : lengths_) {
    const QPainterPath target = path(length.target), drawn = path(length.drawn);
    p.strokePath(target, QPen(QColor(255, 255, 255, 210), 5.5, Qt::SolidLine, Qt::FlatCap, Qt::RoundJoin));
    p.strokePath(drawn, QPen(QColor(255, 255, 255, 210), 5.5, Qt::SolidLine, Qt::FlatCap, Qt::RoundJoin));
    p.strokePath(target, QPen(Colours::Target(), 3.2, Qt::SolidLine, Qt::FlatCap, Qt::RoundJoin));
    QPen dashed(Colours::Drawn(), 3.2, Qt::SolidLine, Qt::FlatCap, Qt::RoundJoin);
    dashed.setDashPattern({2.2, 1.8});
    p.strokePath(drawn, dashed);
    for (const auto& [points, colour] : {std::pair(&length.target, Colours::Target()), std::pair(&length.drawn, Colours::Drawn())}) {
      p.setPen(QPen(Qt::white, 1.4));
      p.setBrush(colour);
      for (std::size_t i = 1; i < points->size(); ++i) p.drawEllipse(shown(turned((*points)[i])), 4.5, 4.5);
      p.setBrush(Qt::NoBrush);
    }
  }
}

void SolidView::PaintHead(QPainter& p) {
  const HeadCurves curves = CurvesOf(TurnedHead(), head_->profile);
  const bool dark = Dark(palette());
  QTransform t;
  t.translate(width() / 2.0, height() / 2.0 - 8.0);
  t.scale(zoom_, zoom_);
  t.translate(-middle_px_.x(), -middle_px_.y());
  const QPolygonF ball = Polygon(curves.ball, t);
  // The outline of all that was read: ball, jaw and the ends of the lines across the face.
  std::vector<Vec2> reach;
  for (const auto* curve : {&curves.ball, &curves.jaw_near, &curves.jaw_far, &curves.middle, &curves.eyes, &curves.brow,
                            &curves.nose, &curves.mouth})
    for (const Vec2& q : *curve)
      if (q.allFinite()) reach.push_back(q);
  QPainterPath whole;  // convex: between ball and jaw it is a little full
  whole.addPolygon(Polygon(ConvexHull(reach), t));
  whole.closeSubpath();
  const QRectF box = whole.boundingRect();
  QRadialGradient clay(box.center() - QPointF(0.18 * box.width(), 0.24 * box.height()), 0.85 * std::max(box.width(), box.height()));
  clay.setColorAt(0.0, Clay(0.95, dark));
  clay.setColorAt(0.55, Clay(0.66, dark));
  clay.setColorAt(1.0, Clay(0.30, dark));
  const QColor outline = dark ? QColor(12, 12, 12) : QColor(40, 40, 40);
  p.setPen(QPen(outline, 1.8));
  p.setBrush(clay);
  p.drawPath(whole);
  p.setBrush(Qt::NoBrush);
  const QPolygonF side = Polygon(curves.side_plane, t);
  if (side.size() > 2) {
    QColor shade = Clay(0.42, dark);
    shade.setAlphaF(0.75F);
    p.setPen(QPen(outline, 0.8));
    p.setBrush(shade);
    p.drawPolygon(side);
    p.setBrush(Qt::NoBrush);
  }
  const auto line = [&](const std::vector<Vec2>& curve, double width) {
    p.setPen(QPen(outline, width, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
    p.drawPolyline(Polygon(curve, t));
  };
  line(curves.ball, 0.7);
  line(curves.equator, 0.8);
  line(curves.side_cross_up, 0.8);
  line(curves.side_cross_along, 0.8);
  line(curves.jaw_near, 1.2);
  line(curves.jaw_far, 1.2);
  line(curves.nose, 0.9);
  line(curves.mouth, 0.9);
  line(curves.brow, 1.2);
  line(curves.eyes, 1.6);
  line(curves.middle, 1.6);

  // The marks that are off lie on the page: they are only seen in the picture's own view.
  if (around_ != 0.0 || over_ != 0.0) return;
  const auto drawn_at = [&](PointId id) -> std::optional<QPointF> {
    const auto residual = head_->residual_px.find(id), model = head_->model_px.find(id);
    if (residual == head_->residual_px.end() || model == head_->model_px.end()) return {};
    const Vec2 mark = model->second + residual->second;
    return t.map(QPointF(mark.x(), mark.y()));
  };
  const auto stroke = [&](const QPainterPath& path, const QColor& colour, bool dashes) {
    p.strokePath(path, QPen(QColor(255, 255, 255, 210), 4.6, Qt::SolidLine, Qt::FlatCap, Qt::RoundJoin));
    QPen pen(colour, 2.4, Qt::SolidLine, Qt::FlatCap, Qt::RoundJoin);
    if (dashes) pen.setDashPattern({2.4, 1.8});
    p.strokePath(path, pen);
  };
  const std::vector<std::vector<PointId>> features = {
      {PointId::kEyeLInner, PointId::kEyeLTop, PointId::kEyeLOuter, PointId::kEyeLBottom, PointId::kEyeLInner},
      {PointId::kEyeRInner, PointId::kEyeRTop, PointId::kEyeROuter, PointId::kEyeRBottom, PointId::kEyeRInner},
      {PointId::kMouthL, PointId::kMouthCentre, PointId::kMouthR},
      {PointId::kJawR, PointId::kChin, PointId::kJawL}};
  for (const auto& feature : features) {
    QPainterPath drawn, target;
    bool moved = false;
    for (const PointId id : feature) {
      const auto at = drawn_at(id);
      if (!at) continue;
      const auto to = head_->target_px.find(id);
      moved = moved || to != head_->target_px.end();
      const QPointF right = to == head_->target_px.end() ? *at : t.map(QPointF(to->second.x(), to->second.y()));
      if (drawn.elementCount() == 0) drawn.moveTo(*at), target.moveTo(right);
      else drawn.lineTo(*at), target.lineTo(right);
    }
    if (!moved) continue;
    stroke(target, Colours::Target(), false);
    stroke(drawn, Colours::Drawn(), true);
  }
  p.setPen(QPen(Qt::white, 1.2));
  for (const auto& [id, target] : head_->target_px) {
    const auto from = drawn_at(id);
    const QPointF to = t.map(QPointF(target.x(), target.y()));
    if (!from || std::hypot(to.x() - from->x(), to.y() - from->y()) < 2.0) continue;
    p.setBrush(Colours::Target());
    p.drawEllipse(to, 3.4, 3.4);
    p.setBrush(Colours::Drawn());
    p.drawEllipse(*from, 3.4, 3.4);
  }
  p.setBrush(Qt::NoBrush);
}

void SolidView::resizeEvent(QResizeEvent*) { Fit(); }

void SolidView::mousePressEvent(QMouseEvent* event) {
  if (event->button() == Qt::LeftButton) last_ = event->position();
}

void SolidView::mouseMoveEvent(QMouseEvent* event) {
  if (!(event->buttons() & Qt::LeftButton)) return;
  const QPointF by = event->position() - last_;
  last_ = event->position();
  dragging_ = true;
  // Half the widget's width is half a turn; what is under the pointer goes with it.
  const double per_px = std::numbers::pi / std::max(100.0, 1.0 * width());
  SetTurn(around_ + by.x() * per_px, over_ + by.y() * per_px);
}

void SolidView::mouseReleaseEvent(QMouseEvent*) {
  dragging_ = false;
  update();
}

void SolidView::mouseDoubleClickEvent(QMouseEvent*) { Reset(); }

void SolidView::keyPressEvent(QKeyEvent* event) {
  switch (event->key()) {
    case Qt::Key_Left: return SetTurn(around_ - kStep, over_);
    case Qt::Key_Right: return SetTurn(around_ + kStep, over_);
    case Qt::Key_Up: return SetTurn(around_, over_ - kStep);
    case Qt::Key_Down: return SetTurn(around_, over_ + kStep);
    case Qt::Key_Home: return Reset();
    default: QWidget::keyPressEvent(event);
  }
}

}  // namespace armslength::app
