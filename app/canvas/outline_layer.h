#pragma once
#include <functional>
#include <optional>
#include <vector>

#include <QObject>

#include "app/canvas/canvas.h"
#include "app/session/document.h"

namespace armslength::app {

// Rings (curves that run round a part) and areas (outlined regions) on the picture. A ring takes
// three clicks: one end, the middle of the bow, the other end; Finish() ends a longer one, as a
// whole ring of six or more. An area takes its corners and Finish(). Points can be dragged; a press on
// the line of the chosen outline puts a point in there.
class OutlineLayer : public QObject, public CanvasLayer {
  Q_OBJECT
 public:
  enum class Draws : std::uint8_t { kNothing, kRing, kArea };
  OutlineLayer(Document& document, Canvas& canvas, QObject* parent = nullptr);

  void SetShown(bool on);
  void SetDraws(Draws what);
  [[nodiscard]] Draws What() const { return draws_; }
  // What the next ring or area is: bone names as in marks files.
  void SetRing(const QString& around) { around_ = around; }
  void SetWholeRing(bool on);
  void SetArea(const QString& kind, const QString& on);

  // Ends what is being drawn and keeps it; false when it has too few points.
  bool Finish();
  void TakeBack();  // the last point of what is being drawn
  void Cancel();
  [[nodiscard]] int DraftPoints() const { return static_cast<int>(draft_.size()); }

  // Rings first, then areas.
  [[nodiscard]] int Count() const;
  void Remove(int index);
  // The point last pressed, of a kept outline, can be taken out while enough of them stay.
  [[nodiscard]] bool HasChosenPoint() const;
  bool RemoveChosenPoint();
  void Select(int index);

  void Paint(QPainter& painter, const QTransform& widget_from_picture) override;
  bool Handle(const Pointer& pointer, const QPointF& at_picture_px, double zoom) override;

 signals:
  void DraftChanged();

 private:
  struct Grip {
    int index = 0;
    std::size_t point = 0;
  };
  [[nodiscard]] std::optional<Grip> Near(const QPointF& at_px, double reach_px) const;
  // Where on the chosen outline's line a new point would go: the index it would get.
  [[nodiscard]] std::optional<Grip> NearLine(const QPointF& at_px, double reach_px) const;
  void EditPoints(const QString& text, int index, const std::function<void(std::vector<Vec2>&)>& edit, int merge = 0);
  [[nodiscard]] const std::vector<Vec2>* PointsOf(int index) const;

  Document& document_;
  Canvas& canvas_;
  Draws draws_ = Draws::kNothing;
  QString around_ = QStringLiteral("neck"), kind_ = QStringLiteral("folds"), on_;
  bool whole_ring_ = false, shown_ = true;
  std::vector<Vec2> draft_;
  std::optional<QPointF> hover_px_;
  std::optional<Grip> grip_, chosen_;
  int merge_ = 0, selected_ = -1;
};

}  // namespace armslength::app
