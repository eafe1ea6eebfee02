#pragma once
#include <optional>
#include <string>
#include <vector>

#include "check/body/body_facts.h"
#include "check/surface/ring_shape.h"
#include "check/surface/silhouette.h"

// The trunk's own edges at some heights. Private to check/surface.
namespace armslength::surface_check {

// Ends of belts and collars, the outline of the figure.
struct Station {
  Vec2 from = Vec2::Zero(), to = Vec2::Zero();  // px, picture-left edge first as the figure stands upright
  double height = 0.0;                          // along the trunk, hips 0, pit 1
  bool neck = false;
};

// The trunk as it lies on the picture, px. REQUIRES hips and pit of the neck marked.
struct TrunkOnPicture {
  Vec2 hips, pit, up, right;  // unit vectors; picture right when the trunk stands upright (y down)
  explicit TrunkOnPicture(const body_check::BodyFacts& facts);
  // Along the trunk, hips 0, pit 1.
  [[nodiscard]] double HeightOf(const Vec2& at_px) const;
};

struct RingStations {
  std::vector<Station> stations;    // by height
  std::optional<RingShape> collar;  // the first one
};

// Rings round trunk and neck that run across the trunk; hems and skirts left out.
[[nodiscard]] RingStations StationsOfRings(const body_check::BodyFacts& facts, const TrunkOnPicture& trunk);

// The trunk's own edges on the figure's contour. Nothing when an arm comes near, or when the contour is too wide or
// too lopsided to be the trunk's.
[[nodiscard]] std::optional<Station> ContourAt(const body_check::BodyFacts& facts, const Silhouette& silhouette,
                                               const TrunkOnPicture& trunk, double height);

}  // namespace armslength::surface_check
