#pragma once
#include <array>
#include <string>
#include <vector>

#include "reading/body/body_scan.h"

namespace armslength::body {

// How the scan behaves on figures with nothing wrong: made by tools/calibrate_body from
// synthetic figures and kept in data/thresholds/body_declared.json and body_free.json.
// Never edited by hand.
inline constexpr std::array<double, 3> kSigmaGrid = {0.005, 0.01, 0.02};  // fractions of stature
inline constexpr int kInfoLevels = 4;  // 1: depth flags on most bones, 2: head_top marked, 3: both
inline constexpr int kViewClasses = 5;

struct Behaviour {
  // Per information level, per group (order of BoneGroups): centre and width of the
  // evidence on faultless figures, width pulled half-way to 2.
  std::array<std::vector<double>, kInfoLevels> mean, width;
  std::array<std::array<double, 3>, kInfoLevels> family{};  // threshold of the largest standardised evidence
  std::array<std::array<double, 3>, kInfoLevels> mark{};    // of the evidence for one misplaced mark
  std::array<double, kInfoLevels> partial{};                // added when marks are missing
  std::array<double, kViewClasses> view{};                  // added by the reading's own view class
  std::array<double, kInfoLevels> cost_per_mark{};          // 97.5 % quantile of the best cost per mark
};
struct BodyThresholds {
  Behaviour declared, free_style;
};

[[nodiscard]] const BodyThresholds& Thresholds();
[[nodiscard]] Result<Behaviour> ParseBehaviour(std::string_view json_text);
[[nodiscard]] std::string BehaviourToJson(const Behaviour& behaviour, const std::string& made_by);

// What counts for one figure.
[[nodiscard]] int InfoLevel(const BodyProblem& problem);
[[nodiscard]] bool Partial(const BodyProblem& problem);
// Value of a row of kSigmaGrid at `sigma`, straight lines in ln sigma, ends held.
[[nodiscard]] double AtSigma(const std::array<double, 3>& row, double sigma);

// Head start of the faults artists mostly make, in widths; part of the standardised evidence.
[[nodiscard]] double Bonus(const BoneGroup& group);
// Evidence of group `g` in widths of faultless figures, head start included.
[[nodiscard]] double Standardized(const Behaviour& behaviour, int info, std::size_t g, double evidence);

}  // namespace armslength::body
