// The trunk and what it wears.
#pragma once
#include "painting.h"

namespace drawer {

struct TrunkPainter : Painting {
  AL_BOTH explicit TrunkPainter(const Painting& p) : Painting(p) {}

  // The neck: narrowest below the jaw, spreading into the shoulders.
  AL_BOTH void Neck(float neck, V3 nape) {
    e.Capsule(k.neck - k.chest.y * 0.03f, neck * 1.3f, Mix(k.neck, nape, 0.4f), neck * 0.97f);
    e.Capsule(Mix(k.neck, nape, 0.4f), neck * 0.97f, nape, neck);
  }
  // Outline of the trunk from its sections, which are broader at the sides than deep, with bust, belly and seat. `low` below 0:
  // the whole trunk; else a garment to `low` of the way from waist to hips that stands off by `wide` there.
  // False where the trunk is seen end on and has no sides.
  AL_BOTH bool Contour(float grow, float wide, float low) {
    const Proportions& p = k.p;
    const V2 top = e.Project(k.pit), end = e.Project(k.root);
    const float l = Length(end - top);
    if (l < 0.55f * p.trunk * e.ScaleAt(k.waist)) return false;
    struct Section { V3 at; Axes m; float side, front, back; } s[8];
    const Axes &c = k.chest, &m = k.middle, &b = k.pelvis;
    const float d = p.chest_depth, bust = p.bust > 0 && !look.simple ? p.bust : 0, pec = bust > 0 ? 1 + 0.6f * bust : 1 + 0.12f * o.muscle;
    int n = 0;
    s[n++] = {(k.shoulder[0] + k.shoulder[1]) * 0.5f - c.y * (p.r_shoulder * 0.5f), c, Min(p.chest * 0.85f, p.shoulder * 0.85f), d * 0.75f, d * 0.85f};
    s[n++] = {Mix(k.waist, k.pit, 0.68f), c, p.chest, d * Mix(1, pec, 0.7f), d};
    s[n++] = {Mix(k.waist, k.pit, 0.45f), c, p.chest * 0.97f, d * pec, d * 0.95f};
    s[n++] = {Mix(k.waist, k.pit, 0.18f), m, Mix(p.chest, p.waist, 0.65f), d * 0.92f + p.belly * 0.4f, d * 0.8f};
    s[n++] = {Mix(k.waist, k.root, 0.08f), m, p.waist + p.belly * 0.3f, d * 0.85f + p.belly, d * 0.72f};
    const float hips = low < 0 ? 1 : Min(low, 1);
    s[n++] = {Mix(k.waist, k.root, 0.2f + 0.35f * hips), m, Mix(p.waist, p.pelvis, 0.6f * hips) + p.belly * 0.25f, d * 0.9f + p.belly * 0.8f, d * (0.75f + 0.2f * hips)};
    const float t = low < 0 ? 1 : Max(low, 0.3f);
    s[n++] = {Mix(k.waist, k.root, t), b, Mix(p.waist, p.pelvis, Min(t, 1)), d * 0.9f + p.belly * 0.35f, d * Mix(0.75f, 1.2f, Min(t, 1))};
    if (low < 0) s[n++] = {k.root - b.y * (p.r_thigh * 0.9f), b, p.pelvis * 0.72f, d * 0.6f, d * 0.95f};
    V2 left[8], right[8];
    for (int j = 0; j < n; ++j) {
      const V2 here = e.Project(s[j].at), before = e.Project(s[j > 0 ? j - 1 : 0].at), after = e.Project(s[j + 1 < n ? j + 1 : j].at);
      V2 along = after - before;
      const float al = Length(along);
      along = al > 1e-3f ? along * (1 / al) : V2{0, 1};
      const V2 across{along.y, -along.x};
      const float by = e.ScaleAt(s[j].at) * (grow + (n - 1 == j && low >= 0 ? wide : n - 2 == j && low >= 0 ? wide * 0.5f : 0.0f));
      for (int i = 0; i < 2; ++i) {
        const V2 dir = i == 0 ? across : across * -1.0f;
        const V3 x = e.View(s[j].m.x), z = e.View(s[j].m.z);
        const float cx = dir.x * x.x - dir.y * x.y, cz = dir.x * z.x - dir.y * z.y, dz = cz > 0 ? s[j].front : s[j].back;
        const float reach = sqrtf(cx * cx * s[j].side * s[j].side + cz * cz * dz * dz) * (1 + (e.Chance(20 + 2 * j + i) - 0.5f) * e.scene->style.uneven * 0.5f);
        (i == 0 ? left : right)[j] = here + dir * (reach * by);
      }
    }
    V2 o2[kPolygon], back[11];
    e.Curve(left, n, o2, 11);
    e.Curve(right, n, back, 11);
    const V2 down = Mix(left[n - 1], right[n - 1], 0.5f) - e.Project(s[n - 2].at);
    const float dl = Length(down) + 1e-3f, across = Length(left[n - 1] - right[n - 1]);
    o2[11] = Mix(left[n - 1], right[n - 1], 0.3f) + down * (across * hem_curve / dl);
    o2[12] = Mix(left[n - 1], right[n - 1], 0.7f) + down * (across * hem_curve / dl);
    for (int j = 0; j < 11; ++j) o2[13 + j] = back[10 - j];
    e.Polygon(o2, 24);
    return true;
  }

  // Trousers from the waistband down to the crotch, as broad as the hips on either side.
  AL_BOTH void Seat(float up, float seat) {
    const Proportions& p = k.p;
    const Axes &m = k.middle, &b = k.pelvis;
    const float s = e.ScaleAt(k.root), d = p.chest_depth * 1.1f;
    const V3 band = Mix(k.root, k.waist, up);
    V2 v[6];
    auto reach = [&](const Axes& a, float side, float depth) { const V3 x = e.View(a.x), z = e.View(a.z); return sqrtf(x.x * x.x * side * side + z.x * z.x * depth * depth); };
    V2 across = e.Project(band + m.x * 0.1f) - e.Project(band - m.x * 0.1f);
    const V2 spine = e.Project(k.waist) - e.Project(k.root);
    across = Length(spine) > 1 ? V2{-spine.y, spine.x} * (1 / Length(spine)) : across * (1 / (Length(across) + 1e-3f));
    const float w1 = reach(m, Mix(p.pelvis, p.waist, up) * 1.06f, d * 0.85f) * s, w2 = Max(reach(b, p.pelvis * 1.06f, d) * s, seat * s), w3 = w2 * 0.85f;
    const V2 c1 = e.Project(band), c2 = e.Project(k.root), c3 = e.Project(k.root - b.y * (p.r_thigh * 0.7f));
    v[0] = c1 - across * w1; v[1] = c1 + across * w1; v[2] = c2 + across * w2; v[3] = c3 + across * w3; v[4] = c3 - across * w3; v[5] = c2 - across * w2;
    e.Polygon(v, 6);
    if (!look.simple && Lined() && r.Chance(0.4f) && e.View(b.z).z > 0.2f) {  // fly
      BeginMarks(trunk + 1.5e-3f, FoldColour(look.bottom));
      const V3 f = b.z * d;
      Mark(e.Project(band + f), e.Project(k.root - b.y * (p.r_thigh * 0.5f) + f), 0.08f, FoldWidth());
    }
  }

  float hem_curve = 0.05f;

  AL_BOTH void Trunk() {
    hem_curve = r.In(-0.02f, 0.14f);
    const Proportions& p = k.p;
    const Axes &c = k.chest, &m = k.middle, &b = k.pelvis;
    const float size = p.trunk / 0.3f, facing = e.View(c.z).z;
    const float neck = Min(p.head_half_width * 0.75f, 0.026f * p.bulk * r.In(0.8f, 1.4f));
    const V3 nape = k.skull - k.head.y * (p.head * 0.25f) - k.head.z * (p.head_half_depth * 0.1f);
    // skin: neck and what clothes leave bare
    const float shoulders = p.r_shoulder * 0.8f;
    e.Begin(trunk - 2e-3f, look.skin, look.ink, look.width, 2);
    if (!look.simple || r.Chance(0.5f)) Neck(neck, nape);
    for (int i = 0; i < 2; ++i) e.Capsule(k.shoulder[i], shoulders, k.neck, neck);
    if (look.bare || !o.legs) e.Capsule(k.hip[0], p.r_thigh * 0.85f, k.hip[1], p.r_thigh * 0.85f);
    if (!Contour(1, 0, look.bare ? -1 : 0.85f)) {
      e.Ellipsoid(Mix(k.waist, k.pit, 0.45f), c, {p.chest, p.trunk * 0.36f, p.chest_depth});
      e.Ellipsoid(k.root + b.y * (p.trunk * 0.1f), b, {p.pelvis, p.trunk * 0.2f, p.chest_depth * 1.1f});
      e.Capsule(k.waist, p.waist * 0.8f, k.root + b.y * (p.trunk * 0.08f), p.waist * 0.8f);
    }
    if (look.bare) e.HideLine(k.root - b.y * (p.r_thigh * 0.9f), p.hip + p.r_thigh * 0.8f);  // thighs grow out of it
    Patterned(e.Now(), r, look.pattern * look.wild * 0.5f);
    // the garment
    const float cf = o.cloth;
    const Colour cloth = look.bare ? look.skin : look.top;
    const bool crop = r.Chance(0.08f);
    const float low = crop ? 0.1f : o.legs && r.Chance(0.5f) ? 0.55f : r.In(0.75f, 1.15f);
    const bool whole = look.bare || (!o.legs && !o.skirt && !o.coat);  // bare, or a swimming or gymnast's suit
    e.Begin(trunk, cloth, look.ink, look.width, r.In(2, 7));
    if (!Contour(cf, whole ? 0 : o.jacket_wide - 1, whole ? -1 : low)) {
      e.Ellipsoid(Mix(k.waist, k.pit, 0.48f), c, {p.chest * cf, p.trunk * 0.4f, p.chest_depth * cf});
      const V3 ribs = Mix(k.waist, k.pit, 0.5f);
      for (int i = 0; i < 2; ++i) {
        const float side = i == 0 ? 1.0f : -1.0f;
        const V3 w = k.waist + m.x * (side * p.waist * 0.45f), end = Mix(w, k.root + b.x * (side * p.pelvis * 0.45f), low);
        e.Capsule(ribs + c.x * (side * p.chest * 0.45f), p.chest * 0.5f * cf, w, p.waist * 0.55f * cf);
        e.Capsule(w, p.waist * 0.55f * cf, end, Mix(p.waist, p.pelvis, Min(low, 1)) * 0.55f * cf);
      }
      if (p.belly > 0) e.Ellipsoid(Mix(k.root, k.waist, 0.7f) + m.z * (p.belly * 0.5f), m, {p.waist * 1.1f + p.belly * 0.3f, p.trunk * 0.3f, p.belly + 0.03f});
      if (p.bust > 0 && !look.simple) e.Ellipsoid(Mix(k.waist, k.pit, 0.62f) + c.z * (p.chest_depth * 0.55f), c, {p.chest * 0.8f, p.chest * 0.5f * p.bust, p.chest_depth * 0.95f});
    }
    if (look.bare) Neck(neck, nape);
    for (int i = 0; i < 2; ++i) {
      const float side = i == 0 ? 1.0f : -1.0f;
      e.Capsule(k.shoulder[i] - c.x * (side * p.r_shoulder * 0.3f), p.r_shoulder * 0.95f * Min(cf, 1.15f), k.neck - c.y * (0.02f * size), p.r_shoulder * 0.9f);
    }
    if (!look.simple && !look.bare && r.Chance(0.07f))  // no neck: the head sunk between raised shoulders
      for (int i = 0; i < 2; ++i) e.Capsule(k.shoulder[i], p.r_shoulder * 0.9f * Min(cf, 1.15f), Mix(k.neck, nape, r.In(0.6f, 1)), neck * r.In(1.2f, 2));
    if (look.technique == kPictogram || r.Chance(0.06f)) {  // boxy
      V2 q[4];
      float rad[4];
      for (int i = 0; i < 4; ++i) {
        const V3 at = i < 2 ? k.shoulder[i] : k.hip[i - 2];
        q[i] = e.Project(at);
        rad[i] = p.r_shoulder * e.ScaleAt(at);
      }
      e.Hull(q, rad, 4);
    }
    if (look.bare) Patterned(e.Now(), r, look.pattern * look.wild);
    else Wear(true);
    if (look.bare) e.HideLine(k.root - b.y * (p.r_thigh * 0.9f), p.hip + p.r_thigh * 0.8f);
    if (look.bare && !look.simple && look.technique != kMannequin) Scanty(facing);
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
      Seat(r.In(0.25f, 0.95f), seat);
      e.HideLine(k.root - b.y * p.r_thigh, p.hip + seat * 0.75f);  // no line from thigh to thigh
      Wear(false);
      if (r.Chance(0.08f) && facing > 0.2f)  // braces
        for (int i = 0; i < 2; ++i) {
          const float side = i == 0 ? 1.0f : -1.0f;
          e.Begin(trunk + 2.2e-3f, look.bottom, look.ink, look.width * 0.7f);
          e.Capsule(k.shoulder[i] - c.x * (side * p.shoulder * 0.45f) + c.y * 0.02f, 0.01f, k.waist - m.y * 0.02f + m.x * (side * p.waist * 0.5f) + m.z * p.chest_depth, 0.01f);
        }
    }
    if (!look.bare && !look.simple && r.Chance(0.08f)) {  // a collar that stands up before chin and nape
      const V3 top = Mix(k.neck, nape, r.In(0.5f, 1.1f)), foot = k.neck - c.y * 0.03f;
      e.Begin(trunk + (facing > -0.1f ? r.Chance(0.5f) ? 8.6e-3f : 4e-3f : 4e-2f), r.Chance(0.5f) ? cloth : look.accent, look.ink, look.width, 1);
      Even(foot, neck * r.In(1.3f, 2.2f), top, neck * r.In(1.15f, 2), r.In(-0.3f, 0.2f));
      Wear(true);
    }
    if (!look.bare) Trimmings(facing, size);
    if (look.bare && !look.simple && look.width > 0) Anatomy(facing);
    if (!look.bare && !look.simple) TrunkFolds();
  }
  // Bathing dress on a bare figure, and the creases of the groin.
  AL_BOTH void Scanty(float facing) {
    const Proportions& p = k.p;
    const Axes &c = k.chest, &b = k.pelvis;
    if (r.Chance(look.calm ? 0.75f : 0.3f)) {
      e.Begin(trunk + 1e-3f, look.bottom, look.ink, look.width, 1);
      Seat(r.In(0.05f, 0.6f), p.r_thigh);
      if (r.Chance(0.7f))  // cut away at the thighs
        for (int i = 0; i < 2; ++i) e.Ellipsoid(k.hip[i] + (k.knee[i] - k.hip[i]) * 0.28f + b.x * ((i == 0 ? 1.0f : -1.0f) * p.r_thigh * 0.5f), b, {p.r_thigh * 0.95f, p.r_thigh * 1.5f, p.r_thigh * 2}, kCut);
      if (p.bust > 0) {
        const V3 at = Mix(k.waist, k.pit, 0.55f);
        const float d = p.chest_depth * (1 + 0.6f * p.bust);
        e.Begin(trunk + 1e-3f, look.bottom, look.ink, look.width, 1);
        e.Ellipsoid(at, c, {p.chest * 1.02f, p.trunk * r.In(0.06f, 0.12f), d * 1.02f});
        if (facing > 0.1f) for (int i = 0; i < 2; ++i) {
          const float side = i == 0 ? 1.0f : -1.0f;
          e.Capsule(at + c.x * (side * p.chest * 0.5f) + c.z * d * 0.8f, 0.006f, k.shoulder[i] - c.x * (side * p.shoulder * 0.5f), 0.005f);
        }
      }
    } else if (Lined() && facing > 0.1f) {
      BeginMarks(trunk + 1e-3f, look.ink);
      for (int i = 0; i < 2; ++i) {
        const float side = i == 0 ? 1.0f : -1.0f;
        const V3 f = b.z * (p.chest_depth * 0.8f);
        Mark(e.Project(k.root + b.x * (side * p.pelvis * r.In(0.6f, 0.9f)) + b.y * (p.r_thigh * r.In(0, 0.4f)) + f), e.Project(k.root + b.x * (side * p.pelvis * 0.12f) - b.y * (p.r_thigh * 0.95f) + f), side * 0.1f, look.width * 0.7f);
      }
    }
  }
  // Cloth pulled at the waist, from shoulder to chest, and hanging.
  AL_BOTH void TrunkFolds() {
    if (o.folds <= 0) return;
    const Proportions& p = k.p;
    const float s = e.ScaleAt(k.waist), at = trunk + 3e-3f;
    const float sign = e.View(k.chest.z).z > 0 ? 1.0f : -1.0f;
    const V3 f = k.middle.z * (p.chest_depth * 0.7f * sign);
    for (int i = 0; i < 2; ++i) if (r.Chance(o.folds)) {  // at the side of the waist, more where it bends
      const float side = i == 0 ? 1.0f : -1.0f;
      const V3 w = k.waist + k.middle.x * (side * p.waist * 0.95f) - k.middle.y * (p.trunk * r.In(0, 0.12f));
      const V2 from = e.Project(w), to = e.Project(k.waist + f + k.middle.y * (p.trunk * r.Bell(0.1f)));
      BeginMarks(at, FoldColour(look.top));
      Fan(from, to - from, 1.2f, k.side_flex * side < -0.1f ? 4 : 2, p.waist * r.In(0.6f, 1.1f) * s);
    }
    if (r.Chance(o.folds * 0.7f)) LongFolds(e.Project(Mix(k.waist, k.pit, 0.75f) + f), e.Project(Mix(k.waist, k.root, 0.8f) + f), p.chest * 0.8f * s, look.top, at, 1 + r.Below(3));
    if (p.bust > 0 && r.Chance(o.folds)) {
      const V2 from = e.Project(Mix(k.waist, k.pit, 0.5f) + k.chest.x * (r.Sign() * p.chest * 0.5f) + f);
      BeginMarks(at, FoldColour(look.top));
      Fan(from, e.Project(k.waist) - from, 0.8f, 2, p.trunk * 0.3f * s);
    }
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
  // Neckband, hem band, seams, yoke: lines alone.
  AL_BOTH void LineTrims(float facing) {
    const Proportions& p = k.p;
    const Axes &c = k.chest, &m = k.middle;
    const float sign = facing > 0 ? 1.0f : -1.0f, w = FoldWidth() * 0.8f, at = trunk + 1.6e-3f;
    const V3 f = c.z * (p.chest_depth * sign);
    auto arc = [&](V3 a, V3 mid, V3 b) {
      const V2 q[3] = {e.Project(a), e.Project(mid), e.Project(b)};
      V2 o2[5];
      e.Curve(q, 3, o2, 5);
      for (int j = 0; j < 4; ++j) e.Capsule(o2[j], w * 0.4f, o2[j + 1], w * 0.4f);
    };
    BeginMarks(at, FoldColour(look.top));
    if (r.Chance(0.5f)) {  // neckband
      const float n = p.shoulder * r.In(0.25f, 0.45f), drop = p.trunk * r.In(0.03f, 0.12f);
      arc(k.neck + c.x * n + f * 0.2f, k.pit + f * 0.9f - c.y * drop, k.neck - c.x * n + f * 0.2f);
    }
    if (r.Chance(0.3f)) {  // band above the hem
      const V3 b = Mix(k.waist, k.root, r.In(0.3f, 0.8f)), g = m.z * (p.chest_depth * sign);
      arc(b + m.x * (p.waist * 0.95f), b + g - m.y * 0.01f, b - m.x * (p.waist * 0.95f));
    }
    if (r.Chance(0.15f)) {  // yoke
      const V3 b = Mix(k.waist, k.pit, r.In(0.6f, 0.85f));
      arc(b + c.x * (p.chest * 0.9f), b + f - c.y * (p.trunk * r.In(-0.03f, 0.05f)), b - c.x * (p.chest * 0.9f));
    }
    if (facing > 0.1f && r.Chance(0.2f)) arc(k.pit + f * 0.9f, k.waist + f, Mix(k.waist, k.root, 0.8f) + f);  // opening
    for (int i = 0; i < 2; ++i) if (r.Chance(0.2f)) {  // where the sleeve is set in
      const V3 a = k.shoulder[i] + c.y * (p.r_shoulder * 0.8f) - c.x * ((i == 0 ? 1.0f : -1.0f) * p.r_shoulder * 0.8f), b = a - c.y * (p.r_shoulder * 2.2f);
      arc(a + f * 0.2f, Mix(a, b, 0.5f) + f * 0.8f, b + f * 0.5f);
    }
  }
  AL_BOTH void Trimmings(float facing, float size) {
    if (!look.simple && fabsf(facing) > 0.15f && r.Chance(0.6f)) LineTrims(facing);
    const Proportions& p = k.p;
    const Axes &c = k.chest, &m = k.middle;
    const V3 front = c.z * p.chest_depth;
    if (r.Chance(0.28f) && !o.dress) {  // belt or sash
      const V3 at = Mix(k.root, k.waist, r.In(0.5f, 1.1f));
      const float h = 0.012f * r.In(0.7f, 2.2f);
      e.Begin(trunk + 3e-3f, look.accent, look.ink, look.width * 0.8f);
      e.Capsule(at + m.x * (p.waist * 0.95f), h, at - m.x * (p.waist * 0.95f), h);
      if (facing > 0.2f && r.Chance(0.5f)) {
        const V3 b = at + m.z * p.chest_depth + m.x * r.Bell(0.02f);
        e.Begin(trunk + 3.1e-3f, r.Chance(0.5f) || look.InLine() || look.calm ? look.accent : RandomColour(r), look.ink, look.width * 0.7f);
        e.Capsule(b, h * 1.2f, b, h * 1.19f);
        if (r.Chance(0.4f)) for (int j = -1; j <= 1; j += 2) e.Capsule(b, h * 0.7f, b - m.y * r.In(0.05f, 0.14f) + m.x * (j * 0.025f), h * 0.8f);
      }
    }
    if (!look.simple && facing > 0.15f) {
      if (o.vest || (o.coat && o.open_front)) {  // open jacket: shirt in the middle
        const float w1 = p.shoulder * r.In(0.1f, 0.4f), w2 = p.waist * r.In(0.1f, 0.6f);
        const V3 low = Mix(k.root, k.waist, r.In(0.1f, 0.7f)) + m.z * p.chest_depth;
        const V2 v[4] = {e.Project(k.neck + c.x * w1 + front * 0.3f), e.Project(k.neck - c.x * w1 + front * 0.3f), e.Project(low - m.x * w2), e.Project(low + m.x * w2)};
        e.Begin(trunk + 1.8e-3f, r.Chance(0.5f) ? look.accent : look.InLine() ? look.accent : Colour{0.95f, 0.95f, 0.95f}, look.ink, look.width * 0.8f);
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
};

}  // namespace drawer
