// Proportions: every answer of the length scan, in words, once.
#include <algorithm>
#include <cmath>

#include "canon/canon.h"
#include "check/body/body_facts.h"
#include "check/body/guides.h"
#include "check/body/limb_names.h"
#include "reading/body/body_helpful.h"
#include "check/body/standing.h"
#include "words/say.h"

namespace armslength::body_check {
namespace {

using B = BoneId;

double LogSd(const LengthHypothesis& h) {
  if (h.factor_low <= 0.0 || h.factor_high <= h.factor_low) return 0.0;
  return std::log(h.factor_high / h.factor_low) / (2.0 * 1.959964);
}

bool HasInterval(const LengthHypothesis& h) { return h.factor_low > 0.0 && h.factor_high > h.factor_low; }

std::string Interval(const LengthHypothesis& h) {
  return HasInterval(h) ? Say(" ({:.2f} to {:.2f})", h.factor_low, h.factor_high) : std::string();
}

double Sum(const Canon& canon, std::span<const B> bones) {
  double sum = 0.0;
  for (const B bone : bones) sum += canon[bone].length;
  return sum;
}

// Drawn at a length that no built-in canon comes near, measured against the torso (a torso:
// against the legs). A quarter beyond the canons is left for own styles.
bool BeyondEveryCanon(const LengthHypothesis& h, const Canon& in_use) {
  static const std::vector<B> kTorso = {B::kTrunk};
  static const std::vector<B> kLegs = {B::kThighL, B::kThighR, B::kShinL, B::kShinR};
  const auto& against = Overlap(h.bones, kTorso) ? kLegs : kTorso;
  const double reference = Sum(in_use, against);
  if (reference <= 0.0 || !HasInterval(h)) return false;
  double low = INFINITY, high = 0.0;
  for (const Canon& canon : BuiltInCanons()) {
    const double other = Sum(canon, against);
    if (other <= 0.0) continue;
    const double ratio = Sum(canon, h.bones) / other;
    low = std::min(low, ratio);
    high = std::max(high, ratio);
  }
  if (!(high > 0.0)) return false;
  const double drawn = Sum(in_use, h.bones) / reference;
  return drawn * h.factor_low > 1.25 * high || drawn * h.factor_high < low / 1.25;
}

// Left against right: `factor` is left over right there, not a length over the canon's.
bool IsPair(const LengthHypothesis& h) { return h.id.starts_with("body.pair."); }

// What a fault-free answer could have shown.
std::string Visible(const Part& part, const LengthHypothesis& h) {
  if (h.smallest_long && h.smallest_short)
    return Say("Marks like these would have shown the {} drawn {:.0f} % {} or {:.0f} % {}.", part.words, 100 * (*h.smallest_long - 1),
               part.too_long, 100 * (1 - *h.smallest_short), part.too_short);
  if (h.smallest_long)
    return Say("Marks like these would have shown the {} drawn {:.0f} % {}; {} could hide in the depth.", part.words,
               100 * (*h.smallest_long - 1), part.too_long, part.too_short);
  if (h.smallest_short)
    return Say("Marks like these would have shown the {} drawn {:.0f} % {}; {} would not have shown.", part.words,
               100 * (1 - *h.smallest_short), part.too_short, part.too_long);
  return Say("From this view no size of fault in the {} would have shown.", part.words);
}

std::string Ask(const BodyReading& reading, const std::string& id) {
  for (const HelpfulMark& mark : reading.helpful)
    if (mark.finding == id) return mark.how;
  // What helps one question mostly helps the others, but for marks to place again.
  for (const HelpfulMark& mark : reading.helpful)
    if (!mark.what.ends_with(body::kMoreExactly)) return mark.how;
  return {};
}

std::string HeadsSentence(const BodyReading& reading) {
  const StandingFigure standing = Straighten(reading);
  if (!standing.usable || !standing.heads_drawn) return {};
  return reading.canon.declared ? Say("drawn {:.1f} heads tall ({:.1f} to {:.1f}), the canon says {:.1f}", *standing.heads_drawn,
                                      *standing.heads_low, *standing.heads_high, standing.heads_canon)
                                : Say("drawn {:.1f} heads tall ({:.1f} to {:.1f}), the rest of the figure goes with {:.1f}",
                                      *standing.heads_drawn, *standing.heads_low, *standing.heads_high, standing.heads_canon);
}

Finding Base(const BodyFacts& facts, const LengthHypothesis& h, const Part& part, Kind kind, Verdict verdict) {
  Finding f = Start(facts, h.id, {}, kind, verdict);
  f.where = At(facts, PointsOf(h.bones));
  if (HasInterval(h)) {
    f.measured = h.factor;
    f.sd = h.factor * LogSd(h);
  }
  f.expected = 1.0;
  f.tolerance = part.tolerance;
  f.unit = "ratio";
  f.evidence = h.evidence;
  f.test = "2 ln Bayes factor";
  f.smallest_visible = h.smallest_long ? h.smallest_long : h.smallest_short;
  f.source = part.source;
  return f;
}

Finding Off(const BodyFacts& facts, const LengthHypothesis& h, const Part& part) {
  const BodyReading& reading = facts.Reading();
  const bool is_head = h.bones.size() == 1 && h.bones.front() == B::kHead;
  const bool free_style = !reading.canon.declared;
  const bool beyond = free_style && !part.one_sided && BeyondEveryCanon(h, reading.canon.canon);
  // A free style scales whole parts as it likes; neither may it be lopsided nor join thigh and
  // shin, upper arm and forearm, that do not go together.
  const bool misfit = free_style && part.kind == PartKind::kPair;
  const Kind kind = part.one_sided || beyond || misfit ? Kind::kConstruction
                    : free_style                       ? Kind::kTaste
                                                       : Kind::kCanon;
  Finding f = Base(facts, h, part, kind, Verdict::kOff);
  const std::string& how = h.factor > 1.0 ? part.too_long : part.too_short;
  if (kind == Kind::kTaste) {
    f.title = Say("{} {} than usual: drawn {:.2f} times what goes with the rest{}", Sentence(part.words),
                  h.factor > 1.0 ? part.longer : part.shorter, h.factor, Interval(h));
  } else {
    f.title = Say("{} {}: drawn {:.2f} times {}{}", Sentence(part.words), how, h.factor,
                  part.one_sided            ? Say("as long as the other side allows")
                  : !reading.canon.declared ? Say("what goes with the rest")
                  : part.of_width           ? Say("the canon's width")
                  : is_head                 ? Say("the canon's head")
                                            : Say("the canon's length"),
                  Interval(h));
  }
  const std::string times = part.one_sided           ? Say("{:.2f} times the length that goes with the other side", h.factor)
                            : reading.canon.declared ? Say("{:.2f} times the canon's length", h.factor)
                                                     : Say("{:.2f} times the length that fits the rest of the figure", h.factor);
  f.why = SayCount(part.plural ? 2 : 1,
                   "With all bodies, poses and cameras tried, the marks fit far better when the {} is {} than when nothing is off.",
                   "With all bodies, poses and cameras tried, the marks fit far better when the {} are {} than when nothing is off.",
                   part.words, times);
  if (is_head)
    if (const std::string heads = HeadsSentence(reading); !heads.empty()) f.why += " " + Sentence(heads) + ".";
  if (is_head && kind != Kind::kTaste)
    if (const std::string heads = HeadsSentence(reading); !heads.empty()) f.title += "; " + heads;
  if (kind == Kind::kTaste)
    f.why +=
        Say(" No canon is declared for this figure, so this is an observation: declare the canon to have it "
            "judged.");
  if (misfit) f.why += Say(" No canon is declared; this holds in any style, as the two parts of a limb keep to one another.");
  if (beyond) f.why += Say(" None of the usual canons, from child to heroic, comes near this.");
  const std::string amount = Percent(1.0 / h.factor - 1.0);
  f.remedy = ScaleRemedy(
      h.factor, part.minutes,
      h.factor > 1.0
          ? SayCount(part.plural ? 2 : 1, "Scale the {} down by {:.0f} % and move what hangs on it.",
                     "Scale the {} down by {:.0f} % and move what hangs on them.", part.words, 100 * std::abs(1.0 / h.factor - 1.0))
          : SayCount(part.plural ? 2 : 1, "Scale the {} up by {:.0f} % and move what hangs on it.",
                     "Scale the {} up by {:.0f} % and move what hangs on them.", part.words, 100 * std::abs(1.0 / h.factor - 1.0)));
  f.gain = std::min(10.0, 10.0 * part.weight * std::abs(std::log(std::max(h.factor, 1e-3))) / 0.25);
  f.guides = LengthGuide(facts, h.bones, h.factor, part.tolerance, amount);
  return f;
}

Finding Clear(const BodyFacts& facts, const LengthHypothesis& h, const Part& part, bool within) {
  Finding f = Base(facts, h, part, facts.Reading().canon.declared ? Kind::kCanon : Kind::kConstruction, Verdict::kClear);
  f.title = within && HasInterval(h) ? Say("{} within tolerance: {:.2f} times the expected{}", Sentence(part.words), h.factor, Interval(h))
                                     : Say("{} in proportion", Sentence(part.words));
  f.why = Visible(part, h);
  if (h.bones.size() == 1 && h.bones.front() == B::kHead)
    if (const std::string heads = HeadsSentence(facts.Reading()); !heads.empty()) f.why += " " + Sentence(heads) + ".";
  return f;
}

Finding CannotTell(const BodyFacts& facts, const LengthHypothesis& h, const Part& part, const std::string& because) {
  Finding f =
      Base(facts, h, part, facts.Reading().canon.declared ? Kind::kCanon : Kind::kConstruction, Verdict::kCannotTell);
  f.title = Say("{}: cannot tell from this view", Sentence(part.words));
  f.why = because.empty() ? Visible(part, h) : because;
  f.ask = Ask(facts.Reading(), h.id);
  return f;
}

}  // namespace

void CheckLengths(const BodyFacts& facts, std::vector<Finding>& out) {
  const BodyReading& reading = facts.Reading();
  std::vector<const LengthHypothesis*> off;
  for (const LengthHypothesis& h : reading.hypotheses) {
    if (!h.off || h.bones.empty() || IsPair(h)) continue;
    // One fault, one finding: a part of it or a wider one is not a second fault.
    if (std::any_of(off.begin(), off.end(), [&](const auto* o) { return Overlap(o->bones, h.bones); })) continue;
    const Part part = Describe(h.bones);
    if (std::abs(h.factor - 1.0) <= part.tolerance) continue;  // shown below, as within tolerance
    off.push_back(&h);
    Finding f = Off(facts, h, part);
    Finish(facts, PointsOf(h.bones), f);
    out.push_back(std::move(f));
  }
  for (const LengthHypothesis& h : reading.hypotheses) {
    if (IsPair(h)) continue;
    const Part part = Describe(h.bones);
    if (part.kind != PartKind::kWhole) continue;
    if (std::find(off.begin(), off.end(), &h) != off.end()) continue;
    const auto blame = std::find_if(off.begin(), off.end(), [&](const auto* o) { return Overlap(o->bones, h.bones); });
    Finding f;
    if (blame != off.end()) {
      const Part other = Describe((*blame)->bones);
      f = CannotTell(facts, h, part,
                     Say("What shows in the {} is explained by the {}; look again once that is settled.", part.words, other.words));
      f.ask.clear();
    } else if (h.off) {
      f = Clear(facts, h, part, true);
    } else if (h.cleared) {
      f = Clear(facts, h, part, false);
    } else {
      f = CannotTell(facts, h, part, {});
    }
    Finish(facts, PointsOf(h.bones), f);
    out.push_back(std::move(f));
  }
}

void CheckCanon(const BodyFacts& facts, std::vector<Finding>& out) {
  const BodyReading& reading = facts.Reading();
  if (reading.canon.declared) return;
  Finding f = Start(facts, "body.canon", Say("Proportions are not judged: no canon is declared"), Kind::kTaste, Verdict::kCannotTell);
  f.where = At(facts, std::array{PointId::kCrown, PointId::kAnkleL, PointId::kAnkleR});
  f.unit = "heads";
  if (reading.canon.heads > 0.0 && reading.canon.heads_sd > 0.0) {
    f.measured = reading.canon.heads;
    f.sd = reading.canon.heads_sd;
    f.why =
        Say("The marks go best with a figure of about {:.1f} heads (±{:.1f}); any style that keeps to itself "
            "is right.",
            reading.canon.heads, reading.canon.heads_sd);
  } else {
    f.why = Say("Any style that keeps to itself is right.");
  }
  f.ask = reading.canon.how_to_change.empty() ? Say("Name a canon for this figure to have its proportions judged.")
                                              : reading.canon.how_to_change;
  f.source = Say("default, editable");
  Finish(facts, {}, f);
  out.push_back(std::move(f));
}

void CheckPairs(const BodyFacts& facts, std::vector<Finding>& out) {
  struct Ratio {
    std::string id, words;
    B distal, proximal;
    std::string rule;
  };
  const BodyReading& reading = facts.Reading();
  if (reading.hypotheses.empty()) return;
  const auto one_sided_off = [&](std::span<const B> bones) {
    return std::any_of(reading.hypotheses.begin(), reading.hypotheses.end(), [&](const LengthHypothesis& h) {
      return h.off && !IsPair(h) && Overlap(h.bones, bones) && Describe(h.bones).one_sided;
    });
  };
  const auto find = [&](std::span<const B> bones) -> const LengthHypothesis* {
    for (const LengthHypothesis& h : reading.hypotheses)
      if (!IsPair(h) && SameSet(h.bones, bones)) return &h;
    return nullptr;
  };

  for (const LengthHypothesis& h : reading.hypotheses) {
    if (!IsPair(h) || h.bones.empty()) continue;
    if (one_sided_off(h.bones)) continue;  // told once, by the limb itself
    const std::string words = Describe(h.bones).words;
    Finding f = Start(facts, h.id, {}, Kind::kConstruction, h.cleared ? Verdict::kClear : Verdict::kCannotTell);
    f.where = At(facts, PointsOf(h.bones));
    f.unit = "ratio";
    f.expected = 1.0;
    f.tolerance = 0.08;
    f.source = Say("8 % between the sides; default, editable");
    f.evidence = h.evidence;
    f.test = "2 ln Bayes factor";
    f.smallest_visible = h.smallest_long;
    if (HasInterval(h)) {
      f.measured = h.factor;
      f.sd = h.factor * LogSd(h);
    }
    const std::string measured = HasInterval(h) ? Say("Left over right is {:.2f}{}. ", h.factor, Interval(h)) : std::string();
    if (h.cleared) {
      f.title = Say("Left and right of the {} match", words);
      f.why = measured + (f.smallest_visible ? Say("A difference of {:.0f} % would have shown.", 100 * (*f.smallest_visible - 1))
                                             : Say("A difference beyond the tolerance is refused by the marks."));
    } else {
      f.title = Say("Left and right of the {}: cannot tell from this view", words);
      f.why = measured + (f.smallest_visible ? Say("Here a difference shows from {:.0f} % on.", 100 * (*f.smallest_visible - 1))
                                             : Say("From this view no difference between the sides would have shown."));
      f.ask = Ask(reading, h.id);
    }
    Finish(facts, PointsOf(h.bones), f);
    out.push_back(std::move(f));
  }

  for (const Ratio& ratio :
       {Ratio{"body.arms.segments", Say("forearm to upper arm"), B::kForearmL, B::kUpperArmL, Say("about 0.8 in most canons")},
        Ratio{"body.legs.segments", Say("shin to thigh"), B::kShinL, B::kThighL, Say("about 1 in most canons")}}) {
    const std::vector<B> distal = {ratio.distal, Mirrored(ratio.distal)};
    const std::vector<B> proximal = {ratio.proximal, Mirrored(ratio.proximal)};
    std::vector<B> all = distal;
    all.insert(all.end(), proximal.begin(), proximal.end());
    const bool told = std::any_of(reading.hypotheses.begin(), reading.hypotheses.end(),
                                  [&](const LengthHypothesis& h) { return h.off && Overlap(h.bones, all); });
    const LengthHypothesis *d = find(distal), *p = find(proximal);
    const double expected_d = facts.CanonLength(ratio.distal), expected_p = facts.CanonLength(ratio.proximal);
    if (told || d == nullptr || p == nullptr || expected_d <= 0.0 || expected_p <= 0.0) continue;
    const auto at = [](B b) { return static_cast<std::size_t>(b); };
    const double length_d = std::sqrt(reading.length[at(distal[0])] * reading.length[at(distal[1])]);
    const double length_p = std::sqrt(reading.length[at(proximal[0])] * reading.length[at(proximal[1])]);
    if (length_d <= 0.0 || length_p <= 0.0) continue;
    // Left and right lean on each other in the reading, so a pair's spread is that of one side.
    const double log_sd = std::hypot(reading.length_log_sd[at(distal[0])], reading.length_log_sd[at(proximal[0])]);
    const double expected = expected_d / expected_p, drawn = length_d / length_p, tolerance = 0.08;
    const double beyond = std::abs(std::log(drawn / expected)) - std::log1p(tolerance);
    const bool off = log_sd > 0.0 && beyond > kSure * log_sd;
    const bool clear = !off && d->cleared && p->cleared;
    Finding f = Start(facts, ratio.id, {},
                      reading.canon.declared ? Kind::kCanon : off ? Kind::kTaste : Kind::kConstruction,
                      off ? Verdict::kOff : clear ? Verdict::kClear : Verdict::kCannotTell);
    f.where = At(facts, PointsOf(all));
    f.unit = "ratio";
    if (off || clear) {  // otherwise the number would be the canon's, given back
      f.measured = drawn;
      f.sd = drawn * log_sd;
    }
    f.expected = expected;
    f.tolerance = expected * tolerance;
    f.test = "distance in sd";
    if (log_sd > 0.0 && (off || clear)) f.evidence = std::abs(std::log(drawn / expected)) / log_sd;
    if (d->smallest_long && p->smallest_long)
      f.smallest_visible = expected * std::max(*d->smallest_long, *p->smallest_long);
    f.source = Say("{}, 8 %; default, editable", ratio.rule);
    if (off) {
      f.title = Say("{} {:.2f}, expected {:.2f}", Sentence(ratio.words), drawn, expected);
      f.why = Say("The lengths of the reading differ by more than {:.0f} % and {:.0f} spreads.", 100 * tolerance, kSure);
      f.remedy = ScaleRemedy(drawn / expected, 18, Say("Move the joint between the two parts along the limb."));
      f.gain = std::min(10.0, 7.0 * std::abs(std::log(drawn / expected)) / 0.25);
      f.guides = LengthGuide(facts, distal, drawn / expected, tolerance, Percent(expected / drawn - 1.0));
    } else if (clear) {
      f.title = Say("{} in proportion", Sentence(ratio.words));
      f.why = Say("Drawn {:.2f}, expected {:.2f}; neither part stands out when tried alone.", drawn, expected);
    } else {
      f.title = Say("{}: cannot tell from this view", Sentence(ratio.words));
      f.why = Say("One of the two parts can be of another length without the marks showing it.");
      f.ask = Ask(reading, d->id);
    }
    Finish(facts, PointsOf(all), f);
    out.push_back(std::move(f));
  }
}

}  // namespace armslength::body_check
