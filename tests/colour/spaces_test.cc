#include "colour/spaces.h"

#include <cmath>
#include <cstdio>

#include <gtest/gtest.h>
#include <lcms2.h>

#include "colour/difference.h"
#include "geometry/csv_table.h"

namespace armslength {
namespace {

using testing::CsvRow;
using testing::ReadCsv;

Rgb8 Stored(const CsvRow& row) {
  return {static_cast<std::uint8_t>(row.Number("R")), static_cast<std::uint8_t>(row.Number("G")), static_cast<std::uint8_t>(row.Number("B"))};
}

// Every file states its own source and tolerance at its head.
TEST(Spaces, PublishedLabValuesOfBothWhites) {
  int seen = 0;
  for (const auto& row : ReadCsv("colour/srgb_lab_published.csv")) {
    SCOPED_TRACE(row.Text("name") + " " + row.Text("white"));
    const bool d65 = row.Text("white") == "D65";
    const Lab lab = ToLab(Stored(row), d65 ? White::kD65 : White::kD50);
    EXPECT_NEAR(lab.L, row.Number("L"), d65 ? 0.01 : 0.02);
    EXPECT_NEAR(lab.a, row.Number("a"), d65 ? 0.01 : 0.05);
    EXPECT_NEAR(lab.b, row.Number("b"), d65 ? 0.01 : 0.05);
    ++seen;
  }
  EXPECT_EQ(seen, 17);
}

TEST(Spaces, EveryStepFromTheStandardsConstants) {
  int seen = 0;
  for (const auto& row : ReadCsv("colour/srgb_xyz_lab_computed.csv")) {
    SCOPED_TRACE(row.Text("name"));
    const LinearRgb linear = ToLinear(Stored(row));
    EXPECT_NEAR(linear.r, row.Number("Rlin"), 1e-8);
    EXPECT_NEAR(linear.g, row.Number("Glin"), 1e-8);
    EXPECT_NEAR(linear.b, row.Number("Blin"), 1e-8);
    const Xyz d65 = ToXyz(linear), d50 = Adapt(d65, White::kD65, White::kD50);
    EXPECT_NEAR(d65.x, row.Number("X65"), 1e-7);
    EXPECT_NEAR(d65.y, row.Number("Y65"), 1e-7);
    EXPECT_NEAR(d65.z, row.Number("Z65"), 1e-7);
    EXPECT_NEAR(d50.x, row.Number("X50"), 1e-6);
    EXPECT_NEAR(d50.y, row.Number("Y50"), 1e-6);
    EXPECT_NEAR(d50.z, row.Number("Z50"), 1e-6);
    const Lab lab65 = ToLab(Stored(row)), lab50 = ToLab(Stored(row), White::kD50);
    EXPECT_NEAR(lab65.L, row.Number("L_d65"), 1e-4);
    EXPECT_NEAR(lab65.a, row.Number("a_d65"), 1e-4);
    EXPECT_NEAR(lab65.b, row.Number("b_d65"), 1e-4);
    EXPECT_NEAR(lab50.L, row.Number("L_d50"), 1e-4);
    EXPECT_NEAR(lab50.a, row.Number("a_d50"), 2e-4);
    EXPECT_NEAR(lab50.b, row.Number("b_d50"), 2e-4);
    const Oklab ok = ToOklab(Stored(row));
    EXPECT_NEAR(ok.L, row.Number("ok_L"), 1e-6);
    EXPECT_NEAR(ok.a, row.Number("ok_a"), 1e-6);
    EXPECT_NEAR(ok.b, row.Number("ok_b"), 1e-6);
    ++seen;
  }
  EXPECT_EQ(seen, 13);
}

TEST(Spaces, OklabMeetsItsAuthorsPairs) {
  const auto rows = ReadCsv("colour/oklab_xyz_pairs.csv");
  ASSERT_EQ(rows.size(), 4u);
  for (const auto& row : rows) {
    const Oklab ok = ToOklab(Xyz{row.Number("X"), row.Number("Y"), row.Number("Z")});
    EXPECT_NEAR(ok.L, row.Number("L"), 6e-4);
    EXPECT_NEAR(ok.a, row.Number("a"), 6e-4);
    EXPECT_NEAR(ok.b, row.Number("b"), 6e-4);
  }
}

// The chart's two nominal lists do not coincide; the differences between them were computed with
// another implementation and stand in the file, so both the conversion and the formula are tested.
TEST(Spaces, ChartOf24Patches) {
  const auto rows = ReadCsv("colour/chart_24_patches.csv");
  ASSERT_EQ(rows.size(), 24u);
  for (const auto& row : rows) {
    SCOPED_TRACE(row.Text("name"));
    char hex[8];
    const Rgb8 stored = Stored(row);
    std::snprintf(hex, sizeof hex, "%02x%02x%02x", stored.r, stored.g, stored.b);
    EXPECT_EQ(hex, row.Text("srgb_hex"));
    const Lab chart{row.Number("L_d50"), row.Number("a_d50"), row.Number("b_d50")};
    EXPECT_NEAR(DeltaE2000(ToLab(stored, White::kD50), chart), row.Number("dE00_srgb_vs_lab"), 0.006);
  }
}

TEST(Spaces, RoundTripsComeBack) {
  for (int r = 0; r < 256; r += 15)
    for (int g = 0; g < 256; g += 15)
      for (int b = 0; b < 256; b += 15) {
        const Rgb8 colour{static_cast<std::uint8_t>(r), static_cast<std::uint8_t>(g), static_cast<std::uint8_t>(b)};
        for (const White white : {White::kD65, White::kD50}) {
          const Xyz xyz = Adapt(ToXyz(ToLab(colour, white), white), white, White::kD65);
          ASSERT_EQ(ToRgb8(ToLinear(xyz)), colour);
        }
        ASSERT_EQ(ToRgb8(ToLinear(ToXyz(OklabFromLch(ToLch(ToOklab(colour)))))), colour);
        ASSERT_TRUE(InGamut(ToLinear(ToXyz(ToLab(colour), White::kD65)), 1e-6));
      }
  EXPECT_FALSE(InGamut(ToLinear(ToXyz(Lab{50.0, -100.0, 0.0}, White::kD65))));
}

// Little CMS is an independent implementation of the ICC and CIE formulas.
TEST(Spaces, LittleCmsAgrees) {
  const cmsHPROFILE srgb = cmsCreate_sRGBProfile(), lab = cmsCreateLab4Profile(nullptr);
  const cmsHTRANSFORM transform =
      cmsCreateTransform(srgb, TYPE_RGB_8, lab, TYPE_Lab_DBL, INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOOPTIMIZE);
  ASSERT_NE(transform, nullptr);
  double worst = 0.0;
  for (int r = 0; r < 256; r += 17)
    for (int g = 0; g < 256; g += 17)
      for (int b = 0; b < 256; b += 17) {
        const std::uint8_t in[3] = {static_cast<std::uint8_t>(r), static_cast<std::uint8_t>(g), static_cast<std::uint8_t>(b)};
        cmsCIELab out;
        cmsDoTransform(transform, in, &out, 1);
        const Lab ours = ToLab(Rgb8{in[0], in[1], in[2]}, White::kD50);
        worst = std::max(worst, DeltaE2000(ours, {out.L, out.a, out.b}));
        // And the library's own CIEDE2000 against ours, on a pair that is not tiny.
        const cmsCIELab other{out.L * 0.9 + 3.0, out.a * 0.8 - 4.0, out.b + 6.0};
        ASSERT_NEAR(DeltaE2000({out.L, out.a, out.b}, {other.L, other.a, other.b}), cmsCIE2000DeltaE(&out, &other, 1, 1, 1), 1e-6);
      }
  EXPECT_LT(worst, 0.1);
  cmsDeleteTransform(transform);
  cmsCloseProfile(srgb);
  cmsCloseProfile(lab);
}

TEST(Difference, The34PublishedPairs) {
  const auto rows = ReadCsv("colour/ciede2000_34_pairs.csv");
  ASSERT_EQ(rows.size(), 34u);
  for (const auto& row : rows) {
    SCOPED_TRACE("pair " + row.Text("pair"));
    const Lab one{row.Number("L1"), row.Number("a1"), row.Number("b1")}, other{row.Number("L2"), row.Number("a2"), row.Number("b2")};
    EXPECT_NEAR(DeltaE2000(one, other), row.Number("dE00"), 1e-4);
    EXPECT_NEAR(DeltaE2000(other, one), DeltaE2000(one, other), 1e-12);
    EXPECT_EQ(DeltaE2000(one, one), 0.0);
  }
}

Rgb8 FromHex(const std::string& hex) {
  const auto value = std::stoul(hex, nullptr, 16);
  return {static_cast<std::uint8_t>(value >> 16), static_cast<std::uint8_t>(value >> 8 & 255), static_cast<std::uint8_t>(value & 255)};
}

TEST(Difference, WcagContrast) {
  int published = 0;
  for (const auto& row : ReadCsv("colour/wcag_contrast.csv")) {
    SCOPED_TRACE(row.Text("foreground_hex") + " on " + row.Text("background_hex"));
    const Rgb8 front = FromHex(row.Text("foreground_hex")), back = FromHex(row.Text("background_hex"));
    EXPECT_NEAR(RelativeLuminance(front), row.Number("lum_fg"), 1e-6);
    EXPECT_NEAR(RelativeLuminance(back), row.Number("lum_bg"), 1e-6);
    EXPECT_NEAR(ContrastRatio(front, back), row.Number("ratio_computed"), 1e-6);
    EXPECT_EQ(ContrastRatio(front, back), ContrastRatio(back, front));
    const std::string& printed = row.Text("ratio_published");
    if (const auto colon = printed.find(":1"); colon != std::string::npos) {
      EXPECT_NEAR(ContrastRatio(front, back), std::stod(printed), 0.005);
      ++published;
    }
  }
  EXPECT_EQ(published, 11);
}

}  // namespace
}  // namespace armslength
