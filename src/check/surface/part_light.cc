#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <vector>

#include "check/body/guides.h"
#include "check/pixels/context.h"
#include "check/surface/families.h"
#include "check/surface/limb_contour.h"
#include "colour/spaces.h"
#include "words/say.h"

namespace armslength::surface_check {
namespace {

using body_check::kDegree;
using P = PointId;

constexpr int kStations = 24;             // rows along a part, clear of its joints
constexpr int kAcross = 13;               // samples of a row, odd
constexpr double kWithin = 0.82;          // of the half-width: the contour's line is no shading
constexpr double kLeastSlope = 2.5;       // L* per half-width; less is a tint, not a light. Default, editable
constexpr double kMostStep = 45.0;        // L* between a row's halves; more is paint, not shadow
constexpr double kSame = 0.10;            // OKLab a, b over L between a row's halves; more is another colour
constexpr double kSure = 3.0;             // sd of a part's slope
// A part shaded as strongly as most shows a light no farther than this from straight across it; one hardly
// shaded may be lit along its length. Defaults, editable.
constexpr double kStrongDeg = 65.0, kWeakDeg = 90.0;
constexpr double kContraryDeg = 20.0;     // a part counts as contrary when the light would have to turn by more
constexpr std::size_t kFewest = 4, kEnough = 6;  // parts that speak: to ask at all, to say that all agree

struct Lit {
  std::string spoken;
  std::vector<P> rests_on;
  Vec2 at = Vec2::Zero();       // middle, px
  Vec2 across = Vec2::UnitX();  // unit, towards the light side
  double half_px = 0.0;
  double slope = 0.0;           // L* per half-width, > 0
  bool dark_outside = false;    // the shadow lies away from the trunk, where neither it nor its cast shadow reaches
};

struct Row {
  double slope = 0.0, step = 0.0, da = 0.0, db = 0.0;
};

std::optional<Row> ReadRow(const ImageRgba8& image, const Vec2& left, const Vec2& right) {
  std::array<Oklab, kAcross> tone;
  std::array<double, kAcross> light{};
  for (int k = 0; k < kAcross; ++k) {
    const double u = static_cast<double>(k) / (kAcross - 1);
    const Vec2 p = left + u * (right - left);
    const int x = static_cast<int>(std::floor(p.x())), y = static_cast<int>(std::floor(p.y()));
    if (x < 0 || y < 0 || x >= image.width || y >= image.height) return std::nullopt;
    const std::uint8_t* c = image.At(x, y);
    if (c[3] < 128) return std::nullopt;
    tone[static_cast<std::size_t>(k)] = ToOklab(Rgb8{c[0], c[1], c[2]});
    light[static_cast<std::size_t>(k)] = ToLab(Rgb8{c[0], c[1], c[2]}).L;
  }
  // A drawn line within the row (a fold, a seam) is darker than both its neighbours: leave it out.
  std::array<bool, kAcross> use;
  use.fill(true);
  for (std::size_t k = 1; k + 1 < kAcross; ++k)
    use[k] = !(light[k] < light[k - 1] - 12.0 && light[k] < light[k + 1] - 12.0);
  double n = 0, su = 0, sl = 0, suu = 0, sul = 0;
  std::array<double, 2> mean{}, a{}, b{}, count{};
  for (std::size_t k = 0; k < kAcross; ++k) {
    if (!use[k]) continue;
    const double u = 2.0 * static_cast<double>(k) / (kAcross - 1) - 1.0;
    n += 1, su += u, sl += light[k], suu += u * u, sul += u * light[k];
    if (u == 0.0) continue;
    const std::size_t side = u > 0;
    const double l = std::max(0.08, tone[k].L);
    mean[side] += light[k], a[side] += tone[k].a / l, b[side] += tone[k].b / l, count[side] += 1;
  }
  if (count[0] < 3 || count[1] < 3) return std::nullopt;
  for (std::size_t side = 0; side < 2; ++side) mean[side] /= count[side], a[side] /= count[side], b[side] /= count[side];
  return Row{(sul - su * sl / n) / (suu - su * su / n), mean[1] - mean[0], a[1] - a[0], b[1] - b[0]};
}

// What a part between two places shows of a light across itself. Nothing when its contour is not free on
// both sides, when it is not shaded, or when its halves are of different colour.
std::optional<Lit> ReadPart(const ImageRgba8& image, const Silhouette& silhouette, const Vec2& a, const Vec2& b, double most_px) {
  const double length = (b - a).norm();
  if (length < 24.0) return std::nullopt;
  const Vec2 dir = (b - a) / length, across(-dir.y(), dir.x());
  std::vector<double> slopes, steps, da, db, halves;
  for (int i = 0; i < kStations; ++i) {
    const double t = 0.18 + 0.64 * i / (kStations - 1);
    const Vec2 at = a + t * (b - a);
    const auto edges = EdgesAcross(silhouette, at, across, most_px);
    if (!edges || edges->right + edges->left < 8.0) continue;
    const Vec2 middle = at + 0.5 * (edges->right - edges->left) * across;
    const double half = 0.5 * (edges->right + edges->left);
    const auto row = ReadRow(image, middle - kWithin * half * across, middle + kWithin * half * across);
    if (!row) continue;
    slopes.push_back(row->slope / kWithin);
    steps.push_back(row->step);
    da.push_back(row->da);
    db.push_back(row->db);
    halves.push_back(half);
  }
  if (slopes.size() < kStations / 2) return std::nullopt;
  const double slope = Median(slopes);
  std::vector<double> off;
  for (const double s : slopes) off.push_back(std::abs(s - slope));
  // Neighbouring rows see the same paint: about a third of them are worth counting.
  const double sd = 1.4826 * Median(off) / std::sqrt(static_cast<double>(slopes.size()) / 3.0);
  if (std::abs(slope) < kLeastSlope || std::abs(slope) < kSure * sd) return std::nullopt;
  if (std::abs(Median(steps)) > kMostStep || std::hypot(Median(da), Median(db)) > kSame) return std::nullopt;
  Lit lit;
  lit.at = 0.5 * (a + b);
  lit.across = slope > 0 ? across : Vec2(-across);
  lit.slope = std::abs(slope);
  lit.half_px = Median(halves);
  return lit;
}

constexpr std::array kParts{BoneId::kUpperArmL, BoneId::kUpperArmR, BoneId::kForearmL, BoneId::kForearmR, BoneId::kThighL,
                            BoneId::kThighR,    BoneId::kShinL,     BoneId::kShinR,    BoneId::kTrunk};
constexpr double kMostTrunk = 0.16;  // as MostHalfWidth

std::vector<Lit> ReadParts(const BodyFacts& facts, const Silhouette& silhouette, const ImageRgba8& image) {
  std::vector<Lit> lit;
  const Vec2 hips = 0.5 * (facts.Px(P::kHipL) + facts.Px(P::kHipR));
  const Vec2 core = 0.5 * (hips + facts.Px(P::kNeckPit));
  for (const BoneId bone : kParts) {
    if (!facts.BoneMarked(bone)) continue;
    const BoneEnds ends = Ends(bone);
    const bool trunk = bone == BoneId::kTrunk;
    const Vec2 a = facts.Px(trunk ? P::kNeckPit : ends.from), b = trunk ? hips : facts.Px(ends.to);
    const double most = (trunk ? kMostTrunk : MostHalfWidth(bone)) * facts.PxPerStature(facts.Joint(trunk ? P::kNeckPit : ends.to).at.z());
    auto one = ReadPart(image, silhouette, a, b, most);
    if (!one) continue;
    one->spoken = SaidName(bone);
    one->rests_on = body_check::PointsOf(bone);
    one->dark_outside = !trunk && one->across.dot(core - one->at) > 0;
    lit.push_back(std::move(*one));
  }
  return lit;
}

// Degrees by which a light at `azimuth` would have to turn before this part were lit as it is.
double TurnNeeded(const Lit& part, double usual_slope, double azimuth) {
  const double agree = part.across.x() * std::cos(azimuth) + part.across.y() * std::sin(azimuth);
  const double between = std::acos(std::clamp(agree, -1.0, 1.0)) / kDegree;
  const double strength = std::min(1.0, part.slope / usual_slope);
  return std::max(0.0, between - (kWeakDeg - (kWeakDeg - kStrongDeg) * strength));
}

}  // namespace

void CheckPartLight(const BodyFacts& facts, const Silhouette& silhouette, const Picture& picture, std::vector<Finding>& out) {
  const std::vector<Lit> parts = ReadParts(facts, silhouette, picture.image);
  if (parts.size() < kFewest) return;
  std::vector<double> slopes;
  for (const Lit& part : parts) slopes.push_back(part.slope);
  const double usual = Median(slopes);
  double best = 0.0, least = 1e18;
  for (int k = 0; k < 72; ++k) {
    const double azimuth = 5.0 * k * kDegree;
    double sum = 0.0;
    for (const Lit& part : parts) sum += std::min(60.0, TurnNeeded(part, usual, azimuth));
    // Of lights that suit as well, the one that most parts face.
    for (const Lit& part : parts) sum -= 1e-3 * (part.across.x() * std::cos(azimuth) + part.across.y() * std::sin(azimuth));
    if (sum < least) least = sum, best = azimuth;
  }
  std::vector<const Lit*> contrary;
  bool outside = false;
  for (const Lit& part : parts)
    if (TurnNeeded(part, usual, best) > kContraryDeg) {
      contrary.push_back(&part);
      outside = outside || part.dark_outside;
    }
  Finding f = body_check::Start(facts, "value.light.parts", Say("Limbs and trunk lit from one side"), Kind::kCraft, Verdict::kClear);
  f.stage = Stage::kShading;
  f.measured = static_cast<double>(contrary.size());
  f.expected = 0.0;
  f.tolerance = 1.0;
  f.unit = "parts";
  f.test = "parts whose light side no one light explains within 20 degrees";
  f.smallest_visible = 2.0;
  f.source = Say("20 degrees, two parts: default, editable");
  std::vector<P> rests_on;
  std::vector<std::string> names;
  for (const Lit& part : parts) {
    GuideShape arrow;
    arrow.role = GuideShape::Role::kArrow;
    arrow.points = {part.at + 2.2 * part.half_px * part.across, part.at + 1.1 * part.half_px * part.across};
    if (f.guides.size() < 7) f.guides.push_back(std::move(arrow));
    rests_on.insert(rests_on.end(), part.rests_on.begin(), part.rests_on.end());
  }
  for (const Lit* part : contrary) {
    names.push_back(part->spoken);
    f.where.points.push_back(part->at);
  }
  const double clock = std::fmod(best / kDegree / 30.0 + 3.0 + 24.0, 12.0);
  f.why = Say("Lightness was read across {} parts from contour to contour; a light from about {:.0f} o'clock suits most of them",
              parts.size(), clock < 0.5 ? 12.0 : clock);
  // Both inner sides dark is the trunk's own shade, whatever the light: one outer side must be dark too.
  if (contrary.size() >= 2 && outside) {
    f.verdict = Verdict::kOff;
    f.title = Say("Light from two places");
    f.gain = 4.0;
    f.why += Say(", but the {} are lit from the other side.", body_check::List(names));
    f.remedy = {RemedyWay::kRepaint, 10.0 * static_cast<double>(contrary.size()),
                Say("Turn the shadows of the parts named, or declare the second light.")};
  } else if (contrary.empty()) {
    if (parts.size() < kEnough) return;  // too few to vouch for the rest
    f.why += Say(", and none is lit from the other side.");
  } else {
    f.verdict = Verdict::kCannotTell;
    f.why += Say("; the {} darkens the other way, which the body's own shade may do.", body_check::List(names));
    f.ask = Say("Look whether that shadow is cast by the body; if not, turn it.");
  }
  body_check::Finish(facts, rests_on, f);
  out.push_back(std::move(f));
}

}  // namespace armslength::surface_check
