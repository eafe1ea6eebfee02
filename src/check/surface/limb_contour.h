#pragma once
#include <cmath>
#include <cstdlib>
#include <optional>
#include <vector>

#include "check/body/body_facts.h"
#include "check/surface/silhouette.h"

// A limb's contour as cuts across its bone in the picture. Private to check/surface.
namespace armslength::surface_check {

using body_check::BodyFacts;

// One cut: from the bone's line to the contour on either side, px.
struct LimbCut {
  double t = 0.0;                  // 0 at the upper joint, 1 at the lower one
  Vec2 at = Vec2::Zero();          // on the bone's line
  double left = 0.0, right = 0.0;  // right: along `across`
  bool seen = false;               // both edges found, no wider than such a limb can be
  [[nodiscard]] double Width() const { return left + right; }
  [[nodiscard]] double Middle() const { return 0.5 * (right - left); }
};

struct LimbContour {
  BoneId bone{};
  Vec2 from = Vec2::Zero(), to = Vec2::Zero();        // joints, px
  Vec2 dir = Vec2::UnitY(), across = Vec2::UnitX();   // unit
  double length_px = 0.0;
  double unit_px = 1.0;                               // px per stature at the bone's middle
  double pixel_px = 1.0;                              // accuracy of an edge
  std::vector<LimbCut> cuts;                          // even steps of t
  [[nodiscard]] double StepT() const { return cuts.size() > 1 ? cuts[1].t - cuts[0].t : 1.0; }
};

// From a place on the bone's line to both edges of the contour, px; nothing when one is missing or they stand
// further apart than 2 `most_px`, so that another part comes in.
struct LimbEdges {
  double left = 0.0, right = 0.0;  // right: along `across`
};
[[nodiscard]] std::optional<LimbEdges> EdgesAcross(const Silhouette& silhouette, const Vec2& at, const Vec2& across, double most_px);

// Widest half-thickness that can still be this limb alone, clothes and all; stature.
[[nodiscard]] double MostHalfWidth(BoneId bone);

// Cuts from t0 to t1 (the line runs on beyond the joints). Nothing when the bone's joints are not
// marked, or when it is seen so nearly from its end that the contour is its neighbours'.
[[nodiscard]] std::optional<LimbContour> ContourOf(const BodyFacts& facts, const Silhouette& silhouette, BoneId bone, double t0,
                                                   double t1, int count);

// The same along the limb's own middle line, which lies off the marks by no more than their error: a thin limb whose
// marks lie beside it is still measured. Nothing when no such line is found or another limb runs through a cut. count >= 4.
inline constexpr double kMarkSure = 2.5;
[[nodiscard]] std::optional<LimbContour> OwnContour(const BodyFacts& facts, const Silhouette& silhouette, BoneId bone, double t0, double t1,
                                                    int count);

// How thick a part is across its own middle line.
struct Thickness {
  double stature = 0.0, log_sd = 0.0;
  Vec2 from = Vec2::Zero(), to = Vec2::Zero();  // the cut half-way
};

inline constexpr int kWidthCuts = 9;
inline constexpr double kWidthStep = 0.22;  // log, from cut to cut

// One cut across a limb's own contour.
struct CutWidth {
  int place = 0;     // of kWidthCuts
  double log = 0.0;  // of the width, stature
  Vec2 from = Vec2::Zero(), to = Vec2::Zero();
  // From here to that cut: a boot's top, or another part that comes in.
  [[nodiscard]] bool StepsTo(const CutWidth& next) const { return std::abs(next.log - log) > kWidthStep; }
  [[nodiscard]] bool NearerMiddle(const CutWidth& than) const {
    return std::abs(2 * place + 1 - kWidthCuts) < std::abs(2 * than.place + 1 - kWidthCuts);
  }
};
struct LimbWidths {
  std::vector<CutWidth> cuts;  // those seen, from the upper joint down
  double pixel = 0.0;          // accuracy of an edge, stature
  [[nodiscard]] bool Steps() const;  // anywhere from one cut to the next
};
[[nodiscard]] std::optional<LimbWidths> OwnWidths(const BodyFacts& facts, const Silhouette& silhouette, BoneId bone, double t0, double t1);

// Of cuts that make one piece.
struct LimbWidth {
  double stature = 0.0;      // geometric mean of the cuts
  double spread = 0.0;       // sd of the cuts' logarithms
  double pixel_log_sd = 0.0; // what the accuracy of an edge makes of it
  Vec2 from = Vec2::Zero(), to = Vec2::Zero();  // the cut half-way
};
// Nothing when fewer than `least` cuts are seen or the width steps.
[[nodiscard]] std::optional<LimbWidth> InOnePiece(const std::optional<LimbWidths>& widths, int least);

}  // namespace armslength::surface_check
