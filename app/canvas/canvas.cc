#include "app/canvas/canvas.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include <QDragEnterEvent>
#include <QElapsedTimer>
#include <QKeyEvent>
#include <QMimeData>
#include <QPainter>
#include <QPainterPath>
#include <QTabletEvent>
#include <QTimer>
#include <QTouchEvent>
#include <QWheelEvent>

namespace armslength::app {
namespace {

constexpr double kMinZoom = 1.0 / 128.0, kMaxZoom = 64.0;
constexpr int kTileCacheBytes = 256 << 20;
constexpr qint64 kPaintBudgetMs = 4;  // for new tiles in one paint; the rest follow in the next
constexpr double kPanStep = 48.0;      // widget px

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

void Canvas::SetStandIn(const QImage& image) {
  stand_in_ = image;
  Changed();
}

void Canvas::SetScreenSpace(const QColorSpace& space) {
  screen_ = space;
  if (screen_.isValid()) to_screen_ = QColorSpace(QColorSpace::SRgb).transformationToColorSpace(screen_);
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
  stand_in_ = {};
  Changed();
}

void Canvas::FitPicture() {
  if (fitted_) turn_deg_ = 0.0;
  Fit();
}

void Canvas::Fit() {
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

quint64 Canvas::TileKey(int level, int tx, int ty) const {
  return (quint64(level) << 56) | (quint64(filter_) << 48) | (quint64(tx) << 24) | quint64(ty);
}

QImage Canvas::CachedTile(int level, int tx, int ty, bool may_make) {
  const quint64 key = TileKey(level, tx, ty);
  if (const QImage* hit = tiles_.object(key)) return *hit;
  if (!may_make) return {};
  QImage tile = Filtered(pyramid_->Tile(level, tx, ty), filter_, groups_);
  if (tile.isNull()) return tile;
  if (screen_.isValid()) tile.applyColorTransform(to_screen_);
  tiles_.insert(key, new QImage(tile), std::max<qsizetype>(1, tile.sizeInBytes()));
  return tile;
}

void Canvas::PaintPicture(QPainter& painter, const QTransform& transform, const QRectF& exposed_widget, double zoom) {
  const QSize whole = pyramid_->Size();
  painter.save();
  painter.setTransform(transform, true);
  // Far in, pixels are shown as pixels: that is where marks are set exactly.
  painter.setRenderHint(QPainter::SmoothPixmapTransform, zoom < 4.0 || blur_ > 0);
  if (!stand_in_.isNull()) {
    painter.drawImage(QRectF(QPointF(0, 0), QSizeF(whole)), stand_in_);
    painter.restore();
    return;
  }
  const int top = pyramid_->Levels() - 1;
  int level = pyramid_->LevelFor(zoom * devicePixelRatioF());
  if (blur_ > 0) level = std::min(top, std::max(level, 0) + blur_);
  const double scale = static_cast<double>(whole.width()) / pyramid_->Size(level).width();
  const QRectF seen = transform.inverted().mapRect(exposed_widget);
  const auto tile_at = [scale](double px, int count) {
    return std::clamp(static_cast<int>(std::floor(px / scale / Pyramid::kTile)), 0, count - 1);
  };
  const int x0 = tile_at(seen.left(), pyramid_->TilesX(level)), x1 = tile_at(seen.right(), pyramid_->TilesX(level));
  const int y0 = tile_at(seen.top(), pyramid_->TilesY(level)), y1 = tile_at(seen.bottom(), pyramid_->TilesY(level));
  QElapsedTimer spent;
  spent.start();
  std::vector<std::pair<QRectF, QImage>> ready;
  bool all = true;
  for (int ty = y0; ty <= y1; ++ty)
    for (int tx = x0; tx <= x1; ++tx) {
      const QImage tile = CachedTile(level, tx, ty, spent.elapsed() < kPaintBudgetMs);
      if (tile.isNull()) {
        all = false;
        continue;
      }
      ready.emplace_back(QRectF(tx * Pyramid::kTile * scale, ty * Pyramid::kTile * scale, tile.width() * scale,
                                tile.height() * scale),
                         tile);
    }
  if (!all) {  // the coarsest level is one tile: it stands in until the rest is there
    painter.drawImage(QRectF(QPointF(0, 0), QSizeF(whole)), CachedTile(top, 0, 0, true));
    tiles_missing_ = true;
  }
  for (const auto& [where, tile] : ready) painter.drawImage(where, tile);
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
  if (magnifier_ && hover_ && pressed_ && !panning_) PaintMagnifier(painter);
  if (std::exchange(tiles_missing_, false)) QTimer::singleShot(0, this, qOverload<>(&QWidget::update));
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
  painter.setBrush(Qt::NoBrush);
  painter.setPen(QPen(palette().color(QPalette::Window), 5.0));
  painter.drawEllipse(middle, radius, radius);
  painter.setPen(QPen(palette().color(QPalette::Text), 1.5));
  painter.drawEllipse(middle, radius + 2.5, radius + 2.5);
}

void Canvas::resizeEvent(QResizeEvent*) {
  if (fitted_) Fit();
}

bool Canvas::HandlePointer(const Pointer& pointer) {
  hover_widget_ = pointer.at;
  hover_ = true;
  if (pointer.kind == Pointer::Kind::kPress) pressed_ = true;
  if (pointer.kind == Pointer::Kind::kRelease) pressed_ = false;
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

// One finger moves the picture, two also zoom it; a tap is a click. Marking by dragging is the pen's
// and the mouse's, so that a hand on the screen sets nothing.
void Canvas::HandleTouch(QTouchEvent& event) {
  const auto& points = event.points();
  if (event.type() == QEvent::TouchBegin) touch_moved_ = touch_many_ = false;
  if (points.size() > 1) touch_many_ = true;
  if (event.type() == QEvent::TouchEnd && !touch_moved_ && !touch_many_ && points.size() == 1) {
    Pointer tap;
    tap.at = points[0].position();
    tap.button = Qt::LeftButton;
    for (const auto kind : {Pointer::Kind::kPress, Pointer::Kind::kRelease}) {
      tap.kind = kind;
      HandlePointer(tap);
    }
    return;
  }
  if (event.type() != QEvent::TouchUpdate || !pyramid_) return;
  if (points.size() == 1) {
    const QPointF from = points[0].pressPosition(), at = points[0].position();
    if (!touch_moved_ && std::hypot(at.x() - from.x(), at.y() - from.y()) < 8.0) return;
    touch_moved_ = true;
    centre_px_ += PictureFromWidget(points[0].lastPosition()) - PictureFromWidget(at);
    fitted_ = false;
    Changed();
    return;
  }
  if (points.size() != 2) return;
  const QPointF a0 = points[0].lastPosition(), b0 = points[1].lastPosition();
  const QPointF a1 = points[0].position(), b1 = points[1].position();
  const QPointF from = b0 - a0, to = b1 - a1;
  const double before = std::hypot(from.x(), from.y()), after = std::hypot(to.x(), to.y());
  if (before < 1.0 || after < 1.0) return;
  touch_moved_ = true;
  const QPointF middle = (a1 + b1) / 2.0;
  centre_px_ += PictureFromWidget((a0 + b0) / 2.0) - PictureFromWidget(middle);
  ZoomBy(after / before, middle);
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
    case QEvent::TouchCancel:
      // Always taken: a first finger that is let go would keep the second from ever coming.
      HandleTouch(static_cast<QTouchEvent&>(*event));
      event->accept();
      return true;
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
  QPointF step;
  switch (event->key()) {
    case Qt::Key_Left: step = {-1, 0}; break;
    case Qt::Key_Right: step = {1, 0}; break;
    case Qt::Key_Up: step = {0, -1}; break;
    case Qt::Key_Down: step = {0, 1}; break;
    default: break;
  }
  if (!step.isNull() && pyramid_) {
    // Arrows move what the layer holds by one screen pixel (ten with Shift), else the view.
    const QTransform linear = [t = WidgetFromPicture()] {
      return QTransform(t.m11(), t.m12(), t.m21(), t.m22(), 0, 0);
    }();
    const double many = event->modifiers() & Qt::ShiftModifier ? 10.0 : 1.0;
    const QPointF by = linear.inverted().map(step * many);
    for (auto layer = layers_.rbegin(); layer != layers_.rend(); ++layer)
      if ((*layer)->Step(by)) return;
    centre_px_ += linear.inverted().map(step * kPanStep);
    fitted_ = false;
    Changed();
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
