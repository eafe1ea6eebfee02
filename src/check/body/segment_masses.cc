#include "check/body/segment_masses.h"

namespace armslength {

std::array<double, kBodyPointCount> MassShares() {
  using P = PointId;
  std::array<double, kBodyPointCount> share{};
  const auto add = [&](P from, P to, const SegmentMass& s) {
    share[static_cast<std::size_t>(from)] += s.mass * (1.0 - s.centre);
    share[static_cast<std::size_t>(to)] += s.mass * s.centre;
  };
  const auto both = [&](P from, P to, const SegmentMass& s) {
    add(from, to, s);
    add(Mirrored(from), Mirrored(to), s);
  };
  const SegmentTable& t = kSegmentTable;
  add(P::kChin, P::kCrown, t.head_neck);
  // Half of the trunk on each side's shoulder-to-hip line is the same as the whole on the middle.
  SegmentMass half_trunk = t.trunk;
  half_trunk.mass *= 0.5;
  both(P::kShoulderL, P::kHipL, half_trunk);
  both(P::kShoulderL, P::kElbowL, t.upper_arm);
  both(P::kElbowL, P::kWristL, t.forearm);
  both(P::kWristL, P::kHandTipL, t.hand);
  both(P::kHipL, P::kKneeL, t.thigh);
  both(P::kKneeL, P::kAnkleL, t.shin);
  both(P::kAnkleL, P::kToeL, t.foot);
  return share;
}

Vec3 CentreOfMass(std::span<const Vec3, kBodyPointCount> joints) {
  static const auto kShare = MassShares();
  Vec3 centre = Vec3::Zero();
  for (std::size_t i = 0; i < kShare.size(); ++i) centre += kShare[i] * joints[i];
  return centre;
}

}  // namespace armslength
