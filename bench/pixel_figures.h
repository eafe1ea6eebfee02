#pragma once
#include <algorithm>
#include <cstdio>
#include <functional>
#include <numbers>
#include <random>
#include <string>
#include <vector>

#include "bench/pixel_rows.h"
#include "synth/drawing.h"
#include "synth/figure.h"

// Drawn figures with faults of line and shading of known size.
namespace armslength::bench {

inline FigureDrawing RandomFigure(unsigned seed) {
  std::mt19937 rng(seed * 7919u + 13u);
  const auto u = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(rng); };
  PoseAngles a;
  a.pelvis_lean = u(-6, 6);
  a.side = u(-8, 8);
  a.twist = u(-10, 10);
  a.bend = u(-4, 6);
  a.hip_bend = {u(-5, 25), u(-5, 25)};
  a.knee = {u(2, 30), u(2, 30)};
  a.hip_side = {u(2, 10), u(2, 10)};
  a.hip_turn = {u(0, 20), u(0, 20)};
  a.arm_front = {u(-10, 60), u(-10, 60)};
  a.arm_side = {u(12, 50), u(12, 50)};
  a.elbow = {u(5, 100), u(5, 100)};
  a.head_turn = u(-25, 25);
  a.head_roll = u(-6, 6);
  FigureDrawing d;
  d.width_px = 1500;
  d.height_px = 2200;
  d.lengths = AverageAdult();
  const double elevation = u(-5, 15) * std::numbers::pi / 180;
  d.body = Seen(PoseStanding(d.lengths, a), u(-45, 45) * std::numbers::pi / 180, elevation, Vec3(0, 0, 0));
  d.camera.scale_px = u(1550, 1850);
  d.camera.inverse_distance = 0.2;
  d.camera.elevation_rad = elevation;
  d.camera.origin_px = Vec2(750, 1080);
  d.head_length = d.lengths[BoneId::kHead];
  d.hair.seed = seed;
  const double azimuth = u(-3.0, -0.15);
  d.to_light = Vec3(0.75 * std::cos(azimuth), 0.75 * std::sin(azimuth), -u(0.3, 0.6));
  d.costume.skirt = u(0, 1) < 0.5;
  d.seed = seed;
  SetCrown(d.body, d.head_length, d.head);
  return d;
}

inline void PrintFigureRow(const std::string& name, const std::string& size, double found, double alarms) {
  std::printf("%-20s %-14s %9.0f %% %10.0f %%\n", name.c_str(), size.c_str(), 100 * found, 100 * alarms);
  std::fflush(stdout);
}

// Sound figures that serve all rows but those of light.
struct SoundFigures {
  std::vector<std::vector<std::string>> off;  // ids, by figure
  std::vector<double> line_px;                // length of all line, by figure

  [[nodiscard]] double Alarms(const std::string& id) const {
    const auto called = [&](const std::vector<std::string>& ids) { return std::ranges::find(ids, id) != ids.end(); };
    return static_cast<double>(std::ranges::count_if(off, called)) / static_cast<double>(off.size());
  }
};

inline SoundFigures CheckSound(int figures, unsigned seed) {
  SoundFigures sound{std::vector<std::vector<std::string>>(static_cast<std::size_t>(figures)),
                     std::vector<double>(static_cast<std::size_t>(figures))};
  ParallelFor(figures, 0, [&](int i) {
    const auto report = CheckAlone(DrawFigure(RandomFigure(seed + static_cast<unsigned>(i))).image);
    sound.line_px[static_cast<std::size_t>(i)] = report->line.length_px;
    for (const Finding& f : report->findings)
      if (f.verdict == Verdict::kOff) sound.off[static_cast<std::size_t>(i)].push_back(f.id);
  });
  return sound;
}

// Strokes over each other when contours are gone over on both sides in so many places: length of line with the second strokes over
// that without, the median figure's.
inline double StrokesOver(const SoundFigures& sound, unsigned seed, int places) {
  std::vector<double> strokes(sound.line_px.size());
  ParallelFor(static_cast<int>(strokes.size()), 0, [&](int i) {
    FigureDrawing d = RandomFigure(seed + static_cast<unsigned>(i));
    d.faults.hairy_strokes = places;
    double added = 0;
    for (const FaultSite& site : DrawFigure(d).sites)
      if (site.what == "hairy") added += 2 * site.size_px;
    strokes[static_cast<std::size_t>(i)] = 1 + added / std::max(1.0, sound.line_px[static_cast<std::size_t>(i)]);
  });
  const auto middle = strokes.begin() + static_cast<std::ptrdiff_t>(strokes.size() / 2);
  std::nth_element(strokes.begin(), middle, strokes.end());
  return *middle;
}

// Prints the rows, seeds from `at` on; the first seed for others.
inline unsigned RowsOfFigures(const RowOptions& options, unsigned at) {
  std::printf("\ndrawn figures, %d a row\n%-20s %-14s %10s %12s\n", options.figures, "fault", "size", "found", "false alarms");
  struct Row {
    std::string name, id, size;
    std::function<void(FigureDrawing&)> fault;
  };
  const std::vector<Row> rows = {
      {"gap", "line.gaps", "3 of 6 px",
       [](FigureDrawing& d) {
         d.faults.line_gaps_px = {6, 6, 6};
       }},
      {"stray marks", "line.strays", "4", [](FigureDrawing& d) { d.faults.stray_marks = 4; }},
      {"wobble", "line.wobble", "0.5 line", [](FigureDrawing& d) { d.faults.wobble_px = 0.5 * 1.9 * 0.0017 * d.camera.scale_px; }},
      {"pillow", "value.pillow", "", [](FigureDrawing& d) { d.faults.pillow_shading = true; }}};
  const unsigned of_sound = options.seed + 70000;
  SoundFigures sound;
  if (options.Wanted("line.doubled") || std::ranges::any_of(rows, [&](const Row& r) { return options.Wanted(r.id); }))
    sound = CheckSound(options.figures, of_sound);
  const auto print = [&](const std::string& name, const std::string& id, const std::string& size,
                         const std::function<void(FigureDrawing&)>& fault) {
    const double found = Share(options.figures, at, id, [&](unsigned k) {
      FigureDrawing d = RandomFigure(k);
      fault(d);
      return DrawFigure(d).image;
    });
    PrintFigureRow(name, size, found, sound.Alarms(id));
  };
  for (const Row& r : rows) {
    if (options.Wanted(r.id)) print(r.name, r.id, r.size, r.fault);
    at += 1000;
  }
  for (const int places : {30, 60, 120}) {
    if (options.Wanted("line.doubled")) {
      char size[32];
      std::snprintf(size, sizeof size, "%.1f strokes", StrokesOver(sound, of_sound, places));
      print("doubled line", "line.doubled", size, [places](FigureDrawing& d) { d.faults.hairy_strokes = places; });
    }
    at += 1000;
  }
  return at;
}

}  // namespace armslength::bench
