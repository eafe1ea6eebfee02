#pragma once
// Head checks that measure directly against the read head. Private to check/face.
#include <vector>

#include "check/finding.h"
#include "reading/body/body_reading.h"
#include "reading/head/head_reading.h"

namespace armslength::face_check {

struct Facts {
  const FigureMarks& marks;
  const HeadReading& head;
  const BodyReading* body;  // may be null
};

// A nose or mouth so far aside that nobody overlooks it, in a face that is sound otherwise: drawn
// so on purpose, as cartoons turn a nose further than its face. Style, no fault.
[[nodiscard]] bool SetAside(const HeadReading& head, const HeadFault& fault);

void CheckEyeAgainstEdge(const Facts& facts, std::vector<Finding>& out);  // face.contour.eye
void CheckEarLevel(const Facts& facts, std::vector<Finding>& out);        // face.ear.height, ears against brow and nose
void CheckSkullHeight(const Facts& facts, std::vector<Finding>& out);     // head.skull.height
void CheckHairVolume(const Facts& facts, std::vector<Finding>& out);      // head.hair.volume
void CheckNeckAxis(const Facts& facts, std::vector<Finding>& out);        // head.neck.axis
void CheckNeckWidth(const Facts& facts, std::vector<Finding>& out);       // head.neck.width
void CheckHeadSize(const Facts& facts, std::vector<Finding>& out);        // head.size.body
void CheckCharacter(const Facts& facts, std::vector<Finding>& out);       // face.character.*
// features.missing: the artist's ticks, and what stands on the character's list without a tick.
void CheckFeatures(const FigureMarks& marks, const std::vector<std::string>& listed, std::vector<Finding>& out);

}  // namespace armslength::face_check
