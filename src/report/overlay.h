#pragma once
#include <vector>

#include "critique/critique.h"
#include "report/callouts.h"
#include "report/canvas.h"

namespace armslength {

// Longest side of overlay.png. Larger pictures are shown shrunk to this.
inline constexpr int kOverlayLongSide = 6000;

// Line width that suits a picture looked at as a whole: 1.5 px for small ones, 3 px at
// about 1600 px, then growing with the picture so that it shows when the whole fits a screen.
[[nodiscard]] double OverlayLinePx(double width_px, double height_px);

// Arm of a mark's cross: `full`, or shorter (down to 0.4 of it) where marks crowd, as on a
// small face, so that the drawing stays to be seen.
[[nodiscard]] double MarkArm(const FigureMarks& marks, const Vec2& at, double full);

// Where the leader of a finding's callout ends; nothing when the finding has no place.
[[nodiscard]] std::optional<Vec2> AnchorOf(const Finding& finding);

// Boxes round the marked faces.
[[nodiscard]] std::vector<BoxPx> FaceBoxes(const Critique& critique);

// Paints over the picture what was measured: the artist's marks as small crosses, the
// first findings as drawn (orange, dashed) and as they should be (blue, solid, with the
// tolerance band), numbered callouts. Everything else keeps its bytes. `image` may be a
// shrunk copy: critique places are scaled from critique.picture's size to it.
// Errors: kCancelled, kInternal.
[[nodiscard]] Result<void> PaintOverlay(ImageRgba8& image, const Critique& critique, const JobControl& control = {});

}  // namespace armslength
