// What is drawn: overlay, guides, standing plate.
#include <cairo.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "report/callouts.h"
#include "report/demo_critique.h"
#include "report/guides.h"
#include "report/overlay.h"
#include "report/shapes.h"
#include "report/standing_plate.h"
#include "support/files.h"
#include "synth/head_figure.h"

namespace armslength {
namespace {

const std::string kFolder = std::string(AL_TEST_DATA) + "/report";

BoxPx Around(const Finding& f) { return BoundsOf(ShapesOf(f)); }

TEST(Overlay, HasThePicturesSizeAndChangesOnlyWhatItDrawsOn) {
  const DemoCritique demo = MakeDemoCritique(kFolder);
  ImageRgba8 image = demo.picture.image;
  // Odd bytes, translucent ones too, must come through untouched.
  std::uint32_t noise = 1;
  for (std::uint8_t& byte : image.pixels) byte = static_cast<std::uint8_t>((noise = noise * 1664525u + 1013904223u) >> 24);
  const ImageRgba8 before = image;
  ASSERT_TRUE(PaintOverlay(image, demo.critique));
  ASSERT_EQ(image.width, before.width);
  ASSERT_EQ(image.height, before.height);

  std::vector<BoxPx> touched;
  const double line = OverlayLinePx(image.width, image.height), text = CalloutTextPx(image.width, image.height);
  for (const FigureCritique& figure : demo.critique.figures)
    for (const auto& [id, at] : figure.marks.points) touched.push_back(BoxPx{at.x(), at.y(), 0.001, 0.001}.Grown(5 * line));
  for (const Finding& f : demo.critique.first) touched.push_back(Around(f).Grown(8 * line));
  std::size_t changed = 0, outside = 0;
  for (int y = 0; y < image.height; ++y)
    for (int x = 0; x < image.width; ++x) {
      if (std::equal(image.At(x, y), image.At(x, y) + 4, before.At(x, y))) continue;
      ++changed;
      bool known = false;
      for (const BoxPx& box : touched) known = known || (x >= box.x - 1 && x <= box.Right() && y >= box.y - 1 && y <= box.Bottom());
      outside += known ? 0 : 1;
    }
  EXPECT_GT(changed, 5000u);
  // Beyond shapes and marks there are three plates and their leaders: bounded by their size.
  EXPECT_LT(static_cast<double>(outside), 3 * (16 * text) * (5.5 * text));
}

TEST(Overlay, DrawsInOrangeAndBlue) {
  const DemoCritique demo = MakeDemoCritique(kFolder);
  ImageRgba8 paper = demo.picture.image;
  std::fill(paper.pixels.begin(), paper.pixels.end(), std::uint8_t{255});
  ASSERT_TRUE(PaintOverlay(paper, demo.critique));
  int orange = 0, blue = 0;
  for (int y = 0; y < paper.height; ++y)
    for (int x = 0; x < paper.width; ++x) {
      const std::uint8_t* p = paper.At(x, y);
      orange += p[0] > 200 && p[1] > 70 && p[1] < 120 && p[2] < 40;
      blue += p[0] < 50 && p[1] > 80 && p[1] < 120 && p[2] > 180;
    }
  EXPECT_GT(orange, 500);
  EXPECT_GT(blue, 500);
}

TEST(Overlay, WorksFromTinyToLargeAndOnPicturesWithoutMarks) {
  const DemoCritique demo = MakeDemoCritique(kFolder);
  for (const int side : {40, 300, 1580}) {
    ImageRgba8 image = ShrinkTo(demo.picture.image, side);
    EXPECT_TRUE(PaintOverlay(image, demo.critique)) << side;
  }
  ImageRgba8 image = demo.picture.image;
  const Critique empty = Rank(demo.picture.facts, {}, {});
  ASSERT_TRUE(PaintOverlay(image, empty));
  EXPECT_EQ(image.pixels, demo.picture.image.pixels);
}

TEST(Overlay, StopsWhenAsked) {
  const DemoCritique demo = MakeDemoCritique(kFolder);
  ImageRgba8 image = demo.picture.image;
  const auto done = PaintOverlay(image, demo.critique, {[] { return true; }, {}});
  ASSERT_FALSE(done);
  EXPECT_EQ(done.error().kind, ErrorKind::kCancelled);
}

TEST(Callouts, StayInsideOffEachOtherAndOffFaces) {
  const std::vector<Callout> callouts = {{1, "Legs too long", "+20 % ± 3 %", Vec2(500, 500)},
                                         {2, "Head too big", "+9 % ± 2 %", Vec2(520, 480)},
                                         {3, "Falls to the left", "+6 ± 1 % of stature", Vec2(480, 520)}};
  const std::vector<BoxPx> faces = {{380, 380, 240, 240}};
  const auto placed = PlaceCallouts(callouts, {1000, 1000, 25, faces, {}, {}});
  ASSERT_EQ(placed.size(), 3u);
  for (std::size_t i = 0; i < 3; ++i) {
    const BoxPx& plate = placed[i].plate;
    EXPECT_EQ(placed[i].callout.number, static_cast<int>(i) + 1);
    EXPECT_TRUE(plate.x >= 0 && plate.y >= 0 && plate.Right() <= 1000 && plate.Bottom() <= 1000);
    EXPECT_EQ(plate.Overlap(faces[0]), 0.0);
    for (std::size_t k = 0; k < i; ++k) EXPECT_EQ(plate.Overlap(placed[k].plate), 0.0) << i << " on " << k;
  }
}

// Extent of what labels add to shapes drawn on a sheet with a hundred pixels free round it.
BoxPx LabelInk(const std::vector<GuideShape>& shapes, const ShapeStyle& style) {
  const auto box = InkBox(500, 400, [&](cairo_t* cr) {
    cairo_translate(cr, 100, 100);
    DrawShapes(cr, shapes, style);
  });
  EXPECT_TRUE(box.has_value());
  return box.value_or(BoxPx{});
}

TEST(Shapes, LabelsStayOnTheSheet) {
  const double reach = 14.0;  // the shapes themselves and the labels' halo
  for (const Vec2& at : {Vec2(2, 100), Vec2(298, 100), Vec2(150, 2), Vec2(150, 198)}) {
    const GuideShape cross{GuideShape::Role::kDrawn, GuideShape::Form::kCross, {at}, "24 px"};
    const GuideShape line{GuideShape::Role::kArrow, GuideShape::Form::kPolyline, {at - Vec2(1, 0), at + Vec2(1, 0)}, "24 px"};
    for (const GuideShape& shape : {cross, line}) {
      ShapeStyle style;
      if (at.x() > 290) {
        EXPECT_GT(LabelInk({shape}, style).Right(), 400 + reach);  // without a sheet it leaves it
      }
      style.sheet = BoxPx{0, 0, 300, 200};
      const BoxPx kept = LabelInk({shape}, style);
      EXPECT_GE(kept.x, 100 - reach);
      EXPECT_GE(kept.y, 100 - reach);
      EXPECT_LE(kept.Right(), 400 + reach);
      EXPECT_LE(kept.Bottom(), 300 + reach);
    }
  }
}

TEST(Shapes, LabelsLieOffEachOther) {
  // Two places side by side: the left one's label may not lie on the right one or its label, so it goes to the left.
  const GuideShape left{GuideShape::Role::kDrawn, GuideShape::Form::kCross, {Vec2(150, 100)}, "24 px"};
  const GuideShape right{GuideShape::Role::kDrawn, GuideShape::Form::kCross, {Vec2(170, 100)}, "24 px"};
  const ShapeStyle style;
  EXPECT_GE(LabelInk({left}, style).x, 235.0);
  EXPECT_LT(LabelInk({left, right}, style).x, 230.0);
  EXPECT_GT(LabelInk({left, right}, style).Right(), 300.0);
}

TEST(Guides, AreTransparentExceptAtTheirShapesAndInRegister) {
  const DemoCritique demo = MakeDemoCritique(kFolder);
  const int width = demo.picture.image.width, height = demo.picture.image.height;
  const std::vector<Guide> guides = GuidesOf(demo.critique);
  ASSERT_EQ(guides.size(), 3u);
  for (const Guide& guide : guides) {
    EXPECT_LE(guide.shapes.size(), 7u);
    const auto file = std::filesystem::temp_directory_path() / ("armslength-guide-" + std::to_string(getpid()) + ".png");
    ASSERT_TRUE(WriteFileAtomic(file, GuidePng(guide, width, height, false).value()));
    const Picture back = LoadPicture(file).value();
    std::filesystem::remove(file);
    ASSERT_EQ(back.image.width, width);
    ASSERT_EQ(back.image.height, height);
    EXPECT_TRUE(back.facts.has_alpha);
    const BoxPx near = BoundsOf(guide.shapes).Grown(20.0);
    std::size_t inked = 0, strong = 0;
    for (int y = 0; y < height; ++y)
      for (int x = 0; x < width; ++x) {
        const int alpha = back.image.At(x, y)[3];
        if (alpha == 0) continue;
        ++inked;
        strong += alpha > 205;  // lines lie at 60 % on halos of 30 %: never opaque
        ASSERT_TRUE(x >= near.x && x <= near.Right() && y >= near.y && y <= near.Bottom()) << guide.id << ' ' << x << ' ' << y;
      }
    EXPECT_GT(inked, 200u);
    EXPECT_LT(static_cast<double>(inked), 0.1 * width * height);
    EXPECT_LT(static_cast<double>(strong), 0.2 * static_cast<double>(inked));
    // The drawn line starts where it was marked.
    for (const GuideShape& shape : guide.shapes)
      if (shape.role == GuideShape::Role::kTarget && shape.form == GuideShape::Form::kPolyline) {
        const Vec2 on = 0.5 * (shape.points[0] + shape.points[1]);
        EXPECT_GT(back.image.At(static_cast<int>(on.x()), static_cast<int>(on.y()))[3], 60) << guide.id;
      }
  }
}

TEST(Guides, NoMoreThanSevenShapesTheArrowFirst) {
  DemoCritique demo = MakeDemoCritique(kFolder);
  auto& shapes = demo.critique.first[0].guides;
  for (int i = 0; i < 20; ++i) shapes.insert(shapes.begin(), {GuideShape::Role::kHelp, GuideShape::Form::kCross, {{1, 1}}, ""});
  const Guide guide = GuidesOf(demo.critique).front();
  EXPECT_EQ(guide.shapes.size(), 7u);
  EXPECT_EQ(guide.shapes.front().role, GuideShape::Role::kArrow);
}

TEST(Guides, AReadHeadAddsItsConstruction) {
  SynthHeadOptions o;
  o.seed = 77;
  o.yaw_deg = 15;
  o.height_px = 300;
  o.sigma = 0.002;
  o.faults = {{HeadFaultKind::kChinOffset, 0.1}};
  const SynthHead head = MakeHead(o);
  FigureCritique figure;
  figure.marks = head.marks;
  EXPECT_TRUE(HeadConstruction(figure).shapes.empty());  // not read
  figure.head = ReadHead(head.marks).value();
  ASSERT_TRUE(figure.head->Fault(HeadFaultKind::kChinOffset).off);
  Finding chin;
  chin.id = "face.chin.offset";
  chin.title = "Chin off the middle line";
  chin.figure = figure.marks.name;
  chin.verdict = Verdict::kOff;
  chin.kind = Kind::kConstruction;
  chin.gain = 5;
  PictureFacts facts;
  facts.width = facts.height = 600;
  const Critique critique = Rank(facts, {figure}, {chin});
  const auto guides = GuidesOf(critique);
  ASSERT_FALSE(guides.empty());
  EXPECT_EQ(guides.back().id, "head.construction");
  int drawn = 0, target = 0;
  for (const GuideShape& s : guides.back().shapes) {
    drawn += s.role == GuideShape::Role::kDrawn;
    target += s.role == GuideShape::Role::kTarget;
  }
  EXPECT_GE(drawn, 1);   // the middle line as drawn
  EXPECT_GE(target, 2);  // where it would have to run, and the chin's place
  // Under the finding the overlay shows the skull ball too: ink well above the marks' crown.
  ImageRgba8 with{600, 600, std::vector<std::uint8_t>(600 * 600 * 4, 255)}, without = with;
  ASSERT_TRUE(PaintOverlay(with, critique));
  Critique plain = critique;
  plain.figures[0].head.reset();
  ASSERT_TRUE(PaintOverlay(without, plain));
  int changed = 0;
  for (std::size_t i = 0; i < with.pixels.size(); i += 4) changed += with.pixels[i] != without.pixels[i];
  EXPECT_GT(changed, 1000);
}

TEST(Guides, OpenRasterHoldsNumberedAndPlainLayersOfThePicturesSize) {
  const DemoCritique demo = MakeDemoCritique(kFolder);
  const auto bytes = GuidesOpenRaster(GuidesOf(demo.critique), 708, 1580);
  ASSERT_TRUE(bytes) << bytes.error().Text();
  const auto file = std::filesystem::temp_directory_path() / ("armslength-guides-" + std::to_string(getpid()) + ".ora");
  ASSERT_TRUE(WriteFileAtomic(file, *bytes));
  PictureOptions options;
  options.load_layers = true;
  const Picture back = LoadPicture(file, options).value();
  std::filesystem::remove(file);
  EXPECT_EQ(back.image.width, 708);
  EXPECT_EQ(back.image.height, 1580);
  ASSERT_EQ(back.layers.size(), 6u);
  EXPECT_EQ(back.layers[5].name, "1 Legs too short");
  EXPECT_TRUE(back.layers[5].visible);
  EXPECT_EQ(back.layers[4].name, "1 Legs too short (without numbers)");
  EXPECT_FALSE(back.layers[4].visible);
  EXPECT_TRUE(GuidesOpenRaster({}, 708, 1580));  // nothing off: still a file
}

TEST(Guides, SvgIsInRegisterAndNamesAreSafe) {
  const DemoCritique demo = MakeDemoCritique(kFolder);
  const std::string svg = GuideSvg(GuidesOf(demo.critique).front(), 708, 1580).value();
  EXPECT_THAT(svg, testing::HasSubstr("viewBox=\"0 0 708 1580\""));
  EXPECT_THAT(svg, testing::Not(testing::HasSubstr("<image")));
  EXPECT_EQ(GuideFileName(2, "body.legs.length", "png"), "guide-02-body.legs.length.png");
  EXPECT_EQ(GuideFileName(1, "../a b/\"c\"", "svg"), "guide-01-.._a_b__c_.svg");
}

TEST(Standing, SaysWhyAFigureCannotBeStoodUp) {
  DemoCritique demo = MakeDemoCritique(kFolder);
  for (FigureCritique& figure : demo.critique.figures) figure.standing.reset();
  EXPECT_EQ(DrawStanding(demo.critique)->width, 0);  // heads alone: nothing to stand up, and no plate to say so
  for (FigureCritique& figure : demo.critique.figures) figure.standing = StandingFigure{};
  const auto plate = DrawStanding(demo.critique);
  ASSERT_TRUE(plate);
  EXPECT_EQ(plate->width, kPlateWidth);
  EXPECT_EQ(plate->height, kPlateHeight);
  EXPECT_EQ(DrawStanding(Rank({}, {}, {}))->width, 0);
}

// The legs a fifth longer: the drawn body's orange must reach higher than the canon's blue.
TEST(Standing, LongerLegsStandTaller) {
  BodyReading reading;
  reading.usable = true;
  reading.canon.declared = true;
  reading.canon.canon = FindCanon("adult-7.5").value();
  LengthHypothesis legs;
  legs.id = "body.legs.length";
  legs.bones = {BoneId::kThighL, BoneId::kThighR, BoneId::kShinL, BoneId::kShinR};
  legs.factor = 1.2;
  legs.factor_low = 1.15;
  legs.factor_high = 1.25;
  legs.off = true;
  reading.hypotheses = {legs};
  FigureCritique figure;
  figure.marks.name = "anna";
  figure.standing = Straighten(reading);
  figure.body = reading;
  const ImageRgba8 plate = DrawStanding(Rank({}, {figure}, {})).value();
  int top_orange = plate.height, top_blue = plate.height;
  for (int y = plate.height - 1; y >= 0; --y)
    for (int x = 0; x < plate.width; ++x) {
      const std::uint8_t* p = plate.At(x, y);
      if (p[0] > 205 && p[1] > 80 && p[1] < 115 && p[2] < 40) top_orange = y;
      if (p[0] < 45 && p[1] > 85 && p[1] < 110 && p[2] > 185) top_blue = y;
    }
  // 0.2 x (thigh + shin) heads, at the plate's scale of about 90 px per head.
  EXPECT_GT(top_blue - top_orange, 45);
  EXPECT_LT(top_blue - top_orange, 90);
}

}  // namespace
}  // namespace armslength
