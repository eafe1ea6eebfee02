#include <algorithm>
#include <array>
#include <cstdarg>
#include <cstdio>
#include <cstring>
#include <memory>
#include <vector>

#include <fmt/format.h>
#include <tiffio.h>

#include "picture/decode.h"
#include "picture/huge_pages.h"
#include "picture/profile.h"

namespace armslength {
namespace {

// The file in memory, read-only, and what the library last complained about.
struct TiffSource {
  std::string_view bytes;
  toff_t at = 0;
  std::string complaint;
};

tmsize_t ReadBytes(thandle_t handle, void* to, tmsize_t count) {
  auto* source = static_cast<TiffSource*>(handle);
  const auto size = static_cast<toff_t>(source->bytes.size());
  if (source->at >= size || count <= 0) return 0;
  const auto n = std::min<toff_t>(static_cast<toff_t>(count), size - source->at);
  std::memcpy(to, source->bytes.data() + source->at, n);
  source->at += n;
  return static_cast<tmsize_t>(n);
}
tmsize_t RefuseWrite(thandle_t, void*, tmsize_t) { return 0; }
toff_t Seek(thandle_t handle, toff_t offset, int whence) {
  auto* source = static_cast<TiffSource*>(handle);
  const auto size = static_cast<toff_t>(source->bytes.size());
  source->at = whence == SEEK_SET ? offset : whence == SEEK_CUR ? source->at + offset : size + offset;
  return source->at;
}
int CloseNothing(thandle_t) { return 0; }
toff_t Size(thandle_t handle) { return static_cast<toff_t>(static_cast<TiffSource*>(handle)->bytes.size()); }
int Map(thandle_t handle, void** base, toff_t* size) {
  auto* source = static_cast<TiffSource*>(handle);
  *base = const_cast<char*>(source->bytes.data());  // the library only reads from a mapped file
  *size = static_cast<toff_t>(source->bytes.size());
  return 1;
}
void Unmap(thandle_t, void*, toff_t) {}

int OnError(TIFF*, void* user, const char*, const char* format, va_list arguments) {
  char text[200];
  std::vsnprintf(text, sizeof text, format, arguments);
  auto* source = static_cast<TiffSource*>(user);
  if (source->complaint.empty()) source->complaint = text;
  return 1;
}
int OnWarning(TIFF*, void*, const char*, const char*, va_list) { return 1; }

struct Close {
  void operator()(TIFF* tiff) const { TIFFClose(tiff); }
};
using TiffHandle = std::unique_ptr<TIFF, Close>;

TiffHandle Open(TiffSource& source) {
  TIFFOpenOptions* options = TIFFOpenOptionsAlloc();
  if (!options) return nullptr;
  TIFFOpenOptionsSetErrorHandlerExtR(options, OnError, &source);
  TIFFOpenOptionsSetWarningHandlerExtR(options, OnWarning, nullptr);
  TIFFOpenOptionsSetMaxSingleMemAlloc(options, tmsize_t{2} << 30);
  TiffHandle tiff(TIFFClientOpenExt("picture", "r", &source, ReadBytes, RefuseWrite, Seek, CloseNothing, Size, Map, Unmap, options));
  TIFFOpenOptionsFree(options);
  return tiff;
}

// How the samples of one pixel are to be read.
struct Samples {
  std::uint32_t width = 0, height = 0;
  std::uint16_t bits = 1, count = 1, photometric = 0, planar = PLANARCONFIG_CONTIG, format = SAMPLEFORMAT_UINT;
  int colours = 1;       // channels before the extra ones
  int alpha = -1;        // index of the alpha sample
  bool premultiplied = false;
  bool ignored = false;  // there are extra samples of unknown meaning
  std::uint16_t compression = COMPRESSION_NONE;
};

Samples Describe(TIFF* tiff) {
  Samples s;
  TIFFGetField(tiff, TIFFTAG_IMAGEWIDTH, &s.width);
  TIFFGetField(tiff, TIFFTAG_IMAGELENGTH, &s.height);
  TIFFGetFieldDefaulted(tiff, TIFFTAG_BITSPERSAMPLE, &s.bits);
  TIFFGetFieldDefaulted(tiff, TIFFTAG_SAMPLESPERPIXEL, &s.count);
  TIFFGetFieldDefaulted(tiff, TIFFTAG_PLANARCONFIG, &s.planar);
  TIFFGetFieldDefaulted(tiff, TIFFTAG_SAMPLEFORMAT, &s.format);
  TIFFGetFieldDefaulted(tiff, TIFFTAG_COMPRESSION, &s.compression);
  if (!TIFFGetField(tiff, TIFFTAG_PHOTOMETRIC, &s.photometric)) s.photometric = s.count >= 3 ? PHOTOMETRIC_RGB : PHOTOMETRIC_MINISBLACK;
  if (s.compression == COMPRESSION_JPEG && s.photometric == PHOTOMETRIC_YCBCR && s.planar == PLANARCONFIG_CONTIG && s.bits == 8) {
    TIFFSetField(tiff, TIFFTAG_JPEGCOLORMODE, JPEGCOLORMODE_RGB);
    s.photometric = PHOTOMETRIC_RGB;
  }
  s.colours = s.photometric == PHOTOMETRIC_RGB || s.photometric == PHOTOMETRIC_YCBCR ? 3 : s.photometric == PHOTOMETRIC_SEPARATED ? 4 : 1;
  std::uint16_t extras = 0, *kinds = nullptr;
  TIFFGetFieldDefaulted(tiff, TIFFTAG_EXTRASAMPLES, &extras, &kinds);
  for (int i = 0; i < extras && s.alpha < 0 && s.colours + i < s.count; ++i)
    if (kinds[i] == EXTRASAMPLE_ASSOCALPHA || kinds[i] == EXTRASAMPLE_UNASSALPHA) {
      s.alpha = s.colours + i;
      s.premultiplied = kinds[i] == EXTRASAMPLE_ASSOCALPHA;
    }
  s.ignored = s.count > s.colours + (s.alpha >= 0 ? 1 : 0);
  return s;
}

// False when no file of this length can hold the pixels its header promises: a damaged or
// hostile header is found before memory is taken.
bool CanHoldPixels(const Samples& s, std::size_t file_bytes) {
  double most = 0.0;  // raw bytes out of one file byte, generous; 0: no bound known
  switch (s.compression) {
    case COMPRESSION_NONE:
      most = 1.0;
      break;
    case COMPRESSION_PACKBITS:
      most = 64.0;
      break;
    case COMPRESSION_LZW:
    case COMPRESSION_DEFLATE:
    case COMPRESSION_ADOBE_DEFLATE:
      most = 4096.0;
      break;
    default:
      return true;
  }
  if (s.photometric == PHOTOMETRIC_YCBCR) most *= 4.0;  // subsampled colour
  return static_cast<double>(s.width) * s.height * s.count * s.bits / 8.0 <= most * static_cast<double>(file_bytes);
}

// True when the pixels are whole samples we take apart ourselves; others go through the library's
// own conversion to 8-bit RGBA.
bool Plain(TIFF* tiff, const Samples& s) {
  if ((s.bits != 8 && s.bits != 16) || s.format != SAMPLEFORMAT_UINT || s.count < s.colours || s.count > 16) return false;
  std::uint16_t inks = INKSET_CMYK;
  TIFFGetFieldDefaulted(tiff, TIFFTAG_INKSET, &inks);
  switch (s.photometric) {
    case PHOTOMETRIC_MINISBLACK:
    case PHOTOMETRIC_MINISWHITE:
    case PHOTOMETRIC_RGB:
      return true;
    case PHOTOMETRIC_SEPARATED:
      return inks == INKSET_CMYK;
    case PHOTOMETRIC_PALETTE:
      return s.bits == 8;
    default:
      return false;
  }
}

// Turns rows of whole samples into RGBA8.
class RowMaker {
 public:
  RowMaker(TIFF* tiff, const Samples& samples, std::shared_ptr<const ToSrgb> profile, ChannelModel model)
      : s_(samples), profile_(std::move(profile)), model_(model) {
    if (s_.photometric != PHOTOMETRIC_PALETTE) return;
    std::uint16_t *r = nullptr, *g = nullptr, *b = nullptr;
    if (!TIFFGetField(tiff, TIFFTAG_COLORMAP, &r, &g, &b)) return;
    palette_.resize(256);
    bool small = true;  // some old writers put 8-bit values in the 16-bit table
    for (int i = 0; i < 256; ++i) small = small && r[i] < 256 && g[i] < 256 && b[i] < 256;
    for (std::size_t i = 0; i < 256; ++i) {
      const std::uint16_t scale = small ? 257 : 1;
      palette_[i] = {static_cast<std::uint16_t>(r[i] * scale), static_cast<std::uint16_t>(g[i] * scale), static_cast<std::uint16_t>(b[i] * scale)};
    }
  }
  [[nodiscard]] bool Ready() const { return s_.photometric != PHOTOMETRIC_PALETTE || !palette_.empty(); }
  [[nodiscard]] int Channels() const { return model_ == ChannelModel::kGrey ? 1 : model_ == ChannelModel::kRgb ? 3 : 4; }

  // planes[k] points at the first sample k; `step` samples lie between neighbours.
  void Make(const std::vector<const std::uint8_t*>& planes, std::size_t step, std::size_t count, std::uint8_t* rgba) {
    // All through 16 bits with an alpha sample; 8-bit values come back unchanged.
    const auto channels = static_cast<std::size_t>(Channels());
    row_.resize((channels + 1) * count);
    std::uint16_t* to = row_.data();
    for (std::size_t x = 0; x < count; ++x, to += channels + 1) {
      const auto sample = [&](int k) -> std::uint16_t {
        const std::uint8_t* plane = planes[static_cast<std::size_t>(k)];
        if (s_.bits == 8) return static_cast<std::uint16_t>(257 * plane[x * step]);
        std::uint16_t value;
        std::memcpy(&value, plane + 2 * x * step, 2);
        return value;
      };
      if (!palette_.empty())
        std::copy_n(palette_[sample(0) / 257].begin(), 3, to);
      else
        for (std::size_t c = 0; c < channels; ++c) to[c] = sample(static_cast<int>(c));
      if (s_.photometric == PHOTOMETRIC_MINISWHITE) to[0] = static_cast<std::uint16_t>(65535 - to[0]);
      const std::uint16_t alpha = s_.alpha >= 0 ? sample(s_.alpha) : std::uint16_t{65535};
      to[channels] = alpha;
      if (s_.premultiplied && alpha != 65535)
        for (std::size_t c = 0; c < channels; ++c)
          to[c] = alpha == 0 ? std::uint16_t{0} : static_cast<std::uint16_t>(std::min<std::uint32_t>(65535, (to[c] * 65535u + alpha / 2u) / alpha));
    }
    if (profile_)
      profile_->Convert(row_.data(), rgba, count);
    else
      Narrow(count, rgba);
  }

 private:
  void Narrow(std::size_t count, std::uint8_t* rgba) const {
    const auto eight = [](std::uint32_t v) { return static_cast<std::uint8_t>((v * 255u + 32895u) >> 16); };
    const auto channels = static_cast<std::size_t>(Channels());
    const std::uint16_t* from = row_.data();
    for (std::size_t x = 0; x < count; ++x, from += channels + 1, rgba += 4) {
      for (std::size_t c = 0; c < 3; ++c) {
        if (model_ == ChannelModel::kCmyk)  // what each ink lets through, multiplied
          rgba[c] = eight((65535u - from[c]) * (65535u - from[3]) / 65535u);
        else
          rgba[c] = eight(from[model_ == ChannelModel::kGrey ? 0 : c]);
      }
      rgba[3] = eight(from[channels]);
    }
  }

  Samples s_;
  std::shared_ptr<const ToSrgb> profile_;
  ChannelModel model_;
  std::vector<std::array<std::uint16_t, 3>> palette_;
  std::vector<std::uint16_t> row_;
};

enum class Outcome : std::uint8_t { kDone, kFailed, kStopped };

// Strips, all samples together: row by row, so one huge strip costs no second picture.
Outcome ReadScanlines(TIFF* tiff, const Samples& s, RowMaker& maker, ImageRgba8& image, const JobControl& control) {
  std::vector<std::uint8_t> line(static_cast<std::size_t>(TIFFScanlineSize(tiff)));
  const std::size_t bytes = s.bits / 8u;
  if (line.size() < bytes * s.count * s.width) return Outcome::kFailed;
  std::vector<const std::uint8_t*> planes;
  for (std::size_t k = 0; k < s.count; ++k) planes.push_back(line.data() + k * bytes);
  for (std::uint32_t y = 0; y < s.height; ++y) {
    if (TIFFReadScanline(tiff, line.data(), y, 0) != 1) return Outcome::kFailed;
    maker.Make(planes, s.count, s.width, image.At(0, static_cast<int>(y)));
    if (y % 256 == 0) {
      if (control.Stopped()) return Outcome::kStopped;
      control.Report(static_cast<double>(y) / s.height, "reading the picture");
    }
  }
  return Outcome::kDone;
}

// Tiles, or strips with one plane per sample: block by block.
Outcome ReadBlocks(TIFF* tiff, const Samples& s, RowMaker& maker, ImageRgba8& image, const JobControl& control) {
  const bool tiled = TIFFIsTiled(tiff) != 0, separate = s.planar == PLANARCONFIG_SEPARATE;
  std::uint32_t block_width = s.width, block_height = 0;
  if (tiled) {
    TIFFGetField(tiff, TIFFTAG_TILEWIDTH, &block_width);
    TIFFGetField(tiff, TIFFTAG_TILELENGTH, &block_height);
  } else {
    TIFFGetFieldDefaulted(tiff, TIFFTAG_ROWSPERSTRIP, &block_height);
    block_height = std::min(block_height, s.height);
  }
  const tmsize_t block = tiled ? TIFFTileSize(tiff) : TIFFStripSize(tiff);
  const std::size_t bytes = s.bits / 8u, step = separate ? 1 : s.count;
  if (block_width == 0 || block_height == 0 || block <= 0 || static_cast<std::uint64_t>(block) > (std::uint64_t{1} << 31) ||
      static_cast<std::uint64_t>(block) < std::uint64_t{bytes} * step * block_width * block_height)
    return Outcome::kFailed;
  const std::size_t planes_read = separate ? s.count : 1;
  std::vector<std::vector<std::uint8_t>> data(planes_read, std::vector<std::uint8_t>(static_cast<std::size_t>(block)));
  std::vector<const std::uint8_t*> planes(s.count);
  for (std::uint32_t y0 = 0; y0 < s.height; y0 += block_height) {
    if (control.Stopped()) return Outcome::kStopped;
    control.Report(static_cast<double>(y0) / s.height, "reading the picture");
    for (std::uint32_t x0 = 0; x0 < s.width; x0 += block_width) {
      for (std::size_t p = 0; p < planes_read; ++p) {
        const auto sample = static_cast<std::uint16_t>(p);
        const tmsize_t got = tiled ? TIFFReadEncodedTile(tiff, TIFFComputeTile(tiff, x0, y0, 0, sample), data[p].data(), block)
                                   : TIFFReadEncodedStrip(tiff, TIFFComputeStrip(tiff, y0, sample), data[p].data(), block);
        if (got < 0) return Outcome::kFailed;
      }
      const std::uint32_t rows = std::min(block_height, s.height - y0), columns = std::min(block_width, s.width - x0);
      for (std::uint32_t y = 0; y < rows; ++y) {
        for (std::size_t k = 0; k < s.count; ++k)
          planes[k] = (separate ? data[k].data() : data[0].data() + k * bytes) + std::size_t{y} * block_width * step * bytes;
        maker.Make(planes, step, columns, image.At(static_cast<int>(x0), static_cast<int>(y0 + y)));
      }
    }
  }
  return Outcome::kDone;
}

// 1-, 2- and 4-bit, YCbCr, L*a*b*, fax and others: the library's conversion, which multiplies colours by alpha.
bool ReadByLibrary(TIFF* tiff, ImageRgba8& image) {
  char why[1024] = {};
  TIFFRGBAImage reader;
  if (!TIFFRGBAImageBegin(&reader, tiff, 1, why)) return false;
  reader.req_orientation = reader.orientation;  // as stored; we turn it ourselves
  const bool ok = TIFFRGBAImageGet(&reader, reinterpret_cast<std::uint32_t*>(image.pixels.data()),
                                   static_cast<std::uint32_t>(image.width), static_cast<std::uint32_t>(image.height)) == 1;
  TIFFRGBAImageEnd(&reader);
  for (std::size_t i = 0; i < image.pixels.size(); i += 4) {
    const unsigned alpha = image.pixels[i + 3];
    if (alpha == 0 || alpha == 255) continue;
    for (std::size_t c = 0; c < 3; ++c)
      image.pixels[i + c] = static_cast<std::uint8_t>(std::min(255u, (image.pixels[i + c] * 255u + alpha / 2u) / alpha));
  }
  return ok;
}

}  // namespace

Result<Decoded> DecodeTiff(const DecodeJob& job) {
  TiffSource source;
  source.bytes = job.bytes;
  const TiffHandle tiff = Open(source);
  const auto damaged = [&] { return Damaged(job, "TIFF", source.complaint.empty() ? "its parts do not fit together" : source.complaint); };
  if (!tiff) return damaged();
  const Samples samples = Describe(tiff.get());
  if (auto fits = CheckSize(job, samples.width, samples.height); !fits) return tl::unexpected(fits.error());

  if (!CanHoldPixels(samples, job.bytes.size())) {
    source.complaint = "the file is too short for the size it states";
    return damaged();
  }

  Decoded decoded;
  PictureFacts& facts = decoded.facts;
  facts.format = "tiff";
  facts.bit_depth = samples.bits;
  facts.channels = samples.count;
  facts.has_alpha = samples.alpha >= 0;
  std::uint16_t orientation = 1;
  TIFFGetFieldDefaulted(tiff.get(), TIFFTAG_ORIENTATION, &orientation);
  facts.orientation = orientation >= 1 && orientation <= 8 ? orientation : 1;
  const bool plain = Plain(tiff.get(), samples);
  if (!plain) {
    char why[1024] = {};
    if (TIFFRGBAImageOK(tiff.get(), why) != 1)
      return BadInput(job.file, job.place, fmt::format("this kind of TIFF picture is not read ({} bits per channel; {})", samples.bits, why),
                      "Save it with 8 or 16 bits per channel, RGB, grey or CMYK");
  }
  const ChannelModel model = samples.photometric == PHOTOMETRIC_SEPARATED ? ChannelModel::kCmyk
                             : samples.colours == 1 && samples.photometric != PHOTOMETRIC_PALETTE ? ChannelModel::kGrey
                                                                                                  : ChannelModel::kRgb;
  std::uint32_t icc_length = 0;
  void* icc = nullptr;
  std::shared_ptr<const ToSrgb> profile;
  std::string trouble;
  if (TIFFGetField(tiff.get(), TIFFTAG_ICCPROFILE, &icc_length, &icc) && icc) {
    facts.profile_embedded = true;
    const ToSrgb::Layout layout = plain ? ToSrgb::Layout{model, 16, true, false} : ToSrgb::Layout{ChannelModel::kRgb, 8, true, false};
    profile = ToSrgb::FromIcc({static_cast<const char*>(icc), icc_length}, layout, &trouble);
  }
  if (model == ChannelModel::kCmyk && !profile) {
    if (!trouble.empty()) facts.notes.push_back(trouble);
    facts.profile = "inks without a usable profile";
    facts.notes.emplace_back("CMYK inks without a usable colour profile: plain conversion, colours are approximate");
  } else {
    DescribeProfile(facts, profile.get(), trouble);
  }
  if (profile && profile->IsSrgb()) profile.reset();
  if (samples.bits == 16) facts.notes.emplace_back("16 bits reduced to 8 for reading");
  if (samples.ignored) facts.notes.emplace_back("extra channels that are not marked as alpha were left out");
  const bool swap_sides = facts.orientation >= 5;
  facts.width = static_cast<int>(swap_sides ? samples.height : samples.width);
  facts.height = static_cast<int>(swap_sides ? samples.width : samples.height);
  if (!job.header_only) {
    ImageRgba8& image = decoded.image;
    AllocateImage(image, static_cast<int>(samples.width), static_cast<int>(samples.height));
    Outcome outcome = Outcome::kFailed;
    if (plain) {
      RowMaker maker(tiff.get(), samples, profile, model);
      if (!maker.Ready()) return Damaged(job, "TIFF", "its colour table is missing");
      const bool blocks = TIFFIsTiled(tiff.get()) || samples.planar == PLANARCONFIG_SEPARATE;
      outcome = blocks ? ReadBlocks(tiff.get(), samples, maker, image, job.options->control)
                       : ReadScanlines(tiff.get(), samples, maker, image, job.options->control);
    } else if (ReadByLibrary(tiff.get(), image)) {
      outcome = Outcome::kDone;
      if (profile) profile->ConvertInPlace(image);
    }
    if (outcome == Outcome::kStopped) return Cancelled(job);
    if (outcome == Outcome::kFailed) return damaged();
    ApplyOrientation(image, facts.orientation);
  }
  // Last, because counting walks through the file and moves away from the first page.
  if (const auto pages = TIFFNumberOfDirectories(tiff.get()); pages > 1)
    facts.notes.push_back(fmt::format("the file has {} pages: the first was read", pages));
  return decoded;
}

}  // namespace armslength
