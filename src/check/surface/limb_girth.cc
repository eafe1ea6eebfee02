// Thickness of legs, neck and waist, and the way bare limbs taper. The contour includes clothes and hair, so a
// part is at most as thick as its contour: "too thin" is told, "too thick" never.
#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <optional>
#include <vector>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/limb_contour.h"
#include "words/say.h"

namespace armslength::surface_check {
namespace {

using P = PointId;
constexpr double kSure = 2.6, kLegsSure = 1.8;

// Mean width over the middle of the bone, parts of the bone's length, of a middling drawn figure: common practice, no
// source (calf and thigh girths of 0.22 and 0.36 of stature over pi, from memory, give the same). Below 0.75 of
// it a leg is remarked on: style may be far from middling, so an observation. Default, editable.
constexpr double kUsualShin = 0.25, kUsualThigh = 0.38, kThinLegs = 0.75;
// Neck over the head's width: stylised heads go down to a half (common practice); 15 % room below. Waist over the
// head's width: about 2 measured (US Army survey 2012, NATICK/TR-15/007); wasp waists stay above 1.1. Defaults, editable.
constexpr double kThinNeck = 0.43, kThinWaist = 1.1;
// Below this many heads the head is large on purpose.
constexpr double kFewestHeads = 6.0;
// Bare forearms and shins narrow towards wrist and ankle; widening by more than this is remarked on.
constexpr double kFlare = 1.12;
constexpr double kAlike = 0.20;      // log; of two measures of one leg
constexpr double kStrange = 1.0;     // log; beyond, the thinner "leg" is a gap between lines or another part
constexpr double kContourSd = 0.05;  // of a mean width, log

std::optional<Thickness> MeanWidth(const BodyFacts& facts, const Silhouette& silhouette, BoneId bone, double t0, double t1) {
  const auto width = InOnePiece(OwnWidths(facts, silhouette, bone, t0, t1), 7);
  if (!width) return std::nullopt;
  return Thickness{width->stature, std::hypot(kContourSd, width->pixel_log_sd), width->from, width->to};
}

void CheckLegs(const BodyFacts& facts, const Silhouette& silhouette, std::vector<Finding>& out) {
  struct Leg {
    BoneId shin, thigh;
    std::optional<double> log_ratio = std::nullopt;  // to the usual
    double sd = 0.0;
    std::vector<Thickness> cuts = {};
  };
  std::array<Leg, 2> legs{Leg{BoneId::kShinL, BoneId::kThighL}, Leg{BoneId::kShinR, BoneId::kThighR}};
  for (Leg& leg : legs) {
    // Skirts, boots and wide trousers only add: where shin and thigh disagree, the thinner one is nearer to the leg.
    for (const auto& [bone, usual] : {std::pair{leg.shin, kUsualShin}, std::pair{leg.thigh, kUsualThigh}}) {
      const auto g = MeanWidth(facts, silhouette, bone, 0.30, 0.72);
      const auto i = static_cast<std::size_t>(bone);
      if (!g || facts.Reading().length[i] <= 0.0) continue;
      const double ratio = std::log(g->stature / facts.Reading().length[i] / usual),
                   sd = std::hypot(g->log_sd, facts.Reading().length_log_sd[i]);
      if (leg.log_ratio && std::abs(ratio - *leg.log_ratio) > kStrange) {
        leg.log_ratio.reset();
        leg.cuts.clear();
        break;
      }
      leg.cuts.push_back(*g);
      if (leg.log_ratio && std::abs(ratio - *leg.log_ratio) < kAlike) {
        leg.log_ratio = 0.5 * (ratio + *leg.log_ratio);
        leg.sd = 0.5 * std::hypot(sd, leg.sd);
      } else if (!leg.log_ratio || ratio < *leg.log_ratio) {
        leg.log_ratio = ratio;
        leg.sd = sd;
        std::rotate(leg.cuts.begin(), leg.cuts.end() - 1, leg.cuts.end());
      }
    }
  }
  if (!legs[0].log_ratio && !legs[1].log_ratio) return;
  const std::array<BoneId, 4> bones{BoneId::kThighL, BoneId::kShinL, BoneId::kThighR, BoneId::kShinR};
  const auto rests_on = body_check::PointsOf(bones);
  Finding f =
      body_check::Start(facts, "limb.thickness.legs", Say("Legs as thick as usual for their length"), Kind::kTaste, Verdict::kCannotTell);
  f.stage = Stage::kSketch;
  f.unit = "ratio";
  f.expected = 1.0;
  f.tolerance = 1.0 - kThinLegs;
  f.test = "distance in sd";
  f.source = Say("a shin a quarter, a thigh three eighths of its length wide, and 25 % below: common practice, default, editable");
  for (const Leg& leg : legs)
    for (const Thickness& g : leg.cuts) f.where.points.insert(f.where.points.end(), {g.from, g.to});
  // The thinner leg alone counts where the other one's contour is a skirt's or both legs' together.
  bool both = legs[0].log_ratio && legs[1].log_ratio;
  const bool alike = both && std::abs(*legs[0].log_ratio - *legs[1].log_ratio) < kAlike;
  const std::size_t thin = !legs[0].log_ratio || (both && *legs[1].log_ratio < *legs[0].log_ratio) ? 1 : 0;
  const double limit = std::log(kThinLegs);
  const double mean = alike ? 0.5 * (*legs[0].log_ratio + *legs[1].log_ratio) : *legs[thin].log_ratio;
  const double sd = alike ? 0.5 * std::hypot(legs[0].sd, legs[1].sd) : legs[thin].sd;
  const bool one_told = both && !alike && mean < limit;
  if (one_told) both = false;
  f.measured = std::exp(mean);
  f.sd = sd;
  f.smallest_visible = std::exp(limit - kLegsSure * sd);
  f.evidence = (limit - mean) / sd;
  f.why = both ? Say("Measured from contour to contour, both legs are {:.2f} times as thick as usual for their length, clothes and all",
                     std::exp(mean))
          : thin == 0
              ? Say("Measured from contour to contour, the left leg is {:.2f} times as thick as usual for its length, clothes and all",
                    std::exp(mean))
              : Say("Measured from contour to contour, the right leg is {:.2f} times as thick as usual for its length, clothes and all",
                    std::exp(mean));
  if (mean < limit - kLegsSure * sd) {
    f.verdict = Verdict::kOff;
    f.title = both        ? Say("Legs very thin for their length")
              : thin == 0 ? Say("Left leg very thin for its length")
                          : Say("Right leg very thin for its length");
    f.why += Say("; as a style that is yours to choose.");
    for (std::size_t i = 0; i < 2; ++i) {
      const Leg& leg = legs[i];
      if (!leg.log_ratio || (!both && i != thin)) continue;
      const Thickness& g = leg.cuts.front();
      const Vec2 middle = 0.5 * (g.from + g.to), half = 0.5 * (g.to - g.from) / std::exp(*leg.log_ratio);
      f.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, {g.from, g.to}));
      f.guides.push_back(body_check::Line(GuideShape::Role::kTarget, {middle - half, middle + half}));
    }
    f.remedy = {RemedyWay::kWarp, 20.0, Say("If it is not meant: widen the legs towards the marks, or shorten them.")};
    f.gain = 1.5;
  } else if (mean > limit && both) {
    f.verdict = Verdict::kClear;
    f.why += ".";
  } else if (mean > limit) {
    f.why += Say("; the other one is covered.");
    f.ask = Say("Nothing to add: the other leg is covered or touches other parts.");
  } else {
    f.why += Say(": near the limit, not sure either way.");
    f.ask = Say("Mark knees and ankles again at high zoom.");
  }
  body_check::Finish(facts, rests_on, f);
  out.push_back(std::move(f));
}

// Width of the head at the cheeks, px: marks of the face's contour, else two thirds of its height.
std::optional<double> HeadWidth(const BodyFacts& facts) {
  double width = 0.0;
  for (const auto& [l, r] : {std::pair{P::kContourL, P::kContourR}, std::pair{P::kJawL, P::kJawR}}) {
    const auto a = facts.Marks().At(l), b = facts.Marks().At(r);
    if (a && b) width = std::max(width, (*a - *b).norm());
  }
  const double head = facts.Reading().length[static_cast<std::size_t>(BoneId::kHead)];
  if (!facts.Marked({P::kChin, P::kCrown}) || head <= 0.0) return std::nullopt;
  // A turned head shows less between its contours than it is wide.
  return std::max(width, 0.62 * head * facts.PxPerStature(facts.Joint(P::kChin).at.z()));
}

// Narrowest place along a line, by rays square to it; nothing when the contour is seen at too few.
std::optional<Thickness> Narrowest(const Silhouette& silhouette, const Vec2& from, const Vec2& to, double t0, double t1, double most_px) {
  const Vec2 dir = (to - from).normalized(), across(-dir.y(), dir.x());
  std::optional<Thickness> best;
  int seen = 0;
  constexpr int kCuts = 13;
  for (int i = 0; i < kCuts; ++i) {
    const Vec2 at = from + (t0 + (t1 - t0) * i / (kCuts - 1)) * (to - from);
    const auto right = silhouette.ToEdge(at, across, most_px), left = silhouette.ToEdge(at, -across, most_px);
    if (!right || !left || *right + *left > most_px) continue;
    ++seen;
    if (!best || *right + *left < best->stature) best = Thickness{*right + *left, 0.0, at - *left * across, at + *right * across};
  }
  return seen >= 4 ? best : std::nullopt;
}

void CheckNarrow(const BodyFacts& facts, const Silhouette& silhouette, bool neck, std::vector<Finding>& out) {
  const auto heads = facts.Reading().canon.heads > 0 ? facts.Reading().canon.heads : facts.Reading().canon.canon.heads;
  if (heads < kFewestHeads) return;
  const auto head = HeadWidth(facts);
  const std::vector<PointId> rests_on = neck ? std::vector<PointId>{P::kChin, P::kNeckPit, P::kCrown}
                                             : std::vector<PointId>{P::kNeckPit, P::kHipL, P::kHipR, P::kCrown, P::kChin};
  for (const PointId id : rests_on)
    if (!facts.Joint(id).marked) return;
  if (!head) return;
  const Vec2 pit = facts.Px(P::kNeckPit), hips = 0.5 * (facts.Px(P::kHipL) + facts.Px(P::kHipR));
  const double trunk = (pit - hips).norm();
  // Bent over or seen from above, the cuts would run along the trunk.
  if (trunk < 0.65 * facts.Reading().length[static_cast<std::size_t>(BoneId::kTrunk)] * facts.PxPerStature(facts.HipMiddle().z())) return;
  const auto g = neck ? Narrowest(silhouette, pit, facts.Px(P::kChin), 0.10, 0.85, 1.5 * *head)
                      : Narrowest(silhouette, hips, pit, 0.20, 0.75, 4.0 * *head);
  const std::string part = neck ? "neck" : "waist";
  if (!g) return;
  const double limit = neck ? kThinNeck : kThinWaist, ratio = g->stature / *head;
  const double sd = std::hypot(0.08, silhouette.PixelPx() / g->stature);
  Finding f = body_check::Start(facts, "limb.thickness." + part,
                                neck ? Say("Neck thick enough for the head") : Say("Waist wide enough for the head"), Kind::kTaste,
                                Verdict::kCannotTell);
  f.stage = Stage::kSketch;
  f.unit = "head widths";
  f.measured = ratio;
  f.expected = neck ? 0.7 : 2.0;
  f.tolerance = *f.expected - limit;
  f.sd = sd * ratio;
  f.smallest_visible = limit * std::exp(-kSure * sd);
  f.test = "distance in sd";
  f.evidence = std::log(limit / ratio) / sd;
  f.source = neck ? Say("stylised necks go down to half the head's width: common practice, default, editable")
                  : Say("about two head widths measured (US Army survey 2012), wasp waists above 1.1: default, editable");
  f.where.points = {g->from, g->to};
  f.why = neck ? Say("At its narrowest the neck's contour is {:.2f} of the head's width, clothes and hair and all", ratio)
               : Say("At its narrowest the waist's contour is {:.2f} of the head's width, clothes and hair and all", ratio);
  if (ratio < *f.smallest_visible) {
    f.verdict = Verdict::kOff;
    f.title = neck ? Say("Neck very thin under its head") : Say("Waist very narrow");
    f.why += Say("; as a style that is yours to choose.");
    const Vec2 middle = 0.5 * (g->from + g->to), half = 0.5 * (g->to - g->from) * (limit / ratio);
    f.guides = {body_check::Line(GuideShape::Role::kDrawn, {g->from, g->to}),
                body_check::Line(GuideShape::Role::kTarget, {middle - half, middle + half})};
    f.remedy = {RemedyWay::kWarp, 10.0,
                neck ? Say("If it is not meant: widen the neck towards the marks.")
                     : Say("If it is not meant: widen the waist towards the marks.")};
    f.gain = 1.0;
  } else if (ratio > limit) {
    f.verdict = Verdict::kClear;
    f.why += ".";
  } else {
    f.why += Say(": near the limit.");
    f.ask = Say("Mark both sides of the face (contour_l, contour_r) for the head's width.");
  }
  body_check::Finish(facts, rests_on, f);
  out.push_back(std::move(f));
}

void CheckTaper(const BodyFacts& facts, const Silhouette& silhouette, std::vector<Finding>& out) {
  for (const BoneId bone : {BoneId::kForearmL, BoneId::kForearmR, BoneId::kShinL, BoneId::kShinR}) {
    const bool shin = bone == BoneId::kShinL || bone == BoneId::kShinR;
    const auto high = MeanWidth(facts, silhouette, bone, 0.22, 0.42), low = MeanWidth(facts, silhouette, bone, 0.68, 0.80);
    if (!high || !low) continue;
    const double taper = low->stature / high->stature, sd = std::hypot(high->log_sd, low->log_sd);
    const bool bare = std::any_of(facts.Marks().areas.begin(), facts.Marks().areas.end(), [&](const Area& area) {
      return area.kind == "skin" && area.on == Name(bone);
    });
    const std::string spoken = SaidName(bone);
    Finding f =
        body_check::Start(facts, "limb.taper." + std::string(Name(bone)), Say("{} tapers towards its end", body_check::Sentence(spoken)),
                          bare ? Kind::kConstruction : Kind::kTaste, Verdict::kCannotTell);
    f.stage = Stage::kSketch;
    f.unit = "ratio";
    f.measured = taper;
    f.expected = 0.8;
    f.tolerance = kFlare - 0.8;
    f.sd = sd * taper;
    f.smallest_visible = kFlare * std::exp(kSure * sd);
    f.test = "distance in sd";
    f.evidence = std::log(taper / kFlare) / sd;
    f.source = Say("limbs narrow towards the joint: common practice, default, editable");
    f.where.points = {high->from, high->to, low->from, low->to};
    f.why = shin ? Say("Three quarters down the {} its contour is {:.2f} times as wide as near the calf", spoken, taper)
                 : Say("Three quarters down the {} its contour is {:.2f} times as wide as near the elbow", spoken, taper);
    if (taper < 1.0) {
      f.verdict = Verdict::kClear;
      f.why += ".";
    } else if (bare && taper > *f.smallest_visible) {
      f.verdict = Verdict::kOff;
      f.title = Say("{} widens where it should taper", body_check::Sentence(spoken));
      f.why += Say(", though it is bare.");
      const Vec2 middle = 0.5 * (low->from + low->to), half = 0.5 * (low->to - low->from) * (0.8 / taper);
      f.guides = {body_check::Line(GuideShape::Role::kDrawn, {high->from, high->to}), body_check::Line(GuideShape::Role::kDrawn, {low->from, low->to}),
                  body_check::Line(GuideShape::Role::kTarget, {middle - half, middle + half})};
      f.remedy = {RemedyWay::kWarp, 15.0, Say("Narrow it towards the joint, or widen it above.")};
      f.gain = 2.0;
    } else if (bare) {
      f.why += Say(": within what drawings of bare limbs show.");
      f.ask = Say("Mark both joints again at high zoom.");
    } else {
      f.why += Say(": a flared sleeve or trouser leg does that too.");
      f.ask = Say("When the limb is bare, outline it as an area of kind \"skin\" on {}.", Name(bone));
    }
    const auto rests_on = body_check::PointsOf(bone);
    body_check::Finish(facts, rests_on, f);
    out.push_back(std::move(f));
  }
}

}  // namespace

void CheckGirth(const BodyFacts& facts, const Silhouette& silhouette, std::vector<Finding>& out) {
  CheckLegs(facts, silhouette, out);
  CheckNarrow(facts, silhouette, true, out);
  CheckNarrow(facts, silhouette, false, out);
  CheckTaper(facts, silhouette, out);
}

}  // namespace armslength::surface_check
