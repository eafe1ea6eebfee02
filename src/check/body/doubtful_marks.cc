// A mark that the rest of the marks contradict: better checked than blamed on the anatomy.
#include "check/body/body_facts.h"
#include "check/body/guides.h"
#include "words/say.h"

namespace armslength::body_check {

void CheckMarks(const BodyFacts& facts, std::vector<Finding>& out) {
  const BodyReading& reading = facts.Reading();
  if (!reading.misplaced) return;
  const MisplacedMark& m = *reading.misplaced;
  const std::string words = SaidName(m.point);
  const double stature_px = reading.camera.scale_px;
  Finding f = Start(facts, "body.marks.misplaced", Say("Check the mark at the {}", words), Kind::kConstruction, Verdict::kOff);
  f.where = At(facts, std::array{m.point});
  f.measured = stature_px > 0.0 ? 100.0 * m.distance_px / stature_px : 0.0;
  f.expected = 0.0;
  f.sd = stature_px > 0.0 ? 100.0 * reading.sigma_px / stature_px : 0.0;
  f.tolerance = stature_px > 0.0 ? 300.0 * reading.sigma_px / stature_px : 0.0;
  f.unit = "% of stature";
  f.evidence = m.evidence;
  f.test = "2 ln Bayes factor";
  f.source = Say("three times the marking error in use; default, editable");
  f.why =
      Say("All other marks agree with one body; this one lies {:.0f} px from where that body puts it. A "
          "slipped mark explains it "
          "better than any wrong length.",
          m.distance_px);
  f.remedy = {RemedyWay::kLeave, 0.0,
              Say("Zoom in and set the mark again. If it is right as it is, the {} itself is drawn in the "
                  "wrong place.",
                  words)};
  f.gain = 5.0;
  f.guides = {Cross(GuideShape::Role::kDrawn, {facts.Px(m.point)}), Cross(GuideShape::Role::kTarget, {m.better_px}),
              Line(GuideShape::Role::kArrow, {facts.Px(m.point), m.better_px}, Say("{:.0f} px", m.distance_px)),
              Around(m.better_px, 3.0 * reading.sigma_px)};
  Finish(facts, std::array{m.point}, f);
  out.push_back(std::move(f));
}

}  // namespace armslength::body_check
