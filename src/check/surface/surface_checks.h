#pragma once
#include <vector>

#include "check/finding.h"
#include "check/pixels/lit_limb.h"
#include "marks/figure.h"
#include "picture/picture.h"
#include "reading/body/body_reading.h"
#include "support/job.h"

namespace armslength {

// What lies on the solved body, from one stroke or outline each:
//   cloth.ring.<name>   collars, cuffs, belts, hems: which way they bow and how round they are
//   cloth.centre_front  buttons, buckle, tie against the middle line of the trunk
//   cloth.centre_front.line  three or more of them: each against the line through the others
//   cloth.pattern.<name>  (areas "pattern") stripes laid round the form or pasted flat; needs the picture
//   cloth.folds.<name>    (areas "folds") parallel, evenly spaced folds, an observation; needs the picture
//   limb.thickness.pair.<limb>  left against right, across the bones from contour to contour
//   limb.continuity.<bone>  in one line through a boot top, a cuff, a hem or something that hides a stretch
//   limb.thickness.{legs,neck,waist}  far thinner than usual: observations
//   limb.taper.<bone>       narrows towards its joint; judged where an area "skin" says it is bare
//   foot.shape.<side>       a wedge or a block
//   value.light.parts       limbs and trunk lit from one side; needs the picture and the figure's contour
//   hand.size.<side>        against the face from chin to hairline
//   hand.shape.{fingers,palm,side,arc}.<side>  from outlines of fingers, palm or back (areas "part" on the hand,
//                           named thumb, index, middle, ring, little, palm, back)
// limb and foot findings need the figure's contour: an area "figure", alpha, layers or a flat background.
// Wants a reading with its hypotheses scanned: a length fault found there is already granted in the
// pose, so that it is not reported again through the clothes.
// `picture` may be null: then only the checks that need marks alone. Empty when the reading is
// not usable. What cannot be told is said so, with what would settle it. Deterministic, thread-safe.
// A stop asked for through `control` ends early with the findings so far. `lit`: takes the limbs whose light was read.
[[nodiscard]] std::vector<Finding> CheckSurface(const FigureMarks& marks, const BodyReading& reading,
                                                const Picture* picture, const JobControl& control = {},
                                                std::vector<LitLimb>* lit = nullptr);

}  // namespace armslength
