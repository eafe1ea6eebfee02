#include "reading/body/canon_family.h"

#include "words/say.h"

namespace armslength::body {
namespace {

void Set(Proportions& p, BoneId id, double length, double spread) {
  for (BoneId side : {id, Mirrored(id)}) {
    p.length[At(side)] = length;
    p.spread[At(side)] = spread;
  }
}
void Weigh(LengthColumn& column, BoneId id, double weight) {
  column.weight[At(id)] = column.weight[At(Mirrored(id))] = weight;
}

// Lengths: the average adult of Drillis & Contini 1966 in stature units, widths between
// it and the head-count canons. Spreads and columns span the built-in canons from three to
// eight and a half heads, measured against the trunk: there the limbs keep their inner ratios
// within 1 %, while head, hand and foot grow together (ratios 1 : 0.5 : 0.4 in logarithms).
// Cartoons stray further inside a limb than canons do, hence 7 and 9 % there (judgement).
CanonFamily MakeFreeStyle() {
  CanonFamily family;
  Proportions& p = family.middle;
  Set(p, BoneId::kHead, 0.130, 0.02);
  Set(p, BoneId::kNeck, 0.066, 0.25);
  Set(p, BoneId::kTrunk, 0.288, 0.03);
  Set(p, BoneId::kShoulderWidth, 0.240, 0.15);
  Set(p, BoneId::kHipWidth, 0.165, 0.22);
  Set(p, BoneId::kUpperArmL, 0.186, 0.09);
  Set(p, BoneId::kForearmL, 0.146, 0.09);
  Set(p, BoneId::kHandL, 0.108, 0.12);
  Set(p, BoneId::kThighL, 0.245, 0.07);
  Set(p, BoneId::kShinL, 0.246, 0.07);
  Set(p, BoneId::kFootL, 0.1214, 0.12);
  p.left_right_sd = 0.02;
  p.heads = 1.0 / 0.130;

  LengthColumn head, legs, arms;
  Weigh(head, BoneId::kHead, 1.0);
  Weigh(head, BoneId::kHandL, 0.5);
  Weigh(head, BoneId::kFootL, 0.4);
  Weigh(head, BoneId::kNeck, 0.1);
  head.mean = 0.15;
  head.sd = 0.45;
  for (BoneId id : {BoneId::kThighL, BoneId::kShinL}) Weigh(legs, id, 1.0);
  legs.mean = -0.05;
  legs.sd = 0.20;
  for (BoneId id : {BoneId::kUpperArmL, BoneId::kForearmL}) Weigh(arms, id, 1.0);
  Weigh(arms, BoneId::kHandL, 0.5);
  arms.sd = 0.12;
  family.columns = {head, legs, arms};
  return family;
}

}  // namespace

const CanonFamily& FreeStyle() {
  static const CanonFamily family = MakeFreeStyle();
  return family;
}

Canon CanonAt(const CanonFamily& family, const Params& x) {
  PerBone<double> length = family.middle.length;
  for (std::size_t c = 0; c < family.columns.size(); ++c)
    for (std::size_t b = 0; b < length.size(); ++b)
      length[b] *= std::exp(family.columns[c].weight[b] * x[kFixedParams + c]);
  Canon canon;
  canon.name = "fitted";
  canon.title = Later("Fitted with the figure");
  canon.source = "fitted to the marks; no canon was declared";
  const double head = length[At(BoneId::kHead)];
  for (std::size_t b = 0; b < length.size(); ++b)
    canon.bones[b] = {length[b] / head, family.middle.spread[b]};
  canon.sole_to_ankle = 0.039 / 0.246 * length[At(BoneId::kShinL)] / head;
  canon.heads = StandingHeads(canon);
  return canon;
}

}  // namespace armslength::body
