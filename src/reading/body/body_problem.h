#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "reading/body/body_reading.h"

// The body reading's inner problem: unknowns, priors and what was observed, in body
// space with its own picture unit. Private to reading/body; tests look inside.
namespace armslength::body {

// Unknowns: three coordinates per joint, then these, then one per column of the model.
inline constexpr int kJointParams = 3 * kBodyPointCount;
inline constexpr int kLogScale = kJointParams;       // ln of picture units per stature at z = 0
inline constexpr int kInverseDistance = kLogScale + 1;
inline constexpr int kElevation = kLogScale + 2;
inline constexpr int kFixedParams = kLogScale + 3;
inline constexpr int kMaxColumns = 8;
inline constexpr int kMaxParams = kFixedParams + kMaxColumns;

using Params = std::array<double, kMaxParams>;
template <typename T>
using PerBone = std::array<T, kBoneCount>;
template <typename T>
using PerJoint = std::array<T, kBodyPointCount>;

[[nodiscard]] constexpr std::size_t At(BoneId id) { return static_cast<std::size_t>(id); }
[[nodiscard]] constexpr std::size_t At(PointId id) { return static_cast<std::size_t>(id); }

// Canon lengths in stature units with relative spreads, and the priors that go with them.
struct Proportions {
  PerBone<double> length{};
  PerBone<double> spread{};
  double left_right_sd = 0.010;  // sd of ln(left / right) of one bone pair
  double heads = 7.5;            // standing height in head heights
};

// REQUIRES: all lengths positive. Lengths are divided by the canon's standing height.
[[nodiscard]] Proportions ProportionsFrom(const Canon& canon);

// One way in which all lengths may depart from the canon together:
// ln length = ln canon + sum over columns of weight * parameter.
struct LengthColumn {
  PerBone<double> weight{};
  double mean = 0.0;  // prior of the parameter
  double sd = 0.3;
};

// What a declared canon's parts vary by as wholes; none for a plain drawing canon.
[[nodiscard]] std::vector<LengthColumn> PartColumns(const Canon& canon);

enum class Flag : std::uint8_t { kNone, kToward, kAway, kFlat };

// What was marked. Picture unit: `unit_px` pixels; origin at `origin_px`.
struct BodyProblem {
  Proportions proportions;
  PerJoint<bool> marked{};
  PerJoint<Vec2> at{};          // picture units, marked joints; elsewhere a guess for starts
  PerJoint<double> sigma{};     // picture units, one sd per axis
  PerBone<Flag> flag{};
  std::optional<double> head_box;  // chin to top of the skull, picture units
  Vec2 origin_px = Vec2::Zero();
  double unit_px = 1.0;
  double sigma_px = 0.0;        // typical marking error
  bool sigma_given = false;
};

// Nothing, with the reason in the artist's words, when too little is marked.
[[nodiscard]] tl::expected<BodyProblem, std::string> MakeProblem(const FigureMarks& marks,
                                                                 const Proportions& proportions);

// A problem under one explanation: extra columns, and perhaps one mark taken as misplaced.
struct BodyModel {
  const BodyProblem* problem = nullptr;
  std::vector<LengthColumn> columns;  // at most kMaxColumns
  std::optional<PointId> misplaced;
  // Fix column `first` at `second` (profiles); its prior still counts.
  std::optional<std::pair<int, double>> fixed;

  [[nodiscard]] int ParamCount() const { return kFixedParams + static_cast<int>(columns.size()); }
};

// sd of a misplaced mark's error, in stature units times the scale at hand.
inline constexpr double kMisplacedSd = 0.06;

}  // namespace armslength::body
