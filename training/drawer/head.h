// The head: skull, jaw and profile, with its labelled points.
#pragma once
#include "caricature.h"
#include "hats.h"

namespace drawer {

// Draws the whole head. `depth`: of the skull's shape; `trunk_depth`: what long hair may hide behind.
AL_BOTH void DrawHead(Easel& e, Random& r, Skeleton& k, const Look& look, int hair, float volume, float hat, float depth,
                      float trunk_depth, HeadLabels& out) {
  const Proportions& p = k.p;
  const float h = p.head;
  const Axes& m = k.head;
  const float w = p.head_half_width, d = p.head_half_depth, front = e.View(m.z).z;
  for (int i = 0; i < kHeadPoints; ++i) out.Set(i, {0, 0}, 0);
  Face f{k.skull, m, w, h, d, -r.In(0.12f, 0.21f), 0};
  f.mouth = f.nose - r.In(0.08f, 0.15f);
  const float fine = Max(0.45f, Max(look.width, 0.8f) * r.In(0.45f, 0.95f) * (look.technique == kBrush ? 1.3f : 1.0f));
  // skull and jaw
  e.Begin(depth, look.skin, look.ink, look.width, 3);
  const V3 cranium{w, h * 0.38f, d};
  const V3 cranium_at = k.skull + m.y * (h * 0.12f);
  const float jaw_w = w * (r.In(0.5f, 0.95f) + 0.4f * p.jaw), jaw_y = -r.In(0.24f, 0.36f) * h, chin_r = h * (r.In(0.04f, 0.13f) + 0.1f * p.jaw);
  const V3 chin_at = k.skull - m.y * (0.5f * h - chin_r) + m.z * (d * r.In(0.5f, 0.72f) - chin_r * 0.3f);
  const int shape = p.jaw > 0 ? 1 + r.Below(6) : r.Below(10);
  V2 chin;
  const bool ball = look.technique == kPictogram || shape == 0;
  if (ball) {
    e.Ellipsoid(k.skull, m, {Min(w * 1.1f, h * 0.5f), h * 0.5f, Min(d * 1.1f, h * 0.5f)});
  } else {
    e.Ellipsoid(cranium_at, m, cranium);
    V2 c[5];
    float rad[5];
    const float corner = h * (r.In(0.05f, 0.12f) + 0.08f * p.jaw);
    const V3 q[5] = {k.skull + m.x * (w * 0.72f) + m.z * (d * 0.2f), k.skull - m.x * (w * 0.72f) + m.z * (d * 0.2f),
                     k.skull + m.x * (jaw_w - corner) + m.y * jaw_y + m.z * (d * 0.12f), k.skull - m.x * (jaw_w - corner) + m.y * jaw_y + m.z * (d * 0.12f), chin_at};
    for (int j = 0; j < 5; ++j) { c[j] = e.Project(q[j]); rad[j] = (j < 2 ? w * 0.26f : j < 4 ? corner : chin_r) * e.ScaleAt(q[j]); }
    if (shape < 7) e.Hull(c, rad, 5);
    else e.Ellipsoid(k.skull - m.y * (h * 0.14f) + m.z * (d * 0.18f), m, {w * r.In(0.7f, 0.96f), h * 0.36f, d * r.In(0.7f, 0.85f)});
    const V3 face_front = k.skull + m.z * (d * 0.3f) - m.y * (h * 0.1f);
    e.Ellipsoid(face_front, m, {w * 0.75f, h * 0.3f, d * 0.62f});
  }
  chin = e.Project(ball || shape >= 7 ? k.skull - m.y * (0.5f * h) + m.z * (d * 0.45f) : chin_at - m.y * chin_r);
  const float nose_out = r.Chance(0.15f) ? r.In(0.12f, 0.35f) : r.In(0.03f, 0.13f);
  const bool nose = !ball && r.Chance(0.88f);
  const float base = f.nose;
  if (nose && fabsf(front) < 0.62f) {  // in profile brow, nose, lips and chin are outline
    const float lips = r.In(0, 0.035f), brow = r.In(0, 0.03f), dip = r.In(0, 0.05f), snub = r.In(-0.03f, 0.05f), mouth = f.mouth;
    const V3 chin_front = chin_at + m.z * (chin_r * 1.0f);
    const V3 v[12] = {f.At(0, 0.34f, -0.04f), f.At(0, 0.1f, -0.005f + brow), f.At(0, 0.02f, -dip - 0.01f), f.At(0, Mix(0.02f, base, 0.5f), nose_out * 0.45f - 0.01f),
                      f.At(0, base + 0.03f + snub, nose_out), f.At(0, base, nose_out * 0.8f), f.At(0, base - 0.012f, -0.005f), f.At(0, mouth + 0.03f, lips),
                      f.At(0, mouth, lips - 0.03f), f.At(0, mouth - 0.03f, lips * 0.8f - 0.005f), Mix(f.At(0, Mix(mouth, -0.5f, 0.5f), -0.03f), chin_front, 0.4f), chin_front};
    V2 q[12], o[kPolygon];
    for (int j = 0; j < 12; ++j) q[j] = e.Project(v[j]);
    e.Curve(q, 12, o, 20);
    o[20] = e.Project(chin_at - m.y * (chin_r * 0.95f));
    o[21] = e.Project(k.skull - m.y * (h * 0.3f) + m.z * (d * 0.2f));
    o[22] = e.Project(k.skull + m.y * (h * 0.2f) + m.z * (d * 0.2f));
    e.Polygon(o, 23);
  } else if (nose && front > 0) {
    e.Capsule(f.At(0, base + 0.1f, -0.02f), h * 0.025f, f.At(0, base + 0.02f, nose_out * 0.75f), h * r.In(0.015f, 0.04f));
  }
  Patterned(e.Now(), r, look.pattern * look.wild * 0.5f);
  if (look.technique == kBrush && r.Chance(0.3f)) e.Now().opacity = 1;
  out.Set(kHpChin, chin, front > -0.4f || ball ? 1.0f : 0.6f);
  V2 up = e.Project(k.skull + m.y) - e.Project(k.skull);
  const float ul = Length(up);
  up = ul > 1e-3f ? up * (1 / ul) : V2{0, -1};
  out.Set(kHpTop, e.OutlineToward(ball ? k.skull : cranium_at, m, ball ? V3{Min(w * 1.1f, h * 0.5f), h * 0.5f, Min(d * 1.1f, h * 0.5f)} : cranium, up));
  out.at[kHpCrown] = out.at[kHpTop];
  out.seen[kHpCrown] = 1;
  // face edges at eye level and jaw corners: the outline, or the temple when it lies inside it
  for (int i = 0; i < 2; ++i) {
    const float side = i == 0 ? 1.0f : -1.0f;
    if (front < 0.12f) break;
    const float away = atan2f(e.View(m.x).z * side, front);  // > 0: this side turns toward us
    const float a = Min(kTau / 4 + away, 1.6f);
    if (a < 0.2f) continue;
    const V3 edge = k.skull - m.y * (h * 0.02f) + m * V3{side * sinf(a) * w, 0, cosf(a) * d};
    out.Set(kHpContour + i, e.Project(edge));
    const float aj = Min(kTau / 4 + away, 1.65f);
    if (!ball) out.Set(kHpJaw + i, e.Project(k.skull + m.y * (jaw_y - 0.035f * h) + m * V3{side * sinf(aj) * jaw_w, 0, cosf(aj) * d * 0.75f + 0.02f * d}));
  }
  // ears
  if (!look.simple || r.Chance(0.3f)) {
    const float ear = h * r.In(0.07f, 0.13f);
    const bool ears = r.Chance(0.75f);
    for (int j = -1; j <= 1; j += 2) if (ears) {
      const V3 at = k.skull + m.x * (j * w * 0.98f) - m.y * (h * 0.04f) - m.z * (d * 0.1f);
      e.Begin(e.Depth(at) > e.Depth(k.skull) + w * 0.3f ? depth + 3e-3f : depth - 5e-4f, look.skin, look.ink, look.width * 0.8f);
      e.Ellipsoid(at, m, {h * 0.04f, ear, h * 0.06f});
      e.Capsule(at - m.y * (ear * 0.5f) + m.z * (h * 0.01f), h * 0.03f, at - m.y * (ear * 0.85f) + m.z * (h * 0.02f), h * 0.02f);
      if (look.width > 0 && !look.simple && e.View(m.x).z * j > 0.15f) {
        const V2 l[3] = {e.Project(at + m.y * (ear * 0.6f) + m.x * (j * h * 0.04f)), e.Project(at - m.z * (h * 0.03f) + m.x * (j * h * 0.04f)), e.Project(at - m.y * (ear * 0.4f) + m.x * (j * h * 0.04f))};
        Stroke(e, e.Now().depth + 1e-4f, look.ink, l, 3, fine * 0.6f);
      }
    }
  }
  if (!look.simple && front > -0.75f && !r.Chance(0.1f)) {
    DrawEyes(e, r, k, look, f, depth + 4e-3f, fine, out);
    DrawNoseAndMouth(e, r, look, f, depth + 4.3e-3f, fine, nose_out, out);
    if (p.whiskers || p.big_nose > 0) DrawCaricature(e, r, k, look, f, depth + 4.8e-3f, fine, out);
    else if (front > 0.1f && r.Chance(0.08f)) {  // beard
      e.Begin(depth + 4.1e-3f, look.hair, look.ink, look.width);
      V2 c[5];
      float rad[5];
      const float l = r.In(0, 0.25f) * h;
      const V3 q[5] = {f.At(0.85f, -0.12f, -0.02f), f.At(-0.85f, -0.12f, -0.02f), f.At(0.6f, -0.36f), f.At(-0.6f, -0.36f), f.At(0, -0.48f) - m.y * l};
      for (int j = 0; j < 5; ++j) { c[j] = e.Project(q[j]); rad[j] = h * 0.06f * e.ScaleAt(q[j]); }
      e.Hull(c, rad, 5);
      e.Ellipsoid(f.At(0, -0.18f), m, {w * 0.55f, h * 0.2f, d}, kCut);
    }
  } else if (!look.simple && front > 0.2f && r.Chance(0.5f)) {  // construction cross instead of a face
    const V2 a[2] = {e.Project(f.At(0, 0.4f)), e.Project(f.At(0, -0.45f))}, b[2] = {e.Project(f.At(0.8f, 0)), e.Project(f.At(-0.8f, 0))};
    Stroke(e, depth + 4e-3f, look.ink, a, 2, fine * 0.6f);
    Stroke(e, depth + 4e-3f, look.ink, b, 2, fine * 0.6f);
  }
  if (hair > 0) DrawHair(e, r, k, look, f, hair, volume, depth, trunk_depth, out);
  if (hat > 0) DrawHat(e, r, k, look, f, volume, hat, depth, out);
  const float over = Max(hair > 0 ? volume * 0.9f : 0.0f, hat > 0 ? hat * 0.9f + h * 0.0f : 0.0f);
  const V3 cap{w + over, h * 0.38f + over, d + over};
  out.Set(kHpCrown, e.OutlineToward(cranium_at, m, hair == 0 && hat <= 0 ? cranium : cap, up));
  if (hat > 0) { out.seen[kHpTop] = 0.0f; out.seen[kHpHairline] = 0; }
  if (hat > 0 && p.cap_low > 0) {  // what it covers
    const V2 band = e.Project(f.At(0, p.cap_low));
    for (int i = kHpEyeL; i < kHpNose; ++i) { const V2 v = out.at[i] - band; if (v.x * up.x + v.y * up.y > -0.02f * h * e.ScaleAt(k.skull)) out.seen[i] = 0; }
  }
  if (ball && hair == 0 && hat <= 0) out.at[kHpCrown] = out.at[kHpTop];
}

}  // namespace drawer
