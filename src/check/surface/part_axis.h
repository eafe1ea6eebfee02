#pragma once
#include <optional>
#include <string>
#include <vector>

#include "check/body/body_facts.h"

// The solved part under a stroke, as a round thing with an axis. Private to check/surface.
namespace armslength::surface_check {

using body_check::BodyFacts;
using body_check::Measure;

// A ring goes round the axis at right angles. Seen along the sight s, the near half of a circle
// with axis n bulges along the projected axis by (n . s) of its half-width.
struct PartAxis {
  Vec3 axis = Vec3::UnitY();          // unit, body space
  Vec3 at = Vec3::Zero();             // on the axis, near the stroke
  double along_sight = 0.0;           // n . s, with the sign that goes with `axis`
  double mirrored_along_sight = 0.0;  // n . s if the part leans the other way: depth flags can be set wrong
  double along_sight_sd = 0.0;        // of the joints; the hang of the cloth not included
  Measure as_flagged;                 // along_sight with the depth flag taken as right: a wrong one is a second account, no spread
  double flat_sds = 0.0;              // limbs: spreads by which the seen length falls short of a limb square to the sight
  Vec2 direction = Vec2::UnitY();     // the axis in the picture, unit, px
  double slack_rad = 0.0;             // how far cloth of this kind sits askew on a sound drawing, one sd
  double depth_ratio = 1.0;           // thickness front to back over width of the section
  double turn_rad = 0.0;              // of the section against the sight: 0 front or back, pi/2 from the side
  double depth_ratio_sd = 0.0;
  double usual_half_width = 0.0;  // stature, of a middling figure
  // Limbs: the largest |n . s| that its seen length allows when its depth flag is left aside; 1 when not known.
  double along_sight_most = 1.0;
  bool sign_known = true;  // false: it may as well lean the other way (no depth flag)
  bool depth_set = true;   // the marks say which way it leans
  std::vector<PointId> rests_on;
  std::string spoken;  // "left forearm"
  [[nodiscard]] bool Limb() const { return rests_on.size() == 2; }  // between two joints; trunk and neck rest on more
};

// Nothing when `around` is no known part or its joints are not marked. `name` of the stroke tells
// a hem from a belt and a collar from a necklace's neck.
[[nodiscard]] std::optional<PartAxis> AxisOf(const BodyFacts& facts, const std::string& around, const std::string& name,
                                             const Vec2& near_px);

// Unit vector from the eye to a point, body space.
[[nodiscard]] Vec3 Sight(const BodyCamera& camera, const Vec3& at);

// Angle of the trunk's front against the sight at a height between hips (0) and shoulders (1):
// 0 faces the viewer, + turned to picture right. Nothing when hips or shoulders are not marked.
[[nodiscard]] std::optional<Measure> TrunkTurn(const BodyFacts& facts, double height);

}  // namespace armslength::surface_check
