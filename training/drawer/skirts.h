// Skirts, gowns and the tails of coats.
#pragma once
#include "legs.h"

namespace drawer {

struct SkirtPainter : LegPainter {
  static constexpr int kRows = 7, kEdge = 11;
  V2 left[kEdge], right[kEdge], axis[kRows];  // the contour from waist to hem, and the middle of its rows

  AL_BOTH explicit SkirtPainter(const LegPainter& l) : LegPainter(l) {}

  AL_BOTH V3 OnLeg(int i, float u) const { return u < 1 ? Mix(k.hip[i], k.knee[i], u) : Mix(k.knee[i], k.ankle[i], u - 1); }

  // Rows across: waist, hips, then down the legs, whose knees push the cloth out. False where the legs go such ways that cloth
  // would not hang in rows.
  AL_BOTH bool Rows(float length, float flare, float bell, float grow, V3 wind) {
    const Proportions& p = k.p;
    if (Dot(Unit(k.knee[0] - k.hip[0]), Unit(k.knee[1] - k.hip[1])) < 0.45f) return false;
    V3 c[kRows];
    float side[kRows], deep[kRows], down[kRows];
    const float d = p.chest_depth;
    c[0] = k.waist + k.middle.y * 0.004f; side[0] = p.waist * 1.02f; deep[0] = d * 0.85f; down[0] = 0;
    c[1] = Mix(k.waist, k.root, 0.8f); side[1] = p.pelvis * 1.06f + flare * bell * 0.12f; deep[1] = d * 1.2f + flare * bell * 0.1f; down[1] = 0;
    for (int j = 2; j < kRows; ++j) {
      const float s = (j - 1.0f) / (kRows - 2), u = length * s, out = flare * Mix(s * s, sqrtf(s), bell);
      down[j] = u;
      c[j] = (OnLeg(0, u) + OnLeg(1, u)) * 0.5f + wind * (u * s);
      side[j] = Mix(p.pelvis * 1.05f, p.pelvis * 0.8f, s) + out;
      deep[j] = Mix(d * 1.2f, d * 0.9f, s) + out * 0.8f;
    }
    V2 a[kRows], b[kRows];
    float whole = 0, true_length = 0;
    for (int j = 0; j < kRows; ++j) { axis[j] = e.Project(c[j]); if (j > 0) { whole += Length(axis[j] - axis[j - 1]); true_length += Length(c[j] - c[j - 1]); } }
    if (whole < 0.55f * true_length * e.ScaleAt(k.root)) return false;
    V2 last{0, 0};
    for (int j = 0; j < kRows; ++j) {
      V2 along = axis[j + 1 < kRows ? j + 1 : j] - axis[j > 0 ? j - 1 : 0];
      along = along * (1 / (Length(along) + 1e-3f));
      if (j > 0 && along.x * last.x + along.y * last.y < 0.6f) return false;
      last = along;
      const V2 across{along.y, -along.x};
      const V3 x = e.View(k.pelvis.x), z = e.View(k.pelvis.z);
      const float s = e.ScaleAt(c[j]), cx = across.x * x.x - across.y * x.y, cz = across.x * z.x - across.y * z.y;
      float r1 = sqrtf(cx * cx * side[j] * side[j] + cz * cz * deep[j] * deep[j]) * s * grow, r2 = r1;
      r1 *= 1 + r.Bell(0.05f) * o.slack; r2 *= 1 + r.Bell(0.05f) * o.slack;
      if (j > 1) for (int i = 0; i < 2; ++i) {
        const V3 leg = OnLeg(i, Min(down[j], 1.9f));
        const V2 m = e.Project(leg) - axis[j];
        const float off = m.x * across.x + m.y * across.y, fat = (down[j] < 1 ? Mix(p.r_thigh, p.r_knee, down[j]) : p.r_knee) * 1.15f * e.ScaleAt(leg);
        r1 = Max(r1, off + fat); r2 = Max(r2, fat - off);
      }
      a[j] = axis[j] + across * r1;
      b[j] = axis[j] - across * r2;
    }
    e.Curve(a, kRows, left, kEdge);
    e.Curve(b, kRows, right, kEdge);
    return true;
  }
  // A point of the cloth: `x` 0 at the left edge .. 1, `t` 0 at the waist .. 1 at the hem's ends.
  AL_BOTH V2 On(float x, float t) const {
    const float f = Clamp(t, 0, 1) * (kEdge - 1);
    const int i = f > kEdge - 2 ? kEdge - 2 : static_cast<int>(f);
    return Mix(Mix(left[i], left[i + 1], f - i), Mix(right[i], right[i + 1], f - i), x);
  }
  struct Hem { float bow, wave, count, phase, lean; };
  AL_BOTH V2 OnHem(const Hem& h, float x) const {
    const V2 l = left[kEdge - 1], q = right[kEdge - 1], fall = Mix(l, q, 0.5f) - Mix(left[kEdge - 2], right[kEdge - 2], 0.5f);
    const float wide = Length(l - q), fl = Length(fall) + 1e-3f;
    const float down = 4 * x * (1 - x) * h.bow + sinf(kTau * (x * h.count) + h.phase) * h.wave * Min(1, 8 * x * (1 - x)) + (x - 0.5f) * h.lean;
    return Mix(l, q, x) + fall * (down * wide / fl);
  }
  // The cloth from `from` of its length to the hem, as one shape.
  AL_BOTH void Sheet(const Hem& h, float depth, Colour c, float width, float from) {
    e.Begin(depth, c, look.ink, width);
    V2 v[kPolygon];
    if (from <= 0) {
      for (int j = 0; j < kEdge; ++j) { v[j] = left[j]; v[kPolygon - 1 - j] = right[j]; }
      v[kEdge] = OnHem(h, 0.3f);
      v[kEdge + 1] = OnHem(h, 0.7f);
      e.Polygon(v, kPolygon);
    }
    const float top = Max(from, 0.72f);  // the wavy part, with more corners
    for (int j = 0; j < 18; ++j) v[3 + j] = OnHem(h, j / 17.0f);
    for (int j = 0; j < 3; ++j) { v[j] = On(0, Mix(top, 1, j / 3.0f)); v[kPolygon - 1 - j] = On(1, Mix(top, 1, j / 3.0f)); }
    e.Polygon(v, kPolygon);
  }

  // Cloth from the waist to `length` leg lengths down (1 knee, 2 ankle).
  AL_LARGE void Skirt(Colour c, float length, float flare, bool open) {
    const bool wide = r.Chance(o.gown ? 0.6f : 0.3f);
    const float grow = wide ? flare + length * r.In(0.05f, o.gown ? 0.3f : 0.22f) : flare, bell = r.In(0, 1);
    const float breeze = r.Chance(0.35f) ? r.In(0.04f, 0.22f) : 0;
    const V3 wind = V3{r.Sign() * breeze, breeze * r.In(0, 0.3f), 0} + k.pelvis.z * r.Bell(0.03f);
    if (r.Chance(0.12f) || open || !Rows(length, grow, bell, 1, wind)) { Hanging(c, length, flare, open); return; }
    const float across = Length(left[kEdge - 1] - right[kEdge - 1]), from_above = e.sin_up * 0.5f;
    Hem h{Clamp(r.In(0, 0.14f) + from_above, -0.12f, 0.3f), 0, 1 + static_cast<float>(r.Below(5)), r.In(0, kTau), r.Chance(0.25f) ? r.Bell(0.14f) : 0};
    if (o.wavy_hem || wide) h.wave = r.In(0.015f, 0.06f) * (h.count > 3 ? 0.7f : 1);
    float front = -9;
    for (int i = 0; i < 2; ++i) front = Max(front, e.Depth(OnLeg(i, length * 0.6f)));
    const float legs = Max(Max(leg_depth[0], leg_depth[1]), Max(shin_depth[0], shin_depth[1]));
    float depth = front > trunk + 0.1f ? Max(front + 0.03f, legs + 8e-3f) : Max(trunk - 1.5e-3f, (o.gown || length > 1.2f) && legs < trunk + 0.2f ? legs + 8e-3f : -9.0f);
    const float back = Min(Min(leg_depth[0], leg_depth[1]), Min(shin_depth[0], shin_depth[1])) - 0.012f;
    if (!look.simple && length < 1.9f && r.Chance(0.45f)) {  // the far side of the hem, or a lining, shows behind the legs
      Hem far = h;
      far.bow = h.bow * r.In(-0.6f, 0.5f) - r.In(-0.06f, 0.05f); far.phase += kTau / 2;
      Sheet(far, back, Dim(c, r.In(0.4f, 0.8f)), look.width, 0.7f);
    }
    if (length > 1.5f && r.Chance(0.3f)) Train(c, back - 0.01f);
    if (!look.simple && r.Chance(0.12f)) {  // a petticoat looks out below
      Hem low = h;
      low.bow += r.In(0.05f, 0.14f); low.count += 2;
      Sheet(low, depth - 2e-4f, look.InLine() ? look.accent : Mix(look.accent, {1, 1, 1}, 0.5f), look.width, 0.7f);
    }
    Sheet(h, depth, c, look.width, 0);
    if (length > 0.8f && r.Chance(0.14f)) {  // slit: a leg steps out of it
      const int i = r.Below(2);
      const float x = i == 0 ? r.In(0.1f, 0.4f) : r.In(0.6f, 0.9f), up = r.In(0.25f, 0.6f), w = r.In(0.08f, 0.3f);
      const V2 v[4] = {On(x, up), On(x, Mix(up, 1, 0.5f)) + V2{r.Bell(1.5f), 0}, OnHem({h.bow + 0.3f, 0, 1, 0, 0}, Max(x - w * 0.3f, 0)), OnHem({h.bow + 0.3f, 0, 1, 0, 0}, Min(x + w, 1))};
      e.Polygon(v, 4, kCut);
    }
    Wear(o.dress || o.coat);
    if (look.simple) return;
    FoldsOf(h, c, depth, across);
    if (r.Chance(0.3f)) Bands(h, c, depth);
    if (r.Chance(wide ? 0.22f : 0.08f)) Over(h, c, depth);
    if (o.apron && e.View(k.pelvis.z).z > 0.1f) Apron(h, depth);
  }
  // What a gown drags behind it on the floor.
  AL_BOTH void Train(Colour c, float depth) {
    const float side = e.View(k.pelvis.z).x > 0 ? -1.0f : 1.0f, s = e.scale;
    const V2 a = On(0.1f, 0.5f), b = On(0.9f, 0.5f), low = Mix(left[kEdge - 1], right[kEdge - 1], 0.5f);
    const float reach = r.In(0.12f, 0.5f) * s, drop = r.In(0.0f, 0.05f) * s;
    const V2 far = low + V2{side * reach, drop}, near = low + V2{-side * 0.06f * s, drop};
    const V2 v[8] = {a, side > 0 ? near : Mix(a, far, 0.6f) + V2{0, reach * 0.25f}, side > 0 ? low + V2{0, drop} : far + V2{0, -reach * 0.12f}, side > 0 ? Mix(low, far, 0.5f) + V2{0, drop * 1.5f} : far,
                     side > 0 ? far : Mix(low, far, 0.5f) + V2{0, drop * 1.5f}, side > 0 ? far + V2{0, -reach * 0.12f} : low + V2{0, drop}, side > 0 ? Mix(b, far, 0.6f) + V2{0, reach * 0.25f} : near, b};
    e.Begin(depth, Mix(c, Dim(c, 0.8f), r.F()), look.ink, look.width);
    e.Blob(v, 8);
    Wear(o.dress || o.coat);
    if (look.simple) return;
    BeginMarks(depth + 1e-4f, FoldColour(c));
    for (int j = 0; j < 3; ++j) Mark(Mix(low, far, r.In(0.6f, 0.95f)), Mix(Mix(a, b, 0.5f), far, r.In(0.1f, 0.5f)), r.In(-0.15f, 0.15f), FoldWidth());
  }
  // Folds rise from the waves of the hem, fall from the waist, or hang as shaded cones between two lines.
  AL_BOTH void FoldsOf(const Hem& h, Colour c, float depth, float across) {
    if (r.Chance(0.2f)) return;
    if (r.Chance(0.3f)) {  // shade in the hollows
      e.Begin(depth + 5e-5f, Dim(c, r.In(0.6f, 0.88f)), look.ink, 0, -1);
      const int n = 1 + r.Below(4);
      for (int j = 0; j < n; ++j) {
        const float x = r.In(0.08f, 0.8f), w = r.In(0.03f, 0.12f);
        const V2 v[4] = {On(x + w * 0.5f, r.In(0.15f, 0.6f)), On(x, 0.85f), OnHem(h, x), OnHem(h, x + w)};
        e.Polygon(v, 4);
      }
    }
    const int n = o.pleats ? 6 + r.Below(6) : 2 + r.Below(o.gown ? 8 : 5);
    BeginMarks(depth + 1e-4f, FoldColour(c));
    for (int j = 0; j < n; ++j) {
      const float x = o.pleats ? (j + 0.5f) / n : r.In(0.06f, 0.94f), bow = across > 4 ? r.Bell(0.06f) : 0.0f;
      if (o.pleats) Mark(On(x, r.In(0.05f, 0.3f)), OnHem(h, x), r.Bell(0.02f), FoldWidth());
      else if (r.Chance(0.6f)) Mark(OnHem(h, x), On(Mix(x, 0.5f, r.In(0, 0.3f)), r.In(0.25f, 0.75f)), bow, FoldWidth() * 1.2f);
      else Mark(On(x, 0.03f), On(Mix(x, x > 0.5f ? 1.0f : 0.0f, 0.2f), r.In(0.25f, 0.7f)), bow, FoldWidth());
    }
    if (r.Chance(0.35f))  // pulled from a knee
      for (int i = 0; i < 2; ++i) Fan(e.Project(k.knee[i]), On(r.F(), 0.98f) - e.Project(k.knee[i]), 0.8f, 2, across * 0.3f);
  }
  // Tiers, a border, frills.
  AL_BOTH void Bands(const Hem& h, Colour c, float depth) {
    const int n = 1 + r.Below(o.gown ? 4 : 2);
    const bool frill = r.Chance(0.4f);
    const Colour line = Lined() ? look.ink : Dim(c, 0.6f);
    for (int j = 0; j < n; ++j) {
      const float t = n == 1 ? r.In(0.75f, 0.95f) : (j + 1.0f) / (n + 0.4f);
      V2 l[9];
      for (int i = 0; i < 9; ++i) {
        const float x = i / 8.0f;
        l[i] = On(x, t) + (OnHem(h, x) - On(x, 1)) * t + V2{0, frill && i % 2 ? 0.012f * e.scale : 0.0f};
      }
      Stroke(e, depth + 2e-4f, line, l, 9, Max(look.width * r.In(0.5f, 1), 0.7f));
    }
    if (frill && r.Chance(0.6f)) {  // lace along the hem
      e.Begin(depth + 2e-4f, look.InLine() ? look.accent : Mix(look.accent, {1, 1, 1}, 0.4f), look.ink, look.width * 0.8f, 0.5f);
      const float edge = Length(left[kEdge - 1] - right[kEdge - 1]), fine = r.In(0.01f, 0.022f) * e.scale;
      const int m = static_cast<int>(Clamp(edge / (1.6f * fine + 0.1f), 5, 22));
      const float b = Min(edge / m * 0.6f, 0.03f * e.scale);
      for (int i = 0; i < m; ++i) { const V2 a = OnHem(h, (i + 0.5f) / m); e.Capsule(a, b, a + V2{0.1f, b * 0.3f}, b); }
    }
  }
  // A second, shorter layer: an overskirt gathered up, a tutu, the skirts of a jacket.
  AL_BOTH void Over(const Hem& h, Colour c, float depth) {
    const Colour over = r.Chance(0.4f) ? c : r.Chance(0.5f) ? look.accent : Mix(c, {1, 1, 1}, 0.35f);
    const float to = r.In(0.25f, 0.7f), puff = r.In(0, 0.2f);
    V2 v[12];
    for (int j = 0; j < 4; ++j) { v[j] = On(-puff * (j == 0 ? 0.2f : 1.0f) * 0.6f, to * j / 3.0f); v[11 - j] = On(1 + puff * (j == 0 ? 0.2f : 1.0f) * 0.6f, to * j / 3.0f); }
    const float dip = r.In(-0.15f, 0.15f);
    for (int j = 0; j < 4; ++j) v[4 + j] = On(0.2f + 0.2f * j, to + dip * (j == 1 || j == 2 ? 1 : 0.5f) + (j % 2 ? 0.03f : -0.03f)) + (OnHem(h, 0.5f) - On(0.5f, 1)) * to;
    e.Begin(depth + 3e-4f, over, look.ink, look.width);
    e.Blob(v, 12);
    Wear(true);
    BeginMarks(depth + 3.5e-4f, FoldColour(over));
    for (int j = 0; j < 4; ++j) { const float x = r.In(0.1f, 0.9f); Mark(On(x, to * 0.95f), On(Mix(x, 0.5f, 0.2f), to * r.In(0.2f, 0.6f)), r.Bell(0.08f), FoldWidth()); }
  }
  AL_BOTH void Apron(const Hem& h, float depth) {
    const float x0 = r.In(0.1f, 0.3f), x1 = r.In(0.7f, 0.9f), to = r.In(0.5f, 0.95f), round = r.Chance(0.5f) ? 0.06f : 0.0f;
    const V2 bow = (OnHem(h, 0.5f) - On(0.5f, 1)) * to;
    const V2 v[8] = {On(x0 + 0.05f, 0.02f), On(x0, to * 0.5f), On(x0, to - round), On(x0 + 0.12f, to) + bow * 0.7f, On(x1 - 0.12f, to) + bow * 0.7f, On(x1, to - round), On(x1, to * 0.5f), On(x1 - 0.05f, 0.02f)};
    e.Begin(depth + 4e-4f, r.Chance(0.5f) && !look.InLine() ? Colour{0.95f, 0.95f, 0.95f} : look.accent, look.ink, look.width);
    e.Polygon(v, 8);
    Patterned(e.Now(), r, look.pattern);
    if (r.Chance(0.4f)) { const V2 l[2] = {On(x0 + 0.03f, to * 0.3f), On(x0 + 0.2f, to * 0.32f)}; Stroke(e, depth + 5e-4f, look.ink, l, 2, Max(look.width * 0.6f, 0.6f)); }
  }

  // For legs spread or folded: what lies about waist, hips and legs, drawn tight round them.
  AL_BOTH void Hanging(Colour c, float length, float flare, bool open) {
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
    float depth = front > trunk + 0.1f ? front + 0.03f : trunk - 1.5e-3f;
    const float legs = Max(Max(leg_depth[0], leg_depth[1]), Max(shin_depth[0], shin_depth[1]));
    if (o.gown && legs > trunk + 0.05f) depth = Max(depth, legs + 8e-3f);  // a gown hides legs that stride ahead in it
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
        e.Begin(trunk - 1.5e-3f, c, look.ink, look.width);
        e.Polygon(v, 4);
        Wear(o.dress || o.coat);
        LongFolds(v[1], v[2], 3, c, trunk - 1.4e-3f, 1 + r.Below(2));
      }
      return;
    }
    e.Begin(depth, c, look.ink, look.width);
    e.Hull(q, rad, n);
    Wear(o.dress || o.coat);
    const V2 edge = q[4] - q[2], fall = Mix(q[2], q[4], 0.5f) - Mix(q[0], q[1], 0.5f);
    const float fell = Length(fall) + 1e-3f, across = Length(edge);
    if (o.wavy_hem && across > 8 && across < 1.3f * fell) {  // folds end in waves
      const int waves = 2 + r.Below(4);
      for (int j = 0; j < waves; ++j) {
        const float t = (j + r.In(0.3f, 0.7f)) / waves, b = across / waves * r.In(0.3f, 0.5f);
        const V2 at = Mix(q[2], q[4], t) + fall * ((Mix(rad[2], rad[4], t) + b * r.In(0.5f, 0.75f)) / fell);
        e.Capsule(at - edge * (b * 0.3f / across), b, at + edge * (b * 0.3f / across), b * r.In(0.6f, 1), kCut);
      }
    } else if (r.Chance(0.4f)) {  // straight hem: cut what hangs rounded below it
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
    if (look.simple || !r.Chance(0.75f)) return;
    const int folds = o.pleats ? 5 + r.Below(6) : 2 + r.Below(o.gown ? 7 : 4);
    BeginMarks(depth + 1e-4f, FoldColour(c));
    for (int j = 0; j < folds; ++j) {
      const float t = o.pleats ? (j + 0.5f) / folds : r.F();
      const V2 a = Mix(q[0], q[1], t), b = Mix(q[2], q[4], t) + fall * (Mix(rad[2], rad[4], t) * 0.6f / fell);
      if (o.pleats) Mark(Mix(a, b, 0.15f), b, r.Bell(0.02f), FoldWidth());
      else if (r.Chance(0.5f)) Mark(b, Mix(a, b, r.In(0.2f, 0.7f)), r.Bell(0.07f), FoldWidth() * 1.2f);  // rising from the hem
      else Mark(Mix(a, b, 0.05f), Mix(a, b, r.In(0.3f, 0.7f)), r.Bell(0.07f), FoldWidth());               // falling from the waist
    }
  }
};

}  // namespace drawer
