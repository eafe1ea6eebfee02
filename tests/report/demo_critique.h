#pragma once
#include <string>
#include <utility>
#include <vector>

#include "critique/critique.h"
#include "marks/marks_file.h"
#include "picture/picture.h"

namespace armslength {

// A critique made up by hand on a real picture, to test what is written about it. The
// findings are invented; the marks are not.
inline std::vector<Finding> InventedFindings(const FigureMarks& m) {
  using Role = GuideShape::Role;
  using Form = GuideShape::Form;
  const auto at = [&m](PointId id) { return m.At(id).value(); };
  std::vector<Finding> all;

  Finding legs;
  legs.id = "body.legs.length";
  legs.title = "Legs too short";
  legs.kind = Kind::kCanon;
  legs.verdict = Verdict::kOff;
  legs.figure = m.name;
  legs.where.points = {at(PointId::kHipL), at(PointId::kKneeL), at(PointId::kAnkleL),
                       at(PointId::kHipR), at(PointId::kKneeR), at(PointId::kAnkleR)};
  legs.measured = 0.81;
  legs.expected = 1.0;
  legs.tolerance = 0.05;
  legs.sd = 0.034;
  legs.smallest_visible = 0.9;
  legs.unit = "ratio";
  legs.evidence = 11.3;
  legs.test = "2 ln Bayes factor";
  legs.remedy = {RemedyWay::kMove, 25, "Scale both legs about the hips by 1.23, then mend the seam under the shirt."};
  legs.why = "Both legs come out shorter than your canon allows, in every pose that fits the other marks.";
  legs.source = "default, editable";
  legs.gain = 8.0;
  const Vec2 hip = at(PointId::kHipR), knee = at(PointId::kKneeR), ankle = at(PointId::kAnkleR);
  const Vec2 knee2 = hip + 1.23 * (knee - hip), ankle2 = knee2 + 1.23 * (ankle - knee);
  legs.guides = {{Role::kDrawn, Form::kPolyline, {hip, knee, ankle}, ""},
                 {Role::kTarget, Form::kPolyline, {hip, knee2, ankle2}, ""},
                 {Role::kBand, Form::kEllipse, {ankle2, ankle2 + Vec2(30, 0), ankle2 + Vec2(0, 24)}, ""},
                 {Role::kArrow, Form::kPolyline, {ankle, ankle2}, "+23 %"}};
  all.push_back(legs);

  Finding thigh = legs;
  thigh.id = "body.thigh_l.length";
  thigh.title = "Left thigh too short";
  thigh.measured = 0.85;
  thigh.guides.clear();
  all.push_back(thigh);

  Finding arm;
  arm.id = "body.forearm_l.length";
  arm.title = "Left forearm longer than the right";
  arm.verdict = Verdict::kOff;
  arm.figure = m.name;
  arm.where.points = {at(PointId::kElbowL), at(PointId::kWristL)};
  arm.measured = 1.11;
  arm.expected = 1.0;
  arm.tolerance = 0.08;
  arm.sd = 0.03;
  arm.unit = "ratio";
  arm.evidence = 6.4;
  arm.test = "2 ln Bayes factor";
  arm.remedy = {RemedyWay::kMove, 12, "Shorten the left forearm by a tenth, hand and all."};
  arm.why = "Seen side by side in space, the left forearm is a tenth longer than the right.";
  arm.source = "common practice: 5 % mention, 8 % flag";
  arm.gain = 3.0;
  const Vec2 elbow = at(PointId::kElbowL), wrist = at(PointId::kWristL), wrist2 = elbow + 0.9 * (wrist - elbow);
  const Vec2 side(18, 0);
  arm.guides = {{Role::kDrawn, Form::kPolyline, {elbow, wrist}, ""},
                {Role::kTarget, Form::kPolyline, {elbow, wrist2}, ""},
                {Role::kBand, Form::kPolygon, {wrist2 - side - Vec2(0, 12), wrist2 + side - Vec2(0, 12), wrist2 + side + Vec2(0, 12), wrist2 - side + Vec2(0, 12)}, ""},
                {Role::kArrow, Form::kPolyline, {wrist, wrist2}, "−10 %"}};
  all.push_back(arm);

  Finding balance;
  balance.id = "body.balance";
  balance.title = "Falls to the picture's left";
  balance.verdict = Verdict::kOff;
  balance.figure = m.name;
  balance.measured = 6.1;
  balance.expected = 0.0;
  balance.tolerance = 2.5;
  balance.sd = 1.2;
  balance.unit = "% of stature";
  balance.evidence = 3.0;
  balance.test = "distance in sd";
  balance.remedy = {RemedyWay::kMove, 8, "Turn the whole figure 4° about the standing foot."};
  balance.why = "The weight of all parts together hangs outside the foot it stands on.";
  balance.source = "segment masses: common laboratory table, 1983";
  balance.gain = 5.0;
  const Vec2 neck = at(PointId::kNeckPit), toe = at(PointId::kToeR);
  balance.guides = {{Role::kDrawn, Form::kPolyline, {neck, Vec2(neck.x(), toe.y())}, ""},
                    {Role::kTarget, Form::kPolyline, {Vec2(170, 1500), Vec2(280, 1500)}, ""},
                    {Role::kArrow, Form::kPolyline, {Vec2(neck.x(), 1450), Vec2(280, 1450)}, "−6 %"}};
  all.push_back(balance);

  Finding line;
  line.id = "line.gaps";
  line.title = "Three gaps in the outline";
  line.kind = Kind::kCraft;
  line.verdict = Verdict::kOff;
  line.stage = Stage::kLine;
  line.where.points = {{640, 350}, {200, 870}, {320, 1000}};
  line.measured = 3;
  line.unit = "gaps";
  line.remedy = {RemedyWay::kRepaint, 2, "Close the three ends before filling."};
  line.why = "Two line ends lie within eight line widths of their continuation.";
  line.source = "default, editable";
  line.gain = 2.0;
  all.push_back(line);

  Finding taste;
  taste.id = "body.stance.stiff";
  taste.title = "Shoulders and hips lean the same way";
  taste.kind = Kind::kTaste;
  taste.verdict = Verdict::kOff;
  taste.figure = m.name;
  taste.why = "Opposed slopes would give the stance more spring. Many good poses do without.";
  all.push_back(taste);

  Finding head;
  head.id = "body.head.size";
  head.title = "Head size";
  head.kind = Kind::kCanon;
  head.verdict = Verdict::kCannotTell;
  head.figure = m.name;
  head.measured = 1.04;
  head.expected = 1.0;
  head.sd = 0.12;
  head.unit = "ratio";
  head.smallest_visible = 1.24;
  head.why = "The hair hides where the skull ends, so the head's height is not known.";
  head.ask = "Mark head_top: the top of the skull under the hair.";
  head.gain = 6.0;
  all.push_back(head);
  Finding hands = head;
  hands.id = "body.hands.length";
  hands.title = "Hands";
  hands.why = "Fists show too little of a hand's length.";
  hands.ask = "Mark head_top: the top of the skull under the hair.";
  hands.gain = 2.0;
  all.push_back(hands);
  Finding torso = head;
  torso.id = "body.trunk.length";
  torso.title = "Torso length";
  torso.smallest_visible = 1.31;
  torso.why = "The spine is bent towards us, and a bent spine hides its length.";
  torso.ask = "Say whether the trunk leans toward you or away.";
  all.push_back(torso);

  Finding clear;
  clear.id = "body.arms.length";
  clear.title = "Arms";
  clear.verdict = Verdict::kClear;
  clear.figure = m.name;
  clear.measured = 1.02;
  clear.expected = 1.0;
  clear.tolerance = 0.08;
  clear.sd = 0.03;
  clear.unit = "ratio";
  clear.why = "Both arms agree with your canon.";
  all.push_back(clear);

  Finding keep;
  keep.id = "picture.silhouette";
  keep.title = "The pose reads from its outline alone";
  keep.kind = Kind::kKeep;
  keep.verdict = Verdict::kClear;
  keep.why = "Both elbows and both knees break the outline, so the step reads at thumbnail size.";
  all.push_back(keep);
  return all;
}

struct DemoCritique {
  Picture picture;
  Critique critique;
};

// REQUIRES: the files in `folder`.
inline DemoCritique MakeDemoCritique(const std::string& folder, const std::string& base = "ragazzo") {
  DemoCritique demo;
  demo.picture = LoadPicture(folder + "/" + base + ".png").value();
  const Marks marks = LoadMarks(folder + "/" + base + ".marks.json").value();
  std::vector<FigureCritique> figures;
  std::vector<Finding> findings;
  for (const FigureMarks& m : marks.figures) {
    figures.push_back({m, std::nullopt, std::nullopt, std::nullopt});
    for (Finding& f : InventedFindings(m)) findings.push_back(std::move(f));
  }
  demo.critique = Rank(demo.picture.facts, std::move(figures), std::move(findings));
  demo.critique.marks_file = base + ".marks.json";
  return demo;
}

}  // namespace armslength
