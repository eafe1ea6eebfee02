// Hair.
#pragma once
#include "face.h"

namespace drawer {

AL_BOTH Colour StrandColour(const Look& look) {
  if (look.InLine() && Grey(look.hair) > 0.5f) return look.ink;
  return Grey(look.hair) < 0.2f ? Mix(look.hair, {1, 1, 1}, 0.3f) : look.width > 0 && Grey(look.hair) > 0.5f ? Mix(look.ink, look.hair, 0.4f) : Dim(look.hair, 0.65f);
}

// Hair over the brow: one shape a side of the parting, or a fringe with an uneven edge.
AL_BOTH void DrawFringe(Easel& e, Random& r, const Look& look, const Face& f, float depth, float hairline, float volume) {
  const int kind = r.Below(4);
  const float top = Min(0.46f, hairline + 0.2f), out = 0.02f + volume * 0.5f / f.h;
  e.Begin(depth, look.hair, look.ink, look.width * 0.8f);
  if (kind == 0) {  // fringe
    const int n = 2 + r.Below(5);
    const float low = r.In(0.06f, Max(0.1f, hairline)), wide = r.In(0.75f, 0.98f), ragged = r.In(0.01f, 0.1f), arch = r.In(0, 0.08f);
    V2 v[kPolygon];
    int m = 0;
    for (int j = 0; j < 5; ++j) v[m++] = e.Project(f.At(wide * (1 - j * 0.5f), top - 0.14f * (j - 2) * (j - 2) * 0.5f, out));
    for (int j = 0; j <= n; ++j) {
      const float t = static_cast<float>(j) / n, x = wide * (2 * t - 1);
      v[m++] = e.Project(f.At(x, low - arch * x * x + r.Bell(0.3f) * ragged, out));
      if (j < n) v[m++] = e.Project(f.At(x + wide * r.In(0.5f, 1.4f) / n, low - arch * x * x + ragged, out));
    }
    e.Polygon(v, m);
  } else {
    const float at = kind == 1 ? r.Bell(0.12f) : r.Sign() * r.In(0.25f, 0.6f), end = r.In(-0.2f, 0.16f), sweep = r.In(0.04f, 0.2f);
    for (int j = -1; j <= 1; j += 2) {
      if (j > 0) e.Begin(depth + 1e-5f, look.hair, look.ink, look.width * 0.8f);
      const float edge = j * 0.99f, far = fabsf(edge - at);
      const V2 v[7] = {e.Project(f.At(at, top, out)), e.Project(f.At(Mix(at, edge, 0.6f), top - 0.05f, out)), e.Project(f.At(edge, hairline * 0.6f, out * 0.5f)),
                       e.Project(f.At(edge, end, out * 0.3f)), e.Project(f.At(edge - j * 0.12f, Mix(end, hairline, 0.5f), out * 0.5f)),
                       e.Project(f.At(Mix(at, edge, 0.55f), hairline - sweep * far * 0.4f, out)), e.Project(f.At(at + j * 0.03f, hairline + 0.04f, out))};
      e.Blob(v, 7);
    }
  }
}

AL_BOTH void DrawHair(Easel& e, Random& r, const Skeleton& k, const Look& look, const Face& f, int kind, float volume,
                      float depth, float trunk_depth, HeadLabels& out) {
  const float h = f.h, front = e.View(f.m.z).z;
  const V3 s = k.skull;
  const V3 cap{f.w + volume * 0.9f + 0.002f, h * 0.4f + volume * 0.95f, f.d + volume * 0.7f + 0.002f};
  const V3 cap_at = s + f.m.y * (h * 0.1f + volume * 0.05f) - f.m.z * (f.d * 0.06f);
  e.Begin(depth + 4.6e-3f, look.hair, look.ink, look.width, 1.0f);
  e.Now().wob = Min(e.Now().wob * r.In(1, 2), 3.4f);  // 2 % of the picture at the most
  e.Ellipsoid(cap_at, f.m, cap);
  if (kind == 8 || kind == 10) {  // spikes or tufts
    const int n = 5 + r.Below(4);
    for (int j = 0; j < n; ++j) {
      const float a = (j - (n - 1) * 0.5f) * r.In(0.3f, 0.5f);
      const V3 base = s + f.m.y * (h * 0.28f);
      const V3 tip = base + f.m.x * (sinf(a) * (f.w + volume + h * r.In(0.05f, 0.35f))) + f.m.y * (cosf(a) * (h * 0.3f + volume * r.In(0.7f, 1.3f))) - f.m.z * r.In(-0.02f, 0.05f);
      const V2 t[3] = {e.Project(base + f.m.x * (sinf(a - 0.4f) * f.w) + f.m.y * (cosf(a - 0.4f) * h * 0.12f)), e.Project(tip),
                       e.Project(base + f.m.x * (sinf(a + 0.4f) * f.w) + f.m.y * (cosf(a + 0.4f) * h * 0.12f))};
      e.Polygon(t, 3);
    }
  } else if (kind == 11) {  // curls round the head
    for (int j = 0; j < 9; ++j) {
      const float a = (j - 4) * 0.5f;
      const V3 c = s + f.m.x * (sinf(a) * (f.w + volume * 0.7f)) + f.m.y * (cosf(a) * (h * 0.38f + volume * 0.6f) + h * 0.08f) - f.m.z * (f.d * r.In(0, 0.5f));
      const float b = h * r.In(0.08f, 0.15f) + volume * 0.2f;
      e.Capsule(c, b, c, b * 0.95f);
    }
  }
  // the opening for the face; the hairline lies at its top
  float hairline = 0.3f;
  if (front > -0.55f) {
    const float wide = r.In(0.78f, 1.05f), top = r.In(0.2f, 0.4f), part = r.Bell(0.1f);
    hairline = top;
    e.Ellipsoid(s - f.m.y * (h * (0.55f - top)) + f.m.z * (f.d * r.In(0.55f, 0.8f)) + f.m.x * (part * f.w), f.m, {f.w * wide, h * 0.55f, f.d * 0.75f}, kCut);
    if (r.Chance(0.6f)) {  // cut short behind and below the ear
      const float low = r.In(0.3f, 0.6f);
      e.Ellipsoid(s - f.m.y * (h * (low + 0.3f)) + f.m.z * (f.d * r.In(0.1f, 0.4f)), f.m, {f.w * 1.6f, h * 0.3f, f.d * 1.2f}, kCut);
    }
    if (front > 0.25f) out.Set(kHpHairline, e.Project(f.At(0, top)));
    // hair narrows the face to be seen at eye level
    const float up = (0.53f - top) / 0.55f, edge = wide * sqrtf(Max(0, 1 - up * up));
    for (int i = 0; i < 2; ++i) {
      const float x = part * 0.5f + (i == 0 ? edge : -edge);
      if (fabsf(x) < 0.95f && out.seen[kHpContour + i] > 0 && e.View(f.Normal(x)).z > 0.1f) out.Set(kHpContour + i, e.Project(f.At(x, -0.02f)));
    }
  } else {
    e.Ellipsoid(s - f.m.y * (h * 0.75f), f.m, {f.w * 1.3f, h * r.In(0.2f, 0.45f), f.d * 1.5f}, kCut);
  }
  Patterned(e.Now(), r, (look.pattern + 0.1f) * look.wild);
  if (front > 0.0f && kind > 0 && kind != 8 && r.Chance(0.6f)) DrawFringe(e, r, look, f, depth + 4.7e-3f, hairline, volume);
  if (!look.simple && r.Chance(0.6f)) {  // strands from the parting or crown down the mass
    const int n = 2 + r.Below(6);
    const float at = r.Bell(0.3f), ply = Max(look.width * 0.5f, 0.5f);
    const V3 lift = f.m.z * (front > 0 ? f.d * 0.35f : -f.d * 0.4f);
    e.Begin(depth + 4.75e-3f, StrandColour(look), look.ink, 0, -1);
    e.Now().light = kUnlit;
    for (int j = 0; j < n; ++j) {
      const float a = (r.F() * 2 - 1) * 1.5f, t0 = r.In(0.15f, 0.5f), t1 = Min(t0 + r.In(0.25f, 0.6f), 1);
      auto on = [&](float t) { const float g = Mix(at, a, Smooth(t)); return e.Project(cap_at + lift + f.m.x * (sinf(g) * cap.x * 0.93f) + f.m.y * (cosf(g) * cap.y * Mix(0.93f, 0.8f, t) - t * t * h * 0.06f)); };
      const V2 p = on(t0), q = on((t0 + t1) * 0.5f), w = on(t1);
      e.Capsule(p, ply * 0.15f, q, ply * 0.5f);
      e.Capsule(q, ply * 0.5f, w, ply * 0.1f);
    }
    if (front > -0.3f) e.Ellipsoid(s - f.m.y * (h * (0.55f - hairline)) + f.m.z * (f.d * 0.65f), f.m, {f.w, h * 0.56f, f.d * 0.75f}, kCut);
  }
  if ((kind >= 4 && kind <= 6) || kind == 11) {  // falling behind or over the back
    const float l = h * (r.Chance(0.7f) ? r.In(0.3f, 1.4f) : r.In(1, 3));
    const V3 from = s - f.m.z * (f.d * 0.45f), to = from - Mix(f.m.y, V3{0, 1, 0}, 0.4f) * l - k.chest.z * 0.01f;
    const float at = e.Depth(from), w0 = f.w * r.In(0.8f, 1.15f) + volume, w1 = w0 * r.In(0.5f, 1.4f);
    const float layer = front > 0 ? Min(depth - 1e-3f, at < trunk_depth && l > h * 0.7f ? trunk_depth - 0.03f : depth - 2e-3f) : depth + 6e-3f;
    V2 c[4];
    float rad[4];
    const V3 p[4] = {from + f.m.y * (h * 0.15f) + f.m.x * (w0 * 0.4f), from + f.m.y * (h * 0.15f) - f.m.x * (w0 * 0.4f), to + f.m.x * (w1 * 0.6f), to - f.m.x * (w1 * 0.6f)};
    for (int j = 0; j < 4; ++j) { c[j] = e.Project(p[j]); rad[j] = (j < 2 ? w0 * 0.6f : w1 * 0.35f) * e.ScaleAt(p[j]); }
    e.Begin(layer, look.hair, look.ink, look.width);
    {  // sides that swell or pinch, an end in locks
      const V2 down = Mix(c[2], c[3], 0.5f) - Mix(c[0], c[1], 0.5f);
      const float dl = Length(down) + 1e-3f, bulge = r.In(-0.12f, 0.2f);
      V2 across = c[0] - c[1];
      const float al = Length(across) + 1e-3f;
      across = Length(across) > 1 ? across * (1 / al) : V2{down.y / dl, -down.x / dl};
      const V2 t0 = c[0] + across * rad[0], t1 = c[1] - across * rad[1], b0 = c[2] + across * rad[2], b1 = c[3] - across * rad[3];
      const float g = Length(t0 - t1) * bulge;
      V2 v[12];
      int m = 0;
      v[m++] = Mix(t0, t1, 0.5f) - down * (rad[0] * 0.8f / dl);
      v[m++] = t0; v[m++] = Mix(t0, b0, 0.55f) + across * g; v[m++] = b0;
      const int locks = 1 + r.Below(3);
      for (int j = 0; j < locks; ++j) {
        v[m++] = Mix(b0, b1, (j + r.In(0.3f, 0.6f)) / locks) + down * (r.In(0.1f, 1) * rad[2] / dl);
        if (j + 1 < locks) v[m++] = Mix(b0, b1, (j + 1.0f) / locks) - down * (r.In(0, 0.6f) * rad[2] / dl);
      }
      v[m++] = b1; v[m++] = Mix(t1, b1, 0.55f) - across * (g * r.In(0.3f, 1.2f)); v[m++] = t1;
      e.Blob(v, m);
    }
    Patterned(e.Now(), r, look.pattern * look.wild);
    if (!look.simple && r.Chance(0.6f)) {  // strands
      e.Begin(layer + 1e-4f, StrandColour(look), look.ink, 0, -1);
      e.Now().light = kUnlit;
      const int n = 2 + r.Below(4);
      const float ply = Max(look.width * 0.5f, 0.5f);
      for (int j = 0; j < n; ++j) {
        const float t = r.F(), u = r.In(0.1f, 0.6f);
        const V2 a = Mix(c[0], c[1], t), b = Mix(c[2], c[3], t);
        e.Capsule(Mix(a, b, u), ply * 0.5f, Mix(a, b, Min(1, u + r.In(0.2f, 0.5f))) + V2{r.Bell(1), 0}, ply * 0.15f);
      }
    }
    for (int j = 0; j < 2; ++j) if (front > 0 && r.Chance(0.45f)) {  // locks in front of the shoulder
      const float side = j == 0 ? 1.0f : -1.0f;
      e.Begin(depth + 4.8e-3f, look.hair, look.ink, look.width, 1);
      const V3 a = s + f.m.x * (side * f.w * 0.98f) + f.m.y * (h * r.In(0.02f, 0.2f)), b = a - V3{0, 1, 0} * (l * r.In(0.4f, 0.9f)) + f.m.x * (side * r.In(-0.02f, 0.03f));
      const V2 p0 = e.Project(a), p1 = e.Project(b), d = p1 - p0;
      const float w = f.w * r.In(0.14f, 0.26f) * e.ScaleAt(a), dl = Length(d) + 1e-3f, sway = r.Bell(0.1f) * dl, swell = r.In(0.8f, 1.7f);
      const V2 n{-d.y / dl, d.x / dl};
      const V2 v[8] = {p0 - d * (w * 0.4f / dl), p0 + n * w, Mix(p0, p1, 0.4f) + n * (w * swell + sway), Mix(p0, p1, 0.75f) + n * (w * 0.8f - sway),
                       p1 + n * r.Bell(w * 0.6f), Mix(p0, p1, 0.75f) - n * (w * 0.6f + sway), Mix(p0, p1, 0.4f) - n * (w * swell - sway), p0 - n * w};
      e.Blob(v, 8);
    }
  }
  if (kind == 7 || kind == 3) {  // bun, tail or plaits
    const int n = r.Chance(0.4f) ? 2 : 1;
    for (int j = 0; j < n; ++j) {
      const float side = n == 2 ? (j ? 1.0f : -1.0f) : 0.0f;
      const V3 from = s + f.m.x * (side * f.w) - f.m.z * (n == 2 ? 0 : f.d * 0.95f) + f.m.y * (h * r.In(0, 0.4f));
      const V3 to = from + Unit(V3{r.Bell(0.6f), -r.In(-0.2f, 1), r.Bell(0.4f)} - f.m.z * 0.5f + f.m.x * (side * 0.8f)) * (h * r.In(0.2f, 1.3f));
      e.Begin(e.Depth(from) > e.Depth(s) ? depth + 7e-3f : depth - 1e-3f, look.hair, look.ink, look.width, 2);
      e.Capsule(from, h * r.In(0.08f, 0.16f), Mix(from, to, 0.5f), h * r.In(0.08f, 0.2f));
      e.Capsule(Mix(from, to, 0.5f), h * 0.12f, to, h * r.In(0.02f, 0.14f));
    }
  }
}

}  // namespace drawer
