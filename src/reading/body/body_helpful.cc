#include "reading/body/body_helpful.h"

#include <algorithm>

#include "reading/body/body_thresholds.h"
#include "support/job.h"
#include "words/say.h"

namespace armslength::body {
namespace {

constexpr double kWorthAsking = 0.03;  // smaller shrinks are not worth the artist's time
constexpr double kZoomedIn = 0.35;     // a mark placed with care errs by this share (judgement)
constexpr double kPossible = 9.0;      // a reading this much dearer is no real alternative

class Asker {
 public:
  Asker(const BodyModel& base, const Scan& scan, const FigureMarks& marks, std::size_t group)
      : base_(base), scan_(scan), marks_(marks), group_(group), model_(base) {
    model_.columns.push_back(ColumnOf(BoneGroups()[group]));
    param_ = model_.ParamCount() - 1;
  }

  void Ask(std::vector<HelpfulMark>& out) {
    const BodyProblem& problem = *base_.problem;
    const Params& x = scan_.groups[group_].best.x;
    const double sd = SpreadWith(problem);
    for (int j = 0; j < kBodyPointCount; ++j) {
      const auto id = static_cast<PointId>(j);
      if (problem.marked[At(id)]) continue;
      BodyProblem more = problem;
      more.marked[At(id)] = true;
      const double q = std::exp(x[kLogScale]) / (1.0 + x[kInverseDistance] * x[3 * At(id) + 2]);
      more.at[At(id)] = q * Vec2(x[3 * At(id)], x[3 * At(id) + 1]);
      Offer(out, std::string(Name(id)), Say("Mark the {}, or say where it would be.", SaidName(id)), 1.0 - SpreadWith(more) / sd);
    }
    if (!problem.head_box && problem.marked[At(PointId::kChin)] && !marks_.Has(PointId::kHeadTop)) {
      BodyProblem more = problem;
      const auto joint = [&](PointId id) { return Vec3(x[3 * At(id)], x[3 * At(id) + 1], x[3 * At(id) + 2]); };
      more.head_box = (joint(PointId::kCrown) - joint(PointId::kChin)).norm() * std::exp(x[kLogScale]) /
                      (1.0 + x[kInverseDistance] * joint(PointId::kChin).z());
      Offer(out, std::string(Name(PointId::kHeadTop)),
            Say("Mark the top of the skull under the hair, straight above the chin along the head."), 1.0 - SpreadWith(more) / sd);
    }
    for (std::string_view name : DepthBoneNames()) {
      const BoneId bone = *BoneFromName(name);
      if (problem.flag[At(bone)] != Flag::kNone || bone == BoneId::kNeck) continue;
      Offer(out, "depth of the " + std::string(SpokenName(bone)),
            Say("Say whether the {} points toward you, away, or lies flat in the picture.", SaidName(bone)),
            1.0 - sd / std::hypot(sd, FlipSpread(bone)));
    }
  }

  // With everything marked: the mark whose error blurs the question most.
  void AskForCare(std::vector<HelpfulMark>& out) {
    const BodyProblem& problem = *base_.problem;
    const double sd = SpreadWith(problem);
    for (int j = 0; j < kBodyPointCount; ++j) {
      const auto id = static_cast<PointId>(j);
      if (!problem.marked[At(id)]) continue;
      BodyProblem more = problem;
      more.sigma[At(id)] *= kZoomedIn;
      Offer(out, std::string(Name(id)) + std::string(kMoreExactly),
            Say("Place the {} again, zoomed in: its place decides most here.", SaidName(id)), 1.0 - SpreadWith(more) / sd);
    }
  }

 private:
  // sd of the question's ln factor if `problem` were what is known.
  [[nodiscard]] double SpreadWith(const BodyProblem& problem) const {
    BodyModel model = model_;
    model.problem = &problem;
    Basin basin = scan_.groups[group_].best;
    return std::max(1e-6, CurvatureSd(model, basin, param_));
  }

  // Spread of the question's ln factor between the bone's two possible directions.
  [[nodiscard]] double FlipSpread(BoneId bone) const {
    const Basin& best = scan_.groups[group_].best;
    Basin flipped = best;
    const BoneEnds ends = Ends(bone);
    const auto z = [&](PointId id) -> double& { return flipped.x[3 * At(id) + 2]; };
    if (bone == BoneId::kTrunk) {  // everything above the hips leans the other way
      const double lean = z(PointId::kNeckPit) - 0.5 * (z(PointId::kHipL) + z(PointId::kHipR));
      for (int j = 0; j <= static_cast<int>(PointId::kHandTipR); ++j) z(static_cast<PointId>(j)) -= 2.0 * lean;
    } else {
      const double dz = z(ends.to) - z(ends.from);
      const int last = static_cast<int>(ends.to <= PointId::kHandTipR ? PointId::kHandTipR : PointId::kToeR);
      for (int j = static_cast<int>(ends.to); j <= last; j += 2) z(static_cast<PointId>(j)) -= 2.0 * dz;
    }
    Solve(model_, flipped, {.max_iterations = 15, .tolerance = 1e-2, .patience = 1});
    const double dearer = std::max(0.0, flipped.cost - best.cost);
    if (dearer > kPossible) return 0.0;
    const double share = 1.0 / (1.0 + std::exp(-0.5 * dearer));
    const auto k = static_cast<std::size_t>(param_);
    return std::sqrt(share * (1.0 - share)) * std::abs(flipped.x[k] - best.x[k]);
  }

  void Offer(std::vector<HelpfulMark>& out, std::string what, std::string how, double gain) const {
    if (!(gain > kWorthAsking)) return;
    out.push_back({std::move(what), std::move(how), std::string(BoneGroups()[group_].id), std::min(gain, 1.0)});
  }

  const BodyModel& base_;
  const Scan& scan_;
  const FigureMarks& marks_;
  std::size_t group_;
  BodyModel model_;
  int param_;
};

}  // namespace

std::vector<HelpfulMark> FindHelpful(const BodyModel& base, const Scan& scan, const FigureMarks& marks, const BodyReading& reading,
                                     int threads) {
  // Open questions: neither off nor cleared. The two most suspicious, and the parts that
  // every picture is asked about.
  std::vector<const LengthHypothesis*> open;
  for (const LengthHypothesis& h : reading.hypotheses)
    if (!h.off && !h.cleared && BoneGroups()[static_cast<std::size_t>(GroupIndex(h.id))].contest) open.push_back(&h);
  std::stable_sort(open.begin(), open.end(), [](const auto* a, const auto* b) { return a->standardized > b->standardized; });
  std::vector<HelpfulMark> offers;
  const auto ask = [&](auto question) {
    std::vector<std::vector<HelpfulMark>> of_question(open.size());
    ParallelFor(static_cast<int>(open.size()), threads, [&](int n) {
      const auto i = static_cast<std::size_t>(n);
      const auto g = static_cast<std::size_t>(GroupIndex(open[i]->id));
      if (i >= 2 && !(Bonus(BoneGroups()[g]) > 0.0)) return;
      Asker asker(base, scan, marks, g);
      (asker.*question)(of_question[i]);
    });
    for (std::vector<HelpfulMark>& some : of_question) std::ranges::move(some, std::back_inserter(offers));
  };
  ask(&Asker::Ask);
  const bool care = offers.empty();
  if (care) ask(&Asker::AskForCare);
  std::stable_sort(offers.begin(), offers.end(), [](const HelpfulMark& a, const HelpfulMark& b) { return a.gain > b.gain; });
  std::vector<HelpfulMark> best;
  for (const HelpfulMark& offer : offers) {
    if (best.size() == 3) break;
    // Of marks to place again, one for each question: they help no other.
    const auto same = [&](const HelpfulMark& b) { return b.what == offer.what || (care && b.finding == offer.finding); };
    if (std::none_of(best.begin(), best.end(), same)) best.push_back(offer);
  }
  return best;
}

}  // namespace armslength::body
