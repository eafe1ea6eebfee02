// What heads share: how a figure looks, the labelled points, and the features of a face.
#pragma once
#include "canvas.h"
#include "pose.h"

namespace drawer {

enum HeadPoint {
  kHpCrown, kHpChin, kHpTop, kHpJaw, kHpContour = 5, kHpEyeL = 7, kHpEyeR = 11,  // eyes: inner, outer, top, bottom
  kHpBrow = 15, kHpNose = 17, kHpMouth = 18, kHpMouthCentre = 20, kHpHairline = 21, kHeadPoints
};

enum Technique {
  kInkFlat, kFlat, kCleanLine, kGreyPicture, kSilhouette, kPainted, kBrush, kMannequin, kPictogram, kSketch, kComic, kTechniques
};

// How one figure is coloured and dressed.
struct Look {
  int technique;
  bool simple, bare;     // silhouette or pictogram; no clothes
  Colour skin, ink, top, bottom, shoe, hair, accent;
  float width;           // outline
  float pattern;         // chance of a pattern on a part of the clothes
  float wild;            // 0: an ordinary drawing, whose skin, shoes and hair have no patterns
  float rim;             // how much heavier the contour of the whole is than the lines inside
  bool rim_pale;         // and it is white, as round cut-out pictures
  bool calm;             // an ordinary drawing: clean, few colours, little beside the figure
  // Drawn in lines on paper: what is not ink has the paper's colour.
  AL_BOTH bool InLine() const { return technique == kCleanLine || technique == kBrush || technique == kSketch; }
};

struct HeadLabels {
  V2 at[kHeadPoints];
  float seen[kHeadPoints];
  AL_BOTH void Set(int i, V2 p, float s = 1) { at[i] = p; seen[i] = s; }
};

// A point of the face: `side` and `up` in half widths and head heights from the middle, on the front of the skull,
// lifted by `out` head heights.
struct Face {
  V3 middle;
  Axes m;
  float w, h, d;
  float nose, mouth;  // heights of the nose's base and the mouth, the same in outline and features
  AL_BOTH V3 At(float side, float up, float out = 0) const {
    const float s = Clamp(side, -0.98f, 0.98f), u = Clamp(up / 0.56f, -0.95f, 0.95f);
    const float z = d * sqrtf(Max(0.02f, 1 - s * s * 0.92f)) * sqrtf(Max(0.3f, 1 - 0.35f * u * u)) + out * h;
    return middle + m.x * (side * w) + m.y * (up * h) + m.z * z;
  }
  AL_BOTH V3 Normal(float side) const { return m * V3{side, 0, sqrtf(Max(0.02f, 1 - side * side))}; }
};

AL_BOTH void Stroke(Easel& e, float depth, Colour c, const V2* p, int n, float width) {
  e.Begin(depth, c, c, 0, -1);
  e.Now().light = kUnlit;
  for (int i = 0; i + 1 < n; ++i) {
    const float a = width * (i == 0 ? 0.7f : 1.0f), b = width * (i + 2 == n ? 0.55f : 1.0f);
    e.Capsule(p[i], a * 0.5f, p[i + 1], b * 0.5f);
  }
}

AL_BOTH void DrawEyes(Easel& e, Random& r, const Skeleton& k, const Look& look, const Face& f, float depth, float fine,
                      HeadLabels& out) {
  const float h = f.h, big = k.p.cartoon;
  const float level = r.In(-0.1f, 0.07f) - 0.04f * big;                     // eye line, head heights from the middle
  const float apart = r.In(0.36f, 0.52f) * (1 - 0.1f * big);                // middle of an eye, half widths
  const bool large = r.Chance(0.22f + 0.4f * big);
  const float half = (large ? r.In(0.15f, 0.34f) : r.In(0.11f, 0.21f));     // half length, half widths
  const float open = large ? r.In(0.05f, 0.15f) : r.In(0.012f, 0.055f);     // half height, head heights
  const int kind = r.Below(10);  // 0-4 almond, 5-6 round, 7-8 dot, 9 shut
  const Colour ink = look.width > 0 || r.Chance(0.7f) ? look.ink : Dim(look.skin, 0.45f);
  const bool white = kind < 7 && r.Chance(0.75f);
  const Colour iris = r.Chance(0.5f) ? look.ink : RandomColour(r);
  const float iris_r = open * r.In(0.65f, 1.1f) * h, lid = fine * r.In(0.8f, 2.2f), tilt = r.Bell(0.012f);
  const float gaze = r.Bell(0.25f) * half, brow_up = open + r.In(0.03f, 0.09f), brow_w = fine * r.In(0.7f, 3.5f);
  const bool brows = r.Chance(0.85f), under = r.Chance(0.6f), crease = r.Chance(0.3f), lashes = r.Chance(0.25f);
  const float arch = r.In(0.005f, 0.04f), mood = r.Bell(0.02f);
  const Colour brow_colour = r.Chance(0.5f) ? ink : look.hair;
  const bool glasses = r.Chance(0.08f);
  for (int i = 0; i < 2; ++i) {
    const float side = i == 0 ? 1.0f : -1.0f;
    if (e.View(f.Normal(side * (apart + half * 0.4f))).z < 0.1f) continue;
    const int at = i == 0 ? kHpEyeL : kHpEyeR;
    const float a = side * (apart - half), b = side * (apart + half), m = side * apart;
    const float top = level + open, low = level - open * r.In(0.7f, 1.0f);
    const V2 inner = e.Project(f.At(a, level - tilt, 0.005f)), outer = e.Project(f.At(b, level + tilt, 0.005f));
    const V2 upper = e.Project(f.At(m, top, 0.01f)), lower = e.Project(f.At(m, low, 0.01f));
    const V2 up_in = e.Project(f.At(side * (apart - half * 0.55f), level + open * 0.72f, 0.01f));
    const V2 up_out = e.Project(f.At(side * (apart + half * 0.55f), level + open * 0.8f, 0.01f));
    const V2 low_in = e.Project(f.At(side * (apart - half * 0.55f), level - open * 0.6f, 0.01f));
    const V2 low_out = e.Project(f.At(side * (apart + half * 0.55f), level - open * 0.62f, 0.01f));
    const V2 almond[8] = {inner, up_in, upper, up_out, outer, low_out, lower, low_in};
    const V3 pupil = f.At(m + gaze, level + r.Bell(0.004f), 0.012f);
    if (kind < 5) {
      if (white) {
        e.Begin(depth, {1, 1, 1}, ink, fine * 0.5f);
        e.Now().light = kUnlit;
        e.Blob(almond, 8);
      }
      e.Begin(depth + 1e-4f, iris, ink, fine * 0.5f);
      e.Now().light = kUnlit;
      e.Capsule(pupil, iris_r * 0.95f, pupil, iris_r * 0.9f);
      e.Blob(almond, 8, kKeep);
      const V2 line[5] = {inner, up_in, upper, up_out, outer};
      Stroke(e, depth + 3e-4f, ink, line, 5, lid);
      if (under) { const V2 l[5] = {inner, low_in, lower, low_out, outer}; Stroke(e, depth + 3e-4f, ink, l, 5, lid * 0.5f); }
      if (lashes) { const V2 l[2] = {up_out, outer + (outer - upper) * 0.4f}; Stroke(e, depth + 3e-4f, ink, l, 2, lid); }
    } else if (kind < 7) {
      e.Begin(depth, white ? Colour{1, 1, 1} : iris, ink, fine * 0.8f);
      e.Now().light = kUnlit;
      e.Ellipsoid(f.At(m, level, 0.0f), f.m, {half * f.w, open * h, 0.03f * h});
      if (white) {
        e.Begin(depth + 1e-4f, iris, ink, 0);
        e.Now().light = kUnlit;
        e.Capsule(pupil, iris_r * 0.5f, pupil, iris_r * 0.48f);
      }
    } else if (kind < 9) {
      e.Begin(depth, ink, ink, 0);
      e.Now().light = kUnlit;
      e.Ellipsoid(f.At(m, level), f.m, {half * f.w * 0.5f, open * h * 0.9f, 0.03f * h});
    } else {
      const V2 l[5] = {inner, low_in, lower, low_out, outer};
      Stroke(e, depth, ink, l, 5, lid);
    }
    if (kind < 7 && iris_r * e.ScaleAt(pupil) > 1.2f) {
      e.Begin(depth + 2e-4f, {0, 0, 0}, ink, 0);
      e.Now().light = kUnlit;
      e.Capsule(pupil, iris_r * 0.4f, pupil, iris_r * 0.38f);
      if (r.Chance(0.7f)) {
        const V3 shine = pupil + f.m.x * (iris_r * 0.35f) + f.m.y * (iris_r * 0.35f);
        e.Begin(depth + 2.5e-4f, {1, 1, 1}, ink, 0);
        e.Now().light = kUnlit;
        e.Capsule(shine, iris_r * 0.25f, shine, iris_r * 0.22f);
      }
    }
    const bool small = kind >= 7 && kind < 9;
    const float q = small ? 0.5f : 1.0f;
    out.Set(at, small ? e.Project(f.At(side * (apart - half * q), level)) : inner);
    out.Set(at + 1, small ? e.Project(f.At(side * (apart + half * q), level)) : outer);
    out.Set(at + 2, kind == 9 ? e.Project(f.At(m, level - open * 0.1f)) : upper);
    out.Set(at + 3, lower);
    if (crease && kind < 5) {
      const V2 l[3] = {up_in + (up_in - low_in) * 0.25f, upper + (upper - lower) * 0.2f, up_out + (up_out - low_out) * 0.2f};
      Stroke(e, depth + 3e-4f, ink, l, 3, lid * 0.4f);
    }
    if (brows) {
      const V2 p[3] = {e.Project(f.At(side * (apart - half * 1.15f), level + brow_up - mood, 0.02f)),
                       e.Project(f.At(side * (apart + half * 0.35f), level + brow_up + arch, 0.02f)),
                       e.Project(f.At(side * (apart + half * 1.4f), level + brow_up + mood * 0.5f, 0.0f))};
      Stroke(e, depth + 4e-4f, brow_colour, p, 3, brow_w);
      int peak = 1;
      for (int j = 0; j < 3; ++j) if (p[j].y < p[peak].y - 0.3f) peak = j;
      out.Set(kHpBrow + i, V2{p[peak].x, p[peak].y - brow_w * 0.4f});
    }
    if (glasses) {
      e.Begin(depth + 5e-4f, {1, 1, 1}, look.ink, Max(fine, 0.8f));
      e.Now().opacity = r.Chance(0.7f) ? 0.0f : 0.4f;
      e.Ellipsoid(f.At(m, level - 0.01f, 0.03f), f.m, {0.3f * f.w, 0.09f * h, 0.03f * h});
    }
  }
}

AL_BOTH void DrawNoseAndMouth(Easel& e, Random& r, const Look& look, const Face& f, float depth, float fine, float nose_out,
                              HeadLabels& out) {
  const float h = f.h, front = e.View(f.m.z).z;
  const Colour ink = look.width > 0 || r.Chance(0.7f) ? look.ink : Dim(look.skin, 0.5f);
  const float base = f.nose, half = r.In(0.1f, 0.24f), bridge = base + r.In(0.06f, 0.22f);
  const float lean = (e.View(f.m.x).z > 0 ? 1.0f : -1.0f);  // the side turned to us
  const V2 tip = e.Project(f.At(0, base + 0.03f, nose_out)), under = e.Project(f.At(0, base, nose_out * 0.45f));
  if (front > -0.05f && r.Chance(0.94f)) {
    const int kind = r.Below(7);
    if (kind == 0) {  // bridge and base in one stroke
      const V2 p[4] = {e.Project(f.At(-lean * 0.05f, bridge, 0.02f)), tip, under, e.Project(f.At(lean * half * 0.7f, base + 0.01f))};
      Stroke(e, depth, ink, p, 4, fine);
    } else if (kind == 1) {  // nostrils
      for (int j = -1; j <= 1; j += 2) {
        const V2 p[2] = {e.Project(f.At(j * half * 0.4f, base, 0.02f)), e.Project(f.At(j * half * 0.75f, base + 0.012f, 0.01f))};
        Stroke(e, depth, ink, p, 2, fine * 1.2f);
      }
    } else if (kind == 2) {  // ball
      e.Begin(depth, r.Chance(0.7f) ? look.skin : Mix(look.skin, {1, 0.3f, 0.3f}, 0.4f), ink, fine);
      const float b = h * r.In(0.03f, 0.1f);
      const V3 c = f.At(0, base + b / h, nose_out * 0.6f);
      e.Ellipsoid(c, f.m, {b * r.In(0.8f, 1.5f), b, b});
    } else if (kind == 3) {  // wings
      const V2 p[5] = {e.Project(f.At(half, base + 0.04f)), e.Project(f.At(half * 0.95f, base + 0.01f)), under,
                       e.Project(f.At(-half * 0.95f, base + 0.01f)), e.Project(f.At(-half, base + 0.04f))};
      Stroke(e, depth, ink, p, 5, fine);
      if (r.Chance(0.5f)) { const V2 q[2] = {e.Project(f.At(lean * -0.1f, bridge)), e.Project(f.At(lean * -0.16f, base + 0.06f))}; Stroke(e, depth, ink, q, 2, fine * 0.8f); }
    } else if (kind == 4) {  // a short base
      const V2 p[3] = {e.Project(f.At(half * 0.6f, base + 0.008f)), under, e.Project(f.At(-half * 0.6f, base + 0.008f))};
      Stroke(e, depth, ink, p, 3, fine);
    } else if (kind == 5) {  // wedge with shade
      const V2 p[3] = {e.Project(f.At(0, bridge, 0.01f)), e.Project(f.At(lean * half, base)), under};
      e.Begin(depth, Dim(look.skin, 0.75f), ink, 0);
      e.Polygon(p, 3);
    } else {
      const V2 p[3] = {e.Project(f.At(0, base + 0.05f, nose_out * 0.8f)), tip, under};
      Stroke(e, depth, ink, p, 3, fine);
    }
    out.Set(kHpNose, under);
  }
  const float level = f.mouth, wide = r.In(0.18f, 0.5f), smile = r.Bell(0.025f);
  if (front > -0.15f && r.Chance(0.92f)) {
    const V2 l = e.Project(f.At(wide, level + smile)), rr = e.Project(f.At(-wide, level + smile)), m = e.Project(f.At(0, level, 0.015f));
    const V2 ql = e.Project(f.At(wide * 0.5f, level + smile * 0.3f, 0.01f)), qr = e.Project(f.At(-wide * 0.5f, level + smile * 0.3f, 0.01f));
    const int kind = r.Below(6);
    V2 centre = m;
    const Colour lip = r.Chance(0.4f) ? Mix(look.skin, {0.75f, 0.15f, 0.15f}, 0.6f) : r.Chance(0.5f) ? look.skin : Colour{0.75f, 0.1f, 0.15f};
    if (kind < 2) {
      const V2 p[5] = {l, ql, m, qr, rr};
      Stroke(e, depth + 1e-4f, ink, p, 5, fine * r.In(0.7f, 1.6f));
    } else if (kind < 4) {
      const float up = r.In(0.01f, 0.03f), down = r.In(0.015f, 0.045f);
      const V2 p[8] = {l, e.Project(f.At(wide * 0.4f, level + up, 0.02f)), e.Project(f.At(0, level + up * 0.8f, 0.02f)), e.Project(f.At(-wide * 0.4f, level + up, 0.02f)),
                       rr, e.Project(f.At(-wide * 0.45f, level - down, 0.02f)), e.Project(f.At(0, level - down, 0.02f)), e.Project(f.At(wide * 0.45f, level - down, 0.02f))};
      e.Begin(depth + 1e-4f, lip, ink, r.Chance(0.6f) ? fine * 0.6f : 0.0f);
      e.Blob(p, 8);
      const V2 q[5] = {l, ql, m, qr, rr};
      Stroke(e, depth + 2e-4f, ink, q, 5, fine * 0.7f);
    } else {  // open
      const float down = r.In(0.04f, 0.17f), up = r.In(0, 0.02f);
      const V2 p[8] = {l, e.Project(f.At(wide * 0.5f, level + up, 0.02f)), e.Project(f.At(0, level + up, 0.02f)), e.Project(f.At(-wide * 0.5f, level + up, 0.02f)),
                       rr, e.Project(f.At(-wide * 0.6f, level - down * 0.8f)), e.Project(f.At(0, level - down)), e.Project(f.At(wide * 0.6f, level - down * 0.8f))};
      e.Begin(depth + 1e-4f, r.Chance(0.6f) ? Colour{0.15f, 0.02f, 0.03f} : lip, ink, fine);
      e.Now().light = kUnlit;
      e.Blob(p, 8);
      if (r.Chance(0.5f)) {
        const V2 t[4] = {e.Project(f.At(wide * 0.7f, level + up)), e.Project(f.At(-wide * 0.7f, level + up)), e.Project(f.At(-wide * 0.6f, level - down * 0.3f)), e.Project(f.At(wide * 0.6f, level - down * 0.3f))};
        e.Begin(depth + 2e-4f, {1, 1, 1}, ink, fine * 0.4f);
        e.Now().light = kUnlit;
        e.Polygon(t, 4);
      }
      centre = e.Project(f.At(0, level - down * 0.45f, 0.01f));
    }
    const bool l_seen = e.View(f.Normal(wide)).z > 0.05f, r_seen = e.View(f.Normal(-wide)).z > 0.05f;
    if (l_seen) out.Set(kHpMouth, l);
    if (r_seen) out.Set(kHpMouth + 1, rr);
    if (front > 0) out.Set(kHpMouthCentre, centre);
    if (r.Chance(0.1f)) {  // moustache
      e.Begin(depth + 3e-4f, look.hair, ink, fine * 0.6f);
      const V3 a = f.At(0, level + 0.035f, 0.03f);
      e.Capsule(a, h * 0.02f, f.At(wide * 0.9f, level + r.In(-0.02f, 0.05f), 0.02f), h * 0.012f);
      e.Capsule(a, h * 0.02f, f.At(-wide * 0.9f, level + r.In(-0.02f, 0.05f), 0.02f), h * 0.012f);
    }
  }
}

}  // namespace drawer
