// Legs, shoes, trousers and skirts.
#pragma once
#include "painting.h"

namespace drawer {

struct LegPainter : Painting {
  float leg_depth[2] = {}, shin_depth[2] = {};

  AL_BOTH explicit LegPainter(const Painting& p) : Painting(p) {}

  // thigh, knee, calf to ankle with the calf's bulge behind
  AL_BOTH void ShinVolume(int i, float grow) {
    const Proportions& p = k.p;
    const V3 s = Unit(k.ankle[i] - k.knee[i]), back = Across(k.foot_dir[i] * -1.0f, s);
    const V3 calf = Mix(k.knee[i], k.ankle[i], 0.32f) + back * (p.noodle ? 0 : p.r_calf * 0.3f);
    e.Capsule(k.knee[i], p.r_knee * grow, calf, p.r_calf * grow);
    e.Capsule(calf, p.r_calf * grow, k.ankle[i], p.r_ankle * grow);
  }
  AL_BOTH void ThighVolume(int i, float grow) {
    const Proportions& p = k.p;
    const V3 mid = Mix(k.hip[i], k.knee[i], 0.4f);
    e.Capsule(k.hip[i], p.r_thigh * 1.05f * grow, mid, Mix(p.r_thigh, p.r_knee, p.noodle ? 0.4f : 0.25f) * grow);
    e.Capsule(mid, Mix(p.r_thigh, p.r_knee, p.noodle ? 0.4f : 0.25f) * grow, k.knee[i], p.r_knee * grow);
  }
  AL_BOTH void BareFoot(int i) {
    const float ra = k.p.r_ankle;
    const V3 ball = Mix(k.heel[i], k.toe[i], 0.75f);
    e.Capsule(k.ankle[i], ra, ball, ra * 0.75f);
    e.Capsule(k.heel[i], ra * 0.75f, k.toe[i] - k.foot_dir[i] * (ra * 0.45f), ra * 0.45f);
  }

  AL_BOTH void Leg(int i) {
    const Proportions& p = k.p;
    const float thigh = e.Depth(Mix(k.hip[i], k.knee[i], 0.6f)), shin = e.Depth(Mix(k.knee[i], k.ankle[i], 0.5f));
    const float d1 = thigh > trunk + 0.13f ? thigh + 0.02f : Min(thigh, trunk - 0.004f) - 0.002f;
    const float d2 = shin < thigh - 0.15f || shin > thigh + 0.1f ? shin : d1;
    leg_depth[i] = d1;
    shin_depth[i] = d2;
    const bool split = fabsf(d2 - d1) > 0.01f;
    const Colour skin = Own(look.skin, LegDepth(i), LegDepth(1 - i));
    e.Begin(d1, skin, look.ink, look.width, 1.5f);
    ThighVolume(i, 1);
    if (!split) { ShinVolume(i, 1); if (o.barefoot) BareFoot(i); }
    Patterned(e.Now(), r, look.pattern * (look.bare ? 0.3f : 1));
    e.HideLine(k.hip[i], p.r_thigh * 1.3f);
    if (split) {
      e.Begin(d2, skin, look.ink, look.width, 1.5f);
      ShinVolume(i, 1);
      if (o.barefoot) BareFoot(i);
      if (d2 > d1) e.HideLine(k.knee[i], p.r_knee * 1.1f);
      Patterned(e.Now(), r, look.pattern * (look.bare ? 0.3f : 1));
    }
    if (!look.simple && look.width > 0 && r.Chance(0.35f)) Folds(Mix(k.hip[i], k.knee[i], 0.8f), k.ankle[i], Max(d1, d2) + 1e-3f, 2, 1);
    if (!o.barefoot) Shoe(i, d2);
    if (o.legs) Trouser(i, d1, d2, split);
  }
  AL_BOTH void Shoe(int i, float depth) {
    const Proportions& p = k.p;
    const float f = Max(p.r_ankle * r.In(0.85f, 1.3f), 0.012f) * (p.foot > 0.14f ? 1.25f : 1.0f);
    const V3 down = Unit(k.heel[i] - k.ankle[i]);
    e.Begin(depth + 3e-3f, Own(look.shoe, LegDepth(i), LegDepth(1 - i)), look.ink, look.width, 1.5f);
    e.Capsule(k.ankle[i], p.r_ankle * 1.15f, Mix(k.ankle[i], k.toe[i], 0.72f), f * 0.9f);
    e.Capsule(k.heel[i], f, k.toe[i] - k.foot_dir[i] * (f * 0.7f), f * r.In(0.65f, 1.1f));
    if (o.boots) e.Capsule(k.ankle[i], p.r_ankle * 1.2f, Mix(k.ankle[i], k.knee[i], o.boot_length), Max(p.r_calf, p.r_ankle) * r.In(1.05f, 1.4f));
    if (o.heels) e.Capsule(k.heel[i], f * 0.7f, k.heel[i] + down * 0.03f, 0.004f);
    Patterned(e.Now(), r, look.pattern);
    if (!look.simple && r.Chance(0.4f)) {  // sole
      e.Begin(depth + 3.2e-3f, r.Chance(0.5f) ? look.accent : Dim(look.shoe, 0.6f), look.ink, look.width * 0.7f);
      e.Capsule(k.heel[i] + down * (f * 0.6f), f * 0.4f, k.toe[i] - k.foot_dir[i] * f + down * (f * 0.5f), f * 0.35f);
    }
    if (o.wheels) for (int j = 0; j < 4; ++j) {
      const V3 c = Mix(k.heel[i], k.toe[i], j / 3.0f) + down * 0.03f;
      e.Begin(depth + 3.4e-3f, look.accent, look.ink, look.width);
      e.Capsule(c, 0.013f, c, 0.0129f);
    }
    if (r.Chance(0.25f) && !look.simple) {  // sock
      e.Begin(depth + 2e-3f, look.accent, look.ink, look.width);
      e.Tube(k.ankle[i], p.r_ankle * 1.15f, Mix(k.ankle[i], k.knee[i], r.In(0.08f, 0.45f)), p.r_ankle * 1.3f);
    }
  }
  AL_BOTH void Trouser(int i, float d1, float d2, bool split) {
    const Proportions& p = k.p;
    const float w = o.leg_loose, t = Min(1, o.leg_length), u = o.leg_length - 1;
    const Colour bottom = Own(look.bottom, LegDepth(i), LegDepth(1 - i));
    const V3 end = Mix(k.hip[i], k.knee[i], t);
    const float r_end = Mix(p.r_thigh, p.r_knee, t) * w * (o.legs == 1 ? o.leg_flare : 1);
    const V3 hem = Mix(k.knee[i], k.ankle[i], Max(0, u));
    const float r_hem = Max(p.r_ankle * 1.15f, Mix(p.r_calf, p.r_ankle, u) * w * o.leg_flare);
    e.Begin(d1 + 4e-3f, bottom, look.ink, look.width, 1.5f);
    if (u > 0) e.Capsule(k.hip[i], p.r_thigh * 1.1f * w, end, r_end);
    else e.Tube(k.hip[i], p.r_thigh * 1.1f * w, end, r_end);
    if (u > 0 && !split) e.Tube(k.knee[i], r_end, hem, r_hem);
    Patterned(e.Now(), r, look.pattern);
    e.HideLine(k.hip[i], p.r_thigh * 1.35f);
    if (u > 0 && split) {
      e.Begin(d2 + 5e-3f, bottom, look.ink, look.width, 1.5f);
      e.Tube(k.knee[i], r_end, hem, r_hem);
      if (d2 > d1) e.HideLine(k.knee[i], p.r_knee * 1.2f);
      Patterned(e.Now(), r, look.pattern);
    }
    Folds(k.hip[i], k.knee[i], Max(d1, d2) + 6e-3f, 2, 0.4f);
    Folds(k.knee[i], hem, Max(d1, d2) + 6e-3f, 2, 0.3f);
    if (!look.simple && r.Chance(0.12f)) {  // stripe or cuff
      e.Begin(d2 + 6e-3f, look.accent, look.ink, look.width * 0.6f);
      if (u > 0) e.Capsule(Mix(k.knee[i], hem, 0.88f), r_hem * 1.05f, hem, r_hem * 1.05f);
      else e.Capsule(Mix(k.hip[i], end, 0.9f), r_end, end, r_end * 1.03f);
    }
  }

  // Cloth from the waist to `length` leg lengths down (1 knee, 2 ankle).
  AL_BOTH void Skirt(Colour c, float length, float flare, bool open) {
    const Proportions& p = k.p;
    V2 q[8];
    float rad[8];
    int n = 0;
    float front = -9;
    for (int i = 0; i < 2; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f;
      const V3 w = k.waist + k.middle.x * (side * p.waist * 0.7f) - k.middle.y * 0.01f;
      q[n] = e.Project(w); rad[n++] = p.waist * 0.35f * e.ScaleAt(w);
    }
    V3 low[2];
    for (int i = 0; i < 2; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f;
      const V3 on = length < 1 ? Mix(k.hip[i], k.knee[i], length) : Mix(k.knee[i], k.ankle[i], length - 1);
      low[i] = on + k.pelvis.x * (side * flare * Min(1.3f, 0.4f + length)) ;
      const float rr = (length < 1 ? Mix(p.r_thigh, p.r_knee, length) : p.r_knee) * 1.05f + flare * 0.2f;
      q[n] = e.Project(low[i]); rad[n++] = rr * e.ScaleAt(low[i]);
      q[n] = e.Project(k.hip[i]); rad[n++] = p.r_thigh * 1.12f * e.ScaleAt(k.hip[i]);
      front = Max(front, e.Depth(Mix(k.hip[i], low[i], 0.6f)));
    }
    const float depth = front > trunk + 0.1f ? front + 0.03f : trunk - 3e-3f;
    if (o.gown) {  // how the cloth swells between hip and hem
      const float at = r.In(0.2f, 0.6f), swell = r.In(0.2f, 0.95f) * flare;
      for (int i = 0; i < 2; ++i) {
        const V3 m = Mix(k.hip[i], low[i], at) + k.pelvis.x * ((i == 0 ? 1.0f : -1.0f) * swell);
        q[n] = e.Project(m); rad[n++] = p.r_thigh * e.ScaleAt(m);
      }
    }
    if (open) {  // a coat that stands open: the back hangs behind the legs, two panels in front
      e.Begin(Min(leg_depth[0], leg_depth[1]) - 0.01f, Dim(c, r.In(0.45f, 0.9f)), look.ink, look.width);
      e.Hull(q, rad, n);
      for (int i = 0; i < 2; ++i) {
        const float side = i == 0 ? 1.0f : -1.0f;
        const V3 in = k.waist + k.middle.x * (side * p.waist * 0.15f) + k.middle.z * (p.chest_depth * 0.9f);
        const V2 v[4] = {e.Project(k.waist + k.middle.x * (side * p.waist * 1.05f)), e.Project(in),
                         e.Project(Mix(k.hip[i], low[i], 0.97f) + k.pelvis.x * (side * r.In(0.0f, 0.05f)) + k.pelvis.z * 0.03f), e.Project(low[i] + k.pelvis.x * (side * (flare + 0.03f)))};
        e.Begin(trunk - 2e-3f, c, look.ink, look.width);
        e.Polygon(v, 4);
        Patterned(e.Now(), r, look.pattern);
      }
      return;
    }
    e.Begin(depth, c, look.ink, look.width);
    e.Hull(q, rad, n);
    Patterned(e.Now(), r, look.pattern);
    if (r.Chance(0.4f)) {  // straight hem: cut what hangs rounded below it
      const V3 down = Unit(Mix(k.ankle[0] + k.ankle[1], k.hip[0] + k.hip[1], 0.0f) * 0.5f - (k.hip[0] + k.hip[1]) * 0.5f);
      const V3 m = (low[0] + low[1]) * 0.5f + down * (0.012f);
      const V2 a = e.Project(m), d2 = e.Project(m + down) - a;
      const float l = Length(d2);
      if (l > 20) {
        const V2 u = d2 * (1 / l), v{-u.y, u.x};
        const V2 box[4] = {a + v * 200, a - v * 200, a - v * 200 + u * 120, a + v * 200 + u * 120};
        e.Polygon(box, 4, kCut);
      }
    }
    if (o.gown && !look.simple && r.Chance(0.35f)) {  // tiers, a border
      const int tiers = 1 + r.Below(3);
      for (int j = 1; j <= tiers; ++j) {
        const float t = j / (tiers + r.In(0.1f, 1));
        const V2 a = Mix(q[0], q[2], t), b = Mix(q[1], q[4], t);
        const V2 l[3] = {a, Mix(a, b, 0.5f) + V2{r.Bell(2), r.In(0, 9)}, b};
        Stroke(e, depth + 1e-4f, look.width > 0 ? look.ink : Dim(c, 0.6f), l, 3, Max(look.width * r.In(0.5f, 1), 0.7f));
      }
    }
    if (look.width > 0 && r.Chance(0.7f)) {
      const int folds = 2 + r.Below(o.gown ? 9 : 5);
      for (int j = 0; j < folds; ++j) {
        const V2 a = Mix(q[0], q[1], r.F()), b = Mix(q[2], q[4], r.F());
        const V2 p2[3] = {Mix(a, b, r.In(0.1f, 0.7f)), Mix(a, b, 0.8f) + V2{r.Bell(1.5f), 0}, b};
        Stroke(e, depth + 1e-4f, look.ink, p2, 3, look.width * r.In(0.5f, 1));
      }
    }
  }
};

}  // namespace drawer
