// Hands and shoes as cartoons have them: few clear forms that overlap.
#pragma once
#include "arms.h"
#include "legs.h"

namespace drawer {

enum PlainShoe { kTrainer, kRoundBoot, kDressShoe, kPump, kBareFoot, kWedge, kPlainShoes };

struct ShoePainter : LegPainter {
  AL_BOTH explicit ShoePainter(const LegPainter& l) : LegPainter(l) {}

  AL_BOTH void Circles(const V3* v, const float* rad, int n) {
    V2 c[7];
    float q[7];
    for (int j = 0; j < n; ++j) { c[j] = e.Project(v[j]); q[j] = rad[j] * e.ScaleAt(v[j]); }
    e.Hull(c, q, n);
  }
  // `big`: how much larger than the foot in it.
  AL_LARGE void PlainShoe(int i, int kind, float big, float depth) {
    const Proportions& p = k.p;
    const V3 down = Sole(i), u = k.foot_dir[i], side = Unit(Cross(down, u));
    const float f = Max(Max(p.r_ankle * 0.9f, p.foot * 0.15f), 0.013f) * big, l = Length(k.toe[i] - k.heel[i]);
    const bool bare = kind == kBareFoot;
    const Colour c = bare ? Own(look.skin, LegDepth(i), LegDepth(1 - i)) : Own(look.shoe, LegDepth(i), LegDepth(1 - i));
    const V3 heel = k.heel[i] + u * (f * 0.3f), toe = k.toe[i] - u * (f * (kind == kDressShoe || kind == kPump ? 0.35f : 0.75f)), ball = Mix(heel, toe, 0.72f);
    const float toe_r = kind == kRoundBoot ? f * 1.3f : kind == kTrainer ? f * 1.0f : kind == kDressShoe ? f * 0.55f : kind == kPump ? f * 0.4f : kind == kWedge ? f * 0.5f : f * 0.6f;
    const V3 low = down * (f * 0.8f);
    if (!bare && kind != kWedge && !look.simple) {  // the sole looks out all round
      const float s = kind == kDressShoe || kind == kPump ? f * 0.16f : f * 0.34f, w = f * 0.5f;
      const Colour sole = kind == kTrainer ? (look.InLine() ? look.skin : Colour{0.94f, 0.93f, 0.9f}) : Dim(c, 0.5f);
      e.Begin(depth + 2.9e-3f, sole, look.ink, look.width);
      if (kind == kDressShoe || kind == kPump) {
        const V3 heel_foot = heel + low * (kind == kPump ? 2.0f : 1.25f);
        e.Capsule(heel + low * 0.5f, f * (kind == kPump ? 0.4f : 0.6f), heel_foot, f * (kind == kPump ? 0.14f : 0.55f));
      }
      const V3 v[5] = {heel + low + side * w, heel + low - side * w, ball + low + side * (w * 1.4f), ball + low - side * (w * 1.4f), toe + low + u * (toe_r * 0.8f)};
      const float rad[5] = {s, s, s, s, s};
      Circles(v, rad, 5);
    }
    e.Begin(depth + 3e-3f, c, look.ink, look.width, 1.2f);
    const V3 ankle = k.ankle[i] - down * (p.r_ankle * (kind == kPump ? -0.4f : 0.3f));
    const V3 back[3] = {heel + down * (f * 0.1f), ankle, Mix(heel, toe, 0.45f) + down * (f * 0.15f)}, front[3] = {toe + down * (f * 0.8f - toe_r), ball + down * (f * 0.3f), Mix(ankle, ball, kind == kPump ? 0.75f : 0.35f)};
    const float rb[3] = {f * 0.75f, p.r_ankle * (kind == kPump ? 0.5f : 1.1f), f * 0.6f}, rf[3] = {toe_r, f * (kind == kPump ? 0.5f : 0.72f), p.r_ankle * (kind == kPump ? 0.3f : 0.85f)};
    Circles(back, rb, 3);
    Circles(front, rf, 3);
    if (kind == kRoundBoot && !look.simple) e.Capsule(k.ankle[i], p.r_ankle * 1.3f, Mix(k.ankle[i], k.knee[i], o.boot_length * 0.5f), Max(p.r_ankle, p.r_calf * 0.8f) * 1.25f);
    if (bare) e.HideLine(k.ankle[i] - down * (p.r_ankle * 0.6f), p.r_ankle * 1.2f);
    if (look.simple) return;
    if (kind == kRoundBoot) {  // turned-down top
      const V3 top = Mix(k.ankle[i], k.knee[i], o.boot_length * 0.5f);
      e.Begin(depth + 3.2e-3f, r.Chance(0.5f) ? c : look.accent, look.ink, look.width);
      Even(Mix(k.ankle[i], top, 0.8f), Max(p.r_ankle, p.r_calf * 0.8f) * 1.4f, top, Max(p.r_ankle, p.r_calf * 0.8f) * 1.45f, 0.15f);
    }
    BeginMarks(depth + 3.3e-3f, Grey(c) < 0.3f ? Mix(c, {1, 1, 1}, 0.6f) : Lined() ? look.ink : Dim(c, 0.6f));
    const float w = Max(look.width * 0.6f, 0.5f);
    if (bare) {  // toes from above
      for (int j = 0; j < 4; ++j) { const V3 q = k.toe[i] + side * (f * (j - 1.5f) * 0.35f) - u * (f * 0.5f); Mark(e.Project(q), e.Project(q - u * (f * 0.5f)), 0.1f, w); }
      return;
    }
    const V3 up = down * -1.0f;
    if (kind == kTrainer || kind == kRoundBoot) {  // cap of the toe, laces up the instep
      const V3 m = toe + down * (f * 0.8f - toe_r) - u * (toe_r * 0.3f);
      const V2 a = e.Project(m + side * (toe_r * 0.9f) + down * (toe_r * 0.4f)), b = e.Project(m + up * (toe_r * 0.95f)), d = e.Project(m - side * (toe_r * 0.9f) + down * (toe_r * 0.4f));
      Mark(a, b, r.Bell(0.1f), w); Mark(b, d, r.Bell(0.1f), w);
      if (kind == kTrainer || r.Chance(0.4f)) for (int j = 0; j < 3; ++j) {
        const V3 q = Mix(k.ankle[i], ball, 0.25f + 0.2f * j) + up * (f * 0.5f);
        Mark(e.Project(q + side * (f * 0.45f)), e.Project(q - side * (f * 0.45f) + u * (f * 0.15f)), 0.15f, w);
      }
    } else if (kind == kPump || kind == kDressShoe) {
      Mark(e.Project(heel + up * (f * 0.2f) - u * (f * 0.2f)), e.Project(ball + up * (f * 0.35f)), r.In(-0.3f, 0.1f), w);
    }
    if (l * e.scale > 14 && r.Chance(0.4f)) { const V3 q = toe + up * (toe_r * 0.3f); BeginMarks(depth + 3.4e-3f, Mix(c, {1, 1, 1}, 0.7f)); Mark(e.Project(q - u * (toe_r * 0.2f)), e.Project(q - u * (f * 0.9f)), 0.2f, w * 1.8f); }  // gloss
  }
};

enum PlainHand { kBalloonHand, kFourFingers, kMitt, kBigFist, kPointing, kPlainHands };

struct HandPainter : ArmPainter {
  AL_BOTH explicit HandPainter(const ArmPainter& a) : ArmPainter(a) {}

  AL_LARGE void PlainHand(int i, int kind, float big, bool cuffed, float depth) {
    const Proportions& p = k.p;
    const V3 along = k.hand_dir[i], thumb = Thumb(i), flat = Unit(Cross(along, thumb)), w = k.wrist[i];
    const float l = Length(k.tip[i] - w), palm = Max(p.r_wrist * 1.1f, l * 0.34f) * big;
    const Colour c = Own(o.gloves ? look.accent : look.skin, ArmDepth(i), ArmDepth(1 - i));
    auto put = [&](float x, float y, float z) { return w + along * (x * l) + thumb * (y * palm) + flat * (z * palm); };
    if (k.fist[i] && kind != kPointing) kind = kBigFist;
    const bool near_thumb = e.View(thumb).z > 0.05f || (fabsf(e.View(flat).z) > 0.3f && r.Chance(0.5f));
    const float top = depth + 4.0e-3f;
    const float edge = look.width * 0.95f;
    auto finger = [&](V3 a, V3 b, V3 d, float rad, float at) {
      e.Begin(at, c, look.ink, edge, 0.6f);
      e.Capsule(a, rad, b, rad * 1.02f);
      e.Capsule(b, rad * 1.02f, d, rad * 0.9f);
      e.HideLine(a, rad * 1.25f);
    };
    if (kind == kMitt) {  // one pointed form and a thumb
      const float s = r.In(0.5f, 0.8f);
      const V2 v[8] = {e.Project(put(0, p.r_wrist / palm, 0)), e.Project(put(0.35f, 0.9f, 0)), e.Project(put(0.7f, s, 0.2f)), e.Project(k.tip[i]), e.Project(put(0.85f, -0.45f, 0.1f)), e.Project(put(0.5f, -0.85f, 0)),
                       e.Project(put(0.2f, -0.75f, 0)), e.Project(put(0, -p.r_wrist / palm, 0))};
      e.Begin(top, c, look.ink, look.width);
      e.Blob(v, 8);
      e.Capsule(put(0.15f, 0, 0), palm * 0.5f, put(0.6f, 0, 0.1f), palm * 0.4f);
      if (!o.gloves) e.HideLine(w, p.r_wrist * 1.15f);
      finger(put(0.15f, 0.5f, 0.1f), put(0.42f, 1.15f, 0.2f), put(0.62f, 1.2f, 0.3f), palm * 0.26f, near_thumb ? top + 1e-4f : top - 2e-4f);
      if (Lined() && r.Chance(0.6f)) { BeginMarks(top + 2e-4f, look.ink); for (int j = 0; j < 2; ++j) Mark(e.Project(put(0.95f, 0.1f - 0.3f * j, 0.1f)), e.Project(put(0.6f, 0.25f - 0.4f * j, 0.1f)), 0.05f, look.width * 0.6f); }
    } else if (kind == kBigFist) {
      const float z = e.View(flat).z > 0 ? 0.5f : -0.5f;
      e.Begin(top, c, look.ink, look.width, 1);
      e.Capsule(w, p.r_wrist, put(0.45f, 0, 0), palm * 0.85f);
      for (int j = 0; j < 4; ++j) { const float y = 0.75f - 0.5f * j; e.Capsule(put(0.5f, y, 0), palm * 0.36f, put(0.88f, y, 0), palm * 0.34f); }
      if (!o.gloves) e.HideLine(w, p.r_wrist * 1.1f);
      if (Lined()) { BeginMarks(top + 1e-4f, look.ink); for (int j = 0; j < 3; ++j) { const float y = 0.5f - 0.5f * j; Mark(e.Project(put(1.1f, y, z)), e.Project(put(0.68f, y, z)), r.Bell(0.06f), look.width * 0.7f); } }
      finger(put(0.3f, 0.75f, 0), put(0.6f, 0.95f, z), put(0.85f, 0.2f, z * 1.6f), palm * 0.3f, near_thumb ? top + 2e-4f : top - 2e-4f);
    } else if (kind == kPointing) {
      e.Begin(top, c, look.ink, look.width, 1);
      e.Capsule(w, p.r_wrist, put(0.35f, 0, 0), palm * 0.8f);
      e.Capsule(put(0.4f, 0.3f, 0), palm * 0.55f, put(0.45f, -0.5f, 0), palm * 0.5f);
      if (!o.gloves) e.HideLine(w, p.r_wrist * 1.1f);
      finger(put(0.4f, 0.5f, 0), put(0.7f, 0.45f, 0), k.tip[i] - along * (palm * 0.2f), palm * 0.25f, top + 1e-4f);
      for (int j = 0; j < 3; ++j) finger(put(0.45f, 0.1f - 0.4f * j, 0.2f), put(0.75f, 0.1f - 0.4f * j, 0.3f), put(0.55f, 0.1f - 0.4f * j, 0.7f), palm * 0.25f, top + 2e-4f + j * 1e-5f);
    } else {  // palm with three or four fat fingers, each a form of its own
      const int n = kind == kBalloonHand ? 3 : 4;
      const float spread = r.Chance(0.5f) ? r.In(0.25f, 0.55f) : r.In(0.02f, 0.16f), fr = palm * (n == 3 ? 0.34f : 0.26f), curl = r.Chance(0.4f) ? r.In(0.2f, 0.9f) : 0;
      e.Begin(top, c, look.ink, look.width, 1);
      e.Capsule(w, p.r_wrist, put(0.3f, 0, 0), palm * 0.85f);
      e.Capsule(put(0.32f, 0.3f, 0), palm * 0.6f, put(0.32f, -0.3f, 0), palm * 0.58f);
      if (!o.gloves) e.HideLine(w, p.r_wrist * 1.1f);
      for (int j = 0; j < n; ++j) {
        const float y = 1 - 2.0f * j / (n - 1), a = y * spread * (n - 1) * 0.5f;
        const V3 d = Unit(along + thumb * a), root = put(0.42f, y * 0.62f, 0);
        const float reach = l * (j == 0 || j == n - 1 ? 0.46f : 0.56f) - fr;
        finger(root, root + d * (reach * 0.55f), root + d * (reach * (1 - 0.3f * curl)) + flat * (palm * curl * 0.7f), fr, top + 1e-4f + j * 1e-5f);
      }
      finger(put(0.12f, 0.5f, 0), put(0.38f, 1.25f, 0.1f), put(0.6f, 1.5f, 0.2f), fr * 0.95f, near_thumb ? top + 2e-4f : top - 2e-4f);
    }
    if (cuffed && !look.simple) {  // a roll at the wrist
      const V3 in = Unit(k.elbow[i] - w);
      e.Begin(top + 3e-4f, o.gloves ? c : o.sleeves == 2 ? Mix(look.top, {1, 1, 1}, 0.3f) : look.accent, look.ink, look.width);
      Even(w + in * (p.r_wrist * 1.1f), p.r_wrist * 1.55f, w - in * (p.r_wrist * 0.2f), p.r_wrist * 1.6f, 0.1f);
    }
    if (!look.simple && r.Chance(look.calm ? 0.05f : 0.12f) && !(k.holds_both && i == 1)) Prop(Mix(w, k.tip[i], 0.6f), depth);
  }
};

}  // namespace drawer
