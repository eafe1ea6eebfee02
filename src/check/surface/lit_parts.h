#pragma once
#include <string>
#include <vector>

#include "check/body/body_facts.h"
#include "check/surface/silhouette.h"
#include "picture/picture.h"

// Limbs and trunk, and the light round each of them. Private to check/surface.
namespace armslength::surface_check {

struct LitPart {
  BoneId bone{};
  std::string spoken;
  std::vector<PointId> rests_on;
  Vec2 from = Vec2::Zero(), to = Vec2::Zero();  // its ends, px
  Vec3 across = Vec3::UnitX();                  // unit, in the picture's plane
  Vec3 towards = -Vec3::UnitZ();                // unit, straight out of the part towards the viewer
  double half_px = 0.0;
  double angle = 0.0;  // of the light round the part's axis, rad: 0 from the viewer, positive along `across`
  double sd = 1.0;     // rad
  bool flat = false;   // no shadow seen: lit from about the viewer, or not shaded

  [[nodiscard]] Vec2 Middle() const { return 0.5 * (from + to); }
};

[[nodiscard]] bool IsArm(BoneId bone);

// A limb is nearly round, so that the share of its width in shadow and the side it lies on give the angle of the light
// round the solved limb's axis. Parts that say nothing are left out.
[[nodiscard]] std::vector<LitPart> ReadLitParts(const body_check::BodyFacts& facts, const Silhouette& silhouette, const ImageRgba8& image);

}  // namespace armslength::surface_check
