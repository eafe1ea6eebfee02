// What a figure wears.
#pragma once
#include "head.h"
#include "pose.h"

namespace drawer {

// What the figure wears; drawn once per figure so that parts agree.
struct Outfit {
  bool skirt, dress, gown, coat, cape, apron, vest, open_front;
  int legs;              // 0 bare, 1 short, 2 long
  float leg_length, leg_loose, leg_flare;
  int sleeves;           // 0 none, 1 short, 2 long
  float sleeve_length, sleeve_loose, sleeve_flare;
  bool boots, heels, barefoot, gloves, wheels;
  float boot_length, cloth;
  float skirt_length, skirt_flare;
  // how cloth and body are drawn
  float folds, fold_width, fold_shade, slack, leg_puff, sleeve_puff;
  bool soft_folds, zigzag, pleats, wavy_hem, cuff, leg_stripe;
  int crease;            // 1 down the front of the trouser, 2 down its side
  float muscle, knit, form_lines;
  bool bony, tights;
  bool socks, open_shoe, pointed, sole, sole_pale, block_heel, laces;
  float sock_length, shoe_thick, round_toe, boot_wide;
  int hand;              // how hands are drawn
  uint32_t top_seed, bottom_seed;
  bool patchwork;        // every part has a pattern of its own
  float jacket_wide;     // how far a top stands off at its hem
  bool toned;            // cloth in flat tones
  float far_shade;       // far limbs painted darker, as many draw them; 1: not
};

AL_BOTH Outfit RandomOutfit(Random& r, const Look& look, const Skeleton& k) {
  Outfit o{};
  o.cloth = look.bare ? 1.0f : r.In(1.02f, 1.35f);
  const bool white = look.InLine() || look.simple;
  o.far_shade = !white && r.Chance(0.35f) ? r.In(0.55f, 0.9f) : 1.0f;
  o.toned = !white && r.Chance(look.width > 0 ? 0.1f : 0.25f);
  o.muscle = k.p.cartoon > 0.2f ? r.In(0, 0.7f) : r.In(0.3f, 1.5f);
  o.top_seed = r.Next();
  o.bottom_seed = r.Next();
  o.patchwork = r.Chance(0.15f);
  o.knit = r.In(0.5f, 3);
  o.form_lines = r.In(0, 0.9f);
  o.bony = r.Chance(0.6f);
  o.hand = r.Below(6);
  o.fold_width = r.Chance(0.18f) ? r.In(1.2f, 3) : r.In(0.4f, 0.95f);  // some draw folds as black wedges
  o.fold_shade = r.In(0.55f, 0.85f);
  o.soft_folds = !white && r.Chance(0.3f);
  if (look.bare) { o.barefoot = true; return o; }
  o.folds = look.simple || r.Chance(0.2f) ? 0.0f : r.In(0.3f, 1);
  o.slack = r.In(0.2f, 2);
  o.zigzag = r.Chance(0.3f);
  o.pleats = r.Chance(0.25f);
  o.wavy_hem = r.Chance(0.4f);
  o.cuff = r.Chance(0.12f);
  o.leg_stripe = r.Chance(0.06f);
  o.crease = r.Chance(0.15f) ? 1 : r.Chance(0.1f) ? 2 : 0;
  o.leg_puff = r.Chance(0.15f) ? r.In(0.1f, 0.45f) : 0;
  o.sleeve_puff = r.Chance(0.15f) ? r.In(0.1f, 0.5f) : 0;
  o.jacket_wide = r.Chance(0.35f) ? r.In(1.05f, 1.35f) : 1;
  o.socks = r.Chance(0.3f);
  o.sock_length = r.In(0.08f, 0.5f);
  o.shoe_thick = r.In(0.8f, 1.25f);
  o.open_shoe = r.Chance(0.2f);
  o.pointed = r.Chance(0.35f);
  o.round_toe = r.Chance(0.3f) ? r.In(0.1f, 0.5f) : 0;
  o.sole = r.Chance(0.45f);
  o.sole_pale = r.Chance(0.4f);
  o.block_heel = r.Chance(0.5f);
  o.laces = r.Chance(0.3f);
  o.boot_wide = r.In(1.1f, 1.6f);
  const float u = r.F();
  o.dress = u < 0.15f;
  o.skirt = u < 0.27f;
  o.coat = u >= 0.27f && u < 0.43f;
  o.cape = r.Chance(0.07f);
  o.apron = r.Chance(0.07f);
  o.vest = r.Chance(0.2f);
  o.open_front = r.Chance(0.4f);
  o.legs = o.skirt ? 0 : r.Chance(0.62f) ? 2 : r.Chance(0.85f) ? 1 : 0;
  o.leg_length = o.legs == 1 ? r.In(0.3f, 1.05f) : r.In(1.55f, 2.06f);
  o.leg_loose = r.In(1.02f, 1.25f) * (r.Chance(0.25f) ? r.In(1.1f, 1.7f) : 1);
  o.leg_flare = r.Chance(0.3f) ? r.In(1, 2.4f) : 1;
  o.sleeves = r.Chance(0.26f) ? 0 : r.Chance(0.4f) ? 1 : 2;
  o.sleeve_length = o.sleeves == 1 ? r.In(0.3f, 0.95f) : r.In(1.3f, 2.0f);
  o.sleeve_loose = r.In(1.05f, 1.35f) * (r.Chance(0.22f) ? r.In(1.1f, 1.9f) : 1);
  o.sleeve_flare = r.Chance(0.25f) ? r.In(1, 2.6f) : 1;
  o.boots = r.Chance(0.25f);
  o.boot_length = r.In(0.2f, 0.9f);
  o.heels = k.tiptoe && r.Chance(0.6f);
  o.barefoot = r.Chance(0.12f);
  o.gloves = r.Chance(0.1f);
  o.tights = !white && r.Chance(0.08f);
  o.wheels = r.Chance(0.03f);
  const float t = r.F();
  o.skirt_length = t < 0.5f ? r.In(0.3f, 1.1f) : t < 0.8f ? r.In(0.8f, 1.6f) : r.In(1.5f, 2.0f);
  o.skirt_flare = r.Chance(0.5f) ? r.In(0, 0.05f) : r.In(0.03f, 0.16f);
  o.gown = o.skirt && !k.seated && !k.lying && r.Chance(0.3f);  // to the floor and wide
  if (o.gown) { o.skirt_length = r.In(1.7f, 2.08f); o.skirt_flare = r.In(0.04f, 0.34f); }
  return o;
}

}  // namespace drawer
