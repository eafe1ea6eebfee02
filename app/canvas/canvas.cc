#include "app/canvas/canvas.h"

#include <algorithm>
#include <cmath>

#include <QDragEnterEvent>
#include <QKeyEvent>
#include <QMimeData>
#include <QPainter>
#include <QPainterPath>
#include <QTabletEvent>
#include <QTouchEvent>
#include <QWheelEvent>

namespace armslength::app {
namespace {

constexpr double kMinZoom = 1.0 / 128.0, kMaxZoom = 64.0;
constexpr int kTileCacheBytes = 192 << 20;

}  // namespace

Canvas::Canvas(QWidget* parent) : QWidget(parent), tiles_(kTileCacheBytes) {
  setFocusPolicy(Qt::StrongFocus);
  setMouseTracking(true);
  setTabletTracking(true);
  setAttribute(Qt::WA_AcceptTouchEvents);
  setAttribute(Qt::WA_OpaquePaintEvent);
  setAcceptDrops(true);
  setAccessibleName(tr("Picture"));
  setMinimumSize(200, 160);
}

void Canvas::SetPicture(std::shared_ptr<const Pyramid> pyramid, bool keep_view) {
  const bool same_size = pyramid && pyramid_ && pyramid->Size() == pyramid_->Size();
  pyramid_ = std::move(pyramid);
  tiles_.clear();
  if (!(keep_view && same_size)) {
    turn_deg_ = 0.0;
    FitPicture();
  }
  Changed();
}

void Canvas::AddLayer(CanvasLayer* layer) { layers_.push_back(layer); }

void Canvas::Changed() {
  update();
  emit ViewChanged();
}

void Canvas::SetFilter(ViewFilter filter) {
  filter_ = filter;
  Changed();
}

void Canvas::SetGroupThresholds(const GroupThresholds& groups) {
  groups_ = groups;
  tiles_.clear();
  Changed();
}

void Canvas::SetMirrored(bool on) {
  mirrored_ = on;
  Changed();
}

void Canvas::SetUpsideDown(bool on) {
  upside_down_ = on;
  Changed();
}

void Canvas::SetBlur(int halvings) {
  blur_ = std::max(0, halvings);
  Changed();
}

void Canvas::SetSmall(int long_side_px) {
  small_ = std::max(0, long_side_px);
  Changed();
}

void Canvas::SetOverlayShown(bool on) {
  overlay_shown_ = on;
  Changed();
}

void Canvas::SetMagnifier(bool on) {
  magnifier_ = on;
  update();
}

void Canvas::ResetLook() {
  filter_ = ViewFilter::kColour;
  mirrored_ = upside_down_ = false;
  blur_ = small_ = 0;
  Changed();
}

void Canvas::FitPicture() {
  fitted_ = true;
  if (!pyramid_) return;
  const QSize size = pyramid_->Size();
  centre_px_ = QPointF(size.width() / 2.0, size.height() / 2.0);
  const double margin = 24.0;
  zoom_ = std::clamp(std::min((width() - 2 * margin) / size.width(), (height() - 2 * margin) / size.height()), kMinZoom,
                     kMaxZoom);
  Changed();
}

void Canvas::ZoomBy(double factor, const QPointF& fixed_widget) {
  const QPointF before = PictureFromWidget(fixed_widget);
  zoom_ = std::clamp(zoom_ * factor, kMinZoom, kMaxZoom);
  centre_px_ += before - PictureFromWidget(fixed_widget);
  fitted_ = false;
  Changed();
}

void Canvas::TurnBy(double degrees) {
  turn_deg_ = std::remainder(turn_deg_ + degrees, 360.0);
  Changed();
}

void Canvas::CentreOn(const QPointF& picture_px, double zoom) {
  centre_px_ = picture_px;
  if (zoom > 0.0) zoom_ = std::clamp(zoom, kMinZoom, kMaxZoom);
  fitted_ = false;
  Changed();
}

QTransform Canvas::WidgetFromPicture() const {
  QTransform t;
  t.translate(width() / 2.0, height() / 2.0);
  double zoom = zoom_;
  QPointF centre = centre_px_;
  if (small_ > 0 && pyramid_) {
    const QSize size = pyramid_->Size();
    zoom = static_cast<double>(small_) / std::max(size.width(), size.height());
    centre = QPointF(size.width() / 2.0, size.height() / 2.0);
  }
  if (mirrored_) t.scale(-1.0, 1.0);
  t.rotate(turn_deg_ + (upside_down_ ? 180.0 : 0.0));
  t.scale(zoom, zoom);
  t.translate(-centre.x(), -centre.y());
  return t;
}

QPointF Canvas::PictureFromWidget(const QPointF& widget) const { return WidgetFromPicture().inverted().map(widget); }

QImage Canvas::CachedTile(int level, int tx, int ty) {
  const quint64 key = (quint64(level) << 56) | (quint64(filter_) << 48) | (quint64(tx) << 24) | quint64(ty);
  if (const QImage* hit = tiles_.object(key)) return *hit;
  QImage tile = Filtered(pyramid_->Tile(level, tx, ty), filter_, groups_);
  tiles_.insert(key, new QImage(tile), std::max<qsizetype>(1, tile.sizeInBytes()));
  return tile;
}

void Canvas::PaintPicture(QPainter& painter, const QTransform& transform, const QRectF& exposed_widget, double zoom) {
  int level = pyramid_->LevelFor(zoom * devicePixelRatioF());
  if (blur_ > 0) level = std::min(pyramid_->Levels() - 1, std::max(level, 0) + blur_);
  const double scale = static_cast<double>(pyramid_->Size().width()) / pyramid_->Size(level).width();
  const QRectF seen = transform.inverted().mapRect(exposed_widget);
  const int x0 = std::clamp(static_cast<int>(seen.left() / scale) / Pyramid::kTile, 0, pyramid_->TilesX(level) - 1);
  const int x1 = std::clamp(static_cast<int>(seen.right() / scale) / Pyramid::kTile, 0, pyramid_->TilesX(level) - 1);
  const int y0 = std::clamp(static_cast<int>(seen.top() / scale) / Pyramid::kTile, 0, pyramid_->TilesY(level) - 1);
  const int y1 = std::clamp(static_cast<int>(seen.bottom() / scale) / Pyramid::kTile, 0, pyramid_->TilesY(level) - 1);
  painter.save();
  painter.setTransform(transform, true);
  // Far in, pixels are shown as pixels: that is where marks are set exactly.
  painter.setRenderHint(QPainter::SmoothPixmapTransform, zoom < 4.0 || blur_ > 0);
  for (int ty = y0; ty <= y1; ++ty)
    for (int tx = x0; tx <= x1; ++tx) {
      const QImage tile = CachedTile(level, tx, ty);
      if (tile.isNull()) continue;
      painter.drawImage(QRectF(tx * Pyramid::kTile * scale, ty * Pyramid::kTile * scale, tile.width() * scale,
                               tile.height() * scale),
                        tile);
    }
  painter.restore();
}

void Canvas::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  painter.fillRect(rect(), palette().color(QPalette::Dark));
  if (!pyramid_) return;
  const QTransform transform = WidgetFromPicture();
  const double zoom = std::sqrt(std::abs(transform.determinant()));
  const QRectF page(QPointF(0, 0), QSizeF(pyramid_->Size()));
  painter.save();
  painter.setTransform(transform, true);
  painter.fillRect(page, Qt::white);
  painter.restore();
  PaintPicture(painter, transform, QRectF(rect()), zoom);
  if (overlay_shown_ && small_ == 0) {
    painter.setRenderHint(QPainter::Antialiasing);
    for (CanvasLayer* layer : layers_) layer->Paint(painter, transform);
  }
  if (magnifier_ && hover_) PaintMagnifier(painter);
}

void Canvas::PaintMagnifier(QPainter& painter) {
  const double radius = 70.0, grow = 4.0;
  // Beside the pen, so the hand does not cover it; on the other side near an edge.
  QPointF middle = hover_widget_ + QPointF(-radius - 30.0, -radius - 30.0);
  if (middle.x() < radius) middle.setX(hover_widget_.x() + radius + 30.0);
  if (middle.y() < radius) middle.setY(hover_widget_.y() + radius + 30.0);
  QTransform transform;
  transform.translate(middle.x(), middle.y());
  transform.scale(grow, grow);
  transform.translate(-hover_widget_.x(), -hover_widget_.y());
  const QTransform whole = WidgetFromPicture() * transform;
  QPainterPath glass;
  glass.addEllipse(middle, radius, radius);
  painter.save();
  painter.setClipPath(glass);
  painter.fillPath(glass, Qt::white);
  PaintPicture(painter, whole, QRectF(middle.x() - radius, middle.y() - radius, 2 * radius, 2 * radius), Zoom() * grow);
  painter.setRenderHint(QPainter::Antialiasing);
  for (CanvasLayer* layer : layers_) layer->Paint(painter, whole);
  painter.restore();
  painter.setPen(QPen(palette().color(QPalette::Text), 1.5));
  painter.drawEllipse(middle, radius, radius);
}

void Canvas::resizeEvent(QResizeEvent*) {
  if (fitted_) FitPicture();
}

bool Canvas::HandlePointer(const Pointer& pointer) {
  hover_widget_ = pointer.at;
  hover_ = true;
  if (!pyramid_) return false;
  const QPointF at = PictureFromWidget(pointer.at);
  emit PointerOver(at);
  if (magnifier_) update();
  const bool pan_button = pointer.button == Qt::MiddleButton || (space_down_ && pointer.button == Qt::LeftButton);
  if (pointer.kind == Pointer::Kind::kPress && pan_button) {
    panning_ = true;
    last_widget_ = pointer.at;
    return true;
  }
  if (panning_) {
    if (pointer.kind == Pointer::Kind::kRelease) panning_ = false;
    centre_px_ += PictureFromWidget(last_widget_) - PictureFromWidget(pointer.at);
    last_widget_ = pointer.at;
    fitted_ = false;
    Changed();
    return true;
  }
  if (overlay_shown_ && small_ == 0)
    for (auto layer = layers_.rbegin(); layer != layers_.rend(); ++layer)
      if ((*layer)->Handle(pointer, at, Zoom())) return true;
  return false;
}

bool Canvas::HandleTouch(QTouchEvent& event) {
  const auto& points = event.points();
  if (points.size() != 2) return false;
  const QPointF a0 = points[0].lastPosition(), b0 = points[1].lastPosition();
  const QPointF a1 = points[0].position(), b1 = points[1].position();
  const QPointF from = b0 - a0, to = b1 - a1;
  const double before = std::hypot(from.x(), from.y()), after = std::hypot(to.x(), to.y());
  if (before < 1.0 || after < 1.0) return true;
  const QPointF middle = (a1 + b1) / 2.0;
  centre_px_ += PictureFromWidget((a0 + b0) / 2.0) - PictureFromWidget(middle);
  ZoomBy(after / before, middle);
  return true;
}

bool Canvas::event(QEvent* event) {
  switch (event->type()) {
    case QEvent::TabletPress:
    case QEvent::TabletMove:
    case QEvent::TabletRelease:
    case QEvent::MouseButtonPress:
    case QEvent::MouseButtonDblClick:
    case QEvent::MouseMove:
    case QEvent::MouseButtonRelease:
      if (event->type() == QEvent::MouseButtonPress) setFocus(Qt::MouseFocusReason);
      if (const auto pointer = decoder_.Decode(*event)) HandlePointer(*pointer);
      // Always taken: an ignored pen event would come back as a mouse event.
      event->accept();
      return true;
    case QEvent::TouchBegin:
    case QEvent::TouchUpdate:
    case QEvent::TouchEnd:
      if (HandleTouch(static_cast<QTouchEvent&>(*event))) {
        event->accept();
        return true;
      }
      break;
    case QEvent::Leave:
      hover_ = false;
      update();
      break;
    default:
      break;
  }
  return QWidget::event(event);
}

void Canvas::wheelEvent(QWheelEvent* event) {
  const double steps = event->angleDelta().y() / 120.0;
  if (event->modifiers() & Qt::ShiftModifier)
    TurnBy(steps * 5.0);
  else
    ZoomBy(std::pow(1.25, steps), event->position());
  event->accept();
}

void Canvas::keyPressEvent(QKeyEvent* event) {
  if (event->key() == Qt::Key_Space && !event->isAutoRepeat()) {
    space_down_ = true;
    setCursor(Qt::OpenHandCursor);
    return;
  }
  QWidget::keyPressEvent(event);
}

void Canvas::keyReleaseEvent(QKeyEvent* event) {
  if (event->key() == Qt::Key_Space && !event->isAutoRepeat()) {
    space_down_ = false;
    unsetCursor();
    return;
  }
  QWidget::keyReleaseEvent(event);
}

void Canvas::dragEnterEvent(QDragEnterEvent* event) {
  if (event->mimeData()->hasUrls() && event->mimeData()->urls().first().isLocalFile()) event->acceptProposedAction();
}

void Canvas::dropEvent(QDropEvent* event) {
  if (!event->mimeData()->hasUrls()) return;
  event->acceptProposedAction();
  emit PictureDropped(event->mimeData()->urls().first().toLocalFile());
}

}  // namespace armslength::app
