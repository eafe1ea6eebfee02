// Limbs pointing into depth: drawn longer than any tilt allows, at odds with their depth
// flag, or at home in it; hands and feet too big for where they are.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "check/body/body_facts.h"
#include "check/body/guides.h"
#include "check/body/limb_names.h"
#include "words/say.h"

namespace armslength::body_check {
namespace {

using B = BoneId;

constexpr double kImpossible = 1.05;  // drawn / true; default, editable
// The size of the whole figure on the picture is known to about this much; default.
constexpr double kScaleSd = 0.02;
// Distance of the camera: the reading's prior of 1 / distance has this spread.
constexpr double kInverseDistanceSd = 0.08;

constexpr std::array kLimbBones = {B::kUpperArmL, B::kUpperArmR, B::kForearmL, B::kForearmR,
                                   B::kThighL,    B::kThighR,    B::kShinL,    B::kShinR};

// Drawn length over the length the canon gives it when it lies flat at its depth.
std::optional<Measure> Shortening(const BodyFacts& facts, B bone) {
  const double canon = facts.CanonLength(bone);
  if (!facts.BoneMarked(bone) || canon <= 0.0) return std::nullopt;
  const BoneEnds ends = Ends(bone);
  const double z = 0.5 * (facts.Joint(ends.from).at.z() + facts.Joint(ends.to).at.z());
  const double flat_px = canon * facts.PxPerStature(z);
  if (flat_px <= 0.0) return std::nullopt;
  const double q = (facts.Px(ends.from) - facts.Px(ends.to)).norm() / flat_px;
  const double spread = facts.Reading().canon.canon[bone].spread;
  const double mark = 1.4142 * facts.SigmaStature() / canon;
  const double relative = std::hypot(std::hypot(spread, kScaleSd), std::abs(z) * kInverseDistanceSd);
  return Measure{q, std::hypot(q * relative, mark)};
}

double Tilt_deg(double q) { return std::acos(std::clamp(q, 0.0, 1.0)) / kDegree; }

// The length scan has the word on anything it found off; a doubtful mark explains its own bones.
bool Told(const BodyReading& reading, B bone) {
  return std::any_of(reading.hypotheses.begin(), reading.hypotheses.end(), [&](const LengthHypothesis& h) { return h.off; }) ||
         (reading.misplaced && (reading.misplaced->point == Ends(bone).from || reading.misplaced->point == Ends(bone).to));
}

void Limbs(const BodyFacts& facts, std::vector<Finding>& out) {
  const BodyReading& reading = facts.Reading();
  struct Doubt {
    B bone;
    Measure q;
    double strength;
    bool flat;
  };
  std::optional<Doubt> worst;
  std::vector<std::string> reads;
  std::vector<PointId> reads_at;
  for (const B bone : kLimbBones) {
    const auto q = Shortening(facts, bone);
    if (!q) continue;
    const auto ids = PointsOf(bone);
    if (q->value - kImpossible > kSure * q->sd && !Told(reading, bone)) {
      // Against a canon nobody declared it is an observation: the limb may be long on purpose.
      Finding f = Start(facts, fmt::format("body.foreshortening.{}", Name(bone)),
                        Say("{} drawn {:.2f} times its full length", Sentence(SaidName(bone)), q->value),
                        reading.canon.declared ? Kind::kCanon : Kind::kTaste, Verdict::kOff);
      f.where = At(facts, ids);
      f.measured = q->value;
      f.sd = q->sd;
      f.expected = 1.0;
      f.tolerance = kImpossible - 1.0;
      f.smallest_visible = kImpossible + kSure * q->sd;
      f.unit = "ratio";
      f.test = "distance in sd";
      f.evidence = (q->value - 1.0) / q->sd;
      f.source = Say("a tilt can only shorten; 5 % above full length, default, editable");
      f.why =
          Say("Lying flat to the picture it could be drawn at 1.00 of its length at most; it is drawn at "
              "{:.2f} (±{:.2f}).",
              q->value, q->sd);
      f.remedy = ScaleRemedy(q->value, 10, Say("Shorten it to its full length or bring it nearer to the viewer."));
      f.gain = std::min(10.0, 28.0 * std::log(q->value));
      const std::array bones = {bone};
      f.guides = LengthGuide(facts, bones, q->value, 0.05, Percent(1.0 / q->value - 1.0));
      Finish(facts, ids, f);
      out.push_back(std::move(f));
      continue;
    }
    const auto flag = facts.Marks().depth.find(bone);
    if (flag == facts.Marks().depth.end()) continue;
    const bool flat = flag->second == Depth::kFlat;
    if (flat) {
      const double strength = (0.75 - q->value) / q->sd;
      if (strength > 3.0 && (!worst || strength > worst->strength)) worst = Doubt{bone, *q, strength, true};
    } else {
      const double strength = (q->value - 0.97) / q->sd;
      if (strength > 3.0 && (!worst || strength > worst->strength)) worst = Doubt{bone, *q, strength, false};
      const BoneEnds ends = Ends(bone);
      const double dz = reading.Joint(ends.to).z() - reading.Joint(ends.from).z();
      const bool agrees = (dz < 0.0) == (flag->second == Depth::kToward);
      if (q->value + 2.0 * q->sd < 0.9 && agrees) {
        const double lean = Tilt_deg(q->value);
        reads.push_back(flag->second == Depth::kToward
                            ? Say("{} {:.2f} of its length, {:.0f} degrees towards the viewer", SaidName(bone), q->value, lean)
                            : Say("{} {:.2f} of its length, {:.0f} degrees away from the viewer", SaidName(bone), q->value, lean));
        for (const PointId id : ids) reads_at.push_back(id);
      }
    }
  }
  if (worst) {
    const auto ids = PointsOf(worst->bone);
    const std::string words = SaidName(worst->bone);
    Finding f = Start(facts, fmt::format("body.foreshortening.{}.depth", Name(worst->bone)),
                      Say("Depth of the {}: the mark and the drawing disagree", words), Kind::kConstruction, Verdict::kCannotTell);
    f.where = At(facts, ids);
    f.measured = worst->q.value;
    f.sd = worst->q.sd;
    f.expected = worst->flat ? 1.0 : 0.9;
    f.unit = "ratio";
    f.test = "distance in sd";
    f.evidence = worst->strength;
    f.source = Say("default, editable");
    f.why = worst->flat ? Say("It is marked as flat to the picture but drawn at {:.2f} (±{:.2f}) of its "
                              "length, which a tilt of {:.0f} degrees would do.",
                              worst->q.value, worst->q.sd, Tilt_deg(worst->q.value))
            : facts.Marks().depth.at(worst->bone) == Depth::kToward
                ? Say("It is marked as pointing towards the viewer but drawn at {:.2f} (±{:.2f}) of its "
                      "length, hardly shortened.",
                      worst->q.value, worst->q.sd)
                : Say("It is marked as pointing away from the viewer but drawn at {:.2f} (±{:.2f}) of its "
                      "length, hardly shortened.",
                      worst->q.value, worst->q.sd);
    f.ask = Say("Check the depth set for the {}; if it is right, the drawing does not show it yet.", words);
    Finish(facts, ids, f);
    out.push_back(std::move(f));
  }
  if (!reads.empty()) {
    if (reads.size() > 3) reads.resize(3);
    Finding f =
        Start(facts, "body.foreshortening", Say("Foreshortening agrees with the depth that was meant"), Kind::kKeep, Verdict::kClear);
    f.where = At(facts, reads_at);
    f.unit = "ratio";
    f.source = Say("drawn over full length is the cosine of the tilt (parallel view)");
    f.why = Sentence(List(reads)) + ".";
    Finish(facts, reads_at, f);
    out.push_back(std::move(f));
  }
}

// A hand or foot can look short by tilting, never long: only too big is seen for sure.
void NearParts(const BodyFacts& facts, std::vector<Finding>& out) {
  struct Row {
    B bone;
    double tolerance;
    const char* id;
    const char* source;
  };
  constexpr std::array<Row, 4> kRows = {{
      {B::kHandL, 0.15, "body.hand_l.size", Later("hand 15 % over the canon; default, editable")},
      {B::kHandR, 0.15, "body.hand_r.size", Later("hand 15 % over the canon; default, editable")},
      {B::kFootL, 0.15, "body.foot_l.size", Later("foot 15 % over the canon; default, editable")},
      {B::kFootR, 0.15, "body.foot_r.size", Later("foot 15 % over the canon; default, editable")},
  }};
  for (const Row& row : kRows) {
    const auto q = Shortening(facts, row.bone);
    if (!q || Told(facts.Reading(), row.bone)) continue;
    if (q->value - 1.0 - row.tolerance <= kSure * q->sd) continue;
    const auto ids = PointsOf(row.bone);
    const std::string words = SaidName(row.bone);
    const Kind kind = facts.Reading().canon.declared ? Kind::kCanon : Kind::kTaste;
    Finding f = Start(facts, row.id, Say("{} too big: at least {:.2f} times what goes with the figure there", Sentence(words), q->value),
                      kind, Verdict::kOff);
    if (kind == Kind::kTaste)
      f.title = Say("{} bigger than usual: at least {:.2f} times what goes with the figure there", Sentence(words), q->value);
    f.where = At(facts, ids);
    f.measured = q->value;
    f.sd = q->sd;
    f.expected = 1.0;
    f.tolerance = row.tolerance;
    f.smallest_visible = 1.0 + row.tolerance + kSure * q->sd;
    f.unit = "ratio";
    f.test = "distance in sd";
    f.evidence = (q->value - 1.0) / q->sd;
    f.source = SayLater(row.source);
    f.why =
        Say("Stretched out flat at its depth it would be drawn at 1.00; it is drawn at {:.2f} (±{:.2f}), and "
            "a tilt only shortens.",
            q->value, q->sd);
    const double near = -facts.Joint(Ends(row.bone).from).at.z();
    const double k = facts.Reading().camera.inverse_distance;
    if (near > 0.1 && k > 0.0) {
      // Size ratio of a part `near` in front of the body, seen from D: D / (D - near).
      const double whole = q->value / (1.0 - k * near);
      if (whole > 1.0)
        f.why +=
            Say(" It would fit a viewer {:.1f} figure heights away; the rest of the figure is seen from "
                "about {:.1f}.",
                near * whole / (whole - 1.0), 1.0 / k);
    }
    f.remedy = ScaleRemedy(q->value, 8, Say("Scale the {} down by {:.0f} %.", words, 100 * (1 - 1 / q->value)));
    f.gain = std::min(10.0, 24.0 * std::log(q->value));
    const std::array bones = {row.bone};
    f.guides = LengthGuide(facts, bones, q->value, row.tolerance, Percent(1.0 / q->value - 1.0));
    Finish(facts, ids, f);
    out.push_back(std::move(f));
  }
}

}  // namespace

void CheckForeshortening(const BodyFacts& facts, std::vector<Finding>& out) {
  Limbs(facts, out);
  NearParts(facts, out);
}

}  // namespace armslength::body_check
