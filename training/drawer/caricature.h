// What cartoons make large: noses, moustaches, beards over the mouth.
#pragma once
#include "face.h"

namespace drawer {

AL_LARGE void DrawCaricature(Easel& e, Random& r, const Skeleton& k, const Look& look, const Face& f, float depth, float fine, HeadLabels& out) {
  const float h = f.h, front = e.View(f.m.z).z, side = e.View(f.m.x).z;
  if (front < -0.1f) return;
  const Colour hair = r.Chance(0.7f) ? look.hair : look.InLine() ? look.accent : Colour{0.92f, 0.92f, 0.9f};
  if (k.p.whiskers) {
    const bool beard = r.Chance(0.65f), moustache = !beard || r.Chance(0.6f);
    if (beard) {
      const float l = r.Chance(0.4f) ? r.In(0.3f, 1.1f) : r.In(0, 0.3f), wide = r.In(0.6f, 1.02f), from = r.In(-0.25f, -0.08f), point = r.In(0.15f, 0.8f);
      const V3 v[9] = {f.At(0, f.nose - 0.03f, 0.03f), f.At(0.4f, f.nose - 0.03f, 0.03f), f.At(wide, from, 0), f.At(wide * 0.95f, -0.42f, 0.02f), f.At(wide * point, -0.5f - l * 0.7f, 0.03f),
                       f.At(0, -0.54f - l, 0.04f), f.At(-wide * point, -0.5f - l * 0.7f, 0.03f), f.At(-wide * 0.95f, -0.42f, 0.02f), f.At(-wide, from, 0)};
      V2 q[10];
      for (int j = 0; j < 9; ++j) q[j] = e.Project(v[j]);
      q[9] = e.Project(f.At(-0.4f, f.nose - 0.03f, 0.03f));
      e.Begin(depth + 1e-4f, hair, look.ink, look.width * 0.8f);
      e.Blob(q, 10);
      if (look.width > 0) for (int j = 0; j < 3; ++j) { const float t = r.In(-0.6f, 0.6f); const V2 s[2] = {Mix(q[0], q[5], r.In(0.3f, 0.6f)) + (q[2] - q[8]) * (t * 0.35f), Mix(q[5], q[t > 0 ? 4 : 6], fabsf(t))}; Stroke(e, depth + 1.5e-4f, look.ink, s, 2, fine * 0.6f); }
      const bool mouth = r.Chance(0.4f);
      if (!mouth) out.seen[kHpMouth] = out.seen[kHpMouth + 1] = out.seen[kHpMouthCentre] = 0;
      if (mouth) { const V2 m[3] = {e.Project(f.At(0.2f, f.mouth, 0.05f)), e.Project(f.At(0, f.mouth - 0.02f, 0.05f)), e.Project(f.At(-0.2f, f.mouth, 0.05f))}; Stroke(e, depth + 2e-4f, look.ink, m, 3, fine); }
    }
    if (moustache) {
      out.seen[kHpMouthCentre] = 0;
      const float w = r.In(0.35f, 1.1f), drop = r.In(-0.08f, 0.2f), fat = h * r.In(0.025f, 0.06f);
      e.Begin(depth + 3e-4f, hair, look.ink, look.width * 0.8f, 1);
      for (int j = -1; j <= 1; j += 2) {
        const V3 a = f.At(0.04f * j, f.nose - 0.05f, 0.05f), b = f.At(j * w * 0.5f, f.nose - 0.06f, 0.05f), c = f.At(j * w, f.nose - 0.06f - drop, 0.02f);
        e.Capsule(a, fat * 0.8f, b, fat);
        e.Capsule(b, fat, c, fat * 0.25f);
      }
    }
  }
  if (k.p.big_nose > 0) {
    out.seen[kHpNose] = 0;  // its base lies under it
    const float b = h * k.p.big_nose, long_by = r.Chance(0.4f) ? r.In(0.8f, 2.2f) : r.In(0, 0.4f);
    const Colour c = look.InLine() || r.Chance(0.6f) ? look.skin : Mix(look.skin, {1, 0.35f, 0.3f}, r.In(0.15f, 0.6f));
    const V3 root = f.At(0, f.nose + b / h * 0.9f, 0), tip = f.At(0, f.nose + b / h * r.In(0.2f, 0.6f), (0.5f + long_by) * b / h);
    e.Begin(depth + 5e-4f, c, look.ink, Max(fine, look.width * 0.7f), b * e.ScaleAt(root));
    e.Capsule(root, b * (long_by > 0.6f ? 0.5f : 0.7f), tip, b * r.In(0.7f, 1));
    if (r.Chance(0.4f)) e.Ellipsoid(tip, f.m, {b * r.In(1, 1.5f), b * 0.9f, b});
    if (look.width > 0 && r.Chance(0.4f)) { const V2 n[2] = {e.Project(tip + f.m.x * ((side > 0 ? 1 : -1) * b * 0.6f) - f.m.y * (b * 0.3f)), e.Project(tip + f.m.x * ((side > 0 ? 1 : -1) * b * 0.85f) + f.m.y * (b * 0.1f))}; Stroke(e, depth + 6e-4f, look.ink, n, 2, fine * 0.7f); }
  }
}

}  // namespace drawer
