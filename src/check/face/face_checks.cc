#include "check/face/face_checks.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "check/face/face_direct.h"
#include "check/face/head_guides.h"
#include "reading/head/head_thresholds.h"

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
    case F::kEyeSpacing: return {"% of face width", 100, 8, RemedyWay::kMove, eyes};
    case F::kEyeLineTilt: return {"deg", kDegrees, 10, RemedyWay::kMove, eyes};
    case F::kEyeHeight: return {"% of head height", 100, 8, RemedyWay::kMove, eyes};
    case F::kBrow: return {"% of head height", 100, 4, RemedyWay::kMove, {P::kBrowLPeak, P::kBrowRPeak}};
    case F::kNoseOffset: return {"% of face width", 100, 8, RemedyWay::kMove, {P::kNoseBase, P::kNoseTip}};
    case F::kMouthOffset: return {"% of face width", 100, 6, RemedyWay::kMove, {P::kMouthL, P::kMouthCentre, P::kMouthR}};
    case F::kMouthTilt: return {"deg", kDegrees, 5, RemedyWay::kMove, {P::kMouthL, P::kMouthR}};
    case F::kChinOffset: return {"% of face width", 100, 10, RemedyWay::kWarp, {P::kChin}};
    case F::kJawSkew: return {"% of face width", 100, 12, RemedyWay::kWarp, {P::kJawL, P::kJawR}};
    case F::kFeaturesTilt: return {"deg", kDegrees, 20, RemedyWay::kGuide, eyes};
    case F::kEarHeight: return {"% of head height", 100, 6, RemedyWay::kMove, {P::kEarLTop, P::kEarLBottom, P::kEarRTop, P::kEarRBottom}};
    default: return {"", 1, 5, RemedyWay::kGuide, {}};
  }
}

std::string PageSide(double to_left_of_figure) {  // a face towards the viewer: its left is at picture right
  return to_left_of_figure > 0 ? "to picture right" : "to picture left";
}

struct Words {
  std::string title, detail;
};

// `a`: drawn amount in the fault's own unit.
Words OffWords(F kind, double a, const HeadReading& r) {
  const std::string far = r.FarSide() > 0 ? "left" : "right";
  const double pct = std::abs(a) * 100, deg = std::abs(a) * kDegrees;
  switch (kind) {
    case F::kEyeSize:
      if (r.FarSide() == 0)
        return {fmt::format("The eyes differ by {:.0f} % in size", (std::exp(std::abs(a)) - 1) * 100),
                "make the eyes one size; compare them in the mirrored view and change the one you trust less"};
      return {a > 0 ? "Far eye too large for this turn" : "Far eye too small for this turn",
              fmt::format("scale the {} eye to {:.0f} % about its middle", far, 100 * std::exp(-a))};
    case F::kEyeSpacing:
      if (r.FarSide() == 0)
        return {"The eyes sit unevenly about the middle line",
                fmt::format("bring the eyes to equal distances from the middle line: {:.1f} % of the face's width in all", pct)};
      return {a > 0 ? "Far eye too far out" : "Far eye too close to the nose",
              fmt::format("move the {} eye {} by {:.1f} % of the face's width", far, a > 0 ? "towards the nose" : "outwards", pct)};
    case F::kEyeLineTilt:
      return {"Eye line tilted against the head",
              fmt::format("turn both eyes {:.1f} degrees {} about the point between them", deg, a > 0 ? "clockwise" : "counter-clockwise")};
    case F::kEyeHeight:
      return {"One eye higher than the other",
              fmt::format("the eye at picture {} stands {:.1f} % of the head's height above the other; share the move between them", a > 0 ? "right" : "left", pct)};
    case F::kBrow:
      return {"One brow higher than the other",
              fmt::format("bring the brow at picture {} down by {:.1f} % of the head's height, or declare it as meant when it is expression", a > 0 ? "right" : "left", pct)};
    case F::kNoseOffset: return {"Nose off the middle line", fmt::format("move the nose {} by {:.1f} % of the face's width", PageSide(-a), pct)};
    case F::kMouthOffset: return {"Mouth off the middle line", fmt::format("move the mouth {} by {:.1f} % of the face's width", PageSide(-a), pct)};
    case F::kMouthTilt:
      return {"Mouth tilted against the head",
              fmt::format("turn the mouth {:.1f} degrees {}, or declare it as meant when it is expression", deg, a > 0 ? "clockwise" : "counter-clockwise")};
    case F::kChinOffset: return {"Chin off the middle line", fmt::format("move the chin {} by {:.1f} % of the face's width", PageSide(-a), pct)};
    case F::kJawSkew: return {"Jaw pushed to one side", fmt::format("move both jaw corners {} by {:.1f} % of the face's width", PageSide(-a), pct)};
    case F::kFeaturesTilt:
      return {a > 0 ? "Features look further down than the head" : "Features look further up than the head",
              fmt::format("redraw eye, brow and mouth lines over the head guide: they bow for a nod {:.0f} degrees {} than the head's", deg, a > 0 ? "lower" : "higher")};
    case F::kEarHeight: return {"One ear higher than the other", fmt::format("move the ear at picture {} down by {:.1f} % of the head's height", a > 0 ? "right" : "left", pct)};
    default: return {};
  }
}

std::string Subject(F kind, const HeadReading& r) {
  switch (kind) {
    case F::kEyeSize: return r.FarSide() == 0 ? "Eye sizes" : "Far eye's size";
    case F::kEyeSpacing: return r.FarSide() == 0 ? "Eyes about the middle line" : "Far eye's place";
    case F::kEyeLineTilt: return "Eye line";
    case F::kEyeHeight: return "Height of the eyes";
    case F::kBrow: return "Height of the brows";
    case F::kNoseOffset: return "Nose on the middle line";
    case F::kMouthOffset: return "Mouth on the middle line";
    case F::kMouthTilt: return "Tilt of the mouth";
    case F::kChinOffset: return "Chin on the middle line";
    case F::kJawSkew: return "Jaw corners";
    case F::kFeaturesTilt: return "Bow of the cross lines";
    case F::kEarHeight: return "Height of the ears";
    default: return "";
  }
}

std::string What(F kind) {  // what would settle an open question
  switch (kind) {
    case F::kEyeSize:
    case F::kEyeSpacing: return "a front drawing of the same character, read together with this one";
    case F::kEarHeight: return "mark top and bottom of both ears";
    case F::kFeaturesTilt: return "mark an ear (ear top and bottom) and both brow peaks";
    case F::kJawSkew: return "mark both jaw corners";
    default: return "a front or a differently turned drawing of the same character, read together with this one";
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
  out.smallest_visible = ratio ? std::exp(f.smallest_visible) - 1 : f.smallest_visible * w.per_unit;
  for (P id : w.points)
    if (const auto p = marks.At(id)) out.where.points.push_back(*p);
  if (f.off) {
    out.verdict = Verdict::kOff;
    const Words words = OffWords(f.kind, f.amount, r);
    out.title = words.title;
    out.remedy = {w.way, w.minutes, words.detail};
    if (face_check::SetAside(r, f)) {
      out.kind = Kind::kTaste;
      out.title = f.kind == F::kNoseOffset ? "Nose turned further than the face" : "Mouth set to one side";
      out.why = fmt::format("It stands {:.0f} % of the face's width off the middle line while all else agrees: too much to be an oversight, so it is taken for the way this face is drawn.",
                            100 * std::abs(f.amount));
      out.remedy = {RemedyWay::kLeave, 0, "leave it, or, to follow the turn of the head, " + words.detail};
      out.guides = FaultGuides(marks, r, f, fmt::format("{:.1f} %", std::abs(f.amount) * 100));
      out.gain = 1;
      return out;
    }
    out.gain = std::min(10.0, 4.0 + 2.0 * (std::abs(f.amount) / f.tolerance - 1.0));
    std::string shown = ratio ? fmt::format("x {:.2f}", std::exp(-f.amount)) : w.unit == "deg" ? fmt::format("{:.1f}\u00b0", std::abs(f.amount) * kDegrees) : fmt::format("{:.1f} %", std::abs(f.amount) * 100);
    out.guides = FaultGuides(marks, r, f, shown);
    out.why = fmt::format("A head that is the same on both sides, turned {:.0f} and nodding {:.0f} degrees, fits all other marks; "
                          "this feature lies {:.1f} times the uncertainty away from where that head has it.",
                          std::abs(r.freed_pose.yaw_rad) * kDegrees, r.freed_pose.pitch_rad * kDegrees, std::abs(f.amount) / std::max(1e-9, f.sd));
    return out;
  }
  out.title = Subject(f.kind, r);
  if (f.cleared) {
    out.verdict = Verdict::kClear;
    out.why = "It lies where a head that is the same on both sides has it, and a fault of the tolerance would have shown.";
  } else {
    out.verdict = Verdict::kCannotTell;
    out.ask = What(f.kind);
    out.why = "From this view and these marks a small fault could hide behind a slightly different turn or shape of the head.";
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
      Finding f = OpenReading(marks, "The face cannot be read");
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
    Finding f = OpenReading(marks, "The features do not belong to one head");
    f.where.points = {reading.pose.origin_px};
    f.why = "Four or more features depart, each its own way, from any head that is the same on both sides. That is a way of drawing, or marks "
            "under wrong names; which feature is wrong cannot be said.";
    f.ask = "check the marks of the face; if they are right and this is no style, rebuild the face over the head construction";
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
      f.ask = "confirm or correct the proposed marks of the head";
      f.gain = 0.0;
    }
  }
  return out;
}

}  // namespace armslength
