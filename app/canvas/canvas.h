#pragma once
#include <memory>
#include <vector>

#include <QCache>
#include <QColorSpace>
#include <QTransform>
#include <QWidget>

#include "app/canvas/pointer.h"
#include "app/canvas/pyramid.h"
#include "app/canvas/view_filter.h"

class QKeyEvent;
class QTouchEvent;

namespace armslength::app {

// Draws on top of the picture and may take pointers. Coordinates: picture px (see Canvas).
class CanvasLayer {
 public:
  virtual ~CanvasLayer() = default;
  // `widget_from_picture` is already NOT set on the painter: lines keep their screen width.
  virtual void Paint(QPainter& painter, const QTransform& widget_from_picture) = 0;
  // True when the layer used the pointer.
  virtual bool Handle(const Pointer&, const QPointF& /*at_picture_px*/, double /*zoom*/) { return false; }
  // Arrow keys: a step on the screen, in picture px. True when the layer used it.
  virtual bool Step(const QPointF& /*by_picture_px*/) { return false; }
};

// The picture, large: zoom, pan, turn, mirror, filters. The picture's pixels are never touched.
// One transform holds everything; marks are painted by layers in widget pixels.
class Canvas : public QWidget {
  Q_OBJECT
 public:
  explicit Canvas(QWidget* parent = nullptr);

  void SetPicture(std::shared_ptr<const Pyramid> pyramid, bool keep_view = false);
  [[nodiscard]] bool HasPicture() const { return pyramid_ != nullptr; }
  [[nodiscard]] const Pyramid* Picture() const { return pyramid_.get(); }
  // Layers are painted in this order; pointers are offered from the last to the first. Not owned.
  void AddLayer(CanvasLayer* layer);

  // View state.
  void SetFilter(ViewFilter filter);
  [[nodiscard]] ViewFilter Filter() const { return filter_; }
  void SetGroupThresholds(const GroupThresholds& groups);
  // Another rendering of the same picture, stretched over its place; a null image: the picture.
  void SetStandIn(const QImage& image);
  [[nodiscard]] bool HasStandIn() const { return !stand_in_.isNull(); }
  // The screen's colours; invalid: sRGB, nothing is converted. Matrix profiles only.
  void SetScreenSpace(const QColorSpace& space);
  void SetMirrored(bool on);          // about the middle of the window
  [[nodiscard]] bool Mirrored() const { return mirrored_; }
  void SetUpsideDown(bool on);
  [[nodiscard]] bool UpsideDown() const { return upside_down_; }
  // Shown at this many halvings too coarse and scaled back up: 0 sharp.
  void SetBlur(int halvings);
  [[nodiscard]] int Blur() const { return blur_; }
  // The whole picture as small as a thumbnail (long side, widget px); 0: off.
  void SetSmall(int long_side_px);
  [[nodiscard]] int Small() const { return small_; }
  void SetOverlayShown(bool on);
  [[nodiscard]] bool OverlayShown() const { return overlay_shown_; }
  void SetMagnifier(bool on);         // a round glass while the pointer is down, 4 x
  // Everything in view has been painted as it should look; false while tiles are still being made.
  [[nodiscard]] bool Complete() const { return !tiles_missing_; }
  void ResetLook();                   // colour, unmirrored, upright, sharp

  void FitPicture();  // the whole of it, turned as it is; once more: upright again
  void ZoomBy(double factor, const QPointF& fixed_widget);
  void TurnBy(double degrees);
  [[nodiscard]] double Turn() const { return turn_deg_; }
  void CentreOn(const QPointF& picture_px, double zoom = 0.0);
  [[nodiscard]] double Zoom() const { return zoom_; }  // widget px per picture px

  [[nodiscard]] QTransform WidgetFromPicture() const;
  [[nodiscard]] QPointF PictureFromWidget(const QPointF& widget) const;

 signals:
  void ViewChanged();
  void PictureDropped(const QString& path);
  void PointerOver(const QPointF& picture_px);

 protected:
  bool event(QEvent* event) override;
  void paintEvent(QPaintEvent* event) override;
  void resizeEvent(QResizeEvent* event) override;
  void wheelEvent(QWheelEvent* event) override;
  void keyPressEvent(QKeyEvent* event) override;
  void keyReleaseEvent(QKeyEvent* event) override;
  void dragEnterEvent(QDragEnterEvent* event) override;
  void dropEvent(QDropEvent* event) override;

 private:
  bool HandlePointer(const Pointer& pointer);
  void HandleTouch(QTouchEvent& event);
  void PaintPicture(QPainter& painter, const QTransform& transform, const QRectF& exposed_widget, double zoom);
  void PaintMagnifier(QPainter& painter);
  [[nodiscard]] quint64 TileKey(int level, int tx, int ty) const;
  // Null when it is not there yet and this paint's time is used up.
  QImage CachedTile(int level, int tx, int ty, bool may_make);
  void Fit();
  void Changed();

  std::shared_ptr<const Pyramid> pyramid_;
  std::vector<CanvasLayer*> layers_;
  QCache<quint64, QImage> tiles_;
  PointerDecoder decoder_;
  ViewFilter filter_ = ViewFilter::kColour;
  GroupThresholds groups_;
  bool mirrored_ = false, upside_down_ = false, overlay_shown_ = true, magnifier_ = false;
  int blur_ = 0, small_ = 0;
  double zoom_ = 1.0, turn_deg_ = 0.0;
  QPointF centre_px_;               // picture px shown at the widget's middle
  bool fitted_ = true;              // refit on resize until the person moves the view
  bool space_down_ = false, panning_ = false;
  QPointF last_widget_, hover_widget_;
  bool touch_moved_ = false, touch_many_ = false;
  bool hover_ = false, pressed_ = false, tiles_missing_ = false;
  QImage stand_in_;
  QColorSpace screen_;
  QColorTransform to_screen_;
};

}  // namespace armslength::app
