#include "check/surface/limb_contour.h"

namespace armslength::surface_check {

double MostHalfWidth(BoneId bone) {
  switch (bone) {
    case BoneId::kThighL: case BoneId::kThighR: return 0.100;
    case BoneId::kShinL: case BoneId::kShinR: return 0.075;
    default: return 0.065;
  }
}

std::optional<LimbEdges> EdgesAcross(const Silhouette& silhouette, const Vec2& at, const Vec2& across, double most_px) {
  const auto right = silhouette.ToEdge(at, across, 1.6 * most_px), left = silhouette.ToEdge(at, -across, 1.6 * most_px);
  if (!right || !left || *right + *left > 2.0 * most_px) return std::nullopt;
  return LimbEdges{*left, *right};
}

std::optional<LimbContour> ContourOf(const BodyFacts& facts, const Silhouette& silhouette, BoneId bone, double t0, double t1,
                                     int count) {
  if (!facts.BoneMarked(bone) || count < 2) return std::nullopt;
  const BoneEnds ends = Ends(bone);
  LimbContour c;
  c.bone = bone;
  c.from = facts.Px(ends.from);
  c.to = facts.Px(ends.to);
  const Vec3 from = facts.Joint(ends.from).at, to = facts.Joint(ends.to).at;
  c.length_px = (c.to - c.from).norm();
  c.unit_px = facts.PxPerStature(0.5 * (from.z() + to.z()));
  if (c.length_px < 0.5 * c.unit_px * (to - from).norm() || c.length_px < 12.0) return std::nullopt;
  c.dir = (c.to - c.from) / c.length_px;
  c.across = {-c.dir.y(), c.dir.x()};
  c.pixel_px = silhouette.PixelPx();
  for (int i = 0; i < count; ++i) {
    LimbCut cut;
    cut.t = t0 + (t1 - t0) * i / (count - 1);
    cut.at = c.from + cut.t * (c.to - c.from);
    const double most = MostHalfWidth(bone) * facts.PxPerStature(from.z() + cut.t * (to.z() - from.z()));
    if (const auto edges = EdgesAcross(silhouette, cut.at, c.across, most)) {
      cut.right = edges->right;
      cut.left = edges->left;
      cut.seen = true;
    }
    c.cuts.push_back(cut);
  }
  return c;
}

}  // namespace armslength::surface_check
