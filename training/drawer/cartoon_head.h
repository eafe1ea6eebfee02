// Heads of cartoons: a skull and a muzzle that leads where the face looks, a nose that stands out, eyes that meet at its bridge, hair as
// one cut form; from behind only hair, ears and nape.
#pragma once
#include "hats.h"

namespace drawer {

struct CartoonHead {
  Easel& e;
  Random& r;
  Skeleton& k;
  const Look& look;
  HeadLabels& out;
  float depth, trunk_depth, volume;
  Face f;
  V3 cranium, cranium_at, jaw, jaw_at;
  float front, turn, fine;  // how much the face is seen, and which of its sides: above 0 its left
  V2 up;

  AL_BOTH Colour Ink() const { return look.width > 0 ? look.ink : Dim(look.skin, 0.4f); }
  AL_BOTH void Flat(float at, Colour c, float line) { e.Begin(at, c, Ink(), line); e.Now().light = kUnlit; }
  AL_BOTH void Line(float at, const V2* v, int n, float width) { Stroke(e, at, Ink(), v, n, width); }
  AL_BOTH bool Sees(float side) const { return e.View(f.Normal(side)).z > 0.08f; }

  AL_LARGE void Skull() {
    const float h = f.h, w = f.w, d = f.d;
    const int kind = r.Below(6);
    const float a = kind == 1 ? r.In(0.75f, 0.9f) : r.In(0.95f, 1.08f), b = kind == 1 ? r.In(1.0f, 1.25f) : kind == 2 ? r.In(0.45f, 0.65f) : r.In(0.7f, 0.95f);
    cranium = {w * a, h * 0.38f, d * Mix(a, 1, 0.5f)};
    cranium_at = k.skull + f.m.y * (h * 0.12f);
    const float lead = kind == 3 ? r.In(0.35f, 0.6f) : r.In(0.08f, 0.3f);
    jaw = {w * b, h * r.In(0.26f, 0.32f), d * Min(b, 0.9f)};
    jaw_at = k.skull - f.m.y * (0.5f * h - jaw.y) + f.m.z * (d * lead);
    e.Begin(depth, look.skin, look.ink, look.width, r.In(2, 6));
    e.Ellipsoid(cranium_at, f.m, cranium);
    e.Ellipsoid(jaw_at, f.m, jaw);
    if (kind == 4) {  // a square jaw
      const float x = w * r.In(0.75f, 0.95f), c = h * r.In(0.07f, 0.12f);
      const V3 v[4] = {k.skull + f.m.x * x - f.m.y * (h * 0.36f) + f.m.z * (d * 0.25f), k.skull - f.m.x * x - f.m.y * (h * 0.36f) + f.m.z * (d * 0.25f), k.skull + f.m.x * (w * 0.85f) + f.m.z * (d * 0.2f), k.skull - f.m.x * (w * 0.85f) + f.m.z * (d * 0.2f)};
      V2 q[4];
      float rad[4];
      for (int j = 0; j < 4; ++j) { q[j] = e.Project(v[j]); rad[j] = c * e.ScaleAt(v[j]); }
      e.Hull(q, rad, 4);
    } else if (kind == 5) {  // a chin that stands out
      const V3 c = k.skull - f.m.y * (h * 0.42f) + f.m.z * (d * r.In(0.7f, 0.95f));
      e.Capsule(c, h * r.In(0.05f, 0.085f), jaw_at, h * 0.12f);
    }
    const V2 toward = e.Project(k.skull + f.m.y) - e.Project(k.skull);
    const float l = Length(toward);
    up = l > 1e-3f ? toward * (1 / l) : V2{0, -1};
    out.Set(kHpChin, e.OutlineToward(jaw_at, f.m, jaw, up * -1.0f), front > -0.4f ? 1.0f : 0.6f);
    out.Set(kHpTop, e.OutlineToward(cranium_at, f.m, cranium, up));
    for (int i = 0; i < 2 && front > 0.12f; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f, away = atan2f(turn * side, front), g = Min(kTau / 4 + away, 1.6f);
      if (g < 0.2f) continue;
      out.Set(kHpContour + i, e.Project(k.skull - f.m.y * (h * 0.02f) + f.m * V3{side * sinf(g) * cranium.x * 0.97f, 0, cosf(g) * cranium.z}));
      out.Set(kHpJaw + i, e.Project(jaw_at - f.m.y * (jaw.y * 0.45f) + f.m * V3{side * sinf(g) * jaw.x * 0.88f, 0, cosf(g) * jaw.z * 0.9f}));
    }
  }
  AL_LARGE void Ears() {
    const float h = f.h, ear = h * r.In(0.09f, 0.17f);
    for (int j = -1; j <= 1; j += 2) {
      const V3 at = k.skull + f.m.x * (j * f.w * 0.97f) - f.m.y * (h * 0.05f) - f.m.z * (f.d * r.In(0.05f, 0.25f));
      const bool near_one = e.View(f.m.x).z * j > 0.25f;
      e.Begin(near_one ? depth + 5.2e-3f : depth - 5e-4f, look.skin, look.ink, look.width * 0.9f);
      e.Ellipsoid(at + f.m.x * (j * h * 0.02f), f.m, {h * 0.05f, ear, ear * 0.75f});
      if (near_one && look.width > 0) {
        const V2 v[4] = {e.Project(at + f.m.y * (ear * 0.5f) + f.m.z * (ear * 0.2f) + f.m.x * (j * h * 0.05f)), e.Project(at + f.m.y * (ear * 0.4f) - f.m.z * (ear * 0.3f) + f.m.x * (j * h * 0.05f)), e.Project(at - f.m.z * (ear * 0.2f) + f.m.x * (j * h * 0.05f)), e.Project(at - f.m.y * (ear * 0.3f) + f.m.z * (ear * 0.2f) + f.m.x * (j * h * 0.05f))};
        Line(depth + 5.3e-3f, v, 4, fine * 0.8f);
      }
    }
  }
  AL_LARGE void Nose() {
    const float h = f.h;
    const int kind = r.Below(5);
    const float size = h * (kind == 0 ? r.In(0.07f, 0.15f) : r.In(0.035f, 0.07f)), len = kind == 1 ? r.In(0.16f, 0.34f) : kind == 0 ? r.In(0.05f, 0.14f) : r.In(0.07f, 0.17f), lift = kind == 2 ? r.In(0.02f, 0.07f) : kind == 1 ? -r.In(0, 0.08f) : 0;
    const V3 root = f.At(0, f.nose + 0.06f, -0.02f), tip = f.At(0, f.nose + 0.02f + lift, len) - f.m.z * size;
    const bool before = front > -0.1f;
    e.Begin(before ? depth + 4.5e-3f : depth - 2e-3f, kind == 0 && r.Chance(0.3f) ? Mix(look.skin, {1, 0.4f, 0.35f}, look.InLine() ? 0.0f : 0.4f) : look.skin, look.ink, Max(look.width * 0.85f, fine * 0.8f), size * e.scale);
    if (kind == 3) {  // a wedge
      const V2 v[4] = {e.Project(f.At(0, f.nose + 0.2f, 0)), e.Project(tip + f.m.z * size), e.Project(f.At(0.22f, f.nose, 0)), e.Project(f.At(-0.22f, f.nose, 0))};
      if (fabsf(front) < 0.85f) e.Polygon(v, 3); else e.Capsule(root, size * 0.6f, tip, size);
    } else {
      e.Capsule(root, size * (kind == 1 ? 0.8f : 0.6f), tip, size);
    }
    if (kind != 0 || r.Chance(0.5f)) e.HideLine(root + f.m.y * (size * 0.4f), size * (fabsf(front) < 0.9f ? 1.1f : 0.7f));
    out.Set(kHpNose, e.Project(f.At(0, f.nose, 0.02f)), before ? 1.0f : 0.0f);
    if (before && r.Chance(0.4f)) { const float s = turn > 0 ? 1.0f : -1.0f; const V2 v[2] = {e.Project(tip + f.m.x * (s * size * 0.7f) - f.m.y * (size * 0.5f)), e.Project(tip + f.m.x * (s * size) + f.m.y * (size * 0.1f) - f.m.z * (size * 0.4f))}; Line(depth + 4.6e-3f, v, 2, fine * 0.8f); }
  }
  AL_LARGE void Eyes() {
    const float h = f.h, w = f.w;
    const int kind = r.Below(6);  // 0, 1 large whites; 2 beads; 3 arcs; 4 half shut; 5 drawn lids and iris
    const bool white = kind < 2 || kind >= 4;
    const float level = f.nose + r.In(0.12f, 0.22f), rx = kind < 2 ? r.In(0.2f, 0.36f) : kind == 2 ? r.In(0.06f, 0.11f) : r.In(0.17f, 0.28f);
    const float ry = h * (kind < 2 ? r.In(0.09f, 0.2f) : kind == 2 ? r.In(0.03f, 0.07f) : kind == 4 ? r.In(0.07f, 0.12f) : kind == 3 ? r.In(0.03f, 0.06f) : r.In(0.03f, 0.06f));
    const float apart = kind < 2 ? rx * r.In(0.95f, 1.25f) : r.In(0.28f, 0.45f), gx = r.Bell(0.3f) + 0.25f * (turn > 0 ? -1.0f : 1.0f) * (front < 0.9f ? 1.0f : 0.0f), gy = r.Bell(0.25f);
    const float brow = level + ry / h + r.In(0.02f, 0.08f), slant = r.Bell(0.03f), bw = fine * r.In(1.2f, 3.5f);
    const Colour iris = r.Chance(0.6f) ? Colour{0.05f, 0.04f, 0.05f} : FromEye();
    const bool lashes = r.Chance(0.3f), brows = r.Chance(0.8f);
    for (int i = 0; i < 2; ++i) {
      const float s = i == 0 ? 1.0f : -1.0f;
      if (!Sees(s * (apart + rx * 0.3f))) continue;
      const V3 c = f.At(s * apart, level, 0.005f), x = f.m.x * (rx * w), y = f.m.y * ry;
      const V2 l = e.Project(c - x * s), o2 = e.Project(c + x * s), t = e.Project(c + y), b = e.Project(c - y);
      const int at = i == 0 ? kHpEyeL : kHpEyeR;
      out.Set(at, l); out.Set(at + 1, o2); out.Set(at + 2, t); out.Set(at + 3, b);
      if (kind == 3) {
        const V2 v[5] = {l, Mix(l, t, 0.55f), t, Mix(o2, t, 0.55f), o2};
        Line(depth + 4.1e-3f, v, 5, fine * 1.4f);
      } else if (kind == 2) {
        Flat(depth + 4.1e-3f, Ink(), 0);
        e.Ellipsoid(c, f.m, {rx * w, ry, 0.02f * h});
      } else if (white) {
        Flat(depth + 4.1e-3f, {1, 1, 1}, fine);
        e.Ellipsoid(c, f.m, {rx * w, ry, 0.03f * h});
        const float q = Min(rx * w, ry) * (kind < 2 ? r.In(0.3f, 0.55f) : 0.75f);
        const V3 p = c + x * (gx * 0.8f) + y * gy;
        Flat(depth + 4.15e-3f, iris, 0);
        e.Capsule(p, q, p - f.m.y * (q * r.In(0, 0.5f)), q * 0.98f);
        e.Ellipsoid(c, f.m, {rx * w, ry, 0.03f * h}, kKeep);
        if (kind == 4) {  // the lid hangs
          e.Begin(depth + 4.2e-3f, Dim(look.skin, look.InLine() ? 1.0f : 0.9f), Ink(), fine);
          e.Ellipsoid(c, f.m, {rx * w * 1.05f, ry * 1.05f, 0.03f * h});
          const V2 m[4] = {e.Project(c - x * 1.3f + y * 0.15f), e.Project(c + x * 1.3f + y * 0.15f), e.Project(c + x * 1.3f - y * 1.5f), e.Project(c - x * 1.3f - y * 1.5f)};
          e.Polygon(m, 4, kCut);
        }
        if (q * e.scale > 2.5f && r.Chance(0.6f)) { Flat(depth + 4.25e-3f, {1, 1, 1}, 0); const V3 g = p + f.m.x * (q * 0.3f) + f.m.y * (q * 0.4f); e.Capsule(g, q * 0.28f, g, q * 0.27f); }
      }
      if (lashes && kind != 3) for (int j = 0; j < 3; ++j) { const V2 base = Mix(t, o2, 0.35f + 0.3f * j), v[2] = {base, base + (base - e.Project(c)) * 0.5f}; Line(depth + 4.3e-3f, v, 2, fine * 1.1f); }
      if (brows) {
        const V2 v[3] = {e.Project(f.At(s * Max(apart - rx, 0.05f), brow - slant, 0.02f)), e.Project(f.At(s * apart, brow + 0.03f, 0.02f)), e.Project(f.At(s * Min(apart + rx, 0.9f), brow + slant, 0.0f))};
        Stroke(e, depth + 4.4e-3f, r.Chance(0.6f) ? Ink() : look.hair, v, 3, bw);
        out.Set(kHpBrow + i, Mix(v[0], v[1], 0.8f));
      }
    }
  }
  AL_BOTH Colour FromEye() { return {r.In(0.05f, 0.35f), r.In(0.2f, 0.6f), r.In(0.2f, 0.7f)}; }
  AL_LARGE void Mouth() {
    const float level = f.mouth, wide = r.In(0.3f, 0.7f), smile = r.Chance(0.7f) ? r.In(0.01f, 0.09f) : -r.In(0, 0.05f), lift = 0.03f;
    const float shift = (turn > 0 ? 1.0f : -1.0f) * r.In(0, 0.2f);  // toward the cheek turned to us
    auto at = [&](float x, float y) { return e.Project(f.At(Clamp(x * wide + shift, -0.95f, 0.95f), y, lift * (1 - fabsf(x)))); };
    const int kind = r.Below(5);
    const V2 l = at(1, level + smile), q = at(-1, level + smile), m = at(0, level - 0.01f);
    const bool seen_l = Sees(wide + shift), seen_r = Sees(-wide + shift);
    if (kind < 2) {
      const V2 v[5] = {l, at(0.5f, level + smile * 0.25f), m, at(-0.5f, level + smile * 0.25f), q};
      Line(depth + 4.1e-3f, v, 5, fine * r.In(1, 1.8f));
      if (smile > 0.03f && r.Chance(0.5f)) for (int i = 0; i < 2; ++i) if (i ? seen_r : seen_l) { const V2 c = i ? q : l, d = up * (f.h * 0.03f * e.scale), c2[2] = {c + d, c - d}; Line(depth + 4.1e-3f, c2, 2, fine); }
    } else if (kind < 4) {  // open, with teeth
      const float drop = r.In(0.06f, 0.2f);
      const V2 v[8] = {l, at(0.5f, level + smile * 0.4f), at(0, level + smile * 0.15f), at(-0.5f, level + smile * 0.4f), q, at(-0.6f, level - drop * 0.7f), at(0, level - drop), at(0.6f, level - drop * 0.7f)};
      Flat(depth + 4.1e-3f, look.InLine() ? Ink() : Colour{0.35f, 0.05f, 0.07f}, fine);
      e.Blob(v, 8);
      if (r.Chance(0.7f)) {
        const V2 t[5] = {Mix(l, m, 0.2f), at(0, level + smile * 0.15f), Mix(q, m, 0.2f), at(-0.5f, level - drop * 0.2f), at(0.5f, level - drop * 0.2f)};
        Flat(depth + 4.15e-3f, {1, 1, 1}, fine * 0.4f);
        e.Polygon(t, 5);
        e.Blob(v, 8, kKeep);
      }
    } else {  // lips
      const float t = r.In(0.015f, 0.035f);
      const V2 v[8] = {at(0.7f, level), at(0.25f, level + t), at(0, level + t * 0.6f), at(-0.25f, level + t), at(-0.7f, level), at(-0.3f, level - t * 1.3f), at(0, level - t * 1.5f), at(0.3f, level - t * 1.3f)};
      Flat(depth + 4.1e-3f, look.InLine() ? look.skin : Mix(look.skin, {0.8f, 0.08f, 0.15f}, 0.75f), fine * 0.6f);
      e.Blob(v, 8);
      const V2 c[3] = {v[0], at(0, level - 0.003f), v[4]};
      Line(depth + 4.2e-3f, c, 3, fine * 0.7f);
    }
    if (seen_l) out.Set(kHpMouth, kind == 4 ? at(0.7f, level) : l);
    if (seen_r) out.Set(kHpMouth + 1, kind == 4 ? at(-0.7f, level) : q);
    if (front > 0) out.Set(kHpMouthCentre, m);
    if (!look.InLine() && r.Chance(0.2f)) for (int i = 0; i < 2; ++i) { const float s = i == 0 ? 1.0f : -1.0f; if (!Sees(s * 0.65f)) continue; Flat(depth + 4.05e-3f, Mix(look.skin, {1, 0.35f, 0.35f}, 0.35f), 0); e.Now().opacity = 0.8f; e.Ellipsoid(f.At(s * 0.6f, f.nose - 0.05f), f.m, {f.w * 0.2f, f.h * 0.06f, 0.01f}); }
  }
  // Hair cut as one form: flames, a bob, a side parting, a wreath round a bald crown, a cap with its peak.
  AL_LARGE void Hair(int kind, bool capped) {
    const float h = f.h, w = f.w, d = f.d, v = volume;
    const V3 s = k.skull, cap{cranium.x + v * 0.9f + 0.002f, h * 0.39f + v * 0.9f, cranium.z + v * 0.7f + 0.002f}, at = cranium_at - f.m.z * (d * 0.06f);
    const bool face = front > -0.55f;
    const float top = kind == 3 ? 0.5f : r.In(0.2f, 0.36f), layer = depth + 4.75e-3f;
    e.Begin(layer, look.hair, look.ink, look.width, 0.8f);
    if (kind == 1) e.Ellipsoid(at - f.m.y * (h * 0.1f), f.m, {cap.x * 1.05f, cap.y * 1.15f, cap.z});
    else e.Ellipsoid(at, f.m, cap);
    if (kind == 0) {  // flames round the outline, leaning one way
      const V2 c = e.Project(at), across{-up.y, up.x};
      const int n = 5 + r.Below(4);
      const float big = h * r.In(0.12f, 0.35f) * e.scale, lean = r.Bell(0.5f), wx = cap.x * e.scale * 0.85f, wy = cap.y * e.scale * 0.85f;
      for (int j = 0; j < n; ++j) {
        const float a = (j - (n - 1) * 0.5f) * (2.6f / n), g = 1.7f / n, big2 = big * r.In(0.5f, 1.1f);
        auto on = [&](float t, float more) { return c + across * (sinf(t) * (wx + more)) + up * (cosf(t) * (wy + more)); };
        const V2 q[3] = {on(a - g, 0), on(a + lean * 0.5f, big2 + wx * 0.15f), on(a + g, 0)};
        e.Polygon(q, 3);
      }
    }
    if (face) {
      const float part = r.Bell(0.12f), wide = kind == 1 ? r.In(0.72f, 0.85f) : r.In(0.82f, 1.02f);
      e.Ellipsoid(s - f.m.y * (h * (0.55f - top)) + f.m.z * (d * r.In(0.6f, 0.8f)) + f.m.x * (part * w), f.m, {w * wide, h * 0.55f, d * 0.75f}, kCut);
      if (front > 0.25f) { out.Set(kHpHairline, e.Project(f.At(0, Min(top, 0.45f)))); if (kind == 3) out.seen[kHpHairline] = 0; }
    }
    if (kind == 3) e.Ellipsoid(s + f.m.y * (h * 0.56f + v), f.m, {w * 2.2f, h * 0.5f + v, d * 2.2f}, kCut);  // a bald crown
    if (kind != 1) {  // cut at ear and nape, behind as well
      const float low = r.In(0.18f, 0.36f);
      e.Ellipsoid(s - f.m.y * (h * (low + 0.3f)) + f.m.z * (d * r.In(0, 0.3f)), f.m, {w * 1.7f, h * 0.3f, d * 1.5f}, kCut);
    }
    Patterned(e.Now(), r, look.pattern * look.wild);
    if (kind == 1 && front > -0.2f) for (int j = -1; j <= 1; j += 2) {  // sides of a bob, their ends turned in or out
      const bool near_one = e.View(f.m.x).z * j > -0.3f;
      const float low = r.In(0.3f, 0.6f), flip = r.Bell(0.12f);
      const V3 a = s + f.m.x * (j * w * 0.95f) + f.m.y * (h * 0.15f) + f.m.z * (d * 0.1f), b = s + f.m.x * (j * (w * (1.05f + flip))) - f.m.y * (h * low) + f.m.z * (d * 0.15f);
      const V2 q[7] = {e.Project(a + f.m.z * (d * 0.35f)), e.Project(Mix(a, b, 0.5f) + f.m.z * (d * 0.3f)), e.Project(b + f.m.z * (d * 0.3f)), e.Project(b - f.m.y * (h * 0.05f) + f.m.x * (j * w * flip * 2)), e.Project(b - f.m.z * (d * 0.7f)), e.Project(Mix(a, b, 0.5f) - f.m.z * (d * 0.6f) + f.m.x * (j * (w * 0.12f + v))), e.Project(a - f.m.z * (d * 0.4f) + f.m.x * (j * (w * 0.1f + v * 0.7f)))};
      e.Begin(near_one ? layer + 8e-4f : depth - 1e-3f, look.hair, look.ink, look.width);
      e.Blob(q, 7);
    }
    if (face && front > 0 && kind != 3 && kind != 0 && !capped && r.Chance(0.7f)) DrawFringe(e, r, look, f, layer + 1e-4f, top, v);
    const Colour c = StrandColour(look);
    if (r.Chance(0.7f)) {  // strands from the crown; from behind they fall over all of it
      e.Begin(layer + 2e-4f, c, look.ink, 0, -1);
      e.Now().light = kUnlit;
      const float ply = Max(look.width * 0.5f, 0.5f);
      const int n = 2 + r.Below(4);
      for (int j = 0; j < n; ++j) {
        const float a = r.In(-1.2f, 1.2f), behind = front > 0 ? 0.0f : -0.8f;
        const V2 p = e.Project(at + f.m.x * (sinf(a * 0.4f) * cap.x * 0.6f) + f.m.y * (cap.y * 0.85f) + f.m.z * (behind * cap.z * 0.4f)), q = e.Project(at + f.m.x * (sinf(a) * cap.x * 0.85f) + f.m.y * (cap.y * (front > 0 ? 0.55f : -0.2f)) + f.m.z * (behind * cap.z));
        const V2 mid = Mix(p, q, 0.5f) + V2{r.Bell(1), r.Bell(1)};
        e.Capsule(p, ply * 0.2f, mid, ply * 0.5f);
        e.Capsule(mid, ply * 0.5f, q, ply * 0.15f);
      }
    }
    if (!look.InLine() && r.Chance(0.25f)) {  // gloss
      e.Begin(layer + 3e-4f, Mix(look.hair, {1, 1, 1}, 0.45f), look.ink, 0, -1);
      e.Now().light = kUnlit;
      const V3 g = at + f.m.y * (cap.y * 0.62f) + f.m.x * ((e.scene->style.light_x > 0 ? 0.4f : -0.4f) * cap.x) + f.m.z * ((front > 0 ? 0.55f : -0.55f) * cap.z);
      e.Ellipsoid(g, f.m, {cap.x * 0.28f, cap.y * 0.1f, 0.02f});
    }
    if (kind == 2 && r.Chance(0.5f)) {  // a tail or a knot that swings behind
      const V3 from = s - f.m.z * (d * 0.95f + v * 0.5f) + f.m.y * (h * r.In(0, 0.35f)), mid = from - f.m.z * (h * r.In(0.12f, 0.3f)) + V3{0, h * r.In(-0.1f, 0.15f), 0}, end = mid - V3{0, h * r.In(0.2f, 0.9f), 0} - f.m.z * (h * r.Bell(0.15f));
      const bool over = front < -0.1f;
      e.Begin(over ? depth + 7e-3f : depth - 1.2e-3f, look.hair, look.ink, look.width, 3);
      e.Capsule(from, h * 0.06f, mid, h * r.In(0.08f, 0.16f));
      if (r.Chance(0.75f)) { e.Capsule(mid, h * 0.12f, Mix(mid, end, 0.5f), h * 0.11f); e.Capsule(Mix(mid, end, 0.5f), h * 0.11f, end, h * 0.02f); }
    }
  }
  AL_LARGE void PeakedCap() {
    const float h = f.h, w = f.w, d = f.d, low = r.In(0.14f, 0.26f), tall = volume * 0.6f + h * 0.03f;
    const Colour c = look.InLine() ? (r.Chance(0.5f) ? look.ink : look.accent) : r.Chance(0.5f) ? look.accent : look.top;
    const float at = depth + 6e-3f, flip = r.Chance(0.12f) ? -1.0f : 1.0f, peak = r.In(0.5f, 0.9f);
    const bool front_seen = e.View(f.m.z * flip).z > -0.25f;
    e.Begin(at, c, look.ink, look.width);
    e.Ellipsoid(cranium_at, f.m, {cranium.x + tall, h * 0.38f + tall, cranium.z + tall});
    e.Ellipsoid(k.skull - f.m.y * (h * (0.6f - low)), f.m, {w * 2.2f, h * 0.6f, d * 2.2f}, kCut);
    const V3 rim = k.skull + f.m.y * (h * low);
    const float x = cranium.x * 0.95f + tall, z = (cranium.z * 0.8f + tall) * flip;
    const V2 v[7] = {e.Project(rim + f.m.x * x + f.m.z * (z * 0.35f)), e.Project(rim + f.m.x * (x * 0.9f) + f.m.z * (z * (1 + peak * 0.55f)) - f.m.y * (h * 0.04f)), e.Project(rim + f.m.z * (z * (1.0f + peak)) - f.m.y * (h * 0.05f)), e.Project(rim - f.m.x * (x * 0.9f) + f.m.z * (z * (1 + peak * 0.55f)) - f.m.y * (h * 0.04f)),
                     e.Project(rim - f.m.x * x + f.m.z * (z * 0.35f)), e.Project(rim - f.m.x * (x * 0.6f) + f.m.z * z + f.m.y * (h * 0.03f)), e.Project(rim + f.m.x * (x * 0.6f) + f.m.z * z + f.m.y * (h * 0.03f))};
    e.Begin(front_seen ? at + 1e-4f : at - 1e-4f - 6e-3f, r.Chance(0.5f) ? c : Dim(c, 0.7f), look.ink, look.width);
    e.Blob(v, 7);
    BeginSeams(at + 2e-4f, c);
    for (int j = -1; j <= 1; ++j) {  // panels meet at a button
      const V3 a = cranium_at + f.m.y * (h * 0.37f + tall), q = cranium_at + f.m.x * (j * x * 0.6f) + f.m.z * ((front_seen ? 0.75f : -0.75f) * flip * cranium.z) + f.m.y * (h * 0.14f);
      e.Capsule(e.Project(a), fine * 0.3f, e.Project(Mix(a, q, 0.6f) + f.m.z * (0.12f * d * flip * (front_seen ? 1.0f : -1.0f))), fine * 0.4f);
    }
  }
  AL_BOTH void BeginSeams(float at, Colour c) { e.Begin(at, Grey(c) < 0.25f ? Mix(c, {1, 1, 1}, 0.4f) : look.width > 0 ? look.ink : Dim(c, 0.7f), look.ink, 0, -1); e.Now().light = kUnlit; }

  AL_LARGE void Draw(int hair, float hat) {
    for (int i = 0; i < kHeadPoints; ++i) out.Set(i, {0, 0}, 0);
    Skull();
    Patterned(e.Now(), r, look.pattern * look.wild * 0.3f);
    if (!look.simple || r.Chance(0.3f)) Ears();
    const bool bald = hair == 0, peaked = hat > 0 && k.p.cap_low <= 0 && r.Chance(0.5f);
    if (!look.simple) {
      if (front > -0.5f) Nose();
      if (front > -0.25f) { Eyes(); Mouth(); }
    } else if (front > -0.5f && fabsf(front) < 0.7f) {
      Nose();
    }
    if (!bald) {
      if (r.Chance(0.3f) && front > -0.5f) DrawHair(e, r, k, look, f, hair, volume, depth, trunk_depth, out);
      else { const float u = r.F(); Hair(u < 0.25f ? 0 : u < 0.5f ? 1 : u < 0.9f ? 2 : 3, hat > 0); }
    }
    const float over = Max(bald ? 0.0f : volume * 0.9f, hat > 0 ? hat * 0.9f : 0.0f);
    if (peaked) PeakedCap();
    else if (hat > 0) DrawHat(e, r, k, look, f, volume, hat, depth, out);
    const float lift = peaked ? Max(bald ? 0.0f : volume * 0.9f, volume * 0.6f + f.h * 0.03f) : over;
    out.Set(kHpCrown, e.OutlineToward(cranium_at, f.m, {cranium.x + lift, f.h * 0.38f + lift, cranium.z + lift}, up));
    if (hat > 0) { out.seen[kHpTop] = 0; out.seen[kHpHairline] = 0; }
    if (hat > 0 && k.p.cap_low > 0) {  // what it covers
      const V2 band = e.Project(f.At(0, k.p.cap_low));
      for (int i = kHpEyeL; i < kHpNose; ++i) { const V2 v = out.at[i] - band; if (v.x * up.x + v.y * up.y > -0.02f * f.h * e.ScaleAt(k.skull)) out.seen[i] = 0; }
    }
    if (bald && hat <= 0) out.at[kHpCrown] = out.at[kHpTop];
  }
};

AL_LARGE void DrawCartoonHead(Easel& e, Random& r, Skeleton& k, const Look& look, int hair, float volume, float hat, float depth, float trunk_depth, HeadLabels& out) {
  const Proportions& p = k.p;
  const float nose = -r.In(0.04f, 0.16f);
  const Face f{k.skull, k.head, p.head_half_width, p.head, p.head_half_depth, nose, nose - r.In(0.1f, 0.17f)};
  CartoonHead head{e, r, k, look, out, depth, trunk_depth, volume, f, {}, {}, {}, {}, e.View(k.head.z).z, e.View(k.head.x).z, Max(0.5f, Max(look.width, 0.8f) * r.In(0.5f, 0.95f)), {0, -1}};
  head.Draw(hair, hat);
}

}  // namespace drawer
