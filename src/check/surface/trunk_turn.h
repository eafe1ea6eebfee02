#pragma once
#include <optional>
#include <span>
#include <vector>

#include "check/body/body_facts.h"
#include "check/surface/ring_shape.h"

// Which way the trunk faces, as all that the picture says leaves it open. Private to check/surface.
namespace armslength::surface_check {

// Weights over turns of hips and shoulders: 0 faces the viewer, + turns to picture right. A front that can be
// seen at all lies between the outermost steps.
struct TurnBeliefs {
  std::vector<double> turn_rad;         // the steps, the same for hips and shoulders
  std::vector<double> hips, shoulders;  // log likelihood of each step, the largest 0
  double twist_sd = 0.0;                // shoulders against hips, rad
  Vec2 front_px = Vec2::Zero();         // where a front facing the viewer points on the picture, per unit

  // Log likelihood of these two steps together; most pairs are not worth going into.
  [[nodiscard]] double Likely(std::size_t of_hips, std::size_t of_shoulders) const {
    const double twist = (turn_rad[of_shoulders] - turn_rad[of_hips]) / twist_sd;
    return hips[of_hips] + shoulders[of_shoulders] - 0.5 * twist * twist;
  }
  static constexpr double kUnlikely = -8.0;
};

// The trunk as it is looked at, unit vectors.
struct TrunkView {
  Vec3 right, up, away;  // across the sight to picture right, along the trunk, from the viewer
};

// Nothing when it is looked at along itself. REQUIRES hips and pit of the neck marked.
[[nodiscard]] std::optional<TrunkView> ViewOfTrunk(const body_check::BodyFacts& facts);

// From the seen widths and slopes of shoulders and hips, whose true widths and side lean are open, and from a collar drawn from
// edge to edge: its opening slopes down to the front, so that turned it tips to the side. Nothing when hips, shoulders or the pit of
// the neck are not marked.
[[nodiscard]] std::optional<TurnBeliefs> TrunkTurnBeliefs(const body_check::BodyFacts& facts, const std::optional<RingShape>& collar);

}  // namespace armslength::surface_check
