// Things that have something of a figure and are none: clothes without anyone, animals that sit or stand, lamps and plants with arms.
#pragma once
#include "canvas.h"

namespace drawer {

AL_LARGE void Lookalike(Easel& e, Random& r, V2 p, float s, float depth, Colour c, Colour c2, Colour ink, float width) {
  const int kind = r.Below(10);
  float d = 0;
  auto part = [&](Colour f, float blend) { e.Begin(depth + d, f, ink, width, blend); d += 1e-4f; };
  auto at = [&](float x, float y) { return p + V2{x * s, y * s}; };
  auto bone = [&](float x0, float y0, float r0, float x1, float y1, float r1) { e.Capsule(at(x0, y0), r0 * s, at(x1, y1), r1 * s); };
  auto dot = [&](float x, float y, float b) { e.Capsule(at(x, y), b * s, at(x + 0.001f, y), b * s); };
  if (kind == 0) {  // dress or coat on a stand or a hanger
    const float w = r.In(0.07f, 0.12f), hem = r.In(0.12f, 0.4f), low = r.In(0.2f, 0.5f), sh = r.In(0.1f, 0.16f);
    if (r.Chance(0.5f)) { part(c2, 0); bone(0, -0.45f, 0.012f, 0, 0.5f, 0.014f); bone(-0.12f, 0.5f, 0.012f, 0.12f, 0.5f, 0.012f); }
    else { part(ink, 0); bone(0, -0.5f, 0.008f, 0, -0.42f, 0.008f); bone(-sh, -0.34f, 0.008f, 0, -0.42f, 0.008f); bone(0, -0.42f, 0.008f, sh, -0.34f, 0.008f); }
    part(c, 0);
    const V2 v[10] = {at(-0.05f, -0.4f), at(-sh, -0.36f), at(-sh * 0.9f, -0.22f), at(-w, -0.05f), at(-hem, low), at(0, low + 0.03f), at(hem, low), at(w, -0.05f), at(sh * 0.9f, -0.22f), at(sh, -0.36f)};
    e.Blob(v, 10);
    Patterned(e.Now(), r, 0.4f);
    if (r.Chance(0.5f)) for (int j = -1; j <= 1; j += 2) { part(c, 0); bone(j * sh * 0.9f, -0.33f, 0.045f, j * r.In(0.16f, 0.32f), r.In(-0.2f, 0), 0.05f); }
    part(ink, -1);
    for (int j = 0; j < 4; ++j) { const float x = r.In(-0.8f, 0.8f) * hem; bone(x, low - 0.02f, 0.006f, x * 0.3f, r.In(-0.05f, 0.2f), 0.001f); }
  } else if (kind == 1) {  // trousers or a shirt alone
    const bool shirt = r.Chance(0.5f);
    part(c, 1);
    if (shirt) {
      const V2 v[4] = {at(-0.16f, -0.3f), at(0.16f, -0.3f), at(0.15f, 0.25f), at(-0.15f, 0.25f)};
      e.Polygon(v, 4);
      for (int j = -1; j <= 1; j += 2) bone(j * 0.13f, -0.25f, 0.06f, j * r.In(0.2f, 0.4f), r.In(-0.3f, 0.2f), 0.055f);
    } else {
      const float spread = r.In(0.02f, 0.2f);
      for (int j = -1; j <= 1; j += 2) bone(j * 0.07f, -0.3f, 0.08f, j * (0.09f + spread), 0.35f, r.In(0.05f, 0.09f));
      bone(-0.07f, -0.34f, 0.05f, 0.07f, -0.34f, 0.05f);
    }
    Patterned(e.Now(), r, 0.4f);
  } else if (kind == 2) {  // shoe, boot
    part(c, 1);
    const float shaft = r.In(0.05f, 0.5f);
    bone(-0.2f, 0.1f, 0.11f, -0.18f, 0.1f - shaft, 0.1f);
    bone(-0.2f, 0.12f, 0.1f, 0.25f, 0.15f, 0.08f);
    part(c2, 0);
    bone(-0.3f, 0.24f, 0.025f, 0.32f, 0.24f, 0.025f);
  } else if (kind == 3) {  // glove, paw, hand-like leaf
    part(c, 1.5f);
    const int n = 3 + r.Below(3);
    bone(0, 0.35f, 0.09f, 0, 0.05f, 0.14f);
    for (int j = 0; j < n; ++j) { const float t = (j - (n - 1) * 0.5f) * 0.35f; bone(sinf(t) * 0.12f, 0, 0.045f, sinf(t) * 0.4f, -cosf(t) * r.In(0.25f, 0.4f), 0.035f); }
    bone(0.1f, 0.1f, 0.05f, 0.28f, 0, 0.04f);
  } else if (kind == 4) {  // an animal that sits, with its face
    const float side = r.Sign(), ear = r.In(0.05f, 0.25f);
    part(c, 0);
    e.Capsule(at(side * 0.2f, 0.36f), 0.03f * s, at(side * r.In(0.3f, 0.45f), r.In(0, 0.35f)), 0.025f * s);
    part(c, 3);
    bone(0, 0.25f, 0.19f, 0, -0.02f, 0.12f);
    Patterned(e.Now(), r, 0.3f);
    for (int j = -1; j <= 1; j += 2) { part(c, 0.5f); bone(j * 0.07f, 0.05f, 0.05f, j * 0.08f, 0.4f, 0.045f); bone(j * 0.08f, 0.41f, 0.05f, j * 0.1f, 0.42f, 0.05f); }
    part(c, 1);
    for (int j = -1; j <= 1; j += 2) bone(j * 0.1f, -0.27f, 0.05f, j * 0.13f, -0.3f - ear, 0.015f);
    e.Disc(at(0, -0.2f), 0.17f * s, 0.14f * s);
    part(c2, 0);
    e.Disc(at(0, -0.14f), 0.08f * s, 0.06f * s);
    part({0.05f, 0.05f, 0.05f}, 0);
    dot(-0.07f, -0.22f, 0.02f); dot(0.07f, -0.22f, 0.02f); e.Disc(at(0, -0.17f), 0.03f * s, 0.02f * s);
  } else if (kind == 5) {  // a bird on long legs, or one that stands upright
    const float leg = r.In(0.05f, 0.4f), neck = r.In(0.05f, 0.4f), side = r.Sign();
    part(c2, 0);
    for (int j = 0; j < 2; ++j) { const float x = j * 0.06f - 0.03f; bone(x, 0.1f, 0.012f, x + side * 0.03f, 0.1f + leg * 0.5f, 0.01f); bone(x + side * 0.03f, 0.1f + leg * 0.5f, 0.01f, x, 0.1f + leg, 0.01f); bone(x, 0.1f + leg, 0.01f, x + side * 0.06f, 0.1f + leg, 0.008f); }
    part(c, 2);
    e.Capsule(at(-side * 0.1f, 0.06f), 0.1f * s, at(side * 0.04f, -0.03f), 0.11f * s);
    bone(side * 0.06f, -0.06f, 0.06f, side * 0.12f, -0.1f - neck, 0.04f);
    dot(side * 0.13f, -0.12f - neck, 0.06f);
    part(c2, 0);
    const V2 b[3] = {at(side * 0.16f, -0.15f - neck), at(side * r.In(0.26f, 0.45f), -0.11f - neck), at(side * 0.16f, -0.08f - neck)};
    e.Polygon(b, 3);
    part(Dim(c, 0.8f), 0);
    e.Capsule(at(side * 0.02f, -0.02f), 0.06f * s, at(-side * 0.2f, 0.12f), 0.03f * s);
    part({0.05f, 0.05f, 0.05f}, 0);
    dot(side * 0.14f, -0.13f - neck, 0.012f);
  } else if (kind == 6) {  // lamp or crane with a jointed arm
    part(c, 0);
    e.Disc(at(0, 0.4f), 0.18f * s, 0.05f * s);
    const float a = r.In(-0.6f, 0.6f), b = a + r.Sign() * r.In(0.6f, 1.9f), x = sinf(a) * 0.35f, y = 0.4f - cosf(a) * 0.35f, x2 = x + sinf(b) * 0.32f, y2 = y - cosf(b) * 0.32f;
    bone(0, 0.4f, 0.025f, x, y, 0.02f);
    bone(x, y, 0.02f, x2, y2, 0.018f);
    part(c2, 0);
    dot(x, y, 0.035f);
    const V2 v[4] = {at(x2 - 0.04f, y2 - 0.03f), at(x2 + 0.04f, y2 - 0.03f), at(x2 + 0.12f, y2 + 0.12f), at(x2 - 0.12f, y2 + 0.12f)};
    e.Polygon(v, 4);
  } else if (kind == 7) {  // cactus, bare tree with two arms
    part(c, 1);
    bone(0, 0.4f, 0.09f, 0, -0.35f, 0.07f);
    for (int j = -1; j <= 1; j += 2) if (r.Chance(0.85f)) { const float y = r.In(-0.15f, 0.2f), x = j * r.In(0.15f, 0.25f); bone(0, y, 0.045f, x, y + r.Bell(0.04f), 0.045f); bone(x, y, 0.045f, x + r.Bell(0.03f), y - r.In(0.1f, 0.35f), 0.04f); }
    Patterned(e.Now(), r, 0.3f);
    part(c2, 0);
    const V2 v[4] = {at(-0.17f, 0.35f), at(0.17f, 0.35f), at(0.12f, 0.55f), at(-0.12f, 0.55f)};
    e.Polygon(v, 4);
  } else if (kind == 8) {  // a face on a thing: sun, clock, pumpkin
    const int n = r.Chance(0.5f) ? 0 : 8 + r.Below(6);
    part(c2, 0);
    for (int j = 0; j < n; ++j) { const float t = j * kTau / n; bone(cosf(t) * 0.28f, sinf(t) * 0.28f, 0.03f, cosf(t) * r.In(0.38f, 0.48f), sinf(t) * 0.44f, 0.008f); }
    part(c, 0);
    e.Disc(p, 0.3f * s, r.In(0.25f, 0.34f) * s);
    if (r.Chance(0.85f)) {
      part({0.05f, 0.05f, 0.05f}, 0);
      e.Disc(at(-0.1f, -0.06f), 0.03f * s, r.In(0.02f, 0.06f) * s);
      e.Disc(at(0.1f, -0.06f), 0.03f * s, r.In(0.02f, 0.06f) * s);
      part({0.1f, 0.05f, 0.05f}, -1);
      bone(-0.12f, 0.08f, 0.012f, 0, 0.14f, 0.016f); bone(0, 0.14f, 0.016f, 0.12f, 0.08f, 0.012f);
    }
  } else {  // large letters, signs
    part(c, 0);
    const float t = r.In(0.02f, 0.06f);
    const int n = 2 + r.Below(4);
    V2 a = at(r.Bell(0.15f), -0.3f);
    for (int j = 0; j < n; ++j) { const V2 b = at(r.Bell(0.2f), r.In(-0.35f, 0.35f)); e.Capsule(a, t * s, b, t * s); a = r.Chance(0.7f) ? b : at(0, r.In(-0.3f, 0.3f)); }
    if (r.Chance(0.4f)) e.Disc(at(r.Bell(0.05f), -0.42f), t * 1.5f * s, t * 1.5f * s);
  }
}

}  // namespace drawer
