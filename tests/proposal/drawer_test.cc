// The figure drawer that the networks learn from (training/drawer), compiled for the CPU.
#include <algorithm>
#include <memory>

#include <gtest/gtest.h>

#include "training/drawer/scene.h"

namespace drawer {
namespace {

struct Drawn {
  std::unique_ptr<Scene> scene = std::make_unique<Scene>();
  Labels labels;
  explicit Drawn(uint32_t seed, int kind = kBodyScenes) { MakeScene(seed, kind, *scene, labels); }
  Colour At(float x, float y) const {
    uint16_t list[kMaxShapes];
    for (int i = 0; i < scene->shapes; ++i) list[i] = static_cast<uint16_t>(scene->order[i]);
    return PointColour(*scene, list, scene->shapes, x, y, 1.0f);
  }
};

TEST(Drawer, OneSeedOneDrawing) {
  for (uint32_t seed = 0; seed < 20; ++seed) {
    const Drawn a(seed), b(seed);
    for (int i = 0; i < kBodyPoints * 3; ++i) EXPECT_EQ(a.labels.body[i], b.labels.body[i]);
    const Colour c = a.At(100, 120), d = b.At(100, 120);
    EXPECT_EQ(c.r, d.r);
    EXPECT_EQ(c.g, d.g);
  }
  int differ = 0;
  for (uint32_t seed = 0; seed < 20; ++seed) differ += Drawn(seed).labels.body[0] != Drawn(seed + 1).labels.body[0];
  EXPECT_GE(differ, 17);
}

TEST(Drawer, JointsLieOnTheDrawnFigure) {
  // Silhouettes on plain ground: the colour at a joint is the figure's. Hand tips and toes lie on the edge and are left out, and so is
  // what a thing in front or another figure may hide; limbs of wire are thinner than a point: more than nine in ten must hold.
  int on = 0, all = 0, empty = 0;
  for (uint32_t seed = 1; seed < 4000; ++seed) {
    const Drawn d(seed);
    if (static_cast<int>(d.labels.technique) != kSilhouette || d.labels.main < 0.5f || d.scene->back.kind != 0) continue;
    const Shape* shape = d.scene->shape;
    if (std::none_of(shape, shape + d.scene->shapes, [&](const Shape& s) { return s.figure && fabsf(Grey(s.fill) - Grey(d.scene->back.a)) > 0.05f; })) {
      ++empty;  // a lone contour is as its ground inside
      continue;
    }
    for (const int i : {2, 5, 6, 7, 8, 11, 12, 13, 14, 15, 16}) {
      if (d.labels.body[3 * i + 2] < 0.5f) continue;
      const Colour c = d.At(d.labels.body[3 * i], d.labels.body[3 * i + 1]), g = d.scene->back.a;
      on += fabsf(c.r - g.r) + fabsf(c.g - g.g) + fabsf(c.b - g.b) > 0.15f;
      ++all;
    }
  }
  ASSERT_GT(all, 300);
  EXPECT_GT(on, 0.94 * all) << all;
  EXPECT_GT(empty, 5);
}

TEST(Drawer, LimbsHoldTheirJointsInEveryTechnique) {
  // However a limb bulges and its contour wanders, its joints lie in a shape of the figure. Nothing hides here: distances, not colours.
  int in = 0, all = 0;
  for (uint32_t seed = 5000; seed < 6500; ++seed) {
    const Drawn d(seed);
    if (d.labels.main < 0.5f) continue;
    for (const int i : {2, 3, 4, 5, 6, 7, 8, 11, 12, 13, 14, 15, 16}) {
      if (d.labels.body[3 * i + 2] < 0.5f) continue;
      const float px = d.labels.body[3 * i], py = d.labels.body[3 * i + 1];
      const V2 w = Wander(d.scene->style, px, py);
      float best = 1e9f;
      for (int j = 0; j < d.scene->shapes; ++j) {
        V2 q;
        if (d.scene->shape[j].figure) best = Min(best, ShapeDistance(*d.scene, d.scene->shape[j], px + w.x, py + w.y, q));
      }
      in += best < 0.5f;
      ++all;
    }
  }
  ASSERT_GT(all, 8000);
  EXPECT_GT(in, 0.995 * all) << all;
}

TEST(Drawer, ALimbIsAsWideAsItsKnotsSay) {
  // Along x from 10 to 60, wider below than above, its far end cut with a hem that swells by 3.
  float a[2 * kPolygon] = {10, 50, 60, 50, 8, 10, 12, 9, 7, 6, 8, 8, 8, 7, 6, 6, 1, 3, 0, 0};
  V2 q;
  for (int i = 1; i < kKnots - 1; ++i) {
    const float x = 10 + 10.0f * i;
    EXPECT_NEAR(LimbDistance(x, 50 + a[4 + i], a, q), 0, 1e-3) << i;
    EXPECT_GT(q.y, 0.9f);
    EXPECT_NEAR(LimbDistance(x, 50 - a[4 + kKnots + i], a, q), 0, 1e-3) << i;
    EXPECT_LT(q.y, -0.9f);
  }
  EXPECT_NEAR(LimbDistance(2, 50, a, q), 0, 1e-3);   // round start
  EXPECT_NEAR(LimbDistance(63, 50, a, q), 0, 1e-3);  // the middle of the hem
  EXPECT_GT(LimbDistance(62, 55.5f, a, q), 1);       // its corner is cut
  a[19] = 1;
  EXPECT_GT(LimbDistance(8, 50, a, q), 1.9f);        // cut start
  a[18] = 1;                                         // straight between knots
  EXPECT_NEAR(LimbDistance(35, 50 + 10.5f, a, q), 0, 1e-3);
}

TEST(Drawer, EachShapeWandersLittle) {
  int wandering = 0;
  for (uint32_t seed = 1; seed < 300; ++seed) {
    const Drawn d(seed);
    for (int j = 0; j < d.scene->shapes; ++j) {
      const Shape& f = d.scene->shape[j];
      wandering += f.wob > 0;
      EXPECT_LT(f.wob * 1.45f, 5.0f) << seed;  // 2 % of the picture at the very most
    }
  }
  EXPECT_GT(wandering, 1000);
}

TEST(Drawer, BoxesHoldTheirPointsAndScenesFit) {
  int without = 0, several = 0;
  for (uint32_t seed = 1; seed < 600; ++seed) {
    const Drawn d(seed);
    EXPECT_LT(d.scene->shapes, kMaxShapes) << seed;
    EXPECT_LT(d.scene->prims, kMaxPrims) << seed;
    const float* box = d.labels.box;
    without += box[4] == 0;
    several += box[9] > 0;
    for (int i = 0; i < kBodyPoints; ++i)
      if (d.labels.body[3 * i + 2] > 0.5f && box[4] > 0) {
        EXPECT_LE(fabsf(d.labels.body[3 * i] - box[0]), box[2] + 6) << seed;
        EXPECT_LE(fabsf(d.labels.body[3 * i + 1] - box[1]), box[3] + 6) << seed;
      }
  }
  EXPECT_GT(without, 30);
  EXPECT_GT(several, 30);
}

TEST(Drawer, StagedPosesKeepTheirLimbsAndReachTheirThings) {
  int chosen[kActs] = {}, bent = 0, backward = 0;
  for (uint32_t seed = 1; seed < 4000; ++seed) {
    Random r{seed * 2654435761u};
    ++chosen[ChooseAct(r)];
  }
  EXPECT_GT(chosen[kNoAct], 2400);  // most stand, walk and sit as chance has it
  for (int act = 1; act < kActs; ++act) {
    EXPECT_GT(chosen[act], 8) << act;
    EXPECT_LT(chosen[act], 130) << act;
    for (uint32_t seed = 1; seed < 60; ++seed) {
      Random r{seed * 2654435761u + static_cast<uint32_t>(act)};
      const Proportions p = RandomProportions(r, false, seed % 2 == 0);
      const Skeleton k = ActSkeleton(r, p, act);
      for (int i = 0; i < 2; ++i) {
        EXPECT_NEAR(Length(k.knee[i] - k.hip[i]), p.thigh, 2e-3f) << act;
        EXPECT_NEAR(Length(k.ankle[i] - k.knee[i]), p.shin, 2e-3f) << act;
        EXPECT_NEAR(Length(k.elbow[i] - k.shoulder[i]), p.upper_arm, 2e-3f) << act;
        EXPECT_NEAR(Length(k.wrist[i] - k.elbow[i]), p.forearm, 2e-3f) << act;
        EXPECT_GT(Length(k.tip[i] - k.wrist[i]), 0.5f * p.hand) << act;
      }
      EXPECT_GT(Dot(k.hip[0] - k.hip[1], k.pelvis.x), 0) << act;  // the left one is on the left
      EXPECT_GT(Dot(k.shoulder[0] - k.shoulder[1], k.chest.x), 0) << act;
      EXPECT_GT(Dot(Cross(k.chest.x, k.chest.y), k.chest.z), 0.99f) << act;  // turned, never mirrored
      if (act == kCycle)
        for (int i = 0; i < 2; ++i) {
          const V3 pedal = k.stage * k.at[3 + i];
          EXPECT_LT(Length(Mix(k.heel[i], k.toe[i], 0.5f) - pedal), p.foot + 0.1f) << seed;
          EXPECT_GT(pedal.y, k.ground);
        }
      if (act == kShoulderStand) { EXPECT_LT(k.skull.y, k.root.y - 0.5f * p.trunk) << seed; }
      for (int i = 0; i < 2; ++i) {  // a knee bends so that the shin goes back, the way the toes do not point
        const V3 thigh = Unit(k.knee[i] - k.hip[i]), shin = Unit(k.ankle[i] - k.knee[i]), out = thigh - shin * Dot(thigh, shin), toes = k.foot_dir[i] - shin * Dot(k.foot_dir[i], shin);
        if (Length(out) > 0.4f && Length(toes) > 0.3f) backward += Dot(Unit(out), Unit(toes)) < -0.2f, ++bent;
      }
      const float down = Min(Min(k.heel[0].y, k.heel[1].y), Min(k.toe[0].y, k.toe[1].y));
      if (act == kHeadstand || act == kKneeHang) { EXPECT_LT(k.skull.y, k.root.y - 0.4f * p.trunk) << seed; }
      if (act == kHeadstand) { EXPECT_LT(k.skull.y, down) << seed; }
      if (act == kHang) { EXPECT_GT(Max(k.wrist[0].y, k.wrist[1].y), k.pit.y) << seed; }
      if (act == kSquat) { EXPECT_LT(k.root.y - Min(k.ankle[0].y, k.ankle[1].y), 0.75f * (p.thigh + p.shin)) << seed; }
      if (act == kPerch) { EXPECT_LE(k.ground, down + 1e-3f) << seed; }
      if (act == kFootNear) { EXPECT_LT(Max(k.toe[0].z, k.toe[1].z), k.camera) << seed; }
    }
  }
  EXPECT_GT(bent, 2000);
  EXPECT_LT(backward, 0.005f * bent);
}

TEST(Drawer, ClothesCloseInFrontAndHaveTheirSides) {
  // On the trunk's surface: the front is seen when the chest faces the viewer and the back when it turns away, the left lies on the left,
  // and what is seen of the cloth lies nearer than what is hidden.
  int front = 0, back = 0;
  const auto scene = std::make_unique<Scene>();
  for (uint32_t seed = 1; seed < 1500; ++seed) {
    Random r{seed * 2654435761u};
    const Proportions p = RandomProportions(r, false, true);
    const Skeleton k = PlainSkeleton(r, p, 0, true);
    Look look{};
    ChooseStyle(r, *scene, look, kInkFlat);
    Easel e;
    e.scene = scene.get();
    e.scale = 200;
    const CostumePainter cloth(Painting{e, r, k, look, RandomOutfit(r, look, k), e.Depth(k.waist)});
    const float facing = e.View(k.chest.z).z;
    if (fabsf(facing) < 0.3f) continue;
    EXPECT_EQ(cloth.Seen(0, 1), facing > 0) << seed;
    EXPECT_EQ(cloth.Seen(kTau / 2, 1), facing < 0) << seed;
    EXPECT_GT(Dot(cloth.On(kTau / 4, 0.7f) - cloth.On(-kTau / 4, 0.7f), k.chest.x), 0) << seed;
    EXPECT_EQ(e.Depth(cloth.On(0, 1)) > e.Depth(cloth.On(kTau / 2, 1)), facing > 0) << seed;
    ++(facing > 0 ? front : back);
  }
  EXPECT_GT(front, 300);
  EXPECT_GT(back, 40);
}

TEST(Drawer, ABentLimbIsOneContourAboutItsJoints) {
  // Whole or not at all: where the contour is drawn, all three joints and the middles of both bones lie in it, and a point beside it does not.
  int whole = 0;
  auto scene = std::make_unique<Scene>();
  for (uint32_t seed = 1; seed < 800; ++seed) {
    Random r{seed * 2654435761u};
    scene->shapes = scene->prims = 0;
    scene->style = Style{};
    Easel e;
    e.scene = scene.get();
    e.scale = 200;
    e.cx = e.cy = 128;
    const float turn = r.In(-2.8f, 2.8f), w[kStations] = {0.05f, 0.045f, 0.04f, 0.04f, 0.04f, 0.045f, 0.03f};
    const V3 a{0, 0.2f, 0}, j{0, -0.05f, 0}, b{0.25f * sinf(turn), -0.05f - 0.25f * cosf(turn), 0};
    e.Begin(0, {0, 0, 0}, {0, 0, 0}, 1);
    if (!BentContour(e, a, j, b, w, w, {1, 0, 0}, 0.4f, static_cast<float>(seed % 2), 0.1f)) {
      EXPECT_GT(fabsf(turn), 1.5f) << seed;  // only what is folded takes two parts
      continue;
    }
    ++whole;
    V2 q;
    for (const V3 at : {a, j, b, Mix(a, j, 0.5f), Mix(j, b, 0.5f)}) {
      const V2 v = e.Project(at);
      EXPECT_LT(ShapeDistance(*scene, scene->shape[0], v.x, v.y, q), 0.5f) << seed << " " << turn;
    }
    const V2 v = e.Project(Mix(a, j, 0.3f) + V3{turn > 0 ? -0.1f : 0.1f, 0, 0});
    EXPECT_GT(ShapeDistance(*scene, scene->shape[0], v.x, v.y, q), 2.0f) << seed << " " << turn;
  }
  EXPECT_GT(whole, 350);
}

TEST(Drawer, FacesHaveTheirSides) {
  // A face turned to the viewer shows its own left at the right of the picture.
  int right = 0, all = 0;
  for (uint32_t seed = 1; seed < 800; ++seed) {
    const Drawn d(seed, kHeadScenes);
    const float *l = d.labels.head + 3 * kHpEyeL, *r = d.labels.head + 3 * kHpEyeR, *crown = d.labels.head, *chin = d.labels.head + 3;
    if (l[2] < 0.5f || r[2] < 0.5f || chin[1] - crown[1] < 20) continue;
    ++all;
    right += l[0] > r[0];
  }
  ASSERT_GT(all, 200);
  EXPECT_GT(right, 0.97 * all);
}

}  // namespace
}  // namespace drawer
