#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include <Eigen/Geometry>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/lit_parts.h"
#include "words/say.h"

// One light must explain all parts; a light of the arms' own must not do so much better.
namespace armslength::surface_check {
namespace {

using body_check::kDegree;
using P = PointId;

constexpr std::size_t kFewest = 3, kEnough = 5;  // parts that speak: to ask at all, and shaded ones to say that all agree
// What a light of their own for the arms must explain, sum of (angle off / sd)^2: set on drawn figures in poses of all
// kinds with one light (seeds from 7300001 and 7310001); below the other no second light is in sight.
constexpr double kTwoLights = 8.5, kOneLight = 2.0;
constexpr double kMisread = 0.05;  // of the parts: then any light is as likely

// Lights tried: round the clock, and from nearly beside to nearly before the figure.
constexpr std::array kHeights{0.1, 0.3, 0.5, 0.75, 1.1, 1.6};  // towards the viewer over across the picture
constexpr double kMostCost = 9.0, kMostFlat = 4.0;             // of one part; a part without shadow may only be left unshaded

struct Light {
  double cost = 1e18;    // sum over the parts of (angle off / sd)^2
  double azimuth = 0.0;  // middle of those that suit about as well, rad
};

double Cost(const LitPart& part, const Vec3& light) {
  const double off = std::remainder(std::atan2(part.across.dot(light), part.towards.dot(light)) - part.angle, 2 * std::numbers::pi);
  return std::min(part.flat ? kMostFlat : kMostCost, off * off / (part.sd * part.sd));
}

Light Fit(const std::vector<const LitPart*>& parts) {
  std::vector<std::pair<double, double>> tried;  // cost, azimuth
  Light best;
  for (std::size_t k = 0; k < kLights; ++k)
    for (const double height : kHeights) {
      const double azimuth = 2 * std::numbers::pi * static_cast<double>(k) / kLights;
      double cost = 0;
      for (const LitPart* part : parts) cost += Cost(*part, Vec3(std::cos(azimuth), std::sin(azimuth), -height));
      tried.emplace_back(cost, azimuth);
      best.cost = std::min(best.cost, cost);
    }
  Vec2 sum = Vec2::Zero();
  for (const auto& [cost, azimuth] : tried) sum += std::exp(-0.5 * (cost - best.cost)) * Vec2(std::cos(azimuth), std::sin(azimuth));
  best.azimuth = std::atan2(sum.y(), sum.x());
  return best;
}

// How likely each light is by this part alone, whatever its height.
LitLimb AsLimb(const LitPart& part) {
  LitLimb limb{part.from, part.to, part.half_px, IsArm(part.bone), {}};
  double sum = 0;
  for (std::size_t k = 0; k < kLights; ++k) {
    const double azimuth = 2 * std::numbers::pi * static_cast<double>(k) / kLights;
    for (const double height : kHeights) limb.likely[k] += std::exp(-0.5 * Cost(part, Vec3(std::cos(azimuth), std::sin(azimuth), -height)));
    sum += limb.likely[k];
  }
  for (double& p : limb.likely) p = std::log((1 - kMisread) * p * static_cast<double>(kLights) / sum + kMisread);
  return limb;
}

// One light for all, or the arms' own?
void Judge(const body_check::BodyFacts& facts, const std::vector<LitPart>& parts, std::vector<Finding>& out) {
  std::vector<const LitPart*> all, arms, rest, shaded_arms;
  std::size_t shaded = 0;
  for (const LitPart& part : parts) {
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
  for (const LitPart& part : parts) {
    rests_on.insert(rests_on.end(), part.rests_on.begin(), part.rests_on.end());
    if (part.flat) continue;
    const Vec2 from = part.half_px * (part.angle > 0 ? 1.0 : -1.0) * part.across.head<2>();
    GuideShape arrow;
    arrow.role = GuideShape::Role::kArrow;
    arrow.points = {part.Middle() + 2.2 * from, part.Middle() + 1.1 * from};
    if (f.guides.size() < 8) f.guides.push_back(std::move(arrow));
  }
  const double clock = std::fmod((off ? of_rest : one).azimuth / kDegree / 30.0 + 3.0 + 24.0, 12.0);
  f.why = Say("Lightness was read across {} parts from contour to contour; a light from about {:.0f} o'clock suits most of them",
              parts.size(), clock < 0.5 ? 12.0 : clock);
  if (off) {
    for (const LitPart* part : shaded_arms) {
      names.push_back(part->spoken);
      f.where.points.push_back(part->Middle());
    }
    f.verdict = Verdict::kOff;
    f.title = Say("Arms lit from another side");
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

}  // namespace

std::vector<LitLimb> CheckPartLight(const body_check::BodyFacts& facts, const Silhouette& silhouette, const Picture& picture,
                                    std::vector<Finding>& out) {
  const std::vector<LitPart> parts = ReadLitParts(facts, silhouette, picture.image);
  Judge(facts, parts, out);
  std::vector<LitLimb> limbs;
  for (const LitPart& part : parts) limbs.push_back(AsLimb(part));
  return limbs;
}

}  // namespace armslength::surface_check
