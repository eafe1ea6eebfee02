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
    default: break;
  }
}

}  // namespace drawer
