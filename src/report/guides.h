#pragma once
#include <optional>
#include <string>
#include <vector>

#include "critique/critique.h"
#include "report/canvas.h"
#include "report/shapes.h"

namespace armslength {

// A picture of its own among the guides, straight alpha.
struct GuideImage {
  int x = 0, y = 0;  // px, corner in the picture
  ImageRgba8 image;
};

// One fault's guide, ready to lie over the painting: same size and origin as the picture.
struct Guide {
  std::string id;      // finding id
  std::string title;   // layer name: "1 Legs too long"
  std::vector<GuideShape> shapes;  // at most kGuideShapes, as drawn / target / band / arrow
  std::optional<GuideImage> preview{};  // of the artist's own pixels laid on the form; then no shapes
};

// At most seven marks for one fault: more is a drawing, not a guide. The arrow and the two
// lines it joins go first, then bands, then helps.
inline constexpr int kGuideShapes = 7;

// The construction of a read head as lines, id "head.construction": more than a fault's seven
// shapes, since it is a construction. Empty without a head that can be read.
[[nodiscard]] Guide HeadConstruction(const FigureCritique& figure);

// Guides of the first findings that have anything to show, in rank order, then the
// construction of every head. With the `picture`: last, for every pattern found pasted flat, a
// preview of it laid round the solved form (PreviewSwatch), id "preview.cloth.pattern.<area>".
[[nodiscard]] std::vector<Guide> GuidesOf(const Critique& critique, const ImageRgba8* picture = nullptr);

// 1.5 to 3 px at 100 %, by picture size; lines at 60 % opacity.
[[nodiscard]] ShapeStyle GuideStyle(int width, int height, bool labels);

// "guide-01-body.legs.length.png": number and id, safe in every file system.
[[nodiscard]] std::string GuideFileName(int number, const std::string& id, const std::string& extension);

// Transparent PNG, exactly width x height.
[[nodiscard]] Result<std::string> GuidePng(const Guide& guide, int width, int height, bool labels = true);
// Shapes only: "" for a preview.
[[nodiscard]] Result<std::string> GuideSvg(const Guide& guide, int width, int height, bool labels = true);

// OpenRaster with two layers per guide, as numbered and (hidden) without numbers. Without
// guides: one empty layer that says so by its name. Layers hold only the part drawn on,
// at its place, so the file stays small.
[[nodiscard]] Result<std::string> GuidesOpenRaster(const std::vector<Guide>& guides, int width, int height);

}  // namespace armslength
