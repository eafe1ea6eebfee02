// Who plays the staged poses: a figure built facing z with the ground below, which acts.h turns as a whole.
#pragma once
#include "pose.h"

namespace drawer {

enum Act {
  kNoAct, kCycle, kScooter, kBoard, kChair, kLadder, kRailing, kTable, kLoad, kCarryBox, kBalloon, kPole, kInstrument, kBuckets, kHanger, kBook,
  kBystander, kRobe, kShoulderStand, kBackBend, kHandstand, kCurl, kSki, kFootNear, kFistNear, kSteep, kAnklesCrossed, kFootOnLeg,
  kOnALine, kKneel, kSideSit, kArmsClose,
  kFreeze, kHeadstand, kKneeHang, kHang, kSquat, kLunge, kKick, kLeap, kSprint, kSplits, kPerch, kBallet, kBurden, kCurtsey, kCane, kActs
};

// In how many of a thousand whole figures each is seen; the rest stand, walk and sit as chance has it. A black shape tells least of
// one who sits: there they are seen more often.
AL_BOTH int ChooseAct(Random& r, bool silhouette = false) {
  const int share[kActs] = {0,
    13, 7, 7, 18, 8, 9, 10, 11, 9, 6, 10, 10, 9, 6, 7,    // kCycle .. kBook
    10, 14, 7, 5, 8, 10, 8, 10, 9, 11, 8, 11,             // kBystander .. kFootOnLeg
    8, 8, 8, 15,                                          // kOnALine .. kArmsClose
    7, 6, 5, 5, 8, 6, 7, 6, 6, 5, 9, 8, 8, 6, 5};       // kFreeze .. kCane
  if (silhouette && r.Chance(0.16f)) return r.Chance(0.55f) ? kPerch : r.Chance(0.6f) ? kChair : kSideSit;
  int at = r.Below(1000);
  for (int i = 1; i < kActs; ++i) { if (at < share[i]) return i; at -= share[i]; }
  return kNoAct;
}

struct Actor {
  Skeleton& k;
  Random& r;
  const Proportions& p = k.p;
  const float leg = p.thigh + p.shin, arm = p.upper_arm + p.forearm;
  const int a = r.Below(2), b = 1 - a;  // which side does what the other does not
  const float sa = Side(a);
  float turn = 0;                       // about the vertical, degrees, after `whole`
  Axes whole{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};

  AL_BOTH float Side(int i) const { return i == 0 ? 1.0f : -1.0f; }
  // Trunk, head and hanging arms on a pelvis that leans by `pitch`; `nod` below 0 lifts the face.
  AL_LARGE void Trunk(float pitch, float bow, float side, float twist, float nod, float roll = 0) {
    k.pelvis = TurnZ(roll) * TurnX(pitch);
    k.side_flex = side;
    k.middle = k.pelvis * TurnY(twist * 0.5f) * TurnX(bow * 0.5f) * TurnZ(side * 0.5f);
    k.chest = k.pelvis * TurnY(twist) * TurnX(bow) * TurnZ(side);
    k.head = k.chest * TurnY(r.Bell(16) * kDeg) * TurnX(nod) * TurnZ(r.Bell(7) * kDeg);
    k.root = {0, 0, 0};
    k.waist = k.middle.y * (p.trunk * 0.42f);
    k.pit = k.waist + k.chest.y * (p.trunk * 0.58f) + k.chest.z * 0.012f;
    k.neck = k.pit - k.chest.z * 0.025f;
    const V3 up = Unit(Mix(k.chest.y, k.head.y, 0.5f) + k.chest.z * r.In(-0.05f, 0.3f));
    k.skull = k.neck + up * p.neck + k.head.y * (p.head * 0.5f) + k.head.z * (p.head * 0.06f);
    for (int i = 0; i < 2; ++i) k.hip[i] = k.root + k.pelvis.x * (Side(i) * p.hip);
    for (int i = 0; i < 2; ++i) Hang(i, r.Chance(0.4f));  // until told otherwise
  }
  AL_LARGE void Foot(int i, V3 along, V3 down) {
    k.foot_dir[i] = Unit(along);
    const V3 sole = Across(down, k.foot_dir[i]);
    k.toe[i] = k.ankle[i] + k.foot_dir[i] * p.foot + sole * (p.foot_height * 0.75f);
    k.heel[i] = k.ankle[i] - k.foot_dir[i] * (p.foot * 0.28f) + sole * (p.foot_height * 0.8f);
  }
  // `toes`: how far they point down.
  AL_LARGE void LegTo(int i, V3 ankle, V3 pole, float toes = 0, float out = 0.15f) {
    k.knee[i] = Reach(k.hip[i], ankle, p.thigh, p.shin, Unit(pole), k.ankle[i]);
    Foot(i, {Side(i) * out, -sinf(toes), cosf(toes)}, {0, -cosf(toes), -sinf(toes)});
  }
  AL_LARGE void LegAlong(int i, V3 thigh, V3 shin) {
    k.knee[i] = k.hip[i] + Unit(thigh) * p.thigh;
    k.ankle[i] = k.knee[i] + Unit(shin) * p.shin;
    const V3 s = Unit(shin);
    V3 front = Across(Unit(thigh) - s * Dot(Unit(thigh), s) + Cross(s, k.pelvis.x) * 0.2f + k.pelvis.z * 0.02f, s);  // toes go the way the knee does not bend
    const float point = r.In(0, 55) * kDeg;
    Foot(i, front * cosf(point) + s * sinf(point), s * cosf(point) - front * sinf(point));
  }
  // By its angles from the vertical, however the pelvis leans forward.
  AL_LARGE void Leg(int i, LegAngles l, float point = 0) {
    l.forward += atan2f(k.pelvis.y.z, k.pelvis.y.y) / kDeg;
    PoseLeg(i, l, point * kDeg, k);
  }
  AL_BOTH void Shoulder(int i) {
    k.shoulder[i] = k.pit - k.chest.z * 0.02f - k.chest.y * (0.018f * p.trunk / 0.3f) + k.chest.x * (Side(i) * p.shoulder);
  }
  AL_LARGE void ArmTo(int i, V3 hand, V3 pole, V3 aim, bool fist) {
    Shoulder(i);
    k.elbow[i] = Reach(k.shoulder[i], hand, p.upper_arm, p.forearm, Unit(pole), k.wrist[i]);
    k.hand_dir[i] = Unit(Unit(k.wrist[i] - k.elbow[i]) + aim);
    k.fist[i] = fist;
    k.tip[i] = k.wrist[i] + k.hand_dir[i] * (p.hand * (fist ? 0.62f : 1.0f));
  }
  AL_BOTH void ArmAlong(int i, V3 d, float length, bool fist) {  // nearly straight toward `d`
    Shoulder(i);
    const float up = Dot(Unit(d), k.chest.y);  // the elbow of a hanging arm points back, of a raised one forward
    ArmTo(i, k.shoulder[i] + Unit(d) * (arm * length), k.chest.x * (Side(i) * (0.3f + 0.7f * fabsf(up))) - k.chest.y * 0.5f + k.chest.z * (up * 0.5f - 0.4f * (1 - fabsf(up))), V3{r.Bell(0.2f), r.Bell(0.2f), r.Bell(0.2f)}, fist);
  }
  // Swung forward and lifted sideways from the shoulder, the forearm bent up and in; degrees.
  AL_LARGE void Arm(int i, float swing, float lift, float bend, bool fist) {
    Shoulder(i);
    const Axes& c = k.chest;
    const float f = swing * kDeg, e = bend * kDeg;
    if (lift > 80) k.shoulder[i] = k.shoulder[i] + c.y * (0.025f * p.trunk / 0.3f);
    const V3 d = Unit(c * (TurnZ(lift * kDeg * Side(i)) * V3{0, -cosf(f), sinf(f)}));
    const V3 s = Unit(d * cosf(e) + Across(c.z * 0.7f + c.y * 0.3f - c.x * (Side(i) * 0.3f), d) * sinf(e));
    k.elbow[i] = k.shoulder[i] + d * p.upper_arm;
    k.wrist[i] = k.elbow[i] + s * p.forearm;
    k.hand_dir[i] = Unit(s + V3{r.Bell(0.15f), r.Bell(0.15f), r.Bell(0.15f)});
    k.fist[i] = fist;
    k.tip[i] = k.wrist[i] + k.hand_dir[i] * (p.hand * (fist ? 0.62f : 1.0f));
  }
  // The head turned anew on its neck; `nod` below 0 lifts the face.
  AL_LARGE void Face(float aside, float nod) {
    k.head = k.chest * TurnY(aside) * TurnX(nod) * TurnZ(r.Bell(6) * kDeg);
    const V3 up = Unit(Mix(k.chest.y, k.head.y, 0.5f) + k.chest.z * r.In(0, 0.25f));
    k.skull = k.neck + up * p.neck + k.head.y * (p.head * 0.5f) + k.head.z * (p.head * 0.06f);
  }
  // Rounded over the head, before the body or out to the side, as dancers hold them.
  AL_LARGE void Rounded(int i, int where) {
    const float s = Side(i);
    const Axes& c = k.chest;
    if (where == 0) ArmTo(i, k.skull + c.x * (s * r.In(0, 0.07f)) + c.y * (p.head * 0.5f + arm * r.In(0.1f, 0.35f)) + c.z * r.In(0, 0.12f), c.x * s + c.z * 0.2f, c.x * (-s * 0.7f), false);
    else if (where == 1) ArmTo(i, k.waist + c.x * (s * r.In(0.01f, 0.06f)) + c.y * (p.trunk * r.In(-0.3f, 0.4f)) + c.z * (p.chest_depth + arm * r.In(0.25f, 0.5f)), c.x * s - c.y * 0.3f, c.x * (-s * 0.7f), false);
    else ArmAlong(i, c.x * s + c.y * r.In(-0.3f, 0.25f) + c.z * r.In(0, 0.4f), r.In(0.9f, 0.98f), false);
  }
  AL_BOTH void Hang(int i, bool fist) { ArmAlong(i, V3{0, -1, 0} + k.pelvis.x * (Side(i) * r.In(0.05f, 0.4f)) + k.pelvis.z * r.In(-0.1f, 0.3f), r.In(0.9f, 0.995f), fist); }
  AL_BOTH void Stand(float wide) {
    for (int i = 0; i < 2; ++i) LegTo(i, {Side(i) * (p.hip * r.In(0.7f, 1.2f) + wide), -leg * r.In(0.95f, 0.999f), r.Bell(0.03f)}, {Side(i) * r.In(0, 0.3f), 0, 1}, 0, r.In(0, 0.5f));
  }
  AL_LARGE void Stride(float s) {
    const int one = r.Below(2);
    LegTo(one, {Side(one) * p.hip * 0.6f, -leg * 0.93f, s * leg}, {0, 0, 1}, -r.In(0, 0.3f));
    LegTo(1 - one, {-Side(one) * p.hip * 0.6f, -leg * r.In(0.84f, 0.93f), -s * leg}, {0, 0, 1}, r.In(0.2f, 0.8f));
  }
  AL_BOTH void Ground() {  // what touches it lies lowest
    float low = 1e9f;
    for (int i = 0; i < 2; ++i) low = Min(low, Min(k.heel[i].y, k.toe[i].y));
    k.ground = low;
  }
  AL_LARGE void ArmsClose() {
    const Axes& c = k.chest;
    const int kind = r.Below(8), one = r.Below(2);
    const float d = p.chest_depth;
    for (int j = 0; j < 2; ++j) {
      const int i = j == 0 ? one : 1 - one;
      const float s = Side(i);
      auto at = [&](float x, float y, float z) { return k.waist + c.x * x + c.y * (p.trunk * y) + c.z * z; };
      const V3 back = at(-s * r.In(-0.01f, 0.03f), r.In(-0.3f, 0.1f), -d - 0.02f), belt = k.hip[i] + k.pelvis.x * (s * 0.03f) + k.middle.y * r.In(0.04f, 0.1f);
      const V3 nape = k.skull - k.head.z * (p.head_half_depth * 0.7f) + k.head.x * (s * p.head_half_width * 0.6f) - k.head.y * (p.head * r.In(-0.1f, 0.3f));
      if (kind == 0) ArmTo(i, at(-s * p.shoulder * r.In(0.2f, 0.6f), r.In(0.2f, 0.42f), d + 0.03f + 0.025f * j), c.x * s - c.y * 0.8f, c.x * (-s * 1.2f) + c.y * r.Bell(0.4f), false);
      else if (kind == 1) ArmTo(i, back, c.x * s - c.z * 0.5f, c.x * -s, false);
      else if (kind == 2) { if (j == 0) ArmTo(i, back, c.x * (s * 0.5f) - c.z, c.x * -s, false); else if (r.Chance(0.5f)) Hang(i, false); else ArmAlong(i, c.x * s + c.y * r.Bell(0.8f) + c.z * 0.4f, 0.9f, false); }
      else if (kind == 3) { if (j == 0) ArmTo(i, nape, c.x * s + c.y * 0.5f, c.x * -s, false); else ArmTo(i, belt, c.x * s - c.z * 0.4f, k.pelvis.x * (-s * 0.6f) - k.pelvis.y * 0.5f, r.Chance(0.4f)); }
      else if (kind == 4) ArmTo(i, nape, c.x * s + c.y * 0.4f - c.z * 0.2f, c.x * -s, false);
      else if (kind == 5) { if (j == 0) ArmTo(i, k.skull - k.head.y * (p.head * 0.5f) + k.head.z * p.head_half_depth, c.x * (s * 0.3f) - c.y + c.z * 0.3f, c.y * 0.8f, r.Chance(0.5f)); else ArmTo(i, at(-s * p.shoulder * 0.4f, 0.15f, d + 0.05f), c.x * s - c.y, c.x * -s, false); }
      else if (kind == 6) ArmTo(i, belt - k.middle.y * r.In(0.04f, 0.09f), c.x * s - c.z * r.In(0.2f, 1), k.pelvis.y * -1.0f, false);
      else { if (j == 0) ArmTo(i, k.pit + c.x * (-s * p.shoulder * 0.8f) + c.z * (d + 0.02f), c.x * s - c.y, c.x * -s + c.y * 0.3f, false); else if (r.Chance(0.5f)) Hang(i, false); else ArmTo(i, belt, c.x * s, k.pelvis.x * -s, false); }
    }
  }
  AL_LARGE void Ride(int act) {
    const float up = r.In(0.25f, 1.0f);
    Trunk(r.In(0.1f, 0.5f), r.In(0.05f, 0.55f), r.Bell(0.05f), 0, 0);
    k.head = k.chest * TurnX(-r.In(0.1f, 0.9f)) * TurnY(r.Bell(20) * kDeg);
    for (int i = 0; i < 2; ++i) Shoulder(i);
    const V3 grip = k.pit + V3{0, -sinf(up), cosf(up)} * (arm * r.In(0.78f, 0.95f));
    const float wide = p.shoulder * r.In(0.6f, 1.1f);
    k.at[0] = grip;
    k.at[1] = {wide, 0, 0};
    for (int i = 0; i < 2; ++i) {
      const bool wave = i == 0 && r.Chance(0.1f);
      if (wave) ArmAlong(i, {1, 1, 0}, 0.95f, false);
      else ArmTo(i, grip + V3{Side(i) * wide, 0.012f, -0.02f}, V3{Side(i), -r.In(0.2f, 1), 0}, {0, -0.3f, 0.5f}, r.Chance(0.7f));
    }
    if (act == kCycle) {
      const V3 crank{0, -leg * r.In(0.68f, 0.76f), leg * r.In(0.05f, 0.28f)};
      const float c = leg * 0.17f, t = r.In(0, kTau);
      k.at[2] = crank;
      for (int i = 0; i < 2; ++i) {
        const V3 pedal = crank + V3{Side(i) * p.hip, sinf(t) * Side(i) * c, cosf(t) * Side(i) * c};
        LegTo(i, pedal + V3{0, p.foot_height, -p.foot * 0.5f}, {Side(i) * r.In(0, 0.4f), 0, 1}, r.In(-0.1f, 0.6f), 0.05f);
        k.at[3 + i] = pedal;
      }
      k.ground = crank.y - c - 0.05f * leg;
    } else {  // one foot on the deck, the other there too or pushing
      const int one = r.Below(2);
      LegTo(one, {0, -leg * r.In(0.85f, 0.97f), r.In(0, 0.1f)}, {0, 0, 1}, 0, 0.05f);
      k.ground = k.heel[one].y - 0.04f;
      if (r.Chance(0.3f)) LegTo(1 - one, k.ankle[one] + V3{0, 0, -0.13f}, {0, 0, 1}, 0, 0.1f);
      else if (r.Chance(0.6f)) LegTo(1 - one, {-Side(one) * p.hip, -leg * r.In(0.6f, 0.95f), -leg * r.In(0.2f, 0.6f)}, {0, 0, 1}, r.In(0.3f, 1.2f));
      else LegTo(1 - one, {-Side(one) * p.hip, k.ankle[one].y - 0.04f, leg * r.In(-0.3f, 0.3f)}, {0, 0, 1}, 0);
    }
  }
  AL_LARGE void Sit() {
    const float high = leg * r.In(0.46f, 0.56f);
    k.ground = -high - p.foot_height;
    k.on_chair = true;
    const int one = r.Below(2), kind = r.Below(7);
    for (int i = 0; i < 2; ++i) LegTo(i, {Side(i) * (p.hip + r.In(-0.03f, 0.08f)), -high, leg * r.In(0.3f, 0.6f)}, {Side(i) * r.In(0, 0.5f), 1, 0.6f}, 0, r.In(0, 0.5f));
    if (kind < 2) {  // knee over knee
      LegAlong(one, {-Side(one) * r.In(0.15f, 0.35f), r.In(0.05f, 0.2f), 1}, {-Side(one) * r.In(0, 0.3f), -1, r.In(0, 0.5f)});
    } else if (kind == 2) {  // ankle on the other knee
      LegTo(one, k.knee[1 - one] + V3{0, p.r_knee + 0.01f, -p.thigh * r.In(0, 0.3f)}, {Side(one), 0.15f, 0.5f}, 0);
      Foot(one, {-Side(one) * 0.6f, 0.2f, 0.6f}, {-Side(one), -0.6f, 0});
    } else if (kind == 3) {  // ankles crossed below
      for (int i = 0; i < 2; ++i) LegTo(i, {-Side(i) * r.In(0.02f, 0.05f), -high, leg * (i == one ? 0.55f : 0.47f)}, {Side(i) * 0.5f, 1, 0.6f}, r.In(0, 0.5f));
    }
  }
  // The poses, in a file for each kind.
  AL_LARGE void WithThings(int act);
  AL_LARGE void Seated(int act);
  AL_LARGE void Standing(int act);
  AL_LARGE void Moving(int act);
  AL_LARGE void UpsideDown(int act);
  AL_LARGE void Foreshortened(int act);
  AL_LARGE void Perform(int act);
};

}  // namespace drawer
