#include "synth/head_figure.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <random>

#include <Eigen/Geometry>

namespace armslength {
namespace {

using Vec3d = Eigen::Vector3d;
using P = PointId;

// Smooth curve through knots (Catmull-Rom with uneven spacing).
struct Spline {
  std::vector<double> t, v;
  double operator()(double at) const {
    at = std::clamp(at, t.front(), t.back());
    std::size_t i = 0;
    while (i + 2 < t.size() && at > t[i + 1]) ++i;
    const auto slope = [&](std::size_t k) {
      if (k == 0) return (v[1] - v[0]) / (t[1] - t[0]);
      if (k + 1 == t.size()) return (v[k] - v[k - 1]) / (t[k] - t[k - 1]);
      return (v[k + 1] - v[k - 1]) / (t[k + 1] - t[k - 1]);
    };
    const double h = t[i + 1] - t[i], s = (at - t[i]) / h, s2 = s * s, s3 = s2 * s;
    return (2 * s3 - 3 * s2 + 1) * v[i] + (s3 - 2 * s2 + s) * h * slope(i) + (-2 * s3 + 3 * s2) * v[i + 1] +
           (s3 - s2) * h * slope(i + 1);
  }
};

class Solid {
 public:
  double w = 0, eye_y = 0, eye_x = 0, eye_half = 0, lid_up = 0, lid_down = 0, cant = 0, brow_up = 0, brow_x = 0;
  double nose_y = 0, tip_up = 0, projection = 0, mouth_y = 0, mouth_half = 0, hair_y = 0, jaw_x = 0, jaw_y = 0;
  double jaw_z = 0, crown_z = 0, ear_z = 0, ear_top = 0, ear_bottom = 0, near_edge = 0;
  double splay = 0, ball = 0, recess = 0, brow_depth = 0, corner_depth = 0, lip_depth = 0, base_depth = 0;
  double p_across = 2, p_front = 2, cheek = 0;
  Spline width, front;
  bool large_eyed = false;

  [[nodiscard]] double Z(double x, double y) const {
    const double r = std::min(std::abs(x) / width(y), 0.999);
    const double bone = (x * x > 0 ? cheek * std::exp(-std::pow((std::abs(x) - 0.6 * w) / 0.07, 2) - std::pow((y - eye_y + 0.1) / 0.07, 2)) : 0.0);
    return front(y) * std::pow(1.0 - std::pow(r, p_across), 1.0 / p_front) + bone;
  }
  [[nodiscard]] Vec3d Normal(double x, double y) const {
    const double h = 1e-3;
    return Vec3d(-(Z(x + h, y) - Z(x - h, y)) / (2 * h), -(Z(x, y + h) - Z(x, y - h)) / (2 * h), 1.0).normalized();
  }
};

Solid MakeSolid(unsigned seed, SynthHeadStyle style) {
  std::mt19937 rng(seed * 2654435761U + 17U);
  const auto u = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(rng); };
  const auto n = [&](double mean, double sd) { return std::normal_distribution<double>(mean, sd)(rng); };
  Solid s;
  const bool coin = u(0, 1) < 0.5;
  s.large_eyed = style == SynthHeadStyle::kLargeEyed || (style == SynthHeadStyle::kMixed && coin);
  const auto pick = [&](double ca, double cb, double la, double lb) {
    const double c = u(ca, cb), l = u(la, lb);
    return s.large_eyed ? l : c;
  };
  s.w = pick(.31, .36, .32, .40);
  s.eye_y = pick(.47, .52, .33, .47);
  s.eye_x = pick(.135, .155, .15, .19);
  s.eye_half = pick(.06, .075, .075, .115);
  s.lid_up = pick(.015, .028, .05, .10);
  s.lid_down = pick(.012, .025, .03, .08);
  s.cant = pick(-.004, .010, -.015, .02);
  s.brow_up = pick(.08, .12, .10, .18);
  s.brow_x = pick(.16, .19, .14, .21);
  s.nose_y = pick(.29, .34, .14, .27);
  s.tip_up = pick(.02, .05, .0, .03);
  s.projection = pick(.07, .13, .02, .08);
  s.mouth_y = pick(.17, .22, .07, .15);
  s.mouth_half = pick(.09, .12, .03, .10);
  s.hair_y = u(.76, .9);
  s.jaw_x = s.w * u(.62, .85);
  s.jaw_y = u(.12, .26);
  s.jaw_z = n(.08, .04);
  s.p_across = u(2.0, 2.5);
  s.p_front = s.p_across + u(-.2, .2);
  s.cheek = u(0, .012);
  const double d = s.w * std::clamp(n(1.15, .10), .9, 1.45);
  s.front = {{-.05, 0, s.mouth_y, s.nose_y, s.eye_y, s.eye_y + s.brow_up, std::max(s.hair_y, s.eye_y + s.brow_up + .1), 1.05},
             {.68 * d, .76 * d + n(0, .027), .885 * d + n(0, .007), .935 * d + n(0, .009), .99 * d, d + n(0, .012),
              .88 * d + n(0, .02), .6 * d}};
  s.width = {{-.05, s.jaw_y, s.eye_y - .12, s.eye_y + .06, .8, 1.05},
             {.62 * s.w, std::max(s.jaw_x * 1.05, .8 * s.w), s.w * u(.95, .99), s.w, s.w * u(.88, .95), .6 * s.w}};
  s.crown_z = n(-.1, .06);
  s.ear_z = n(0, .03);
  s.ear_top = s.eye_y + u(.02, .09);
  s.ear_bottom = s.nose_y + u(-.03, .03);
  s.near_edge = n(0, .01);
  s.ball = s.eye_half * u(1.5, 2.6);
  s.recess = n(.03, .015);
  s.brow_depth = n(0, .012);
  s.corner_depth = n(0, .012);
  s.lip_depth = n(.018, .011);
  s.base_depth = n(.03, .016);
  const double reach = s.eye_x + s.eye_half - .86 * s.w;  // keep the outer corner on the face
  if (reach > 0) s.eye_x -= reach;
  // The eye opening follows the face it lies on, within a tenth of a turn.
  s.splay = std::atan((s.Z(s.eye_x - .5 * s.eye_half, s.eye_y) - s.Z(s.eye_x + .5 * s.eye_half, s.eye_y)) / s.eye_half) * u(.72, 1.08);
  return s;
}

struct Placed {
  Vec3d at, normal;
};

}  // namespace

SynthHead MakeHead(const SynthHeadOptions& o) {
  const Solid solid = MakeSolid(o.character.value_or(o.seed), o.style);
  std::mt19937 rng(o.seed * 40503U + 977U);
  const auto u = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(rng); };
  const auto n = [&](double mean, double sd) { return std::normal_distribution<double>(mean, sd)(rng); };

  SynthHead out;
  out.large_eyed = solid.large_eyed;
  const double turned = u(o.yaw_low_deg, o.yaw_high_deg) * (u(0, 1) < .5 ? -1 : 1), nod = u(-30, 30), tilt = u(-40, 40);
  out.pose.yaw_rad = o.yaw_deg.value_or(turned) * M_PI / 180;
  out.pose.pitch_rad = o.pitch_deg.value_or(nod) * M_PI / 180;
  out.pose.roll_rad = o.roll_deg.value_or(tilt) * M_PI / 180;
  out.pose.scale_px = o.height_px * u(.85, 1.15);
  out.pose.origin_px = {o.height_px, o.height_px};
  out.picture = {"head.png", static_cast<int>(2 * o.height_px), static_cast<int>(2 * o.height_px)};
  const double distance = o.perspective ? u(6, 25) : 1e9;
  const double lift = n(.004, o.mouth_lift_sd);
  const Eigen::Matrix3d r = out.pose.Rotation();
  const int far = out.pose.yaw_rad >= 0 ? 1 : -1;

  // Features in the head.
  std::map<P, Placed> at;
  const auto on_face = [&](double x, double y, double off) { return Placed{{x, y, solid.Z(x, y) + off}, solid.Normal(x, y)}; };
  at[P::kHeadTop] = {{0, 1, solid.crown_z}, {0, 1, 0}};
  at[P::kCrown] = at[P::kHeadTop];
  at[P::kChin] = on_face(0, 0, 0);
  at[P::kNoseBase] = on_face(0, solid.nose_y, solid.base_depth);
  at[P::kNoseTip] = {at[P::kNoseBase].at + Vec3d(0, solid.tip_up, solid.projection), {0, 0, 1}};
  at[P::kMouthCentre] = on_face(0, solid.mouth_y, solid.lip_depth);
  at[P::kHairline] = on_face(0, solid.hair_y, 0);
  for (int side = -1; side <= 1; side += 2) {
    const bool left = side > 0;
    const auto pid = [&](P l, P rr) { return left ? l : rr; };
    const double s = side, cs = std::cos(solid.splay), sn = std::sin(solid.splay);
    // An eyeball behind the lids, the opening turned outwards by the splay.
    const Vec3d middle(s * solid.eye_x, solid.eye_y, solid.Z(solid.eye_x, solid.eye_y) - solid.recess);
    const double sag = solid.ball - std::sqrt(std::max(0.0, solid.ball * solid.ball - solid.eye_half * solid.eye_half));
    const auto on_ball = [&](double along, double up, double forward) {
      Vec3d p = middle + Vec3d(s * (along * cs + forward * sn), up, -along * sn + forward * cs);
      if (along != 0.0) p.z() = std::min(p.z(), solid.Z(p.x(), p.y()) - .2 * std::max(0.0, solid.recess));  // corners lie in the face
      return p;
    };
    const Vec3d normal = solid.Normal(s * solid.eye_x, solid.eye_y);
    at[pid(P::kEyeLInner, P::kEyeRInner)] = {on_ball(-solid.eye_half, -solid.cant, 0), normal};
    at[pid(P::kEyeLOuter, P::kEyeROuter)] = {on_ball(solid.eye_half, solid.cant, 0), solid.Normal(s * (solid.eye_x + .9 * solid.eye_half), solid.eye_y)};
    at[pid(P::kEyeLTop, P::kEyeRTop)] = {on_ball(0, solid.lid_up, sag), normal};
    at[pid(P::kEyeLBottom, P::kEyeRBottom)] = {on_ball(0, -solid.lid_down, .8 * sag), normal};
    at[pid(P::kBrowLPeak, P::kBrowRPeak)] = on_face(s * solid.brow_x, solid.eye_y + solid.brow_up, solid.brow_depth);
    at[pid(P::kMouthL, P::kMouthR)] = on_face(s * solid.mouth_half, solid.mouth_y + lift, solid.corner_depth);
    at[pid(P::kJawL, P::kJawR)] = {{s * solid.jaw_x, solid.jaw_y, solid.jaw_z}, {s, 0, .15}};
    at[pid(P::kEarLTop, P::kEarRTop)] = {{s * (solid.w + .015), solid.ear_top, solid.ear_z - .05}, {s, 0, 0}};
    at[pid(P::kEarLBottom, P::kEarRBottom)] = {{s * (solid.w + .005), solid.ear_bottom, solid.ear_z - .02}, {s, 0, 0}};
  }
  for (auto& [id, p] : at) p.at += o.asymmetry * Vec3d(n(0, 1), n(0, 1), n(0, 1));

  const auto see = [&](const Vec3d& p) {
    const Vec3d q = r * (p - Vec3d(0, .5, 0));
    const double k = out.pose.scale_px / (1.0 - q.z() / distance);
    return Vec2(out.pose.origin_px.x() + k * q.x(), out.pose.origin_px.y() - k * q.y());
  };
  // Face edge at eye level. Far side: outermost point of the solid that lands level with the
  // eyes; near side: where the face ends before the ear.
  const Vec2 across_px = [&] { const Vec3d e = r.col(0); return Vec2(e.x(), -e.y()).normalized(); }();
  const Vec2 up_px = [&] { const double c = std::cos(out.pose.roll_rad), s = std::sin(out.pose.roll_rad); return Vec2(-s, -c); }();
  const Vec2 eye_mid = .25 * (see(at[P::kEyeLInner].at) + see(at[P::kEyeLOuter].at) + see(at[P::kEyeRInner].at) + see(at[P::kEyeROuter].at));
  for (int side = -1; side <= 1; side += 2) {
    const P id = side > 0 ? P::kContourL : P::kContourR;
    if (side == far && std::abs(out.pose.yaw_rad) > 1e-9) {
      double best = -1e18;
      for (double y = solid.eye_y - .12; y <= solid.eye_y + .12; y += .01) {
        for (double share = .5; share <= 1.0; share += .01) {
          const double x = side * share * solid.width(y);
          const Vec3d p(x, y, share > .9985 ? 0.0 : solid.Z(x, y));
          const Vec2 px = see(p);
          if (std::abs((px - eye_mid).dot(up_px)) > .02 * out.pose.scale_px) continue;
          const double reach = side * (px - eye_mid).dot(across_px);
          if (reach > best) {
            best = reach;
            at[id] = {p, Vec3d(side, 0, 0)};
          }
        }
      }
      if (best < -1e17) at[id] = {{side * solid.w, solid.eye_y, 0}, Vec3d(side, 0, 0)};
    } else {
      at[id] = {{side * (solid.w + solid.near_edge), solid.eye_y, solid.ear_z}, {static_cast<double>(side), 0, 0}};
    }
  }

  std::map<P, bool> visible;
  for (const auto& [id, p] : at) {
    out.in_head[id] = p.at;
    out.right_px[id] = see(p.at);
    const double facing = (r * p.normal).z();
    visible[id] = Side(id) == 0 || id == P::kContourL || id == P::kContourR || facing > .03;
    if (id == P::kJawL || id == P::kJawR) visible[id] = facing > -.12;
    if (id == P::kEarLTop || id == P::kEarLBottom || id == P::kEarRTop || id == P::kEarRBottom)
      visible[id] = o.ears && (std::abs(out.pose.yaw_rad) < .25 || Side(id) != far);
  }
  out.face_width_px = 2 * solid.w * out.pose.scale_px;

  // Faults and conventions, on the page.
  auto px = out.right_px;
  using F = HeadFaultKind;
  const std::array<std::array<P, 4>, 2> eyes = {{{P::kEyeLInner, P::kEyeLOuter, P::kEyeLTop, P::kEyeLBottom},
                                                 {P::kEyeRInner, P::kEyeROuter, P::kEyeRTop, P::kEyeRBottom}}};
  const auto& far_eye = eyes[far > 0 ? 0 : 1];
  const auto& near_eye = eyes[far > 0 ? 1 : 0];
  const auto eye_middle = [&](const std::array<P, 4>& e) { return Vec2(.5 * (px[e[0]] + px[e[1]])); };
  const auto turn_about = [&](P id, const Vec2& c, double angle) {  // counter-clockwise as seen: y is down
    px[id] = c + Eigen::Rotation2Dd(-angle) * (px[id] - c);
  };
  if (o.far_eye_convention != 0.0) {
    const double ratio = (px[near_eye[0]] - px[near_eye[1]]).norm() / (px[far_eye[0]] - px[far_eye[1]]).norm();
    const Vec2 c = eye_middle(far_eye);
    for (P id : {far_eye[0], far_eye[1]}) px[id] = c + std::pow(ratio, o.far_eye_convention) * (px[id] - c);
    out.right_px = px;
  }
  for (const auto& [kind, amount] : o.faults) {
    const Vec2 sideways = amount * out.face_width_px * across_px, up = amount * out.pose.scale_px * up_px;
    switch (kind) {
      case F::kEyeSize: {
        const Vec2 c = eye_middle(far_eye);
        for (P id : far_eye) px[id] = c + std::exp(amount) * (px[id] - c);
        break;
      }
      case F::kEyeSpacing: for (P id : far_eye) px[id] += far * sideways; break;
      case F::kEyeLineTilt: {
        const Vec2 c = .5 * (eye_middle(far_eye) + eye_middle(near_eye));
        for (const auto& eye : eyes) for (P id : eye) turn_about(id, c, amount);
        break;
      }
      case F::kEyeHeight:
        for (P id : eyes[0]) px[id] += .5 * up;
        for (P id : eyes[1]) px[id] -= .5 * up;
        break;
      case F::kBrow: px[P::kBrowLPeak] += .5 * up; px[P::kBrowRPeak] -= .5 * up; break;
      case F::kNoseOffset: for (P id : {P::kNoseBase, P::kNoseTip}) px[id] += sideways; break;
      case F::kMouthOffset: for (P id : {P::kMouthL, P::kMouthR, P::kMouthCentre}) px[id] += sideways; break;
      case F::kMouthTilt: for (P id : {P::kMouthL, P::kMouthR}) turn_about(id, px[P::kMouthCentre], amount); break;
      case F::kChinOffset: px[P::kChin] += sideways; break;
      case F::kJawSkew: for (P id : {P::kJawL, P::kJawR}) px[id] += sideways; break;
      case F::kFeaturesTilt: {  // eyes, brows and mouth drawn as if the head nodded `amount` more
        const Eigen::Matrix3d nodded = (Eigen::AngleAxisd(out.pose.roll_rad, Vec3d::UnitZ()) *
                                        Eigen::AngleAxisd(out.pose.pitch_rad + amount, Vec3d::UnitX()) *
                                        Eigen::AngleAxisd(out.pose.yaw_rad, Vec3d::UnitY())).toRotationMatrix();
        const auto move_row = [&](std::initializer_list<P> row, double y, double z) {
          const Vec3d m(0, y - .5, z);
          const Vec2 keep = Vec2((r * m).x(), -(r * m).y()) - Vec2((nodded * m).x(), -(nodded * m).y());
          for (P id : row) {
            const Vec3d p = at[id].at - Vec3d(0, .5, 0), a = nodded * p, b = r * p;
            px[id] += out.pose.scale_px * (Vec2(a.x() - b.x(), b.y() - a.y()) + keep);
          }
        };
        move_row({P::kEyeLInner, P::kEyeLOuter, P::kEyeLTop, P::kEyeLBottom, P::kEyeRInner, P::kEyeROuter, P::kEyeRTop, P::kEyeRBottom},
                 solid.eye_y, solid.Z(0, solid.eye_y));
        move_row({P::kBrowLPeak, P::kBrowRPeak}, solid.eye_y + solid.brow_up, solid.Z(0, solid.eye_y + solid.brow_up));
        move_row({P::kMouthL, P::kMouthR, P::kMouthCentre}, solid.mouth_y, solid.Z(0, solid.mouth_y));
        break;
      }
      case F::kEarHeight:
        for (P id : {P::kEarLTop, P::kEarLBottom}) px[id] += .5 * up;
        for (P id : {P::kEarRTop, P::kEarRBottom}) px[id] -= .5 * up;
        break;
      default: break;
    }
  }
  out.drawn_px = px;

  const double sigma_px = o.sigma * out.pose.scale_px;
  out.marks.name = "head";
  out.marks.marking_error_px = std::max(sigma_px, 0.1);
  const auto wanted = [&](P id) {
    if (id == P::kHeadTop) return false;
    switch (o.marks) {
      case SynthHeadMarks::kSix:
        return id == P::kCrown || id == P::kChin || id == P::kNoseBase || id == P::kEyeLTop || id == P::kEyeRTop ||
               id == (far > 0 ? P::kContourL : P::kContourR);
      case SynthHeadMarks::kTwelve:
        return id == P::kCrown || id == P::kChin || id == P::kNoseBase || id == P::kEyeLInner || id == P::kEyeLOuter ||
               id == P::kEyeRInner || id == P::kEyeROuter || id == P::kContourL || id == P::kContourR || id == P::kMouthL ||
               id == P::kMouthR || id == P::kMouthCentre;
      default: return true;
    }
  };
  for (const auto& [id, p] : px) {
    // Same numbers drawn for every point, so that sets of marks differ only in what is left out.
    const double a = n(0, 1), b = n(0, 1);
    if (!wanted(id) || (!visible[id] && !o.hidden_marked)) continue;
    double across = sigma_px, along = sigma_px;
    if (id == P::kCrown) across = along = 2 * sigma_px;
    if (id == P::kHairline || id == P::kJawL || id == P::kJawR) across = along = 1.5 * sigma_px;
    if (id == P::kContourL || id == P::kContourR) along = 4 * sigma_px;
    const Vec2 side_px(-up_px.y(), up_px.x());
    out.marks.points[id] = p + across * a * side_px + along * b * up_px;
  }
  return out;
}

}  // namespace armslength
