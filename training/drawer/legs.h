// Legs, shoes and trousers.
#pragma once
#include "painting.h"

namespace drawer {

struct LegPainter : Painting {
  float leg_depth[2] = {}, shin_depth[2] = {};

  AL_BOTH explicit LegPainter(const Painting& p) : Painting(p) {}

  // knee to ankle with the calf's bulge behind, the shin nearly straight
  AL_BOTH void ShinVolume(int i, float grow) {
    const Proportions& p = k.p;
    if (p.noodle) { Even(k.knee[i], p.r_knee * grow, k.ankle[i], p.r_ankle * grow); return; }
    const float c = p.r_calf * grow, a = p.r_ankle * grow, m = o.muscle;
    const V3 s = Unit(k.ankle[i] - k.knee[i]), back = Across(k.foot_dir[i] * -1.0f, s);
    const float d[kKnots] = {p.r_knee * grow, c * 0.99f, c, Mix(c, a, 0.5f), a * 1.12f, a};
    const float g[kKnots] = {0, c * 0.28f * m, c * 0.3f * m, c * 0.1f * m, 0, 0}, h[kKnots] = {0, c * 0.08f, c * 0.14f * m, c * 0.06f, 0, 0};
    e.Limb(k.knee[i], k.ankle[i], d, g, back, h, Outer(i, s));
  }
  AL_BOTH void ThighVolume(int i, float grow) {
    const Proportions& p = k.p;
    if (p.noodle) { Even(k.hip[i], p.r_thigh * grow, k.knee[i], p.r_knee * grow); return; }
    const float t = p.r_thigh * grow, n = p.r_knee * grow, m = o.muscle;
    const V3 s = Unit(k.knee[i] - k.hip[i]);
    const float d[kKnots] = {t * 1.05f, t * 1.03f, Mix(t, n, 0.28f), Mix(t, n, 0.6f), Mix(t, n, 0.92f), n};
    const float g[kKnots] = {0, t * 0.06f * m, t * 0.13f * m, t * 0.12f * m, n * 0.08f, 0}, h[kKnots] = {0, t * 0.12f, t * 0.1f * m, t * 0.03f, 0, 0};
    e.Limb(k.hip[i], k.knee[i], d, g, KneeFront(i), h, Outer(i, s));
  }
  // A bony corner at the front of a bent knee.
  AL_BOTH void KneeCap(int i, float grow) {
    const float b = k.p.r_knee * grow;
    if (k.p.noodle || !o.bony) return;
    const V3 at = k.knee[i] + KneeFront(i) * (b * 0.25f);
    e.Capsule(at, b * 0.88f, at + Unit(k.ankle[i] - k.knee[i]) * (b * 0.5f), b * 0.7f);
  }
  AL_BOTH V3 Sole(int i) const { return Across(k.heel[i] - k.ankle[i], k.foot_dir[i]); }
  // Side view of a foot or shoe; thickness across comes from capsules. `f`: its half height, `long_by`: beyond the toes.
  AL_BOTH void FootProfile(int i, float f, float ankle, float lift) {
    const V3 u = k.foot_dir[i], s = Sole(i), back = k.heel[i] - u * (f * 0.55f), front = k.toe[i];
    const V3 v[10] = {k.ankle[i] - u * (ankle * 1.0f), back - s * (f * 0.5f), back + s * (f * 0.75f), k.heel[i] + u * f + s * (f * 0.8f),
                      Mix(k.heel[i], front, 0.55f) + s * (f * 0.62f), front - u * (f * 0.5f) + s * (f * 0.8f), front - s * (f * 0.1f),
                      Mix(k.heel[i], front, 0.82f) - s * (f * (0.75f + lift)), Mix(k.ankle[i], front, 0.35f) - s * (ankle * 0.25f), k.ankle[i] + u * (ankle * 1.0f)};
    V2 q[10];
    for (int j = 0; j < 10; ++j) q[j] = e.Project(v[j]);
    e.Blob(q, 10);
  }
  AL_BOTH void BareFoot(int i) {
    const float ra = k.p.r_ankle, f = Max(ra * 0.75f, k.p.foot_height * 0.4f);
    e.Capsule(k.heel[i], f * 0.9f, k.toe[i] - k.foot_dir[i] * (f * 0.8f), f * 0.8f);
    e.Capsule(k.ankle[i], ra, Mix(k.heel[i], k.toe[i], 0.6f), f * 0.9f);
    FootProfile(i, f, ra, 0);
  }
  // Inner lines of a bare leg: knee, shin, calf, ankle.
  AL_BOTH void LegLines(int i, float depth) {
    const Proportions& p = k.p;
    if (!Lined() || look.simple || p.noodle || !r.Chance(o.form_lines)) return;
    const V3 f = KneeFront(i), s = Unit(k.ankle[i] - k.knee[i]), out = Outer(i, s);
    if (e.View(f).z < -0.2f) {  // from behind: the hollow of the knee
      const V2 a = e.Project(k.knee[i] + out * (p.r_knee * 0.6f)), b = e.Project(k.knee[i] - out * (p.r_knee * 0.6f));
      BeginMarks(depth, look.ink);
      Mark(a, b, r.Bell(0.15f), look.width * 0.6f);
    } else {
      BeginMarks(depth, look.ink);
      const V3 at = k.knee[i] + f * (p.r_knee * 0.5f);
      Mark(e.Project(at + out * (p.r_knee * 0.5f) + s * (p.r_knee * 0.2f)), e.Project(at - out * (p.r_knee * 0.4f) + s * (p.r_knee * 0.5f)), r.In(-0.5f, -0.1f), look.width * 0.6f);
      if (r.Chance(0.5f)) Mark(e.Project(at + out * (p.r_knee * 0.6f) - s * (p.r_knee * 0.7f)), e.Project(at + out * (p.r_knee * 0.55f) + s * (p.r_knee * 0.2f)), r.Bell(0.2f), look.width * 0.5f);
    }
    if (r.Chance(0.5f)) Mark(e.Project(Mix(k.knee[i], k.ankle[i], 0.25f) - f * (p.r_calf * 0.3f)), e.Project(Mix(k.knee[i], k.ankle[i], 0.6f) - f * (p.r_ankle * 0.2f)), r.Bell(0.06f), look.width * 0.5f);
    if (r.Chance(0.4f)) { const V2 a = e.Project(k.ankle[i] + out * (p.r_ankle * 0.4f)); Mark(a, a + V2{r.In(1, 3), r.Bell(1)}, 0.4f, look.width * 0.6f); }
  }

  AL_BOTH void Leg(int i) {
    const Proportions& p = k.p;
    const float thigh = e.Depth(Mix(k.hip[i], k.knee[i], 0.6f)), shin = e.Depth(Mix(k.knee[i], k.ankle[i], 0.5f));
    const float d1 = thigh > trunk + 0.13f ? thigh + 0.02f : Min(thigh, trunk - 0.004f) - 0.002f;
    const float d2 = shin < thigh - 0.15f || shin > thigh + 0.1f ? shin : d1;
    leg_depth[i] = d1;
    shin_depth[i] = d2;
    const bool split = fabsf(d2 - d1) > 0.01f;
    const Colour skin = Own(o.tights ? look.accent : look.skin, LegDepth(i), LegDepth(1 - i));
    e.Begin(d1, skin, look.ink, look.width, o.knit);
    ThighVolume(i, 1);
    if (!split) { ShinVolume(i, 1); KneeCap(i, 1); if (o.barefoot) BareFoot(i); }
    Patterned(e.Now(), r, look.pattern * look.wild * (look.bare ? 0.3f : 1));
    e.HideLine(k.hip[i], p.r_thigh * 1.3f);
    if (split) {
      e.Begin(d2, skin, look.ink, look.width, o.knit);
      ShinVolume(i, 1);
      KneeCap(i, 1);
      if (o.barefoot) BareFoot(i);
      if (d2 > d1) e.HideLine(k.knee[i], p.r_knee * 1.1f);
      Patterned(e.Now(), r, look.pattern * look.wild * (look.bare ? 0.3f : 1));
    }
    if (o.legs < 2) LegLines(i, Max(d1, d2) + 1e-3f);
    if (o.barefoot && Lined() && r.Chance(0.5f)) Toes(i, d2 + 1e-3f);
    const bool over = o.boots && r.Chance(0.7f);  // the boot's shaft over the trouser
    if (!o.barefoot && !over) Shoe(i, d2);
    if (o.legs) Trouser(i, d1, d2, split);
    if (!o.barefoot && over) Shoe(i, Max(d1, d2) + 6.5e-3f);
    if (look.simple || p.noodle) return;
    const bool clad = o.legs && o.leg_length > 1.1f;
    const Colour c = clad ? Own(look.bottom, LegDepth(i), LegDepth(1 - i)) : skin;
    if (Toward(k.knee[i], k.ankle[i]) < 0.3f) NearEnd(k.hip[i], p.r_thigh, k.knee[i], p.r_knee * 1.15f * (clad ? o.leg_loose : 1.0f), k.ankle[i], c, Max(d1, d2) + 6.4e-3f, false);
    if (r.Chance(0.85f)) SoleSeen(i, Max(d1, d2) + 7e-3f);
  }
  // The sole of a foot that points at the viewer, with heel and tread.
  AL_LARGE void SoleSeen(int i, float depth) {
    const V3 down = Sole(i), u = k.foot_dir[i];
    if (e.View(down).z < 0.3f) return;
    const V3 side = Unit(Cross(down, u));
    const float f = Max(Max(k.p.r_ankle * o.shoe_thick, k.p.foot * 0.13f), 0.012f), w = f * r.In(0.95f, 1.35f), l = Length(k.toe[i] - k.heel[i]);
    const V3 low = down * (f * 0.7f);
    auto at = [&](float x, float y) { return e.Project(k.heel[i] + low + u * (l * x) + side * (w * y)); };
    const float in = i == 0 ? 1.0f : -1.0f;
    const V2 v[10] = {at(-0.1f, 0), at(-0.03f, 0.62f), at(0.22f, 0.62f), at(0.45f, in > 0 ? 0.45f : 0.62f), at(0.72f, 0.98f), at(0.94f, 0.62f), at(o.pointed ? 1.08f : 1.0f, 0.1f * in), at(0.9f, -0.72f), at(0.68f, -0.98f), at(0.2f, -0.62f)};
    const Colour c = o.barefoot ? look.skin : o.sole_pale ? Colour{0.9f, 0.87f, 0.8f} : Dim(look.shoe, 0.55f);
    const Colour fill = look.InLine() ? look.skin : Own(c, LegDepth(i), LegDepth(1 - i));
    e.Begin(depth, fill, look.ink, look.width);
    e.Blob(v, 10);
    const float width = Max(look.width * 0.6f, 0.5f);
    BeginMarks(depth + 1e-4f, Grey(fill) < 0.25f ? Mix(fill, {1, 1, 1}, 0.5f) : Lined() ? look.ink : Dim(fill, 0.6f));
    if (o.barefoot) {
      for (int j = 0; j < 4; ++j) Mark(at(1.0f, 0.55f - 0.36f * j), at(0.83f, 0.5f - 0.33f * j), 0.05f, width);
      return;
    }
    Mark(at(0.26f, 0.6f), at(0.26f, -0.6f), r.Bell(0.15f), width * 1.3f);
    if (r.Chance(0.55f)) for (int j = 0; j < 5; ++j) { const float x = 0.5f + 0.1f * j; Mark(at(x, 0.75f), at(x + r.Bell(0.01f), -0.75f), r.Chance(0.5f) ? 0.2f : 0.0f, width); }
    if (r.Chance(0.4f)) for (int j = 0; j < 3; ++j) { const float x = 0.02f + 0.08f * j; Mark(at(x, 0.5f), at(x, -0.5f), 0, width); }
  }
  AL_BOTH void Toes(int i, float depth) {
    const V3 side = Unit(Cross(Sole(i), k.foot_dir[i])), f = k.foot_dir[i];
    const float w = k.p.r_ankle * 0.7f;
    BeginMarks(depth, look.ink);
    for (int j = 0; j < 4; ++j) {
      const V3 at = k.toe[i] + side * (w * (j - 1.5f) * 0.45f) - f * (w * 0.2f);
      Mark(e.Project(at), e.Project(at - f * (w * 0.7f)), 0.1f, look.width * 0.5f);
    }
  }
  AL_BOTH void Shoe(int i, float depth) {
    const Proportions& p = k.p;
    const float f = Max(Max(p.r_ankle * o.shoe_thick, p.foot * 0.13f), 0.012f) * (p.foot > 0.14f ? 1.2f : 1.0f);
    const V3 down = Sole(i), u = k.foot_dir[i];
    const Colour c = Own(look.shoe, LegDepth(i), LegDepth(1 - i));
    if (o.socks && !o.boots && !look.simple) {
      e.Begin(depth + 2e-3f, look.accent, look.ink, look.width);
      Cloth(k.ankle[i], p.r_ankle * 1.15f, Mix(k.ankle[i], k.knee[i], o.sock_length), p.r_ankle * 1.3f, 0, 0.1f);
    }
    if (o.heels && !look.simple) {
      e.Begin(depth + 2.8e-3f, c, look.ink, look.width);
      e.Capsule(k.heel[i] + down * (f * 0.3f), f * 0.55f, k.heel[i] + down * (f + 0.02f), 0.004f);
    }
    e.Begin(depth + 3e-3f, c, look.ink, look.width, 1.5f);
    if (o.open_shoe) {  // pumps and slippers leave the instep bare
      e.Capsule(k.heel[i], f * 0.8f, Mix(k.heel[i], k.toe[i], 0.8f), f * 0.55f);
      e.Capsule(Mix(k.heel[i], k.toe[i], 0.7f), f * 0.6f, k.toe[i] - u * (f * 0.4f), f * (o.pointed ? 0.25f : 0.6f));
    } else {
      e.Capsule(k.heel[i] - down * (f * 0.1f), f * 0.85f, k.toe[i] - u * (f * 0.8f), f * (o.pointed ? 0.45f : 0.85f));
      e.Capsule(k.ankle[i], p.r_ankle * 1.12f, Mix(k.heel[i], k.toe[i], 0.55f) - down * (f * 0.1f), f * 0.95f);
      FootProfile(i, f, p.r_ankle * 1.15f, o.round_toe);
    }
    const V3 shaft = Mix(k.ankle[i], k.knee[i], o.boot_length);
    const float r_shaft = Mix(p.r_ankle, p.r_calf, Min(1, o.boot_length * 1.6f)) * o.boot_wide;
    if (o.boots) Cloth(k.ankle[i], p.r_ankle * 1.3f, shaft, r_shaft, 0.05f, 0.15f);
    Patterned(e.Now(), r, look.pattern * look.wild);
    if (look.simple) return;
    if (o.boots && o.cuff) {  // turned-down top
      e.Begin(depth + 3.1e-3f, Mix(c, look.accent, 0.5f), look.ink, look.width);
      Even(Mix(k.ankle[i], shaft, 0.85f), r_shaft * 1.12f, shaft, r_shaft * 1.2f, 0.1f);
    }
    if (o.boots) { JointFolds(k.toe[i], k.ankle[i], k.knee[i], p.r_ankle * 1.3f, c, depth + 3.3e-3f); }
    if (o.sole) {
      e.Begin(depth + 3.2e-3f, o.sole_pale ? Colour{0.93f, 0.92f, 0.9f} : Dim(c, 0.5f), look.ink, look.width * 0.7f);
      const V3 a = k.heel[i] + down * (f * 0.75f) - u * (f * 0.2f), b = k.toe[i] - u * (f * 0.9f) + down * (f * 0.65f);
      e.Capsule(a, f * 0.28f, b, f * 0.22f);
      if (o.block_heel) e.Capsule(a + u * (f * 0.2f), f * 0.4f, a + u * (f * 0.6f) + down * (f * 0.35f), f * 0.35f);
    }
    if (o.laces && Lined()) {
      const V3 side = Unit(Cross(down, u));
      BeginMarks(depth + 3.4e-3f, Grey(c) < 0.3f ? Mix(c, {1, 1, 1}, 0.7f) : look.ink);
      for (int j = 0; j < 3; ++j) {
        const V3 at = Mix(k.ankle[i] - down * 0.0f, k.toe[i], 0.25f + 0.13f * j) - down * (f * 0.55f);
        Mark(e.Project(at + side * (f * 0.5f)), e.Project(at - side * (f * 0.5f)), 0.2f, Max(look.width * 0.6f, 0.5f));
      }
    }
    if (o.wheels) for (int j = 0; j < 4; ++j) {
      const V3 at = Mix(k.heel[i], k.toe[i], j / 3.0f) + down * 0.03f;
      e.Begin(depth + 3.4e-3f, look.accent, look.ink, look.width);
      e.Capsule(at, 0.013f, at, 0.0129f);
    }
  }
  AL_BOTH void Trouser(int i, float d1, float d2, bool split) {
    const Proportions& p = k.p;
    const float broad = o.legs == 2 && Hash(static_cast<int>(o.bottom_seed & 0xffff), 3) < 0.09f ? 1.15f + Hash(static_cast<int>(o.bottom_seed & 0xffff), 4) : 1;  // hangs as wide as a skirt
    const float w = o.leg_loose * (broad > 1 ? Min(broad, 1.35f) : 1), t = Min(1, o.leg_length), u = o.leg_length - 1;
    const Colour bottom = Own(look.bottom, LegDepth(i), LegDepth(1 - i));
    const V3 end = Mix(k.hip[i], k.knee[i], t), hem = Mix(k.knee[i], k.ankle[i], Max(0, u));
    const float r_end = Mix(p.r_thigh, p.r_knee, t) * w * (o.legs == 1 ? o.leg_flare : 1);
    const float r_hem = Max(p.r_ankle * 1.15f, Mix(p.r_calf, p.r_ankle, Max(u, 0)) * w * o.leg_flare * broad * (broad > 1 ? 1.5f : 1.0f)), curl = r.In(-0.1f, 0.25f);
    e.Begin(d1 + 4e-3f, bottom, look.ink, look.width, Max(o.knit, 1.5f));
    Cloth(k.hip[i], p.r_thigh * 1.1f * w, end, r_end, u > 0 ? o.leg_puff * 0.5f : 0, u > 0 ? -9.0f : curl);
    if (u > 0 && !split) Cloth(k.knee[i], r_end, hem, r_hem, o.leg_puff, curl);
    Wear(false);
    e.HideLine(k.hip[i], p.r_thigh * 1.35f);
    if (u > 0 && split) {
      e.Begin(d2 + 5e-3f, bottom, look.ink, look.width, Max(o.knit, 1.5f));
      Cloth(k.knee[i], r_end, hem, r_hem, o.leg_puff, curl);
      if (d2 > d1) e.HideLine(k.knee[i], p.r_knee * 1.2f);
      Wear(false);
    }
    if (look.simple) return;
    const float top = Max(d1, d2) + 6e-3f;
    if (u > 0) {
      JointFolds(k.hip[i], k.knee[i], hem, r_end, bottom, top);
      HemFolds(k.knee[i], hem, r_hem, bottom, top);
    } else {
      HemFolds(k.hip[i], end, r_end, bottom, top);
    }
    JointFolds(k.waist, k.hip[i], end, p.r_thigh * 1.1f * w, bottom, Max(top, trunk + 3e-3f));
    LongFolds(e.Project(Mix(k.hip[i], k.knee[i], 0.2f)), e.Project(end), p.r_thigh * w * e.ScaleAt(k.hip[i]), bottom, top, 1 + r.Below(2));
    if (o.crease && u > 0) {  // an ironed crease or a seam down the side
      BeginMarks(top, FoldColour(bottom));
      const V3 f = o.crease == 1 ? KneeFront(i) : Outer(i, Unit(k.knee[i] - k.hip[i]));
      if (e.View(f).z > -0.1f) {
        Mark(e.Project(Mix(k.hip[i], k.knee[i], 0.2f) + f * (p.r_thigh * 0.6f)), e.Project(k.knee[i] + f * (r_end * 0.7f)), 0, FoldWidth() * 0.7f);
        Mark(e.Project(k.knee[i] + f * (r_end * 0.7f)), e.Project(hem + f * (r_hem * 0.6f)), 0, FoldWidth() * 0.7f);
      }
    }
    if (o.leg_stripe || o.cuff) {  // turn-up, border
      e.Begin(Max(d2, u > 0 ? d2 : d1) + 6.2e-3f, o.cuff ? Mix(bottom, {1, 1, 1}, 0.25f) : look.accent, look.ink, look.width * 0.8f);
      if (u > 0) Even(Mix(k.knee[i], hem, 0.88f), r_hem * 1.06f, hem, r_hem * 1.1f, curl);
      else Even(Mix(k.hip[i], end, 0.88f), r_end * 1.04f, end, r_end * 1.07f, curl);
    }
  }
};

}  // namespace drawer
