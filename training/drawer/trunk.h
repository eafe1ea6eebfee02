// The trunk, what it wears and a cape.
#pragma once
#include "painting.h"

namespace drawer {

struct TrunkPainter : Painting {
  AL_BOTH explicit TrunkPainter(const Painting& p) : Painting(p) {}

  AL_BOTH void Trunk() {
    const Proportions& p = k.p;
    const Axes &c = k.chest, &m = k.middle, &b = k.pelvis;
    const float size = p.trunk / 0.3f, facing = e.View(c.z).z;
    const float neck = Min(p.head_half_width * 0.75f, 0.026f * p.bulk * r.In(0.8f, 1.4f));
    const V3 nape = k.skull - k.head.y * (p.head * 0.25f) - k.head.z * (p.head_half_depth * 0.1f);
    // skin: neck and what clothes leave bare
    e.Begin(trunk - 2e-3f, look.skin, look.ink, look.width, 2);
    if (!look.simple || r.Chance(0.5f)) e.Capsule(k.neck - c.y * 0.03f, neck * 1.15f, nape, neck);
    for (int i = 0; i < 2; ++i) e.Capsule(k.shoulder[i], p.r_shoulder * 0.8f, k.neck, neck);
    e.Ellipsoid(Mix(k.waist, k.pit, 0.45f), c, {p.chest, p.trunk * 0.36f, p.chest_depth});
    e.Ellipsoid(k.root + b.y * (p.trunk * 0.1f), b, {p.pelvis, p.trunk * 0.2f, p.chest_depth * 1.1f});
    e.Capsule(k.waist, p.waist * 0.8f, k.root + b.y * (p.trunk * 0.08f), p.waist * 0.8f);
    Patterned(e.Now(), r, look.pattern * 0.5f);
    // the garment
    const float cf = o.cloth;
    const Colour cloth = look.bare ? look.skin : look.top;
    e.Begin(trunk, cloth, look.ink, look.width, r.In(2, 7));
    e.Ellipsoid(Mix(k.waist, k.pit, 0.48f), c, {p.chest * cf, p.trunk * 0.4f, p.chest_depth * cf});
    if (look.bare) e.Capsule(k.neck - c.y * 0.03f, neck * 1.15f, nape, neck);
    for (int i = 0; i < 2; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f;
      e.Capsule(k.shoulder[i] - c.x * (side * p.r_shoulder * 0.3f), p.r_shoulder * 0.95f * cf, k.neck - c.y * (0.02f * size), p.r_shoulder * 0.9f);
    }
    if (look.technique == kPictogram || r.Chance(0.12f)) {  // boxy
      V2 q[4];
      float rad[4];
      for (int i = 0; i < 4; ++i) {
        const V3 at = i < 2 ? k.shoulder[i] : k.hip[i - 2];
        q[i] = e.Project(at);
        rad[i] = p.r_shoulder * e.ScaleAt(at);
      }
      e.Hull(q, rad, 4);
    }
    const bool crop = r.Chance(0.1f);
    const float low = crop ? 0.35f : o.legs && r.Chance(0.5f) ? 0.6f : r.In(0.75f, 1.2f);
    const V3 ribs = Mix(k.waist, k.pit, 0.5f);
    for (int i = 0; i < 2; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f;
      const V3 w = k.waist + m.x * (side * p.waist * 0.45f), h = k.root + b.x * (side * p.pelvis * 0.45f);
      e.Capsule(ribs + c.x * (side * p.chest * 0.45f), p.chest * 0.5f * cf, w, p.waist * 0.55f * cf);
      const V3 end = Mix(w, h, low);
      if (r.Chance(0.5f)) e.Capsule(w, p.waist * 0.55f * cf, end, Mix(p.waist, p.pelvis, Min(low, 1)) * 0.55f * cf);
      else e.Tube(w, p.waist * 0.55f * cf, end, Mix(p.waist, p.pelvis, Min(low, 1)) * 0.58f * cf);
    }
    if (p.belly > 0) e.Ellipsoid(Mix(k.root, k.waist, 0.7f) + m.z * (p.belly * 0.5f), m, {p.waist * 1.1f + p.belly * 0.3f, p.trunk * 0.3f, p.belly + 0.03f});
    if (p.bust > 0 && !look.simple) e.Ellipsoid(Mix(k.waist, k.pit, 0.62f) + c.z * (p.chest_depth * 0.55f), c, {p.chest * 0.8f, p.chest * 0.5f * p.bust, p.chest_depth * 0.95f});
    Patterned(e.Now(), r, look.pattern);
    if (p.bust > 0 && !look.simple && facing > -0.1f && look.width > 0 && r.Chance(0.6f))
      for (int i = 0; i < 2; ++i) {
        const float side = i == 0 ? 1.0f : -1.0f;
        const V3 at = Mix(k.waist, k.pit, 0.58f) + c.x * (side * p.chest * 0.42f) + c.z * (p.chest_depth * 1.25f);
        const float q = p.chest * 0.32f;
        const V2 l[3] = {e.Project(at - c.x * q + c.y * (q * 0.4f)), e.Project(at - c.y * (q * 0.35f)), e.Project(at + c.x * q + c.y * (q * 0.4f))};
        Stroke(e, trunk + 1.5e-3f, look.ink, l, 3, look.width * 0.7f);
      }
    if (o.legs) {
      e.Begin(trunk - 1e-3f + (r.Chance(0.5f) ? 2e-3f : 0), look.bottom, look.ink, look.width, 2);
      const float seat = p.r_thigh * Min(o.leg_loose, 1.2f);
      e.Capsule(k.hip[0] + b.y * (seat * 0.3f), seat, k.hip[1] + b.y * (seat * 0.3f), seat);
      e.Capsule(k.root + b.y * (p.trunk * r.In(0.2f, 0.42f)), Max(p.waist, p.pelvis) * 0.85f, k.root + b.y * (p.pelvis * 0.5f), p.pelvis * 0.9f);
      Patterned(e.Now(), r, look.pattern);
      if (r.Chance(0.08f) && facing > 0.2f)  // braces
        for (int i = 0; i < 2; ++i) {
          const float side = i == 0 ? 1.0f : -1.0f;
          e.Begin(trunk + 2.2e-3f, look.bottom, look.ink, look.width * 0.7f);
          e.Capsule(k.shoulder[i] - c.x * (side * p.shoulder * 0.45f) + c.y * 0.02f, 0.01f, k.waist - m.y * 0.02f + m.x * (side * p.waist * 0.5f) + m.z * p.chest_depth, 0.01f);
        }
    }
    if (!look.bare) Trimmings(facing, size);
    if (look.bare && !look.simple && look.width > 0) Anatomy(facing);
    Folds(Mix(k.root, k.waist, 0.3f) + c.z * p.chest_depth, k.pit + c.z * p.chest_depth, trunk + 3e-3f, 4, look.bare ? 0.0f : 0.5f);
  }
  // Lines artists put on a bare trunk.
  AL_BOTH void Anatomy(float facing) {
    const Proportions& p = k.p;
    const Axes& c = k.chest;
    const float s = facing > 0 ? 1.0f : -1.0f, w = look.width * 0.7f;
    const V3 f = c.z * (p.chest_depth * s);
    if (fabsf(facing) < 0.2f) return;
    if (r.Chance(0.6f)) {
      const V2 l[3] = {e.Project(Mix(k.root, k.waist, 0.4f) + k.middle.z * (p.chest_depth * s)), e.Project(k.waist + k.middle.z * (p.chest_depth * s)), e.Project(Mix(k.waist, k.pit, r.In(0.4f, 0.9f)) + f)};
      Stroke(e, trunk + 2e-3f, look.ink, l, 3, w);
    }
    for (int i = 0; i < 2; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f;
      if (s > 0 && r.Chance(0.6f)) {  // breast, collar bone
        const V3 at = Mix(k.waist, k.pit, 0.55f) + f;
        const V2 l[3] = {e.Project(at + c.x * (side * p.chest * 0.1f)), e.Project(at + c.x * (side * p.chest * 0.5f) - c.y * 0.01f), e.Project(at + c.x * (side * p.chest * 0.85f) + c.y * 0.03f)};
        Stroke(e, trunk + 2e-3f, look.ink, l, 3, w);
        const V2 q[2] = {e.Project(k.pit + c.z * 0.02f), e.Project(k.shoulder[i] + c.y * 0.015f + c.z * 0.02f)};
        Stroke(e, trunk + 2e-3f, look.ink, q, 2, w);
      } else if (s < 0 && r.Chance(0.6f)) {  // shoulder blade
        const V3 at = Mix(k.waist, k.pit, 0.7f) + f + c.x * (side * p.chest * 0.45f);
        const V2 l[3] = {e.Project(at + c.y * 0.04f), e.Project(at - c.y * 0.02f + c.x * (side * 0.01f)), e.Project(at - c.y * 0.03f + c.x * (side * 0.035f))};
        Stroke(e, trunk + 2e-3f, look.ink, l, 3, w);
      }
    }
    if (s < 0) {  // seat
      const V2 l[2] = {e.Project(k.root + k.pelvis.y * 0.03f - k.pelvis.z * p.chest_depth), e.Project(k.root - k.pelvis.y * 0.05f - k.pelvis.z * p.chest_depth)};
      Stroke(e, trunk + 2e-3f, look.ink, l, 2, w);
    }
  }
  AL_BOTH void Trimmings(float facing, float size) {
    const Proportions& p = k.p;
    const Axes &c = k.chest, &m = k.middle;
    const V3 front = c.z * p.chest_depth;
    if (r.Chance(0.28f)) {  // belt or sash
      const V3 at = Mix(k.root, k.waist, r.In(0.5f, 1.1f));
      const float h = 0.012f * r.In(0.7f, 2.2f);
      e.Begin(trunk + 3e-3f, look.accent, look.ink, look.width * 0.8f);
      e.Capsule(at + m.x * (p.waist * 0.95f), h, at - m.x * (p.waist * 0.95f), h);
      if (facing > 0.2f && r.Chance(0.5f)) {
        const V3 b = at + m.z * p.chest_depth + m.x * r.Bell(0.02f);
        e.Begin(trunk + 3.1e-3f, r.Chance(0.5f) ? look.accent : RandomColour(r), look.ink, look.width * 0.7f);
        e.Capsule(b, h * 1.2f, b, h * 1.19f);
        if (r.Chance(0.4f)) for (int j = -1; j <= 1; j += 2) e.Capsule(b, h * 0.7f, b - m.y * r.In(0.05f, 0.14f) + m.x * (j * 0.025f), h * 0.8f);
      }
    }
    if (!look.simple && facing > 0.15f) {
      if (o.vest || (o.coat && o.open_front)) {  // open jacket: shirt in the middle
        const float w1 = p.shoulder * r.In(0.1f, 0.4f), w2 = p.waist * r.In(0.1f, 0.6f);
        const V3 low = Mix(k.root, k.waist, r.In(0.1f, 0.7f)) + m.z * p.chest_depth;
        const V2 v[4] = {e.Project(k.neck + c.x * w1 + front * 0.3f), e.Project(k.neck - c.x * w1 + front * 0.3f), e.Project(low - m.x * w2), e.Project(low + m.x * w2)};
        e.Begin(trunk + 1.8e-3f, r.Chance(0.5f) ? look.accent : Colour{0.95f, 0.95f, 0.95f}, look.ink, look.width * 0.8f);
        e.Polygon(v, 4);
        Patterned(e.Now(), r, look.pattern);
      }
      if (r.Chance(0.55f)) {  // neckline
        const float w = r.In(0.2f, 0.55f) * p.shoulder;
        const V2 v[3] = {e.Project(k.neck + c.x * w + front * 0.3f + c.y * 0.01f), e.Project(k.neck - c.x * w + front * 0.3f + c.y * 0.01f), e.Project(k.pit + front - c.y * (p.trunk * r.In(0.05f, 0.5f)))};
        e.Begin(trunk + 2e-3f, r.Chance(0.7f) ? look.skin : look.accent, look.ink, look.width * 0.8f);
        e.Polygon(v, 3);
      }
      if (r.Chance(0.3f))  // collar, lapels
        for (int j = -1; j <= 1; j += 2) {
          const float w = p.shoulder * r.In(0.25f, 0.5f), d = p.trunk * r.In(0.12f, 0.45f);
          const V2 v[3] = {e.Project(k.neck + c.x * (j * w * 0.4f) + c.y * 0.02f), e.Project(k.neck + c.x * (j * w) - c.y * (d * 0.5f) + front), e.Project(k.pit + front - c.y * d)};
          e.Begin(trunk + 2.2e-3f, r.Chance(0.5f) ? look.top : look.accent, look.ink, look.width * 0.8f);
          e.Polygon(v, 3);
        }
      if (r.Chance(0.4f)) {  // fastening, tie
        const V3 a = k.pit + front * 0.8f + c.x * r.Bell(0.015f), b = Mix(k.root, k.waist, r.In(0, 0.8f)) + m.z * p.chest_depth + m.x * r.Bell(0.03f);
        e.Begin(trunk + 2.5e-3f, r.Chance(0.5f) ? look.ink : look.accent, look.ink, r.Chance(0.5f) ? look.width * 0.7f : 0);
        e.Capsule(a, r.In(0.003f, 0.012f), b, r.In(0.003f, 0.02f));
      }
      if (r.Chance(0.3f))
        for (int j = 0; j < 4; ++j) {
          const V3 at = Mix(k.pit, k.root, 0.2f + 0.2f * j) + front;
          e.Begin(trunk + 2.6e-3f, look.accent, look.ink, look.width * 0.5f);
          e.Capsule(at, 0.006f, at, 0.0059f);
        }
      if (r.Chance(0.15f))  // pockets, badge
        for (int j = -1; j <= 1; j += 2) {
          const V3 at = (r.Chance(0.5f) ? Mix(k.waist, k.pit, 0.4f) : Mix(k.root, k.waist, 0.4f)) + front + c.x * (j * p.chest * 0.45f);
          const float q = 0.025f;
          const V2 v[4] = {e.Project(at + c.x * q + c.y * q), e.Project(at - c.x * q + c.y * q), e.Project(at - c.x * q - c.y * q), e.Project(at + c.x * q - c.y * q)};
          e.Begin(trunk + 2.6e-3f, look.top, look.ink, look.width * 0.7f);
          e.Polygon(v, 4);
        }
    }
    if (!look.simple && r.Chance(0.08f)) {  // scarf
      e.Begin(trunk + 9e-3f, look.accent, look.ink, look.width, 1);
      e.Capsule(k.neck + c.x * 0.025f, 0.02f * p.bulk, k.neck - c.x * 0.025f, 0.02f * p.bulk);
      if (r.Chance(0.6f)) e.Capsule(k.neck + c.z * 0.02f, 0.012f, k.neck - c.y * r.In(0.05f, 0.25f) + c.x * r.Bell(0.06f) + c.z * 0.05f, 0.016f);
    }
    if (o.apron && facing > 0) {
      const V3 up = k.waist + c.y * (p.trunk * r.In(0, 0.3f)) + front, low = Mix(k.hip[0], k.knee[0], r.In(0.4f, 1)) ;
      const V3 low2 = Mix(k.hip[1], k.knee[1], 0.8f);
      const V2 v[4] = {e.Project(up + c.x * (p.waist * 0.7f)), e.Project(up - c.x * (p.waist * 0.7f)), e.Project(low2 - k.pelvis.x * 0.03f), e.Project(low + k.pelvis.x * 0.03f)};
      e.Begin(trunk + 4e-3f, r.Chance(0.5f) ? Colour{0.95f, 0.95f, 0.95f} : look.accent, look.ink, look.width);
      e.Polygon(v, 4);
      Patterned(e.Now(), r, look.pattern);
    }
    if (r.Chance(0.05f)) {  // pack on the back
      const V3 at = Mix(k.waist, k.pit, 0.55f) - c.z * (p.chest_depth + 0.05f);
      e.Begin(facing > 0 ? trunk - 0.05f : trunk + 0.02f, look.accent, look.ink, look.width, 2);
      e.Ellipsoid(at, c, {p.chest * 0.9f, p.trunk * r.In(0.3f, 0.5f), r.In(0.04f, 0.08f)});
      Patterned(e.Now(), r, look.pattern);
    }
    (void)size;
  }
  AL_BOTH void Cape() {
    const Proportions& p = k.p;
    const float facing = e.View(k.chest.z).z, l = r.In(0.5f, 1.9f), f = r.In(0.02f, 0.25f);
    V2 q[5];
    float rad[5];
    for (int i = 0; i < 2; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f;
      const V3 on = l < 1 ? Mix(k.hip[i], k.knee[i], l) : Mix(k.knee[i], k.ankle[i], l - 1);
      const V3 low = Mix(on, k.root + V3{0, -1, 0} * (l * 0.25f), 0.4f) + k.pelvis.x * (side * f) - k.chest.z * r.In(0.02f, 0.2f);
      q[i] = e.Project(k.shoulder[i]); rad[i] = p.r_shoulder * 1.2f * e.ScaleAt(k.shoulder[i]);
      q[2 + i] = e.Project(low); rad[2 + i] = 0.02f * e.ScaleAt(low);
    }
    q[4] = e.Project(k.neck); rad[4] = 0.04f * e.ScaleAt(k.neck);
    e.Begin(facing > 0 ? trunk - 0.3f : trunk + 0.05f, look.accent, look.ink, look.width);
    e.Hull(q, rad, 5);
    Patterned(e.Now(), r, look.pattern);
    if (look.width > 0) for (int j = 0; j < 4; ++j) {
      const V2 a = Mix(q[0], q[1], r.F()), b = Mix(q[2], q[3], r.F()), l2[2] = {Mix(a, b, 0.3f), Mix(a, b, 0.95f)};
      Stroke(e, e.Now().depth + 1e-4f, look.ink, l2, 2, look.width * 0.6f);
    }
  }
};

}  // namespace drawer
