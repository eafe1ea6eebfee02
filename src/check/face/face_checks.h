#pragma once
#include <vector>

#include "check/finding.h"
#include "marks/figure.h"
#include "reading/body/body_reading.h"
#include "reading/head/head_reading.h"

namespace armslength {

// Every statement about one figure's head: symmetry in head space (face.*), the eye against
// the face edge, ears, room for the skull, hair, neck and size (head.*), departures from the
// character's own profile (face.character.*), and the artist's own list of features
// (features.missing). Findings come in a fixed order, unranked. An unusable reading gives one
// finding, `face.reading`, that cannot tell and says why - or none when no face is marked.
// `body` may be null. Findings the artist declared as meant are kept and flagged.
// Below 20 degrees of turn the two eyes are compared without saying which is at fault.
// False alarms: at most 5 % of fault-free heads show any face.* finding as off
// (bench/detection_head prints the table).
[[nodiscard]] std::vector<Finding> CheckHead(const FigureMarks& marks, const HeadReading& reading,
                                             const BodyReading* body = nullptr);

}  // namespace armslength
