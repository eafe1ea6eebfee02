#include <algorithm>
#include <chrono>
#include <cmath>
#include <thread>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "colour/spaces.h"
#include "picture/make_pictures.h"
#include "support/files.h"

namespace armslength {
namespace {

using namespace testing;
using ::testing::HasSubstr;

ImageRgba8 GreyOf(ImageRgba8 image) {
  for (std::size_t i = 0; i < image.pixels.size(); i += 4) image.pixels[i + 1] = image.pixels[i + 2] = image.pixels[i];
  return image;
}

ImageRgba8 Opaque(ImageRgba8 image) {
  for (std::size_t i = 3; i < image.pixels.size(); i += 4) image.pixels[i] = 255;
  return image;
}

TEST(LoadPng, EveryLayoutComesBackExactly) {
  const ImageRgba8 image = Sample(61, 47, true);
  for (const int type : {PNG_COLOR_TYPE_RGBA, PNG_COLOR_TYPE_RGB, PNG_COLOR_TYPE_GRAY, PNG_COLOR_TYPE_GRAY_ALPHA})
    for (const int bits : {8, 16})
      for (const bool interlaced : {false, true})
        for (const bool srgb : {false, true}) {
          SCOPED_TRACE(fmt::format("type {} bits {} interlaced {} srgb {}", type, bits, interlaced, srgb));
          PngKind kind;
          kind.type = type;
          kind.bits = bits;
          kind.interlaced = interlaced;
          kind.srgb = srgb;
          const auto picture = Load(MakePng(image, kind));
          ASSERT_TRUE(picture) << picture.error().Text();
          ImageRgba8 expected = (type & PNG_COLOR_MASK_COLOR) ? image : GreyOf(image);
          if (!(type & PNG_COLOR_MASK_ALPHA)) expected = Opaque(expected);
          EXPECT_EQ(Worst(picture->image, expected), 0);
          EXPECT_EQ(picture->facts.bit_depth, bits);
          EXPECT_EQ(picture->facts.has_alpha, (type & PNG_COLOR_MASK_ALPHA) != 0);
          EXPECT_EQ(picture->facts.format, "png");
          EXPECT_EQ(HasNote(picture->facts, "no colour profile: sRGB assumed"), !srgb);
          EXPECT_EQ(HasNote(picture->facts, "16 bits"), bits == 16);
        }
}

TEST(LoadPng, EveryRowFilterAtEveryWidth) {
  for (const int width : {1, 2, 3, 4, 5, 7, 15, 16, 17, 31, 33, 100})
    for (const int type : {PNG_COLOR_TYPE_RGBA, PNG_COLOR_TYPE_RGB, PNG_COLOR_TYPE_GRAY})
      for (const int filters : {PNG_FILTER_NONE, PNG_FILTER_SUB, PNG_FILTER_UP, PNG_FILTER_AVG, PNG_FILTER_PAETH, PNG_ALL_FILTERS}) {
        SCOPED_TRACE(fmt::format("width {} type {} filters {}", width, type, filters));
        ImageRgba8 image{width, 23, std::vector<std::uint8_t>(Bytes(width, 23, 4))};
        std::mt19937 random(static_cast<unsigned>(width));
        for (auto& v : image.pixels) v = static_cast<std::uint8_t>(random() % 4 ? random() % 12 : random());
        PngKind kind;
        kind.type = type;
        kind.filters = filters;
        const auto picture = Load(MakePng(image, kind));
        ASSERT_TRUE(picture) << picture.error().Text();
        ImageRgba8 expected = type == PNG_COLOR_TYPE_GRAY ? GreyOf(image) : image;
        if (type != PNG_COLOR_TYPE_RGBA) expected = Opaque(expected);
        ASSERT_EQ(Worst(picture->image, expected), 0);
      }
}

TEST(LoadPng, PalettesAndTransparentColours) {
  PngKind kind;
  kind.type = PNG_COLOR_TYPE_PALETTE;
  kind.palette = {{10, 20, 30}, {200, 100, 50}, {0, 255, 0}, {7, 7, 7}};
  kind.palette_alpha = {255, 128, 0};
  kind.bits = 2;
  const auto picture = Load(MakePng(4, 1, {0b00011011}, kind));
  ASSERT_TRUE(picture) << picture.error().Text();
  const std::vector<std::uint8_t> expected{10, 20, 30, 255, 200, 100, 50, 128, 0, 255, 0, 0, 7, 7, 7, 255};
  EXPECT_EQ(picture->image.pixels, expected);
  EXPECT_TRUE(picture->facts.has_alpha);

  PngKind grey;
  grey.type = PNG_COLOR_TYPE_GRAY;
  grey.bits = 1;
  grey.transparent = png_color_16{0, 0, 0, 0, 1};
  const auto bits = Load(MakePng(4, 1, {0b10100000}, grey));
  ASSERT_TRUE(bits);
  EXPECT_EQ(bits->image.pixels, (std::vector<std::uint8_t>{255, 255, 255, 0, 0, 0, 0, 255, 255, 255, 255, 0, 0, 0, 0, 255}));
}

// What a value in the wide profile should become, by our own colour module.
Rgb8 FromWide(const std::uint8_t* p) {
  // Matrix of BT.2020 primaries and D65: ITU-R BT.2087 (values from memory), RGB to XYZ.
  const double r = std::pow(p[0] / 255.0, 2.0), g = std::pow(p[1] / 255.0, 2.0), b = std::pow(p[2] / 255.0, 2.0);
  return ToRgb8(ToLinear(Xyz{0.636958 * r + 0.144617 * g + 0.168881 * b, 0.262700 * r + 0.677998 * g + 0.059302 * b,
                             0.000000 * r + 0.028073 * g + 1.060985 * b}));
}

TEST(LoadPng, EmbeddedProfilesAreHonoured) {
  // Muted colours, inside both gamuts, so that nothing is clipped.
  ImageRgba8 image = Sample(40, 30, true);
  for (std::size_t i = 0; i < image.pixels.size(); ++i)
    if (i % 4 != 3) image.pixels[i] = static_cast<std::uint8_t>(110 + image.pixels[i] / 5);
  for (const int bits : {8, 16})
    for (const bool interlaced : {false, true}) {
      PngKind kind;
      kind.bits = bits;
      kind.interlaced = interlaced;
      kind.icc = WideProfile();
      const auto picture = Load(MakePng(image, kind));
      ASSERT_TRUE(picture) << picture.error().Text();
      EXPECT_TRUE(picture->facts.profile_embedded);
      EXPECT_TRUE(HasNote(picture->facts, "relative colorimetric with black point compensation"));
      ImageRgba8 expected = image;
      for (std::size_t i = 0; i < image.pixels.size(); i += 4) {
        const Rgb8 c = FromWide(&image.pixels[i]);
        expected.pixels[i] = c.r, expected.pixels[i + 1] = c.g, expected.pixels[i + 2] = c.b;
      }
      EXPECT_LE(Worst(picture->image, expected), 1);
      EXPECT_GT(Worst(picture->image, image), 5);  // it did something
      kind.icc = SrgbProfile();
      const auto same = Load(MakePng(image, kind));
      ASSERT_TRUE(same);
      EXPECT_EQ(Worst(same->image, image), 0);
      EXPECT_TRUE(same->facts.profile_embedded);
      EXPECT_FALSE(HasNote(same->facts, "converted"));
    }
}

TEST(LoadPng, GreyProfilesAndGammaValues) {
  const ImageRgba8 image = GreyOf(Opaque(Sample(50, 3)));
  for (const int bits : {8, 16}) {
    PngKind kind;
    kind.type = PNG_COLOR_TYPE_GRAY;
    kind.bits = bits;
    kind.icc = GreyProfile(1.0);
    const auto linear = Load(MakePng(image, kind));
    ASSERT_TRUE(linear) << linear.error().Text();
    kind.icc.clear();
    kind.gamma = 1.0;  // the same light said another way
    const auto by_gamma = Load(MakePng(image, kind));
    ASSERT_TRUE(by_gamma);
    for (const auto* picture : {&*linear, &*by_gamma})
      for (int x = 0; x < 50; ++x) {
        const double expected = 255.0 * StoredFromLinear(image.At(x, 0)[0] / 255.0);
        EXPECT_NEAR(picture->image.At(x, 0)[1], expected, 1.6) << x << " bits " << bits;
      }
    kind.gamma = 0.45455;
    const auto srgb = Load(MakePng(image, kind));
    ASSERT_TRUE(srgb);
    EXPECT_EQ(Worst(srgb->image, image), 0);
  }
}

TEST(Load, BrokenOrForeignProfileIsNotedAndLeftOut) {
  const ImageRgba8 image = Sample(20, 20);
  for (const std::string& icc : {WideProfile().substr(0, 150), std::string(600, 'x'), GreyProfile(1.0), InkProfile()}) {
    JpegKind jpeg;
    const auto plain = Load(MakeJpeg(image, jpeg));
    jpeg.icc = icc;
    const auto picture = Load(MakeJpeg(image, jpeg));
    ASSERT_TRUE(picture) << picture.error().Text();
    EXPECT_EQ(Worst(picture->image, plain->image), 0);
    EXPECT_EQ(picture->facts.profile, "sRGB (assumed)");
    EXPECT_TRUE(HasNote(picture->facts, "sRGB assumed"));
    TiffKind tiff;
    tiff.icc = icc;
    const auto other = Load(MakeTiff(image, tiff));
    ASSERT_TRUE(other) << other.error().Text();
    EXPECT_EQ(Worst(other->image, image), 0);
  }
}

// Independent statement of the eight orientations (TIFF 6.0, tag 274): where the pixel (x, y) of
// the upright picture lies in a file of w x h stored pixels.
std::pair<int, int> Stored(int orientation, int x, int y, int w, int h) {
  switch (orientation) {
    case 2: return {w - 1 - x, y};
    case 3: return {w - 1 - x, h - 1 - y};
    case 4: return {x, h - 1 - y};
    case 5: return {y, x};
    case 6: return {y, h - 1 - x};
    case 7: return {w - 1 - y, h - 1 - x};
    case 8: return {w - 1 - y, x};
    default: return {x, y};
  }
}

TEST(Load, AllEightOrientationsInEveryFormatThatHasThem) {
  const ImageRgba8 image = Sample(77, 45);
  JpegKind plain;
  const ImageRgba8 jpeg_pixels = Load(MakeJpeg(image, plain))->image;
  for (int orientation = 1; orientation <= 8; ++orientation) {
    JpegKind jpeg;
    jpeg.orientation = orientation;
    TiffKind tiff;
    tiff.orientation = orientation;
    PngKind png;
    png.exif = ExifOrientation(orientation);
    const std::pair<std::string, const ImageRgba8*> files[] = {
        {MakeJpeg(image, jpeg), &jpeg_pixels}, {MakeTiff(image, tiff), &image}, {MakePng(image, png), &image}, {MakeWebp(image, true, "", orientation), &image}};
    for (const auto& [bytes, stored] : files) {
      const auto picture = Load(bytes);
      ASSERT_TRUE(picture) << picture.error().Text();
      SCOPED_TRACE(picture->facts.format + " " + std::to_string(orientation));
      EXPECT_EQ(picture->facts.orientation, orientation);
      const bool turned = orientation >= 5;
      ASSERT_EQ(picture->image.width, turned ? 45 : 77);
      ASSERT_EQ(picture->image.height, turned ? 77 : 45);
      EXPECT_EQ(picture->facts.width, picture->image.width);
      int wrong = 0;
      for (int y = 0; y < picture->image.height; ++y)
        for (int x = 0; x < picture->image.width; ++x) {
          const auto [sx, sy] = Stored(orientation, x, y, 77, 45);
          wrong += std::memcmp(picture->image.At(x, y), stored->At(sx, sy), 4) != 0;
        }
      EXPECT_EQ(wrong, 0);
    }
  }
}

TEST(LoadJpeg, KindsAndProfiles) {
  const ImageRgba8 image = Sample(64, 48);
  for (const bool progressive : {false, true}) {
    JpegKind kind;
    kind.progressive = progressive;
    const auto picture = Load(MakeJpeg(image, kind));
    ASSERT_TRUE(picture);
    double mean = 0.0;
    for (std::size_t i = 0; i < image.pixels.size(); ++i) mean += std::abs(image.pixels[i] - picture->image.pixels[i]);
    EXPECT_LT(mean / static_cast<double>(image.pixels.size()), 2.0);
    EXPECT_EQ(picture->facts.channels, 3);
  }
  JpegKind grey;
  grey.space = JCS_GRAYSCALE;
  const auto plain = Load(MakeJpeg(image, grey));
  ASSERT_TRUE(plain);
  grey.icc = GreyProfile(1.0);
  const auto linear = Load(MakeJpeg(image, grey));
  ASSERT_TRUE(linear) << linear.error().Text();
  for (int x = 0; x < 64; ++x)
    EXPECT_NEAR(linear->image.At(x, 5)[2], 255.0 * StoredFromLinear(plain->image.At(x, 5)[0] / 255.0), 1.6);
  JpegKind wide;
  const ImageRgba8 stored = Load(MakeJpeg(image))->image;
  wide.icc = WideProfile();
  const auto converted = Load(MakeJpeg(image, wide));
  ASSERT_TRUE(converted);
  EXPECT_TRUE(converted->facts.profile_embedded);
  EXPECT_GT(Worst(converted->image, stored), 5);
}

// Solid inks; `stored` are the file's bytes. Files with the Adobe marker hold the missing ink; the
// JPEG library writes that marker for both ink spaces.
ImageRgba8 Inks(std::uint8_t c, std::uint8_t m, std::uint8_t y, std::uint8_t k) {
  ImageRgba8 image{16, 16, {}};
  for (int i = 0; i < 256; ++i) image.pixels.insert(image.pixels.end(), {c, m, y, k});
  return image;
}

TEST(LoadJpeg, InksWithAndWithoutProfile) {
  for (const J_COLOR_SPACE space : {JCS_CMYK, JCS_YCCK}) {
    JpegKind kind;
    kind.space = space;
    kind.quality = 100;
    const auto paper = Load(MakeJpeg(Inks(255, 255, 255, 255), kind)), cyan = Load(MakeJpeg(Inks(0, 255, 255, 255), kind)),
               black = Load(MakeJpeg(Inks(255, 255, 255, 0), kind));
    ASSERT_TRUE(paper && cyan && black);
    EXPECT_TRUE(HasNote(paper->facts, "CMYK inks without a usable colour profile"));
    for (int c = 0; c < 3; ++c) {
      EXPECT_GE(paper->image.pixels[static_cast<std::size_t>(c)], 252);
      EXPECT_LE(black->image.pixels[static_cast<std::size_t>(c)], 3);
    }
    EXPECT_LE(cyan->image.pixels[0], 3);
    EXPECT_GE(cyan->image.pixels[1], 252);
    kind.icc = InkProfile();
    const auto press = Load(MakeJpeg(Inks(0, 255, 255, 255), kind));
    ASSERT_TRUE(press) << press.error().Text();
    EXPECT_EQ(press->facts.profile, "Invented press");
    // The profile's cyan is L* 55.9, a* -10, b* -30; black point compensation moves it by little.
    const Lab lab = ToLab(Rgb8{press->image.pixels[0], press->image.pixels[1], press->image.pixels[2]}, White::kD50);
    EXPECT_NEAR(lab.L, 55.9, 4.0);
    EXPECT_NEAR(lab.a, -10.0, 3.0);
    EXPECT_NEAR(lab.b, -30.0, 3.0);
  }
  TiffKind tiff;
  tiff.photometric = PHOTOMETRIC_SEPARATED;  // here the bytes are ink
  const auto cyan = Load(MakeTiff(Inks(255, 0, 0, 0), tiff));
  ASSERT_TRUE(cyan) << cyan.error().Text();
  EXPECT_EQ(cyan->image.pixels[0], 0);
  EXPECT_EQ(cyan->image.pixels[1], 255);
  tiff.icc = InkProfile();
  const auto press = Load(MakeTiff(Inks(255, 0, 0, 0), tiff));
  ASSERT_TRUE(press);
  EXPECT_NEAR(ToLab(Rgb8{press->image.pixels[0], press->image.pixels[1], press->image.pixels[2]}, White::kD50).L, 55.9, 4.0);
}

TEST(LoadWebp, LosslessLossyAlphaAndProfile) {
  const ImageRgba8 image = Sample(70, 50, true);
  const auto exact = Load(MakeWebp(image));
  ASSERT_TRUE(exact) << exact.error().Text();
  EXPECT_EQ(Worst(exact->image, image), 0);
  EXPECT_TRUE(exact->facts.has_alpha);
  EXPECT_EQ(exact->facts.format, "webp");
  const auto lossy = Load(MakeWebp(Opaque(image), false));
  ASSERT_TRUE(lossy);
  EXPECT_FALSE(lossy->facts.has_alpha);
  const auto wide = Load(MakeWebp(image, true, WideProfile()));
  ASSERT_TRUE(wide);
  EXPECT_TRUE(wide->facts.profile_embedded);
  EXPECT_GT(Worst(wide->image, image, 3), 5);
  for (std::size_t i = 3; i < image.pixels.size(); i += 4) ASSERT_EQ(wide->image.pixels[i], image.pixels[i]);
}

TEST(LoadTiff, EveryLayoutComesBackExactly) {
  const ImageRgba8 image = Sample(53, 71, true);
  for (const int bits : {8, 16})
    for (const int photometric : {PHOTOMETRIC_RGB, PHOTOMETRIC_MINISBLACK})
      for (const int extra : {-1, EXTRASAMPLE_UNASSALPHA, EXTRASAMPLE_ASSOCALPHA})
        for (const int layout : {0, 1, 2, 3})
          for (const int compression : {COMPRESSION_NONE, COMPRESSION_LZW, COMPRESSION_ADOBE_DEFLATE, COMPRESSION_PACKBITS}) {
            SCOPED_TRACE(fmt::format("bits {} photometric {} extra {} layout {} compression {}", bits, photometric, extra, layout, compression));
            TiffKind kind;
            kind.bits = bits;
            kind.photometric = photometric;
            kind.extra = extra;
            kind.tiled = (layout & 1) != 0;
            kind.separate = (layout & 2) != 0;
            kind.compression = compression;
            const auto picture = Load(MakeTiff(image, kind));
            ASSERT_TRUE(picture) << picture.error().Text();
            ImageRgba8 expected = photometric == PHOTOMETRIC_RGB ? image : GreyOf(image);
            if (extra < 0) expected = Opaque(expected);
            EXPECT_EQ(picture->facts.has_alpha, extra >= 0);
            if (extra != EXTRASAMPLE_ASSOCALPHA) {
              ASSERT_EQ(Worst(picture->image, expected), 0);
              continue;
            }
            // Premultiplied 8-bit values have lost what a small alpha cannot hold.
            ASSERT_EQ(picture->image.pixels.size(), expected.pixels.size());
            for (std::size_t i = 0; i < expected.pixels.size(); i += 4) {
              const int alpha = expected.pixels[i + 3];
              ASSERT_EQ(picture->image.pixels[i + 3], alpha);
              if (alpha == 0) continue;
              for (std::size_t c = 0; c < 3; ++c)
                ASSERT_NEAR(picture->image.pixels[i + c], expected.pixels[i + c], bits == 16 ? 1.0 : 1.0 + 128.0 / alpha);
            }
          }
}

TEST(LoadTiff, PaletteWhiteIsZeroPagesAndFax) {
  const ImageRgba8 image = GreyOf(Opaque(Sample(40, 20)));
  TiffKind kind;
  kind.photometric = PHOTOMETRIC_PALETTE;
  const auto palette = Load(MakeTiff(image, kind));
  ASSERT_TRUE(palette) << palette.error().Text();
  for (int x = 0; x < 40; ++x) {
    const int v = image.At(x, 3)[0];
    EXPECT_EQ(palette->image.At(x, 3)[0], v);
    EXPECT_EQ(palette->image.At(x, 3)[1], 255 - v);
    EXPECT_EQ(palette->image.At(x, 3)[2], v / 2);
  }
  kind.photometric = PHOTOMETRIC_MINISWHITE;
  kind.pages = 3;
  const auto pages = Load(MakeTiff(image, kind));
  ASSERT_TRUE(pages);
  EXPECT_EQ(pages->image.At(7, 3)[0], 255 - image.At(7, 3)[0]);
  EXPECT_TRUE(HasNote(pages->facts, "3 pages: the first was read"));
  TiffKind wide;
  wide.icc = WideProfile();
  const auto converted = Load(MakeTiff(Sample(30, 30), wide));
  ASSERT_TRUE(converted);
  EXPECT_TRUE(HasNote(converted->facts, "relative colorimetric"));
}

TEST(LoadTiff, BigEndianFilesAndTallStrips) {
  const ImageRgba8 image = Sample(41, 37);
  for (const int bits : {8, 16})
    for (const int rows : {1, 37, 1000}) {
      TiffKind kind;
      kind.bits = bits;
      kind.big_endian = true;
      kind.rows_per_strip = rows;
      const auto picture = Load(MakeTiff(image, kind));
      ASSERT_TRUE(picture) << picture.error().Text();
      EXPECT_EQ(Worst(picture->image, image), 0);
    }
}

// Kinds that go through the library's own conversion.
std::string MakeOddTiff(int bits, int photometric, int compression, const std::vector<std::vector<std::uint8_t>>& rows, int width, int orientation) {
  const TempFolder folder;
  const auto path = folder.Path() / "odd.tif";
  TIFF* tiff = TIFFOpen(path.c_str(), "w");
  TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, width);
  TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, static_cast<int>(rows.size()));
  TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, bits);
  TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, photometric == PHOTOMETRIC_YCBCR ? 3 : 1);
  TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, photometric);
  TIFFSetField(tiff, TIFFTAG_COMPRESSION, compression);
  TIFFSetField(tiff, TIFFTAG_ORIENTATION, orientation);
  TIFFSetField(tiff, TIFFTAG_ROWSPERSTRIP, 16);
  if (bits == 32) TIFFSetField(tiff, TIFFTAG_SAMPLEFORMAT, SAMPLEFORMAT_IEEEFP);
  if (photometric == PHOTOMETRIC_YCBCR) {
    TIFFSetField(tiff, TIFFTAG_JPEGCOLORMODE, JPEGCOLORMODE_RGB);
    TIFFSetField(tiff, TIFFTAG_JPEGQUALITY, 98);
  }
  for (std::size_t y = 0; y < rows.size(); ++y) {
    auto row = rows[y];
    TIFFWriteScanline(tiff, row.data(), static_cast<std::uint32_t>(y), 0);
  }
  TIFFClose(tiff);
  return ReadBack(path);
}

TEST(LoadTiff, FaxFourBitAndJpegInside) {
  // 16 x 3, a diagonal: bit set is ink where white is zero.
  const std::vector<std::vector<std::uint8_t>> lines{{0b10000000, 1}, {0b01000000, 2}, {0b00100000, 4}};
  for (const int orientation : {1, 3, 6}) {
    const auto fax = Load(MakeOddTiff(1, PHOTOMETRIC_MINISWHITE, COMPRESSION_CCITTFAX4, lines, 16, orientation));
    ASSERT_TRUE(fax) << fax.error().Text();
    const int w = fax->image.width, h = fax->image.height;
    ASSERT_EQ(w, orientation == 6 ? 3 : 16);
    for (int y = 0; y < h; ++y)
      for (int x = 0; x < w; ++x) {
        const auto [sx, sy] = Stored(orientation, x, y, 16, 3);
        const bool ink = lines[static_cast<std::size_t>(sy)][static_cast<std::size_t>(sx / 8)] >> (7 - sx % 8) & 1;
        ASSERT_EQ(fax->image.At(x, y)[0], ink ? 0 : 255) << orientation << " " << x << " " << y;
        ASSERT_EQ(fax->image.At(x, y)[3], 255);
      }
  }
  const auto four = Load(MakeOddTiff(4, PHOTOMETRIC_MINISBLACK, COMPRESSION_NONE, {{0x0f, 0x84}}, 4, 1));
  ASSERT_TRUE(four) << four.error().Text();
  EXPECT_EQ(four->image.At(0, 0)[0], 0);
  EXPECT_EQ(four->image.At(1, 0)[0], 255);
  EXPECT_EQ(four->image.At(2, 0)[1], 8 * 17);
  EXPECT_EQ(four->facts.bit_depth, 4);
  std::vector<std::vector<std::uint8_t>> rows(32, std::vector<std::uint8_t>(3 * 32));
  for (auto& row : rows)
    for (std::size_t i = 0; i < row.size(); i += 3) row[i] = 200, row[i + 1] = 120, row[i + 2] = 60;
  const auto jpeg = Load(MakeOddTiff(8, PHOTOMETRIC_YCBCR, COMPRESSION_JPEG, rows, 32, 1));
  ASSERT_TRUE(jpeg) << jpeg.error().Text();
  EXPECT_NEAR(jpeg->image.At(9, 9)[0], 200, 3);
  EXPECT_NEAR(jpeg->image.At(9, 9)[1], 120, 3);
  EXPECT_NEAR(jpeg->image.At(9, 9)[2], 60, 3);
  const auto floats = Load(MakeOddTiff(32, PHOTOMETRIC_MINISBLACK, COMPRESSION_NONE, {std::vector<std::uint8_t>(16)}, 4, 1));
  ASSERT_FALSE(floats);
  EXPECT_THAT(floats.error().Text(), HasSubstr("8 or 16 bits per channel"));
}

TEST(Load, FactsAreOfTheFile) {
  const std::string bytes = MakePng(Sample(31, 17));
  const TempFolder folder;
  const auto path = folder.Put("figure.jpg", bytes);  // the name lies; the content decides
  const auto picture = LoadPicture(path);
  ASSERT_TRUE(picture);
  const PictureFacts& facts = picture->facts;
  EXPECT_EQ(facts.file, path.string());
  EXPECT_EQ(facts.format, "png");
  EXPECT_EQ(facts.bytes, bytes.size());
  EXPECT_EQ(facts.sha256, Sha256Hex(bytes));
  const auto inspected = InspectPicture(path);
  ASSERT_TRUE(inspected);
  EXPECT_EQ(inspected->width, 31);
  EXPECT_EQ(inspected->height, 17);
  EXPECT_EQ(inspected->sha256, facts.sha256);
  EXPECT_EQ(inspected->profile, facts.profile);
}

TEST(Load, NeverTouchesTheFile) {
  const TempFolder folder;
  const ImageRgba8 image = Sample(40, 40);
  const std::pair<std::string, std::string> files[] = {{"a.png", MakePng(image)}, {"a.jpg", MakeJpeg(image)}, {"a.webp", MakeWebp(image)},
                                                       {"a.tif", MakeTiff(image)}, {"a.ora", *EncodeOpenRaster(40, 40, {{"one", &image}})}};
  for (const auto& [name, bytes] : files) {
    const auto path = folder.Put(name, bytes);
    std::filesystem::permissions(path, std::filesystem::perms::owner_read);
    const auto before = std::filesystem::last_write_time(path);
    PictureOptions options;
    options.load_layers = true;
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
    ASSERT_TRUE(LoadPicture(path, options)) << name;
    EXPECT_EQ(std::filesystem::last_write_time(path), before) << name;
    EXPECT_EQ(ReadBack(path), bytes) << name;
    EXPECT_EQ(std::distance(std::filesystem::directory_iterator(folder.Path()), {}), &*std::find_if(std::begin(files), std::end(files), [&](const auto& f) { return f.first == name; }) - files + 1);
  }
}

TEST(Load, StopsWhenAsked) {
  const ImageRgba8 image = Sample(300, 700);
  const std::string files[] = {MakePng(image), MakeJpeg(image), MakeWebp(image), MakeTiff(image)};
  for (const auto& bytes : files) {
    PictureOptions options;
    options.control.stop_requested = [] { return true; };
    const auto picture = Load(bytes, options);
    ASSERT_FALSE(picture);
    EXPECT_EQ(picture.error().kind, ErrorKind::kCancelled);
  }
  std::vector<double> steps;
  PictureOptions options;
  options.control.report = [&](double done, std::string_view) { steps.push_back(done); };
  ASSERT_TRUE(Load(files[0], options));
  EXPECT_GE(steps.size(), 2u);
  EXPECT_TRUE(std::is_sorted(steps.begin(), steps.end()));
  EXPECT_EQ(steps.back(), 1.0);
}

TEST(Encode, PngAndJpegComeBack) {
  const ImageRgba8 image = Sample(90, 60, true);
  for (const int level : {0, 1, 4, 9}) {
    const auto png = EncodePng(image, true, level);
    ASSERT_TRUE(png);
    const auto back = Load(*png);
    ASSERT_TRUE(back);
    EXPECT_EQ(Worst(back->image, image), 0);
    EXPECT_EQ(back->facts.profile, "sRGB");
  }
  const auto flat = Load(*EncodePng(image, false));
  EXPECT_EQ(Worst(flat->image, Opaque(image)), 0);
  EXPECT_EQ(flat->facts.channels, 3);
  // Only the chunks a picture needs: no text, no time, no program name.
  const auto bytes = *EncodePng(image, true);
  for (const char* chunk : {"tEXt", "iTXt", "zTXt", "tIME", "eXIf"}) EXPECT_EQ(bytes.find(chunk), std::string::npos);
  ImageRgba8 clear = Sample(16, 16);
  for (std::size_t i = 3; i < clear.pixels.size(); i += 4) clear.pixels[i] = 0;
  const auto white = Load(*EncodeJpeg(clear));
  ASSERT_TRUE(white);
  EXPECT_GE(*std::min_element(white->image.pixels.begin(), white->image.pixels.end()), 254);
  EXPECT_FALSE(EncodePng(ImageRgba8{}, true));
  EXPECT_FALSE(EncodeJpeg(ImageRgba8{5, 5, {}}));
}

TEST(Shrink, AveragesLight) {
  ImageRgba8 board{64, 32, std::vector<std::uint8_t>(Bytes(64, 32, 4), 255)};
  for (int y = 0; y < 32; ++y)
    for (int x = 0; x < 64; ++x)
      if ((x + y) % 2) std::fill_n(board.At(x, y), 3, std::uint8_t{0});
  const ImageRgba8 half = ShrinkTo(board, 32);
  ASSERT_EQ(half.width, 32);
  ASSERT_EQ(half.height, 16);
  // Half the light of white is stored 188 (IEC 61966-2-1: 255 * (1.055 * 0.5^(1/2.4) - 0.055) = 187.5).
  for (std::size_t i = 0; i < half.pixels.size(); ++i) ASSERT_NEAR(half.pixels[i], i % 4 == 3 ? 255 : 188, 1);
}

TEST(Shrink, EverySizeKeepsFlatColourAndTransparentPixelsGiveNone) {
  ImageRgba8 image{101, 67, {}};
  for (int i = 0; i < 101 * 67; ++i) {
    if (i % 2)
      image.pixels.insert(image.pixels.end(), {200, 90, 30, 255});
    else
      image.pixels.insert(image.pixels.end(), {0, 255, 255, 0});
  }
  for (const int side : {100, 64, 50, 33, 7, 1}) {
    const ImageRgba8 small = ShrinkTo(image, side);
    ASSERT_EQ(std::max(small.width, small.height), side);
    for (int y = 0; y < small.height; ++y)
      for (int x = 0; x < small.width; ++x) {
        const std::uint8_t* p = small.At(x, y);
        if (p[3] == 0) continue;
        ASSERT_NEAR(p[0], 200, 1);
        ASSERT_NEAR(p[1], 90, 1);
        ASSERT_NEAR(p[2], 30, 1);
      }
  }
  EXPECT_EQ(ShrinkTo(image, 101).pixels, image.pixels);
  EXPECT_EQ(ShrinkTo(image, 4000).pixels, image.pixels);
}

}  // namespace
}  // namespace armslength
