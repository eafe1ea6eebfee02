// Standing with legs or arms where chance seldom puts them.
#pragma once
#include "actor.h"

namespace drawer {

AL_LARGE void Actor::Standing(int act) {
  const float d = p.chest_depth;
  switch (act) {
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
    case kArmsClose:
      ArmsClose();
      if (r.Chance(0.3f)) Stride(r.In(0.1f, 0.35f));
      Ground();
      break;
    case kBallet: {
      const int kind = r.Below(6);
      const float out = r.In(0.3f, 1.1f);
      const bool pointe = r.Chance(0.7f);
      const float rise = pointe ? r.In(0.9f, 1.4f) : 0;
      k.tiptoe = pointe;
      if (kind == 0) {  // leg behind, the trunk forward against it
        Trunk(r.In(0.1f, 1.0f), -r.In(0, 0.7f), r.Bell(0.1f), r.Bell(0.2f), -r.In(0, 0.5f));
        Leg(a, {-r.In(50, 105), r.In(-5, 15), r.Chance(0.6f) ? r.In(0, 12) : r.In(30, 100), r.In(0, 60)}, r.In(30, 75));
      } else {
        Trunk(r.Bell(0.06f), r.In(-0.25f, 0.08f), r.Bell(0.15f), r.Bell(0.2f), r.Bell(0.15f));
      }
      LegTo(b, {-sa * r.In(0, p.hip), -leg * (kind == 5 ? r.In(0.7f, 0.9f) : 0.985f), 0}, {-sa * out, 0, 1}, rise, out);
      if (kind == 1) {  // the foot at the other knee
        LegTo(a, Mix(k.knee[b], k.ankle[b], r.In(-0.1f, 0.5f)) + V3{sa * p.r_knee, 0, r.In(0, 0.05f)}, {sa, 0.1f, r.In(0.1f, 0.8f)}, 0);
        Foot(a, {-sa * r.In(0, 0.5f), -1, 0.1f}, {-sa, 0.2f, -0.2f});
      } else if (kind == 2) { Leg(a, {r.In(0, 20), r.In(45, 115), r.In(0, 12), r.In(40, 80)}, r.In(30, 75));
      } else if (kind == 3) { Leg(a, {r.In(30, 110), r.In(0, 30), r.Chance(0.5f) ? r.In(0, 10) : r.In(30, 100), r.In(20, 70)}, r.In(30, 75));
      } else if (kind == 4) {  // one before the other, both up on the toes
        LegTo(a, {k.ankle[b].x + sa * r.In(-0.05f, 0.03f), -leg * 0.98f, r.In(0.03f, 0.07f)}, {sa * out, 0, 1}, rise, out);
      } else if (kind == 5) {  // bent knees turned out, or a foot set forward
        if (r.Chance(0.5f)) LegTo(a, {sa * r.In(0, p.hip * 2), k.ankle[b].y, 0.01f}, {sa * out, 0, 0.7f}, rise, out);
        else LegTo(a, {sa * r.In(-0.05f, 0.1f), k.ankle[b].y, leg * r.In(0.2f, 0.5f)}, {sa * out, 0.2f, 1}, 1.2f, out * 0.4f);
      }
      const int arms = r.Below(5);
      for (int i = 0; i < 2; ++i) Rounded(i, arms < 2 ? 0 : arms == 2 ? (i == a ? 0 : 2) : arms == 3 ? (i == a ? 1 : 2) : 2);
      Ground();
      turn = r.Chance(0.3f) ? r.In(-180, 180) : r.Sign() * r.In(0, 110);
      break;
    }
    case kCurtsey: {  // one shin across the other: bobbing, stepping, dancing
      const float low = r.Chance(0.5f) ? r.In(0.62f, 0.9f) : r.In(0.9f, 0.985f), cross = r.In(0.02f, 0.16f), depth = r.In(0.04f, 0.22f);
      const bool back = r.Chance(0.5f);  // who crosses, goes behind
      Trunk(r.In(-0.05f, 0.45f), r.In(-0.05f, 0.4f), r.Bell(0.15f), r.Bell(0.25f), r.In(-0.2f, 0.4f));
      LegTo(b, {-sa * p.hip * r.In(-0.3f, 0.9f), -leg * low, r.Bell(0.02f)}, {-sa * r.In(0, 0.7f), 0, 1}, r.Chance(0.2f) ? r.In(0.3f, 1) : 0, r.In(0, 0.4f));
      LegTo(a, {k.ankle[b].x - sa * cross, -leg * Min(low + r.In(-0.06f, 0.03f), 0.985f), back ? -depth : depth}, {sa * r.In(0.1f, 0.7f), 0, 1}, back || r.Chance(0.4f) ? r.In(0.3f, 1.2f) : 0, r.In(-0.3f, 0.3f));
      const int kind = r.Below(4);
      if (kind == 0) for (int i = 0; i < 2; ++i) ArmAlong(i, {Side(i), -r.In(0.6f, 1.3f), 0.15f}, r.In(0.8f, 0.97f), true);
      else if (kind == 1) ArmsClose();
      else for (int i = 0; i < 2; ++i) Rounded(i, kind == 2 ? 2 : r.Below(3));
      Ground();
      turn = r.Chance(0.35f) ? 180 + r.Bell(50) : r.Bell(50);
      break;
    }
    default: break;
  }
}

}  // namespace drawer
