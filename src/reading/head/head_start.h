#pragma once
// Inside of the head reading: marks to solver units, and the first guess.
#include <optional>
#include <string>

#include "reading/head/head_solve.h"

namespace armslength::head_internal {

struct HeadStart {
  std::optional<HeadView> view;  // nothing: not readable, see why_not
  std::string why_not, ask;
};

// Errors: kInput when left and right are swapped.
[[nodiscard]] Result<HeadStart> StartHead(const FigureMarks& marks, const BodyReading* body);

// Reading of view 0 of a solved problem, faults tested against `prior`.
[[nodiscard]] HeadReading Summarize(const HeadView& view, const HeadProblem& problem, const HeadSolution& s,
                                    const HeadProfile& prior, bool test_faults);

}  // namespace armslength::head_internal
