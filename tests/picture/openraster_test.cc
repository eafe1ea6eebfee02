#include <cmath>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "picture/composite.h"
#include "picture/make_pictures.h"

namespace armslength {
namespace {

using namespace testing;
using ::testing::HasSubstr;

ImageRgba8 Flat(int w, int h, std::uint8_t r, std::uint8_t g, std::uint8_t b, std::uint8_t a = 255) {
  ImageRgba8 image{w, h, {}};
  for (int i = 0; i < w * h; ++i) image.pixels.insert(image.pixels.end(), {r, g, b, a});
  return image;
}

std::string Ora(const std::string& stack, const std::vector<std::pair<std::string, std::string>>& more, bool deflate = false) {
  std::vector<std::pair<std::string, std::string>> entries{{"mimetype", "image/openraster"}};
  if (!stack.empty()) entries.emplace_back("stack.xml", stack);
  entries.insert(entries.end(), more.begin(), more.end());
  return MakeZip(entries, deflate);
}

// What the archive library, which did not write it, sees in the file.
std::vector<std::pair<std::string, std::string>> Unzip(const std::string& bytes) {
  std::vector<std::pair<std::string, std::string>> entries;
  archive* zip = archive_read_new();
  archive_read_support_format_zip(zip);
  EXPECT_EQ(archive_read_open_memory(zip, bytes.data(), bytes.size()), ARCHIVE_OK);
  archive_entry* entry = nullptr;
  while (archive_read_next_header(zip, &entry) == ARCHIVE_OK) {
    std::string content(static_cast<std::size_t>(archive_entry_size(entry)), '\0');
    EXPECT_EQ(archive_read_data(zip, content.data(), content.size()), static_cast<la_ssize_t>(content.size()));
    entries.emplace_back(archive_entry_pathname(entry), content);
  }
  archive_read_free(zip);
  return entries;
}

// OpenRaster 0.0.6, "File Layout": mimetype first and stored, stack.xml, mergedimage.png,
// Thumbnails/thumbnail.png of at most 256 px, layers under data/.
TEST(OpenRaster, WrittenFilesKeepTheStandard) {
  const ImageRgba8 ground = Sample(600, 300), marks = Sample(100, 50, true, 4);
  const auto bytes = EncodeOpenRaster(600, 300, {{"ground", &ground}, {"guides <& \"quotes\">", &marks, 450, -20, 0.5, true}, {"off", &marks, 0, 0, 1.0, false}});
  ASSERT_TRUE(bytes);
  EXPECT_EQ(bytes->substr(30, 8), "mimetype");  // no extra field before the content
  EXPECT_EQ(bytes->substr(38, 16), "image/openraster");
  const auto entries = Unzip(*bytes);
  ASSERT_EQ(entries.size(), 7u);
  EXPECT_EQ(entries[0], (std::pair<std::string, std::string>{"mimetype", "image/openraster"}));
  EXPECT_EQ(entries[1].first, "stack.xml");
  EXPECT_LT(entries[1].second.find("off"), entries[1].second.find("ground"));  // top first
  EXPECT_EQ(entries[2].first.substr(0, 5), "data/");
  bool merged = false, thumbnail = false;
  for (const auto& [name, content] : entries) {
    if (name == "mergedimage.png") merged = Load(content)->image.width == 600;
    if (name == "Thumbnails/thumbnail.png") thumbnail = Load(content)->image.width == 256 && Load(content)->image.height == 128;
  }
  EXPECT_TRUE(merged);
  EXPECT_TRUE(thumbnail);
  EXPECT_EQ(*EncodeOpenRaster(600, 300, {{"ground", &ground}}), *EncodeOpenRaster(600, 300, {{"ground", &ground}}));
}

TEST(OpenRaster, RoundTrip) {
  const ImageRgba8 ground = Sample(120, 80), marks = Sample(50, 30, true, 4);
  const auto bytes = EncodeOpenRaster(120, 80, {{"ground", &ground}, {"guides", &marks, 90, -10, 0.5, true}, {"off", &marks, 0, 0, 1.0, false}});
  PictureOptions options;
  options.load_layers = true;
  const auto picture = Load(*bytes, options);
  ASSERT_TRUE(picture) << picture.error().Text();
  EXPECT_EQ(picture->facts.format, "openraster");
  ASSERT_EQ(picture->layers.size(), 3u);
  EXPECT_EQ(picture->layers[0].name, "ground");
  EXPECT_EQ(picture->layers[1].x, 90);
  EXPECT_EQ(picture->layers[1].y, -10);
  EXPECT_NEAR(picture->layers[1].opacity, 0.5, 1e-9);
  EXPECT_FALSE(picture->layers[2].visible);
  EXPECT_EQ(picture->layers[2].blend, "svg:src-over");
  EXPECT_EQ(Worst(picture->layers[1].image, marks), 0);
  EXPECT_FALSE(HasNote(picture->facts, "differs"));
  // Uncovered, covered and half covered by hand: over = (1 - a) * below + a * above, a = 0.5 * alpha.
  EXPECT_EQ(0, std::memcmp(picture->image.At(5, 5), ground.At(5, 5), 4));
  for (const auto& [x, y] : {std::pair{95, 3}, {119, 0}, {100, 19}}) {
    const std::uint8_t *above = marks.At(x - 90, y + 10), *below = ground.At(x, y);
    const double a = 0.5 * above[3] / 255.0;
    for (int c = 0; c < 3; ++c) EXPECT_NEAR(picture->image.At(x, y)[c], (1.0 - a) * below[c] + a * above[c], 0.51);
  }
  const auto plain = Load(*bytes);
  ASSERT_TRUE(plain);
  EXPECT_TRUE(plain->layers.empty());
  EXPECT_EQ(Worst(plain->image, picture->image), 0);
}

TEST(OpenRaster, WithoutMergedPictureItIsPutTogether) {
  const std::string red = MakePng(Flat(20, 10, 200, 0, 0)), blue = MakePng(Flat(10, 10, 0, 0, 100));
  const auto picture = Load(Ora("<image w='20' h='10'><stack><stack name='Figure' opacity='0.5'><layer name='b' src='data/b.png' x='10'/>"
                                "<layer name='b2' src='data/b.png' x='10'/></stack><layer name='r' src='data/r.png'/></stack></image>",
                                {{"data/r.png", red}, {"data/b.png", blue}}, true));
  ASSERT_TRUE(picture) << picture.error().Text();
  EXPECT_TRUE(HasNote(picture->facts, "put together from the layers"));
  EXPECT_EQ(picture->image.At(3, 3)[0], 200);
  // The group is put together first: twice the same blue is that blue, then half of it.
  EXPECT_EQ(picture->image.At(15, 3)[0], 100);
  EXPECT_EQ(picture->image.At(15, 3)[2], 50);
}

TEST(OpenRaster, GroupsGiveTheirLayersNamesOpacityAndVisibility) {
  const std::string dot = MakePng(Flat(4, 4, 10, 20, 30));
  PictureOptions options;
  options.load_layers = true;
  const auto picture = Load(Ora("<?xml version='1.0'?><image w='4' h='4'><stack><layer name='top' src='data/d.png' composite-op='svg:multiply'/>"
                                "<stack name='Figure' opacity='0.5'><stack name='Head' visibility='hidden'><layer name='eye' src='data/d.png' opacity='0.5'/></stack>"
                                "<layer name='body' src='data/d.png'/></stack></stack></image>",
                                {{"data/d.png", dot}}), options);
  ASSERT_TRUE(picture) << picture.error().Text();
  ASSERT_EQ(picture->layers.size(), 3u);
  EXPECT_EQ(picture->layers[0].name, "body");
  EXPECT_EQ(picture->layers[0].group, "Figure");
  EXPECT_EQ(picture->layers[1].group, "Figure/Head");
  EXPECT_NEAR(picture->layers[1].opacity, 0.25, 1e-12);
  EXPECT_FALSE(picture->layers[1].visible);
  EXPECT_EQ(picture->layers[2].blend, "svg:multiply");
}

TEST(OpenRaster, StaleMergedPictureIsNoted) {
  PictureOptions options;
  options.load_layers = true;
  const std::string stack = "<image w='8' h='8'><stack><layer name='r' src='data/r.png'/></stack></image>";
  const auto picture = Load(Ora(stack, {{"data/r.png", MakePng(Flat(8, 8, 200, 0, 0))}, {"mergedimage.png", MakePng(Flat(8, 8, 0, 200, 0))}}), options);
  ASSERT_TRUE(picture);
  EXPECT_TRUE(HasNote(picture->facts, "differs from its layers in 100.0 %"));
  EXPECT_EQ(picture->image.At(0, 0)[1], 200);
  const auto size = Load(Ora(stack, {{"data/r.png", MakePng(Flat(8, 8, 1, 2, 3))}, {"mergedimage.png", MakePng(Flat(9, 8, 0, 200, 0))}}));
  ASSERT_TRUE(size);
  EXPECT_TRUE(HasNote(size->facts, "9 x 8 but stack.xml says 8 x 8"));
}

// Expected values worked out by hand from W3C Compositing and Blending Level 1, section 10, for an
// opaque backdrop (0.8, 0.4, 0.2) and source (0.6, 0.2, 0.4) - bytes 204 102 51 and 153 51 102.
TEST(Composite, BlendModesByTheStandard) {
  struct Case {
    const char* op;
    double r, g, b;
  };
  const Case cases[] = {{"svg:src-over", 0.6, 0.2, 0.4},   {"svg:multiply", 0.48, 0.08, 0.08}, {"svg:screen", 0.92, 0.52, 0.52},
                        {"svg:overlay", 0.84, 0.16, 0.16}, {"svg:darken", 0.6, 0.2, 0.2},      {"svg:lighten", 0.8, 0.4, 0.4},
                        {"svg:color-dodge", 1.0, 0.5, 1.0 / 3.0}, {"svg:color-burn", 2.0 / 3.0, 0.0, 0.0},
                        {"svg:hard-light", 0.84, 0.16, 0.16}, {"svg:difference", 0.2, 0.2, 0.2}, {"svg:plus", 1.0, 0.6, 0.6},
                        {"svg:soft-light", 0.8 + 0.2 * (std::sqrt(0.8) - 0.8), 0.4 - 0.6 * 0.4 * 0.6, 0.2 - 0.2 * 0.2 * 0.8},
                        // lum(backdrop) 0.498, lum(source) 0.342, chroma of both: 0.6 and 0.4
                        {"svg:color", 0.756, 0.356, 0.556}, {"svg:luminosity", 0.644, 0.244, 0.044},
                        {"svg:src-atop", 0.6, 0.2, 0.4}, {"svg:no-such", 0.6, 0.2, 0.4}};
  for (const auto& expected : cases) {
    SCOPED_TRACE(expected.op);
    std::vector<Layer> layers(2);
    layers[0].image = Flat(1, 1, 204, 102, 51);
    layers[1].image = Flat(1, 1, 153, 51, 102);
    layers[1].blend = expected.op;
    std::vector<std::string> notes;
    const ImageRgba8 merged = CompositeLayers(1, 1, layers, &notes);
    EXPECT_NEAR(merged.pixels[0], 255 * expected.r, 0.8);
    EXPECT_NEAR(merged.pixels[1], 255 * expected.g, 0.8);
    EXPECT_NEAR(merged.pixels[2], 255 * expected.b, 0.8);
    EXPECT_EQ(merged.pixels[3], 255);
    EXPECT_EQ(notes.size(), KnownBlend(expected.op) ? 0u : 1u);
    // Half of any of them is half way from the backdrop (section 10.1, opaque backdrop); plus adds half.
    layers[1].opacity = 0.5;
    const ImageRgba8 half = CompositeLayers(1, 1, layers, nullptr);
    if (std::string(expected.op) != "svg:plus") {
      EXPECT_NEAR(half.pixels[0], 0.5 * (204 + 255 * expected.r), 1.0);
    }
  }
}

TEST(Composite, CoverageOperatorsByTheStandard) {
  // Porter-Duff, section 9.1: backdrop alpha 0.6, source alpha 0.4; alpha of the result.
  const std::pair<const char*, double> cases[] = {{"svg:src-over", 0.76}, {"svg:dst-in", 0.24}, {"svg:dst-out", 0.36},
                                                  {"svg:src-atop", 0.6}, {"svg:dst-atop", 0.4}, {"svg:plus", 1.0}};
  for (const auto& [op, alpha] : cases) {
    SCOPED_TRACE(op);
    std::vector<Layer> layers(2);
    layers[0].image = Flat(3, 1, 100, 100, 100, 153);
    layers[1].image = Flat(1, 1, 200, 200, 200, 102);
    layers[1].x = 1;
    layers[1].blend = op;
    const ImageRgba8 merged = CompositeLayers(3, 1, layers, nullptr);
    EXPECT_NEAR(merged.At(1, 0)[3], 255 * alpha, 0.51);
    const bool outside = std::string(op) == "svg:dst-in" || std::string(op) == "svg:dst-atop";
    for (const int x : {0, 2}) EXPECT_EQ(merged.At(x, 0)[3], outside ? 0 : 153);
  }
}

TEST(Composite, LayersMayLieAnywhere) {
  const ImageRgba8 ground = Flat(50, 40, 255, 255, 255);
  for (const int x : {-1000000, -60, -29, -1, 0, 20, 49, 50, 1000000})
    for (const int y : {-1000000, -30, -5, 0, 39, 40}) {
      std::vector<Layer> layers(2);
      layers[0].image = ground;
      layers[1].image = Flat(30, 20, 0, 0, 0);
      layers[1].x = x;
      layers[1].y = y;
      const ImageRgba8 merged = CompositeLayers(50, 40, layers, nullptr);
      int black = 0;
      for (std::size_t i = 0; i < merged.pixels.size(); i += 4) black += merged.pixels[i] == 0;
      const auto overlap = [](long at, long size, long space) { return std::max(0L, std::min(space, at + size) - std::max(0L, at)); };
      ASSERT_EQ(black, overlap(x, 30, 50) * overlap(y, 20, 40)) << x << " " << y;
    }
}

}  // namespace
}  // namespace armslength
