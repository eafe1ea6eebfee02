#include "synth/figure.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "synth/random.h"
#include "synth/skeleton.h"

namespace armslength {
namespace {

constexpr double kDegree = std::numbers::pi / 180.0;

// Draws of different kinds come from streams of their own: the same seed with another
// fault, sigma or flag setting is the same figure.
enum Stream : std::uint64_t { kBuild = 1, kPosing, kCamera, kMarking, kFlags, kHeadTop, kDisplacing };

BodyLengths DrawnLengths(const SynthFigureOptions& options, BodyLengths lengths) {
  SynthRandom random(options.seed, kBuild);
  std::array<double, kBoneCount> factor{};
  factor.fill(1.0);
  if (options.natural) {
    factor = *options.natural;
  } else {
    for (BoneId id :
         {BoneId::kHead, BoneId::kNeck, BoneId::kTrunk, BoneId::kShoulderWidth, BoneId::kHipWidth})
      factor[static_cast<std::size_t>(id)] = 1.0 + options.variation * random.Normal();
    for (int i = static_cast<int>(BoneId::kUpperArmL); i < kBoneCount; i += 2) {
      const double both = options.variation * random.Normal();
      for (int side = 0; side < 2; ++side)  // left and right differ by a third of it
        factor[static_cast<std::size_t>(i + side)] = 1.0 + both + options.variation / 3.0 * random.Normal();
    }
  }
  for (const auto& [bone, times] : options.faults) factor[static_cast<std::size_t>(bone)] *= times;
  for (std::size_t i = 0; i < factor.size(); ++i) lengths.bone[i] *= factor[i];
  return lengths;
}

PoseAngles DrawnPose(SynthPose pose, SynthRandom& random) {
  PoseAngles a;
  const auto uniform = [&](double low, double high) { return random.Uniform(low, high); };
  a.pelvis_lean = 4 * random.Normal();
  a.pelvis_tip = 4 * random.Normal();
  a.bend = 6 * random.Normal();
  a.side = 5 * random.Normal();
  a.twist = 8 * random.Normal();
  for (std::size_t i = 0; i < 2; ++i) {
    a.hip_bend[i] = uniform(-5, 15);
    a.hip_side[i] = uniform(0, 12);
    a.hip_turn[i] = uniform(-5, 25);
    a.knee[i] = uniform(0, 12);
    a.arm_front[i] = uniform(-25, 30);
    a.arm_side[i] = uniform(4, 35);
    a.arm_turn[i] = uniform(-50, 50);
    a.elbow[i] = uniform(5, 90);
  }
  const std::size_t one = random.Chance(0.5) ? 1 : 0, other = 1 - one;
  switch (pose) {
    case SynthPose::kContrapposto:
      a.pelvis_lean += (one == 1 ? 1 : -1) * uniform(4, 12);
      a.side += (one == 1 ? -1 : 1) * uniform(5, 15);
      a.hip_bend[one] = uniform(10, 40);
      a.knee[one] = uniform(20, 60);
      a.twist += 8 * random.Normal();
      break;
    case SynthPose::kWalk:
      a.hip_bend[one] = uniform(15, 35);
      a.knee[one] = uniform(0, 25);
      a.hip_bend[other] = uniform(-20, -5);
      a.knee[other] = uniform(5, 50);
      a.arm_front[one] = uniform(-35, 0);
      a.arm_front[other] = uniform(5, 45);
      a.bend += 4;
      break;
    case SynthPose::kSit:
      for (std::size_t i = 0; i < 2; ++i) {
        a.hip_bend[i] = uniform(65, 100);
        a.knee[i] = uniform(60, 110);
        a.hip_side[i] = uniform(0, 25);
      }
      a.bend += uniform(-10, 25);
      break;
    case SynthPose::kReach:
      for (std::size_t i = 0; i < 2; ++i) {
        a.arm_front[i] = uniform(-30, 150);
        a.arm_side[i] = uniform(0, 90);
        a.arm_turn[i] = uniform(-80, 80);
        a.elbow[i] = uniform(0, 130);
      }
      a.bend += uniform(0, 30);
      a.twist += 12 * random.Normal();
      break;
    case SynthPose::kForeshortened:
      a.pitch = uniform(-55, 55);
      for (std::size_t i = 0; i < 2; ++i) {
        a.hip_bend[i] = uniform(-10, 80);
        a.knee[i] = uniform(0, 100);
        a.arm_front[i] = uniform(-30, 150);
        a.arm_side[i] = uniform(0, 80);
        a.elbow[i] = uniform(0, 120);
      }
      a.bend += uniform(-10, 30);
      break;
    case SynthPose::kStand:
    case SynthPose::kCount:
      break;
  }
  a.neck_turn = 15 * random.Normal();
  a.neck_side = 7 * random.Normal();
  a.neck_bend = 10 * random.Normal() + 0.3 * a.bend;
  a.head_turn = 12 * random.Normal();
  a.head_bend = 8 * random.Normal();
  for (std::size_t i = 0; i < 2; ++i) {
    a.shoulder_out[i] = 0.01 * random.Normal();
    a.shoulder_up[i] = 0.010 * random.Normal();
    a.shoulder_back[i] = 0.010 * random.Normal();
    a.wrist_bend[i] = 18 * random.Normal();
    a.wrist_side[i] = 10 * random.Normal();
    // On their feet, people keep the soles near the floor.
    const bool standing =
        pose == SynthPose::kStand || pose == SynthPose::kContrapposto || pose == SynthPose::kWalk;
    const double ankle =
        standing ? (a.knee[i] - a.hip_bend[i]) * 0.8 + 4 * random.Normal() : 15 * random.Normal();
    a.ankle[i] = std::clamp(ankle, -35.0, 25.0);
  }
  return a;
}

std::array<bool, 2> Planted(const Skeleton& skeleton, const BodyLengths& lengths, SynthPose pose) {
  std::array<double, 2> lowest{}, slope{};
  for (int i = 0; i < 2; ++i) {
    const double ankle = skeleton.Joint(On(i, PointId::kAnkleL)).y();
    const double toe = skeleton.Joint(On(i, PointId::kToeL)).y();
    lowest[static_cast<std::size_t>(i)] = std::min(ankle - lengths.sole_to_ankle, toe);
    slope[static_cast<std::size_t>(i)] = std::abs(ankle - toe - lengths.sole_to_ankle);
  }
  const double floor = std::min(lowest[0], lowest[1]);
  std::array<bool, 2> planted{};
  for (std::size_t i = 0; i < 2; ++i)
    planted[i] = pose != SynthPose::kSit && pose != SynthPose::kForeshortened && lowest[i] < floor + 0.012 &&
                 slope[i] < 0.025;
  return planted;
}

// From the trunk outwards; > 0: the far end lies further from the viewer.
double RelativeDepth(const Skeleton& seen, BoneId bone) {
  const BoneEnds ends = Ends(bone);
  Vec3 along = seen.Joint(ends.to) - seen.Joint(ends.from);
  if (bone == BoneId::kTrunk) along = seen.Joint(PointId::kNeckPit) - seen.HipMiddle();
  return along.z() / along.norm();
}

void SetDepthFlags(const Skeleton& seen, SynthRandom& random, FigureMarks& marks) {
  for (std::string_view name : DepthBoneNames()) {
    const BoneId bone = *BoneFromName(name);
    const double judged = RelativeDepth(seen, bone) + 0.08 * random.Normal();
    Depth depth = std::abs(judged) < 0.35 ? Depth::kFlat : judged > 0 ? Depth::kAway : Depth::kToward;
    const bool mistaken = random.Chance(0.04);
    const int any = random.Below(3);
    if (mistaken)
      depth = std::array{Depth::kToward, Depth::kAway, Depth::kFlat}[static_cast<std::size_t>(any)];
    marks.depth[bone] = depth;
  }
}

}  // namespace

SynthFigure MakeFigure(const SynthFigureOptions& options) {
  SynthFigure figure;
  figure.pose = options.pose.value_or(static_cast<SynthPose>(options.seed % 6));
  figure.view = options.view.value_or(static_cast<ViewClass>(options.seed / 6 % 5));

  const BodyLengths lengths =
      DrawnLengths(options, options.canon != nullptr ? LengthsOf(*options.canon) : AverageAdult());
  figure.length = lengths.bone;
  SynthRandom posing(options.seed, kPosing);
  const Skeleton skeleton = Pose(lengths, DrawnPose(figure.pose, posing));
  figure.planted = Planted(skeleton, lengths, figure.pose);

  SynthRandom random(options.seed, kCamera);
  double turn = 0.0, elevation = (4 + 8 * random.Normal()) * kDegree;
  switch (figure.view) {
    case ViewClass::kFront:
      turn = random.Uniform(-28, 28);
      break;
    case ViewClass::kThreeQuarter:
      turn = random.Sign() * random.Uniform(28, 62);
      break;
    case ViewClass::kSide:
      turn = random.Sign() * random.Uniform(62, 92);
      break;
    case ViewClass::kBack:
      turn = 180 + random.Uniform(-40, 40);
      break;
    case ViewClass::kHighLow:
      turn = random.Uniform(-60, 60);
      elevation = random.Sign() * random.Uniform(20, 45) * kDegree;
      break;
  }
  const double distance = std::exp(random.Uniform(std::log(3.0), std::log(20.0)));
  const Skeleton seen = Seen(skeleton, turn * kDegree, elevation, Vec3(0, -0.05, 0));
  figure.joints = seen.joints;
  figure.body = seen;
  figure.lengths = lengths;

  BodyCamera& camera = figure.camera;
  camera.inverse_distance = 1.0 / distance;
  camera.elevation_rad = elevation;
  camera.scale_px = 1.0;
  Eigen::AlignedBox2d box;
  for (const Vec3& joint : figure.joints) box.extend(camera.Project(joint));
  // Three quarters of the picture, but a crouching figure is not blown up beyond one and
  // a quarter of an upright one.
  camera.scale_px = 0.75 * options.picture_height_px / std::max(box.sizes().y(), 0.8);
  figure.picture.height = static_cast<int>(std::lround(options.picture_height_px));
  figure.picture.width = static_cast<int>(
      std::lround(std::max(0.7 * options.picture_height_px, 1.3 * camera.scale_px * box.sizes().x())));
  camera.origin_px = Vec2(figure.picture.width, figure.picture.height) / 2 - camera.scale_px * box.center();
  figure.picture.file = "figure.png";

  FigureMarks& marks = figure.marks;
  marks.name = "figure";
  if (options.canon != nullptr) marks.canon = options.canon->name;
  const double sigma_px = options.sigma * camera.scale_px;
  marks.marking_error_px = sigma_px;
  SynthRandom marking(options.seed, kMarking);
  for (int i = 0; i < kBodyPointCount; ++i) {
    const double dx = marking.Normal(), dy = marking.Normal();
    marks.points[static_cast<PointId>(i)] =
        camera.Project(figure.joints[static_cast<std::size_t>(i)]) + sigma_px * Vec2(dx, dy);
  }
  if (options.displaced) {
    SynthRandom displacing(options.seed, kDisplacing);
    const double angle = displacing.Uniform(0.0, 2 * std::numbers::pi);
    marks.points[options.displaced->first] +=
        options.displaced->second * camera.scale_px * Vec2(std::cos(angle), std::sin(angle));
  }
  if (options.depth_flags) {
    SynthRandom flags(options.seed, kFlags);
    SetDepthFlags(seen, flags, marks);
  }
  if (options.head_box) {
    // The skull is 0.85 times as long from front to back as it is high, so its outline
    // shrinks less than its axis when the head tips towards the viewer.
    SynthRandom head(options.seed, kHeadTop);
    const double tip = RelativeDepth(seen, BoneId::kHead);
    const Vec3& chin_at = seen.Joint(PointId::kChin);
    const double high = camera.scale_px / (1 + camera.inverse_distance * chin_at.z()) *
                        lengths[BoneId::kHead] * std::sqrt(1 - tip * tip * (1 - 0.85 * 0.85)) *
                        (1 + 0.025 * head.Normal());
    const Vec2 chin = marks.points[PointId::kChin];
    const Vec2 axis = marks.points[PointId::kCrown] - chin;
    marks.points[PointId::kHeadTop] = chin + high * axis.normalized();
  }
  return figure;
}

}  // namespace armslength
