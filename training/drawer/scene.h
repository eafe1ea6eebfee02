// One whole picture: technique, background, figures, framing and labels.
#pragma once
#include "body.h"
#include "cartoon_head.h"
#include "designed.h"
#include "ovals.h"
#include "palette.h"
#include "stage_loads.h"
#include "things.h"

namespace drawer {

enum SceneKind { kBodyScenes, kHeadScenes };
constexpr int kMaxFigures = 6;

struct Labels {
  float body[kBodyPoints * 3];   // x, y (units of the frame), weight: 0 outside the picture
  float head[kHeadPoints * 3];   // the main figure's; weight 0: not to be seen
  float box[kMaxFigures * 5];    // centre, half size, 1 (0: none); the main figure first
  float facing_x, facing_z;      // where the chest faces: right, toward the viewer
  float ambiguous;               // 1: nothing tells left from right
  float technique, heads;
  float main;                    // 1: one figure leads, its points are to be found
};

AL_BOTH void ChooseStyle(Random& r, Scene& s, Look& look, int technique) {
  Style& st = s.style;
  st = Style{};
  for (int i = 0; i < 4; ++i) { st.bend[i] = r.Chance(0.5f) ? r.In(0, 1.3f) : 0; st.bend_f[i] = r.In(0.02f, 0.11f); st.bend_p[i] = r.In(0, 6.28f); }
  const float t = r.In(0, kTau);
  st.light_x = cosf(t); st.light_y = r.Chance(0.8f) ? -fabsf(sinf(t)) : sinf(t);
  st.light_cut = r.In(-0.6f, 0.2f);
  st.light_soft = r.In(0.4f, 1.4f);
  const float h = r.In(0, kTau);
  st.hatch_f = r.In(0.9f, 2.6f); st.hatch_x = cosf(h); st.hatch_y = sinf(h);
  st.shade = r.Chance(0.6f) ? Colour{0.45f, 0.4f, 0.5f} : Colour{r.In(0.1f, 0.7f), r.In(0.1f, 0.7f), r.In(0.1f, 0.7f)};
  st.shade_strength = r.In(0.4f, 1);
  st.gate_f = 0.06f;
  st.streak = r.Chance(0.4f) ? 1 : r.In(1.5f, 7);
  const bool breaks = (technique == kInkFlat || technique == kCleanLine || technique == kComic) && r.Chance(0.15f);  // a pen that lifts
  if (breaks) { st.gate = r.In(0.1f, 0.32f); st.gate_f = r.In(0.02f, 0.07f); }
  st.swell = r.Chance(0.3f) ? r.In(0.2f, 0.9f) : 0;
  look.technique = technique;
  look.width = r.Chance(0.6f) ? r.In(0.6f, 1.8f) : r.In(0.5f, 3.6f);
  look.ink = r.Chance(0.75f) ? Colour{r.In(0, 0.12f), r.In(0, 0.12f), r.In(0, 0.12f)} : Dim(RandomColour(r), 0.5f);
  look.calm = r.Chance(0.6f);
  look.rim = r.Chance(0.1f) ? r.In(1, 4) : 0;
  look.rim_pale = r.Chance(0.3f);
  look.wild = look.calm ? 0 : 1;
  look.pattern = look.calm ? (r.Chance(0.2f) ? 0.3f : 0.015f) : r.Chance(0.3f) ? 0.4f : 0.05f;
  // the hand
  st.hand = static_cast<int>(r.Next() & 0xffff);
  st.wob = r.Chance(0.2f) ? 0 : r.Chance(0.75f) ? r.In(0.15f, 0.7f) : r.In(0.6f, 1.1f);
  st.uneven = r.Chance(0.2f) ? 0 : r.In(0.03f, 0.16f);
  st.angular = r.Chance(0.12f);
  st.weight = r.Chance(0.4f) ? r.In(0.15f, 0.75f) : 0;
  st.lost = r.Chance(0.12f) ? r.In(0.55f, 0.9f) : 0;
  st.terminator = r.Chance(0.5f) ? r.In(0.2f, 0.8f) : 0;

  Background& b = s.back;
  b = Background{};
  b.a = b.b = {1, 1, 1};
  const float q = r.F();
  if (q < 0.56f) { if (r.Chance(0.15f)) b.a = {0.96f, 0.94f, 0.88f}; }
  else if (q < 0.69f) { b.a = RandomColour(r); if (r.Chance(0.4f)) b.a = Dim(b.a, r.In(0.1f, 0.5f)); }
  else if (q < 0.77f) { b.kind = 1; b.a = RandomColour(r); b.b = RandomColour(r); const float a = r.In(0, kTau), g = r.In(0.002f, 0.01f); b.x = cosf(a) * g; b.y = sinf(a) * g; }
  else if (q < 0.83f) { b.kind = 2; b.a = RandomColour(r); b.b = r.Chance(0.5f) ? Dim(b.a, r.In(0.5f, 0.9f)) : RandomColour(r); b.x = r.In(0.01f, 0.2f); b.y = r.In(0, 99); }
  else if (q < 0.95f) { b.kind = 3; b.a = RandomColour(r); b.b = RandomColour(r); b.x = r.In(0.005f, 0.05f); b.y = r.In(90, 250); b.z = r.In(0, 99); }
  else { b.kind = 4; b.a = RandomColour(r); b.b = r.Chance(0.6f) ? Mix(b.a, {1, 1, 1}, r.In(0.1f, 0.5f)) : RandomColour(r); const float a = r.In(0, kTau), f = r.In(0.08f, 0.5f); b.x = cosf(a) * f; b.y = sinf(a) * f; b.z = r.In(-0.3f, 0.3f); }

  if (look.calm) {
    b = Background{};
    b.a = b.b = {1, 1, 1};
    const float u = r.F();
    if (u > 0.7f) b.a = b.b = QuietGround(r);
    if (u > 0.85f) { b.kind = r.Chance(0.5f) ? 1 : 3; b.b = QuietGround(r); const float a = r.In(0, kTau); b.x = b.kind == 1 ? cosf(a) * 0.004f : r.In(0.003f, 0.02f); b.y = b.kind == 1 ? sinf(a) * 0.004f : r.In(150, 235); b.z = r.In(0, 99); }
  }
  const bool lined = technique == kInkFlat || technique == kComic || technique == kPainted || technique == kGreyPicture;
  st.tint = lined && r.Chance(0.3f) ? r.In(0.5f, 1) : 0;
  st.some = lined && r.Chance(0.12f) ? r.In(0.3f, 0.7f) : 0;
  if (lined && !look.calm && r.Chance(0.1f)) look.width = r.In(2.5f, 5);
  if ((technique == kInkFlat || technique == kComic) && r.Chance(0.08f)) { const float a = r.In(0, kTau), l = r.In(1.5f, 6); st.shift_x = cosf(a) * l; st.shift_y = sinf(a) * l; }
  st.inset = technique == kInkFlat && r.Chance(0.05f) ? r.In(1.2f, 3.5f) : 0;
  st.edge_light = (technique == kComic || technique == kPainted || technique == kInkFlat || technique == kFlat) && r.Chance(0.12f) ? r.In(1.2f, 4) : 0;
  st.steps = (technique == kPainted || technique == kGreyPicture || technique == kFlat) && r.Chance(0.4f) ? 2 + r.Below(3) : 0;

  switch (technique) {
    case kFlat: case kSilhouette: 
      look.width = 0;
      st.light = r.Chance(0.5f) && technique == kFlat ? (st.steps ? kSoft : kTwoTone) : kUnlit;
      if (r.Chance(technique == kSilhouette ? 0.35f : 0.2f)) { st.gaps = true; look.width = r.In(0.8f, 2.6f); }  // white between the shapes
      break;
    case kInkFlat: st.light = r.Chance(0.35f) ? (r.Chance(0.6f) ? kTwoTone : kSoft) : kUnlit; break;
    case kGreyPicture: st.light = r.Chance(0.6f) ? kSoft : kUnlit; if (r.Chance(0.3f)) look.width = 0; break;
    case kPainted:
      st.light = r.Chance(0.8f) ? kSoft : kTwoTone;
      if (r.Chance(0.65f)) look.width = 0;
      st.grain = r.Chance(0.7f) ? r.In(0.03f, 0.28f) : 0;
      if (!look.calm) look.pattern = 0.45f;
      break;
    case kBrush:
      st.gate = r.In(0.15f, 0.52f); st.gate_f = r.In(0.03f, 0.14f); st.swell = r.In(0.3f, 1); look.width = r.In(1, 3.8f);
      if (r.Chance(0.3f)) st.light = kTwoTone;
      break;
    case kSketch:
      st.stray = r.In(0.4f, 2.2f); st.second = r.Chance(0.7f) ? r.In(0.3f, 0.9f) : 0; st.gate = r.Chance(0.5f) ? r.In(0.1f, 0.35f) : 0; st.gate_f = r.In(0.1f, 0.4f);
      look.width = r.In(0.4f, 1.3f); st.swell = r.In(0.2f, 0.8f);
      if (r.Chance(0.4f)) st.light = kHatched;
      if (r.Chance(0.5f)) { const float g = r.In(0.1f, 0.5f); look.ink = {g, g, g}; }
      break;
    case kComic:
      st.light = kTwoTone; st.swell = r.In(0.3f, 1); look.width = r.In(1, 3);
      st.light_cut = r.In(-0.75f, -0.2f);
      if (r.Chance(0.5f)) { st.shade = {0.03f, 0.03f, 0.03f}; st.shade_strength = 1; }
      if (r.Chance(0.25f)) st.light = kHatched;
      break;
    case kMannequin: st.light = r.Chance(0.5f) ? kSoft : kUnlit; break;
    case kPictogram: if (r.Chance(0.8f)) look.width = 0; break;
    default: break;
  }
}

AL_BOTH void ColourFigure(Random& r, Scene& s, Look& look) {
  const int t = look.technique;
  {
    const float u = r.F();
    look.skin = Mix(Colour{1, 0.86f, 0.76f}, Colour{0.32f, 0.19f, 0.12f}, u * u);
    look.skin = {Clamp(look.skin.r + r.Bell(0.05f), 0, 1), Clamp(look.skin.g + r.Bell(0.05f), 0, 1), Clamp(look.skin.b + r.Bell(0.06f), 0, 1)};
    if (r.Chance(0.13f)) look.skin = RandomColour(r);
  }
  look.top = RandomColour(r);
  look.bottom = r.Chance(0.25f) ? look.top : RandomColour(r);
  if (r.Chance(0.1f)) look.top = look.bottom = Dim(RandomColour(r), 0.3f);
  look.shoe = r.Chance(0.4f) ? Colour{0.08f, 0.07f, 0.07f} : RandomColour(r);
  look.hair = r.Chance(0.6f) ? Dim(Colour{r.In(0.3f, 1), r.In(0.2f, 0.8f), r.In(0.1f, 0.4f)}, r.In(0.15f, 1)) : RandomColour(r);
  look.accent = RandomColour(r);
  if (look.calm) OrdinaryColours(r, look);
  if ((look.width <= 0 || s.style.gaps) && t != kSilhouette && t != kPictogram) {  // with neither line nor contrast there is nothing to see
    Colour* part[4] = {&look.skin, &look.top, &look.bottom, &look.hair};
    for (int i = 0; i < 4; ++i) {
      const Colour c = *part[i], b = s.back.a;
      if (fabsf(c.r - b.r) + fabsf(c.g - b.g) + fabsf(c.b - b.b) < 0.35f) *part[i] = Grey(b) > 0.5f ? Dim(c, 0.5f) : Mix(c, {1, 1, 1}, 0.5f);
    }
  }
  look.simple = t == kSilhouette || t == kPictogram;
  look.bare = t == kMannequin || t == kPictogram || (t == kBrush && r.Chance(0.5f)) || (t == kSketch && r.Chance(0.4f)) ||
              (t == kSilhouette && r.Chance(0.3f)) || (t == kCleanLine && r.Chance(0.3f)) || r.Chance(0.06f);
  if (look.InLine()) {
    const Colour paper = s.back.kind == 0 ? s.back.a : Colour{1, 1, 1};
    const float black = r.In(0, 0.5f);
    look.skin = look.accent = paper;
    look.top = r.Chance(black * 0.6f) ? look.ink : paper;
    look.bottom = r.Chance(black) ? look.ink : paper;
    look.shoe = r.Chance(black) ? look.ink : paper;
    look.hair = r.Chance(black + 0.2f) ? look.ink : paper;
    look.pattern *= 0.3f;
    if (Grey(paper) < 0.35f) {
      const Colour light{r.In(0.75f, 1), r.In(0.75f, 1), r.In(0.75f, 1)};
      look.ink = light;
    }
    if (r.Chance(0.1f)) look.skin = Mix(paper, {1, 0.8f, 0.7f}, 0.6f);
  } else if (t == kMannequin) {
    if (r.Chance(0.5f)) look.skin = {0.9f, 0.9f, 0.9f};
    look.top = look.bottom = look.shoe = look.skin;
    if (r.Chance(0.5f)) look.hair = look.skin;
  } else if (look.simple) {
    Colour c = r.Chance(0.6f) ? Colour{r.In(0, 0.2f), r.In(0, 0.2f), r.In(0, 0.2f)} : RandomColour(r);
    if (s.back.kind == 0 && fabsf(c.r - s.back.a.r) + fabsf(c.g - s.back.a.g) + fabsf(c.b - s.back.a.b) < 0.6f) {
      s.back.a = {1, 1, 1};
      c = {0.1f, 0.1f, 0.1f};
    }
    look.skin = look.top = look.bottom = look.shoe = look.hair = look.accent = look.ink = c;
    look.pattern = 0;
  } else if (t == kPainted && s.back.kind > 0 && r.Chance(0.4f)) {  // figure and ground share a light
    look.top = Mix(look.top, s.back.a, 0.4f);
    look.bottom = Mix(look.bottom, s.back.b, 0.4f);
    look.skin = Mix(look.skin, s.back.a, 0.25f);
  }
}

struct Placed {
  V2 body[kBodyPoints];
  HeadLabels head;
  float x0, y0, x1, y1;   // of points and head
  float facing_x, facing_z, heads;
  bool alike;             // from before and behind it looks the same
};

enum Framing { kWhole, kHalf, kBust, kFace };

// Draws one figure so that it (or the framed part of it) fills a box of `size` units about (cx, cy).
AL_LARGE void PlaceFigure(Random& r, Easel& e, Look look, Framing framing, float size, float cx, float cy, float depth_shift, Placed& out) {
  Scene& s = *e.scene;
  const Proportions p = RandomProportions(r, look.technique == kPictogram, look.calm);
  const int act = framing < kBust ? ChooseAct(r, look.simple) : kNoAct;
  Skeleton k = act ? ActSkeleton(r, p, act) : PlainSkeleton(r, p, framing >= kBust ? 1 : 0, look.calm);
  const bool ovals = framing == kWhole && r.Chance(look.technique == kMannequin || look.technique == kPictogram ? 0.3f : look.technique == kSilhouette ? 0.08f : 0.02f);
  if (ovals) DrawLimbsIn(r, k);
  if (act == kRobe && look.technique != kMannequin && look.technique != kPictogram) look.bare = false;
  e.distance = k.camera > 0 ? k.camera : r.Chance(0.2f) ? r.In(1.6f, 3) : r.In(3, 14);
  const float up = k.view_up != 0 ? k.view_up : (r.Chance(0.85f) ? r.Bell(6) : r.Bell(28)) * kDeg;
  e.cos_up = cosf(up); e.sin_up = sinf(up);
  e.scale = 1; e.cx = e.cy = 0;
  int hair = look.technique == kPictogram ? 0 : r.Below(12);
  const float volume = hair == 0 ? 0 : (hair == 9 || r.Chance(look.calm ? 0.05f : 0.12f) ? r.In(0.1f, 0.34f) : r.In(0.02f, look.calm ? 0.1f : 0.16f)) * p.head;
  const bool capped = !look.simple || (look.technique == kSilhouette && r.Chance(0.3f));
  const float hat = capped && look.technique != kMannequin && (p.cap_low > 0 || r.Chance(0.17f)) ? r.In(0.03f, 0.5f) * p.head : 0;

  const V3 crown = k.skull + k.head.y * (0.5f * p.head + Max(volume * 0.9f, hat * 0.8f));
  const V3 chin = k.skull - k.head.y * (0.5f * p.head) + k.head.z * (p.head_half_depth * 0.62f);
  V3 joint[kBodyPoints];
  joint[kCrown] = crown; joint[kChin] = chin; joint[kNeckPit] = k.pit;
  for (int i = 0; i < 2; ++i) {
    joint[kShoulder + i] = k.shoulder[i] + k.chest.y * 0.006f + k.chest.x * ((i == 0 ? 1.0f : -1.0f) * 0.003f);
    joint[kElbow + i] = k.elbow[i]; joint[kWrist + i] = k.wrist[i]; joint[kHandTip + i] = k.tip[i];
    joint[kHip + i] = k.hip[i]; joint[kKnee + i] = k.knee[i]; joint[kAnkle + i] = k.ankle[i]; joint[kToe + i] = k.toe[i];
  }
  // extent of what is framed, at scale 1
  float x0 = 1e9f, y0 = 1e9f, x1 = -1e9f, y1 = -1e9f;
  auto grow = [&](V2 v, float m) { x0 = Min(x0, v.x - m); x1 = Max(x1, v.x + m); y0 = Min(y0, v.y - m); y1 = Max(y1, v.y + m); };
  const V2 skull = e.Project(k.skull);
  grow(skull, p.head_half_width + volume);
  grow(e.Project(crown), 0.01f);
  grow(e.Project(chin), 0.01f);
  if (framing == kWhole) {
    for (int i = 0; i < kBodyPoints; ++i) grow(e.Project(joint[i]), 0.015f);
    for (int i = 0; i < 2; ++i) grow(e.Project(k.heel[i]), 0.015f);
    if (act && r.Chance(0.75f)) {  // its things, mostly
      V3 v[2];
      const int n = ThingsReach(k, v);
      for (int i = 0; i < n; ++i) grow(e.Project(v[i]), 0);
    }
  } else if (framing == kHalf) {
    for (int i = 0; i < kKnee; ++i) if (r.Chance(0.9f)) grow(e.Project(joint[i]), 0.015f);
  } else if (framing == kBust) {
    for (int i = 0; i < 2; ++i) grow(e.Project(k.shoulder[i]), 0.02f);
  } else if (r.Chance(0.5f)) {
    grow(e.Project(k.neck), 0.02f);
  }
  e.scale = size / Max(x1 - x0, y1 - y0);
  e.cx = cx - (x0 + x1) * 0.5f * e.scale;
  e.cy = cy - (y0 + y1) * 0.5f * e.scale;

  look.width *= Clamp(e.scale / 170, 0.45f, 1);  // small figures are drawn with a finer line
  const int before = s.shapes;
  const float trunk = e.Depth(k.waist), at = e.Depth(k.skull);
  Outfit outfit = RandomOutfit(r, look, k);
  DressForAct(r, k, look, outfit);
  const bool designed = !ovals && (!look.bare || r.Chance(0.6f)) && look.technique != kMannequin && look.technique != kPictogram && k.act != kRobe && r.Chance(0.46f);
  const bool new_head = !ovals && look.technique != kMannequin && look.technique != kPictogram && r.Chance(designed ? 0.6f : 0.15f);
  // as signs and quick brush notes have figures: closed simple forms in a heavy line, no face, no seams
  const bool blank = designed && framing < kBust && !look.simple && look.technique <= kCleanLine && r.Chance(0.12f);
  Look seen = look;
  if (blank) {
    seen.simple = true;
    seen.pattern = 0;
    seen.width *= r.In(1.2f, 2.6f);
  }
  const Painting painting{e, r, k, seen, outfit, trunk};
  if (act) StagePainter(painting).Draw();
  if (ovals) {
    OvalPainter(painting).Draw(out.head);
  } else {
    if (designed) DrawDesigned(painting);
    else DrawBody(painting);
    float head_depth = Max(trunk + 8e-3f, at + 0.01f);
    if (at < trunk - 0.15f) head_depth = at;  // bent away behind the trunk
    if (new_head) DrawCartoonHead(e, r, k, seen, hair, volume, hat, head_depth, trunk, out.head);
    else DrawHead(e, r, k, seen, hair, volume, hat, head_depth, trunk, out.head);
  }
  out.alike = ovals || blank;
  // a heavier contour round the whole figure, or a pale rim; or it is the only line
  const bool lone = look.technique == kSilhouette ? r.Chance(0.2f) : look.width <= 0 && look.technique != kPictogram && r.Chance(0.15f);
  if ((lone || (look.rim > 0 && !look.simple)) && s.shapes * 2 - before < 400) {
    const int drawn = s.shapes;
    const float wide = r.In(1.2f, 4);
    const Colour ink = look.simple ? look.skin : look.ink;
    float back = 1e9f;
    for (int i = before; i < drawn; ++i) if (s.shape[i].figure) back = Min(back, s.shape[i].depth);
    for (int i = before; i < drawn; ++i) {
      const Shape& from = s.shape[i];
      if (!from.figure || from.opacity < 1 || (from.width <= 0 && !lone)) continue;
      Shape& f = s.shape[s.shapes++];
      f = from;
      f.depth = back - 1;
      f.fill = f.line = lone ? ink : look.rim_pale ? Colour{1, 1, 1} : from.line;
      f.width += lone ? wide : Min(look.rim, from.width * 2 + 3);
      f.texture = kPlain; f.light = kUnlit; f.hide_r = 0;
      f.x0 -= 2; f.y0 -= 2; f.x1 += 2; f.y1 += 2;
      if (lone) f.figure = false;  // keeps its ink below
    }
    if (lone && look.simple) {  // an empty shape
      look.skin = s.back.kind == 0 ? s.back.a : Colour{1, 1, 1};
      if (fabsf(Grey(look.skin) - Grey(ink)) < 0.3f) look.skin = Grey(ink) < 0.5f ? Colour{1, 1, 1} : Colour{0, 0, 0};
      for (int i = before; i < drawn; ++i) s.shape[i].width = 0;
    }
  }
  if (look.simple)
    for (int i = before; i < s.shapes; ++i) if (s.shape[i].figure) { s.shape[i].fill = look.skin; s.shape[i].line = s.style.gaps && s.shape[i].width > 0 ? s.back.a : look.skin; s.shape[i].texture = kPlain; s.shape[i].light = kUnlit; }
  for (int i = before; i < s.shapes; ++i) s.shape[i].depth += depth_shift;

  out.x0 = out.y0 = 1e9f; out.x1 = out.y1 = -1e9f;
  for (int i = 0; i < kBodyPoints; ++i) out.body[i] = e.Project(joint[i]);
  out.body[kCrown] = out.head.at[kHpCrown];
  out.body[kChin] = out.head.at[kHpChin];
  for (int i = 0; i < kBodyPoints; ++i) { out.x0 = Min(out.x0, out.body[i].x); out.x1 = Max(out.x1, out.body[i].x); out.y0 = Min(out.y0, out.body[i].y); out.y1 = Max(out.y1, out.body[i].y); }
  const V3 f = e.View(k.chest.z);
  out.facing_x = f.x; out.facing_z = f.z; out.heads = p.heads;
}

AL_BOTH void Stand(float* box, const Placed& p) {  // box of what is inside the picture
  const float x0 = Max(p.x0, 0), y0 = Max(p.y0, 0), x1 = Min(p.x1, kFrame), y1 = Min(p.y1, kFrame);
  box[0] = (x0 + x1) * 0.5f; box[1] = (y0 + y1) * 0.5f; box[2] = Max(2, (x1 - x0) * 0.5f); box[3] = Max(2, (y1 - y0) * 0.5f);
  box[4] = x1 > x0 && y1 > y0 ? 1.0f : 0.0f;
}

AL_BOTH void MakeScene(uint32_t seed, int kind, Scene& s, Labels& out) {
  Random r{seed * 2654435761u + 12345u};
  for (int i = 0; i < 4; ++i) r.Next();
  s.shapes = s.prims = 0;
  out = Labels{};
  Look look{};
  const float q = r.F();
  const int technique = q < 0.25f ? kInkFlat : q < 0.35f ? kFlat : q < 0.48f ? kCleanLine : q < 0.53f ? kGreyPicture : q < 0.60f ? kSilhouette
                        : q < 0.70f ? kPainted : q < 0.79f ? kBrush : q < 0.83f ? kMannequin : q < 0.86f ? kPictogram : q < 0.93f ? kSketch : kComic;
  ChooseStyle(r, s, look, kind == kHeadScenes && (technique == kSilhouette || technique == kPictogram) ? kInkFlat : technique);
  ColourFigure(r, s, look);
  Easel e;
  e.scene = &s;

  const float mode = r.F();
  const bool none = kind == kBodyScenes && mode < 0.09f, group = kind == kBodyScenes && mode >= 0.09f && mode < 0.17f;
  Framing framing = kWhole;
  if (kind == kBodyScenes) framing = mode < 0.24f || group ? kWhole : mode < 0.31f ? kHalf : mode < 0.36f ? kBust : mode < 0.42f ? kFace : kWhole;
  else framing = mode < 0.5f ? kFace : mode < 0.72f ? kBust : mode < 0.8f ? kHalf : kWhole;
  const bool others = kind == kBodyScenes && !none && !group && framing == kWhole && !look.calm && r.Chance(0.3f);
  const float busy = look.calm && !none ? 0.12f : 1.6f;  // how often something lies about

  const bool dark = (look.technique == kPainted || look.technique == kGreyPicture || look.technique == kFlat) && !none && r.Chance(framing == kWhole ? 0.06f : 0.4f);
  if (dark) {  // a dark picture from which face and hands shine, the clothes all but lost in it
    s.back.a = Dim(RandomColour(r), r.In(0.03f, 0.25f));
    s.back.b = Mix(s.back.a, Dim(RandomColour(r), 0.35f), r.In(0.2f, 0.8f));
    look.top = Mix(Dim(RandomColour(r), r.In(0.1f, 0.4f)), s.back.a, r.In(0.3f, 0.85f));
    look.bottom = Mix(Dim(RandomColour(r), r.In(0.1f, 0.4f)), s.back.a, r.In(0.3f, 0.85f));
    if (r.Chance(0.6f)) look.hair = Mix(Dim(RandomColour(r), r.In(0.1f, 0.4f)), s.back.a, r.In(0.2f, 0.7f));
    s.style.light = kSoft;
    if (look.technique != kFlat) s.style.light_cut = r.In(-0.3f, 0.5f);
  }
  const float lw = look.width;

  // things behind
  e.figure = false;
  if (none) {
    const int n = 1 + r.Below(5);
    for (int i = 0; i < n; ++i) Thing(e, r, {r.In(30, 226), r.In(30, 226)}, n == 1 ? r.In(120, 240) : r.In(40, 200), -90 + i * 0.01f, lw);
    if (r.Chance(0.5f)) Clutter(e, r, -80, r.Below(12), r.Chance(0.3f), lw);
  } else {
    if (r.Chance(0.12f * busy)) Clutter(e, r, -95, 3 + r.Below(12), false, lw);
    else if (r.Chance(0.14f * busy)) Clutter(e, r, -95, 1 + r.Below(6), r.Chance(0.5f), lw);
    if (r.Chance(0.12f * busy)) { const int n = 1 + r.Below(3); for (int i = 0; i < n; ++i) Thing(e, r, {r.In(0, 256), r.In(60, 240)}, r.In(30, 130), -94 + i * 0.01f, lw); }
  }

  Placed main{};
  if (!none) {
    e.figure = true;
    float size = kFrame * (r.Chance(0.75f) ? r.In(0.82f, 0.97f) : r.In(0.5f, 0.9f));
    float cx = 128, cy = 128;
    if (group) { size = kFrame * r.In(0.35f, 0.62f); cx = r.In(50, 206); cy = r.In(90, 166); }
    else if (framing == kWhole) {
      // a narrow figure may stand anywhere; with others about it stays near the middle, which is what says whom to read
      const float room = others ? 12 : (r.Chance(0.6f) ? 14 : 50);
      cx += r.In(-room, room);
      cy += r.In(-1, 1) * (kFrame - size) * 0.45f;
      if (r.Chance(0.05f)) size *= 1.15f;
    } else {
      size = kFrame * (framing == kFace ? r.In(0.6f, 1.05f) : r.In(0.6f, 1));
      cy += r.In(-14, 14);
      cx += r.In(-14, 14);
    }
    PlaceFigure(r, e, look, framing, size, cx, cy, 0, main);
    Stand(out.box, main);
    const int more = group ? 1 + r.Below(r.Chance(0.4f) ? kMaxFigures - 1 : 3) : others ? 1 + r.Below(2) : 0;
    const bool row = group && r.Chance(0.5f), crowd = others && r.Chance(0.5f);  // side by side on one floor, or as large as the one who leads
    for (int i = 0; i < more && s.shapes < 300 && s.prims < 780; ++i) {
      Look other = look;
      ColourFigure(r, s, other);
      Placed p{};
      const float size2 = row ? size * r.In(0.85f, 1.1f) : group ? size * r.In(0.7f, 1.2f) : crowd ? size * r.In(0.85f, 1.05f) : size * r.In(0.3f, 1);
      const float x = row ? cx + (i % 2 ? -1.0f : 1.0f) * (i / 2 + 1) * size * r.In(0.3f, 0.5f) : group ? r.In(35, 221) : 128 + r.Sign() * r.In(70, 150);
      PlaceFigure(r, e, other, kWhole, size2, x, cy + (row ? r.In(-6, 6) : r.In(-20, 20)), r.Chance(0.85f) ? -20.0f - i : (group ? 10.0f : -20.0f), p);
      float* box = out.box + 5 * (i + 1);
      Stand(box, p);
      if (box[2] < 8 || box[3] < 12) box[4] = 0;
    }
    e.figure = false;
    if (r.Chance(0.16f) && framing == kWhole && main.body[kAnkle].y > main.body[kHip].y) {  // shadow on the ground, under feet that stand on it
      const V2 a = main.body[kAnkle], b = main.body[kAnkle + 1];
      const float y = Max(main.body[kToe].y, main.body[kToe + 1].y);
      e.Begin(-50, {0.7f, 0.7f, 0.7f}, look.ink, r.Chance(0.2f) ? lw : 0.0f);
      e.Disc({(a.x + b.x) * 0.5f + r.Bell(10), y}, r.In(20, 60), r.In(2, 8));
    }
    // things in front
    if (r.Chance(0.08f * busy)) {
      const V2 c = Mix(main.body[kHip], main.body[kAnkle + r.Below(2)], r.In(0.1f, 1));
      const float w = r.In(12, 60), h = r.In(12, 65);
      e.Begin(89, look.InLine() ? look.accent : RandomColour(r), look.ink, r.Chance(0.7f) ? Max(lw, 0.8f) : 0);
      const V2 v[6] = {{c.x - w, c.y - h + r.Bell(6)}, {c.x + r.Bell(6), c.y - h + r.Bell(8)}, {c.x + w, c.y - h + r.Bell(6)},
                       {c.x + w * r.In(0.6f, 1.1f), c.y + r.Bell(6)}, {c.x + w + r.Bell(6), c.y + h}, {c.x - w + r.Bell(6), c.y + h}};
      e.Polygon(v, 6);
      Patterned(e.Now(), r, 0.4f);
    }
    if (framing == kWhole && r.Chance(0.025f)) {  // a table, a counter, a wall to lean on
      const float y = Mix(main.body[kHip], main.body[kKnee], r.In(-0.3f, 0.9f)).y, drop = r.In(10, 90), x0 = r.Chance(0.5f) ? -9 : 128 - r.In(30, 110), x1 = r.Chance(0.5f) ? 265 : 128 + r.In(30, 110);
      e.Begin(89.5f, look.InLine() ? look.accent : RandomColour(r), look.ink, r.Chance(0.7f) ? Max(lw, 0.8f) : 0);
      const V2 v[4] = {{x0, y + r.Bell(2)}, {x1, y + r.Bell(2)}, {x1, y + drop}, {x0, y + drop}};
      e.Polygon(v, 4);
      Patterned(e.Now(), r, 0.3f);
    }
    if (r.Chance(0.1f * busy)) Clutter(e, r, 90, 1 + r.Below(3), r.Chance(0.6f), lw);
    if (r.Chance(0.05f * busy))  // lines of movement
      for (int i = 0; i < 6; ++i) {
        const V2 p = main.body[3 + r.Below(16)] + V2{r.Bell(14), r.Bell(14)};
        const float t = r.In(0, kTau), l = r.In(5, 14);
        const V2 q2[3] = {p, p + V2{cosf(t), sinf(t)} * l, p + V2{cosf(t + 0.3f), sinf(t + 0.3f)} * (2 * l)};
        Stroke(e, 91, look.ink, q2, 3, Max(lw, 0.7f));
      }
  }

  // labels: the hand's wander moves what is drawn at P to P - wander(P)
  auto drawn = [&](V2 p) { return p - Wander(s.style, p.x, p.y); };
  for (int i = 0; i < kBodyPoints && !none; ++i) {
    const V2 p = drawn(main.body[i]);
    out.body[3 * i] = p.x; out.body[3 * i + 1] = p.y;
    out.body[3 * i + 2] = p.x > -1 && p.x < kFrame + 1 && p.y > -1 && p.y < kFrame + 1 ? 1.0f : 0.0f;
  }
  for (int i = 0; i < kHeadPoints && !none; ++i) {
    const V2 p = drawn(main.head.at[i]);
    out.head[3 * i] = p.x; out.head[3 * i + 1] = p.y; out.head[3 * i + 2] = main.head.seen[i];
  }
  out.facing_x = main.facing_x; out.facing_z = main.facing_z; out.heads = main.heads;
  out.technique = static_cast<float>(look.technique);
  out.ambiguous = look.simple || main.alike ? 1.0f : 0.0f;
  out.main = none || group ? 0.0f : 1.0f;

  // painting order
  for (int i = 0; i < s.shapes; ++i) {
    int j = i;
    const float d = s.shape[i].depth;
    while (j > 0 && s.shape[s.order[j - 1]].depth > d) { s.order[j] = s.order[j - 1]; --j; }
    s.order[j] = i;
  }
  if (look.technique == kGreyPicture || (look.technique == kMannequin && r.Chance(0.5f))) {
    auto grey = [](Colour c) { const float g = Grey(c); return Colour{g, g, g}; };
    for (int i = 0; i < s.shapes; ++i) { Shape& f = s.shape[i]; f.fill = grey(f.fill); f.fill2 = grey(f.fill2); f.line = grey(f.line); }
    s.back.a = grey(s.back.a); s.back.b = grey(s.back.b); s.style.shade = grey(s.style.shade);
  }
}

}  // namespace drawer
