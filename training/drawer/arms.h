// Arms, hands and what they hold.
#pragma once
#include "painting.h"

namespace drawer {

struct ArmPainter : Painting {
  AL_BOTH explicit ArmPainter(const Painting& p) : Painting(p) {}

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
      if (o.gown && r.Chance(0.4f)) {  // puffed at the shoulder
        const float puff = rs * r.In(1.3f, 2.3f);
        e.Begin(Max(d1, trunk) + 6.8e-3f, top, look.ink, look.width, 1.5f);
        e.Ellipsoid(Mix(k.shoulder[i], k.elbow[i], r.In(0.05f, 0.3f)), k.chest, {puff, puff * r.In(0.7f, 1.1f), puff});
        Patterned(e.Now(), r, look.pattern);
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
    const bool line_only = look.InLine();
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
};

}  // namespace drawer
