#pragma once
// Inside src/picture only: what the format readers share.
#include <cstdint>
#include <string>
#include <string_view>

#include "picture/picture.h"

namespace armslength {

enum class FileKind : std::uint8_t { kUnknown, kEmpty, kPng, kJpeg, kWebp, kTiff, kZip, kOther };

// By the first bytes. For kOther, `*what` names what it looks like ("a GIF picture").
[[nodiscard]] FileKind TellKind(std::string_view bytes, std::string* what);

// What a reader works from. `bytes` outlives the call.
struct DecodeJob {
  std::string_view bytes;
  std::string file;            // for messages
  std::string place;           // for messages: "layer data/002.png" in an OpenRaster file
  const PictureOptions* options = nullptr;
  bool header_only = false;    // facts without pixels
};

struct Decoded {
  PictureFacts facts;  // file, sha256 and bytes are the caller's to fill
  ImageRgba8 image;    // oriented, sRGB; empty when header_only
};

[[nodiscard]] Result<Decoded> DecodePng(const DecodeJob& job);
[[nodiscard]] Result<Decoded> DecodeJpeg(const DecodeJob& job);
[[nodiscard]] Result<Decoded> DecodeWebp(const DecodeJob& job);
[[nodiscard]] Result<Decoded> DecodeTiff(const DecodeJob& job);
[[nodiscard]] Result<Picture> DecodeOpenRaster(const DecodeJob& job);
// Any of the four flat kinds.
[[nodiscard]] Result<Decoded> DecodeFlat(const DecodeJob& job);

// kInput unless width and height are positive and within options.max_megapixels.
[[nodiscard]] Result<void> CheckSize(const DecodeJob& job, std::uint64_t width, std::uint64_t height);

[[nodiscard]] tl::unexpected<Error> Damaged(const DecodeJob& job, std::string_view format, std::string_view detail);
[[nodiscard]] tl::unexpected<Error> Cancelled(const DecodeJob& job);
[[nodiscard]] tl::unexpected<Error> Animated(const DecodeJob& job, std::string_view format);

// Sets size and memory (large pages, zeroed).
void AllocateImage(ImageRgba8& image, int width, int height);

// EXIF block ("II*\0" or "MM\0*" first, an "Exif\0\0" prefix is skipped): the orientation tag
// 0x0112 of the first directory, 1 when absent or senseless. Source: CIPA DC-008 (Exif 2.3), TIFF 6.0.
[[nodiscard]] int OrientationFromExif(std::string_view exif);

// Turns the picture upright: orientation 1..8 as in TIFF 6.0, tag 274. In place for 1-4, a second
// buffer for 5-8.
void ApplyOrientation(ImageRgba8& image, int orientation);

}  // namespace armslength
