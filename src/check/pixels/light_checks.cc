// Light from one side: every drawn form is read by which sides of its outline lie in shadow.
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "check/pixels/context.h"
#include "check/pixels/light_forms.h"
#include "check/pixels/shading.h"
#include "words/say.h"

namespace armslength {
namespace {

constexpr double kDeg = 180.0 / std::numbers::pi;
// Agreement that a second light must add, and share of the contours that must follow it: by several forms, sure or not
// so sure ones, and by a single one. Set on drawn figures and forms with one light and two (seeds from 2600001 and 2700001).
constexpr double kLeastGain = 0.16, kWeakGain = 0.20, kLeastShare = 0.10;
constexpr double kSure = 12.0;  // weight of all that follow it, more than one form has
constexpr double kOneGain = 0.32, kOneShare = 0.165;
// Two lights must then explain nearly everything, or leave little of what one leaves: forms that were misread (feet, bent
// limbs) suit no second light either. Set on drawn figures in poses of all kinds with one light (seeds from 7300001).
constexpr double kTwoExplain = 0.90, kTwoLeave = 0.20;
constexpr std::size_t kFewest = 4;        // forms that speak
constexpr std::size_t kFewestForOne = 6;  // before a single contrary form is believed: of four it may be a belt's own gradient
constexpr double kPlainly = 0.4;          // better served by one of two lights than by the other

}  // namespace

void CheckLight(const PictureContext& c, const std::vector<Segment>& patches, std::vector<Finding>& out) {
  const std::vector<LightForm> forms = ReadLightForms(c, patches);
  if (forms.size() < kFewest) return;
  double weight = 0;
  for (const LightForm& f : forms) weight += f.weight;
  std::size_t one = 0;
  double agree = -1e9;
  for (std::size_t j = 0; j < kLights; ++j) {
    double sum = 0;
    for (const LightForm& f : forms) sum += f.weight * f.suits[j];
    if (sum > agree) agree = sum, one = j;
  }
  std::size_t first = one, second = one;
  double agree_two = agree;
  for (std::size_t i = 0; i < kLights; ++i)
    for (std::size_t j = i + 1; j < kLights; ++j) {
      double sum = 0;
      for (const LightForm& f : forms) sum += f.weight * std::max(f.suits[i], f.suits[j]);
      if (sum > agree_two) agree_two = sum, first = i, second = j;
    }
  const double gain = (agree_two - agree) / weight;
  const double between = std::abs(std::remainder(Direction(first, kLights) - Direction(second, kLights), 2 * std::numbers::pi)) * kDeg;
  // Who follows which: plainly better served by one of the two.
  std::array<double, 2> follow{};
  std::array<std::vector<const LightForm*>, 2> group;
  for (const LightForm& f : forms) {
    const double d = f.suits[second] - f.suits[first];
    if (std::abs(d) < kPlainly) continue;
    follow[d > 0] += f.weight;
    group[d > 0].push_back(&f);
  }
  const std::size_t fewer = follow[1] < follow[0];
  const double share = follow[fewer] / weight;
  const bool several = group[fewer].size() >= 2 && share > kLeastShare && gain > (follow[fewer] > kSure ? kLeastGain : kWeakGain);
  // A single form: only a large one. A misread one is as often lit from the opposite side as from any other.
  const bool single = forms.size() >= kFewestForOne && group[fewer].size() == 1 && gain > kOneGain && share > kOneShare;
  const bool explained = agree_two > kTwoExplain * weight || weight - agree_two < kTwoLeave * (weight - agree);
  const bool two_lights = between > 2.0 * c.Tolerances().light_flag_deg && explained && (several || single);
  Finding x = MakeFinding("value.light", Say("One light"), Kind::kCraft, Verdict::kClear, Stage::kShading);
  // Where each group's light comes from, by its own forms.
  const auto light_of = [](const std::vector<const LightForm*>& forms_of) {
    Vec2 sum = Vec2::Zero();
    for (const LightForm* f : forms_of) sum += f->weight * Vec2(std::cos(f->azimuth), std::sin(f->azimuth));
    return std::atan2(sum.y(), sum.x());
  };
  const std::array<double, 2> light = {light_of(group[1 - fewer]), light_of(group[fewer])};
  x.measured = two_lights ? std::abs(std::remainder(light[0] - light[1], 2 * std::numbers::pi)) * kDeg : 0.0;
  x.expected = 0.0;
  x.tolerance = c.Tolerances().light_flag_deg;
  x.unit = "deg";
  x.test = "agreement with the forms' shadow sides that a second light adds to the best single one";
  x.evidence = gain;
  x.smallest_visible = 2.0 * c.Tolerances().light_flag_deg;
  x.source = Say("default, editable");
  const auto arrow = [&](const LightForm& f) {
    GuideShape shape;
    shape.role = GuideShape::Role::kArrow;
    const double length = 0.04 * c.LongSide();
    shape.points = {f.at + Vec2(std::cos(f.azimuth), std::sin(f.azimuth)) * length, f.at};
    if (x.guides.size() < 7) x.guides.push_back(std::move(shape));
  };
  // On the page y runs down; clock directions are what people say.
  const auto clock = [](double azimuth) {
    const double hour = std::fmod(azimuth * kDeg / 30.0 + 3.0 + 24.0, 12.0);
    return hour < 0.5 ? 12.0 : hour;
  };
  if (two_lights) {
    const auto& odd = group[fewer];
    x.why =
        Say("On {} drawn forms it was read which side lies in shadow. No single light suits them: most are lit from about {:.0f} o'clock, "
            "{} from about {:.0f} o'clock.",
            forms.size(), clock(light[0]), odd.size(), clock(light[1]));
    for (const LightForm* f : odd) x.where.points.push_back(f->at), arrow(*f);
    for (const LightForm* f : group[1 - fewer]) arrow(*f);
    x.verdict = Verdict::kOff;
    x.title = Say("Light from two places");
    x.gain = 5.0;
    x.remedy = {RemedyWay::kRepaint, 35, Say("Turn the shadows of the forms that disagree, or declare the second light.")};
  } else {
    x.why = Say("On {} drawn forms it was read which side lies in shadow; a light from about {:.0f} o'clock suits them.", forms.size(),
                clock(Direction(one, kLights)));
    for (const LightForm& f : forms) arrow(f);
  }
  out.push_back(std::move(x));
}

}  // namespace armslength
