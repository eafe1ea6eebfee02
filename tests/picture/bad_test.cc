#include <functional>

#include <sys/resource.h>
#include <sys/stat.h>
#include <zlib.h>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "picture/make_pictures.h"

namespace armslength {
namespace {

using namespace testing;
using ::testing::HasSubstr;

void PutBig(std::string& bytes, std::size_t at, std::uint32_t value) {
  for (int i = 0; i < 4; ++i) bytes[at + static_cast<std::size_t>(i)] = static_cast<char>(value >> (24 - 8 * i) & 0xff);
}

// The PNG with another width and height and a checksum that fits.
std::string WithSize(std::string png, std::uint32_t width, std::uint32_t height) {
  PutBig(png, 16, width);
  PutBig(png, 20, height);
  PutBig(png, 29, static_cast<std::uint32_t>(crc32(0, reinterpret_cast<const Bytef*>(png.data()) + 12, 17)));
  return png;
}

std::string Chunk(const std::string& name, const std::string& data) {
  std::string chunk(4, '\0');
  PutBig(chunk, 0, static_cast<std::uint32_t>(data.size()));
  chunk += name + data + std::string(4, '\0');
  PutBig(chunk, chunk.size() - 4, static_cast<std::uint32_t>(crc32(0, reinterpret_cast<const Bytef*>(chunk.data()) + 4, static_cast<uInt>(4 + data.size()))));
  return chunk;
}

std::string Ora(const std::string& stack, const std::vector<std::pair<std::string, std::string>>& more, bool deflate = false) {
  std::vector<std::pair<std::string, std::string>> entries{{"mimetype", "image/openraster"}};
  if (!stack.empty()) entries.emplace_back("stack.xml", stack);
  entries.insert(entries.end(), more.begin(), more.end());
  return MakeZip(entries, deflate);
}

struct BadFile {
  std::string what, bytes, cause;  // `cause`: part of the message the person must see
};

std::vector<BadFile> BadFiles() {
  const ImageRgba8 image = Sample(90, 60);
  const std::string png = MakePng(image), jpeg = MakeJpeg(image), webp = MakeWebp(image), tiff = MakeTiff(image);
  JpegKind progressive_kind;
  progressive_kind.progressive = true;
  const std::string progressive = MakeJpeg(image, progressive_kind);
  const std::string ora = *EncodeOpenRaster(90, 60, {{"one", &image}});
  const auto cut = [](const std::string& bytes, double part) { return bytes.substr(0, static_cast<std::size_t>(part * static_cast<double>(bytes.size()))); };
  const auto flip = [](std::string bytes, double part) {
    bytes[static_cast<std::size_t>(part * static_cast<double>(bytes.size()))] ^= 0x5a;
    return bytes;
  };
  const std::string layer = "<image w='90' h='60'><stack><layer name='a' src='data/a.png'/></stack></image>";
  std::string unix_lines = png;  // as a text-mode transfer leaves it
  unix_lines.erase(4, 1);
  std::string tiny_jpeg = jpeg.substr(0, 400);
  std::string animated = png;
  animated.insert(33, Chunk("acTL", std::string("\0\0\0\2\0\0\0\0", 8)));
  std::string huge_jpeg = jpeg;  // SOF0: length, precision, height, width
  if (const auto sof = huge_jpeg.find("\xff\xc0"); sof != std::string::npos) huge_jpeg.replace(sof + 5, 4, "\xff\xdc\xff\xdc");
  std::string zero_jpeg = jpeg;
  if (const auto sof = zero_jpeg.find("\xff\xc0"); sof != std::string::npos) zero_jpeg.replace(sof + 5, 4, std::string(4, '\0'));
  std::string deep = "<image w='9' h='9'>";
  for (int i = 0; i < 100; ++i) deep += "<stack>";
  return {
      {"empty", "", "empty"},
      {"text", "this is only a note about the drawing\n", "a text file"},
      {"json", "{\"format\": \"armslength-marks\"}", "a text file"},
      {"one byte", "\x89", "not a picture"},
      {"noise", std::string("\x01\x02\xfe\xff\x00garbage", 12), "not a picture"},
      {"gif", "GIF89a\x01\x00\x01", "a GIF picture"},
      {"bmp", std::string("BM\x36\0\0\0\0\0", 8), "a BMP picture"},
      {"pdf", "%PDF-1.4\n", "a PDF document"},
      {"svg", "<svg xmlns=''/>", "an SVG drawing"},
      {"png transferred as text", unix_lines, "first bytes were altered"},
      {"png only its signature", png.substr(0, 8), "damaged or cut short"},
      {"png cut in the header", png.substr(0, 20), "damaged or cut short"},
      {"png cut after the header", png.substr(0, 40), "damaged or cut short"},
      {"png cut in the middle", cut(png, 0.5), "ends too early"},
      {"png cut near the end", png.substr(0, png.size() - 14), "ends too early"},
      {"png with a wrong byte in the pixels", flip(png, 0.6), "damaged or cut short"},
      {"png with a wrong byte in the header", flip(png, 18.0 / static_cast<double>(png.size())), "damaged or cut short"},
      {"png of 0 x 60", WithSize(png, 0, 60), "damaged or cut short"},
      {"png of 100000 x 100000", WithSize(png, 100'000, 100'000), "more than the limit of 200 megapixels"},
      {"png of 2^31 - 1 square", WithSize(png, 0x7fffffff, 0x7fffffff), "damaged or cut short"},
      {"png that states 10000 x 10000", WithSize(png, 10'000, 10'000), "too short for the size it states"},
      {"png that states 90 x 61", WithSize(png, 90, 61), "damaged or cut short"},
      {"animated png", animated, "an animation"},
      {"jpeg only its first bytes", jpeg.substr(0, 3), "damaged or cut short"},
      {"jpeg cut in its tables", tiny_jpeg, "damaged or cut short"},
      {"jpeg cut in the middle", cut(jpeg, 0.6), "damaged or cut short"},
      {"jpeg cut near the end", jpeg.substr(0, jpeg.size() - 30), "damaged or cut short"},
      {"progressive jpeg cut in the middle", cut(progressive, 0.6), "damaged or cut short"},
      {"jpeg of 65500 x 65500", huge_jpeg, "more than the limit"},
      {"jpeg of 0 x 0", zero_jpeg, "damaged or cut short"},
      {"webp cut in the header", webp.substr(0, 20), "damaged or cut short"},
      {"webp cut in the middle", cut(webp, 0.5), "damaged or cut short"},
      {"animated webp", MakeAnimatedWebp(image), "an animation"},
      {"riff but no webp", std::string("RIFF\x10\0\0\0WAVEfmt ", 16), "a RIFF file"},
      {"tiff only its header", tiff.substr(0, 8), "damaged or cut short"},
      {"tiff cut in the middle", cut(tiff, 0.5), "damaged or cut short"},
      {"tiff whose directory lies outside", std::string("II*\0\xff\xff\xff\x7f", 8), "damaged or cut short"},
      {"zip of something else", MakeZip({{"letter.txt", "hello"}}), "a zip archive"},
      {"zip with nothing", std::string("PK\5\6", 4) + std::string(18, '\0'), "a zip archive"},
      {"openraster cut in the middle", cut(ora, 0.5), "damaged or cut short"},
      {"openraster with nothing to show", Ora("", {}), "neither stack.xml nor mergedimage.png"},
      {"openraster layer missing", Ora(layer, {}), "is missing in the file"},
      {"openraster layer is text", Ora(layer, {{"data/a.png", "hello"}}), "no PNG picture"},
      {"openraster layer is cut", Ora(layer, {{"data/a.png", cut(png, 0.5)}}), "damaged or cut short"},
      {"openraster path upwards", Ora("<image w='9' h='9'><stack><layer src='../../etc/passwd'/></stack></image>", {}), "outside of the file"},
      {"openraster absolute path", Ora("<image w='9' h='9'><stack><layer src='/etc/passwd'/></stack></image>", {}), "outside of the file"},
      {"openraster hidden upward path", Ora("<image w='9' h='9'><stack><layer src='data/../../x.png'/></stack></image>", {}), "outside of the file"},
      {"openraster broken xml", Ora("<image w='9' h='9'><stack><layer", {}), "cannot be used"},
      {"openraster of another root", Ora("<html/>", {}), "root is not 'image'"},
      {"openraster no size", Ora("<image><stack/></image>", {}), "width or height is missing"},
      {"openraster size is text", Ora("<image w='wide' h='9'><stack/></image>", {}), "no pixel number"},
      {"openraster of 90000 x 90000", Ora("<image w='90000' h='90000'><stack/></image>", {}), "more than the limit"},
      {"openraster with entities",
       Ora("<!DOCTYPE image [<!ENTITY a 'aaaaaaaaaa'><!ENTITY b '&a;&a;&a;&a;'>]><image w='9' h='9'><stack name='&b;'/></image>", {}), "document type"},
      {"openraster nested without end", Ora(deep, {}), "more than 64 deep"},
      {"openraster opacity is text", Ora("<image w='9' h='9'><stack><layer src='data/a.png' opacity='much'/></stack></image>", {}), "no number"},
      {"openraster merged picture is text", Ora(layer, {{"mergedimage.png", "hello"}}), "no PNG picture"},
      // 30 MB of zeros behind a small picture's header.
      {"openraster bomb", Ora(layer, {{"mergedimage.png", WithSize(png, 20, 20).substr(0, 33) + std::string(std::size_t{80} << 20, '\0')}}, true), "more than it can need"},
      {"openraster bomb in stack.xml", Ora(std::string(std::size_t{80} << 20, ' '), {}, true), "more than it can need"},
  };
}

TEST(BadPictures, EachHasAClearAnswer) {
  const auto files = BadFiles();
  EXPECT_GE(files.size(), 50u);
  for (const auto& file : files) {
    SCOPED_TRACE(file.what);
    const TempFolder folder;
    const auto path = folder.Put("figure.png", file.bytes);
    const auto picture = LoadPicture(path);
    if (picture) {
      ADD_FAILURE() << "was read";
      continue;
    }
    EXPECT_EQ(picture.error().kind, ErrorKind::kInput);
    EXPECT_THAT(picture.error().Text(), HasSubstr(file.cause));
    EXPECT_EQ(picture.error().file, path.string());
    EXPECT_FALSE(picture.error().remedy.empty());
    EXPECT_EQ(ReadBack(path), file.bytes);
  }
}

TEST(BadPictures, PlacesThatAreNoFiles) {
  const TempFolder folder;
  for (const auto& path : {folder.Path(), folder.Path() / "missing.png", std::filesystem::path("/dev/null"), std::filesystem::path("")}) {
    const auto picture = LoadPicture(path);
    ASSERT_FALSE(picture);
    EXPECT_EQ(picture.error().kind, ErrorKind::kInput);
  }
  const auto pipe = folder.Path() / "pipe.png";
  ASSERT_EQ(::mkfifo(pipe.c_str(), 0600), 0);
  EXPECT_FALSE(LoadPicture(pipe));  // and does not wait for a writer
  if (::geteuid() != 0) {
    const auto locked = folder.Put("locked.png", MakePng(Sample(9, 9)));
    std::filesystem::permissions(locked, std::filesystem::perms::none);
    const auto picture = LoadPicture(locked);
    ASSERT_FALSE(picture);
    EXPECT_THAT(picture.error().Text(), HasSubstr("cannot be opened"));
  }
}

TEST(BadPictures, OddButReadable) {
  const ImageRgba8 image = Sample(33, 20, true);
  const std::string png = MakePng(image);
  // What follows the end chunk is not the picture's business.
  const auto trailing = Load(png + "leftover");
  ASSERT_TRUE(trailing);
  EXPECT_EQ(Worst(trailing->image, image), 0);
  const auto no_stack = Load(Ora("", {{"mergedimage.png", png}}));
  ASSERT_TRUE(no_stack);
  EXPECT_TRUE(HasNote(no_stack->facts, "stack.xml is missing"));
  const auto no_mime = Load(MakeZip({{"stack.xml", "<image w='33' h='20'><stack/></image>"}, {"mergedimage.png", png}}));
  ASSERT_TRUE(no_mime);
  EXPECT_TRUE(HasNote(no_mime->facts, "mimetype"));
  const auto bright = Load(Ora("<image w='33' h='20'><stack><layer src='data/a.png' opacity='7'/></stack></image>", {{"data/a.png", png}}));
  ASSERT_TRUE(bright);
  EXPECT_TRUE(HasNote(bright->facts, "brought into 0 to 1"));
  const auto one = Load(MakePng(Sample(1, 1)));
  ASSERT_TRUE(one);
  EXPECT_EQ(one->image.pixels.size(), 4u);
}

TEST(BadPictures, TheLimitIsTheCallers) {
  PictureOptions options;
  options.max_megapixels = 0.005;  // 5000 pixels
  const ImageRgba8 small = Sample(70, 70), large = Sample(71, 71);
  for (const auto& make : std::vector<std::function<std::string(const ImageRgba8&)>>{
           [](const ImageRgba8& i) { return MakePng(i); }, [](const ImageRgba8& i) { return MakeJpeg(i); },
           [](const ImageRgba8& i) { return MakeWebp(i); }, [](const ImageRgba8& i) { return MakeTiff(i); },
           [](const ImageRgba8& i) { return *EncodeOpenRaster(i.width, i.height, {{"a", &i}}); }}) {
    EXPECT_TRUE(Load(make(small), options));
    const auto refused = Load(make(large), options);
    ASSERT_FALSE(refused);
    EXPECT_THAT(refused.error().Text(), HasSubstr("limit of 0.005 megapixels"));
  }
  // Layers that fit one by one but not together.
  const auto layered = EncodeOpenRaster(70, 70, {{"a", &small}, {"b", &small}});
  EXPECT_TRUE(Load(*layered, options));
  options.load_layers = true;
  const auto refused = Load(*layered, options);
  ASSERT_FALSE(refused);
  EXPECT_THAT(refused.error().Text(), HasSubstr("layers together"));
  options.max_megapixels = 0.0;
  EXPECT_EQ(Load(*layered, options).error().kind, ErrorKind::kUsage);
}

// Seeded mutations of good files. Whatever comes: no crash, no wrong-sized picture, no kInternal.
// ARMSLENGTH_FUZZ_SEED runs other ones.
TEST(BadPictures, MutatedFilesNeverCrash) {
  const ImageRgba8 image = Sample(48, 40, true);
  JpegKind progressive;
  progressive.progressive = true;
  progressive.icc = WideProfile();
  JpegKind inks;
  inks.space = JCS_YCCK;
  inks.icc = InkProfile().substr(0, 3000);
  PngKind interlaced;
  interlaced.interlaced = true;
  interlaced.bits = 16;
  interlaced.icc = WideProfile();
  TiffKind tiled;
  tiled.tiled = true;
  tiled.extra = EXTRASAMPLE_ASSOCALPHA;
  TiffKind plain;
  plain.compression = COMPRESSION_NONE;
  plain.bits = 16;
  plain.icc = WideProfile();
  plain.pages = 2;
  const std::pair<const char*, std::string> seeds[] = {
      {"png", MakePng(image)}, {"png16", MakePng(image, interlaced)}, {"jpeg", MakeJpeg(image)}, {"progressive", MakeJpeg(image, progressive)},
      {"inks", MakeJpeg(image, inks)}, {"webp", MakeWebp(image)}, {"lossy", MakeWebp(image, false, WideProfile(), 6)}, {"tiff", MakeTiff(image, tiled)},
      {"tiff16", MakeTiff(image, plain)}, {"ora", *EncodeOpenRaster(48, 40, {{"a", &image}, {"b", &image, 5, 5, 0.5}})}};
  for (const auto& [name, good] : seeds) {
    const char* other = std::getenv("ARMSLENGTH_FUZZ_SEED");
    std::mt19937 random(other ? static_cast<unsigned>(std::atol(other)) : 20260725u);
    int read = 0, refused = 0;
    for (int trial = 0; trial < 300; ++trial) {
      std::string bytes = good;
      const int edits = 1 + static_cast<int>(random() % 6);
      for (int e = 0; e < edits && !bytes.empty(); ++e) {
        // Half of the edits hit the first 200 bytes, where the structure is.
        const std::size_t range = random() % 2 ? std::min<std::size_t>(bytes.size(), 200) : bytes.size();
        const std::size_t at = random() % range;
        switch (random() % 5) {
          case 0: bytes[at] = static_cast<char>(random()); break;
          case 1: bytes[at] ^= static_cast<char>(1u << random() % 8); break;
          case 2: bytes.erase(at, 1 + random() % 20); break;
          case 3: bytes.insert(at, bytes.substr(at, 1 + random() % 20)); break;
          default: bytes[at] = static_cast<char>(random() % 2 ? 0xff : 0x00); break;
        }
      }
      if (random() % 8 == 0) bytes.resize(random() % (bytes.size() + 1));
      if (std::string(name).starts_with("png") && random() % 2) {
        // Make the checksums fit again, or nothing behind them would ever be reached.
        for (std::size_t at = 8; at + 12 <= bytes.size();) {
          const auto* p = reinterpret_cast<const unsigned char*>(bytes.data() + at);
          const std::size_t length = static_cast<std::size_t>(p[0]) << 24 | static_cast<std::size_t>(p[1]) << 16 | static_cast<std::size_t>(p[2]) << 8 | p[3];
          if (length > bytes.size() - at - 12) break;
          PutBig(bytes, at + 8 + length, static_cast<std::uint32_t>(crc32(0, p + 4, static_cast<uInt>(length + 4))));
          at += 12 + length;
        }
      }
      PictureOptions options;
      options.max_megapixels = 1.0;
      options.load_layers = true;
      const auto picture = Load(bytes, options);
      if (picture) {
        ++read;
        ASSERT_EQ(picture->image.pixels.size(), Bytes(picture->image.width, picture->image.height, 4)) << name << " " << trial;
        ASSERT_GT(picture->image.width, 0);
      } else {
        ++refused;
        ASSERT_EQ(picture.error().kind, ErrorKind::kInput) << name << " " << trial << " " << picture.error().Text();
      }
    }
    EXPECT_GT(refused, 20) << name;
    RecordProperty(std::string(name) + "_read", read);
  }
}

// Peak memory must not follow what a header claims.
TEST(BadPictures, WrongSizesTakeNoMemory) {
  const auto peak_kib = [] {
    rusage usage{};
    ::getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss;
  };
  const std::string png = MakePng(Sample(90, 60));
  const std::string jpeg = MakeJpeg(Sample(90, 60));
  std::string wide_jpeg = jpeg;
  wide_jpeg.replace(wide_jpeg.find("\xff\xc0") + 5, 4, "\x2e\xe0\x2e\xe0");  // 12000 x 12000
  const long before = peak_kib();
  EXPECT_FALSE(Load(WithSize(png, 14'000, 14'000)));
  EXPECT_FALSE(Load(WithSize(png, 60'000, 3'000)));
  EXPECT_FALSE(Load(wide_jpeg));
  EXPECT_LT(peak_kib() - before, 50'000);
}

}  // namespace
}  // namespace armslength
