// Cloaks, capes and ponchos.
#pragma once
#include "trunk.h"

namespace drawer {

struct CloakPainter : TrunkPainter {
  AL_BOTH explicit CloakPainter(const TrunkPainter& t) : TrunkPainter(t) {}

  // Cloth from the shoulders with a waving hem. `front`: before the body, so that arms and legs are partly covered.
  AL_LARGE void Cloak() {
    const Proportions& p = k.p;
    const float facing = e.View(k.chest.z).z;
    const bool front = r.Chance(0.35f);
    const float l = front ? r.In(0.15f, 1.5f) : r.In(0.4f, 2.0f), f = r.In(0.02f, front ? 0.18f : 0.3f), blow = r.Chance(0.4f) ? r.Bell(0.25f) : 0, back = front ? r.In(-0.02f, 0.05f) : -r.In(0.02f, 0.2f);
    V2 up[2], low[2];
    for (int i = 0; i < 2; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f;
      const V3 on = l < 1 ? Mix(k.hip[i], k.knee[i], l) : Mix(k.knee[i], k.ankle[i], l - 1);
      const V3 hem = Mix(on, k.root + V3{0, -1, 0} * (l * 0.25f), 0.4f) + k.pelvis.x * (side * (f + 0.03f)) + k.chest.z * back + V3{blow * l, fabsf(blow) * l * 0.3f, 0};
      up[i] = e.Project(k.shoulder[i] + k.chest.x * (side * p.r_shoulder * (front ? 1.2f : 0.7f)) + k.chest.y * (p.r_shoulder * 0.6f));
      low[i] = e.Project(hem);
    }
    const V2 neck = e.Project(k.neck + k.chest.y * 0.01f), fall = Mix(low[0], low[1], 0.5f) - Mix(up[0], up[1], 0.5f);
    const float fl = Length(fall) + 1e-3f, span = Length(low[0] - low[1]), bow = r.In(0, 0.2f), wave = r.In(0, 0.07f), count = 1 + r.In(0, 4), ph = r.In(0, kTau), belly = r.In(-0.05f, 0.12f);
    const V2 down = fall * (1 / fl);
    auto hem = [&](float x) { return Mix(low[0], low[1], x) + down * (span * (4 * x * (1 - x) * bow + wave * sinf(kTau * count * x + ph))); };
    V2 v[kPolygon];
    int m = 0;
    v[m++] = neck;
    for (int i = 0; i < 2; ++i) {
      const V2 out = i == 0 ? (low[0] - low[1]) * (1 / (span + 1e-3f)) : (low[1] - low[0]) * (1 / (span + 1e-3f));
      const V2 side[4] = {up[i], Mix(up[i], low[i], 0.33f) + out * (belly * fl), Mix(up[i], low[i], 0.67f) + out * (belly * 0.7f * fl), low[i]};
      if (i == 0) {
        for (int j = 0; j < 4; ++j) v[m++] = side[j];
        for (int j = 1; j < 12; ++j) v[m++] = hem(j / 12.0f);
      } else {
        for (int j = 3; j >= 0; --j) v[m++] = side[j];
      }
    }
    const float depth = front == (facing > 0) ? trunk + (front ? r.In(0.03f, 0.25f) : 0.05f) : trunk - 0.3f;
    const Colour c = r.Chance(0.7f) ? look.accent : look.top;
    e.Begin(depth, c, look.ink, look.width);
    e.Polygon(v, m);
    if (front && facing > 0 && r.Chance(0.7f)) {  // stands open, or is thrown over one shoulder
      const float x = r.In(0.25f, 0.75f), w = r.In(0.1f, 0.5f);
      const V2 cut[4] = {neck + down * (0.04f * e.scale), hem(Clamp(x - w, -0.1f, 1)) + down * (0.2f * span), hem(x) + down * (0.3f * span), hem(Clamp(x + w, 0, 1.1f)) + down * (0.2f * span)};
      e.Polygon(cut, 4, kCut);
    }
    Patterned(e.Now(), r, look.pattern);
    if (look.simple) return;
    if (o.wavy_hem && r.Chance(0.5f)) {  // the inside shows where the hem turns up
      e.Begin(depth - 1e-3f, Dim(c, r.In(0.45f, 0.8f)), look.ink, look.width);
      const V2 in[6] = {Mix(up[0], low[0], 0.7f), low[0], hem(0.3f) + down * (0.05f * span), hem(0.7f) + down * (0.06f * span), low[1], Mix(up[1], low[1], 0.7f)};
      e.Polygon(in, 6);
    }
    BeginMarks(depth + 1e-4f, FoldColour(c));
    const int n = 2 + r.Below(6);
    for (int j = 0; j < n; ++j) {
      const float x = r.In(0.05f, 0.95f);
      const V2 a = Mix(Mix(up[0], up[1], x), neck, 0.4f), b = hem(x);
      Mark(r.Chance(0.6f) ? b : Mix(a, b, 0.7f), Mix(a, b, r.In(0.05f, 0.5f)), r.Bell(0.05f), FoldWidth() * r.In(0.8f, 1.3f));
    }
    if (front && r.Chance(0.4f)) {  // clasp
      const V3 at = k.pit + k.chest.z * p.chest_depth;
      e.Begin(depth + 1e-3f, look.ink, look.ink, 0);
      e.Capsule(at, 0.012f, at + k.chest.x * 1e-3f, 0.012f);
    }
  }
};

}  // namespace drawer
