#pragma once
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "report/canvas.h"

namespace armslength {

// A numbered note beside what it speaks of.
struct Callout {
  int number = 1;
  std::string title;                 // "Legs too long"
  std::string amount;                // "+20 % ± 4 %"; may be empty
  std::optional<Vec2> anchor;        // where the leader ends; nothing: no leader
};

struct PlacedCallout {
  Callout callout;
  BoxPx plate;
  Vec2 from = Vec2::Zero(), to = Vec2::Zero();  // leader, plate to anchor; equal: none
};

// How much drawing there is where, so that plates land on empty paper.
class DetailMap {
 public:
  DetailMap() = default;
  explicit DetailMap(const ImageRgba8& image);
  // Share of drawn-on cells under a box given in shares of the picture, 0..1; 0 without a map.
  [[nodiscard]] double Share(double x, double y, double width, double height) const;

 private:
  int width_ = 0, height_ = 0;
  std::vector<int> sums_;  // summed-area table, (width_ + 1) * (height_ + 1)
};

struct CalloutOptions {
  double width_px = 0.0, height_px = 0.0;  // picture
  double text_px = 24.0;
  std::vector<BoxPx> faces;                // never covered when any free place is left
  std::vector<Vec2> busy;                  // points along the figure and the guide lines
  DetailMap detail;
};

// Size of text that stays readable when a picture of this size is shown on a phone.
[[nodiscard]] double CalloutTextPx(double width_px, double height_px);

// Plates inside the picture that stay off each other and off faces, keep away from busy
// points and near their anchors, with leaders that do not cross. Plates that would need
// more than three quarters of the picture's width shrink to their number. Deterministic.
[[nodiscard]] std::vector<PlacedCallout> PlaceCallouts(const std::vector<Callout>& callouts,
                                                       const CalloutOptions& options);

void DrawCallout(cairo_t* cr, const PlacedCallout& placed, double text_px, double line_px);

}  // namespace armslength
