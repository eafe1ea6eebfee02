// The figure drawer that the networks learn from (training/drawer), compiled for the CPU.
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
  // what a thing in front or another figure may hide: at least nine in ten must hold.
  int on = 0, all = 0;
  for (uint32_t seed = 1; seed < 4000; ++seed) {
    const Drawn d(seed);
    if (static_cast<int>(d.labels.technique) != kSilhouette || d.labels.main < 0.5f || d.scene->back.kind != 0) continue;
    for (const int i : {2, 5, 6, 7, 8, 11, 12, 13, 14, 15, 16}) {
      if (d.labels.body[3 * i + 2] < 0.5f) continue;
      const Colour c = d.At(d.labels.body[3 * i], d.labels.body[3 * i + 1]), g = d.scene->back.a;
      on += fabsf(c.r - g.r) + fabsf(c.g - g.g) + fabsf(c.b - g.b) > 0.15f;
      ++all;
    }
  }
  ASSERT_GT(all, 300);
  EXPECT_GT(on, 0.95 * all) << all;
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
