#include "check/body/body_checks.h"

#include "check/body/body_facts.h"
#include "words/say.h"

namespace armslength {

std::vector<Finding> CheckBody(const FigureMarks& marks, const BodyReading& reading) {
  using namespace body_check;
  std::vector<Finding> out;
  const BodyFacts facts(marks, reading);
  if (!reading.usable) {
    Finding f = Start(facts, "body.reading", Say("Body not read yet"), Kind::kConstruction, Verdict::kCannotTell);
    f.why = reading.why_not;
    f.ask = Say("Mark both shoulders and hips, the pit of the neck, and one limb or the head.");
    f.source = Say("default, editable");
    Finish(facts, {}, f);
    out.push_back(std::move(f));
    return out;
  }
  CheckMarks(facts, out);
  CheckLengths(facts, out);
  CheckCanon(facts, out);
  CheckPairs(facts, out);
  CheckJoints(facts, out);
  CheckBalance(facts, out);
  CheckStance(facts, out);
  CheckForeshortening(facts, out);
  CheckFeet(facts, out);
  CheckHeadOnNeck(facts, out);
  AddKeeps(facts, out);
  return out;
}

}  // namespace armslength
