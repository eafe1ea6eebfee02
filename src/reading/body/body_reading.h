#pragma once
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include <Eigen/Core>

#include "canon/canon.h"
#include "marks/figure.h"
#include "support/error.h"
#include "support/job.h"

namespace armslength {

// Body space: the camera's frame. x right, y down, z away from the viewer, origin at
// the middle of the hips' depth on the camera axis. Unit: one standing height of the
// canon in use (stature).
using Vec3 = Eigen::Vector3d;

// Perspective camera of a reading. A point p lands at
// origin_px + p.xy * scale_px / (1 + inverse_distance * p.z).
struct BodyCamera {
  double scale_px = 0.0;          // px per stature at z = 0
  double inverse_distance = 0.0;  // 1 / stature; 0 would be a parallel view
  double elevation_rad = 0.0;     // > 0: the viewer looks down on the figure
  Vec2 origin_px = Vec2::Zero();  // where the camera axis meets the picture

  [[nodiscard]] Vec2 Project(const Vec3& p) const {
    return origin_px + p.head<2>() * (scale_px / (1.0 + inverse_distance * p.z()));
  }
  // Unit vector against gravity, in body space: (0, -cos e, -sin e) with e the elevation.
  [[nodiscard]] Vec3 Up() const {
    return {0.0, -std::cos(elevation_rad), -std::sin(elevation_rad)};
  }
};

enum class ViewClass : std::uint8_t { kFront, kThreeQuarter, kSide, kBack, kHighLow };
[[nodiscard]] std::string_view Name(ViewClass view);

// One question put to the figure: are these bones longer or shorter than the canon allows?
struct LengthHypothesis {
  std::string id;                // finding id, "body.legs.length"
  std::vector<BoneId> bones;     // all scaled together
  double evidence = 0.0;         // 2 ln Bayes factor against "nothing is off"
  double standardized = 0.0;     // evidence in spreads of fault-free figures of this kind of view
  double factor = 1.0;           // drawn length / canon length, most likely
  double factor_low = 0.0, factor_high = 0.0;  // 95 % interval, by profiling the cost
  bool off = false;              // passes the family-wise threshold and is the best explanation
  bool cleared = false;          // both a long and a short fault of the stated tolerance are refused
  // Smallest factor > 1 (and < 1) that marks like these would have shown; nothing when none would.
  std::optional<double> smallest_long, smallest_short;
};

struct MisplacedMark {
  PointId point{};
  double evidence = 0.0;     // as above: this mark alone is wrong
  double distance_px = 0.0;  // how far from where the rest puts it
  Vec2 better_px = Vec2::Zero();
};

// A mark or flag that the artist has not given and that would settle most; with all given, the
// mark whose own error blurs a question most (`what` then ends in "more exactly").
struct HelpfulMark {
  std::string what;       // "head_top", "depth of the left thigh", "wrist_l", "knee_l, more exactly"
  std::string how;        // one sentence for the artist
  std::string finding;    // which open question it settles best
  double gain = 0.0;      // expected shrink of that question's uncertainty, 0..1
};

// Which proportions the figure was judged against.
struct CanonInUse {
  Canon canon;
  bool declared = false;           // false: fitted with the figure (free style)
  double heads = 0.0, heads_sd = 0.0;  // fitted head count
  std::string how_to_change;       // one step: confirm or change
};

// Joints, camera and lengths are those of the best explanation: when a length is off or a mark
// misplaced, the body is the one solved with that fault, not the one bent to hide it.
struct BodyReading {
  bool usable = false;             // false: too few marks or no solution; see why_not
  std::string why_not;             // in the artist's words
  std::array<bool, kBodyPointCount> marked{};
  std::array<Vec3, kBodyPointCount> joints{};          // body space; unmarked ones are guesses of the prior
  std::array<Eigen::Matrix3d, kBodyPointCount> joint_cov{};  // stature^2, from the curvature at the solution
  std::array<Vec2, kBodyPointCount> residual_px{};     // mark minus projected joint; zero when unmarked
  BodyCamera camera;
  ViewClass view = ViewClass::kFront;
  double turn_rad = 0.0;           // of the trunk: 0 faces the viewer, +-pi shows the back; + turns to picture right
  double sigma_px = 0.0;           // marking error used, one sd per axis
  double sigma_estimated_px = 0.0; // from the residuals
  double cost = 0.0;               // sum of squared whitened residuals, no fault assumed
  std::array<double, kBoneCount> length{};             // stature units, drawn
  std::array<double, kBoneCount> length_log_sd{};      // sd of ln length at this reading
  CanonInUse canon;
  std::vector<LengthHypothesis> hypotheses;  // best evidence first
  std::optional<MisplacedMark> misplaced;
  std::vector<HelpfulMark> helpful;          // best first, at most three

  [[nodiscard]] const Vec3& Joint(PointId id) const { return joints[static_cast<std::size_t>(id)]; }
  [[nodiscard]] Vec2 JointPx(PointId id) const { return camera.Project(Joint(id)); }
};

struct BodyReadingOptions {
  // Whole hypothesis scan (up to about 150 ms) or the pose alone (about 10 ms).
  bool scan_hypotheses = true;
  // Also compute which missing mark would help most (costs some more solves).
  bool find_helpful_mark = true;
  // A reading of nearly the same marks (a mark is being dragged): its body is a start. The pose
  // alone then takes a third of the time, but may stay in that body's basin; the scan looks
  // everywhere all the same. REQUIRES: outlives the call
  const BodyReading* start = nullptr;
  int threads = 1;  // of the scan; 0: all cores. The result does not depend on it
  JobControl control;
};

// Solves the 3D body behind one figure's marks. `declared` may be null: then a family
// of canons is fitted with the figure. Needs at least the marks of a trunk and one more
// limb or the head; otherwise the reading is not usable and says why - that is no error.
// Errors: kCancelled. Deterministic. Thread-safe.
[[nodiscard]] Result<BodyReading> ReadBody(const FigureMarks& marks, const Canon* declared,
                                           const BodyReadingOptions& options = {});

}  // namespace armslength
