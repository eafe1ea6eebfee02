#include <algorithm>
#include <cmath>
#include <vector>

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/patch.h"
#include "geometry/circular.h"
#include "geometry/line.h"
#include "geometry/polygon.h"

namespace armslength::surface_check {
namespace {

using body_check::kDegree;

// Three fold lines or more within 5 degrees and evenly spaced read as a pattern, not as cloth
// pulled from points of tension (drawing handbooks on drapery; default, editable).
constexpr double kParallel = 5.0 * kDegree;
constexpr double kEven = 0.35;  // spread of the gaps over their mean
constexpr int kFewest = 4;

struct FoldLine {
  Vec2 from, to;       // picture px
  double angle = 0.0;  // axial
  double length_px = 0.0;
};

// Thin dark lines inside the outline: what a dark-hat transform leaves, as connected pieces.
std::vector<FoldLine> FindFolds(const Picture& picture, const Area& area) {
  Vec2 low = area.outline[0], high = low;
  for (const Vec2& p : area.outline) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  const double size = (high - low).norm();
  const auto patch = CutPatch(picture.image, area.outline, std::max(1.0, size / 700.0));
  if (!patch) return {};
  cv::Mat closed;
  const int reach = std::max(9, static_cast<int>(size / patch->px / 55.0) | 1);
  cv::morphologyEx(patch->light, closed, cv::MORPH_CLOSE, cv::getStructuringElement(cv::MORPH_ELLIPSE, {reach, reach}));
  cv::Mat inner;
  const int rim = std::max(5, static_cast<int>(size / patch->px / 90.0) | 1);
  cv::erode(patch->inside, inner, cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * rim + 1, 2 * rim + 1}), {-1, -1}, 1,
            cv::BORDER_CONSTANT, 0);
  cv::Mat dark = (closed - patch->light) > 0.10;
  cv::bitwise_and(dark, inner, dark);
  cv::Mat labels, stats, centroids;
  const int count = cv::connectedComponentsWithStats(dark, labels, stats, centroids, 8);
  std::vector<std::vector<cv::Point>> pixels(static_cast<std::size_t>(count));
  for (int y = 0; y < labels.rows; ++y)
    for (int x = 0; x < labels.cols; ++x)
      if (const int l = labels.at<int>(y, x)) pixels[static_cast<std::size_t>(l)].emplace_back(x, y);
  std::vector<FoldLine> folds;
  for (const auto& piece : pixels) {
    if (piece.size() < 20) continue;
    std::vector<Eigen::Vector2d> points;
    for (const cv::Point& p : piece) points.push_back(patch->ToPicture(p.x, p.y));
    const auto fit = FitLine(points);
    if (!fit) continue;
    double a = 1e18, b = -1e18;
    for (const auto& p : points) {
      const double t = (p - fit->line.point).dot(fit->line.direction);
      a = std::min(a, t);
      b = std::max(b, t);
    }
    // A line: much longer than wide, and long enough to be meant as a fold.
    const double length = b - a;
    if (length < 0.07 * size || fit->rms > 0.10 * length) continue;
    FoldLine fold;
    fold.from = fit->line.point + a * fit->line.direction;
    fold.to = fit->line.point + b * fit->line.direction;
    fold.angle = std::atan2(fit->line.direction.y(), fit->line.direction.x());
    fold.length_px = length;
    folds.push_back(fold);
  }
  return folds;
}

// Spread of the gaps between neighbours across their common direction, over the mean gap.
double Unevenness(const std::vector<FoldLine>& folds, double direction) {
  const Vec2 across(-std::sin(direction), std::cos(direction));
  std::vector<double> place;
  for (const FoldLine& f : folds) place.push_back((0.5 * (f.from + f.to)).dot(across));
  std::sort(place.begin(), place.end());
  std::vector<double> gaps;
  for (std::size_t i = 1; i < place.size(); ++i) gaps.push_back(place[i] - place[i - 1]);
  double mean = 0.0, square = 0.0;
  for (const double g : gaps) mean += g / static_cast<double>(gaps.size());
  for (const double g : gaps) square += (g - mean) * (g - mean) / static_cast<double>(gaps.size());
  return mean > 1e-9 ? std::sqrt(square) / mean : 9.0;
}

// The largest group of folds within the parallel tolerance of one of them.
std::vector<FoldLine> MostParallel(const std::vector<FoldLine>& folds) {
  std::vector<FoldLine> best;
  for (const FoldLine& seed : folds) {
    std::vector<FoldLine> group;
    for (const FoldLine& f : folds)
      if (std::abs(std::remainder(f.angle - seed.angle, M_PI)) <= kParallel) group.push_back(f);
    if (group.size() > best.size()) best = std::move(group);
  }
  return best;
}

}  // namespace

void CheckFolds(const body_check::BodyFacts& facts, const Picture& picture, std::vector<Finding>& out) {
  for (const Area& area : facts.Marks().areas) {
    if (area.kind != "folds" || area.outline.size() < 3) continue;
    std::string name = area.name;
    std::replace(name.begin(), name.end(), ' ', '_');
    Finding f = body_check::Start(facts, "cloth.folds." + IdPart(name), "Folds of the cloth", Kind::kTaste, Verdict::kCannotTell);
    f.stage = Stage::kLine;
    f.unit = "deg";
    f.tolerance = kParallel / kDegree;
    f.source = "drawing handbooks on drapery: folds radiate from points of tension; 5 degrees default, editable";
    f.where.outline = area.outline;
    const auto folds = FindFolds(picture, area);
    if (folds.size() < static_cast<std::size_t>(kFewest)) {
      f.why = fmt::format("{} fold line{} found under the outline; four or more are needed to compare directions.",
                          folds.size(), folds.size() == 1 ? " was" : "s were");
      f.ask = "Outline a larger piece of cloth with its fold lines.";
      body_check::Finish(facts, {}, f);
      out.push_back(std::move(f));
      continue;
    }
    std::vector<double> angles;
    for (const FoldLine& fold : folds) angles.push_back(fold.angle);
    const CircularSummary all = SummariseAxes(angles);
    const auto group = MostParallel(folds);
    const double uneven = group.size() >= 3 ? Unevenness(group, all.mean_rad) : 9.0;
    f.measured = all.sd_rad / kDegree;
    f.test = "Rayleigh z of the doubled angles";
    f.evidence = all.rayleigh_z;
    for (const FoldLine& fold : folds) f.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, {fold.from, fold.to}));
    const bool most = group.size() * 4 >= folds.size() * 3;
    if (most && all.sd_rad <= kParallel && uneven <= kEven) {
      f.verdict = Verdict::kOff;
      f.title = "Folds run parallel and evenly spaced";
      f.why = fmt::format("{} of {} fold lines lie within {:.0f} degrees of each other, with gaps alike to {:.0f} %. Cloth "
                          "pulled from a shoulder, waist or knee fans out; an observation, no error.",
                          group.size(), folds.size(), kParallel / kDegree, 100.0 * uneven);
      // A fan from the end where the cloth hangs from.
      Vec2 top = Vec2::Zero();
      for (const FoldLine& fold : group) top += (fold.from.y() < fold.to.y() ? fold.from : fold.to) / static_cast<double>(group.size());
      Vec2 along(std::cos(all.mean_rad), std::sin(all.mean_rad));
      if (along.y() < 0) along = -along;
      const Vec2 anchor = top - along * (0.6 * group.front().length_px);
      for (const FoldLine& fold : group) {
        const Vec2 end = fold.from.y() < fold.to.y() ? fold.to : fold.from;
        f.guides.push_back(body_check::Line(GuideShape::Role::kHelp, {anchor + 0.35 * (end - anchor), end}));
      }
      f.remedy = {RemedyWay::kRepaint, 20.0, "Let some folds start from a point of tension and vary their gaps."};
      f.gain = 2.0;
    } else {
      // Not "clear": too many fold lines escape the finder on other drawings than it was built on.
      f.verdict = Verdict::kCannotTell;
      f.title = "Folds do not look parallel, as far as they were found";
      f.why = fmt::format("{} fold lines, directions spread by {:.0f} degrees, gaps of the most parallel by {:.0f} %.",
                          folds.size(), all.sd_rad / kDegree, uneven < 9.0 ? 100.0 * uneven : 0.0);
    }
    body_check::Finish(facts, {}, f);
    out.push_back(std::move(f));
  }
}

}  // namespace armslength::surface_check
