#pragma once
#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include <Eigen/Core>

#include "marks/figure.h"
#include "reading/body/body_reading.h"
#include "reading/head/head_profile.h"
#include "support/error.h"

namespace armslength {

// How the head is held. With q = R (p - (0, 1/2, 0)) a point p of the head frame
// (head_profile.h) lands at origin_px + scale_px * q.xy / (1 - inverse_distance * q.z), the
// picture's y turned down.
struct HeadPose {
  double yaw_rad = 0.0;    // turn; > 0: the face looks to picture right
  double pitch_rad = 0.0;  // nod; > 0: the face looks down
  double roll_rad = 0.0;   // tilt on the page; > 0: the crown leans to picture left
  double scale_px = 0.0;   // px per head height
  double inverse_distance = 0.0;  // 1 / head heights; drawings hardly tell it, it is held near 0.08
  Vec2 origin_px = Vec2::Zero();  // middle of the head: halfway from chin to top

  [[nodiscard]] Eigen::Matrix3d Rotation() const;  // y up, z towards the viewer
  [[nodiscard]] Vec2 Project(const Eigen::Vector3d& in_head) const;
};

// Ways a face can contradict itself, each one direction in the picture.
enum class HeadFaultKind : std::uint8_t {
  kEyeSize,       // far eye against near eye, ln(drawn / right for this turn)
  kEyeSpacing,    // far eye displaced along the eye line, face widths, + outwards
  kEyeLineTilt,   // both eyes turned about their middle, rad, + counter-clockwise on the page
  kEyeHeight,     // left eye above right eye, head heights
  kBrow,          // left brow above right brow, head heights
  kNoseOffset,    // sideways from the middle plane, face widths, + to the figure's left
  kMouthOffset,   // the same
  kMouthTilt,     // mouth turned about its middle, rad, + counter-clockwise on the page
  kChinOffset,    // as nose
  kJawSkew,       // both jaw corners sideways, as nose
  kFeaturesTilt,  // nod of eyes, brows, mouth minus nod of the head, rad
  kEarHeight,     // left ear above right ear, head heights
  kCount
};
inline constexpr int kHeadFaultCount = static_cast<int>(HeadFaultKind::kCount);
[[nodiscard]] std::string_view FindingId(HeadFaultKind kind);  // "face.eye.size", ...

struct HeadFault {
  HeadFaultKind kind{};
  bool tested = false;        // the marks it needs are there
  double evidence = 0.0;      // likelihood-ratio statistic, about chi-squared with 1 degree when nothing is off
  double threshold = 0.0;     // of the evidence, at 5 % family-wise, for this view and these marks
  double amount = 0.0;        // most likely size in the fault's unit
  double sd = 0.0;            // of the amount
  double tolerance = 0.0;     // below this it does not matter; source in check/face
  double smallest_visible = 0.0;  // size that marks like these show in 9 of 10 cases
  bool off = false;           // evidence passes; faults found are freed one after the other
  bool cleared = false;       // a fault of the tolerance is refused at 95 %
};

// How far one shape value lies from what a learned profile says of it.
struct HeadDeparture {
  HeadParam param{};
  double evidence = 0.0;  // likelihood-ratio statistic
  double amount = 0.0;    // drawn minus profile, in the value's unit
  double sd = 0.0;        // of the amount, the profile's own uncertainty included
};

struct HeadReading {
  bool usable = false;        // false: too few marks, profile view, no solution; see why_not
  std::string why_not;        // in the artist's words
  std::string ask;            // the mark that would help, when not usable or weak
  HeadPose pose;              // no fault assumed
  double yaw_sd_rad = 0.0, pitch_sd_rad = 0.0, roll_sd_rad = 0.0;
  double scale_log_sd = 0.0;  // of ln scale_px
  HeadProfile::Vector profile = HeadProfile::Vector::Zero();       // most likely shape
  HeadProfile::Matrix profile_cov = HeadProfile::Matrix::Zero();
  HeadProfile prior;          // what it was judged against
  int marks_used = 0;
  double sigma_px = 0.0;      // marking error used: the artist's estimate corrected by the residuals
  double sigma_given_px = 0.0;
  std::map<PointId, Vec2> model_px;     // where the consistent head has each point (all points)
  std::map<PointId, Vec2> residual_px;  // mark minus model, marked points only
  std::array<HeadFault, kHeadFaultCount> faults{};  // by kind
  // The same before any fault was freed and before calibration: what calibrate_head collects.
  std::array<HeadFault, kHeadFaultCount> raw{};
  std::vector<HeadDeparture> departures;  // only against a learned profile: proportions that marks can tell
  // So many features depart, each its own way, that no one symmetrical head was drawn: style, or
  // marks under wrong names. No fault is called then.
  bool many_ways = false;
  // Pose and shape with the faults that were found freed; equals the above when none was.
  HeadPose freed_pose;
  HeadProfile::Vector freed_profile = HeadProfile::Vector::Zero();
  std::map<PointId, Vec2> target_px;  // marked points that a found fault moves: their consistent place

  [[nodiscard]] double Param(HeadParam p) const { return profile[static_cast<int>(p)]; }
  [[nodiscard]] double ParamSd(HeadParam p) const;
  [[nodiscard]] const HeadFault& Fault(HeadFaultKind k) const { return faults[static_cast<std::size_t>(k)]; }
  // Side of the far eye: +1 left, -1 right; 0 below 20 degrees of turn, where it cannot be told.
  [[nodiscard]] int FarSide() const;
};

struct HeadReadingOptions {
  // Shape known beforehand; null: style is free.
  const HeadProfile* profile = nullptr;
  // Reading of the whole figure; gives a start and a weak prior of the head's scale. May be null.
  const BodyReading* body = nullptr;
  // Likelihood-ratio tests too, or pose and shape alone.
  bool test_faults = true;
};

// Reads one head. Needs a mark of each eye, two of {crown or head_top, chin, nose base, mouth
// centre, hairline} and one face edge (contour or jaw); six marks give pose, about 18 the whole
// check. Turn up to 70 degrees, nod up to 30, any tilt; a profile is declined in why_not.
// Accuracy at 0.5 % marking error and full marks: bench/reading_head prints it.
// Errors: kInput when left and right are swapped (cause and remedy say so). Too few marks are
// no error. About 10 ms. Deterministic, thread-safe.
[[nodiscard]] Result<HeadReading> ReadHead(const FigureMarks& marks, const HeadReadingOptions& options = {});

// Several drawings of one character, read with one shape. Each drawing is judged against what
// the *others* say about the shape, so that its own fault cannot hide in the average.
struct CharacterReading {
  HeadProfile profile;                // of the character, all usable drawings together
  std::vector<HeadReading> readings;  // one per drawing, in order
};
[[nodiscard]] Result<CharacterReading> ReadCharacter(std::span<const FigureMarks> drawings,
                                                     const HeadReadingOptions& options = {});

// One artist's habits over heads of different characters: mean and spread of the shape, and
// conventions (far eye left wide, eye slant). Unusable heads are skipped; needs three usable.
[[nodiscard]] Result<HeadProfile> LearnHeadStyle(std::span<const FigureMarks> heads, std::string name);

}  // namespace armslength
