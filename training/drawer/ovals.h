// Figures of ovals: a ball, a bean and four strokes that bend, as signs and quick notes have them.
#pragma once
#include "head.h"
#include "painting.h"

namespace drawer {

// Limbs of such figures start on the bean, not at shoulders and hips of their own.
AL_BOTH void DrawLimbsIn(Random& r, Skeleton& k) {
  const float arms = r.In(0.2f, 0.9f), legs = r.In(0.1f, 0.7f);
  for (int i = 0; i < 2; ++i) {
    k.shoulder[i] = Mix(k.shoulder[i], k.pit - k.chest.y * (k.p.trunk * 0.06f), arms);
    k.hip[i] = Mix(k.hip[i], k.root, legs);
  }
}

struct OvalPainter : Painting {
  Colour body, limb, end;
  float thick, outline;
  bool wire, round;

  AL_BOTH explicit OvalPainter(const Painting& p) : Painting(p) {
    const float u = r.F();
    body = look.top;
    limb = u < 0.5f ? body : u < 0.75f ? look.ink : look.bottom;
    end = r.Chance(0.6f) ? body : look.skin;
    wire = r.Chance(0.35f);
    round = r.Chance(0.6f);
    thick = wire ? Max(look.width, 0.9f) * 0.55f / e.scale : r.In(0.006f, 0.03f);
    outline = wire ? 0 : look.width;
  }
  AL_BOTH float Before(V3 at) const { return e.Depth(at) > trunk ? trunk + 0.02f : trunk - 0.02f; }
  AL_LARGE void Limb(V3 a, V3 joint, V3 b, float depth) {
    e.Begin(depth, wire ? look.ink : limb, look.ink, outline);
    if (round) {
      const V3 c = joint * 2.0f - (a + b) * 0.5f;  // the curve passes the joint half-way
      V3 last = a;
      for (int j = 1; j <= 6; ++j) {
        const float t = j / 6.0f;
        const V3 at = a * ((1 - t) * (1 - t)) + c * (2 * t * (1 - t)) + b * (t * t);
        e.Capsule(last, thick, at, thick);
        last = at;
      }
    } else {
      e.Capsule(a, thick, joint, thick);
      e.Capsule(joint, thick, b, thick);
    }
  }
  // An oval from one point to another.
  AL_LARGE void Oval(V3 a, V3 b, float wide, float depth, Colour c, float line) {
    const V3 y = Unit(b - a), x = Unit(Cross(y, fabsf(y.z) < 0.9f ? V3{0, 0, 1} : V3{1, 0, 0}));
    e.Begin(depth, c, look.ink, line);
    e.Ellipsoid(Mix(a, b, 0.5f), {x, y, Cross(x, y)}, {wide, Length(b - a) * 0.5f, wide});
  }
  AL_LARGE void Draw(HeadLabels& out) {
    const Proportions& p = k.p;
    const float line = look.width;
    const bool printed = r.Chance(0.5f);
    for (int i = 0; i < 2; ++i) {
      const float leg = Before(Mix(k.hip[i], k.knee[i], 0.7f)), arm = Before(Mix(k.elbow[i], k.wrist[i], 0.4f));
      Limb(k.hip[i], k.knee[i], k.ankle[i], leg);
      Limb(k.shoulder[i], k.elbow[i], k.wrist[i], arm);
      const float foot = p.foot_height * r.In(0.4f, 0.7f), hand = Length(k.tip[i] - k.wrist[i]) * r.In(0.3f, 0.5f);
      if (r.Chance(0.9f)) Oval(Mix(k.heel[i], k.ankle[i], 0.3f), k.toe[i], Max(foot, 0.012f), leg + 2e-3f, end, line);
      if (r.Chance(0.9f)) Oval(k.wrist[i], k.tip[i], Max(hand, 0.012f), arm + 2e-3f, end, line);
    }
    const float wide = p.shoulder * r.In(0.35f, 0.95f);
    e.Begin(trunk, body, look.ink, line);
    const V3 low = k.root - k.pelvis.y * (p.trunk * r.In(0, 0.1f)), high = k.pit + k.chest.y * (p.trunk * r.In(-0.02f, 0.06f));
    const V3 y = Unit(high - low);
    const Axes m{Unit(Across(k.chest.x, y)), y, Unit(Across(k.chest.z, y))};
    e.Ellipsoid(Mix(low, high, 0.5f), m, {wide, Length(high - low) * 0.5f, Max(p.chest_depth, wide * 0.6f)});
    if (printed) Patterned(e.Now(), r, 0.6f);

    for (int i = 0; i < kHeadPoints; ++i) out.Set(i, {0, 0}, 0);
    const float size = 0.5f * p.head * r.In(0.8f, 1.02f);
    const V3 ball{size * r.In(0.75f, 1.05f), size, size * 0.9f};
    const float before = e.Depth(k.skull) < trunk - 0.1f ? trunk - 0.05f : trunk + 0.012f;
    e.Begin(before, body, look.ink, line);
    e.Ellipsoid(k.skull, k.head, ball);
    if (printed) Patterned(e.Now(), r, 0.6f);
    const V2 centre = e.Project(k.skull), toward = e.Project(k.skull + k.head.y) - centre;
    const float l = Length(toward);
    const V2 up = l > 1e-3f ? toward * (1 / l) : V2{0, -1};
    const V2 top = e.OutlineToward(k.skull, k.head, ball, up), bottom = e.OutlineToward(k.skull, k.head, ball, up * -1.0f);
    out.Set(kHpTop, top);
    out.Set(kHpCrown, top);
    out.Set(kHpChin, bottom);
    if (!look.simple && r.Chance(0.25f) && e.View(k.head.z).z > 0.3f) {  // two dots and a smile
      for (int j = -1; j <= 1; j += 2) {
        const V3 at = k.skull + k.head.x * (j * ball.x * 0.35f) + k.head.y * (size * 0.15f) + k.head.z * ball.z;
        e.Begin(before + 1e-3f, look.ink, look.ink, 0);
        e.Capsule(at, size * 0.09f, at - k.head.y * (size * 0.05f), size * 0.09f);
      }
      BeginMarks(before + 1.1e-3f, look.ink);
      const V3 mouth = k.skull - k.head.y * (size * 0.4f) + k.head.z * ball.z;
      Mark(e.Project(mouth - k.head.x * (ball.x * 0.4f)), e.Project(mouth + k.head.x * (ball.x * 0.4f)), r.In(0.1f, 0.3f), Max(line, 0.7f));
    }
  }
};

}  // namespace drawer
