#include "check/surface/trunk_stations.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace armslength::surface_check {
namespace {

using P = PointId;
using body_check::BodyFacts;

// A contour across the trunk is believed to be the trunk's own between these half-widths, stature, when no arm is
// near. Widths of middling drawn figures with clothes; common practice, no source.
constexpr double kNarrow = 0.050, kWide = 0.135, kArm = 0.055;

}  // namespace

TrunkOnPicture::TrunkOnPicture(const BodyFacts& facts)
    : hips(0.5 * (facts.Px(P::kHipL) + facts.Px(P::kHipR))),
      pit(facts.Px(P::kNeckPit)),
      up((pit - hips).normalized()),
      right(-up.y(), up.x()) {}

double TrunkOnPicture::HeightOf(const Vec2& at_px) const {
  return (at_px - hips).dot(pit - hips) / std::max(1.0, (pit - hips).squaredNorm());
}

RingStations StationsOfRings(const BodyFacts& facts, const TrunkOnPicture& trunk) {
  RingStations out;
  for (const Ring& ring : facts.Marks().rings) {
    const bool neck = ring.around == "neck" || ring.name.find("collar") != std::string::npos;
    if (!neck && ring.around != "trunk") continue;
    if (!neck && (ring.name.find("hem") != std::string::npos || ring.name.find("skirt") != std::string::npos)) continue;
    const auto shape = ShapeOf(ring.points, 1.0);
    if (!shape) continue;
    if (neck && !out.collar) out.collar = shape;
    Station s{shape->from, shape->to, 0.0, neck};
    if ((s.to - s.from).dot(trunk.right) < 0) std::swap(s.from, s.to);
    if ((s.to - s.from).normalized().dot(trunk.right) < 0.75) continue;
    s.height = std::clamp(trunk.HeightOf(0.5 * (s.from + s.to)), -0.2, 1.2);
    out.stations.push_back(s);
  }
  std::sort(out.stations.begin(), out.stations.end(), [](const Station& a, const Station& b) { return a.height < b.height; });
  return out;
}

std::optional<Station> ContourAt(const BodyFacts& facts, const Silhouette& silhouette, const TrunkOnPicture& trunk, double height) {
  const Vec2 at = trunk.hips + height * (trunk.pit - trunk.hips);
  const Vec2& right = trunk.right;
  const double unit = facts.PxPerStature(facts.Joint(P::kNeckPit).at.z());
  const auto a = silhouette.ToEdge(at, -right, 2 * kWide * unit), b = silhouette.ToEdge(at, right, 2 * kWide * unit);
  if (!a || !b) return std::nullopt;
  const double half = 0.5 * (*a + *b);
  if (half < kNarrow * unit || half > kWide * unit || std::abs(*a - *b) > 0.8 * half) return std::nullopt;
  const std::array<std::array<P, 3>, 2> arms{{{P::kShoulderL, P::kElbowL, P::kWristL}, {P::kShoulderR, P::kElbowR, P::kWristR}}};
  for (const auto& arm : arms)
    for (int bone = 0; bone < 2; ++bone)
      for (int i = bone == 0 ? 5 : 0; i <= 20; ++i) {  // the shoulder itself is the trunk's
        const Vec2 p = facts.Px(arm[static_cast<std::size_t>(bone)]) +
                       i / 20.0 * (facts.Px(arm[static_cast<std::size_t>(bone + 1)]) - facts.Px(arm[static_cast<std::size_t>(bone)]));
        const double across = (p - at).dot(right), off = std::abs((p - at).dot(Vec2(-right.y(), right.x())));
        if (off < kArm * unit && across > -*a - kArm * unit && across < *b + kArm * unit) return std::nullopt;
      }
  return Station{at - *a * right, at + *b * right, height, false};
}

}  // namespace armslength::surface_check
