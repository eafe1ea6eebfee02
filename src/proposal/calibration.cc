#include "proposal/calibration.h"

#include <algorithm>
#include <cmath>

namespace armslength {
namespace {

// Error of a point that the network is sure of, and what doubt adds.
constexpr double kBodySure = 0.0155, kBodyDoubt = 0.085, kHeadSure = 0.016, kHeadDoubt = 0.05;

// Points that artists and anatomists place by judgement, not by an edge of the drawing.
double Vagueness(PointId id) {
  switch (id) {
    case PointId::kHipL: case PointId::kHipR: return 1.9;
    case PointId::kShoulderL: case PointId::kShoulderR: return 1.3;
    case PointId::kJawL: case PointId::kJawR: case PointId::kContourL: case PointId::kContourR: return 2.4;
    case PointId::kHairline: case PointId::kHeadTop: return 2.4;
    case PointId::kBrowLPeak: case PointId::kBrowRPeak: case PointId::kNoseBase: return 1.5;
    default: return 1.0;
  }
}

}  // namespace

double ExpectedError(PointId id, double confidence, double spread_share) {
  const bool body = static_cast<int>(id) < kBodyPointCount;
  const double doubt = 1.0 - std::clamp(confidence, 0.0, 1.0);
  const double sure = (body ? kBodySure : kHeadSure) * Vagueness(id);
  return std::sqrt(sure * sure + std::pow((body ? kBodyDoubt : kHeadDoubt) * doubt * doubt, 2) + 0.25 * spread_share * spread_share);
}

}  // namespace armslength
