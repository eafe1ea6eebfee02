#include "check/body/body_facts.h"

#include <algorithm>
#include <cctype>
#include <cmath>

#include <Eigen/Eigenvalues>
#include <fmt/format.h>

#include "words/say.h"

namespace armslength::body_check {
namespace {
std::size_t Index(PointId id) { return static_cast<std::size_t>(id); }
}  // namespace

BodyFacts::BodyFacts(const FigureMarks& marks, const BodyReading& reading) : marks_(&marks), reading_(&reading) {
  const BodyCamera& camera = reading.camera;
  const double scale = camera.scale_px > 0.0 ? camera.scale_px : 1.0;
  // The artist's own estimate may be too small for joints under clothes.
  sigma_ = std::max(reading.sigma_px, reading.sigma_estimated_px) / scale;
  for (int i = 0; i < kBodyPointCount; ++i) {
    const auto id = static_cast<PointId>(i);
    SeenJoint& joint = joints_[Index(id)];
    joint.at = reading.joints[Index(id)];
    joint.cov = reading.joint_cov[Index(id)];
    joint.px = camera.Project(joint.at);
    const auto mark = marks.At(id);
    joint.marked = reading.marked[Index(id)] && mark.has_value();
    if (!joint.marked) continue;
    joint.px = *mark;
    const double divide = 1.0 + camera.inverse_distance * joint.at.z();
    joint.at.head<2>() = (*mark - camera.origin_px) * (divide / scale);
    const double z_var = std::max(joint.cov(2, 2), 0.0);
    const auto own = marks.point_error_px.find(id);
    const double sigma = (own != marks.point_error_px.end() ? std::max(own->second / scale, sigma_) : sigma_) * divide;
    joint.cov = Vec3(sigma * sigma, sigma * sigma, z_var).asDiagonal();
  }
}

bool BodyFacts::Marked(std::initializer_list<PointId> ids) const {
  return std::all_of(ids.begin(), ids.end(), [&](PointId id) { return Joint(id).marked; });
}

bool BodyFacts::BoneMarked(BoneId bone) const {
  const auto points = PointsOf(bone);
  return std::all_of(points.begin(), points.end(), [&](PointId id) { return Joint(id).marked; });
}

std::vector<PointId> BodyFacts::Unconfirmed(std::span<const PointId> ids) const {
  std::vector<PointId> out;
  for (const PointId id : ids)
    if (std::find(marks_->proposed.begin(), marks_->proposed.end(), id) != marks_->proposed.end() &&
        std::find(out.begin(), out.end(), id) == out.end())
      out.push_back(id);
  return out;
}

Vec3 BodyFacts::HipMiddle() const { return 0.5 * (Joint(PointId::kHipL).at + Joint(PointId::kHipR).at); }

double BodyFacts::PxPerStature(double z) const {
  return reading_->camera.scale_px / (1.0 + reading_->camera.inverse_distance * z);
}

double BodyFacts::CanonLength(BoneId bone) const {
  const Canon& canon = reading_->canon.canon;
  return canon.heads > 0.0 ? canon[bone].length / canon.heads : 0.0;
}

double BodyFacts::Head() const {
  const Canon& canon = reading_->canon.canon;
  return canon.heads > 0.0 ? 1.0 / canon.heads : 0.13;
}

Measure BodyFacts::Propagate(std::span<const PointId> ids,
                             const std::function<double(std::span<const Vec3>)>& value, double extra_sd) const {
  std::vector<Vec3> at;
  at.reserve(ids.size());
  for (const PointId id : ids) at.push_back(Joint(id).at);
  Measure out{value(at), 0.0};
  double variance = extra_sd * extra_sd;
  for (std::size_t i = 0; i < ids.size(); ++i) {
    const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> axes(Joint(ids[i]).cov);
    for (int k = 0; k < 3; ++k) {
      const double sd = std::sqrt(std::max(axes.eigenvalues()[k], 0.0));
      if (sd <= 0.0) continue;
      const Vec3 step = sd * axes.eigenvectors().col(k), here = at[i];
      at[i] = here + step;
      const double more = value(at);
      at[i] = here - step;
      const double less = value(at);
      at[i] = here;
      // The larger side: beyond a fold of the measure the slope alone would understate it.
      const double change = std::max(std::abs(more - out.value), std::abs(less - out.value));
      variance += change * change;
    }
  }
  out.sd = std::sqrt(variance);
  return out;
}

std::vector<PointId> PointsOf(BoneId bone) {
  if (bone == BoneId::kTrunk) return {PointId::kNeckPit, PointId::kHipL, PointId::kHipR};
  const BoneEnds ends = Ends(bone);
  return {ends.from, ends.to};
}

std::vector<PointId> PointsOf(std::span<const BoneId> bones) {
  std::vector<PointId> out;
  for (const BoneId bone : bones)
    for (const PointId id : PointsOf(bone))
      if (std::find(out.begin(), out.end(), id) == out.end()) out.push_back(id);
  return out;
}

Finding Start(const BodyFacts& facts, std::string id, std::string title, Kind kind, Verdict verdict) {
  Finding f;
  f.id = std::move(id);
  f.title = std::move(title);
  f.kind = kind;
  f.verdict = verdict;
  f.figure = facts.Marks().name;
  f.stage = Stage::kConstruction;
  return f;
}

Where At(const BodyFacts& facts, std::span<const PointId> ids) {
  Where where;
  if (ids.empty()) return where;
  Vec2 low = facts.Px(ids.front()), high = low;
  for (const PointId id : ids) {
    const Vec2 p = facts.Px(id);
    where.points.push_back(p);
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  const double margin = 0.03 * facts.Reading().camera.scale_px;
  low.array() -= margin;
  high.array() += margin;
  where.box = {low.x(), low.y(), high.x() - low.x(), high.y() - low.y()};
  return where;
}

Remedy ScaleRemedy(double factor, double minutes, std::string detail) {
  const bool small = factor > 0.0 && std::abs(1.0 / factor - 1.0) <= 0.15;
  return {small ? RemedyWay::kMove : RemedyWay::kGuide, small ? minutes : 1.6 * minutes, std::move(detail)};
}

Remedy TurnRemedy(double degrees, double minutes, std::string detail) {
  const bool small = std::abs(degrees) <= 12.0;
  return {small ? RemedyWay::kMove : RemedyWay::kGuide, small ? minutes : 1.6 * minutes, std::move(detail)};
}

std::string Percent(double part) {
  const long whole = std::lround(100.0 * part);
  return whole == 0 ? "0 %" : fmt::format("{:+d} %", whole);
}

std::string Sentence(std::string text) { return Capital(std::move(text)); }

std::string List(const std::vector<std::string>& words) { return SayList(words); }

void Finish(const BodyFacts& facts, std::span<const PointId> rests_on, Finding& finding) {
  finding.meant = IsMeant(finding.id, facts.Marks().meant);
  if (finding.verdict != Verdict::kOff) return;
  const auto open = facts.Unconfirmed(rests_on);
  if (open.empty()) return;
  finding.verdict = Verdict::kCannotTell;
  std::vector<std::string> names;
  for (const PointId id : open) names.push_back(SaidName(id));
  finding.ask = SayCount(open.size(), "Confirm or move this mark: {}.", "Confirm or move these marks: {}.", List(names));
  finding.why += Say(" It rests on marks that were proposed and not confirmed yet, so it is no fault so far.");
}

}  // namespace armslength::body_check
