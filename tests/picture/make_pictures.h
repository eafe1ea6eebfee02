#pragma once
// Picture files for the tests, written by the formats' own libraries, so that what is read is
// compared with what other people's code wrote.
#include <csetjmp>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <optional>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include <archive.h>
#include <archive_entry.h>
#include <gtest/gtest.h>
#include <jpeglib.h>
#include <lcms2.h>
#include <png.h>
#include <tiffio.h>
#include <webp/encode.h>
#include <webp/mux.h>

#include "picture/picture.h"

namespace armslength::testing {

inline std::size_t Bytes(int w, int h, int per_pixel) {
  return static_cast<std::size_t>(w) * static_cast<std::size_t>(h) * static_cast<std::size_t>(per_pixel);
}

// Slow gradients with hard-edged blocks; alpha varies when asked for.
inline ImageRgba8 Sample(int w, int h, bool alpha = false, unsigned seed = 1) {
  ImageRgba8 image{w, h, std::vector<std::uint8_t>(Bytes(w, h, 4))};
  std::mt19937 random(seed);
  std::vector<int> block(64);
  for (auto& v : block) v = static_cast<int>(random() % 256);
  for (int y = 0; y < h; ++y)
    for (int x = 0; x < w; ++x) {
      std::uint8_t* p = image.At(x, y);
      const int b = block[static_cast<std::size_t>((x * 8 / w) + 8 * (y * 8 / h))];
      p[0] = static_cast<std::uint8_t>(x * 255 / std::max(1, w - 1));
      p[1] = static_cast<std::uint8_t>(y * 255 / std::max(1, h - 1));
      p[2] = static_cast<std::uint8_t>(b);
      p[3] = alpha ? static_cast<std::uint8_t>((x + 2 * y + b) % 256) : std::uint8_t{255};
    }
  return image;
}

struct PngKind {
  int type = PNG_COLOR_TYPE_RGBA;
  int bits = 8;
  bool interlaced = false;
  bool srgb = false;
  int filters = 0;     // PNG_FILTER_..., 0: the library's choice
  double gamma = 0.0;  // gAMA chunk
  std::string icc;
  std::string exif;
  std::vector<png_color> palette;
  std::vector<png_byte> palette_alpha;
  std::optional<png_color_16> transparent;
};

// `rows`: packed rows in the file's own layout, 16-bit big-endian.
inline std::string MakePng(int w, int h, const std::vector<std::uint8_t>& rows, const PngKind& kind) {
  std::string out;
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, [](png_structp, png_const_charp) {});
  png_infop info = png_create_info_struct(png);
  png_set_write_fn(png, &out, [](png_structp p, png_bytep data, std::size_t n) {
    static_cast<std::string*>(png_get_io_ptr(p))->append(reinterpret_cast<const char*>(data), n);
  }, nullptr);
  png_set_IHDR(png, info, static_cast<png_uint_32>(w), static_cast<png_uint_32>(h), kind.bits, kind.type,
               kind.interlaced ? PNG_INTERLACE_ADAM7 : PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  if (kind.filters != 0) png_set_filter(png, PNG_FILTER_TYPE_BASE, kind.filters);
  if (kind.srgb) png_set_sRGB(png, info, PNG_sRGB_INTENT_PERCEPTUAL);
  if (kind.gamma > 0.0) png_set_gAMA(png, info, kind.gamma);
  if (!kind.icc.empty())
    png_set_iCCP(png, info, "profile", PNG_COMPRESSION_TYPE_BASE, reinterpret_cast<png_const_bytep>(kind.icc.data()), static_cast<png_uint_32>(kind.icc.size()));
  std::string exif = kind.exif;
  if (!exif.empty()) png_set_eXIf_1(png, info, static_cast<png_uint_32>(exif.size()), reinterpret_cast<png_bytep>(exif.data()));
  if (!kind.palette.empty()) png_set_PLTE(png, info, kind.palette.data(), static_cast<int>(kind.palette.size()));
  if (!kind.palette_alpha.empty() || kind.transparent)
    png_set_tRNS(png, info, kind.palette_alpha.empty() ? nullptr : kind.palette_alpha.data(), static_cast<int>(kind.palette_alpha.size()),
                 kind.transparent ? &*kind.transparent : nullptr);
  png_write_info(png, info);
  const std::size_t row = png_get_rowbytes(png, info);
  std::vector<std::uint8_t> copy = rows;
  std::vector<png_bytep> pointers;
  for (int y = 0; y < h; ++y) pointers.push_back(copy.data() + static_cast<std::size_t>(y) * row);
  png_write_image(png, pointers.data());
  png_write_end(png, nullptr);
  png_destroy_write_struct(&png, &info);
  return out;
}

inline std::string MakePng(const ImageRgba8& image, PngKind kind = {}) {
  std::vector<std::uint8_t> rows;
  const bool wide = kind.bits == 16;
  const auto put = [&](int v) {
    rows.push_back(static_cast<std::uint8_t>(v));
    if (wide) rows.push_back(static_cast<std::uint8_t>(v));  // v * 257
  };
  for (std::size_t i = 0; i < image.pixels.size(); i += 4) {
    const std::uint8_t* p = &image.pixels[i];
    const int colours = (kind.type & PNG_COLOR_MASK_COLOR) ? 3 : 1;
    for (int c = 0; c < colours; ++c) put(p[c]);
    if (kind.type & PNG_COLOR_MASK_ALPHA) put(p[3]);
  }
  return MakePng(image.width, image.height, rows, kind);
}

// A little-endian Exif block with one entry: the orientation.
inline std::string ExifOrientation(int orientation) {
  std::string exif("II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0", 18);
  exif += static_cast<char>(orientation);
  exif.append(7, '\0');
  return exif;
}

struct JpegKind {
  J_COLOR_SPACE space = JCS_YCbCr;  // in the file: JCS_YCbCr, JCS_GRAYSCALE, JCS_CMYK, JCS_YCCK
  int quality = 95;
  bool progressive = false;
  int orientation = 0;
  std::string icc;
};

// `image` holds RGB(A); for inks the four bytes are C, M, Y, K as the file stores them.
inline std::string MakeJpeg(const ImageRgba8& image, const JpegKind& kind = {}) {
  jpeg_compress_struct info{};
  jpeg_error_mgr errors{};
  info.err = jpeg_std_error(&errors);
  jpeg_create_compress(&info);
  unsigned char* out = nullptr;
  unsigned long length = 0;
  jpeg_mem_dest(&info, &out, &length);
  info.image_width = static_cast<JDIMENSION>(image.width);
  info.image_height = static_cast<JDIMENSION>(image.height);
  const bool inks = kind.space == JCS_CMYK || kind.space == JCS_YCCK, grey = kind.space == JCS_GRAYSCALE;
  info.input_components = inks ? 4 : grey ? 1 : 3;
  info.in_color_space = inks ? JCS_CMYK : grey ? JCS_GRAYSCALE : JCS_RGB;
  jpeg_set_defaults(&info);
  jpeg_set_colorspace(&info, kind.space);
  jpeg_set_quality(&info, kind.quality, TRUE);
  for (int c = 0; c < info.num_components; ++c) info.comp_info[c].h_samp_factor = info.comp_info[c].v_samp_factor = 1;
  if (kind.progressive) jpeg_simple_progression(&info);
  jpeg_start_compress(&info, TRUE);
  if (kind.orientation > 0) {
    const std::string exif = std::string("Exif\0\0", 6) + ExifOrientation(kind.orientation);
    jpeg_write_marker(&info, JPEG_APP0 + 1, reinterpret_cast<const JOCTET*>(exif.data()), static_cast<unsigned>(exif.size()));
  }
  if (!kind.icc.empty()) jpeg_write_icc_profile(&info, reinterpret_cast<const JOCTET*>(kind.icc.data()), static_cast<unsigned>(kind.icc.size()));
  std::vector<std::uint8_t> row(static_cast<std::size_t>(info.input_components) * static_cast<std::size_t>(image.width));
  for (int y = 0; y < image.height; ++y) {
    for (int x = 0; x < image.width; ++x)
      std::memcpy(&row[static_cast<std::size_t>(x * info.input_components)], image.At(x, y), static_cast<std::size_t>(info.input_components));
    JSAMPROW rows[1] = {row.data()};
    jpeg_write_scanlines(&info, rows, 1);
  }
  jpeg_finish_compress(&info);
  std::string bytes(reinterpret_cast<const char*>(out), length);
  jpeg_destroy_compress(&info);
  std::free(out);
  return bytes;
}

inline std::string MakeWebp(const ImageRgba8& image, bool lossless = true, const std::string& icc = "", int orientation = 0) {
  WebPConfig config;
  WebPConfigInit(&config);
  config.lossless = lossless ? 1 : 0;
  config.exact = 1;
  config.quality = 90;
  WebPPicture picture;
  WebPPictureInit(&picture);
  picture.use_argb = 1;
  picture.width = image.width;
  picture.height = image.height;
  WebPPictureImportRGBA(&picture, image.pixels.data(), 4 * image.width);
  WebPMemoryWriter writer;
  WebPMemoryWriterInit(&writer);
  picture.writer = WebPMemoryWrite;
  picture.custom_ptr = &writer;
  const int ok = WebPEncode(&config, &picture);
  EXPECT_EQ(ok, 1);
  std::string bytes(reinterpret_cast<const char*>(writer.mem), writer.size);
  WebPPictureFree(&picture);
  WebPMemoryWriterClear(&writer);
  if (icc.empty() && orientation == 0) return bytes;
  WebPMux* mux = WebPMuxNew();
  const WebPData frame{reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()};
  WebPMuxSetImage(mux, &frame, 1);
  const std::string exif = ExifOrientation(orientation);
  const WebPData icc_data{reinterpret_cast<const std::uint8_t*>(icc.data()), icc.size()};
  const WebPData exif_data{reinterpret_cast<const std::uint8_t*>(exif.data()), exif.size()};
  if (!icc.empty()) WebPMuxSetChunk(mux, "ICCP", &icc_data, 1);
  if (orientation > 0) WebPMuxSetChunk(mux, "EXIF", &exif_data, 1);
  WebPData all;
  WebPMuxAssemble(mux, &all);
  std::string result(reinterpret_cast<const char*>(all.bytes), all.size);
  WebPDataClear(&all);
  WebPMuxDelete(mux);
  return result;
}

inline std::string MakeAnimatedWebp(const ImageRgba8& image) {
  const std::string still = MakeWebp(image);
  WebPAnimEncoderOptions options;
  WebPAnimEncoderOptionsInit(&options);
  WebPAnimEncoder* encoder = WebPAnimEncoderNew(image.width, image.height, &options);
  ImageRgba8 frame = image;
  for (int i = 0; i < 3; ++i) {
    for (auto& v : frame.pixels) v = static_cast<std::uint8_t>(v + 40);
    WebPPicture picture;
    WebPPictureInit(&picture);
    picture.use_argb = 1;
    picture.width = image.width;
    picture.height = image.height;
    WebPPictureImportRGBA(&picture, frame.pixels.data(), 4 * image.width);
    WebPAnimEncoderAdd(encoder, &picture, 100 * i, nullptr);
    WebPPictureFree(&picture);
  }
  WebPAnimEncoderAdd(encoder, nullptr, 300, nullptr);
  WebPData data;
  WebPDataInit(&data);
  WebPAnimEncoderAssemble(encoder, &data);
  std::string bytes(reinterpret_cast<const char*>(data.bytes), data.size);
  WebPDataClear(&data);
  WebPAnimEncoderDelete(encoder);
  return bytes;
}

struct TiffKind {
  int bits = 8;
  int photometric = PHOTOMETRIC_RGB;  // PHOTOMETRIC_SEPARATED: the four bytes are C, M, Y, K
  int extra = -1;                     // EXTRASAMPLE_ASSOCALPHA, EXTRASAMPLE_UNASSALPHA, or -1: no alpha
  bool tiled = false, separate = false;
  int compression = COMPRESSION_ADOBE_DEFLATE;
  int orientation = 0;
  int pages = 1;
  int rows_per_strip = 7;
  bool big_endian = false;
  std::string icc;
};

inline std::string ReadBack(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

inline std::string MakeTiff(const ImageRgba8& image, const TiffKind& kind = {}) {
  const auto path = std::filesystem::temp_directory_path() / ("al_make_" + std::to_string(::getpid()) + ".tif");
  TIFF* tiff = TIFFOpen(path.c_str(), kind.big_endian ? "wb" : "wl");
  const int colours = kind.photometric == PHOTOMETRIC_RGB ? 3 : kind.photometric == PHOTOMETRIC_SEPARATED ? 4 : 1;
  const int count = colours + (kind.extra >= 0 ? 1 : 0);
  const int size = kind.bits / 8;
  for (int page = 0; page < kind.pages; ++page) {
    TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, image.width);
    TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, image.height);
    TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, kind.bits);
    TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, count);
    TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, kind.photometric);
    TIFFSetField(tiff, TIFFTAG_COMPRESSION, kind.compression);
    TIFFSetField(tiff, TIFFTAG_PLANARCONFIG, kind.separate ? PLANARCONFIG_SEPARATE : PLANARCONFIG_CONTIG);
    if (kind.orientation > 0) TIFFSetField(tiff, TIFFTAG_ORIENTATION, kind.orientation);
    if (kind.extra >= 0) {
      const auto type = static_cast<std::uint16_t>(kind.extra);
      TIFFSetField(tiff, TIFFTAG_EXTRASAMPLES, 1, &type);
    }
    if (!kind.icc.empty()) TIFFSetField(tiff, TIFFTAG_ICCPROFILE, static_cast<std::uint32_t>(kind.icc.size()), kind.icc.data());
    if (kind.photometric == PHOTOMETRIC_PALETTE) {
      std::uint16_t r[256], g[256], b[256];
      for (int i = 0; i < 256; ++i) r[i] = static_cast<std::uint16_t>(257 * i), g[i] = static_cast<std::uint16_t>(257 * (255 - i)), b[i] = static_cast<std::uint16_t>(257 * (i / 2));
      TIFFSetField(tiff, TIFFTAG_COLORMAP, r, g, b);
    }
    const auto sample = [&](int x, int y, int k) -> int {
      const std::uint8_t* p = image.At(std::min(x, image.width - 1), std::min(y, image.height - 1));
      int v = k < colours ? p[k] : p[3];
      if (k < colours && kind.extra == EXTRASAMPLE_ASSOCALPHA && size == 2) return (v * 257 * p[3] + 127) / 255;
      if (k < colours && kind.extra == EXTRASAMPLE_ASSOCALPHA) v = (v * p[3] + 127) / 255;
      return size == 2 ? 257 * v : v;
    };
    const auto fill = [&](int x0, int y0, int w, int h, int first, int last) {
      std::vector<std::uint8_t> data;
      for (int y = y0; y < y0 + h; ++y)
        for (int x = x0; x < x0 + w; ++x)
          for (int k = first; k < last; ++k) {
            const auto v = static_cast<std::uint16_t>(sample(x, y, k));
            data.push_back(static_cast<std::uint8_t>(v & 255));
            if (size == 2) data.push_back(static_cast<std::uint8_t>(v >> 8));
          }
      return data;
    };
    if (kind.tiled) {
      TIFFSetField(tiff, TIFFTAG_TILEWIDTH, 16);
      TIFFSetField(tiff, TIFFTAG_TILELENGTH, 32);
      for (int y = 0; y < image.height; y += 32)
        for (int x = 0; x < image.width; x += 16)
          for (int k = 0; k < (kind.separate ? count : 1); ++k) {
            auto data = fill(x, y, 16, 32, kind.separate ? k : 0, kind.separate ? k + 1 : count);
            TIFFWriteEncodedTile(tiff, TIFFComputeTile(tiff, static_cast<std::uint32_t>(x), static_cast<std::uint32_t>(y), 0, static_cast<std::uint16_t>(k)), data.data(), static_cast<tmsize_t>(data.size()));
          }
    } else {
      TIFFSetField(tiff, TIFFTAG_ROWSPERSTRIP, kind.rows_per_strip);
      for (int k = 0; k < (kind.separate ? count : 1); ++k)
        for (int y = 0; y < image.height; ++y) {
          auto data = fill(0, y, image.width, 1, kind.separate ? k : 0, kind.separate ? k + 1 : count);
          TIFFWriteScanline(tiff, data.data(), static_cast<std::uint32_t>(y), static_cast<std::uint16_t>(k));
        }
    }
    TIFFWriteDirectory(tiff);
  }
  TIFFClose(tiff);
  std::string bytes = ReadBack(path);
  std::filesystem::remove(path);
  return bytes;
}

inline std::string MakeZip(const std::vector<std::pair<std::string, std::string>>& entries, bool deflate = false) {
  std::vector<char> buffer(1 << 20);
  std::size_t need = 1 << 20;
  for (const auto& [name, content] : entries) need += content.size() + 1000;
  buffer.resize(need);
  archive* zip = archive_write_new();
  archive_write_set_format_zip(zip);
  if (deflate)
    archive_write_zip_set_compression_deflate(zip);
  else
    archive_write_zip_set_compression_store(zip);
  std::size_t used = 0;
  archive_write_open_memory(zip, buffer.data(), buffer.size(), &used);
  for (const auto& [name, content] : entries) {
    archive_entry* entry = archive_entry_new();
    archive_entry_set_pathname(entry, name.c_str());
    archive_entry_set_size(entry, static_cast<la_int64_t>(content.size()));
    archive_entry_set_filetype(entry, AE_IFREG);
    archive_entry_set_perm(entry, 0644);
    archive_write_header(zip, entry);
    archive_write_data(zip, content.data(), content.size());
    archive_entry_free(entry);
  }
  archive_write_close(zip);
  archive_write_free(zip);
  return {buffer.data(), used};
}

inline std::string ProfileBytes(cmsHPROFILE profile) {
  cmsUInt32Number length = 0;
  cmsSaveProfileToMem(profile, nullptr, &length);
  std::string bytes(length, '\0');
  cmsSaveProfileToMem(profile, bytes.data(), &length);
  cmsCloseProfile(profile);
  return bytes;
}

inline std::string SrgbProfile() { return ProfileBytes(cmsCreate_sRGBProfile()); }

// Primaries of ITU-R BT.2020 (from memory of the recommendation) with a plain gamma of 2.0.
inline std::string WideProfile() {
  const cmsCIExyY white{0.3127, 0.3290, 1.0};
  const cmsCIExyYTRIPLE primaries{{0.708, 0.292, 1.0}, {0.170, 0.797, 1.0}, {0.131, 0.046, 1.0}};
  cmsToneCurve* curve = cmsBuildGamma(nullptr, 2.0);
  cmsToneCurve* curves[3] = {curve, curve, curve};
  cmsHPROFILE profile = cmsCreateRGBProfile(&white, &primaries, curves);
  cmsFreeToneCurve(curve);
  return ProfileBytes(profile);
}

inline std::string GreyProfile(double gamma) {
  cmsToneCurve* curve = cmsBuildGamma(nullptr, gamma);
  cmsHPROFILE profile = cmsCreateGrayProfile(cmsD50_xyY(), curve);
  cmsFreeToneCurve(curve);
  return ProfileBytes(profile);
}

// An invented press: each ink takes light away as a filter does, paper at L* 95, black at about 8.
inline std::string InkProfile() {
  cmsHPROFILE profile = cmsCreateProfilePlaceholder(nullptr);
  cmsSetProfileVersion(profile, 2.1);  // its table type may stand alone
  cmsSetDeviceClass(profile, cmsSigOutputClass);
  cmsSetColorSpace(profile, cmsSigCmykData);
  cmsSetPCS(profile, cmsSigLabData);
  cmsMLU* name = cmsMLUalloc(nullptr, 1);
  cmsMLUsetASCII(name, "en", "US", "Invented press");
  cmsWriteTag(profile, cmsSigProfileDescriptionTag, name);
  cmsMLUfree(name);
  cmsPipeline* pipeline = cmsPipelineAlloc(nullptr, 4, 3);
  cmsStage* table = cmsStageAllocCLut16bit(nullptr, 9, 4, 3, nullptr);
  cmsStageSampleCLut16bit(table, [](const cmsUInt16Number in[], cmsUInt16Number out[], void*) -> cmsInt32Number {
    const double c = in[0] / 65535.0, m = in[1] / 65535.0, y = in[2] / 65535.0, k = in[3] / 65535.0;
    const double L = 8.0 + 87.0 * (1.0 - k) * (1.0 - 0.45 * c) * (1.0 - 0.5 * m) * (1.0 - 0.1 * y);
    const cmsCIELab lab{L, (1.0 - k) * (-10.0 * c + 40.0 * m), (1.0 - k) * (-30.0 * c + 60.0 * y)};
    cmsFloat2LabEncodedV2(out, &lab);
    return TRUE;
  }, nullptr, 0);
  cmsPipelineInsertStage(pipeline, cmsAT_END, table);
  cmsWriteTag(profile, cmsSigAToB0Tag, pipeline);
  cmsWriteTag(profile, cmsSigAToB1Tag, pipeline);
  cmsPipelineFree(pipeline);
  return ProfileBytes(profile);
}

// A folder of its own for each test, removed at the end.
class TempFolder {
 public:
  TempFolder() {
    static int counter = 0;
    path_ = std::filesystem::temp_directory_path() / ("al_picture_" + std::to_string(::getpid()) + "_" + std::to_string(counter++));
    std::filesystem::create_directories(path_);
  }
  ~TempFolder() {
    std::error_code code;
    std::filesystem::remove_all(path_, code);
  }
  std::filesystem::path Put(const std::string& name, const std::string& bytes) const {
    std::ofstream(path_ / name, std::ios::binary) << bytes;
    return path_ / name;
  }
  const std::filesystem::path& Path() const { return path_; }

 private:
  std::filesystem::path path_;
};

inline Result<Picture> Load(const std::string& bytes, const PictureOptions& options = {}) {
  const TempFolder folder;
  return LoadPicture(folder.Put("picture", bytes), options);
}

// Largest channel difference; -1 when the sizes differ.
inline int Worst(const ImageRgba8& a, const ImageRgba8& b, int channels = 4) {
  if (a.width != b.width || a.height != b.height || a.pixels.size() != b.pixels.size()) return -1;
  int worst = 0;
  for (std::size_t i = 0; i < a.pixels.size(); ++i)
    if (static_cast<int>(i % 4) < channels) worst = std::max(worst, std::abs(int{a.pixels[i]} - int{b.pixels[i]}));
  return worst;
}

inline bool HasNote(const PictureFacts& facts, const std::string& part) {
  for (const auto& note : facts.notes)
    if (note.find(part) != std::string::npos) return true;
  return false;
}

}  // namespace armslength::testing
