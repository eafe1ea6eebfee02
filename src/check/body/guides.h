#pragma once
#include <span>
#include <string>
#include <vector>

#include "check/body/body_facts.h"

// Shapes that show a finding on the picture: as drawn, where to, how far is close enough.
// Landmarks, axes and bands only. Private to check/body.
namespace armslength::body_check {

[[nodiscard]] GuideShape Line(GuideShape::Role role, std::vector<Vec2> points, std::string label = {});
[[nodiscard]] GuideShape Cross(GuideShape::Role role, std::vector<Vec2> centres, std::string label = {});
// A round band of radius_px about a point.
[[nodiscard]] GuideShape Around(const Vec2& centre, double radius_px);

// Bones `factor` times too long: the part as drawn, the same directions at the right length
// from the joint nearer the trunk, a band of the tolerance about its end, and one arrow.
// At most seven shapes.
[[nodiscard]] std::vector<GuideShape> LengthGuide(const BodyFacts& facts, std::span<const BoneId> bones,
                                                  double factor, double tolerance, const std::string& amount);

// The chain of joints turned about its first one in the picture by `angle_rad` (positive:
// from +x towards +y), with the drawn line, the target and an arrow between the ends.
[[nodiscard]] std::vector<GuideShape> TurnGuide(const std::vector<Vec2>& chain, double angle_rad,
                                                double tolerance_rad, const std::string& amount);

}  // namespace armslength::body_check
