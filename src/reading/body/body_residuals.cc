#include "reading/body/body_residuals.h"

#include <algorithm>

namespace armslength::body {
namespace {

constexpr int J(PointId id) { return static_cast<int>(id); }
constexpr double kTiny = 1e-14;  // keeps lengths of collapsed bones differentiable

// Priors of pose and camera, stature units and cosines. Spreads of relative depth (the
// share of a bone's length that points along the view) say how often artists foreshorten
// which bone; they and the joint limits are defaults of ours, not measurements.
constexpr PerBone<double> kDepthSd = {.40, .0, .35, .60, .60, .50, .50, .60, .60,
                                      .60, .60, .50, .50, .45, .45, .65, .65};
// A high or low viewpoint turns everything that stands or hangs the same way. Share of the
// elevation's sine that each bone's relative depth is expected to follow.
constexpr PerBone<double> kHang = {-1.0, 0.0, -1.0, 0.0, 0.0, 0.7, 0.7, 0.5, 0.5,
                                   0.5,  0.5, 0.7,  0.7, 0.9, 0.9, 0.0, 0.0};
constexpr double kShortTrunkSd = 0.05;   // a bent spine brings the pit closer to the hips
constexpr double kPitOffSd = 0.015;      // pit of the neck off the middle of the shoulders
constexpr double kCrownPitSd = 0.015;
constexpr double kFlagC2 = 2.5;          // flags may be mistaken: robust
constexpr double kFlatLimit = 0.36, kTurnedLimit = 0.30, kFlagSd = 0.08;
constexpr double kHeadBoxSd = 0.03;
constexpr double kSkullDepth = 0.85;     // skull length front to back / height
constexpr double kDistanceMean = 0.15, kDistanceSd = 0.08, kNearest = 0.36, kFarthest = 0.03;
constexpr double kElevationMean = 0.08, kElevationSd = 0.12, kElevationC2 = 4.0;
constexpr double kDirectionSd = 0.6;     // unmarked ends of bones: very loosely downwards

// The limbs: proximal joint, the rest outwards, and the bones between.
struct Limb {
  std::array<PointId, 4> joint;
  std::array<BoneId, 3> bone;
};
constexpr std::array<Limb, 4> kLimbs = {{
    {{PointId::kShoulderL, PointId::kElbowL, PointId::kWristL, PointId::kHandTipL},
     {BoneId::kUpperArmL, BoneId::kForearmL, BoneId::kHandL}},
    {{PointId::kShoulderR, PointId::kElbowR, PointId::kWristR, PointId::kHandTipR},
     {BoneId::kUpperArmR, BoneId::kForearmR, BoneId::kHandR}},
    {{PointId::kHipL, PointId::kKneeL, PointId::kAnkleL, PointId::kToeL},
     {BoneId::kThighL, BoneId::kShinL, BoneId::kFootL}},
    {{PointId::kHipR, PointId::kKneeR, PointId::kAnkleR, PointId::kToeR},
     {BoneId::kThighR, BoneId::kShinR, BoneId::kFootR}},
}};

template <typename Sink>
class Emitter {
 public:
  Emitter(const BodyModel& model, const Params& x, Sink& sink, bool idle_hinges)
      : model_(model), problem_(*model.problem), x_(x), sink_(sink), idle_(idle_hinges) {}

  void All() {
    Offsets();
    for (int b = 0; b < kBoneCount; ++b) bones_[static_cast<std::size_t>(b)] = BoneSpan(static_cast<BoneId>(b));
    TorsoFrame();
    Marks();
    Lengths();
    LeftRight();
    HeadAndNeck();
    Torso();
    for (int limb = 0; limb < 4; ++limb) LimbLimits(limb);
    Unmarked();
    Camera();
    Columns();
  }

  void OneLimb(int limb) {
    for (BoneId b : {BoneId::kTrunk, BoneId::kHipWidth}) bones_[At(b)] = BoneSpan(b);
    TorsoFrame();
    for (BoneId b : kLimbs[static_cast<std::size_t>(limb)].bone) {
      bones_[At(b)] = BoneSpan(b);
      DepthRows(b);
    }
    LimbLimits(limb);
  }

 private:
  [[nodiscard]] Vec3 P(int joint) const {
    const double* p = x_.data() + static_cast<std::ptrdiff_t>(3) * joint;
    return {p[0], p[1], p[2]};
  }
  [[nodiscard]] Vec3 P(PointId id) const { return P(J(id)); }

  static void Finish(Span& s) {
    s.norm = std::sqrt(s.v.squaredNorm() + kTiny);
    s.unit = s.v / s.norm;
  }
  [[nodiscard]] Span Between(PointId from, PointId to) const {
    Span s;
    s.v = P(to) - P(from);
    s.count = 2;
    s.joint = {J(to), J(from), 0};
    s.weight = {1.0, -1.0, 0.0};
    Finish(s);
    return s;
  }
  [[nodiscard]] Span BoneSpan(BoneId id) const {
    if (id == BoneId::kTrunk) {  // from the middle of the hips to the pit
      Span s;
      s.v = P(PointId::kNeckPit) - 0.5 * (P(PointId::kHipL) + P(PointId::kHipR));
      s.count = 3;
      s.joint = {J(PointId::kNeckPit), J(PointId::kHipL), J(PointId::kHipR)};
      s.weight = {1.0, -0.5, -0.5};
      Finish(s);
      return s;
    }
    const BoneEnds ends = Ends(id);
    return Between(ends.from, ends.to);
  }

  // ln of the length the model expects over the canon's.
  void Offsets() {
    offset_.fill(0.0);
    for (std::size_t c = 0; c < model_.columns.size(); ++c)
      for (std::size_t b = 0; b < offset_.size(); ++b)
        offset_[b] += model_.columns[c].weight[b] * x_[kFixedParams + c];
  }
  void AddOffset(BoneId id, double g) {  // gradient of a residual that holds g * offset(id)
    if constexpr (Sink::kGradients)
      for (std::size_t c = 0; c < model_.columns.size(); ++c)
        if (const double w = model_.columns[c].weight[At(id)]; w != 0.0)
          row_.Add(kFixedParams + static_cast<int>(c), g * w);
  }
  void AddSpan(const Span& s, const Vec3& g) {
    if constexpr (Sink::kGradients)
      for (std::size_t i = 0; i < static_cast<std::size_t>(s.count); ++i)
        row_.AddPoint(s.joint[i], s.weight[i] * g);
  }
  void AddParam(int param, double g) {
    if constexpr (Sink::kGradients) row_.Add(param, g);
  }
  // Gradient of w * dot(a.unit, b) with respect to a, b constant.
  void AddUnit(const Span& a, const Vec3& b, double dot, double w) {
    if constexpr (Sink::kGradients) AddSpan(a, (b - dot * a.unit) * (w / a.norm));
  }
  void AddDot(const Span& a, const Span& b, double dot, double w) {
    AddUnit(a, b.unit, dot, w);
    AddUnit(b, a.unit, dot, w);
  }
  // Gradient of w * dot(front, b) with respect to the torso: front = lateral x up, scaled.
  void AddFront(const Vec3& b, double dot, double w) {
    if constexpr (Sink::kGradients) {
      const Vec3 g = (b - dot * front_) * (w / front_norm_);
      const Span& up = bones_[At(BoneId::kTrunk)];
      const Span& lateral = bones_[At(BoneId::kHipWidth)];
      AddSpan(lateral, up.v.cross(g));
      AddSpan(up, g.cross(lateral.v));
    }
  }
  void Begin() {
    if constexpr (Sink::kGradients) row_.Start();
  }
  void Take(double r, RowKind kind = RowKind::kPrior) { sink_.Take(r, row_, kind); }

  // One-sided dot(a, b) * sign <= limit, as `slope` per unit of the dot.
  void DotLimit(const Span& a, const Span& b, double sign, double limit, double slope) {
    const double dot = a.unit.dot(b.unit);
    const double r = (sign * dot - limit) * slope;
    if (r <= 0.0) return Idle();
    Begin();
    AddDot(a, b, dot, sign * slope);
    Take(r);
  }
  void FrontLimit(const Span& a, double limit, double slope) {  // -dot(a, front) <= limit
    const double dot = a.unit.dot(front_);
    const double r = (-dot - limit) * slope;
    if (r <= 0.0) return Idle();
    Begin();
    AddUnit(a, front_, dot, -slope);
    AddFront(a.unit, dot, -slope);
    Take(r);
  }
  void Idle(RowKind kind = RowKind::kPrior) {
    if (!idle_) return;
    Begin();
    sink_.Take(0.0, row_, kind);
  }

  void TorsoFrame() {
    const Vec3 cross = bones_[At(BoneId::kHipWidth)].v.cross(bones_[At(BoneId::kTrunk)].v);
    front_norm_ = std::sqrt(cross.squaredNorm() + 1e-10);
    front_ = cross / front_norm_;
  }

  void Marks() {
    const double scale = std::exp(x_[kLogScale]), kappa = x_[kInverseDistance];
    for (int j = 0; j < kBodyPointCount; ++j) {
      const auto n = static_cast<std::size_t>(j);
      if (!problem_.marked[n]) continue;
      double sigma = problem_.sigma[n];
      if (model_.misplaced && J(*model_.misplaced) == j) sigma = std::hypot(sigma, kMisplacedSd);
      const double w = 1.0 / sigma;
      const Vec3 p = P(j);
      const double inverse = 1.0 / (1.0 + kappa * p.z());
      const double q = scale * inverse;
      for (int axis = 0; axis < 2; ++axis) {
        Begin();
        const double projected = p[axis] * q;
        if constexpr (Sink::kGradients) {
          row_.Add(3 * j + axis, w * q);
          row_.Add(3 * j + 2, -w * projected * kappa * inverse);
          row_.Add(kLogScale, w * projected);
          row_.Add(kInverseDistance, -w * projected * p.z() * inverse);
        }
        Take((projected - problem_.at[n][axis]) * w, RowKind::kMark);
      }
    }
  }

  void DepthRows(BoneId id) {
    const Span& s = bones_[At(id)];
    const double f = s.unit.z();
    const Vec3 axis = Vec3::UnitZ();
    if (kDepthSd[At(id)] > 0.0) {
      const double w = 1.0 / kDepthSd[At(id)], hang = kHang[At(id)];
      Begin();
      AddUnit(s, axis, f, w);
      if (hang != 0.0) AddParam(kElevation, -w * hang * std::cos(x_[kElevation]));
      Take(w * (f - hang * std::sin(x_[kElevation])));
    }
    const Flag flag = problem_.flag[At(id)];
    if (flag == Flag::kNone) return;
    // Flat: |f| small; away: f clearly positive; toward: clearly negative.
    double sign = f > 0.0 ? 1.0 : -1.0, r = (std::abs(f) - kFlatLimit) / kFlagSd;
    if (flag != Flag::kFlat) {
      sign = flag == Flag::kAway ? -1.0 : 1.0;
      r = (sign * f + kTurnedLimit) / kFlagSd;
    }
    if (r <= 0.0) return Idle(RowKind::kFlag);
    Begin();
    AddUnit(s, axis, f, sign / kFlagSd);
    sink_.TakeRobust(r, kFlagC2, row_, RowKind::kFlag);
  }

  void Lengths() {
    for (int b = 0; b < kBoneCount; ++b) {
      const auto id = static_cast<BoneId>(b);
      const Span& s = bones_[At(id)];
      const double canon = problem_.proportions.length[At(id)];
      double sd = problem_.proportions.spread[At(id)];
      if (id == BoneId::kNeck) {  // pose changes it freely: plain difference, not the log
        const double expected = canon * std::exp(offset_[At(id)]);
        sd *= canon;
        Begin();
        AddSpan(s, s.unit / sd);
        AddOffset(id, -expected / sd);
        Take((s.norm - expected) / sd);
        DepthRows(id);
        continue;
      }
      const double r = std::log(s.norm / canon) - offset_[At(id)];
      if (id == BoneId::kTrunk && r < 0.0) sd = std::max(sd, kShortTrunkSd);
      Begin();
      AddSpan(s, s.unit / (s.norm * sd));
      AddOffset(id, -1.0 / sd);
      Take(r / sd);
      DepthRows(id);
      if (id == BoneId::kHead && problem_.head_box) HeadBox(s);
    }
  }

  // The drawn size of the skull does not shrink with its axis alone: it has depth.
  void HeadBox(const Span& head) {
    const double f = head.unit.z();
    const double k = 1.0 - kSkullDepth * kSkullDepth;
    const double shown = 1.0 - k * f * f;
    const double kappa = x_[kInverseDistance];
    const double z = P(PointId::kChin).z();
    const double inverse = 1.0 / (1.0 + kappa * z);
    const double expected = std::log(problem_.proportions.length[At(BoneId::kHead)]) + offset_[At(BoneId::kHead)];
    const double w = 1.0 / kHeadBoxSd;
    Begin();
    AddParam(kLogScale, w);
    AddParam(kInverseDistance, -w * z * inverse);
    AddParam(3 * J(PointId::kChin) + 2, -w * kappa * inverse);
    AddUnit(head, Vec3::UnitZ(), f, -w * k * f / shown);
    AddOffset(BoneId::kHead, w);
    Take(w * (x_[kLogScale] + std::log(inverse) + 0.5 * std::log(shown) + expected - std::log(*problem_.head_box)),
         RowKind::kHeadBox);
  }

  void LeftRight() {
    const double w = 1.0 / problem_.proportions.left_right_sd;
    for (int b = static_cast<int>(BoneId::kUpperArmL); b < kBoneCount; b += 2) {
      const auto left = static_cast<BoneId>(b), right = static_cast<BoneId>(b + 1);
      const Span &l = bones_[At(left)], &r = bones_[At(right)];
      Begin();
      AddSpan(l, l.unit * (w / l.norm));
      AddSpan(r, r.unit * (-w / r.norm));
      AddOffset(left, -w);
      AddOffset(right, w);
      Take(w * (std::log(l.norm / r.norm) - offset_[At(left)] + offset_[At(right)]));
    }
  }

  void HeadAndNeck() {
    // An upright chin stands before the pit, the crown above: hence the shares.
    const Span s = Between(PointId::kNeckPit, PointId::kCrown);
    const double head = 0.99 * problem_.proportions.length[At(BoneId::kHead)] * std::exp(offset_[At(BoneId::kHead)]);
    const double neck = 0.80 * problem_.proportions.length[At(BoneId::kNeck)] * std::exp(offset_[At(BoneId::kNeck)]);
    const double w = 1.0 / kCrownPitSd;
    Begin();
    AddSpan(s, s.unit * w);
    AddOffset(BoneId::kHead, -w * head);
    AddOffset(BoneId::kNeck, -w * neck);
    Take(w * (s.norm - head - neck));
    DotLimit(bones_[At(BoneId::kTrunk)], bones_[At(BoneId::kHead)], -1.0, -0.4, 10.0);
  }

  void Torso() {
    const Vec3 off = 0.5 * (P(PointId::kShoulderL) + P(PointId::kShoulderR)) - P(PointId::kNeckPit);
    for (int axis = 0; axis < 3; ++axis) {
      const double w = 1.0 / (axis == 2 ? 0.02 : kPitOffSd);
      Begin();
      AddParam(3 * J(PointId::kShoulderL) + axis, 0.5 * w);
      AddParam(3 * J(PointId::kShoulderR) + axis, 0.5 * w);
      AddParam(3 * J(PointId::kNeckPit) + axis, -w);
      Take(w * off[axis]);
    }
    const Span &trunk = bones_[At(BoneId::kTrunk)], &shoulders = bones_[At(BoneId::kShoulderWidth)],
               &hips = bones_[At(BoneId::kHipWidth)];
    for (const Span* width : {&shoulders, &hips}) {  // widths run across the trunk
      const double dot = trunk.unit.dot(width->unit);
      Begin();
      AddDot(trunk, *width, dot, 1.0 / 0.25);
      Take(dot / 0.25);
      DotLimit(trunk, *width, dot > 0.0 ? 1.0 : -1.0, 0.3, 10.0);
    }
    const double dot = shoulders.unit.dot(hips.unit);  // and with each other
    Begin();
    AddDot(shoulders, hips, dot, 1.0 / 0.25);
    Take((dot - 1.0) / 0.25);
    DotLimit(shoulders, hips, -1.0, -0.75, 10.0);

    const double c = std::cos(x_[kElevation]), s = std::sin(x_[kElevation]);
    const Vec3 up(0.0, -c, -s);
    const double upright = trunk.unit.dot(up), w = 1.0 / 0.3;
    Begin();
    AddUnit(trunk, up, upright, w);
    AddParam(kElevation, w * (trunk.unit.y() * s - trunk.unit.z() * c));
    Take(w * (upright - 1.0));
  }

  void LimbLimits(int limb) {
    const Limb& l = kLimbs[static_cast<std::size_t>(limb)];
    const Span &a = bones_[At(l.bone[0])], &b = bones_[At(l.bone[1])], &c = bones_[At(l.bone[2])];
    if (limb < 2) {
      DotLimit(a, b, -1.0, 0.8, 10.0);   // elbow: folds, never through itself
      DotLimit(b, c, -1.0, -0.3, 10.0);  // wrist
      return;
    }
    // Knee bends backwards only: the foot shows which way the shin's front is.
    const double dot_bc = b.unit.dot(c.unit), dot_ac = a.unit.dot(c.unit);
    if (const double r = (dot_bc - dot_ac - 0.1) * 10.0; r > 0.0) {
      Begin();
      AddDot(b, c, dot_bc, 10.0);
      AddDot(a, c, dot_ac, -10.0);
      Take(r);
    } else {
      Idle();
    }
    DotLimit(b, c, 1.0, 0.85, 10.0);   // ankle, pointed
    DotLimit(b, c, -1.0, 0.3, 10.0);   // ankle, pulled up
    DotLimit(a, b, -1.0, 0.8, 10.0);   // knee, fully bent
    FrontLimit(a, 0.5, 10.0);          // the thigh swings forward, hardly back
    FrontLimit(c, 0.0, 6.0);           // feet point to the front
  }

  void Unmarked() {
    const auto toward = [&](const Span& s, double length, const Vec3& direction, double sd) {
      for (int axis = 0; axis < 3; ++axis) {
        Begin();
        AddSpan(s, Vec3::Unit(axis) / (length * sd));
        Take((s.v[axis] / length - direction[axis]) / sd);
      }
    };
    for (const Limb& l : kLimbs)
      for (std::size_t i = 0; i < 3; ++i)
        if (!problem_.marked[At(l.joint[i + 1])])
          toward(bones_[At(l.bone[i])], problem_.proportions.length[At(l.bone[i])],
                 i == 2 && l.bone[i] >= BoneId::kFootL ? Vec3::Zero() : Vec3(0.0, 0.7, 0.0), kDirectionSd);
    const bool no_hips = !problem_.marked[At(PointId::kHipL)] && !problem_.marked[At(PointId::kHipR)];
    if (!problem_.marked[At(PointId::kCrown)])
      toward(bones_[At(BoneId::kHead)], problem_.proportions.length[At(BoneId::kHead)], Vec3(0.0, -0.9, 0.0), 0.4);
    if (!problem_.marked[At(PointId::kChin)])
      toward(bones_[At(BoneId::kNeck)], problem_.proportions.length[At(BoneId::kNeck)], Vec3(0.0, -0.7, 0.0), 0.5);
    if (no_hips)
      toward(bones_[At(BoneId::kTrunk)], problem_.proportions.length[At(BoneId::kTrunk)], Vec3(0.0, -0.9, 0.0), 0.4);
  }

  void Camera() {
    const double kappa = x_[kInverseDistance];
    const auto scalar = [&](int param, double r, double slope) {
      Begin();
      AddParam(param, slope);
      Take(r);
    };
    scalar(kInverseDistance, (kappa - kDistanceMean) / kDistanceSd, 1.0 / kDistanceSd);
    if (kappa > kNearest) scalar(kInverseDistance, 50.0 * (kappa - kNearest), 50.0);
    else Idle();
    if (kappa < kFarthest) scalar(kInverseDistance, 50.0 * (kFarthest - kappa), -50.0);
    else Idle();
    Begin();  // most pictures look straight, some steeply: heavy tails
    AddParam(kElevation, 1.0 / kElevationSd);
    sink_.TakeRobust((x_[kElevation] - kElevationMean) / kElevationSd, kElevationC2, row_, RowKind::kPrior);
    Begin();  // depth starts at the hips
    AddParam(3 * J(PointId::kHipL) + 2, 50.0);
    AddParam(3 * J(PointId::kHipR) + 2, 50.0);
    Take(50.0 * (P(PointId::kHipL).z() + P(PointId::kHipR).z()));
  }

  void Columns() {
    for (std::size_t c = 0; c < model_.columns.size(); ++c) {
      const int param = kFixedParams + static_cast<int>(c);
      const double value = x_[kFixedParams + c], w = 1.0 / model_.columns[c].sd;
      Begin();
      AddParam(param, w);
      Take((value - model_.columns[c].mean) * w, RowKind::kColumn);
      if (model_.fixed && model_.fixed->first == static_cast<int>(c)) {
        constexpr double kHold = 1e4;
        Begin();
        AddParam(param, kHold);
        Take((value - model_.fixed->second) * kHold, RowKind::kColumn);
      }
    }
  }

  const BodyModel& model_;
  const BodyProblem& problem_;
  const Params& x_;
  Sink& sink_;
  bool idle_;
  Row row_;
  PerBone<double> offset_{};
  std::array<Span, kBoneCount> bones_;
  Vec3 front_ = Vec3::Zero();
  double front_norm_ = 1.0;
};

}  // namespace

void Emit(const BodyModel& model, const Params& x, CostSink& sink) {
  Emitter<CostSink>(model, x, sink, false).All();
}
void Emit(const BodyModel& model, const Params& x, NormalSink& sink) {
  Emitter<NormalSink>(model, x, sink, false).All();
}
void Emit(const BodyModel& model, const Params& x, DenseSink& sink, bool idle_hinges) {
  Emitter<DenseSink>(model, x, sink, idle_hinges).All();
}

double LimbCost(const BodyModel& model, const Params& x, int limb) {
  CostSink sink;
  Emitter<CostSink>(model, x, sink, false).OneLimb(limb);
  return sink.cost;
}

}  // namespace armslength::body
