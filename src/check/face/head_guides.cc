#include "check/face/head_guides.h"

#include <algorithm>
#include <cmath>

#include "check/face/face_direct.h"
#include "reading/head/head_curves.h"

namespace armslength {
namespace {

using Role = GuideShape::Role;
using Form = GuideShape::Form;
using P = PointId;

GuideShape Line(Role role, std::vector<Vec2> points, std::string label = {}) { return {role, Form::kPolyline, std::move(points), std::move(label)}; }

// Both sides of a line, `half_px` away.
GuideShape Band(const std::vector<Vec2>& line, double half_px) {
  GuideShape band{Role::kBand, Form::kPolygon, {}, {}};
  std::vector<Vec2> back;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const Vec2 d = (line[std::min(i + 1, line.size() - 1)] - line[i > 0 ? i - 1 : 0]).normalized();
    const Vec2 n(-d.y(), d.x());
    band.points.push_back(line[i] + half_px * n);
    back.push_back(line[i] - half_px * n);
  }
  band.points.insert(band.points.end(), back.rbegin(), back.rend());
  return band;
}

// The part of a line within `reach_px` of any of the points.
std::vector<Vec2> Near(const std::vector<Vec2>& line, const std::vector<Vec2>& points, double reach_px) {
  std::size_t first = line.size(), last = 0;
  for (std::size_t i = 0; i < line.size(); ++i)
    for (const Vec2& p : points)
      if ((line[i] - p).norm() < reach_px) {
        first = std::min(first, i);
        last = std::max(last, i);
      }
  if (first >= last) return line;
  return {line.begin() + static_cast<std::ptrdiff_t>(first), line.begin() + static_cast<std::ptrdiff_t>(last) + 1};
}

}  // namespace

std::vector<GuideShape> HeadGuides(const FigureMarks& marks, const HeadReading& r) {
  std::vector<GuideShape> out;
  if (!r.usable) return out;
  const HeadCurves c = CurvesOf(r.freed_pose, r.freed_profile);
  const auto off = [&](std::initializer_list<HeadFaultKind> kinds) {
    return std::any_of(kinds.begin(), kinds.end(), [&](HeadFaultKind k) { return r.Fault(k).off && !face_check::SetAside(r, r.Fault(k)); });
  };
  using F = HeadFaultKind;
  const bool middle = off({F::kNoseOffset, F::kMouthOffset, F::kChinOffset, F::kEyeSpacing, F::kJawSkew});
  const bool eyes = off({F::kEyeLineTilt, F::kEyeHeight, F::kEyeSize, F::kEyeSpacing, F::kFeaturesTilt});
  const bool mouth = off({F::kMouthTilt, F::kMouthOffset}), brow = off({F::kBrow});
  const auto role = [](bool wrong) { return wrong ? Role::kTarget : Role::kHelp; };
  out.push_back(Line(Role::kHelp, c.ball));
  if (!c.side_plane.empty()) {
    out.push_back(Line(Role::kHelp, c.side_plane));
    out.push_back(Line(Role::kHelp, c.side_cross_up));
    out.push_back(Line(Role::kHelp, c.side_cross_along));
  }
  out.push_back(Line(Role::kHelp, c.jaw_near));
  if (!c.jaw_far.empty()) out.push_back(Line(Role::kHelp, c.jaw_far));
  out.push_back(Line(role(middle), c.middle));
  out.push_back(Line(role(eyes), c.eyes));
  out.push_back(Line(role(brow), c.brow));
  out.push_back(Line(Role::kHelp, c.nose));
  out.push_back(Line(role(mouth), c.mouth));
  const auto drawn = [&](bool wrong, std::initializer_list<P> ids) {
    std::vector<Vec2> through;
    for (P id : ids)
      if (const auto p = marks.At(id)) through.push_back(*p);
    if (wrong && through.size() > 1) out.push_back(Line(Role::kDrawn, std::move(through)));
  };
  drawn(middle, {P::kHairline, P::kNoseBase, P::kMouthCentre, P::kChin});
  drawn(eyes, {P::kEyeROuter, P::kEyeRInner, P::kEyeLInner, P::kEyeLOuter});
  drawn(brow, {P::kBrowRPeak, P::kBrowLPeak});
  drawn(mouth, {P::kMouthR, P::kMouthCentre, P::kMouthL});
  if (!middle && !eyes && !mouth && !brow) return out;
  for (const auto& [id, target] : r.target_px) {
    (void)id;
    out.push_back({Role::kTarget, Form::kCross, {target}, {}});
  }
  return out;
}

std::vector<GuideShape> FaultGuides(const FigureMarks& marks, const HeadReading& r, const HeadFault& fault,
                                    const std::string& amount) {
  std::vector<GuideShape> out;
  const HeadCurves c = CurvesOf(r.freed_pose, r.freed_profile);
  using F = HeadFaultKind;
  const int far = r.pose.yaw_rad >= 0 ? 1 : -1;
  const std::vector<P> left = {P::kEyeLInner, P::kEyeLOuter, P::kEyeLTop, P::kEyeLBottom};
  const std::vector<P> right = {P::kEyeRInner, P::kEyeROuter, P::kEyeRTop, P::kEyeRBottom};
  std::vector<P> ids;
  const std::vector<Vec2>* line = &c.middle;
  switch (fault.kind) {
    case F::kEyeSize:
    case F::kEyeSpacing:
      ids = far > 0 ? left : right;
      if (fault.kind == F::kEyeSize && r.FarSide() == 0) ids.insert(ids.end(), far > 0 ? right.begin() : left.begin(), far > 0 ? right.end() : left.end());
      line = &c.eyes;
      break;
    case F::kEyeLineTilt:
    case F::kEyeHeight:
    case F::kFeaturesTilt:  // the corners alone: few marks are read at a glance
      ids = {P::kEyeROuter, P::kEyeRInner, P::kEyeLInner, P::kEyeLOuter};
      line = &c.eyes;
      break;
    case F::kBrow: ids = {P::kBrowLPeak, P::kBrowRPeak}; line = &c.brow; break;
    case F::kNoseOffset: ids = {P::kNoseBase, P::kNoseTip}; break;
    case F::kMouthOffset: ids = {P::kMouthL, P::kMouthCentre, P::kMouthR}; break;
    case F::kMouthTilt: ids = {P::kMouthL, P::kMouthR}; line = &c.mouth; break;
    case F::kChinOffset: ids = {P::kChin}; break;
    case F::kJawSkew: ids = {P::kJawL, P::kJawR}; break;
    case F::kEarHeight: ids = {P::kEarLTop, P::kEarLBottom, P::kEarRTop, P::kEarRBottom}; break;
    default: break;
  }
  std::vector<Vec2> drawn, target;
  for (P id : ids) {
    const auto at = marks.At(id);
    const auto to = r.target_px.find(id);
    if (!at || to == r.target_px.end()) continue;
    drawn.push_back(*at);
    target.push_back(to->second);
  }
  if (drawn.empty()) return out;
  const double band_px = fault.tolerance * r.pose.scale_px *
                         (fault.kind == F::kNoseOffset || fault.kind == F::kMouthOffset || fault.kind == F::kChinOffset || fault.kind == F::kJawSkew
                              ? 2 * r.Param(HeadParam::kHalfWidth)
                              : fault.kind == F::kEyeSize || fault.kind == F::kEyeSpacing ? 0.1 : 0.3);
  out.push_back(Band(line == &c.middle ? *line : Near(*line, target, 0.3 * r.pose.scale_px), std::min(band_px, 0.03 * r.pose.scale_px)));
  if (drawn.size() > 1) {  // the drawn line through the feature
    std::vector<Vec2> through;
    if (fault.kind == F::kEyeLineTilt || fault.kind == F::kEyeHeight || fault.kind == F::kFeaturesTilt) {
      for (P id : {P::kEyeROuter, P::kEyeRInner, P::kEyeLInner, P::kEyeLOuter})
        if (const auto p = marks.At(id)) through.push_back(*p);
    } else {
      through = {drawn.front(), drawn[1]};
    }
    if (through.size() > 1) out.push_back(Line(Role::kDrawn, through));
  }
  out.push_back({Role::kDrawn, Form::kCross, drawn, {}});
  out.push_back(Line(Role::kTarget, *line));
  out.push_back({Role::kTarget, Form::kCross, target, {}});
  std::size_t longest = 0;
  for (std::size_t i = 0; i < drawn.size(); ++i)
    if ((target[i] - drawn[i]).norm() > (target[longest] - drawn[longest]).norm()) longest = i;
  out.push_back(Line(Role::kArrow, {drawn[longest], target[longest]}, amount));
  return out;
}

}  // namespace armslength
