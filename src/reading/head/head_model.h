#pragma once
// Inside of the head reading: the projected symmetric head, for the solver and the guides.
#include <array>
#include <cmath>

#include <Eigen/Core>

#include "reading/head/head_reading.h"

namespace armslength::head_internal {

inline constexpr int kPoseCount = 7;  // ln scale, x, y, yaw, pitch, roll, 1 / distance; picture y turned up
inline constexpr int kThetaCount = kPoseCount + kHeadParamCount;

// Points of the model, in this order everywhere inside.
inline constexpr std::array kHeadPoints = {
    PointId::kCrown,      PointId::kHeadTop,    PointId::kChin,       PointId::kJawL,       PointId::kJawR,
    PointId::kContourL,   PointId::kContourR,   PointId::kEyeLInner,  PointId::kEyeLOuter,  PointId::kEyeLTop,
    PointId::kEyeLBottom, PointId::kEyeRInner,  PointId::kEyeROuter,  PointId::kEyeRTop,    PointId::kEyeRBottom,
    PointId::kBrowLPeak,  PointId::kBrowRPeak,  PointId::kNoseBase,   PointId::kNoseTip,    PointId::kMouthL,
    PointId::kMouthR,     PointId::kMouthCentre, PointId::kHairline,  PointId::kEarLTop,    PointId::kEarLBottom,
    PointId::kEarRTop,    PointId::kEarRBottom};
inline constexpr int kHeadPointCount = static_cast<int>(kHeadPoints.size());
enum Index {
  iCrown, iHeadTop, iChin, iJawL, iJawR, iContourL, iContourR, iEyeLInner, iEyeLOuter, iEyeLTop, iEyeLBottom,
  iEyeRInner, iEyeROuter, iEyeRTop, iEyeRBottom, iBrowL, iBrowR, iNoseBase, iNoseTip, iMouthL, iMouthR, iMouthC,
  iHairline, iEarLTop, iEarLBottom, iEarRTop, iEarRBottom
};

// Marking error of a point against the artist's stated one: hair hides the crown, jaw
// corners and hairlines are soft. Working defaults.
inline constexpr std::array<double, kHeadPointCount> kNoiseFactor = {2, 2, 1, 1.5, 1.5, 1, 1, 1, 1, 1, 1, 1, 1, 1,
                                                                      1, 1, 1, 1,   1,   1, 1, 1, 1.5, 1.5, 1.5, 1.5, 1.5};
inline constexpr double kContourSlack = 4.0;  // a face-edge mark may slide along the edge
inline constexpr double kJawSlack = 2.0;      // and a jaw mark along the jaw
// Residuals beyond about this many sd count less and less where hair, partings and the round of
// the jaw make a mark mean something else than the model's point.
inline constexpr double kSoftMark = 3.0;
inline constexpr double kSectionMiddle = 0.5;

struct FaceSurface {  // front of the face: sections across are superellipses, tapering up and down
  double half_width, depth, taper, squareness;
  explicit FaceSurface(const double* shape);
  [[nodiscard]] double Girth(double y) const;           // 0..1, of width and depth
  [[nodiscard]] double Depth(double x, double y) const;  // z of the surface at (x, y)
};

// Where the 27 points land: out[2 i], out[2 i + 1], y up. `theta`: pose then shape;
// `fault`: amounts by HeadFaultKind in their units, or null. About 2 microseconds.
void ProjectHead(const double* theta, const double* fault, double* out);

}  // namespace armslength::head_internal
