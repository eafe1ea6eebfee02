#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include <Eigen/Geometry>
#include <opencv2/imgproc.hpp>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/part_axis.h"
#include "words/say.h"

namespace armslength::surface_check {
namespace {

using body_check::SeenJoint;
using P = PointId;

// Feet and most shoes are wedges: near the toes about half to two thirds as high as at the instep, 0.4 of
// their length wide (figure-drawing handbooks draw the foot as a wedge; numbers common practice,
// default, editable). A block keeps the instep's height.
constexpr double kWedge = 0.58, kInstep = 1.25, kHalfWidth = 0.20;  // heights in ankle heights, width in foot lengths
// Places between ankle (0) and toe (1).
constexpr std::array<double, 3> kNear{0.42, 0.52, 0.62};
constexpr double kFar = 0.86;
// Shoes differ by this from either model, log of the ratio, one sd; default, set on seeds from 120001.
constexpr double kShoeSd = 0.11;
// Nats between the two models: for a block (sound shoes reach 0.1, seeds from 1510001), for both shoes of a pair each, and to clear.
constexpr double kBlock = 1.3, kBothBlocks = 0.8, kSure = 2.3;
constexpr double kMostly = 0.7;  // of the way from the wedge to the block: rounded toes are neither
constexpr int kSamples = 16;   // of the foot's place in space

struct Thickness {
  Vec2 low = Vec2::Zero(), high = Vec2::Zero();
  [[nodiscard]] double px() const { return (high - low).norm(); }
};

// The figure across the foot through `inside`, along `up`.
std::optional<Thickness> Across(const Silhouette& silhouette, const Vec2& inside, const Vec2& up, double most_px) {
  const auto high = silhouette.ToEdge(inside, up, most_px), low = silhouette.ToEdge(inside, -up, most_px);
  if (!high || !low) return std::nullopt;
  return Thickness{inside - *low * up, inside + *high * up};
}

struct FootPose {
  Vec3 under = Vec3::Zero(), sole = Vec3::UnitX(), up = Vec3::UnitY();  // below the ankle; unit
  double along = 0.0;                                                // from there to the toe
  [[nodiscard]] Vec3 At(double t) const { return under + t * along * sole; }
};

std::optional<FootPose> PoseOf(const Vec3& ankle, const Vec3& toe, const Vec3& gravity_up, double rise) {
  const Vec3 way = toe - ankle;
  const double length = way.norm();
  if (length < 1.5 * rise || way.cross(gravity_up).norm() < 0.3 * length) return std::nullopt;
  const Vec3 d = way / length;
  const Vec3 upward = (gravity_up - d * d.dot(gravity_up)).normalized();
  const double tip = std::asin(std::clamp(rise / length, 0.0, 0.6));
  FootPose p;
  p.sole = std::cos(tip) * d + std::sin(tip) * upward;
  p.up = std::cos(tip) * upward - std::sin(tip) * d;
  p.under = ankle - rise * p.up;
  p.along = (toe - p.under).dot(p.sole);
  return p;
}

// What a foot of that pose covers, as a small mask with its own frame.
class Model {
 public:
  Model(const BodyCamera& camera, const FootPose& pose, double rise, bool block, const Vec2& middle_px, double reach_px)
      : origin_(middle_px - Vec2(reach_px, reach_px)), scale_(kSize / (2.0 * reach_px)), mask_(kSize, kSize, CV_8U, cv::Scalar(0)) {
    const Vec3 side = pose.sole.cross(pose.up).normalized();
    std::vector<cv::Point> before;
    for (int i = 0; i <= 16; ++i) {
      const double t = -0.34 + 1.34 * i / 16.0;
      // Round at heel and toes; the wedge falls from the instep, and less towards the heel.
      const double end = std::sqrt(std::max(0.05, 1.0 - std::pow(std::max({0.0, (t - 0.75) / 0.25, (-0.14 - t) / 0.20}), 2)));
      const double fall = t < 0.30 ? 1.0 : 1.0 - (1.0 - kWedge) * std::min(1.0, (t - 0.30) / 0.50);
      const double high = kInstep * rise * (block ? 1.0 : fall * (t > 0.8 ? 0.35 + 0.65 * end : 1.0));
      const double wide = kHalfWidth * 1.34 * pose.along * (block ? 0.95 : end);
      std::vector<cv::Point> ring;
      for (int k = 0; k <= 10; ++k) {
        const double a = M_PI * k / 10.0, e = block ? 0.3 : 0.8;
        const double x = std::copysign(std::pow(std::abs(std::cos(a)), e), std::cos(a)), y = std::pow(std::sin(a), e);
        ring.push_back(Place(camera.Project(pose.At(t) + wide * x * side + high * y * pose.up)));
      }
      if (!before.empty()) {
        std::vector<cv::Point> both = before, hull;
        both.insert(both.end(), ring.begin(), ring.end());
        cv::convexHull(both, hull);
        cv::fillConvexPoly(mask_, hull, cv::Scalar(255));
      }
      before = std::move(ring);
    }
  }

  // Extent through a place along `up`, px; 0 when the place is not covered.
  [[nodiscard]] double Height(const Vec2& inside, const Vec2& up) const {
    double sum = 0.0;
    for (const double sign : {1.0, -1.0})
      for (double t = 0.0;; t += 0.5) {
        const cv::Point at = Place(inside + sign * up * (t / scale_));
        if (at.x < 0 || at.y < 0 || at.x >= kSize || at.y >= kSize || !mask_.at<std::uint8_t>(at)) {
          sum += t;
          break;
        }
      }
    return sum / scale_;
  }

 private:
  static constexpr int kSize = 220;
  [[nodiscard]] cv::Point Place(const Vec2& px) const {
    const Vec2 q = (px - origin_) * scale_;
    return {static_cast<int>(std::floor(q.x())), static_cast<int>(std::floor(q.y()))};
  }
  Vec2 origin_;
  double scale_;
  cv::Mat mask_;
};

double Middle(std::vector<double> v) {
  std::sort(v.begin(), v.end());
  return v[v.size() / 2];
}

}  // namespace

void CheckFeetShape(const BodyFacts& facts, const Silhouette& silhouette, std::vector<Finding>& out) {
  const BodyReading& reading = facts.Reading();
  const double rise = reading.canon.canon.heads > 0 ? reading.canon.canon.sole_to_ankle / reading.canon.canon.heads : 0.039;
  struct Block {
    std::size_t at;
    Finding off;
    bool told;
  };
  std::vector<Block> blocks;
  for (const bool left : {true, false}) {
    const P ankle_id = left ? P::kAnkleL : P::kAnkleR, toe_id = left ? P::kToeL : P::kToeR;
    if (!facts.Marked({ankle_id, toe_id})) continue;
    const std::vector<PointId> rests_on{ankle_id, toe_id};
    const SeenJoint &ankle = facts.Joint(ankle_id), &toe = facts.Joint(toe_id);
    Finding f =
        body_check::Start(facts, left ? "foot.shape.left" : "foot.shape.right",
                          left ? Say("Shape of the left foot") : Say("Shape of the right foot"), Kind::kConstruction, Verdict::kCannotTell);
    f.stage = Stage::kSketch;
    f.unit = "ratio";
    f.source = Say("figure-drawing handbooks draw the foot as a wedge; common practice, default, editable");
    f.where = body_check::At(facts, rests_on);
    const auto say = [&](std::string why, std::string ask) {
      f.why = std::move(why);
      f.ask = std::move(ask);
      body_check::Finish(facts, rests_on, f);
      out.push_back(f);
    };
    const auto pose = PoseOf(ankle.at, toe.at, facts.Up(), rise);
    if (!pose) {
      say(Say("The foot points almost straight up or down; its sole line is not known."),
          Say("Nothing to add: another view would show it."));
      continue;
    }
    const BodyCamera& camera = reading.camera;
    // A standing foot is upright; a raised one rolls with its shin. Both are tried.
    std::vector<Vec3> ups{facts.Up()};
    const P knee_id = left ? P::kKneeL : P::kKneeR;
    if (facts.Marked({knee_id})) ups.push_back((facts.Joint(knee_id).at - ankle.at).normalized());
    struct Ray {
      Vec2 inside, up;
      double unit;
    };
    const auto ray = [&](double t) {
      const Vec2 base = camera.Project(pose->At(t)), top = camera.Project(pose->At(t) + rise * pose->up);
      return Ray{base + 0.4 * (top - base), (top - base).normalized(), (top - base).norm()};
    };
    std::vector<Ray> near, far;
    std::vector<double> near_px, far_px;
    std::vector<Vec2> tops;
    // As near the instep as the shaft of the boot or a trouser leg lets the foot's own contour show.
    for (const double place : kNear) {
      near.clear();
      near_px.clear();
      for (const double d : {-0.05, 0.0, 0.05}) near.push_back(ray(place + d));
      for (const Ray& r : near)
        if (const auto k = Across(silhouette, r.inside, r.up, 2.8 * r.unit)) near_px.push_back(k->px());
      if (near_px.size() == near.size()) break;
    }
    for (const double d : {-0.06, 0.0, 0.06}) far.push_back(ray(kFar + d));
    for (const Ray& r : far)
      if (const auto k = Across(silhouette, r.inside, r.up, 2.8 * r.unit)) {
        far_px.push_back(k->px());
        tops.push_back(k->high);
      }
    if (near_px.size() < 3 || far_px.size() < 3 || near.front().unit < 6.0) {
      say(Say("The contour of the figure runs into something else at the foot (the other leg, a hem), or the view shows too little of it."),
          Say("Nothing to add: another view would show it."));
      continue;
    }
    // Both models in this view, over the places in space that the marks leave open.
    const Vec2 middle = 0.5 * (camera.Project(ankle.at) + camera.Project(toe.at));
    const double reach = 2.6 * std::max(rise, pose->along) * facts.PxPerStature(ankle.at.z());
    std::array<double, 2> mean{}, square{};  // wedge, block: log of far over near
    int counted = 0;
    for (int i = 0; i < kSamples; ++i) {
      // Even steps through the spread of both depths (the widest unknown), marks' own error across.
      const double a = 1.2 * std::sin(2.4 * i), b = 1.2 * std::cos(2.4 * i + 0.3 * i);
      const auto moved = [&](const SeenJoint& joint, double z, double across) {
        return Vec3(joint.at + Vec3(std::sqrt(joint.cov(0, 0)) * across, std::sqrt(joint.cov(1, 1)) * 0.8 * across,
                                    std::min(0.05, std::sqrt(std::max(0.0, joint.cov(2, 2)))) * z));
      };
      const auto one = PoseOf(moved(ankle, a, -0.5 * b), moved(toe, b, 0.5 * a), ups[static_cast<std::size_t>(i) % ups.size()], rise);
      if (!one) continue;
      std::array<double, 2> ratio{};
      for (std::size_t m = 0; m < 2; ++m) {
        const Model model(camera, *one, rise, m == 1, middle, reach);
        std::vector<double> n, w;
        for (const Ray& r : near) n.push_back(model.Height(r.inside, r.up));
        for (const Ray& r : far) w.push_back(model.Height(r.inside, r.up));
        if (Middle(n) > 1.0 && Middle(w) > 1.0) ratio[m] = Middle(w) / Middle(n);
      }
      if (ratio[0] <= 0.0 || ratio[1] <= 0.0) continue;
      ++counted;
      for (std::size_t m = 0; m < 2; ++m) {
        mean[m] += std::log(ratio[m]);
        square[m] += std::log(ratio[m]) * std::log(ratio[m]);
      }
    }
    if (counted < kSamples / 2) {
      say(Say("The marks leave the foot's direction too open to say how its contour should run."),
          Say("Mark the ankle and the toe more surely."));
      continue;
    }
    std::array<double, 2> sd{};
    for (std::size_t m = 0; m < 2; ++m) {
      mean[m] /= counted;
      sd[m] = std::hypot(kShoeSd, std::sqrt(std::max(0.0, square[m] / counted - mean[m] * mean[m])));
    }
    const double drawn = std::log(Middle(far_px) / Middle(near_px));
    const auto miss = [&](std::size_t m) { return 0.5 * std::pow((drawn - mean[m]) / sd[m], 2) + std::log(sd[m]); };
    const double nats = miss(0) - miss(1);  // > 0 speaks for a block
    f.measured = std::exp(drawn);
    f.expected = std::exp(mean[0]);
    f.sd = sd[0];
    f.tolerance = 0.5 * std::abs(std::exp(mean[1]) - std::exp(mean[0]));
    f.test = "nats between a block and a wedge in this view";
    f.evidence = nats;
    const std::string basis =
        Say("Towards the toes the shoe stands {:.0f} % as high as at the instep; from here a wedge would show "
            "{:.0f} %, a block {:.0f} %",
            100 * std::exp(drawn), 100 * std::exp(mean[0]), 100 * std::exp(mean[1]));
    // A block in both shoes is surer than in one.
    const bool block_like =
        nats > kBothBlocks && drawn > mean[0] + std::max(1.2 * sd[0], kMostly * (mean[1] - mean[0])) && drawn < mean[1] + 3.0 * sd[1];
    if (block_like) {
      const Finding open = f;
      f.verdict = Verdict::kOff;
      f.title = left ? Say("Left shoe is a block, not a wedge") : Say("Right shoe is a block, not a wedge");
      const auto over = [&](double t, double h) { return camera.Project(pose->At(t) + h * rise * pose->up); };
      f.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, tops));
      f.guides.push_back(body_check::Line(GuideShape::Role::kTarget, {over(-0.34, 0.0), over(1.0, 0.0), over(0.95, 0.5), over(0.75, 0.75),
                                                                      over(0.35, 1.25), over(0.0, 1.8), over(-0.30, 1.3), over(-0.34, 0.0)}));
      f.remedy = {RemedyWay::kGuide, 15.0, Say("Redraw the shoe over the wedge: high at the instep, low at the toes.")};
      f.gain = 2.5;
      f.why = basis + ".";
      body_check::Finish(facts, rests_on, f);
      blocks.push_back({out.size(), f, nats > kBlock});
      f = open;
    }
    if (block_like && nats > kBlock) {
      out.push_back(blocks.back().off);
    } else if (nats < -kSure && drawn < mean[0] + 2.0 * sd[0]) {
      f.verdict = Verdict::kClear;
      f.title = left ? Say("Left foot is a wedge") : Say("Right foot is a wedge");
      say(basis + ".", "");
    } else {
      say(basis + Say(": not enough apart to tell."), Say("A foot seen more from the side tells more."));
    }
  }
  if (blocks.size() == 2)
    for (Block& block : blocks)
      if (!block.told) out[block.at] = std::move(block.off);
}

}  // namespace armslength::surface_check
