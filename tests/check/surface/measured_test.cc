#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "check/surface/drawn.h"
#include "check/surface/people.h"

// Necks, waists and hands against people who were measured: 200 people of the US Army survey 2012 (NATICK/TR-15/007).
namespace armslength {
namespace {

using testing::People;
using testing::Wear;
using testing::Worn;

std::optional<Finding> Told(const Worn& worn, const std::string& id) {
  for (Finding& f : CheckSurface(worn.marks, worn.reading, nullptr))
    if (f.id == id) return f;
  return std::nullopt;
}

// The outline drawn in towards the line a-b (or out) between t0 and t1 of it.
Worn Squeezed(Worn worn, const Vec2& a, const Vec2& b, double t0, double t1, double reach_px, double factor) {
  const Vec2 dir = (b - a).normalized(), across(-dir.y(), dir.x());
  for (Area& area : worn.marks.areas) {
    if (area.kind != "figure") continue;
    for (Vec2& p : area.outline) {
      const double t = (p - a).dot(dir) / (b - a).norm(), aside = (p - a).dot(across);
      if (t > t0 && t < t1 && std::abs(aside) < reach_px) p += across * (aside * (factor - 1.0));
    }
  }
  return worn;
}

struct Part {
  bool neck = true;
  [[nodiscard]] std::string Id() const { return neck ? "limb.thickness.neck" : "limb.thickness.waist"; }
  [[nodiscard]] Worn As(const Worn& worn, double factor) const {
    const auto& p = worn.marks.points;
    const Vec2 low = neck ? p.at(PointId::kNeckPit) : Vec2(0.5 * (p.at(PointId::kHipL) + p.at(PointId::kHipR)));
    return Squeezed(worn, low, p.at(neck ? PointId::kChin : PointId::kNeckPit), neck ? 0.05 : 0.15, neck ? 0.90 : 0.80,
                    (neck ? 0.08 : 0.16) * worn.reading.camera.scale_px, factor);
  }
};

// Drawn figures whose outline there is the part's own: drawn in by a fifth, a fifth less is measured.
std::vector<Worn> Figures(const Part& part, unsigned first, std::size_t count) {
  std::vector<Worn> out;
  for (unsigned seed = first; seed < first + 60 && out.size() < count; ++seed) {
    Worn worn = Wear(seed, {}, 0.25, true);
    const auto f = Told(worn, part.Id());
    if (!f || !f->measured) continue;
    const auto less = Told(part.As(worn, 0.8), part.Id());
    if (less && less->measured && std::abs(*less->measured / *f->measured - 0.8) < 0.03) out.push_back(std::move(worn));
  }
  return out;
}

// Measured necks are as wide as their girth over pi, waists as their breadth; both over the head's breadth.
TEST(MeasuredPeople, TheirNecksAndWaistsAreNotThinAThirdOfThemIs) {
  const auto people = People();
  ASSERT_EQ(people.size(), 200U);
  for (const bool neck : {true, false}) {
    const Part part{neck};
    const auto figures = Figures(part, 4000, 3);
    ASSERT_GE(figures.size(), 2U) << part.Id();
    int told = 0, clear = 0, thin = 0, thin_off = 0;
    for (const Worn& figure : figures) {
      const auto sound = Told(figure, part.Id());
      for (std::size_t i = 0; i < people.size(); i += 10) {
        const auto& person = people[i];
        const double ratio = (neck ? person.at("neckcircumference") / M_PI : person.at("waistbreadth")) / person.at("headbreadth");
        const double factor = ratio / *sound->measured;
        if (const auto f = Told(part.As(figure, factor), part.Id())) {
          ++told;
          clear += f->verdict == Verdict::kClear;
          EXPECT_NE(f->verdict, Verdict::kOff) << part.Id() << " " << ratio << ": " << f->why;
        }
        if (const auto f = Told(part.As(figure, (neck ? 0.28 : 0.36) * factor), part.Id())) {
          ++thin;
          thin_off += f->verdict == Verdict::kOff;
        }
      }
    }
    EXPECT_GT(told, 30) << part.Id();
    EXPECT_GE(10 * clear, 9 * told) << part.Id();
    EXPECT_GT(thin, 30) << part.Id();
    EXPECT_GE(10 * thin_off, 9 * thin) << part.Id();
  }
}

// A face from chin to hairline of three quarters of the head's height, and the left hand `times` as long, drawn as it lies.
std::optional<Finding> HandSize(unsigned seed, double times, std::optional<Depth> depth, double tip_error = 0.0) {
  Worn worn = Wear(seed, {}, 0.25, false);
  auto& points = worn.marks.points;
  const Vec2 chin = points[PointId::kChin], crown = points[PointId::kCrown];
  points[PointId::kHairline] = chin + 0.75 * (crown - chin);
  const auto& truth = worn.truth;
  const auto z = [&](PointId id) { return truth.joints[static_cast<std::size_t>(id)].z(); };
  const double here = 1.0 + truth.camera.inverse_distance * z(PointId::kWristL);
  const double face = 0.75 * truth.length[static_cast<std::size_t>(BoneId::kHead)] * truth.camera.scale_px / here;
  Vec2 way = points[PointId::kHandTipL] - points[PointId::kWristL];
  way.normalize();
  SynthRandom random(seed, 9);
  points[PointId::kHandTipL] =
      points[PointId::kWristL] + way * (times * face) + 0.003 * truth.camera.scale_px * Vec2(random.Normal(), random.Normal());
  worn.marks.depth.erase(BoneId::kHandL);
  if (depth) worn.marks.depth[BoneId::kHandL] = *depth;
  worn.marks.marking_error_px = 0.004 * truth.camera.scale_px;
  if (tip_error > 0.0) worn.marks.point_error_px[PointId::kHandTipL] = tip_error * face;
  BodyReadingOptions options;
  options.scan_hypotheses = false;
  options.find_helpful_mark = false;
  const auto read = ReadBody(worn.marks, nullptr, options);
  if (!read || !read->usable) return std::nullopt;
  worn.reading = *read;
  return Told(worn, "hand.size.left");
}

// As long as the face, within 15 %: common practice, no source.
TEST(Hands, OnesAsLongAsTheFaceAreNotOffFarBiggerOnesAre) {
  int told = 0, sound_off = 0, big = 0, small_flat = 0, small_open = 0;
  for (unsigned seed = 4100; seed < 4124; ++seed) {
    const auto sound = HandSize(seed, 1.0, Depth::kFlat), large = HandSize(seed, 1.9, Depth::kFlat),
               small = HandSize(seed, 0.5, Depth::kFlat), open = HandSize(seed, 0.5, std::nullopt);
    if (!sound || !large || !small || !open) continue;
    ++told;
    sound_off += sound->verdict == Verdict::kOff;
    big += large->verdict == Verdict::kOff;
    small_flat += small->verdict == Verdict::kOff;
    small_open += open->verdict == Verdict::kOff;
    if (large->verdict == Verdict::kOff) {
      EXPECT_FALSE(large->guides.empty());
      EXPECT_NE(large->title.find("too big"), std::string::npos);
    }
  }
  EXPECT_GT(told, 12);
  EXPECT_LE(20 * sound_off, told);
  EXPECT_GE(10 * big, 6 * told);
  EXPECT_GE(10 * small_flat, 4 * told);
  EXPECT_EQ(small_open, 0);  // it may point at the viewer
}

// A tip that may lie a face's length elsewhere says nothing that a number could tell.
TEST(Hands, ATipThatMayLieAnywhereGivesNoNumber) {
  const auto vague = HandSize(4100, 1.0, std::nullopt, 1.0), sharp = HandSize(4100, 1.0, std::nullopt);
  ASSERT_TRUE(vague && sharp);
  EXPECT_EQ(vague->verdict, Verdict::kCannotTell);
  EXPECT_EQ(vague->why.find_first_of("0123456789"), std::string::npos) << vague->why;
  EXPECT_NE(sharp->why.find_first_of("0123456789"), std::string::npos) << sharp->why;
}

}  // namespace
}  // namespace armslength
