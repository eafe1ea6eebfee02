// Riding, climbing, leaning, carrying, playing.
#pragma once
#include "actor.h"

namespace drawer {

AL_LARGE void Actor::WithThings(int act) {
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
    case kBurden: {
      const int kind = r.Below(5);  // on a shoulder; on the bent back; on the head; a log on one shoulder; a yoke over both
      const V3 h{r.In(0.06f, 0.16f), r.In(0.05f, 0.13f), r.In(0.06f, 0.16f)};
      Trunk(kind == 1 ? r.In(0.4f, 1.15f) : kind == 2 ? r.Bell(0.05f) : r.In(0, 0.45f), kind == 1 ? r.In(0.15f, 0.7f) : r.In(0, 0.3f), kind == 0 || kind == 3 ? sa * r.In(-0.1f, 0.3f) : r.Bell(0.05f), r.Bell(0.1f), kind == 2 ? r.Bell(0.08f) : -r.In(0, 0.6f));
      if (r.Chance(0.6f)) Stride(r.In(0.08f, 0.38f));
      else { const float bent = r.In(0.82f, 0.99f); for (int i = 0; i < 2; ++i) LegTo(i, {Side(i) * p.hip * r.In(0.8f, 1.8f), -leg * bent, r.Bell(0.06f)}, {Side(i) * r.In(0, 0.4f), 0, 1}, 0, r.In(0, 0.4f)); }
      Ground();
      for (int i = 0; i < 2; ++i) Shoulder(i);
      k.at[1] = h;
      k.at[2] = {static_cast<float>(kind), sa, 0};
      if (kind == 0) {
        const V3 at = k.shoulder[a] + c.x * (sa * (h.x * 0.4f)) + c.y * (h.y + p.r_shoulder) - c.z * r.In(0, 0.06f);
        k.at[0] = at;
        ArmTo(a, at + c.x * (sa * h.x * r.In(0.6f, 1)) + c.y * (h.y * r.In(-0.8f, 0.9f)) + c.z * (h.z * r.In(0, 0.9f)), c.x * sa + c.z * 0.5f - c.y * 0.5f, c.y * 0.6f, false);
        if (r.Chance(0.35f)) ArmTo(b, at + c.y * (h.y * r.In(0, 1)) + c.z * h.z, c.x * -sa, c.x * (sa * 0.6f), false);
        else if (r.Chance(0.5f)) ArmTo(b, k.hip[b] + V3{-sa * 0.03f, 0.06f, 0}, {-sa, 0, -0.4f}, {sa, -0.3f, 0}, r.Chance(0.4f));
      } else if (kind == 1) {
        k.at[0] = Mix(k.waist, k.pit, r.In(0.8f, 1.25f)) - c.z * (d + h.z * 0.9f);
        k.at[1].x *= r.In(1, 1.6f);
        for (int i = 0; i < 2; ++i) {
          const int how = r.Below(3);
          if (how == 0) ArmTo(i, k.shoulder[i] + c.y * 0.06f - c.z * r.In(0, 0.06f) + c.x * (Side(i) * 0.03f), c.z * 0.8f + c.x * (Side(i) * 0.5f) - c.y * 0.3f, c.z * -0.6f, true);
          else if (how == 1) ArmTo(i, k.waist - c.z * (d + 0.05f) + c.x * (Side(i) * 0.08f), c.x * Side(i) - c.z * 0.3f, c.z * -0.6f, false);
          else ArmTo(i, k.knee[i] + V3{0, p.r_knee + 0.01f, 0.01f}, {Side(i), 0.2f, -0.4f}, {0, -0.3f, 0.4f}, false);
        }
      } else if (kind == 2) {
        const V3 top = k.skull + k.head.y * (p.head * 0.46f);
        k.at[0] = top + k.head.y * h.y;
        const int hands = r.Below(3);
        for (int i = 0; i < 2; ++i) if (hands == 2 || (hands == 1 && i == a)) ArmTo(i, k.at[0] + k.head.x * (Side(i) * h.x) - k.head.y * (h.y * r.In(-0.5f, 1)), c.x * Side(i) + c.z * 0.2f, c.y * 0.6f, false);
      } else {
        const V3 along = kind == 3 ? Unit(c.z + V3{0, r.Bell(0.2f), 0}) : c.x;
        k.at[0] = kind == 3 ? k.shoulder[a] + c.y * (p.r_shoulder + 0.035f) - c.x * (sa * 0.01f) : k.pit + c.y * 0.03f - c.z * (d * 0.6f + 0.03f);
        k.at[3] = along;
        for (int i = 0; i < 2; ++i) {
          if (kind == 3 && i == b) { if (r.Chance(0.3f)) ArmTo(b, k.at[0] + along * (arm * 0.5f), c.x * -sa - c.y, c.x * (sa * 0.5f), true); continue; }
          if (kind == 3) ArmTo(a, k.at[0] + along * (arm * r.In(0.15f, 0.5f)) + c.y * 0.02f, c.x * sa - c.y * 0.6f, c.y * 0.4f, r.Chance(0.5f));
          else ArmTo(i, k.at[0] + c.x * (Side(i) * arm * r.In(0.45f, 0.85f)), c.y * -1.0f + c.x * Side(i), c.y * 0.4f, true);
        }
      }
      turn = r.In(-180, 180);
      break;
    }
    case kCane: {  // bent with age
      Trunk(r.In(0.15f, 0.65f), r.In(0.35f, 1.1f), r.Bell(0.1f), r.Bell(0.1f), -r.In(0.2f, 1.0f));
      const float s = r.Chance(0.6f) ? r.In(0.03f, 0.16f) : 0;
      for (int i = 0; i < 2; ++i) LegTo(i, {Side(i) * p.hip * r.In(0.8f, 1.6f), -leg * r.In(0.78f, 0.94f), (i == a ? -s : s) * leg}, {Side(i) * r.In(0, 0.4f), 0, 1}, 0, r.In(0, 0.4f));
      Ground();
      const V3 hand{sa * p.shoulder * r.In(0.2f, 1.5f), Min(k.pit.y - arm * r.In(0.5f, 0.9f), k.pit.y - 0.05f), k.pit.z + arm * r.In(0, 0.5f)};
      ArmTo(a, hand, {sa, -0.2f, -0.8f}, {0, -0.5f, 0.3f}, true);
      const int free = r.Below(4);
      if (free == 0) ArmTo(b, k.wrist[a] + V3{-sa * 0.015f, 0.012f, 0}, {-sa, -0.2f, -0.5f}, {sa * 0.3f, -0.5f, 0.2f}, true);
      else if (free == 1) ArmTo(b, k.waist - c.z * (d + 0.03f), c.x * -sa - c.z * 0.4f, c.x * sa, false);
      else if (free == 2) ArmTo(b, k.hip[b] + c.y * 0.07f - c.x * (sa * 0.02f) - k.pelvis.z * 0.03f, c.x * -sa - c.z * 0.6f, k.pelvis.y * -0.5f + c.x * (sa * 0.4f), false);
      else Hang(b, r.Chance(0.4f));
      k.at[0] = Mix(k.wrist[a], k.tip[a], 0.6f);
      k.at[1] = Unit(V3{r.Bell(0.06f), -1, r.In(-0.1f, 0.25f)});
      turn = r.Chance(0.7f) ? r.Sign() * r.In(30, 125) : r.In(-180, 180);
      break;
    }
    default: break;
  }
}

}  // namespace drawer
