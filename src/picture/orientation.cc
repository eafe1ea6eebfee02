#include <algorithm>
#include <cstring>

#include "picture/decode.h"

namespace armslength {
namespace {

// Reads little- or big-endian numbers and never past the end.
class TiffBytes {
 public:
  TiffBytes(std::string_view bytes, bool big) : bytes_(bytes), big_(big) {}
  [[nodiscard]] bool Has(std::size_t at, std::size_t count) const {
    return at <= bytes_.size() && count <= bytes_.size() - at;
  }
  [[nodiscard]] std::uint32_t Number(std::size_t at, int count) const {
    std::uint32_t value = 0;
    for (int i = 0; i < count; ++i) {
      const int k = big_ ? i : count - 1 - i;
      value = value << 8 | static_cast<unsigned char>(bytes_[at + static_cast<std::size_t>(k)]);
    }
    return value;
  }

 private:
  std::string_view bytes_;
  bool big_;
};

std::uint32_t* Row(ImageRgba8& image, int y) {
  return reinterpret_cast<std::uint32_t*>(image.pixels.data()) +
         static_cast<std::size_t>(y) * static_cast<std::size_t>(image.width);
}

void FlipRows(ImageRgba8& image) {
  ParallelFor(image.height, 0, [&](int y) { std::reverse(Row(image, y), Row(image, y) + image.width); });
}

void FlipUpsideDown(ImageRgba8& image) {
  ParallelFor(image.height / 2, 0,
              [&](int y) { std::swap_ranges(Row(image, y), Row(image, y) + image.width, Row(image, image.height - 1 - y)); });
}

// Mirrors at the main diagonal: (x, y) goes to (y, x). Square blocks keep both sides in cache.
void Transpose(ImageRgba8& image) {
  ImageRgba8 turned;
  AllocateImage(turned, image.height, image.width);
  constexpr int kBlock = 32;
  ParallelFor((image.height + kBlock - 1) / kBlock, 0, [&](int block) {
    const int y0 = block * kBlock, y1 = std::min(image.height, y0 + kBlock);
    for (int x0 = 0; x0 < image.width; x0 += kBlock) {
      const int x1 = std::min(image.width, x0 + kBlock);
      for (int x = x0; x < x1; ++x) {
        std::uint32_t* to = Row(turned, x);
        for (int y = y0; y < y1; ++y) to[y] = Row(image, y)[x];
      }
    }
  });
  image = std::move(turned);
}

}  // namespace

int OrientationFromExif(std::string_view exif) {
  using std::string_view_literals::operator""sv;
  if (exif.substr(0, 6) == "Exif\0\0"sv) exif.remove_prefix(6);
  if (exif.size() < 8) return 1;
  const bool big = exif.substr(0, 4) == "MM\0*"sv;
  if (!big && exif.substr(0, 4) != "II*\0"sv) return 1;
  const TiffBytes tiff(exif, big);
  const std::size_t directory = tiff.Number(4, 4);
  if (!tiff.Has(directory, 2)) return 1;
  const std::uint32_t entries = tiff.Number(directory, 2);
  for (std::uint32_t i = 0; i < entries; ++i) {
    const std::size_t entry = directory + 2 + std::size_t{12} * i;
    if (!tiff.Has(entry, 12)) return 1;
    if (tiff.Number(entry, 2) != 0x0112) continue;
    if (tiff.Number(entry + 2, 2) != 3 || tiff.Number(entry + 4, 4) != 1) return 1;  // one SHORT
    const std::uint32_t value = tiff.Number(entry + 8, 2);
    return value >= 1 && value <= 8 ? static_cast<int>(value) : 1;
  }
  return 1;
}

void ApplyOrientation(ImageRgba8& image, int orientation) {
  // The tag says where the file's row 0 and column 0 lie in the upright picture.
  switch (orientation) {
    case 2:  // row 0 top, column 0 right
      return FlipRows(image);
    case 3:  // bottom, right
      FlipRows(image);
      return FlipUpsideDown(image);
    case 4:  // bottom, left
      return FlipUpsideDown(image);
    case 5:  // row 0 left, column 0 top
      return Transpose(image);
    case 6:  // row 0 right, column 0 top
      Transpose(image);
      return FlipRows(image);
    case 7:  // row 0 right, column 0 bottom
      Transpose(image);
      FlipRows(image);
      return FlipUpsideDown(image);
    case 8:  // row 0 left, column 0 bottom
      Transpose(image);
      return FlipUpsideDown(image);
    default:
      return;
  }
}

}  // namespace armslength
