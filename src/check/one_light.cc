#include "check/one_light.h"

#include <algorithm>
#include <string>

namespace armslength {

void JoinLight(std::span<const LitLimb> handed_on, std::vector<Finding>& findings) {
  if (handed_on.empty()) return;
  const auto all = std::ranges::find(findings, "value.light", &Finding::id);
  if (all == findings.end() || all->verdict == Verdict::kCannotTell) return;
  const Verdict verdict = all->verdict;
  const std::string figure = all->figure;
  std::erase_if(findings, [&](const Finding& f) { return f.id == "value.light.parts" && f.figure == figure && f.verdict != verdict; });
}

}  // namespace armslength
