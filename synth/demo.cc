#include "synth/demo.h"

#include <algorithm>
#include <cmath>

#include "synth/random.h"

namespace armslength {
namespace {

constexpr double kDegree = M_PI / 180;

BodyLengths DemoLengths(double legs) {
  // The canon the demo declares, "adult-7.5".
  BodyLengths lengths = AverageAdult();
  const auto canon = FindCanon("adult-7.5");
  if (canon) lengths = LengthsOf(*canon);
  for (int side = 0; side < 2; ++side)
    for (BoneId bone : {BoneId::kThighL, BoneId::kShinL}) lengths[On(side, bone)] *= legs;
  return lengths;
}

PoseAngles DemoPose(bool redraw) {
  PoseAngles a;
  a.pelvis_lean = -4;  // the right hip is the high one: the weight is on that leg
  a.side = 7;
  a.twist = -5;
  a.bend = -3;
  a.hip_bend = {16, -2};
  a.knee = {22, 3};
  a.hip_side = {6, 3};
  a.hip_turn = {22, 22};  // the right foot shows its side
  a.arm_front = {70, 2};
  a.arm_side = {22, 16};
  a.arm_turn = {8, 12};
  a.elbow = {82, 24};
  a.wrist_bend = {-12, 6};
  a.wrist_side = {0, 2};
  a.neck_turn = -1;
  a.head_turn = -3;
  a.head_roll = 4;
  a.neck_bend = 4;
  a.head_bend = 4;
  if (redraw) {
    a.arm_front[0] = 76;
    a.elbow[0] = 76;
    a.elbow[1] = 30;
    a.head_roll = 6;
    a.side = 8;
  }
  return a;
}

struct Plan {
  double legs = 1.0, turn_deg = 24.0;
  DrawingFaults faults;
  std::string title;
  std::vector<std::string> known;
};

Plan PlanOf(const std::string& version) {
  Plan plan;
  DrawingFaults& f = plan.faults;
  if (version == "old") {
    plan.title = "First version";
    plan.legs = 1.20;
    f.head.far_eye_scale = 1.38;
    f.head.far_eye_shift = 0.05;
    f.head.eye_line_tilt_rad = 6.0 * kDegree;
    f.head.chin_shift = 0.08;
    f.ring_bow = {{"collar", 0.0}, {"belt", 0.0}, {"cuff_r", 0.0}, {"hem", 0.25}};
    f.button_shift = 0.13;
    f.flat_pattern = true;
    f.parallel_folds = true;
    f.block_shoes = true;
    f.line_gaps_px = {8, 6, 8, 5, 7};
    f.stray_marks = 3;
    plan.known = {"both thighs and shins 20 % too long",
                  "far eye 38 % too big and 5 % of the face's width too far out",
                  "eye line turned by 6 degrees",
                  "chin 8 % of the face's width off the middle",
                  "collar, belt and right cuff straight instead of round; hem a quarter of its bulge",
                  "buttons 13 % of the chest's width off the centre front",
                  "stripes of the sleeves straight across the picture instead of round the arms",
                  "folds parallel instead of running from points of tension",
                  "shoes are bricks",
                  "five openings of 5 to 8 px in outer contours, three stray marks"};
  } else if (version == "repaired") {
    plan.title = "The same picture, repaired";
    f.head.far_eye_scale = 1.10;
    f.button_shift = 0.05;
    f.parallel_folds = true;
    f.line_gaps_px = {6};
    plan.known = {"far eye still 10 % too big", "buttons still 5 % of the chest's width off",
                  "folds still parallel", "one opening of 6 px left"};
  } else {
    plan.title = "Drawn anew";
    plan.turn_deg = 29.0;
  }
  return plan;
}

// An artist's marks: the truth with a small error; face points are placed zoomed in.
FigureMarks Placed(const DrawnFigure& drawn, const FigureDrawing& drawing, unsigned seed) {
  FigureMarks marks = drawn.truth;
  const double body_px = 0.004 * drawing.camera.scale_px, face_px = 0.0035 * drawn.head.UnitPx();
  SynthRandom random(seed, 901);
  const auto moved = [&](const Vec2& at, double sd) -> Vec2 {
    const double x = random.Normal(), y = random.Normal();
    return at + sd * Vec2(x, y);
  };
  for (auto& [id, at] : marks.points) {
    const bool face = static_cast<int>(id) >= kBodyPointCount;
    at = moved(at, face ? face_px : body_px);
    if (face) marks.point_error_px[id] = face_px;
  }
  // The chin is a face point too, and as carefully placed; the crown lies under the hair.
  marks.points[PointId::kChin] = moved(drawn.truth.points.at(PointId::kChin), face_px);
  marks.point_error_px[PointId::kChin] = face_px;
  marks.marking_error_px = body_px;
  // Hidden by hair: the near edge of the face and its jaw corner.
  const bool near_is_left = drawn.head.FarSide() == 1;
  for (PointId id : {near_is_left ? PointId::kContourL : PointId::kContourR}) {
    marks.points.erase(id);
    marks.point_error_px.erase(id);
  }
  for (Ring& ring : marks.rings)
    for (Vec2& at : ring.points) at = moved(at, face_px);
  for (NamedPoint& point : marks.centre_front) point.at = moved(point.at, face_px);
  std::erase_if(marks.areas, [](const Area& area) { return area.name == "skirt shadow"; });
  return marks;
}

void SetDepth(FigureMarks& marks, const Skeleton& body) {
  for (std::string_view name : DepthBoneNames()) {
    const BoneId bone = *BoneFromName(name);
    const BoneEnds ends = Ends(bone);
    Vec3 along = body.Joint(ends.to) - body.Joint(ends.from);
    if (bone == BoneId::kTrunk) along = body.Joint(PointId::kNeckPit) - body.HipMiddle();
    const double depth = along.z() / along.norm();
    marks.depth[bone] = std::abs(depth) < 0.35 ? Depth::kFlat : depth > 0 ? Depth::kAway : Depth::kToward;
  }
}

}  // namespace

FigureDrawing DemoDrawing(const std::string& version) {
  const Plan plan = PlanOf(version);
  FigureDrawing d;
  d.width_px = kDemoWidth;
  d.height_px = kDemoHeight;
  d.name = "Pia";
  d.lengths = DemoLengths(plan.legs);
  const BodyLengths sound = DemoLengths(1.0);
  const double elevation = 13 * kDegree;
  const Skeleton posed = PoseStanding(d.lengths, DemoPose(version == "redraw"));
  // The hips stay in place when the legs grow.
  d.body = Seen(posed, plan.turn_deg * kDegree, elevation, Vec3(0, 0, 0));
  d.camera.scale_px = version == "redraw" ? 2090 : 1960;
  d.camera.inverse_distance = 0.22;
  d.camera.elevation_rad = elevation;
  d.camera.origin_px = version == "redraw" ? Vec2(800, 1260) : Vec2(800, 1210);
  d.head_length = sound[BoneId::kHead];
  d.lengths = sound;  // widths do not grow with the fault
  d.hair.wind = Vec3(0.32, -0.06, 0.05);
  d.hair.seed = 7;
  d.hands[0] = {.curl_deg = 16, .spread_deg = 5, .roll_deg = 0, .pinch = true};
  d.hands[1] = {.curl_deg = 13, .spread_deg = 4, .roll_deg = 10, .pinch = false};
  d.backdrop = Backdrop::kQuay;
  d.faults = plan.faults;
  d.seed = 11;
  SetCrown(d.body, d.head_length, d.head);
  return d;
}

DemoVersion MakeDemoVersion(const std::string& name) {
  const Plan plan = PlanOf(name);
  const FigureDrawing drawing = DemoDrawing(name);
  DrawnFigure drawn = DrawFigure(drawing);
  DemoVersion version;
  version.name = name;
  version.title = plan.title;
  version.known_faults = plan.known;
  version.marks.picture = {name + ".png", drawing.width_px, drawing.height_px};
  FigureMarks marks = Placed(drawn, drawing, name == "old" ? 40U : name == "repaired" ? 41U : 42U);
  marks.canon = "adult-7.5";
  SetDepth(marks, drawing.body);
  // Top of the skull's outline under the hair, along the head's axis.
  const Vec2 chin = marks.points[PointId::kChin], crown = marks.points[PointId::kCrown];
  double top = 0.0;
  for (const Polyline& polygon : drawn.head.SkullOutline(1.0, 0.5, 1.0).polygons)
    for (const Vec2& p : polygon) top = std::max(top, (p - chin).dot((crown - chin).normalized()));
  marks.points[PointId::kHeadTop] = chin + top * (crown - chin).normalized();
  marks.note = "Invented character. " + plan.title + ".";
  version.marks.figures.push_back(std::move(marks));
  version.truth = std::move(drawn.truth);
  version.image = std::move(drawn.image);
  version.layers = std::move(drawn.layers);
  version.sites = std::move(drawn.sites);
  return version;
}

std::vector<DemoVersion> MakeDemo() {
  std::vector<DemoVersion> versions;
  for (const char* name : {"old", "repaired", "redraw"}) versions.push_back(MakeDemoVersion(name));
  return versions;
}

}  // namespace armslength
