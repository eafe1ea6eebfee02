#pragma once
#include <vector>

#include "reading/head/head_reading.h"

namespace armslength {

// Construction lines of a read head, in picture pixels, as a drawing teacher would lay them
// over a head: each follows the solved solid, so that the true features lie on it.
struct HeadCurves {
  std::vector<Vec2> middle;     // top of the skull down brow, nose root, nose base, mouth to the chin
  std::vector<Vec2> eyes, brow, nose, mouth;  // across the face, face edge to face edge
  std::vector<Vec2> ball;       // outline of the skull ball, closed
  std::vector<Vec2> equator;    // brow line carried round the ball, near half
  std::vector<Vec2> side_plane; // flat side of the skull towards the viewer, closed; empty near face-on
  std::vector<Vec2> side_cross_up, side_cross_along;  // through the middle of the side plane
  std::vector<Vec2> jaw_near, jaw_far;  // side of the skull to jaw corner to chin; far may be empty
};

// Accuracy: bench/detection_head prints how far true features lie from these curves.
[[nodiscard]] HeadCurves CurvesOf(const HeadPose& pose, const HeadProfile::Vector& profile);

// Distance of a point from a polyline, px.
[[nodiscard]] double DistanceToCurve(const Vec2& point, const std::vector<Vec2>& curve);

}  // namespace armslength
