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

  AL_BOTH void Folds(V3 a, V3 b, float depth, int n, float chance) {
    if (look.width <= 0 || !r.Chance(chance)) return;
    for (int i = 0; i < n; ++i) {
      const V2 at = e.Project(Mix(a, b, r.In(0.1f, 0.95f)));
      const float t = r.In(0, kTau), l = r.In(3, 13);
      const V2 mid = at + V2{cosf(t), sinf(t)} * (l * 0.5f) + V2{r.Bell(1.5f), r.Bell(1.5f)};
      const V2 p[3] = {at, mid, at + V2{cosf(t), sinf(t)} * l};
      Stroke(e, depth, look.ink, p, 3, look.width * r.In(0.4f, 0.9f));
    }
  }

  // The limb's own colour; darker when the other one of the pair is clearly nearer.
  AL_BOTH Colour Own(Colour c, float depth, float other) const { return other > depth + 0.025f ? Dim(c, o.far_shade) : c; }
  AL_BOTH float LegDepth(int i) const { return e.Depth(Mix(k.hip[i], k.ankle[i], 0.5f)); }
  AL_BOTH float ArmDepth(int i) const { return e.Depth(k.elbow[i]); }
};

}  // namespace drawer
