// What is worn over clothes and hides where shoulders and hips are: bags and their straps, packs, armour, shawls, ruffs, tabards.
#pragma once
#include "painting.h"

namespace drawer {

struct GearPainter : Painting {
  AL_BOTH explicit GearPainter(const Painting& p) : Painting(p) {}

  AL_BOTH Colour Some() const { return r.Chance(0.6f) || look.InLine() ? look.accent : r.Chance(0.5f) ? look.shoe : look.calm ? Dim(look.top, 0.7f) : RandomColour(r); }

  AL_LARGE void Draw() {
    const Proportions& p = k.p;
    const Axes &c = k.chest, &m = k.middle, &b = k.pelvis;
    const float facing = e.View(c.z).z, sign = facing > 0 ? 1.0f : -1.0f, side = r.Sign();
    const V3 out = c.z * (p.chest_depth * sign);
    const int kind = r.Below(8), s0 = side > 0 ? 0 : 1;
    const Colour col = Some();
    if (kind == 0) {  // bag on a strap across, or from the shoulder
      const V3 top = k.shoulder[r.Chance(0.6f) ? 1 - s0 : s0] + c.y * (p.r_shoulder * 0.8f) - c.x * ((s0 ? 1.0f : -1.0f) * -0.3f * p.r_shoulder), low = k.hip[s0] + b.x * (side * p.r_thigh * 0.9f) + b.y * r.In(-0.05f, 0.06f);
      const float w = r.In(0.004f, 0.014f) * e.scale;
      const V2 l[3] = {e.Project(top), e.Project(Mix(top, low, 0.5f) + out * 1.05f), e.Project(low)};
      V2 q[7];
      e.Curve(l, 3, q, 7);
      e.Begin(trunk + 9.5e-3f, col, look.ink, look.width * 0.8f);
      for (int j = 0; j < 6; ++j) e.Capsule(q[j], w, q[j + 1], w);
      const float bw = r.In(0.04f, 0.09f), bh = r.In(0.03f, 0.08f);
      const V2 v[6] = {e.Project(low + b.x * bw + b.y * bh * 0.6f), e.Project(low + b.x * bw * 1.1f - b.y * bh * 0.8f), e.Project(low + b.x * bw * 0.8f - b.y * bh), e.Project(low - b.x * bw * 0.8f - b.y * bh), e.Project(low - b.x * bw * 1.1f - b.y * bh * 0.8f), e.Project(low - b.x * bw + b.y * bh * 0.6f)};
      e.Begin(r.Chance(0.7f) ? trunk + 0.06f : trunk - 0.1f, col, look.ink, look.width);
      e.Polygon(v, 6);
      Patterned(e.Now(), r, look.pattern);
      const V2 flap[2] = {Mix(v[0], v[1], 0.45f), Mix(v[5], v[4], 0.45f)};
      Stroke(e, e.Now().depth + 1e-4f, Lined() ? look.ink : Dim(col, 0.6f), flap, 2, Max(look.width * 0.7f, 0.6f));
    } else if (kind == 1) {  // a pack with its straps
      const V3 at = Mix(k.waist, k.pit, r.In(0.5f, 0.9f)) - c.z * (p.chest_depth + 0.06f);
      const float w = p.chest * r.In(0.8f, 1.4f), h = p.trunk * r.In(0.3f, 0.75f);
      e.Begin(facing > 0 ? trunk - 0.06f : trunk + 0.045f, col, look.ink, look.width, 2);
      e.Ellipsoid(at, c, {w, h, 0.07f});
      e.Ellipsoid(at + c.y * (h * 0.9f), c, {w * 1.1f, p.trunk * 0.1f, 0.06f});  // a roll on top
      e.Ellipsoid(at - c.y * (h * 0.4f), c, {w * 0.9f, h * 0.5f, 0.09f});
      Patterned(e.Now(), r, look.pattern);
      if (facing > -0.1f) for (int i = 0; i < 2; ++i) {
        const float x = i == 0 ? 1.0f : -1.0f;
        e.Begin(trunk + 9.4e-3f, col, look.ink, look.width * 0.8f);
        const V3 a = k.shoulder[i] - c.x * (x * p.shoulder * 0.35f) + c.y * (p.r_shoulder * 0.7f), q = Mix(k.waist, k.pit, 0.35f) + c.x * (x * p.chest * 0.85f);
        const V3 mid = Mix(a, q, 0.5f) + c.z * p.chest_depth;
        e.Capsule(a, 0.014f, mid, 0.013f);
        e.Capsule(mid, 0.013f, q, 0.01f);
      } else {
        BeginMarks(e.Now().depth + 1e-3f, FoldColour(col));
        for (int j = 0; j < 3; ++j) Mark(e.Project(at + c.x * (w * r.In(-0.7f, 0.7f)) + c.y * (h * 0.6f)), e.Project(at + c.x * (w * r.In(-0.7f, 0.7f)) - c.y * (h * 0.5f)), r.Bell(0.1f), FoldWidth());
      }
    } else if (kind == 2) {  // armour: shoulders, breast, knees
      const bool spikes = r.Chance(0.2f);
      for (int i = 0; i < 2; ++i) {
        const float x = i == 0 ? 1.0f : -1.0f, big = p.r_shoulder * r.In(1.2f, 2.1f);
        const int plates = 1 + r.Below(3);
        for (int j = plates - 1; j >= 0; --j) {
          const V3 at = Mix(k.shoulder[i], k.elbow[i], 0.16f * j) + c.x * (x * p.r_shoulder * 0.2f) + c.y * (p.r_shoulder * 0.15f);
          e.Begin(Max(trunk, ArmDepth(i) - 0.02f) + 0.04f - j * 1e-3f, j % 2 ? Dim(col, 0.85f) : col, look.ink, look.width);
          e.Ellipsoid(at, c, {big * (1 - 0.1f * j), big * 0.75f, big});
        }
        if (spikes) e.Capsule(k.shoulder[i] + c.y * p.r_shoulder, 0.015f, k.shoulder[i] + c.y * (p.r_shoulder + 0.08f) + c.x * (x * 0.05f), 0.002f);
        if (r.Chance(0.6f)) {
          e.Begin(Max(KneeDepth(i), trunk) + 0.012f, col, look.ink, look.width);
          e.Ellipsoid(k.knee[i] + KneeFront(i) * (p.r_knee * 0.4f), b, {p.r_knee * 1.2f, p.r_knee * 1.5f, p.r_knee * 1.2f});
        }
      }
      if (Lined() && fabsf(facing) > 0.2f) {
        const V2 l[3] = {e.Project(k.pit + out), e.Project(Mix(k.waist, k.pit, 0.4f) + out * 1.15f), e.Project(k.waist + out)};
        Stroke(e, trunk + 3e-3f, look.ink, l, 3, look.width * 0.7f);
      }
    } else if (kind == 3) {  // shawl, capelet, fur: over shoulders and upper arms
      V2 v[5];
      float rad[5];
      const float low = r.In(0.25f, 0.85f);
      for (int i = 0; i < 2; ++i) {
        const V3 a = k.shoulder[i], q = Mix(k.shoulder[i], k.elbow[i], low);
        v[i] = e.Project(a); rad[i] = p.r_shoulder * 1.15f * e.ScaleAt(a);
        v[2 + i] = e.Project(q); rad[2 + i] = p.r_shoulder * r.In(0.7f, 1.2f) * e.ScaleAt(q);
      }
      v[4] = e.Project(k.neck); rad[4] = 0.03f * e.scale;
      const float depth = Max(trunk + 0.05f, Max(e.Depth(Mix(k.shoulder[0], k.elbow[0], 0.5f)), e.Depth(Mix(k.shoulder[1], k.elbow[1], 0.5f))) + 0.05f);
      if (Dot(Unit(k.elbow[0] - k.shoulder[0]), c.y) > 0.2f || Dot(Unit(k.elbow[1] - k.shoulder[1]), c.y) > 0.2f) return;  // not over raised arms
      e.Begin(Min(depth, trunk + 0.12f), col, look.ink, look.width, 1);
      e.Hull(v, rad, 5);
      if (facing > 0.2f && r.Chance(0.6f)) { const V2 cut[3] = {e.Project(k.pit + c.y * 0.01f), e.Project(Mix(k.waist, k.pit, -0.1f) + c.x * (p.chest * 0.6f)), e.Project(Mix(k.waist, k.pit, -0.1f) - c.x * (p.chest * 0.6f))}; e.Polygon(cut, 3, kCut); }
      if (r.Chance(0.4f)) for (int j = 0; j < 9; ++j) { const V2 q = Mix(v[2], v[3], j / 8.0f); e.Capsule(q, 0.018f * e.scale, q + V2{0.1f, r.In(0, 0.03f) * e.scale}, r.In(0.004f, 0.016f) * e.scale); }  // fringe
      Patterned(e.Now(), r, look.pattern);
      BeginMarks(e.Now().depth + 1e-3f, FoldColour(col));
      for (int j = 0; j < 4; ++j) Mark(Mix(v[0], v[1], r.F()), Mix(v[2], v[3], r.F()), r.Bell(0.1f), FoldWidth());
    } else if (kind == 4) {  // ruff, sailor's collar, a large bow
      const int form = r.Below(3);
      e.Begin(trunk + (form == 1 ? 3e-3f : 9.8e-3f), r.Chance(0.6f) && !look.InLine() ? Colour{0.95f, 0.95f, 0.95f} : col, look.ink, look.width, 1);
      if (form == 0) {
        const float w = p.shoulder * r.In(0.5f, 1.05f);
        e.Ellipsoid(k.neck + c.y * 0.015f, c, {w, r.In(0.015f, 0.035f), w * 0.9f});
        BeginMarks(trunk + 9.9e-3f, Lined() ? look.ink : Colour{0.6f, 0.6f, 0.62f});
        for (int j = 0; j < 7; ++j) { const float t = (j - 3) * 0.45f; Mark(e.Project(k.neck + c.x * (sinf(t) * w * 0.4f) + c.z * (cosf(t) * w * 0.4f * sign) + c.y * 0.015f), e.Project(k.neck + c.x * (sinf(t) * w) + c.z * (cosf(t) * w * sign) + c.y * 0.01f), 0, FoldWidth() * 0.7f); }
      } else if (form == 1) {
        const float w = p.shoulder * r.In(0.6f, 1.1f), d = p.trunk * r.In(0.12f, 0.35f);
        const V2 v[6] = {e.Project(k.neck + c.x * (w * 0.35f)), e.Project(k.neck + c.x * w - c.y * 0.02f), e.Project(k.neck + c.x * (w * 0.9f) - c.y * d + out), e.Project(k.neck - c.x * (w * 0.9f) - c.y * d + out), e.Project(k.neck - c.x * w - c.y * 0.02f), e.Project(k.neck - c.x * (w * 0.35f))};
        e.Polygon(v, 6);
      } else {
        const V3 at = (r.Chance(0.5f) ? k.pit : k.waist - m.y * 0.01f) + out * 1.1f;
        const float w = r.In(0.05f, 0.14f);
        for (int j = -1; j <= 1; j += 2) { e.Capsule(at, 0.01f, at + c.x * (j * w) + c.y * r.In(0.0f, 0.04f), w * 0.32f); e.Capsule(at, 0.008f, at + c.x * (j * w * r.In(0.3f, 0.8f)) - c.y * r.In(0.05f, 0.3f), 0.014f); }
      }
    } else if (kind == 5) {  // sash across, epaulettes
      const V3 a = k.shoulder[s0] + c.y * (p.r_shoulder * 0.6f) - c.x * (side * p.shoulder * 0.2f), q = k.waist - m.x * (side * p.waist * 0.9f);
      const V2 l[3] = {e.Project(a), e.Project(Mix(a, q, 0.5f) + out * 1.05f), e.Project(q)};
      V2 o2[7];
      e.Curve(l, 3, o2, 7);
      const float w = r.In(0.01f, 0.025f) * e.scale;
      e.Begin(trunk + 4.5e-3f, col, look.ink, look.width * 0.8f);
      for (int j = 0; j < 6; ++j) e.Capsule(o2[j], w, o2[j + 1], w);
      if (r.Chance(0.6f)) for (int i = 0; i < 2; ++i) {
        const V3 at = k.shoulder[i] + c.y * (p.r_shoulder * 0.7f);
        e.Begin(Max(trunk, ArmDepth(i) - 0.02f) + 0.045f, col, look.ink, look.width * 0.8f, 0.5f);
        e.Ellipsoid(at, c, {p.r_shoulder * 1.1f, 0.012f, p.r_shoulder});
        for (int j = -2; j <= 2; ++j) e.Capsule(at + c.x * (j * p.r_shoulder * 0.4f), 0.005f, at + c.x * (j * p.r_shoulder * 0.42f) - c.y * 0.03f, 0.004f);
      }
    } else if (kind == 6) {  // belt with pouches, a bunch of things at the hip
      const V3 at = Mix(k.root, k.waist, r.In(0.1f, 0.8f));
      const float h = r.In(0.008f, 0.02f);
      e.Begin(trunk + 9e-3f, col, look.ink, look.width * 0.8f);
      e.Capsule(at + b.x * (p.pelvis * 1.05f) - b.y * r.In(0, 0.02f), h, at - b.x * (p.pelvis * 1.05f), h);
      const int n = 1 + r.Below(4);
      for (int j = 0; j < n; ++j) {
        const float x = r.In(-1, 1), l = r.In(0.03f, 0.14f), w = r.In(0.012f, 0.035f);
        const V3 q = at + b.x * (x * p.pelvis) + b.z * (p.chest_depth * sign * sqrtf(Max(0, 1 - x * x)));
        e.Begin(trunk + 0.03f + j * 1e-3f, r.Chance(0.6f) ? col : Some(), look.ink, look.width * 0.9f, 1);
        e.Capsule(q, w * 0.8f, q - b.y * l, w);
      }
    } else {  // tabard, a long panel before and behind
      const float l = r.In(0.4f, 1.7f), w = p.waist * r.In(0.35f, 0.8f);
      const V3 on = l < 1 ? Mix(k.hip[0] + k.hip[1], k.knee[0] + k.knee[1], l) * 0.5f : Mix(k.knee[0] + k.knee[1], k.ankle[0] + k.ankle[1], l - 1) * 0.5f;
      const V3 top = r.Chance(0.5f) ? k.pit + out : k.waist + out;
      const float depth = Max(trunk + 5e-3f, facing > 0 ? Max(e.Depth(k.knee[0]), e.Depth(k.knee[1])) * (l > 0.8f ? 1 : 0) + 5e-3f : trunk + 5e-3f);
      const V2 v[6] = {e.Project(top + c.x * w), e.Project(k.waist + m.x * w + out), e.Project(on + b.x * (w * r.In(0.8f, 1.5f)) + out), e.Project(on - b.y * r.In(-0.01f, 0.05f) + out), e.Project(on - b.x * (w * r.In(0.8f, 1.5f)) + out), e.Project(k.waist - m.x * w + out)};
      const V2 last = e.Project(top - c.x * w);
      const V2 q[7] = {v[0], v[1], v[2], v[3], v[4], v[5], last};
      e.Begin(Min(depth, trunk + 0.018f), col, look.ink, look.width);
      e.Polygon(q, 7);
      Patterned(e.Now(), r, look.pattern + 0.1f);
    }
  }
  AL_BOTH float KneeDepth(int i) const { return e.Depth(k.knee[i]); }
};

}  // namespace drawer
