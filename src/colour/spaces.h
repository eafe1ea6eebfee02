#pragma once
#include <array>
#include <cstdint>

namespace armslength {

// Colours as numbers. One struct per space, so that a value cannot be taken for another space's.
// All conversions are exact formulas in double precision and thread-safe.
//
// Constants: IEC 61966-2-1 (sRGB transfer curve, primaries, white x = 0.3127 y = 0.3290); the D50
// white x = 0.3457 y = 0.3585 and the Bradford adaptation as in W3C CSS Color 4; CIE 15 for L*a*b*.

struct Rgb8 {  // stored sRGB values, 0..255
  std::uint8_t r = 0, g = 0, b = 0;
  friend bool operator==(const Rgb8&, const Rgb8&) = default;
};
struct LinearRgb {  // linear light, sRGB primaries, 0..1 inside the gamut
  double r = 0.0, g = 0.0, b = 0.0;
};
struct Xyz {  // CIE 1931, Y = 1 for white
  double x = 0.0, y = 0.0, z = 0.0;
};
struct Lab {  // CIE 1976 L*a*b*; L 0..100. The white it is relative to is the caller's to keep.
  double L = 0.0, a = 0.0, b = 0.0;
};
struct Oklab {  // L 0..1
  double L = 0.0, a = 0.0, b = 0.0;
};
struct Lch {  // polar form of Lab or Oklab
  double L = 0.0, chroma = 0.0, hue_rad = 0.0;  // hue in [0, 2 pi), 0 when chroma is 0
};

enum class White : std::uint8_t { kD65, kD50 };

[[nodiscard]] Xyz WhiteXyz(White white);

// Transfer curve, 0..1 to 0..1; odd beyond, so out-of-gamut values survive a round trip.
[[nodiscard]] double LinearFromStored(double stored);
[[nodiscard]] double StoredFromLinear(double linear);
// LinearFromStored(i / 255), float precision.
[[nodiscard]] const std::array<float, 256>& LinearTable();

[[nodiscard]] LinearRgb ToLinear(Rgb8 colour);
// Nearest stored colour; values outside the gamut are clipped channel by channel.
[[nodiscard]] Rgb8 ToRgb8(const LinearRgb& colour);
[[nodiscard]] bool InGamut(const LinearRgb& colour, double slack = 1e-9);

[[nodiscard]] Xyz ToXyz(const LinearRgb& colour);  // relative to D65
[[nodiscard]] LinearRgb ToLinear(const Xyz& xyz_d65);
// Linear Bradford adaptation of a colour seen under `from` to `to`.
[[nodiscard]] Xyz Adapt(const Xyz& xyz, White from, White to);

[[nodiscard]] Lab ToLab(const Xyz& xyz, White white);
[[nodiscard]] Xyz ToXyz(const Lab& lab, White white);
// sRGB to L*a*b* relative to D65, or adapted to D50 (the white of ICC profiles and printed tables).
// The two differ by several units: red has L* 53.24 against 54.29.
[[nodiscard]] Lab ToLab(Rgb8 colour, White white = White::kD65);

// OKLab: B. Ottosson, "A perceptual color space for image processing" (2020), matrices as first published.
[[nodiscard]] Oklab ToOklab(const Xyz& xyz_d65);
[[nodiscard]] Oklab ToOklab(Rgb8 colour);
[[nodiscard]] Xyz ToXyz(const Oklab& oklab);  // D65

[[nodiscard]] Lch ToLch(const Lab& lab);
[[nodiscard]] Lch ToLch(const Oklab& oklab);
[[nodiscard]] Lab LabFromLch(const Lch& lch);
[[nodiscard]] Oklab OklabFromLch(const Lch& lch);

}  // namespace armslength
