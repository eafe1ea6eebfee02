#include "app/critique/compare_notes.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "report/shapes.h"

namespace armslength::app {
namespace {

constexpr double kNowhere = std::numeric_limits<double>::infinity();

double PointToRect(const QPointF& p, const QRectF& r) {
  const double dx = std::max({r.left() - p.x(), 0.0, p.x() - r.right()});
  const double dy = std::max({r.top() - p.y(), 0.0, p.y() - r.bottom()});
  return std::hypot(dx, dy);
}

double PointToSegment(const QPointF& p, const QPointF& a, const QPointF& b) {
  const QPointF way = b - a;
  const double squared = QPointF::dotProduct(way, way);
  const double t = squared > 0.0 ? std::clamp(QPointF::dotProduct(p - a, way) / squared, 0.0, 1.0) : 0.0;
  const QPointF to = p - (a + t * way);
  return std::hypot(to.x(), to.y());
}

bool Crosses(const QPointF& a, const QPointF& b, const QPointF& c, const QPointF& d) {
  const auto side = [](const QPointF& p, const QPointF& q, const QPointF& r) {
    return (q.x() - p.x()) * (r.y() - p.y()) - (q.y() - p.y()) * (r.x() - p.x());
  };
  return side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0;
}

double SegmentToRect(const QPointF& a, const QPointF& b, const QRectF& r) {
  double nearest = std::min(PointToRect(a, r), PointToRect(b, r));
  const QPointF corners[] = {r.topLeft(), r.topRight(), r.bottomRight(), r.bottomLeft()};
  for (int i = 0; i < 4; ++i) {
    nearest = std::min(nearest, PointToSegment(corners[i], a, b));
    if (Crosses(a, b, corners[i], corners[(i + 1) % 4])) return 0.0;
  }
  return nearest;
}

QPointF Point(const Vec2& p) { return {p.x(), p.y()}; }

bool About(const std::string& id, const QString& linked) {
  return QString::fromStdString(id) == linked || IsMeant(id, {linked.toStdString()});
}

}  // namespace

double PlaceDistance(const QRectF& where, const Finding& finding) {
  double nearest = kNowhere;
  for (const GuideShape& shape : ShapesOf(finding)) {
    const auto& p = shape.points;
    if (shape.form == GuideShape::Form::kCross || p.size() == 1) {
      for (const Vec2& c : p) nearest = std::min(nearest, PointToRect(Point(c), where));
    } else if (shape.form == GuideShape::Form::kEllipse && p.size() >= 3) {
      nearest = std::min(nearest, PointToRect(Point(p[0]), where) - std::max((p[1] - p[0]).norm(), (p[2] - p[0]).norm()));
    } else {
      for (std::size_t i = 0; i + 1 < p.size(); ++i) nearest = std::min(nearest, SegmentToRect(Point(p[i]), Point(p[i + 1]), where));
      if (shape.form == GuideShape::Form::kPolygon && p.size() > 2) {
        nearest = std::min(nearest, SegmentToRect(Point(p.back()), Point(p.front()), where));
        QPolygonF outline;
        for (const Vec2& corner : p) outline << Point(corner);
        if (outline.containsPoint(where.center(), Qt::OddEvenFill)) nearest = 0.0;
      }
    }
  }
  return std::max(0.0, nearest);
}

double NoteReachPx(int width_px, int height_px) { return 0.02 * std::max(width_px, height_px); }

NotesBeside CompareNotes(const std::vector<Note>& notes, const std::vector<const Finding*>& findings, double reach_px) {
  NotesBeside out;
  std::set<const Finding*> seen;
  for (const Note& note : notes) {
    const bool keep = note.kind == Note::Kind::kKeep;
    Seen best{note.id, nullptr, false};
    double nearest = reach_px;
    for (const Finding* f : findings) {
      if (!note.finding.isEmpty()) {
        if (!best.finding && About(f->id, note.finding)) best.finding = f, best.linked = true;
        continue;
      }
      if (!note.where_px || keep != (f->kind == Kind::kKeep)) continue;
      const double d = PlaceDistance(*note.where_px, *f);
      // Of two as near, the one given first: findings come in order of worth.
      if (d < nearest || (d == nearest && !best.finding)) best.finding = f, nearest = d;
    }
    if (best.finding) {
      out.both.push_back(best);
      seen.insert(best.finding);
    } else {
      out.only_you.push_back(note.id);
    }
  }
  for (const Finding* f : findings)
    if (!seen.contains(f)) out.only_tool.push_back(f);
  return out;
}

}  // namespace armslength::app
