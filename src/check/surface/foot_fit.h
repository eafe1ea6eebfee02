#pragma once
#include <array>
#include <optional>
#include <vector>

#include "check/body/body_facts.h"
#include "check/surface/silhouette.h"

// The toe end of a foot or shoe, fitted as a whole by two families of shapes. Private to check/surface.
namespace armslength::surface_check {

struct FootFit {
  enum Family : std::size_t { kWedge, kBlock };
  // The least each family pays for the drawn contour, nats: for what it leaves unexplained, and for how far marks, depth, roll
  // and proportions are moved to get there.
  std::array<double, 2> cost{};
  std::array<double, 2> apart{};  // mean distance left between drawn and fitted contour, stature
  std::vector<Vec2> wedge;        // outline of the best wedge, px
  std::vector<Vec2> drawn;        // places of the toe end's drawn contour, px, along the foot
  // How far the drawn shoe goes on past the toe's mark as seen: stature, and parts of ankle to toe.
  double past = 0.0, past_share = 0.0;
  // Where that is twice the marks' own error and more, and a block does better: `cost` with the toes left free to go on past their mark.
  std::array<double, 2> free_cost{};
  [[nodiscard]] double Nats() const { return cost[kWedge] - cost[kBlock]; }  // > 0 speaks for a block
  [[nodiscard]] bool GoesPast() const { return past > 0.022 && past_share > 0.22; }
  [[nodiscard]] double FreeNats() const { return free_cost[kWedge] - free_cost[kBlock]; }
};

// Nothing when the foot points along the sight or straight at its own upright, or when less of its own contour is seen than tells.
[[nodiscard]] std::optional<FootFit> FitFoot(const body_check::BodyFacts& facts, const Silhouette& silhouette, bool left);

}  // namespace armslength::surface_check
