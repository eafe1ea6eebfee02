#include "app/canvas/outline_layer.h"

#include <algorithm>
#include <cmath>

#include <QPainter>
#include <QPainterPath>

#include "app/canvas/halo.h"
#include "app/canvas/mark_layer.h"
#include "app/window/look_and_feel.h"

namespace armslength::app {
namespace {

constexpr double kReach = 12.0;  // widget px
constexpr std::size_t kArcPoints = 3, kWholeRingPoints = 6, kAreaPoints = 3;

QPointF Q(const Vec2& p) { return {p.x(), p.y()}; }

// "collar", "collar 2": unique among the names that are taken.
template <typename List>
std::string Unique(const std::string& base, const List& taken) {
  std::string name = base;
  for (int n = 2; std::ranges::any_of(taken, [&](const auto& t) { return t.name == name; }); ++n)
    name = base + " " + std::to_string(n);
  return name;
}

// A whole ring comes back to where it began; an arc does not.
bool ClosesUp(const std::vector<Vec2>& points) {
  if (points.size() < kWholeRingPoints) return false;
  double extent = 0.0;
  for (const Vec2& p : points) extent = std::max(extent, (p - points.front()).norm());
  return (points.back() - points.front()).norm() < 0.5 * extent;
}

std::string RingName(const std::string& around) {
  if (around == "neck") return "collar";
  if (around == "trunk") return "waist";
  if (around.starts_with("forearm")) return "cuff";
  if (around.starts_with("upper_arm")) return "sleeve";
  if (around.starts_with("shin") || around.starts_with("thigh")) return "hem";
  return "ring";
}

}  // namespace

OutlineLayer::OutlineLayer(Document& document, Canvas& canvas, QObject* parent)
    : QObject(parent), document_(document), canvas_(canvas) {
  canvas_.AddLayer(this);
}

void OutlineLayer::SetShown(bool on) {
  shown_ = on;
  canvas_.update();
}

void OutlineLayer::SetDraws(Draws what) {
  draws_ = what;
  Cancel();
}

void OutlineLayer::SetWholeRing(bool on) {
  whole_ring_ = on;
  Cancel();
}

void OutlineLayer::SetArea(const QString& kind, const QString& on) {
  kind_ = kind;
  on_ = on;
}

bool OutlineLayer::Finish() {
  const std::size_t needed = draws_ == Draws::kArea ? kAreaPoints : whole_ring_ ? kWholeRingPoints : kArcPoints;
  if (draws_ == Draws::kNothing || draft_.size() < needed) return false;
  const bool ring = draws_ == Draws::kRing;
  EditActiveFigure(document_, ring ? tr("Draw a ring") : tr("Outline an area"), [&](FigureMarks& figure) {
    if (ring) {
      const std::string around = around_.toStdString();
      figure.rings.push_back({Unique(RingName(around), figure.rings), around, draft_});
    } else {
      const std::string kind = kind_.toStdString();
      figure.areas.push_back({Unique(kind, figure.areas), kind, on_.toStdString(), draft_});
    }
  });
  Cancel();
  return true;
}

void OutlineLayer::TakeBack() {
  if (draft_.empty()) return;
  draft_.pop_back();
  canvas_.update();
  emit DraftChanged();
}

void OutlineLayer::Cancel() {
  draft_.clear();
  grip_.reset();
  chosen_.reset();
  canvas_.update();
  emit DraftChanged();
}

int OutlineLayer::Count() const {
  const FigureMarks* figure = ActiveFigureOf(document_);
  return figure ? static_cast<int>(figure->rings.size() + figure->areas.size()) : 0;
}

void OutlineLayer::Remove(int index) {
  if (index < 0 || index >= Count()) return;
  EditActiveFigure(document_, tr("Remove"), [&](FigureMarks& figure) {
    const auto rings = static_cast<int>(figure.rings.size());
    if (index < rings)
      figure.rings.erase(figure.rings.begin() + index);
    else
      figure.areas.erase(figure.areas.begin() + (index - rings));
  });
  selected_ = -1;
  chosen_.reset();
}

const std::vector<Vec2>* OutlineLayer::PointsOf(int index) const {
  const FigureMarks* figure = ActiveFigureOf(document_);
  if (!figure || index < 0 || index >= Count()) return nullptr;
  const auto rings = static_cast<int>(figure->rings.size());
  return index < rings ? &figure->rings[static_cast<std::size_t>(index)].points
                       : &figure->areas[static_cast<std::size_t>(index - rings)].outline;
}

void OutlineLayer::EditPoints(const QString& text, int index, const std::function<void(std::vector<Vec2>&)>& edit, int merge) {
  EditActiveFigure(
      document_, text,
      [&](FigureMarks& figure) {
        const auto rings = static_cast<int>(figure.rings.size());
        edit(index < rings ? figure.rings[static_cast<std::size_t>(index)].points
                           : figure.areas[static_cast<std::size_t>(index - rings)].outline);
      },
      merge);
}

bool OutlineLayer::HasChosenPoint() const {
  const auto* points = chosen_ ? PointsOf(chosen_->index) : nullptr;
  return points && chosen_->point < points->size();
}

bool OutlineLayer::RemoveChosenPoint() {
  // A whole ring of five would be read as an arc: it keeps its six.
  if (!HasChosenPoint()) return false;
  const std::vector<Vec2>& points = *PointsOf(chosen_->index);
  const bool ring = chosen_->index < static_cast<int>(ActiveFigureOf(document_)->rings.size());
  const std::size_t least = !ring ? kAreaPoints : ClosesUp(points) ? kWholeRingPoints : kArcPoints;
  if (points.size() <= least) return false;
  EditPoints(tr("Take a point out"), chosen_->index,
             [&](std::vector<Vec2>& p) { p.erase(p.begin() + static_cast<std::ptrdiff_t>(chosen_->point)); });
  chosen_.reset();
  canvas_.update();
  return true;
}

std::optional<OutlineLayer::Grip> OutlineLayer::NearLine(const QPointF& at, double reach) const {
  const auto* points = PointsOf(selected_);
  if (!points || points->size() < 3) return std::nullopt;
  const bool ring = selected_ < static_cast<int>(ActiveFigureOf(document_)->rings.size());
  if (ring != (draws_ == Draws::kRing)) return std::nullopt;
  const bool closed = !ring || ClosesUp(*points);
  const Vec2 p(at.x(), at.y());
  std::optional<Grip> best;
  double nearest = reach;
  for (std::size_t i = 0; i + (closed ? 0 : 1) < points->size(); ++i) {
    const Vec2 &a = (*points)[i], &b = (*points)[(i + 1) % points->size()];
    const Vec2 along = b - a;
    const double t = along.squaredNorm() > 0.0 ? std::clamp((p - a).dot(along) / along.squaredNorm(), 0.0, 1.0) : 0.0;
    if (const double d = (a + t * along - p).norm(); d <= nearest) {
      nearest = d;
      best = Grip{selected_, i + 1};
    }
  }
  return best;
}

void OutlineLayer::Select(int index) {
  if (chosen_ && chosen_->index != index) chosen_.reset();
  selected_ = index;
  canvas_.update();
}

std::optional<OutlineLayer::Grip> OutlineLayer::Near(const QPointF& at, double reach) const {
  const FigureMarks* figure = ActiveFigureOf(document_);
  if (!figure) return std::nullopt;
  std::optional<Grip> best;
  double nearest = reach;
  int index = 0;
  const auto look = [&](const std::vector<Vec2>& points, Draws what) {
    for (std::size_t i = 0; what == draws_ && i < points.size(); ++i) {
      const double d = std::hypot(points[i].x() - at.x(), points[i].y() - at.y());
      if (d <= nearest) {
        nearest = d;
        best = Grip{index, i};
      }
    }
    ++index;
  };
  for (const Ring& r : figure->rings) look(r.points, Draws::kRing);
  for (const Area& a : figure->areas) look(a.outline, Draws::kArea);
  return best;
}

bool OutlineLayer::Handle(const Pointer& pointer, const QPointF& at, double zoom) {
  if (draws_ == Draws::kNothing) return false;
  switch (pointer.kind) {
    case Pointer::Kind::kPress: {
      if (pointer.button != Qt::LeftButton) return false;
      if (draft_.empty()) {
        if (const auto hit = Near(at, kReach / zoom)) {
          grip_ = chosen_ = hit;
          merge_ = document_.NewMerge();
          Select(hit->index);
          return true;
        }
        if (const auto hit = NearLine(at, kReach / 2.0 / zoom)) {  // the new point can be dragged on at once
          merge_ = document_.NewMerge();
          EditPoints(tr("Put a point in"), hit->index, [&](std::vector<Vec2>& p) {
            p.insert(p.begin() + static_cast<std::ptrdiff_t>(hit->point), Vec2(at.x(), at.y()));
          }, merge_);
          grip_ = chosen_ = hit;
          return true;
        }
        chosen_.reset();
      }
      // A click on an area's first corner closes it.
      if (draws_ == Draws::kArea && draft_.size() >= kAreaPoints &&
          std::hypot(draft_.front().x() - at.x(), draft_.front().y() - at.y()) < kReach / zoom) {
        Finish();
        return true;
      }
      draft_.emplace_back(at.x(), at.y());
      canvas_.update();
      emit DraftChanged();
      if (draws_ == Draws::kRing && !whole_ring_ && draft_.size() == kArcPoints) Finish();
      return true;
    }
    case Pointer::Kind::kMove:
      if (!grip_) return true;
      EditPoints(tr("Move a point"), grip_->index, [&](std::vector<Vec2>& p) {
        if (grip_->point < p.size()) p[grip_->point] = Vec2(at.x(), at.y());
      }, merge_);
      return true;
    case Pointer::Kind::kRelease:
      grip_.reset();
      return true;
    case Pointer::Kind::kHover:
      hover_px_ = at;
      if (!draft_.empty()) canvas_.update();
      return false;
  }
  return false;
}

void OutlineLayer::Paint(QPainter& painter, const QTransform& transform) {
  if (!shown_) return;
  const auto curve = [&](const std::vector<Vec2>& points, bool closed, bool strong, bool grips) {
    QPolygonF polygon;
    for (const Vec2& p : points) polygon << transform.map(Q(p));
    if (polygon.size() < 1) return;
    QPainterPath path;
    if (!closed && polygon.size() == 3) {  // three clicks are an arc through the middle one
      const QPointF control = 2.0 * polygon[1] - (polygon[0] + polygon[2]) / 2.0;
      path.moveTo(polygon[0]);
      path.quadTo(control, polygon[2]);
    } else {
      path.addPolygon(polygon);
      if (closed) path.closeSubpath();
    }
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(HaloColour(), strong ? 5.0 : 4.0));
    painter.drawPath(path);
    painter.setPen(QPen(Colours::Drawn(), strong ? 2.5 : 1.6, Qt::DashLine));
    painter.drawPath(path);
    if (!grips) return;
    for (qsizetype i = 0; i < polygon.size(); ++i) {
      const QPointF& p = polygon[i];
      painter.setPen(QPen(Colours::Drawn(), 1.5));
      painter.setBrush(strong && chosen_ && static_cast<qsizetype>(chosen_->point) == i ? Colours::Drawn() : QColor(Qt::white));
      painter.drawRect(QRectF(p - QPointF(3.5, 3.5), QSizeF(7, 7)));
    }
  };
  int index = 0;
  const FigureMarks* active = ActiveFigureOf(document_);
  for (const FigureMarks& figure : document_.Current().marks.figures) {
    const bool mine = &figure == active;
    const auto one = [&](const std::vector<Vec2>& points, bool closed, Draws what) {
      const bool chosen = mine && index++ == selected_;
      if (what == draws_) curve(points, closed, chosen, chosen);
    };
    for (const Ring& r : figure.rings) one(r.points, ClosesUp(r.points), Draws::kRing);
    for (const Area& a : figure.areas) one(a.outline, true, Draws::kArea);
  }
  if (draft_.empty()) return;
  std::vector<Vec2> with_hover = draft_;
  if (hover_px_) with_hover.emplace_back(hover_px_->x(), hover_px_->y());
  curve(with_hover, false, true, false);
  curve(draft_, false, false, true);
}

}  // namespace armslength::app
