#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <Eigen/Geometry>

#include "check/body/guides.h"
#include "check/pixels/context.h"
#include "check/pixels/paints.h"
#include "check/surface/families.h"
#include "check/surface/limb_contour.h"
#include "colour/spaces.h"
#include "words/say.h"

// A limb is nearly round, so that the share of its width in shadow and the side it lies on give the angle of the light
// round the solved limb's axis. One light must explain all parts; a light of the arms' own must not do so much better.
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
constexpr double kNarrowest = 0.22;              // of MostHalfWidth; less is seen through a gap
constexpr std::size_t kFewest = 3, kEnough = 5;  // parts that speak: to ask at all, and shaded ones to say that all agree
// What a light of their own for the arms must explain, sum of (angle off / sd)^2: set on drawn figures in poses of all
// kinds with one light (seeds from 7300001 and 7310001); below the other no second light is in sight.
constexpr double kTwoLights = 8.5, kOneLight = 2.0;
constexpr double kFlatLength = 0.8, kNarrow = 0.42, kBroad = 0.66;  // a part without shadow: of its length as seen, of MostHalfWidth

struct Lit {
  BoneId bone{};
  std::string spoken;
  std::vector<P> rests_on;
  Vec2 at = Vec2::Zero();         // middle, px
  Vec3 across = Vec3::UnitX();    // unit, in the picture's plane
  Vec3 towards = -Vec3::UnitZ();  // unit, straight out of the part towards the viewer
  double half_px = 0.0;
  double angle = 0.0;  // of the light round the part's axis, rad: 0 from the viewer, positive along `across`
  double sd = 1.0;     // rad
  bool flat = false;   // no shadow seen: lit from about the viewer, or not shaded
};

// One pixel of a row: -1..1 from edge to edge.
struct Sample {
  float u = 0, l = 0;
  int block = 0;
};

class Reader {
 public:
  Reader(const BodyFacts& facts, const Silhouette& silhouette, const ImageRgba8& image)
      : facts_(facts), silhouette_(silhouette), image_(image), planes_(ReadPlanes(image, 1)), ink_(FindInk(planes_.l, {}, 1)) {}

  [[nodiscard]] std::vector<Lit> Parts() const;

 private:
  [[nodiscard]] std::optional<Lit> Part(BoneId bone) const;
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

bool IsArm(BoneId b) { return b == BoneId::kUpperArmL || b == BoneId::kUpperArmR || b == BoneId::kForearmL || b == BoneId::kForearmR; }
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

std::optional<Lit> Reader::Part(BoneId bone) const {
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
  Lit lit;
  lit.bone = bone;
  lit.at = 0.5 * (span.a + span.b);
  lit.across = Vec3(-axis.y(), axis.x(), 0.0) / flat;
  lit.towards = axis.normalized().cross(lit.across);
  if (lit.towards.z() > 0) lit.towards = -lit.towards;
  lit.half_px = 0.5 * usual;
  lit.angle = std::acos(std::clamp(1.0 - 2.0 * share, -1.0, 1.0)) * (left > right ? 1.0 : -1.0);
  lit.sd = kAngleSd / pure;
  if (flat_lit) lit.flat = true, lit.angle = 0.0, lit.sd = kFlatSd;
  return lit;
}

std::vector<Lit> Reader::Parts() const {
  std::vector<Lit> lit;
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

// Lights tried: round the clock, and from nearly beside to nearly before the figure.
constexpr std::size_t kAround = 72;
constexpr std::array kHeights{0.1, 0.3, 0.5, 0.75, 1.1, 1.6};  // towards the viewer over across the picture
constexpr double kMostCost = 9.0, kMostFlat = 4.0;             // of one part; a part without shadow may only be left unshaded

struct Light {
  double cost = 1e18;    // sum over the parts of (angle off / sd)^2
  double azimuth = 0.0;  // middle of those that suit about as well, rad
};

double Cost(const Lit& part, const Vec3& light) {
  const double off = std::remainder(std::atan2(part.across.dot(light), part.towards.dot(light)) - part.angle, 2 * std::numbers::pi);
  return std::min(part.flat ? kMostFlat : kMostCost, off * off / (part.sd * part.sd));
}

Light Fit(const std::vector<const Lit*>& parts) {
  std::vector<std::pair<double, double>> tried;  // cost, azimuth
  Light best;
  for (std::size_t k = 0; k < kAround; ++k)
    for (const double height : kHeights) {
      const double azimuth = 2 * std::numbers::pi * static_cast<double>(k) / kAround;
      double cost = 0;
      for (const Lit* part : parts) cost += Cost(*part, Vec3(std::cos(azimuth), std::sin(azimuth), -height));
      tried.emplace_back(cost, azimuth);
      best.cost = std::min(best.cost, cost);
    }
  Vec2 sum = Vec2::Zero();
  for (const auto& [cost, azimuth] : tried) sum += std::exp(-0.5 * (cost - best.cost)) * Vec2(std::cos(azimuth), std::sin(azimuth));
  best.azimuth = std::atan2(sum.y(), sum.x());
  return best;
}

}  // namespace

void CheckPartLight(const BodyFacts& facts, const Silhouette& silhouette, const Picture& picture, std::vector<Finding>& out) {
  const std::vector<Lit> parts = Reader(facts, silhouette, picture.image).Parts();
  std::vector<const Lit*> all, arms, rest, shaded_arms;
  std::size_t shaded = 0;
  for (const Lit& part : parts) {
    all.push_back(&part);
    (IsArm(part.bone) ? arms : rest).push_back(&part);
    shaded += !part.flat;
    if (IsArm(part.bone) && !part.flat) shaded_arms.push_back(&part);
  }
  if (parts.size() < kFewest || rest.empty() || shaded_arms.empty()) return;
  const Light one = Fit(all), of_rest = Fit(rest), of_arms = Fit(arms);
  const double gain = one.cost - of_rest.cost - of_arms.cost;
  const bool off = gain > kTwoLights;
  if (!off && (gain > kOneLight || shaded < kEnough)) return;  // too little shows to say
  Finding f = body_check::Start(facts, "value.light.parts", Say("Limbs and trunk lit from one side"), Kind::kCraft, Verdict::kClear);
  f.stage = Stage::kShading;
  f.measured = off ? static_cast<double>(shaded_arms.size()) : 0.0;
  f.expected = 0.0;
  f.tolerance = 0.0;
  f.unit = "parts";
  f.test = "what a light of the arms' own explains of their shadows that no light for all parts does";
  f.evidence = gain;
  f.smallest_visible = 1.0;
  f.source = Say("default, editable");
  std::vector<P> rests_on;
  std::vector<std::string> names;
  for (const Lit& part : parts) {
    rests_on.insert(rests_on.end(), part.rests_on.begin(), part.rests_on.end());
    if (part.flat) continue;
    const Vec2 from = part.half_px * (part.angle > 0 ? 1.0 : -1.0) * part.across.head<2>();
    GuideShape arrow;
    arrow.role = GuideShape::Role::kArrow;
    arrow.points = {part.at + 2.2 * from, part.at + 1.1 * from};
    if (f.guides.size() < 8) f.guides.push_back(std::move(arrow));
  }
  const double clock = std::fmod((off ? of_rest : one).azimuth / kDegree / 30.0 + 3.0 + 24.0, 12.0);
  f.why = Say("Lightness was read across {} parts from contour to contour; a light from about {:.0f} o'clock suits most of them",
              parts.size(), clock < 0.5 ? 12.0 : clock);
  if (off) {
    for (const Lit* part : shaded_arms) {
      names.push_back(part->spoken);
      f.where.points.push_back(part->at);
    }
    f.verdict = Verdict::kOff;
    f.title = Say("Light from two places");
    f.gain = 4.0;
    f.why += Say(", but not these: {}.", body_check::List(names));
    f.remedy = {RemedyWay::kRepaint, 10.0 * static_cast<double>(shaded_arms.size()),
                Say("Turn the shadows of the parts named, or declare the second light.")};
  } else {
    f.why += Say(", and none is lit from the other side.");
  }
  body_check::Finish(facts, rests_on, f);
  out.push_back(std::move(f));
}

}  // namespace armslength::surface_check
