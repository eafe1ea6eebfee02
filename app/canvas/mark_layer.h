#pragma once
#include <functional>
#include <optional>

#include <QObject>

#include "app/canvas/canvas.h"
#include "app/session/document.h"
#include "app/session/live_reading.h"

namespace armslength::app {

// The marks on the picture: set, drag, see. Marks are stored in picture px as doubles.
//   A click sets the point that is asked for next; a press on a mark drags it; a press on a
//   proposed place takes it over. Alt while setting leaves snapping out.
class MarkLayer : public QObject, public CanvasLayer {
  Q_OBJECT
 public:
  MarkLayer(Document& document, Canvas& canvas, QObject* parent = nullptr);

  void SetEditable(bool on);
  void SetSnapping(bool on) { snapping_ = on; }
  [[nodiscard]] bool Snapping() const { return snapping_; }

  // The point that a click on free canvas sets; nothing: clicks set nothing.
  void SetAsked(std::optional<PointId> point);
  [[nodiscard]] std::optional<PointId> Asked() const { return asked_; }
  void Select(std::optional<PointId> point);
  [[nodiscard]] std::optional<PointId> Selected() const { return selected_; }

  // The newest reading; a stale one is drawn faded.
  void SetReading(std::shared_ptr<const LiveResult> result);
  // Where the reading puts a point that is not marked yet.
  [[nodiscard]] std::optional<QPointF> ProposedAt(PointId point) const;

  // Undoable edits of the active figure.
  void SetPoint(PointId point, const QPointF& at_px, int merge = 0);
  void ClearPoint(PointId point);
  void AcceptProposed(PointId point);
  void AcceptAllProposed();
  void NudgeSelected(double dx_px, double dy_px);
  void SetDepth(BoneId bone, std::optional<Depth> depth);
  void SwapSides();

  void Paint(QPainter& painter, const QTransform& widget_from_picture) override;
  bool Handle(const Pointer& pointer, const QPointF& at_picture_px, double zoom) override;

 signals:
  void AskedChanged();
  void SelectionChanged();
  void PointSet(armslength::PointId point);

 private:
  [[nodiscard]] const FigureMarks* Figure() const;
  void Edit(const QString& text, const std::function<void(FigureMarks&)>& edit, int merge = 0);
  [[nodiscard]] std::optional<PointId> Near(const QPointF& at_px, double reach_px) const;
  void PaintBody(QPainter& painter, const QTransform& transform) const;

  Document& document_;
  Canvas& canvas_;
  std::shared_ptr<const LiveResult> result_;
  std::optional<PointId> asked_, selected_, dragged_;
  QPointF grab_offset_;
  int drag_merge_ = 0;
  bool editable_ = false, snapping_ = true;
};

}  // namespace armslength::app
