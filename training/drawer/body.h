// A figure without its head, from what lies behind to what lies before.
#pragma once
#include "arms.h"
#include "cloaks.h"
#include "gear.h"
#include "skirts.h"
#include "strands.h"

namespace drawer {

struct SeatPainter : Painting {
  AL_BOTH explicit SeatPainter(const Painting& p) : Painting(p) {}

  // What a seated figure sits on.
  AL_BOTH void Seat() {
    const Proportions& p = k.p;
    const V3 under = (k.hip[0] + k.hip[1]) * 0.5f - k.pelvis.y * (p.r_thigh * 1.2f);
    const V2 c = e.Project(under);
    const float s = e.ScaleAt(under), ground = Max(e.Project(k.heel[0]).y, e.Project(k.heel[1]).y);
    const float w = r.In(0.07f, 0.2f) * s, bottom = Max(c.y + 8, ground + r.Bell(4));
    const Colour col = look.InLine() ? look.accent : RandomColour(r);
    const float shift = e.View(k.pelvis.z).x * -0.05f * s;
    e.figure = false;
    const int kind = r.Below(4);
    e.Begin(trunk - 0.35f, col, look.ink, look.width);
    if (kind == 0) {
      const V2 v[4] = {{c.x + shift - w, c.y}, {c.x + shift + w, c.y}, {c.x + shift + w, bottom}, {c.x + shift - w, bottom}};
      e.Polygon(v, 4);
    } else if (kind == 1) {  // stool
      e.Capsule(V2{c.x + shift - w, c.y + 3}, 3.5f, V2{c.x + shift + w, c.y + 3}, 3.5f);
      e.Capsule(V2{c.x + shift - w * 0.8f, c.y + 3}, 1.5f, V2{c.x + shift - w, bottom}, 1.5f);
      e.Capsule(V2{c.x + shift + w * 0.8f, c.y + 3}, 1.5f, V2{c.x + shift + w, bottom}, 1.5f);
    } else if (kind == 2) {  // chair with a back
      const V2 v[4] = {{c.x + shift - w, c.y - 0.3f * s}, {c.x + shift + w, c.y - 0.3f * s}, {c.x + shift + w, bottom}, {c.x + shift - w, bottom}};
      e.Polygon(v, 4);
    } else {
      e.Disc({c.x + shift, (c.y + bottom) * 0.5f + 4}, w * 1.3f, (bottom - c.y) * 0.5f + 6);
    }
    Patterned(e.Now(), r, 0.3f);
    e.figure = true;
  }
};

AL_BOTH void DrawBody(const Painting& p) {
  if (p.k.seated && !p.look.simple && p.r.Chance(0.6f)) SeatPainter(p).Seat();
  if (p.look.technique != kMannequin && p.r.Chance(p.look.calm ? 0.12f : 0.25f)) {
    StrandPainter strands(p);
    const int n = 1 + p.r.Below(p.look.calm ? 1 : 3);
    for (int i = 0; i < n; ++i) strands.Draw();
  }
  LegPainter legs(p);
  for (int i = 0; i < 2; ++i) legs.Leg(i);
  const Outfit& o = p.o;
  if (o.skirt) SkirtPainter(legs).Skirt(o.dress ? p.look.top : p.look.bottom, o.skirt_length, o.skirt_flare, false);
  if (o.coat) SkirtPainter(legs).Skirt(p.look.top, o.skirt_length, o.skirt_flare * 0.6f, o.open_front && p.e.View(p.k.chest.z).z > 0.1f);
  TrunkPainter trunk(p);
  trunk.Trunk();
  if (o.cape && (!p.look.simple || p.r.Chance(0.3f))) CloakPainter(trunk).Cloak();
  ArmPainter arms(p);
  for (int i = 0; i < 2; ++i) arms.Arm(i);
  if (!p.look.simple && !p.look.bare && p.r.Chance(p.look.calm ? 0.13f : 0.22f)) GearPainter(p).Draw();
}

}  // namespace drawer
