#include "check/body/guides.h"

#include <cmath>

#include <Eigen/Geometry>

#include "check/body/limb_names.h"

namespace armslength::body_check {
namespace {
using Role = GuideShape::Role;
using Form = GuideShape::Form;
}  // namespace

GuideShape Line(Role role, std::vector<Vec2> points, std::string label) {
  return {role, Form::kPolyline, std::move(points), std::move(label)};
}

GuideShape Cross(Role role, std::vector<Vec2> centres, std::string label) {
  return {role, Form::kCross, std::move(centres), std::move(label)};
}

GuideShape Around(const Vec2& centre, double radius_px) {
  return {Role::kBand, Form::kEllipse, {centre, centre + Vec2(radius_px, 0), centre + Vec2(0, radius_px)}, {}};
}

std::vector<GuideShape> LengthGuide(const BodyFacts& facts, std::span<const BoneId> bones, double factor,
                                    double tolerance, const std::string& amount) {
  std::vector<GuideShape> drawn, target, band;
  std::vector<GuideShape> arrow;
  if (factor <= 0.0) return {};
  for (const auto& chain : Chains(bones)) {
    if (chain.size() == 1 && (chain.front() == BoneId::kShoulderWidth || chain.front() == BoneId::kHipWidth)) {
      const BoneEnds ends = Ends(chain.front());
      const Vec2 a = facts.Px(ends.from), b = facts.Px(ends.to), middle = 0.5 * (a + b);
      const Vec2 a2 = middle + (a - middle) / factor, b2 = middle + (b - middle) / factor;
      drawn.push_back(Line(Role::kDrawn, {a, b}));
      target.push_back(Line(Role::kTarget, {a2, b2}));
      const double radius = 0.5 * (b2 - a2).norm() * tolerance;
      band.push_back(Around(a2, radius));
      band.push_back(Around(b2, radius));
      arrow = {Line(Role::kArrow, {b, b2}, amount)};
      continue;
    }
    std::vector<Vec2> as_drawn, wanted;
    for (const BoneId bone : chain) {
      const BoneEnds ends = Ends(bone);
      const bool trunk = bone == BoneId::kTrunk;
      const Vec2 from = trunk ? Vec2(0.5 * (facts.Px(PointId::kHipL) + facts.Px(PointId::kHipR))) : facts.Px(ends.from);
      const Vec2 to = facts.Px(ends.to);
      if (as_drawn.empty()) {
        as_drawn.push_back(from);
        wanted.push_back(from);
      }
      as_drawn.push_back(to);
      wanted.push_back(wanted.back() + (to - from) / factor);
    }
    const double length = (wanted.back() - wanted.front()).norm();
    band.push_back(Around(wanted.back(), std::max(2.0, length * tolerance)));
    if (arrow.empty()) arrow = {Line(Role::kArrow, {as_drawn.back(), wanted.back()}, amount)};
    drawn.push_back(Line(Role::kDrawn, std::move(as_drawn)));
    target.push_back(Line(Role::kTarget, std::move(wanted)));
  }
  std::vector<GuideShape> out;
  for (auto* group : {&drawn, &target, &arrow, &band})
    for (GuideShape& shape : *group)
      if (out.size() < 7) out.push_back(std::move(shape));
  return out;
}

std::vector<GuideShape> TurnGuide(const std::vector<Vec2>& chain, double angle_rad, double tolerance_rad,
                                  const std::string& amount) {
  if (chain.size() < 2) return {};
  const Eigen::Rotation2Dd turn(angle_rad);
  std::vector<Vec2> wanted;
  for (const Vec2& p : chain) wanted.push_back(chain.front() + turn * (p - chain.front()));
  const double reach = (chain.back() - chain.front()).norm();
  return {Line(Role::kDrawn, chain), Line(Role::kTarget, wanted),
          Line(Role::kArrow, {chain.back(), wanted.back()}, amount),
          Around(wanted.back(), std::max(2.0, reach * tolerance_rad))};
}

}  // namespace armslength::body_check
