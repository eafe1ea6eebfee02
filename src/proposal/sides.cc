#include "proposal/sides.h"

#include <algorithm>
#include <cmath>

#include "geometry/line.h"
#include "reading/body/body_reading.h"

namespace armslength {
namespace {

constexpr double kFloor = 0.02;      // belief that any place keeps: the maps are never that sure
constexpr double kDependent = 0.4;   // points of one limb do not speak independently
constexpr double kOpen = 2.5;        // nats: namings this close are looked at by the body reading
constexpr double kBodyLimit = 2.0;   // nats the body reading may add or take: it is a prior, not a witness
constexpr double kCrossed = -0.4;    // nats: of ten pairs of thighs that crossed on drawings by others six were the maps' mistake, sure or not
// Nats by which a naming is likelier, as the second one offered, than its belief says: set on 425 fresh drawings (docs/notes). Within a limb the points
// err together, and so do all limbs of a figure taken for one seen from behind.
constexpr double kAllOffered = 1.0, kHandsAndFeetOffered = 0.0, kFeetOffered = -2.0;

bool Belongs(PointId id, Limbs limbs) {
  if (limbs == Limbs::kLowerLegs) return id >= PointId::kKneeL && id <= PointId::kToeR;
  const bool foot = id >= PointId::kAnkleL && id <= PointId::kToeR, hand = id >= PointId::kWristL && id <= PointId::kHandTipR;
  if (limbs == Limbs::kFeet) return foot;
  if (limbs == Limbs::kHandsAndFeet) return foot || hand;
  const bool leg = id >= PointId::kHipL && id <= PointId::kToeR, arm = id >= PointId::kShoulderL && id <= PointId::kHandTipR;
  return (leg && limbs != Limbs::kArms) || (arm && limbs != Limbs::kLegs) || (limbs == Limbs::kAll && Side(id) != 0);
}

bool ThighsCross(const std::vector<ProposedPoint>& points) {
  const auto at = [&](PointId id) { return std::find_if(points.begin(), points.end(), [&](const ProposedPoint& p) { return p.id == id; }); };
  const auto hip_l = at(PointId::kHipL), hip_r = at(PointId::kHipR), knee_l = at(PointId::kKneeL), knee_r = at(PointId::kKneeR);
  for (const auto& p : {hip_l, hip_r, knee_l, knee_r})
    if (p == points.end()) return false;
  return SegmentsCross(hip_l->at, knee_l->at, hip_r->at, knee_r->at);
}

double BodyCost(const std::vector<ProposedPoint>& points) {
  FigureMarks marks;
  for (const ProposedPoint& p : points)
    if (static_cast<int>(p.id) < kBodyPointCount) {
      marks.points[p.id] = p.at;
      marks.point_error_px[p.id] = p.sd_px;
    }
  BodyReadingOptions options;
  options.scan_hypotheses = options.find_helpful_mark = false;
  const auto reading = ReadBody(marks, nullptr, options);
  return reading && reading->usable ? reading->cost : 0.0;
}

}  // namespace

std::vector<ProposedPoint> Exchanged(const std::vector<ProposedPoint>& points, Limbs limbs) {
  std::vector<ProposedPoint> out = points;
  for (ProposedPoint& p : out)
    if (Belongs(p.id, limbs)) p.id = Mirrored(p.id);
  std::stable_sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.id < b.id; });
  return out;
}

void SettleSides(const std::array<BeliefMap, kBodyPointCount>& beliefs, const std::vector<Vec2>& inputs, bool with_body,
                 ProposedFigure& figure) {
  // belief that each limb's sides are exchanged, against as they are
  const auto against = [&](Limbs limbs) {
    double sum = 0;
    for (std::size_t i = 0; i < figure.points.size(); ++i) {
      const PointId id = figure.points[i].id;
      if (static_cast<int>(id) >= kBodyPointCount || Side(id) == 0 || !Belongs(id, limbs)) continue;
      const auto own = static_cast<std::size_t>(id), other = static_cast<std::size_t>(Mirrored(id));
      sum += std::log(kFloor + MassAt(beliefs[other], inputs[i])) - std::log(kFloor + MassAt(beliefs[own], inputs[i]));
    }
    return kDependent * sum;
  };
  struct Naming {
    bool changed;
    Limbs limbs;
    double score;
    double offered = 0.0;  // added to the score where it is to be the other reading
    bool leads = true;     // may be the first reading
  };
  std::vector<Naming> namings{{false, Limbs::kAll, 0.0}};
  for (const Limbs limbs : {Limbs::kLegs, Limbs::kArms}) namings.push_back({true, limbs, against(limbs)});
  namings.push_back({true, Limbs::kAll, against(Limbs::kAll), kAllOffered});
  namings.push_back({true, Limbs::kHandsAndFeet, against(Limbs::kHandsAndFeet), kHandsAndFeetOffered, false});
  namings.push_back({true, Limbs::kFeet, against(Limbs::kFeet), kFeetOffered, false});
  if (ThighsCross(figure.points) && !ThighsCross(Exchanged(figure.points, Limbs::kLowerLegs)))
    namings.push_back({true, Limbs::kLowerLegs, std::max(against(Limbs::kLowerLegs), kCrossed)});
  if (with_body && std::any_of(namings.begin() + 1, namings.end(), [](const Naming& n) { return n.score > -kOpen; })) {
    const double as_is = BodyCost(figure.points);
    for (std::size_t i = 1; i < namings.size(); ++i)
      if (namings[i].score > -kOpen)
        namings[i].score += std::clamp(0.5 * (as_is - BodyCost(Exchanged(figure.points, namings[i].limbs))), -kBodyLimit, kBodyLimit);
  }
  const auto first = std::max_element(namings.begin(), namings.end(), [](const Naming& a, const Naming& b) {
    return a.leads != b.leads ? b.leads : a.score < b.score;
  });
  std::iter_swap(namings.begin(), first);
  const auto second = std::max_element(namings.begin() + 1, namings.end(), [](const Naming& a, const Naming& b) {
    return a.score + a.offered < b.score + b.offered;
  });
  const auto points = figure.points;
  const auto named = [&](const Naming& n) { return n.changed ? Exchanged(points, n.limbs) : points; };
  figure.points = named(namings.front());
  figure.other.points = named(*second);
  figure.other.odds = std::min(1.0, std::exp(second->score + second->offered - namings.front().score));
  figure.undecided = figure.other.odds > 0.25;
}

}  // namespace armslength
