#include <future>

#include <fmt/format.h>

#include "picture/decode.h"
#include "support/files.h"

namespace armslength {
namespace {

Result<Picture> Read(const std::filesystem::path& path, const PictureOptions& options, bool header_only) {
  if (!(options.max_megapixels > 0.0))
    return Fail(ErrorKind::kUsage, path.string(), "", fmt::format("max_megapixels is {}, it must be above 0", options.max_megapixels), "");
  auto bytes = ReadFile(path);
  if (!bytes) return tl::unexpected(bytes.error());
  // The hash of a large file takes a tenth of the decoding; it has a core of its own to run on.
  auto hash = std::async(std::launch::async, [&] { return Sha256Hex(*bytes); });
  DecodeJob job;
  job.bytes = *bytes;
  job.file = path.string();
  job.options = &options;
  job.header_only = header_only;
  Picture picture;
  std::string what;
  if (TellKind(*bytes, &what) == FileKind::kZip) {
    auto read = DecodeOpenRaster(job);
    if (!read) return tl::unexpected(read.error());
    picture = std::move(*read);
  } else {
    auto read = DecodeFlat(job);
    if (!read) return tl::unexpected(read.error());
    picture.facts = std::move(read->facts);
    picture.image = std::move(read->image);
  }
  picture.facts.file = path.string();
  picture.facts.bytes = bytes->size();
  picture.facts.sha256 = hash.get();
  options.control.Report(1.0, "reading the picture");
  return picture;
}

}  // namespace

Result<Picture> LoadPicture(const std::filesystem::path& path, const PictureOptions& options) {
  return Read(path, options, false);
}

Result<PictureFacts> InspectPicture(const std::filesystem::path& path, const PictureOptions& options) {
  auto picture = Read(path, options, true);
  if (!picture) return tl::unexpected(picture.error());
  return std::move(picture->facts);
}

}  // namespace armslength
