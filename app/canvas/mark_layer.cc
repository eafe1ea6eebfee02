#include "app/canvas/mark_layer.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include <QPainter>
#include <QPainterPath>

#include "app/canvas/halo.h"
#include "app/canvas/snap.h"
#include "app/session/words.h"
#include "app/window/look_and_feel.h"
#include "reading/head/head_curves.h"

namespace armslength::app {
namespace {

constexpr double kPenReach = 14.0;   // widget px within which a press takes a mark
constexpr double kAskedReach = 6.0;  // the same while a further point is asked for: joints lie close together
constexpr double kStill = 2.5;       // widget px a click may move
constexpr double kSnapReach = 9.0;   // widget px
constexpr int kProposeAfterBody = 5, kProposeAfterHead = 6;

QPointF Q(const Vec2& p) { return {p.x(), p.y()}; }

bool IsBody(PointId id) { return static_cast<int>(id) < kBodyPointCount; }
bool IsHead(PointId id) { return id >= PointId::kJawL && id <= PointId::kHeadTop; }

bool IsProposed(const FigureMarks& figure, PointId id) {
  return std::ranges::find(figure.proposed, id) != figure.proposed.end();
}

// Takes left for right at these points, with what rests on the bones that begin there.
void Exchange(FigureMarks& figure, const std::function<bool(PointId)>& these) {
  const auto point = [&](PointId id) { return these(id) ? Mirrored(id) : id; };
  const auto bone = [&](BoneId id) { return these(Ends(id).from) ? Mirrored(id) : id; };
  std::map<PointId, Vec2> points;
  for (const auto& [id, at] : figure.points) points[point(id)] = at;
  figure.points = std::move(points);
  std::map<PointId, double> error;
  for (const auto& [id, px] : figure.point_error_px) error[point(id)] = px;
  figure.point_error_px = std::move(error);
  std::map<BoneId, Depth> depth;
  for (const auto& [id, d] : figure.depth) depth[bone(id)] = d;
  figure.depth = std::move(depth);
  for (PointId& id : figure.proposed) id = point(id);
  for (Ring& ring : figure.rings)
    if (const auto around = BoneFromName(ring.around)) ring.around = std::string(Name(bone(*around)));
  for (Area& area : figure.areas)
    if (const auto on = BoneFromName(area.on)) area.on = std::string(Name(bone(*on)));
}

}  // namespace

const FigureMarks* ActiveFigureOf(const Document& document) {
  const auto& figures = document.Current().marks.figures;
  const auto index = static_cast<std::size_t>(document.ActiveFigure());
  return index < figures.size() ? &figures[index] : nullptr;
}

void EditActiveFigure(Document& document, const QString& text, const std::function<void(FigureMarks&)>& edit,
                      int merge) {
  Work work = document.Current();
  auto& figures = work.marks.figures;
  const auto index = static_cast<std::size_t>(document.ActiveFigure());
  while (figures.size() <= index) {
    FigureMarks figure;
    // Names are unique in a file, also after a figure in the middle was removed.
    for (std::size_t n = figures.size() + 1; figure.name.empty(); ++n) {
      const std::string name = "figure " + std::to_string(n);
      if (std::ranges::none_of(figures, [&](const FigureMarks& f) { return f.name == name; })) figure.name = name;
    }
    figures.push_back(std::move(figure));
  }
  edit(figures[index]);
  document.Change(text, std::move(work), merge);
}

MarkLayer::MarkLayer(Document& document, Canvas& canvas, QObject* parent)
    : QObject(parent), document_(document), canvas_(canvas) {
  canvas_.AddLayer(this);
  connect(&document_, &Document::MarksChanged, this, [this] {
    if (const FigureMarks* figure = Figure(); selected_ && (!figure || !figure->Has(*selected_))) Select(std::nullopt);
    canvas_.update();
  });
}

void MarkLayer::SetShown(bool on) {
  shown_ = on;
  canvas_.update();
}

void MarkLayer::SetEditable(bool on) {
  editable_ = on;
  dragged_.reset();
  canvas_.SetMagnifier(on);
  canvas_.update();
}

void MarkLayer::SetBodyShown(bool on) {
  body_shown_ = on;
  canvas_.update();
}

void MarkLayer::SetPart(Part part) {
  part_ = part;
  if (selected_ && !OfPart(*selected_)) Select(std::nullopt);
  canvas_.update();
}

bool MarkLayer::OfPart(PointId id) const {
  // Crown and chin belong to both; the skull's top is asked for with the body as well.
  const bool both = id == PointId::kCrown || id == PointId::kChin || id == PointId::kHeadTop;
  return both || (part_ == Part::kHead ? IsHead(id) : !IsHead(id));
}

void MarkLayer::SetAsked(std::optional<PointId> point) {
  asked_ = point;
  canvas_.update();
  emit AskedChanged();
}

void MarkLayer::Select(std::optional<PointId> point) {
  selected_ = point;
  canvas_.update();
  emit SelectionChanged();
}

void MarkLayer::SetReading(std::shared_ptr<const LiveResult> result) {
  result_ = std::move(result);
  canvas_.update();
}

const FigureMarks* MarkLayer::Figure() const { return ActiveFigureOf(document_); }

bool MarkLayer::Fresh() const {
  return result_ && result_->revision == document_.MarksRevision() && result_->figure == document_.ActiveFigure();
}

void MarkLayer::Edit(const QString& text, const std::function<void(FigureMarks&)>& edit, int merge) {
  EditActiveFigure(document_, text, edit, merge);
}

std::optional<QPointF> MarkLayer::ProposedAt(PointId point) const {
  const FigureMarks* figure = Figure();
  if (!result_ || result_->figure != document_.ActiveFigure() || !figure || figure->Has(point)) return {};
  const auto marked = [&](auto&& is) {
    return std::ranges::count_if(figure->points, [&](const auto& p) { return is(p.first); });
  };
  if (IsBody(point)) {
    if (!result_->reading.usable || marked(IsBody) < kProposeAfterBody) return {};
    return Q(result_->reading.JointPx(point));
  }
  if (!IsHead(point) || !result_->head || !result_->head->usable || marked(IsHead) < kProposeAfterHead - 1) return {};
  const auto at = result_->head->model_px.find(point);
  return at == result_->head->model_px.end() ? std::nullopt : std::optional<QPointF>(Q(at->second));
}

void MarkLayer::SetPoint(PointId point, const QPointF& at, int merge) {
  Edit(tr("Set %1").arg(Spoken(point)),
       [&](FigureMarks& figure) {
         figure.points[point] = Vec2(at.x(), at.y());
         figure.point_error_px.erase(point);  // that was the guess's
         std::erase(figure.proposed, point);
       },
       merge);
}

void MarkLayer::ClearPoint(PointId point) {
  const FigureMarks* figure = Figure();
  if (!figure || !figure->Has(point)) return;
  Edit(tr("Clear %1").arg(Spoken(point)), [&](FigureMarks& f) {
    f.points.erase(point);
    f.point_error_px.erase(point);
    std::erase(f.proposed, point);
  });
}

void MarkLayer::AcceptProposed(PointId point) {
  if (const FigureMarks* figure = Figure(); figure && IsProposed(*figure, point)) {
    Edit(tr("Accept %1").arg(Spoken(point)), [&](FigureMarks& f) {
      f.point_error_px.erase(point);
      std::erase(f.proposed, point);
    });
  } else if (const auto at = ProposedAt(point)) {
    SetPoint(point, *at);
  }
}

void MarkLayer::AcceptAllProposed() {
  const FigureMarks* figure = Figure();
  if (!figure) return;
  std::vector<std::pair<PointId, QPointF>> take;
  for (int i = 0; i < kPointCount; ++i)
    if (const auto at = ProposedAt(static_cast<PointId>(i))) take.emplace_back(static_cast<PointId>(i), *at);
  if (take.empty()) return;
  // Places of the reading are no measurement of the drawing: they stay "proposed" for the checks
  // until each is looked at, and never make a construction finding.
  Edit(tr("Accept all proposed"), [&](FigureMarks& f) {
    for (const auto& [id, at] : take) {
      f.points[id] = Vec2(at.x(), at.y());
      f.proposed.push_back(id);
    }
  });
}

void MarkLayer::NudgeSelected(double dx, double dy) {
  const FigureMarks* figure = Figure();
  if (!selected_ || !figure || !figure->Has(*selected_)) return;
  if (nudged_ != selected_) {
    nudged_ = selected_;
    nudge_merge_ = document_.NewMerge();
  }
  const Vec2 at = figure->points.at(*selected_) + Vec2(dx, dy);
  SetPoint(*selected_, Q(at), nudge_merge_);
}

bool MarkLayer::Step(const QPointF& by) {
  if (!editable_ || !selected_) return false;
  NudgeSelected(by.x(), by.y());
  return true;
}

void MarkLayer::SetDepth(BoneId bone, std::optional<Depth> depth) {
  Edit(tr("Depth of the %1").arg(Spoken(bone)), [&](FigureMarks& figure) {
    if (depth)
      figure.depth[bone] = *depth;
    else
      figure.depth.erase(bone);
  });
}

void MarkLayer::SwapSides() {
  if (!Figure()) return;
  Edit(tr("Swap left and right"), [](FigureMarks& figure) { Exchange(figure, [](PointId) { return true; }); });
}

void MarkLayer::SwapFromSelected() {
  if (!Figure() || !selected_ || *selected_ < PointId::kShoulderL || *selected_ > PointId::kToeR) return;
  const bool arm = *selected_ <= PointId::kHandTipR;
  const PointId first = Side(*selected_) > 0 ? *selected_ : Mirrored(*selected_), last = arm ? PointId::kHandTipR : PointId::kToeR;
  Edit(tr("Swap left and right"), [=](FigureMarks& figure) {
    Exchange(figure, [=](PointId id) { return id >= first && id <= last; });
  });
}

std::optional<PointId> MarkLayer::Near(const QPointF& at, double reach) const {
  const FigureMarks* figure = Figure();
  if (!figure) return std::nullopt;
  std::optional<PointId> best;
  double nearest = reach;
  for (const auto& [id, p] : figure->points) {
    if (!OfPart(id)) continue;
    const double d = std::hypot(p.x() - at.x(), p.y() - at.y());
    if (d <= nearest) {
      nearest = d;
      best = id;
    }
  }
  return best;
}

bool MarkLayer::Handle(const Pointer& pointer, const QPointF& at, double zoom) {
  if (!editable_) return false;
  switch (pointer.kind) {
    case Pointer::Kind::kPress: {
      if (pointer.button != Qt::LeftButton) return false;
      moved_ = false;
      nudged_.reset();
      click_px_.reset();
      if (const auto hit = Near(at, (asked_ ? kAskedReach : kPenReach) / zoom)) {
        if (asked_ && selected_ == hit && asked_ != hit) click_px_ = at;
        const Vec2 now = Figure()->points.at(*hit);
        grab_offset_ = Q(now) - at;
        dragged_ = hit;
        drag_merge_ = document_.NewMerge();
        Select(hit);
        return true;
      }
      if (!asked_) {
        Select(std::nullopt);
        return false;
      }
      QPointF place = at;
      if (snapping_ && !(pointer.modifiers & Qt::AltModifier) && document_.Picture())
        place = SnapToLine(document_.Picture()->Level(0), at, kSnapReach / zoom);
      const PointId set = *asked_;
      grab_offset_ = place - at;
      drag_merge_ = document_.NewMerge();
      dragged_ = set;
      SetPoint(set, place, drag_merge_);
      Select(set);
      emit PointSet(set);
      return true;
    }
    case Pointer::Kind::kMove:
      if (!dragged_) return false;
      if (click_px_ && std::hypot(at.x() - click_px_->x(), at.y() - click_px_->y()) < kStill / zoom) return true;
      click_px_.reset();
      moved_ = true;
      SetPoint(*dragged_, at + grab_offset_, drag_merge_);
      return true;
    case Pointer::Kind::kRelease:
      if (!dragged_) return false;
      dragged_.reset();
      canvas_.update();
      if (click_px_ && asked_) {
        const PointId set = *asked_;
        SetPoint(set, *click_px_);
        Select(set);
        click_px_.reset();
        emit PointSet(set);
        return true;
      }
      if (moved_) emit DragEnded();
      return true;
    case Pointer::Kind::kHover:
      return false;
  }
  return false;
}

void MarkLayer::PaintBody(QPainter& painter, const QTransform& transform) const {
  const BodyReading& reading = result_->reading;
  QColor line = Colours::Target();
  line.setAlphaF(Fresh() ? 0.85f : 0.3f);
  QColor fill = Colours::Target();
  fill.setAlphaF(Fresh() ? 0.10f : 0.04f);
  const auto at = [&](PointId id) { return transform.map(Q(reading.JointPx(id))); };
  painter.setPen(QPen(line, 1.5, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
  painter.setBrush(fill);
  // Trunk and head as closed shapes read as a body; single lines do not.
  const QPointF trunk[] = {at(PointId::kShoulderL), at(PointId::kShoulderR), at(PointId::kHipR), at(PointId::kHipL)};
  painter.drawConvexPolygon(trunk, 4);
  const QPointF chin = at(PointId::kChin), crown = at(PointId::kCrown);
  const QLineF axis(chin, crown);
  painter.save();
  painter.translate(axis.center());
  painter.rotate(-axis.angle());
  painter.drawEllipse(QPointF(0, 0), axis.length() / 2, axis.length() * 0.36);
  painter.restore();
  painter.setBrush(Qt::NoBrush);
  painter.drawLine(chin, at(PointId::kNeckPit));
  for (int b = static_cast<int>(BoneId::kUpperArmL); b < kBoneCount; ++b) {
    const auto ends = Ends(static_cast<BoneId>(b));
    painter.drawLine(at(ends.from), at(ends.to));
  }
}

void MarkLayer::PaintHead(QPainter& painter, const QTransform& transform) const {
  QColor line = Colours::Target();
  line.setAlphaF(Fresh() ? 0.85f : 0.3f);
  const HeadCurves curves = CurvesOf(result_->head->pose, result_->head->profile);
  const auto draw = [&](const std::vector<Vec2>& curve, double width) {
    QPolygonF polygon;
    for (const Vec2& p : curve) polygon << transform.map(Q(p));
    painter.setPen(QPen(line, width));
    painter.drawPolyline(polygon);
  };
  painter.setBrush(Qt::NoBrush);
  for (const auto* curve : {&curves.middle, &curves.eyes}) draw(*curve, 1.5);
  for (const auto* curve : {&curves.brow, &curves.nose, &curves.mouth, &curves.ball, &curves.side_plane,
                            &curves.jaw_near, &curves.jaw_far})
    draw(*curve, 0.9);
}

void MarkLayer::PaintDepth(QPainter& painter, const QTransform& transform, const FigureMarks& figure) const {
  for (const auto& [bone, depth] : figure.depth) {
    const auto ends = Ends(bone);
    const auto from = figure.At(ends.from), to = figure.At(ends.to);
    if (!from || !to) continue;
    const QPointF middle = transform.map(Q((*from + *to) / 2.0));
    // Grows toward the viewer, shrinks away, even when flat: a wedge along the limb.
    QLineF along(transform.map(Q(*from)), transform.map(Q(*to)));
    if (along.length() < 1.0) continue;
    const QPointF u = (along.p2() - along.p1()) / along.length(), n(-u.y(), u.x());
    const double a = depth == Depth::kToward ? 2.5 : depth == Depth::kAway ? 7.0 : 5.0, b = 9.5 - a;
    const QPointF wedge[] = {middle - u * 10 + n * a, middle + u * 10 + n * (depth == Depth::kFlat ? a : b),
                             middle + u * 10 - n * (depth == Depth::kFlat ? a : b), middle - u * 10 - n * a};
    painter.setPen(QPen(HaloColour(), 3.5));
    painter.setBrush(Qt::NoBrush);
    painter.drawConvexPolygon(wedge, 4);
    painter.setPen(QPen(Colours::Drawn(), 1.5));
    painter.setBrush(QColor(255, 255, 255, 150));
    painter.drawConvexPolygon(wedge, 4);
  }
}

void MarkLayer::PaintPoint(QPainter& painter, const QTransform& transform, const FigureMarks& figure, PointId id,
                           bool active) const {
  const QPointF w = transform.map(Q(figure.points.at(id)));
  const QColor colour = active ? Colours::Drawn() : Colours::Quiet();
  HaloCross(painter, w, 5.0, colour, 1.6);
  if (IsProposed(figure, id)) {
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(colour, 1.3, Qt::DotLine));
    painter.drawEllipse(w, 9.0, 9.0);
  }
  if (!active || !editable_ || selected_ != id) return;
  painter.setBrush(Qt::NoBrush);
  painter.setPen(QPen(HaloColour(), 4.5));
  painter.drawEllipse(w, 10.5, 10.5);
  painter.setPen(QPen(colour, 2.0));
  painter.drawEllipse(w, 10.5, 10.5);
  HaloLabel(painter, w + QPointF(17.0, -9.0), Spoken(id));
}

void MarkLayer::Paint(QPainter& painter, const QTransform& transform) {
  if (!shown_) return;
  const bool mine = result_ && result_->figure == document_.ActiveFigure() && Figure();
  const bool head = part_ == Part::kHead;
  if (mine && body_shown_ && !head && result_->reading.usable) PaintBody(painter, transform);
  if (mine && body_shown_ && head && result_->head && result_->head->usable) PaintHead(painter, transform);
  if (editable_ && mine)
    for (int i = 0; i < kPointCount; ++i) {
      const auto id = static_cast<PointId>(i);
      if (!OfPart(id) || (head && id != asked_)) continue;  // a face full of circles would hide the face
      const auto p = ProposedAt(id);
      if (!p) continue;
      const QPointF w = transform.map(*p);
      painter.setBrush(Qt::NoBrush);
      painter.setPen(QPen(HaloColour(), 4.0));
      painter.drawEllipse(w, 6.0, 6.0);
      painter.setPen(QPen(Colours::Target(), id == asked_ ? 2.5 : 1.4, id == asked_ ? Qt::SolidLine : Qt::DotLine));
      painter.drawEllipse(w, 6.0, 6.0);
      if (id == asked_) HaloLabel(painter, w + QPointF(13.0, -8.0), Spoken(id));
    }
  const auto& figures = document_.Current().marks.figures;
  for (std::size_t f = 0; f < figures.size(); ++f) {
    const bool active = static_cast<int>(f) == document_.ActiveFigure();
    if (!head) PaintDepth(painter, transform, figures[f]);
    for (const auto& [id, at] : figures[f].points)
      if (OfPart(id)) PaintPoint(painter, transform, figures[f], id, active);
  }
}

}  // namespace armslength::app
