#include "check/body/standing.h"

#include <algorithm>
#include <cmath>

#include "words/say.h"

namespace armslength {
namespace {

using B = BoneId;
using P = PointId;

std::size_t At(P id) { return static_cast<std::size_t>(id); }
std::size_t At(B id) { return static_cast<std::size_t>(id); }
std::size_t At(StandingLevel id) { return static_cast<std::size_t>(id); }

struct Lengths {
  std::array<double, kBoneCount> heads{}, sd{};
  double sole = 0.0, sole_sd = 0.0;
};

Lengths OfCanon(const Canon& canon) {
  Lengths out;
  for (int i = 0; i < kBoneCount; ++i) {
    const CanonBone& bone = canon.bones[static_cast<std::size_t>(i)];
    out.heads[static_cast<std::size_t>(i)] = bone.length;
    out.sd[static_cast<std::size_t>(i)] = bone.length * bone.spread;
  }
  out.sole = canon.sole_to_ankle;
  out.sole_sd = canon.sole_to_ankle * canon[B::kFootL].spread;
  return out;
}

double LogSd(const LengthHypothesis& h) {
  if (h.factor_low <= 0.0 || h.factor_high <= h.factor_low) return 0.0;
  return std::log(h.factor_high / h.factor_low) / (2.0 * 1.959964);
}

// Root of summed squares; the level adds one more independent bone.
double Add(double sd, double more) { return std::hypot(sd, more); }

StandingBody Stack(const Lengths& l) {
  StandingBody body;
  struct Leg {
    P hip, knee, ankle, toe;
    B thigh, shin, foot;
    double side;
  };
  struct Arm {
    P shoulder, elbow, wrist, tip;
    B upper, fore, hand;
    double side;
  };
  const std::array<Leg, 2> legs = {
      {{P::kHipL, P::kKneeL, P::kAnkleL, P::kToeL, B::kThighL, B::kShinL, B::kFootL, 1.0},
       {P::kHipR, P::kKneeR, P::kAnkleR, P::kToeR, B::kThighR, B::kShinR, B::kFootR, -1.0}}};
  const std::array<Arm, 2> arms = {
      {{P::kShoulderL, P::kElbowL, P::kWristL, P::kHandTipL, B::kUpperArmL, B::kForearmL, B::kHandL, 1.0},
       {P::kShoulderR, P::kElbowR, P::kWristR, P::kHandTipR, B::kUpperArmR, B::kForearmR, B::kHandR, -1.0}}};

  body.head = l.heads[At(B::kHead)];
  body.shoulder_width = l.heads[At(B::kShoulderWidth)];
  body.hip_width = l.heads[At(B::kHipWidth)];
  body.foot = 0.5 * (l.heads[At(B::kFootL)] + l.heads[At(B::kFootR)]);

  double hip_y = 0.0;
  for (const Leg& leg : legs) hip_y = std::max(hip_y, l.sole + l.heads[At(leg.shin)] + l.heads[At(leg.thigh)]);
  // Left and right share their error, so one side's spread stands for the pair.
  const double shin_sd = 0.5 * (l.sd[At(B::kShinL)] + l.sd[At(B::kShinR)]);
  const double thigh_sd = 0.5 * (l.sd[At(B::kThighL)] + l.sd[At(B::kThighR)]);
  const double knee_sd = Add(l.sole_sd, shin_sd), hip_sd = Add(knee_sd, thigh_sd);
  const double half_hip_sd = 0.5 * l.sd[At(B::kHipWidth)];
  for (const Leg& leg : legs) {
    const double x = leg.side * 0.5 * body.hip_width;
    const double knee_y = hip_y - l.heads[At(leg.thigh)], ankle_y = knee_y - l.heads[At(leg.shin)];
    body.joints[At(leg.hip)] = {x, hip_y};
    body.joints[At(leg.knee)] = {x, knee_y};
    body.joints[At(leg.ankle)] = {x, ankle_y};
    body.joints[At(leg.toe)] = {x + leg.side * 0.5 * l.heads[At(leg.foot)], ankle_y - l.sole};
    body.sd[At(leg.hip)] = {half_hip_sd, hip_sd};
    body.sd[At(leg.knee)] = {half_hip_sd, knee_sd};
    body.sd[At(leg.ankle)] = {half_hip_sd, l.sole_sd};
    body.sd[At(leg.toe)] = {Add(half_hip_sd, 0.5 * l.sd[At(leg.foot)]), 0.0};
  }
  const double pit_y = hip_y + l.heads[At(B::kTrunk)], pit_sd = Add(hip_sd, l.sd[At(B::kTrunk)]);
  const double chin_y = pit_y + kNeckUpShare * l.heads[At(B::kNeck)];
  const double chin_sd = Add(pit_sd, kNeckUpShare * l.sd[At(B::kNeck)]);
  const double crown_y = chin_y + body.head, crown_sd = Add(chin_sd, l.sd[At(B::kHead)]);
  const double half_shoulder_sd = 0.5 * l.sd[At(B::kShoulderWidth)];
  body.joints[At(P::kNeckPit)] = {0.0, pit_y};
  body.joints[At(P::kChin)] = {0.0, chin_y};
  body.joints[At(P::kCrown)] = {0.0, crown_y};
  body.sd[At(P::kNeckPit)] = {0.0, pit_sd};
  body.sd[At(P::kChin)] = {0.0, chin_sd};
  body.sd[At(P::kCrown)] = {0.0, crown_sd};
  for (const Arm& arm : arms) {
    const double x = arm.side * 0.5 * body.shoulder_width;
    double y = pit_y, sd = pit_sd;
    body.joints[At(arm.shoulder)] = {x, y};
    body.sd[At(arm.shoulder)] = {half_shoulder_sd, sd};
    for (const auto& [joint, bone] : {std::pair{arm.elbow, arm.upper}, {arm.wrist, arm.fore}, {arm.tip, arm.hand}}) {
      y -= l.heads[At(bone)];
      sd = Add(sd, l.sd[At(bone)]);
      body.joints[At(joint)] = {x, y};
      body.sd[At(joint)] = {half_shoulder_sd, sd};
    }
  }
  const auto mean = [&](P left) {
    return 0.5 * (body.joints[At(left)].y() + body.joints[At(Mirrored(left))].y());
  };
  body.level = {0.0, mean(P::kAnkleL), mean(P::kKneeL), hip_y, pit_y, chin_y, crown_y};
  body.level_sd = {0.0, l.sole_sd, knee_sd, hip_sd, pit_sd, chin_sd, crown_sd};
  return body;
}

Lengths Scaled(Lengths l, const LengthHypothesis& h, double factor, double log_sd) {
  for (const B bone : h.bones) {
    l.heads[At(bone)] *= factor;
    l.sd[At(bone)] = l.heads[At(bone)] * log_sd;
  }
  return l;
}

double HeadsOf(const Lengths& l) {
  const StandingBody body = Stack(l);
  return body.Height() / body.head;
}

}  // namespace

std::string_view Name(StandingLevel level) {
  constexpr std::array<std::string_view, kStandingLevelCount> kNames = {
      "sole", "ankles", "knees", "hips", "pit of the neck", "chin", "crown"};
  return kNames[At(level)];
}

StandingFigure Straighten(const BodyReading& reading) {
  StandingFigure out;
  out.canon_declared = reading.canon.declared;
  if (!reading.usable) {
    out.why_not = reading.why_not;
    return out;
  }
  const Canon& canon = reading.canon.canon;
  const Lengths usual = OfCanon(canon);
  if (usual.heads[At(B::kHead)] <= 0.0 || usual.heads[At(B::kTrunk)] <= 0.0 || canon.heads <= 0.0) {
    out.why_not = Say("There are no proportions to stand the figure up with.");
    return out;
  }
  out.usable = true;
  out.canon = Stack(usual);
  out.heads_canon = out.canon.Height() / out.canon.head;
  const std::string whose = out.canon_declared ? Say("the declared canon") : Say("the proportions fitted to this figure");

  const auto best = std::find_if(reading.hypotheses.begin(), reading.hypotheses.end(),
                                 [](const LengthHypothesis& h) { return h.off && h.factor > 0.0; });
  if (best != reading.hypotheses.end()) {
    out.basis = StandingBasis::kHypothesis;
    Lengths drawn = usual;
    // More than one can be off; the best one comes first and keeps the bones it shares.
    for (const LengthHypothesis& h : reading.hypotheses) {
      if (!h.off || h.factor <= 0.0) continue;
      if (std::any_of(h.bones.begin(), h.bones.end(), [&](B b) { return out.bone_off[At(b)]; })) continue;
      for (const B bone : h.bones) out.bone_off[At(bone)] = true;
      drawn = Scaled(drawn, h, h.factor, LogSd(h));
    }
    out.drawn = Stack(drawn);
    out.heads_drawn = HeadsOf(drawn);
    const double a = HeadsOf(Scaled(usual, *best, best->factor_low > 0.0 ? best->factor_low : best->factor, 0.0));
    const double b = HeadsOf(Scaled(usual, *best, best->factor_high > 0.0 ? best->factor_high : best->factor, 0.0));
    out.heads_low = std::min({a, b, *out.heads_drawn});
    out.heads_high = std::max({a, b, *out.heads_drawn});
    out.note = Say("Marked parts stand at the length they were drawn with, all others at {}.", whose);
    return out;
  }

  Lengths drawn = usual;
  for (std::size_t i = 0; i < drawn.heads.size(); ++i) {
    if (reading.length[i] <= 0.0) continue;
    drawn.heads[i] = reading.length[i] * canon.heads;
    drawn.sd[i] = drawn.heads[i] * reading.length_log_sd[i];
  }
  // The drawn neck is bent and turned with the pose; standing up it is the canon's.
  drawn.heads[At(B::kNeck)] = usual.heads[At(B::kNeck)];
  drawn.sd[At(B::kNeck)] = usual.sd[At(B::kNeck)];
  out.drawn = Stack(drawn);
  out.note =
      Say("No part stands out. These lengths are the likeliest for the marks together with {}; what one view "
          "leaves open "
          "is filled from there.",
          whose);
  for (const LengthHypothesis& h : reading.hypotheses) {
    if (h.bones.size() != 1 || h.bones.front() != B::kHead) continue;
    if (!reading.marked[At(P::kCrown)] || !reading.marked[At(P::kChin)]) continue;
    if (h.factor <= 0.0 || h.factor_low <= 0.0 || h.factor_high < h.factor_low) continue;
    out.heads_drawn = HeadsOf(Scaled(usual, h, h.factor, 0.0));
    out.heads_low = HeadsOf(Scaled(usual, h, h.factor_high, 0.0));
    out.heads_high = HeadsOf(Scaled(usual, h, h.factor_low, 0.0));
  }
  return out;
}

}  // namespace armslength
