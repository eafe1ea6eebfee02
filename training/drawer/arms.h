// Arms, hands and what they hold.
#pragma once
#include "painting.h"

namespace drawer {

struct ArmPainter : Painting {
  AL_BOTH explicit ArmPainter(const Painting& p) : Painting(p) {}

  // Where the elbow points; behind the body when the arm is straight.
  AL_BOTH V3 ElbowBack(int i) const {
    const V3 axis = Unit(k.elbow[i] - k.shoulder[i]), out = k.elbow[i] - Mix(k.shoulder[i], k.wrist[i], 0.5f);
    return Across(out * 4.0f - k.chest.z * 0.3f, axis);
  }
  AL_BOTH void UpperVolume(int i, float grow) {
    const float s = k.p.r_shoulder * grow, b = k.p.r_elbow * grow, m = o.muscle;
    if (k.p.noodle) { Even(k.shoulder[i], s, k.elbow[i], b); return; }
    const V3 axis = Unit(k.elbow[i] - k.shoulder[i]);
    const float d[kKnots] = {s, s * 0.98f, Mix(s, b, 0.35f), Mix(s, b, 0.55f), Mix(s, b, 0.9f), b};
    const float g[kKnots] = {0, s * 0.16f * m, s * 0.1f * m, 0, 0, 0};                    // deltoid, outward
    const float h[kKnots] = {0, 0, -s * 0.14f * m, -s * 0.2f * m, -s * 0.08f * m, 0};      // biceps, away from the elbow's point
    e.Limb(k.shoulder[i], k.elbow[i], d, g, Across(k.chest.x * (i == 0 ? 1.0f : -1.0f) + k.chest.y * 0.4f, axis), h, ElbowBack(i));
  }
  AL_BOTH void ForeVolume(int i, float grow) {
    const float b = k.p.r_elbow * grow, f = k.p.r_forearm * grow, w = k.p.r_wrist * grow, m = o.muscle;
    if (k.p.noodle) { Even(k.elbow[i], b, k.wrist[i], w); return; }
    const V3 axis = Unit(k.wrist[i] - k.elbow[i]);
    const float d[kKnots] = {b, f * 1.02f, f * 0.98f, Mix(f, w, 0.55f), Mix(f, w, 0.95f), w};
    const float g[kKnots] = {0, f * 0.2f * m, f * 0.12f * m, 0, 0, 0}, h[kKnots] = {0, f * 0.14f * m, f * 0.1f * m, 0, 0, 0};
    e.Limb(k.elbow[i], k.wrist[i], d, g, Across(Thumb(i), axis), h, Across(ElbowBack(i), axis));
    if (o.bony) { const V3 at = k.elbow[i] + ElbowBack(i) * (b * 0.25f); e.Capsule(at, b * 0.8f, at + axis * (b * 0.4f), b * 0.65f); }
  }
  // Toward the thumb: forward on a hanging arm, inward on a raised one, up on one held out.
  AL_BOTH V3 Thumb(int i) const {
    const float side = i == 0 ? 1.0f : -1.0f;
    const Axes& c = k.chest;
    const float up = Max(0, Dot(k.hand_dir[i], c.y)), forth = Dot(k.hand_dir[i], c.z);
    return Across(c.z * (0.9f - 0.6f * up) + c.y * Max(0.2f, forth) - c.x * (side * (0.45f + 0.5f * up)), k.hand_dir[i]);
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
    e.Begin(d1, skin, look.ink, look.width, o.knit);
    UpperVolume(i, 1);
    if (!split) ForeVolume(i, 1);
    e.HideLine(k.shoulder[i], rs * r.In(1.1f, 1.5f));
    Patterned(e.Now(), r, look.pattern * look.wild * 0.4f);
    if (split) {
      e.Begin(d2, skin, look.ink, look.width, o.knit);
      ForeVolume(i, 1);
      if (d2 > d1) e.HideLine(k.elbow[i], re * 1.15f);
    }
    if (Lined() && !look.simple && o.sleeves < 2 && !p.noodle && r.Chance(o.form_lines)) {  // deltoid, crook of the elbow
      BeginMarks(Max(d1, d2) + 1e-3f, look.ink);
      const V2 in = e.Project(k.elbow[i] - ElbowBack(i) * (re * 0.9f)), to = e.Project(k.elbow[i]);
      Mark(in, Mix(in, to, r.In(0.5f, 0.9f)), r.Bell(0.2f), look.width * 0.6f);
      if (o.sleeves == 0 && r.Chance(0.5f)) {
        const V3 a = Mix(k.shoulder[i], k.elbow[i], 0.35f);
        Mark(e.Project(a + k.chest.z * (rs * 0.5f)), e.Project(Mix(k.shoulder[i], k.elbow[i], 0.5f)), r.Bell(0.25f), look.width * 0.6f);
      }
    }
    if (Lined() && !look.simple && !o.sleeves && e.View(k.chest.z).z > -0.2f && r.Chance(0.5f)) {  // the fold of the armpit runs into the chest
      const V3 pit = k.shoulder[i] - k.chest.y * rs - k.chest.x * ((i == 0 ? 1.0f : -1.0f) * rs * 0.7f) + k.chest.z * (rs * 0.5f);
      BeginMarks(Max(d1, trunk) + 2e-3f, look.ink);
      Mark(e.Project(pit), e.Project(pit + k.chest.y * (rs * r.In(0.7f, 1.4f)) + k.chest.x * ((i == 0 ? 1.0f : -1.0f) * rs * 0.4f)), r.Bell(0.15f), look.width * 0.7f);
    }
    const float at_us = Toward(k.elbow[i], k.wrist[i]);
    Hand(i, at_us > 0.5f ? d2 + 5e-3f : d2);  // a hand held out at the viewer lies before its sleeve
    const Colour end_colour = o.sleeves == 2 ? top : skin;
    if (!p.noodle) {
      const float loose = o.sleeves == 2 ? o.sleeve_loose : 1.0f;
      if (at_us < 0.5f) NearEnd(k.shoulder[i], rs, k.elbow[i], re * 1.1f * loose, k.wrist[i], end_colour, Max(d1, d2) + 7.2e-3f, true);
      else NearEnd(k.elbow[i], re * loose, Mix(k.elbow[i], k.wrist[i], 0.85f), rw * 1.25f * loose, k.tip[i], end_colour, d2 + 7.4e-3f, true);
    }
    if (!o.sleeves) return;
    const float t = Min(1, o.sleeve_length), u = o.sleeve_length - 1, w = o.sleeve_loose;
    const V3 end = Mix(k.shoulder[i], k.elbow[i], t), hem = Mix(k.elbow[i], k.wrist[i], Max(0, u));
    const float r_end = Mix(rs, re, t) * w * (o.sleeves == 1 ? Min(o.sleeve_flare, 1.7f) : 1.0f), curl = r.In(-0.1f, 0.3f);
    const float r_hem = Max(rw * 1.1f, Mix(re, rw, u) * w * o.sleeve_flare), r_top = rs * 1.12f * Min(w, 1.25f);
    e.Begin(d1 + 5e-3f, top, look.ink, look.width, Max(o.knit, 1.5f));
    Cloth(k.shoulder[i], r_top, end, r_end, u > 0 ? 0 : o.sleeve_puff, u > 0 ? -9.0f : curl);
    if (u > 0 && !split) Cloth(k.elbow[i], r_end, hem, r_hem, o.sleeve_puff, curl);
    e.HideLine(k.shoulder[i], rs * r.In(1.15f, 1.6f));
    Wear(true);
    if (u > 0 && split) {
      e.Begin(d2 + 6e-3f, top, look.ink, look.width, Max(o.knit, 1.5f));
      Cloth(k.elbow[i], r_end, hem, r_hem, o.sleeve_puff, curl);
      if (d2 > d1) e.HideLine(k.elbow[i], re * 1.25f);
      Wear(true);
    }
    if (u > 0.3f && o.sleeve_flare > 1.3f && !look.simple ? r.Chance(0.7f) : r.Chance(0.015f)) Hanging(i, Max(d1, d2), top, r_hem);
    if (look.simple) return;
    if (o.cuff || (u > 0.5f && r.Chance(0.15f))) {  // cuff, or a sleeve rolled up
      e.Begin((u > 0 ? d2 : d1) + 6.5e-3f, r.Chance(0.5f) ? Mix(top, {1, 1, 1}, 0.3f) : look.accent, look.ink, look.width * 0.8f);
      if (u > 0) Even(Mix(k.elbow[i], hem, 0.86f), r_hem * 1.06f, hem, r_hem * 1.1f, curl);
      else Even(Mix(k.shoulder[i], end, 0.85f), r_end * 1.05f, end, r_end * 1.1f, curl);
    }
    if (o.gown ? r.Chance(0.4f) : Hash(static_cast<int>(o.top_seed & 0xffff), 5) < 0.05f) {  // puffed at the shoulder
      const float puff = rs * r.In(1.3f, 2.3f);
      e.Begin(Max(d1, trunk) + 6.8e-3f, top, look.ink, look.width, 1.5f);
      e.Ellipsoid(Mix(k.shoulder[i], k.elbow[i], r.In(0.05f, 0.3f)), k.chest, {puff, puff * r.In(0.7f, 1.1f), puff});
      Wear(true);
    }
    const float over = Max(d1, d2) + 7e-3f;
    if (u > 0) JointFolds(k.shoulder[i], k.elbow[i], k.wrist[i], r_end, top, over);
    HemFolds(u > 0 ? k.elbow[i] : k.shoulder[i], u > 0 ? hem : end, u > 0 ? r_hem : r_end, top, over);
    if (o.folds > 0 && r.Chance(o.folds)) {  // pulled from the armpit
      const V3 pit = k.shoulder[i] - k.chest.y * (rs * 1.1f) - k.chest.x * ((i == 0 ? 1.0f : -1.0f) * rs * 0.5f);
      BeginMarks(over, FoldColour(top));
      const V2 from = e.Project(pit);
      Fan(from, e.Project(Mix(k.shoulder[i], k.elbow[i], 0.3f)) - from, 1.4f, 2 + r.Below(2), rs * 1.3f * e.ScaleAt(pit));
    }
  }
  // A wide sleeve hangs down from the forearm, its mouth open at the wrist.
  AL_LARGE void Hanging(int i, float depth, Colour c, float r_hem) {
    const V2 a = e.Project(Mix(k.shoulder[i], k.elbow[i], r.In(0.5f, 1))), b = e.Project(Mix(k.elbow[i], k.wrist[i], r.In(0.75f, 1))), along = b - a;
    const float l = Length(along) + 1e-3f, s = e.ScaleAt(k.wrist[i]), drop = r.In(0.05f, 0.3f) * s, w = r_hem * s;
    const V2 u = along * (1 / l), end = b + V2{r.Bell(0.03f) * s, drop}, heel = Mix(a, b, r.In(0.4f, 0.9f)) + V2{0, drop * r.In(0.8f, 1.1f)};
    const V2 v[7] = {a - V2{0, w * 0.7f}, b - V2{-u.y, u.x} * (u.x > 0 ? -w : w) * 0.9f, b + u * (w * 0.2f), Mix(b, end, 0.6f) + u * (w * 0.3f), end, heel, a + V2{0, w * 0.8f}};
    e.Begin(depth + 4.5e-3f, c, look.ink, look.width);
    e.Blob(v, 7);
    Wear(true);
    if (look.simple) return;
    if (r.Chance(0.6f)) {  // the inside of the mouth
      const V2 m = Mix(b, end, 0.5f), in[6] = {b, Mix(b, end, 0.4f) + u * (w * 0.45f), end, Mix(b, end, 0.6f) - u * (w * 0.25f), m - u * (w * 0.3f), Mix(b, end, 0.2f) - u * (w * 0.2f)};
      e.Begin(depth + 4.6e-3f, r.Chance(0.5f) ? Dim(c, 0.55f) : look.accent, look.ink, look.width * 0.8f);
      e.Blob(in, 6);
    }
    BeginMarks(depth + 6.9e-3f, FoldColour(c));
    for (int j = 0; j < 2; ++j) Mark(Mix(heel, end, r.F()), Mix(a, b, r.In(0.3f, 0.9f)), r.Bell(0.1f), FoldWidth());
  }
  AL_BOTH void Hand(int i, float depth) {
    const Proportions& p = k.p;
    const V3 along = k.hand_dir[i], thumb = Thumb(i), flat = Unit(Cross(along, thumb));
    const float l = Length(k.tip[i] - k.wrist[i]), near = Clamp(e.View(along).z - 0.4f, 0, 0.6f);
    const float palm = Max(p.r_wrist * 1.05f, p.hand * r.In(0.2f, 0.27f)) * (1 + near * r.In(0, 0.9f));  // what comes at us is drawn large
    const Colour c = Own(o.gloves ? look.accent : look.skin, ArmDepth(i), ArmDepth(1 - i));
    const V3 w = k.wrist[i];
    e.Begin(depth + 4e-3f, c, look.ink, look.width, 1);
    if (look.technique == kPictogram) {
      e.Capsule(w, p.r_wrist, k.tip[i], p.r_wrist * 0.8f);
      return;
    }
    auto put = [&](float x, float y, float z) { return w + along * (x * l) + thumb * (y * palm) + flat * (z * palm); };
    const int kind = k.fist[i] ? (o.hand == 4 ? 4 : 3) : o.hand == 3 || o.hand == 4 ? 0 : o.hand;
    bool lines = false;
    if (kind == 3 || kind == 4) {  // fist, pointing
      e.Capsule(w, p.r_wrist, put(0.5f, 0, 0), palm * 0.95f);
      e.Capsule(put(0.55f, 0.45f, 0), palm * 0.85f, put(0.55f, -0.4f, 0), palm * 0.8f);
      e.Capsule(put(0.3f, 0.75f, 0), palm * 0.4f, put(0.75f, 0.75f, 0.5f), palm * 0.33f);
      if (kind == 4) e.Capsule(put(0.6f, 0.4f, 0), palm * 0.35f, k.tip[i] - along * (palm * 0.2f), palm * 0.25f);
      lines = true;
    } else if (kind == 1) {  // fingers spread
      e.Capsule(w, p.r_wrist, put(0.4f, 0, 0), palm * 0.85f);
      const float spread = r.In(0.12f, 0.5f), fr = palm * r.In(0.22f, 0.32f);
      const int n = r.Chance(0.3f) ? 3 : 4;
      for (int j = 0; j < n; ++j) {
        const float a = (j - (n - 1) * 0.5f) * spread;
        const V3 d = Unit(along + thumb * a);
        e.Capsule(put(0.35f, a * 1.4f, 0), fr * 1.15f, w + d * (l * (j == 1 || j == 2 ? 0.98f : 0.86f) - fr), fr);
      }
      e.Capsule(put(0.12f, 0.5f, 0), palm * 0.42f, put(0.5f, 1.7f, 0.1f), palm * 0.26f);
    } else {  // mitten, straight or curled; seen from its edge it is thin
      const float curl = kind == 2 ? r.In(0.2f, 0.7f) : r.In(0, 0.25f);
      e.Capsule(put(0.02f, 0, 0), p.r_wrist, put(0.3f, 0.1f, 0), palm * 0.6f);
      e.Capsule(put(0.4f, 0.4f, 0), palm * 0.6f, put(0.4f, -0.45f, 0), palm * 0.55f);
      e.Capsule(put(0.45f, 0.35f, 0), palm * 0.58f, put(0.75f, 0.3f, curl), palm * 0.42f);
      e.Capsule(put(0.45f, -0.35f, 0), palm * 0.55f, put(0.72f, -0.25f, curl), palm * 0.4f);
      e.Capsule(put(0.72f, 0.05f, curl * 0.8f), palm * 0.55f, k.tip[i] - along * (palm * 0.3f), palm * r.In(0.25f, 0.4f));
      e.Capsule(put(0.12f, 0.5f, 0), palm * 0.45f, put(0.42f, 1.25f, curl * 0.5f), palm * 0.32f);
      e.Capsule(put(0.42f, 1.25f, curl * 0.5f), palm * 0.32f, put(0.6f, 1.15f, curl), palm * 0.24f);
      lines = r.Chance(0.6f);
    }
    if (!o.gloves) e.HideLine(w, p.r_wrist * 1.1f);
    if (near > 0.15f && (kind >= 2 || r.Chance(0.5f)) && !look.simple) {  // knuckles or finger tips from the front
      e.Begin(depth + 4.2e-3f, c, look.ink, look.width * 0.9f);
      const float x = r.In(0.75f, 0.95f);
      for (int j = 0; j < 4; ++j) {
        const float y = 0.75f - 0.5f * j;
        if (j > 0) { e.Begin(depth + 4.2e-3f + j * 1e-5f, c, look.ink, look.width * 0.9f); }
        e.Capsule(put(x, y, 0.1f), palm * 0.36f, put(x, y, r.In(0.4f, 0.8f)), palm * 0.32f);
      }
      e.Begin(depth + 4.3e-3f, c, look.ink, look.width * 0.9f);
      e.Capsule(put(x * 0.8f, 1.0f, 0.5f), palm * 0.36f, put(x, 0.2f, 0.95f), palm * 0.28f);
    }
    if (lines && Lined() && !look.simple && palm * e.scale > 2.5f) {  // between the fingers
      BeginMarks(depth + 4.1e-3f, look.ink);
      const int n = 2 + r.Below(2);
      for (int j = 0; j < n; ++j) {
        const float y = (j + 0.5f) / n * 1.1f - 0.6f;
        const float z = e.View(flat).z > 0 ? 0.6f : -0.6f;
        Mark(e.Project(put(0.55f, y, z)), e.Project(put(kind >= 3 ? 0.8f : 0.9f, y * 0.8f, z)), r.Bell(0.05f), look.width * 0.5f);
      }
    }
    if (!look.simple && r.Chance(look.calm ? 0.07f : 0.16f) && !(k.holds_both && i == 1)) Prop(Mix(k.wrist[i], k.tip[i], 0.6f), depth);
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
