#include "check/surface/surface_checks.h"

#include <utility>

#include "check/surface/families.h"
#include "check/surface/silhouette.h"

namespace armslength {

std::vector<Finding> CheckSurface(const FigureMarks& marks, const BodyReading& reading, const Picture* picture, const JobControl& control,
                                  std::vector<LitLimb>* lit) {
  std::vector<Finding> out;
  if (!reading.usable) return out;
  const body_check::BodyFacts facts(marks, reading);
  surface_check::CheckRings(facts, out);
  const auto silhouette = surface_check::Silhouette::Of(facts, picture);
  surface_check::CheckCentreFront(facts, silhouette ? &*silhouette : nullptr, out);
  surface_check::CheckHands(facts, out);
  if (silhouette) {
    surface_check::CheckLimbThickness(facts, *silhouette, out);
    surface_check::CheckFeetShape(facts, *silhouette, out);
    surface_check::CheckLimbLine(facts, *silhouette, out);
    surface_check::CheckGirth(facts, *silhouette, out);
    if (picture && picture->image.width > 0) {
      std::vector<LitLimb> limbs = surface_check::CheckPartLight(facts, *silhouette, *picture, out);
      if (lit) *lit = std::move(limbs);
    }
  }
  if (!picture || picture->image.width <= 0 || control.Stopped()) return out;
  surface_check::CheckPatterns(facts, *picture, out);
  if (!control.Stopped()) surface_check::CheckFolds(facts, *picture, out);
  return out;
}

}  // namespace armslength
