#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include <Eigen/Dense>

#include "bench/surface_truth.h"
#include "geometry/polygon.h"
#include "marks/names.h"
#include "synth/worn.h"

// Whether a drawing's view shows its fault at all: decided from the true joints and from what the fault does to the
// drawn outline, never from what the checks say.
namespace armslength::bench {

// Errors at which a pose is known from marks: canons of drawn figures spread by 3 % in length.
inline constexpr double kMarkSigma = 0.01, kLengthSpread = 0.03;
// How far rings lie from square to their part on sound drawings (cloth, bent spine), one sd.
inline constexpr double kRingSlack = 7.0 * M_PI / 180;

inline Vec3 TrueJoint(const WornFigure& worn, PointId id) { return worn.truth.joints[static_cast<std::size_t>(id)]; }

// The bulge a ring may differ by for no fault of its own: the tilt of a part of true length `length` told by its
// foreshortening, and the slack.
inline double BowSd(const Vec3& from, const Vec3& to, const BodyCamera& camera) {
  const Vec3 axis = to - from;
  const double length = axis.norm();
  const double along = std::abs(axis.dot(surface_check::Sight(camera, 0.5 * (from + to)))) / length;
  const double seen = std::sqrt(std::max(0.0, 1.0 - along * along));
  const double square = 2.0 * seen * std::hypot(std::sqrt(2.0) * kMarkSigma / length, seen * kLengthSpread);
  const double tilt = std::min(square / (2.0 * std::max(along, 1e-6)), std::sqrt(square));
  return std::hypot(tilt, kRingSlack * seen);
}

// `times` the bow is the fault: 1 drawn straight, 2 the wrong way. Shown when that is the tolerance and two such spreads.
inline bool RingShown(const WornFigure& worn, const WornFigure& sound, const Finding& finding, double times) {
  const Ring* ring = nullptr;
  for (const Ring& r : worn.marks.rings)
    if (finding.id == "cloth.ring." + r.name) ring = &r;
  if (!ring) return false;
  // Which way a limb leans, one view does not tell: only its depth flag does.
  if (const auto bone = BoneFromName(ring->around); times > 1.5 && bone && ring->around != "neck" && ring->around != "trunk") {
    const auto flag = worn.marks.depth.find(*bone);
    if (flag == worn.marks.depth.end() || flag->second == Depth::kFlat) return false;
  }
  const auto at = [&](PointId id) { return TrueJoint(worn, id); };
  const Vec3 hips = 0.5 * (at(PointId::kHipL) + at(PointId::kHipR));
  double sd = 0.0;
  if (ring->name == "hem")
    sd = BowSd(hips, 0.5 * (at(PointId::kKneeL) + at(PointId::kKneeR)), worn.truth.camera);
  else if (const auto bone = BoneFromName(ring->around); bone && ring->around != "neck" && ring->around != "trunk")
    sd = BowSd(at(Ends(*bone).from), at(Ends(*bone).to), worn.truth.camera);
  else
    sd = BowSd(hips, at(PointId::kNeckPit), worn.truth.camera);
  return times * TrueBow(sound, finding) > 0.10 + 2.0 * sd;
}

// A print pasted flat shows when no cloth of any cut and spacing, laid round a form that leans as the true one to within
// two such spreads, comes near it: the best such cloth's lines still stand off the drawn ones by kLineOff of the spacing
// (rms over the outlined piece), and kRepeats of them or more fit in. A part that points at the viewer (cosine above kEndOn)
// shows too little of its length. Of checks, one of the two families is enough.
inline constexpr double kLineOff = 0.04, kRepeats = 2.0, kEndOn = 0.9;

inline bool PrintShown(const WornFigure& worn, const Finding& finding) {
  const Area* area = AreaOf(worn.marks, finding.id, "pattern");
  if (!area) return false;
  const std::string part = area->name.starts_with("stripes")   ? "sleeves"
                           : area->name.starts_with("trouser") ? "legs"
                           : area->name.starts_with("shirt")   ? "trunk"
                                                               : "skirt";
  const auto print = worn.costume.patterns.find(part);
  const TrueForm form = FormUnder(worn, *area);
  if (print == worn.costume.patterns.end() || std::abs(form.bow) > kEndOn * form.flat) return false;
  const auto tube = surface_check::TubularOf(area->outline, form.dir);
  if (!tube) return false;
  const double half = tube->half_width_px, spacing = print->second.spacing * worn.truth.camera.scale_px;
  const double spread = 2.0 * form.flat * BowSd(form.low, form.high, worn.truth.camera);
  for (int family = 0; family < (print->second.check ? 2 : 1); ++family) {
    const double slant = (print->second.slant_deg + 90.0 * family) * M_PI / 180;
    const Vec2 wave = Vec2(-std::sin(slant), std::cos(slant)) / spacing;  // turns per px
    const double along = wave.dot(tube->dir), across = wave.dot(tube->across);
    const double repeats = std::abs(along) * (tube->high_px - tube->low_px) + std::abs(across) * 1.8 * half;
    if (repeats < kRepeats) continue;
    double least = 1e9;
    for (int b = -4; b <= 4; ++b) {
      const double bow = form.bow + spread * b / 4.0;
      Eigen::Matrix<double, 4, 4> moments = Eigen::Matrix<double, 4, 4>::Zero();
      constexpr int kSteps = 12;
      for (int i = 0; i < kSteps; ++i)
        for (int j = 0; j < kSteps; ++j) {
          const double t = tube->low_px + (i + 0.5) / kSteps * (tube->high_px - tube->low_px), u = 0.9 * (2.0 * (j + 0.5) / kSteps - 1.0);
          const Eigen::Vector4d x(t - bow * half * std::sqrt(1.0 - u * u), half * std::asin(u), 1.0, along * t + across * half * u);
          moments += x * x.transpose() / (kSteps * kSteps);
        }
      const Eigen::Vector3d with = moments.topRightCorner<3, 1>();
      least = std::min(least, moments(3, 3) - with.dot(moments.topLeftCorner<3, 3>().ldlt().solve(with)));
    }
    if (std::sqrt(std::max(0.0, least)) > kLineOff) return true;
  }
  return false;
}

// Of the parallel folds so many are seen under the outline, each over so much of its length: the picture differs there from
// the same drawing without any.
inline constexpr int kFoldsSeen = 4;
inline constexpr double kFoldSeen = 0.6;

inline bool FoldsShown(const WornFigure& worn, const WornFigure& sound, const Finding& finding) {
  const Area* area = AreaOf(worn.marks, finding.id, "folds");
  if (!area) return false;
  const ImageRgba8 &drawn = worn.picture.image, &without = sound.picture.image;
  const auto inked = [&](const Vec2& at) {
    for (int dy = -2; dy <= 2; ++dy)
      for (int dx = -2; dx <= 2; ++dx) {
        const int x = static_cast<int>(at.x()) + dx, y = static_cast<int>(at.y()) + dy;
        if (x < 0 || y < 0 || x >= std::min(drawn.width, without.width) || y >= std::min(drawn.height, without.height)) continue;
        if (drawn.At(x, y)[1] + 24 < without.At(x, y)[1]) return true;
      }
    return false;
  };
  int seen = 0;
  for (const FaultSite& site : worn.sites) {
    if (site.what != "fold") continue;
    int inside = 0;
    constexpr int kPlaces = 21;
    for (int i = 0; i < kPlaces; ++i) {
      const Vec2 at = site.at + (i / (kPlaces - 1.0) - 0.5) * 0.9 * site.size_px * site.along;
      inside += Contains(area->outline, at) && inked(at);
    }
    seen += inside > kFoldSeen * kPlaces;
  }
  return seen >= kFoldsSeen;
}

// From a place in an outline to its edge on either side.
struct TrueCut {
  double left = 0.0, right = 0.0;  // right: along the given way, px
  [[nodiscard]] double Width() const { return left + right; }
};

inline std::optional<TrueCut> CutAt(const WornFigure& worn, const Vec2& at, const Vec2& way) {
  const Area* figure = nullptr;
  for (const Area& area : worn.marks.areas)
    if (area.kind == "figure") figure = &area;
  if (!figure) return std::nullopt;
  const Vec2 across(-way.y(), way.x());
  TrueCut cut{1e9, 1e9};
  int beyond = 0;
  for (std::size_t i = 0, j = figure->outline.size() - 1; i < figure->outline.size(); j = i++) {
    const Vec2 a = figure->outline[j] - at, b = figure->outline[i] - at;
    const double u = a.dot(across), v = b.dot(across);
    if ((u > 0) == (v > 0)) continue;
    const double s = (a + u / (u - v) * (b - a)).dot(way);
    if (s > 0) {
      ++beyond;
      cut.right = std::min(cut.right, s);
    } else {
      cut.left = std::min(cut.left, -s);
    }
  }
  if (beyond % 2 == 0 || cut.left > 1e8) return std::nullopt;  // outside
  return cut;
}

inline std::pair<Vec2, Vec2> BonePx(const WornFigure& worn, BoneId bone) {
  return {worn.truth.camera.Project(TrueJoint(worn, Ends(bone).from)), worn.truth.camera.Project(TrueJoint(worn, Ends(bone).to))};
}

// Share of the cuts across a bone whose width changes by `log_ratio` between two drawings, to within a third of it: there the
// outline is the limb's own on both sides.
inline double OwnOutline(const WornFigure& thin, const WornFigure& sound, BoneId bone, double log_ratio, double t0 = 0.30,
                         double t1 = 0.72) {
  const auto [a, b] = BonePx(sound, bone);
  const Vec2 way = Vec2(-(b - a).y(), (b - a).x()).normalized();
  int own = 0;
  constexpr int kCuts = 9;
  for (int i = 0; i < kCuts; ++i) {
    const Vec2 at = a + (t0 + (t1 - t0) * i / (kCuts - 1)) * (b - a);
    const auto before = CutAt(sound, at, way), after = CutAt(thin, at, way);
    own += before && after && std::abs(std::log(after->Width() / before->Width()) - log_ratio) < 0.33 * std::abs(log_ratio);
  }
  return static_cast<double>(own) / kCuts;
}

// How thick the legs' own outline is over what is usual for the bones' true length (shin a quarter of it, thigh three eighths),
// the thinnest of the four pieces that the outline shows; 1 when it shows none.
inline double TrueLegs(const WornFigure& worn, const WornFigure& sound, double log_ratio) {
  double least = 1.0;
  for (const auto& [bone, usual] :
       {std::pair{BoneId::kShinL, 0.25}, {BoneId::kShinR, 0.25}, {BoneId::kThighL, 0.38}, {BoneId::kThighR, 0.38}}) {
    if (OwnOutline(worn, sound, bone, log_ratio) < 0.7) continue;
    const auto [a, b] = BonePx(worn, bone);
    const Vec2 way = Vec2(-(b - a).y(), (b - a).x()).normalized();
    const Vec3 from = TrueJoint(worn, Ends(bone).from), to = TrueJoint(worn, Ends(bone).to);
    double sum = 0.0;
    int n = 0;
    for (int i = 0; i < 9; ++i) {
      const double t = 0.30 + 0.42 * i / 8.0;
      const auto cut = CutAt(worn, a + t * (b - a), way);
      if (!cut) continue;
      sum += cut->Width() * (1.0 + worn.truth.camera.inverse_distance * (from.z() + t * (to.z() - from.z()))) / worn.truth.camera.scale_px;
      ++n;
    }
    if (n > 0) least = std::min(least, sum / n / (to - from).norm() / usual);
  }
  return least;
}

// A limb's lower piece is drawn beside: both edges move by `shift_px` (in the picture) over most of t0..t1, at
// least twice the tolerance of a fifth of its width there, and the piece above is its own outline.
inline bool ShiftShown(const WornFigure& worn, const WornFigure& sound, const WornFigure& thin, BoneId bone, double thin_log,
                       const Vec2& shift_px, double t0, double t1, double above0, double above1) {
  const auto [a, b] = BonePx(sound, bone);
  const Vec2 way = Vec2(-(b - a).y(), (b - a).x()).normalized();
  const double by = shift_px.dot(way);
  int moved = 0;
  constexpr int kCuts = 7;
  for (int i = 0; i < kCuts; ++i) {
    const Vec2 at = a + (t0 + (t1 - t0) * i / (kCuts - 1)) * (b - a);
    const auto before = CutAt(sound, at, way);
    const auto after = before ? CutAt(worn, at + 0.5 * by * way, way) : std::nullopt;
    if (!before || !after || std::abs(by) < 0.4 * before->Width()) continue;
    const double right = after->right + 0.5 * by - before->right, left = before->left - (after->left - 0.5 * by);
    moved += std::abs(right - by) < 0.3 * std::abs(by) && std::abs(left - by) < 0.3 * std::abs(by);
  }
  return moved >= 5 && OwnOutline(thin, sound, bone, thin_log, above0, above1) > 0.7;
}

// How much the outline over the toes against that over the instep changes, log, along the true foot.
inline double ShoeChange(const WornFigure& brick, const WornFigure& sound, bool left) {
  const auto side = static_cast<std::size_t>(left ? 0 : 1);
  const Vec3 ankle = TrueJoint(sound, left ? PointId::kAnkleL : PointId::kAnkleR),
             toe = TrueJoint(sound, left ? PointId::kToeL : PointId::kToeR);
  const Axes& axes = sound.truth.body.foot[side];
  const double rise = (ankle - toe).dot(axes.col(1));
  const BodyCamera& camera = sound.truth.camera;
  const auto height = [&](const WornFigure& worn, double t) {
    const Vec3 base = ankle + t * (toe - ankle) - (1.0 - t) * rise * axes.col(1);
    const Vec2 low = camera.Project(base), high = camera.Project(base + rise * axes.col(1));
    if ((high - low).norm() < 4.0) return 0.0;
    const auto cut = CutAt(worn, low + 0.4 * (high - low), (high - low).normalized());
    return cut && cut->Width() < 4.0 * (high - low).norm() ? cut->Width() : 0.0;
  };
  const auto profile = [&](const WornFigure& worn) {
    std::array<double, 2> sum{};
    for (const double d : {-0.06, 0.0, 0.06}) {
      const double near = height(worn, 0.52 + d), far = height(worn, 0.86 + d);
      if (near <= 0.0 || far <= 0.0) return std::optional<double>();
      sum[0] += near;
      sum[1] += far;
    }
    return std::optional<double>(std::log(sum[1] / sum[0]));
  };
  const auto a = profile(brick), b = profile(sound);
  return a && b ? *a - *b : 0.0;
}

// How far a fastening's place between the trunk's edges scatters on sound drawings, half-widths, and how far collars hang askew.
inline constexpr double kPlaceSd = 0.045, kCollarSd = 6.0 * M_PI / 180, kCollarSlope = 21.0 * M_PI / 180;
// 2 % false alarms and 90 % found need so many spreads between a fault and none.
inline constexpr double kTellable = 3.6;

// Whether no arm comes near the trunk at the height of any fastening, so that the outline there is the trunk's own.
inline bool TrunkOwnOutline(const WornFigure& worn) {
  const auto px = [&](PointId id) { return worn.truth.camera.Project(TrueJoint(worn, id)); };
  const Vec2 low = 0.5 * (px(PointId::kHipL) + px(PointId::kHipR)), pit = px(PointId::kNeckPit), up = (pit - low).normalized();
  const Vec2 right(-up.y(), up.x());
  const double unit = worn.truth.camera.scale_px;
  return std::any_of(worn.marks.centre_front.begin(), worn.marks.centre_front.end(), [&](const NamedPoint& point) {
    const double height = (point.at - low).dot(up) / (pit - low).norm();
    if (height < 0.1 || height > 0.75) return false;
    const Vec2 at = low + height * (pit - low);
    for (const auto& [from, to] : {std::pair{PointId::kElbowL, PointId::kShoulderL},
                                   {PointId::kElbowL, PointId::kWristL},
                                   {PointId::kElbowR, PointId::kShoulderR},
                                   {PointId::kElbowR, PointId::kWristR}})
      for (int i = 0; i <= 15; ++i) {  // the shoulder itself is the trunk's
        const Vec2 p = px(from) + i / 20.0 * (px(to) - px(from)) - at;
        if (std::abs(p.dot(up)) < 0.06 * unit && std::abs(p.dot(right)) < 0.16 * unit) return false;
      }
    return true;
  });
}

// Whether any other turn of the same trunk would put fastenings on the centre front where these are drawn `shift` chest widths off it:
// shown when each such turn contradicts the place of the fastening, the seen widths of shoulders and hips, or the collar.
inline bool FrontShown(const WornFigure& worn, const WornFigure& sound, double shift, double length_spread, bool collar) {
  if (worn.marks.centre_front.empty() || sound.marks.centre_front.empty()) return false;
  const auto at = [&](PointId id) { return TrueJoint(sound, id); };
  const Vec3 hips = at(PointId::kHipL) - at(PointId::kHipR), shoulders = at(PointId::kShoulderL) - at(PointId::kShoulderR);
  const Vec3 low = 0.5 * (at(PointId::kHipL) + at(PointId::kHipR)), up = (at(PointId::kNeckPit) - low).normalized();
  const Vec3 sight = surface_check::Sight(sound.truth.camera, at(PointId::kNeckPit));
  const Vec3 right = sight.cross(up).normalized();
  const auto turn_of = [&](const Axes& axes) { return std::atan2(axes.col(0).dot(sight), axes.col(2).dot(sight)); };
  const double turn = turn_of(sound.truth.body.waist), chest = turn_of(sound.truth.body.chest);
  // Which side they went, as drawn.
  double side = 0.0;
  for (const NamedPoint& p : worn.marks.centre_front)
    for (const NamedPoint& q : sound.marks.centre_front)
      if (p.name == q.name) side += (p.at - q.at).dot(right.head<2>());
  const double off = std::asin(std::clamp(2.0 * std::copysign(shift, side), -0.95, 0.95));
  const auto place = [](double angle, double turned) { return std::sin(angle + std::atan2(0.8 * std::sin(turned), std::cos(turned))); };
  double least = 1e9;
  for (int degrees = -75; degrees <= 75; ++degrees) {
    const double other = degrees * M_PI / 180, by = other - turn;
    double square = std::pow((place(off, turn) - place(0.0, other)) / kPlaceSd, 2);
    for (const Vec3& line : {hips, shoulders}) {
      const double across = line.dot(right), deep = line.dot(up.cross(right));
      const double then = across * std::cos(by) - deep * std::sin(by);
      square += std::pow((then - across) / std::hypot(std::sqrt(2.0) * kMarkSigma, length_spread * across), 2);
    }
    if (collar) {
      const auto tilt = [](double turned) { return std::atan(std::tan(kCollarSlope) * std::sin(turned)); };
      square += std::pow((tilt(chest + by) - tilt(chest)) / kCollarSd, 2);
    }
    least = std::min(least, square);
  }
  return least > kTellable * kTellable;
}

// How exactly a fastening lies on its line on sound drawings, parts of stature: the mark, the sewing, bends that no smooth line follows.
inline constexpr double kOnLineSd = 0.0025;

// Whether the one fastening that was moved lies plainly beside a smooth line through the others on the trunk: bent where four or more
// are left, straight where fewer are, as sure as their places along the trunk make it, and further than it lies on the sound drawing of
// this view (a chest seen turned bulges sideways).
inline bool OneShown(const WornFigure& worn, const WornFigure& sound) {
  const auto px = [&](PointId id) { return sound.truth.camera.Project(TrueJoint(sound, id)); };
  const Vec2 low = 0.5 * (px(PointId::kHipL) + px(PointId::kHipR)), pit = px(PointId::kNeckPit), up = (pit - low).normalized();
  const Vec2 right(-up.y(), up.x());
  const auto place = [&](const Vec2& p) -> Vec2 {
    return {(p - low).dot(up) / (pit - low).norm(), (p - low).dot(right) / sound.truth.camera.scale_px};
  };
  std::vector<Vec2> others;  // height, across
  double moved = 0.0;
  Vec2 at = Vec2::Zero();
  for (const NamedPoint& p : worn.marks.centre_front)
    for (const NamedPoint& q : sound.marks.centre_front) {
      if (p.name != q.name) continue;
      if ((p.at - q.at).norm() > 0.1) {
        moved = (p.at - q.at).dot(right) / sound.truth.camera.scale_px;
        at = place(q.at);
      } else if (place(q.at).x() > -0.1) {
        others.push_back(place(q.at));
      }
    }
  const int terms = others.size() >= 4 ? 3 : 2;
  if (moved == 0.0 || static_cast<int>(others.size()) < terms) return false;
  const auto powers = [&](double h) {
    Eigen::VectorXd v(terms);
    for (int k = 0; k < terms; ++k) v[k] = std::pow(h, k);
    return v;
  };
  Eigen::MatrixXd normal = Eigen::MatrixXd::Zero(terms, terms);
  Eigen::VectorXd seen = Eigen::VectorXd::Zero(terms);
  for (const Vec2& p : others) {
    normal += powers(p.x()) * powers(p.x()).transpose();
    seen += p.y() * powers(p.x());
  }
  const auto solve = normal.ldlt();
  const double leverage = powers(at.x()).dot(solve.solve(powers(at.x()))), beside = at.y() - powers(at.x()).dot(solve.solve(seen));
  const double sd = kOnLineSd * std::sqrt(1.0 + leverage), bulge = std::max(0.0, std::abs(beside) - 2.0 * sd);
  return std::abs(moved) > kTellable * sd + bulge;
}

}  // namespace armslength::bench
