#include "check/pixels/paints.h"

#include <gtest/gtest.h>

namespace armslength {
namespace {

TEST(Paints, LightAndShadowOfOnePaintStayTogether) {
  const auto times = [](const Rgb8& c, double by) {
    const auto part = [&](std::uint8_t v) { return static_cast<std::uint8_t>(static_cast<double>(v) * by); };
    return ToOklab(Rgb8{part(c.r), part(c.g), part(c.b)});
  };
  const Rgb8 red{190, 60, 60}, white{250, 245, 240}, blue{60, 80, 170};
  std::vector<Oklab> pixels;
  for (int i = 0; i < 40; ++i)
    for (const Rgb8& c : {red, white, blue})
      for (const double shadow : {1.0, 0.68}) pixels.push_back(times(c, shadow));
  std::size_t count = 0;
  const std::vector<std::uint8_t> paint = Paints(pixels, count);
  EXPECT_EQ(count, 3u);
  ASSERT_EQ(paint.size(), pixels.size());
  for (std::size_t i = 0; i + 6 <= paint.size(); i += 6) {
    for (const std::size_t k : {0u, 2u, 4u}) EXPECT_EQ(paint[i + k], paint[i + k + 1]);
    EXPECT_NE(paint[i], paint[i + 2]);
    EXPECT_NE(paint[i], paint[i + 4]);
    EXPECT_NE(paint[i + 2], paint[i + 4]);
  }
}

}  // namespace
}  // namespace armslength
