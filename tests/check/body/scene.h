#pragma once
#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <string>
#include <vector>

#include <Eigen/Geometry>

#include "canon/canon.h"
#include "check/finding.h"
#include "marks/figure.h"
#include "reading/body/body_reading.h"

namespace armslength::testing {

// A body placed joint by joint, with its marks and a reading that is exactly right about it:
// the checks are tested without the solver. Starts upright, facing the viewer, arms hanging.
// Heights and lengths of the average adult are fractions of stature after Drillis & Contini
// 1966, technical report 1166.03, New York University, as reproduced in Winter, Biomechanics
// and Motor Control of Human Movement (2009), Fig. 4.1. How far the chin and the toes stand
// in front, and the distance of the hip joints, are from anatomy drawings, from memory.
struct Scene {
  Scene();

  Vec3& operator[](PointId id) { return joints[static_cast<std::size_t>(id)]; }
  // Turns joints about an axis through `centre`, degrees, right-handed in (x right, y down, z away).
  void Turn(const std::vector<PointId>& ids, const Vec3& centre, const Vec3& axis, double degrees);
  void TurnAll(const Vec3& axis, double degrees);

  [[nodiscard]] FigureMarks Marks() const;
  // sigma_stature: marking error and spread of each joint across the picture; depth_sd: along it.
  [[nodiscard]] BodyReading Reading() const;

  std::array<Vec3, kBodyPointCount> joints{};
  double sigma_stature = 0.002, depth_sd = 0.01;
  double scale_px = 1000.0, inverse_distance = 0.0, elevation_rad = 0.0;
  bool declared = true;
  std::vector<PointId> unmarked, proposed;
  std::vector<std::string> meant;
  std::map<BoneId, Depth> depth;
  std::vector<LengthHypothesis> hypotheses;
};

// The average adult of that table as a canon, 1 / 0.130 heads.
[[nodiscard]] Canon AverageAdultCanon();

[[nodiscard]] const Finding* Find(const std::vector<Finding>& findings, std::string_view id);
[[nodiscard]] int CountOff(const std::vector<Finding>& findings);

inline const std::vector<PointId> kLeftArm = {PointId::kElbowL, PointId::kWristL, PointId::kHandTipL};
inline const std::vector<PointId> kLeftLeg = {PointId::kKneeL, PointId::kAnkleL, PointId::kToeL};
inline const std::vector<PointId> kRightLeg = {PointId::kKneeR, PointId::kAnkleR, PointId::kToeR};
inline const std::vector<PointId> kUpperBody = {
    PointId::kCrown,  PointId::kChin,   PointId::kNeckPit, PointId::kShoulderL, PointId::kShoulderR, PointId::kElbowL,
    PointId::kElbowR, PointId::kWristL, PointId::kWristR,  PointId::kHandTipL,  PointId::kHandTipR};

inline Scene::Scene() {
  // y down from the hip joints at 0.530 of the stature; the viewer stands at -z.
  const auto at = [](double x, double height, double z = 0.0) { return Vec3(x, 0.530 - height, z); };
  Scene& s = *this;
  s[PointId::kCrown] = at(0, 1.0, -0.030);
  s[PointId::kChin] = at(0, 0.870, -0.045);
  s[PointId::kNeckPit] = at(0, 0.818);
  for (const double side : {1.0, -1.0}) {
    const auto id = [&](PointId left) { return side > 0 ? left : Mirrored(left); };
    s[id(PointId::kShoulderL)] = at(side * 0.129, 0.818);
    s[id(PointId::kElbowL)] = at(side * 0.129, 0.818 - 0.186);
    s[id(PointId::kWristL)] = at(side * 0.129, 0.818 - 0.186 - 0.146);
    s[id(PointId::kHandTipL)] = at(side * 0.129, 0.818 - 0.186 - 0.146 - 0.108);
    s[id(PointId::kHipL)] = at(side * 0.080, 0.530);
    s[id(PointId::kKneeL)] = at(side * 0.080, 0.285);
    s[id(PointId::kAnkleL)] = at(side * 0.080, 0.039);
    s[id(PointId::kToeL)] = at(side * 0.080, 0.0, -0.115);
  }
}

inline void Scene::Turn(const std::vector<PointId>& ids, const Vec3& centre, const Vec3& axis, double degrees) {
  const Eigen::AngleAxisd turn(degrees * std::numbers::pi / 180.0, axis.normalized());
  for (const PointId id : ids) (*this)[id] = centre + turn * ((*this)[id] - centre);
}

inline void Scene::TurnAll(const Vec3& axis, double degrees) {
  const Eigen::AngleAxisd turn(degrees * std::numbers::pi / 180.0, axis.normalized());
  for (Vec3& joint : joints) joint = turn * joint;
}

inline FigureMarks Scene::Marks() const {
  const BodyReading reading = Reading();
  FigureMarks marks;
  marks.name = "scene";
  for (int i = 0; i < kBodyPointCount; ++i)
    if (reading.marked[static_cast<std::size_t>(i)])
      marks.points[static_cast<PointId>(i)] = reading.JointPx(static_cast<PointId>(i));
  marks.proposed = proposed;
  marks.meant = meant;
  marks.depth = depth;
  marks.marking_error_px = sigma_stature * scale_px;
  return marks;
}

inline BodyReading Scene::Reading() const {
  BodyReading r;
  r.usable = true;
  r.joints = joints;
  r.marked.fill(true);
  for (const PointId id : unmarked) r.marked[static_cast<std::size_t>(id)] = false;
  for (auto& cov : r.joint_cov)
    cov = Vec3(sigma_stature * sigma_stature, sigma_stature * sigma_stature, depth_sd * depth_sd).asDiagonal();
  r.camera.scale_px = scale_px;
  r.camera.inverse_distance = inverse_distance;
  r.camera.elevation_rad = elevation_rad;
  r.camera.origin_px = {800.0, 900.0};
  r.sigma_px = r.sigma_estimated_px = sigma_stature * scale_px;
  r.canon.canon = AverageAdultCanon();
  r.canon.declared = declared;
  r.canon.heads = r.canon.canon.heads;
  for (int i = 0; i < kBoneCount; ++i) {
    const auto bone = static_cast<BoneId>(i);
    const BoneEnds ends = Ends(bone);
    const Vec3 from = bone == BoneId::kTrunk ? Vec3(0.5 * (r.Joint(PointId::kHipL) + r.Joint(PointId::kHipR))) : r.Joint(ends.from);
    r.length[static_cast<std::size_t>(i)] = (r.Joint(ends.to) - from).norm();
    r.length_log_sd[static_cast<std::size_t>(i)] = 0.02;
  }
  r.hypotheses = hypotheses;
  return r;
}

inline Canon AverageAdultCanon() {
  Canon canon;
  canon.name = "average";
  const double head = 0.130;
  canon.heads = 1.0 / head;
  const auto set = [&](BoneId bone, double fraction, double spread) {
    canon[bone] = {fraction / head, spread};
    canon[Mirrored(bone)] = {fraction / head, spread};
  };
  set(BoneId::kHead, 0.130, 0.02);
  set(BoneId::kNeck, 0.052 / kNeckUpShare, 0.16);
  set(BoneId::kTrunk, 0.288, 0.025);
  set(BoneId::kShoulderWidth, 0.258, 0.035);
  set(BoneId::kHipWidth, 0.160, 0.03);
  set(BoneId::kUpperArmL, 0.186, 0.02);
  set(BoneId::kForearmL, 0.146, 0.02);
  set(BoneId::kHandL, 0.108, 0.04);
  set(BoneId::kThighL, 0.245, 0.02);
  set(BoneId::kShinL, 0.246, 0.02);
  set(BoneId::kFootL, std::hypot(0.115, 0.039), 0.05);
  canon.sole_to_ankle = 0.039 / head;
  return canon;
}

inline const Finding* Find(const std::vector<Finding>& findings, std::string_view id) {
  const auto it = std::find_if(findings.begin(), findings.end(), [&](const Finding& f) { return f.id == id; });
  return it == findings.end() ? nullptr : &*it;
}

inline int CountOff(const std::vector<Finding>& findings) {
  return static_cast<int>(
      std::count_if(findings.begin(), findings.end(), [](const Finding& f) { return f.verdict == Verdict::kOff; }));
}

}  // namespace armslength::testing
