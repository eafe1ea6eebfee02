// Sport and dance.
#pragma once
#include "actor.h"

namespace drawer {

AL_LARGE void Actor::Moving(int act) {
  switch (act) {
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
    case kSquat: {
      const float deep = leg * r.In(0.2f, 0.52f), open = r.Chance(0.4f) ? r.In(0.6f, 1.6f) : r.In(0, 0.6f), wide = p.hip * r.In(0.6f, 1.4f) + open * 0.05f, ahead = leg * r.In(0.02f, 0.2f);
      const bool on_toes = r.Chance(0.5f), flat = r.Chance(0.5f);
      Trunk(r.In(0.1f, 0.8f), r.In(0.05f, 0.8f), r.Bell(0.1f), r.Bell(0.2f), -r.In(-0.2f, 0.8f));
      for (int i = 0; i < 2; ++i) LegTo(i, {Side(i) * wide, -deep, ahead - (on_toes ? 0.05f : 0.0f)}, {Side(i) * open, 0.6f, 1}, on_toes && !(flat && i == a) ? r.In(0.4f, 1.0f) : 0, open * 0.6f);
      if (r.Chance(0.15f)) LegTo(b, {-sa * leg * r.In(0.7f, 0.9f), -deep, r.In(0, 0.1f)}, {-sa * 0.2f, 1, 0.4f}, 0, 0.4f);  // one leg out to the side
      Ground();
      const int kind = r.Below(6);
      for (int i = 0; i < 2; ++i) {
        const float s = Side(i);
        if (kind == 0) ArmTo(i, Mix(k.knee[0], k.knee[1], 0.5f) + V3{s * 0.02f, -r.In(0, 0.07f), r.In(0.02f, 0.1f)}, {s, -0.2f, -0.3f}, {-s * 0.4f, 0, 0.4f}, r.Chance(0.4f));
        else if (kind == 1) ArmTo(i, {s * r.In(0.02f, 0.12f), k.ground + 0.015f, Max(k.toe[0].z, 0.05f) + r.In(-0.12f, 0.1f)}, {s, 0.2f, -0.6f}, {0, -0.2f, 0.5f}, false);
        else if (kind == 2) ArmTo(i, k.knee[i] + V3{0, p.r_knee + 0.01f, 0}, {s, -0.3f, -0.6f}, {-s * 0.3f, -0.4f, 0.3f}, false);
        else if (kind == 3) ArmAlong(i, {s * r.In(0, 0.5f), r.In(-0.4f, 0.3f), 1}, r.In(0.85f, 0.99f), r.Chance(0.3f));
        else if (kind == 4) { if (i == a) ArmTo(i, {s * 0.1f, k.ground + 0.015f, k.toe[i].z + r.In(-0.05f, 0.1f)}, {s, 0, -0.5f}, {0, -0.4f, 0.4f}, r.Chance(0.4f)); else ArmTo(i, Mix(k.knee[i], k.hip[i], r.In(0, 0.3f)) + V3{0, p.r_thigh, 0.01f}, {s, 0.2f, -0.6f}, {0, -0.3f, 0.4f}, false); }
      }
      if (kind == 5) ArmsClose();
      turn = r.In(-180, 180);
      break;
    }
    case kLunge: {
      const float deep = leg * r.In(0.45f, 0.82f), step = leg * r.In(0.35f, 0.62f);
      const bool fencing = r.Chance(0.45f);
      k.at[0] = {fencing && r.Chance(0.6f) ? 1.0f : 0.0f, sa, r.In(0.3f, 0.55f)};
      if (fencing) {  // sideways, the foot and the face the way it goes
        Trunk(r.Bell(0.1f), r.Bell(0.12f), -sa * r.In(-0.2f, 0.1f), sa * r.In(0, 0.6f), 0, -sa * r.In(-0.1f, 0.4f));
        Face(sa * r.In(0.5f, 1.1f), r.Bell(0.12f));
        LegTo(a, {sa * step, -deep, 0}, {sa, 0.25f, 0.35f});
        Foot(a, {sa, 0, r.In(0, 0.4f)}, {0, -1, 0});
        LegTo(b, {-sa * leg * r.In(0.4f, 0.75f), -deep, -0.02f}, {-sa * 0.4f, 0.2f, 1}, 0, 0.3f);
        ArmAlong(a, V3{sa, r.In(-0.2f, 0.4f), r.In(0, 0.4f)}, r.In(0.75f, 0.99f), true);
        if (r.Chance(0.6f)) Arm(b, r.In(-20, 20), r.In(50, 140), r.In(0, 100), false);
        else ArmTo(b, k.hip[b] + V3{-sa * 0.03f, 0.06f, 0}, {-sa, 0, -0.4f}, {sa, -0.3f, 0}, r.Chance(0.5f));
      } else {
        Trunk(r.In(-0.1f, 0.7f), r.In(-0.1f, 0.3f), r.Bell(0.1f), r.Bell(0.3f), -r.In(0, 0.5f));
        LegTo(a, {sa * p.hip * r.In(0.6f, 1.5f), -deep, step}, {sa * r.In(0, 0.4f), 0.3f, 1}, 0, r.In(0, 0.3f));
        LegTo(b, {-sa * p.hip * r.In(0.6f, 1.5f), -deep + 0.03f, -leg * r.In(0.45f, 0.8f)}, {-sa * 0.2f, -0.3f, 1}, r.In(0.3f, 1.2f), 0.1f);
        const int kind = r.Below(4);
        for (int i = 0; i < 2; ++i) {
          if (kind == 0) ArmAlong(i, {Side(i) * r.In(0.3f, 1), r.In(-0.3f, 1), r.In(-0.2f, 0.5f)}, r.In(0.8f, 0.99f), false);
          else if (kind == 1) ArmAlong(i, {Side(i) * 0.15f, i == a ? 0.1f : -0.1f, i == a ? -1.0f : 1.0f}, r.In(0.75f, 0.99f), r.Chance(0.4f));
          else if (kind == 2) ArmTo(i, Mix(k.knee[a], k.hip[a], r.In(0, 0.25f)) + V3{Side(i) * 0.02f, p.r_knee + 0.015f, 0}, {Side(i), 0.2f, -0.4f}, {0, -0.3f, 0.4f}, false);
          else Rounded(i, i == a ? 2 : 0);
        }
      }
      Ground();
      turn = fencing ? (r.Chance(0.7f) ? r.Bell(35) : 180 + r.Bell(35)) : r.Chance(0.6f) ? r.Sign() * r.In(45, 125) : r.In(-180, 180);
      break;
    }
    case kKick: {
      const int kind = r.Below(5);
      k.at[1] = {kind < 2 && r.Chance(0.75f) ? 1.0f : 0.0f, r.In(0.035f, 0.075f), 0};
      if (kind == 0) {  // drawn back
        Trunk(r.In(-0.15f, 0.4f), r.In(-0.25f, 0.2f), r.Bell(0.12f), -sa * r.In(0, 0.5f), r.In(-0.1f, 0.35f));
        Leg(a, {-r.In(15, 65), r.In(0, 25), r.In(40, 120), 0}, r.In(10, 60));
        Leg(b, {r.In(0, 28), r.In(-6, 8), r.In(5, 40), 0});
        Ground();
        k.at[0] = {sa * p.hip * 0.5f, k.ground + k.at[1].y, leg * r.In(0.1f, 0.5f)};
      } else if (kind < 3) {  // swung through, low or high
        Trunk(r.In(-0.55f, 0.2f), r.In(-0.1f, 0.35f), r.Bell(0.12f), sa * r.In(0, 0.5f), r.In(-0.3f, 0.3f));
        Leg(a, {kind == 1 ? r.In(25, 75) : r.In(75, 140), r.In(-12, 20), r.In(0, 30), r.In(0, 20)}, r.In(0, 60));
        Leg(b, {-r.In(0, 22), r.In(-6, 8), r.In(0, 28), 0}, r.Chance(0.4f) ? r.In(20, 55) : 0);
        Ground();
        k.at[0] = k.toe[a] + V3{0, r.In(-0.02f, 0.12f), r.In(0.05f, 0.35f)};
      } else {  // to the side, leaning away
        const float away = r.In(0, 0.9f);
        Trunk(r.Bell(0.1f), r.Bell(0.1f), sa * r.In(-0.3f, 0.1f), sa * r.In(-0.3f, 0.5f), 0, sa * away);
        Face(sa * r.In(0.2f, 1.1f), r.Bell(0.12f));
        if (kind == 3) Leg(a, {r.In(-5, 30), r.In(60, 115), r.In(0, 15), r.In(0, 50)}, r.In(0, 50));
        else Leg(a, {r.In(50, 95), r.In(30, 60), r.In(70, 125), r.In(20, 60)}, r.In(0, 50));
        Leg(b, {r.Bell(5), away / kDeg + r.In(-4, 6), r.In(0, 30), r.In(0, 40)});
        Ground();
      }
      if (kind < 3) { Arm(b, r.In(20, 80), r.In(15, 80), r.In(5, 80), r.Chance(0.4f)); Arm(a, -r.In(10, 55), r.In(25, 90), r.In(5, 60), r.Chance(0.4f)); }
      else if (r.Chance(0.5f)) for (int i = 0; i < 2; ++i) ArmTo(i, k.pit + k.chest.x * (Side(i) * r.In(0, 0.08f)) + k.chest.z * r.In(0.12f, 0.22f) - k.chest.y * r.In(0, 0.08f), k.chest.x * Side(i) - k.chest.y, k.chest.y * 0.5f, true);
      else for (int i = 0; i < 2; ++i) Arm(i, r.Bell(20), r.In(20, 110), r.In(0, 90), r.Chance(0.5f));
      turn = kind < 3 ? (r.Chance(0.65f) ? r.Sign() * r.In(35, 120) : r.In(-180, 180)) : r.Chance(0.6f) ? r.Bell(40) : 180 + r.Bell(50);
      break;
    }
    case kLeap: {
      const int kind = r.Below(4);  // split, one knee bent, legs apart, drawn up
      Trunk(r.In(-0.25f, 0.45f), r.In(-0.45f, 0.25f), r.Bell(0.12f), r.Bell(0.25f), -r.In(-0.1f, 0.4f));
      if (kind < 2) {
        Leg(a, {r.In(50, 105), r.In(-4, 18), kind == 1 && r.Chance(0.5f) ? r.In(60, 120) : r.In(0, 20), r.In(0, 20)}, r.In(10, 70));
        Leg(b, {-r.In(35, 95), r.In(-4, 18), kind == 1 ? r.In(20, 110) : r.In(0, 20), r.In(0, 45)}, r.In(10, 70));
      } else for (int i = 0; i < 2; ++i) {
        if (kind == 2) Leg(i, {r.In(0, 45), r.In(40, 85), r.In(0, 25), r.In(0, 50)}, r.In(10, 70));
        else Leg(i, {r.In(-30, 100), r.In(0, 25), r.In(60, 135), r.In(0, 20)}, r.In(10, 65));
      }
      Ground();
      const int arms = r.Below(4);
      for (int i = 0; i < 2; ++i) {
        if (arms == 0) Rounded(i, r.Below(3));
        else if (arms == 1) Arm(i, i == a ? -r.In(20, 70) : r.In(40, 110), r.In(5, 40), r.In(0, 40), false);
        else if (arms == 2) Arm(i, r.Bell(20), r.In(70, 165), r.In(0, 50), r.Chance(0.3f));
        else ArmAlong(i, {Side(i), r.In(-0.4f, 0.6f), r.In(-0.3f, 0.3f)}, r.In(0.85f, 0.99f), false);
      }
      whole = TurnX(r.Bell(0.2f)) * TurnZ(r.Bell(0.15f));
      turn = r.Chance(0.65f) ? r.Sign() * r.In(45, 125) : r.In(-180, 180);
      break;
    }
    case kSprint: {
      Trunk(r.In(0.1f, 0.65f), r.In(0, 0.3f), r.Bell(0.1f), sa * r.In(0, 0.4f), -r.In(0, 0.6f));
      Leg(a, {r.In(35, 100), r.In(-6, 8), r.In(50, 125), 0}, r.In(-15, 30));
      Leg(b, {-r.In(5, 55), r.In(-6, 8), r.Chance(0.5f) ? r.In(5, 40) : r.In(50, 120), 0}, r.In(20, 70));
      Arm(b, r.In(15, 75), r.In(0, 25), r.In(60, 120), r.Chance(0.6f));
      Arm(a, -r.In(20, 75), r.In(5, 35), r.In(45, 110), r.Chance(0.6f));
      Ground();
      whole = TurnX(r.In(0, 0.3f));
      turn = r.Chance(0.7f) ? r.Sign() * r.In(40, 125) : r.In(-180, 180);
      break;
    }
    case kSplits: {
      const bool aside = r.Chance(0.5f);
      Trunk(aside ? r.In(-0.1f, 0.9f) : r.In(-0.2f, 0.5f), r.In(-0.3f, 0.4f), r.Bell(0.2f), r.Bell(0.2f), -r.In(-0.2f, 0.4f));
      k.ground = -p.r_thigh;
      for (int i = 0; i < 2; ++i) {
        const float open = r.In(45, 90) * kDeg, knee = r.Chance(0.8f) ? r.In(0, 0.12f) : r.In(0.2f, 1.2f);
        if (aside) LegAlong(i, {Side(i) * sinf(open), -r.In(0, 0.12f), cosf(open)}, {Side(i) * sinf(open - knee), -r.In(0, 0.12f), cosf(open + knee * 1.5f)});
        else Leg(i, {i == a ? r.In(76, 92) : -r.In(70, 90), r.In(0, 10), r.Chance(0.7f) ? r.In(0, 10) : r.In(10, 80), i == a ? 0.0f : r.In(0, 50)}, r.In(0, 70));
        const int kind = r.Below(3);
        if (kind == 0) Rounded(i, r.Below(3));
        else if (kind == 1) ArmTo(i, {Side(i) * r.In(0.05f, 0.2f), k.ground + 0.02f, r.In(-0.05f, 0.25f)}, {Side(i), 0.2f, -0.5f}, {0, -0.2f, 0.4f}, false);
        else ArmAlong(i, {Side(i) * r.In(0.3f, 1), r.In(-0.3f, 1), r.In(-0.1f, 0.5f)}, r.In(0.85f, 0.99f), false);
      }
      turn = aside ? (r.Chance(0.7f) ? r.Bell(40) : 180 + r.Bell(40)) : r.Sign() * r.In(35, 130);
      break;
    }
    default: break;
  }
}

}  // namespace drawer
