#include "reading/head/head_curves.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "reading/head/head_model.h"

namespace armslength {
namespace {

using head_internal::FaceSurface;
using Vec3d = Eigen::Vector3d;

// Monotone-ish interpolation through sorted knots (Hermite, limited slopes).
struct Knots {
  std::vector<std::pair<double, double>> at;
  double operator()(double y) const {
    if (y <= at.front().first) return at.front().second;
    if (y >= at.back().first) return at.back().second;
    std::size_t i = 0;
    while (at[i + 1].first < y) ++i;
    const auto chord = [&](std::size_t k) { return (at[k + 1].second - at[k].second) / (at[k + 1].first - at[k].first); };
    const auto slope = [&](std::size_t k) {
      if (k == 0) return chord(0);
      if (k + 1 == at.size()) return chord(k - 1);
      const double a = chord(k - 1), b = chord(k);
      return a * b <= 0 ? 0.0 : 2 * a * b / (a + b);
    };
    const double h = at[i + 1].first - at[i].first, s = (y - at[i].first) / h, s2 = s * s, s3 = s2 * s;
    return (2 * s3 - 3 * s2 + 1) * at[i].second + (s3 - 2 * s2 + s) * h * slope(i) + (-2 * s3 + 3 * s2) * at[i + 1].second +
           (s3 - s2) * h * slope(i + 1);
  }
};

}  // namespace

HeadCurves CurvesOf(const HeadPose& pose, const HeadProfile::Vector& profile) {
  using P = HeadParam;
  const auto g = [&](P p) { return profile[static_cast<int>(p)]; };
  const FaceSurface face(profile.data());
  const Eigen::Matrix3d r = pose.Rotation();
  const auto see = [&](const Vec3d& p) { return pose.Project(p); };
  HeadCurves c;

  // Middle line: the solved depths of chin, mouth, nose base, nose root, brow and hairline, then
  // round over the top of the skull.
  const double ye = g(P::kEyeHeight), yb = ye + g(P::kBrowAboveEye);
  const double yh = std::max(g(P::kHairlineHeight), yb + .05);
  // Skull ball: its equator is the brow line, its front the brow. It reaches the top of the
  // head unless that is hair: a skull is hardly more than 1.25 times as wide as the face.
  const double centre_y = std::clamp(yb, .48, .68), radius = std::min(1.0 - centre_y, 1.25 * face.half_width);
  const double top = std::max(centre_y + radius, yh + .03);
  Knots offset;
  double last = -1.0;
  const auto knot = [&](double y, double z) {
    if (y <= last + .01) return;
    offset.at.emplace_back(y, z);
    last = y;
  };
  knot(0, g(P::kChinDepth));
  knot(g(P::kMouthHeight), g(P::kMouthDepth));
  knot(g(P::kNoseBaseHeight), g(P::kNoseDepth));
  knot(ye, 0.0);
  knot(yb, 0.5 * g(P::kBrowDepth));
  knot(yh, g(P::kHairlineDepth));
  for (double y = 0.0; y < yh; y += yh / 48) c.middle.push_back(see({0, y, face.Depth(0, y) + offset(y)}));
  const double zh = face.Depth(0, yh) + offset(yh), zc = g(P::kCrownDepth);
  for (int i = 0; i <= 16; ++i) {
    const double t = M_PI / 2 * i / 16;
    c.middle.push_back(see({0, yh + (top - yh) * std::sin(t), zc + (zh - zc) * std::cos(t)}));
  }
  std::reverse(c.middle.begin(), c.middle.end());

  // Lines across at one height; they end where the face turns away.
  const auto across = [&](double y, auto&& depth_offset) {
    std::vector<Vec2> line;
    const double w = face.half_width * face.Girth(y);
    // Below the eyes the face ends at the line from cheek to jaw corner to chin.
    const double jaw_y = std::clamp(g(P::kJawHeight), .05, ye - .05), jaw_x = g(P::kJawX);
    const double edge = y >= ye ? w : y >= jaw_y ? jaw_x + (w - jaw_x) * (y - jaw_y) / (ye - jaw_y) : jaw_x * (.35 + .65 * y / jaw_y);
    const Vec3d e = r.col(0);
    const Vec2 lateral = Vec2(e.x(), -e.y()).normalized();
    const int n = 64;
    std::vector<Vec2> all;
    for (int i = 0; i <= n; ++i) {
      const double t = -M_PI / 2 + M_PI * i / n;
      const double s = std::sin(t);
      const double x = w * (s < 0 ? -1 : 1) * std::pow(std::abs(s), 2.0 / face.squareness);
      if (std::abs(x) > edge + .005) {
        all.push_back(Vec2::Constant(std::numeric_limits<double>::quiet_NaN()));
        continue;
      }
      const double z = (i == 0 || i == n) ? 0.0 : face.Depth(x, y) + depth_offset(std::abs(x), std::abs(x) / w);
      all.push_back(see({x, y, z}));
    }
    // Keep the run around the middle in which the line moves on across the page.
    std::size_t a = n / 2, b = n / 2;
    while (a > 0 && (all[a] - all[a - 1]).dot(lateral) > 0) --a;
    while (b < n && (all[b + 1] - all[b]).dot(lateral) > 0) ++b;
    line.assign(all.begin() + static_cast<std::ptrdiff_t>(a), all.begin() + static_cast<std::ptrdiff_t>(b) + 1);
    return line;
  };
  const double eye_z = g(P::kEyeDepth), xe = g(P::kEyeX), he = std::max(.02, g(P::kEyeHalfWidth));
  const double slope = g(P::kEyeDepthSlope) * he;
  c.eyes = across(ye, [&](double x, double share) {
    const double s = std::clamp((x - xe) / he, -1.0, 1.0);
    return (eye_z + slope * s) * (1 - std::pow(share, 6));
  });
  c.brow = across(yb, [&](double, double share) { return g(P::kBrowDepth) * (1 - std::pow(share, 6)); });
  c.nose = across(g(P::kNoseBaseHeight), [&](double x, double) { return g(P::kNoseDepth) * std::exp(-x * x / (2 * .08 * .08)); });
  const double hm = std::max(.02, g(P::kMouthHalfWidth));
  c.mouth = across(g(P::kMouthHeight), [&](double x, double share) {
    const double s = std::min(1.0, x / hm);
    return (g(P::kMouthDepth) + (g(P::kMouthCornerDepth) - g(P::kMouthDepth)) * s * s) * (1 - std::pow(share, 6));
  });

  const Vec3d centre(0, centre_y, face.Depth(0, centre_y) - radius);
  const double r_px = pose.scale_px * radius / (1.0 - pose.inverse_distance * (r * (centre - Vec3d(0, .5, 0))).z());
  const Vec2 centre_px = see(centre);
  for (int i = 0; i <= 72; ++i) {
    const double t = 2 * M_PI * i / 72;
    c.ball.push_back(centre_px + r_px * Vec2(std::cos(t), std::sin(t)));
  }
  for (int i = 0; i <= 96; ++i) {
    const double t = -M_PI + 2 * M_PI * i / 96;  // starts at the back
    const Vec3d n(std::sin(t), 0, std::cos(t));
    if ((r * n).z() > 0) c.equator.push_back(see(centre + radius * n));
  }
  // Flat sides of the ball: two thirds of its radius.
  const double side_r = radius * 2 / 3, side_x = std::sqrt(radius * radius - side_r * side_r);
  const int near = pose.yaw_rad > 0 ? -1 : 1;
  if (std::abs(pose.yaw_rad) > 8 * M_PI / 180) {
    for (int i = 0; i <= 48; ++i) {
      const double t = 2 * M_PI * i / 48;
      c.side_plane.push_back(see(centre + Vec3d(near * side_x, side_r * std::cos(t), side_r * std::sin(t))));
    }
    const Vec3d m = centre + Vec3d(near * side_x, 0, 0);
    c.side_cross_up = {see(m + Vec3d(0, side_r, 0)), see(m - Vec3d(0, side_r, 0))};
    c.side_cross_along = {see(m + Vec3d(0, 0, side_r)), see(m - Vec3d(0, 0, side_r))};
  }
  const Vec3d chin(0, 0, face.Depth(0, 0) + g(P::kChinDepth));
  for (int side : {near, -near}) {
    const Vec3d corner(side * g(P::kJawX), g(P::kJawHeight), g(P::kJawDepth));
    const Vec3d root(side * side_x, centre_y - side_r, centre.z());
    std::vector<Vec2> jaw = {see(root), see(corner)};
    const Vec2 a = see(corner), b = see(chin);
    // From the corner to the chin in a shallow bow, as a construction line.
    const Vec3d mid = .5 * (corner + chin) + Vec3d(side * .035, -.02, .02);
    const Vec2 m = see(mid);
    for (int i = 1; i <= 12; ++i) {
      const double t = i / 12.0;
      jaw.push_back((1 - t) * (1 - t) * a + 2 * t * (1 - t) * (2 * m - .5 * (a + b)) + t * t * b);
    }
    if (side == near) c.jaw_near = jaw;
    else if (std::abs(pose.yaw_rad) < 35 * M_PI / 180) c.jaw_far = std::vector<Vec2>(jaw.begin() + 1, jaw.end());
  }
  return c;
}

double DistanceToCurve(const Vec2& point, const std::vector<Vec2>& curve) {
  double best = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i + 1 < curve.size(); ++i) {
    const Vec2 d = curve[i + 1] - curve[i];
    const double t = std::clamp((point - curve[i]).dot(d) / std::max(d.squaredNorm(), 1e-12), 0.0, 1.0);
    best = std::min(best, (curve[i] + t * d - point).norm());
  }
  return best;
}

}  // namespace armslength
