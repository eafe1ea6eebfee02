#include "synth/hand_outlines.h"

#include <array>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include <Eigen/Geometry>

#include "synth/random.h"

namespace armslength {
namespace {

constexpr double kDegree = M_PI / 180;
// Thumb first. Lengths against the middle finger, places across the palm in hand lengths (+ to the thumb), how far
// the root lies below the middle finger's; figure-drawing handbooks, from memory.
constexpr std::array<double, 5> kLength{0.68, 0.90, 1.0, 0.93, 0.73}, kAcross{0.19, 0.15, 0.05, -0.05, -0.15},
    kLower{0.0, 0.012, 0.0, 0.012, 0.045};
constexpr double kHalfWidth = 0.048;  // of a finger, hand lengths
// Root of the middle finger over the hand's length: at the knuckle, and at the web (US Army survey 2012, NATICK/TR-15/007).
constexpr double kKnuckle = 0.50, kWeb = 0.59;

}  // namespace

HandView OutlineHand(WornFigure& worn, const HandOutlines& hand, unsigned seed, double stroke_sigma) {
  SynthRandom random(seed, 505);
  const auto n = static_cast<std::size_t>(hand.left ? 0 : 1);
  const PointId wrist_id = hand.left ? PointId::kWristL : PointId::kWristR, tip_id = hand.left ? PointId::kHandTipL : PointId::kHandTipR;
  const auto joint = [&](PointId id) { return worn.truth.joints[static_cast<std::size_t>(id)]; };
  const BodyCamera& camera = worn.truth.camera;
  const Vec3 wrist = joint(wrist_id), along = (joint(tip_id) - wrist).normalized();
  const double sound = (joint(tip_id) - wrist).norm(), length = sound * hand.size;
  // The forearm rolls: any side of the hand may be seen.
  const Axes& axes = worn.truth.body.hand[n];
  const double roll = random.Uniform(-M_PI, M_PI);
  const Vec3 thumb = (std::cos(roll) * -axes.col(2) + std::sin(roll) * axes.col(0)).normalized();
  // Left hand, fingers up, thumb to the right: the back faces the viewer.
  const Vec3 palm = (hand.left != hand.other_hand ? 1.0 : -1.0) * along.cross(thumb);
  const Vec3 sight =
      Vec3(camera.inverse_distance * wrist.x(), camera.inverse_distance * wrist.y(), 1.0 + camera.inverse_distance * wrist.z())
          .normalized();
  const bool palm_seen = palm.dot(sight) < 0.0;

  const double root = palm_seen ? kWeb : kKnuckle, middle = (1.0 - root) * hand.fingers;
  const double palm_length = root * std::exp(0.04 * random.Normal());
  const double bent = random.Uniform(0.0, 15.0);
  const double stroke_px = stroke_sigma * camera.scale_px;
  const std::string on = hand.left ? "hand_l" : "hand_r";
  constexpr std::array<const char*, 5> kNames{"thumb", "index finger", "middle finger", "ring finger", "little finger"};
  const auto trace = [&](const std::string& name, const Vec3& from, const Vec3& way, const Vec3& side, double long_, double half) {
    Area area{name, "part", on, {}};
    for (int i = 0; i < 28; ++i) {
      const double a = 2 * M_PI * i / 28, end = i < 14 ? long_ - half : half;
      const double dx = random.Normal(), dy = random.Normal();
      area.outline.push_back(camera.Project(from + way * (end + half * std::sin(a)) + side * (half * std::cos(a))) +
                             stroke_px * Vec2(dx, dy));
    }
    worn.marks.areas.push_back(std::move(area));
  };
  for (std::size_t i = 0; i < 5; ++i) {
    const bool is_thumb = i == 0;
    const double own = std::exp(0.04 * random.Normal()), bend = (bent + random.Uniform(0.0, 10.0)) * kDegree;
    const double spread = (is_thumb ? 38.0 : 20.0 * kAcross[i] + 2.0 * random.Normal()) * kDegree;
    const double side_of = (hand.thumb_by_little && is_thumb ? -1.0 : 1.0);
    const double lower = hand.rake ? 0.0 : kLower[i];
    const double across = side_of * kAcross[i];
    double long_ = (hand.rake && !is_thumb ? 1.0 : kLength[i]) * middle * own * (i == 3 ? hand.ring_finger : 1.0);
    if (hand.rake) long_ /= own;
    const Vec3 from = wrist + length * (along * (is_thumb ? 0.20 : palm_length - lower) + thumb * across);
    const Vec3 in_plane = std::cos(spread) * along + side_of * std::sin(spread) * thumb;
    const Vec3 way = std::cos(bend) * in_plane + std::sin(bend) * palm;
    trace(kNames[i], from, way, way.cross(palm).normalized(), length * long_, length * kHalfWidth);
  }
  trace(palm_seen ? "palm" : "back", wrist, along, thumb, length * palm_length, length * 0.2);

  if (hand.size != 1.0)
    if (const auto mark = worn.marks.points.find(tip_id); mark != worn.marks.points.end())
      mark->second += camera.Project(wrist + length * along) - camera.Project(wrist + sound * along);
  const Vec3 chin = joint(PointId::kChin), up = (joint(PointId::kCrown) - chin).normalized();
  const double dx = random.Normal(), dy = random.Normal();
  worn.marks.points[PointId::kHairline] = camera.Project(chin + sound * std::exp(0.04 * random.Normal()) * up) + stroke_px * Vec2(dx, dy);
  return {std::abs(palm.dot(sight)), std::sqrt(std::max(0.0, 1.0 - std::pow(along.dot(sight), 2)))};
}

}  // namespace armslength
