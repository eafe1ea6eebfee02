// The head's seat on the neck: how far away, and how far to the side.
#include <algorithm>
#include <cmath>

#include "check/body/body_facts.h"
#include "check/body/guides.h"
#include "words/say.h"

namespace armslength::body_check {
namespace {
using P = PointId;
constexpr double kSeat_heads = 0.12;  // default, editable
// The most a lifted chin stretches the distance to the pit of the neck, over the canon's
// neck: two of its spreads of about 0.16.
constexpr double kStretch = 1.32;
// How far head and neck lean apart without looking tilted; degrees; default.
constexpr double kNeckPlay_deg = 20.0;
}  // namespace

void CheckHeadOnNeck(const BodyFacts& facts, std::vector<Finding>& out) {
  if (!facts.Marked({P::kCrown, P::kChin, P::kNeckPit})) return;
  const BodyReading& reading = facts.Reading();
  const double neck = facts.CanonLength(BoneId::kNeck);
  const bool told = std::any_of(reading.hypotheses.begin(), reading.hypotheses.end(), [](const LengthHypothesis& h) {
    return h.off && std::find(h.bones.begin(), h.bones.end(), BoneId::kNeck) != h.bones.end();
  });
  if (neck <= 0.0 || told) return;
  const double head = facts.Head();
  const double px_per_head = head * facts.PxPerStature(facts.Joint(P::kChin).at.z());
  if (px_per_head <= 0.0) return;
  const Vec2 pit = facts.Px(P::kNeckPit), chin = facts.Px(P::kChin), crown = facts.Px(P::kCrown);
  const std::vector<P> ids = {P::kNeckPit, P::kChin, P::kCrown};
  const double mark_sd = 1.4142 * facts.SigmaStature() / head;

  // Drawn distance: a tilt only shortens it, so it is the least the neck can be.
  const double gap = (chin - pit).norm() / px_per_head;
  const double most = kStretch * neck / head;
  const double sd = std::hypot(mark_sd, 0.03 * gap);
  const bool far = gap - most - kSeat_heads > kSure * sd;

  // Sideways, for a head and trunk that both stand upright in the picture.
  double aside = 0.0, aside_most = 0.0, aside_sd = 0.0;
  bool beside = false, asked = false;
  Vec2 seat = pit;
  if (facts.Marked({P::kHipL, P::kHipR})) {
    const Vec2 hips = 0.5 * (facts.Px(P::kHipL) + facts.Px(P::kHipR));
    const Vec2 trunk = pit - hips, axis = crown - chin;
    const double trunk_px = facts.CanonLength(BoneId::kTrunk) * facts.PxPerStature(0.0);
    // From the front or back, with neither pointing into depth.
    asked = (reading.view == ViewClass::kFront || reading.view == ViewClass::kBack) && trunk.norm() > 0.85 * trunk_px &&
            axis.norm() > 0.85 * px_per_head;
    if (asked) {
      const Vec2 up = trunk.normalized(), right(-up.y(), up.x());
      const Vec2 middle = 0.5 * (crown + chin);
      aside = (middle - pit).dot(right) / px_per_head;
      const double lean = std::atan2(axis.dot(right), axis.dot(up));
      // The neck may lean as the head does, a little more or less.
      const double reach = (middle - pit).dot(up) / px_per_head;
      const double play = kNeckPlay_deg * kDegree;
      const double low = reach * std::tan(std::clamp(lean - play, -1.0, 1.0)), high = reach * std::tan(std::clamp(lean + play, -1.0, 1.0));
      const double beyond = aside > high ? aside - high : aside < low ? aside - low : 0.0;
      aside_sd = std::hypot(mark_sd, reach * 2.0 * mark_sd / 1.4142);
      aside_most = std::abs(beyond);
      beside = aside_most - kSeat_heads > kSure * aside_sd;
      const double wanted = std::clamp(aside, low, high);
      seat = pit + (reach * up + wanted * right) * px_per_head;
    }
  }
  if (!far && !beside && reading.view == ViewClass::kHighLow) return;
  Finding f =
      Start(facts, "body.head.on_neck", Say("Head sits on its neck"), Kind::kConstruction, far || beside ? Verdict::kOff : Verdict::kClear);
  f.where = At(facts, ids);
  f.unit = "heads";
  f.test = "distance in sd";
  f.tolerance = kSeat_heads;
  f.source = Say("pit of the neck to chin a third to half a head upright, 0.12 head; default, editable");
  if (beside && !far) {
    f.measured = aside_most;
    f.expected = 0.0;
    f.sd = aside_sd;
    f.smallest_visible = kSeat_heads + kSure * aside_sd;
    f.evidence = aside_sd > 0.0 ? aside_most / aside_sd : 0.0;
    f.title = Say("Head slides off its neck, by {:.2f} head", aside_most);
    f.why =
        Say("Its middle lies {:.2f} head (±{:.2f}) further to the side than a neck that leans with it would "
            "carry it.",
            aside_most, aside_sd);
    const Vec2 shift = seat - 0.5 * (crown + chin);
    f.remedy = {RemedyWay::kMove, 12, Say("Move the head by {:.0f} px back over the neck.", shift.norm())};
    f.gain = std::min(10.0, 5.0 + 6.0 * aside_most);
    f.guides = {Line(GuideShape::Role::kDrawn, {pit, chin, crown}), Line(GuideShape::Role::kTarget, {pit, chin + shift, crown + shift}),
                Line(GuideShape::Role::kArrow, {crown, crown + shift}, Say("{:.2f} head", aside_most)),
                Around(crown + shift, kSeat_heads * px_per_head)};
  } else {
    f.measured = gap;
    f.expected = neck / head;
    f.sd = sd;
    f.smallest_visible = most + kSeat_heads + kSure * sd;
    f.evidence = sd > 0.0 ? (gap - most) / sd : 0.0;
    f.why = Say("Chin to pit of the neck is drawn at {:.2f} head (±{:.2f}); a lifted chin reaches about {:.2f}.", gap, sd, most);
    if (far) {
      f.title = Say("Head floats above its neck: chin to pit is {:.2f} head, {:.2f} at most", gap, most);
      const Vec2 shift = (pit - chin).normalized() * ((gap - neck / head) * px_per_head);
      f.remedy = {RemedyWay::kMove, 12, Say("Move the head {:.0f} px towards the pit of the neck.", shift.norm())};
      f.gain = std::min(10.0, 5.0 + 8.0 * (gap - most));
      f.guides = {Line(GuideShape::Role::kDrawn, {pit, chin, crown}), Line(GuideShape::Role::kTarget, {pit, chin + shift, crown + shift}),
                  Line(GuideShape::Role::kArrow, {chin, chin + shift}, Say("{:.2f} head", shift.norm() / px_per_head)),
                  Around(chin + shift, kSeat_heads * px_per_head)};
    } else if (!asked && gap < 0.5 * neck / head) {
      return;  // a bowed head from above: nothing measured worth saying
    }
  }
  Finish(facts, ids, f);
  out.push_back(std::move(f));
}

}  // namespace armslength::body_check
