#pragma once
#include <array>
#include <vector>

#include "reading/body/body_reading.h"
#include "reading/head/head_reading.h"

namespace armslength::app {

// A patch of the clay body: four corners round it. Body space (stature units).
struct ClayPatch {
  std::array<Vec3, 4> corner, normal;  // normals point out, length 1
  std::array<bool, 4> line{};          // the edge from corner i to the next carries a contour line
};

// A plain figure of rounded limbs, an egg of a head with its middle line and eye line, and a trunk
// lofted from hips to shoulders, so that turn and twist are seen. Joints are those of the reading.
// Breadths are a fixed convention and say nothing about anybody's build.
struct ClayBody {
  std::vector<ClayPatch> patches;
  Vec3 centre = Vec3::Zero();  // what the view turns about
};
// `head` may be null: then the face looks where the chest looks. REQUIRES: body.usable
[[nodiscard]] ClayBody ModelClay(const BodyReading& body, const HeadReading* head);

// Lengths that are off: the drawn bones, and the same with the canon's length, joint after joint.
struct ClayLength {
  std::vector<Vec3> drawn, target;  // polylines through joints
};
[[nodiscard]] std::vector<ClayLength> LengthsOff(const BodyReading& body);

}  // namespace armslength::app
