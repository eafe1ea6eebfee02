#include "check/face/face_checks.h"

#include <algorithm>
#include <cmath>

#include "check/face/face_direct.h"
#include "check/face/head_guides.h"
#include "reading/head/head_thresholds.h"
#include "words/say.h"

namespace armslength {
namespace {

using F = HeadFaultKind;
using P = PointId;
constexpr double kDegrees = 180 / M_PI;

struct Wording {
  std::string unit;
  double per_unit;        // finding unit per fault unit
  double minutes;         // default working time, editable
  RemedyWay way;
  std::vector<P> points;  // where it shows
};

Wording WordingOf(F kind) {
  const std::vector<P> eyes = {P::kEyeLInner, P::kEyeLOuter, P::kEyeLTop, P::kEyeLBottom, P::kEyeRInner, P::kEyeROuter, P::kEyeRTop, P::kEyeRBottom};
  switch (kind) {
    case F::kEyeSize: return {"ratio", 1.0, 8, RemedyWay::kMove, eyes};
    case F::kEyeSpacing: return {Later("% of face width"), 100, 8, RemedyWay::kMove, eyes};
    case F::kEyeLineTilt: return {"deg", kDegrees, 10, RemedyWay::kMove, eyes};
    case F::kEyeHeight: return {"% of head height", 100, 8, RemedyWay::kMove, eyes};
    case F::kBrow: return {"% of head height", 100, 4, RemedyWay::kMove, {P::kBrowLPeak, P::kBrowRPeak}};
    case F::kNoseOffset: return {Later("% of face width"), 100, 8, RemedyWay::kMove, {P::kNoseBase, P::kNoseTip}};
    case F::kMouthOffset: return {Later("% of face width"), 100, 6, RemedyWay::kMove, {P::kMouthL, P::kMouthCentre, P::kMouthR}};
    case F::kMouthTilt: return {"deg", kDegrees, 5, RemedyWay::kMove, {P::kMouthL, P::kMouthR}};
    case F::kChinOffset: return {Later("% of face width"), 100, 10, RemedyWay::kWarp, {P::kChin}};
    case F::kJawSkew: return {Later("% of face width"), 100, 12, RemedyWay::kWarp, {P::kJawL, P::kJawR}};
    case F::kFeaturesTilt: return {"deg", kDegrees, 20, RemedyWay::kGuide, eyes};
    case F::kEarHeight: return {"% of head height", 100, 6, RemedyWay::kMove, {P::kEarLTop, P::kEarLBottom, P::kEarRTop, P::kEarRBottom}};
    default: return {"", 1, 5, RemedyWay::kGuide, {}};
  }
}

std::string PageSide(double to_left_of_figure) {  // a face towards the viewer: its left is at picture right
  return to_left_of_figure > 0 ? Say("to picture right") : Say("to picture left");
}

struct Words {
  std::string title, detail;
};

// `a`: drawn amount in the fault's own unit.
Words OffWords(F kind, double a, const HeadReading& r) {
  const bool left = r.FarSide() > 0;
  const double pct = std::abs(a) * 100, deg = std::abs(a) * kDegrees;
  switch (kind) {
    case F::kEyeSize:
      if (r.FarSide() == 0)
        return {Say("The eyes differ by {:.0f} % in size", (std::exp(std::abs(a)) - 1) * 100),
                Say("make the eyes one size; compare them in the mirrored view and change the one you trust less")};
      return {a > 0 ? Say("Far eye too large for this turn") : Say("Far eye too small for this turn"),
              left ? Say("scale the left eye to {:.0f} % about its middle", 100 * std::exp(-a))
                   : Say("scale the right eye to {:.0f} % about its middle", 100 * std::exp(-a))};
    case F::kEyeSpacing:
      if (r.FarSide() == 0)
        return {Say("The eyes sit unevenly about the middle line"),
                Say("bring the eyes to equal distances from the middle line: {:.1f} % of the face's width in all", pct)};
      return {a > 0 ? Say("Far eye too far out") : Say("Far eye too close to the nose"),
              a > 0 ? (left ? Say("move the left eye towards the nose by {:.1f} % of the face's width", pct)
                            : Say("move the right eye towards the nose by {:.1f} % of the face's width", pct))
                    : (left ? Say("move the left eye outwards by {:.1f} % of the face's width", pct)
                            : Say("move the right eye outwards by {:.1f} % of the face's width", pct))};
    case F::kEyeLineTilt:
      return {Say("Eye line tilted against the head"), Say("turn both eyes {:.1f} degrees {} about the point between them", deg,
                                                           a > 0 ? Say("clockwise") : Say("counter-clockwise"))};
    case F::kEyeHeight:
      return {Say("One eye higher than the other"),
              a > 0
                  ? Say("the eye at picture right stands {:.1f} % of the head's height above the other; share the move between them", pct)
                  : Say("the eye at picture left stands {:.1f} % of the head's height above the other; share the move between them", pct)};
    case F::kBrow:
      return {
          Say("One brow higher than the other"),
          a > 0 ? Say("bring the brow at picture right down by {:.1f} % of the head's height, or declare it as meant when it is expression",
                      pct)
                : Say("bring the brow at picture left down by {:.1f} % of the head's height, or declare it as meant when it is expression",
                      pct)};
    case F::kNoseOffset:
      return {Say("Nose off the middle line"), Say("move the nose {} by {:.1f} % of the face's width", PageSide(-a), pct)};
    case F::kMouthOffset:
      return {Say("Mouth off the middle line"), Say("move the mouth {} by {:.1f} % of the face's width", PageSide(-a), pct)};
    case F::kMouthTilt:
      return {Say("Mouth tilted against the head"), Say("turn the mouth {:.1f} degrees {}, or declare it as meant when it is expression",
                                                        deg, a > 0 ? Say("clockwise") : Say("counter-clockwise"))};
    case F::kChinOffset:
      return {Say("Chin off the middle line"), Say("move the chin {} by {:.1f} % of the face's width", PageSide(-a), pct)};
    case F::kJawSkew:
      return {Say("Jaw pushed to one side"), Say("move both jaw corners {} by {:.1f} % of the face's width", PageSide(-a), pct)};
    case F::kFeaturesTilt:
      return {
          a > 0 ? Say("Features look further down than the head") : Say("Features look further up than the head"),
          a > 0
              ? Say("redraw eye, brow and mouth lines over the head guide: they bow for a nod {:.0f} degrees lower than the head's", deg)
              : Say("redraw eye, brow and mouth lines over the head guide: they bow for a nod {:.0f} degrees higher than the head's", deg)};
    case F::kEarHeight:
      return {Say("One ear higher than the other"), a > 0 ? Say("move the ear at picture right down by {:.1f} % of the head's height", pct)
                                                          : Say("move the ear at picture left down by {:.1f} % of the head's height", pct)};
    default: return {};
  }
}

std::string Subject(F kind, const HeadReading& r) {
  switch (kind) {
    case F::kEyeSize: return r.FarSide() == 0 ? Say("Eye sizes") : Say("Far eye's size");
    case F::kEyeSpacing: return r.FarSide() == 0 ? Say("Eyes about the middle line") : Say("Far eye's place");
    case F::kEyeLineTilt: return Say("Eye line");
    case F::kEyeHeight: return Say("Height of the eyes");
    case F::kBrow: return Say("Height of the brows");
    case F::kNoseOffset: return Say("Nose on the middle line");
    case F::kMouthOffset: return Say("Mouth on the middle line");
    case F::kMouthTilt: return Say("Tilt of the mouth");
    case F::kChinOffset: return Say("Chin on the middle line");
    case F::kJawSkew: return Say("Jaw corners");
    case F::kFeaturesTilt: return Say("Bow of the cross lines");
    case F::kEarHeight: return Say("Height of the ears");
    default: return "";
  }
}

std::string What(F kind) {  // what would settle an open question
  switch (kind) {
    case F::kEarHeight: return Say("mark top and bottom of both ears");
    case F::kFeaturesTilt: return Say("mark an ear (ear top and bottom) and both brow peaks");
    case F::kJawSkew: return Say("mark both jaw corners");
    default: return Say("a front drawing of the same character, read together with this one");  // the one that settles them all
  }
}

Finding FromFault(const FigureMarks& marks, const HeadReading& r, const HeadFault& f) {
  const Wording w = WordingOf(f.kind);
  Finding out;
  out.id = FindingId(f.kind);
  out.kind = Kind::kConstruction;
  out.figure = marks.name;
  out.stage = Stage::kSketch;
  out.unit = w.unit;
  out.evidence = f.evidence;
  out.test = "likelihood ratio (chi-squared, 1 degree)";
  out.source = ToleranceOf(f.kind).source;
  out.meant = IsMeant(out.id, marks.meant);
  const bool ratio = f.kind == F::kEyeSize;
  // Face-on nobody can say which eye is wrong: the larger against the smaller.
  const double amount = ratio && r.FarSide() == 0 ? std::abs(f.amount) : f.amount;
  out.measured = ratio ? std::exp(amount) : amount * w.per_unit;
  out.expected = ratio ? 1.0 : 0.0;
  out.tolerance = ratio ? std::exp(f.tolerance) - 1 : f.tolerance * w.per_unit;
  out.sd = ratio ? *out.measured * f.sd : f.sd * w.per_unit;
  out.smallest_visible = ratio ? std::exp(f.smallest_visible) : f.smallest_visible * w.per_unit;
  for (P id : w.points)
    if (const auto p = marks.At(id)) out.where.points.push_back(*p);
  if (f.off) {
    out.verdict = Verdict::kOff;
    const Words words = OffWords(f.kind, f.amount, r);
    out.title = words.title;
    out.remedy = {w.way, w.minutes, words.detail};
    if (face_check::SetAside(r, f)) {
      out.kind = Kind::kTaste;
      out.title = f.kind == F::kNoseOffset ? Say("Nose turned further than the face") : Say("Mouth set to one side");
      out.why =
          Say("It stands {:.0f} % of the face's width off the middle line while all else agrees: too much to be an oversight, so it is "
              "taken for the way this face is drawn.",
              100 * std::abs(f.amount));
      out.remedy = {RemedyWay::kLeave, 0, Say("leave it, or, to follow the turn of the head, {}", words.detail)};
      out.guides = FaultGuides(marks, r, f, Say("{:.1f} %", std::abs(f.amount) * 100));
      out.gain = 1;
      return out;
    }
    out.gain = std::min(10.0, 4.0 + 2.0 * (std::abs(f.amount) / f.tolerance - 1.0));
    std::string shown = ratio             ? Say("x {:.2f}", std::exp(-f.amount))
                        : w.unit == "deg" ? Say("{:.1f}\u00b0", std::abs(f.amount) * kDegrees)
                                          : Say("{:.1f} %", std::abs(f.amount) * 100);
    out.guides = FaultGuides(marks, r, f, shown);
    out.why =
        Say("A head that is the same on both sides, turned {:.0f} and nodding {:.0f} degrees, fits all other marks; "
            "this feature lies {:.1f} times the uncertainty away from where that head has it.",
            std::abs(r.freed_pose.yaw_rad) * kDegrees, r.freed_pose.pitch_rad * kDegrees, std::abs(f.amount) / std::max(1e-9, f.sd));
    return out;
  }
  out.title = Subject(f.kind, r);
  if (f.cleared) {
    out.verdict = Verdict::kClear;
    out.why = Say("It lies where a head that is the same on both sides has it, and a fault of the tolerance would have shown.");
  } else {
    out.verdict = Verdict::kCannotTell;
    out.ask = What(f.kind);
    out.why = Say("From this view and these marks a small fault could hide behind a slightly different turn or shape of the head.");
  }
  return out;
}

// No verdict on the face as a whole.
Finding OpenReading(const FigureMarks& marks, std::string title) {
  Finding f;
  f.id = "face.reading";
  f.title = std::move(title);
  f.kind = Kind::kConstruction;
  f.verdict = Verdict::kCannotTell;
  f.figure = marks.name;
  f.stage = Stage::kSketch;
  return f;
}

}  // namespace

std::vector<Finding> CheckHead(const FigureMarks& marks, const HeadReading& reading, const BodyReading* body) {
  std::vector<Finding> out;
  if (!reading.usable) {
    bool face = false;
    for (const auto& [id, at] : marks.points) {
      (void)at;
      face = face || (id >= P::kEyeLInner && id <= P::kMouthCentre);
    }
    if (face) {
      Finding f = OpenReading(marks, Say("The face cannot be read"));
      f.why = reading.why_not;
      f.ask = reading.ask;
      out.push_back(std::move(f));
    }
    face_check::CheckFeatures(marks, reading.prior.features, out);
    return out;
  }
  for (const HeadFault& f : reading.faults)
    if (f.tested) out.push_back(FromFault(marks, reading, f));
  if (reading.many_ways) {
    Finding f = OpenReading(marks, Say("The features do not belong to one head"));
    f.where.points = {reading.pose.origin_px};
    f.why = Say(
        "Four or more features depart, each its own way, from any head that is the same on both sides. That is a way of drawing, or marks "
        "under wrong names; which feature is wrong cannot be said.");
    f.ask = Say("check the marks of the face; if they are right and this is no style, rebuild the face over the head construction");
    out.push_back(std::move(f));
  }
  const face_check::Facts facts{marks, reading, body};
  face_check::CheckEyeAgainstEdge(facts, out);
  face_check::CheckEarLevel(facts, out);
  face_check::CheckSkullHeight(facts, out);
  face_check::CheckHairVolume(facts, out);
  face_check::CheckNeckAxis(facts, out);
  face_check::CheckNeckWidth(facts, out);
  face_check::CheckHeadSize(facts, out);
  face_check::CheckCharacter(facts, out);
  face_check::CheckFeatures(marks, reading.prior.features, out);
  // A mark the program proposed and nobody confirmed accuses no one.
  const bool unconfirmed = std::any_of(marks.proposed.begin(), marks.proposed.end(), [&](P id) { return reading.residual_px.contains(id); });
  for (Finding& f : out) {
    f.meant = f.meant || IsMeant(f.id, marks.meant);
    if (unconfirmed && f.verdict == Verdict::kOff && f.id != "features.missing") {
      f.verdict = Verdict::kCannotTell;
      f.ask = Say("confirm or correct the proposed marks of the head");
      f.gain = 0.0;
    }
  }
  return out;
}

}  // namespace armslength
