#include <filesystem>

#include <unistd.h>

#include <gtest/gtest.h>

#include "picture/picture.h"
#include "report/guides.h"
#include "support/files.h"

namespace armslength {
namespace {

// A small picture of its own lies where it belongs, on nothing, and keeps its bytes.
TEST(GuidePreview, LiesInRegisterOnATransparentPicture) {
  Guide guide{"preview.cloth.pattern.sleeve", "Preview", {}};
  guide.preview = GuideImage{7, 5, {3, 2, {10, 20, 30, 255, 40, 50, 60, 200, 0, 0, 0, 0,  //
                                          70, 80, 90, 224, 1, 2, 3, 4, 250, 251, 252, 253}}};
  const auto png = GuidePng(guide, 20, 12);
  ASSERT_TRUE(png);
  EXPECT_EQ(GuideSvg(guide, 20, 12).value(), "");
  const auto folder = std::filesystem::temp_directory_path() / ("armslength_preview_" + std::to_string(::getpid()));
  std::filesystem::create_directories(folder);
  const auto write = [&](const char* name, const std::string& bytes) {
    const auto file = folder / name;
    EXPECT_TRUE(WriteFileAtomic(file, bytes));
    return file;
  };
  const auto picture = LoadPicture(write("preview.png", *png));
  ASSERT_TRUE(picture);
  ASSERT_EQ(picture->image.width, 20);
  ASSERT_EQ(picture->image.height, 12);
  for (int y = 0; y < 12; ++y)
    for (int x = 0; x < 20; ++x) {
      const std::uint8_t* p = picture->image.At(x, y);
      const bool inside = x >= 7 && x < 10 && y >= 5 && y < 7;
      if (!inside) {
        EXPECT_EQ(p[3], 0) << x << "," << y;
        continue;
      }
      const std::uint8_t* own = guide.preview->image.At(x - 7, y - 5);
      EXPECT_EQ(p[3], own[3]);
      if (own[3] == 255) {
        EXPECT_EQ(p[0], own[0]);
      }
    }
  const auto ora = GuidesOpenRaster({guide}, 20, 12);
  ASSERT_TRUE(ora);
  PictureOptions options;
  options.load_layers = true;
  const auto layered = LoadPicture(write("preview.ora", *ora), options);
  ASSERT_TRUE(layered);
  ASSERT_EQ(layered->layers.size(), 1U);
  EXPECT_EQ(layered->layers[0].name, "Preview");
  EXPECT_EQ(layered->layers[0].x, 7);
  EXPECT_EQ(layered->layers[0].y, 5);
  std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace armslength
