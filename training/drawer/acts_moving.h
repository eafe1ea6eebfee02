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
    default: break;
  }
}

}  // namespace drawer
