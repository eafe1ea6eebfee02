// Toward the viewer.
#pragma once
#include "actor.h"

namespace drawer {

AL_LARGE void Actor::Foreshortened(int act) {
  const float d = p.chest_depth;
  switch (act) {
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
    default: break;
  }
}

}  // namespace drawer
