// Figures as cartoons and clip art have them: a limb is one contour with a straight and a curved side, clothes are cut to a front and
// a back, near parts lie clearly over far ones.
#pragma once
#include "costume.h"
#include "ends.h"
#include "skirts.h"

namespace drawer {

// What one such figure has in common; drawn once.
struct Design {
  int leg_cut, sleeve_cut, costume, shoe, hand;
  float leg_wide, sleeve_wide, shoe_big, hand_big, sharp, band, pad;
  bool cuffed, near_leg_over;
};

enum LegCut { kCutBody, kCutStraight, kCutBell, kCutPeg, kCutHose, kLegCuts };

AL_LARGE Design RandomDesign(Random& r, const Look& look, const Skeleton& k, Outfit& o) {
  Design d{};
  const bool droll = k.p.cartoon > 0.2f || r.Chance(0.3f);
  d.leg_cut = droll && r.Chance(0.3f) ? kCutHose : r.Below(kCutHose);
  d.sleeve_cut = r.Below(4);
  d.costume = r.Below(kCostumes);
  d.shoe = droll ? r.Below(kPlainShoes) : r.Chance(0.8f) ? r.Below(4) : r.Below(kPlainShoes);
  d.hand = r.Below(kPlainHands);
  if (d.hand == kPointing && r.Chance(0.7f)) d.hand = kFourFingers;
  d.leg_wide = r.In(0.95f, 1.2f) * (r.Chance(0.25f) ? r.In(1.1f, 1.5f) : 1);
  d.sleeve_wide = r.In(1.0f, 1.25f) * (r.Chance(0.25f) ? r.In(1.1f, 1.5f) : 1);
  d.shoe_big = droll ? r.In(1.0f, 1.7f) : r.In(0.85f, 1.15f);
  d.hand_big = droll ? r.In(1.0f, 1.5f) : r.In(0.85f, 1.1f);
  d.sharp = r.Chance(0.3f) ? 1.0f : 0.0f;
  d.band = r.In(0.2f, 0.42f);
  d.pad = r.Chance(0.4f) ? r.In(0.3f, 1.1f) : 0;
  d.cuffed = r.Chance(0.15f);
  d.near_leg_over = r.Chance(0.75f);
  if (look.bare) { d.shoe = kBareFoot; return d; }
  o.legs = o.skirt ? 0 : r.Chance(0.72f) ? 2 : r.Chance(0.8f) ? 1 : o.legs;
  o.leg_length = o.legs == 1 ? r.In(0.45f, 1.0f) : r.In(1.75f, 2.02f);
  o.vest = o.apron = false;
  if (d.costume == kJacket || d.costume == kDoubleBreasted) { o.sleeves = 2; o.sleeve_length = r.In(1.75f, 2.0f); o.jacket_wide = r.Chance(0.6f) ? r.In(1.05f, 1.6f) : 1; }
  if (d.costume == kSinglet) o.sleeves = 0;
  if (d.costume == kSweater || d.costume == kZipped) { o.sleeves = 2; o.sleeve_length = r.In(1.6f, 2.0f); }
  if (d.costume == kOveralls) { o.legs = 2; o.leg_length = r.In(1.75f, 2.02f); o.skirt = o.dress = o.coat = false; }
  if (r.Chance(0.5f) && !look.InLine() && !look.simple) o.far_shade = r.In(0.5f, 0.8f);
  o.gloves = r.Chance(droll ? 0.14f : 0.05f);
  o.barefoot = d.shoe == kBareFoot;
  return d;
}

// One closed contour over two bones. `fore` and `aft`: half widths on the side of `forward` and the other at kStations places, three of
// them before the joint, one at it. False where it is folded or seen end on, and two parts must do.
constexpr int kStations = 7;
AL_LARGE bool BentContour(Easel& e, V3 a, V3 j, V3 b, const float* fore, const float* aft, V3 forward, float second, float sharp, float hem) {
  const V2 A = e.Project(a), J = e.Project(j), B = e.Project(b);
  V2 u = J - A, v = B - J;
  const float l1 = Length(u), l2 = Length(v), s1 = e.ScaleAt(a), s2 = e.ScaleAt(j), s3 = e.ScaleAt(b);
  if (l1 < 1.1f * Max(fore[1], aft[1]) * s1 || l2 < 1.0f * Max(fore[5], aft[5]) * s2) return false;
  u = u * (1 / l1); v = v * (1 / l2);
  const float dot = u.x * v.x + u.y * v.y, turn = u.x * v.y - u.y * v.x;
  if (dot < -0.3f) return false;
  const V2 n1{-u.y, u.x}, n2{-v.y, v.x};
  V2 nb = n1 + n2;
  nb = nb * (1 / (Length(nb) + 1e-4f));
  const float half = sqrtf((1 + dot) * 0.5f), tangent = sqrtf(Max(0, 1 - half * half)) / half;
  const V3 f = e.View(forward);
  const float c = f.x * nb.x - f.y * nb.y, at[kStations] = {0, 0.45f, 0.86f, 1, 0.14f, second, 1};
  V2 q[2][kStations];
  for (int s = 0; s < 2; ++s) {
    const float sign = s == 0 ? 1.0f : -1.0f;
    const bool inner = turn * sign > 0;
    for (int i = 0; i < kStations; ++i) {
      const float plain = (fore[i] + aft[i]) * 0.5f;
      float w = Mix(plain, c * sign > 0 ? fore[i] : aft[i], fabsf(c)) * (i < 3 ? Mix(s1, s2, at[i]) : Mix(s2, s3, i == 3 ? 0 : at[i]));
      w *= 1 + (e.Chance(40 + 10 * s + i) - 0.5f) * e.scene->style.uneven * (i == 0 || i == kStations - 1 ? 0.3f : 0.8f);
      const float off = i < 3 ? l1 * (1 - at[i]) : l2 * at[i];
      if (i == 3 || (inner && (i == 2 || i == 4) && off < w * tangent)) q[s][i] = J + nb * (sign * (inner ? w / Max(half, 0.72f) : w * (1 + (1 - half) * 0.35f)));
      else q[s][i] = (i < 3 ? Mix(A, J, at[i]) + n1 * (sign * w) : Mix(J, B, at[i]) + n2 * (sign * w));
    }
  }
  V2 o[kPolygon];
  const int m = sharp > 0 ? kStations : 10;
  int n = 0;
  o[n++] = A - u * (Length(q[0][0] - q[1][0]) * 0.3f);
  V2 curve[10];
  if (sharp > 0) for (int i = 0; i < m; ++i) o[n++] = q[0][i];
  else { e.Curve(q[0], kStations, curve, m); for (int i = 0; i < m; ++i) o[n++] = curve[i]; }
  o[n++] = B + v * (Length(q[0][kStations - 1] - q[1][kStations - 1]) * 0.5f * hem);
  if (sharp > 0) for (int i = m - 1; i >= 0; --i) o[n++] = q[1][i];
  else { e.Curve(q[1], kStations, curve, m); for (int i = m - 1; i >= 0; --i) o[n++] = curve[i]; }
  e.Polygon(o, n);
  return true;
}

struct DesignedLegs : ShoePainter {
  const Design& d;
  AL_BOTH DesignedLegs(const LegPainter& l, const Design& design) : ShoePainter(l), d(design) {}

  AL_LARGE void Widths(bool cloth, float* fore, float* aft) const {
    const Proportions& p = k.p;
    const float t = p.r_thigh, n = p.r_knee, c = p.r_calf, a = p.r_ankle, w = cloth ? d.leg_wide * 1.08f : 1;
    const float body_f[kStations] = {t * 1.08f, Mix(t, n, 0.35f) * 1.16f, n * 1.08f, n * 1.02f, n * 0.95f, c * 0.8f, a}, body_a[kStations] = {t * 1.12f, Mix(t, n, 0.45f), n * 0.98f, n * 0.9f, c * 0.95f, c * 1.32f, a};
    for (int i = 0; i < kStations; ++i) { fore[i] = body_f[i] * w; aft[i] = body_a[i] * w; }
    if (k.p.noodle || (d.leg_cut == kCutHose && cloth)) for (int i = 0; i < kStations; ++i) fore[i] = aft[i] = Mix(t, n, 0.6f) * w * (i == kStations - 1 ? 1.08f : 1);
    if (!cloth) return;
    if (d.leg_cut == kCutStraight) { fore[5] = Max(fore[5], n * w); aft[4] = n * w; aft[5] = Max(c, n) * 1.05f * w; fore[6] = Max(a * 1.25f, n * 0.92f) * w; aft[6] = Max(a * 1.3f, n * 0.98f) * w; }
    else if (d.leg_cut == kCutBell) { fore[5] = n * 1.02f * w; aft[5] = c * 1.25f * w; fore[6] = t * 0.95f * w; aft[6] = t * 1.2f * w; }
    else if (d.leg_cut == kCutPeg) { fore[0] = t * 1.15f * w; fore[1] = t * 1.3f * w; aft[1] = t * 1.15f * w; fore[2] = n * 1.3f * w; aft[5] = c * 1.35f * w; fore[6] = aft[6] = a * 1.25f; }
  }
  AL_LARGE void Leg(int i, bool nearer, bool clear) {
    const Proportions& p = k.p;
    const float thigh = e.Depth(Mix(k.hip[i], k.knee[i], 0.6f)), shin = e.Depth(Mix(k.knee[i], k.ankle[i], 0.5f));
    float d1 = thigh > trunk + 0.13f ? thigh + 0.02f : Min(thigh, trunk - 0.004f) - 0.002f;
    const bool over = nearer && clear && d.near_leg_over && d1 < trunk && !o.skirt && !o.coat;
    if (over) d1 = trunk - 5.6e-3f + 4e-3f - 2e-3f;  // over the seat, below the top
    const float d2 = shin < thigh - 0.15f || shin > thigh + 0.1f ? shin : d1;
    leg_depth[i] = d1; shin_depth[i] = d2;
    const bool split = fabsf(d2 - d1) > 0.01f;
    const V3 forward = KneeFront(i);
    const Colour skin = Own(o.tights ? look.accent : look.skin, LegDepth(i), LegDepth(1 - i)), bottom = Own(look.bottom, LegDepth(i), LegDepth(1 - i));
    float fore[kStations], aft[kStations];
    const bool trousers = o.legs == 2 && o.leg_length > 1.5f;
    if (!trousers) {
      Widths(false, fore, aft);
      e.Begin(d1, skin, look.ink, look.width, o.knit);
      const bool whole = !split && BentContour(e, k.hip[i], k.knee[i], k.ankle[i], fore, aft, forward, 0.36f, d.sharp, 0.2f);
      if (!whole) { ThighVolume(i, 1); if (!split) ShinVolume(i, 1); }
      e.HideLine(k.hip[i] + (over ? Outer(i, Unit(k.knee[i] - k.hip[i])) * (p.r_thigh * 0.6f) : V3{0, 0, 0}), p.r_thigh * (over ? 1.0f : 1.3f));
      if (split) { e.Begin(d2, skin, look.ink, look.width, o.knit); ShinVolume(i, 1); KneeCap(i, 1); if (d2 > d1) e.HideLine(k.knee[i], p.r_knee * 1.1f); }
      LegLines(i, Max(d1, d2) + 1e-3f);
    } else if (o.leg_length < 1.96f) {  // what the trousers leave bare above the shoe
      e.Begin(d2, skin, look.ink, look.width, o.knit);
      ShinVolume(i, 1);
    }
    if (o.socks && !o.barefoot && !look.simple && !trousers) {  // a sock with its rolled top
      const V3 top = Mix(k.ankle[i], k.knee[i], o.sock_length);
      const float rt = Mix(p.r_ankle, p.r_calf, Min(1, o.sock_length * 2)) * 1.15f;
      e.Begin(d2 + 2e-3f, look.accent, look.ink, look.width);
      Even(k.ankle[i], p.r_ankle * 1.2f, top, rt);
      e.Begin(d2 + 2.1e-3f, look.accent, look.ink, look.width);
      Even(Mix(k.ankle[i], top, 0.72f), rt * 1.12f, top, rt * 1.16f, 0.1f);
    }
    PlainShoe(i, d.shoe, d.shoe_big, d2);
    if (!o.legs) return;
    const float u = o.leg_length - 1, t = Min(1, o.leg_length);
    const V3 hem = trousers ? Mix(k.knee[i], k.ankle[i], Min(u, 0.97f)) : Mix(k.hip[i], k.knee[i], t);
    Widths(true, fore, aft);
    e.Begin(d1 + 4e-3f, bottom, look.ink, look.width, 1.5f);
    if (trousers) {
      const float curl = r.In(0, 0.3f);
      const bool whole = !split && BentContour(e, k.hip[i], k.knee[i], hem, fore, aft, forward, 0.4f, d.sharp, curl);
      if (!whole) {
        Cloth(k.hip[i], fore[0], k.knee[i], fore[3], 0, -9.0f);
        if (split) { e.Begin(d2 + 5e-3f, bottom, look.ink, look.width, 1.5f); if (d2 > d1) e.HideLine(k.knee[i], p.r_knee * 1.2f); Wear(false); }
        Cloth(k.knee[i], (fore[3] + aft[3]) * 0.5f, hem, (fore[6] + aft[6]) * 0.5f, 0, curl);
      }
    } else {
      Cloth(k.hip[i], fore[0], hem, Mix(fore[0], fore[3], t) * r.In(1.0f, 1.35f), 0, r.In(0, 0.2f));
    }
    Wear(false);
    if (!split || trousers) e.HideLine(k.hip[i] + (over ? Outer(i, Unit(k.knee[i] - k.hip[i])) * (p.r_thigh * 0.6f) : V3{0, 0, 0}), p.r_thigh * (over ? 1.05f : 1.35f));
    if (look.simple) return;
    const float top = Max(d1, d2) + 6e-3f;
    if (trousers) {
      JointFolds(k.hip[i], k.knee[i], hem, fore[3], bottom, top);
      HemFolds(k.knee[i], hem, aft[6], bottom, top);
      if (over) JointFolds(k.waist, k.hip[i], k.knee[i], fore[0], bottom, top);
    }
    if (Toward(k.knee[i], k.ankle[i]) < 0.3f) NearEnd(k.hip[i], p.r_thigh, k.knee[i], p.r_knee * 1.15f * (trousers ? d.leg_wide : 1.0f), k.ankle[i], trousers ? bottom : skin, top + 4e-4f, false);
    if (r.Chance(0.85f)) SoleSeen(i, Max(d1, d2) + 7e-3f);
  }
  AL_BOTH void Draw() {
    const float a = e.Depth(k.hip[0]), b = e.Depth(k.hip[1]);
    for (int i = 0; i < 2; ++i) Leg(i, (i == 0) == (a > b), fabsf(a - b) > 0.02f);
  }
};

struct DesignedTrunk : CostumePainter {
  const Design& d;
  AL_BOTH DesignedTrunk(const Painting& p, const Design& design) : CostumePainter(p), d(design) {}

  AL_LARGE void Draw() {
    hem_curve = r.In(-0.02f, 0.16f);
    const Proportions& p = k.p;
    const Axes &c = k.chest, &b = k.pelvis;
    const float neck = Min(p.head_half_width * 0.75f, 0.026f * p.bulk * r.In(0.8f, 1.4f));
    const V3 nape = k.skull - k.head.y * (p.head * 0.25f) - k.head.z * (p.head_half_depth * 0.1f);
    e.Begin(trunk - 9e-3f, look.skin, look.ink, look.width, 2);
    Neck(neck, nape);
    if (!o.legs) { e.Capsule(k.hip[0], p.r_thigh * 0.85f, k.hip[1], p.r_thigh * 0.85f); e.HideLine(k.root - b.y * (p.r_thigh * 0.9f), p.hip + p.r_thigh * 0.8f); }
    if (o.legs) {  // the seat lies between the far leg and the near one
      const float seat = p.r_thigh * Min(d.leg_wide, 1.2f) * 1.04f;
      e.Begin(trunk - 2.6e-3f, look.bottom, look.ink, look.width, 2);
      e.Capsule(k.hip[0] + b.y * (seat * 0.3f), seat, k.hip[1] + b.y * (seat * 0.3f), seat);
      Seat(Max(d.band, 0.3f) / 0.42f, seat);
      e.HideLine(k.root - b.y * p.r_thigh, p.hip + seat * 0.75f);
      Wear(false);
    }
    const bool tucked = o.legs && d.costume != kJacket && d.costume != kDoubleBreasted && d.costume != kSmock && r.Chance(0.5f), suit = !o.legs && !o.skirt && !o.coat;
    const float low = tucked ? 0.5f : d.costume == kSmock ? r.In(1.0f, 1.2f) : r.In(0.7f, 1.12f), by = tucked || suit ? 0 : Max(o.jacket_wide - 1, d.costume == kSmock ? 0.25f : 0.0f);
    e.Begin(trunk, look.top, look.ink, look.width, r.In(1, 5));
    if (!Contour(o.cloth, by, suit ? -1 : low)) {
      e.Ellipsoid(Mix(k.waist, k.pit, 0.48f), c, {p.chest * o.cloth, p.trunk * 0.42f, p.chest_depth * o.cloth});
      e.Capsule(k.waist, p.waist * 0.85f * o.cloth, Mix(k.waist, k.root, Min(low, 1)), Mix(p.waist, p.pelvis, Min(low, 1)) * 0.8f);
    }
    const float slope = r.In(0.4f, 0.95f);  // of the shoulders
    for (int i = 0; i < 2; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f;
      e.Capsule(k.shoulder[i] - c.x * (side * p.r_shoulder * 0.3f), p.r_shoulder * 0.98f, k.neck - c.y * 0.012f, Max(neck, p.r_shoulder * slope));
    }
    if ((d.costume == kJacket || d.costume == kDoubleBreasted) && d.pad > 0)  // padded shoulders stand out beyond the joint
      for (int i = 0; i < 2; ++i) e.Capsule(k.shoulder[i] + c.x * ((i == 0 ? 1.0f : -1.0f) * p.r_shoulder * d.pad) + c.y * (p.r_shoulder * 0.35f), p.r_shoulder * 0.6f, k.neck - c.y * 0.01f, p.r_shoulder * 0.7f);
    if (suit) e.HideLine(k.root - b.y * (p.r_thigh * 0.9f), p.hip + p.r_thigh * 0.8f);
    Wear(true);
    if (look.simple) return;
    Cut(d.costume);
    if (o.legs && (tucked || d.costume == kOveralls)) TrouserCut(Max(d.band, 0.3f));
    if (d.costume == kZipped && r.Chance(0.7f)) {  // a hood lies on the back
      e.Begin(facing > 0 ? trunk - 0.012f : trunk + 8.8e-3f, look.top, look.ink, look.width, 1);
      e.Ellipsoid(k.neck - c.z * (p.chest_depth * 0.7f) + c.y * 0.01f, c, {p.shoulder * 0.62f, p.trunk * 0.14f, p.chest_depth * 0.7f});
    }
    if (!o.skirt && r.Chance(0.6f)) LowerFolds();
    if (r.Chance(0.4f)) TrunkFolds();
  }
  // Cloth pulled from the crotch to the hips.
  AL_BOTH void LowerFolds() {
    if (!o.legs || o.folds <= 0) return;
    const V2 from = e.Project(k.root - k.pelvis.y * (k.p.r_thigh * 0.8f) + k.pelvis.z * (k.p.chest_depth * (facing > 0 ? 0.6f : -0.6f)));
    BeginMarks(trunk + 2.5e-3f - 3e-3f, FoldColour(look.bottom));
    for (int i = 0; i < 2; ++i) Fan(from, e.Project(Mix(k.hip[i], k.waist, 0.15f)) - from, 0.6f, 1 + r.Below(2), k.p.r_thigh * 1.1f * e.ScaleAt(k.root));
  }
};

struct DesignedArms : HandPainter {
  const Design& d;
  AL_BOTH DesignedArms(const ArmPainter& a, const Design& design) : HandPainter(a), d(design) {}

  AL_LARGE void Arm(int i) {
    const Proportions& p = k.p;
    const float s = p.r_shoulder, el = p.r_elbow, f = p.r_forearm, w = p.r_wrist;
    const float upper = e.Depth(Mix(k.shoulder[i], k.elbow[i], 0.6f)), lower = e.Depth(Mix(k.elbow[i], k.wrist[i], 0.7f)), body = e.Depth(Mix(k.waist, k.pit, 0.5f));
    float d1 = upper > body - 0.035f ? Max(trunk + 0.02f, upper + 0.03f + trunk - body) : Min(trunk - 0.02f, upper + trunk - body);
    float d2 = lower > body - 0.02f ? Max(trunk + 0.021f, lower + 0.04f + trunk - body) : Min(trunk - 0.021f, lower + trunk - body);
    const bool split = (d1 - trunk) * (d2 - trunk) < 0;
    if (!split) d1 = d2 = Max(d1, d2);
    const Colour skin = Own(look.skin, ArmDepth(i), ArmDepth(1 - i)), top = Own(look.top, ArmDepth(i), ArmDepth(1 - i));
    const V3 back = ElbowBack(i), forward = back * -1.0f;
    const bool longs = o.sleeves == 2 && o.sleeve_length > 1.4f;
    float fore[kStations] = {s, Mix(s, el, 0.5f) * 1.18f, el * 1.0f, el * 0.85f, f * 0.95f, f * 1.0f, w}, aft[kStations] = {s * 1.08f, Mix(s, el, 0.5f) * 0.98f, el * 1.05f, el * 1.12f, f * 1.05f, f * 1.12f, w};
    if (p.noodle) for (int j = 0; j < kStations; ++j) fore[j] = aft[j] = el;
    if (!longs) {
      e.Begin(d1, skin, look.ink, look.width, o.knit);
      const bool whole = !split && BentContour(e, k.shoulder[i], k.elbow[i], k.wrist[i], fore, aft, forward, 0.35f, d.sharp, 0.1f);
      if (!whole) { UpperVolume(i, 1); if (!split) ForeVolume(i, 1); }
      e.HideLine(k.shoulder[i], s * 1.25f);
      if (split) { e.Begin(d2, skin, look.ink, look.width, o.knit); ForeVolume(i, 1); if (d2 > d1) e.HideLine(k.elbow[i], el * 1.15f); }
      if (Lined() && !look.simple && r.Chance(0.6f)) { BeginMarks(Max(d1, d2) + 1e-3f, look.ink); const V2 in = e.Project(k.elbow[i] + forward * (el * 0.9f)); Mark(in, Mix(in, e.Project(k.elbow[i]), 0.7f), r.Bell(0.2f), look.width * 0.6f); }
    }
    if (longs && o.sleeve_length < 1.96f) {
      e.Begin(d2, skin, look.ink, look.width, o.knit);
      ForeVolume(i, 1);
    }
    const float at_us = Toward(k.elbow[i], k.wrist[i]);
    PlainHand(i, d.hand, d.hand_big, d.cuffed && (longs || o.gloves), at_us > 0.5f ? d2 + 5e-3f : d2);
    const V3 bone = Unit(k.elbow[i] - k.shoulder[i]), in = k.chest.x * (i == 0 ? -1.0f : 1.0f);
    if (o.sleeves) {
      const float g = d.sleeve_wide * 1.1f, u = o.sleeve_length - 1;
      const float hem_w = d.sleeve_cut == 0 ? w * 1.25f : d.sleeve_cut == 1 ? Max(w * 1.4f, el * 0.95f) : d.sleeve_cut == 2 ? el * 1.4f : w * 1.15f;
      for (int j = 0; j < kStations; ++j) { fore[j] *= g; aft[j] *= g; }
      if (d.sleeve_cut == 3) { fore[5] = el * 1.3f * g; aft[5] = el * 1.35f * g; }
      e.Begin(d1 + 5e-3f, top, look.ink, look.width, 1.5f);
      const float curl = r.In(0, 0.25f);
      if (longs) {
        const V3 hem = Mix(k.elbow[i], k.wrist[i], Min(u, 0.98f));
        fore[6] = hem_w * 0.96f; aft[6] = hem_w * (d.sleeve_cut == 2 ? 1.4f : 1.0f);
        const bool whole = !split && BentContour(e, k.shoulder[i], k.elbow[i], hem, fore, aft, forward, 0.45f, d.sharp, curl);
        if (!whole) {
          Cloth(k.shoulder[i], fore[0], k.elbow[i], fore[3], 0, -9.0f);
          if (split) { e.HideLine(k.shoulder[i], s * 1.3f); Wear(true); e.Begin(d2 + 6e-3f, top, look.ink, look.width, 1.5f); }
          Cloth(k.elbow[i], (fore[3] + aft[3]) * 0.5f, hem, hem_w, 0, curl);
        }
        if (split && d2 > d1) e.HideLine(k.elbow[i], el * 1.25f);
        else if (!split) e.HideLine(k.shoulder[i] + in * (s * 0.2f) + k.chest.y * (s * 0.25f), s * 1.3f);  // the line begins in the armpit
        Wear(true);
        if (!look.simple) {
          JointFolds(k.shoulder[i], k.elbow[i], hem, fore[3], top, Max(d1, d2) + 7e-3f);
          if (r.Chance(0.3f)) {
            e.Begin(d2 + 6.5e-3f, r.Chance(0.5f) ? top : look.accent, look.ink, look.width);
            Even(Mix(k.elbow[i], hem, 0.84f), hem_w * 1.12f, hem, hem_w * 1.16f, curl);
          }
        }
      } else {
        const float t = Min(o.sleeve_length, 0.9f);
        Cloth(k.shoulder[i], fore[0] * 1.03f, Mix(k.shoulder[i], k.elbow[i], t), Mix(fore[0], fore[3], t) * r.In(1.05f, 1.35f), 0, curl);
        e.HideLine(k.shoulder[i] + in * (s * 0.2f) + k.chest.y * (s * 0.25f), s * 1.3f);
        Wear(true);
      }
    }
    if (look.simple) return;
    const bool before = d1 > trunk;
    if (before && Lined() && r.Chance(0.7f)) {  // where the near arm lies on the trunk, its line runs up into the shoulder
      const V3 pit = k.shoulder[i] + bone * (s * 1.25f) + in * (s * 0.85f);
      BeginMarks(Max(d1, d2) + 7.1e-3f, o.sleeves ? FoldColour(top) : look.ink);
      Mark(e.Project(pit), e.Project(k.shoulder[i] + in * (s * r.In(0.5f, 0.9f)) + k.chest.y * (s * r.In(0.0f, 0.5f))), r.Bell(0.12f), Max(look.width * 0.9f, 0.6f));
    }
    const Colour end_colour = longs ? top : skin;
    if (!p.noodle) {
      if (at_us < 0.5f) NearEnd(k.shoulder[i], s, k.elbow[i], el * 1.1f, k.wrist[i], end_colour, Max(d1, d2) + 7.2e-3f, true);
      else NearEnd(k.elbow[i], el, Mix(k.elbow[i], k.wrist[i], 0.85f), w * 1.25f, k.tip[i], end_colour, d2 + 7.4e-3f, true);
    }
  }
};

AL_LARGE void DrawDesigned(const Painting& from) {
  Painting p = from;
  const Design d = RandomDesign(p.r, p.look, p.k, p.o);
  if (p.k.seated && !p.look.simple && p.r.Chance(0.6f)) SeatPainter(p).Seat();
  LegPainter base(p);
  DesignedLegs legs(base, d);
  legs.Draw();
  const Outfit& o = p.o;
  if (o.skirt) SkirtPainter(legs).Skirt(o.dress ? p.look.top : p.look.bottom, o.skirt_length, o.skirt_flare, false);
  if (o.coat) SkirtPainter(legs).Skirt(p.look.top, o.skirt_length, o.skirt_flare * 0.6f, false);
  if (p.look.bare) TrunkPainter(p).Trunk();
  else DesignedTrunk(p, d).Draw();
  if (o.cape && !p.look.simple) CloakPainter(TrunkPainter(p)).Cloak();
  ArmPainter arm(p);
  DesignedArms arms(arm, d);
  for (int i = 0; i < 2; ++i) arms.Arm(i);
  if (!p.look.simple && p.r.Chance(0.08f)) GearPainter(p).Draw();
}

}  // namespace drawer
