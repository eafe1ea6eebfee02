#include <algorithm>
#include <cmath>

#include "synth/draw/body.h"
#include "synth/draw/pattern.h"

namespace armslength {
namespace {

constexpr double kFront = M_PI_2;

Shape One(Polyline polygon) {
  Shape shape;
  shape.Add(std::move(polygon));
  return shape;
}

Shape Disc(const Vec2& at, double radius_px) {
  Polyline ring;
  for (int i = 0; i < 40; ++i)
    ring.push_back(at + radius_px * Vec2(std::cos(2 * M_PI * i / 40), std::sin(2 * M_PI * i / 40)));
  return One(ring);
}

// t of a tube whose keys ran over stations 0..2, where the station is `at`.
double TOf(double at, double first, double second) {
  const double all = first + second;
  return at <= 1.0 ? at * first / all : (first + (at - 1.0) * second) / all;
}

}  // namespace

void DrawLeg(Studio& s, int side) {
  const Skeleton& b = s.spec.body;
  const Costume& c = s.spec.costume;
  const auto n = static_cast<std::size_t>(side);
  const double outward = side == 0 ? 1.0 : -1.0;
  const Vec3 hip = b.Joint(On(side, PointId::kHipL)), knee = b.Joint(On(side, PointId::kKneeL)),
             ankle = b.Joint(On(side, PointId::kAnkleL));
  const std::vector<LimbStation> stations = {
      {-0.06, 0.060, 0.066, -0.024, 0.0},   {0.10, 0.062, 0.068, -0.022, 0.0},
      {0.35, 0.054, 0.060, -0.010, -0.004}, {0.70, 0.043, 0.046, 0.0, -0.004},
      {0.92, 0.037, 0.039, 0.0, -0.003},    {1.05, 0.036, 0.039, 0.0, -0.001},
      {1.28, 0.036, 0.040, 0.002, 0.008},   {1.55, 0.032, 0.035, 0.002, 0.007},
      {1.85, 0.025, 0.027, 0.0, 0.002},     {2.0, 0.024, 0.026, 0.0, 0.0}};
  const Tube leg(LimbKeys(hip, knee, ankle, b.thigh[n], b.shin[n], outward, stations,
                          s.girth * s.spec.faults.leg_girth[n]),
                 s.spec.camera, 34);
  const double first = (knee - hip).norm() * 1.06, second = (ankle - knee).norm();
  const auto t_of = [&](double at) {
    return (at <= 1.0 ? (at + 0.06) / 1.06 * first : first + (at - 1.0) * second) / (first + second);
  };

  // A boot drawn beside its leg hides what would be inside it.
  const Shape outline = leg.Outline(0.0, side == 0 && s.spec.faults.boot_shift != 0.0 ? t_of(1.45) : 1.0);
  s.sheet.Part(outline, c.trousers, {s.line_px, 1.0});
  s.out.garment.Add(outline);
  if (const auto cloth = c.patterns.find("legs"); cloth != c.patterns.end()) {
    PaintPattern(s, leg, 0.0, 1.0, cloth->second, outline);
    s.on_top[std::string("trouser cloth") + (side == 0 ? "_l" : "_r")] = s.sheet.Parts().size();
    s.out.truth.areas.push_back({std::string("trouser cloth") + (side == 0 ? "_l" : "_r"), "pattern",
                                 side == 0 ? "thigh_l" : "thigh_r", TubeOutline(leg, t_of(0.30), t_of(0.88))});
  }
  ShadeTube(s, leg, 0.0, 1.0, outline);
  const double k = t_of(1.0);
  if (!s.spec.faults.parallel_folds) {  // the knee's tension
    const double in = side == 0 ? M_PI : 0.0;
    Fold(s, leg, {{k - 0.03, in - 0.1}, {k - 0.015, 0.5 * (in + kFront)}, {k - 0.02, kFront + 0.2}}, outline,
         0.7, false);
    Fold(s, leg, {{k + 0.02, in + 0.1}, {k + 0.035, 0.5 * (in + kFront)}, {k + 0.030, kFront}}, outline, 0.8);
    Fold(s, leg, {{k + 0.05, in}, {k + 0.085, 0.45 * (in + kFront)}}, outline, 0.7, false);
    Fold(s, leg, {{k + 0.03, M_PI - in}, {k + 0.05, 0.5 * (M_PI - in + kFront)}}, outline, 0.7, false);
  }
  DrawShoe(s, side, leg);
}

void DrawShoe(Studio& s, int side, const Tube&) {
  const Skeleton& b = s.spec.body;
  const Costume& c = s.spec.costume;
  const auto n = static_cast<std::size_t>(side);
  const double g = s.girth;
  const DrawingFaults& faults = s.spec.faults;
  const Vec3 boot_shift = side == 0 ? Vec3(b.foot[n].col(0) * faults.boot_shift) : Vec3(Vec3::Zero());
  const Vec3 shift = side == 0 ? Vec3(b.foot[n].col(0) * faults.shoe_shift + boot_shift) : Vec3(Vec3::Zero());
  const Vec3 knee = b.Joint(On(side, PointId::kKneeL)), ankle = b.Joint(On(side, PointId::kAnkleL)) + shift,
             toe = b.Joint(On(side, PointId::kToeL)) + shift;
  const Vec3 up = b.foot[n].col(1), out = b.foot[n].col(0) * (side == 0 ? 1.0 : -1.0);
  const double forward = (toe - ankle).dot(-b.foot[n].col(2)), drop = (ankle - toe).dot(up);
  const Vec3 along = -b.foot[n].col(2);
  const double length = forward * 1.34;  // heel to toe
  const Vec3 heel = ankle - along * (0.34 * forward / 1.0) - up * drop;

  // Sections of the shoe from heel to toe: place, half width, height, sideways drift.
  struct Cut {
    double at, wide, high, drift;
  };
  const std::vector<Cut> wedge = {{0.00, 0.016, 0.034, 0.0},    {0.05, 0.024, 0.050, 0.0},
                                  {0.16, 0.028, 0.066, 0.0},    {0.30, 0.029, 0.070, 0.0},
                                  {0.45, 0.029, 0.058, 0.0},    {0.60, 0.033, 0.044, 0.001},
                                  {0.75, 0.036, 0.036, 0.001},  {0.88, 0.031, 0.030, -0.002},
                                  {0.96, 0.022, 0.023, -0.005}, {1.00, 0.008, 0.014, -0.007}};
  const std::vector<Cut> brick = {
      {0.0, 0.033, 0.050, 0.0}, {0.5, 0.033, 0.050, 0.0}, {1.0, 0.033, 0.050, 0.0}};
  const auto& cuts = s.spec.faults.block_shoes ? brick : wedge;
  const double tall = drop / 0.039;
  const auto section = [&](const Cut& cut, double low, double high, double wider) {
    Polyline ring;
    const Vec3 base = heel + along * (cut.at * length) + out * (cut.drift * g);
    for (int i = 0; i <= 16; ++i) {
      const double a = M_PI * i / 16;
      const double e = s.spec.faults.block_shoes ? 0.25 : 0.75;
      const double x = std::copysign(std::pow(std::abs(std::cos(a)), e), std::cos(a)),
                   y = std::pow(std::sin(a), e);
      ring.push_back(s.spec.camera.Project(base + out * (x * (cut.wide * g + wider)) +
                                           up * (low + y * (std::min(high, cut.high * tall) - low))));
    }
    ring.push_back(s.spec.camera.Project(base + out * (cut.wide * g + wider) + up * low));
    ring.push_back(s.spec.camera.Project(base - out * (cut.wide * g + wider) + up * low));
    return ring;
  };
  const auto loft = [&](double low, double high, double wider) {
    Shape shape;
    Polyline before;
    Polyline wide, height, drift;  // over the place along the foot
    for (const Cut& cut : cuts) {
      wide.emplace_back(cut.at, cut.wide);
      height.emplace_back(cut.at, cut.high);
      drift.emplace_back(cut.at, cut.drift);
    }
    if (!s.spec.faults.block_shoes)
      for (Polyline* curve : {&wide, &height, &drift}) *curve = Smooth(*curve, 6);
    for (std::size_t i = 0; i < wide.size(); ++i) {
      Polyline ring = section({wide[i].x(), wide[i].y(), height[i].y(), drift[i].y()}, low, high, wider);
      if (!before.empty()) {
        Polyline both = before;
        both.insert(both.end(), ring.begin(), ring.end());
        shape.Add(ConvexHull(std::move(both)));
      }
      before = std::move(ring);
    }
    return shape;
  };

  const double outward = side == 0 ? 1.0 : -1.0;
  const std::vector<LimbStation> shaft_stations = {{1.36, 0.044, 0.048, 0.002, 0.006},
                                                   {1.55, 0.038, 0.042, 0.002, 0.006},
                                                   {1.80, 0.030, 0.033, 0.0, 0.002},
                                                   {2.02, 0.029, 0.034, 0.0, 0.0}};
  const Tube shaft(LimbKeys(b.Joint(On(side, PointId::kHipL)) + boot_shift, knee + boot_shift, ankle, b.thigh[n], b.shin[n], outward,
                            shaft_stations, g * s.spec.faults.leg_girth[n]),
                   s.spec.camera, 18);
  // Sole and heel.
  const Material sole{c.boot.dark.Towards(Rgb::Hex(0x201820), 0.35),
                      c.boot.dark.Towards(Rgb::Hex(0x201820), 0.55)};
  s.sheet.Part(loft(0.0, 0.016, 0.0018), sole, {s.line_px, 1.0});
  const Shape foot = loft(0.011, 1.0, 0.0);
  Shape boot = foot;
  // The leg goes into the boot: its near rim covers the leg, its far rim lies behind.
  const Shape shaft_shape = shaft.Band(0.0, 1.0);
  boot.Add(shaft_shape);
  s.sheet.Part(boot, c.boot, {s.line_px, 1.0});
  ShadeTube(s, shaft, 0.0, 1.0, shaft_shape);
  // The top of the foot catches light, its outer or inner side does not.
  if (s.Shaded()) {
    const bool out_dark = out.dot(s.to_light) < 0;
    Shape side_shape;
    Polyline top, low;
    for (const Cut& cut : cuts) {
      const Vec3 base = heel + along * (cut.at * length) + out * (cut.drift * g);
      const double sign = out_dark ? 1.0 : -1.0;
      top.push_back(
          s.spec.camera.Project(base + out * (sign * 0.55 * cut.wide * g) + up * (0.72 * cut.high * tall)));
      low.push_back(s.spec.camera.Project(base + out * (sign * 1.2 * cut.wide * g)));
    }
    Polyline both = Smooth(top, 6);
    both.insert(both.end(), low.rbegin(), low.rend());
    side_shape.Add(both);
    s.sheet.Shade(side_shape, foot);
  }
  // Turned top of the boot.
  const double bow = s.Bow(side == 0 ? "boot_l" : "boot_r");
  const Shape cuff = shaft.Band(0.0, 0.16, bow);
  s.sheet.Part(cuff,
               {c.boot.light.Towards(Rgb::Hex(0xffe6c0), 0.35), c.boot.dark.Towards(Rgb::Hex(0xffe6c0), 0.2)},
               {0.9 * s.line_px, 0.8});
  ShadeTube(s, shaft, 0.0, 0.16, cuff);
  AddRing(s, side == 0 ? "boot_l" : "boot_r", side == 0 ? "shin_l" : "shin_r", shaft.Arc(0.0, bow));
  // Creases at the ankle, from the instep.
  if (!s.spec.faults.parallel_folds) {
    Fold(s, shaft, {{0.80, kFront + 0.9}, {0.77, kFront + 0.3}, {0.80, kFront - 0.4}}, boot, 0.8, false);
    Fold(s, shaft, {{0.90, kFront + 1.0}, {0.88, kFront + 0.3}, {0.90, kFront - 0.2}}, boot, 0.7, false);
  }
}

void DrawArm(Studio& s, int side) {
  const Skeleton& b = s.spec.body;
  const Costume& c = s.spec.costume;
  const auto n = static_cast<std::size_t>(side);
  const double outward = side == 0 ? 1.0 : -1.0;
  const Vec3 shoulder = b.Joint(On(side, PointId::kShoulderL)), elbow = b.Joint(On(side, PointId::kElbowL)),
             wrist = b.Joint(On(side, PointId::kWristL));
  const std::string suffix = side == 0 ? "_l" : "_r";
  const std::vector<LimbStation> stations = {
      {0.0, 0.030, 0.034, -0.004, 0.0}, {0.15, 0.035, 0.038, -0.002, 0.0}, {0.45, 0.036, 0.039, 0.0, 0.0},
      {0.85, 0.031, 0.033, 0.0, 0.002}, {1.02, 0.031, 0.033, 0.0, 0.004},  {1.25, 0.034, 0.035, 0.0, 0.0},
      {1.60, 0.035, 0.034, 0.0, 0.0},   {1.80, 0.030, 0.030, 0.0, 0.0},    {1.88, 0.024, 0.024, 0.0, 0.0}};
  const Tube sleeve(
      LimbKeys(shoulder, elbow, wrist, b.upper_arm[n], b.forearm[n], outward, stations,
               s.girth * s.spec.faults.arm_girth[n]),
      s.spec.camera, 34);
  const double first = (elbow - shoulder).norm(), second = 0.88 * (wrist - elbow).norm();
  const auto t_of = [&](double at) { return TOf(at > 1 ? 1 + (at - 1) / 0.88 : at, first, second); };
  const double px = s.spec.camera.scale_px;

  const double wrist_z = b.Joint(On(side, PointId::kHandTipL)).z();
  const bool hand_last = wrist_z < wrist.z() + 0.02;
  if (!hand_last) DrawHand(s, side);

  const Shape outline = sleeve.Outline();
  s.sheet.Cast(outline, s.shadow_fall * 0.016 * px + Vec2(0, 0.006 * px));
  s.sheet.Part(outline, c.sleeve, {s.line_px, 1.0});
  s.on_top["stripes" + suffix] = s.sheet.Parts().size();
  // Stripes go round; pasted flat they run straight across the picture.
  if (const auto cloth = c.patterns.find("sleeves"); cloth != c.patterns.end()) {
    PaintPattern(s, sleeve, 0.0, t_of(1.0), cloth->second, outline);
    PaintPattern(s, sleeve, t_of(1.0), 1.0, cloth->second, outline);
  } else if (s.spec.faults.flat_pattern) {
    const Vec2 a = s.spec.camera.Project(shoulder), z = s.spec.camera.Project(wrist);
    const double top = std::min({a.y(), z.y(), s.spec.camera.Project(elbow).y()}) - 0.08 * px,
                 low = std::max({a.y(), z.y(), s.spec.camera.Project(elbow).y()}) + 0.08 * px;
    const double left = std::min({a.x(), z.x(), s.spec.camera.Project(elbow).x()}) - 0.1 * px,
                 right = std::max({a.x(), z.x(), s.spec.camera.Project(elbow).x()}) + 0.1 * px;
    for (double y = top; y < low; y += 0.030 * px)
      s.sheet.Colour(
          One({Vec2(left, y), Vec2(right, y), Vec2(right, y + 0.013 * px), Vec2(left, y + 0.013 * px)}),
          c.stripe, outline);
  } else {
    const double all = first + second;
    for (double d = 0.012; d < all - 0.02; d += 0.030) {
      const double t0 = d / all, t1 = std::min(1.0, (d + 0.013) / all);
      // In the crook of a sharp bend the inner edge runs backwards: a stripe ends halfway there.
      const Vec2 way = s.spec.camera.Project(sleeve.Centre(t1)) - s.spec.camera.Project(sleeve.Centre(t0));
      const auto crook = [&](std::size_t edge) {
        return (sleeve.Px(t1, sleeve.Edges(t1)[edge]) - sleeve.Px(t0, sleeve.Edges(t0)[edge])).dot(way) <
               0.25 * way.squaredNorm();
      };
      const bool left = crook(0), right = crook(1);
      if (!left && !right) {
        s.sheet.Colour(sleeve.Band(t0, t1), c.stripe, outline);
        continue;
      }
      const Polyline a = sleeve.Arc(t0), b2 = sleeve.Arc(t1);
      const std::ptrdiff_t from = left ? 13 : 0, to = right ? 20 : 33;
      Polyline part(a.begin() + from, a.begin() + to);
      part.insert(part.end(), b2.rend() - to, b2.rend() - from);
      s.sheet.Colour(One(part), c.stripe, outline);
    }
  }
  ShadeTube(s, sleeve, 0.0, 1.0, outline, true);

  // The elbow gathers the cloth: folds run from its bend.
  const double e = t_of(1.0);
  if (!s.spec.faults.parallel_folds) {
    const double bend =
        std::acos(std::clamp((elbow - shoulder).normalized().dot((wrist - elbow).normalized()), -1.0, 1.0));
    if (bend > 0.6) {  // a bent elbow pulls from its crook and presses cloth together there
      for (double way : {1.0, -1.0})
        for (double round : {0.75, -0.75})
          Fold(s, sleeve,
               {{e + 0.008 * way, kFront + 0.1 * round},
                {e + way * 0.040, kFront + 0.7 * round},
                {e + way * 0.085, kFront + 1.5 * round}},
               outline, 0.9, round > 0);
    } else {
      Fold(s, sleeve,
           {{e - 0.02, sleeve.FacingAngle(e) + 1.0},
            {e - 0.005, sleeve.FacingAngle(e) + 0.4},
            {e - 0.015, sleeve.FacingAngle(e) - 0.1}},
           outline, 0.8);
      Fold(s, sleeve,
           {{e + 0.035, sleeve.FacingAngle(e) + 1.0},
            {e + 0.050, sleeve.FacingAngle(e) + 0.5},
            {e + 0.075, sleeve.FacingAngle(e) + 0.1}},
           outline, 0.8, false);
    }
    for (int i = 0; i < 5; ++i) {  // gathered into the cuff
      const double a = sleeve.FacingAngle(0.9) + (i - 2) * 0.5;
      Fold(s, sleeve, {{0.985, a}, {0.95, a + 0.05}, {0.90 - 0.02 * (i % 2), a + 0.04 * (i - 2)}}, outline,
           0.7, false);
    }
  } else {
    const Vec2 from = s.spec.camera.Project(elbow + 0.3 * (shoulder - elbow));
    for (int i = 0; i < 4; ++i) {
      const Vec2 at = from + Vec2(0, 0.016 * px * i);
      s.sheet.Ink(One(Tapered({at - Vec2(0.022 * px, 0.006 * px), at + Vec2(0.022 * px, 0.006 * px)},
                              s.line_px, 0.5)),
                  outline);
    }
  }

  // Cap sleeve of the tunic, grown together with the trunk at the top.
  const std::vector<LimbStation> cap_stations = {{-0.08, 0.026, 0.032, -0.014, 0.002},
                                                 {0.02, 0.035, 0.042, -0.007, 0.0},
                                                 {0.16, 0.0405, 0.045, -0.003, 0.0},
                                                 {0.34, 0.044, 0.047, 0.0, 0.0}};
  const Tube cap(
      LimbKeys(shoulder, elbow, wrist, b.upper_arm[n], b.forearm[n], outward, cap_stations, s.girth),
      s.spec.camera, 14);
  const Shape cap_shape = cap.Outline();
  s.sheet.Cast(cap.Band(0.6, 1.0), s.shadow_fall * 0.010 * px + Vec2(0, 0.008 * px));
  const Vec2 inner = s.spec.camera.Project(shoulder - b.chest.col(0) * (outward * 0.030 * s.girth) +
                                           b.chest.col(1) * (0.016 * s.girth));
  s.sheet.Part(cap_shape, c.tunic, {s.line_px, 1.0}, Disc(inner, 0.050 * s.girth * px));
  ShadeTube(s, cap, 0.1, 1.0, cap_shape, true);
  const double cap_bow = s.Bow("sleeve" + suffix);
  AddRing(s, "sleeve" + suffix, "upper_arm" + suffix, cap.Arc(1.0, cap_bow));
  if (!s.spec.faults.parallel_folds) {
    const double facing = cap.FacingAngle(0.7);
    Fold(s, cap,
         {{0.30, facing + outward * -0.5}, {0.60, facing - outward * 0.25}, {0.88, facing + outward * 0.05}},
         cap_shape, 0.8, false);
    Fold(s, cap,
         {{0.34, facing + outward * 0.2}, {0.65, facing + outward * 0.4}, {0.90, facing + outward * 0.6}},
         cap_shape, 0.7, false);
  }

  // Cuff.
  const double bow = s.Bow("cuff" + suffix);
  const std::vector<LimbStation> cuff_stations = {
      {1.83, 0.0285, 0.029, 0.0, 0.0}, {1.90, 0.0275, 0.028, 0.0, 0.0}, {1.985, 0.0265, 0.027, 0.0, 0.0}};
  const Vec3 cuff_shift = side == 0 ? Vec3(b.hand[n].col(0) * s.spec.faults.hand_shift) : Vec3(Vec3::Zero());
  const Tube cuff(
      LimbKeys(shoulder + cuff_shift, elbow + cuff_shift, wrist + cuff_shift, b.upper_arm[n], b.forearm[n], outward, cuff_stations,
               s.girth * s.spec.faults.arm_girth[n]),
      s.spec.camera, 10);
  if (hand_last) {
    // The hand comes out of the cuff: its opening first, then the hand, then the near edge.
    DrawHand(s, side);
  }
  Shape cuff_shape = bow == 1.0 ? cuff.Outline() : cuff.Band(0.0, 1.0, bow);
  if (hand_last && bow == 1.0) cuff_shape = cuff.Band(0.0, 1.0, bow);
  s.sheet.Part(cuff_shape, c.trim, {0.9 * s.line_px, 0.8});
  ShadeTube(s, cuff, 0.0, 1.0, cuff_shape, true);
  AddRing(s, "cuff" + suffix, "forearm" + suffix, cuff.Arc(1.0, bow));

  // The striped forearm, as an area on its bone.
  Area pattern;
  pattern.name = "stripes" + suffix;
  pattern.kind = "pattern";
  pattern.on = "forearm" + suffix;
  Polyline left, right;
  for (int i = 0; i <= 10; ++i) {
    const double t = t_of(1.15 + 0.6 * i / 10);
    const auto edges = sleeve.Edges(t);
    left.push_back(sleeve.Px(t, edges[0]));
    right.push_back(sleeve.Px(t, edges[1]));
  }
  pattern.outline = left;
  pattern.outline.insert(pattern.outline.end(), right.rbegin(), right.rend());
  s.out.truth.areas.push_back(std::move(pattern));
}

void DrawHand(Studio& s, int side) {
  const Skeleton& b = s.spec.body;
  const Costume& c = s.spec.costume;
  const auto n = static_cast<std::size_t>(side);
  const HandPose& pose = s.spec.hands[n];
  const double outward = side == 0 ? 1.0 : -1.0;
  const Vec3 shift = side == 0 ? Vec3(b.hand[n].col(0) * s.spec.faults.hand_shift) : Vec3(Vec3::Zero());
  const Vec3 wrist = b.Joint(On(side, PointId::kWristL)) + shift, tip = b.Joint(On(side, PointId::kHandTipL)) + shift;
  const double h = (tip - wrist).norm();
  const Vec3 down = (tip - wrist).normalized();
  // Thumb side and palm side, turned about the forearm.
  const double roll = pose.roll_deg * M_PI / 180;
  const Vec3 front = -b.hand[n].col(2), inner = -outward * b.hand[n].col(0);
  const Vec3 thumb_way = std::cos(roll) * front + std::sin(roll) * inner;
  const Vec3 palm = -std::sin(roll) * front + std::cos(roll) * inner;
  const bool palm_seen = palm.z() < 0;
  const double line = 0.75 * s.line_px;
  const auto px = [&](const Vec3& p) { return s.spec.camera.Project(p); };
  const double scale = s.spec.camera.scale_px / (1 + s.spec.camera.inverse_distance * wrist.z());

  struct Digit {
    Shape shape;
    double depth;
    Vec2 root;
    double radius;
    Shape dark;
  };
  const auto digit = [&](const Vec3& root, const Vec3& start, const Vec3& bend_axis_to,
                         const std::array<double, 3>& lengths, const std::array<double, 3>& bend,
                         double radius) {
    Digit d;
    std::vector<Vec3> chain{root};
    Vec3 way = start.normalized();
    for (std::size_t k = 0; k < 3; ++k) {
      const Vec3 to = (bend_axis_to - way * way.dot(bend_axis_to)).normalized();
      way = (std::cos(bend[k]) * way + std::sin(bend[k]) * to).normalized();
      chain.push_back(chain.back() + way * lengths[k]);
    }
    const std::array<double, 4> r{radius, 0.95 * radius, 0.86 * radius, 0.66 * radius};
    Polyline before;
    for (std::size_t k = 0; k < 4; ++k) {
      Polyline ring;
      const Vec2 at = px(chain[k]);
      for (int i = 0; i < 20; ++i)
        ring.push_back(at + scale * r[k] * Vec2(std::cos(2 * M_PI * i / 20), std::sin(2 * M_PI * i / 20)));
      if (!before.empty()) {
        Polyline both = before;
        both.insert(both.end(), ring.begin(), ring.end());
        d.shape.Add(ConvexHull(both));
        Polyline shadow;
        const Vec2 away = s.shadow_fall * (scale * 0.45 * radius);
        for (const Vec2& q : both) shadow.push_back(q + away * 2.0);
        d.dark.Add(ConvexHull(shadow));
      }
      before = std::move(ring);
    }
    d.depth = 0.5 * (chain[2].z() + chain[3].z());
    d.root = px(root);
    d.radius = radius * scale;
    return d;
  };

  const double curl = pose.curl_deg * M_PI / 180, spread = pose.spread_deg * M_PI / 180;
  // Index to little finger: place across the palm, knuckle's distance, length.
  constexpr std::array<double, 4> kAcross{0.155, 0.050, -0.055, -0.150}, kKnuckle{0.50, 0.52, 0.50, 0.455},
      kLength{0.44, 0.50, 0.455, 0.36};
  std::vector<Digit> fingers;
  for (std::size_t f = 0; f < 4; ++f) {
    const Vec3 root = wrist + down * (kKnuckle[f] * h) + thumb_way * (kAcross[f] * h);
    const double fan = spread * (1.4 - static_cast<double>(f));
    // Fingers curl more towards the little one; the hand's own axis halves the bend.
    double bend = curl * (0.75 + 0.22 * static_cast<double>(f));
    if (pose.pinch && f == 0) bend = curl * 1.9 + 0.25;
    const Vec3 start = down * std::cos(bend * 0.6) -
                       palm * std::sin(bend * 0.6) * (f == 0 && pose.pinch ? 0.0 : 1.0) +
                       thumb_way * std::sin(fan);
    fingers.push_back(digit(root, start, palm,
                            {kLength[f] * h * 0.46, kLength[f] * h * 0.30, kLength[f] * h * 0.24},
                            {0.7 * bend, bend, 0.7 * bend}, 0.052 * h));
  }
  const Vec3 thumb_root = wrist + down * (0.17 * h) + thumb_way * (0.13 * h) + palm * (0.06 * h);
  const Vec3 thumb_start = pose.pinch ? Vec3(down * 0.75 + thumb_way * 0.35 + palm * 0.55)
                                      : Vec3(down * 0.80 + thumb_way * 0.50 + palm * 0.30);
  const Digit thumb = digit(thumb_root, thumb_start,
                            pose.pinch ? Vec3(palm - thumb_way * 0.2 + down * 0.4) : Vec3(down + palm * 0.2),
                            {0.22 * h, 0.18 * h, 0.13 * h},
                            {0.05, pose.pinch ? 0.2 : 0.22, pose.pinch ? 0.15 : 0.10}, 0.062 * h);

  // Palm or back of the hand.
  Shape back;
  {
    Polyline points;
    const auto blob = [&](const Vec3& at, double r) {
      for (int i = 0; i < 20; ++i)
        points.push_back(px(at) + scale * r * Vec2(std::cos(2 * M_PI * i / 20), std::sin(2 * M_PI * i / 20)));
    };
    blob(wrist - down * (0.10 * h), 0.165 * h * 0.9);
    blob(wrist + down * (0.12 * h), 0.150 * h);
    for (std::size_t f = 0; f < 4; ++f)
      blob(wrist + down * ((kKnuckle[f] - 0.03) * h) + thumb_way * (kAcross[f] * h), 0.056 * h);
    back.Add(ConvexHull(points));
    Polyline heel;
    std::swap(points, heel);
    points.clear();
    blob(wrist + down * (0.14 * h) + thumb_way * (0.06 * h), 0.12 * h);
    blob(thumb_root + thumb_start.normalized() * (0.10 * h), 0.064 * h);
    back.Add(ConvexHull(points));
  }
  s.out.hands[n].Add(back);
  for (const Digit& d : fingers) s.out.hands[n].Add(d.shape);
  s.out.hands[n].Add(thumb.shape);
  const auto put = [&](const Digit& d, bool welded) {
    s.sheet.Part(d.shape, c.skin, {line, 0.8}, welded ? Disc(d.root, 1.35 * d.radius) : Shape{}, back);
    if (s.Shaded()) {
      // Dark edge on the side away from the light.
      Shape lit = d.shape.Moved(-s.shadow_fall * (0.55 * d.radius));
      s.sheet.Shade(d.shape, d.shape);
      s.sheet.Lighten(lit, d.shape);
    }
  };
  const auto put_back = [&](const Shape& weld, const Shape& onto) {
    s.sheet.Part(back, c.skin, {line, 0.8}, weld, onto);
    if (s.Shaded()) {
      s.sheet.Shade(back, back);
      s.sheet.Lighten(back.Moved(-s.shadow_fall * (0.10 * h * scale)), back);
    }
  };
  std::vector<std::size_t> order{0, 1, 2, 3};
  std::sort(order.begin(), order.end(),
            [&](std::size_t i, std::size_t j) { return fingers[i].depth > fingers[j].depth; });
  Shape roots, digits = thumb.shape;
  for (const Digit& d : fingers) roots.Add(Disc(d.root, 1.25 * d.radius)), digits.Add(d.shape);
  roots.Add(Disc(thumb.root, 2.2 * thumb.radius));
  const bool thumb_first = thumb.depth > fingers[order.back()].depth && !palm_seen;
  if (palm_seen) {
    put_back({}, {});
    for (std::size_t f : order) put(fingers[f], true);
    put(thumb, true);
  } else {
    if (thumb_first) put(thumb, false);
    for (std::size_t f : order) put(fingers[f], false);
    put_back(roots, digits);
    if (!thumb_first) put(thumb, true);
  }
}

}  // namespace armslength
