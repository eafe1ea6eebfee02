#include "proposal/maps.h"

#include <algorithm>
#include <cmath>

namespace armslength {
namespace {

constexpr int kReach = 2, kApart = 4;  // cells: what belongs to a peak, what keeps peaks apart
constexpr double kCell = 4.0;          // input points a cell

Peak Around(const BeliefMap& map, int cx, int cy) {
  double mass = 0, sx = 0, sy = 0, sxx = 0, syy = 0;
  for (int y = std::max(0, cy - kReach); y <= std::min(map.rows - 1, cy + kReach); ++y)
    for (int x = std::max(0, cx - kReach); x <= std::min(map.cols - 1, cx + kReach); ++x) {
      const double w = map.at<float>(y, x);
      mass += w;
      sx += w * x;
      sy += w * y;
      sxx += w * x * x;
      syy += w * y * y;
    }
  Peak peak;
  peak.mass = mass;
  if (mass <= 0) return peak;
  const double mx = sx / mass, my = sy / mass;
  peak.at = {kCell * (mx + 0.5), kCell * (my + 0.5)};
  peak.spread = kCell * std::sqrt(std::max(0.0, 0.5 * (sxx / mass - mx * mx + syy / mass - my * my)));
  return peak;
}

}  // namespace

BeliefMap Softmax(const cv::Mat& logits) {
  double most = 0;
  cv::minMaxLoc(logits, nullptr, &most);
  cv::Mat out;
  cv::exp(logits - most, out);
  return out / cv::sum(out)[0];
}

std::vector<Peak> Peaks(const BeliefMap& map, int count) {
  cv::Mat left = map.clone();
  std::vector<Peak> peaks;
  for (int i = 0; i < count; ++i) {
    cv::Point at;
    cv::minMaxLoc(left, nullptr, nullptr, nullptr, &at);
    peaks.push_back(Around(left, at.x, at.y));
    const cv::Rect gone(at.x - kApart, at.y - kApart, 2 * kApart + 1, 2 * kApart + 1);
    left(gone & cv::Rect(0, 0, left.cols, left.rows)).setTo(0);
  }
  return peaks;
}

double MassAt(const BeliefMap& map, const Vec2& at) {
  return Around(map, static_cast<int>(std::floor(at.x() / kCell)), static_cast<int>(std::floor(at.y() / kCell))).mass;
}

std::optional<Vec2> PlaceNear(const BeliefMap& map, const Vec2& at, double sd, double least) {
  const Vec2 cell = at / kCell - Vec2::Constant(0.5);
  const double sd_cells = sd / kCell;
  double belief = 0, most = -1;
  cv::Point best;
  for (int y = 0; y < map.rows; ++y)
    for (int x = 0; x < map.cols; ++x) {
      const double d2 = (Vec2(x, y) - cell).squaredNorm() / (sd_cells * sd_cells), p = map.at<float>(y, x);
      if (d2 < 4) belief += p;
      if (const double both = p * std::exp(-0.5 * d2); both > most) {
        most = both;
        best = {x, y};
      }
    }
  if (belief < least) return std::nullopt;
  return Around(map, best.x, best.y).at;
}

}  // namespace armslength
