// Both feet on one floor.
#include <cmath>
#include <optional>

#include "check/body/balance.h"
#include "check/body/body_facts.h"
#include "check/body/guides.h"
#include "words/say.h"

namespace armslength::body_check {
namespace {
using P = PointId;
// Two soles this far apart in height do not stand on one floor; stature. Feet drawn by hand;
// default, editable.
constexpr double kOneFloor = 0.025;
// Feet further apart in height, or with the upper one's knee bent, are lifted on purpose.
constexpr double kLifted = 0.06;
constexpr double kLiftedKnee_deg = 25.0;

// A marked heel in body space, at the depth a third of the way behind the ankle, seen from the toe.
std::optional<Vec3> HeelAt(const BodyFacts& facts, bool left) {
  const auto mark = facts.Marks().At(left ? P::kHeelL : P::kHeelR);
  if (!mark) return std::nullopt;
  const Vec3 &ankle = facts.Joint(left ? P::kAnkleL : P::kAnkleR).at, &toe = facts.Joint(left ? P::kToeL : P::kToeR).at;
  const BodyCamera& camera = facts.Reading().camera;
  const double z = ankle.z() - (toe.z() - ankle.z()) / 3.0;
  const Vec2 xy = (*mark - camera.origin_px) / facts.PxPerStature(z);
  return Vec3(xy.x(), xy.y(), z);
}
}  // namespace

void CheckFeet(const BodyFacts& facts, std::vector<Finding>& out) {
  const Stand stand = StandOf(facts);
  if (!stand.standing || !facts.Marked({P::kAnkleL, P::kAnkleR, P::kToeL, P::kToeR})) return;
  const Footing& foot = stand.footing;
  const double flat = 0.25 * foot.foot_length + 2.0 * facts.SigmaStature();
  const bool both_flat = std::abs(foot.sole_slope[0]) < flat && std::abs(foot.sole_slope[1]) < flat;
  if (!both_flat || stand.stride) return;  // a step or a tiptoe: one foot may be up

  const Canon& canon = facts.Reading().canon.canon;
  const double sole = canon.heads > 0.0 ? canon.sole_to_ankle / canon.heads : 0.039;
  const Vec3 up = facts.Up();
  const std::vector<P> ids = {P::kAnkleL, P::kToeL, P::kAnkleR, P::kToeR};
  // Height of a whole sole: the mean of what ankle, toe and a marked heel say, > 0: the left
  // one is higher. Heels count when both are marked.
  const auto heel_l = HeelAt(facts, true), heel_r = HeelAt(facts, false);
  const bool heels = heel_l && heel_r;
  const double heel = heels ? heel_l->dot(up) - heel_r->dot(up) : 0.0;
  const auto height = [&](std::span<const Vec3> p) {
    const double sum = p[0].dot(up) - sole + p[1].dot(up) - (p[2].dot(up) - sole + p[3].dot(up));
    return heels ? (sum + heel) / 3.0 : sum / 2.0;
  };
  const Vec2 apart = foot.middle[0] - foot.middle[1];
  const double heel_sd = heels ? 1.4142 * facts.SigmaStature() / 3.0 : 0.0;
  const double extra = std::hypot(std::hypot(apart.x() * kRollSd, apart.y() * kElevationSd), heel_sd);
  const Measure m = facts.Propagate(ids, height, extra);
  const double size = std::abs(m.value);
  if (size > kLifted || KneeBend(facts, m.value > 0) > kLiftedKnee_deg) return;
  const bool off = size - kOneFloor > kSure * m.sd;
  const bool clear = size + 2.0 * m.sd < 2.0 * kOneFloor;
  Finding f = Start(facts, "body.feet.floor", {}, Kind::kConstruction,
                    off ? Verdict::kOff : clear ? Verdict::kClear : Verdict::kCannotTell);
  f.where = At(facts, ids);
  f.measured = 100.0 * size;
  f.sd = 100.0 * m.sd;
  f.expected = 0.0;
  f.tolerance = 100.0 * kOneFloor;
  f.smallest_visible = 100.0 * (kOneFloor + kSure * m.sd);
  f.unit = "% of stature";
  f.test = "distance in sd";
  f.evidence = m.sd > 0.0 ? size / m.sd : 0.0;
  f.source = Say("soles within 2.5 % of the standing height; default, editable");
  const bool left = m.value > 0;
  const double degrees = std::abs(facts.Reading().camera.elevation_rad) / kDegree;
  const std::string camera = facts.Reading().camera.elevation_rad >= 0 ? Say("With the camera looking {:.0f} degrees down", degrees)
                                                                       : Say("With the camera looking {:.0f} degrees up", degrees);
  f.why =
      left ? Say("{}, the left sole lies {:.1f} % (±{:.1f}) of the standing height above the other.", camera, 100.0 * size, 100.0 * m.sd)
           : Say("{}, the right sole lies {:.1f} % (±{:.1f}) of the standing height above the other.", camera, 100.0 * size, 100.0 * m.sd);
  if (off) {
    f.title = left ? Say("Feet not on one floor: the left one floats by {:.1f} % of the standing height", 100.0 * size)
                   : Say("Feet not on one floor: the right one floats by {:.1f} % of the standing height", 100.0 * size);
    const double px = size * facts.PxPerStature(facts.Joint(m.value > 0 ? P::kAnkleL : P::kAnkleR).at.z());
    f.remedy = {RemedyWay::kMove, 12,
                left ? Say("Move the left foot down by {:.0f} px, or its leg with it.", px)
                     : Say("Move the right foot down by {:.0f} px, or its leg with it.", px)};
    f.gain = std::min(10.0, 3.0 + 60.0 * size);
    const P ankle = m.value > 0 ? P::kAnkleL : P::kAnkleR, toe = m.value > 0 ? P::kToeL : P::kToeR;
    const Vec2 down(0.0, px);
    f.guides = {Line(GuideShape::Role::kDrawn, {facts.Px(ankle), facts.Px(toe)}),
                Line(GuideShape::Role::kTarget, {facts.Px(ankle) + down, facts.Px(toe) + down}),
                Line(GuideShape::Role::kArrow, {facts.Px(toe), facts.Px(toe) + down}, Say("{:.0f} px", px)),
                Around(facts.Px(toe) + down, kOneFloor * facts.PxPerStature(0.0))};
  } else if (clear) {
    f.title = Say("Both feet stand on one floor");
  } else {
    f.title = Say("Feet on one floor: cannot tell from this view");
    f.ask =
        heels ? Say("Mark ankles, toes and heels again at high zoom.") : Say("Mark ankles and toes again at high zoom, and both heels.");
  }
  Finish(facts, ids, f);
  out.push_back(std::move(f));
}

}  // namespace armslength::body_check
