// Seated on chairs, at tables, with books; on the ground; folded up.
#pragma once
#include "actor.h"

namespace drawer {

AL_LARGE void Actor::Seated(int act) {
  const float d = p.chest_depth;
  const Axes& c = k.chest;
  switch (act) {
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
    case kPerch: {  // on a block, a wall, a bench: the shins hang or the feet just reach
      const bool hunched = r.Chance(0.35f);
      Trunk(hunched ? r.In(0.1f, 0.5f) : r.In(-0.25f, 0.25f), hunched ? r.In(0.3f, 0.9f) : r.In(-0.05f, 0.35f), r.Bell(0.1f), r.Bell(0.2f), hunched ? r.In(-0.5f, 0.4f) : r.Bell(0.25f));
      const float f = r.In(68, 95), swing = r.In(60, 105);
      for (int i = 0; i < 2; ++i) Leg(i, {f + r.Bell(4), r.In(-3, 16), swing + r.Bell(16), r.In(-5, 15)}, r.In(-10, 45));
      const int legs = r.Below(6);
      if (legs == 0) Leg(a, {r.In(90, 112), -r.In(10, 24), r.In(75, 120), 0}, r.In(0, 40));  // knee over knee
      else if (legs == 1) LegTo(a, {sa * p.hip, -p.r_thigh, p.thigh * r.In(0.45f, 0.85f)}, {sa * 0.2f, 1, 0.4f}, 0, 0.1f);  // one foot up on the seat
      else if (legs == 2) for (int i = 0; i < 2; ++i) LegTo(i, {-Side(i) * r.In(0.02f, 0.05f), -leg * 0.45f, p.thigh + leg * (i == a ? 0.08f : 0.0f)}, {Side(i) * 0.4f, 1, 0.6f}, r.In(0, 0.6f));
      else if (legs == 3) Leg(b, {r.In(70, 95), r.In(0, 20), r.In(0, 50), 0}, r.In(0, 45));
      Ground();
      k.ground -= r.Chance(0.5f) ? 0.005f : r.In(0, 0.25f);
      k.on_chair = true;
      const int kind = r.Below(6);
      for (int i = 0; i < 2; ++i) {
        const float s = Side(i);
        if (kind == 0) ArmTo(i, {s * (p.hip + r.In(0.03f, 0.12f)), -p.r_thigh + 0.02f, r.In(-0.1f, 0.1f)}, {s * 0.7f, 0, -0.8f}, {s * 0.2f, -0.5f, 0.4f}, false);
        else if (kind == 1) ArmTo(i, Mix(k.hip[i], k.knee[i], r.In(0.5f, 1)) + V3{0, p.r_thigh + 0.015f, 0}, {s, -0.3f, -0.6f}, {-s * 0.2f, -0.1f, 0.5f}, false);
        else if (kind == 2) { if (i == a) ArmTo(i, k.skull - k.head.y * (p.head * 0.5f) + k.head.z * (p.head_half_depth * 0.9f), V3{s * 0.2f, -1, 0.7f}, {0, 0.7f, 0}, r.Chance(0.6f)); else ArmTo(i, Mix(k.hip[a], k.knee[a], r.In(0.5f, 0.9f)) + V3{0, p.r_thigh + 0.015f, 0}, {s, -0.4f, -0.3f}, {-s, 0, 0.2f}, false); }
        else if (kind == 3) ArmTo(i, Mix(k.knee[0], k.knee[1], 0.5f) + V3{s * 0.015f, p.r_knee * r.In(-0.5f, 1.2f), r.In(0, 0.07f)}, {s, -0.4f, -0.4f}, {-s * 0.5f, -0.1f, 0.3f}, r.Chance(0.3f));
        else if (kind == 4) { if (i == a) ArmTo(i, {s * (p.hip + 0.06f), -p.r_thigh + 0.02f, -r.In(0, 0.15f)}, {s * 0.5f, 0, -1}, {s * 0.2f, -0.5f, -0.3f}, false); else Arm(i, r.In(0, 100), r.In(0, 50), r.In(0, 100), r.Chance(0.3f)); }
      }
      if (kind == 5) ArmsClose();
      turn = r.Chance(0.8f) ? r.Sign() * r.In(30, 115) : r.Chance(0.6f) ? r.Bell(25) : 180 + r.Bell(50);
      break;
    }
    default: break;
  }
}

}  // namespace drawer
