// Hats, helmets, hoods, kerchiefs, crowns, masks.
#pragma once
#include "hair.h"

namespace drawer {

AL_BOTH void HideFeatures(HeadLabels& out, bool eyes, bool mouth) {
  for (int i = kHpEyeL; i < kHpNose && eyes; ++i) out.seen[i] = 0;
  for (int i = kHpNose; i < kHpHairline && mouth; ++i) out.seen[i] = 0;
}

// A feather or crest from `at`, backward and up.
AL_BOTH void Plume(Easel& e, Random& r, const Look& look, const Face& f, V3 at, float depth) {
  const float h = f.h, l = r.In(0.3f, 1.3f), lean = r.Bell(0.5f);
  const Colour c = look.InLine() ? look.accent : r.Chance(0.6f) ? look.accent : RandomColour(r);
  e.Begin(depth, c, look.ink, look.width * 0.8f, 0.5f);
  const V3 m = at + f.m.y * (h * l * 0.6f) + f.m.x * (h * lean * 0.3f) - f.m.z * (h * 0.1f), tip = m + f.m.y * (h * l * r.In(-0.4f, 0.4f)) + f.m.x * (h * lean) - f.m.z * (h * l * r.In(0, 0.6f));
  e.Capsule(at, h * 0.02f, m, h * r.In(0.03f, 0.1f));
  e.Capsule(m, h * r.In(0.04f, 0.1f), tip, h * 0.015f);
  if (look.width > 0 && r.Chance(0.5f)) { const V2 s[3] = {e.Project(at), e.Project(m), e.Project(tip)}; Stroke(e, depth + 1e-4f, look.ink, s, 3, Max(look.width * 0.5f, 0.4f)); }
}

// Worn things that enclose the head or stand on it. `height`: how far it rises above the skull.
AL_LARGE void DrawHeadgear(Easel& e, Random& r, const Skeleton& k, const Look& look, const Face& f, float volume, float height, float depth, Colour c, HeadLabels& out) {
  const float h = f.h, w = f.w + volume * 0.8f, d = f.d + volume * 0.7f, front = e.View(f.m.z).z, top = 0.5f * h + height * 0.9f;
  const V3 s = k.skull;
  const float fine = Max(look.width * 0.7f, 0.6f);
  const Colour line = look.width > 0 ? look.ink : Dim(c, 0.5f);
  auto on = [&](float x, float y, float z) { return s + f.m.x * (x * w) + f.m.y * (y * h) + f.m.z * (z * d); };
  const int kind = r.Below(9);
  if (kind == 0) {  // cylinder, or a cone that widens
    const float b = r.In(0.15f, 0.3f), t = top / h, up = r.In(0.75f, 1.15f), brim = r.In(1.25f, 1.9f);
    e.Begin(depth, c, look.ink, look.width);
    for (int side = 0; side < 2; ++side) {
      const float x = side ? 0.0f : 1.0f, z = side ? 1.0f : 0.0f;
      const V2 v[4] = {e.Project(on(-x * 0.96f, b, -z * 0.96f)), e.Project(on(-x * up, t, -z * up)), e.Project(on(x * up, t, z * up)), e.Project(on(x * 0.96f, b, z * 0.96f))};
      e.Polygon(v, 4);
    }
    e.Ellipsoid(on(0, t, 0), f.m, {w * up, h * 0.02f, d * up});
    Patterned(e.Now(), r, look.pattern);
    if (r.Chance(0.6f)) { e.Begin(depth + 1e-4f, look.accent, look.ink, look.width * 0.7f); e.Ellipsoid(on(0, b + 0.06f, 0.02f), f.m, {w * 1.0f, h * 0.06f, d}); }
    e.Begin(depth + 2e-4f, c, look.ink, look.width);
    e.Ellipsoid(on(0, b, 0), f.m, {w * brim, h * 0.03f, d * brim});
  } else if (kind == 1) {  // crown, diadem
    const float b = r.In(0.2f, 0.34f), t = Max(top / h, b + 0.15f);
    const int n = 3 + r.Below(4);
    V2 v[kPolygon];
    int m = 0;
    for (int j = 0; j <= 2 * n; ++j) { const float x = 2 * (j / (2.0f * n)) - 1; v[m++] = e.Project(on(x * 1.02f, j % 2 ? t : Mix(b, t, 0.45f), sqrtf(Max(0, 1 - x * x)) * 0.4f)); }
    for (int j = 4; j >= 0; --j) { const float x = j * 0.5f - 1; v[m++] = e.Project(on(x, b - 0.02f, sqrtf(Max(0, 1 - x * x)) * 0.8f)); }
    e.Begin(depth, look.InLine() ? look.accent : r.Chance(0.5f) ? Colour{0.95f, 0.8f, 0.2f} : c, look.ink, look.width);
    e.Polygon(v, m);
  } else if (kind <= 3) {  // helmet: open, with guards, or closed with a slit
    const bool closed = kind == 3 && r.Chance(0.5f);
    const V3 at = on(0, 0.06f, -0.02f);
    e.Begin(depth, c, look.ink, look.width, 1.5f);
    e.Ellipsoid(at, f.m, {w * 1.12f, top - h * 0.06f, d * 1.14f});
    if (closed) {
      e.Ellipsoid(on(0, -0.2f, 0.1f), f.m, {w * 1.02f, h * 0.36f, d * 1.05f});
      HideFeatures(out, true, true);
    } else {
      const float brow = r.In(0.08f, 0.25f), ear = r.In(-0.35f, 0.1f), wide = r.In(0.6f, 1.3f);
      e.Ellipsoid(on(0, brow - 0.5f, 0.75f), f.m, {w * wide, h * 0.5f, d * 0.75f}, kCut);
      e.Ellipsoid(on(0, ear - 0.5f, 0), f.m, {w * 2, h * 0.5f, d * 2}, kCut);
    }
    Patterned(e.Now(), r, look.pattern);
    if (closed && front > 0) {
      const V2 a[3] = {e.Project(on(0.8f, 0, 0.75f)), e.Project(on(0, -0.02f, 1.14f)), e.Project(on(-0.8f, 0, 0.75f))};
      Stroke(e, depth + 2e-4f, r.Chance(0.7f) ? Colour{0.05f, 0.05f, 0.05f} : line, a, 3, h * r.In(0.04f, 0.25f) * e.ScaleAt(s));
    } else if (front > 0 && r.Chance(0.4f)) {  // goggles, a visor pushed up, a lamp
      e.Begin(depth + 2e-4f, look.accent, look.ink, look.width * 0.8f);
      e.Ellipsoid(on(0, r.In(0, 0.3f), 0.9f), f.m, {w * r.In(0.3f, 0.95f), h * r.In(0.06f, 0.12f), d * 0.3f});
    }
    if (r.Chance(0.35f)) Plume(e, r, look, f, on(0, 0.48f, -0.1f), depth + 3e-4f);
    if (r.Chance(0.2f)) for (int j = -1; j <= 1; j += 2) {  // horns
      e.Begin(depth - 1e-4f, look.accent, look.ink, look.width);
      const V3 a = on(j * 0.95f, 0.25f, 0), m = on(j * 1.6f, 0.35f, 0), t = on(j * r.In(1.3f, 2.0f), r.In(0.6f, 1), 0);
      e.Capsule(a, h * 0.08f, m, h * 0.055f);
      e.Capsule(m, h * 0.055f, t, h * 0.01f);
    }
  } else if (kind == 4) {  // hood, wimple, shawl: down to the shoulders
    const float wide = r.In(1.05f, 1.35f), low = r.In(0.2f, 0.7f);
    V2 v[6];
    float rad[6];
    const V3 q[6] = {on(0, 0, 0) + f.m.y * (top - h * 0.38f), on(wide * 0.35f, 0.1f, -0.1f), on(-wide * 0.35f, 0.1f, -0.1f), Mix(k.neck, k.shoulder[0], low), Mix(k.neck, k.shoulder[1], low), on(0, -0.25f, -0.2f)};
    for (int j = 0; j < 6; ++j) { v[j] = e.Project(q[j]); rad[j] = (j == 0 ? w * 0.5f : j < 3 ? w * 0.75f * wide : j < 5 ? 0.025f : w * 0.7f) * e.ScaleAt(q[j]); }
    rad[0] = Min(rad[0], h * 0.38f * e.ScaleAt(s));
    e.Begin(depth, c, look.ink, look.width, 1);
    e.Hull(v, rad, 6);
    if (r.Chance(0.3f)) e.Capsule(q[0], w * 0.4f, on(r.Bell(0.5f), top / h + r.In(0, 0.35f), -0.4f), w * 0.06f);  // a point
    if (front > -0.2f) e.Ellipsoid(on(0, -0.08f, 0.55f), f.m, {f.w * r.In(0.72f, 0.95f), h * r.In(0.36f, 0.44f), f.d * 0.7f}, kCut);
    Patterned(e.Now(), r, look.pattern);
    if (look.width > 0) for (int j = 0; j < 3; ++j) { const V2 l[2] = {e.Project(on(r.Bell(0.5f), 0.3f, 0.3f)), Mix(v[3], v[4], r.F())}; const V2 st[2] = {Mix(l[0], l[1], 0.6f), Mix(l[0], l[1], 0.95f)}; Stroke(e, depth + 1e-4f, line, st, 2, fine); }
    out.seen[kHpContour] = out.seen[kHpContour + 1] = out.seen[kHpJaw] = out.seen[kHpJaw + 1] = 0;
  } else if (kind == 5) {  // kerchief, bandanna, turban, with its ends
    const float b = r.In(0.08f, 0.26f);
    e.Begin(depth, c, look.ink, look.width, 1);
    e.Ellipsoid(on(0, 0.12f, -0.03f), f.m, {w * 1.06f, top - h * 0.12f, d * 1.08f});
    e.Ellipsoid(on(0, b - 0.5f, 0.3f), f.m, {w * 1.6f, h * 0.5f, d * 1.4f}, kCut);
    Patterned(e.Now(), r, look.pattern + 0.15f);
    const float side = r.Sign();
    for (int j = 0; j < 2; ++j) {
      e.Begin(e.Depth(on(side * 0.7f, b, -0.6f)) > e.Depth(s) ? depth + 2e-4f : depth - 9e-3f, c, look.ink, look.width);
      const V3 a = on(side * 0.6f, b, -0.85f);
      e.Capsule(a, h * 0.03f, a - f.m.y * (h * r.In(-0.05f, 0.5f)) + f.m.x * (side * h * r.In(0.1f, 0.5f)), h * r.In(0.04f, 0.08f));
    }
    if (look.width > 0) for (int j = 0; j < 3; ++j) { const V2 l[2] = {e.Project(on(side * 0.8f, b + 0.05f, 0.4f)), e.Project(on(-side * r.F(), r.In(0.2f, 0.45f), 0.5f))}; Stroke(e, depth + 1e-4f, line, l, 2, fine * 0.8f); }
  } else if (kind == 6) {  // a uniform's cap: wide plate, band, peak
    const float b = r.In(0.14f, 0.28f), t = Max(top / h, b + 0.2f), plate = r.In(1.1f, 1.6f);
    e.Begin(depth, c, look.ink, look.width);
    const V2 v[8] = {e.Project(on(-0.98f, b, 0)), e.Project(on(-plate, Mix(b, t, 0.6f), 0)), e.Project(on(-plate * 0.7f, t * 0.98f, 0)), e.Project(on(0, t, 0.2f)), e.Project(on(plate * 0.7f, t * 0.98f, 0)), e.Project(on(plate, Mix(b, t, 0.6f), 0)), e.Project(on(0.98f, b, 0)), e.Project(on(0, b - 0.02f, 0.9f))};
    e.Blob(v, 8);
    e.Ellipsoid(on(0, Mix(b, t, 0.7f), 0.1f), f.m, {w * plate, h * 0.07f, d * plate});
    e.Begin(depth + 1e-4f, r.Chance(0.5f) ? look.accent : Dim(c, 0.6f), look.ink, look.width * 0.8f);
    e.Ellipsoid(on(0, b + 0.05f, 0.02f), f.m, {w, h * 0.07f, d});
    e.Begin(depth + 2e-4f, r.Chance(0.6f) ? Colour{0.08f, 0.08f, 0.08f} : c, look.ink, look.width);
    e.Ellipsoid(on(0, b - 0.03f, 0.85f), f.m, {w * 0.8f, h * 0.03f, d * 0.6f});
    if (front > 0.2f && r.Chance(0.6f)) { e.Begin(depth + 3e-4f, look.accent, look.ink, look.width * 0.6f); e.Ellipsoid(on(0, b + 0.15f, 1.0f), f.m, {h * 0.07f, h * 0.08f, h * 0.03f}); }
  } else if (kind == 7) {  // small things on the hair: a maid's or nurse's cap, bow, ears, a veil down the back
    const int small = r.Below(4);
    if (small == 0) {
      const V2 v[6] = {e.Project(on(-0.6f, 0.36f, 0.2f)), e.Project(on(-0.75f, top / h, 0.1f)), e.Project(on(0, top / h * 1.04f, 0.2f)), e.Project(on(0.75f, top / h, 0.1f)), e.Project(on(0.6f, 0.36f, 0.2f)), e.Project(on(0, 0.32f, 0.4f))};
      e.Begin(depth, look.InLine() ? look.accent : Colour{0.95f, 0.95f, 0.95f}, look.ink, look.width);
      e.Polygon(v, 6);
    } else if (small == 1) {
      const V3 at = on(r.Bell(0.4f), r.In(0.35f, 0.5f), r.Chance(0.5f) ? 0.3f : -0.6f);
      e.Begin(depth, look.accent, look.ink, look.width);
      for (int j = -1; j <= 1; j += 2) e.Capsule(at, h * 0.04f, at + f.m.x * (j * h * r.In(0.15f, 0.4f)) + f.m.y * (h * r.In(-0.05f, 0.15f)), h * r.In(0.07f, 0.16f));
      e.Begin(depth + 1e-4f, look.accent, look.ink, look.width);
      e.Capsule(at, h * 0.06f, at + f.m.y * 1e-3f, h * 0.059f);
    } else if (small == 2) {
      const float tall = r.In(0.15f, 0.7f), wide = r.In(0.06f, 0.16f);
      for (int j = -1; j <= 1; j += 2) { e.Begin(depth - 3e-3f, r.Chance(0.5f) ? look.hair : c, look.ink, look.width); e.Capsule(on(j * 0.6f, 0.35f, 0), h * wide, on(j * r.In(0.5f, 0.9f), 0.4f + tall, 0), h * wide * r.In(0.1f, 1)); }
    } else {
      const float l = r.In(0.6f, 3.5f);
      const V3 a = on(0, 0.3f, -0.6f);
      V2 v[4];
      float rad[4];
      const V3 q[4] = {a + f.m.x * (w * 0.5f), a - f.m.x * (w * 0.5f), a - V3{0, 1, 0} * (l * h) + f.m.x * (w * 1.3f), a - V3{0, 1, 0} * (l * h) - f.m.x * (w * 1.3f)};
      for (int j = 0; j < 4; ++j) { v[j] = e.Project(q[j]); rad[j] = w * (j < 2 ? 0.5f : 0.2f) * e.ScaleAt(q[j]); }
      e.Begin(front > 0 ? depth - 0.4f : depth + 5e-3f, look.InLine() ? look.accent : Mix(look.accent, {1, 1, 1}, 0.5f), look.ink, look.width);
      e.Hull(v, rad, 4);
      if (!look.InLine()) e.Now().opacity = r.In(0.4f, 1);
    }
  } else {  // masks, and a cloth over nose and mouth
    const int mask = r.Below(3);
    e.Begin(depth, look.InLine() || r.Chance(0.5f) ? look.accent : c, look.ink, look.width);
    if (mask == 0) {
      const V2 v[8] = {e.Project(f.At(0.95f, 0.08f)), e.Project(f.At(0.5f, 0.12f, 0.03f)), e.Project(f.At(0, 0.06f, 0.06f)), e.Project(f.At(-0.5f, 0.12f, 0.03f)), e.Project(f.At(-0.95f, 0.08f)), e.Project(f.At(-0.6f, -0.12f, 0.03f)), e.Project(f.At(0, -0.05f, 0.08f)), e.Project(f.At(0.6f, -0.12f, 0.03f))};
      if (front > -0.1f) e.Blob(v, 8);
      for (int j = -1; j <= 1; j += 2) e.Ellipsoid(f.At(j * 0.43f, 0, 0.02f), f.m, {f.w * 0.2f, h * 0.05f, f.d * 0.3f}, kCut);
    } else if (mask == 1) {
      const float up = f.nose + r.In(0, 0.1f), drop = r.In(0, 0.35f);
      const V2 v[8] = {e.Project(f.At(0.98f, up)), e.Project(f.At(0.4f, up + 0.03f, 0.08f)), e.Project(f.At(0, up + 0.04f, 0.14f)), e.Project(f.At(-0.4f, up + 0.03f, 0.08f)), e.Project(f.At(-0.98f, up)), e.Project(f.At(-0.7f, -0.45f)), e.Project(f.At(0, -0.54f - drop, 0.04f)), e.Project(f.At(0.7f, -0.45f))};
      if (front > -0.2f) e.Blob(v, 8);
      HideFeatures(out, false, true);
    } else if (front > -0.1f) {
      e.Ellipsoid(s + f.m.z * (f.d * 0.35f) - f.m.y * (h * 0.04f), f.m, {f.w * 0.95f, h * 0.47f, f.d * 0.8f});
      HideFeatures(out, true, true);
      e.Begin(depth + 1e-4f, {0.06f, 0.05f, 0.05f}, look.ink, 0);
      for (int j = -1; j <= 1; j += 2) if (e.View(f.Normal(j * 0.4f)).z > 0.1f) e.Ellipsoid(f.At(j * 0.4f, 0.02f, 0.08f), f.m, {f.w * 0.16f, h * r.In(0.03f, 0.09f), h * 0.05f});
    }
    Patterned(e.Now(), r, look.pattern);
  }
}

AL_BOTH void DrawHat(Easel& e, Random& r, const Skeleton& k, const Look& look, const Face& f, float volume, float height, float depth, HeadLabels& out) {
  const float h = f.h;
  Colour c = look.InLine() || look.technique == kSilhouette ? look.accent : look.calm ? (r.Chance(0.5f) ? look.top : r.Chance(0.5f) ? look.bottom : look.accent) : RandomColour(r);
  if (r.Chance(0.42f)) { DrawHeadgear(e, r, k, look, f, volume, height, depth + 7.5e-3f, c, out); return; }
  const V3 band = k.skull + f.m.y * (h * (k.p.cap_low > 0 ? k.p.cap_low : r.In(0.16f, 0.3f)));
  const float w = f.w + volume * 0.8f, over = h * 0.3f + height, crown = w * (r.Chance(0.2f) ? r.In(0.05f, 0.3f) : r.In(0.5f, 1.05f));
  const float top = over + (k.p.cap_low > 0 ? h * (0.22f - k.p.cap_low) : 0);  // from the band; the crown stays where it was
  const V3 p[4] = {band + f.m.x * (w * 0.6f), band - f.m.x * (w * 0.6f), k.skull + f.m.y * (0.2f * h + over - crown * 0.35f) + f.m.x * (crown * 0.6f),
                   k.skull + f.m.y * (0.2f * h + over - crown * 0.35f) - f.m.x * (crown * 0.6f)};
  V2 q[4];
  float rad[4];
  for (int j = 0; j < 4; ++j) { q[j] = e.Project(p[j]); rad[j] = (j < 2 ? w * 0.42f : crown * 0.4f) * e.ScaleAt(p[j]); }
  e.Begin(depth + 7.5e-3f, c, look.ink, look.width);
  const int kind = r.Below(3);
  if (kind == 0) {
    e.Hull(q, rad, 4);
  } else if (kind == 1) {  // round: cap, bowler, wool
    e.Ellipsoid(band, f.m, {w * 1.04f, Max(top - h * 0.1f, h * 0.28f), f.d * 1.08f + volume * 0.8f});
    e.Ellipsoid(band - f.m.y * (h * 0.55f), f.m, {w * 1.7f, h * 0.55f, f.d * 1.7f}, kCut);
  } else {  // creased on top
    const bool from_front = Length(e.Project(band + f.m.x * 0.1f) - e.Project(band)) > Length(e.Project(band + f.m.z * 0.1f) - e.Project(band));
    const V3 across = from_front ? f.m.x * w : f.m.z * (f.d + volume * 0.8f), up = f.m.y * top;
    const float pinch = r.In(0.6f, 0.95f), dent = r.In(0.75f, 1);
    const V2 v[8] = {e.Project(band - across * 1.03f), e.Project(band - across * 1.0f + up * 0.4f), e.Project(band - across * pinch + up * 0.85f), e.Project(band - across * (pinch * 0.45f) + up),
                     e.Project(band + across * 0.05f + up * dent), e.Project(band + across * (pinch * 0.6f) + up * r.In(0.8f, 1)), e.Project(band + across * 1.0f + up * 0.35f), e.Project(band + across * 1.03f)};
    e.Blob(v, 8);
  }
  Patterned(e.Now(), r, look.pattern);
  if (r.Chance(0.15f)) Plume(e, r, look, f, band + f.m.x * (r.Sign() * w * 0.8f), depth + 7.7e-3f);
  const int brim = r.Below(4);
  if (brim == 0) {  // all round
    e.Begin(depth + 7.8e-3f, c, look.ink, look.width);
    const float b = r.In(1.15f, 2.1f);
    e.Ellipsoid(band, f.m, {w * b, h * 0.05f, f.d * b});
  } else if (brim == 1) {  // peak
    e.Begin(depth + 7.8e-3f, r.Chance(0.5f) ? c : look.ink, look.ink, look.width);
    e.Ellipsoid(band + f.m.z * (f.d * 0.8f), f.m, {w * 0.8f, h * 0.04f, f.d * 0.8f});
  } else if (brim == 2) {  // band
    e.Begin(depth + 7.8e-3f, look.accent, look.ink, look.width * 0.7f);
    e.Capsule(band + f.m.x * (w * 0.85f), h * 0.05f, band - f.m.x * (w * 0.85f), h * 0.05f);
  }
}

}  // namespace drawer
