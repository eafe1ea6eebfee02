// Clothes as they lie on the body's surface: what closes in front is seen in front, what is seamed behind is seen from behind.
#pragma once
#include "trunk.h"

namespace drawer {

enum Costume { kShirtTee, kShirtButtoned, kJacket, kDoubleBreasted, kOveralls, kSinglet, kZipped, kSweater, kSmock, kCostumes };

struct CostumePainter : TrunkPainter {
  float facing, seen_low, seen_more;  // how much the front is seen; the angle round the hips that comes at the viewer, and by how much the chest's is more
  float loose;

  AL_BOTH explicit CostumePainter(const Painting& p) : TrunkPainter(p) {
    loose = Clamp(o.cloth * 0.97f, 1, 1.15f);
    facing = e.View(k.chest.z).z;
    seen_low = atan2f(e.View(k.pelvis.x).z, e.View(k.pelvis.z).z);
    seen_more = Wrapped(atan2f(e.View(k.chest.x).z, facing) - seen_low);
  }
  // A point of the cloth: `a` radians round the trunk from its front toward the figure's own left, `u` 0 at the hips .. 1 at the pit of the neck.
  AL_BOTH V3 On(float a, float u) const {
    const Proportions& p = k.p;
    const float low = Clamp(u / 0.42f, -0.4f, 1), high = Clamp((u - 0.42f) / 0.35f, 0, 1), sa = sinf(a), ca = cosf(a);
    const V3 at = u < 0.42f ? Mix(k.root, k.waist, low) : Mix(k.waist, k.pit, (u - 0.42f) / 0.58f);
    const float belly = p.belly * Max(0, 1 - fabsf(u - 0.36f) * 2.2f), side = Mix(Mix(p.pelvis, p.waist, Max(low, 0)), p.chest, high) * (u > 0.8f ? 1 - (u - 0.8f) * 0.8f : 1);
    const float deep = p.chest_depth * (u < 0.42f ? 0.88f : u > 0.7f ? 1 - (u - 0.7f) * 1.1f : 1) + (ca > 0 ? belly : 0);
    return at + Unit(Mix(k.pelvis.x, k.chest.x, Clamp(u, 0, 1))) * (side * loose * sa) + Unit(Mix(k.pelvis.z, k.chest.z, Clamp(u, 0, 1))) * (deep * loose * ca);
  }
  AL_BOTH static float Wrapped(float a) { return a - kTau * floorf(a / kTau + 0.5f); }
  AL_BOTH float Middle(float u) const { return seen_low + seen_more * Clamp(u, 0, 1); }
  // How far the angle may go before the cloth turns away, and whether it has.
  AL_BOTH float Turned(float a, float u, bool& hidden) const {
    const float d = Wrapped(a - Middle(u));
    hidden = fabsf(d) > 1.5f;
    return Middle(u) + Clamp(d, -1.5f, 1.5f);
  }
  AL_BOTH bool Seen(float a, float u) const { return fabsf(Wrapped(a - Middle(u))) <= 1.5f; }
  // A line on the cloth from one place to another; only its visible part. The shape must have begun.
  AL_LARGE void Seam(float a0, float u0, float a1, float u1, float width, float bow = 0) {
    V2 last{0, 0};
    bool had = false;
    for (int j = 0; j <= 6; ++j) {
      const float t = j / 6.0f, a = Mix(a0, a1, t), u = Mix(u0, u1, t) + bow * 4 * t * (1 - t);
      const bool see = Seen(a, u);
      const V2 q = e.Project(On(a, u));
      if (see && had) e.Capsule(last, width * 0.5f, q, width * 0.5f);
      had = see;
      last = q;
    }
  }
  AL_LARGE bool Patch(const float* au, int n, float depth, Colour c, float line) {
    V2 q[12];
    int hidden = 0;
    for (int j = 0; j < n; ++j) {
      bool h;
      const float a = Turned(au[2 * j], au[2 * j + 1], h);
      hidden += h;
      q[j] = e.Project(On(a, au[2 * j + 1]));
    }
    if (hidden == n) return false;
    e.Begin(depth, c, look.ink, line);
    e.Polygon(q, n);
    return true;
  }
  AL_BOTH void Button(float a, float u, float radius, float depth, Colour c) {
    if (!Seen(a, u)) return;
    const V3 at = On(a, u);
    e.Begin(depth, c, look.ink, look.width * 0.5f);
    e.Capsule(at, radius, at, radius * 0.99f);
  }
  // A belt or band right round, as far as it is seen.
  AL_LARGE void Ring(float u, float half, float depth, Colour c, float line) {
    V2 q[14];
    for (int j = 0; j < 7; ++j) {
      const float a = Middle(u) + (j - 3) * 0.52f;
      q[j] = e.Project(On(a, u + half));
      q[13 - j] = e.Project(On(a, u - half));
    }
    e.Begin(depth, c, look.ink, line);
    e.Polygon(q, 14);
  }
  AL_BOTH Colour Contrast(Colour c) const { return look.InLine() ? (Grey(c) < 0.4f ? look.skin : look.ink) : Grey(c) > 0.45f ? Dim(c, 0.45f) : Mix(c, {1, 1, 1}, 0.55f); }

  // What is cut into or sewn onto the top.
  AL_LARGE void Cut(int kind) {
    const Colour cloth = look.top, line = Lined() ? FoldColour(cloth) : Contrast(cloth), pale = look.InLine() ? look.accent : r.Chance(0.7f) ? Colour{0.96f, 0.96f, 0.94f} : look.accent;
    const float at = trunk + 1.6e-3f, w = Lined() ? Max(look.width * r.In(0.5f, 0.9f), 0.5f) : r.In(0.7f, 1.6f), edge = look.width * 0.8f;
    const float low = r.In(-0.05f, 0.2f), deep = r.In(0.55f, 0.9f), pi = kTau / 2;
    const bool behind = facing < -0.1f;
    if (kind == kJacket || kind == kZipped || kind == kDoubleBreasted) {
      const float open = kind == kDoubleBreasted ? r.In(0.65f, 0.85f) : kind == kZipped ? r.In(0.7f, 1) : deep, wide = r.In(0.3f, 0.55f);
      const float v[10] = {wide, 1.02f, 0, open, -wide, 1.02f, -wide * 0.4f, 1.06f, wide * 0.4f, 1.06f};
      if (Patch(v, 5, at, pale, edge) && kind == kJacket && r.Chance(0.6f)) {  // tie
        const float n = r.In(0.06f, 0.12f), t[12] = {n, 1, 0.04f, 0.95f, n, open + 0.1f, 0, open + 0.02f, -n, open + 0.1f, -n, 1};
        Patch(t, 6, at + 1e-4f, r.Chance(0.5f) ? look.accent : look.bottom, edge * 0.7f);
      }
      BeginMarks(at + 2e-4f, line);
      Seam(0, open, kind == kDoubleBreasted ? -0.35f : 0.04f, low, w * 1.2f);
      if (kind == kJacket && low < 0.1f && Seen(0, 0)) Seam(0.04f, low + 0.06f, 0.3f, low - 0.05f, w);  // the front edges swing apart
      if (kind != kZipped) for (int j = -1; j <= 1; j += 2) {
        const float b = wide * r.In(1.4f, 2.1f), l[10] = {j * wide * 0.9f, 1.06f, j * b, Mix(open, 1, 0.62f), j * b * 0.75f, Mix(open, 1, 0.5f), j * 0.04f, open, j * wide * 0.6f, Mix(open, 1, 0.7f)};
        Patch(l, 5, at + 3e-4f, r.Chance(0.75f) ? cloth : look.InLine() ? look.accent : Dim(cloth, 0.7f), edge);
      }
      const int n = kind == kDoubleBreasted ? 3 + r.Below(2) : 2 + r.Below(3);
      if (kind != kZipped) for (int j = 0; j < n; ++j) for (int m = 0; m < (kind == kDoubleBreasted ? 2 : 1); ++m)
        Button(kind == kDoubleBreasted ? (m ? 0.28f : -0.28f) : -0.08f, Mix(open - 0.06f, low + 0.12f, j / (n - 1.0f)), r.In(0.006f, 0.011f), at + 4e-4f, r.Chance(0.5f) ? look.accent : Contrast(cloth));
      BeginMarks(at + 4e-4f, line);
      for (int j = -1; j <= 1; j += 2) Seam(j * 0.55f, 0.2f, j * 1.1f, 0.24f, w);
      if (kind == kJacket && r.Chance(0.5f)) Seam(0.4f, 0.76f, 0.85f, 0.78f, w);  // the breast pocket is on the left
    } else if (kind == kShirtButtoned) {
      for (int j = -1; j <= 1; j += 2) {
        const float c[8] = {0, 0.96f, j * 0.75f, 0.9f, j * 0.9f, 1.05f, j * 0.2f, 1.08f};
        Patch(c, 4, at + 3e-4f, r.Chance(0.6f) ? cloth : pale, edge);
      }
      BeginMarks(at, line);
      Seam(0.03f, 0.95f, 0.03f, low, w);
      if (r.Chance(0.4f)) Seam(-0.16f, 0.92f, -0.16f, low, w * 0.7f);
      if (r.Chance(0.5f)) { Seam(0.42f, 0.74f, 0.85f, 0.74f, w); Seam(0.42f, 0.74f, 0.42f, 0.62f, w); Seam(0.85f, 0.74f, 0.85f, 0.62f, w); Seam(0.42f, 0.62f, 0.85f, 0.62f, w); }
      for (int j = 0; j < 4; ++j) Button(-0.06f, 0.85f - 0.2f * j, 0.006f, at + 2e-4f, Contrast(cloth));
    } else if (kind == kOveralls) {
      const Colour bib = look.bottom;
      const float top = r.In(0.62f, 0.8f), a = r.In(0.5f, 0.8f);
      const float v[12] = {a, top, -a, top, -a * 1.1f, 0.45f, -1.45f, 0.3f, 1.45f, 0.3f, a * 1.1f, 0.45f}, b[8] = {pi - 1.4f, 0.3f, pi - 0.35f, 0.62f, pi + 0.35f, 0.62f, pi + 1.4f, 0.3f};
      Patch(v, 6, at + 1e-4f, bib, edge);
      if (behind) Patch(b, 4, at + 1e-4f, bib, edge);
      const float strap = Max(0.012f * e.scale, 1.4f);
      e.Begin(at + 2e-4f, bib, look.ink, edge * 0.8f);
      for (int j = -1; j <= 1; j += 2) { Seam(j * a * 0.85f, top - 0.02f, j * 0.75f, 1.05f, strap); Seam(pi + j * 0.1f, 0.6f, pi - j * 0.7f, 1.05f, strap); }  // they cross behind
      for (int j = -1; j <= 1; j += 2) Button(j * a * 0.85f, top - 0.05f, 0.011f, at + 4e-4f, look.accent);
      if (r.Chance(0.6f)) { const float q[8] = {0.3f, top - 0.08f, -0.3f, top - 0.08f, -0.26f, top - 0.22f, 0.26f, top - 0.22f}; Patch(q, 4, at + 3e-4f, bib, edge * 0.8f); }
    } else if (kind == kSinglet) {
      const float n = r.In(0.4f, 0.7f), v[10] = {n, 1.1f, n * 0.7f, 0.9f, 0, behind ? 1.0f : 0.8f, -n * 0.7f, 0.9f, -n, 1.1f};
      Patch(v, 5, at, look.skin, edge);
      if (r.Chance(0.4f)) { const float d[8] = {0.5f, 0.72f, -0.5f, 0.72f, -0.5f, 0.42f, 0.5f, 0.42f}; BeginMarks(at + 1e-4f, pale); for (int j = 0; j < 3; ++j) Seam(d[2 * j] * 0.7f, d[2 * j + 1], d[2 * j + 2] * 0.7f, d[2 * j + 3], w * 2.4f); }
    } else {
      const float neck = r.In(0.4f, 0.9f), v[10] = {neck, 1.08f, neck * 0.6f, 0.98f, 0, r.In(0.86f, 0.97f), -neck * 0.6f, 0.98f, -neck, 1.08f};
      if (kind != kSweater && !behind) Patch(v, 5, at, look.skin, edge);
      if (kind == kSweater) {
        Ring(r.In(0.04f, 0.2f), 0.045f, at, r.Chance(0.6f) ? cloth : look.accent, edge);
        BeginMarks(at + 1e-4f, line);
        for (int j = 0; j < 9; ++j) { const float a = Middle(0) + (j - 4) * 0.34f; Seam(a, 0.18f, a, 0.08f, w * 0.5f); }
      }
      if (r.Chance(0.35f)) { const int n = 1 + r.Below(4); for (int j = 0; j < n; ++j) Ring(0.3f + 0.13f * j, r.In(0.015f, 0.045f), at + 1e-4f + j * 1e-5f, look.InLine() ? look.ink : look.accent, 0); }
      else if (!behind && r.Chance(0.3f)) { const float d = r.In(0.2f, 0.4f), b[8] = {0, 0.78f, d, 0.64f, 0, 0.5f, -d, 0.64f}; Patch(b, 4, at + 2e-4f, look.accent, edge * 0.7f); }
    }
    if (behind) {  // the back: seam, yoke, blades; a collar hides the nape
      BeginMarks(at + 1e-4f, line);
      if (kind == kJacket || kind == kDoubleBreasted || kind == kZipped || r.Chance(0.25f)) Seam(pi, 0.96f, pi, low, w * 0.8f);
      if (r.Chance(0.4f)) Seam(pi - 1.2f, 0.82f, pi + 1.2f, 0.82f, w * 0.8f, -0.03f);
      else if (r.Chance(0.6f)) for (int j = -1; j <= 1; j += 2) Seam(pi + j * 0.3f, 0.78f, pi + j * 0.75f, 0.64f, w * 0.7f, -0.02f);
      if (kind == kJacket || kind == kShirtButtoned || kind == kDoubleBreasted) { const float c[8] = {pi - 0.8f, 1.0f, pi + 0.8f, 1.0f, pi + 0.7f, 1.1f, pi - 0.7f, 1.1f}; Patch(c, 4, trunk + 8.7e-3f, cloth, edge); }
    }
    if (r.Chance(0.45f)) {  // side seams, and cloth pulled at the waist on the side that bends in
      BeginMarks(at + 1e-4f, line);
      for (int j = -1; j <= 1; j += 2) if (r.Chance(0.5f)) Seam(j * 1.5f, 0.62f, j * 1.45f, low, w * 0.7f);
      const float s = k.side_flex > 0 ? -1.0f : 1.0f;
      for (int j = 0; j < 2 + r.Below(2); ++j) Seam(s * 1.4f, 0.36f + 0.07f * j, s * r.In(0.5f, 1), 0.33f + 0.1f * j + r.Bell(0.03f), w * 0.8f);
    }
  }
  // Belt, fly and pockets of trousers, whose front shows a fly and slanting pockets, whose back two square ones.
  AL_LARGE void TrouserCut(float band) {
    const Colour c = look.bottom, line = Lined() ? FoldColour(c) : Contrast(c);
    const float w = Lined() ? Max(look.width * 0.65f, 0.5f) : r.In(0.7f, 1.4f), pi = kTau / 2, at = trunk + 1.4e-3f;
    if (r.Chance(0.55f)) {
      Ring(band, r.In(0.018f, 0.04f), trunk + 3e-3f, r.Chance(0.5f) ? Dim(look.shoe, 0.9f) : look.accent, look.width * 0.8f);
      Button(0, band, r.In(0.012f, 0.02f), trunk + 3.1e-3f, look.InLine() ? look.skin : Colour{0.85f, 0.75f, 0.35f});
    }
    BeginMarks(at, line);
    if (r.Chance(0.7f)) Seam(0.05f, band - 0.04f, 0.08f, -0.14f, w);
    for (int j = -1; j <= 1; j += 2) { if (r.Chance(0.6f)) Seam(j * 0.75f, band - 0.04f, j * 1.2f, 0.0f, w); }
    Seam(pi, band - 0.04f, pi, -0.16f, w);  // seat seam
    for (int j = -1; j <= 1; j += 2) if (r.Chance(0.7f) && facing < 0.3f) {
      const float a = pi + j * 0.75f, q[10] = {a - 0.3f, 0.12f, a + 0.3f, 0.12f, a + 0.28f, -0.06f, a, -0.1f, a - 0.28f, -0.06f};
      Patch(q, 5, at + 1e-4f, c, look.width * 0.7f);
    }
  }
};

}  // namespace drawer
