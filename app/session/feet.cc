#include "app/session/feet.h"

#include <algorithm>
#include <numbers>

#include <Eigen/Geometry>

namespace armslength::app {
namespace {

// Outward turn of a foot in relaxed standing: common practice in drawing, no source.
constexpr double kTurnOut = 12.0 * std::numbers::pi / 180.0;

}  // namespace

void PointUnmarkedFeetForward(const FigureMarks& marks, BodyReading& reading) {
  if (!reading.usable) return;
  const Vec3 left = reading.Joint(PointId::kHipL) - reading.Joint(PointId::kHipR);
  const Vec3 trunk = reading.Joint(PointId::kNeckPit) - 0.5 * (reading.Joint(PointId::kHipL) + reading.Joint(PointId::kHipR));
  const Vec3 forward = left.cross(trunk);  // x right, y down, z away: a figure facing us looks along -z
  if (left.norm() < 1e-9 || forward.norm() < 1e-9) return;
  const Vec3 ahead = forward.normalized(), aside = left.normalized();
  struct Foot {
    PointId knee, ankle, toe;
    BoneId shin, foot;
    double out;
  };
  for (const Foot& f : {Foot{PointId::kKneeL, PointId::kAnkleL, PointId::kToeL, BoneId::kShinL, BoneId::kFootL, 1.0},
                        Foot{PointId::kKneeR, PointId::kAnkleR, PointId::kToeR, BoneId::kShinR, BoneId::kFootR, -1.0}}) {
    if (reading.marked[static_cast<std::size_t>(f.toe)] || marks.depth.contains(f.foot)) continue;
    const Vec3 down = reading.Joint(f.ankle) - reading.Joint(f.knee);
    const Vec3 wanted = std::cos(kTurnOut) * ahead + f.out * std::sin(kTurnOut) * aside;
    if (down.norm() < 1e-9) continue;
    const Vec3 shin = down.normalized();
    const Vec3 level = wanted - wanted.dot(shin) * shin;
    if (level.norm() < 1e-6) continue;
    const double length = reading.length[static_cast<std::size_t>(f.foot)];
    // The canon's ankle stands above the floor, where the toe is.
    const Canon& canon = reading.canon.canon;
    const double stature_heads = canon.heads > 0.0 ? canon.heads : 7.5;
    const double drop = std::min(canon.sole_to_ankle / stature_heads, 0.9 * length);
    reading.joints[static_cast<std::size_t>(f.toe)] =
        reading.Joint(f.ankle) + drop * shin + std::sqrt(length * length - drop * drop) * level.normalized();
  }
}

}  // namespace armslength::app
