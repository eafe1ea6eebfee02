// Seats without a back, bars to hang from, burdens, what is held in sport and in old age.
#pragma once
#include "stage.h"

namespace drawer {

AL_LARGE void StagePainter::Perch() {
  const Proportions& p = k.p;
  const V3 forth = e.View(k.stage.z), aside = e.View(k.stage.x);
  const bool profile = fabsf(aside.z) > 0.55f, behind = forth.z < -0.15f;
  const float y = -p.r_thigh * 1.05f, z1 = p.thigh * r.In(0.3f, 0.85f), z0 = -Max(p.chest_depth, p.r_thigh) - r.In(0.0f, 0.15f), low = k.ground;
  const float w = Max(p.pelvis * r.In(1.1f, 1.6f), 0.08f), mid = (z0 + z1) * 0.5f, half = (z1 - z0) * 0.5f, bar = r.In(0.008f, 0.025f);
  const float d = behind ? trunk - 0.03f : trunk - 0.1f;
  // A wall of the silhouette's colour would swallow the shins before it.
  int kind = r.Below(6);
  if (look.simple && !profile && kind < 2) kind = 2 + r.Below(2);
  if (kind == 0) {
    Box(At(0, (y + low) * 0.5f, mid), k.stage, {w, (y - low) * 0.5f, half}, d, main, 0.3f);
  } else if (kind == 1) {  // a wall, long one way or the other
    const bool long_x = !look.simple && !(profile && r.Chance(0.5f));
    const float shift = r.Bell(0.2f);
    Box(At(long_x ? shift : 0, (y + low) * 0.5f, long_x ? mid : z1 - 0.5f), k.stage, long_x ? V3{r.In(0.4f, 1), (y - low) * 0.5f, half} : V3{w, (y - low) * 0.5f, 0.5f}, d, main, 0.4f);
  } else if (kind < 4) {  // a bench: a plank on legs or on two blocks
    const float l = w + r.In(0, 0.4f), t = r.In(0.008f, 0.025f), shift = r.Bell(0.08f);
    Box(At(shift, y - t, mid), k.stage, {l, t, half}, d, main, 0.3f);
    for (int i = -1; i <= 1; i += 2)
      for (int j = 0; j < 2; ++j) {
        const V3 a = At(shift + i * l * 0.85f, y - t, j ? z1 * 0.85f : z0 * 0.85f), b = At(shift + i * l * 0.85f, low, j ? z1 * 0.85f : z0 * 0.85f);
        Bar(a, b, bar, (e.Depth(a) > trunk ? d : d - 0.05f) - 1e-3f, kind == 2 ? main : second);
      }
    if (r.Chance(0.3f)) {  // its back
      const float up = p.trunk * r.In(0.35f, 0.9f), bd = forth.z > 0 ? trunk - 0.12f : trunk + 0.012f;
      for (int i = -1; i <= 1; i += 2) Bar(At(shift + i * l * 0.85f, y, z0), At(shift + i * l * 0.85f, y + up, z0 - 0.02f), bar, bd - 1e-3f, main);
      for (int j = 1; j <= 2; ++j) Bar(At(shift - l, y + up * j * 0.48f, z0 - 0.01f), At(shift + l, y + up * j * 0.48f, z0 - 0.01f), bar * r.In(1, 2), bd, main);
    }
  } else if (kind == 4) {  // a rock, a barrel, a ball
    Begin(d, main, 3);
    const float h = (y - low) * 0.5f;
    e.Ellipsoid(At(0, low + h, mid), k.stage, {Max(w, h * 0.8f), h, Max(half, h * 0.8f)});
    if (r.Chance(0.5f)) e.Ellipsoid(At(w * r.Bell(0.4f), low + h * 0.6f, mid), k.stage, {w * 1.4f, h * 0.6f, half * 1.3f});
    if (!look.simple) Patterned(e.Now(), r, 0.3f);
  } else {
    Chair();
  }
}

// A load that hides part of shoulders, nape and head.
AL_LARGE void StagePainter::Burden() {
  const Axes& c = k.chest;
  const int kind = static_cast<int>(k.at[2].x);
  const V3 at = At(k.at[0]), h = k.at[1], back = e.View(c.z);
  const float head = e.Depth(k.skull), there = e.Depth(at);
  const float over = Max(Max(there, head + 0.05f), trunk + 0.03f), under = Min(trunk - 0.02f, there);
  if (kind >= 3) {  // log, beam, plank; a yoke with pails
    const V3 u = k.stage * k.at[3];
    const float before = r.In(0.25f, 0.6f), after = kind == 3 ? r.In(0.2f, 0.7f) : before, thick = kind == 3 ? r.In(0.018f, 0.06f) : r.In(0.01f, 0.02f);
    const float d = kind == 3 ? (e.View(u).z > 0.3f || there > head ? Max(there, trunk + 0.02f) : Min(there, trunk - 0.01f)) : back.z > 0 ? trunk - 0.01f : Max(there, trunk + 0.02f);
    Begin(d, main);
    e.Capsule(at - u * after, thick, at + u * before, thick * r.In(0.8f, 1));
    if (!look.simple) Patterned(e.Now(), r, 0.3f);
    if (kind == 3 && !look.simple && thick > 0.025f) {  // its cut end
      const V3 end = e.View(u).z > 0 ? at + u * before : at - u * after;
      Begin(d + 1e-4f, second);
      e.Ellipsoid(end, {Across(k.stage.y, u), u, Unit(Cross(u, k.stage.y))}, {thick, 0.002f, thick});
    }
    if (kind == 4) for (int j = -1; j <= 1; j += 2) {
      const V3 from = at + u * (j * before * 0.92f), rim = from - V3{0, r.In(0.1f, 0.3f), 0};
      const float b = r.In(0.04f, 0.08f), pd = e.Depth(from) > trunk ? Max(e.Depth(from), trunk + 0.03f) : trunk - 0.05f;
      const V2 rope[3] = {e.Project(rim + k.stage.x * b), e.Project(from), e.Project(rim - k.stage.x * b)};
      Stroke(e, pd, look.simple ? look.skin : Lined() ? look.ink : second, rope, 3, Max(line * 0.8f, 0.8f));
      Begin(pd + 1e-3f, second);
      e.Capsule(rim - V3{0, b * 0.5f, 0}, b, rim - V3{0, b * 1.6f, 0}, b * 0.8f);
      if (!look.simple) Patterned(e.Now(), r, 0.2f);
    }
    return;
  }
  const float d = kind == 2 ? Max(there, head + 0.03f) : kind == 0 ? (there > head - 0.02f ? over : Min(head - 0.02f, there)) : back.z > 0.1f ? under : over;
  const int what = r.Below(4);
  const Axes m = kind == 2 ? k.head : c * TurnZ(r.Bell(0.15f)) * TurnX(r.Bell(0.15f));
  if (what == 0) {
    Box(at, m, h, d, main, 0.4f);
  } else if (what == 1) {  // sack
    Begin(d, main, 5);
    e.Ellipsoid(at, m, {h.x * 1.1f, h.y * 1.1f, h.z * 1.1f});
    e.Ellipsoid(at - m.y * (h.y * 0.3f) + m.x * (h.x * r.Bell(0.3f)), m, {h.x * 1.2f, h.y * 0.8f, h.z * 1.15f});
    const V3 tie = at + m.x * (h.x * r.Sign() * r.In(0.9f, 1.3f)) + m.y * (h.y * 0.5f);
    if (r.Chance(0.6f)) { e.Capsule(at, h.y * 0.5f, tie, 0.012f); e.Capsule(tie, 0.012f, tie + (tie - at) * 0.25f, 0.025f); }
    if (!look.simple) Patterned(e.Now(), r, 0.2f);
    if (o.folds > 0) { BeginMarks(d + 1e-4f, FoldColour(main)); const V2 from = e.Project(tie); Fan(from, e.Project(at) - from, 1.1f, 3 + r.Below(3), h.y * e.scale); }
  } else if (what == 2) {  // barrel, roll
    const V3 u = kind == 2 && r.Chance(0.6f) ? m.y : r.Chance(0.6f) ? m.x : m.z;
    const float l = r.In(0.07f, 0.15f), b = Max(h.y, 0.05f);
    Begin(d, main, 2);
    e.Capsule(at - u * l, b * 0.85f, at, b);
    e.Capsule(at, b, at + u * l, b * 0.85f);
    if (!look.simple) {
      Patterned(e.Now(), r, 0.3f);
      BeginMarks(d + 1e-4f, Lined() ? look.ink : Dim(main, 0.5f));
      const V2 a0 = e.Project(at), n0 = e.Project(at + u) - a0;
      const float n = Length(n0) + 1e-3f;
      for (int j = -1; j <= 1; j += 2) { const V2 q = e.Project(at + u * (j * l * 0.6f)), s = V2{-n0.y, n0.x} * (b * 0.9f * e.scale / n); Mark(q - s, q + s, 0.12f * j, Max(look.width, 0.8f)); }
    }
  } else {  // bundle of sticks, rolled mat
    const V3 u = kind == 1 ? m.x : m.z;
    const int n = 4 + r.Below(4);
    for (int j = 0; j < n; ++j) { const V3 q = at + m.y * (h.y * r.In(-0.8f, 0.8f)) + (kind == 1 ? m.z : m.x) * (h.x * r.In(-0.6f, 0.6f)); Bar(q - u * r.In(0.15f, 0.3f), q + u * r.In(0.15f, 0.3f), r.In(0.012f, 0.035f), d + j * 1e-4f, j % 2 ? main : second); }
  }
}

// What one hangs from: a bar between ropes or posts, a branch.
AL_LARGE void StagePainter::Bars() {
  const V3 at = k.at[0];
  const float half = r.In(0.18f, 0.6f), bar = r.In(0.006f, 0.016f), there = e.Depth(At(at)), d = fabsf(there - trunk) < 0.02f ? trunk - 0.012f : there - 0.01f;
  const V3 up{0, 1, 0}, l = At(at.x - half, at.y, at.z), rt = At(at.x + half, at.y, at.z);
  const int kind = r.Below(4);
  if (kind == 0) for (int j = 0; j < 2; ++j) Bar(j ? l : rt, (j ? l : rt) + up * r.In(0.3f, 0.8f), 0.004f, d - 1e-3f, second);        // trapeze
  else if (kind == 1) for (int j = 0; j < 2; ++j) Bar(j ? l : rt, (j ? l : rt) - up * r.In(0.6f, 1.4f), bar, d - 1e-3f, main);         // posts
  else if (kind == 2) { Bar(l - (rt - l) * 2.0f, rt + (rt - l) * 2.0f, bar * r.In(1, 2.5f), d, main); return; }
  Bar(l, rt, bar, d, main);
}

AL_BOTH void StagePainter::Cane() {
  const V3 at = At(k.at[0]), u = At(k.at[1]);
  const float bar = r.In(0.005f, 0.012f), there = e.Depth(at), d = there > trunk - 0.02f ? Max(there + 0.03f, trunk + 0.022f) : there + 0.02f;
  const float drop = Clamp((at.y - k.ground) / Max(-u.y, 0.3f), 0.08f, 1);
  Bar(at - u * 0.02f, at + u * drop, bar, d, main);
  if (r.Chance(0.5f)) { const V3 back = k.stage.z * -0.05f; Bar(at - u * 0.02f, at - u * 0.02f + back, bar, d, main); }
}

AL_BOTH void StagePainter::Foil() {
  const int i = k.at[0].y > 0 ? 0 : 1;
  const V3 at = Mix(k.wrist[i], k.tip[i], 0.6f), u = Unit(k.wrist[i] - k.elbow[i] + k.stage.y * r.Bell(0.1f));
  const float d = e.Depth(k.wrist[i]) > trunk - 0.02f ? Max(e.Depth(at), trunk) + 0.03f : e.Depth(at) + 0.02f;
  Bar(at - u * 0.02f, at + u * k.at[0].z, r.In(0.003f, 0.009f), d, main);
  if (r.Chance(0.6f)) { Begin(d + 1e-3f, second); e.Ellipsoid(at + u * 0.025f, {Across(k.stage.x, u), u, Unit(Cross(Across(k.stage.x, u), u))}, {0.028f, 0.012f, 0.028f}); }
}

AL_BOTH void StagePainter::Ball() {
  const V3 at = At(k.at[0]);
  const float b = k.at[1].y, d = e.Depth(at) > trunk ? Max(e.Depth(at), trunk + 0.03f) : trunk - 0.12f;
  Begin(d, look.simple ? look.skin : second);
  e.Ellipsoid(at, k.stage, {b, b, b});
  if (!look.simple) Patterned(e.Now(), r, 0.4f);
}

}  // namespace drawer
