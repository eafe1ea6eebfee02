#pragma once
#include <algorithm>
#include <cmath>
#include <string>

#include "check/finding.h"
#include "check/surface/part_axis.h"
#include "check/surface/ring_shape.h"
#include "check/surface/waves.h"
#include "synth/worn.h"

// True sizes of the surface faults of drawn figures, from the drawing's own joints and strokes.
namespace armslength::bench {

inline const Area* AreaOf(const FigureMarks& marks, const std::string& id, const std::string& kind) {
  for (const Area& area : marks.areas) {
    if (area.kind != kind) continue;
    std::string name = area.name;
    std::replace(name.begin(), name.end(), ' ', '_');
    if (id.ends_with("." + name)) return &area;
  }
  return nullptr;
}

// A round part as drawn: its axis in the picture and a ring's bulge over its half-width.
struct TrueForm {
  Vec2 dir = Vec2::UnitY();  // unit, picture
  double bow = 0.0;
  Vec3 high = Vec3::Zero(), low = Vec3::Zero();  // ends of the axis, body space
  double flat = 1.0;         // depth of the section over its width
};

inline TrueForm FormUnder(const WornFigure& worn, const Area& area) {
  const auto at = [&](PointId id) { return worn.truth.joints[static_cast<std::size_t>(id)]; };
  const bool left = area.on.ends_with("_l");
  const auto side = [&](PointId l, PointId r) { return left ? at(l) : at(r); };
  Vec3 high, low;
  double flat = 1.0;
  if (area.on.starts_with("forearm")) high = side(PointId::kElbowL, PointId::kElbowR), low = side(PointId::kWristL, PointId::kWristR);
  else if (area.on.starts_with("thigh")) high = side(PointId::kHipL, PointId::kHipR), low = side(PointId::kKneeL, PointId::kKneeR);
  else {
    const Vec3 hips = 0.5 * (at(PointId::kHipL) + at(PointId::kHipR)), knees = 0.5 * (at(PointId::kKneeL) + at(PointId::kKneeR));
    const bool skirt = area.name.find("skirt") != std::string::npos;
    high = skirt ? hips : at(PointId::kNeckPit);
    low = skirt ? knees : hips;
    flat = 0.8;
  }
  const Vec3 axis = (high - low).normalized(), middle = 0.5 * (high + low);
  TrueForm form;
  form.bow = flat * axis.dot(surface_check::Sight(worn.truth.camera, middle));
  form.high = high;
  form.low = low;
  form.flat = flat;
  form.dir = (worn.truth.camera.Project(high) - worn.truth.camera.Project(low)).normalized();
  return form;
}

// How far a print pasted flat departs from cloth of the same lines at the part's middle laid round it: the larger of
// turn over 15 degrees and closeness over a fifth, mean of both sides three quarters of the way to the edge. The
// same for a wrapped one against its flat like. 0 when too coarse or too small to be seen.
inline double PrintSize(const WornFigure& worn, const Finding& finding, double slant_deg, bool check, bool flat) {
  const Area* area = AreaOf(worn.marks, finding.id, "pattern");
  if (!area) return 0.0;
  const TrueForm form = FormUnder(worn, *area);
  const auto tube = surface_check::TubularOf(area->outline, form.dir);
  if (!tube || tube->half_width_px < 16.0) return 0.0;
  double most = 0.0;
  for (const double more : {0.0, 90.0}) {
    if (more > 0 && !check) continue;
    const double slant = (slant_deg + more) * M_PI / 180;
    double along, across;  // phase per px
    if (flat) {
      const Vec2 wave(-std::sin(slant), std::cos(slant));
      along = wave.dot(tube->dir);
      across = wave.dot(tube->across);
    } else {
      along = std::cos(slant);
      across = -std::sin(slant);
    }
    double turn = 0.0, closer = 0.0;
    for (const double u : {-0.75, 0.75}) {
      const double there = (along * form.bow * u + across) / std::sqrt(1.0 - u * u);
      turn += 0.5 * std::abs(std::remainder(std::atan2(there, along) - std::atan2(across, along), M_PI));
      closer += 0.5 * (std::hypot(along, there) / std::hypot(along, across) - 1.0);
    }
    most = std::max({most, turn / (15.0 * M_PI / 180), closer / 0.20});
  }
  return most;
}

// Bulge over half-width of the ring under a finding as a sound drawing has it, without sign.
inline double TrueBow(const WornFigure& sound, const Finding& finding) {
  for (const Ring& ring : sound.marks.rings)
    if (finding.id == "cloth.ring." + ring.name)
      if (const auto shape = surface_check::ShapeOf(ring.points, 1.0)) return std::abs(shape->bow);
  return 0.0;
}

}  // namespace armslength::bench
