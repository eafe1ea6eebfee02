#pragma once
#include <string>
#include <vector>

#include "check/body/body_facts.h"
#include "check/finding.h"
#include "check/pixels/lit_limb.h"
#include "check/surface/silhouette.h"
#include "picture/picture.h"

// The families of surface checks, each appends its findings. Private to check/surface.
namespace armslength::surface_check {

// A ring's or area's name as the last part of a finding id: lower case, and '_' for all but
// letters, digits, '-' and '_'.
[[nodiscard]] inline std::string IdPart(std::string name) {
  for (char& c : name) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    const bool plain = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
    if (!plain) c = '_';
  }
  return name.empty() ? "unnamed" : name;
}

void CheckRings(const body_check::BodyFacts& facts, std::vector<Finding>& out);
// `silhouette` may be null: then only rings tell the trunk's edges.
void CheckCentreFront(const body_check::BodyFacts& facts, const Silhouette* silhouette, std::vector<Finding>& out);
void CheckPatterns(const body_check::BodyFacts& facts, const Picture& picture, std::vector<Finding>& out);
void CheckFolds(const body_check::BodyFacts& facts, const Picture& picture, std::vector<Finding>& out);
// Shoes without a wedge, and limbs of a pair drawn differently thick, from the figure's contour.
void CheckFeetShape(const body_check::BodyFacts& facts, const Silhouette& silhouette, std::vector<Finding>& out);
void CheckLimbThickness(const body_check::BodyFacts& facts, const Silhouette& silhouette, std::vector<Finding>& out);
// A limb's two pieces at a boot top, a cuff, a hem or behind something: in one line or beside each other.
void CheckLimbLine(const body_check::BodyFacts& facts, const Silhouette& silhouette, std::vector<Finding>& out);
// Legs, neck and waist far thinner or thicker than usual (observations), a bare limb that widens towards its joint.
void CheckGirth(const body_check::BodyFacts& facts, const Silhouette& silhouette, std::vector<Finding>& out);
// Which side of limbs and trunk the light falls on; the parts read, for the picture's own check of light.
std::vector<LitLimb> CheckPartLight(const body_check::BodyFacts& facts, const Silhouette& silhouette, const Picture& picture,
                                    std::vector<Finding>& out);
// Outlined hands and fingers: lengths, arcs, handedness; size against the face. Marks alone.
void CheckHands(const body_check::BodyFacts& facts, std::vector<Finding>& out);

}  // namespace armslength::surface_check
