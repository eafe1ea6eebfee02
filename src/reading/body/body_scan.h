#pragma once
#include <span>
#include <string_view>
#include <vector>

#include "reading/body/body_start.h"

namespace armslength::body {

// Bones that may be drawn too long or too short together.
struct BoneGroup {
  std::string_view id;           // finding id
  PerBone<double> weight{};      // +1 scaled; pairs: +0.5 left, -0.5 right
  double tolerance = 0.05;       // relative size that matters (default, editable by checks)
  bool contest = true;           // takes part in the search for the one explanation
  bool asymmetric = false;       // a single side
  std::string_view both_sides;   // id of the group that scales both sides, if any
};
[[nodiscard]] std::span<const BoneGroup> BoneGroups();
// Index into BoneGroups; -1 when there is none of that id.
[[nodiscard]] int GroupIndex(std::string_view id);

// One explanation, solved.
struct Explanation {
  Basin best;
  double evidence = 0.0;   // 2 ln Bayes factor against the null
  double value = 0.0;      // ln factor at the solution
  double sd = 0.0;         // of it, from the curvature
  bool tested = false;     // false: the marks hold nothing about these bones, or style
};

struct Scan {
  std::vector<Basin> null;               // basins with nothing off, best first
  std::vector<Explanation> groups;       // parallel to BoneGroups()
  PerJoint<Explanation> misplaced;       // one mark is wrong; only marked ones tested
};

// Which groups are put to a figure: all whose bones are marked, less those a free style
// may scale. `base`: columns of style, or empty.
[[nodiscard]] std::vector<bool> TestableGroups(const BodyProblem& problem, bool free_style);

// Solves every explanation in `testable` on top of `base`. `warm`: one more start, or null.
[[nodiscard]] Scan ScanExplanations(const BodyModel& base, const std::vector<bool>& testable, bool marks,
                                    int threads = 1, const Basin* warm = nullptr);

// Factor interval where the profile of the cost rises by `rise` (3.84: 95 %), as ln factor.
struct Profile {
  double low = 0.0, high = 0.0;
};
[[nodiscard]] Profile ProfileFactor(const BodyModel& base, const BoneGroup& group, const Explanation& explanation,
                                    std::span<const Basin> null, double rise);

// View class of a solution, from the turn of its trunk and the elevation.
[[nodiscard]] ViewClass ViewOf(const Params& x);
// Turn of the trunk, radians: 0 faces the viewer, + turns to picture right.
[[nodiscard]] double TurnOf(const Params& x);

[[nodiscard]] LengthColumn ColumnOf(const BoneGroup& group);

}  // namespace armslength::body
