// On the hands, the shoulders, bent over backward.
#pragma once
#include "actor.h"

namespace drawer {

AL_LARGE void Actor::UpsideDown(int act) {
  const float d = p.chest_depth;
  const Axes& c = k.chest;
  switch (act) {
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
    case kFreeze: {
      const int kind = r.Below(3);  // on one hand; on one hand and the side; head and shoulder near the ground
      Trunk(r.Bell(0.15f), r.In(-0.3f, 0.5f), r.Bell(0.25f), r.Bell(0.3f), r.In(-0.5f, 0.3f));
      const bool split = r.Chance(0.35f);
      for (int i = 0; i < 2; ++i) {
        if (split) Leg(i, {i == a ? r.In(10, 90) : -r.In(0, 60), r.In(0, 30), r.In(0, 25), r.In(0, 30)}, r.In(0, 60));
        else Leg(i, {r.In(-15, 120), r.In(-5, 65), r.Chance(0.3f) ? r.In(0, 20) : r.In(20, 135), r.In(0, 45)}, r.In(-10, 60));
      }
      if (kind == 0) Arm(a, r.In(150, 185), r.In(0, 20), r.In(0, 25), false);
      else if (kind == 1) ArmAlong(a, c.x * sa + c.y * r.In(-0.2f, 0.9f) + c.z * r.Bell(0.3f), r.In(0.8f, 0.99f), false);
      else ArmTo(a, k.skull + c.x * (sa * (p.head_half_width + r.In(0.02f, 0.1f))) + c.y * (p.head * r.In(0.2f, 0.5f)), c.x * sa - c.z * 0.3f, c.x * (sa * 0.4f), false);
      const int free = r.Below(5);
      if (free == 0) ArmTo(b, k.hip[b] + c.x * (-sa * 0.03f), c.x * -sa, c.x * (sa * 0.5f), r.Chance(0.4f));
      else if (free == 1) ArmTo(b, Mix(k.knee[b], k.ankle[b], r.In(0, 1)), c.x * -sa + c.z * 0.3f, c.z * 0.4f, true);
      else if (free == 2) ArmTo(b, k.skull - c.x * (sa * (p.head_half_width + 0.03f)) + c.y * (p.head * r.In(0.1f, 0.5f)) + c.z * r.In(0, 0.12f), c.x * -sa, c.y * 0.5f, false);
      else ArmAlong(b, c.x * (-sa * r.In(0.3f, 1)) + c.y * r.In(-1, 1) + c.z * r.Bell(0.4f), r.In(0.6f, 0.98f), r.Chance(0.3f));
      const float fall = kind == 1 ? r.In(1.1f, 2.2f) : kind == 0 ? 3.14f + r.Bell(0.3f) : r.In(2.2f, 3.3f);
      whole = TurnZ(-sa * fall) * TurnX(r.Bell(0.25f));
      turn = r.In(-180, 180);
      break;
    }
    case kHeadstand: {
      const bool clasped = r.Chance(0.4f);
      Trunk(r.Bell(0.08f), r.Bell(0.1f), r.Bell(0.06f), r.Bell(0.08f), r.Bell(0.1f));
      Face(r.Bell(0.1f), r.Bell(0.12f));
      const int kind = r.Below(5);
      const float f = r.In(-15, 25), open = r.In(0, 45);
      for (int i = 0; i < 2; ++i) {
        const float s = Side(i);
        if (kind == 0) Leg(i, {f, r.In(0, 8), r.In(0, 10), 0}, r.In(0, 65));
        else if (kind == 1) Leg(i, {i == a ? r.In(15, 95) : -r.In(0, 70), r.In(0, 12), r.In(0, 20), 0}, r.In(0, 65));
        else if (kind == 2) Leg(i, {r.In(60, 120), r.In(0, 20), r.In(80, 140), 0}, r.In(0, 60));
        else if (kind == 3) Leg(i, {r.In(0, 30), open, r.In(0, 80), r.In(30, 80)}, r.In(0, 60));
        else Leg(i, {i == a ? r.In(20, 80) : r.In(-10, 10), r.In(0, 15), i == a ? r.In(50, 120) : r.In(0, 15), 0}, r.In(0, 60));
        if (clasped) ArmTo(i, k.skull - c.z * (p.head_half_depth * 0.9f) + c.y * (p.head * 0.3f) + c.x * (s * 0.02f), c.x * s + c.y * 0.5f + c.z * 0.4f, c.x * -s, false);
        else ArmTo(i, k.skull + c.x * (s * (p.head_half_width + r.In(0.03f, 0.15f))) + c.y * (p.head * 0.45f) + c.z * r.In(0, 0.15f), c.x * (s * 0.8f) + c.z * 0.5f, c.z * 0.5f + c.x * (s * 0.3f), false);
      }
      whole = TurnZ(3.14f + r.Bell(0.12f)) * TurnX(r.Bell(0.12f));
      turn = r.In(-180, 180);
      break;
    }
    case kKneeHang: {
      Trunk(r.Bell(0.12f), r.In(-0.35f, 0.2f), r.Bell(0.1f), r.Bell(0.15f), r.In(-0.7f, 0.2f));
      const float f = r.In(-10, 40), fold = r.In(85, 140), out = r.In(0, 14);
      for (int i = 0; i < 2; ++i) Leg(i, {f, out, fold, 0}, r.In(0, 60));
      if (r.Chance(0.2f)) Leg(b, {r.In(-20, 80), r.In(0, 25), r.In(0, 90), 0}, r.In(0, 60));  // by one knee only
      const V3 fold_in = Unit(Unit(k.hip[a] - k.knee[a]) + Unit(k.ankle[a] - k.knee[a]));
      k.at[0] = V3{0, k.knee[a].y, k.knee[a].z} + V3{0, fold_in.y, fold_in.z} * (p.r_knee + 0.008f);
      const int kind = r.Below(4);
      for (int i = 0; i < 2; ++i) {
        if (kind < 3) ArmAlong(i, c.y + c.x * (Side(i) * r.In(0.05f, kind == 0 ? 1.2f : 0.5f)) + c.z * r.Bell(0.3f), r.In(0.85f, 0.99f), r.Chance(0.2f));
      }
      if (kind == 3) ArmsClose();
      whole = TurnZ(3.14f + r.Bell(0.12f)) * TurnX(r.Bell(0.3f));
      turn = r.Chance(0.5f) ? r.Bell(45) : r.In(-180, 180);
      break;
    }
    case kHang: {
      Trunk(r.In(-0.2f, 0.3f), r.In(-0.2f, 0.2f), r.Bell(0.12f), r.Bell(0.2f), -r.In(-0.2f, 0.6f));
      const float f = r.In(-25, 40), pull = r.Chance(0.3f) ? r.In(0.3f, 0.8f) : r.In(0.92f, 0.99f), w = p.shoulder * r.In(0.7f, 1.6f);
      for (int i = 0; i < 2; ++i) {
        const int kind = r.Below(3);
        if (kind == 0) Leg(i, {f + r.Bell(8), r.In(0, 12), r.In(0, 20), 0}, r.In(10, 65));
        else if (kind == 1) Leg(i, {r.In(0, 100), r.In(0, 25), r.In(20, 120), 0}, r.In(0, 60));
        else Leg(i, {f, r.In(0, 40), r.In(0, 90), 0}, r.In(0, 65));
      }
      const float y = k.pit.y + arm * pull;
      k.at[0] = {0, y, k.pit.z + 0.03f};
      for (int i = 0; i < 2; ++i) {
        Shoulder(i);
        k.shoulder[i] = k.shoulder[i] + c.y * 0.025f;
        k.elbow[i] = Reach(k.shoulder[i], {Side(i) * w, y, k.at[0].z}, p.upper_arm, p.forearm, Unit(c.x * Side(i) - c.y * 0.4f + c.z * 0.3f), k.wrist[i]);
        k.hand_dir[i] = Unit(Unit(k.wrist[i] - k.elbow[i]) + V3{0, 0.3f, 0});
        k.fist[i] = true;
        k.tip[i] = k.wrist[i] + k.hand_dir[i] * (p.hand * 0.62f);
      }
      if (r.Chance(0.15f)) ArmAlong(b, {-sa, r.In(-1, 0.5f), 0.2f}, r.In(0.7f, 0.98f), false);
      k.at[0].y = k.wrist[a].y + 0.02f;
      Ground();
      k.ground -= r.In(0.05f, 0.3f);
      break;
    }
    default: break;
  }
}

}  // namespace drawer
