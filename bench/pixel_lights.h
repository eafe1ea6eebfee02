#pragma once
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include "bench/pixel_figures.h"
#include "jobs/whole_checks.h"
#include "synth/worn.h"

// Drawn figures whose arms are lit from the mirrored side.
namespace armslength::bench {

// Arms along their own light, or before the trunk, show next to no shade that the figure's light would not cast: nobody can
// tell two lights there. Told by the same figure drawn with one light, never by the check. Share of the figure that is darker.
inline constexpr double kShown = 0.02;
inline double AddedShade(const ImageRgba8& sound, const ImageRgba8& fault) {
  constexpr int kStep = 24;  // red, green and blue together
  const auto sum = [](const std::uint8_t* p) { return static_cast<int>(p[0]) + static_cast<int>(p[1]) + static_cast<int>(p[2]); };
  const int ground = sum(sound.At(0, 0));
  double darker = 0, figure = 0;
  for (int y = 0; y < sound.height; ++y)
    for (int x = 0; x < sound.width; ++x) {
      figure += std::abs(sum(sound.At(x, y)) - ground) > kStep;
      darker += sum(sound.At(x, y)) - sum(fault.At(x, y)) > kStep;
    }
  return darker / std::max(1.0, figure);
}

// The two lights would stand so far apart.
inline void LightFrom(FigureDrawing& d, double apart_deg, bool left) {
  const double azimuth = (-90 + (left ? -0.5 : 0.5) * apart_deg) * std::numbers::pi / 180, depth = d.to_light.z();
  d.to_light = Vec3(0.75 * std::cos(azimuth), 0.75 * std::sin(azimuth), std::min(depth, -0.3));
}

// By the picture alone.
inline void LightByPicture(const RowOptions& options, int apart_deg, unsigned at) {
  const auto lit = [&](unsigned k, bool fault) {
    FigureDrawing d = RandomFigure(k);
    LightFrom(d, apart_deg, k % 2 == 0);
    d.faults.second_light = fault;
    return DrawFigure(d).image;
  };
  std::vector<char> shown(static_cast<std::size_t>(options.figures));
  const auto hit = Which(options.figures, at, [&](unsigned k) {
    const ImageRgba8 fault = lit(k, true);
    shown[k - at] = AddedShade(lit(k, false), fault) >= kShown;
    return Off(fault, "value.light");
  });
  PrintFigureRow("arms' light", std::to_string(apart_deg) + " deg", Share(hit),
                 Share(options.figures, at + 200000, "value.light", [&](unsigned k) { return lit(k, false); }));
  int both = 0;
  for (std::size_t i = 0; i < hit.size(); ++i) both += hit[i] && shown[i];
  const auto all_shown = std::count(shown.begin(), shown.end(), 1);
  std::printf("%-20s %d of %d, found %.0f %%\n", "  shown by", static_cast<int>(all_shown), options.figures,
              100.0 * both / std::max(1.0, static_cast<double>(all_shown)));
}

// Joined with the body solved from marks (1 % of stature), as a critique joins them.
inline bool LightOffWithMarks(const WearOptions& drawn) {
  const WornFigure worn = Wear(drawn);
  Marks marks;
  marks.figures.push_back(worn.marks);
  FigureTask task;
  task.marks = worn.marks;
  task.body = worn.reading;
  task.picture = &worn.picture;
  auto figure = CheckFigure(task, {});
  if (!figure) return false;
  PictureCheckOptions checks;
  checks.marks = &marks;
  checks.make_views = false;
  checks.threads = 1;
  std::vector<FigureResult> figures;
  figures.push_back(std::move(*figure));
  const auto whole = CheckWhole(worn.picture, std::move(figures), std::move(checks));
  return whole && std::ranges::any_of(whole->findings,
                                      [](const Finding& f) { return f.id.starts_with("value.light") && f.verdict == Verdict::kOff; });
}

inline void LightWithMarks(const RowOptions& options, int apart_deg, unsigned at) {
  const auto off = [&](unsigned first, bool fault) {
    return Share(Which(options.figures, first, [&](unsigned k) {
      WearOptions drawn;
      drawn.seed = k;
      drawn.areas = false;
      drawn.change = [&](FigureDrawing& d, SynthRandom&) {
        LightFrom(d, apart_deg, (k - first) % 2 == 0);
        d.faults.second_light = fault;
      };
      return LightOffWithMarks(drawn);
    }));
  };
  PrintFigureRow("the same, with marks", std::to_string(apart_deg) + " deg", off(at, true), off(at + 200000, false));
}

// Prints the rows, seeds from `at` on.
inline void RowsOfLights(const RowOptions& options, unsigned at) {
  for (const int apart_deg : {120, 160}) {
    if (options.Wanted("value.light")) LightByPicture(options, apart_deg, at);
    if (options.Wanted("value.light.parts")) LightWithMarks(options, apart_deg, at);
    at += 1000;
  }
}

}  // namespace armslength::bench
