#include "reading/body/body_problem.h"

#include <algorithm>

#include "words/say.h"

namespace armslength::body {
namespace {

using P = PointId;

Flag FlagOf(Depth depth) {
  switch (depth) {
    case Depth::kToward: return Flag::kToward;
    case Depth::kAway: return Flag::kAway;
    case Depth::kFlat: return Flag::kFlat;
  }
  return Flag::kNone;
}

// Picture length of a bone over its canon length; nothing when an end is not marked.
std::optional<double> DrawnOverCanon(const BodyProblem& problem, BoneId id) {
  const double length = problem.proportions.length[At(id)];
  if (id == BoneId::kTrunk) {
    const bool l = problem.marked[At(P::kHipL)], r = problem.marked[At(P::kHipR)];
    if (!problem.marked[At(P::kNeckPit)] || (!l && !r)) return std::nullopt;
    const Vec2 hips = l && r ? Vec2(0.5 * (problem.at[At(P::kHipL)] + problem.at[At(P::kHipR)]))
                             : problem.at[At(l ? P::kHipL : P::kHipR)];
    return (problem.at[At(P::kNeckPit)] - hips).norm() / length;
  }
  const BoneEnds ends = Ends(id);
  if (!problem.marked[At(ends.from)] || !problem.marked[At(ends.to)]) return std::nullopt;
  return (problem.at[At(ends.to)] - problem.at[At(ends.from)]).norm() / length;
}

// Places unmarked joints roughly, in the same unit as the marks: only starts use them.
void GuessUnmarked(BodyProblem& problem) {
  const auto has = [&](P id) { return static_cast<bool>(problem.marked[At(id)]); };
  const auto at = [&](P id) -> Vec2& { return problem.at[At(id)]; };
  const auto length = [&](BoneId id) { return problem.proportions.length[At(id)]; };
  const bool sl = has(P::kShoulderL), sr = has(P::kShoulderR), hl = has(P::kHipL), hr = has(P::kHipR);
  if (!has(P::kNeckPit)) {
    if (sl && sr) at(P::kNeckPit) = 0.5 * (at(P::kShoulderL) + at(P::kShoulderR));
    else if (sl || sr) at(P::kNeckPit) = at(sl ? P::kShoulderL : P::kShoulderR);
    else if (has(P::kChin)) at(P::kNeckPit) = at(P::kChin) + Vec2(0, length(BoneId::kNeck));
    else at(P::kNeckPit) = at(hl ? P::kHipL : P::kHipR) - Vec2(0, length(BoneId::kTrunk));
  }
  // A missing one of a pair mirrors the other about the trunk's axis.
  const Vec2 pit = at(P::kNeckPit);
  if (!sl && !sr) at(P::kShoulderL) = at(P::kShoulderR) = pit;
  else if (!sl) at(P::kShoulderL) = 2 * pit - at(P::kShoulderR);
  else if (!sr) at(P::kShoulderR) = 2 * pit - at(P::kShoulderL);
  if (!hl && !hr) at(P::kHipL) = at(P::kHipR) = pit + Vec2(0, 0.95 * length(BoneId::kTrunk));
  else if (!hl) at(P::kHipL) = at(P::kHipR) + 0.5 * (at(P::kShoulderL) - at(P::kShoulderR));
  else if (!hr) at(P::kHipR) = at(P::kHipL) + 0.5 * (at(P::kShoulderR) - at(P::kShoulderL));
  if (!has(P::kChin)) at(P::kChin) = pit - Vec2(0, 0.7 * length(BoneId::kNeck));
  if (!has(P::kCrown)) at(P::kCrown) = at(P::kChin) - Vec2(0, 0.95 * length(BoneId::kHead));
  for (int b = static_cast<int>(BoneId::kUpperArmL); b < kBoneCount; ++b) {
    const auto id = static_cast<BoneId>(b);  // the enum runs outwards
    const BoneEnds ends = Ends(id);
    if (!has(ends.to)) at(ends.to) = at(ends.from) + Vec2(0, (id >= BoneId::kFootL ? 0.3 : 0.7) * length(id));
  }
}

}  // namespace

Proportions ProportionsFrom(const Canon& canon) {
  Proportions p;
  p.heads = StandingHeads(canon);
  for (std::size_t i = 0; i < p.length.size(); ++i) {
    p.length[i] = canon.bones[i].length / p.heads;
    p.spread[i] = std::clamp(canon.bones[i].spread, 0.01, 0.5);
  }
  return p;
}

std::vector<LengthColumn> PartColumns(const Canon& canon) {
  std::vector<LengthColumn> columns;
  const auto add = [&](double sd, std::initializer_list<BoneId> bones) {
    if (!(sd > 0.0)) return;
    LengthColumn column;
    column.sd = sd;
    for (BoneId id : bones) column.weight[At(id)] = column.weight[At(Mirrored(id))] = 1.0;
    columns.push_back(column);
  };
  add(canon.part_spreads.head, {BoneId::kHead});
  add(canon.part_spreads.trunk, {BoneId::kTrunk});
  add(canon.part_spreads.arms, {BoneId::kUpperArmL, BoneId::kForearmL, BoneId::kHandL});
  add(canon.part_spreads.legs, {BoneId::kThighL, BoneId::kShinL, BoneId::kFootL});
  return columns;
}

tl::expected<BodyProblem, std::string> MakeProblem(const FigureMarks& marks, const Proportions& proportions) {
  BodyProblem problem;
  problem.proportions = proportions;
  int count = 0;
  for (int j = 0; j < kBodyPointCount; ++j)
    if (const auto p = marks.At(static_cast<P>(j)); p && p->allFinite()) {
      problem.marked[static_cast<std::size_t>(j)] = true;
      problem.at[static_cast<std::size_t>(j)] = *p;
      ++count;
    }
  const auto has = [&](P id) { return static_cast<bool>(problem.marked[At(id)]); };
  const bool top = has(P::kNeckPit) || has(P::kShoulderL) || has(P::kShoulderR);
  const bool hips = has(P::kHipL) || has(P::kHipR);
  if (!top || !hips)
    return tl::unexpected(
        Say("The body cannot be read without its trunk: mark the pit of the neck (or a "
            "shoulder) and a hip."));
  if (count < 5)
    return tl::unexpected(
        Say("Too few body points are marked: besides the trunk, mark the head or at least "
            "one arm or leg."));

  // Picture unit: about one standing height, judged from the less foreshortened bones.
  std::vector<double> sizes;
  for (int b = 0; b < kBoneCount; ++b) {
    const auto id = static_cast<BoneId>(b);
    if (id == BoneId::kNeck || (id >= BoneId::kHandL && id <= BoneId::kHandR) || id >= BoneId::kFootL) continue;
    if (const auto size = DrawnOverCanon(problem, id)) sizes.push_back(*size);
  }
  if (sizes.empty()) return tl::unexpected(Say("No bone has both its ends marked."));
  std::sort(sizes.begin(), sizes.end());
  problem.unit_px = sizes[static_cast<std::size_t>(std::lround(0.8 * static_cast<double>(sizes.size() - 1)))];
  if (!(problem.unit_px > 1.0)) return tl::unexpected(Say("The marks lie in one spot; nothing can be measured."));

  const bool l = has(P::kHipL), r = has(P::kHipR);
  problem.origin_px = l && r ? Vec2(0.5 * (problem.at[At(P::kHipL)] + problem.at[At(P::kHipR)]))
                             : problem.at[At(l ? P::kHipL : P::kHipR)];
  for (std::size_t j = 0; j < problem.at.size(); ++j)
    if (problem.marked[j]) problem.at[j] = (problem.at[j] - problem.origin_px) / problem.unit_px;
  GuessUnmarked(problem);

  problem.sigma_given = marks.marking_error_px.has_value() && *marks.marking_error_px > 0.0;
  problem.sigma_px = problem.sigma_given ? *marks.marking_error_px : 0.01 * problem.unit_px;
  // Closer than a thousandth of the figure nobody marks a joint.
  problem.sigma_px = std::clamp(problem.sigma_px, 1e-3 * problem.unit_px, 0.1 * problem.unit_px);
  problem.sigma.fill(problem.sigma_px / problem.unit_px);
  for (const auto& [id, error_px] : marks.point_error_px)
    if (static_cast<int>(id) < kBodyPointCount && error_px > 0.0)
      problem.sigma[At(id)] = std::clamp(error_px / problem.unit_px, 1e-3, 1.0);
  for (const auto& [bone, depth] : marks.depth) problem.flag[At(bone)] = FlagOf(depth);
  if (const auto top_mark = marks.At(P::kHeadTop); top_mark && has(P::kChin)) {
    const double box = (*top_mark - *marks.At(P::kChin)).norm() / problem.unit_px;
    if (box > 1e-3) problem.head_box = box;
  }
  return problem;
}

}  // namespace armslength::body
