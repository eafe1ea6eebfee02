#pragma once
#include <functional>
#include <optional>

#include <QObject>

#include "app/canvas/canvas.h"
#include "app/session/document.h"
#include "app/session/live_reading.h"

namespace armslength::app {

// The marked points on the picture: set, drag, see. Marks are stored in picture px as doubles.
//   A click sets the point that is asked for next; a press on a mark drags it. Two joints can lie on
//   one spot: a click on the mark just set sets the next one there. While a mark is
//   set it snaps to lines and edges; Alt leaves that out.
class MarkLayer : public QObject, public CanvasLayer {
  Q_OBJECT
 public:
  MarkLayer(Document& document, Canvas& canvas, QObject* parent = nullptr);

  void SetShown(bool on);     // anything at all
  void SetEditable(bool on);
  void SetSnapping(bool on) { snapping_ = on; }
  void SetBodyShown(bool on); // the solved body behind the marks
  // Which points are seen and taken: all body points, or those of the head.
  enum class Part : std::uint8_t { kBody, kHead };
  void SetPart(Part part);
  [[nodiscard]] bool Snapping() const { return snapping_; }

  // The point that a click on free canvas sets; nothing: clicks set nothing.
  void SetAsked(std::optional<PointId> point);
  [[nodiscard]] std::optional<PointId> Asked() const { return asked_; }
  void Select(std::optional<PointId> point);
  [[nodiscard]] std::optional<PointId> Selected() const { return selected_; }

  // The newest reading; one of an older revision is drawn faded.
  void SetReading(std::shared_ptr<const LiveResult> result);
  // Where the reading puts a point that is not marked yet: body points after five marks of the
  // body, head points after six of the head.
  [[nodiscard]] std::optional<QPointF> ProposedAt(PointId point) const;

  // Undoable edits of the active figure.
  void SetPoint(PointId point, const QPointF& at_px, int merge = 0);
  void ClearPoint(PointId point);
  void AcceptProposed(PointId point);
  void AcceptAllProposed();
  void NudgeSelected(double dx_px, double dy_px);
  void SetDepth(BoneId bone, std::optional<Depth> depth);
  void SwapSides();
  void SwapFromSelected();  // the chosen pair of an arm or leg and what hangs on it

  void Paint(QPainter& painter, const QTransform& widget_from_picture) override;
  bool Handle(const Pointer& pointer, const QPointF& at_picture_px, double zoom) override;
  bool Step(const QPointF& by_picture_px) override;

 signals:
  void AskedChanged();
  void SelectionChanged();
  void PointSet(armslength::PointId point);
  void DragEnded();

 private:
  [[nodiscard]] const FigureMarks* Figure() const;
  void Edit(const QString& text, const std::function<void(FigureMarks&)>& edit, int merge = 0);
  [[nodiscard]] std::optional<PointId> Near(const QPointF& at_px, double reach_px) const;
  void PaintBody(QPainter& painter, const QTransform& transform) const;
  void PaintHead(QPainter& painter, const QTransform& transform) const;
  void PaintDepth(QPainter& painter, const QTransform& transform, const FigureMarks& figure) const;
  void PaintPoint(QPainter& painter, const QTransform& transform, const FigureMarks& figure, PointId id,
                  bool active) const;
  [[nodiscard]] bool Fresh() const;
  [[nodiscard]] bool OfPart(PointId id) const;

  Document& document_;
  Canvas& canvas_;
  std::shared_ptr<const LiveResult> result_;
  std::optional<PointId> asked_, selected_, dragged_;
  QPointF grab_offset_;
  Part part_ = Part::kBody;
  std::optional<QPointF> click_px_;  // pressed on the chosen mark while another is asked for
  int drag_merge_ = 0, nudge_merge_ = 0;
  std::optional<PointId> nudged_;
  bool shown_ = true, editable_ = false, snapping_ = true, body_shown_ = true, moved_ = false;
};

// Runs `edit` on the active figure as one undoable step; makes the figure when it is not there yet.
void EditActiveFigure(Document& document, const QString& text, const std::function<void(FigureMarks&)>& edit,
                      int merge = 0);
// The figure that is being marked; null before its first mark.
[[nodiscard]] const FigureMarks* ActiveFigureOf(const Document& document);

}  // namespace armslength::app
