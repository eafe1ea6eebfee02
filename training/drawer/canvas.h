// Shapes with outline and fill, painted back to front, and the colour of one picture point.
// A shape is a union of capsules, limbs with profiles, ellipses and small polygons, all as signed distances, so
// that outlines of any width, brush gaps, light and anti-aliasing come from one number.
#pragma once
#include "math.h"

namespace drawer {

constexpr int kMaxShapes = 460, kMaxPrims = 1200, kPolygon = 24, kKnots = 6;

enum PrimKind { kCapsule, kEllipse, kPolygonPrim, kLimbPrim };
enum PrimOp { kAdd, kCut, kKeep };
struct Prim {
  int kind, op, n;
  float a[2 * kPolygon];
  float x0, y0, x1, y1;
};

enum Texture { kPlain, kGradient, kStripes, kChecks, kMottle, kRim, kDots, kTextures, kToned };  // kToned: cloth in three flat tones, as traced from light
enum Light { kUnlit, kSoft, kTwoTone, kHatched };
struct Shape {
  int first, count;
  float blend, depth;            // blend: rounding where primitives meet, units
  Colour fill, fill2, line;
  float width, opacity;          // outline width; 0: none
  int texture, light;
  float tx, ty, t0, ts;
  float wob, wob_f, wob_p;       // its own small wander: amplitude and frequency, units; phase
  float hide_x, hide_y, hide_r;  // no outline inside this circle: limbs grow out of the trunk
  float x0, y0, x1, y1;
  bool figure;
};

// How everything is drawn.
struct Style {
  float bend[4], bend_f[4], bend_p[4];  // the hand's slow wander: everything is displaced by it
  float gate, gate_f;                   // brush gaps: noise below `gate` leaves no ink
  float swell;                          // how much line width varies
  float stray;                          // how far the line leaves the fill's edge, units
  float second;                         // strength of a second, searching stroke
  float light_x, light_y;               // from where the light comes, picture frame, unit length
  float light_cut, light_soft;          // where shade begins, how gently
  float hatch_f, hatch_x, hatch_y;
  Colour shade;                         // colour that shade is mixed toward
  float shade_strength;
  float grain, streak;                  // paint mottling; how much longer than wide its marks are
  int light;
  float wob;                            // each shape's own wander, share of a figure of 200 units
  float uneven;                         // how much the widths of limbs wander
  bool angular;                         // limbs and trunks with corners instead of curves
  float weight, lost;                   // line heavier on the shadow's side; none toward the light beyond `lost` (0: everywhere)
  float tint;                           // outlines in a darker shade of the fill instead of ink
  float some;                           // share of colours whose shapes have no outline
  bool gaps;                            // outlines in the paper's colour
  float terminator;                     // how much the edge of shade wanders
  float inset;                          // the colour stops this far inside its line
  float edge_light;                     // width of the lit edge on the side away from the light; 0: none
  float shift_x, shift_y;               // the colours lie this far off their lines
  int steps;                            // soft shade in so many flat tones; 0: smooth
  int hand;                             // seed of what the hand does by chance
};

struct Background {
  int kind;  // 0 plain, 1 gradient, 2 mottled, 3 land and sky, 4 stripes
  Colour a, b;
  float x, y, z;
};

struct Scene {
  Shape shape[kMaxShapes];
  Prim prim[kMaxPrims];
  int order[kMaxShapes];
  int shapes, prims;
  Style style;
  Background back;
};

// ---- signed distances; `q` is the direction out of the part, 0 at its core and about 1 at its edge

AL_BOTH float CapsuleDistance(float px, float py, const float* a, V2& q) {  // a: x0 y0 r0 x1 y1 r1
  const float bx = a[3] - a[0], by = a[4] - a[1], wx = px - a[0], wy = py - a[1];
  const float ll = bx * bx + by * by + 1e-6f, l = sqrtf(ll);
  float slope = Clamp((a[5] - a[2]) / l, -0.95f, 0.95f);
  const float off = fabsf(wx * by - wy * bx) / l;
  const float t = Clamp((wx * bx + wy * by) / ll + off * slope / sqrtf(1 - slope * slope) / l, 0, 1);
  const float dx = wx - bx * t, dy = wy - by * t, r = a[2] + (a[5] - a[2]) * t;
  q = {dx / (r + 1e-3f), dy / (r + 1e-3f)};
  return sqrtf(dx * dx + dy * dy) - r;
}
AL_BOTH float EllipseDistance(float px, float py, const float* a, V2& q) {  // centre, inverse of the spread matrix
  const float x = px - a[0], y = py - a[1], gx = a[2] * x + a[3] * y, gy = a[3] * x + a[4] * y;
  const float s = sqrtf(x * gx + y * gy + 1e-9f), g = sqrtf(gx * gx + gy * gy) / s;
  const float gl = sqrtf(gx * gx + gy * gy) + 1e-9f;
  q = {gx / gl * s, gy / gl * s};
  return (s - 1) / (g + 1e-9f);
}
AL_BOTH float PolygonDistance(float px, float py, const float* v, int n, V2& q) {
  float best = 1e9f, sign = 1;
  q = {0, 0};
  for (int i = 0, j = n - 1; i < n; j = i, ++i) {
    const float ex = v[2 * j] - v[2 * i], ey = v[2 * j + 1] - v[2 * i + 1], wx = px - v[2 * i], wy = py - v[2 * i + 1];
    const float t = Clamp((wx * ex + wy * ey) / (ex * ex + ey * ey + 1e-9f), 0, 1);
    const float bx = wx - ex * t, by = wy - ey * t, d = bx * bx + by * by;
    if (d < best) { best = d; q = {-bx, -by}; }
    const bool c1 = py >= v[2 * i + 1], c2 = py < v[2 * j + 1], c3 = ex * wy > ey * wx;
    if ((c1 && c2 && c3) || (!c1 && !c2 && !c3)) sign = -sign;
  }
  const float d = sqrtf(best), fade = expf(-d * 0.12f) / (d + 1e-3f);  // shade gathers along the edge
  q = {q.x * fade * (sign < 0 ? 1.0f : -1.0f), q.y * fade * (sign < 0 ? 1.0f : -1.0f)};
  return sign * d;
}
// A limb between two points: half widths at kKnots places along it on either side, a round start and a round or cut end.
// a: x0 y0 x1 y1, left widths, right widths, 1: cut end, how far the hem swells beyond it, 1: straight between knots, 1: cut start
AL_BOTH float LimbDistance(float px, float py, const float* a, V2& q) {
  const float bx = a[2] - a[0], by = a[3] - a[1], wx = px - a[0], wy = py - a[1];
  const float inv = 1.0f / sqrtf(bx * bx + by * by + 1e-6f), l = 1.0f / inv, ux = bx * inv, uy = by * inv;
  const float al = wx * ux + wy * uy, s = wy * ux - wx * uy, as = fabsf(s);
  const float* w = a + 4 + (s >= 0 ? 0 : kKnots);
  const float sx = s >= 0 ? -uy : uy, sy = s >= 0 ? ux : -ux;
  if (al < 0) {
    if (a[19] > 0.5f) { q = {sx, sy}; return Max(as - w[0], -al); }
    const float d = sqrtf(wx * wx + wy * wy);
    q = {wx / (w[0] + 1e-3f), wy / (w[0] + 1e-3f)};
    return d - w[0];
  }
  const float last = w[kKnots - 1];
  if (al > l) {
    const float k = as / (last + 1e-3f);
    if (a[16] > 0.5f) {
      q = {sx * k, sy * k};
      return Max(as - last, al - l - a[17] * (1 - k * k));
    }
    const float ex = px - a[2], ey = py - a[3];
    q = {ex / (last + 1e-3f), ey / (last + 1e-3f)};
    return sqrtf(ex * ex + ey * ey) - last;
  }
  const float t = al * inv * (kKnots - 1);
  int i = static_cast<int>(t);
  if (i > kKnots - 2) i = kKnots - 2;
  const float f = t - i, w1 = w[i], w2 = w[i + 1], rise = (w2 - w1) * (kKnots - 1) * inv;
  float wide;
  if (a[18] > 0.5f) {
    wide = w1 + (w2 - w1) * f;
  } else {
    const float w0 = w[i > 0 ? i - 1 : 0], w3 = w[i < kKnots - 2 ? i + 2 : kKnots - 1];
    wide = w1 + 0.5f * f * (w2 - w0 + f * (2 * w0 - 5 * w1 + 4 * w2 - w3 + f * (3 * (w1 - w2) + w3 - w0)));
  }
  const float k = as / (wide + 1e-3f);
  q = {sx * k, sy * k};
  float d = (as - wide) / sqrtf(1 + rise * rise);
  if (a[16] > 0.5f) d = Max(d, al - l - a[17] * (1 - k * k));
  if (a[19] > 0.5f) d = Max(d, -al);
  return d;
}
AL_BOTH float RoundMin(float a, float b, float k) {
  const float h = Max(k - fabsf(a - b), 0) / k;
  return Min(a, b) - h * h * k * 0.25f;
}

AL_BOTH V2 Wander(const Style& s, float x, float y) {
  return {s.bend[0] * sinf(s.bend_f[0] * y + s.bend_p[0]) + s.bend[1] * sinf(s.bend_f[1] * (x + y) + s.bend_p[1]),
          s.bend[2] * sinf(s.bend_f[2] * x + s.bend_p[2]) + s.bend[3] * sinf(s.bend_f[3] * (x - y) + s.bend_p[3])};
}

// A wave of period 1 between -1 and 1, without a call into a library.
AL_BOTH float Wave(float t) {
  t = (t - floorf(t)) * 2 - 1;
  return 4 * t * (1 - fabsf(t));
}

AL_BOTH Colour BackColour(const Background& b, float x, float y) {
  if (b.kind == 1) return Mix(b.a, b.b, Clamp(0.5f + (x - 128) * b.x + (y - 128) * b.y, 0, 1));
  if (b.kind == 2) return Mix(b.a, b.b, Noise((x + 0.6f * y) * b.x + 7, (y - 0.5f * x) * b.x + b.y));
  if (b.kind == 3) return y + 14 * (Noise(x * b.x, b.z) - 0.5f) > b.y ? b.b : Mix(b.a, {1, 1, 1}, Clamp(0.4f * y / 256, 0, 1));
  if (b.kind == 4) return sinf(x * b.x + y * b.y) > b.z ? b.a : b.b;
  return b.a;
}

AL_BOTH float ShapeDistance(const Scene& s, const Shape& f, float x, float y, V2& q) {
  float d = 1e9f;
  if (f.wob > 0) {
    const float u = y * f.wob_f + f.wob_p, v = x * f.wob_f + f.wob_p * 1.7f;
    x += f.wob * (Wave(u) + 0.45f * Wave(u * 2.7f + v));
    y += f.wob * (Wave(v) + 0.45f * Wave(v * 2.3f + u));
  }
  for (int i = 0; i < f.count; ++i) {
    const Prim& p = s.prim[f.first + i];
    if (p.op == kAdd && (x < p.x0 || x > p.x1 || y < p.y0 || y > p.y1)) continue;
    V2 o;
    const float e = p.kind == kCapsule ? CapsuleDistance(x, y, p.a, o)
                    : p.kind == kEllipse ? EllipseDistance(x, y, p.a, o)
                    : p.kind == kLimbPrim ? LimbDistance(x, y, p.a, o)
                                         : PolygonDistance(x, y, p.a, p.n, o);
    if (p.op == kAdd) {
      if (e < d) q = o;
      d = f.blend > 0 && d < 1e8f ? RoundMin(d, e, f.blend) : Min(d, e);
    } else {
      d = p.op == kCut ? Max(d, -e) : Max(d, e);
    }
  }
  return d;
}

// Noise drawn out along the strokes of brush or chalk.
AL_BOTH float Stroked(const Style& st, float x, float y, float f) {
  return Noise((x * st.hatch_x + y * st.hatch_y) * f, (y * st.hatch_x - x * st.hatch_y) * f / st.streak);
}

// How much ink shade holds here: parallel or crossed strokes, strokes that break off, dots, lines that follow the contour, blots.
AL_BOTH float Hatching(const Style& st, float x, float y, float d, V2 q, float l, float dark, float px) {
  const float sharp = 2.0f / Max(px, 0.5f), u = x * st.hatch_x + y * st.hatch_y, v = y * st.hatch_x - x * st.hatch_y;
  const int way = (st.hand >> 3) & 7;
  if (dark <= 0 && way != 0 && way != 2) return 0;
  const float depth = Clamp((st.light_cut - l) * 1.2f, 0, 1);  // 0 where shade begins
  if (way == 4) {
    const float f = st.hatch_f * 0.35f, cu = floorf(u * f), cv = floorf(v * f);
    const float du = u * f - cu - 0.2f - 0.6f * Hash(static_cast<int>(cu), static_cast<int>(cv)), dv = v * f - cv - 0.2f - 0.6f * Hash(static_cast<int>(cv) + 77, static_cast<int>(cu));
    return dark * Clamp(0.5f + (0.16f + 0.28f * depth - sqrtf(du * du + dv * dv)) * sharp / f * 0.5f, 0, 1);
  }
  if (way == 0 || way == 2) {  // the dark grows from the contour in strokes that taper inward
    const float ql = Length(q) + 0.02f, s = (x * q.y - y * q.x) / ql, t = -d / (2.5f + 9 * Clamp(-(q.x * st.light_x + q.y * st.light_y) / ql + 0.2f, 0, 1));
    const float teeth = sinf(s * st.hatch_f * 0.9f) * 0.6f + (Noise(s * 0.3f, 3.7f) - 0.5f);
    return Clamp((0.2f - (q.x * st.light_x + q.y * st.light_y) / ql) * 4, 0, 1) * Clamp((0.9f + teeth - 1.7f * t) * (way == 0 ? 5 : 2.5f), 0, 1);
  }
  if (way == 7) return dark * Clamp((Noise(x * 0.5f, y * 0.5f) + depth * 0.8f - 0.62f) * 6, 0, 1);
  const float along = way == 6 ? d * 1.3f : u;
  float line = sinf(along * st.hatch_f) - 0.55f + 0.75f * (way == 1 ? depth : 0.25f);  // some swell into the dark
  float ink = Clamp(0.5f + line * sharp, 0, 1);
  if (way == 3 && depth > 0.3f) ink = Max(ink, Clamp(0.5f + (sinf((u * 0.25f + v * 0.97f) * st.hatch_f) - 0.35f) * sharp, 0, 1));
  if (way == 5) ink *= Clamp((Noise(floorf(u * st.hatch_f / kTau + 0.25f) * 3.7f, v * 0.12f) - 0.42f) * 8, 0, 1);
  return dark * ink;
}

AL_BOTH Colour FillColour(const Scene& s, const Shape& f, float x, float y, float d, V2 q, float px) {
  Colour c = f.fill;
  if (f.texture == kGradient) c = Mix(f.fill, f.fill2, Clamp(0.5f + (x * f.tx + y * f.ty - f.t0) * f.ts, 0, 1));
  else if (f.texture == kStripes) c = Mix(f.fill, f.fill2, Clamp(0.5f + 3 * sinf(x * f.tx + y * f.ty + f.t0), 0, 1));
  else if (f.texture == kChecks) c = Mix(f.fill, f.fill2, Clamp(0.5f + 4 * (sinf(x * f.tx + y * f.ty) * sinf(x * f.ty - y * f.tx) - 0.3f), 0, 1));
  else if (f.texture == kMottle) c = Mix(f.fill, f.fill2, Noise((x + 0.7f * y) * f.tx, (y - 0.6f * x) * f.tx + f.t0));
  else if (f.texture == kRim) c = Mix(f.fill, f.fill2, Clamp((d + f.t0) / (f.t0 + 1e-3f), 0, 1));
  else if (f.texture == kDots) {
    const float u = x * f.tx * 0.3f, v = y * f.tx * 0.3f + f.t0, du = u - floorf(u) - 0.5f, dv = v - floorf(v) - 0.5f;
    c = Mix(f.fill2, f.fill, Clamp((sqrtf(du * du + dv * dv) - 0.25f) * 12 + 0.5f, 0, 1));
  }
  else if (f.texture == kToned) {
    const float n = Noise((x * f.tx + y * f.ty) * f.ts + f.t0, (y * f.tx - x * f.ty) * f.ts * 0.3f), m = Noise((x * f.tx - y * f.ty) * f.ts * 0.5f, y * f.ts + f.t0);
    const float tone = n * 0.7f + m * 0.3f;
    c = Mix(Mix(f.fill2, f.fill, Clamp((tone - 0.4f) * 14 + 0.5f, 0, 1)), {1, 1, 1}, 0.3f * Clamp((tone - 0.64f) * 14 + 0.5f, 0, 1));
  }
  const Style& st = s.style;
  if (f.light != kUnlit) {
    const float l = q.x * st.light_x + q.y * st.light_y + (st.terminator > 0 ? (Noise(x * 0.06f + 5, y * 0.06f) - 0.5f) * st.terminator : 0.0f) + (st.grain > 0 ? (Stroked(st, x, y, 0.21f) - 0.5f) * 0.35f : 0.0f);
    float dark = Smooth(0.5f + (st.light_cut - l) / (f.light == kTwoTone ? 0.06f : st.light_soft));
    if (f.light == kSoft && st.steps > 0) dark = floorf(dark * st.steps + 0.5f) / st.steps;
    if (f.light == kHatched) {
      c = Mix(c, f.line, Hatching(st, x, y, d, q, l, dark, px));
    } else {
      c = Mix(c, {c.r * st.shade.r, c.g * st.shade.g, c.b * st.shade.b}, dark * st.shade_strength);
      if (f.light == kSoft && l > 0.5f && st.steps == 0) c = Mix(c, {1, 1, 1}, (l - 0.5f) * 0.35f);
    }
  }
  if (st.edge_light > 0 && f.light != kUnlit && d > -st.edge_light) {
    const float away = -(q.x * st.light_x + q.y * st.light_y) / (Length(q) + 0.05f);
    c = Mix(c, {1, 1, 1}, 0.75f * Clamp((away - 0.35f) * 4, 0, 1));
  }
  if (st.grain > 0 && f.figure) {
    const float n = (Stroked(st, x + 9, y, 0.35f) - 0.5f) * st.grain;
    c = {c.r + n, c.g + n, c.b + n};
  }
  return c;
}

// Colour at (X, Y) of a picture whose points are `px` units wide, from the `n` shapes in `list` (painting order).
AL_BOTH Colour PointColour(const Scene& s, const uint16_t* list, int n, float X, float Y, float px) {
  Colour c = BackColour(s.back, X, Y);
  const Style& st = s.style;
  const V2 w = Wander(st, X, Y);
  const float x = X + w.x, y = Y + w.y, sharp = 1.0f / px;
  float gate = 1, swell = 1, stray = 0, stray2 = 0;
  float taper = 1;
  if (st.gate > 0) {
    const float above = Noise(X * st.gate_f + st.bend_p[0] * 9, Y * st.gate_f + st.bend_p[1] * 9) - st.gate;
    gate = Clamp(above * 8 + 0.5f, 0, 1);
    if (st.hand & 4) taper = Clamp(above * 3.5f + 0.2f, 0.12f, 1);  // strokes run out to a point
  }
  if (st.swell > 0) swell = 1 + st.swell * (Noise(X * 0.06f + st.bend_p[2] * 7, Y * 0.06f + 3) - 0.5f) * 2;
  swell *= taper;
  if (st.stray > 0) {
    stray = st.stray * (Noise(X * 0.045f + 31, Y * 0.045f) - 0.5f) * 2;
    stray2 = st.stray * (Noise(X * 0.06f + 77, Y * 0.06f + 9) - 0.5f) * 3;
  }
  for (int i = 0; i < n; ++i) {
    const Shape& f = s.shape[list[i]];
    if (x < f.x0 || x > f.x1 || y < f.y0 || y > f.y1) continue;
    V2 q{0, 0};
    const float d = ShapeDistance(s, f, x, y, q);
    float inside = d;
    if (st.shift_x != 0 && f.figure) inside = ShapeDistance(s, f, x + st.shift_x, y + st.shift_y, q);
    const float cover = Clamp(0.5f - inside * sharp, 0, 1) * f.opacity;
    if (cover > 0) {
      const Colour fill = FillColour(s, f, x, y, inside, q, px);
      const bool inlaid = st.inset > 0 && f.figure && f.width > 0;
      c = Mix(c, inlaid ? Mix(fill, {1, 1, 1}, Clamp((inside + st.inset) * sharp + 0.5f, 0, 1)) : fill, cover);
    }
    if (f.width > 0) {
      float ink = gate;
      if (f.hide_r > 0) ink *= Clamp(Length(V2{x - f.hide_x, y - f.hide_y}) - f.hide_r + 0.5f, 0, 1);
      float wide = f.width * swell;
      if (st.weight > 0 || st.lost > 0) {
        const float toward = (q.x * st.light_x + q.y * st.light_y) / (Length(q) + 0.05f);
        wide *= Max(1 - st.weight * toward, 0.2f);
        if (st.lost > 0 && toward > st.lost) ink *= Max(0, 1 - (toward - st.lost) * 6);
      }
      float a = Clamp((wide * 0.5f - fabsf(d - stray)) * sharp + 0.5f, 0, 1) * Min(1, wide * sharp + 0.2f);
      if (st.second > 0) a = Max(a, st.second * Clamp((wide * 0.4f - fabsf(d - stray2)) * sharp + 0.5f, 0, 1));
      if (ink * a > 0) c = Mix(c, f.line, ink * a);
    }
  }
  return c;
}

// ---- building shapes

// Perspective camera and the scene it fills. Depth is the camera's z.
struct Easel {
  Scene* scene;
  float distance = 8, cos_up = 1, sin_up = 0;  // viewer's distance in statures; viewpoint's elevation
  float scale = 1, cx = 0, cy = 0;             // units a stature, and where the origin lands
  int current = -1;
  bool figure = true;

  AL_BOTH V3 View(V3 v) const { return {v.x, v.y * cos_up - v.z * sin_up, v.y * sin_up + v.z * cos_up}; }
  AL_BOTH float Depth(V3 v) const { return View(v).z; }
  AL_BOTH float ScaleAt(V3 v) const { return scale * distance / Max(distance - Depth(v), 0.3f); }
  AL_BOTH V2 Project(V3 v) const {
    const V3 c = View(v);
    const float k = scale * distance / Max(distance - c.z, 0.3f);
    return {cx + c.x * k, cy - c.y * k};
  }
  AL_BOTH Shape& Now() { return scene->shape[current]; }

  AL_BOTH void Begin(float depth, Colour fill, Colour line, float width, float blend = 0) {  // blend below 0: a stroke, which does not wander
    if (scene->shapes >= kMaxShapes) { current = kMaxShapes - 1; return; }  // overfull: the last shape grows
    current = scene->shapes++;
    Shape& s = Now();
    s = Shape{};
    s.first = scene->prims;
    s.blend = Max(blend, 0);
    s.depth = depth;
    s.fill = s.fill2 = fill;
    s.line = line;
    s.width = width;
    s.opacity = 1;
    s.light = figure ? scene->style.light : kUnlit;
    s.x0 = s.y0 = 1e9f;
    s.x1 = s.y1 = -1e9f;
    s.figure = figure;
    const Style& st = scene->style;
    if (width > 0 && s.light == kTwoTone && Hash(st.hand, 11) < 0.2f) s.light = kHatched;  // a pen's shade instead of a tone
    if (width > 0 && figure) {
      if (st.gaps) s.line = scene->back.a;
      else if (st.tint > 0) s.line = Mix(line, Dim(fill, 0.45f), st.tint);
      if (st.some > 0 && Hash(static_cast<int>(fill.r * 97 + fill.g * 61), st.hand) < st.some) s.width = 0;
    }
    if (st.wob > 0 && blend >= 0) {
      s.wob = st.wob * (figure ? Clamp(scale / 200, 0.15f, 1.3f) : 0.7f) * (0.5f + Chance(3));
      s.wob_f = (0.010f + 0.018f * Chance(4)) * (figure ? Clamp(200 / scale, 0.7f, 3) : 1);
      s.wob_p = Chance(5) * 8;
    }
  }
  // A number in 0..1 that belongs to the present shape.
  AL_BOTH float Chance(int i) const { return Hash(scene->shapes * 31 + i * 7 + scene->prims, scene->style.hand + i); }
  AL_BOTH Prim* Add(float x0, float y0, float x1, float y1, int op) {
    Shape& s = Now();
    if (scene->prims >= kMaxPrims || s.first + s.count != scene->prims) return nullptr;
    Prim& p = scene->prim[scene->prims++];
    ++s.count;
    p.op = op;
    const float m = s.width * (1.5f + scene->style.weight) + 2 + scene->style.stray * 2 + fabsf(scene->style.shift_x) + fabsf(scene->style.shift_y) + s.wob * 1.5f + (s.blend > 0 ? s.blend * 0.3f : 0);
    if (op == kAdd) {
      s.x0 = Min(s.x0, x0 - m); s.y0 = Min(s.y0, y0 - m); s.x1 = Max(s.x1, x1 + m); s.y1 = Max(s.y1, y1 + m);
    }
    const float b = m + s.blend;  // beyond this it neither shows nor rounds a corner
    p.x0 = x0 - b; p.y0 = y0 - b; p.x1 = x1 + b; p.y1 = y1 + b;
    return &p;
  }
  AL_BOTH void Capsule(V2 a, float ra, V2 b, float rb, int op = kAdd) {
    Prim* p = Add(Min(a.x - ra, b.x - rb), Min(a.y - ra, b.y - rb), Max(a.x + ra, b.x + rb), Max(a.y + ra, b.y + rb), op);
    if (!p) return;
    p->kind = kCapsule;
    p->a[0] = a.x; p->a[1] = a.y; p->a[2] = ra; p->a[3] = b.x; p->a[4] = b.y; p->a[5] = rb;
  }
  AL_BOTH void Capsule(V3 a, float ra, V3 b, float rb, int op = kAdd) {
    Capsule(Project(a), ra * ScaleAt(a), Project(b), rb * ScaleAt(b), op);
  }
  // Spread matrix (xx, xy, yy) of the outline of an ellipsoid with half-axes `r` along `m`.
  AL_BOTH V3 Spread(V3 centre, const Axes& m, V3 r) const {
    const float s = ScaleAt(centre);
    const V3 u = View(m.x * r.x), v = View(m.y * r.y), w = View(m.z * r.z);
    return {(u.x * u.x + v.x * v.x + w.x * w.x) * s * s + 0.01f, -(u.x * u.y + v.x * v.y + w.x * w.y) * s * s,
            (u.y * u.y + v.y * v.y + w.y * w.y) * s * s + 0.01f};
  }
  AL_BOTH void Ellipsoid(V3 centre, const Axes& m, V3 r, int op = kAdd) {
    const V2 c = Project(centre);
    const V3 k = Spread(centre, m, r);
    const float det = Max(k.x * k.z - k.y * k.y, 1e-6f), hx = sqrtf(k.x), hy = sqrtf(k.z);
    Prim* p = Add(c.x - hx, c.y - hy, c.x + hx, c.y + hy, op);
    if (!p) return;
    p->kind = kEllipse;
    p->a[0] = c.x; p->a[1] = c.y; p->a[2] = k.z / det; p->a[3] = -k.y / det; p->a[4] = k.x / det;
  }
  // Where that outline lies farthest in direction `d` (picture frame).
  AL_BOTH V2 OutlineToward(V3 centre, const Axes& m, V3 r, V2 d) const {
    const V3 k = Spread(centre, m, r);
    const V2 kd{k.x * d.x + k.y * d.y, k.y * d.x + k.z * d.y};
    return Project(centre) + kd * (1.0f / sqrtf(Max(d.x * kd.x + d.y * kd.y, 1e-9f)));
  }
  AL_BOTH void Disc(V2 c, float rx, float ry, int op = kAdd) {
    Prim* p = Add(c.x - rx, c.y - ry, c.x + rx, c.y + ry, op);
    if (!p) return;
    p->kind = kEllipse;
    p->a[0] = c.x; p->a[1] = c.y; p->a[2] = 1 / (rx * rx); p->a[3] = 0; p->a[4] = 1 / (ry * ry);
  }
  AL_BOTH void Polygon(const V2* v, int n, int op = kAdd) {
    if (n > kPolygon) n = kPolygon;
    float x0 = 1e9f, y0 = 1e9f, x1 = -1e9f, y1 = -1e9f;
    for (int i = 0; i < n; ++i) { x0 = Min(x0, v[i].x); y0 = Min(y0, v[i].y); x1 = Max(x1, v[i].x); y1 = Max(y1, v[i].y); }
    Prim* p = Add(x0, y0, x1, y1, op);
    if (!p) return;
    p->kind = kPolygonPrim;
    p->n = n;
    for (int i = 0; i < n; ++i) { p->a[2 * i] = v[i].x; p->a[2 * i + 1] = v[i].y; }
  }
  // Limb from a to b: half widths `r` at kKnots places, swelling by `g1` toward `d1` and `g2` toward `d2` (and a little less
  // on the other side). `hem`: below -1 a round end, else cut, swelling by this share of its width (3D tubes show ellipses).
  AL_BOTH void Limb(V3 a, V3 b, const float* r, const float* g1, V3 d1, const float* g2, V3 d2, float hem = -9, bool flat = false) {
    const V2 p = Project(a), q = Project(b);
    const float ka = ScaleAt(a), kb = ScaleAt(b), l = Length(q - p);
    float most = 0;
    for (int i = 0; i < kKnots; ++i) most = Max(most, r[i]);
    if (l < (flat ? 0.2f : 0.8f) * most * ka) {  // seen end on
      Capsule(p, r[1] * ka, q, r[kKnots - 1] * kb);
      return;
    }
    const V2 n{-(q.y - p.y) / l, (q.x - p.x) / l};  // left of the limb, picture frame
    const V3 v1 = View(d1), v2 = View(d2);
    const float c1 = v1.x * n.x - v1.y * n.y, c2 = v2.x * n.x - v2.y * n.y;
    const float m = most * Max(ka, kb) * 1.35f;
    Prim* o = Add(Min(p.x, q.x) - m, Min(p.y, q.y) - m, Max(p.x, q.x) + m, Max(p.y, q.y) + m, kAdd);
    if (!o) return;
    o->kind = kLimbPrim;
    o->a[0] = p.x; o->a[1] = p.y; o->a[2] = q.x; o->a[3] = q.y;
    const float wild = scene->style.uneven;
    for (int i = 0; i < kKnots; ++i) {
      const float k = Mix(ka, kb, i / (kKnots - 1.0f));
      const bool end = i == 0 || (i == kKnots - 1 && hem < -1);
      const float b1 = end ? 0 : g1[i] * c1, b2 = end ? 0 : g2[i] * c2, g = b1 + b2;
      const float j1 = end ? 0 : (Hash(scene->prims * 13 + i, scene->style.hand) - 0.5f) * wild;
      const float j2 = end ? 0 : (Hash(scene->prims * 17 + i, scene->style.hand + 5) - 0.5f) * wild;
      o->a[4 + i] = Max(r[i] * 0.5f, r[i] * (1 + j1) + (g > 0 ? g : g * 0.5f)) * k;
      o->a[4 + kKnots + i] = Max(r[i] * 0.5f, r[i] * (1 + j2) + (g < 0 ? -g : -g * 0.5f)) * k;
    }
    o->a[16] = hem >= -1 ? 1.0f : 0.0f;
    const V3 axis = Unit(View(b - a));
    o->a[17] = hem >= -1 ? (hem + Clamp(axis.z * 0.8f, -0.6f, 0.6f)) * o->a[4 + kKnots - 1] : 0;
    o->a[18] = scene->style.angular ? 1.0f : 0.0f;
    o->a[19] = flat ? 1.0f : 0.0f;
  }
  // A smooth curve through `n` points as `m` points; ends are met.
  AL_BOTH void Curve(const V2* c, int n, V2* out, int m) const {
    for (int j = 0; j < m; ++j) {
      const float t = j * (n - 1.0f) / (m - 1);
      int i = static_cast<int>(t);
      if (i > n - 2) i = n - 2;
      const float f = t - i;
      const V2 p0 = c[i > 0 ? i - 1 : 0], p1 = c[i], p2 = c[i + 1], p3 = c[i < n - 2 ? i + 2 : n - 1];
      if (scene->style.angular) { out[j] = Mix(p1, p2, f); continue; }
      out[j] = p1 + ((p2 - p0) + ((p0 * 2.0f - p1 * 5.0f + p2 * 4.0f - p3) + ((p1 - p2) * 3.0f + p3 - p0) * f) * f) * (0.5f * f);
    }
  }
  // Closed smooth contour through at most 12 points.
  AL_BOTH void Blob(const V2* c, int n, int op = kAdd) {
    V2 o[kPolygon];
    float x0 = c[0].x, x1 = x0, y0 = c[0].y, y1 = y0;
    for (int i = 1; i < n; ++i) { x0 = Min(x0, c[i].x); x1 = Max(x1, c[i].x); y0 = Min(y0, c[i].y); y1 = Max(y1, c[i].y); }
    const int corners = static_cast<int>(Clamp((x1 - x0 + y1 - y0) * 0.35f, static_cast<float>(n), static_cast<float>(kPolygon)));  // small ones need few
    if (scene->style.angular || corners <= n) { Polygon(c, n, op); return; }
    for (int j = 0; j < corners; ++j) {
      const float t = j * static_cast<float>(n) / corners;
      const int i = static_cast<int>(t);
      const float f = t - i;
      const V2 p0 = c[(i + n - 1) % n], p1 = c[i % n], p2 = c[(i + 1) % n], p3 = c[(i + 2) % n];
      o[j] = p1 + ((p2 - p0) + ((p0 * 2.0f - p1 * 5.0f + p2 * 4.0f - p3) + ((p1 - p2) * 3.0f + p3 - p0) * f) * f) * (0.5f * f);
    }
    Polygon(o, corners, op);
  }
  // Tube of cloth with a cut end at b: round at a, straight hem at b.
  AL_BOTH void Tube(V3 a, float ra, V3 b, float rb) {
    const V2 p = Project(a), q = Project(b);
    const float ka = ra * ScaleAt(a), kb = rb * ScaleAt(b), l = Length(q - p);
    if (l < 0.6f * kb) { Capsule(p, ka, q, kb); return; }
    const V2 n{-(q.y - p.y) / l, (q.x - p.x) / l};
    const V2 v[4] = {p + n * ka, q + n * kb, q - n * kb, p - n * ka};
    Capsule(p, ka, p, ka * 0.99f);
    Polygon(v, 4);
  }
  // Convex hull of circles as a polygon of at most kPolygon corners.
  AL_BOTH void Hull(const V2* c, const float* r, int m, int op = kAdd) {
    V2 q[64];
    int n = 0;
    for (int i = 0; i < m && n <= 56; ++i)
      for (int j = 0; j < 8; ++j) q[n++] = {c[i].x + r[i] * cosf(j * kTau / 8), c[i].y + r[i] * sinf(j * kTau / 8)};
    V2 h[kPolygon];
    int count = 0, start = 0;
    for (int i = 1; i < n; ++i) if (q[i].x < q[start].x) start = i;
    int at = start;
    do {
      if (count >= kPolygon) break;
      h[count++] = q[at];
      int next = (at + 1) % n;
      for (int i = 0; i < n; ++i) {
        const V2 u = q[next] - q[at], w = q[i] - q[at];
        const float turn = u.x * w.y - u.y * w.x;
        if (next == at || turn < -1e-4f || (turn < 1e-4f && Length(w) > Length(u) && i != at)) next = i;
      }
      at = next;
    } while (at != start);
    if (count >= 3) Polygon(h, count, op);
  }
  AL_BOTH void HideLine(V3 at, float r) {
    const V2 p = Project(at);
    Shape& s = Now();
    s.hide_x = p.x; s.hide_y = p.y; s.hide_r = r * ScaleAt(at);
  }
};

AL_BOTH void Patterned(Shape& s, Random& r, float chance) {
  if (!r.Chance(chance)) return;
  s.texture = 1 + r.Below(kTextures - 1);
  s.fill2 = r.Chance(0.55f) ? Dim(s.fill, r.In(0.4f, 0.85f)) : RandomColour(r);
  const float t = r.In(0, kTau);
  if (s.texture == kGradient) {
    s.tx = cosf(t); s.ty = sinf(t);
    s.t0 = s.tx * (s.x0 + s.x1) * 0.5f + s.ty * (s.y0 + s.y1) * 0.5f + r.Bell(8);
    s.ts = r.Chance(0.4f) ? 1.0f : r.In(0.01f, 0.1f);
  } else if (s.texture == kStripes || s.texture == kChecks) {
    const float f = r.In(0.25f, 1.3f);
    s.tx = cosf(t) * f; s.ty = sinf(t) * f; s.t0 = r.In(0, 6);
  } else if (s.texture == kMottle || s.texture == kDots) {
    s.tx = s.texture == kDots ? r.In(0.3f, 0.9f) : r.In(0.03f, 0.25f); s.t0 = r.In(0, 99);
  } else {
    s.t0 = r.In(2, 12);
  }
}

}  // namespace drawer
