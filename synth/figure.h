#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "marks/figure.h"
#include "reading/body/body_reading.h"
#include "synth/skeleton.h"

namespace armslength {

enum class SynthPose : std::uint8_t { kStand, kContrapposto, kWalk, kSit, kReach, kForeshortened, kCount };

struct SynthFigureOptions {
  unsigned seed = 1;
  // Proportions; null: the built-in average adult. Natural variation comes on top.
  const Canon* canon = nullptr;
  // Relative sd of single lengths about the canon (left and right move together).
  double variation = 0.015;
  // Length factors of fault-free bones, replacing `variation` (e.g. from measured people).
  std::optional<std::array<double, kBoneCount>> natural;
  // Faults: this bone is drawn so many times too long.
  std::vector<std::pair<BoneId, double>> faults;
  std::optional<SynthPose> pose;   // nothing: seed % 6
  std::optional<ViewClass> view;   // nothing: (seed / 6) % 5
  double sigma = 0.01;             // marking error, sd per axis, fraction of stature
  bool depth_flags = true;         // toward / away / flat as an artist would set them, 4 % wrong
  bool head_box = true;            // also marks head_top (2.5 % error), for the head's drawn size
  // One mark moved this far (fraction of stature) in a random direction.
  std::optional<std::pair<PointId, double>> displaced;
  double picture_height_px = 1600.0;  // the figure fills about three quarters of it
};

struct SynthFigure {
  FigureMarks marks;              // what an artist would hand in; marking_error_px set
  MarkedPicture picture;
  BodyCamera camera;              // the true one
  std::array<Vec3, kBodyPointCount> joints{};  // body space, true
  std::array<double, kBoneCount> length{};     // stature units, true, faults included
  SynthPose pose = SynthPose::kStand;
  ViewClass view = ViewClass::kFront;
  std::array<bool, 2> planted{};  // left, right foot stands on the floor
  Skeleton body;                  // the same joints with the axes of every part, for drawing it
  BodyLengths lengths;
};

// A drawn figure with known truth. Deterministic for equal options on one platform.
[[nodiscard]] SynthFigure MakeFigure(const SynthFigureOptions& options);

}  // namespace armslength
