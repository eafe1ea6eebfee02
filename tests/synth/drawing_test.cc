#include "synth/drawing.h"

#include <gmock/gmock.h>

#include <Eigen/Geometry>
#include <Eigen/SVD>
#include <cmath>
#include <ctime>
#include <map>
#include <set>

#include "synth/draw/effects.h"
#include "synth/draw/tube.h"

namespace armslength {
namespace {

using P = PointId;

// A standing figure, three quarters to the front, seen from a little above; small, to be quick.
FigureDrawing Standing(double turn_deg = 28, int height = 720) {
  FigureDrawing d;
  const Canon& canon = *std::find_if(BuiltInCanons().begin(), BuiltInCanons().end(),
                                     [](const Canon& c) { return c.name == "adult-7.5"; });
  d.height_px = height;
  d.width_px = height * 3 / 5;
  d.lengths = LengthsOf(canon);
  PoseAngles pose;
  pose.hip_side = {5, 5};
  pose.hip_bend = {10, 0};
  pose.arm_side = {22, 18};
  pose.elbow = {25, 15};
  const double elevation = 14 * M_PI / 180;
  d.body = Seen(PoseStanding(d.lengths, pose), turn_deg * M_PI / 180, elevation, Vec3::Zero());
  d.camera.scale_px = 0.84 * height;
  d.camera.inverse_distance = 0.2;
  d.camera.elevation_rad = elevation;
  d.camera.origin_px = Vec2(0.5 * d.width_px, 0.49 * height);
  d.head_length = d.lengths[BoneId::kHead];
  d.hands[0].curl_deg = d.hands[1].curl_deg = 10;
  return d;
}

bool Covers(const Shape& shape, const Vec2& at) {  // non-zero rule
  int winding = 0;
  for (const Polyline& polygon : shape.polygons)
    for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++) {
      const Vec2 &a = polygon[j], &b = polygon[i];
      if ((a.y() <= at.y()) == (b.y() <= at.y())) continue;
      const double x = a.x() + (at.y() - a.y()) / (b.y() - a.y()) * (b.x() - a.x());
      if (x > at.x()) winding += b.y() > a.y() ? 1 : -1;
    }
  return winding != 0;
}

bool NearlyCovers(const Shape& shape, const Vec2& at, double reach) {
  if (Covers(shape, at)) return true;
  for (int k = 0; k < 16; ++k)
    if (Covers(shape, at + reach * Vec2(std::cos(k * M_PI / 8), std::sin(k * M_PI / 8)))) return true;
  return false;
}

const Ring& RingNamed(const DrawnFigure& drawn, const std::string& name) {
  return *std::find_if(drawn.truth.rings.begin(), drawn.truth.rings.end(),
                       [&](const Ring& r) { return r.name == name; });
}

// Greatest distance of the curve from the chord between its ends, signed.
double Bulge(const std::vector<Vec2>& curve) {
  const Vec2 chord = (curve.back() - curve.front()).normalized();
  double most = 0;
  for (const Vec2& p : curve) {
    const Vec2 d = p - curve.front();
    const double off = chord.x() * d.y() - chord.y() * d.x();
    if (std::abs(off) > std::abs(most)) most = off;
  }
  return most;
}

double AlphaShare(const ImageRgba8& image) {
  std::size_t covered = 0;
  for (std::size_t i = 3; i < image.pixels.size(); i += 4) covered += image.pixels[i] > 127;
  return static_cast<double>(covered) / (static_cast<double>(image.pixels.size()) / 4);
}

TEST(DrawFigure, IsTheSameEveryTime) {
  const FigureDrawing d = Standing(28, 400);
  EXPECT_EQ(DrawFigure(d).image.pixels, DrawFigure(d).image.pixels);
}

TEST(DrawFigure, LayersGiveThePictureAndAreAllUsed) {
  const DrawnFigure drawn = DrawFigure(Standing());
  ASSERT_EQ(drawn.layers.size(), 4U);
  EXPECT_EQ(Flatten(drawn.layers, drawn.image.width, drawn.image.height).pixels, drawn.image.pixels);
  EXPECT_EQ(AlphaShare(drawn.layers[0].image), 1.0);
  const double flats = AlphaShare(drawn.layers[1].image), shade = AlphaShare(drawn.layers[2].image),
               line = AlphaShare(drawn.layers[3].image);
  EXPECT_THAT(flats, testing::AllOf(testing::Gt(0.10), testing::Lt(0.5)));
  EXPECT_THAT(shade / flats, testing::AllOf(testing::Gt(0.08), testing::Lt(0.6)));
  EXPECT_THAT(line / flats, testing::AllOf(testing::Gt(0.05), testing::Lt(0.5)));
}

// Where a digit grows out of the palm no line parts the two; against whatever lies behind the hand its contour goes on.
TEST(DrawFigure, NoOpeningInTheContourOfAHand) {
  int seen = 0, bare = 0;
  for (int k = 0; k < 8; ++k) {
    FigureDrawing d = Standing(-40 + 12 * k, 1400);
    d.hands[0].curl_deg = d.hands[1].curl_deg = 10.0 * (k % 5);
    d.hands[0].roll_deg = d.hands[1].roll_deg = 25.0 * (k % 4);
    const DrawnFigure drawn = DrawFigure(d);
    const ImageRgba8 &flats = drawn.layers[1].image, &line = drawn.layers[3].image;
    const Rgb own = d.costume.skin.light;
    const auto skin = [&](int x, int y) {
      const std::uint8_t* p = flats.At(x, y);
      return p[3] > 127 && std::abs(p[0] - 255 * own.r) + std::abs(p[1] - 255 * own.g) + std::abs(p[2] - 255 * own.b) < 24;
    };
    for (int y = 3; y + 3 < flats.height; ++y)
      for (int x = 3; x + 3 < flats.width; ++x) {
        // The rim of the skin lies under the contour.
        if (!skin(x, y) || (skin(x - 1, y) && skin(x + 1, y) && skin(x, y - 1) && skin(x, y + 1))) continue;
        if (!NearlyCovers(drawn.hands[0], Vec2(x, y), 4) && !NearlyCovers(drawn.hands[1], Vec2(x, y), 4)) continue;
        ++seen;
        int ink = 0;
        for (int j = -1; j <= 1; ++j)
          for (int i = -1; i <= 1; ++i) ink = std::max<int>(ink, line.At(x + i, y + j)[3]);
        bare += ink < 128;
      }
  }
  EXPECT_GT(seen, 2000);
  EXPECT_EQ(bare, 0);
}

TEST(DrawFigure, MarksAreTheProjectedJoints) {
  const FigureDrawing d = Standing();
  const DrawnFigure drawn = DrawFigure(d);
  for (int i = 0; i < kBodyPointCount; ++i) {
    if (static_cast<P>(i) == P::kCrown) continue;  // set by the drawn skull
    EXPECT_NEAR((drawn.truth.points.at(static_cast<P>(i)) -
                 d.camera.Project(d.body.joints[static_cast<std::size_t>(i)]))
                    .norm(),
                0, 1e-9)
        << Name(static_cast<P>(i));
  }
  // Chin to crown is as long in space as the head bone.
  Skeleton body = d.body;
  SetCrown(body, d.head_length, d.head);
  EXPECT_NEAR((body.Joint(P::kCrown) - body.Joint(P::kChin)).norm(), d.lengths[BoneId::kHead], 1e-12);
  EXPECT_NEAR((d.camera.Project(body.Joint(P::kCrown)) - drawn.truth.points.at(P::kCrown)).norm(), 0, 1e-9);
}

TEST(DrawFigure, MarksLieOnTheDrawnFigureInEveryPoseAndView) {
  int outside = 0, all = 0;
  for (unsigned seed = 0; seed < 30; ++seed) {  // every pose in every view
    SynthFigureOptions options;
    options.seed = seed;
    options.picture_height_px = 360;
    const FigureDrawing d = RandomDrawing(options);
    const DrawnFigure drawn = DrawFigure(d);
    EXPECT_THAT(AlphaShare(drawn.layers[1].image), testing::AllOf(testing::Gt(0.02), testing::Lt(0.5)))
        << seed;
    for (const auto& [id, at] : drawn.truth.points) {
      ++all;
      // A toe or finger tip may lie a line's width beyond the colour.
      if (!NearlyCovers(drawn.silhouette, at, 0.012 * d.camera.scale_px)) {
        ++outside;
        ADD_FAILURE() << "seed " << seed << ", " << Name(id);
      }
    }
  }
  EXPECT_EQ(outside, 0) << "of " << all;
}

TEST(DrawFigure, LeftAndRightAreTheFiguresOwn) {
  const DrawnFigure front = DrawFigure(Standing(0, 400));
  const auto at = [](const DrawnFigure& f, P id) { return f.truth.points.at(id); };
  EXPECT_GT(at(front, P::kEyeLInner).x(), at(front, P::kEyeRInner).x());
  EXPECT_GT(at(front, P::kMouthL).x(), at(front, P::kMouthR).x());
  // The outer corner of an eye lies further out than the inner one.
  EXPECT_GT(at(front, P::kEyeLOuter).x(), at(front, P::kEyeLInner).x());
  EXPECT_LT(at(front, P::kEyeROuter).x(), at(front, P::kEyeRInner).x());
  const DrawnFigure back = DrawFigure(Standing(180, 400));
  EXPECT_FALSE(back.truth.Has(P::kEyeLInner));  // no face from behind
  EXPECT_TRUE(back.truth.centre_front.empty());
  const DrawnFigure turned = DrawFigure(Standing(35, 400));
  EXPECT_EQ(turned.head.FarSide(), 0);  // turned to picture right, its left side is the far one
}

// A circle or ellipse in space projects to a conic: the ring's points satisfy one equation of
// the second degree (exact mathematics).
TEST(DrawFigure, RingPointsLieOnAConic) {
  const DrawnFigure drawn = DrawFigure(Standing());
  int checked = 0;
  for (const Ring& ring : drawn.truth.rings) {
    if (ring.name == "hem") continue;  // fluted on purpose
    SCOPED_TRACE(ring.name);
    ASSERT_EQ(ring.points.size(), 9U);
    const double size = (ring.points.back() - ring.points.front()).norm() / 2;
    const Vec2 middle = 0.5 * (ring.points.front() + ring.points.back());
    Eigen::Matrix<double, 9, 6> rows;
    for (int i = 0; i < 9; ++i) {
      const Vec2 p = (ring.points[static_cast<std::size_t>(i)] - middle) / size;
      rows.row(i) << p.x() * p.x(), p.x() * p.y(), p.y() * p.y(), p.x(), p.y(), 1;
    }
    const Eigen::JacobiSVD<Eigen::Matrix<double, 9, 6>> svd(rows, Eigen::ComputeFullV);
    EXPECT_LT(svd.singularValues()[5] * size, 0.4);  // px; the points are chords of a fine polyline
    ++checked;
  }
  EXPECT_GE(checked, 6);
}

TEST(DrawingFaults, RingsBulgeAsMuchAsAsked) {
  FigureDrawing d = Standing();
  const DrawnFigure sound = DrawFigure(d);
  int told = 0;
  for (double bow : {0.5, 0.0, -1.0}) {
    d.faults.ring_bow = {{"all", bow}};
    const DrawnFigure faulty = DrawFigure(d);
    for (const char* name : {"collar", "belt", "cuff_l", "cuff_r"}) {
      const double right = Bulge(RingNamed(sound, name).points);
      if (std::abs(right) < 0.6) continue;  // seen nearly edge on: nothing to tell
      ++told;
      EXPECT_NEAR(Bulge(RingNamed(faulty, name).points), bow * right, 0.03 * std::abs(right) + 0.05) << name;
    }
  }
  EXPECT_GE(told, 9);
  d.faults.ring_bow = {{"belt", 0.0}};
  const DrawnFigure one = DrawFigure(d);
  EXPECT_NEAR(Bulge(RingNamed(one, "belt").points), 0.0, 1e-6);
  EXPECT_DOUBLE_EQ(Bulge(RingNamed(one, "collar").points), Bulge(RingNamed(sound, "collar").points));
}

TEST(DrawingFaults, ButtonsMoveByAShareOfTheChestsWidth) {
  FigureDrawing d = Standing(0);
  const DrawnFigure sound = DrawFigure(d);
  d.faults.button_shift = 0.08;
  const DrawnFigure faulty = DrawFigure(d);
  const double belt =
      (RingNamed(sound, "belt").points.back() - RingNamed(sound, "belt").points.front()).norm();
  ASSERT_EQ(sound.truth.centre_front.size(), faulty.truth.centre_front.size());
  ASSERT_GE(sound.truth.centre_front.size(), 6U);
  for (std::size_t i = 0; i < sound.truth.centre_front.size(); ++i) {
    if (sound.truth.centre_front[i].name != "buckle") continue;
    // Sound: in the middle between the belt's edges, seen from straight in front.
    const Vec2 by = faulty.truth.centre_front[i].at - sound.truth.centre_front[i].at;
    EXPECT_NEAR(by.x() / belt, 0.08, 0.004);
  }
  EXPECT_GT(faulty.truth.centre_front[1].at.x(),
            sound.truth.centre_front[1].at.x());  // + is the figure's left
}

TEST(DrawingFaults, OneFasteningStraysAloneByAShareOfTheChestsWidth) {
  FigureDrawing d = Standing(0);
  const DrawnFigure sound = DrawFigure(d);
  std::map<std::string, double> moved;  // by which fastening strays, px
  for (const char* stray : {"button_3", "buckle"}) {
    d.faults.stray = stray;
    d.faults.stray_shift = 0.10;
    const DrawnFigure faulty = DrawFigure(d);
    ASSERT_EQ(sound.truth.centre_front.size(), faulty.truth.centre_front.size());
    for (std::size_t i = 0; i < sound.truth.centre_front.size(); ++i) {
      const Vec2 by = faulty.truth.centre_front[i].at - sound.truth.centre_front[i].at;
      if (sound.truth.centre_front[i].name == stray)
        moved[stray] = by.x();
      else
        EXPECT_EQ(by, Vec2(0, 0)) << sound.truth.centre_front[i].name;
    }
  }
  // Seen from straight in front, wherever on the trunk: + is the figure's left.
  const double chest = 0.8 * (sound.truth.points.at(PointId::kShoulderL) - sound.truth.points.at(PointId::kShoulderR)).norm();
  EXPECT_NEAR(moved["button_3"] / chest, 0.10, 0.01);
  EXPECT_NEAR(moved["buckle"] / chest, 0.10, 0.01);
}

TEST(DrawingFaults, HeadFaultsComeOutAsAsked) {
  FigureDrawing d = Standing(32);
  const DrawnFigure sound = DrawFigure(d);
  const auto at = [](const DrawnFigure& f, P id) { return f.truth.points.at(id); };
  const auto width = [&](const DrawnFigure& f) {
    return (at(f, P::kEyeLOuter) - at(f, P::kEyeLInner)).norm();
  };  // the far eye
  const auto middle = [&](const DrawnFigure& f) {
    return Vec2(0.5 * (at(f, P::kEyeLOuter) + at(f, P::kEyeLInner)));
  };
  ASSERT_EQ(sound.head.FarSide(), 0);

  d.faults.head = {.far_eye_scale = 1.25};
  EXPECT_NEAR(width(DrawFigure(d)) / width(sound), 1.25, 1e-6);
  d.faults.head = {.far_eye_shift = 0.05};
  EXPECT_NEAR((middle(DrawFigure(d)) - middle(sound)).norm(), 0.05 * sound.head.FaceWidthPx(), 1e-6);
  d.faults.head = {.eye_line_tilt_rad = 4 * M_PI / 180};
  const DrawnFigure tilted = DrawFigure(d);
  const Vec2 before = at(sound, P::kEyeLOuter) - at(sound, P::kEyeROuter),
             after = at(tilted, P::kEyeLOuter) - at(tilted, P::kEyeROuter);
  EXPECT_NEAR(std::atan2(before.x() * after.y() - before.y() * after.x(), before.dot(after)) * 180 / M_PI,
              4.0, 1e-6);
  d.faults.head = {.chin_shift = 0.06, .nose_shift = -0.03, .mouth_shift = 0.04};
  const DrawnFigure shifted = DrawFigure(d);
  const double face = sound.head.FaceWidthPx();
  EXPECT_NEAR((at(shifted, P::kChin) - at(sound, P::kChin)).norm() / face, 0.06, 1e-3);
  EXPECT_NEAR((at(shifted, P::kNoseBase) - at(sound, P::kNoseBase)).norm() / face, 0.03, 1e-6);
  EXPECT_NEAR((at(shifted, P::kMouthCentre) - at(sound, P::kMouthCentre)).norm() / face, 0.04, 1e-6);
  EXPECT_EQ(at(shifted, P::kEyeLOuter), at(sound, P::kEyeLOuter));
}

TEST(DrawingFaults, GapsOpenTheLineWhereReported) {
  FigureDrawing d = Standing(28, 1000);
  const DrawnFigure sound = DrawFigure(d);
  d.faults.line_gaps_px = {3, 8, 5};
  const DrawnFigure faulty = DrawFigure(d);
  ASSERT_EQ(faulty.sites.size(), 3U);
  for (const FaultSite& site : faulty.sites) {
    SCOPED_TRACE(site.size_px);
    // The line that went missing near the site: spread along the contour as asked.
    double weight = 0, mean = 0, squares = 0;
    const int reach = 24;
    for (int y = -reach; y <= reach; ++y)
      for (int x = -reach; x <= reach; ++x) {
        const int px = static_cast<int>(site.at.x()) + x, py = static_cast<int>(site.at.y()) + y;
        if (px < 0 || py < 0 || px >= d.width_px || py >= d.height_px) continue;
        const double lost =
            (sound.layers[3].image.At(px, py)[3] - faulty.layers[3].image.At(px, py)[3]) / 255.0;
        const double u = (Vec2(px + 0.5, py + 0.5) - site.at).dot(site.along);
        weight += lost;
        mean += lost * u;
        squares += lost * u * u;
      }
    ASSERT_GT(weight, 1.5 * site.size_px);  // thickness of more than a pixel and a half
    mean /= weight;
    EXPECT_NEAR(std::sqrt(12 * (squares / weight - mean * mean)), site.size_px, 0.6);
  }
}

TEST(DrawingFaults, StrayMarksAndHairyStrokesAddLine) {
  FigureDrawing d = Standing();
  const double before = AlphaShare(DrawFigure(d).layers[3].image);
  d.faults.stray_marks = 4;
  const DrawnFigure stray = DrawFigure(d);
  ASSERT_EQ(stray.sites.size(), 4U);
  for (const FaultSite& site : stray.sites) {
    EXPECT_GT(stray.layers[3].image.At(static_cast<int>(site.at.x()), static_cast<int>(site.at.y()))[3], 100);
    EXPECT_FALSE(NearlyCovers(stray.silhouette, site.at, 8));
  }
  d.faults.stray_marks = 0;
  d.faults.hairy_strokes = 4;
  EXPECT_GT(AlphaShare(DrawFigure(d).layers[3].image), 1.002 * before);
}

TEST(DrawingFaults, ParallelFoldsAreInkedWhereReported) {
  FigureDrawing d = Standing(28, 1000);
  d.faults.parallel_folds = true;
  const DrawnFigure ruled = DrawFigure(d);
  ASSERT_EQ(ruled.sites.size(), 12U);  // five on the shirt, seven on the skirt
  int inked = 0;
  for (const FaultSite& site : ruled.sites) {
    EXPECT_EQ(site.what, "fold");
    EXPECT_GT(site.size_px, 0.0);
    for (const double at : {-0.25, 0.0, 0.25}) {
      const Vec2 p = site.at + at * site.size_px * site.along;
      inked += ruled.layers[3].image.At(static_cast<int>(p.x()), static_cast<int>(p.y()))[3] > 60;
    }
  }
  EXPECT_GT(inked, 24);  // the rest lies under buttons, belt or an arm
}

TEST(DrawingFaults, ATremorHasItsRms) {
  const Tremor tremor(1.5, 30, 9);
  double squares = 0;
  int count = 0;
  for (int y = 0; y < 1500; y += 7)
    for (int x = 0; x < 1500; x += 7, count += 2) squares += tremor.At(x, y).squaredNorm();
  EXPECT_NEAR(std::sqrt(squares / count), 1.5, 0.15);
}

TEST(DrawingFaults, NearTheFrameIsAsNearAsAsked) {
  for (int side : {0, 1}) {
    const FigureDrawing d = NearFrame(Standing(28, 400), side, 5.0);
    const DrawnFigure drawn = DrawFigure(d);
    double nearest = 1e9;
    for (const Polyline& polygon : drawn.silhouette.polygons)
      for (const Vec2& p : polygon) nearest = std::min(nearest, side == 0 ? p.x() : d.width_px - p.x());
    EXPECT_NEAR(nearest, 5.0, 1e-6);
  }
}

TEST(DrawingFaults, AHandKissesTheHipAtTheAskedDistance) {
  const FigureDrawing d = HandNearHip(Standing(10, 900), 0, 2.0);
  EXPECT_NEAR(HandToGarment(DrawFigure(d), 0), 2.0, 0.4);
  // The arm was swung, not stretched.
  for (BoneId bone : {BoneId::kUpperArmL, BoneId::kForearmL, BoneId::kHandL})
    EXPECT_NEAR((d.body.Joint(Ends(bone).to) - d.body.Joint(Ends(bone).from)).norm(), d.lengths[bone], 1e-12)
        << Name(bone);
}

// Wrapped stripes bend, so a row of the sleeve meets several; pasted ones keep to their rows.
TEST(DrawingFaults, AFlatPatternRunsStraightAcross) {
  FigureDrawing d = Standing(28, 1000);
  d.style = DrawingStyle::kFlat;
  d.body = Standing(28, 1000).body;
  const auto mixed_rows = [&](const DrawnFigure& drawn) {
    const auto area = std::find_if(drawn.truth.areas.begin(), drawn.truth.areas.end(),
                                   [](const Area& a) { return a.kind == "pattern" && a.on == "forearm_r"; });
    Shape shape;
    shape.Add(area->outline);
    int rows = 0, mixed = 0;
    for (int y = 0; y < d.height_px; ++y) {
      int stripe = 0, ground = 0;
      for (int x = 0; x < d.width_px; ++x) {
        if (!Covers(shape, Vec2(x + 0.5, y + 0.5)) || drawn.layers[3].image.At(x, y)[3] > 0) continue;
        const std::uint8_t* p = drawn.layers[1].image.At(x, y);
        const auto near = [&](const Rgb& c) {
          return std::abs(p[0] - 255 * c.r) + std::abs(p[1] - 255 * c.g) + std::abs(p[2] - 255 * c.b) < 12;
        };
        stripe += near(d.costume.stripe.light);
        ground += near(d.costume.sleeve.light);
      }
      if (stripe + ground < 8) continue;
      ++rows;
      mixed += std::min(stripe, ground) > 0.15 * (stripe + ground);
    }
    return static_cast<double>(mixed) / std::max(rows, 1);
  };
  const double wrapped = mixed_rows(DrawFigure(d));
  d.faults.flat_pattern = true;
  const double flat = mixed_rows(DrawFigure(d));
  EXPECT_LT(flat, 0.02);
  EXPECT_GT(wrapped, 0.2);
}

TEST(DrawFigure, ShadowLiesAwayFromTheLight) {
  FigureDrawing d = Standing(0);
  const auto balance = [&](const DrawnFigure& drawn, double from,
                           double to) {  // shade right of the middle minus left
    const Vec2 pit = drawn.truth.points.at(P::kNeckPit),
               hip = 0.5 * (drawn.truth.points.at(P::kHipL) + drawn.truth.points.at(P::kHipR));
    double right = 0, left = 0;
    for (int y = static_cast<int>(pit.y() + from * (hip.y() - pit.y()));
         y < pit.y() + to * (hip.y() - pit.y()); ++y)
      for (int x = 0; x < d.width_px; ++x) {
        if (std::abs(x - hip.x()) > 0.6 * (hip.y() - pit.y()) * 0.5) continue;
        (x > hip.x() ? right : left) += drawn.layers[2].image.At(x, y)[3] / 255.0;
      }
    return right - left;
  };
  EXPECT_GT(balance(DrawFigure(d), 0.2, 0.8), 50);
  d.to_light.x() *= -1;
  EXPECT_LT(balance(DrawFigure(d), 0.2, 0.8), -50);
}

TEST(DrawFigure, StylesDiffer) {
  FigureDrawing d = Standing(28, 400);
  const auto colours = [](const ImageRgba8& image) {
    std::set<int> seen;
    for (std::size_t i = 0; i < image.pixels.size(); i += 4)
      seen.insert(image.pixels[i] << 16 | image.pixels[i + 1] << 8 | image.pixels[i + 2]);
    return seen.size();
  };
  const std::size_t cel = colours(DrawFigure(d).image);
  d.style = DrawingStyle::kFlat;
  EXPECT_EQ(AlphaShare(DrawFigure(d).layers[2].image), 0.0);
  d.style = DrawingStyle::kSilhouette;
  EXPECT_LT(colours(DrawFigure(d).image), 260U);
  d.style = DrawingStyle::kPainterly;
  EXPECT_GT(colours(DrawFigure(d).image), cel);
}

// Budget of the tests and the demo on the developers' machines; processor time, not wall time.
TEST(DrawFigure, IsQuick) {
  const std::clock_t start = std::clock();
  (void)DrawFigure(Standing(28, 720));
  EXPECT_LT(static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC, 4.0);
}

}  // namespace
}  // namespace armslength
