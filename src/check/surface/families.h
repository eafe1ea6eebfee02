#pragma once
#include <vector>

#include "check/body/body_facts.h"
#include "check/finding.h"
#include "picture/picture.h"

// The families of surface checks, each appends its findings. Private to check/surface.
namespace armslength::surface_check {

void CheckRings(const body_check::BodyFacts& facts, std::vector<Finding>& out);
void CheckCentreFront(const body_check::BodyFacts& facts, std::vector<Finding>& out);
void CheckPatterns(const body_check::BodyFacts& facts, const Picture& picture, std::vector<Finding>& out);
void CheckFolds(const body_check::BodyFacts& facts, const Picture& picture, std::vector<Finding>& out);
// Shoes without a wedge, from an outlined figure (area "figure"). Not in the report yet: one false alarm in
// eight readable feet of sound drawings.
void CheckFeetShape(const body_check::BodyFacts& facts, std::vector<Finding>& out);

}  // namespace armslength::surface_check
