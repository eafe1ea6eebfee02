#include "proposal/sides.h"

#include <algorithm>
#include <cmath>

#include "reading/body/body_reading.h"

namespace armslength {
namespace {

using What = OtherReading::What;

constexpr double kFloor = 0.02;      // belief that any place keeps: the maps are never that sure
constexpr double kDependent = 0.4;   // points of one limb do not speak independently
constexpr double kOpen = 2.5;        // nats: namings this close are looked at by the body reading
constexpr double kBodyLimit = 2.0;   // nats the body reading may add or take: it is a prior, not a witness

bool Belongs(PointId id, What what) {
  const bool leg = id >= PointId::kHipL && id <= PointId::kToeR, arm = id >= PointId::kShoulderL && id <= PointId::kHandTipR;
  return (leg && what != What::kArms) || (arm && what != What::kLegs) || (what == What::kAll && Side(id) != 0);
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

std::vector<ProposedPoint> Exchanged(const std::vector<ProposedPoint>& points, What what) {
  std::vector<ProposedPoint> out = points;
  for (ProposedPoint& p : out)
    if (Belongs(p.id, what)) p.id = Mirrored(p.id);
  std::stable_sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.id < b.id; });
  return out;
}

void SettleSides(const std::array<BeliefMap, kBodyPointCount>& beliefs, const std::vector<Vec2>& inputs, bool with_body,
                 ProposedFigure& figure) {
  // belief that each limb's sides are exchanged, against as they are
  const auto against = [&](What what) {
    double sum = 0;
    for (std::size_t i = 0; i < figure.points.size(); ++i) {
      const PointId id = figure.points[i].id;
      if (static_cast<int>(id) >= kBodyPointCount || Side(id) == 0 || !Belongs(id, what)) continue;
      const auto own = static_cast<std::size_t>(id), other = static_cast<std::size_t>(Mirrored(id));
      sum += std::log(kFloor + MassAt(beliefs[other], inputs[i])) - std::log(kFloor + MassAt(beliefs[own], inputs[i]));
    }
    return kDependent * sum;
  };
  struct Naming {
    bool changed;
    What what;
    double score;
  };
  std::vector<Naming> namings{{false, What::kAll, 0.0}};
  for (const What what : {What::kLegs, What::kArms, What::kAll}) namings.push_back({true, what, against(what)});
  if (with_body && std::any_of(namings.begin() + 1, namings.end(), [](const Naming& n) { return n.score > -kOpen; })) {
    const double as_is = BodyCost(figure.points);
    for (std::size_t i = 1; i < namings.size(); ++i)
      if (namings[i].score > -kOpen)
        namings[i].score += std::clamp(0.5 * (as_is - BodyCost(Exchanged(figure.points, namings[i].what))), -kBodyLimit, kBodyLimit);
  }
  std::stable_sort(namings.begin(), namings.end(), [](const Naming& a, const Naming& b) { return a.score > b.score; });
  const auto points = figure.points;
  const auto named = [&](const Naming& n) { return n.changed ? Exchanged(points, n.what) : points; };
  const Naming &first = namings[0], &second = namings[1];
  figure.points = named(first);
  figure.other.points = named(second);
  // what the second exchanges against the first
  figure.other.what = !first.changed ? second.what
                      : !second.changed ? first.what
                      : first.what == What::kAll ? (second.what == What::kLegs ? What::kArms : What::kLegs)
                      : second.what == What::kAll ? (first.what == What::kLegs ? What::kArms : What::kLegs)
                                                  : What::kAll;
  figure.other.odds = std::exp(second.score - first.score);
  figure.undecided = figure.other.odds > 0.25;
}

}  // namespace armslength
