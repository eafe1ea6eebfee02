#include <algorithm>
#include <cmath>

#include "check/pixels/context.h"
#include "check/pixels/levels.h"
#include "geometry/order.h"
#include "words/say.h"

namespace armslength {
namespace {

constexpr double kOneTone = 0.97;       // share of one paint from which the rest is edges of shapes and little things
constexpr float kOneToneReach = 0.03f;  // OKLab, about its middle

// A silhouette or sign in one paint: it reads by its outline and has no values to group. `asked`: places of the small field.
bool InOnePaint(const SmallField& s, const std::vector<std::size_t>& asked) {
  if (asked.empty()) return false;
  const auto middle = [&](const std::vector<float>& of) {
    std::vector<double> all;
    for (const std::size_t i : asked) all.push_back(static_cast<double>(of[i]));
    return static_cast<float>(Median(std::move(all)));
  };
  const float l = middle(s.ok_l), a = middle(s.a), b = middle(s.b);
  const auto near = std::ranges::count_if(asked, [&](std::size_t i) { return std::hypot(s.ok_l[i] - l, s.a[i] - a, s.b[i] - b) < kOneToneReach; });
  return static_cast<double>(near) >= kOneTone * static_cast<double>(asked.size());
}

}  // namespace

void CheckValue(PictureContext& c, Findings& out) {
  const SmallField& s = c.small;
  const PictureTolerances& t = c.Tolerances();
  ValueFacts& f = c.value;
  // The figure's own lightness where a figure is known; the lines are left out of it.
  std::vector<double> histogram(256, 0.0);
  std::vector<double> whole(256, 0.0);
  std::vector<std::size_t> asked;
  for (std::size_t i = 0; i < s.l.size(); ++i) {
    if (!s.seen[i]) continue;
    const std::size_t bin = LevelBin(static_cast<double>(s.l[i]) / kLPerByte);
    whole[bin] += 1;
    if (s.ink[i] > 96) continue;
    if (c.split.by != SplitBy::kNone && c.split.mask[i] == 0) continue;
    histogram[bin] += 1;
    asked.push_back(i);
  }
  if (asked.size() < 100) histogram = whole;
  double sum = 0, weight = 0;
  for (std::size_t i = 0; i < 256; ++i) {
    sum += histogram[i] * static_cast<double>(i);
    weight += histogram[i];
  }
  if (weight <= 0) return;
  f.l_mean = sum / weight * kLPerByte;
  double below = 0;
  bool low_done = false, high_done = false;
  for (std::size_t i = 0; i < 256; ++i) {
    below += histogram[i];
    if (!low_done && below >= 0.05 * weight) f.l_p05 = static_cast<double>(i) * kLPerByte, low_done = true;
    if (!high_done && below >= 0.95 * weight) f.l_p95 = static_cast<double>(i) * kLPerByte, high_done = true;
  }
  for (int k = 2; k <= 5; ++k) {
    const LevelSplit split = SplitLevels(histogram, k);
    ValueFacts::Groups& g = f.groups[static_cast<std::size_t>(k - 2)];
    for (const int cut : split.cuts) g.thresholds_l.push_back((cut - 0.5) * kLPerByte);
    for (const double m : split.means) g.means_l.push_back(m * kLPerByte);
    g.shares = split.shares;
    g.explained = split.explained;
    g.smallest_step_l = 1e9;
    for (std::size_t i = 1; i < g.means_l.size(); ++i) g.smallest_step_l = std::min(g.smallest_step_l, g.means_l[i] - g.means_l[i - 1]);
  }
  if (c.uncoloured || c.stage == Stage::kLine || c.stage == Stage::kConstruction || c.stage == Stage::kSketch || InOnePaint(s, asked)) return;

  // Three groups about 12 L* apart need a range of 36; two clear groups read as well.
  const double two = f.groups[0].smallest_step_l, three = f.groups[1].smallest_step_l;
  Finding x = MakeFinding("value.groups", Say("Values group clearly"), Kind::kCraft, Verdict::kClear, Stage::kFlats);
  x.measured = std::max(three, two * 2.0 / 3.0);
  x.expected = t.group_step_l;
  x.tolerance = 0.0;
  x.unit = "L*";
  x.test = "best split of the lightness histogram into two and three groups";
  x.smallest_visible = 0.4;
  x.source = Say("default, editable; handbooks advise three to five clear groups");
  const auto& g3 = f.groups[1];
  x.why =
      Say("Split the best way into three, the lightness groups lie at L* {:.0f}, {:.0f} and {:.0f} ({:.0f}, {:.0f} and {:.0f} % of the "
          "area); into two, {:.0f} L* apart.",
          g3.means_l[0], g3.means_l[1], g3.means_l[2], 100 * g3.shares[0], 100 * g3.shares[1], 100 * g3.shares[2], two);
  if (*x.measured < t.group_step_l) {
    x.title = Say("Weak grey read");
    x.verdict = Verdict::kOff;
    x.gain = 5.0;
    x.remedy = {RemedyWay::kRepaint, 25, Say("Decide on three values and push them apart with a levels or curves layer; check in grey.")};
  }
  out.push_back(std::move(x));
}

}  // namespace armslength
