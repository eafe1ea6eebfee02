// Random proportions and poses: a skeleton in standing heights.
#pragma once
#include "math.h"

namespace drawer {

enum Joint {
  kCrown, kChin, kNeckPit, kShoulder, kElbow = 5, kWrist = 7, kHandTip = 9, kHip = 11, kKnee = 13, kAnkle = 15, kToe = 17,
  kBodyPoints = 19  // pairs: left, then right
};

struct Proportions {
  float heads;         // standing height in head heights
  float cartoon;       // 0 natural .. 1 very large head
  float head, neck, trunk, thigh, shin, foot_height, foot, shoulder, hip, upper_arm, forearm, hand;
  float head_half_width, head_half_depth;
  float bulk;          // thickness of everything
  float r_thigh, r_knee, r_calf, r_ankle, r_shoulder, r_elbow, r_forearm, r_wrist;
  float chest, waist, pelvis, chest_depth, belly, bust;
  bool noodle;         // limbs of one thickness
  float belly_wide;    // waist against what chest and hips make it; below 1: a V
  float thin_ends;     // thickness at wrists and ankles against the usual
  float jaw, big_nose;  // a caricature's: share by which the jaw grows, radius in head heights
  float cap_low;        // a hat's band so far above the middle of the face, 0: where it usually is
  bool whiskers;
};

// Builds that independent chances seldom put together. Heights in the figure's; trunk and legs always sum to the rest.
AL_LARGE void UnusualBuild(Random& r, Proportions& p) {
  const int kind = r.Below(9);
  float legs = 0.5f, arms = 0.33f;
  struct Range { float least, most; };
  auto some = [&](Range v) { return r.In(v.least, v.most); };
  auto heads = [&](Range v) {
    const float n = some(v), grow = p.heads / n;
    p.heads = n;
    p.head = 1 / n;
    p.cartoon = Clamp((5.2f - n) / 2.5f, 0, 1);
    p.head_half_width *= grow;
    p.head_half_depth *= grow;
  };
  auto frame = [&](Range leg, Range arm, Range shoulder, Range hip, Range bulk) {
    legs = some(leg);
    arms = some(arm);
    p.shoulder = some(shoulder);
    p.hip = some(hip);
    p.bulk = some(bulk);
  };
  auto ends = [&](Range hand, Range foot) {
    p.hand = some(hand);
    p.foot = some(foot);
  };
  if (kind == 0) {  // squat and wide: a barrel on short thick legs in huge shoes
    heads({2.6f, 4.6f});
    p.neck = r.Chance(0.5f) ? -p.head * r.In(0, 0.12f) : r.In(0, 0.02f);
    frame({0.3f, 0.45f}, {0.26f, 0.36f}, {0.1f, 0.16f}, {0.06f, 0.1f}, {1.1f, 1.6f});
    ends({0.09f, 0.15f}, {0.13f, 0.22f});
    p.foot_height = r.In(0.035f, 0.07f);
  } else if (kind == 1) {  // a very big head on thin limbs
    heads({2.1f, 3.6f});
    p.neck = r.In(0, 0.05f);
    frame({0.42f, 0.6f}, {0.24f, 0.36f}, {0.05f, 0.085f}, {0.03f, 0.05f}, {0.35f, 0.75f});
    ends({0.05f, 0.1f}, {0.06f, 0.13f});
  } else if (kind == 2) {  // limbs like noodles, long
    heads({4.5f, 9});
    legs = r.In(0.6f, 0.74f);
    arms = r.In(0.36f, 0.5f);
    p.shoulder *= r.In(0.6f, 1);
    p.bulk = r.In(0.5f, 1);
    p.hand *= r.In(0.7f, 1.4f);
    p.foot *= r.In(0.7f, 1.5f);
  } else if (kind == 3) {  // a hero's: small head, trunk like a V
    heads({7.3f, 10});
    p.neck = r.In(0.02f, 0.05f);
    frame({0.56f, 0.66f}, {0.32f, 0.4f}, {0.125f, 0.175f}, {0.045f, 0.07f}, {1, 1.5f});
  } else if (kind == 4) {  // large limbs that end in tiny hands and feet
    heads({4, 9});
    legs = r.In(0.5f, 0.66f);
    p.bulk = r.In(1, 1.7f);
    p.hand *= r.In(0.4f, 0.7f);
    p.foot *= r.In(0.4f, 0.7f);
    p.foot_height *= r.In(0.5f, 0.8f);
  } else if (kind == 6) {  // a pear: no shoulders, all belly and seat
    heads({3.0f, 6.0f});
    p.neck = r.In(-0.01f, 0.02f);
    frame({0.36f, 0.5f}, {0.28f, 0.36f}, {0.06f, 0.09f}, {0.065f, 0.11f}, {0.8f, 1.2f});
    p.foot = r.In(0.1f, 0.17f);
  } else if (kind == 7) {  // an egg on its point: huge above, small legs
    heads({2.8f, 4.6f});
    p.neck = -p.head * r.In(0, 0.16f);
    frame({0.2f, 0.36f}, {0.26f, 0.4f}, {0.14f, 0.22f}, {0.045f, 0.08f}, {1, 1.5f});
    ends({0.08f, 0.15f}, {0.09f, 0.15f});
  } else {  // a child
    heads({3.6f, 5.8f});
    p.neck = r.In(0.01f, 0.03f);
    frame({0.45f, 0.57f}, {0.27f, 0.33f}, {0.065f, 0.09f}, {0.04f, 0.06f}, {0.85f, 1.25f});
    ends({0.055f, 0.085f}, {0.08f, 0.12f});
  }
  const float rest = 1 - p.head - p.neck;
  legs *= rest;
  p.trunk = rest - legs;
  p.foot_height = Min(p.foot_height, legs * 0.2f);
  p.thigh = (legs - p.foot_height) * r.In(0.46f, 0.55f);
  p.shin = legs - p.foot_height - p.thigh;
  p.upper_arm = arms * (0.4f + 0.6f * rest) * r.In(0.49f, 0.56f);
  p.forearm = p.upper_arm * r.In(0.76f, 1.0f);
  p.belly_wide = kind == 0 || kind == 7 ? r.In(0.9f, 1.4f) : kind == 6 ? r.In(1.2f, 1.7f) : kind == 3 ? r.In(0.5f, 0.75f) : 1;
  p.thin_ends = kind == 4 ? r.In(0.4f, 0.7f) : 1;
  p.noodle = kind == 2;
}

AL_BOTH Proportions RandomProportions(Random& r, bool pictogram, bool calm) {
  Proportions p{};
  p.belly_wide = p.thin_ends = 1;
  p.heads = r.Chance(0.28f) ? r.In(2.3f, 5.2f) : r.Chance(0.78f) ? r.In(5.5f, 8.3f) : r.In(5, 9.5f);
  p.cartoon = Clamp((5.2f - p.heads) / 2.5f, 0, 1);
  p.head = 1 / p.heads;
  p.neck = r.In(0.015f, 0.055f) * (1 - 0.8f * p.cartoon);
  const float rest = 1 - p.head - p.neck, size = rest / 0.83f;
  const float legs = rest * (r.In(0.55f, 0.68f) - 0.12f * p.cartoon + r.Bell(0.025f));
  p.trunk = rest - legs;
  p.bulk = pictogram ? r.In(0.7f, 1.6f) : expf(r.Bell(calm ? 0.18f : 0.26f)) * (1 + 0.35f * p.cartoon);
  p.shoulder = r.In(0.08f, 0.135f) * (0.55f + 0.45f * size) * (r.Chance(calm ? 0.08f : 0.18f) ? r.In(0.65f, 1.4f) : 1);
  p.hip = r.In(0.046f, 0.094f) * (0.6f + 0.4f * size);
  p.upper_arm = 0.168f * size * r.In(0.8f, 1.2f);
  p.forearm = p.upper_arm * r.In(0.76f, 1.04f);
  p.hand = 0.1f * size * r.In(0.7f, 1.35f) * (1 + 0.3f * p.cartoon);
  p.foot_height = 0.037f * r.In(0.7f, 1.4f);
  p.thigh = (legs - p.foot_height) * r.In(0.46f, 0.55f);
  p.shin = legs - p.foot_height - p.thigh;
  p.foot = 0.118f * size * r.In(0.7f, 1.35f);
  if (r.Chance(calm ? 0.12f : 0.2f)) {  // cartoon extremities
    p.hand *= r.In(1.2f, 1.7f);
    p.foot *= r.In(1.1f, 1.8f);
    p.foot_height *= r.In(1.1f, 1.8f);
    p.bulk *= r.In(0.5f, 1.0f);
  }
  p.head_half_width = p.head * r.In(0.33f, 0.45f) * (1 + 0.15f * p.cartoon);
  p.head_half_depth = p.head * r.In(0.38f, 0.46f) * (1 + 0.1f * p.cartoon);
  if (p.cartoon > 0.1f && r.Chance(0.3f)) {  // no neck: the head sits on or in the trunk, which is as wide as it; stubs for limbs
    p.neck = -p.head * r.In(0, 0.14f);
    p.trunk -= p.trunk * r.In(0, 0.25f) * 0.5f;
    p.head_half_width = p.head * r.In(0.42f, 0.62f);
    p.shoulder = p.head_half_width * r.In(0.4f, 0.95f);
    p.hip = Min(p.shoulder, 0.1f) * r.In(0.5f, 1);
    p.bulk *= r.In(0.9f, 1.5f);
    if (r.Chance(0.5f)) { p.upper_arm *= r.In(0.6f, 1); p.forearm *= r.In(0.6f, 1); }
  }
  const bool squat = !pictogram && r.Chance(0.035f);
  if (squat) {  // nearly all head and trunk, on stumps
    const float head = r.In(0.33f, 0.5f), legs2 = r.In(0.1f, 0.26f), grow = head / p.head;
    p.heads = 1 / head;
    p.cartoon = 1;
    p.head = head;
    p.neck = r.Chance(0.6f) ? -head * r.In(0, 0.1f) : r.In(0, 0.02f);
    p.trunk = Max(1 - head - p.neck - legs2, 0.16f);
    p.foot_height = r.In(0.02f, 0.05f);
    p.thigh = (legs2 - p.foot_height) * r.In(0.4f, 0.55f);
    p.shin = Max(legs2 - p.foot_height - p.thigh, 0.03f);
    p.upper_arm = p.trunk * r.In(0.28f, 0.5f);
    p.forearm = p.upper_arm * r.In(0.7f, 1);
    p.hand = r.In(0.04f, 0.09f);
    p.foot = r.In(0.07f, 0.16f);
    p.head_half_width = Min(p.head_half_width * grow, head * 0.55f);
    p.head_half_depth = head * r.In(0.38f, 0.5f);
    p.shoulder = p.head_half_width * r.In(0.4f, 0.8f);
    p.hip = p.shoulder * r.In(0.45f, 0.8f);
    p.bulk = r.In(0.6f, 1.25f);
  } else if (!pictogram && r.Chance(calm ? 0.14f : 0.26f)) UnusualBuild(r, p);
  const float droll = squat || p.cartoon > 0.2f ? 0.3f : calm ? 0.03f : 0.06f;
  if (r.Chance(droll)) p.jaw = r.In(0.2f, 1);
  if (r.Chance(droll)) p.big_nose = r.In(0.06f, 0.19f);
  p.whiskers = r.Chance(droll * 0.6f);
  p.cap_low = r.Chance(droll) ? r.In(0.01f, 0.15f) : 0;
  const float b = p.bulk;
  p.r_thigh = 0.054f * b * r.In(0.8f, 1.25f);
  p.r_knee = 0.033f * b * r.In(0.8f, 1.25f);
  p.r_calf = p.r_knee * r.In(0.95f, 1.35f);
  p.r_ankle = 0.02f * b * p.thin_ends * r.In(0.75f, 1.4f);
  p.r_shoulder = 0.03f * b * r.In(0.8f, 1.3f);
  p.r_elbow = 0.023f * b * r.In(0.8f, 1.25f);
  p.r_forearm = p.r_elbow * r.In(0.95f, 1.25f);
  p.r_wrist = 0.016f * b * p.thin_ends * r.In(0.75f, 1.5f);
  p.noodle = p.noodle || pictogram || r.Chance(calm ? 0.04f : 0.12f);
  if (p.noodle) {
    p.r_shoulder = p.r_elbow = p.r_forearm = p.r_wrist = (pictogram ? 0.04f : 0.025f * b) * r.In(0.6f, 1.2f);
    p.r_thigh = p.r_knee = p.r_calf = p.r_ankle = p.r_shoulder * r.In(1, 1.7f);
  }
  p.chest = p.shoulder * r.In(0.76f, 1);
  p.chest_depth = r.In(0.05f, 0.085f) * b;
  p.pelvis = p.hip * r.In(1, 1.35f) + 0.016f * b;
  p.waist = Min(p.chest, p.hip + 0.022f) * r.In(0.66f, 1.15f) * (0.7f + 0.3f * b) * p.belly_wide;
  p.belly = p.belly_wide > 1 || r.Chance(calm ? 0.08f : 0.16f) ? r.In(0.04f, 0.12f) : 0;
  p.bust = r.Chance(0.35f) ? r.In(0.5f, 1.0f) : 0;
  return p;
}

struct Skeleton {
  Proportions p;
  Axes pelvis, middle, chest, head;   // frames of the parts
  V3 root, waist, pit, neck, skull;   // skull: middle of the head
  V3 hip[2], knee[2], ankle[2], toe[2], heel[2], foot_dir[2];
  V3 shoulder[2], elbow[2], wrist[2], tip[2], hand_dir[2];
  float side_flex, hair_top;
  bool seated, tiptoe, fist[2], lying;
  bool holds_both;  // both hands at one place
  // of a staged pose (acts.h); in the stage's own frame, which is turned as a whole
  int act;
  Axes stage;
  V3 at[5];               // where its things are
  float ground;
  bool on_chair;
  float camera, view_up;  // viewer's distance and elevation; 0: any
};

// Two-bone reach: the elbow for a hand as near `target` as the arm allows; `pole` says where the elbow points.
AL_BOTH V3 Reach(V3 from, V3 target, float l1, float l2, V3 pole, V3& hand) {
  V3 d = target - from;
  float l = Length(d);
  const float most = (l1 + l2) * 0.995f, least = fabsf(l1 - l2) + 0.01f;
  if (l > most) { d = d * (most / l); l = most; }
  if (l < least) { d = Unit(d) * least; l = least; }
  hand = from + d;
  const V3 u = Unit(d);
  const float a = (l1 * l1 - l2 * l2 + l * l) / (2 * l);
  return from + u * a + Across(pole, u) * sqrtf(Max(l1 * l1 - a * a, 0));
}

// Angles of one leg in degrees: thigh forward, thigh out, knee bend, thigh turned out.
struct LegAngles { float forward, out, bend, turn; };

AL_BOTH void RandomLegs(Random& r, bool calm, LegAngles leg[2], int& kind, float& body_pitch, float& body_roll, Skeleton& k) {
  for (int i = 0; i < 2; ++i) leg[i] = {r.Bell(7) + 2, r.In(0, 9), r.In(0, 12), r.In(-5, 30)};
  const int a = r.Below(2), c = 1 - a;
  float pick = r.F();
  if (calm && pick > 0.82f && r.Chance(0.5f)) pick = r.In(0, 0.5f);  // fewer acrobats
  k.seated = k.lying = false;
  if (pick < 0.22f) {  // standing, one leg at ease, perhaps wide
    kind = 0;
    if (r.Chance(0.5f)) { leg[a].out = r.In(2, 24); leg[a].bend = r.In(0, 40); leg[a].forward += leg[a].bend * 0.45f; }
    if (r.Chance(0.25f)) leg[c].out = leg[a].out = r.In(8, 30);
  } else if (pick < 0.255f) {  // standing with crossed legs
    kind = 1;
    leg[a].forward = r.In(4, 22); leg[c].forward = -r.In(0, 14);
    leg[a].out = -r.In(4, 16); leg[c].out = -r.In(2, 10);
    leg[a].bend = r.In(0, 35); leg[c].bend = r.In(0, 12);
  } else if (pick < 0.44f) {  // walking, running, striding
    kind = 2;
    const float s = r.Chance(0.6f) ? r.In(8, 50) : r.In(30, 85);
    leg[a].forward = s; leg[c].forward = -s * r.In(0.25f, 0.9f);
    leg[a].bend = r.In(0, 0.9f * s + 25); leg[c].bend = r.In(0, s + 55);
    if (r.Chance(0.2f)) leg[a].out = leg[c].out = r.In(-9, 3);  // on one line, knees passing each other
    if (s > 35 && r.Chance(0.4f)) {  // a run: leaning into it, the hind shin thrown up
      leg[c].bend = r.In(50, 125);
      leg[c].forward = -r.In(-15, 50);
      body_pitch += r.In(0, 0.45f);
    }
  } else if (pick < 0.50f) {  // kick, high step, ballet
    kind = 3;
    leg[a].forward = r.In(45, 140); leg[a].out = r.In(0, 50);
    leg[a].bend = r.Chance(0.5f) ? r.In(0, 20) : r.In(0, 130);
    if (r.Chance(0.4f)) leg[a].turn = r.In(30, 80);
  } else if (pick < 0.54f) {  // leg to the back: arabesque, skating
    kind = 4;
    leg[a].forward = -r.In(20, 105); leg[a].bend = r.In(0, 110); leg[a].out = r.In(-5, 30);
    body_pitch += r.Chance(0.5f) ? r.In(0, 0.5f) : r.In(0.3f, 1.35f);
  } else if (pick < 0.66f) {  // seated on something
    kind = 5;
    k.seated = true;
    for (int i = 0; i < 2; ++i) leg[i] = {r.In(68, 105), r.In(-4, 32), r.In(25, 125), r.In(-10, 35)};
    if (r.Chance(0.35f)) { leg[a] = {r.In(78, 110), -r.In(8, 28), r.In(60, 125), r.In(-5, 20)}; leg[c].out = r.In(-6, 10); }
    else if (r.Chance(0.2f)) leg[a] = {r.In(80, 105), r.In(15, 45), r.In(85, 120), r.In(60, 90)};  // ankle on knee
  } else if (pick < 0.725f) {  // cross-legged on the ground
    kind = 6;
    for (int i = 0; i < 2; ++i) leg[i] = {r.In(62, 95), r.In(35, 70), r.In(105, 152), r.In(45, 95)};
  } else if (pick < 0.78f) {  // kneeling on one or both knees, sitting on the heels
    kind = 7;
    if (r.Chance(0.5f)) {
      leg[a] = {r.In(60, 100), r.In(0, 20), r.In(70, 115), r.In(-5, 25)};
      leg[c] = {r.In(-25, 15), r.In(0, 12), r.In(60, 125), r.In(-5, 20)};
    } else {
      const float f = r.Chance(0.5f) ? r.In(-10, 15) : r.In(40, 95);
      for (int i = 0; i < 2; ++i) leg[i] = {f + r.Bell(5), r.In(0, 25), f > 30 ? r.In(125, 160) : r.In(75, 110), r.In(-5, 25)};
    }
  } else if (pick < 0.82f) {  // crouching, squatting, jumping with drawn-up knees
    kind = 8;
    for (int i = 0; i < 2; ++i) leg[i] = {r.In(50, 135), r.In(0, 45), r.In(75, 150), r.In(-5, 40)};
    body_pitch += r.In(-0.1f, 0.7f);
  } else if (pick < 0.87f) {  // lunge, fencing, warrior
    kind = 9;
    leg[a] = {r.In(0, 60), r.In(25, 85), r.In(30, 105), r.In(20, 85)};
    leg[c] = {r.In(-20, 10), r.In(22, 65), r.In(0, 18), r.In(0, 60)};
  } else if (pick < 0.91f) {  // lying or floating
    kind = 10;
    k.lying = true;
    for (int i = 0; i < 2; ++i) leg[i] = {r.In(-15, 60), r.In(-5, 20), r.In(0, 90), r.In(-5, 40)};
    body_roll = r.Sign() * r.In(1.15f, 1.85f);
  } else {  // anything a joint allows
    kind = 11;
    for (int i = 0; i < 2; ++i) leg[i] = {r.In(-45, 115), r.In(-10, 60), r.Chance(0.4f) ? r.In(0, 20) : r.In(0, 140), r.In(-15, 60)};
  }
}

// A leg by its angles, from the pelvis as it is turned; `point`: how far the toes point down, radians.
AL_LARGE void PoseLeg(int i, LegAngles leg, float point, Skeleton& k) {
  const Proportions& p = k.p;
  const float side = i == 0 ? 1.0f : -1.0f;
  k.hip[i] = k.root + k.pelvis.x * (side * p.hip);
  const float f = leg.forward * kDeg;
  const Axes out = TurnZ(leg.out * kDeg * side);
  const V3 d = Unit(k.pelvis * (out * V3{0, -cosf(f), sinf(f)}));
  V3 hinge = Across(k.pelvis * (out * V3{1, 0, 0}) + k.pelvis.y * (0.05f * side), d);
  hinge = Across(TurnAbout(hinge, d, -leg.turn * kDeg * side), d);
  const V3 back = Cross(d, hinge) * -1.0f;
  const float b = leg.bend * kDeg;
  const V3 s = d * cosf(b) + back * sinf(b);
  k.knee[i] = k.hip[i] + d * p.thigh;
  k.ankle[i] = k.knee[i] + s * p.shin;
  const V3 front = Cross(s, hinge);
  k.foot_dir[i] = Unit(front * cosf(point) + s * sinf(point));
  const V3 sole = Unit(s * cosf(point) - front * sinf(point));
  k.toe[i] = k.ankle[i] + k.foot_dir[i] * p.foot + sole * (p.foot_height * 0.75f);
  k.heel[i] = k.ankle[i] - k.foot_dir[i] * (p.foot * 0.28f) + sole * (p.foot_height * 0.8f);
}

AL_BOTH void PoseLegs(Random& r, const LegAngles leg[2], Skeleton& k) {
  k.tiptoe = r.Chance(0.2f);
  for (int i = 0; i < 2; ++i) PoseLeg(i, leg[i], (k.tiptoe ? r.In(25, 75) : r.Chance(0.22f) ? r.In(-20, 70) : r.Bell(10) + 3) * kDeg, k);
}

AL_BOTH void PoseArms(Random& r, int leg_kind, bool quiet, Skeleton& k) {
  const Proportions& p = k.p;
  const Axes& c = k.chest;
  const float size = p.trunk / 0.3f;
  const bool alike = r.Chance(0.45f);
  k.holds_both = false;
  int first = 0;
  float lift = 0, swing = 0, bend = 0;
  const bool counter = (leg_kind == 2 || leg_kind == 3) && !quiet && r.Chance(leg_kind == 2 ? 0.5f : 0.35f);  // in a stride or kick the arm goes with the other side's leg; many draw it otherwise
  const V3 stride[2] = {k.knee[0] + k.ankle[0] - k.hip[0] * 2.0f, k.knee[1] + k.ankle[1] - k.hip[1] * 2.0f};
  const float ahead = Dot(stride[0] - stride[1], c.z) > 0 ? 1.0f : -1.0f;
  const float arm_swing = r.In(10, 75), arm_bend = r.Chance(0.5f) ? r.In(0, 45) : r.In(55, 120);
  const int pair = quiet || counter ? 1 : r.Below(14);  // 0: both hands meet
  V3 meet = k.waist + c.y * (p.trunk * r.In(-0.3f, 0.8f)) + c.z * r.In(0.08f, 0.3f) + c.x * r.Bell(0.08f);
  if (pair == 0 && r.Chance(0.3f)) meet = k.skull + c.y * (p.head * r.In(0.4f, 1.5f)) + c.z * r.In(-0.1f, 0.2f);
  for (int i = 0; i < 2; ++i) {
    const float side = i == 0 ? 1.0f : -1.0f;
    k.shoulder[i] = k.pit - c.z * 0.02f - c.y * (0.018f * size) + c.x * (side * p.shoulder);
    const int kind = counter && r.Chance(0.95f) ? 0 : alike && i == 1 ? first : quiet ? 0 : r.Below(22);
    if (i == 0) first = kind;
    if (pair == 0) {
      const V3 pole = c.x * (side * r.In(0.2f, 1)) - c.y * r.In(0, 0.9f);
      k.elbow[i] = Reach(k.shoulder[i], meet + c.x * (side * 0.012f), p.upper_arm, p.forearm, Unit(pole), k.wrist[i]);
      k.hand_dir[i] = Unit(Unit(k.wrist[i] - k.elbow[i]) + c.y * r.In(0, 1.5f) + c.x * (-side * r.In(0, 0.8f)));
      k.holds_both = true;
    } else if (kind < 12) {  // swung from the shoulder
      if (counter) {
        const float forth = (i == 0 ? -ahead : ahead) * arm_swing * r.In(0.7f, 1.2f);
        swing = forth > 0 ? forth : forth * 0.85f;
        lift = r.In(0, 22); bend = arm_bend + r.Bell(14);
      } else if (!(alike && i == 1)) {
        const float u = quiet ? 0.9f * r.F() * 0.45f : r.F();
        if (u < 0.42f) { lift = r.In(2, 30); swing = r.Bell(18); }
        else if (u < 0.68f) { lift = r.In(30, 100); swing = r.Bell(32); }
        else if (u < 0.84f) { lift = r.In(80, 172); swing = r.Bell(32); }
        else { lift = r.In(-5, 40); swing = r.In(30, 150); }
        bend = r.Chance(0.5f) ? r.In(0, 30) : r.In(20, 140);
      }
      const float a = (lift + r.Bell(7)) * kDeg;
      const float b = (swing * (!counter && alike && leg_kind == 2 && i == 1 ? -1.0f : 1.0f) + r.Bell(7)) * kDeg;
      const V3 d = Unit(c * (TurnZ(a * side) * V3{0, -cosf(b), sinf(b)}));
      if (a > 1.4f) k.shoulder[i] = k.shoulder[i] + c.y * (0.025f * size);
      const V3 toward = Across(c.z * r.In(0.3f, 1) + c.x * (-side * r.In(-0.4f, 1)) + c.y * r.In(-0.3f, 0.9f), d);
      const float e = Max(0, bend + r.Bell(8)) * kDeg;
      const V3 s = Unit(d * cosf(e) + toward * sinf(e));
      k.elbow[i] = k.shoulder[i] + d * p.upper_arm;
      k.wrist[i] = k.elbow[i] + s * p.forearm;
      const V3 any = Unit({r.Bell(1), r.Bell(1), r.Bell(1)});
      k.hand_dir[i] = Unit(s + any * (r.Chance(0.7f) ? 0.25f : 0.9f));
    } else {
      V3 at, pole = c.x * (side * r.In(0.2f, 1)) - c.y * r.In(0, 0.8f) - c.z * r.In(-0.2f, 0.7f), aim{0, 0, 0};
      if (kind < 15) {  // on the hip
        at = k.hip[i] + k.pelvis.x * (side * r.In(0, 0.035f)) + k.middle.y * r.In(0.03f, 0.12f) + k.pelvis.z * r.In(-0.02f, 0.05f);
        pole = c.x * side - c.z * r.In(-0.2f, 0.6f);
        aim = k.pelvis.x * (-side * 0.6f) - k.pelvis.y * 0.5f + k.pelvis.z * r.In(-0.3f, 0.7f);
      } else if (kind == 15) {  // to the face
        at = k.skull - k.head.y * (p.head * r.In(0.1f, 0.6f)) + k.head.z * (p.head_half_depth + 0.02f) + k.head.x * (side * r.In(-0.05f, 0.1f));
        aim = c.y;
      } else if (kind == 16) {  // behind or on the head
        at = k.skull + k.head.y * (p.head * r.In(-0.1f, 0.55f)) - k.head.z * (p.head_half_depth * r.In(-0.5f, 1)) + k.head.x * (side * p.head_half_width);
        pole = c.x * side + c.y * r.In(-0.2f, 0.6f);
        aim = c.x * -side;
      } else if (kind == 17) {  // folded on the chest
        at = k.waist + c.y * (p.trunk * r.In(0.1f, 0.5f)) + c.z * r.In(0.07f, 0.17f) + c.x * (-side * r.In(-0.02f, 0.09f));
        aim = c.x * -side + c.y * r.Bell(0.6f);
      } else if (kind == 18) {  // before the belly
        at = k.waist + c.y * (p.trunk * r.In(-0.4f, 0.3f)) + c.z * r.In(0.08f, 0.2f) + c.x * (side * r.In(-0.03f, 0.07f));
        aim = c.x * (-side * r.F()) + c.z * r.F() + c.y * r.Bell(0.8f);
      } else if (kind == 19) {  // behind the back
        at = k.waist - c.y * (p.trunk * r.In(0, 0.4f)) - c.z * r.In(0.07f, 0.12f) + c.x * (side * r.In(-0.02f, 0.05f));
        pole = c.x * side - c.z * 0.5f;
        aim = c.x * (-side * 1.0f);
      } else if (kind == 20) {  // on a knee or thigh
        at = Mix(k.hip[i], k.knee[i], r.In(0.5f, 1.05f)) + k.pelvis.z * 0.04f;
        aim = k.knee[i] - k.hip[i];
      } else {  // propped on the ground or in a pocket
        at = k.hip[i] + k.pelvis.x * (side * r.In(0.02f, 0.15f)) - k.pelvis.y * r.In(0, 0.12f) - k.pelvis.z * r.In(-0.08f, 0.2f);
        aim = k.pelvis.y * -1.0f;
      }
      k.elbow[i] = Reach(k.shoulder[i], at, p.upper_arm, p.forearm, Unit(pole), k.wrist[i]);
      k.hand_dir[i] = Unit(Unit(k.wrist[i] - k.elbow[i]) + aim * r.In(0.2f, 1.2f));
    }
    k.fist[i] = r.Chance(0.3f);
    k.tip[i] = k.wrist[i] + k.hand_dir[i] * (p.hand * (k.fist[i] ? 0.62f : 1.0f));
  }
}

// `facing` 0: any; 1: turned little, upright and mostly with quiet arms, as portraits are.
AL_BOTH Skeleton RandomSkeleton(Random& r, const Proportions& p, int facing, bool calm) {
  Skeleton k{};
  k.p = p;
  const float pick = r.F();
  // of 64 marked figures by others four are seen from behind
  float turn = pick < 0.33f ? r.Bell(18) : pick < 0.68f ? r.Sign() * r.In(18, 65) : pick < 0.87f ? r.Sign() * r.In(60, 115) : 180 + r.Bell(50);
  if (facing == 1) turn = r.Chance(0.5f) ? r.Bell(12) : r.Bell(40);
  float pitch = r.Bell(7) * kDeg, roll = r.Bell(5) * kDeg;
  LegAngles leg[2];
  int kind = 0;
  RandomLegs(r, calm, leg, kind, pitch, roll, k);
  if (kind != 10) {
    const float rare = r.F() * (calm ? 3.0f : 1.0f);
    if (rare < 0.04f) roll = r.In(-3.14f, 3.14f);
    else if (rare < 0.07f) roll = 3.14f + r.Bell(0.3f);  // on the hands, upside down
    else if (rare < 0.13f) pitch += r.In(-0.5f, 1.3f);
  }
  if (facing == 1) { pitch *= 0.5f; roll *= 0.3f; }
  k.pelvis = TurnZ(roll) * TurnY(turn * kDeg) * TurnX(pitch) * TurnZ(r.Bell(6) * kDeg);
  float bow = r.Bell(9) * kDeg + 0.03f, side = r.Bell(9) * kDeg, twist = r.Bell(14) * kDeg;
  if (r.Chance(calm ? 0.07f : 0.16f)) bow = r.In(-0.55f, 1.3f);
  if (r.Chance(0.1f)) side = r.Bell(25) * kDeg;
  if (r.Chance(0.14f)) twist = r.Bell(35) * kDeg;
  k.side_flex = side;
  k.middle = k.pelvis * TurnY(twist * 0.5f) * TurnX(bow * 0.5f) * TurnZ(side * 0.5f);
  k.chest = k.pelvis * TurnY(twist) * TurnX(bow) * TurnZ(side);
  float look = r.Chance(0.65f) ? r.Bell(20) : r.Bell(48);
  k.head = k.chest * TurnY(look * kDeg) * TurnX((r.Bell(14) - bow * 20) * kDeg) * TurnZ(r.Bell(9) * kDeg);
  k.root = {0, 0, 0};
  k.waist = k.root + k.middle.y * (p.trunk * 0.42f);
  k.pit = k.waist + k.chest.y * (p.trunk * 0.58f) + k.chest.z * 0.012f;
  k.neck = k.pit - k.chest.z * 0.025f;
  const V3 up = Unit(Mix(k.chest.y, k.head.y, 0.5f) + k.chest.z * r.In(-0.05f, 0.35f));
  k.skull = k.neck + up * p.neck + k.head.y * (p.head * 0.5f) + k.head.z * (p.head * 0.06f);
  PoseLegs(r, leg, k);
  PoseArms(r, kind, facing == 1 && r.Chance(0.7f), k);
  return k;
}

}  // namespace drawer
