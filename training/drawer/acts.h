// Poses that chance angles do not give: on and with things, folded up, crossing, toward the viewer.
// A figure is built facing z with the ground below, then turned as a whole.
#pragma once
#include "pose.h"

namespace drawer {

enum Act {
  kNoAct, kCycle, kScooter, kBoard, kChair, kLadder, kRailing, kTable, kLoad, kCarryBox, kBalloon, kPole, kInstrument, kBuckets, kHanger, kBook,
  kBystander, kRobe, kShoulderStand, kBackBend, kHandstand, kCurl, kSki, kFootNear, kFistNear, kSteep, kAnklesCrossed, kFootOnLeg,
  kOnALine, kKneel, kSideSit, kArmsClose, kActs
};

// In how many of a thousand whole figures each is seen; the rest stand, walk and sit as chance has it.
AL_BOTH int ChooseAct(Random& r) {
  const int share[kActs] = {0, 18, 7, 9, 22, 9, 11, 12, 14, 11, 6, 13, 13, 11, 6, 7, 14, 24, 7, 5, 8, 10, 8, 12, 10, 14, 9, 12, 8, 8, 9, 19};
  int at = r.Below(1000);
  for (int i = 1; i < kActs; ++i) { if (at < share[i]) return i; at -= share[i]; }
  return kNoAct;
}

struct Actor {
  Skeleton& k;
  Random& r;
  const Proportions& p = k.p;
  const float leg = p.thigh + p.shin, arm = p.upper_arm + p.forearm;

  AL_BOTH float Side(int i) const { return i == 0 ? 1.0f : -1.0f; }
  // Trunk and head on a pelvis that leans by `pitch`; `nod` below 0 lifts the face.
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
    V3 front = Across(Unit(thigh) - s * Dot(Unit(thigh), s) + k.pelvis.z * 0.2f, s);  // toes go the way the knee does not bend
    const float point = r.In(0, 55) * kDeg;
    Foot(i, front * cosf(point) + s * sinf(point), s * cosf(point) - front * sinf(point));
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
    ArmTo(i, k.shoulder[i] + Unit(d) * (arm * length), k.chest.x * Side(i) - k.chest.y * 0.5f, V3{r.Bell(0.2f), r.Bell(0.2f), r.Bell(0.2f)}, fist);
  }
  AL_BOTH void Hang(int i, bool fist) { ArmAlong(i, V3{Side(i) * r.In(0.05f, 0.4f), -1, r.In(-0.1f, 0.3f)}, r.In(0.9f, 0.995f), fist); }
  AL_BOTH void Stand(float wide) {
    for (int i = 0; i < 2; ++i) LegTo(i, {Side(i) * (p.hip * r.In(0.7f, 1.2f) + wide), -leg * r.In(0.95f, 0.999f), r.Bell(0.03f)}, {Side(i) * r.In(0, 0.3f), 0, 1}, 0, r.In(0, 0.5f));
  }
  AL_LARGE void Stride(float s) {
    const int a = r.Below(2);
    LegTo(a, {Side(a) * p.hip * 0.6f, -leg * 0.93f, s * leg}, {0, 0, 1}, -r.In(0, 0.3f));
    LegTo(1 - a, {-Side(a) * p.hip * 0.6f, -leg * r.In(0.84f, 0.93f), -s * leg}, {0, 0, 1}, r.In(0.2f, 0.8f));
  }
  AL_BOTH void Ground() {  // what touches it lies lowest
    float low = 1e9f;
    for (int i = 0; i < 2; ++i) low = Min(low, Min(k.heel[i].y, k.toe[i].y));
    k.ground = low;
  }
  AL_LARGE void ArmsClose() {
    const Axes& c = k.chest;
    const int kind = r.Below(8), a = r.Below(2);
    const float d = p.chest_depth;
    for (int j = 0; j < 2; ++j) {
      const int i = j == 0 ? a : 1 - a;
      const float s = Side(i);
      auto at = [&](float x, float y, float z) { return k.waist + c.x * x + c.y * (p.trunk * y) + c.z * z; };
      const V3 back = at(-s * r.In(-0.01f, 0.03f), r.In(-0.3f, 0.1f), -d - 0.02f), belt = k.hip[i] + k.pelvis.x * (s * 0.03f) + k.middle.y * r.In(0.04f, 0.1f);
      const V3 nape = k.skull - k.head.z * (p.head_half_depth * 0.7f) + k.head.x * (s * p.head_half_width * 0.6f) - k.head.y * (p.head * r.In(-0.1f, 0.3f));
      if (kind == 0) ArmTo(i, at(-s * p.shoulder * r.In(0.2f, 0.6f), r.In(0.2f, 0.42f), d + 0.03f + 0.025f * j), c.x * s - c.y * 0.8f, c.x * (-s * 1.2f) + c.y * r.Bell(0.4f), false);
      else if (kind == 1) ArmTo(i, back, c.x * s - c.z * 0.5f, c.x * -s, false);
      else if (kind == 2) { if (j == 0) ArmTo(i, back, c.x * (s * 0.5f) - c.z, c.x * -s, false); else if (r.Chance(0.5f)) Hang(i, false); else ArmAlong(i, V3{s, r.Bell(0.8f), 0.4f}, 0.9f, false); }
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
      const int a = r.Below(2);
      LegTo(a, {0, -leg * r.In(0.85f, 0.97f), r.In(0, 0.1f)}, {0, 0, 1}, 0, 0.05f);
      k.ground = k.heel[a].y - 0.04f;
      if (r.Chance(0.3f)) LegTo(1 - a, k.ankle[a] + V3{0, 0, -0.13f}, {0, 0, 1}, 0, 0.1f);
      else if (r.Chance(0.6f)) LegTo(1 - a, {-Side(a) * p.hip, -leg * r.In(0.6f, 0.95f), -leg * r.In(0.2f, 0.6f)}, {0, 0, 1}, r.In(0.3f, 1.2f));
      else LegTo(1 - a, {-Side(a) * p.hip, k.ankle[a].y - 0.04f, leg * r.In(-0.3f, 0.3f)}, {0, 0, 1}, 0);
    }
  }
  AL_LARGE void Sit() {
    const float high = leg * r.In(0.46f, 0.56f);
    k.ground = -high - p.foot_height;
    k.on_chair = true;
    const int a = r.Below(2), kind = r.Below(7);
    for (int i = 0; i < 2; ++i) LegTo(i, {Side(i) * (p.hip + r.In(-0.03f, 0.08f)), -high, leg * r.In(0.3f, 0.6f)}, {Side(i) * r.In(0, 0.5f), 1, 0.6f}, 0, r.In(0, 0.5f));
    if (kind < 2) {  // knee over knee
      LegAlong(a, {-Side(a) * r.In(0.15f, 0.35f), r.In(0.05f, 0.2f), 1}, {-Side(a) * r.In(0, 0.3f), -1, r.In(0, 0.5f)});
    } else if (kind == 2) {  // ankle on the other knee
      LegTo(a, k.knee[1 - a] + V3{0, p.r_knee + 0.01f, -p.thigh * r.In(0, 0.3f)}, {Side(a), 0.15f, 0.5f}, 0);
      Foot(a, {-Side(a) * 0.6f, 0.2f, 0.6f}, {-Side(a), -0.6f, 0});
    } else if (kind == 3) {  // ankles crossed below
      for (int i = 0; i < 2; ++i) LegTo(i, {-Side(i) * r.In(0.02f, 0.05f), -high, leg * (i == a ? 0.55f : 0.47f)}, {Side(i) * 0.5f, 1, 0.6f}, r.In(0, 0.5f));
    }
  }
  AL_LARGE void Perform(int act);
};

AL_LARGE void Actor::Perform(int act) {
  const int a = r.Below(2), b = 1 - a;
  const float sa = Side(a);
  float turn = r.Chance(0.3f) ? r.Bell(18) : r.Chance(0.7f) ? r.Sign() * r.In(18, 110) : 180 + r.Bell(50);
  Axes whole{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  k.act = act;
  k.seated = k.lying = k.tiptoe = false;
  k.holds_both = true;
  Trunk(r.Bell(0.08f), r.Bell(0.12f) + 0.04f, r.Bell(0.12f), r.Bell(0.2f), r.Bell(0.2f));
  Stand(r.Chance(0.3f) ? r.In(0, 0.12f) : 0);
  for (int i = 0; i < 2; ++i) Hang(i, r.Chance(0.4f));
  Ground();
  const float d = p.chest_depth;
  const Axes& c = k.chest;
  switch (act) {
    case kCycle: case kScooter:
      Ride(act);
      turn = r.Chance(0.7f) ? r.Sign() * r.In(50, 115) : r.Chance(0.6f) ? r.Sign() * r.In(0, 60) : 180 + r.Bell(40);
      break;
    case kBoard: {
      Trunk(r.In(0, 0.4f), r.In(-0.1f, 0.5f), r.Bell(0.2f), r.Bell(0.5f), r.Bell(0.2f));
      const float deep = leg * r.In(0.55f, 0.95f), wide = leg * r.In(0.2f, 0.42f), shift = r.Bell(0.05f);
      for (int i = 0; i < 2; ++i) LegTo(i, {Side(i) * wide + shift, -deep, 0.02f}, {Side(i) * r.In(0.1f, 0.8f), 0, 1}, 0, r.In(-0.2f, 0.6f));
      for (int i = 0; i < 2; ++i) ArmAlong(i, {Side(i) * r.In(0.4f, 1), r.In(-0.7f, 0.8f), r.In(-0.2f, 0.6f)}, r.In(0.6f, 0.98f), false);
      Ground();
      whole = TurnZ(r.Bell(0.25f));
      break;
    }
    case kChair: {
      Trunk(r.In(-0.3f, 0.2f), r.Chance(0.3f) ? r.In(0.2f, 0.7f) : r.Bell(0.12f), r.Bell(0.12f), r.Bell(0.25f), r.Bell(0.2f));
      Sit();
      if (r.Chance(0.5f)) {
        for (int i = 0; i < 2; ++i) {
          if (r.Chance(0.7f)) ArmTo(i, Mix(k.hip[i], k.knee[i], r.In(0.4f, 1)) + V3{r.Bell(0.02f), p.r_thigh + 0.02f, 0}, {Side(i), -0.4f, -0.6f}, V3{-Side(i) * 0.4f, 0, 0.5f}, false);
          else ArmTo(i, k.pit + V3{Side(i) * (p.shoulder + 0.05f), -0.12f, -0.16f}, {Side(i), 0.4f, -0.5f}, {0, -0.6f, -0.3f}, false);  // over the back
        }
      } else if (r.Chance(0.6f)) { ArmsClose(); }
      break;
    }
    case kLadder: {
      Trunk(r.In(-0.05f, 0.35f), r.Bell(0.12f), r.Bell(0.12f), 0, -r.In(0, 0.5f));
      const float z = 0.16f + d, w = r.In(0.04f, 0.09f);
      k.at[0] = {Max(p.hip, w) + 0.06f, 0, z};
      LegTo(a, {sa * w, -leg * r.In(0.88f, 0.97f), z - 0.06f}, {sa * 0.3f, 0, 1}, 0, 0.1f);
      LegTo(b, {-sa * w, -leg * r.In(0.45f, 0.75f), z - 0.06f}, {-sa * 0.7f, 0, 1}, 0, 0.1f);
      for (int i = 0; i < 2; ++i) ArmTo(i, {Side(i) * (r.Chance(0.5f) ? k.at[0].x : w), k.pit.y + arm * r.In(-0.3f, 0.85f), z}, {Side(i), -1, -0.2f}, {0, 0.4f, 0.4f}, true);
      Ground();
      turn = r.Chance(0.7f) ? 180 + r.Bell(45) : r.Sign() * r.In(20, 110);
      break;
    }
    case kRailing: {
      const bool behind = r.Chance(0.35f);
      Trunk(behind ? r.In(-0.2f, 0) : r.In(0, 0.4f), behind ? 0.0f : r.In(0, 0.4f), r.Bell(0.1f), r.Bell(0.15f), r.Bell(0.25f));
      const float z = behind ? -d - 0.05f : k.pit.z + arm * r.In(0.25f, 0.6f), y = k.pit.y - arm * (behind ? r.In(0.7f, 0.9f) : r.In(0.45f, 0.75f));
      k.at[0] = {0, y, z};
      if (r.Chance(0.4f)) { LegTo(a, {-sa * r.In(0.02f, 0.06f), -leg * 0.97f, r.Sign() * 0.07f}, {sa * 0.3f, 0, 1}, r.In(0, 0.7f)); }
      for (int i = 0; i < 2; ++i) if (r.Chance(0.85f)) ArmTo(i, {Side(i) * p.shoulder * r.In(0.2f, 1.8f), y + 0.02f, z}, V3{Side(i), behind ? 0.0f : -0.6f, -0.5f}, {0, -0.2f, behind ? -0.3f : 0.5f}, r.Chance(0.4f));
      Ground();
      break;
    }
    case kTable: {
      const bool sits = r.Chance(0.6f);
      Trunk(r.In(0, 0.2f), r.In(0, 0.5f), r.Bell(0.1f), r.Bell(0.2f), r.Bell(0.25f));
      if (sits) Sit();
      Ground();
      const float y = sits ? Max(k.knee[0].y, k.knee[1].y) + p.r_knee * 1.5f + 0.02f : k.pit.y - arm * r.In(0.75f, 0.95f);
      k.at[0] = {r.In(0.2f, 0.45f), y, d + 0.07f};
      for (int i = 0; i < 2; ++i) {
        if (r.Chance(0.15f)) continue;
        if (r.Chance(0.15f)) ArmTo(i, k.skull - k.head.y * (p.head * 0.35f) + k.head.z * p.head_half_depth * 0.8f + k.head.x * (Side(i) * p.head_half_width * 0.7f), V3{Side(i), -1, 0.5f}, {0, 0.6f, 0}, r.Chance(0.5f));
        else ArmTo(i, V3{Side(i) * r.In(0.0f, 0.16f), y + 0.025f, k.at[0].z + r.In(0.1f, 0.25f)}, V3{Side(i), -0.4f, -0.3f}, V3{-Side(i) * 0.4f, -0.2f, 0.3f}, r.Chance(0.3f));
      }
      break;
    }
    case kLoad:
      Trunk(r.In(0.15f, 0.6f), r.In(0.15f, 0.7f), r.Bell(0.1f), 0, -r.In(0, 0.6f));
      if (r.Chance(0.7f)) Stride(r.In(0.1f, 0.4f));
      for (int i = 0; i < 2; ++i) {
        Shoulder(i);
        const int how = r.Below(4);
        if (how < 2) ArmTo(i, k.shoulder[i] + c.y * 0.03f + c.z * 0.03f - c.x * (Side(i) * 0.02f), c.z - c.y * 0.6f + c.x * (Side(i) * 0.4f), c.y * 0.8f - c.z * 0.6f, true);
        else if (how == 2) ArmTo(i, k.waist - c.z * (d + 0.06f) + c.x * (Side(i) * 0.06f), c.x * Side(i) - c.z * 0.3f, c.z * -0.6f, false);
        else Hang(i, true);
      }
      Ground();
      turn = r.Sign() * r.In(30, 130);
      break;
    case kCarryBox: {
      const V3 at = k.waist + c.y * (p.trunk * r.In(-0.1f, 0.35f)) + c.z * (d + arm * 0.35f);
      if (r.Chance(0.5f)) Stride(r.In(0.1f, 0.35f));
      k.at[0] = at;
      k.at[1] = {r.In(0.07f, 0.13f), r.In(0.05f, 0.13f), r.In(0.06f, 0.1f)};
      for (int i = 0; i < 2; ++i) ArmTo(i, at + c.x * (Side(i) * k.at[1].x) - c.y * (k.at[1].y * r.In(0.3f, 1)), V3{Side(i), -0.6f, -0.6f}, c.x * (-Side(i) * 0.3f) + c.z * 0.6f, false);
      Ground();
      turn = r.Chance(0.6f) ? r.Bell(40) : r.Sign() * r.In(40, 120);
      break;
    }
    case kBalloon: case kHanger:
      ArmTo(a, k.pit + V3{sa * (p.shoulder + arm * r.In(0.1f, 0.7f)), arm * r.In(-0.3f, 0.7f), arm * r.In(0.1f, 0.5f)}, V3{sa, -1, -0.3f}, {0, r.In(0, 0.6f), 0}, true);
      k.at[0] = {static_cast<float>(a), 0, 0};
      if (r.Chance(0.4f)) Stride(r.In(0.1f, 0.4f));
      if (act == kHanger && r.Chance(0.4f)) ArmTo(b, k.wrist[a] + V3{-sa * 0.12f, -0.14f, 0}, V3{-sa, -1, 0}, {0, 0.2f, 0.2f}, false);
      Ground();
      break;
    case kPole: {
      if (r.Chance(0.4f)) Stride(r.In(0.1f, 0.4f));
      Trunk(r.In(-0.05f, 0.3f), r.In(0, 0.35f), r.Bell(0.12f), r.Bell(0.3f), r.In(-0.2f, 0.3f));
      const V3 high = k.pit + V3{sa * r.In(-0.03f, 0.14f), -arm * r.In(0.05f, 0.45f), d + arm * r.In(0.15f, 0.5f)};
      const V3 dir = Unit(V3{-sa * r.In(-0.2f, 0.7f), -1, r.In(-0.1f, 0.5f)});
      ArmTo(a, high, V3{sa, -0.7f, -0.3f}, {0, 0, 0.3f}, true);
      if (r.Chance(0.75f)) ArmTo(b, high + dir * (arm * r.In(0.4f, 0.75f)), V3{-sa, -0.5f, -0.4f}, {0, -0.2f, 0.2f}, true);
      k.at[0] = Mix(k.wrist[a], k.tip[a], 0.6f);
      k.at[1] = dir;
      Ground();
      break;
    }
    case kInstrument: {
      k.side_flex = 0;
      const int kind = r.Below(4);  // 0, 1 plucked; 2 bowed; 3 blown
      if (r.Chance(0.25f)) Sit();
      else Ground();
      k.at[2] = {static_cast<float>(kind), 0, 0};
      if (kind < 2) {
        const V3 at = k.waist + c.y * (p.trunk * r.In(-0.1f, 0.15f)) + c.z * (d + 0.04f) - c.x * 0.05f, neck = Unit(c.x + c.y * r.In(0, 0.6f) + c.z * 0.2f);
        k.at[0] = at;
        k.at[1] = neck;
        ArmTo(0, at + neck * (arm * r.In(0.6f, 0.85f)), V3{0.6f, -1, 0.1f}, c.y * 0.6f - c.x * 0.3f, false);
        ArmTo(1, at + c.z * 0.05f + c.x * 0.01f, V3{-1, -0.1f, -0.1f}, c.x * 0.6f - c.y * 0.5f, false);
      } else if (kind == 2) {
        const V3 at = k.shoulder[0] + c.y * 0.03f + c.z * 0.04f, neck = Unit(c.x * r.In(0.4f, 1) + c.z * 0.8f + c.y * r.Bell(0.15f));
        k.at[0] = at;
        k.at[1] = neck;
        ArmTo(0, at + neck * (arm * 0.62f), V3{0.3f, -1, 0}, c.y * 0.5f, false);
        ArmTo(1, at + neck * (arm * r.In(0.1f, 0.25f)) - c.x * (arm * r.In(0.3f, 0.8f)) + c.z * 0.06f - c.y * 0.02f, V3{-1, -0.4f, 0}, c.x * 0.3f, true);
      } else {
        const V3 mouth = k.skull - k.head.y * (p.head * 0.3f) + k.head.z * (p.head_half_depth + 0.015f);
        const bool across = r.Chance(0.4f);
        const V3 dir = across ? Unit(k.head.x * -1.0f - c.y * r.In(0, 0.3f)) : Unit(c.z - c.y * r.In(0.1f, 1.4f));
        k.at[0] = mouth;
        k.at[1] = dir;
        for (int i = 0; i < 2; ++i) ArmTo(i, mouth + dir * (arm * (i == 0 ? 0.3f : 0.5f)) + c.x * (Side(i) * 0.015f), V3{Side(i), -0.8f, 0}, c.y * 0.5f - c.x * (Side(i) * 0.5f), false);
      }
      break;
    }
    case kBuckets:
      Trunk(r.In(0, 0.2f), r.In(0, 0.25f), r.Chance(0.5f) ? sa * r.In(-0.3f, 0.3f) : 0, r.Bell(0.1f), r.Bell(0.2f));
      if (r.Chance(0.5f)) Stride(r.In(0.1f, 0.35f));
      for (int i = 0; i < 2; ++i) ArmAlong(i, V3{Side(i) * r.In(0.15f, 0.45f), -1, r.In(-0.1f, 0.2f)}, r.In(0.93f, 0.995f), true);
      if (r.Chance(0.4f)) ArmAlong(b, {-sa, r.In(-0.5f, 0.2f), 0}, r.In(0.7f, 0.97f), false);  // held out against the weight
      k.at[0] = {static_cast<float>(a), 0, 0};
      Ground();
      break;
    case kBook: {
      if (r.Chance(0.4f)) Sit();
      else { if (r.Chance(0.3f)) Stride(0.2f); Ground(); }
      const V3 at = k.waist + c.y * (p.trunk * r.In(0.15f, 0.6f)) + c.z * (d + arm * r.In(0.25f, 0.5f));
      k.at[0] = at;
      k.at[1] = {r.In(0.04f, 0.09f), r.In(0.05f, 0.1f), 0};
      for (int i = 0; i < 2; ++i) ArmTo(i, at + c.x * (Side(i) * k.at[1].x) - c.y * 0.04f - c.z * 0.02f, V3{Side(i), -1, -0.2f}, c.y * 0.7f, false);
      k.head = c * TurnX(r.In(0, 0.6f)) * TurnY(r.Bell(0.15f));
      k.skull = k.neck + c.y * p.neck + k.head.y * (p.head * 0.5f) + k.head.z * (p.head * 0.06f);
      break;
    }
    case kRobe:
      if (r.Chance(0.25f)) Stride(r.In(0.05f, 0.2f));
      for (int i = 0; i < 2; ++i) {
        const float u = r.F();
        if (u < 0.45f) ArmAlong(i, {Side(i) * r.In(0.2f, 0.7f), -1, r.In(-0.1f, 0.4f)}, r.In(0.85f, 0.99f), r.Chance(0.3f));
        else if (u < 0.7f) ArmTo(i, k.waist + V3{-Side(i) * r.In(-0.05f, 0.06f), p.trunk * r.In(-0.2f, 0.3f), d + 0.06f}, V3{Side(i), -0.6f, 0}, V3{-Side(i), 0, 0.3f}, false);
        else ArmAlong(i, {Side(i) * r.In(0.4f, 1), r.In(-0.4f, 1), r.In(0, 0.8f)}, r.In(0.7f, 0.98f), false);
      }
      Ground();
      break;
    case kShoulderStand: {
      const bool over = r.Chance(0.5f);
      Trunk(r.Bell(0.1f), over ? r.In(0.2f, 0.7f) : r.In(0, 0.25f), r.Bell(0.05f), r.Bell(0.08f), r.In(0.9f, 1.35f));
      for (int i = 0; i < 2; ++i) {
        const float f = (over ? r.In(95, 145) : r.In(-5, 50)) * kDeg, bend = r.Chance(0.3f) ? r.In(0.2f, 1.3f) : r.In(0, 0.15f);
        LegAlong(i, {Side(i) * r.In(0, over ? 0.1f : 0.3f), -cosf(f), sinf(f)}, {Side(i) * 0.03f, -cosf(f - bend), sinf(f - bend)});
        if (r.Chance(0.7f)) ArmTo(i, k.waist - k.middle.z * (d + 0.02f) + k.middle.x * (Side(i) * 0.06f), c.z * -1.0f + c.x * (Side(i) * 0.4f), k.middle.y * -0.8f, false);
        else ArmAlong(i, {Side(i) * 0.3f, r.In(-0.1f, 0.2f), -1}, 0.97f, false);
      }
      whole = TurnX(3.14f + r.In(-0.25f, 0.25f));
      turn = r.Sign() * r.In(30, 130);
      break;
    }
    case kBackBend: {
      const float lean = r.In(0.9f, 1.5f), bow = r.In(1.0f, 1.6f);
      Trunk(-lean, -bow, r.Bell(0.06f), r.Bell(0.1f), -r.In(0.1f, 0.6f));
      for (int i = 0; i < 2; ++i) {
        LegTo(i, {Side(i) * (p.hip + r.In(0, 0.06f)), -leg * r.In(0.66f, 0.9f), leg * r.In(0.05f, 0.35f)}, {Side(i) * 0.1f, 0.5f, 1}, r.Chance(0.3f) ? 0.6f : 0);
        ArmAlong(i, V3{Side(i) * 0.1f, -1, r.In(-0.5f, 0.1f)}, r.In(0.9f, 0.99f), false);
      }
      if (r.Chance(0.25f)) LegAlong(a, {0, 1, 0.5f}, {0, 1, r.In(0, 0.5f)});
      turn = r.Sign() * r.In(50, 130);
      break;
    }
    case kHandstand: {
      const bool wheel = r.Chance(0.5f);
      Trunk(r.Bell(0.1f), wheel ? r.Bell(0.1f) : r.In(-0.5f, 0.15f), r.Bell(0.12f), r.Bell(0.2f), r.In(-0.6f, 0.1f));
      for (int i = 0; i < 2; ++i) {
        if (wheel) { const float o = r.In(20, 75) * kDeg; const V3 t{Side(i) * sinf(o), -cosf(o), r.Bell(0.15f)}; LegAlong(i, t, t + V3{0, r.Bell(0.15f), -r.In(0, 0.3f)}); }
        else { const float f = (i == a ? r.In(0, 85) : -r.In(0, 50)) * kDeg, bend = r.Chance(0.5f) ? r.In(0, 1.6f) : 0.05f; LegAlong(i, {Side(i) * 0.08f, -cosf(f), sinf(f)}, {0, -cosf(f - bend), sinf(f - bend)}); }
        Shoulder(i);
        k.shoulder[i] = k.shoulder[i] + c.y * 0.02f;
        const V3 dir = Unit(c.y + c.x * (Side(i) * (wheel ? r.In(0.1f, 0.6f) : r.In(0, 0.2f))) + c.z * r.Bell(0.1f));
        k.elbow[i] = k.shoulder[i] + dir * p.upper_arm;
        k.wrist[i] = k.elbow[i] + Unit(dir + c.x * (-Side(i) * r.In(0, 0.2f))) * p.forearm;
        k.fist[i] = false;
        k.hand_dir[i] = Unit(dir * 0.5f + c.z * r.In(0, 0.8f) + c.x * (Side(i) * r.In(0, 0.5f)));
        k.tip[i] = k.wrist[i] + k.hand_dir[i] * p.hand;
      }
      whole = TurnZ(wheel ? 3.14f + r.Bell(0.7f) : 3.14f + r.Bell(0.15f));
      if (wheel) turn = r.Bell(40) + (r.Chance(0.4f) ? 180 : 0);
      break;
    }
    case kCurl: {
      const int kind = r.Below(3);
      if (kind == 2) {  // folded over straight legs
        Trunk(r.In(0.8f, 1.5f), r.In(0.5f, 1.2f), r.Bell(0.08f), r.Bell(0.15f), r.In(-0.2f, 0.6f));
        for (int i = 0; i < 2; ++i) {
          LegTo(i, {Side(i) * (p.hip + r.In(0, 0.15f)), -leg * r.In(0.9f, 0.99f), r.Bell(0.03f)}, {0, 0, 1}, 0);
          Shoulder(i);
          ArmTo(i, Mix(k.knee[i], k.ankle[i], r.In(0.3f, 1)) + V3{Side(i) * 0.03f, 0, r.In(-0.05f, 0.06f)}, {Side(i), 0.2f, -0.2f}, {0, -0.4f, 0}, false);
        }
        turn = r.Sign() * r.In(40, 120);
      } else {  // knees drawn up, sitting or lying on the side
        Trunk(r.In(-0.1f, 0.35f), r.In(0.5f, 1.1f), r.Bell(0.08f), r.Bell(0.1f), r.In(0, 0.8f));
        for (int i = 0; i < 2; ++i) {
          LegTo(i, {Side(i) * p.hip * r.In(0.3f, 1), -p.r_thigh, leg * r.In(0.26f, 0.42f)}, {Side(i) * r.In(0, 0.25f), 1, 0.4f}, r.In(0, 0.4f), 0.05f);
          if (r.Chance(0.85f)) ArmTo(i, Mix(k.knee[i], k.ankle[i], r.In(0, 0.7f)) + V3{-Side(i) * p.hip, 0, 0.05f}, {Side(i), -0.2f, -0.2f}, V3{-Side(i), 0, 0}, false);
        }
        if (kind == 1) whole = TurnZ(r.Sign() * r.In(1.2f, 1.8f)) * TurnY(r.Bell(0.3f));
      }
      Ground();
      break;
    }
    case kSki: {
      Trunk(r.In(0.3f, 0.8f), r.In(0.2f, 0.7f), r.Bell(0.1f), r.Bell(0.1f), -r.In(0.3f, 1.1f));
      const float deep = leg * r.In(0.55f, 0.85f);
      for (int i = 0; i < 2; ++i) {
        LegTo(i, {Side(i) * p.hip * r.In(0.8f, 1.6f), -deep, leg * r.In(-0.05f, 0.1f)}, {Side(i) * 0.1f, 0, 1}, 0, 0.02f);
        ArmTo(i, k.pit + V3{Side(i) * r.In(0.02f, 0.2f), -arm * r.In(0.15f, 0.5f), arm * r.In(0.3f, 0.8f)}, V3{Side(i), -0.6f, -0.4f}, {0, 0, 0.4f}, true);
      }
      Ground();
      whole = TurnX(r.In(-0.1f, 0.4f));
      turn = r.Sign() * r.In(30, 115);
      break;
    }
    case kFootNear: {
      Trunk(-r.In(0, 0.7f), r.In(-0.1f, 0.5f), r.Bell(0.15f), r.Bell(0.25f), r.Bell(0.2f));
      LegTo(a, {sa * (p.hip + r.In(-0.05f, 0.12f)), leg * r.In(-0.5f, 0.2f), leg * r.In(0.75f, 0.97f)}, {sa * 0.2f, 1, 0.1f});
      Foot(a, V3{sa * r.In(-0.2f, 0.4f), 1, r.In(-0.2f, 0.3f)}, {0, -0.2f, 1});
      if (r.Chance(0.4f)) LegAlong(b, {-sa * r.In(0.1f, 0.5f), -r.In(0.1f, 0.6f), 0.7f}, {0, -1, r.In(-0.7f, 0.2f)});
      else LegTo(b, {-sa * p.hip, -leg * r.In(0.75f, 0.98f), r.Bell(0.1f)}, {-sa * 0.3f, 0, 1});
      for (int i = 0; i < 2; ++i) ArmAlong(i, {Side(i) * r.In(0.3f, 1), r.In(-0.8f, 0.8f), r.In(-0.5f, 0.4f)}, r.In(0.5f, 0.97f), r.Chance(0.5f));
      k.camera = Max(k.ankle[a].z, k.toe[a].z) + (r.Chance(0.7f) ? r.In(0.3f, 0.45f) : r.In(0.45f, 0.8f));
      k.view_up = r.Bell(0.25f) + 1e-3f;
      turn = r.Bell(14);
      break;
    }
    case kFistNear: {
      Trunk(r.Bell(0.15f), r.In(-0.1f, 0.3f), r.Bell(0.15f), -sa * r.In(0, 0.6f), r.Bell(0.15f));
      if (r.Chance(0.6f)) { const float s = r.In(0.1f, 0.45f); LegTo(a, {sa * p.hip * 1.3f, -leg * 0.9f, s * leg}, {0, 0, 1}); LegTo(b, {-sa * p.hip * 1.5f, -leg * 0.88f, -s * leg}, {0, 0, 1}, 0.3f); }
      Shoulder(a);
      ArmTo(a, k.shoulder[a] + V3{sa * r.Bell(0.06f), r.Bell(0.08f), arm * r.In(0.85f, 0.99f)}, V3{sa, -0.6f, 0}, {0, r.In(0, 0.4f), 0.5f}, r.Chance(0.65f));
      if (r.Chance(0.5f)) ArmTo(b, k.pit + V3{-sa * p.shoulder * r.In(0.3f, 1.6f), -r.In(0.02f, 0.15f), d + 0.03f}, V3{-sa, -0.6f, -0.4f}, {0, 0.5f, 0.3f}, true);
      k.camera = k.tip[a].z + (r.Chance(0.7f) ? r.In(0.3f, 0.45f) : r.In(0.45f, 0.9f));
      k.view_up = r.Bell(0.2f) + 1e-3f;
      turn = r.Bell(16);
      break;
    }
    case kAnklesCrossed: {
      const float f = r.Sign() * r.In(0.04f, 0.1f);
      LegTo(b, {-sa * r.In(0, p.hip), -leg * 0.985f, 0}, {-sa * 0.3f, 0, 1}, 0, 0.3f);
      LegTo(a, {k.ankle[b].x - sa * r.In(0.03f, 0.12f), -leg * r.In(0.9f, 0.97f), f}, {sa * 0.2f, 0, 1}, r.Chance(0.5f) ? r.In(0.4f, 1.2f) : 0, -r.In(0, 0.4f));
      if (r.Chance(0.5f)) ArmsClose();
      Ground();
      break;
    }
    case kFootOnLeg: {
      const int kind = r.Below(3);  // standing, standing with the foot behind, lying with knees up
      if (kind == 2) {
        LegTo(b, {-sa * p.hip, -leg * r.In(0.45f, 0.6f), -p.r_thigh}, {0, 0, 1});
        Foot(b, {0, -1, 0.1f}, {0, 0, -1});
        LegTo(a, k.knee[b] + V3{0, p.thigh * r.In(0, 0.3f), p.r_knee}, {sa, -0.1f, 0.6f});
        Foot(a, {-sa * 0.7f, -0.2f, 0.6f}, {-sa * 0.6f, -0.6f, -0.2f});
        whole = TurnX(-1.57f + r.In(-0.1f, 0.3f));
        turn = r.Sign() * r.In(45, 125);
        if (r.Chance(0.6f)) ArmsClose();
        break;
      }
      const float t = r.In(0.3f, 1.3f);
      const V3 on = t < 1 ? Mix(k.hip[b], k.knee[b], t) : Mix(k.knee[b], k.ankle[b], t - 1);
      if (kind == 0) {
        LegTo(a, on + V3{sa * (p.r_knee + 0.005f), 0, r.In(-0.02f, 0.04f)}, {sa, 0.1f, r.In(0, 0.8f)}, 0);
        Foot(a, {-sa * r.In(0.1f, 0.5f), -1, r.In(-0.1f, 0.4f)}, {-sa, 0.2f, 0});
      } else {
        const float f = r.Sign();
        LegTo(a, on + V3{0, 0, f * (p.r_knee + 0.02f)}, {sa * r.In(0.3f, 1), 0, 1}, r.In(0.3f, 1.4f), -0.2f);
      }
      if (r.Chance(0.4f)) for (int i = 0; i < 2; ++i) ArmTo(i, k.skull + V3{Side(i) * r.In(0, 0.1f), arm * r.In(0.4f, 0.8f), 0.02f}, {Side(i), 0, 0}, V3{-Side(i) * 0.4f, 0.4f, 0}, false);
      else if (r.Chance(0.5f)) ArmsClose();
      Ground();
      break;
    }
    case kOnALine: {
      const float s = r.In(0.06f, 0.3f);
      LegTo(a, {-sa * r.In(0, 0.07f), -leg * 0.96f, s * leg}, {sa * 0.3f, 0, 1}, 0, 0);
      LegTo(b, {sa * r.In(-0.02f, 0.03f), -leg * r.In(0.88f, 0.95f), -s * leg}, {-sa * 0.3f, 0, 1}, r.In(0, 0.8f), 0);
      if (r.Chance(0.7f)) for (int i = 0; i < 2; ++i) ArmAlong(i, {Side(i), r.In(-0.4f, 0.5f), r.Bell(0.2f)}, r.In(0.8f, 0.98f), false);
      Ground();
      break;
    }
    case kKneel: {
      Trunk(r.In(-0.1f, 0.3f), r.In(-0.05f, 0.4f), r.Bell(0.1f), r.Bell(0.2f), r.Bell(0.2f));
      const V3 down{0, -1, r.In(-0.15f, 0.25f)};
      LegAlong(b, down, {-sa * r.In(-0.1f, 0.2f), -r.In(0, 0.25f), -1});
      k.ground = k.knee[b].y - p.r_knee;
      if (r.Chance(0.7f)) LegTo(a, {sa * (p.hip + r.In(0, 0.06f)), k.ground + p.foot_height, leg * r.In(0.35f, 0.55f)}, {sa * r.In(0, 0.3f), 1, 0.5f}, 0, r.In(0, 0.3f));
      else LegAlong(a, {0, -1, down.z + r.Bell(0.08f)}, {sa * r.In(-0.1f, 0.15f), -0.1f, -1});
      if (r.Chance(0.5f)) ArmTo(a, k.knee[a] + V3{0, p.r_knee + 0.015f, 0}, {sa, -0.3f, -0.5f}, {0, -0.3f, 0.4f}, false);
      if (r.Chance(0.3f)) ArmsClose();
      break;
    }
    case kSideSit: {
      Trunk(r.In(-0.4f, 0.15f), r.In(0, 0.4f), sa * r.In(0, 0.35f), r.Bell(0.25f), r.Bell(0.25f));
      k.ground = -p.r_thigh * 1.1f;
      if (r.Chance(0.6f)) {  // both shins to one side
        LegAlong(a, {-sa * r.In(0.0f, 0.3f), -0.1f, 0.95f}, {sa * 0.85f, -0.02f, -r.In(0.2f, 0.7f)});
        LegAlong(b, {-sa * r.In(0.35f, 0.7f), -0.1f, 0.85f}, {sa * 0.9f, -0.02f, -r.In(0.1f, 0.5f)});
        if (r.Chance(0.7f)) ArmTo(b, {-sa * r.In(0.16f, 0.26f), k.ground + 0.02f, r.In(-0.15f, 0.05f)}, V3{-sa, 0, -0.3f}, {-sa * 0.3f, -0.2f, 0.3f}, false);
      } else {  // legs stretched out, perhaps crossed, hands behind
        for (int i = 0; i < 2; ++i) LegTo(i, {(i == a ? -1 : 1) * Side(i) * r.In(0, 0.08f), -p.r_thigh * 0.4f + (i == a ? 0.05f : 0.0f), leg * r.In(0.8f, 0.97f)}, {0, 1, 0}, -1.2f);
        if (r.Chance(0.35f)) LegTo(b, {-sa * p.hip, -p.r_thigh * 0.5f, leg * r.In(0.3f, 0.55f)}, {0, 1, 0.2f});
        for (int i = 0; i < 2; ++i) if (r.Chance(0.75f)) ArmTo(i, {Side(i) * r.In(0.08f, 0.18f), k.ground + 0.02f, -arm * r.In(0.3f, 0.7f)}, V3{Side(i) * 0.4f, 0, -1}, {0, -0.2f, -0.3f}, false);
      }
      turn = r.Chance(0.5f) ? r.Bell(30) : r.Sign() * r.In(30, 115);
      break;
    }
    case kArmsClose:
      ArmsClose();
      if (r.Chance(0.3f)) Stride(r.In(0.1f, 0.35f));
      Ground();
      break;
    default:  // kSteep, kBystander: the pose is not what matters
      if (r.Chance(0.4f)) Stride(r.In(0.1f, 0.5f));
      if (r.Chance(0.6f)) for (int i = 0; i < 2; ++i) ArmAlong(i, {Side(i), r.In(-1, 1), r.In(-0.3f, 0.7f)}, r.In(0.5f, 0.98f), r.Chance(0.4f));
      if (act == kSteep) { k.view_up = r.Sign() * r.In(0.5f, 1.2f); k.camera = r.In(1.25f, 3); if (k.view_up > 0) turn = r.Bell(70); }
      Ground();
      break;
  }
  // turned as a whole
  const Axes m = TurnY(turn * kDeg) * whole;
  k.stage = m;
  Axes* frames[4] = {&k.pelvis, &k.middle, &k.chest, &k.head};
  for (int i = 0; i < 4; ++i) *frames[i] = m * *frames[i];
  V3* single[4] = {&k.root, &k.waist, &k.pit, &k.neck};
  for (int i = 0; i < 4; ++i) *single[i] = m * *single[i];
  k.skull = m * k.skull;
  V3* pair[11] = {k.hip, k.knee, k.ankle, k.toe, k.heel, k.foot_dir, k.shoulder, k.elbow, k.wrist, k.tip, k.hand_dir};
  for (int i = 0; i < 11; ++i) for (int j = 0; j < 2; ++j) pair[i][j] = m * pair[i][j];
}

AL_LARGE Skeleton ActSkeleton(Random& r, const Proportions& p, int act) {
  Skeleton k{};
  k.p = p;
  Actor{k, r}.Perform(act);
  return k;
}

}  // namespace drawer
