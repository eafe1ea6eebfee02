#pragma once
#include "reading/body/body_scan.h"

namespace armslength::body {

// Turns a scan into hypotheses: evidence, interval, verdict, smallest visible sizes, and
// the misplaced mark when that explains the figure better than any anatomy.
// Returns the index of the group called off, if any. The result does not depend on `threads`.
std::optional<std::size_t> Judge(const BodyModel& base, const Scan& scan, bool free_style, int threads,
                                 BodyReading& reading);

// The same for a scan on top of faults already found (as columns of `base`): marks one more
// of the reading's hypotheses as off, under a stricter threshold, and returns its index.
std::optional<std::size_t> JudgeFurther(const BodyModel& base, const Scan& scan, bool free_style, BodyReading& reading);

}  // namespace armslength::body
