// Long things about a figure that are no limbs of it: cloth and hair in the wind, tails, wings, ropes, lances, branches, legs of chairs.
#pragma once
#include "painting.h"

namespace drawer {

struct StrandPainter : Painting {
  static constexpr int kPath = 12;

  AL_BOTH explicit StrandPainter(const Painting& p) : Painting(p) {}

  AL_BOTH Colour Some() const {  // often a colour of the figure itself
    if (look.InLine()) return r.Chance(0.8f) ? look.accent : look.ink;
    const int i = r.Below(7);
    return i == 0 ? look.skin : i == 1 ? look.top : i == 2 ? look.bottom : i == 3 ? look.hair : i < 6 ? look.accent : look.calm ? Dim(look.accent, 0.7f) : RandomColour(r);
  }
  // A course from `a` along `d` (picture frame), swaying and sagging.
  AL_BOTH void Course(V2 a, V2 d, float sway, float waves, float sag, V2* out) {
    const V2 n{-d.y, d.x};
    const float ph = r.In(0, kTau), l = Length(d);
    for (int j = 0; j < kPath; ++j) {
      const float t = j / (kPath - 1.0f);
      out[j] = a + d * t + n * (sway * t * (sinf(kTau * waves * t + ph) - sinf(ph) * (1 - t))) + V2{0, sag * l * t * t};
    }
  }
  // A band along a course whose half width goes from w0 over `mid` to w1.
  AL_BOTH void Band(const V2* c, float w0, float mid, float w1, float depth, Colour fill, float width) {
    V2 v[kPolygon];
    for (int j = 0; j < kPath; ++j) {
      const V2 d = c[j + 1 < kPath ? j + 1 : j] - c[j > 0 ? j - 1 : 0];
      const float l = Length(d) + 1e-3f, t = j / (kPath - 1.0f), w = t < 0.5f ? Mix(w0, mid, Smooth(2 * t)) : Mix(mid, w1, Smooth(2 * t - 1));
      const V2 n{-d.y / l * w, d.x / l * w};
      v[j] = c[j] + n;
      v[kPolygon - 1 - j] = c[j] - n;
    }
    e.Begin(depth, fill, look.ink, width);
    e.Polygon(v, kPolygon);
  }
  AL_BOTH V2 Away(float least, float most) {  // sideways or up or down the wind, length in picture units
    const float t = r.Chance(0.7f) ? r.Bell(0.5f) + (r.Chance(0.5f) ? 0 : kTau / 2) : r.In(0, kTau), l = r.In(least, most) * e.scale;
    return {cosf(t) * l, sinf(t) * l};
  }
  AL_BOTH float Layer() const { return r.Chance(0.6f) ? trunk - 0.25f : trunk + r.In(0.05f, 0.3f); }

  AL_LARGE void Draw() {
    const int kind = r.Below(11);
    if (kind < 3) Flying(kind);
    else if (kind == 3) Tail();
    else if (kind == 4) Wings();
    else if (kind == 5) Locks();
    else if (kind == 6) Rope();
    else if (kind == 7) Shaft();
    else Standing(kind - 8);
  }
  // Scarf from the neck, sash from the waist, ribbons from a wrist.
  AL_BOTH void Flying(int at) {
    const V3 from = at == 0 ? k.neck : at == 1 ? Mix(k.root, k.waist, 0.8f) : k.wrist[r.Below(2)];
    const V2 a = e.Project(from), d = Away(0.15f, 0.6f);
    const Colour c = Some();
    const float w = r.In(0.008f, 0.035f) * e.scale, layer = Layer();
    const int n = 1 + r.Below(2);
    for (int j = 0; j < n; ++j) {
      V2 p[kPath];
      const V2 dj = j == 0 ? d : d * r.In(0.6f, 1.0f) + V2{r.Bell(0.08f), r.Bell(0.08f)} * e.scale;
      Course(a, dj, r.In(0.02f, 0.2f), r.In(0.4f, 1.6f), r.In(-0.1f, 0.4f), p);
      Band(p, w * 0.6f, w * r.In(0.8f, 1.4f), w * r.In(0.7f, 1.6f), layer + j * 1e-3f, j == 0 ? c : Dim(c, 0.85f), look.width);
      Patterned(e.Now(), r, look.pattern);
      if (look.simple) continue;
      BeginMarks(layer + j * 1e-3f + 1e-4f, FoldColour(c));
      for (int i = 0; i < 2; ++i) { const int q = 1 + r.Below(kPath - 4); e.Capsule(p[q], FoldWidth() * 0.5f, p[q + 2], FoldWidth() * 0.2f); }
    }
    if (at == 0 && !look.simple) {  // round the neck
      e.Begin(trunk + 9e-3f, c, look.ink, look.width, 1);
      e.Capsule(k.neck + k.chest.x * 0.03f, 0.018f * k.p.bulk, k.neck - k.chest.x * 0.03f, 0.018f * k.p.bulk);
    }
  }
  AL_BOTH void Tail() {
    const V2 a = e.Project(k.root - k.pelvis.z * k.p.chest_depth - k.pelvis.y * 0.01f);
    const float side = fabsf(e.View(k.pelvis.z).x) > 0.25f ? (e.View(k.pelvis.z).x > 0 ? -1.0f : 1.0f) : r.Sign();
    const V2 d = V2{side * r.In(0.1f, 0.45f), r.In(-0.2f, 0.45f)} * e.scale;
    V2 p[kPath];
    Course(a, d, r.In(0.1f, 0.5f), r.In(0.3f, 1.1f), 0, p);
    const float w = r.In(0.008f, 0.03f) * e.scale;
    Band(p, w, w * r.In(0.7f, 1.6f), w * (r.Chance(0.3f) ? 2 : 0.5f), e.View(k.pelvis.z).z > 0 ? trunk - 0.06f : trunk + 0.02f, Some(), look.width);
    Patterned(e.Now(), r, look.pattern);
    if (r.Chance(0.4f)) { const V2 q = p[kPath - 1]; e.Capsule(q - V2{0.1f, 0}, w * 1.6f, q + (q - p[kPath - 3]) * 0.7f, w * 0.3f); }
  }
  AL_BOTH void Wings() {
    const Colour c = Some();
    const float layer = e.View(k.chest.z).z > -0.1f ? trunk - 0.3f : trunk + 0.08f, span = r.In(0.25f, 0.65f), rise = r.In(-0.2f, 0.5f), drop = r.In(0.1f, 0.6f);
    const int kind = r.Below(3);
    for (int i = 0; i < 2; ++i) {
      const V3 out = k.chest.x * (i == 0 ? 1.0f : -1.0f), at = k.pit + out * 0.03f - k.chest.z * k.p.chest_depth;
      auto on = [&](float x, float y) { return e.Project(at + out * (x * span) + k.chest.y * y - k.chest.z * (0.15f * x)); };
      e.Begin(layer - i * 1e-3f, c, look.ink, look.width, 1);
      if (kind == 0) {  // of feathers
        const int n = 5 + r.Below(3);
        for (int j = 0; j < n; ++j) {
          const float t = (j + 1.0f) / n;
          e.Capsule(on(t * 0.7f, rise * t), 0.018f * e.scale, on(t, Mix(rise, -drop, 1 - 0.8f * t)), 0.022f * e.scale);
        }
        e.Capsule(on(0, -0.03f), 0.02f * e.scale, on(0.8f, rise), 0.02f * e.scale);
      } else if (kind == 1) {  // a butterfly's
        const V2 up[6] = {on(0, 0.02f), on(0.3f, rise * 0.8f + 0.1f), on(0.8f, rise + 0.12f), on(1, rise * 0.7f), on(0.6f, 0), on(0.1f, -0.04f)};
        const V2 low[6] = {on(0, -0.02f), on(0.4f, -0.02f), on(0.75f, -drop * 0.4f), on(0.6f, -drop), on(0.3f, -drop * 0.8f), on(0.05f, -0.15f)};
        e.Blob(up, 6);
        e.Blob(low, 6);
      } else {  // a bat's
        const V2 v[8] = {on(0, 0.03f), on(0.5f, rise + 0.05f), on(1, rise), on(0.9f, -drop * 0.6f), on(0.68f, -drop * 0.25f), on(0.55f, -drop), on(0.35f, -drop * 0.35f), on(0.15f, -drop * 0.9f)};
        e.Polygon(v, 8);
      }
      Patterned(e.Now(), r, look.pattern + 0.15f);
      if (look.simple || !r.Chance(0.6f)) continue;
      BeginMarks(layer + 1e-3f, FoldColour(c));
      for (int j = 0; j < 3; ++j) Mark(on(0.08f, 0), on(r.In(0.4f, 0.8f), Mix(rise, -drop, r.In(0.1f, 0.6f))), r.Bell(0.08f), FoldWidth());
    }
  }
  // Loose hair in the wind.
  AL_BOTH void Locks() {
    const V3 from = k.skull + k.head.y * (k.p.head * 0.15f) - k.head.z * (k.p.head_half_depth * 0.5f);
    const V2 a = e.Project(from), d = Away(0.12f, 0.5f);
    const int n = 2 + r.Below(4);
    const float layer = e.Depth(k.skull) - (r.Chance(0.7f) ? 0.05f : -0.15f), w = k.p.head * r.In(0.05f, 0.2f) * e.ScaleAt(from);
    for (int j = 0; j < n; ++j) {
      V2 p[kPath];
      const float t = r.Bell(0.35f), cs = cosf(t), sn = sinf(t), l = r.In(0.6f, 1);
      Course(a, V2{d.x * cs - d.y * sn, d.x * sn + d.y * cs} * l, r.In(0.05f, 0.3f), r.In(0.3f, 1.3f), r.In(0, 0.3f), p);
      Band(p, w, w * r.In(0.6f, 1.3f), w * 0.1f, layer + j * 1e-4f, look.hair, look.width);
    }
  }
  // Rope, whip, lead, hose: from a hand to somewhere, or lying about.
  AL_BOTH void Rope() {
    const V2 a = e.Project(Mix(k.wrist[0], k.tip[0], 0.6f)), b = r.Chance(0.2f) ? e.Project(Mix(k.wrist[1], k.tip[1], 0.6f)) : a + Away(0.3f, 1.2f);
    V2 p[kPath];
    Course(a, b - a, r.In(0, 0.25f), r.In(0.3f, 1.5f), r.In(0, 0.3f), p);
    const Colour c = r.Chance(0.4f) ? look.ink : Some();
    const float w = r.In(0.003f, 0.018f) * e.scale;
    Band(p, w, w, w * r.In(0.5f, 1), Layer(), c, r.Chance(0.6f) ? look.width : 0.0f);
  }
  // Lance, spear, oar, rifle, sword at the hip, staff: through a hand, on the back or hanging from the belt.
  AL_BOTH void Shaft() {
    const int where = r.Below(3), i = r.Below(2);
    const V3 at = where == 0 ? Mix(k.wrist[i], k.tip[i], 0.5f) : where == 1 ? Mix(k.waist, k.pit, 0.5f) : k.hip[i] + k.pelvis.y * 0.03f + k.pelvis.x * ((i == 0 ? 1.0f : -1.0f) * 0.04f);
    const V2 a = e.Project(at), d = Away(0.2f, where == 0 ? 0.9f : 0.45f);
    const float w = r.In(0.004f, 0.02f) * e.scale, layer = where == 1 ? (e.View(k.chest.z).z > 0 ? trunk - 0.2f : trunk + 0.04f) : Layer();
    const Colour c = Some();
    e.Begin(layer, c, look.ink, look.width, 0);
    e.Capsule(a - d * r.In(0.1f, 0.9f), w, a + d, w * r.In(0.3f, 1.2f));
    Patterned(e.Now(), r, 0.1f);
    const V2 u = d * (1 / (Length(d) + 1e-3f)), n{-u.y, u.x};
    const float b = r.In(2, 5) * w;
    if (r.Chance(0.35f)) {  // blade, flag
      const bool flag = r.Chance(0.3f);
      const V2 q = a + d, v[4] = {q - u * b, q + n * (flag ? b * 3 : b), q + (flag ? n * (b * 3) + u * (b * 2) : u * (b * 3)), q - n * (flag ? 0 : b)};
      e.Begin(layer + 1e-3f, Some(), look.ink, look.width);
      e.Polygon(v, 4);
    } else if (r.Chance(0.4f)) {  // hilt
      e.Begin(layer + 1e-3f, Some(), look.ink, look.width);
      e.Capsule(a - n * (3 * w), w, a + n * (3 * w), w);
    }
  }
  // What stands or lies beside: branches, legs of a chair or table with their knees and feet, things of two jointed parts.
  AL_BOTH void Standing(int kind) {
    const bool was = e.figure;
    e.figure = look.simple && r.Chance(0.6f);
    const Colour c = Some();
    const float s = e.scale * r.In(0.6f, 1.1f), ground = Max(e.Project(k.heel[0]).y, e.Project(k.heel[1]).y), layer = r.Chance(0.85f) ? trunk - 0.5f : trunk + 0.4f;
    const V2 root = e.Project(k.root);
    const float x = root.x + r.Sign() * r.In(0.08f, 0.5f) * e.scale;
    if (kind == 0) {  // branch
      const V2 a{x, r.Chance(0.6f) ? ground : root.y - r.In(0, 0.6f) * e.scale}, d = V2{r.Bell(0.3f), -r.In(0.2f, 0.9f)} * s;
      const float w = r.In(0.01f, 0.035f) * s;
      e.Begin(layer, c, look.ink, look.width, 1);
      const V2 m = a + d * 0.5f + V2{r.Bell(0.06f), 0} * s;
      e.Capsule(a, w, m, w * 0.8f);
      e.Capsule(m, w * 0.8f, a + d, w * 0.3f);
      const int n = 2 + r.Below(4);
      for (int j = 0; j < n; ++j) { const V2 q = Mix(a, a + d, r.In(0.3f, 1)); const float t = r.Bell(1.2f) - kTau / 4, l = r.In(0.08f, 0.3f) * s; e.Capsule(q, w * 0.5f, q + V2{cosf(t), sinf(t)} * l, w * 0.15f); }
    } else if (kind == 1) {  // legs of a seat or table
      const float top = Mix(root.y, ground, r.In(0.1f, 0.6f)), w = r.In(0.012f, 0.035f) * s, half = r.In(0.06f, 0.22f) * s;
      const int n = 2 + r.Below(3);
      const bool turned = r.Chance(0.4f), cabriole = r.Chance(0.35f);
      for (int j = 0; j < n; ++j) {
        const float t = n == 1 ? 0.0f : 2.0f * j / (n - 1) - 1, low = ground - r.In(0, 0.03f) * s;
        const V2 a{x + t * half, top}, b{x + t * half * r.In(0.9f, 1.4f), low}, m = Mix(a, b, 0.45f) + V2{cabriole ? t * 0.05f * s : 0, 0};
        e.Begin(layer + j * 1e-3f, j % 2 ? Dim(c, 0.85f) : c, look.ink, look.width, 1);
        e.Capsule(a, w, m, w * r.In(0.5f, 0.9f));
        e.Capsule(m, w * 0.6f, b, w * r.In(0.4f, 0.9f));
        if (turned) e.Capsule(m, w * 1.1f, m + V2{0.1f, w * 0.5f}, w);
        if (r.Chance(0.4f)) e.Capsule(b, w, b + V2{t * w * 2, 0}, w * 0.6f);
      }
      e.Begin(layer + 0.01f, c, look.ink, look.width);
      e.Capsule(V2{x - half, top}, w * 1.3f, V2{x + half, top}, w * 1.3f);
      if (r.Chance(0.5f)) for (int j = -1; j <= 1; j += 2) e.Capsule(V2{x + j * half, top}, w, V2{x + j * half * 1.1f, top - r.In(0.1f, 0.3f) * s}, w);
    } else {  // two tapering parts and an end: a pump's handle, a crane, a crutch, a stuffed stocking
      const V2 a{x, Mix(root.y, ground, r.In(-0.7f, 1))};
      const float t = r.In(0, kTau), g = r.Bell(1), w = r.In(0.012f, 0.05f) * s, l1 = r.In(0.1f, 0.3f) * s, l2 = r.In(0.1f, 0.3f) * s;
      const V2 b = a + V2{cosf(t), sinf(t)} * l1, q = b + V2{cosf(t + g), sinf(t + g)} * l2;
      e.Begin(layer, c, look.ink, look.width, w * 0.5f);
      e.Capsule(a, w, b, w * 0.75f);
      e.Capsule(b, w * 0.75f, q, w * 0.5f);
      if (r.Chance(0.6f)) e.Capsule(q, w * r.In(0.6f, 1), q + V2{cosf(t + g + r.Bell(1)), sinf(t + g)} * (w * 2), w * r.In(0.4f, 0.9f));
      Patterned(e.Now(), r, 0.15f);
    }
    e.figure = was;
  }
};

}  // namespace drawer
