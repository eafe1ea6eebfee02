#include "app/views/clay.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Geometry>

namespace armslength::app {
namespace {

using P = PointId;
constexpr int kSides = 28;  // of a cross section

struct Ring {
  Vec3 centre, u, v;  // half-axes: u towards the figure's left, v towards the front
  bool line = false;  // a contour line runs round here
};

// One more ring between each two, on a smooth way through them (Catmull-Rom).
std::vector<Ring> Finer(const std::vector<Ring>& rings) {
  std::vector<Ring> out;
  for (std::size_t i = 0; i + 1 < rings.size(); ++i) {
    const Ring &a = rings[i == 0 ? 0 : i - 1], &b = rings[i], &c = rings[i + 1], &d = rings[std::min(i + 2, rings.size() - 1)];
    const auto half = [](const Vec3& p, const Vec3& q, const Vec3& r, const Vec3& s) {
      return Vec3(0.5625 * (q + r) - 0.0625 * (p + s));
    };
    out.push_back(b);
    out.push_back({half(a.centre, b.centre, c.centre, d.centre), half(a.u, b.u, c.u, d.u), half(a.v, b.v, c.v, d.v), false});
  }
  out.push_back(rings.back());
  return out;
}

Vec3 Across(const Vec3& axis, const Vec3& hint) {
  Vec3 u = hint - axis * hint.dot(axis);
  if (u.norm() < 1e-6) u = axis.unitOrthogonal();
  return u.normalized();
}

// Closed surface through the rings, the first and last of which close to a point or are small.
// `front_from`, `front_to`: rings between which the front line (along v) is drawn; none when equal.
void Loft(ClayBody& body, const std::vector<Ring>& rings, std::size_t front_from = 0, std::size_t front_to = 0) {
  const auto point = [&](std::size_t ring, int side) {
    const double a = 2.0 * std::numbers::pi * side / kSides;
    const Ring& r = rings[ring];
    return Vec3(r.centre + std::cos(a) * r.u + std::sin(a) * r.v);
  };
  const int rows = static_cast<int>(rings.size()) - 1;
  constexpr int kFront = kSides / 4;  // where v points
  const auto normal = [&](std::size_t ring, int side) {
    const std::size_t before = ring == 0 ? 0 : ring - 1, after = std::min(ring + 1, rings.size() - 1);
    const Vec3 out = point(ring, side) - rings[ring].centre;
    Vec3 n = (point(ring, side + 1) - point(ring, side - 1)).cross(point(after, side) - point(before, side));
    if (n.norm() < 1e-12) n = out;
    n.normalize();
    // Ends look along the loft, where the sides have shrunk to nothing.
    Vec3 lean = out;
    if (ring == 0) lean = rings.front().centre - rings[1].centre;
    if (ring + 1 == rings.size()) lean = rings.back().centre - rings[ring - 1].centre;
    return Vec3(n.dot(lean) < 0.0 ? -n : n);
  };
  for (int i = 0; i < rows; ++i)
    for (int j = 0; j < kSides; ++j) {
      const auto r = static_cast<std::size_t>(i);
      const bool front = r >= front_from && r < front_to;
      ClayPatch patch;
      patch.corner = {point(r, j), point(r, j + 1), point(r + 1, j + 1), point(r + 1, j)};
      patch.normal = {normal(r, j), normal(r, j + 1), normal(r + 1, j + 1), normal(r + 1, j)};
      patch.line = {rings[r].line, j + 1 == kFront && front, false, false};
      body.patches.push_back(patch);
    }
}

// Tapering limb with round ends. `swell`: extra radius a third down. `flat`: of the breadth across v.
void Limb(ClayBody& body, const Vec3& a, const Vec3& b, const Vec3& hint, double ra, double rb, double swell,
          double flat = 1.0, bool lines = true) {
  const Vec3 way = b - a;
  const double length = way.norm();
  if (length < 1e-6) return;
  const Vec3 axis = way / length, u = Across(axis, hint), v = axis.cross(u);
  std::vector<Ring> rings;
  const auto add = [&](double along, double radius, bool line) {
    rings.push_back({a + axis * along, u * radius, v * (radius * flat), line && lines});
  };
  constexpr int kCap = 4, kRows = 9;
  for (int i = 0; i < kCap; ++i) {
    const double t = 0.5 * std::numbers::pi * i / kCap;
    add(-ra * std::cos(t), std::max(1e-4, ra * std::sin(t)), false);
  }
  for (int i = 0; i <= kRows; ++i) {
    const double t = static_cast<double>(i) / kRows;
    const double bump = swell * std::pow(std::sin(std::numbers::pi * std::pow(t, 0.6)), 2);
    add(t * length, ra + t * (rb - ra) + bump, i == 3 || i == 6);
  }
  for (int i = kCap - 1; i >= 0; --i) {
    const double t = 0.5 * std::numbers::pi * i / kCap;
    add(length + rb * std::cos(t), std::max(1e-4, rb * std::sin(t)), false);
  }
  Loft(body, rings);
}

void Trunk(ClayBody& body, const BodyReading& r, double head, double unit) {
  const Vec3 hl = r.Joint(P::kHipL), hr = r.Joint(P::kHipR), sl = r.Joint(P::kShoulderL), sr = r.Joint(P::kShoulderR);
  const Vec3 hips = 0.5 * (hl + hr), shoulders = 0.5 * (sl + sr), pit = r.Joint(P::kNeckPit);
  const Vec3 axis = (pit - hips).normalized();
  const double half_hip = 0.5 * (hl - hr).norm(), half_shoulder = 0.5 * (sl - sr).norm(), length = (pit - hips).norm();
  const double rib = std::max(0.2 * head, half_shoulder - 0.06 * unit);
  const Vec3 uh = Across(axis, hl - hr), us = Across(axis, sl - sr);
  struct Row {
    double t, wide, deep;
    bool line;
  };
  const Row rows[] = {{-0.20, 0.02 * unit, 0.02 * unit, false},
                      {-0.17, 0.55 * half_hip, 0.15 * unit, false},
                      {-0.10, half_hip + 0.10 * unit, 0.24 * unit, false},
                      {0.00, half_hip + 0.19 * unit, 0.29 * unit, true},
                      {0.12, half_hip + 0.16 * unit, 0.28 * unit, false},
                      {0.26, 0.70 * rib, 0.25 * unit, false},
                      {0.36, 0.67 * rib, 0.245 * unit, true},
                      {0.48, 0.76 * rib, 0.27 * unit, false},
                      {0.62, 0.90 * rib, 0.315 * unit, false},
                      {0.74, 0.97 * rib, 0.335 * unit, true},
                      {0.86, 1.00 * rib, 0.30 * unit, false},
                      {0.95, 0.92 * rib, 0.23 * unit, false},
                      {1.02, 0.58 * rib, 0.16 * unit, false},
                      {1.06, 0.24 * rib, 0.10 * unit, false},
                      {1.07, 0.02 * unit, 0.02 * unit, false}};
  std::vector<Ring> rings;
  for (const Row& row : rows) {
    const double t = std::clamp(row.t, 0.0, 1.0), twist = t * t * (3.0 - 2.0 * t);
    // Up at the shoulders the chest hangs between them and tilts with them.
    const double lean = std::clamp((row.t - 0.45) / 0.4, 0.0, 1.0);
    const Vec3 square = Across(axis, (1.0 - twist) * uh + twist * us), slanted = (sl - sr).normalized();
    const Vec3 u = ((1.0 - 0.8 * lean) * square + 0.8 * lean * slanted).normalized();
    const Vec3 sideways = square * (shoulders - pit).dot(square) * 0.8 * lean;
    rings.push_back({hips + axis * (row.t * length) + sideways, u * row.wide, square.cross(axis) * row.deep, row.line});
  }
  Loft(body, Finer(rings), 6, 2 * rings.size() - 8);
}

// Where the face looks, body space.
Vec3 Facing(const BodyReading& r, const HeadReading* head) {
  if (head && head->usable) {
    const Vec3 z = head->pose.Rotation().col(2);
    return {z.x(), -z.y(), -z.z()};
  }
  const Vec3 across = r.Joint(P::kShoulderL) - r.Joint(P::kShoulderR);
  const Vec3 up = r.Joint(P::kNeckPit) - 0.5 * (r.Joint(P::kHipL) + r.Joint(P::kHipR));
  return across.cross(up).normalized();
}

void Head(ClayBody& body, const BodyReading& r, const HeadReading* reading) {
  const Vec3 chin = r.Joint(P::kChin), crown = r.Joint(P::kCrown);
  const double h = (crown - chin).norm();
  if (h < 1e-6) return;
  const Vec3 up = (crown - chin) / h, front = Across(up, Facing(r, reading)), left = up.cross(front);
  struct Row {
    double y, wide, face, back;
    bool line;
  };
  // Shares of the height; the egg of a drawing manual, widest above the eye line.
  const Row rows[] = {{-0.01, 0.01, 0.15, 0.13, false}, {0.00, 0.10, 0.20, 0.05, false},  {0.05, 0.165, 0.225, -0.04, false},
                      {0.14, 0.23, 0.245, -0.16, false}, {0.27, 0.285, 0.255, -0.30, false}, {0.40, 0.325, 0.26, -0.43, false},
                      {0.50, 0.345, 0.255, -0.49, true}, {0.62, 0.355, 0.25, -0.515, false}, {0.74, 0.34, 0.225, -0.505, false},
                      {0.84, 0.295, 0.17, -0.45, false}, {0.92, 0.22, 0.08, -0.35, false},  {0.98, 0.11, -0.03, -0.23, false},
                      {1.00, 0.01, -0.12, -0.14, false}};
  std::vector<Ring> rings;
  for (const Row& row : rows)
    rings.push_back({chin + up * (row.y * h) + front * (0.5 * (row.face + row.back) * h), left * (row.wide * h),
                     front * (0.5 * (row.face - row.back) * h), row.line});
  Loft(body, Finer(rings), 2, 2 * rings.size() - 4);
}

}  // namespace

ClayBody ModelClay(const BodyReading& r, const HeadReading* head_reading) {
  ClayBody body;
  const double head = std::max(0.05, (r.Joint(P::kCrown) - r.Joint(P::kChin)).norm());
  const double shoulder = (r.Joint(P::kShoulderL) - r.Joint(P::kShoulderR)).norm();
  const double unit = head * std::clamp(shoulder / (1.5 * head), 0.55, 1.3);  // breadths follow the frame
  const Vec3 front = Facing(r, nullptr);
  for (const bool left : {true, false}) {
    const auto at = [&](P id) { return r.Joint(left ? id : Mirrored(id)); };
    Limb(body, at(P::kHipL), at(P::kKneeL), front, 0.235 * unit, 0.15 * unit, 0.02 * unit);
    Limb(body, at(P::kKneeL), at(P::kAnkleL), front, 0.145 * unit, 0.08 * unit, 0.045 * unit);
    const Vec3 foot = at(P::kToeL) - at(P::kAnkleL), shin = (at(P::kAnkleL) - at(P::kKneeL)).normalized();
    Limb(body, at(P::kAnkleL) - 0.10 * foot + 0.03 * unit * shin, at(P::kToeL), foot.cross(shin), 0.105 * unit, 0.06 * unit,
         0.015 * unit, 0.72);
    Limb(body, at(P::kShoulderL), at(P::kElbowL), front, 0.145 * unit, 0.10 * unit, 0.02 * unit);
    Limb(body, at(P::kElbowL), at(P::kWristL), front, 0.10 * unit, 0.065 * unit, 0.03 * unit);
    // The palm lies in the plane of the bent arm, as near as can be told without fingers.
    const Vec3 hand = at(P::kHandTipL) - at(P::kWristL);
    Limb(body, at(P::kWristL), at(P::kHandTipL) - 0.05 * unit * hand.normalized(), at(P::kWristL) - at(P::kShoulderL),
         0.065 * unit, 0.05 * unit, 0.04 * unit, 0.5);
    const Vec3 pit = r.Joint(P::kNeckPit), collar = at(P::kShoulderL) - pit;
    Limb(body, pit + 0.15 * collar, at(P::kShoulderL), front, 0.10 * unit, 0.135 * unit, 0.0, 1.0, false);
  }
  Trunk(body, r, head, unit);
  const Vec3 skull = r.Joint(P::kChin) + 0.25 * (r.Joint(P::kCrown) - r.Joint(P::kChin)) - 0.10 * head * Facing(r, head_reading);
  Limb(body, r.Joint(P::kNeckPit) - 0.06 * head * front, skull, front, 0.19 * unit, 0.165 * unit, 0.0, 1.0, false);
  Head(body, r, head_reading);

  Vec3 low = Vec3::Constant(1e9), high = -low;
  for (int i = 0; i < kBodyPointCount; ++i) {
    low = low.cwiseMin(r.joints[static_cast<std::size_t>(i)]);
    high = high.cwiseMax(r.joints[static_cast<std::size_t>(i)]);
  }
  body.centre = 0.5 * (low + high);
  return body;
}

std::vector<ClayLength> LengthsOff(const BodyReading& r) {
  std::vector<ClayLength> lengths;
  for (const LengthHypothesis& h : r.hypotheses) {
    if (!h.off || h.factor <= 0.0) continue;
    const auto in = [&](BoneId bone) { return std::ranges::find(h.bones, bone) != h.bones.end(); };
    const auto chain = [&](std::vector<std::pair<BoneId, std::pair<Vec3, Vec3>>> bones) {
      ClayLength length;
      Vec3 shift = Vec3::Zero();  // what hangs on a shortened bone follows it
      for (const auto& [bone, ends] : bones) {
        if (!in(bone)) {
          if (!length.drawn.empty()) break;
          continue;
        }
        if (length.drawn.empty()) {
          length.drawn.push_back(ends.first);
          length.target.push_back(ends.first);
        }
        length.drawn.push_back(ends.second);
        const Vec3 right = ends.first + shift + (ends.second - ends.first) / h.factor;
        length.target.push_back(right);
        shift = right - ends.second;
      }
      if (!length.drawn.empty()) lengths.push_back(std::move(length));
    };
    for (const bool left : {true, false}) {
      const auto at = [&](P id) { return r.Joint(left ? id : Mirrored(id)); };
      const auto bone = [&](BoneId id) { return left ? id : Mirrored(id); };
      const auto seg = [&](BoneId id, P a, P b) { return std::pair(bone(id), std::pair(at(a), at(b))); };
      chain({seg(BoneId::kThighL, P::kHipL, P::kKneeL), seg(BoneId::kShinL, P::kKneeL, P::kAnkleL)});
      chain({seg(BoneId::kFootL, P::kAnkleL, P::kToeL)});
      chain({seg(BoneId::kUpperArmL, P::kShoulderL, P::kElbowL), seg(BoneId::kForearmL, P::kElbowL, P::kWristL),
             seg(BoneId::kHandL, P::kWristL, P::kHandTipL)});
    }
    const Vec3 hips = 0.5 * (r.Joint(P::kHipL) + r.Joint(P::kHipR));
    chain({{BoneId::kTrunk, {hips, r.Joint(P::kNeckPit)}}});
    chain({{BoneId::kNeck, {r.Joint(P::kNeckPit), r.Joint(P::kChin)}}});
    chain({{BoneId::kHead, {r.Joint(P::kChin), r.Joint(P::kCrown)}}});
    const auto width = [&](BoneId bone, P left) {
      if (!in(bone)) return;
      const Vec3 a = r.Joint(left), b = r.Joint(Mirrored(left)), middle = 0.5 * (a + b);
      lengths.push_back({{a, b}, {middle + (a - middle) / h.factor, middle + (b - middle) / h.factor}});
    };
    width(BoneId::kShoulderWidth, P::kShoulderL);
    width(BoneId::kHipWidth, P::kHipL);
  }
  return lengths;
}

}  // namespace armslength::app
