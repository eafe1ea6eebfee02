// Poses that chance angles do not give: on and with things, folded up, crossing, upside down, toward the viewer.
#pragma once
#include "acts_foreshortened.h"
#include "acts_moving.h"
#include "acts_seated.h"
#include "acts_standing.h"
#include "acts_upside_down.h"
#include "acts_with_things.h"

namespace drawer {

AL_LARGE void Actor::Perform(int act) {
  turn = r.Chance(0.3f) ? r.Bell(18) : r.Chance(0.7f) ? r.Sign() * r.In(18, 110) : 180 + r.Bell(50);
  k.act = act;
  k.seated = k.lying = k.tiptoe = false;
  k.holds_both = true;
  Trunk(r.Bell(0.08f), r.Bell(0.12f) + 0.04f, r.Bell(0.12f), r.Bell(0.2f), r.Bell(0.2f));
  Stand(r.Chance(0.3f) ? r.In(0, 0.12f) : 0);
  Ground();
  switch (act) {
    case kCycle: case kScooter: case kBoard: case kLadder: case kRailing: case kLoad: case kCarryBox: case kBalloon: case kHanger: case kPole: case kInstrument: case kBuckets: case kBurden: case kCane:
      WithThings(act);
      break;
    case kChair: case kTable: case kBook: case kCurl: case kKneel: case kSideSit: case kPerch:
      Seated(act);
      break;
    case kRobe: case kAnklesCrossed: case kFootOnLeg: case kOnALine: case kArmsClose: case kBallet: case kCurtsey:
      Standing(act);
      break;
    case kSki: case kSquat: case kLunge: case kKick: case kLeap: case kSprint: case kSplits:
      Moving(act);
      break;
    case kShoulderStand: case kBackBend: case kHandstand: case kFreeze: case kHeadstand: case kKneeHang: case kHang:
      UpsideDown(act);
      break;
    case kFootNear: case kFistNear:
      Foreshortened(act);
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

// As chance has it, now and then with arms that chance alone would not fold, cross or hide.
AL_LARGE Skeleton PlainSkeleton(Random& r, const Proportions& p, int facing, bool calm) {
  Skeleton k = RandomSkeleton(r, p, facing, calm);
  if (!k.lying && r.Chance(0.08f)) {
    k.holds_both = true;
    Actor{k, r}.ArmsClose();
  }
  return k;
}

}  // namespace drawer
