// Light from one side: every drawn form is read by which sides of its outline lie in shadow.
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <vector>

#include "check/pixels/context.h"
#include "check/pixels/light_forms.h"
#include "check/pixels/light_odds.h"
#include "check/pixels/shading.h"
#include "words/say.h"

namespace armslength {
namespace {

constexpr double kDeg = 180.0 / std::numbers::pi;
constexpr double kTwoOdds = 4.0;  // two lights are so much likelier than one, natural logarithm. Set as in light_odds.cc
// The same for a light of the arms' own, where limbs are heard too; set on figures in poses of all kinds (from 831001, 832001, 833001
// and 835001 to 838001).
constexpr double kArmsOdds = 1.5;
constexpr std::size_t kFewest = 4;       // forms that speak
constexpr std::size_t kFewestLimbs = 3;  // that make a body
constexpr double kPlainly = 0.4;         // better served by one of two lights than by the other
constexpr double kApart = 2.0;           // of the tolerance, when the sides alone tell it
// What follows is set on drawn forms and figures from seeds 910001, 920001 and 930001.
// Where hard shadows tell more, or soft ones tell the direction well, lights may be nearer to each other.
constexpr double kFinelyApart = 1.45;
constexpr std::size_t kFewestFine = 6;
constexpr double kFineShare = 0.15;
// The reach of hard shadows, form by form: three quarters of the forms that speak at all must be plain, and the sides may not
// deny it flatly; where nearly all are plain, the sides are not asked. How much must be explained, and one form more among mixed
// ones: figures in poses of all kinds with one light (from 7300001 and 7301001; six of sixty were called, now two).
constexpr std::size_t kFewestMixed = 7;
constexpr double kReachGain = 0.10, kReachExplain = 0.89, kReachPlainly = 0.25, kReachForms = 0.75, kSidesGain = 0.005, kAllPlain = 0.95;
constexpr double kSoftForms = 0.8, kSoftGain = 0.04, kSoftExplain = 0.88, kSoftPlainly = 0.15;

// A form and the reading of it that is asked.
struct Voice {
  const LightForm* form = nullptr;
  const LightReading* says = nullptr;
};

Witness As(const Voice& v) { return {v.form->at, v.says->azimuth, v.says->weight, {}, false}; }

// The single light and the two lights that suit best.
struct Lights {
  std::size_t voices = 0, one = 0, first = 0, second = 0;
  double weight = 0.0, agree = 0.0, agree_two = 0.0;
  std::array<std::vector<Witness>, 2> group;  // who follows which: plainly better served by one of the two
  std::array<double, 2> follow{};
  std::size_t fewer = 0;  // of the two groups

  [[nodiscard]] double Gain() const { return (agree_two - agree) / weight; }
  [[nodiscard]] double Share() const { return follow[fewer] / weight; }
  [[nodiscard]] bool Explained(double share) const { return agree_two > share * weight; }
  [[nodiscard]] double ApartDeg() const {
    return std::abs(std::remainder(Direction(first, kLights) - Direction(second, kLights), 2 * std::numbers::pi)) * kDeg;
  }
};

std::size_t BestOf(const std::vector<Voice>& voices, double& agree) {
  std::size_t best = 0;
  agree = -1e9;
  for (std::size_t j = 0; j < kLights; ++j) {
    double sum = 0;
    for (const Voice& v : voices) sum += v.says->weight * v.says->suits[j];
    if (sum > agree) agree = sum, best = j;
  }
  return best;
}

Lights TellLights(const std::vector<Voice>& voices, double plainly) {
  Lights out;
  out.voices = voices.size();
  for (const Voice& v : voices) out.weight += v.says->weight;
  out.one = out.first = out.second = BestOf(voices, out.agree);
  out.agree_two = out.agree;
  for (std::size_t i = 0; i < kLights; ++i)
    for (std::size_t j = i + 1; j < kLights; ++j) {
      double sum = 0;
      for (const Voice& v : voices) sum += v.says->weight * std::max(v.says->suits[i], v.says->suits[j]);
      if (sum > out.agree_two) out.agree_two = sum, out.first = i, out.second = j;
    }
  for (const Voice& v : voices) {
    const double d = v.says->suits[out.second] - v.says->suits[out.first];
    if (std::abs(d) < plainly) continue;
    out.follow[d > 0] += v.says->weight;
    out.group[d > 0].push_back(As(v));
  }
  out.fewer = out.follow[1] < out.follow[0];
  return out;
}

Lights FromOdds(const LightOdds& odds, std::size_t heard) {
  Lights out;
  out.voices = heard;
  out.one = odds.one, out.first = odds.first, out.second = odds.second;
  out.group = odds.group;
  for (const bool k : {false, true})
    for (const Witness& w : out.group[k]) out.follow[k] += w.weight;
  out.fewer = out.follow[1] < out.follow[0];
  return out;
}

// Finely read forms: several must follow each light, and the two must explain nearly all.
bool TwoFinely(const Lights& l, double gain, double explain) {
  return l.voices >= kFewestFine && l.group[l.fewer].size() >= 2 && l.Share() > kFineShare && l.Gain() > gain && l.Explained(explain);
}

}  // namespace

void CheckLight(const PictureContext& c, const std::vector<Segment>& patches, std::vector<Finding>& out) {
  const std::vector<LightForm> forms = ReadLightForms(c, patches);
  std::vector<Voice> sides, reach;
  double any = 0, plain = 0, soft = 0;
  for (const LightForm& f : forms) {
    if (f.sides.weight > 0) sides.push_back({&f, &f.sides});
    if (f.plain) reach.push_back({&f, &*f.reach}), plain += f.reach->weight;
    if (!f.hard) soft += f.sides.weight;
    any += f.plain ? f.reach->weight : f.sides.weight;
  }
  const double tolerance = c.Tolerances().light_flag_deg;
  const Lights by_sides = TellLights(sides, kPlainly), by_reach = TellLights(reach, kReachPlainly);
  const bool all_plain = plain >= kAllPlain * any;
  const bool reach_tells = reach.size() >= (all_plain ? kFewestFine : kFewestMixed) && plain >= kReachForms * any;
  const Lights* told = reach_tells ? &by_reach : &by_sides;
  Lights softly, likelier;
  // A body whose limbs were read: they and the forms give one answer by their odds, which stands in for every other way of telling.
  const std::vector<LitLimb>& limbs = c.options->lit_limbs;
  const bool with_body = limbs.size() >= kFewestLimbs;
  bool two_lights = !with_body && reach_tells && TwoFinely(by_reach, kReachGain, kReachExplain) &&
                    by_reach.ApartDeg() > kFinelyApart * tolerance &&
                    ((sides.size() >= kFewest && by_sides.Gain() >= kSidesGain) || all_plain);
  std::optional<double> odds;  // when they decided
  if (!two_lights) {
    const std::vector<Witness> heard = Hear(forms, soft > kSoftForms * by_sides.weight, limbs);
    const auto ask = [&](const LightOdds& asked, double least) {
      if (two_lights || heard.size() < kFewest || asked.odds <= least || asked.group[0].empty() || asked.group[1].empty()) return;
      two_lights = true, odds = asked.odds, told = &(likelier = FromOdds(asked, heard.size()));
    };
    ask(AskLights(heard, kApart * tolerance), kTwoOdds);
    if (with_body) ask(AskArms(heard, kApart * tolerance), kArmsOdds);
  }
  if (!two_lights && !with_body && soft > kSoftForms * by_sides.weight) {
    softly = TellLights(sides, kSoftPlainly);
    two_lights = TwoFinely(softly, kSoftGain, kSoftExplain) && softly.ApartDeg() > kFinelyApart * tolerance;
    if (two_lights) told = &softly;
  }
  if (!two_lights && std::max(sides.size(), reach.size()) < kFewest) return;
  Finding x = MakeFinding("value.light", Say("One light"), Kind::kCraft, Verdict::kClear, Stage::kShading);
  // Where each group's light comes from, by its own forms.
  const auto light_of = [](const std::vector<Witness>& heard) {
    Vec2 sum = Vec2::Zero();
    for (const Witness& w : heard) sum += w.weight * Vec2(std::cos(w.azimuth), std::sin(w.azimuth));
    return std::atan2(sum.y(), sum.x());
  };
  const std::vector<Witness>&most = told->group[1 - told->fewer], &odd = told->group[told->fewer];
  const std::array<double, 2> light = {light_of(most), light_of(odd)};
  x.measured = two_lights ? std::abs(std::remainder(light[0] - light[1], 2 * std::numbers::pi)) * kDeg : 0.0;
  x.expected = 0.0;
  x.tolerance = tolerance;
  x.unit = "deg";
  x.test = "agreement with the forms' shadow sides that a second light adds to the best single one";
  if (odds) x.test = "odds of two lights against one for the forms' shadow sides, natural logarithm";
  x.evidence = odds ? *odds : told->Gain();
  x.smallest_visible = 2.0 * tolerance;
  x.source = Say("default, editable");
  const auto arrow = [&](const Witness& w) {
    GuideShape shape;
    shape.role = GuideShape::Role::kArrow;
    const double length = 0.04 * c.LongSide();
    shape.points = {w.at + Vec2(std::cos(w.azimuth), std::sin(w.azimuth)) * length, w.at};
    if (x.guides.size() < 7) x.guides.push_back(std::move(shape));
  };
  // On the page y runs down; clock directions are what people say.
  const auto clock = [](double azimuth) {
    const double hour = std::fmod(azimuth * kDeg / 30.0 + 3.0 + 24.0, 12.0);
    return hour < 0.5 ? 12.0 : hour;
  };
  if (two_lights) {
    x.why =
        Say("On {} drawn forms it was read which side lies in shadow. No single light suits them: most are lit from about {:.0f} o'clock, "
            "{} from about {:.0f} o'clock.",
            told->voices, clock(light[0]), odd.size(), clock(light[1]));
    if (!limbs.empty()) x.why += Say(" Marked limbs whose shade could be read are among them.");
    for (const Witness& w : odd) x.where.points.push_back(w.at), arrow(w);
    for (const Witness& w : most) arrow(w);
    x.verdict = Verdict::kOff;
    x.title = Say("Light from two places");
    x.gain = 5.0;
    x.remedy = {RemedyWay::kRepaint, 35, Say("Turn the shadows of the forms that disagree, or declare the second light.")};
  } else {
    x.why = Say("On {} drawn forms it was read which side lies in shadow; a light from about {:.0f} o'clock suits them.", told->voices,
                clock(Direction(told->one, kLights)));
    for (const Voice& v : told == &by_reach ? reach : sides) arrow(As(v));
  }
  out.push_back(std::move(x));
}

}  // namespace armslength
