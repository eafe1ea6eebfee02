// The head on its neck and body, against the artist's own character, and the list of features.
#include <algorithm>
#include <cmath>

#include "words/say.h"

#include "check/face/face_direct.h"

namespace armslength::face_check {
namespace {

using P = PointId;
using HP = HeadParam;
constexpr double kSure = 1.645;
constexpr double kDegrees = 180 / M_PI;

Finding Start(const FigureMarks& marks, std::string id, std::string title) {
  Finding f;
  f.id = std::move(id);
  f.title = std::move(title);
  f.figure = marks.name;
  f.stage = Stage::kConstruction;
  f.source = Say("default, editable");
  return f;
}

}  // namespace

// Base of the skull against the neck axis: the neck leaves the pit along the trunk and leans
// about as far as the head does.
void CheckNeckAxis(const Facts& facts, std::vector<Finding>& out) {
  constexpr double kTolerance = 0.12;  // head heights; drawing teachers, default
  constexpr double kPlay = 20 / kDegrees;  // neck and head may lean this far apart
  const auto pit = facts.marks.At(P::kNeckPit), left = facts.marks.At(P::kShoulderL), right = facts.marks.At(P::kShoulderR);
  if (!pit) return;
  const HeadReading& r = facts.head;
  Finding f = Start(facts.marks, "head.neck.axis", Say("Head on the neck"));
  f.kind = Kind::kConstruction;
  f.unit = "% of head height";
  f.tolerance = 100 * kTolerance;
  f.expected = 0.0;
  f.test = "distance in sd";
  if (!left || !right) {
    f.verdict = Verdict::kCannotTell;
    f.where.points = {*pit};
    f.ask = Say("mark both shoulders");
    f.why = Say("The direction in which the neck leaves the trunk is not known.");
    out.push_back(std::move(f));
    return;
  }
  Vec2 shoulders = (*left - *right);
  // Seen from the front the left shoulder is at picture right; from behind the axis turns over.
  const double width = shoulders.norm() / r.pose.scale_px;
  Vec2 up(shoulders.y(), -shoulders.x());
  if (up.dot(r.pose.Project({0, 0.5, 0}) - *pit) < 0) up = -up;
  up.normalize();
  const Vec2 aside(-up.y(), up.x());
  const Vec2 base = r.pose.Project({0, 0.22, -0.02});  // middle of the neck's upper end
  const Vec2 reach = (base - *pit) / r.pose.scale_px;
  const Vec2 axis = r.pose.Project({0, 1, 0}) - r.pose.Project({0, 0, 0});
  const double lean = std::atan2(axis.dot(aside), axis.dot(up));
  const double along = std::max(0.2, reach.dot(up));
  const double expected = along * std::tan(std::clamp(0.5 * lean, -0.6, 0.6));
  const double off = reach.dot(aside) - expected;
  const double sd = std::hypot(1.5 * r.sigma_px / r.pose.scale_px, along * std::tan(kPlay) / 1.645);
  f.measured = 100 * off;
  f.sd = 100 * sd;
  f.evidence = std::pow(off / sd, 2);
  f.where.points = {*pit, base};
  // A trunk seen from the side hides which way the neck must go.
  if (width < 0.8) {
    f.verdict = Verdict::kCannotTell;
    f.ask = Say("nothing to add: seen from the side the neck's slant is a matter of posture");
    f.why = Say("The shoulders are seen almost edge-on.");
  } else if (std::abs(off) - kTolerance > kSure * sd) {
    const Vec2 target = base - aside * off * r.pose.scale_px;
    f.verdict = Verdict::kOff;
    f.title = Say("Head set beside the neck");
    f.why = Say("The base of the skull stands {:.0f} % of the head's height beside where a neck leaning with this head would carry it.",
                100 * std::abs(off));
    f.remedy = {RemedyWay::kMove, 15, Say("move the head {:.0f} % of its height back over the neck", 100 * std::abs(off))};
    f.gain = 6;
    f.guides = {{GuideShape::Role::kDrawn, GuideShape::Form::kPolyline, {*pit, base}, ""},
                {GuideShape::Role::kTarget, GuideShape::Form::kPolyline, {*pit, target}, ""},
                {GuideShape::Role::kArrow, GuideShape::Form::kPolyline, {base, target}, Say("{:.0f} %", 100 * std::abs(off))}};
  } else if (std::abs(off) < kTolerance + kSure * sd) {
    f.verdict = Verdict::kClear;
    f.why = Say("The head stands where a neck leaning with it carries it.");
  }
  out.push_back(std::move(f));
}

void CheckNeckWidth(const Facts& facts, std::vector<Finding>& out) {
  const auto ring = std::find_if(facts.marks.rings.begin(), facts.marks.rings.end(), [](const Ring& x) { return x.around == "neck" && x.points.size() >= 3; });
  if (ring == facts.marks.rings.end()) return;
  const HeadReading& r = facts.head;
  const bool jaw = facts.marks.Has(P::kJawL) || facts.marks.Has(P::kJawR);
  double widest = 0.0;
  for (const Vec2& a : ring->points)
    for (const Vec2& b : ring->points) widest = std::max(widest, (a - b).norm());
  const double across = 2 * r.Param(HP::kJawX) * r.pose.scale_px;
  const double ratio = widest / across;
  const double sd = ratio * std::hypot(r.ParamSd(HP::kJawX) / r.Param(HP::kJawX), std::sqrt(2.0) * r.sigma_px / widest);
  Finding f = Start(facts.marks, "head.neck.width", Say("Width of the neck"));
  f.kind = Kind::kTaste;
  f.unit = "ratio";
  f.measured = ratio;
  f.expected = 0.75;  // nearly 1 in life, 0.5 to 0.7 in stylised figures: the middle
  f.tolerance = 0.4;
  f.sd = sd;
  f.test = "neck (or collar) width / jaw width";
  f.source =
      Say("nearly 1 in life (Edwards, The New Drawing on the Right Side of the Brain), 0.5 to 0.7 in stylised figures (common practice, no "
          "source)");
  f.where.points = ring->points;
  if (!jaw) {
    f.verdict = Verdict::kCannotTell;
    f.ask = Say("mark the jaw corners (jaw_l, jaw_r)");
    f.why = Say("The neck is measured against the jaw.");
  } else if (std::abs(ratio - 0.75) - 0.4 > kSure * sd) {
    f.verdict = Verdict::kOff;
    f.title = ratio < 0.75 ? Say("Thin neck") : Say("Thick neck");
    f.why = Say("The line round the neck is {:.2f} times as wide as the jaw. A choice of style, if it is one.", ratio);
    f.remedy = {RemedyWay::kLeave, 0, Say("compare with your other drawings of the character")};
    f.gain = 1;
  } else {
    f.verdict = Verdict::kClear;
    f.why = Say("The line round the neck is {:.2f} times as wide as the jaw.", ratio);
  }
  out.push_back(std::move(f));
}

// Head height by the face, with turn and nod taken out, against the body's canon.
void CheckHeadSize(const Facts& facts, std::vector<Finding>& out) {
  constexpr double kMention_heads = 0.25, kOff_heads = 0.5;
  if (!facts.body || !facts.body->usable || facts.body->canon.canon.heads <= 0) return;
  const HeadReading& r = facts.head;
  if (!facts.marks.Has(P::kChin) || !(facts.marks.Has(P::kCrown) || facts.marks.Has(P::kHeadTop))) return;
  const BodyReading& body = *facts.body;
  // Without the head's own bone the standing height is unknown in heads.
  if (!body.marked[static_cast<std::size_t>(P::kNeckPit)]) return;
  const double z = body.Joint(P::kNeckPit).z();
  const double px_per_stature = body.camera.scale_px / (1.0 + body.camera.inverse_distance * z);
  const double heads = px_per_stature / r.pose.scale_px;
  const double expected = body.canon.declared ? body.canon.canon.heads : body.canon.heads;
  const double scale_sd = std::sqrt(std::pow(r.scale_log_sd, 2) + std::pow(body.length_log_sd[static_cast<std::size_t>(BoneId::kTrunk)], 2) + 0.03 * 0.03);
  const double sd = heads * scale_sd;
  Finding f = Start(facts.marks, "head.size.body", Say("Head against body"));
  f.kind = body.canon.declared ? Kind::kCanon : Kind::kTaste;
  f.unit = "heads";
  f.measured = heads;
  f.expected = expected;
  f.tolerance = kOff_heads;
  f.sd = sd;
  f.test = "distance in sd";
  f.evidence = std::pow((heads - expected) / sd, 2);
  f.source = Say("a quarter head is mentioned, half a head mended: drawing teachers, default, editable");
  f.where.points = {r.model_px.at(P::kHeadTop), r.model_px.at(P::kChin)};
  const double away = std::abs(heads - expected);
  const bool body_off = std::any_of(body.hypotheses.begin(), body.hypotheses.end(), [](const LengthHypothesis& h) { return h.off; });
  if (body_off) {  // a body with a fault is no ruler
    f.verdict = Verdict::kCannotTell;
    f.ask = Say("mend the lengths of the body first");
    f.why = Say("Other lengths of this figure are off, so the head cannot be measured against it.");
  } else if (body.canon.declared && away - kOff_heads > kSure * sd) {
    f.verdict = Verdict::kOff;
    f.title = heads > expected ? Say("Head too small for the body") : Say("Head too large for the body");
    f.why = Say("With turn and nod taken out the figure stands {:.1f} heads high; its canon says {:.1f}.", heads, expected);
    f.remedy = {RemedyWay::kMove, 15, Say("scale the head to {:.0f} % about the pit of the neck", 100 * heads / expected)};
    f.gain = 6;
  } else if (kOff_heads - away > kSure * sd || away < kMention_heads) {
    f.verdict = Verdict::kClear;
    f.why = Say("The figure stands {:.1f} heads high.", heads);
  } else {
    f.verdict = Verdict::kCannotTell;
    f.smallest_visible = kOff_heads + 3 * sd;
    f.ask = body.canon.declared ? Say("mark the top of the skull under the hair (head_top)") : Say("declare the canon the figure follows");
    f.why = Say("The figure stands about {:.1f} heads high, give or take {:.1f}.", heads, 1.96 * sd);
  }
  out.push_back(std::move(f));
}

// How this drawing departs from what the character's other drawings (or the artist's heads) say.
void CheckCharacter(const Facts& facts, std::vector<Finding>& out) {
  const HeadReading& r = facts.head;
  if (!r.prior.Learned()) return;
  struct Trait {
    HP param;
    const char* id;
    const char* title;
    const char* more;
    const char* less;
    double tolerance;  // relative to the value, and at least 1 % of the head
  };
  // Six per cent within one's own character is what artists hold; default, editable.
  static constexpr Trait kTraits[] = {
      {HP::kEyeHeight, "face.character.eye_height", Later("Eye height of this character"), Later("Eyes higher than this character's"),
       Later("Eyes lower than this character's"), .06},
      {HP::kEyeX, "face.character.eye_spacing", Later("Eye spacing of this character"), Later("Eyes wider apart than this character's"),
       Later("Eyes closer together than this character's"), .06},
      {HP::kEyeHalfWidth, "face.character.eye_width", Later("Eye width of this character"), Later("Eyes wider than this character's"),
       Later("Eyes narrower than this character's"), .08},
      {HP::kNoseBaseHeight, "face.character.nose_height", Later("Nose height of this character"),
       Later("Nose shorter than this character's"), Later("Nose longer than this character's"), .08},
      {HP::kMouthHeight, "face.character.mouth_height", Later("Mouth height of this character"),
       Later("Mouth higher than this character's"), Later("Mouth lower than this character's"), .10},
      {HP::kHairlineHeight, "face.character.hairline", Later("Hairline of this character"), Later("Hairline higher than this character's"),
       Later("Hairline lower than this character's"), .06},
      {HP::kHalfWidth, "face.character.face_width", Later("Face width of this character"), Later("Face wider than this character's"),
       Later("Face narrower than this character's"), .06},
      {HP::kJawX, "face.character.jaw_width", Later("Jaw width of this character"), Later("Jaw wider than this character's"),
       Later("Jaw narrower than this character's"), .10}};
  for (const Trait& t : kTraits) {
    const auto found = std::find_if(r.departures.begin(), r.departures.end(), [&](const HeadDeparture& d) { return d.param == t.param; });
    if (found == r.departures.end()) continue;  // these marks say nothing about it
    const double expected = r.prior.Mean(t.param), moved = found->amount, drawn = expected + moved, sd = found->sd;
    const double z = moved / sd;
    const double tolerance = std::max(0.01, t.tolerance * std::abs(expected));
    if (sd > 3 * tolerance) continue;  // next to nothing
    Finding f = Start(facts.marks, t.id, SayLater(t.title));
    f.stage = Stage::kSketch;
    f.kind = Kind::kCanon;
    f.unit = "% of head height";
    f.measured = 100 * drawn;
    f.expected = 100 * expected;
    f.tolerance = 100 * tolerance;
    f.sd = 100 * sd;
    f.test = "distance in sd";
    f.evidence = z * z;
    f.where.points = {r.model_px.at(P::kHeadTop), r.model_px.at(P::kChin)};
    f.source = Say("{} of your own drawings ({})", r.prior.drawings, r.prior.name);
    if (std::abs(z) > 3.0 && std::abs(drawn - expected) > tolerance) {
      f.verdict = Verdict::kOff;
      f.title = SayLater(moved > 0 ? t.more : t.less);
      f.why = Say("In head space it stands at {:.1f} % of the head's height, in {} other drawings at {:.1f} %.", 100 * drawn,
                  r.prior.drawings, 100 * expected);
      f.remedy = {RemedyWay::kMove, 8, Say("draw it where the character has it, or take this drawing into the character's sheet")};
      f.gain = 4;
    } else if (std::abs(drawn - expected) + kSure * sd < 2 * tolerance) {
      f.verdict = Verdict::kClear;
      f.why = Say("As in the other drawings.");
    } else {
      f.verdict = Verdict::kCannotTell;
      f.smallest_visible = 100 * std::max(tolerance, 4.28 * sd);
      f.ask = Say("more drawings of the character, marked");
      f.why = Say("The drawings together do not pin this down yet.");
    }
    out.push_back(std::move(f));
  }
}

// The artist's own list: what is not ticked off is missing.
void CheckFeatures(const FigureMarks& marks, const std::vector<std::string>& listed, std::vector<Finding>& out) {
  if (marks.features.empty() && listed.empty()) return;
  bool missing = false;
  for (const FeatureTick& tick : marks.features) {
    if (tick.present) continue;
    missing = true;
    Finding f = Start(marks, "features.missing", Say("Missing: {}", tick.name));
    f.kind = Kind::kCraft;
    f.verdict = Verdict::kOff;
    f.stage = Stage::kLine;
    f.test = "your own list";
    f.source = Say("your list of this character's features");
    f.why = Say("\u201c{}\u201d is on your list for {} and is not ticked off on this version.", tick.name,
                marks.name.empty() ? Say("this figure") : marks.name);
    f.remedy = {RemedyWay::kRepaint, 4, Say("draw it, or tick it off when it is there or rightly hidden")};
    f.gain = 3;
    if (tick.at) {
      f.where.points = {*tick.at};
      f.guides = {{GuideShape::Role::kTarget, GuideShape::Form::kCross, {*tick.at}, tick.name}};
    }
    out.push_back(std::move(f));
  }
  for (const std::string& name : listed) {
    if (std::any_of(marks.features.begin(), marks.features.end(), [&](const FeatureTick& t) { return t.name == name; })) continue;
    missing = true;
    Finding f = Start(marks, "features.missing", Say("Not ticked off: {}", name));
    f.kind = Kind::kCraft;
    f.verdict = Verdict::kCannotTell;
    f.stage = Stage::kLine;
    f.test = "your own list";
    f.source = Say("your list of this character's features");
    f.why = Say("\u201c{}\u201d is on this character's list; nobody has said whether this version has it.", name);
    f.ask = Say("tick it off, or say that it is missing");
    out.push_back(std::move(f));
  }
  if (!missing) {
    Finding f = Start(marks, "features.missing", Say("All features of your list are there"));
    f.kind = Kind::kCraft;
    f.verdict = Verdict::kClear;
    f.stage = Stage::kLine;
    f.test = "your own list";
    f.source = Say("your list of this character's features");
    f.why = Say("{} of {} ticked off.", marks.features.size(), marks.features.size());
    out.push_back(std::move(f));
  }
}

}  // namespace armslength::face_check
