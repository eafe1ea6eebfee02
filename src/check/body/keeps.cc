// What is right, computed: said first by a good critic and kept through the corrections.
#include <algorithm>

#include "check/body/body_facts.h"
#include "check/body/limb_names.h"
#include "words/say.h"

namespace armslength::body_check {

void AddKeeps(const BodyFacts& facts, std::vector<Finding>& out) {
  const BodyReading& reading = facts.Reading();
  // Groups whose fault in either direction would have shown.
  std::vector<std::string> parts;
  std::vector<BoneId> bones;
  double weakest = 1.0;
  for (const LengthHypothesis& h : reading.hypotheses) {
    if (!h.cleared || h.off || h.id.starts_with("body.pair.")) continue;
    const Part part = Describe(h.bones);
    if (part.kind != PartKind::kWhole) continue;
    const bool spoilt = std::any_of(reading.hypotheses.begin(), reading.hypotheses.end(),
                                    [&](const LengthHypothesis& o) { return o.off && Overlap(o.bones, h.bones); });
    if (spoilt) continue;
    parts.push_back(part.words);
    bones.insert(bones.end(), h.bones.begin(), h.bones.end());
    if (h.smallest_long) weakest = std::max(weakest, *h.smallest_long);
  }
  const bool proposed = !facts.Unconfirmed(PointsOf(bones)).empty();
  if (parts.size() >= 2 && !proposed) {
    Finding f = Start(facts, "body.keep.proportions", Say("Proportions hold: {}", List(parts)), Kind::kKeep, Verdict::kClear);
    f.where = At(facts, PointsOf(bones));
    f.unit = "ratio";
    if (weakest > 1.0) f.smallest_visible = weakest;
    f.test = "2 ln Bayes factor";
    f.source = Say("default, editable");
    f.why = weakest > 1.0 ? Say("In each of them a length {:.0f} % too great would have shown.", 100.0 * (weakest - 1.0))
                          : Say("In each of them a length off in either direction would have shown.");
    Finish(facts, {}, f);
    out.push_back(std::move(f));
  }
  for (const Finding& other : std::vector<Finding>(out)) {
    if (other.id != "body.balance" || other.verdict != Verdict::kClear) continue;
    if (!other.measured || !other.sd || *other.measured > -3.0 * *other.sd) continue;
    Finding f = Start(facts, "body.keep.balance", Say("The figure stands: weight well inside the feet"), Kind::kKeep, Verdict::kClear);
    f.where = other.where;
    f.measured = other.measured;
    f.sd = other.sd;
    f.unit = other.unit;
    f.source = other.source;
    f.why = other.why;
    Finish(facts, {}, f);
    out.push_back(std::move(f));
  }
}

}  // namespace armslength::body_check
