#pragma once
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "support/error.h"
#include "support/job.h"

namespace armslength {

// 8-bit RGBA, straight (not premultiplied) alpha, sRGB, rows top to bottom, no padding.
struct ImageRgba8 {
  int width = 0, height = 0;
  std::vector<std::uint8_t> pixels;  // 4 * width * height

  [[nodiscard]] const std::uint8_t* At(int x, int y) const {
    return pixels.data() + 4 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x));
  }
  [[nodiscard]] std::uint8_t* At(int x, int y) {
    return pixels.data() + 4 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x));
  }
};

struct PictureFacts {
  std::string file;              // as given
  std::string format;            // "png", "jpeg", "webp", "tiff", "openraster"
  int width = 0, height = 0;     // px, after the orientation tag
  int bit_depth = 0;             // per channel in the file
  int channels = 0;              // in the file
  bool has_alpha = false;
  int orientation = 1;           // EXIF / TIFF tag that was applied
  bool profile_embedded = false;
  std::string profile;           // description of the ICC profile, or "sRGB (assumed)"
  std::string sha256;            // of the file's bytes
  std::uintmax_t bytes = 0;      // file size
  std::vector<std::string> notes;  // "no colour profile: sRGB assumed", "16 bits reduced to 8 for reading"
};

struct Layer {
  std::string name;
  int x = 0, y = 0;       // px, top-left corner in the picture
  double opacity = 1.0;   // 0..1
  bool visible = true;
  std::string blend;      // OpenRaster composite-op
  std::string group;      // names of the groups around it, outermost first, "Figure/Head"; "" at the top.
                          // Opacity and visibility already include the groups'.
  ImageRgba8 image;
};

struct Picture {
  PictureFacts facts;
  ImageRgba8 image;             // what the file shows, sRGB
  std::vector<Layer> layers;    // OpenRaster only, bottom first
};

struct PictureOptions {
  // Larger pictures are refused from their header, before memory is taken. The layers of an
  // OpenRaster file count together. REQUIRES: > 0
  double max_megapixels = 200.0;
  bool load_layers = false;  // OpenRaster: fill Picture::layers and compare them with the merged picture
  JobControl control;
};

// Reads PNG, JPEG, WebP, TIFF (8 and 16 bit; grey, palette, CMYK, alpha) and OpenRaster.
// The type is told by content, not by name. The file is opened read-only. Colours go to sRGB
// (Little CMS, relative colorimetric with black point compensation); what was done is in the
// facts' notes. Pictures cut short and animations are refused. About 0.4 of libpng's time for
// usual PNG pictures, peak memory about 1.6 x the result (bench_picture).
// Errors: kInput with the file, what is wrong and a way out; kCancelled; kUsage for bad options.
[[nodiscard]] Result<Picture> LoadPicture(const std::filesystem::path& path, const PictureOptions& options = {});

// Size and facts without decoding pixels (profile and hash included).
[[nodiscard]] Result<PictureFacts> InspectPicture(const std::filesystem::path& path, const PictureOptions& options = {});

// PNG bytes (8-bit RGBA or RGB, sRGB chunk, no metadata). level 0..9.
[[nodiscard]] Result<std::string> EncodePng(const ImageRgba8& image, bool with_alpha, int level = 4);
// JPEG bytes on white, quality 1..100.
[[nodiscard]] Result<std::string> EncodeJpeg(const ImageRgba8& image, int quality = 88);

// Area-average shrink in linear light, weighted by alpha, so that the longer side is at most `long_side` px; a copy when smaller.
[[nodiscard]] ImageRgba8 ShrinkTo(const ImageRgba8& image, int long_side);

// An OpenRaster file with these layers (bottom first) and the merged picture they give.
struct OpenRasterLayer {
  std::string name;
  const ImageRgba8* image = nullptr;
  int x = 0, y = 0;
  double opacity = 1.0;
  bool visible = true;
};
[[nodiscard]] Result<std::string> EncodeOpenRaster(int width, int height, const std::vector<OpenRasterLayer>& layers);

}  // namespace armslength
