#include "synth/demo.h"

#include <gmock/gmock.h>

#include <set>

#include <unistd.h>

#include "marks/marks_file.h"
#include "reading/head/head_reading.h"
#include "support/files.h"

namespace armslength {
namespace {

using P = PointId;

const std::vector<DemoVersion>& Demo() {
  static const std::vector<DemoVersion> versions = MakeDemo();
  return versions;
}

TEST(Demo, HasThreeVersionsWithEverythingAnArtistWouldMark) {
  ASSERT_EQ(Demo().size(), 3U);
  for (const DemoVersion& v : Demo()) {
    SCOPED_TRACE(v.name);
    ASSERT_EQ(v.marks.figures.size(), 1U);
    const FigureMarks& f = v.marks.figures[0];
    EXPECT_EQ(v.image.width, v.marks.picture.width);
    EXPECT_EQ(v.image.height, v.marks.picture.height);
    for (int i = 0; i < kBodyPointCount; ++i) EXPECT_TRUE(f.Has(static_cast<P>(i)));
    for (P id : {P::kEyeLInner, P::kEyeROuter, P::kMouthCentre, P::kNoseBase, P::kJawL, P::kHeadTop})
      EXPECT_TRUE(f.Has(id)) << Name(id);
    EXPECT_EQ(f.depth.size(), DepthBoneNames().size());
    EXPECT_GE(f.rings.size(), 7U);
    EXPECT_GE(f.centre_front.size(), 6U);
    EXPECT_GE(f.areas.size(), 4U);
    EXPECT_EQ(f.canon, "adult-7.5");
    for (const auto& [id, at] : f.points) {
      EXPECT_TRUE(at.x() > 0 && at.x() < v.image.width && at.y() > 0 && at.y() < v.image.height) << Name(id);
      const auto own = f.point_error_px.find(id);
      if (id == P::kHeadTop) continue;
      const double sd = own != f.point_error_px.end() ? own->second : *f.marking_error_px;
      EXPECT_LT((at - v.truth.points.at(id)).norm(), 4.5 * sd) << Name(id);
    }
  }
}

TEST(Demo, OldHasLongLegsAndTheOthersDoNot) {
  const auto ratio = [](const char* version) {
    const FigureDrawing d = DemoDrawing(version);
    const Canon canon = *FindCanon("adult-7.5");
    double sum = 0;
    for (BoneId bone : {BoneId::kThighL, BoneId::kThighR, BoneId::kShinL, BoneId::kShinR}) {
      const BoneEnds ends = Ends(bone);
      sum += (d.body.Joint(ends.to) - d.body.Joint(ends.from)).norm() * canon.heads / canon[bone].length / 4;
    }
    return sum;
  };
  EXPECT_NEAR(ratio("old"), 1.20, 1e-9);
  EXPECT_NEAR(ratio("repaired"), 1.0, 1e-9);
  EXPECT_NEAR(ratio("redraw"), 1.0, 1e-9);
}

TEST(Demo, StandsWithBothFeetOnTheFloor) {
  for (const char* version : {"old", "repaired", "redraw"}) {
    SCOPED_TRACE(version);
    const FigureDrawing d = DemoDrawing(version);
    const Vec3 up = d.camera.Up();
    EXPECT_NEAR(d.body.Joint(P::kAnkleL).dot(up), d.body.Joint(P::kAnkleR).dot(up), 1e-6);
    EXPECT_NEAR(d.body.Joint(P::kToeL).dot(up), d.body.Joint(P::kToeR).dot(up), 1e-6);
  }
}

TEST(Demo, TheMarksFileReadsBack) {
  for (const DemoVersion& v : Demo()) {
    const auto back = ParseMarks(MarksToJson(v.marks), v.name);
    ASSERT_TRUE(back) << back.error().Text();
    EXPECT_EQ(back->figures[0].points.size(), v.marks.figures[0].points.size());
    EXPECT_EQ(back->figures[0].rings.size(), v.marks.figures[0].rings.size());
  }
}

TEST(Demo, OldLeavesTheSitesOfItsLineFaults) {
  const auto& sites = Demo()[0].sites;
  EXPECT_EQ(std::count_if(sites.begin(), sites.end(), [](const FaultSite& s) { return s.what == "gap"; }), 5);
  EXPECT_EQ(std::count_if(sites.begin(), sites.end(), [](const FaultSite& s) { return s.what == "stray"; }),
            3);
  EXPECT_TRUE(Demo()[2].sites.empty());
  EXPECT_TRUE(Demo()[2].known_faults.empty());
}

// The demo has to show what the readings do: nothing off in the sound drawing and in what was
// mended, the big faults found in the old one.
TEST(Demo, TheReadingsFindTheBigFaultsAndNothingInTheSoundDrawing) {
  const Canon canon = *FindCanon("adult-7.5");
  for (const DemoVersion& v : Demo()) {
    SCOPED_TRACE(v.name);
    const auto body = ReadBody(v.marks.figures[0], &canon);
    ASSERT_TRUE(body && body->usable);
    const auto head = ReadHead(v.marks.figures[0]);
    ASSERT_TRUE(head && head->usable);
    std::set<HeadFaultKind> off;
    for (const HeadFault& fault : head->faults)
      if (fault.off) off.insert(fault.kind);
    if (v.name == "old") {
      ASSERT_FALSE(body->hypotheses.empty());
      EXPECT_EQ(body->hypotheses.front().id, "body.legs.length");
      EXPECT_NEAR(body->hypotheses.front().factor, 1.20, 0.08);
      EXPECT_TRUE(off.contains(HeadFaultKind::kEyeLineTilt));
      EXPECT_TRUE(off.contains(HeadFaultKind::kEyeSize));
    } else {
      EXPECT_TRUE(std::none_of(body->hypotheses.begin(), body->hypotheses.end(),
                               [](const LengthHypothesis& h) { return h.off; }));
      EXPECT_TRUE(off.empty());
    }
  }
}

TEST(Demo, WritesItsFiles) {
  const std::filesystem::path folder = std::filesystem::path(testing::TempDir()) / ("armslength-demo-" + std::to_string(::getpid()));
  std::filesystem::remove_all(folder);
  const auto done = WriteDemo(folder);
  ASSERT_TRUE(done) << done.error().Text();
  for (const char* name : {"old", "repaired", "redraw"}) {
    const auto picture = LoadPicture(folder / (std::string(name) + ".png"));
    ASSERT_TRUE(picture) << picture.error().Text();
    EXPECT_EQ(picture->image.width, kDemoWidth);
    const auto marks = LoadMarks(folder / (std::string(name) + ".marks.json"));
    ASSERT_TRUE(marks) << marks.error().Text();
  }
  PictureOptions layers;
  layers.load_layers = true;
  const auto raster = LoadPicture(folder / "redraw.ora", layers);
  ASSERT_TRUE(raster) << raster.error().Text();
  EXPECT_EQ(raster->layers.size(), 4U);
  // The layered file shows what the flat one shows.
  const auto flat = LoadPicture(folder / "redraw.png");
  std::size_t differing = 0;
  for (std::size_t i = 0; i < flat->image.pixels.size(); ++i)
    differing += std::abs(int{flat->image.pixels[i]} - int{raster->image.pixels[i]}) > 2;
  EXPECT_LT(differing, flat->image.pixels.size() / 2000);
  std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace armslength
