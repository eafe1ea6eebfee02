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
};

// From the seen widths and slopes of shoulders and hips, whose true widths and side lean are open, and from a collar drawn from
// edge to edge: its opening slopes down to the front, so that turned it tips to the side. Nothing when hips, shoulders or the pit of
// the neck are not marked.
[[nodiscard]] std::optional<TurnBeliefs> TrunkTurnBeliefs(const body_check::BodyFacts& facts, const std::optional<RingShape>& collar);

}  // namespace armslength::surface_check
