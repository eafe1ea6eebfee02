#include <memory>

#include <webp/decode.h>
#include <webp/demux.h>

#include "picture/decode.h"
#include "picture/profile.h"

namespace armslength {

Result<Decoded> DecodeWebp(const DecodeJob& job) {
  const auto* data = reinterpret_cast<const std::uint8_t*>(job.bytes.data());
  WebPBitstreamFeatures features;
  switch (WebPGetFeatures(data, job.bytes.size(), &features)) {
    case VP8_STATUS_OK:
      break;
    case VP8_STATUS_NOT_ENOUGH_DATA:
      return Damaged(job, "WebP", "the file ends too early");
    default:
      return Damaged(job, "WebP", "its header makes no sense");
  }
  if (features.has_animation) return Animated(job, "WebP");
  if (auto fits = CheckSize(job, static_cast<std::uint64_t>(features.width), static_cast<std::uint64_t>(features.height)); !fits)
    return tl::unexpected(fits.error());
  Decoded decoded;
  PictureFacts& facts = decoded.facts;
  facts.format = "webp";
  facts.bit_depth = 8;
  facts.has_alpha = features.has_alpha != 0;
  facts.channels = facts.has_alpha ? 4 : 3;
  const WebPData whole{data, job.bytes.size()};
  const std::unique_ptr<WebPDemuxer, decltype(&WebPDemuxDelete)> demuxer(WebPDemux(&whole), WebPDemuxDelete);
  if (!demuxer) return Damaged(job, "WebP", "its parts do not fit together");
  std::shared_ptr<const ToSrgb> profile;
  std::string trouble;
  WebPChunkIterator chunk;
  if (WebPDemuxGetChunk(demuxer.get(), "ICCP", 1, &chunk)) {
    facts.profile_embedded = true;
    profile = ToSrgb::FromIcc({reinterpret_cast<const char*>(chunk.chunk.bytes), chunk.chunk.size},
                              {ChannelModel::kRgb, 8, true, false}, &trouble);
    WebPDemuxReleaseChunkIterator(&chunk);
  }
  DescribeProfile(facts, profile.get(), trouble);
  if (WebPDemuxGetChunk(demuxer.get(), "EXIF", 1, &chunk)) {
    facts.orientation = OrientationFromExif({reinterpret_cast<const char*>(chunk.chunk.bytes), chunk.chunk.size});
    WebPDemuxReleaseChunkIterator(&chunk);
  }
  const bool swap_sides = facts.orientation >= 5;
  facts.width = swap_sides ? features.height : features.width;
  facts.height = swap_sides ? features.width : features.height;
  if (job.header_only) return decoded;
  if (job.options->control.Stopped()) return Cancelled(job);

  ImageRgba8& image = decoded.image;
  AllocateImage(image, features.width, features.height);
  WebPDecoderConfig config;
  if (!WebPInitDecoderConfig(&config))
    return Fail(ErrorKind::kInternal, job.file, job.place, "the WebP library is of another version", "");
  config.options.use_threads = 1;
  config.output.colorspace = MODE_RGBA;
  config.output.is_external_memory = 1;
  config.output.u.RGBA.rgba = image.pixels.data();
  config.output.u.RGBA.stride = 4 * features.width;
  config.output.u.RGBA.size = image.pixels.size();
  const VP8StatusCode status = WebPDecode(data, job.bytes.size(), &config);
  WebPFreeDecBuffer(&config.output);
  if (status == VP8_STATUS_NOT_ENOUGH_DATA || status == VP8_STATUS_SUSPENDED)
    return Damaged(job, "WebP", "the file ends too early");
  if (status != VP8_STATUS_OK) return Damaged(job, "WebP", "its pixel data make no sense");
  if (profile && !profile->IsSrgb()) profile->ConvertInPlace(image);
  ApplyOrientation(image, facts.orientation);
  return decoded;
}

}  // namespace armslength
