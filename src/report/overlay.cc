#include "report/overlay.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include <cairo.h>

#include "report/guides.h"
#include "report/shapes.h"
#include "report/words.h"

namespace armslength {
namespace {

using Role = GuideShape::Role;

// Lines between marks that count as the figure's body when plates look for a free place.
constexpr std::array<std::pair<PointId, PointId>, 16> kBodyLines = {{
    {PointId::kShoulderL, PointId::kShoulderR}, {PointId::kHipL, PointId::kHipR},
    {PointId::kShoulderL, PointId::kHipL},      {PointId::kShoulderR, PointId::kHipR},
    {PointId::kShoulderL, PointId::kHipR},      {PointId::kShoulderL, PointId::kElbowL},
    {PointId::kElbowL, PointId::kWristL},       {PointId::kWristL, PointId::kHandTipL},
    {PointId::kShoulderR, PointId::kElbowR},    {PointId::kElbowR, PointId::kWristR},
    {PointId::kWristR, PointId::kHandTipR},     {PointId::kHipL, PointId::kKneeL},
    {PointId::kKneeL, PointId::kAnkleL},        {PointId::kHipR, PointId::kKneeR},
    {PointId::kKneeR, PointId::kAnkleR},        {PointId::kCrown, PointId::kNeckPit},
}};

void AddLine(std::vector<Vec2>& busy, const Vec2& a, const Vec2& b, double step) {
  const int count = std::clamp(static_cast<int>((b - a).norm() / std::max(1.0, step)), 1, 200);
  for (int i = 0; i <= count; ++i) busy.push_back(a + (b - a) * (static_cast<double>(i) / count));
}

std::vector<Vec2> BusyPoints(const Critique& critique, double step) {
  std::vector<Vec2> busy;
  for (const FigureCritique& figure : critique.figures) {
    for (const auto& [from, to] : kBodyLines) {
      const auto a = figure.marks.At(from), b = figure.marks.At(to);
      if (a && b) AddLine(busy, *a, *b, step);
    }
    for (const auto& [id, at] : figure.marks.points) busy.push_back(at);
  }
  for (const Finding& f : critique.first)
    for (const GuideShape& shape : ShapesOf(f)) {
      if (shape.form == GuideShape::Form::kPolyline || shape.form == GuideShape::Form::kPolygon)
        for (std::size_t i = 1; i < shape.points.size(); ++i) AddLine(busy, shape.points[i - 1], shape.points[i], step);
      else
        busy.insert(busy.end(), shape.points.begin(), shape.points.end());
    }
  return busy;
}

void DrawMarks(cairo_t* cr, const FigureMarks& marks, double line) {
  cairo_save(cr);
  cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
  for (const bool halo : {true, false}) {
    cairo_new_path(cr);
    const auto cross = [&](const Vec2& p) {
      const double arm = MarkArm(marks, p, 2.4 * line);
      cairo_move_to(cr, p.x() - arm, p.y());
      cairo_line_to(cr, p.x() + arm, p.y());
      cairo_move_to(cr, p.x(), p.y() - arm);
      cairo_line_to(cr, p.x(), p.y() + arm);
    };
    for (const auto& [id, at] : marks.points) cross(at);
    for (const NamedPoint& p : marks.centre_front) cross(p.at);
    cairo_set_line_width(cr, halo ? 2.1 * line : 0.7 * line);
    SetInk(cr, halo ? kPaperInk.Faded(0.85) : kDarkInk);
    cairo_stroke(cr);
  }
  cairo_restore(cr);
}

// The body that was read behind the marks, thin and grey: whether it lies on the figure is what tells an
// artist whether to believe the numbers. Only bones with both ends marked; the rest are guesses.
void DrawReadBody(cairo_t* cr, const FigureCritique& figure, double line) {
  if (!figure.body || !figure.body->usable) return;
  const BodyReading& body = *figure.body;
  const auto known = [&](PointId id) { return body.marked[static_cast<std::size_t>(id)]; };
  cairo_save(cr);
  cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
  for (const bool halo : {true, false}) {
    cairo_new_path(cr);
    for (int b = 0; b < kBoneCount; ++b) {
      const auto id = static_cast<BoneId>(b);
      BoneEnds ends = Ends(id);
      Vec2 from = body.JointPx(ends.from), to = body.JointPx(ends.to);
      bool whole = known(ends.from) && known(ends.to);
      if (id == BoneId::kTrunk) {  // from the middle of the hips to the pit
        from = body.JointPx(PointId::kNeckPit);
        to = 0.5 * (body.JointPx(PointId::kHipL) + body.JointPx(PointId::kHipR));
        whole = known(PointId::kNeckPit) && known(PointId::kHipL) && known(PointId::kHipR);
      }
      if (!whole || !from.allFinite() || !to.allFinite()) continue;
      cairo_move_to(cr, from.x(), from.y());
      cairo_line_to(cr, to.x(), to.y());
    }
    cairo_set_line_width(cr, halo ? 1.5 * line : 0.6 * line);
    SetInk(cr, halo ? kPaperInk.Faded(0.45) : kDarkInk.Faded(0.55));
    cairo_stroke(cr);
  }
  cairo_restore(cr);
}

// Figures whose face one of the first findings is about: there the construction is what explains it.
bool FaceIsAskedAbout(const Critique& critique, const FigureCritique& figure) {
  return std::any_of(critique.first.begin(), critique.first.end(), [&](const Finding& f) {
    return f.figure == figure.marks.name && (f.id.starts_with("face.") || f.id.starts_with("head."));
  });
}

}  // namespace

double MarkArm(const FigureMarks& marks, const Vec2& at, double full) {
  double nearest = std::numeric_limits<double>::infinity();
  for (const auto& [id, other] : marks.points)
    if ((other - at).squaredNorm() > 0.0) nearest = std::min(nearest, (other - at).norm());
  return std::clamp(0.3 * nearest, 0.4 * full, full);
}

double OverlayLinePx(double width_px, double height_px) { return std::max(1.5, std::max(width_px, height_px) / 560.0); }

std::optional<Vec2> AnchorOf(const Finding& finding) {
  const std::vector<GuideShape> shapes = ShapesOf(finding);
  for (const Role role : {Role::kArrow, Role::kDrawn, Role::kTarget, Role::kBand, Role::kHelp})
    for (const GuideShape& shape : shapes) {
      if (shape.role != role || shape.points.empty() || !shape.points.front().allFinite()) continue;
      if (shape.form == GuideShape::Form::kPolyline && shape.points.size() >= 2) {
        const std::size_t half = (shape.points.size() - 1) / 2;
        const Vec2 middle = 0.5 * (shape.points[half] + shape.points[half + 1]);
        if (middle.allFinite()) return middle;
      }
      return shape.points.front();
    }
  return std::nullopt;
}

std::vector<BoxPx> FaceBoxes(const Critique& critique) {
  constexpr std::array kFace = {PointId::kChin,      PointId::kJawL,      PointId::kJawR,      PointId::kContourL,
                                PointId::kContourR,  PointId::kEyeLInner, PointId::kEyeLOuter, PointId::kEyeRInner,
                                PointId::kEyeROuter, PointId::kBrowLPeak, PointId::kBrowRPeak, PointId::kNoseBase,
                                PointId::kMouthL,    PointId::kMouthR,    PointId::kHairline,  PointId::kCrown};
  std::vector<BoxPx> boxes;
  for (const FigureCritique& figure : critique.figures) {
    BoxPx box;
    for (const PointId id : kFace)
      if (const auto at = figure.marks.At(id)) box.Add(*at);
    const auto crown = figure.marks.At(PointId::kCrown), chin = figure.marks.At(PointId::kChin);
    if (crown && chin) {  // a head is about two thirds as wide as high
      const Vec2 middle = 0.5 * (*crown + *chin);
      const double half = 0.36 * (*crown - *chin).norm();
      box.Add(middle - Vec2(half, half));
      box.Add(middle + Vec2(half, half));
    }
    if (!box.Empty() && box.width > 1.0) boxes.push_back(box);
  }
  return boxes;
}

Result<void> PaintOverlay(ImageRgba8& image, const Critique& critique, const JobControl& control) {
  const double width = critique.picture.width > 0 ? critique.picture.width : image.width;
  const double height = critique.picture.height > 0 ? critique.picture.height : image.height;
  const double scale = image.width / width;  // below 1 for a shrunk copy
  // Sizes in picture pixels, so that they come out right after scaling.
  const double line = OverlayLinePx(image.width, image.height) / scale;
  const double text = CalloutTextPx(image.width, image.height) / scale;

  std::vector<Callout> callouts;
  for (std::size_t i = 0; i < critique.first.size(); ++i) {
    const Finding& f = critique.first[i];
    std::optional<Vec2> anchor = AnchorOf(f);
    if (anchor) *anchor = {std::clamp(anchor->x(), 0.0, width), std::clamp(anchor->y(), 0.0, height)};
    callouts.push_back({static_cast<int>(i) + 1, ShortTitle(f), AmountWithSpread(f), anchor});
  }
  const std::vector<PlacedCallout> placed =
      PlaceCallouts(callouts, {width, height, text, FaceBoxes(critique), BusyPoints(critique, text), DetailMap(image)});

  const ShapeStyle style{line, 0.8 * text, 1.0, 0.75, false};
  return PaintOver(
      image,
      [&](cairo_t* cr) {
        cairo_save(cr);
        cairo_scale(cr, image.width / width, image.height / height);
        for (const FigureCritique& figure : critique.figures) {
          DrawReadBody(cr, figure, line);
          DrawMarks(cr, figure.marks, line);
        }
        ShapeStyle construction = style;
        construction.line_px = 0.8 * line;
        construction.help_dotted = false;
        for (const FigureCritique& figure : critique.figures) {
          construction.alpha = FaceIsAskedAbout(critique, figure) ? 1.0 : 0.6;
          DrawShapes(cr, HeadConstruction(figure).shapes, construction);
        }
        for (auto f = critique.first.rbegin(); f != critique.first.rend(); ++f) DrawShapes(cr, ShapesOf(*f), style);
        for (const PlacedCallout& p : placed) DrawCallout(cr, p, text, line);
        cairo_restore(cr);
      },
      control);
}

}  // namespace armslength
