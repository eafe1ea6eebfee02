#pragma once
#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "check/pixels/ink.h"
#include "check/pixels/picture_checks.h"
#include "check/pixels/planes.h"
#include "check/pixels/strokes.h"
#include "geometry/order.h"

namespace armslength {

// The reduced picture in the numbers that value, colour and composition use.
struct SmallField {
  int width = 0, height = 0;
  double factor = 1.0;             // picture px per small px
  std::vector<float> l;            // L* 0..100, over white
  std::vector<float> ok_l, a, b;   // OKLab, over white
  std::vector<std::uint8_t> ink;   // share of ink, 0..255
  std::vector<std::uint8_t> seen;  // 1: alpha >= 128
  [[nodiscard]] std::size_t At(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x);
  }
};

// What all families of checks read. Filled by CheckPicture, in this order.
struct PictureContext {
  const Picture* picture = nullptr;
  const PictureCheckOptions* options = nullptr;
  PixelPlanes planes;
  SmallField small;
  FigureSplit split;
  std::vector<float> to_ground;  // mask px from each place of the split's mask to the ground; empty: not told apart
  InkMask ink;
  StrokeGraph graph;
  LineFacts line;
  ValueFacts value;
  ColourFacts colour;
  Stage stage = Stage::kFinish;
  bool stage_declared = false;
  bool uncoloured = false;        // line drawing on plain paper, no fills
  double figure_height_px = 0.0;  // 0: not known
  std::vector<std::string> notes;

  [[nodiscard]] int Width() const { return picture->image.width; }
  [[nodiscard]] int Height() const { return picture->image.height; }
  [[nodiscard]] double LongSide() const { return Width() > Height() ? Width() : Height(); }
  [[nodiscard]] double FrameRim() const { return 1.5 * small.factor; }  // px; what comes this near to the frame touches it
  [[nodiscard]] const PictureTolerances& Tolerances() const { return options->tolerances; }
  // True, false, or no split known (then `unknown`), at a place in picture px.
  [[nodiscard]] bool InFigure(double x, double y, bool unknown) const {
    if (split.by == SplitBy::kNone) return unknown;
    const int sx = static_cast<int>(x * split.scale), sy = static_cast<int>(y * split.scale);
    if (sx < 0 || sy < 0 || sx >= split.width || sy >= split.height) return false;
    return split.mask[static_cast<std::size_t>(sy) * static_cast<std::size_t>(split.width) + static_cast<std::size_t>(sx)] != 0;
  }
};

// The picture ends as far from its figure on every side (one may be further off), as cut-outs do: its frame is the export's, not the page's.
[[nodiscard]] bool CutOut(const PictureContext& context);

[[nodiscard]] SmallField MakeSmallField(const PixelPlanes& planes);
[[nodiscard]] FigureSplit SplitFigure(const PictureContext& context);

// Every family adds its findings.
using Findings = std::vector<Finding>;
void MeasureLine(PictureContext& context);                     // fills `line`
void CheckLine(const PictureContext& context, Findings& out);  // weight, wobble, strays
void CheckDoubled(const PictureContext& context, Findings& out);
void CheckGaps(const PictureContext& context, Findings& out);        // open gaps
void CheckValue(PictureContext& context, Findings& out);             // fills `value`
void CheckSeparation(const PictureContext& context, Findings& out);  // figure against ground
void CheckShading(const PictureContext& context, Findings& out);     // families, pillow, light, edges
void CheckColour(PictureContext& context, Findings& out);            // fills `colour`
void CheckTangents(const PictureContext& context, Findings& out);
void CheckComposition(const PictureContext& context, Findings& out);  // focus, silhouette, margins, crop
void AddPictureKeeps(const PictureContext& context, Findings& all);   // last: what the others found clear and strong

// A finding with the fields that all of them share.
[[nodiscard]] Finding MakeFinding(std::string id, std::string title, Kind kind, Verdict verdict, Stage stage);
// The figure's name when the picture has exactly one, else empty.
[[nodiscard]] std::string OnlyFigure(const PictureContext& context);

}  // namespace armslength
