// Everything that is not a figure: clutter, furniture, plants, animals, buildings, patterns.
#pragma once
#include "lookalikes.h"

namespace drawer {

AL_BOTH void Clutter(Easel& e, Random& r, float depth, int n, bool lines, float width) {
  for (int i = 0; i < n; ++i) {
    const Colour c = RandomColour(r);
    e.Begin(depth + i * 1e-4f, c, r.Chance(0.5f) ? Colour{0, 0, 0} : Dim(c, 0.4f), r.Chance(0.6f) ? width : 0.0f);
    const V2 p{r.In(0, kFrame), r.In(0, kFrame)};
    const int kind = r.Below(7);
    if (lines || kind == 0) {
      const float t = r.In(0, kTau), l = r.In(6, 70);
      e.Capsule(p, r.In(0.4f, 1.6f), p + V2{cosf(t), sinf(t)} * l, r.In(0.3f, 1.6f));
    } else if (kind == 1) {
      const float b = r.In(3, 30);
      e.Capsule(p, b, p + V2{r.Bell(10), r.Bell(10)}, b * r.In(0.4f, 1));
    } else if (kind < 4) {
      const float w = r.In(4, 60), h = r.In(4, 60);
      const V2 q[4] = {{p.x - w, p.y - h + r.Bell(5)}, {p.x + w, p.y - h + r.Bell(5)}, {p.x + w + r.Bell(8), p.y + h}, {p.x - w + r.Bell(8), p.y + h}};
      e.Polygon(q, 4);
    } else if (kind == 4) {
      V2 q[5];
      for (int j = 0; j < 5; ++j) { const float t = j * 1.2566f + r.Bell(0.3f), l = r.In(4, 35); q[j] = p + V2{cosf(t), sinf(t)} * l; }
      e.Polygon(q, 5);
    } else if (kind == 5) {  // a star of strokes, a flake, grass
      const int m = 3 + r.Below(5);
      const float l = r.In(3, 14), t0 = r.In(0, kTau), w = r.In(0.3f, 1.0f);
      for (int j = 0; j < m; ++j) { const float t = t0 + j * kTau / m; e.Capsule(p, w, p + V2{cosf(t), sinf(t)} * l, w * 0.8f); }
    } else {
      e.Disc(p, r.In(3, 40), r.In(2, 25));
    }
    Patterned(e.Now(), r, 0.3f);
  }
}

// One recognisable thing at `p`, about `s` units large.
AL_BOTH void Thing(Easel& e, Random& r, V2 p, float s, float depth, float width) {
  const Colour c = RandomColour(r), c2 = RandomColour(r), ink = r.Chance(0.7f) ? Colour{0.05f, 0.05f, 0.05f} : Dim(c, 0.4f);
  if (r.Chance(0.45f)) { Lookalike(e, r, p, s, depth, c, c2, ink, width); return; }
  const int kind = r.Below(9);
  auto part = [&](float d, Colour f, float blend) { e.Begin(depth + d, f, ink, width, blend); };
  if (kind == 0) {  // four-legged animal
    const float l = r.In(0.25f, 0.5f) * s, h = r.In(0.2f, 0.45f) * s, b = r.In(0.1f, 0.22f) * s, side = r.Sign();
    for (int j = 0; j < 4; ++j) {
      const float x = (j < 2 ? -1 : 1) * l * 0.8f + (j % 2 ? 0.06f * s : 0);
      part(j % 2 ? -2e-4f : 2e-4f, c, 1);
      e.Capsule(p + V2{x, b * 0.3f}, 0.05f * s, p + V2{x + r.Bell(0.05f * s), h + b}, 0.03f * s);
    }
    part(0, c, 3);
    e.Capsule(p + V2{-l, 0}, b, p + V2{l, 0}, b * r.In(0.8f, 1.1f));
    e.Capsule(p + V2{l * side, 0}, b * 0.6f, p + V2{l * side * 1.3f, -b * 2}, b * 0.4f);
    e.Capsule(p + V2{l * side * 1.3f, -b * 2}, b * 0.5f, p + V2{l * side * 1.3f + side * b * 1.2f, -b * 1.8f}, b * 0.3f);
    Patterned(e.Now(), r, 0.3f);
    part(1e-4f, c, 1);
    e.Capsule(p + V2{-l * side, -b * 0.3f}, 0.02f * s, p + V2{-l * side * r.In(1.2f, 1.7f), r.Bell(b)}, 0.015f * s);
  } else if (kind == 1) {  // tree
    part(0, {0.4f, 0.25f, 0.12f}, 0);
    e.Capsule(p + V2{0, s * 0.5f}, 0.06f * s, p, 0.04f * s);
    part(1e-4f, r.Chance(0.6f) ? Colour{0.1f, r.In(0.3f, 0.7f), 0.15f} : c, 3);
    for (int j = 0; j < 4; ++j) { const V2 q = p + V2{r.Bell(0.15f * s), -0.15f * s + r.Bell(0.12f * s)}; const float b = r.In(0.1f, 0.28f) * s; e.Capsule(q, b, q, b * 0.99f); }
  } else if (kind == 2) {  // house
    const float w = 0.4f * s, h = r.In(0.2f, 0.5f) * s;
    part(0, c, 0);
    const V2 q[4] = {p + V2{-w, 0}, p + V2{w, 0}, p + V2{w, h}, p + V2{-w, h}};
    e.Polygon(q, 4);
    part(1e-4f, c2, 0);
    const V2 t[3] = {p + V2{-w * 1.1f, 0}, p + V2{0, -r.In(0.2f, 0.5f) * s}, p + V2{w * 1.1f, 0}};
    e.Polygon(t, 3);
    for (int j = -1; j < 2; ++j) { part(2e-4f, c2, 0); const V2 m = p + V2{j * w * 0.6f, h * 0.4f}; const float b = 0.06f * s; const V2 v[4] = {m + V2{-b, -b}, m + V2{b, -b}, m + V2{b, b}, m + V2{-b, b}}; e.Polygon(v, 4); }
  } else if (kind == 3) {  // vehicle
    const float w = 0.5f * s, h = 0.15f * s;
    part(0, c, 3);
    e.Capsule(p + V2{-w + h, 0}, h, p + V2{w - h, 0}, h * 0.9f);
    e.Capsule(p + V2{-w * 0.4f, -h * 1.4f}, h * 0.9f, p + V2{w * 0.3f, -h * 1.4f}, h * 0.9f);
    for (int j = -1; j <= 1; j += 2) { part(2e-4f, {0.1f, 0.1f, 0.1f}, 0); const V2 m = p + V2{j * w * 0.6f, h}; e.Capsule(m, h * 0.7f, m, h * 0.69f); part(3e-4f, c2, 0); e.Capsule(m, h * 0.3f, m, h * 0.29f); }
  } else if (kind == 4) {  // flower
    part(-1e-4f, {0.15f, 0.5f, 0.15f}, 0);
    e.Capsule(p, 0.02f * s, p + V2{r.Bell(0.1f * s), 0.5f * s}, 0.025f * s);
    const int n = 4 + r.Below(5);
    for (int j = 0; j < n; ++j) { part(0, c, 0); const float t = j * kTau / n; e.Capsule(p, 0.06f * s, p + V2{cosf(t), sinf(t)} * (0.22f * s), 0.08f * s); }
    part(1e-4f, c2, 0);
    e.Capsule(p, 0.09f * s, p, 0.089f * s);
  } else if (kind == 5) {  // vessel, bottle, lamp, fruit
    part(0, c, 2);
    e.Disc(p + V2{0, 0.1f * s}, r.In(0.1f, 0.3f) * s, r.In(0.15f, 0.35f) * s);
    e.Capsule(p + V2{0, -0.1f * s}, r.In(0.03f, 0.15f) * s, p + V2{0, -r.In(0.2f, 0.45f) * s}, r.In(0.03f, 0.2f) * s);
    Patterned(e.Now(), r, 0.4f);
  } else if (kind == 6) {  // rows: fence, bricks, tiles
    const int n = 3 + r.Below(4);
    const float g = s / n, a = r.In(0.2f, 0.5f) * g, b = r.In(0.2f, 0.5f) * g;
    for (int i = 0; i < n; ++i) for (int j = 0; j < n; ++j) {
      part((i + j) * 1e-6f, (i + j) % 2 ? c : c2, 0);
      const V2 m = p + V2{(i - n * 0.5f) * g, (j - n * 0.5f) * g};
      if (r.Chance(0.02f)) continue;
      e.Disc(m, a, b);
    }
  } else if (kind == 7) {  // bird, fish
    part(0, c, 2);
    e.Disc(p, 0.3f * s, 0.16f * s);
    const V2 t[3] = {p + V2{-0.2f * s, 0}, p + V2{-0.5f * s, -0.15f * s}, p + V2{-0.5f * s, 0.15f * s}};
    e.Polygon(t, 3);
    part(1e-4f, c2, 0);
    const V2 w[3] = {p + V2{-0.1f * s, 0}, p + V2{0.1f * s, 0}, p + V2{-0.05f * s, r.Sign() * 0.35f * s}};
    e.Polygon(w, 3);
    part(2e-4f, {0, 0, 0}, 0);
    const V2 eye = p + V2{0.2f * s, -0.03f * s};
    e.Capsule(eye, 0.02f * s, eye, 0.019f * s);
  } else {  // furniture, tower, machine: boxes and bars
    const int n = 2 + r.Below(4);
    for (int j = 0; j < n; ++j) {
      part(j * 1e-4f, r.Chance(0.5f) ? c : c2, 0);
      const V2 m = p + V2{r.Bell(0.2f * s), r.Bell(0.25f * s)};
      const float w = r.In(0.03f, 0.35f) * s, h = r.In(0.03f, 0.35f) * s;
      const V2 q[4] = {m + V2{-w, -h}, m + V2{w, -h}, m + V2{w, h}, m + V2{-w, h}};
      e.Polygon(q, 4);
      Patterned(e.Now(), r, 0.2f);
    }
  }
}

}  // namespace drawer
