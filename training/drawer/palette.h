// The colours of ordinary drawings: few, and chosen to go together.
#pragma once
#include "head.h"

namespace drawer {

AL_BOTH Colour FromHue(float hue, float sat, float value) {  // hue 0..6
  float c[3];
  for (int i = 0; i < 3; ++i) {
    const float k = fmodf(5 - 2 * i + hue + 12, 6.0f);
    c[i] = value - value * sat * Max(0, Min(Min(k, 4 - k), 1));
  }
  return {c[0], c[1], c[2]};
}

AL_BOTH Colour NaturalSkin(Random& r) {
  const float u = r.F();
  Colour c = Mix(Colour{1, 0.87f, 0.78f}, Colour{0.36f, 0.22f, 0.14f}, u * u);
  if (r.Chance(0.2f)) c = {1, r.In(0.72f, 0.9f), r.In(0.6f, 0.85f)};  // the flat pink and yellow of comics
  return {Clamp(c.r + r.Bell(0.03f), 0, 1), Clamp(c.g + r.Bell(0.03f), 0, 1), Clamp(c.b + r.Bell(0.03f), 0, 1)};
}
AL_BOTH Colour NaturalHair(Random& r) {
  const float u = r.F();
  Colour c = u < 0.3f ? Colour{0.1f, 0.08f, 0.08f} : u < 0.6f ? Colour{0.38f, 0.22f, 0.12f} : u < 0.8f ? Colour{0.95f, 0.78f, 0.35f}
             : u < 0.88f ? Colour{0.75f, 0.33f, 0.12f} : u < 0.95f ? Colour{0.7f, 0.7f, 0.7f} : RandomColour(r);
  return Mix(c, {r.F(), r.F() * 0.8f, r.F() * 0.6f}, 0.1f);
}
AL_BOTH Colour Neutral(Random& r) {
  const int i = r.Below(8);
  const Colour c = i == 0 ? Colour{0.13f, 0.13f, 0.15f} : i == 1 ? Colour{0.16f, 0.2f, 0.36f} : i == 2 ? Colour{0.3f, 0.42f, 0.62f}
                   : i == 3 ? Colour{0.45f, 0.45f, 0.47f} : i == 4 ? Colour{0.8f, 0.72f, 0.57f} : i == 5 ? Colour{0.43f, 0.29f, 0.18f}
                   : i == 6 ? Colour{0.94f, 0.94f, 0.92f} : Colour{0.4f, 0.42f, 0.26f};
  return Dim(c, r.In(0.85f, 1.06f));
}

AL_BOTH void OrdinaryColours(Random& r, Look& look) {
  const float hue = r.F() * 6, sat = r.Chance(0.4f) ? r.In(0.7f, 1) : r.In(0.25f, 0.7f);
  look.skin = NaturalSkin(r);
  look.hair = NaturalHair(r);
  look.top = r.Chance(0.3f) ? Neutral(r) : FromHue(hue, sat, r.In(0.45f, 1));
  const float u = r.F();
  look.bottom = u < 0.6f ? Neutral(r) : u < 0.8f ? look.top : FromHue(hue + (r.Chance(0.5f) ? 3 : r.Bell(0.6f)), sat * 0.8f, r.In(0.35f, 0.9f));
  look.shoe = r.Chance(0.4f) ? Colour{0.1f, 0.09f, 0.09f} : r.Chance(0.5f) ? Neutral(r) : r.Chance(0.5f) ? Dim(look.top, 0.8f) : look.bottom;
  look.accent = r.Chance(0.35f) ? Colour{0.95f, 0.95f, 0.93f} : r.Chance(0.5f) ? FromHue(hue + 3, sat, r.In(0.6f, 1)) : Mix(look.top, {1, 1, 1}, 0.5f);
  if (look.accent.r > 1) look.accent = {1, 1, 1};
}

// What one colour of the ground may be behind such a figure.
AL_BOTH Colour QuietGround(Random& r) {
  const float u = r.F();
  if (u < 0.7f) return FromHue(r.F() * 6, r.In(0.03f, 0.3f), r.In(0.85f, 1));
  if (u < 0.85f) return FromHue(r.F() * 6, r.In(0.4f, 0.9f), r.In(0.5f, 0.9f));
  const float g = r.In(0.1f, 0.75f);
  return {g, g, g * r.In(0.95f, 1.1f)};
}

}  // namespace drawer
