#include "check/surface/form.h"

#include <algorithm>
#include <cmath>

namespace armslength::surface_check {

std::optional<Form> FormUnder(const BodyFacts& facts, const Area& area) {
  Vec2 centre = Vec2::Zero();
  for (const Vec2& p : area.outline) centre += p / static_cast<double>(area.outline.size());
  const auto part = AxisOf(facts, area.on, area.name, centre);
  if (!part) return std::nullopt;
  Form form;
  form.part = *part;
  // A ring's bulge over its half-width, of a flattened and turned section.
  const double c = std::cos(part->turn_rad), s = std::sin(part->turn_rad), rho = part->depth_ratio;
  const double factor = rho / (c * c + rho * rho * s * s);
  const double across = std::sqrt(std::max(0.0, 1.0 - part->along_sight * part->along_sight));
  form.bow = part->along_sight * factor;
  form.bow_sd = factor * std::hypot(part->along_sight_sd, part->slack_rad * across);
  form.shape = TubularOf(area.outline, part->direction);
  return form;
}

std::optional<OnForm> ToForm(const Tubular& shape, double bow, const Vec2& at_px) {
  const Vec2 d = at_px - shape.centre;
  const double t = d.dot(shape.dir), x = d.dot(shape.across);
  // The edges change slowly along the part; those beside the place serve the whole ring through it.
  const double middle = 0.5 * (shape.Left(t) + shape.Right(t)), own = 0.5 * (shape.Right(t) - shape.Left(t));
  if (own <= 1.0) return std::nullopt;
  const double u = (x - middle) / own;
  if (std::abs(u) >= 1.0) return std::nullopt;
  return OnForm{t + bow * own * (1.0 - std::sqrt(1.0 - u * u)), middle + own * std::asin(u), u};
}

}  // namespace armslength::surface_check
