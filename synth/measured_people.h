#pragma once
#include <array>
#include <filesystem>
#include <string>
#include <vector>

#include "marks/names.h"
#include "support/error.h"

namespace armslength {

// Bone lengths of measured people over the mean of their sex, stature taken out: how far
// people with nothing wrong depart from an average. Left and right are the same.
// Source: ANSUR II (Gordon et al., NATICK/TR-15/007, 2014), public working data set, 200 people.
// Joint centres are not in the survey; the nearest landmarks stand for them (trochanter for
// the hip, middle of the kneecap, outer ankle, top of the breastbone for the pit), so the
// spread holds some landmark noise too. Errors: kInput for a file that lacks the columns.
[[nodiscard]] Result<std::vector<std::array<double, kBoneCount>>> MeasuredPeople(const std::filesystem::path& csv);

}  // namespace armslength
