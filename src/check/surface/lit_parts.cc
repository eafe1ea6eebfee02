#include "check/surface/lit_parts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

#include <Eigen/Geometry>

#include "check/body/guides.h"
#include "check/pixels/context.h"
#include "check/pixels/paints.h"
#include "check/surface/limb_contour.h"
#include "colour/spaces.h"

namespace armslength::surface_check {
namespace {

using body_check::kDegree;
using P = PointId;

constexpr int kStations = 48;                          // rows along a part
constexpr int kBlock = 6;                              // rows with one light and dark of each paint: boots and cuffs may share a hue
constexpr double kFromEnd = 0.14;                      // of its length, clear of the joints
constexpr double kLeastWidth = 9.0;                    // px
constexpr double kLeastStep = 3.0;                     // L* from shadow to light of one paint; less is flat. Default, editable
constexpr double kMostStep = 45.0;                     // more is paint, not shadow
constexpr double kLeastDark = 0.06, kMostDark = 0.80;  // of the width: less is a line's blur, more a part wholly in shade
constexpr std::size_t kFewestPixels = 40;              // of a paint in a block
constexpr double kPure = 0.60;                         // of the shadow must lie on one side of the middle; else it is cast or a pattern
constexpr double kShortest = 0.35;                     // of a part's length as seen; shorter ones show their end, not their side
// Of the angle read: half of drawn limbs lie within 9 degrees. A limb without shadow is lit within about 30 of the viewer.
constexpr double kAngleSd = 14.0 * kDegree, kFlatSd = 22.0 * kDegree;
constexpr double kNarrowest = 0.22;                                 // of MostHalfWidth; less is seen through a gap
constexpr double kFlatLength = 0.8, kNarrow = 0.42, kBroad = 0.66;  // a part without shadow: of its length as seen, of MostHalfWidth

// One pixel of a row: -1..1 from edge to edge.
struct Sample {
  float u = 0, l = 0;
  int block = 0;
};

class Reader {
 public:
  Reader(const BodyFacts& facts, const Silhouette& silhouette, const ImageRgba8& image)
      : facts_(facts), silhouette_(silhouette), image_(image), planes_(ReadPlanes(image, 1)), ink_(FindInk(planes_.l, {}, 1)) {}

  [[nodiscard]] std::vector<LitPart> Parts() const;

 private:
  [[nodiscard]] std::optional<LitPart> Part(BoneId bone) const;
  [[nodiscard]] bool Inside(const Vec2& p) const { return p.x() >= 0 && p.y() >= 0 && p.x() < image_.width && p.y() < image_.height; }
  [[nodiscard]] bool Ink(const Vec2& p) const { return ink_.plane.Row(static_cast<int>(p.y()) + 1)[static_cast<int>(p.x()) + 1] != 0; }
  // Whether another part, nearer to the viewer, is drawn over this place.
  [[nodiscard]] bool Hidden(BoneId bone, const Vec2& p, double z) const;

  const BodyFacts& facts_;
  const Silhouette& silhouette_;
  const ImageRgba8& image_;
  PixelPlanes planes_;
  InkMask ink_;
};

constexpr std::array kParts{BoneId::kUpperArmL, BoneId::kUpperArmR, BoneId::kForearmL, BoneId::kForearmR, BoneId::kThighL,
                            BoneId::kThighR,    BoneId::kShinL,     BoneId::kShinR,    BoneId::kTrunk};
constexpr double kMostTrunk = 0.16;  // as MostHalfWidth

bool IsLeft(BoneId b) { return b == BoneId::kUpperArmL || b == BoneId::kForearmL || b == BoneId::kThighL || b == BoneId::kShinL; }

// Upper and lower end of a part.
struct Span {
  Vec2 a, b;
  Vec3 from, to;
};
Span SpanOf(const BodyFacts& facts, BoneId bone) {
  if (bone == BoneId::kTrunk)
    return {facts.Px(P::kNeckPit), 0.5 * (facts.Px(P::kHipL) + facts.Px(P::kHipR)), facts.Joint(P::kNeckPit).at, facts.HipMiddle()};
  const BoneEnds ends = Ends(bone);
  return {facts.Px(ends.from), facts.Px(ends.to), facts.Joint(ends.from).at, facts.Joint(ends.to).at};
}

bool Reader::Hidden(BoneId bone, const Vec2& p, double z) const {
  for (const BoneId other : kParts) {
    if (other == bone || other == BoneId::kTrunk || !facts_.BoneMarked(other)) continue;
    const Span s = SpanOf(facts_, other);
    const Vec2 along = s.b - s.a;
    const double t = std::clamp((p - s.a).dot(along) / std::max(1.0, along.squaredNorm()), 0.0, 1.0);
    const double oz = s.from.z() + t * (s.to.z() - s.from.z());
    if (oz > z - 0.01) continue;
    if (IsArm(other) == IsArm(bone) && IsLeft(other) == IsLeft(bone) && bone != BoneId::kTrunk && (t < 0.05 || t > 0.95)) continue;
    if ((p - s.a - t * along).norm() < 0.65 * MostHalfWidth(other) * facts_.PxPerStature(oz)) return true;
  }
  return false;
}

std::optional<LitPart> Reader::Part(BoneId bone) const {
  const Span span = SpanOf(facts_, bone);
  const Vec3 axis = span.to - span.from;
  const double flat = std::hypot(axis.x(), axis.y()), length = (span.b - span.a).norm();
  if (flat < kShortest * axis.norm() || length < 24.0) return std::nullopt;
  const Vec2 dir = (span.b - span.a) / length, across(-dir.y(), dir.x());
  const bool trunk = bone == BoneId::kTrunk;
  const double most = (trunk ? kMostTrunk : MostHalfWidth(bone)) * facts_.PxPerStature(0.5 * (span.from.z() + span.to.z()));
  struct Row {
    Vec2 at;
    int block = 0;             // rows near each other
    std::array<double, 2> to;  // px to the edge against and along `across`
  };
  std::vector<Row> rows;
  for (int i = 0; i < kStations; ++i) {
    const double t = kFromEnd + (1.0 - 2.0 * kFromEnd) * i / (kStations - 1);
    Row row{span.a + t * (span.b - span.a), i / kBlock, {}};
    const double z = span.from.z() + t * (span.to.z() - span.from.z());
    if (!Inside(row.at) || !silhouette_.Covers(row.at) || (!trunk && Ink(row.at)) || Hidden(bone, row.at, z)) continue;
    bool ok = true;
    for (std::size_t side = 0; side < 2 && ok; ++side) {
      const Vec2 way = side == 1 ? across : Vec2(-across);
      double d = 0;
      for (d = 1;; d += 1) {
        const Vec2 p = row.at + d * way;
        ok = d < most && Inside(p);
        if (!ok || (!trunk && Ink(p)) || !silhouette_.Covers(p)) break;
        ok = !trunk || !Hidden(bone, p, z);
        if (!ok) break;
      }
      if (!ok) break;
      row.to[side] = d;
      // Past the line: ground, or what lies behind, or what lies before.
      double past = d;
      while (past < d + 16 && Inside(row.at + past * way) && Ink(row.at + past * way)) past += 1;
      const Vec2 beyond = row.at + (past + 2.0 + silhouette_.PixelPx()) * way;
      ok = !silhouette_.Covers(beyond) || (!trunk && !Hidden(bone, beyond, z));
    }
    if (ok && row.to[0] + row.to[1] > kLeastWidth) rows.push_back(row);
  }
  if (rows.size() < kStations / 5) return std::nullopt;
  std::vector<double> widths;
  for (const Row& row : rows) widths.push_back(row.to[0] + row.to[1]);
  const double usual = Median(widths);
  std::vector<Oklab> tone;
  std::vector<Sample> sample;
  std::size_t used = 0;
  for (const Row& row : rows) {
    const double width = row.to[0] + row.to[1];
    if (width < 0.7 * usual || width > 1.4 * usual) continue;
    ++used;
    const double margin = 2.0;  // the line's own blur
    for (double x = -row.to[0] + margin; x <= row.to[1] - margin; x += 1.0) {
      const Vec2 p = row.at + x * across;
      const std::uint8_t* c = image_.At(static_cast<int>(p.x()), static_cast<int>(p.y()));
      if (c[3] < 128 || Ink(p)) continue;
      tone.push_back(ToOklab(Rgb8{c[0], c[1], c[2]}));
      sample.push_back(
          {static_cast<float>(2.0 * (x + row.to[0]) / width - 1.0), static_cast<float>(ToLab(Rgb8{c[0], c[1], c[2]}).L), row.block});
    }
  }
  if (used < kStations / 6) return std::nullopt;
  // Paint by paint: shadow is what is darker than half way from its dark to its light.
  std::size_t count = 0;
  const std::vector<std::uint8_t> paint = Paints(tone, count);
  double dark[2] = {}, all[2] = {}, told = 0;
  std::vector<std::vector<float>> light(kStations / kBlock * (count + 1));
  const auto group = [&](std::size_t i) { return static_cast<std::size_t>(sample[i].block) * (count + 1) + paint[i]; };
  for (std::size_t i = 0; i < sample.size(); ++i) light[group(i)].push_back(sample[i].l);
  struct Cut {
    float at = -1;  // L*
    bool use = false;
  };
  std::vector<Cut> cuts(light.size());
  for (std::size_t g = 0; g < light.size(); ++g) {
    std::vector<float>& l = light[g];
    if (l.size() < kFewestPixels || g % (count + 1) == 0) continue;
    std::ranges::sort(l);
    const auto at = [&](double share) { return l[static_cast<std::size_t>(share * static_cast<double>(l.size() - 1))]; };
    const float low = at(0.04), high = at(0.96);
    cuts[g].use = static_cast<double>(high - low) < kMostStep;
    if (static_cast<double>(high - low) > kLeastStep) cuts[g].at = 0.5f * (low + high);
  }
  for (std::size_t i = 0; i < sample.size(); ++i) {
    const Cut& cut = cuts[group(i)];
    if (!cut.use) continue;
    const std::size_t side = sample[i].u > 0;
    told += 1;
    all[side] += 1;
    dark[side] += sample[i].l < cut.at;
  }
  if (told < 0.5 * static_cast<double>(sample.size()) || all[0] < 40 || all[1] < 40) return std::nullopt;
  const double left = dark[0] / all[0], right = dark[1] / all[1], share = 0.5 * (left + right);
  if (share > kMostDark) return std::nullopt;
  const bool flat_lit = share < kLeastDark;
  // A flat part tells only when it is surely this part: of its usual width, long, and not under a skirt.
  const double broad = 0.5 * usual / most;
  if (broad < kNarrowest && !trunk) return std::nullopt;
  if (flat_lit && (trunk || bone == BoneId::kThighL || bone == BoneId::kThighR || flat < kFlatLength * axis.norm() || broad < kNarrow ||
                   broad > kBroad || used < kStations * 2 / 5))
    return std::nullopt;
  const double pure = flat_lit ? 1.0 : std::abs(right - left) / (2.0 * std::min(share, 1.0 - share));
  if (pure < kPure) return std::nullopt;
  LitPart lit;
  lit.bone = bone;
  lit.from = span.a, lit.to = span.b;
  lit.across = Vec3(-axis.y(), axis.x(), 0.0) / flat;
  lit.towards = axis.normalized().cross(lit.across);
  if (lit.towards.z() > 0) lit.towards = -lit.towards;
  lit.half_px = 0.5 * usual;
  lit.angle = std::acos(std::clamp(1.0 - 2.0 * share, -1.0, 1.0)) * (left > right ? 1.0 : -1.0);
  lit.sd = kAngleSd / pure;
  if (flat_lit) lit.flat = true, lit.angle = 0.0, lit.sd = kFlatSd;
  return lit;
}

std::vector<LitPart> Reader::Parts() const {
  std::vector<LitPart> lit;
  for (const BoneId bone : kParts) {
    if (!facts_.BoneMarked(bone)) continue;
    auto one = Part(bone);
    if (!one) continue;
    one->spoken = SaidName(bone);
    one->rests_on = body_check::PointsOf(bone);
    lit.push_back(std::move(*one));
  }
  return lit;
}

}  // namespace

bool IsArm(BoneId b) { return b == BoneId::kUpperArmL || b == BoneId::kUpperArmR || b == BoneId::kForearmL || b == BoneId::kForearmR; }

std::vector<LitPart> ReadLitParts(const BodyFacts& facts, const Silhouette& silhouette, const ImageRgba8& image) {
  return Reader(facts, silhouette, image).Parts();
}

}  // namespace armslength::surface_check
