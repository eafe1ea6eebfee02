#include "reading/body/body_verdict.h"

#include <algorithm>

#include "reading/body/body_thresholds.h"
#include "support/job.h"

namespace armslength::body {
namespace {

constexpr double kFarthestFactor = 2.0;   // nobody needs a factor beyond
constexpr double kFurther = 1.0;            // added to the threshold of a second fault, in widths
constexpr double kPowerOfEighty = 0.8416;  // normal quantile of 80 %

// Whole parts are drawn wrong more often than single segments, and a pair more often than
// one side: head start, in evidence, when several explanations would do.
double NamingStart(const BoneGroup& group) { return Bonus(group) > 0.0 ? 3.0 : 0.0; }
// A misplaced mark stands for the commonest mistake of all.
constexpr double kMarkStart = 2.0;
// The head's size hangs on two marks alone and the trunk's length half on one, so that a
// wrong size always looks like one wrong mark too: there the size goes first.
constexpr double kCrownOrChinStart = -2.0, kPitStart = -1.0;
// Without a canon, what is the same on both sides is style unless it is extreme.
constexpr double kStyleMargin = 1.5;  // widths

class Judging {
 public:
  Judging(const BodyModel& base, const Scan& scan, bool free_style, BodyReading& reading)
      : base_(base),
        scan_(scan),
        reading_(reading),
        free_style_(free_style),
        behaviour_(free_style ? Thresholds().free_style : Thresholds().declared),
        info_(InfoLevel(*base.problem)) {
    const auto i = static_cast<std::size_t>(info_);
    const BodyProblem& problem = *base.problem;
    const double scale = std::exp(scan.null.front().x[kLogScale]);
    const double sigma = problem.sigma_px / problem.unit_px / scale;
    const double partial = Partial(problem) ? behaviour_.partial[i] : 0.0;
    const double view = behaviour_.view[static_cast<std::size_t>(reading.view)];
    family_ = AtSigma(behaviour_.family[i], sigma) + partial + view;
    mark_ = AtSigma(behaviour_.mark[i], sigma) + partial + view;
    // A drawing that no explanation fits as well as synthetic figures are fitted is not
    // quite of our kind: evidence counts less in proportion.
    double least = scan.null.front().cost;
    for (const Explanation& e : scan.groups)
      if (e.tested) least = std::min(least, e.best.cost);
    for (const Explanation& e : scan.misplaced)
      if (e.tested) least = std::min(least, e.best.cost);
    const auto marks = static_cast<double>(std::count(problem.marked.begin(), problem.marked.end(), true));
    spread_ = std::max(1.0, least / (behaviour_.cost_per_mark[i] * marks));
  }

  // The group called off, if any.
  std::optional<std::size_t> Run(int threads) {
    const std::optional<std::size_t> off = Decide();
    std::vector<std::size_t> tested;
    for (std::size_t g = 0; g < scan_.groups.size(); ++g)
      if (scan_.groups[g].tested) tested.push_back(g);
    reading_.hypotheses.resize(tested.size());
    ParallelFor(static_cast<int>(tested.size()), threads, [&](int i) {
      const std::size_t g = tested[static_cast<std::size_t>(i)];
      reading_.hypotheses[static_cast<std::size_t>(i)] = Hypothesis(g, off && *off == g);
    });
    std::stable_sort(reading_.hypotheses.begin(), reading_.hypotheses.end(),
                     [](const LengthHypothesis& a, const LengthHypothesis& b) { return a.evidence > b.evidence; });
    return off;
  }

  std::optional<std::size_t> RunFurther() {
    family_ += kFurther;
    mark_ = 1e9;
    const std::optional<std::size_t> off = Decide();
    if (!off) return off;
    for (LengthHypothesis& h : reading_.hypotheses)
      if (h.id == BoneGroups()[*off].id) h = Hypothesis(*off, true);
    return off;
  }

 private:
  [[nodiscard]] double Evidence(const Explanation& e) const { return e.evidence > 0.0 ? e.evidence / spread_ : e.evidence; }

  static double MarkStart(std::size_t named, PointId mark) {
    const std::string_view id = BoneGroups()[named].id;
    if (id == "body.head.size" && (mark == PointId::kCrown || mark == PointId::kChin)) return kCrownOrChinStart;
    if (id == "body.torso.length" && mark == PointId::kNeckPit) return kPitStart;
    return kMarkStart;
  }

  std::optional<std::size_t> Decide() {
    double largest = -1e9, best_name = -1e9, best_evidence = -1e9;
    std::size_t named = 0;
    for (std::size_t g = 0; g < scan_.groups.size(); ++g) {
      const Explanation& e = scan_.groups[g];
      if (!e.tested || !BoneGroups()[g].contest) continue;
      const double evidence = Evidence(e);
      double standardized = Standardized(behaviour_, info_, g, evidence);
      if (free_style_ && !BoneGroups()[g].asymmetric) standardized -= kStyleMargin;
      largest = std::max(largest, standardized);
      best_evidence = std::max(best_evidence, evidence);
      const double name = evidence + NamingStart(BoneGroups()[g]);
      if (name > best_name) {
        best_name = name;
        named = g;
      }
    }
    double mark_evidence = -1e9;
    PointId mark{};
    for (int j = 0; j < kBodyPointCount; ++j) {
      const Explanation& e = scan_.misplaced[static_cast<std::size_t>(j)];
      if (e.tested && Evidence(e) > mark_evidence) {
        mark_evidence = Evidence(e);
        mark = static_cast<PointId>(j);
      }
    }
    const bool bones_off = largest > family_, mark_off = mark_evidence > mark_;
    if (!bones_off && !mark_off) return std::nullopt;
    if (mark_evidence + MarkStart(named, mark) > best_evidence) {
      MisplacedMark misplaced;
      misplaced.point = mark;
      misplaced.evidence = mark_evidence;
      const Params& x = scan_.misplaced[At(mark)].best.x;
      const double q = std::exp(x[kLogScale]) / (1.0 + x[kInverseDistance] * x[3 * At(mark) + 2]);
      const BodyProblem& problem = *base_.problem;
      misplaced.better_px = problem.origin_px + problem.unit_px * q * Vec2(x[3 * At(mark)], x[3 * At(mark) + 1]);
      misplaced.distance_px = (problem.origin_px + problem.unit_px * problem.at[At(mark)] - misplaced.better_px).norm();
      reading_.misplaced = misplaced;
      return std::nullopt;
    }
    if (!bones_off) return std::nullopt;
    return named;
  }

  LengthHypothesis Hypothesis(std::size_t g, bool off) const {
    const Explanation& e = scan_.groups[g];
    const BoneGroup& group = BoneGroups()[g];
    LengthHypothesis h;
    h.id = group.id;
    for (int b = 0; b < kBoneCount; ++b)
      if (group.weight[static_cast<std::size_t>(b)] != 0.0) h.bones.push_back(static_cast<BoneId>(b));
    h.evidence = Evidence(e);
    h.standardized = Standardized(behaviour_, info_, g, h.evidence);
    h.factor = std::exp(e.value);
    h.off = off;
    // Profiles for what may be said aloud; the curvature's interval, widened by half,
    // for the many that are wide open anyway.
    const double tolerance = std::log1p(group.tolerance);
    const double half = 1.96 * e.sd;
    Profile profile{e.value - 1.5 * half, e.value + 1.5 * half};
    const bool may_clear = std::abs(e.value) + half < tolerance;
    if (off || may_clear || (group.contest && h.standardized > 0.5 * family_))
      profile = ProfileFactor(base_, group, e, scan_.null, 3.84 * spread_);
    h.factor_low = std::exp(profile.low);
    h.factor_high = std::exp(profile.high);
    h.cleared = !off && profile.low > -tolerance && profile.high < tolerance;
    const double evidence_needed = behaviour_.mean[static_cast<std::size_t>(info_)][g] +
                                   (family_ - Bonus(group)) * behaviour_.width[static_cast<std::size_t>(info_)][g];
    h.smallest_long = Smallest((e.value - profile.low) / 1.96, e, evidence_needed, 1.0);
    h.smallest_short = Smallest((profile.high - e.value) / 1.96, e, evidence_needed, -1.0);
    return h;
  }

  // A fault must stand out by the square root of the evidence needed and the Occam share
  // that any free factor pays, plus room for 80 % power. A long fault would be met by
  // reading the figure shorter, hence the lower side's spread for it.
  [[nodiscard]] static std::optional<double> Smallest(double sd, const Explanation& e, double needed, double sign) {
    const double at_peak = e.sd > 0.0 ? e.value * e.value / (e.sd * e.sd) : 0.0;
    const double occam = std::max(0.0, at_peak - e.evidence);
    const double ln = sd * (kPowerOfEighty + std::sqrt(std::max(0.0, needed + occam)));
    if (!(ln < std::log(kFarthestFactor))) return std::nullopt;
    return std::exp(sign * ln);
  }

  const BodyModel& base_;
  const Scan& scan_;
  BodyReading& reading_;
  bool free_style_;
  const Behaviour& behaviour_;
  int info_;
  double family_ = 0.0, mark_ = 0.0, spread_ = 1.0;
};

}  // namespace

std::optional<std::size_t> Judge(const BodyModel& base, const Scan& scan, bool free_style, int threads,
                                 BodyReading& reading) {
  return Judging(base, scan, free_style, reading).Run(threads);
}

std::optional<std::size_t> JudgeFurther(const BodyModel& base, const Scan& scan, bool free_style, BodyReading& reading) {
  return Judging(base, scan, free_style, reading).RunFurther();
}

}  // namespace armslength::body
