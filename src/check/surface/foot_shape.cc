#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/foot_fit.h"
#include "words/say.h"

namespace armslength::surface_check {
namespace {

using body_check::BodyFacts;
using P = PointId;

// Nats between the two families: for a block, for both shoes of a pair each, and to clear. Set on seeds from 1520001.
constexpr double kBlock = 1.5, kBothBlocks = 0.6, kSure = 2.0;
// A family further from the drawn contour than this explains nothing, stature: drawn blocks reach 0.0018; a cast shadow that runs into
// the shoe's contour lies further off.
constexpr double kFits = 0.0035, kBlockFits = 0.0018;
// A block must also lie nearer the drawn contour by this: marks and proportions alone, less sure than the contour, make none.
constexpr double kNearer = 0.0004;
// A toe's mark well inside the drawn shoe makes a wedge look like a block. It is asked about where the contour goes on past it and, with
// the toes left free to do so, block and wedge come nearer each other than this, nats.
constexpr double kFreeNats = 3.0;
constexpr double kAlike = 0.7;     // less than twice as likely: said to fit as well
constexpr double kMostNats = 4.6;  // said in words no surer than this: a hundred times

struct Foot {
  bool left = true;
  P ankle{}, toe{};
  std::optional<FootFit> fit;
  [[nodiscard]] bool LikeBlock(double nats) const {
    return fit && fit->Nats() > nats && fit->apart[FootFit::kBlock] < std::min(kBlockFits, fit->apart[FootFit::kWedge] - kNearer);
  }
  [[nodiscard]] bool MarkInside() const { return fit && fit->GoesPast() && fit->FreeNats() < kFreeNats; }
  [[nodiscard]] bool Wedge() const { return fit && fit->Nats() < -kSure && fit->apart[FootFit::kWedge] < kFits; }
};

// How far the nearest wedge and the nearest block run beside the drawn toe end; per cent of the foot's length.
struct Apart {
  double wedge, block;
};

Apart ApartOf(const BodyFacts& facts, const Foot& foot) {
  const double length = std::max(0.05, facts.CanonLength(foot.left ? BoneId::kFootL : BoneId::kFootR));
  return {100.0 * foot.fit->apart[FootFit::kWedge] / length, 100.0 * foot.fit->apart[FootFit::kBlock] / length};
}

// What stays open gives no odds: "99 times likelier, but not enough to tell" helps nobody.
std::string Leaning(const BodyFacts& facts, const Foot& foot) {
  const auto [wedge, block] = ApartOf(facts, foot);
  return foot.fit->Nats() > 0
             ? Say("A block suits the drawn toe end somewhat better ({:.1f} % of the foot's length beside it) than a wedge ({:.1f} %), but "
                   "not plainly enough to say so.",
                   block, wedge)
             : Say("A wedge suits the drawn toe end somewhat better ({:.1f} % of the foot's length beside it) than a block ({:.1f} %), but "
                   "not plainly enough to say so.",
                   wedge, block);
}

std::string Basis(const BodyFacts& facts, const Foot& foot) {
  const auto [wedge, block] = ApartOf(facts, foot);
  const double times = std::exp(std::min(std::abs(foot.fit->Nats()), kMostNats));
  return foot.fit->Nats() > 0 ? Say("Of all shoes that the marks allow here the nearest block runs {:.1f} % of the foot's length beside the drawn "
                                    "toe end, the nearest wedge {:.1f} %; with what each asks of pose and size a block is {:.0f} times likelier",
                                    block, wedge, times)
                              : Say("Of all shoes that the marks allow here the nearest wedge runs {:.1f} % of the foot's length beside the drawn "
                                    "toe end, the nearest block {:.1f} %; with what each asks of pose and size a wedge is {:.0f} times likelier",
                                    wedge, block, times);
}

}  // namespace

void CheckFeetShape(const BodyFacts& facts, const Silhouette& silhouette, std::vector<Finding>& out) {
  std::vector<Foot> feet;
  for (const bool left : {true, false}) {
    Foot foot{left, left ? P::kAnkleL : P::kAnkleR, left ? P::kToeL : P::kToeR, {}};
    if (!facts.Marked({foot.ankle, foot.toe})) continue;
    foot.fit = FitFoot(facts, silhouette, left);
    feet.push_back(std::move(foot));
  }
  // A block in both shoes is surer than in one; whoever draws one as a wedge does not build the other as a block.
  const bool both = feet.size() == 2 && feet[0].LikeBlock(kBothBlocks) && feet[1].LikeBlock(kBothBlocks);
  const bool wedge = std::any_of(feet.begin(), feet.end(), [](const Foot& foot) { return foot.Wedge(); });
  for (const Foot& foot : feet) {
    const bool left = foot.left;
    const std::vector<PointId> rests_on{foot.ankle, foot.toe};
    Finding f =
        body_check::Start(facts, left ? "foot.shape.left" : "foot.shape.right",
                          left ? Say("Shape of the left foot") : Say("Shape of the right foot"), Kind::kConstruction, Verdict::kCannotTell);
    f.stage = Stage::kSketch;
    f.source = Say("figure-drawing handbooks draw the foot as a wedge; common practice, default, editable");
    f.where = body_check::At(facts, rests_on);
    if (foot.fit) {
      f.unit = "% of stature";
      f.measured = 100.0 * foot.fit->apart[FootFit::kWedge];
      f.expected = 0.0;
      f.tolerance = 100.0 * kFits;
      f.test = "nats between a block and a wedge in this view";
      f.evidence = foot.fit->Nats();
    }
    if (!foot.fit) {
      f.why = Say("The contour of the figure runs into something else at the foot (the other leg, a hem), or the view shows too little of it.");
      f.ask = Say("Nothing to add: another view would show it.");
    } else if (!wedge && (both || foot.LikeBlock(kBlock)) && foot.MarkInside()) {
      f.why = Say("The drawn shoe goes on past the toe's mark by {:.0f} % of the way from ankle to toe; with the toes that far out a wedge is "
                  "not ruled out.",
                  100.0 * foot.fit->past_share);
      f.ask = Say("Move this mark to the drawn tip of the shoe, unless it is there: {}.", SaidName(foot.toe));
      f.guides = {body_check::Line(GuideShape::Role::kDrawn, foot.fit->drawn)};
    } else if (!wedge && (both || foot.LikeBlock(kBlock))) {
      f.verdict = Verdict::kOff;
      f.title = left ? Say("Left shoe is a block, not a wedge") : Say("Right shoe is a block, not a wedge");
      f.guides = {body_check::Line(GuideShape::Role::kDrawn, foot.fit->drawn), body_check::Line(GuideShape::Role::kTarget, foot.fit->wedge)};
      f.remedy = {RemedyWay::kGuide, 15.0, Say("Redraw the shoe over the wedge: high at the instep, low at the toes.")};
      f.gain = 2.5;
      f.why = Basis(facts, foot) + ".";
    } else if (foot.Wedge()) {
      f.verdict = Verdict::kClear;
      f.title = left ? Say("Left foot is a wedge") : Say("Right foot is a wedge");
      f.why = Basis(facts, foot) + ".";
    } else {
      f.why = std::abs(foot.fit->Nats()) < kAlike
                  ? Say("Of all shoes that the marks allow here a wedge and a block fit the drawn toe end as well: this view does "
                        "not tell them apart.")
                  : Leaning(facts, foot);
      f.ask = Say("A foot seen more from the side tells more.");
    }
    body_check::Finish(facts, rests_on, f);
    out.push_back(std::move(f));
  }
}

}  // namespace armslength::surface_check
