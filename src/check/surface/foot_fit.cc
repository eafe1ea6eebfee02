#include "check/surface/foot_fit.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>
#include <opencv2/imgproc.hpp>

#include "check/surface/cover.h"

namespace armslength::surface_check {
namespace {

using body_check::BodyFacts;
using body_check::SeenJoint;
using P = PointId;

constexpr int kSize = Cover::kSize;
constexpr double kReach = 0.17;  // half the canvas, stature
// Shapes within a family differ by this along the contour, one sd, over about so many stretches that do so on their own. The best of
// each family is taken, not the mean over it: what was moved for it counts half. Set on seeds from 1520001.
constexpr double kContourSd = 0.002, kStretches = 8.0, kMoved = 0.5;
constexpr double kLeastSeen = 0.12;      // of the toe end's own contour, stature
constexpr double kLeastPixels = 6.0;     // of the silhouette, for the height of the ankle
constexpr double kFrom = 0.30;           // the toe end: from here, 0 below the ankle and 1 at the toe's mark
constexpr double kHeel = 0.34;           // behind the ankle, the same unit

// Feet and most shoes are wedges: near the toes about half to two thirds as high as at the instep, 0.4 of their length wide
// (figure-drawing handbooks draw the foot as a wedge; numbers common practice, default, editable). A block keeps the instep's height.
constexpr double kInstep = 1.35, kHalfWidth = 0.268, kToes = 0.55;  // ankle heights, parts of ankle to toe, of the instep
// One sd each: radians, logs, and a depth no looser than this, stature.
constexpr double kRollSd = 0.15, kRiseSd = 0.10, kWidthSd = 0.14, kInstepSd = 0.12, kLengthSd = 0.05, kToesSd = 0.13, kBlockSlope = 0.03,
                 kMostDepthSd = 0.06;

// A toe's mark well inside the drawn shoe: the end is tried so far past it, parts of ankle to toe.
constexpr std::array<double, 3> kBeyond{0.15, 0.30, 0.45};

enum Moved : std::size_t { kAnkleX, kAnkleY, kToeX, kToeY, kDepth, kRoll, kRise, kWidth, kHeight, kLength, kSlope, kCount };
using Values = std::array<double, kCount>;  // in spreads
// Where the search starts and how it narrows, spreads; so many are followed on.
constexpr double kStartDepth = 0.8, kWide = 0.8, kFiner = 0.6, kFinest = 0.15;
constexpr std::size_t kFollowed = 3;
struct Try {
  std::size_t up = 0;
  Values values{};
  double cost = 0.0;
};

// Half a section from side to side, by family: a block's is squarer.
constexpr std::size_t kRing = 8;
using Section = std::array<Vec2, kRing + 1>;
Section SectionOf(double exponent) {
  Section s;
  for (std::size_t k = 0; k <= kRing; ++k) {
    const double a = M_PI * static_cast<double>(k) / kRing;
    s[k] = {std::copysign(std::pow(std::abs(std::cos(a)), exponent), std::cos(a)), std::pow(std::max(0.0, std::sin(a)), exponent)};
  }
  return s;
}
const std::array<Section, 2> kSections{SectionOf(0.8), SectionOf(0.3)};

struct Frame {
  Vec3 under = Vec3::Zero(), sole = Vec3::UnitX(), up = Vec3::UnitY();  // on the sole below the ankle; unit
  double along = 0.0;                                                   // from there to the toe, stature
  [[nodiscard]] Vec3 At(double t) const { return under + t * along * sole; }
};

std::optional<Frame> FrameOf(const Vec3& ankle, const Vec3& toe, const Vec3& upright, double roll, double rise) {
  const Vec3 way = toe - ankle;
  const double length = way.norm();
  if (length < 1.3 * rise || way.cross(upright).norm() < 0.15 * length) return std::nullopt;
  const Vec3 d = way / length;
  const Vec3 across = Eigen::AngleAxisd(roll, d) * (upright - d * d.dot(upright)).normalized();
  const double tip = std::asin(std::min(rise / length, 0.7));
  Frame f;
  f.sole = std::cos(tip) * d + std::sin(tip) * across;
  f.up = std::cos(tip) * across - std::sin(tip) * d;
  f.under = ankle - rise * f.up;
  f.along = (toe - f.under).dot(f.sole);
  return f;
}

class Fit {
 public:
  Fit(const BodyFacts& facts, const Silhouette& silhouette, bool left)
      : facts_(facts),
        camera_(facts.Reading().camera),
        left_(left),
        ankle_(facts.Joint(left ? P::kAnkleL : P::kAnkleR)),
        toe_(facts.Joint(left ? P::kToeL : P::kToeR)) {
    const Canon& canon = facts.Reading().canon.canon;
    rise_ = canon.heads > 0 ? canon.sole_to_ankle / canon.heads : 0.039;
    // A standing foot is upright; a raised one rolls with its shin. Both are tried.
    ups_ = {facts.Up()};
    const P knee = left ? P::kKneeL : P::kKneeR;
    if (facts.Marked({knee})) ups_.push_back((facts.Joint(knee).at - ankle_.at).normalized());
    unit_px_ = facts.PxPerStature(ankle_.at.z());
    scale_ = kSize / (2.0 * kReach * unit_px_);
    origin_px_ = camera_.Project(Vec3(0.35 * ankle_.at + 0.65 * toe_.at)) - Vec2(kReach, kReach) * unit_px_;
    pixels_ = rise_ * unit_px_ / silhouette.PixelPx();
    for (int y = 0; y < kSize; ++y)
      for (int x = 0; x < kSize; ++x)
        if (silhouette.Covers(Picture({x, y}))) drawn_.at<std::uint8_t>(y, x) = 255;
    Ask();
  }

  std::optional<FootFit> Best() {
    if (pixels_ < kLeastPixels || seen_ < kLeastSeen * unit_px_ * scale_) return std::nullopt;
    FootFit out;
    for (const FootFit::Family family : {FootFit::kWedge, FootFit::kBlock}) {
      const Try best = Follow(family);
      if (best.cost >= kNone) return std::nullopt;
      out.cost[family] = best.cost;
      out.apart[family] = Apart(family, best.up, best.values);
      if (family == FootFit::kWedge && Draw(family, best.up, best.values, true)) out.wedge = Outline();
    }
    out.drawn = DrawnPlaces();
    out.past = Past();
    out.past_share = out.past * unit_px_ / std::max(1.0, (camera_.Project(toe_.at) - camera_.Project(ankle_.at)).norm());
    out.free_cost = out.cost;
    if (out.Nats() > 0.0 && out.GoesPast())
      for (const double beyond : kBeyond)
        for (const FootFit::Family family : {FootFit::kWedge, FootFit::kBlock}) {
          beyond_ = beyond;
          out.free_cost[family] = std::min(out.free_cost[family], Follow(family).cost);
        }
    return out;
  }

 private:
  static constexpr double kNone = 1e17;

  // One wide sweep from everywhere; only the best then are followed.
  Try Follow(FootFit::Family family) {
    const auto cheaper = [](const Try& x, const Try& y) { return x.cost < y.cost; };
    std::vector<Try> tries;
    for (std::size_t up = 0; up < ups_.size(); ++up)
      for (const double depth : {-kStartDepth, kStartDepth}) {
        Try t{up, {}, 0.0};
        t.values[kDepth] = depth;
        t.cost = Cost(family, up, t.values);
        Sweep(family, kWide, t);
        tries.push_back(t);
      }
    std::sort(tries.begin(), tries.end(), cheaper);
    tries.resize(std::min(tries.size(), kFollowed));
    for (Try& t : tries)
      for (double step = kWide * kFiner; step > kFinest; step *= kFiner) Sweep(family, step, t);
    return *std::min_element(tries.begin(), tries.end(), cheaper);
  }

  [[nodiscard]] Vec2 OnCanvas(const Vec2& px) const { return (px - origin_px_) * scale_; }
  [[nodiscard]] cv::Point Place(const Vec2& px) const {
    const Vec2 q = OnCanvas(px);
    return {static_cast<int>(std::floor(q.x())), static_cast<int>(std::floor(q.y()))};
  }
  [[nodiscard]] Vec2 Picture(const cv::Point& at) const { return origin_px_ + Vec2(at.x + 0.5, at.y + 0.5) / scale_; }

  // Where a contour can be the toe end's and no other part's.
  void Ask() {
    const auto frame = [&] {
      const auto upright = FrameOf(ankle_.at, toe_.at, ups_.front(), 0.0, rise_);
      return upright ? upright : FrameOf(ankle_.at, toe_.at, ups_.back(), 0.0, rise_);
    }();
    if (!frame) return;
    const auto line = [&](const Vec3& a, const Vec3& b, double half, int value) {
      cv::line(asked_, Place(camera_.Project(a)), Place(camera_.Project(b)), cv::Scalar(value),
               std::max(1, static_cast<int>(2.0 * half * unit_px_ * scale_)));
    };
    const auto bone = [&](P a, P b, double half) {
      if (facts_.Marked({a, b})) line(facts_.Joint(a).at, facts_.Joint(b).at, half, 0);
    };
    const auto over = [&](double t) -> Vec3 { return frame->At(t) + 0.5 * rise_ * frame->up; };
    line(over(kFrom), over(1.05), 0.065, 255);
    line(over(-0.5), over(-0.1), 0.050, 0);
    for (const bool l : {true, false}) {
      const bool own = l == left_;
      bone(l ? P::kKneeL : P::kKneeR, l ? P::kAnkleL : P::kAnkleR, own ? 0.050 : 0.055);
      bone(l ? P::kHipL : P::kHipR, l ? P::kKneeL : P::kKneeR, 0.075);
      if (!own) bone(l ? P::kAnkleL : P::kAnkleR, l ? P::kToeL : P::kToeR, 0.055);
      bone(l ? P::kElbowL : P::kElbowR, l ? P::kWristL : P::kWristR, 0.040);
      bone(l ? P::kWristL : P::kWristR, l ? P::kHandTipL : P::kHandTipR, 0.040);
    }
    bone(P::kHipL, P::kHipR, 0.120);
    cv::Mat inner;
    cv::erode(drawn_, inner, cv::Mat());
    seen_ = cv::countNonZero(drawn_ & ~inner & asked_);
    drawn_cover_ = Cover(drawn_);
    asked_cover_ = Cover(asked_);
    asked_box_ = cv::boundingRect(asked_);
    foot_ = frame;
  }

  // Fills `shape_` with what the family's shape covers: all of it, or what can reach where is asked.
  bool Draw(FootFit::Family family, std::size_t up, const Values& v, bool whole = false) {
    const bool block = family == FootFit::kBlock;
    const double rise = rise_ * std::exp(kRiseSd * v[kRise]);
    const double ankle_sd = std::sqrt(ankle_.cov(0, 0)), toe_sd = std::sqrt(toe_.cov(0, 0));
    const double depth = 0.5 * v[kDepth] * std::min(kMostDepthSd, std::sqrt(std::max(0.0, ankle_.cov(2, 2) + toe_.cov(2, 2))));
    const auto frame = FrameOf(ankle_.at + Vec3(ankle_sd * v[kAnkleX], ankle_sd * v[kAnkleY], -depth),
                               toe_.at + beyond_ * (toe_.at - ankle_.at) + Vec3(toe_sd * v[kToeX], toe_sd * v[kToeY], depth), ups_[up], kRollSd * v[kRoll], rise);
    if (!frame) return false;
    const double instep = kInstep * rise * std::exp(kInstepSd * v[kHeight]);
    const double half = kHalfWidth * frame->along * std::exp(kWidthSd * v[kWidth]);
    const double toes = block ? 1.0 - kBlockSlope * std::abs(v[kSlope]) : kToes * std::exp(kToesSd * v[kSlope]);
    const double length = (1.0 + kHeel) * std::exp(kLengthSd * v[kLength]);
    const Vec3 side = frame->sole.cross(frame->up).normalized();
    // Between these, 0 heel and 1 toe, a hull is exact, or round enough at the ends.
    constexpr std::array<double, 7> kCuts{0.0, 1.0 / 12, 2.0 / 12, 0.46, 10.0 / 12, 11.0 / 12, 1.0};
    std::array<Vec2, kRing + 1> before, ring;
    std::array<Vec2, 2 * (kRing + 1)> both;
    shape_ = {};
    for (const double s : kCuts) {
      // Round at heel and toes; the wedge falls from the instep.
      const double round = std::max({0.0, (s - 0.82) / 0.18, (0.15 - s) / 0.15}), end = std::sqrt(std::max(0.05, 1.0 - round * round));
      const double fall = 1.0 - (1.0 - toes) * std::clamp((s - 0.46) / 0.39, 0.0, 1.0);
      const double high = instep * fall * (!block && s > 0.85 ? 0.35 + 0.65 * end : 1.0), wide = half * (block ? 0.95 : end);
      const Vec3 middle = frame->At(s * length - kHeel);
      for (std::size_t k = 0; k <= kRing; ++k)
        ring[k] = OnCanvas(camera_.Project(middle + wide * kSections[family][k].x() * side + high * kSections[family][k].y() * frame->up));
      if (s > 0.0) {
        std::copy(ring.begin(), ring.end(), std::copy(before.begin(), before.end(), both.begin()));
        const auto [left, right] = std::minmax_element(both.begin(), both.end(), [](const Vec2& a, const Vec2& b) { return a.x() < b.x(); });
        const auto [top, bottom] = std::minmax_element(both.begin(), both.end(), [](const Vec2& a, const Vec2& b) { return a.y() < b.y(); });
        const bool reaches = right->x() >= asked_box_.x && left->x() <= asked_box_.br().x && bottom->y() >= asked_box_.y && top->y() <= asked_box_.br().y;
        if (whole || reaches) shape_.AddHull(both);
      }
      before = ring;
    }
    return true;
  }

  double Apart(FootFit::Family family, std::size_t up, const Values& v) {
    if (!Draw(family, up, v)) return kNone;
    return shape_.Differ(drawn_cover_, asked_cover_) / std::max(1.0, seen_) / (scale_ * unit_px_);
  }

  double Cost(FootFit::Family family, std::size_t up, const Values& v) {
    const double apart = Apart(family, up, v);
    if (apart >= kNone) return kNone;
    double moved = 0.0;
    for (const double x : v) moved += 0.5 * x * x;
    return kMoved * moved + 0.5 * kStretches * std::pow(apart / kContourSd, 2);
  }

  // Steps along each value in turn, then on along the way they made together: marks, depth and height trade against each other.
  void Sweep(FootFit::Family family, double step, Try& t) {
    const Values from = t.values;
    const auto take = [&](const Values& other) {
      const double c = Cost(family, t.up, other);
      if (c >= t.cost) return false;
      t.cost = c;
      t.values = other;
      return true;
    };
    for (std::size_t i = 0; i < kCount; ++i)
      for (const double by : {step, -step}) {
        Values other = t.values;
        other[i] += by;
        if (take(other)) break;
      }
    Values on = t.values;
    for (std::size_t i = 0; i < kCount; ++i) on[i] += t.values[i] - from[i];
    if (on != t.values) take(on);
  }

  [[nodiscard]] std::vector<Vec2> Outline() const {
    std::vector<std::vector<cv::Point>> contours;
    cv::findContours(shape_.Mask(), contours, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_TC89_L1);
    std::vector<Vec2> out;
    if (contours.empty()) return out;
    const auto& longest = *std::max_element(contours.begin(), contours.end(), [](const auto& a, const auto& b) { return a.size() < b.size(); });
    for (const cv::Point& p : longest) out.push_back(Picture(p));
    out.push_back(out.front());
    return out;
  }

  // How far the drawn shoe goes on along the foot past its toe's mark, stature as seen.
  [[nodiscard]] double Past() const {
    const Vec2 ankle = camera_.Project(foot_->At(0.0) + 0.5 * rise_ * foot_->up), toe = camera_.Project(foot_->At(1.0) + 0.25 * rise_ * foot_->up);
    const Vec2 step = (toe - ankle).normalized() / scale_;
    int n = 0;
    for (cv::Point at = Place(toe); at.x >= 0 && at.y >= 0 && at.x < kSize && at.y < kSize && drawn_.at<std::uint8_t>(at); at = Place(toe + n * step)) ++n;
    return n / (scale_ * unit_px_);
  }

  // The upper side of the drawn toe end, from the instep to the toes.
  [[nodiscard]] std::vector<Vec2> DrawnPlaces() const {
    std::vector<Vec2> out;
    for (double t = kFrom; t < 1.1; t += 0.05) {
      const Vec2 base = camera_.Project(foot_->At(t) + 0.4 * rise_ * foot_->up);
      const Vec2 up = (camera_.Project(foot_->At(t) + rise_ * foot_->up) - base).normalized();
      for (double s = 0.0; s < 0.1 * unit_px_; s += 0.5 / scale_) {
        const cv::Point at = Place(base + s * up);
        if (at.x < 0 || at.y < 0 || at.x >= kSize || at.y >= kSize) break;
        if (drawn_.at<std::uint8_t>(at)) continue;
        if (asked_.at<std::uint8_t>(at) && s > 0.0) out.push_back(base + s * up);
        break;
      }
    }
    return out;
  }

  const BodyFacts& facts_;
  const BodyCamera& camera_;
  bool left_;
  SeenJoint ankle_, toe_;
  std::vector<Vec3> ups_;
  std::optional<Frame> foot_;
  double beyond_ = 0.0;  // how far the toes are taken to go on past their mark, ankle to toe
  double rise_ = 0.039, unit_px_ = 1.0, scale_ = 1.0, pixels_ = 0.0, seen_ = 0.0;
  Vec2 origin_px_ = Vec2::Zero();
  cv::Mat drawn_ = cv::Mat::zeros(kSize, kSize, CV_8U), asked_ = drawn_.clone();
  Cover drawn_cover_, asked_cover_, shape_;
  cv::Rect asked_box_;
};

}  // namespace

std::optional<FootFit> FitFoot(const BodyFacts& facts, const Silhouette& silhouette, bool left) {
  return Fit(facts, silhouette, left).Best();
}

}  // namespace armslength::surface_check
