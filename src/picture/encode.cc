#include <algorithm>
#include <csetjmp>
#include <cstdio>
#include <cstdlib>
#include <vector>

#include <jpeglib.h>
#include <png.h>

#include "picture/picture.h"

namespace armslength {
namespace {

struct PngWriter {
  png_structp png = nullptr;
  png_infop info = nullptr;
  std::string out;
  bool out_of_memory = false;
  ~PngWriter() { png_destroy_write_struct(&png, &info); }
};

Result<void> CheckImage(const ImageRgba8& image) {
  if (image.width <= 0 || image.height <= 0 ||
      image.pixels.size() != std::size_t{4} * static_cast<std::size_t>(image.width) * static_cast<std::size_t>(image.height))
    return Fail(ErrorKind::kInternal, "", "", "an empty or inconsistent picture cannot be written", "");
  return {};
}

struct JpegWriter {
  jpeg_compress_struct info{};
  jpeg_error_mgr errors{};
  std::jmp_buf escape;
  unsigned char* out = nullptr;
  unsigned long length = 0;
  bool made = false;
  ~JpegWriter() {
    if (made) jpeg_destroy_compress(&info);
    std::free(out);
  }
};

}  // namespace

Result<std::string> EncodePng(const ImageRgba8& image, bool with_alpha, int level) {
  if (auto ok = CheckImage(image); !ok) return tl::unexpected(ok.error());
  PngWriter writer;
  writer.png = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, [](png_structp, png_const_charp) {});
  if (writer.png) writer.info = png_create_info_struct(writer.png);
  const auto failed = [] { return Fail(ErrorKind::kInternal, "", "", "the PNG picture could not be written", ""); };
  if (!writer.info) return failed();
  std::vector<std::uint8_t> row(with_alpha ? 0 : std::size_t{3} * static_cast<std::size_t>(image.width));
  if (setjmp(png_jmpbuf(writer.png))) return failed();
  png_set_write_fn(
      writer.png, &writer,
      [](png_structp png, png_bytep data, std::size_t count) {
        auto* to = static_cast<PngWriter*>(png_get_io_ptr(png));
        try {
          to->out.append(reinterpret_cast<const char*>(data), count);
        } catch (const std::bad_alloc&) {
          to->out_of_memory = true;
        }
        if (to->out_of_memory) png_error(png, "no memory");
      },
      nullptr);
  png_set_user_limits(writer.png, 1'000'000, 1'000'000);
  png_set_compression_level(writer.png, std::clamp(level, 0, 9));
  // Adaptive filters cost more than they save at the fast levels.
  if (level <= 2) png_set_filter(writer.png, PNG_FILTER_TYPE_BASE, PNG_FILTER_SUB);
  png_set_IHDR(writer.png, writer.info, static_cast<png_uint_32>(image.width), static_cast<png_uint_32>(image.height), 8,
               with_alpha ? PNG_COLOR_TYPE_RGBA : PNG_COLOR_TYPE_RGB, PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT,
               PNG_FILTER_TYPE_DEFAULT);
  png_set_sRGB(writer.png, writer.info, PNG_sRGB_INTENT_RELATIVE);
  png_write_info(writer.png, writer.info);
  for (int y = 0; y < image.height; ++y) {
    const std::uint8_t* from = image.At(0, y);
    if (!with_alpha) {
      for (int x = 0; x < image.width; ++x)
        for (int c = 0; c < 3; ++c) row[static_cast<std::size_t>(3 * x + c)] = from[4 * x + c];
      from = row.data();
    }
    png_write_row(writer.png, from);
  }
  png_write_end(writer.png, nullptr);
  return std::move(writer.out);
}

Result<std::string> EncodeJpeg(const ImageRgba8& image, int quality) {
  if (auto ok = CheckImage(image); !ok) return tl::unexpected(ok.error());
  if (image.width > JPEG_MAX_DIMENSION || image.height > JPEG_MAX_DIMENSION)
    return Fail(ErrorKind::kInternal, "", "", "a JPEG picture has at most 65500 pixels a side", "Write a PNG picture");
  JpegWriter writer;
  jpeg_compress_struct& info = writer.info;
  info.err = jpeg_std_error(&writer.errors);
  info.client_data = &writer;
  writer.errors.output_message = [](j_common_ptr) {};
  writer.errors.error_exit = [](j_common_ptr common) { std::longjmp(static_cast<JpegWriter*>(common->client_data)->escape, 1); };
  std::vector<std::uint8_t> row(std::size_t{3} * static_cast<std::size_t>(image.width));
  if (setjmp(writer.escape)) return Fail(ErrorKind::kInternal, "", "", "the JPEG picture could not be written", "");
  jpeg_create_compress(&info);
  writer.made = true;
  info.client_data = &writer;
  jpeg_mem_dest(&info, &writer.out, &writer.length);
  info.image_width = static_cast<JDIMENSION>(image.width);
  info.image_height = static_cast<JDIMENSION>(image.height);
  info.input_components = 3;
  info.in_color_space = JCS_RGB;
  jpeg_set_defaults(&info);
  jpeg_set_quality(&info, std::clamp(quality, 1, 100), TRUE);
  jpeg_start_compress(&info, TRUE);
  for (int y = 0; y < image.height; ++y) {
    const std::uint8_t* from = image.At(0, y);
    for (int x = 0; x < image.width; ++x, from += 4)
      for (int c = 0; c < 3; ++c)  // on white, mixed as stored values as screens do
        row[static_cast<std::size_t>(3 * x + c)] = static_cast<std::uint8_t>((from[c] * from[3] + 255 * (255 - from[3]) + 127) / 255);
    JSAMPROW rows[1] = {row.data()};
    jpeg_write_scanlines(&info, rows, 1);
  }
  jpeg_finish_compress(&info);
  return std::string(reinterpret_cast<const char*>(writer.out), writer.length);
}

}  // namespace armslength
