#include "reading/body/body_verdict.h"

#include <algorithm>

namespace armslength::body {

void Judge(const BodyModel& base, const Scan& scan, bool free_style, BodyReading& reading) {
  static_cast<void>(base);
  static_cast<void>(free_style);
  for (std::size_t g = 0; g < scan.groups.size(); ++g) {
    const Explanation& e = scan.groups[g];
    if (!e.tested) continue;
    const BoneGroup& group = BoneGroups()[g];
    LengthHypothesis h;
    h.id = group.id;
    for (int b = 0; b < kBoneCount; ++b)
      if (group.weight[static_cast<std::size_t>(b)] != 0.0) h.bones.push_back(static_cast<BoneId>(b));
    h.evidence = e.evidence;
    h.factor = std::exp(e.value);
    h.factor_low = std::exp(e.value - 1.96 * e.sd);
    h.factor_high = std::exp(e.value + 1.96 * e.sd);
    reading.hypotheses.push_back(h);
  }
  std::sort(reading.hypotheses.begin(), reading.hypotheses.end(),
            [](const LengthHypothesis& a, const LengthHypothesis& b) { return a.evidence > b.evidence; });
  // Until the thresholds are calibrated: strong evidence only.
  if (!reading.hypotheses.empty() && reading.hypotheses.front().evidence > 12.0) reading.hypotheses.front().off = true;
}

}  // namespace armslength::body
