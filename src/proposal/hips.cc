#include "proposal/hips.h"

#include "reading/body/body_reading.h"

namespace armslength {
namespace {

constexpr double kShare = 0.5;  // of the way; all the way does no better on others' drawings and worse on our own

void Place(const FigureMarks& marks, std::vector<ProposedPoint>& points) {
  BodyReadingOptions options;
  options.scan_hypotheses = options.find_helpful_mark = false;
  const auto reading = ReadBody(marks, nullptr, options);
  if (!reading || !reading->usable) return;
  for (ProposedPoint& p : points) {
    if (p.id != PointId::kHipL && p.id != PointId::kHipR) continue;
    const Vec2 at = p.at + kShare * (reading->JointPx(p.id) - p.at);
    for (PointCandidate& c : p.candidates)
      if (c.at == p.at) c.at = at;
    p.at = at;
  }
}

}  // namespace

void PlaceHips(ProposedFigure& figure) {
  Place(figure.Marks(""), figure.points);
  Place(figure.OtherMarks(""), figure.other.points);
}

}  // namespace armslength
