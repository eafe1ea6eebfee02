#pragma once
#include "colour/spaces.h"

namespace armslength {

// CIEDE2000 colour difference with kL = kC = kH = 1. Symmetric. About 1 is just noticeable side by
// side under good light (CIE 142-2001). Source: Sharma, Wu, Dalal, Color Research and Application
// 30(1), 2005; their 34 published pairs are met to 1e-4 (tests/colour).
[[nodiscard]] double DeltaE2000(const Lab& one, const Lab& other);

// Euclidean distance in L*a*b* (CIE 1976).
[[nodiscard]] double DeltaE76(const Lab& one, const Lab& other);

// WCAG 2.2, "relative luminance": 0.2126 R + 0.7152 G + 0.0722 B of linear light, 0..1.
[[nodiscard]] double RelativeLuminance(Rgb8 colour);
// WCAG 2.2, "contrast ratio": 1..21, order does not matter.
[[nodiscard]] double ContrastRatio(Rgb8 one, Rgb8 other);

}  // namespace armslength
