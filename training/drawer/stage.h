// What staged figures ride, sit on, lean on, carry and wear (acts.h), in three dimensions.
#pragma once
#include "acts.h"
#include "painting.h"

namespace drawer {

struct StagePainter : Painting {
  Colour main, second;
  float line;      // outline of things
  bool wire;       // bars are single strokes of ink

  AL_BOTH explicit StagePainter(const Painting& p) : Painting(p) {
    main = Tone();
    second = Tone();
    line = look.width > 0 ? Max(look.width * r.In(0.6f, 1), 0.5f) : 0;
    wire = !look.simple && (Lined() ? r.Chance(0.25f) : r.Chance(0.1f));
  }
  AL_BOTH Colour Tone() {
    if (look.simple) return look.skin;
    if (look.InLine()) return r.Chance(0.2f) ? look.ink : look.accent;
    if (r.Chance(0.3f)) return Mix(Colour{0.25f, 0.15f, 0.08f}, Colour{0.8f, 0.6f, 0.4f}, r.F());  // wood
    if (r.Chance(0.3f)) { const float g = r.In(0.05f, 0.6f); return {g, g, g}; }
    return RandomColour(r);
  }
  AL_BOTH V3 At(float x, float y, float z) const { return k.stage * V3{x, y, z}; }
  AL_BOTH V3 At(V3 v) const { return k.stage * v; }
  // Things in the middle of the body go between its legs, the others where they are.
  AL_BOTH float Between(V3 at) const { const float d = e.Depth(at); return fabsf(d - trunk) < 0.09f ? trunk - 0.03f : d; }
  AL_BOTH void Begin(float depth, Colour c, float blend = 0) { e.Begin(depth, c, look.ink, line, blend); }
  AL_LARGE void Bar(V3 a, V3 b, float radius, float depth, Colour c) {
    if (wire) { e.Begin(depth, look.ink, look.ink, 0); radius = Max(look.width, 0.8f) * 0.6f / e.scale; }
    else Begin(depth, c);
    e.Capsule(a, radius, b, radius);
  }
  AL_BOTH void Bar(V3 a, V3 b, float radius) { Bar(a, b, radius, Between(Mix(a, b, 0.5f)), main); }
  AL_LARGE void Slab(V3 middle, V3 x, V3 y, float depth, Colour c) {
    const V2 v[4] = {e.Project(middle - x - y), e.Project(middle + x - y), e.Project(middle + x + y), e.Project(middle - x + y)};
    Begin(depth, c);
    e.Polygon(v, 4);
  }
  AL_LARGE void Box(V3 middle, Axes m, V3 h, float depth, Colour c, float pattern) {
    const V3 n[3] = {m.x, m.y, m.z}, half[3] = {m.x * h.x, m.y * h.y, m.z * h.z};
    for (int j = 0; j < 3; ++j) {
      const float s = e.View(n[j]).z > 0 ? 1.0f : -1.0f;
      Slab(middle + half[j] * s, half[(j + 1) % 3], half[(j + 2) % 3], depth + j * 1e-4f, look.simple || look.InLine() ? c : Dim(c, 1 - 0.18f * j));
      if (!look.simple) Patterned(e.Now(), r, pattern);
    }
  }
  AL_LARGE void Wheel(V3 hub, float radius, float thick, float depth, bool spokes) {
    const Axes& m = k.stage;
    Begin(depth, look.InLine() ? second : look.simple ? look.skin : Dim(second, 0.35f));
    e.Ellipsoid(hub, Axes{m.z, m.y, m.x}, {radius, radius, thick * 0.5f});
    e.Ellipsoid(hub, Axes{m.z, m.y, m.x}, {radius - thick, radius - thick, thick * 0.5f}, kCut);
    if (fabsf(e.View(m.x).z) < 0.25f) return;
    const int n = 4 + r.Below(5);
    if (spokes) { BeginMarks(depth - 1e-3f, look.simple ? look.skin : Lined() ? look.ink : second); for (int j = 0; j < n; ++j) { const float t = j * kTau / 2 / n + 0.3f; const V3 d = (m.z * cosf(t) + m.y * sinf(t)) * (radius - thick); e.Capsule(hub - d, 0.0015f, hub + d, 0.0015f); } }
    Begin(depth + 1e-3f, main);
    e.Capsule(hub, thick * 0.8f, hub, thick * 0.79f);
  }
  AL_LARGE void Cycle() {
    const float l = k.p.thigh + k.p.shin, bar = r.In(0.006f, 0.014f), ground = k.ground, radius = l * r.In(0.32f, 0.42f), thick = r.In(0.012f, 0.03f);
    const V3 crank = k.at[2], grip = k.at[0];
    const V3 rear{0, ground + radius, crank.z - radius - l * r.In(0.08f, 0.2f)}, front{0, ground + radius, Max(grip.z + l * r.In(0.02f, 0.2f), crank.z + radius + 0.25f * l)};
    const V3 saddle{0, -k.p.r_thigh * 1.15f, -0.02f}, head = Mix(grip, front, r.In(0.25f, 0.4f)), tube = Mix(crank, saddle, 0.8f);
    const float d = Between(At(crank));
    Wheel(At(rear), radius, thick, fabsf(e.Depth(At(rear)) - trunk) < 0.15f ? trunk - 0.04f : e.Depth(At(rear)), r.Chance(0.7f));
    Wheel(At(front), radius, thick, fabsf(e.Depth(At(front)) - trunk) < 0.15f ? trunk - 0.04f : e.Depth(At(front)), r.Chance(0.7f));
    Bar(At(crank), At(saddle), bar, d, main);
    if (r.Chance(0.6f)) Bar(At(tube), At(head), bar, d, main);
    Bar(At(crank), At(head), bar, d, main);
    Bar(At(crank), At(rear), bar * 0.8f, d, main);
    Bar(At(tube), At(rear), bar * 0.8f, d, main);
    Bar(At(head), At(front), bar, Between(At(Mix(head, front, 0.5f))), main);
    Bar(At(head), At(grip), bar, Between(At(Mix(head, grip, 0.5f))), main);
    Handlebar(bar);
    Begin(trunk - 0.031f, second, 1);
    e.Capsule(At(saddle + V3{0, 0, -0.04f}), 0.022f, At(saddle + V3{0, 0, 0.05f}), 0.01f);
    for (int i = 0; i < 2; ++i) {
      const float pd = e.Depth(At(k.at[3 + i])) > trunk ? trunk + 1e-3f : trunk - 0.09f;
      Bar(At(V3{k.at[3 + i].x * 0.5f, crank.y, crank.z}), At(k.at[3 + i]), bar * 0.7f, pd, second);
      Bar(At(k.at[3 + i] + V3{-0.025f, 0, 0}), At(k.at[3 + i] + V3{0.025f, 0, 0}), 0.008f, pd, second);
    }
    if (r.Chance(0.3f)) { const V3 b = At(grip + V3{0, -0.06f, 0.07f}); Box(b, k.stage, {0.07f, 0.05f, 0.05f}, Between(b) + 5e-3f, second, 0.4f); }
  }
  AL_BOTH void Handlebar(float bar) {
    const V3 g = k.at[0], w = k.at[1];
    Bar(At(g - w), At(g + w), bar, e.Depth(At(g)) - 0.01f, second);
  }
  AL_BOTH void Scooter() {
    const float bar = r.In(0.008f, 0.018f), y = k.ground + 0.02f, z1 = k.at[0].z * r.In(0.8f, 1.2f), z0 = -0.22f, radius = r.In(0.02f, 0.06f);
    Bar(At({0, y, z0}), At({0, y, z1}), bar * 1.3f, trunk - 0.03f, main);
    Bar(At({0, y, z1}), At(k.at[0]), bar, Between(At(Mix(V3{0, y, z1}, k.at[0], 0.5f))), main);
    Handlebar(bar);
    for (int j = 0; j < 2; ++j) {
      const V3 hub = At({0, k.ground - radius * 0.3f, (j ? z1 : z0)});
      Wheel(hub, radius, radius * 0.5f, Between(hub), false);
    }
  }
  AL_BOTH void Board() {
    const V3 u = Unit(k.ankle[0] - k.ankle[1]), foot = Mix(Mix(k.heel[0], k.toe[0], 0.5f), Mix(k.heel[1], k.toe[1], 0.5f), 0.5f), down = k.stage.y * -1.0f;
    const float half = Length(k.ankle[0] - k.ankle[1]) * 0.5f + r.In(0.06f, 0.16f), t = r.In(0.008f, 0.02f);
    const V3 m = foot + down * (t + 0.008f), tail = down * -r.In(0, 0.05f);
    const float d = Min(trunk, e.Depth(m)) - 0.05f;
    Begin(d, main, 2);
    e.Capsule(m - u * half, t, m + u * half, t);
    e.Capsule(m + u * half, t, m + u * (half + 0.06f) + tail, t * 0.8f);
    e.Capsule(m - u * half, t, m - u * (half + 0.06f) + tail, t * 0.8f);
    const V3 z = k.stage.z;
    if (fabsf(e.View(z).y) > 0.1f) Slab(m, u * half, z * 0.05f, d - 1e-3f, main);
    if (r.Chance(0.7f)) for (int j = 0; j < 4; ++j) {
      const V3 w = m + u * ((j < 2 ? 1 : -1) * half * 0.75f) + z * (j % 2 ? 0.035f : -0.035f) + down * 0.025f;
      Begin(d + (j % 2 ? 1e-3f : -1e-3f), second);
      e.Capsule(w, 0.02f, w, 0.0199f);
    }
  }
  // A board on legs, or a block.
  AL_LARGE void Chair() {
    const Proportions& p = k.p;
    const bool astride = r.Chance(0.1f);
    const float w = Max(p.pelvis * r.In(1.1f, 1.5f), 0.08f), y = -p.r_thigh * 1.15f, z0 = astride ? 0.3f : -p.chest_depth - r.In(0.02f, 0.06f), z1 = astride ? -0.1f : (p.thigh * r.In(0.5f, 0.9f));
    const float bar = r.In(0.006f, 0.02f), back = p.trunk * r.In(0.5f, 1.25f), lean = (z0 < z1 ? -1 : 1) * r.In(0, 0.08f), spread = r.In(0, 0.03f);
    auto depth = [&](V3 v) { const float q = e.Depth(v) - 0.02f; return q > trunk - 0.02f && q < trunk + 0.05f ? trunk - 0.08f : q; };
    const V3 zs = k.stage.z * ((z1 - z0) * 0.5f), xs = k.stage.x * w, mid = At(0, y - 0.015f, (z0 + z1) * 0.5f);
    Slab(mid, xs, zs, trunk - 0.1f, main);
    Begin(trunk - 0.099f, main);
    e.Capsule(At(-w, y - 0.015f, z1), 0.012f, At(w, y - 0.015f, z1), 0.012f);
    for (int i = -1; i <= 1; i += 2)
      for (int j = 0; j < 2; ++j) { const V3 a = At(i * w, y - 0.015f, j ? z1 : z0), b = At(i * (w + spread), k.ground, (j ? z1 : z0) + (j ? spread : -spread)); Bar(a, b, bar, depth(Mix(a, b, 0.5f)), main); }
    if (r.Chance(0.5f)) for (int i = -1; i <= 1; i += 2) { const V3 a = At(i * w, Mix(y, k.ground, 0.6f), z0), b = At(i * w, Mix(y, k.ground, 0.6f), z1); Bar(a, b, bar * 0.7f, depth(Mix(a, b, 0.5f)) - 1e-3f, main); }
    if (r.Chance(0.12f)) return;  // a stool
    const V3 top0 = At(w, y + back, z0 + lean), top1 = At(-w, y + back, z0 + lean), low0 = At(w, y, z0), low1 = At(-w, y, z0);
    const float bd = e.Depth(Mix(top0, low1, 0.5f)) > trunk ? Max(trunk + 0.012f, e.Depth(Mix(top0, low1, 0.5f))) : Min(trunk - 0.05f, e.Depth(Mix(top0, low1, 0.5f)));
    const int kind = r.Below(4);
    if (kind == 0) { const V2 v[4] = {e.Project(top0), e.Project(top1), e.Project(low1), e.Project(low0)}; Begin(bd - 1e-3f, second); e.Polygon(v, 4); if (!look.simple) Patterned(e.Now(), r, 0.3f); }
    Bar(low0, top0, bar, bd, main);
    Bar(low1, top1, bar, bd, main);
    Bar(top0, top1, bar * r.In(1, 2), bd, main);
    const int n = 2 + r.Below(4);
    if (kind == 1) for (int j = 1; j < n; ++j) Bar(Mix(low0, low1, j / (n + 0.0f)), Mix(top0, top1, j / (n + 0.0f)), bar * 0.7f, bd - 1e-3f, main);
    if (kind == 2) for (int j = 1; j < n; ++j) Bar(Mix(low0, top0, j / (n + 0.0f)), Mix(low1, top1, j / (n + 0.0f)), bar, bd - 1e-3f, main);
    if (r.Chance(0.25f)) for (int i = -1; i <= 1; i += 2) {  // arms of the chair
      const float ya = y + p.trunk * 0.4f;
      const V3 a = At(i * w, ya, z0), b = At(i * w, ya, z1 * 0.8f), c = At(i * w, y, z1 * 0.8f);
      const float d = e.Depth(b) > trunk ? Max(e.Depth(b), trunk + 0.015f) : Min(e.Depth(b), trunk - 0.06f);
      Bar(a, b, bar, d, main);
      Bar(b, c, bar, d, main);
    }
  }
  AL_BOTH void Ladder() {
    const float w = k.at[0].x, z = k.at[0].z, lean = r.In(-0.05f, 0.15f), bar = r.In(0.006f, 0.018f), low = k.ground - r.In(0.05f, 0.3f), high = k.pit.y + r.In(0.3f, 0.7f), step = r.In(0.09f, 0.15f);
    auto on = [&](float x, float y) { return At(x, y, z + lean * y * 0.3f); };
    const float d = e.Depth(on(0, 0)) + (e.View(k.stage.z).z > 0 ? 0.02f : -0.05f);
    for (float y = k.ground; y < high - 0.03f; y += step) Bar(on(-w, y), on(w, y), bar * 0.8f, d - 1e-3f, main);
    for (int i = -1; i <= 1; i += 2) Bar(on(i * w, low), on(i * w, high), bar, d, main);
  }
  AL_BOTH void Railing() {
    const V3 at = k.at[0];
    const float half = r.In(0.3f, 1.2f), bar = r.In(0.006f, 0.022f), low = k.ground, d = fabsf(e.Depth(At(at)) - trunk) < 0.02f ? trunk - 0.02f : e.Depth(At(at)) - 0.01f;
    const float shift = r.Bell(0.2f);
    const int n = 3 + r.Below(8), kind = look.simple ? 1 + r.Below(3) : r.Below(4);  // a wall of the silhouette's colour would swallow it
    if (kind == 0) {  // a wall
      const V2 v[4] = {e.Project(At(shift - half, at.y, at.z)), e.Project(At(shift + half, at.y, at.z)), e.Project(At(shift + half, low, at.z)), e.Project(At(shift - half, low, at.z))};
      Begin(d - 1e-3f, second);
      e.Polygon(v, 4);
      if (!look.simple) Patterned(e.Now(), r, 0.4f);
    } else if (kind < 3) {
      for (int j = 0; j <= n; ++j) { const float x = shift + half * (2.0f * j / n - 1); Bar(At(x, at.y, at.z), At(x, low, at.z), bar * 0.8f, d - 1e-3f, main); }
    }
    if (kind == 2 || kind == 3) for (int j = 1; j < 3; ++j) { const float y = Mix(at.y, low, j / 2.6f); Bar(At(shift - half, y, at.z), At(shift + half, y, at.z), bar * 0.8f, d - 1e-3f, main); }
    if (kind == 3) for (int i = -1; i <= 1; ++i) Bar(At(shift + i * half * 0.9f, at.y, at.z), At(shift + i * half * 0.9f, low, at.z), bar, d - 1e-3f, main);
    Bar(At(shift - half, at.y, at.z), At(shift + half, at.y, at.z), bar * 1.4f, d, main);
  }
  AL_LARGE void Table() {
    const V3 at = k.at[0];
    const float w = at.x, deep = r.In(0.12f, 0.24f), bar = r.In(0.008f, 0.02f), shift = r.Bell(0.08f);
    float legs = -9, arms = 9;
    for (int i = 0; i < 2; ++i) {
      legs = Max(legs, Max(e.Depth(Mix(k.hip[i], k.knee[i], 0.6f)) + 0.02f, e.Depth(Mix(k.knee[i], k.ankle[i], 0.5f))));
      const float fore = e.Depth(Mix(k.elbow[i], k.wrist[i], 0.7f));
      arms = Min(arms, fore + 0.04f);
    }
    const bool behind = e.View(k.stage.z).z < -0.2f;
    const float top = behind ? trunk - 0.25f : Max(trunk + 0.012f, arms > legs ? (arms + legs) * 0.5f : Min(legs + 0.01f, trunk + 0.3f));
    const V3 m = At(shift, at.y - 0.01f, at.z + deep);
    for (int i = -1; i <= 1; i += 2)
      for (int j = 0; j < 2; ++j) { const V3 a = At(shift + i * w * 0.9f, at.y, at.z + (j ? deep * 1.9f : deep * 0.1f)), b = At(shift + i * w * 0.9f, k.ground, at.z + (j ? deep * 1.9f : deep * 0.1f)); Bar(a, b, bar, top - (j ? 1e-3f : 3e-3f), main); }
    if (!look.simple && r.Chance(0.25f)) Slab(At(shift, (at.y + k.ground) * 0.5f, at.z + deep * 2), k.stage.x * w, k.stage.y * ((at.y - k.ground) * r.In(0.2f, 0.5f)), top - 5e-4f, second);  // a front, a cloth
    Slab(m, k.stage.x * w, k.stage.z * deep, top, main);
    Begin(top + 1e-4f, main);
    const float edge = e.View(k.stage.z).z > 0 ? at.z + deep * 2 : at.z;
    e.Capsule(At(shift - w, at.y - 0.012f, edge), 0.01f, At(shift + w, at.y - 0.012f, edge), 0.01f);
    const int n = r.Below(5);
    for (int j = 0; j < n; ++j) {
      const V3 on = At(shift + w * r.In(-0.9f, 0.9f), at.y, at.z + deep * r.In(0.4f, 1.7f));
      const Colour c = Tone();
      const float h = r.In(0.02f, 0.12f), b = r.In(0.015f, 0.04f), od = top + 2e-3f + j * 1e-4f;
      const int kind = r.Below(4);
      if (kind == 0) { Begin(od, c, 2); e.Capsule(on + k.stage.y * b, b, on + k.stage.y * (h + b), b * 0.9f); e.Capsule(on + k.stage.y * h, b * 0.4f, on + k.stage.y * (h + 0.06f), b * 0.35f); }
      else if (kind == 1) Box(on + k.stage.y * (h * 0.5f), k.stage * TurnY(r.In(0, 1.5f)), {b * 2, h * 0.5f, b * 1.4f}, od, c, 0.2f);
      else if (kind == 2) { Begin(od, c); e.Ellipsoid(on + k.stage.y * 0.01f, k.stage, {b * 2, 0.01f, b * 2}); e.Ellipsoid(on + k.stage.y * (b * 0.7f), k.stage, {b, b * 0.7f, b}); }
      else { Bar(on, on + k.stage.y * (h * 1.6f), 0.006f, od, c); Begin(od + 1e-4f, c); e.Ellipsoid(on + k.stage.y * (h * 1.6f), k.stage, {b * 1.5f, b, b * 1.5f}); }
    }
  }
  AL_BOTH void Load() {
    const Axes& c = k.chest;
    const Proportions& p = k.p;
    const float b = r.In(0.08f, 0.2f);
    const V3 at = Mix(k.waist, k.pit, r.In(0.5f, 1.1f)) - c.z * (p.chest_depth + b * 0.75f), v = e.View(c.z);
    const float d = v.z > 0 ? Min(trunk - 0.02f, e.Depth(at)) : Max(trunk + 0.012f, e.Depth(at));
    const int kind = r.Below(4);
    if (kind < 2) {  // sack
      Begin(d, main, 4);
      e.Ellipsoid(at, c, {b * r.In(0.8f, 1.3f), b * r.In(1, 1.6f), b});
      e.Ellipsoid(at - c.y * (b * 0.6f), c, {b * 1.15f, b * 0.8f, b * 1.05f});
      if (!look.simple) Patterned(e.Now(), r, 0.2f);
      const V3 neck = k.pit + c.y * 0.03f - c.z * (p.chest_depth + 0.01f);
      e.Capsule(at + c.y * b, b * 0.35f, neck, 0.02f);
      if (o.folds > 0) { BeginMarks(d + 1e-4f, FoldColour(main)); const V2 from = e.Project(neck); Fan(from, e.Project(at) - from, 1.2f, 4, b * e.scale); }
    } else if (kind == 2) Box(at, c * TurnX(r.Bell(0.2f)), {b * r.In(0.8f, 1.4f), b * r.In(0.8f, 1.5f), b * 0.75f}, d, main, 0.4f);
    else {  // sticks, a roll
      const int n = 3 + r.Below(4);
      for (int j = 0; j < n; ++j) { const V3 o2 = at + c.y * (b * r.Bell(0.4f)) + c.z * (b * r.Bell(0.4f)); const V3 u = c.x * r.In(0.16f, 0.34f) + c.y * r.Bell(0.05f); Bar(o2 - u, o2 + u, r.In(0.01f, 0.03f), d + j * 1e-4f, j % 2 ? main : second); }
    }
  }
  AL_LARGE void Pole(V3 at, V3 dir) {
    const V3 u = At(dir);
    const float down = r.In(0.35f, 0.8f), up = r.In(0.02f, 0.5f), bar = r.In(0.004f, 0.013f), d = Max(e.Depth(at) + 0.03f, e.Depth(at) > trunk - 0.02f ? trunk + 0.022f : -9.0f);
    const float drop = dir.y < -0.2f ? Min((at.y - k.ground) / -u.y, 1.2f) : down;  // to the floor
    const V3 low = at + u * Max(drop, 0.1f), top = at - u * up;
    Bar(low, top, bar, d, main);
    const int kind = r.Below(6);
    const V3 across = Unit(Cross(u, e.View(V3{0, 0, 1})));
    Begin(d + 1e-4f, second);
    if (kind < 2) {  // broom, rake
      const V2 v[4] = {e.Project(low + across * 0.02f), e.Project(low - across * 0.02f), e.Project(low + u * 0.11f - across * r.In(0.03f, 0.1f)), e.Project(low + u * 0.11f + across * r.In(0.03f, 0.1f))};
      e.Polygon(v, 4);
      if (Lined() && !look.simple) for (int j = 1; j < 5; ++j) { const V2 l[2] = {Mix(v[0], v[1], j / 5.0f), Mix(v[3], v[2], j / 5.0f)}; Stroke(e, d + 2e-4f, look.ink, l, 2, look.width * 0.6f); }
    } else if (kind == 2) { e.Ellipsoid(low, k.stage, {0.05f, 0.08f, 0.02f}); }  // shovel, oar
    else if (kind == 3) { e.Capsule(low - across * 0.08f, 0.012f, low + across * 0.08f, 0.012f); }
    else if (kind == 4) { const V2 v[3] = {e.Project(top - u * 0.08f), e.Project(top + across * 0.03f), e.Project(top - across * 0.03f)}; e.Polygon(v, 3); }
    else { const V2 v[4] = {e.Project(top), e.Project(top + across * 0.2f + u * r.In(-0.05f, 0.05f)), e.Project(top + across * 0.2f + u * 0.14f), e.Project(top + u * 0.13f)}; e.Polygon(v, 4); if (!look.simple) Patterned(e.Now(), r, 0.4f); }
  }
  AL_BOTH void Balloons() {
    const int i = static_cast<int>(k.at[0].x);
    const V3 at = Mix(k.wrist[i], k.tip[i], 0.6f);
    const int n = r.Chance(0.6f) ? 1 : 2 + r.Below(4);
    for (int j = 0; j < n; ++j) {
      const V3 b = at + V3{r.Bell(0.12f), r.In(0.18f, 0.5f), r.Bell(0.06f)}, mid = Mix(at, b, 0.5f) + V3{r.Bell(0.02f), 0, 0};
      const float rad = r.In(0.05f, 0.12f), d = e.Depth(b) > trunk ? e.Depth(b) + 0.05f : trunk - 0.2f;
      const V2 l[3] = {e.Project(at), e.Project(mid), e.Project(b - V3{0, rad, 0})};
      Stroke(e, d, look.simple ? look.skin : Lined() ? look.ink : second, l, 3, Max(look.width * 0.7f, 0.7f));
      Begin(d + 1e-3f * (j + 1), Tone(), 1);
      e.Ellipsoid(b, k.stage, {rad * 0.9f, rad * 1.1f, rad * 0.9f});
      e.Capsule(b - V3{0, rad, 0}, 0.012f, b - V3{0, rad * 1.12f, 0}, 0.016f);
    }
  }
  AL_BOTH void Hanger() {
    const int i = static_cast<int>(k.at[0].x);
    const V3 at = Mix(k.wrist[i], k.tip[i], 0.7f) + k.stage.z * 0.02f, x = k.stage.x * r.In(0.07f, 0.12f);
    const float l = r.In(0.25f, 0.6f), d = Max(e.Depth(at) + 0.05f, trunk + 0.03f), flare = r.In(0.8f, 2), drop = r.In(0.03f, 0.06f);
    const V3 neck = at - V3{0, drop, 0}, sh = neck - V3{0, 0.03f, 0};
    auto on = [&](float s, float y) { return e.Project(sh + x * s - V3{0, y, 0}); };
    if (r.Chance(0.5f)) for (int j = -1; j <= 1; j += 2) {  // its sleeves
      Begin(d + 1e-4f, main);
      const V3 a = sh + x * (j * 0.95f), b = a + x * (j * r.In(0.1f, 0.5f)) - V3{0, r.In(0.1f, 0.25f), 0};
      e.Capsule(a, 0.03f, b, 0.025f);
    }
    const V2 v[7] = {on(-0.35f, -0.03f), on(-1, 0), on(-0.75f, l * 0.35f), on(-flare, l), on(flare, l), on(0.75f, l * 0.35f), on(1, 0)};
    Begin(d + 2e-4f, main);
    e.Polygon(v, 7);
    if (!look.simple) Patterned(e.Now(), r, 0.4f);
    const V2 hook[3] = {e.Project(at), e.Project(neck), e.Project(sh)};
    Stroke(e, d + 1e-4f, look.simple ? look.skin : look.ink, hook, 3, Max(line, 1));
    if (o.folds > 0) { BeginMarks(d + 3e-4f, FoldColour(main)); for (int j = 0; j < 4; ++j) { const float s = r.In(-0.7f, 0.7f); Mark(on(s * 0.7f, l * 0.4f), on(s * flare, l * 0.95f), r.Bell(0.05f), FoldWidth()); } }
  }
  AL_LARGE void Instrument() {
    const int kind = static_cast<int>(k.at[2].x);
    const V3 at = At(k.at[0]), u = At(k.at[1]);
    const Axes& c = k.chest;
    const float l = k.p.upper_arm + k.p.forearm, d = Max(trunk + 0.018f, e.View(c.z).z > 0 ? trunk + 0.018f : -9.0f) * (e.View(c.z).z > -0.15f ? 1.0f : 0.0f) + (e.View(c.z).z > -0.15f ? 0.0f : trunk - 0.1f);
    const V3 side = Across(c.z, u), wide = Unit(Cross(u, side));
    if (kind == 3) {
      Bar(at, at + u * (l * r.In(0.6f, 1.1f)), r.In(0.006f, 0.014f), Max(e.Depth(at + u * (l * 0.4f)) + 0.02f, trunk + 0.018f), main);
      if (r.Chance(0.4f)) { const V3 end = at + u * (l * 0.95f); Begin(Max(e.Depth(end), trunk + 0.018f), main); const V2 v[4] = {e.Project(end - u * 0.06f), e.Project(end + wide * 0.06f), e.Project(end - wide * 0.06f), e.Project(end - u * 0.06f)}; e.Polygon(v, 4); e.Ellipsoid(end, {wide, side, u}, {0.06f, 0.06f, 0.01f}); }
      return;
    }
    const float b = kind == 2 ? r.In(0.04f, 0.06f) : r.In(0.07f, 0.12f);
    const Axes m{wide, u, side};
    Begin(d, main, 3);
    e.Ellipsoid(at - u * (b * 0.5f), m, {b, b * 0.9f, 0.025f});
    e.Ellipsoid(at + u * (b * 0.6f), m, {b * 0.75f, b * 0.7f, 0.025f});
    if (!look.simple) Patterned(e.Now(), r, 0.2f);
    Bar(at + u * b, at + u * (l * r.In(0.8f, 1.05f)), 0.008f, d + 1e-3f, second);
    if (!look.simple) {
      Begin(d + 1e-4f, Lined() ? look.ink : Dim(main, 0.4f));
      e.Ellipsoid(at + u * (b * 0.2f), m, {b * 0.25f, b * 0.25f, 0.02f});
    }
    if (kind == 2) { const V3 hand = Mix(k.wrist[1], k.tip[1], 0.6f), over = at + u * (b * 1.2f); const V3 q = Unit(over - hand); Bar(hand - q * 0.03f, hand + q * (Length(over - hand) + r.In(0.03f, 0.2f)), 0.004f, d + 0.03f, second); }
  }
  AL_BOTH void Bucket(int i) {
    const V3 at = Mix(k.wrist[i], k.tip[i], 0.7f), y{0, 1, 0}, x = e.View(k.stage.x).x > 0.5f || e.View(k.stage.x).x < -0.5f ? k.stage.x : k.stage.z;
    const float w = r.In(0.04f, 0.09f), drop = r.In(0.05f, 0.13f), h = r.In(0.06f, 0.15f), taper = r.In(0.65f, 1.15f), arm = e.Depth(k.wrist[i]);
    const float d = arm > trunk - 0.02f ? Max(arm + 0.035f, trunk + 0.015f) : trunk - 0.03f;
    const V3 rim = at - y * drop;
    const V2 l[4] = {e.Project(rim + x * w), e.Project(at + x * (w * 0.3f)), e.Project(at - x * (w * 0.3f)), e.Project(rim - x * w)};
    Stroke(e, d, look.simple ? look.skin : Lined() ? look.ink : second, l, 4, Max(line, 1));
    const int kind = r.Below(3);
    const Colour c = Tone();
    if (kind < 2) {
      const V2 v[4] = {e.Project(rim + x * w), e.Project(rim - x * w), e.Project(rim - x * (w * taper) - y * h), e.Project(rim + x * (w * taper) - y * h)};
      Begin(d + 1e-3f, c);
      e.Polygon(v, 4);
      if (kind == 0) e.Ellipsoid(rim, k.stage, {w, w * 0.2f, w});
      if (!look.simple) Patterned(e.Now(), r, 0.3f);
    } else Box(rim - y * (h * 0.5f), k.stage, {w, h * 0.5f, w * 0.5f}, d + 1e-3f, c, 0.3f);
  }
  AL_BOTH void Shoulderbag() {
    const int i = r.Below(2);
    const float s = i == 0 ? 1.0f : -1.0f;
    const V3 bag = k.hip[i] + k.pelvis.x * (s * 0.05f) + k.pelvis.y * r.In(-0.1f, 0.06f), f = k.chest.z * (k.p.chest_depth * (e.View(k.chest.z).z > 0 ? 1.05f : -1.05f));
    const V2 l[3] = {e.Project((r.Chance(0.6f) ? k.shoulder[1 - i] : k.shoulder[i]) + f * 0.5f), e.Project(k.waist + f), e.Project(bag)};
    Stroke(e, trunk + 0.011f, look.simple ? look.skin : Lined() ? look.ink : second, l, 3, Max(line * 2, 1.5f));
    Box(bag - k.pelvis.y * 0.05f, k.pelvis, {0.05f, 0.055f, 0.02f}, trunk + 0.012f, main, 0.2f);
  }
  AL_BOTH void Book() {
    const V3 at = At(k.at[0]), x = k.chest.x * k.at[1].x, y = Unit(k.chest.y + k.chest.z * r.In(0, 1.5f)) * k.at[1].y;
    const bool from_front = e.View(k.chest.z).z > 0;
    const float d = from_front ? Max(e.Depth(at) + 0.025f, trunk + 0.02f) : Min(e.Depth(at), trunk - 0.02f);
    const V3 fold = k.chest.z * 0.02f;
    for (int j = -1; j <= 1; j += 2) {
      const V2 v[4] = {e.Project(at + fold - y), e.Project(at + x * j - y), e.Project(at + x * j + y), e.Project(at + fold + y)};
      Begin(d + (j > 0 ? 1e-4f : 0), from_front ? main : look.simple ? look.skin : Colour{0.96f, 0.95f, 0.9f});
      e.Polygon(v, 4);
    }
  }
  // Something as tall as the figure beside or before it.
  AL_LARGE void Bystander() {
    const int kind = r.Below(6);
    const bool front = r.Chance(0.3f);
    const float x = front ? r.In(-0.25f, 0.25f) : r.Sign() * r.In(0.2f, 0.5f), d = front ? trunk + 0.6f : trunk - 0.4f, h = r.In(0.7f, 1.15f), t = front ? (r.Chance(0.65f) ? r.In(0.01f, 0.06f) : r.In(0.06f, 0.13f)) : r.In(0.008f, 0.04f);
    const float low = k.ground, y1 = low + h;
    auto on = [&](float dx, float y) { return V3{x + dx, y, front ? 0.2f : -0.15f}; };
    Bar(on(0, low), on(0, y1), t, d, main);
    if (kind == 0) { Begin(d + 1e-3f, second, 1); e.Ellipsoid(on(0, y1), k.stage, {0.06f, 0.08f, 0.06f}); Bar(on(-0.06f, y1 - 0.14f), on(0.06f, y1 - 0.14f), t * 0.6f, d, main); }  // lamp
    else if (kind == 1) for (int j = 0; j < 5; ++j) { const float y = low + h * r.In(0.55f, 1); Bar(on(0, y), on(r.Sign() * r.In(0.08f, 0.25f), y + r.In(0.02f, 0.2f)), t * 0.5f, d - 1e-3f, main); }  // bare tree
    else if (kind == 2) { for (int j = -1; j <= 1; j += 2) { Bar(on(0, y1 - 0.03f), on(j * 0.1f, y1 + 0.02f), t * 0.6f, d, main); Bar(on(0, low + 0.12f), on(j * 0.13f, low), t * 0.6f, d, main); } Begin(d + 1e-3f, second, 2); e.Capsule(on(0.06f, y1 - 0.03f), 0.05f, on(0.07f, y1 - 0.4f), 0.09f); }  // stand with a coat
    else if (kind == 3) { Begin(d + 1e-3f, second); const V2 v[4] = {e.Project(on(-0.12f, y1)), e.Project(on(0.12f, y1)), e.Project(on(0.12f, y1 - 0.2f)), e.Project(on(-0.12f, y1 - 0.2f))}; e.Polygon(v, 4); if (!look.simple) Patterned(e.Now(), r, 0.4f); }  // sign
    else if (kind == 4) { Begin(d + 1e-3f, second); e.Ellipsoid(on(0, y1 - 0.08f), k.stage, {0.08f, 0.09f, 0.08f}); e.Ellipsoid(on(0, y1 - 0.35f), k.stage, {0.1f, 0.18f, 0.1f}); Bar(on(-0.22f, y1 - 0.25f), on(0.22f, y1 - 0.22f), t * 0.6f, d + 5e-4f, main); }  // scarecrow, statue
    else { const float w = r.In(0.04f, 0.12f); Begin(d + 1e-3f, second); const V2 v[4] = {e.Project(on(-w, y1)), e.Project(on(w, y1)), e.Project(on(w, low)), e.Project(on(-w, low))}; e.Polygon(v, 4); if (!look.simple) Patterned(e.Now(), r, 0.4f); }  // column, door
  }
  // Stars, dots and moons scattered on a robe.
  AL_BOTH void Ornaments() {
    if (look.simple || !r.Chance(0.6f)) return;
    const int n = 4 + r.Below(10), kind = r.Below(4);
    const Colour c = Lined() && (look.InLine() || r.Chance(0.5f)) ? look.ink : look.accent;
    const float f = e.View(k.chest.z).z > 0 ? 1.0f : -1.0f, b = r.In(0.008f, 0.022f);
    for (int j = 0; j < n; ++j) {
      const float t = r.In(-0.7f, 1.8f), s = r.Bell(0.45f);
      const V3 left = t < 0 ? Mix(k.hip[0], k.shoulder[0], -t) : t < 1 ? Mix(k.hip[0], k.knee[0], t) : Mix(k.knee[0], k.ankle[0], t - 1);
      const V3 right = t < 0 ? Mix(k.hip[1], k.shoulder[1], -t) : t < 1 ? Mix(k.hip[1], k.knee[1], t) : Mix(k.knee[1], k.ankle[1], t - 1);
      const V2 at = e.Project(Mix(left, right, 0.5f + s * (t < 0 ? 0.6f : 1)) + k.chest.z * (k.p.chest_depth * f));
      const float q = b * e.scale, t0 = r.In(0, kTau);
      e.Begin(trunk + 0.008f + j * 1e-5f, r.Chance(0.5f) || look.InLine() ? look.accent : c, c, Max(look.width * 0.6f, 0.5f), -1);
      if (kind == 0) { V2 v[10]; for (int i = 0; i < 10; ++i) { const float a = t0 + i * kTau / 10, l = i % 2 ? q * 0.45f : q; v[i] = at + V2{cosf(a), sinf(a)} * l; } e.Polygon(v, 10); }
      else if (kind == 1) e.Disc(at, q * 0.6f, q * 0.6f);
      else if (kind == 2) { e.Disc(at, q * 0.8f, q * 0.8f); e.Disc(at + V2{q * 0.4f, -q * 0.2f}, q * 0.7f, q * 0.7f, kCut); }
      else for (int i = 0; i < 3; ++i) { const float a = t0 + i * kTau / 6; e.Capsule(at - V2{cosf(a), sinf(a)} * q, 0.4f, at + V2{cosf(a), sinf(a)} * q, 0.4f); }
    }
  }
  AL_BOTH void Skis() {
    for (int i = 0; i < 2; ++i) {
      const V3 u = k.foot_dir[i], sole = Mix(k.heel[i], k.toe[i], 0.5f) + Across(k.heel[i] - k.ankle[i], u) * 0.012f;
      const float a = r.In(0.3f, 0.5f), d = e.Depth(k.ankle[i]) - 0.05f;
      Begin(Min(d, trunk - 0.02f), main, 1);
      e.Capsule(sole - u * a, 0.009f, sole + u * a, 0.009f);
      e.Capsule(sole + u * a, 0.009f, sole + u * (a + 0.07f) + k.stage.y * 0.04f, 0.006f);
      const V3 hand = Mix(k.wrist[i], k.tip[i], 0.6f), back = Unit(k.stage.z * -r.In(0.4f, 1.2f) - k.stage.y * r.In(0.2f, 1));
      if (r.Chance(0.8f)) { const V3 end = hand + back * r.In(0.4f, 0.6f); Bar(hand - back * 0.03f, end, 0.004f, e.Depth(hand) > trunk ? trunk + 0.04f : trunk - 0.04f, second); Begin(trunk - 0.041f, second); e.Ellipsoid(end - back * 0.04f, k.stage, {0.02f, 0.006f, 0.02f}); }
    }
  }
  // The sole of a foot that is turned to the viewer.
  AL_BOTH void Soles() {
    if (o.gown || (o.barefoot && !r.Chance(0.7f))) return;
    for (int i = 0; i < 2; ++i) {
      const V3 u = k.foot_dir[i], down = Across(k.heel[i] - k.ankle[i], u), x = Unit(Cross(down, u));
      if (e.View(down).z < 0.55f) continue;
      const float w = Max(k.p.r_ankle * 1.2f, k.p.foot * r.In(0.17f, 0.28f)), d = Max(e.Depth(k.ankle[i]), e.Depth(Mix(k.knee[i], k.ankle[i], 0.5f))) + 0.05f;
      const V3 h = k.heel[i] - u * (w * 0.5f), t = k.toe[i];
      const V3 v[10] = {h, Mix(h, t, 0.12f) + x * (w * 0.7f), Mix(h, t, 0.45f) + x * (w * 0.55f), Mix(h, t, 0.72f) + x * w, Mix(h, t, 0.92f) + x * (w * 0.7f), t,
                        Mix(h, t, 0.92f) - x * (w * 0.7f), Mix(h, t, 0.72f) - x * w, Mix(h, t, 0.45f) - x * (w * 0.55f), Mix(h, t, 0.12f) - x * (w * 0.7f)};
      V2 q[10];
      for (int j = 0; j < 10; ++j) q[j] = e.Project(v[j] + down * (k.p.foot_height * 0.3f));
      e.figure = true;
      e.Begin(d, o.barefoot || look.simple ? look.skin : r.Chance(0.5f) ? look.shoe : o.sole_pale ? Colour{0.93f, 0.92f, 0.9f} : Dim(look.shoe, 0.5f), look.ink, look.width);
      e.Blob(q, 10);
      e.figure = false;
      if (o.barefoot || look.simple) continue;
      const int n = r.Below(6);
      BeginMarks(d + 1e-4f, Lined() ? (Grey(e.Now().fill) < 0.2f ? Colour{0.8f, 0.8f, 0.8f} : look.ink) : Dim(look.shoe, 0.3f));
      for (int j = 0; j < n; ++j) { const V3 at = Mix(h, t, 0.5f + 0.08f * j) + down * (k.p.foot_height * 0.6f); Mark(e.Project(at + x * (w * 0.7f)), e.Project(at - x * (w * 0.7f)), 0, Max(look.width * 0.7f, 0.6f)); }
      const V3 edge = Mix(h, t, 0.3f) + down * (k.p.foot_height * 0.6f);
      Mark(e.Project(edge + x * (w * 0.6f)), e.Project(edge - x * (w * 0.6f)), 0.1f, Max(look.width, 0.8f));
    }
  }
  // stage_loads.h
  AL_LARGE void Perch();
  AL_LARGE void Burden();
  AL_LARGE void Bars();
  AL_BOTH void Cane();
  AL_BOTH void Foil();
  AL_BOTH void Ball();
  AL_LARGE void Draw() {
    const bool was = e.figure;
    e.figure = false;
    switch (k.act) {
      case kCycle: Cycle(); break;
      case kScooter: Scooter(); break;
      case kBoard: Board(); break;
      case kChair: Chair(); break;
      case kLadder: Ladder(); break;
      case kRailing: Railing(); break;
      case kTable: if (k.on_chair) Chair(); Table(); break;
      case kLoad: Load(); if (r.Chance(0.15f)) Pole(Mix(k.wrist[0], k.tip[0], 0.5f), {0, -1, 0.1f}); break;
      case kCarryBox: {
        const V3 at = At(k.at[0]);
        const bool seen = e.View(k.chest.z).z > -0.1f;
        Box(at, k.chest, k.at[1], seen ? Max(e.Depth(at), trunk + 0.012f) + (r.Chance(0.6f) ? 0.06f : 0.0f) : trunk - 0.15f, main, 0.4f);
        break;
      }
      case kBalloon: Balloons(); break;
      case kHanger: Hanger(); break;
      case kPole: Pole(At(k.at[0]), k.at[1]); break;
      case kInstrument: if (k.on_chair) Chair(); Instrument(); break;
      case kBuckets: Bucket(static_cast<int>(k.at[0].x)); if (r.Chance(0.6f)) Bucket(1 - static_cast<int>(k.at[0].x)); if (r.Chance(0.2f)) Shoulderbag(); break;
      case kBook: if (k.on_chair) Chair(); Book(); break;
      case kBystander: Bystander(); if (r.Chance(0.3f)) Bystander(); break;
      case kRobe: Ornaments(); break;
      case kPerch: Perch(); break;
      case kBurden: Burden(); break;
      case kKneeHang: case kHang: Bars(); break;
      case kCane: Cane(); break;
      case kLunge: if (k.at[0].x > 0) Foil(); break;
      case kKick: if (k.at[1].x > 0) Ball(); break;
      case kSki: Skis(); break;
      case kOnALine: if (r.Chance(0.5f)) { const float y = k.ground - 0.01f; Bar({-2, y, 0}, {2, y + r.Bell(0.05f), 0}, r.In(0.003f, 0.01f), trunk - 0.03f, main); } break;
      default: break;
    }
    Soles();
    e.figure = was;
  }
};

// How far an act's things go beyond its figure.
AL_BOTH int ThingsReach(const Skeleton& k, V3 v[2]) {
  const float l = k.p.thigh + k.p.shin;
  if (k.act == kCycle) { v[0] = k.stage * V3{0, k.ground, -l * 0.9f}; v[1] = k.stage * V3{0, k.ground, Max(k.at[0].z, l * 0.5f) + l * 0.5f}; return 2; }
  if (k.act == kScooter) { v[0] = k.stage * V3{0, k.ground, k.at[0].z}; return 1; }
  if (k.act == kBalloon) { v[0] = k.wrist[static_cast<int>(k.at[0].x)] + V3{0, 0.45f, 0}; return 1; }
  if (k.act == kHanger) { v[0] = k.wrist[static_cast<int>(k.at[0].x)] - V3{0, 0.4f, 0}; return 1; }
  if (k.act == kLoad) { v[0] = Mix(k.waist, k.pit, 0.8f) - k.chest.z * (k.p.chest_depth + 0.25f); return 1; }
  if (k.act == kSki) { v[0] = k.toe[0] + k.stage.z * 0.2f; v[1] = k.heel[1] - k.stage.z * 0.25f; return 2; }
  if (k.act == kBurden) { v[0] = k.stage * k.at[0] + k.chest.y * 0.12f; v[1] = k.stage * k.at[0] - k.chest.z * 0.12f; return 2; }
  return 0;
}

// Clothes that an act asks for.
AL_BOTH void DressForAct(Random& r, const Skeleton& k, const Look& look, Outfit& o) {
  if (k.act == kRobe && !look.bare) {
    o.dress = o.skirt = o.gown = true;
    o.coat = o.cape = o.apron = false;
    o.legs = 0;
    o.skirt_length = r.In(1.8f, 2.1f);
    o.skirt_flare = r.Chance(0.8f) ? r.In(0.05f, 0.22f) : r.In(0.2f, 0.36f);
    o.sleeves = 2;
    o.sleeve_length = r.In(1.6f, 2.0f);
    o.sleeve_flare = r.Chance(0.7f) ? r.In(2.2f, 5.5f) : 1.3f;
  } else if (k.act > kNoAct && k.act != kBystander) {  // no train over wheels, no cape over a load
    const bool no_train = k.on_chair || (k.act < kBystander && k.act != kBalloon && k.act != kHanger && k.act != kBook) || (k.act >= kShoulderStand && k.act <= kSki) || (k.act >= kFreeze && k.act <= kBurden && k.act != kBallet);
    if (o.gown && no_train) { o.gown = false; o.skirt_length = r.In(0.4f, 1.1f); o.skirt_flare = r.In(0, 0.06f); }
    if (k.act == kBurden || k.act == kCane) o.cape = false;
    if ((k.act >= kShoulderStand && k.act <= kSki) || (k.act >= kFreeze && k.act <= kHang)) { o.cape = o.apron = false; o.skirt_length = Min(o.skirt_length, 0.7f); }
    if (k.act == kLoad) o.cape = false;
  }
}

}  // namespace drawer
