#pragma once
#include "reading/body/body_scan.h"

namespace armslength::body {

// Turns a scan into hypotheses: evidence, interval, verdict, smallest visible sizes, and
// the misplaced mark when that explains the figure better than any anatomy.
void Judge(const BodyModel& base, const Scan& scan, bool free_style, BodyReading& reading);

}  // namespace armslength::body
