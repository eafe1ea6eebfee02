#include "app/canvas/mark_layer.h"

#include <algorithm>
#include <cmath>

#include <QPainter>
#include <QPainterPath>

#include "app/canvas/snap.h"
#include "app/window/look_and_feel.h"

namespace armslength::app {
namespace {

constexpr double kPenReach = 14.0;   // widget px within which a press takes a mark
constexpr double kSnapReach = 9.0;   // widget px

QPointF Q(const Vec2& p) { return {p.x(), p.y()}; }
QString Spoken(PointId id) { return QString::fromUtf8(SpokenName(id).data(), static_cast<qsizetype>(SpokenName(id).size())); }

}  // namespace

MarkLayer::MarkLayer(Document& document, Canvas& canvas, QObject* parent)
    : QObject(parent), document_(document), canvas_(canvas) {
  canvas_.AddLayer(this);
  connect(&document_, &Document::MarksChanged, this, [this] { canvas_.update(); });
}

void MarkLayer::SetEditable(bool on) {
  editable_ = on;
  dragged_.reset();
  canvas_.SetMagnifier(on);
  canvas_.update();
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

const FigureMarks* MarkLayer::Figure() const {
  const auto& figures = document_.Current().marks.figures;
  const auto index = static_cast<std::size_t>(document_.ActiveFigure());
  return index < figures.size() ? &figures[index] : nullptr;
}

void MarkLayer::Edit(const QString& text, const std::function<void(FigureMarks&)>& edit, int merge) {
  Work work = document_.Current();
  auto& figures = work.marks.figures;
  const auto index = static_cast<std::size_t>(document_.ActiveFigure());
  while (figures.size() <= index) {
    FigureMarks figure;
    figure.name = "figure " + std::to_string(figures.size() + 1);
    figures.push_back(figure);
  }
  edit(figures[index]);
  document_.Change(text, std::move(work), merge);
}

std::optional<QPointF> MarkLayer::ProposedAt(PointId point) const {
  const FigureMarks* figure = Figure();
  if (!result_ || !result_->reading.usable || result_->figure != document_.ActiveFigure() || !figure) return {};
  if (static_cast<int>(point) >= kBodyPointCount || figure->Has(point)) return {};
  return Q(result_->reading.JointPx(point));
}

void MarkLayer::SetPoint(PointId point, const QPointF& at, int merge) {
  Edit(tr("Set %1").arg(Spoken(point)),
       [&](FigureMarks& figure) {
         figure.points[point] = Vec2(at.x(), at.y());
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
  if (const FigureMarks* figure = Figure(); figure && std::ranges::find(figure->proposed, point) != figure->proposed.end()) {
    Edit(tr("Accept %1").arg(Spoken(point)), [&](FigureMarks& f) { std::erase(f.proposed, point); });
  } else if (const auto at = ProposedAt(point)) {
    SetPoint(point, *at);
  }
}

void MarkLayer::AcceptAllProposed() {
  const FigureMarks* figure = Figure();
  if (!figure) return;
  std::vector<std::pair<PointId, QPointF>> take;
  for (int i = 0; i < kBodyPointCount; ++i)
    if (const auto at = ProposedAt(static_cast<PointId>(i))) take.emplace_back(static_cast<PointId>(i), *at);
  if (take.empty() && figure->proposed.empty()) return;
  Edit(tr("Accept all proposed"), [&](FigureMarks& f) {
    for (const auto& [id, at] : take) f.points[id] = Vec2(at.x(), at.y());
    f.proposed.clear();
  });
}

void MarkLayer::NudgeSelected(double dx, double dy) {
  const FigureMarks* figure = Figure();
  if (!selected_ || !figure || !figure->Has(*selected_)) return;
  const Vec2 at = figure->points.at(*selected_) + Vec2(dx, dy);
  SetPoint(*selected_, Q(at), 1'000'000 + static_cast<int>(*selected_));
}

void MarkLayer::SetDepth(BoneId bone, std::optional<Depth> depth) {
  Edit(tr("Depth"), [&](FigureMarks& figure) {
    if (depth)
      figure.depth[bone] = *depth;
    else
      figure.depth.erase(bone);
  });
}

void MarkLayer::SwapSides() {
  if (!Figure()) return;
  Edit(tr("Swap left and right"), [](FigureMarks& figure) {
    std::map<PointId, Vec2> points;
    for (const auto& [id, at] : figure.points) points[Mirrored(id)] = at;
    figure.points = std::move(points);
    std::map<PointId, double> error;
    for (const auto& [id, px] : figure.point_error_px) error[Mirrored(id)] = px;
    figure.point_error_px = std::move(error);
    std::map<BoneId, Depth> depth;
    for (const auto& [id, d] : figure.depth) depth[Mirrored(id)] = d;
    figure.depth = std::move(depth);
    for (PointId& id : figure.proposed) id = Mirrored(id);
  });
}

std::optional<PointId> MarkLayer::Near(const QPointF& at, double reach) const {
  const FigureMarks* figure = Figure();
  std::optional<PointId> best;
  double nearest = reach;
  const auto consider = [&](PointId id, const QPointF& p) {
    const double d = std::hypot(p.x() - at.x(), p.y() - at.y());
    if (d < nearest) {
      nearest = d;
      best = id;
    }
  };
  if (figure)
    for (const auto& [id, p] : figure->points) consider(id, Q(p));
  if (!best)
    for (int i = 0; i < kBodyPointCount; ++i)
      if (const auto p = ProposedAt(static_cast<PointId>(i))) consider(static_cast<PointId>(i), *p);
  return best;
}

bool MarkLayer::Handle(const Pointer& pointer, const QPointF& at, double zoom) {
  if (!editable_) return false;
  switch (pointer.kind) {
    case Pointer::Kind::kPress: {
      if (pointer.button != Qt::LeftButton) return false;
      const auto near = Near(at, kPenReach / zoom);
      if (near) {
        const FigureMarks* figure = Figure();
        const auto marked = figure ? figure->At(*near) : std::nullopt;
        grab_offset_ = (marked ? Q(*marked) : *ProposedAt(*near)) - at;
        dragged_ = near;
        drag_merge_ = document_.NewMerge();
        if (!marked) SetPoint(*near, at + grab_offset_, drag_merge_);
        Select(near);
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
      SetPoint(*dragged_, at + grab_offset_, drag_merge_);
      return true;
    case Pointer::Kind::kRelease:
      if (!dragged_) return false;
      dragged_.reset();
      return true;
    case Pointer::Kind::kHover:
      return false;
  }
  return false;
}

void MarkLayer::PaintBody(QPainter& painter, const QTransform& transform) const {
  const BodyReading& reading = result_->reading;
  const bool fresh = result_->revision == document_.MarksRevision();
  QColor line = Colours::Target();
  line.setAlphaF(fresh ? 0.55f : 0.2f);
  painter.setPen(QPen(line, 2.0));
  painter.setBrush(Qt::NoBrush);
  const auto at = [&](PointId id) { return transform.map(Q(reading.JointPx(id))); };
  for (int b = 0; b < kBoneCount; ++b) {
    const auto ends = Ends(static_cast<BoneId>(b));
    if (ends.from == ends.to) continue;
    painter.drawLine(at(ends.from), at(ends.to));
  }
  // The trunk as a box between shoulders and hips reads as a body, a single line does not.
  painter.drawLine(at(PointId::kShoulderL), at(PointId::kHipL));
  painter.drawLine(at(PointId::kShoulderR), at(PointId::kHipR));
}

void MarkLayer::Paint(QPainter& painter, const QTransform& transform) {
  const bool body = result_ && result_->reading.usable && result_->figure == document_.ActiveFigure();
  if (body) PaintBody(painter, transform);
  const auto halo = QColor(255, 255, 255, 210);
  const auto cross = [&](const QPointF& p, double arm, const QColor& colour, double width, Qt::PenStyle style) {
    for (const bool under : {true, false}) {
      painter.setPen(QPen(under ? halo : colour, under ? width + 2.5 : width, under ? Qt::SolidLine : style));
      painter.drawLine(p - QPointF(arm, 0), p + QPointF(arm, 0));
      painter.drawLine(p - QPointF(0, arm), p + QPointF(0, arm));
    }
  };
  if (editable_ && body)
    for (int i = 0; i < kBodyPointCount; ++i)
      if (const auto p = ProposedAt(static_cast<PointId>(i))) {
        const QPointF w = transform.map(*p);
        painter.setPen(QPen(halo, 4.0));
        painter.drawEllipse(w, 6.0, 6.0);
        painter.setPen(QPen(Colours::Target(), 1.5, Qt::DotLine));
        painter.drawEllipse(w, 6.0, 6.0);
      }
  const auto& figures = document_.Current().marks.figures;
  for (std::size_t f = 0; f < figures.size(); ++f) {
    const bool active = static_cast<int>(f) == document_.ActiveFigure();
    for (const auto& [id, at] : figures[f].points) {
      const QPointF w = transform.map(Q(at));
      const bool proposed = std::ranges::find(figures[f].proposed, id) != figures[f].proposed.end();
      QColor colour = active ? Colours::Drawn() : Colours::Quiet();
      cross(w, 5.0, colour, 1.5, Qt::SolidLine);
      if (proposed) {
        painter.setPen(QPen(colour, 1.2, Qt::DotLine));
        painter.drawEllipse(w, 9.0, 9.0);
      }
      if (active && editable_ && selected_ == id) {
        painter.setPen(QPen(colour, 2.0));
        painter.drawEllipse(w, 10.0, 10.0);
        painter.save();
        QFont font = painter.font();
        font.setBold(true);
        painter.setFont(font);
        QPainterPath text;
        text.addText(w + QPointF(14.0, -8.0), font, Spoken(id));
        painter.strokePath(text, QPen(halo, 4.0));
        painter.fillPath(text, colour.darker(150));
        painter.restore();
      }
    }
  }
}

}  // namespace armslength::app
