// Trunk, limbs, clothes and things held.
#pragma once
#include "canvas.h"
#include "head.h"
#include "outfit.h"
#include "pose.h"

namespace drawer {

struct Painter {
  Easel& e;
  Random& r;
  Skeleton& k;
  const Look& look;
  Outfit o;
  float trunk;  // depth of the trunk
  float leg_depth[2], shin_depth[2];

  AL_BOTH void Folds(V3 a, V3 b, float depth, int n, float chance) {
    if (look.width <= 0 || !r.Chance(chance)) return;
    for (int i = 0; i < n; ++i) {
      const V2 at = e.Project(Mix(a, b, r.In(0.1f, 0.95f)));
      const float t = r.In(0, kTau), l = r.In(3, 13);
      const V2 mid = at + V2{cosf(t), sinf(t)} * (l * 0.5f) + V2{r.Bell(1.5f), r.Bell(1.5f)};
      const V2 p[3] = {at, mid, at + V2{cosf(t), sinf(t)} * l};
      Stroke(e, depth, look.ink, p, 3, look.width * r.In(0.4f, 0.9f));
    }
  }

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

  // The limb's own colour; darker when the other one of the pair is clearly nearer.
  AL_BOTH Colour Own(Colour c, float depth, float other) const { return other > depth + 0.025f ? Dim(c, o.far_shade) : c; }
  AL_BOTH float LegDepth(int i) const { return e.Depth(Mix(k.hip[i], k.ankle[i], 0.5f)); }
  AL_BOTH float ArmDepth(int i) const { return e.Depth(k.elbow[i]); }

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
    V2 q[6];
    float rad[6];
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
    if (look.width > 0 && r.Chance(0.7f)) {
      const int folds = 2 + r.Below(5);
      for (int j = 0; j < folds; ++j) {
        const V2 a = Mix(q[0], q[1], r.F()), b = Mix(q[2], q[4], r.F());
        const V2 p2[3] = {Mix(a, b, r.In(0.1f, 0.7f)), Mix(a, b, 0.8f) + V2{r.Bell(1.5f), 0}, b};
        Stroke(e, depth + 1e-4f, look.ink, p2, 3, look.width * r.In(0.5f, 1));
      }
    }
  }

  AL_BOTH void Trunk() {
    const Proportions& p = k.p;
    const Axes &c = k.chest, &m = k.middle, &b = k.pelvis;
    const float size = p.trunk / 0.3f, facing = e.View(c.z).z;
    const float neck = Min(p.head_half_width * 0.75f, 0.026f * p.bulk * r.In(0.8f, 1.4f));
    const V3 nape = k.skull - k.head.y * (p.head * 0.25f) - k.head.z * (p.head_half_depth * 0.1f);
    // skin: neck and what clothes leave bare
    e.Begin(trunk - 2e-3f, look.skin, look.ink, look.width, 2);
    if (!look.simple || r.Chance(0.5f)) e.Capsule(k.neck - c.y * 0.03f, neck * 1.15f, nape, neck);
    for (int i = 0; i < 2; ++i) e.Capsule(k.shoulder[i], p.r_shoulder * 0.8f, k.neck, neck);
    e.Ellipsoid(Mix(k.waist, k.pit, 0.45f), c, {p.chest, p.trunk * 0.36f, p.chest_depth});
    e.Ellipsoid(k.root + b.y * (p.trunk * 0.1f), b, {p.pelvis, p.trunk * 0.2f, p.chest_depth * 1.1f});
    e.Capsule(k.waist, p.waist * 0.8f, k.root + b.y * (p.trunk * 0.08f), p.waist * 0.8f);
    Patterned(e.Now(), r, look.pattern * 0.5f);
    // the garment
    const float cf = o.cloth;
    const Colour cloth = look.bare ? look.skin : look.top;
    e.Begin(trunk, cloth, look.ink, look.width, r.In(2, 7));
    e.Ellipsoid(Mix(k.waist, k.pit, 0.48f), c, {p.chest * cf, p.trunk * 0.4f, p.chest_depth * cf});
    if (look.bare) e.Capsule(k.neck - c.y * 0.03f, neck * 1.15f, nape, neck);
    for (int i = 0; i < 2; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f;
      e.Capsule(k.shoulder[i] - c.x * (side * p.r_shoulder * 0.3f), p.r_shoulder * 0.95f * cf, k.neck - c.y * (0.02f * size), p.r_shoulder * 0.9f);
    }
    if (look.technique == kPictogram || r.Chance(0.12f)) {  // boxy
      V2 q[4];
      float rad[4];
      for (int i = 0; i < 4; ++i) {
        const V3 at = i < 2 ? k.shoulder[i] : k.hip[i - 2];
        q[i] = e.Project(at);
        rad[i] = p.r_shoulder * e.ScaleAt(at);
      }
      e.Hull(q, rad, 4);
    }
    const bool crop = r.Chance(0.1f);
    const float low = crop ? 0.35f : o.legs && r.Chance(0.5f) ? 0.6f : r.In(0.75f, 1.2f);
    const V3 ribs = Mix(k.waist, k.pit, 0.5f);
    for (int i = 0; i < 2; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f;
      const V3 w = k.waist + m.x * (side * p.waist * 0.45f), h = k.root + b.x * (side * p.pelvis * 0.45f);
      e.Capsule(ribs + c.x * (side * p.chest * 0.45f), p.chest * 0.5f * cf, w, p.waist * 0.55f * cf);
      const V3 end = Mix(w, h, low);
      if (r.Chance(0.5f)) e.Capsule(w, p.waist * 0.55f * cf, end, Mix(p.waist, p.pelvis, Min(low, 1)) * 0.55f * cf);
      else e.Tube(w, p.waist * 0.55f * cf, end, Mix(p.waist, p.pelvis, Min(low, 1)) * 0.58f * cf);
    }
    if (p.belly > 0) e.Ellipsoid(Mix(k.root, k.waist, 0.7f) + m.z * (p.belly * 0.5f), m, {p.waist * 1.1f + p.belly * 0.3f, p.trunk * 0.3f, p.belly + 0.03f});
    if (p.bust > 0 && !look.simple) e.Ellipsoid(Mix(k.waist, k.pit, 0.62f) + c.z * (p.chest_depth * 0.55f), c, {p.chest * 0.8f, p.chest * 0.5f * p.bust, p.chest_depth * 0.95f});
    Patterned(e.Now(), r, look.pattern);
    if (p.bust > 0 && !look.simple && facing > -0.1f && look.width > 0 && r.Chance(0.6f))
      for (int i = 0; i < 2; ++i) {
        const float side = i == 0 ? 1.0f : -1.0f;
        const V3 at = Mix(k.waist, k.pit, 0.58f) + c.x * (side * p.chest * 0.42f) + c.z * (p.chest_depth * 1.25f);
        const float q = p.chest * 0.32f;
        const V2 l[3] = {e.Project(at - c.x * q + c.y * (q * 0.4f)), e.Project(at - c.y * (q * 0.35f)), e.Project(at + c.x * q + c.y * (q * 0.4f))};
        Stroke(e, trunk + 1.5e-3f, look.ink, l, 3, look.width * 0.7f);
      }
    if (o.legs) {
      e.Begin(trunk - 1e-3f + (r.Chance(0.5f) ? 2e-3f : 0), look.bottom, look.ink, look.width, 2);
      const float seat = p.r_thigh * Min(o.leg_loose, 1.2f);
      e.Capsule(k.hip[0] + b.y * (seat * 0.3f), seat, k.hip[1] + b.y * (seat * 0.3f), seat);
      e.Capsule(k.root + b.y * (p.trunk * r.In(0.2f, 0.42f)), Max(p.waist, p.pelvis) * 0.85f, k.root + b.y * (p.pelvis * 0.5f), p.pelvis * 0.9f);
      Patterned(e.Now(), r, look.pattern);
      if (r.Chance(0.08f) && facing > 0.2f)  // braces
        for (int i = 0; i < 2; ++i) {
          const float side = i == 0 ? 1.0f : -1.0f;
          e.Begin(trunk + 2.2e-3f, look.bottom, look.ink, look.width * 0.7f);
          e.Capsule(k.shoulder[i] - c.x * (side * p.shoulder * 0.45f) + c.y * 0.02f, 0.01f, k.waist - m.y * 0.02f + m.x * (side * p.waist * 0.5f) + m.z * p.chest_depth, 0.01f);
        }
    }
    if (!look.bare) Trimmings(facing, size);
    if (look.bare && !look.simple && look.width > 0) Anatomy(facing);
    Folds(Mix(k.root, k.waist, 0.3f) + c.z * p.chest_depth, k.pit + c.z * p.chest_depth, trunk + 3e-3f, 4, look.bare ? 0.0f : 0.5f);
  }
  // Lines artists put on a bare trunk.
  AL_BOTH void Anatomy(float facing) {
    const Proportions& p = k.p;
    const Axes& c = k.chest;
    const float s = facing > 0 ? 1.0f : -1.0f, w = look.width * 0.7f;
    const V3 f = c.z * (p.chest_depth * s);
    if (fabsf(facing) < 0.2f) return;
    if (r.Chance(0.6f)) {
      const V2 l[3] = {e.Project(Mix(k.root, k.waist, 0.4f) + k.middle.z * (p.chest_depth * s)), e.Project(k.waist + k.middle.z * (p.chest_depth * s)), e.Project(Mix(k.waist, k.pit, r.In(0.4f, 0.9f)) + f)};
      Stroke(e, trunk + 2e-3f, look.ink, l, 3, w);
    }
    for (int i = 0; i < 2; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f;
      if (s > 0 && r.Chance(0.6f)) {  // breast, collar bone
        const V3 at = Mix(k.waist, k.pit, 0.55f) + f;
        const V2 l[3] = {e.Project(at + c.x * (side * p.chest * 0.1f)), e.Project(at + c.x * (side * p.chest * 0.5f) - c.y * 0.01f), e.Project(at + c.x * (side * p.chest * 0.85f) + c.y * 0.03f)};
        Stroke(e, trunk + 2e-3f, look.ink, l, 3, w);
        const V2 q[2] = {e.Project(k.pit + c.z * 0.02f), e.Project(k.shoulder[i] + c.y * 0.015f + c.z * 0.02f)};
        Stroke(e, trunk + 2e-3f, look.ink, q, 2, w);
      } else if (s < 0 && r.Chance(0.6f)) {  // shoulder blade
        const V3 at = Mix(k.waist, k.pit, 0.7f) + f + c.x * (side * p.chest * 0.45f);
        const V2 l[3] = {e.Project(at + c.y * 0.04f), e.Project(at - c.y * 0.02f + c.x * (side * 0.01f)), e.Project(at - c.y * 0.03f + c.x * (side * 0.035f))};
        Stroke(e, trunk + 2e-3f, look.ink, l, 3, w);
      }
    }
    if (s < 0) {  // seat
      const V2 l[2] = {e.Project(k.root + k.pelvis.y * 0.03f - k.pelvis.z * p.chest_depth), e.Project(k.root - k.pelvis.y * 0.05f - k.pelvis.z * p.chest_depth)};
      Stroke(e, trunk + 2e-3f, look.ink, l, 2, w);
    }
  }
  AL_BOTH void Trimmings(float facing, float size) {
    const Proportions& p = k.p;
    const Axes &c = k.chest, &m = k.middle;
    const V3 front = c.z * p.chest_depth;
    if (r.Chance(0.28f)) {  // belt or sash
      const V3 at = Mix(k.root, k.waist, r.In(0.5f, 1.1f));
      const float h = 0.012f * r.In(0.7f, 2.2f);
      e.Begin(trunk + 3e-3f, look.accent, look.ink, look.width * 0.8f);
      e.Capsule(at + m.x * (p.waist * 0.95f), h, at - m.x * (p.waist * 0.95f), h);
      if (facing > 0.2f && r.Chance(0.5f)) {
        const V3 b = at + m.z * p.chest_depth + m.x * r.Bell(0.02f);
        e.Begin(trunk + 3.1e-3f, r.Chance(0.5f) ? look.accent : RandomColour(r), look.ink, look.width * 0.7f);
        e.Capsule(b, h * 1.2f, b, h * 1.19f);
        if (r.Chance(0.4f)) for (int j = -1; j <= 1; j += 2) e.Capsule(b, h * 0.7f, b - m.y * r.In(0.05f, 0.14f) + m.x * (j * 0.025f), h * 0.8f);
      }
    }
    if (!look.simple && facing > 0.15f) {
      if (o.vest || (o.coat && o.open_front)) {  // open jacket: shirt in the middle
        const float w1 = p.shoulder * r.In(0.1f, 0.4f), w2 = p.waist * r.In(0.1f, 0.6f);
        const V3 low = Mix(k.root, k.waist, r.In(0.1f, 0.7f)) + m.z * p.chest_depth;
        const V2 v[4] = {e.Project(k.neck + c.x * w1 + front * 0.3f), e.Project(k.neck - c.x * w1 + front * 0.3f), e.Project(low - m.x * w2), e.Project(low + m.x * w2)};
        e.Begin(trunk + 1.8e-3f, r.Chance(0.5f) ? look.accent : Colour{0.95f, 0.95f, 0.95f}, look.ink, look.width * 0.8f);
        e.Polygon(v, 4);
        Patterned(e.Now(), r, look.pattern);
      }
      if (r.Chance(0.55f)) {  // neckline
        const float w = r.In(0.2f, 0.55f) * p.shoulder;
        const V2 v[3] = {e.Project(k.neck + c.x * w + front * 0.3f + c.y * 0.01f), e.Project(k.neck - c.x * w + front * 0.3f + c.y * 0.01f), e.Project(k.pit + front - c.y * (p.trunk * r.In(0.05f, 0.5f)))};
        e.Begin(trunk + 2e-3f, r.Chance(0.7f) ? look.skin : look.accent, look.ink, look.width * 0.8f);
        e.Polygon(v, 3);
      }
      if (r.Chance(0.3f))  // collar, lapels
        for (int j = -1; j <= 1; j += 2) {
          const float w = p.shoulder * r.In(0.25f, 0.5f), d = p.trunk * r.In(0.12f, 0.45f);
          const V2 v[3] = {e.Project(k.neck + c.x * (j * w * 0.4f) + c.y * 0.02f), e.Project(k.neck + c.x * (j * w) - c.y * (d * 0.5f) + front), e.Project(k.pit + front - c.y * d)};
          e.Begin(trunk + 2.2e-3f, r.Chance(0.5f) ? look.top : look.accent, look.ink, look.width * 0.8f);
          e.Polygon(v, 3);
        }
      if (r.Chance(0.4f)) {  // fastening, tie
        const V3 a = k.pit + front * 0.8f + c.x * r.Bell(0.015f), b = Mix(k.root, k.waist, r.In(0, 0.8f)) + m.z * p.chest_depth + m.x * r.Bell(0.03f);
        e.Begin(trunk + 2.5e-3f, r.Chance(0.5f) ? look.ink : look.accent, look.ink, r.Chance(0.5f) ? look.width * 0.7f : 0);
        e.Capsule(a, r.In(0.003f, 0.012f), b, r.In(0.003f, 0.02f));
      }
      if (r.Chance(0.3f))
        for (int j = 0; j < 4; ++j) {
          const V3 at = Mix(k.pit, k.root, 0.2f + 0.2f * j) + front;
          e.Begin(trunk + 2.6e-3f, look.accent, look.ink, look.width * 0.5f);
          e.Capsule(at, 0.006f, at, 0.0059f);
        }
      if (r.Chance(0.15f))  // pockets, badge
        for (int j = -1; j <= 1; j += 2) {
          const V3 at = (r.Chance(0.5f) ? Mix(k.waist, k.pit, 0.4f) : Mix(k.root, k.waist, 0.4f)) + front + c.x * (j * p.chest * 0.45f);
          const float q = 0.025f;
          const V2 v[4] = {e.Project(at + c.x * q + c.y * q), e.Project(at - c.x * q + c.y * q), e.Project(at - c.x * q - c.y * q), e.Project(at + c.x * q - c.y * q)};
          e.Begin(trunk + 2.6e-3f, look.top, look.ink, look.width * 0.7f);
          e.Polygon(v, 4);
        }
    }
    if (!look.simple && r.Chance(0.08f)) {  // scarf
      e.Begin(trunk + 9e-3f, look.accent, look.ink, look.width, 1);
      e.Capsule(k.neck + c.x * 0.025f, 0.02f * p.bulk, k.neck - c.x * 0.025f, 0.02f * p.bulk);
      if (r.Chance(0.6f)) e.Capsule(k.neck + c.z * 0.02f, 0.012f, k.neck - c.y * r.In(0.05f, 0.25f) + c.x * r.Bell(0.06f) + c.z * 0.05f, 0.016f);
    }
    if (o.apron && facing > 0) {
      const V3 up = k.waist + c.y * (p.trunk * r.In(0, 0.3f)) + front, low = Mix(k.hip[0], k.knee[0], r.In(0.4f, 1)) ;
      const V3 low2 = Mix(k.hip[1], k.knee[1], 0.8f);
      const V2 v[4] = {e.Project(up + c.x * (p.waist * 0.7f)), e.Project(up - c.x * (p.waist * 0.7f)), e.Project(low2 - k.pelvis.x * 0.03f), e.Project(low + k.pelvis.x * 0.03f)};
      e.Begin(trunk + 4e-3f, r.Chance(0.5f) ? Colour{0.95f, 0.95f, 0.95f} : look.accent, look.ink, look.width);
      e.Polygon(v, 4);
      Patterned(e.Now(), r, look.pattern);
    }
    if (r.Chance(0.05f)) {  // pack on the back
      const V3 at = Mix(k.waist, k.pit, 0.55f) - c.z * (p.chest_depth + 0.05f);
      e.Begin(facing > 0 ? trunk - 0.05f : trunk + 0.02f, look.accent, look.ink, look.width, 2);
      e.Ellipsoid(at, c, {p.chest * 0.9f, p.trunk * r.In(0.3f, 0.5f), r.In(0.04f, 0.08f)});
      Patterned(e.Now(), r, look.pattern);
    }
    (void)size;
  }
  AL_BOTH void Cape() {
    const Proportions& p = k.p;
    const float facing = e.View(k.chest.z).z, l = r.In(0.5f, 1.9f), f = r.In(0.02f, 0.25f);
    V2 q[5];
    float rad[5];
    for (int i = 0; i < 2; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f;
      const V3 on = l < 1 ? Mix(k.hip[i], k.knee[i], l) : Mix(k.knee[i], k.ankle[i], l - 1);
      const V3 low = Mix(on, k.root + V3{0, -1, 0} * (l * 0.25f), 0.4f) + k.pelvis.x * (side * f) - k.chest.z * r.In(0.02f, 0.2f);
      q[i] = e.Project(k.shoulder[i]); rad[i] = p.r_shoulder * 1.2f * e.ScaleAt(k.shoulder[i]);
      q[2 + i] = e.Project(low); rad[2 + i] = 0.02f * e.ScaleAt(low);
    }
    q[4] = e.Project(k.neck); rad[4] = 0.04f * e.ScaleAt(k.neck);
    e.Begin(facing > 0 ? trunk - 0.3f : trunk + 0.05f, look.accent, look.ink, look.width);
    e.Hull(q, rad, 5);
    Patterned(e.Now(), r, look.pattern);
    if (look.width > 0) for (int j = 0; j < 4; ++j) {
      const V2 a = Mix(q[0], q[1], r.F()), b = Mix(q[2], q[3], r.F()), l2[2] = {Mix(a, b, 0.3f), Mix(a, b, 0.95f)};
      Stroke(e, e.Now().depth + 1e-4f, look.ink, l2, 2, look.width * 0.6f);
    }
  }

  AL_BOTH void Arm(int i) {
    const Proportions& p = k.p;
    const float rs = p.r_shoulder, re = p.r_elbow, rw = p.r_wrist;
    const float upper = e.Depth(Mix(k.shoulder[i], k.elbow[i], 0.6f)), fore = e.Depth(Mix(k.elbow[i], k.wrist[i], 0.7f));
    const float body = e.Depth(Mix(k.waist, k.pit, 0.5f));
    float d1 = upper > body - 0.035f ? Max(trunk + 0.02f, upper + 0.03f + trunk - body) : Min(trunk - 0.02f, upper + trunk - body);
    float d2 = fore > body - 0.02f ? Max(trunk + 0.021f, fore + 0.04f + trunk - body) : Min(trunk - 0.021f, fore + trunk - body);
    const bool split = (d1 - trunk) * (d2 - trunk) < 0 || r.Chance(0.15f);
    if (!split) d1 = d2 = Max(d1, d2);
    const Colour skin = Own(look.skin, ArmDepth(i), ArmDepth(1 - i)), top = Own(look.top, ArmDepth(i), ArmDepth(1 - i));
    const V3 swell = Mix(k.elbow[i], k.wrist[i], 0.28f), biceps = Mix(k.shoulder[i], k.elbow[i], 0.45f);
    e.Begin(d1, skin, look.ink, look.width, 1.5f);
    e.Capsule(k.shoulder[i], rs, biceps, Mix(rs, re, p.noodle ? 0.5f : 0.3f));
    e.Capsule(biceps, Mix(rs, re, p.noodle ? 0.5f : 0.3f), k.elbow[i], re);
    if (!split) { e.Capsule(k.elbow[i], re, swell, p.r_forearm); e.Capsule(swell, p.r_forearm, k.wrist[i], rw); }
    e.HideLine(k.shoulder[i], rs * r.In(1.1f, 1.5f));
    Patterned(e.Now(), r, look.pattern * 0.4f);
    if (split) {
      e.Begin(d2, skin, look.ink, look.width, 1.5f);
      e.Capsule(k.elbow[i], re, swell, p.r_forearm);
      e.Capsule(swell, p.r_forearm, k.wrist[i], rw);
      if (d2 > d1) e.HideLine(k.elbow[i], re * 1.15f);
    }
    Hand(i, d2);
    if (o.sleeves) {
      const float t = Min(1, o.sleeve_length), u = o.sleeve_length - 1, w = o.sleeve_loose;
      const V3 end = Mix(k.shoulder[i], k.elbow[i], t), hem = Mix(k.elbow[i], k.wrist[i], Max(0, u));
      const float r_end = Mix(rs, re, t) * w * (o.sleeves == 1 ? Min(o.sleeve_flare, 1.7f) : 1.0f);
      const float r_hem = Max(rw * 1.1f, Mix(re, rw, u) * w * o.sleeve_flare);
      e.Begin(d1 + 5e-3f, top, look.ink, look.width, 1.5f);
      if (u > 0) e.Capsule(k.shoulder[i], rs * 1.12f * Min(w, 1.25f), end, r_end);
      else e.Tube(k.shoulder[i], rs * 1.12f * Min(w, 1.25f), end, r_end);
      if (u > 0 && !split) e.Tube(k.elbow[i], r_end, hem, r_hem);
      e.HideLine(k.shoulder[i], rs * r.In(1.15f, 1.6f));
      Patterned(e.Now(), r, look.pattern);
      if (u > 0 && split) {
        e.Begin(d2 + 6e-3f, top, look.ink, look.width, 1.5f);
        e.Tube(k.elbow[i], r_end, hem, r_hem);
        if (d2 > d1) e.HideLine(k.elbow[i], re * 1.25f);
        Patterned(e.Now(), r, look.pattern);
      }
      if (u > 0.5f && !look.simple && r.Chance(0.2f)) {  // cuff
        e.Begin(d2 + 6.5e-3f, look.accent, look.ink, look.width * 0.8f);
        e.Capsule(Mix(k.elbow[i], hem, 0.88f), r_hem * 1.06f, hem, r_hem * 1.06f);
      }
      Folds(k.shoulder[i], k.elbow[i], Max(d1, d2) + 7e-3f, 2, 0.35f);
      Folds(k.elbow[i], k.wrist[i], Max(d1, d2) + 7e-3f, 2, 0.35f);
    }
  }
  AL_BOTH void Hand(int i, float depth) {
    const Proportions& p = k.p;
    const V3 along = k.hand_dir[i], wide = Unit(Cross(along, V3{r.Bell(1), r.Bell(1), r.Bell(1)}));
    const float l = Length(k.tip[i] - k.wrist[i]), palm = Max(p.r_wrist * 1.05f, p.hand * r.In(0.2f, 0.3f));
    const Colour c = Own(o.gloves ? look.accent : look.skin, ArmDepth(i), ArmDepth(1 - i));
    e.Begin(depth + 4e-3f, c, look.ink, look.width, 1);
    if (look.technique == kPictogram) {
      e.Capsule(k.wrist[i], p.r_wrist, k.tip[i], p.r_wrist * 0.8f);
      return;
    }
    e.Capsule(k.wrist[i], p.r_wrist * 0.95f, k.wrist[i] + along * (l * (k.fist[i] ? 0.6f : 0.42f)), palm * (k.fist[i] ? 1.2f : 0.9f));
    if (!k.fist[i]) {
      const int n = r.Chance(0.35f) ? 1 : r.Chance(0.3f) ? 3 : 4;
      const float spread = r.In(0.1f, 0.65f);
      for (int j = 0; j < n; ++j) {
        const float a = n == 1 ? 0 : (j - (n - 1) * 0.5f) * spread * 0.5f;
        const V3 d = Unit(along + wide * a);
        const float f = l * (j == 1 || n == 1 ? 0.98f : 0.88f), fr = n == 1 ? palm * 0.5f : palm * 0.24f;
        e.Capsule(k.wrist[i] + along * (l * 0.4f) + wide * (n == 1 ? 0 : a * palm * 2), fr * 1.2f, k.wrist[i] + d * (f - fr), fr);
      }
      const V3 thumb = Unit(along * 0.7f + wide * (0.9f * r.Sign()));
      e.Capsule(k.wrist[i] + along * (l * 0.15f), palm * 0.4f, k.wrist[i] + thumb * (l * 0.6f), palm * 0.25f);
    } else {
      e.Capsule(k.wrist[i] + along * (l * 0.6f), palm * 1.15f, k.tip[i] - along * (palm * 0.8f), palm);
    }
    if (!o.gloves) e.HideLine(k.wrist[i], p.r_wrist * 1.1f);
    if (!look.simple && r.Chance(0.16f) && !(k.holds_both && i == 1)) Prop(Mix(k.wrist[i], k.tip[i], 0.6f), depth);
  }
  AL_BOTH void Prop(V3 at, float depth) {
    const Colour c = RandomColour(r);
    const bool line_only = look.technique == kCleanLine || look.technique == kBrush || look.technique == kSketch;
    const Colour fill = line_only ? look.accent : c;
    const float s = e.ScaleAt(at);
    const V2 u = e.Project(at);
    e.Begin(depth + (r.Chance(0.6f) ? 6e-3f : 2e-3f), fill, look.ink, look.width);
    const int kind = r.Below(9);
    if (kind < 3) {  // stick, sword, cane, tool
      const V3 d = Unit(V3{r.Bell(1), r.Bell(1), r.Bell(0.5f)});
      e.Capsule(at - d * r.In(0.02f, 0.35f), r.In(0.004f, 0.015f), at + d * r.In(0.05f, 0.5f), r.In(0.004f, 0.02f));
      if (kind == 1) {  // with a head: hammer, racket, broom
        const V3 h = at + d * r.In(0.2f, 0.45f);
        e.Begin(depth + 6.1e-3f, line_only ? look.accent : RandomColour(r), look.ink, look.width);
        if (r.Chance(0.5f)) e.Ellipsoid(h, k.chest, {r.In(0.02f, 0.08f), r.In(0.03f, 0.1f), 0.02f});
        else { const V3 w = Unit(Cross(d, V3{0, 0, 1})); e.Capsule(h - w * 0.05f, 0.02f, h + w * 0.05f, 0.02f); }
      }
    } else if (kind == 3) {  // bag
      const float w = r.In(0.03f, 0.1f) * s, h = r.In(0.03f, 0.1f) * s;
      const V2 v[4] = {{u.x - w, u.y}, {u.x + w, u.y}, {u.x + w * 1.1f, u.y + 2 * h}, {u.x - w * 1.1f, u.y + 2 * h}};
      e.Polygon(v, 4);
    } else if (kind == 4) {  // ball
      const float b = r.In(0.02f, 0.11f);
      e.Capsule(at, b, at, b * 0.99f);
    } else if (kind == 5) {  // book, sheet, tray
      const float w = r.In(0.04f, 0.12f) * s, h = r.In(0.02f, 0.12f) * s, t = r.Bell(0.5f), cs = cosf(t), sn = sinf(t);
      const V2 v[4] = {u + V2{-w * cs + h * sn, -w * sn - h * cs}, u + V2{w * cs + h * sn, w * sn - h * cs}, u + V2{w * cs - h * sn, w * sn + h * cs}, u + V2{-w * cs - h * sn, -w * sn + h * cs}};
      e.Polygon(v, 4);
    } else if (kind == 6) {  // umbrella, balloon
      const V3 top = at + V3{r.Bell(0.1f), r.In(0.2f, 0.5f), 0};
      e.Capsule(at, 0.005f, top, 0.004f);
      e.Begin(depth + 6.2e-3f, line_only ? look.accent : RandomColour(r), look.ink, look.width);
      e.Ellipsoid(top, k.chest, {r.In(0.06f, 0.25f), r.In(0.05f, 0.12f), 0.1f});
      Patterned(e.Now(), r, look.pattern);
      return;
    } else if (kind == 7) {  // instrument, shield across the body
      const V3 a = at + V3{r.Bell(0.06f), r.Bell(0.06f), 0.03f};
      e.Ellipsoid(a, k.chest, {r.In(0.05f, 0.13f), r.In(0.05f, 0.12f), 0.03f});
      if (r.Chance(0.6f)) e.Capsule(a, 0.012f, a + Unit(V3{r.Bell(1), r.In(-0.2f, 0.6f), 0}) * 0.35f, 0.012f);
    } else {  // flowers
      for (int j = 0; j < 5; ++j) {
        const V3 f = at + V3{r.Bell(0.03f), r.In(0.02f, 0.09f), 0.01f};
        e.Capsule(f, 0.012f, f, 0.0119f);
      }
    }
    Patterned(e.Now(), r, 0.3f);
  }
  // What a seated figure sits on.
  AL_BOTH void Seat() {
    const Proportions& p = k.p;
    const V3 under = (k.hip[0] + k.hip[1]) * 0.5f - k.pelvis.y * (p.r_thigh * 1.2f);
    const V2 c = e.Project(under);
    const float s = e.ScaleAt(under), ground = Max(e.Project(k.heel[0]).y, e.Project(k.heel[1]).y);
    const float w = r.In(0.07f, 0.2f) * s, bottom = Max(c.y + 8, ground + r.Bell(4));
    const Colour col = look.technique == kCleanLine || look.technique == kBrush || look.technique == kSketch ? look.accent : RandomColour(r);
    const float shift = e.View(k.pelvis.z).x * -0.05f * s;
    e.figure = false;
    const int kind = r.Below(4);
    e.Begin(trunk - 0.35f, col, look.ink, look.width);
    if (kind == 0) {
      const V2 v[4] = {{c.x + shift - w, c.y}, {c.x + shift + w, c.y}, {c.x + shift + w, bottom}, {c.x + shift - w, bottom}};
      e.Polygon(v, 4);
    } else if (kind == 1) {  // stool
      e.Capsule(V2{c.x + shift - w, c.y + 3}, 3.5f, V2{c.x + shift + w, c.y + 3}, 3.5f);
      e.Capsule(V2{c.x + shift - w * 0.8f, c.y + 3}, 1.5f, V2{c.x + shift - w, bottom}, 1.5f);
      e.Capsule(V2{c.x + shift + w * 0.8f, c.y + 3}, 1.5f, V2{c.x + shift + w, bottom}, 1.5f);
    } else if (kind == 2) {  // chair with a back
      const V2 v[4] = {{c.x + shift - w, c.y - 0.3f * s}, {c.x + shift + w, c.y - 0.3f * s}, {c.x + shift + w, bottom}, {c.x + shift - w, bottom}};
      e.Polygon(v, 4);
    } else {
      e.Disc({c.x + shift, (c.y + bottom) * 0.5f + 4}, w * 1.3f, (bottom - c.y) * 0.5f + 6);
    }
    Patterned(e.Now(), r, 0.3f);
    e.figure = true;
  }

  AL_BOTH void DrawBody() {
    if (k.seated && !look.simple && r.Chance(0.6f)) Seat();
    for (int i = 0; i < 2; ++i) Leg(i);
    if (o.skirt) Skirt(o.dress ? look.top : look.bottom, o.skirt_length, o.skirt_flare, false);
    if (o.coat) Skirt(look.top, o.skirt_length, o.skirt_flare * 0.6f, o.open_front && e.View(k.chest.z).z > 0.1f);
    Trunk();
    if (o.cape) Cape();
    for (int i = 0; i < 2; ++i) Arm(i);
  }
};

}  // namespace drawer
