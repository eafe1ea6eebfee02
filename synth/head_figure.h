#pragma once
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "marks/figure.h"
#include "reading/head/head_reading.h"

namespace armslength {

enum class SynthHeadStyle : std::uint8_t { kClassical, kLargeEyed, kMixed };  // mixed: either, by seed
enum class SynthHeadMarks : std::uint8_t { kSix, kTwelve, kFull };            // full: up to 21, what can be seen

struct SynthHeadOptions {
  unsigned seed = 1;
  std::optional<unsigned> character;  // shape by this seed instead: several drawings of one head
  SynthHeadStyle style = SynthHeadStyle::kMixed;
  double yaw_low_deg = 0.0, yaw_high_deg = 40.0;  // amount of turn, uniform, either way
  std::optional<double> yaw_deg, pitch_deg, roll_deg;  // else turn as above, nod within 30, tilt within 40 degrees
  double sigma = 0.005;        // marking error, sd per axis, head heights
  double asymmetry = 0.001;    // of the features in the head, sd, head heights: nothing one would see
  bool perspective = true;     // seen from 6 to 25 head heights
  SynthHeadMarks marks = SynthHeadMarks::kFull;
  bool ears = false, hidden_marked = false;
  double far_eye_convention = 0.0;  // 1: the far eye is drawn as wide as the near one
  double mouth_lift_sd = 0.01;      // smiles and pouts
  std::vector<std::pair<HeadFaultKind, double>> faults;  // in the fault's unit (head_reading.h)
  double height_px = 1000.0;
};

struct SynthHead {
  FigureMarks marks;          // what an artist would hand in; marking_error_px set
  MarkedPicture picture;
  HeadPose pose;              // true
  double face_width_px = 0.0;
  std::map<PointId, Vec2> drawn_px;   // exact place of every point as drawn, faults included
  std::map<PointId, Vec2> right_px;   // without the faults
  std::map<PointId, Eigen::Vector3d> in_head;  // true 3D
  bool large_eyed = false;
};

// A drawn head with known truth, made by a richer construction than the reading fits: sections
// with two exponents and cheekbones, splined profile, eyes on eyeballs, true perspective,
// outline of the solid, slight asymmetry. Deterministic for equal options on one platform.
[[nodiscard]] SynthHead MakeHead(const SynthHeadOptions& options);

}  // namespace armslength
