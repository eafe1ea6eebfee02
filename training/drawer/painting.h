// What the painters of a figure's parts share.
#pragma once
#include "canvas.h"
#include "head.h"
#include "outfit.h"
#include "pose.h"

namespace drawer {

struct Painting {
  Easel& e;
  Random& r;
  const Skeleton& k;
  const Look& look;
  Outfit o;
  float trunk;  // depth of the trunk

  // The cloth's pattern, the same on every part of one garment.
  AL_BOTH void Wear(bool top) {
    Random same{top ? o.top_seed : o.bottom_seed};
    for (int i = 0; i < 3; ++i) same.Next();
    Shape& s = e.Now();
    Patterned(s, look.wild > 0 && o.patchwork ? r : same, look.pattern);
    if (o.toned && s.texture == kPlain) {
      const float t = e.Chance(8) * kTau;
      s.texture = kToned;
      s.fill2 = Dim(s.fill, o.fold_shade * 0.9f);
      s.tx = cosf(t); s.ty = sinf(t);
      s.t0 = e.Chance(9) * 50;
      s.ts = (0.06f + 0.1f * e.Chance(10)) * Clamp(200 / e.scale, 0.6f, 2.5f);
    }
  }

  // ---- short strokes with both ends tapered: several of one colour make one shape

  AL_BOTH bool Lined() const { return look.width > 0; }
  AL_BOTH Colour FoldColour(Colour cloth) const {
    if (!Lined() || o.soft_folds) return Grey(cloth) < 0.12f ? Mix(cloth, {1, 1, 1}, 0.25f) : Dim(cloth, o.fold_shade);
    return Grey(cloth) < 0.2f && Grey(look.ink) < 0.2f ? Mix(cloth, {1, 1, 1}, 0.4f) : look.ink;
  }
  AL_BOTH float FoldWidth() const { return Lined() && !o.soft_folds ? Max(look.width * o.fold_width, 0.45f) : o.fold_width * 2.6f; }
  AL_BOTH void BeginMarks(float depth, Colour c) {
    e.Begin(depth, c, c, 0, -1);
    e.Now().light = kUnlit;
  }
  AL_BOTH void Mark(V2 a, V2 b, float bow, float width) {
    const V2 d = b - a, mid = Mix(a, b, 0.5f) + V2{-d.y, d.x} * bow;
    e.Capsule(a, width * 0.2f, mid, width * 0.55f);
    e.Capsule(mid, width * 0.55f, b, width * 0.12f);
  }
  // Lines of tension fanning out from a point.
  AL_BOTH void Fan(V2 from, V2 toward, float spread, int n, float length) {
    const float l = Length(toward) + 1e-4f;
    const V2 u{toward.x / l, toward.y / l};
    for (int j = 0; j < n; ++j) {
      const float t = (n > 1 ? (j / (n - 1.0f) - 0.5f) * spread : 0) + r.Bell(0.12f), c = cosf(t), s = sinf(t);
      const V2 d{u.x * c - u.y * s, u.x * s + u.y * c};
      Mark(from + d * (length * r.In(0, 0.25f)), from + d * (length * r.In(0.55f, 1.1f)), r.Bell(0.12f), FoldWidth() * r.In(0.7f, 1.2f));
    }
  }
  // Cloth gathered where a limb bends: strokes from the inner side of the bend, or from both sides when it is straight.
  AL_BOTH void JointFolds(V3 a, V3 joint, V3 b, float radius, Colour cloth, float depth) {
    if (o.folds <= 0 || !r.Chance(o.folds)) return;
    const V2 p = e.Project(a), q = e.Project(joint), t = e.Project(b);
    const float w = radius * e.ScaleAt(joint);
    const V2 u = (q - p) * (1 / (Length(q - p) + 1e-3f)), v = (t - q) * (1 / (Length(t - q) + 1e-3f));
    const V2 in = v - u;  // toward the inner side of the bend
    const float bend = Length(in);
    BeginMarks(depth, FoldColour(cloth));
    if (bend > 0.35f) {
      const V2 inner = q + in * (w * 0.8f / bend);
      Fan(inner, in * -1.0f, r.In(0.8f, 2.2f), 2 + r.Below(3), w * r.In(0.9f, 1.6f));
    } else {
      const V2 n{-u.y, u.x};
      const int m = 1 + r.Below(3);
      for (int j = 0; j < m; ++j) {
        const float side = j % 2 ? 1.0f : -1.0f;
        const V2 at = q + u * (w * r.In(-0.9f, 0.9f)) + n * (side * w * 0.85f);
        Mark(at, at - n * (side * w * r.In(0.5f, 1.2f)) + u * (w * r.Bell(0.35f)), r.Bell(0.2f), FoldWidth());
      }
    }
  }
  // Cloth heaped above a hem: short strokes and zigzags across.
  AL_BOTH void HemFolds(V3 a, V3 hem, float radius, Colour cloth, float depth) {
    if (o.folds <= 0 || !r.Chance(o.folds * 0.8f)) return;
    const V2 p = e.Project(a), q = e.Project(hem);
    const float l = Length(q - p), w = radius * e.ScaleAt(hem);
    if (l < 2 * w) return;
    const V2 u = (q - p) * (1 / l), n{-u.y, u.x};
    BeginMarks(depth, FoldColour(cloth));
    const int m = 1 + r.Below(3);
    float side = r.Sign();
    for (int j = 0; j < m; ++j, side = -side) {
      const V2 at = q - u * (w * (0.4f + j * r.In(0.4f, 0.8f))) + n * (side * w * 0.85f);
      const V2 to = at - n * (side * w * r.In(0.7f, 1.6f)) - u * (w * r.In(-0.2f, 0.5f));
      Mark(at, to, r.Bell(0.2f), FoldWidth());
      if (o.zigzag) Mark(to, at - u * (w * r.In(0.4f, 0.8f)), r.Bell(0.15f), FoldWidth());
    }
  }
  // Long folds that hang or pull along a part.
  AL_BOTH void LongFolds(V2 a, V2 b, float wide, Colour cloth, float depth, int n) {
    if (o.folds <= 0 || !r.Chance(o.folds)) return;
    const V2 d = b - a;
    const float l = Length(d) + 1e-3f;
    const V2 side{-d.y / l, d.x / l};
    BeginMarks(depth, FoldColour(cloth));
    for (int j = 0; j < n; ++j) {
      const float x = r.In(-0.8f, 0.8f) * wide, t0 = r.In(0, 0.55f), t1 = Min(t0 + r.In(0.2f, 0.6f), 1);
      Mark(a + d * t0 + side * (x * 0.7f), a + d * t1 + side * (x * r.In(0.6f, 1.2f)), r.Bell(0.06f), FoldWidth());
    }
  }

  // ---- limbs with the profile of a body or of cloth

  AL_BOTH V3 KneeFront(int i) const {
    const V3 axis = Unit(k.knee[i] - k.hip[i]), out = k.knee[i] - Mix(k.hip[i], k.ankle[i], 0.5f);
    return Across(out * 4.0f + k.foot_dir[i] * 0.4f, axis);
  }
  AL_BOTH V3 Outer(int i, V3 axis) const { return Across(k.pelvis.x * (i == 0 ? 1.0f : -1.0f), axis); }
  // Without a profile; with a hem both ends are cut, as a cuff's are.
  AL_BOTH void Even(V3 a, float ra, V3 b, float rb, float hem = -9) {
    const float d[kKnots] = {ra, Mix(ra, rb, 0.2f), Mix(ra, rb, 0.4f), Mix(ra, rb, 0.6f), Mix(ra, rb, 0.8f), rb}, none[kKnots] = {};
    e.Limb(a, b, d, none, {1, 0, 0}, none, {1, 0, 0}, hem, hem >= -1);
  }
  // Cloth from a to b: `puff` swells it in the middle, `flare` opens it toward b, otherwise it hangs a little to one side.
  AL_BOTH void Cloth(V3 a, float ra, V3 b, float rb, float puff, float hem) {
    float d[kKnots], g[kKnots], h[kKnots] = {};
    const float sag = Max(ra, rb) * r.In(0, 0.16f) * o.slack;
    for (int j = 0; j < kKnots; ++j) {
      const float t = j / (kKnots - 1.0f), m = 4 * t * (1 - t);
      d[j] = Mix(ra, rb, rb > ra * 1.15f ? t * t : t) + m * puff * Max(ra, rb) + (j > 0 ? r.Bell(0.045f) * o.slack * ra : 0);
      g[j] = m * sag;
    }
    e.Limb(a, b, d, g, Across(V3{r.Bell(0.4f), -1, 0}, Unit(b - a)), h, {1, 0, 0}, hem);
  }

  // How much a part comes straight at the viewer: 1 seen end on, near end first.
  AL_BOTH float Toward(V3 far, V3 near) const { return Unit(e.View(near - far)).z; }
  // A part that comes at the viewer: its near end is a form of its own in front of the rest, often drawn too large, with lines round
  // the part behind it. `next`: where the figure goes on from the near end.
  AL_LARGE void NearEnd(V3 far, float rf, V3 near, float rn, V3 next, Colour c, float depth, bool top) {
    const float t = Toward(far, near);
    if (t < 0.5f || look.simple) return;
    const float big = r.In(1.0f, 1.05f + 0.25f * t), rad = rn * big * e.ScaleAt(near);
    const V2 at = e.Project(near), from = e.Project(far), on = e.Project(next);
    V2 back = from - at;
    const float l = Length(back);
    back = l > 1 ? back * (1 / l) : V2{0, -1};
    if (rad < 2) return;
    if (r.Chance(0.7f)) {
      const V2 side{-back.y, back.x};
      const float a = r.In(0.75f, 1.0f), b = r.In(0.8f, 1.15f);
      const V2 v[8] = {at + back * (rad * b), at + back * (rad * 0.75f) + side * (rad * 0.75f), at + side * (rad * a), at + side * (rad * 0.7f) - back * (rad * 0.7f), at - back * rad,
                       at - side * (rad * 0.7f) - back * (rad * 0.7f), at - side * (rad * a), at + back * (rad * 0.75f) - side * (rad * 0.75f)};
      e.Begin(depth, c, look.ink, look.width);
      e.Blob(v, 8);
      Shape& s = e.Now();
      if (!look.bare) Wear(top);
      const V2 d = on - at;
      const float dl = Length(d) + 1e-3f;
      s.hide_x = at.x + d.x * (rad * 1.05f / dl); s.hide_y = at.y + d.y * (rad * 1.05f / dl); s.hide_r = rad * r.In(0.6f, 0.95f);
    }
    BeginMarks(depth + 1e-4f, FoldColour(c));
    const int n = 1 + r.Below(3);
    for (int j = 0; j < n; ++j) {  // the near form's contour over the far one, then cross contours
      const float u = j == 0 ? 0.08f : r.In(0.15f, 0.8f), rr = Mix(rad, rf * e.ScaleAt(far), u) * (j == 0 ? r.In(0.9f, 1.1f) : 0.95f), wide = j == 0 ? r.In(0.7f, 1.5f) : r.In(0.4f, 1.2f);
      const V2 m = Mix(at, from, u);
      const float lean = r.Bell(0.3f);
      V2 last{0, 0};
      for (int i = 0; i < 5; ++i) {
        const float g = lean + wide * (i * 0.5f - 1), cs = cosf(g), sn = sinf(g);
        const V2 q = m + V2{back.x * cs - back.y * sn, back.x * sn + back.y * cs} * rr;
        if (i > 0) e.Capsule(last, FoldWidth() * (i == 1 ? 0.2f : 0.5f), q, FoldWidth() * (i == 4 ? 0.15f : 0.5f));
        last = q;
      }
    }
  }

  // The limb's own colour; darker when the other one of the pair is clearly nearer.
  AL_BOTH Colour Own(Colour c, float depth, float other) const { return other > depth + 0.025f ? Dim(c, o.far_shade) : c; }
  AL_BOTH float LegDepth(int i) const { return e.Depth(Mix(k.hip[i], k.ankle[i], 0.5f)); }
  AL_BOTH float ArmDepth(int i) const { return e.Depth(k.elbow[i]); }
};

}  // namespace drawer
