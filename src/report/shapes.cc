#include "report/shapes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <cairo.h>

#include "geometry/line.h"

namespace armslength {
namespace {

using Role = GuideShape::Role;
using Form = GuideShape::Form;

constexpr Ink kHelpInk{0.30, 0.30, 0.32};

Ink InkOf(Role role) {
  switch (role) {
    case Role::kDrawn: return kDrawnInk;
    case Role::kTarget: return kTargetInk;
    case Role::kBand: return kTargetInk;
    case Role::kArrow: return kDarkInk;
    case Role::kHelp: return kHelpInk;
  }
  return kDarkInk;
}

std::size_t PointsNeeded(const GuideShape& shape) {
  switch (shape.form) {
    case Form::kCross: return 1;
    case Form::kPolyline: return 2;
    case Form::kEllipse: return 3;
    case Form::kPolygon: return 3;
  }
  return 1;
}

bool Drawable(const GuideShape& shape) {
  return shape.points.size() >= PointsNeeded(shape) &&
         std::all_of(shape.points.begin(), shape.points.end(), [](const Vec2& p) { return p.allFinite(); });
}

void EllipsePath(cairo_t* cr, const Vec2& centre, const Vec2& major, const Vec2& minor) {
  const Vec2 a = major - centre, b = minor - centre;
  cairo_matrix_t keep;
  cairo_get_matrix(cr, &keep);
  cairo_matrix_t to_ellipse;
  cairo_matrix_init(&to_ellipse, a.x(), a.y(), b.x(), b.y(), centre.x(), centre.y());
  cairo_new_sub_path(cr);
  // A flat ellipse has no inverse matrix; it is a line.
  if (std::abs(Cross2(a, b)) < 1e-9) {
    cairo_move_to(cr, centre.x() - a.x(), centre.y() - a.y());
    cairo_line_to(cr, centre.x() + a.x(), centre.y() + a.y());
    return;
  }
  cairo_transform(cr, &to_ellipse);
  cairo_arc(cr, 0.0, 0.0, 1.0, 0.0, 2.0 * std::numbers::pi);
  cairo_set_matrix(cr, &keep);
}

void PolyPath(cairo_t* cr, const std::vector<Vec2>& points, bool close) {
  cairo_new_sub_path(cr);
  for (const Vec2& p : points) cairo_line_to(cr, p.x(), p.y());
  if (close) cairo_close_path(cr);
}

void CrossPath(cairo_t* cr, const std::vector<Vec2>& centres, double arm) {
  for (const Vec2& c : centres) {
    cairo_move_to(cr, c.x() - arm, c.y());
    cairo_line_to(cr, c.x() + arm, c.y());
    cairo_move_to(cr, c.x(), c.y() - arm);
    cairo_line_to(cr, c.x(), c.y() + arm);
  }
}

// Open V at the last point, along the last leg.
void HeadPath(cairo_t* cr, const std::vector<Vec2>& points, double size) {
  const Vec2& tip = points.back();
  Vec2 along = tip - points[points.size() - 2];
  const double length = along.norm();
  if (length < 1e-9) return;
  along /= length;
  const double reach = std::min(size, 0.6 * length);
  const Vec2 across(-along.y(), along.x());
  const Vec2 left = tip - reach * along + 0.55 * reach * across, right = tip - reach * along - 0.55 * reach * across;
  cairo_move_to(cr, left.x(), left.y());
  cairo_line_to(cr, tip.x(), tip.y());
  cairo_line_to(cr, right.x(), right.y());
}

void BuildPath(cairo_t* cr, const GuideShape& shape, const ShapeStyle& style) {
  cairo_new_path(cr);
  switch (shape.form) {
    case Form::kCross: CrossPath(cr, shape.points, 4.0 * style.line_px); break;
    case Form::kEllipse: EllipsePath(cr, shape.points[0], shape.points[1], shape.points[2]); break;
    case Form::kPolygon: PolyPath(cr, shape.points, true); break;
    case Form::kPolyline:
      PolyPath(cr, shape.points, false);
      if (shape.role == Role::kArrow) HeadPath(cr, shape.points, 7.0 * style.line_px);
      break;
  }
}

// Where a label sits: above the middle of a line that is more level than steep, else to the right; on another side of its shape where
// it would leave the sheet or lie on what is taken.
BoxPx LabelPlace(const GuideShape& shape, const TextSize& size, double gap, const std::optional<BoxPx>& sheet, const std::vector<BoxPx>& taken) {
  BoxPx about = BoundsOf({shape});
  bool beside = true;
  if (shape.form == Form::kPolyline) {
    const std::size_t half = (shape.points.size() - 1) / 2;
    const Vec2 along = shape.points[half + 1] - shape.points[half];
    beside = std::abs(along.y()) > std::abs(along.x());
    about = {0.5 * (shape.points[half].x() + shape.points[half + 1].x()), 0.5 * (shape.points[half].y() + shape.points[half + 1].y()), 0.0, 0.0};
  }
  const double middle_x = about.x + 0.5 * (about.width - size.width), middle_y = about.y + 0.5 * (about.height - size.height);
  const Vec2 right(about.Right() + gap, middle_y), left(about.x - gap - size.width, middle_y);
  const Vec2 above(middle_x, about.y - gap - size.height), below(middle_x, about.Bottom() + gap);
  const std::array<Vec2, 4> sides = beside ? std::array{right, left, above, below} : std::array{above, below, right, left};
  BoxPx best;
  double least = 1e18;
  for (const Vec2& side : sides) {
    BoxPx box{side.x(), side.y(), size.width, size.height};
    double cost = 0.0;
    if (sheet) {
      cost = size.width * size.height - box.Overlap(*sheet);
      box.x = std::max(sheet->x, std::min(box.x, sheet->Right() - box.width));
      box.y = std::max(sheet->y, std::min(box.y, sheet->Bottom() - box.height));
    }
    for (const BoxPx& other : taken) cost += box.Overlap(other);
    if (cost < least - 1e-6) least = cost, best = box;
  }
  return best;
}

void DrawShape(cairo_t* cr, const GuideShape& shape, const ShapeStyle& style) {
  const Ink ink = InkOf(shape.role);
  const double line = shape.role == Role::kHelp ? 0.6 * style.line_px : style.line_px;
  cairo_save(cr);
  cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
  BuildPath(cr, shape, style);
  if (shape.role == Role::kBand) {
    if (shape.form == Form::kPolyline || shape.form == Form::kCross) {  // a band given as a line: a broad stroke
      cairo_set_line_width(cr, 6.0 * style.line_px);
      SetInk(cr, ink.Faded(0.22 * style.alpha));
      cairo_stroke(cr);
    } else {
      SetInk(cr, ink.Faded(0.18 * style.alpha));
      cairo_fill_preserve(cr);
      cairo_set_line_width(cr, 0.5 * style.line_px);
      SetInk(cr, ink.Faded(0.45 * style.alpha));
      cairo_stroke(cr);
    }
  } else {
    const bool dashed = shape.role == Role::kDrawn && shape.form != Form::kCross;
    if (dashed) {  // the halo keeps the gaps open: a target line below must show through them
      const std::array<double, 2> dash = {5.0 * line, 3.4 * line};
      cairo_set_dash(cr, dash.data(), 2, 0.0);
      cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
    }
    if (style.halo_alpha > 0.0) {
      cairo_set_line_width(cr, line + 0.9 * style.line_px);
      SetInk(cr, kPaperInk.Faded(style.halo_alpha * style.alpha));
      cairo_stroke_preserve(cr);
    }
    if (shape.role == Role::kHelp && style.help_dotted) {
      const std::array<double, 2> dots = {0.01, 3.0 * line};
      cairo_set_dash(cr, dots.data(), 2, 0.0);
    }
    cairo_set_line_width(cr, line);
    SetInk(cr, ink.Faded(style.alpha));
    cairo_stroke(cr);
  }
  cairo_restore(cr);
}

// Labels lie on top of all shapes, off each other and off the places the shapes mark.
void DrawLabels(cairo_t* cr, const std::vector<GuideShape>& shapes, const ShapeStyle& style) {
  const TextStyle text{style.text_px, true, 0.0};
  const double gap = 2.5 * style.line_px;
  std::vector<BoxPx> taken;
  for (const GuideShape& shape : shapes)
    if (Drawable(shape) && shape.form != Form::kPolyline && shape.form != Form::kPolygon) taken.push_back(BoundsOf({shape}).Grown(style.line_px));
  for (const GuideShape& shape : shapes) {
    if (!Drawable(shape) || shape.label.empty()) continue;
    taken.push_back(LabelPlace(shape, MeasureLabel(shape.label, text), gap, style.sheet, taken));
    DrawLabel(cr, shape.label, taken.back().x, taken.back().y, text, InkOf(shape.role), 1.1 * style.line_px, kPaperInk.Faded(0.9));
  }
}

}  // namespace

void DrawShapes(cairo_t* cr, const std::vector<GuideShape>& shapes, const ShapeStyle& style) {
  for (const Role role : {Role::kBand, Role::kHelp, Role::kTarget, Role::kDrawn, Role::kArrow})
    for (const GuideShape& shape : shapes)
      if (shape.role == role && Drawable(shape)) DrawShape(cr, shape, style);
  if (style.labels) DrawLabels(cr, shapes, style);
}

std::vector<GuideShape> ShapesOf(const Finding& finding) {
  if (!finding.guides.empty()) return finding.guides;
  std::vector<GuideShape> shapes;
  const Where& where = finding.where;
  if (where.outline.size() >= 3) shapes.push_back({Role::kDrawn, Form::kPolygon, where.outline, ""});
  if (where.box) {
    const auto& b = *where.box;
    shapes.push_back({Role::kDrawn, Form::kPolygon,
                      {{b[0], b[1]}, {b[0] + b[2], b[1]}, {b[0] + b[2], b[1] + b[3]}, {b[0], b[1] + b[3]}}, ""});
  }
  if (!where.points.empty()) shapes.push_back({Role::kDrawn, Form::kCross, where.points, ""});
  return shapes;
}

BoxPx BoundsOf(const std::vector<GuideShape>& shapes) {
  BoxPx box;
  for (const GuideShape& shape : shapes) {
    if (!Drawable(shape)) continue;
    if (shape.form == Form::kEllipse) {
      const Vec2 a = shape.points[1] - shape.points[0], b = shape.points[2] - shape.points[0];
      const Vec2 half(std::hypot(a.x(), b.x()), std::hypot(a.y(), b.y()));
      box.Add(shape.points[0] - half);
      box.Add(shape.points[0] + half);
    } else {
      for (const Vec2& p : shape.points) box.Add(p);
    }
  }
  return box;
}

}  // namespace armslength
