#pragma once
#include <optional>
#include <string>

#include "marks/figure.h"
#include "picture/picture.h"
#include "reading/body/body_reading.h"

namespace armslength {

// The artist's own pattern laid round the solved form under one marked area: a preview to look at, never
// paint for the picture. Straight alpha, nothing outside the outline.
struct SwatchPreview {
  int x = 0, y = 0;  // px, corner in the picture
  ImageRgba8 image;
};

// `finding_id`: a finding "cloth.pattern.<area>" of this figure. The print is read as a flat one: one repeat of it
// (of stripes, or of two families of lines) is the median over all its repeats under the outline, and is laid along
// and round the cylinder of the solved part, keeping what stands at the middle of the near side. Broad light and
// shade stay as painted. Nothing when the part is not solved or no repeat is found. Deterministic, thread-safe.
[[nodiscard]] std::optional<SwatchPreview> PreviewSwatch(const FigureMarks& marks, const BodyReading& reading,
                                                         const std::string& finding_id, const ImageRgba8& picture);

}  // namespace armslength
