#include "picture/decode.h"

#include <fmt/format.h>

#include "picture/huge_pages.h"

namespace armslength {
namespace {

bool StartsWith(std::string_view bytes, std::string_view magic, std::size_t at = 0) {
  return bytes.size() >= at + magic.size() && bytes.substr(at, magic.size()) == magic;
}

bool LooksLikeText(std::string_view bytes) {
  const auto head = bytes.substr(0, 512);
  std::size_t high = 0;  // letters beyond ASCII are text too, but not nothing else
  for (const char c : head) {
    const auto u = static_cast<unsigned char>(c);
    if (u < 0x20 && u != '\t' && u != '\n' && u != '\r' && u != '\f') return false;
    high += u >= 0x80;
  }
  return 2 * high < head.size();
}

}  // namespace

FileKind TellKind(std::string_view bytes, std::string* what) {
  using std::string_view_literals::operator""sv;
  if (bytes.empty()) return FileKind::kEmpty;
  if (StartsWith(bytes, "\x89PNG\r\n\x1a\n"sv)) return FileKind::kPng;
  if (StartsWith(bytes, "\xff\xd8\xff"sv)) return FileKind::kJpeg;
  if (StartsWith(bytes, "RIFF"sv) && StartsWith(bytes, "WEBP"sv, 8)) return FileKind::kWebp;
  if (StartsWith(bytes, "II*\0"sv) || StartsWith(bytes, "MM\0*"sv) || StartsWith(bytes, "II+\0"sv) ||
      StartsWith(bytes, "MM\0+"sv))
    return FileKind::kTiff;
  if (StartsWith(bytes, "PK\3\4"sv) || StartsWith(bytes, "PK\5\6"sv)) return FileKind::kZip;
  struct Other {
    std::string_view magic;
    std::size_t at;
    const char* name;
  };
  static constexpr Other kOthers[] = {
      {"\x89PNG"sv, 0, "a PNG picture whose first bytes were altered, as a text-mode transfer does"},
      {"GIF8"sv, 0, "a GIF picture"},
      {"BM"sv, 0, "a BMP picture"},
      {"8BPS"sv, 0, "a layered document in a program's own format"},
      {"%PDF"sv, 0, "a PDF document"},
      {"ftypavif"sv, 4, "an AVIF picture"},
      {"ftypheic"sv, 4, "a HEIC picture"},
      {"ftyp"sv, 4, "a video or HEIF file"},
      {"\xff\x0a"sv, 0, "a JPEG XL picture"},
      {"\0\0\0\x0cJXL "sv, 0, "a JPEG XL picture"},
      {"<?xml"sv, 0, "an XML document"},
      {"<svg"sv, 0, "an SVG drawing"},
      {"RIFF"sv, 0, "a RIFF file (sound or video)"},
      {"\x1f\x8b"sv, 0, "a gzip archive"},
      {"{"sv, 0, "a text file"},
  };
  for (const auto& other : kOthers)
    if (StartsWith(bytes, other.magic, other.at)) {
      if (what) *what = other.name;
      return FileKind::kOther;
    }
  if (LooksLikeText(bytes)) {
    if (what) *what = "a text file";
    return FileKind::kOther;
  }
  return FileKind::kUnknown;
}

Result<void> CheckSize(const DecodeJob& job, std::uint64_t width, std::uint64_t height) {
  if (width == 0 || height == 0)
    return BadInput(job.file, job.place, fmt::format("the picture is {} x {} pixels, so there is nothing in it", width, height),
                    "Save the picture again");
  const double megapixels = static_cast<double>(width) * static_cast<double>(height) / 1e6;
  if (megapixels > job.options->max_megapixels || width > 1'000'000 || height > 1'000'000)
    return BadInput(job.file, job.place,
                    fmt::format("the picture says it is {} x {} pixels ({:.0f} megapixels), more than the limit of {:g} megapixels",
                                width, height, megapixels, job.options->max_megapixels),
                    "Save it smaller, or raise the limit if it is meant to be so large");
  return {};
}

tl::unexpected<Error> Damaged(const DecodeJob& job, std::string_view format, std::string_view detail) {
  return BadInput(job.file, job.place, fmt::format("this {} picture is damaged or cut short ({})", format, detail),
                  "Save or copy it again from the program that made it");
}

tl::unexpected<Error> Cancelled(const DecodeJob& job) {
  return Fail(ErrorKind::kCancelled, job.file, job.place, "reading was stopped", "");
}

tl::unexpected<Error> Animated(const DecodeJob& job, std::string_view format) {
  return BadInput(job.file, job.place, fmt::format("this {} file is an animation, not one picture", format),
                  "Save the frame you want to look at as a picture of its own");
}

void AllocateImage(ImageRgba8& image, int width, int height) {
  image.width = width;
  image.height = height;
  ResizeHuge(image.pixels, std::size_t{4} * static_cast<std::size_t>(width) * static_cast<std::size_t>(height));
}

Result<Decoded> DecodeFlat(const DecodeJob& job) {
  std::string what = "not a picture of a known kind";
  switch (TellKind(job.bytes, &what)) {
    case FileKind::kPng:
      return DecodePng(job);
    case FileKind::kJpeg:
      return DecodeJpeg(job);
    case FileKind::kWebp:
      return DecodeWebp(job);
    case FileKind::kTiff:
      return DecodeTiff(job);
    case FileKind::kEmpty:
      return BadInput(job.file, job.place, "the file is empty", "Save the picture again");
    case FileKind::kZip:
      what = "a zip archive";
      break;
    case FileKind::kOther:
    case FileKind::kUnknown:
      break;
  }
  return BadInput(job.file, job.place, fmt::format("this is {}", what),
                  "Give a PNG, JPEG, WebP, TIFF or OpenRaster picture");
}

}  // namespace armslength
