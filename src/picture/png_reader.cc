#include <csetjmp>
#include <cstring>
#include <vector>

#include <fmt/format.h>
#include <png.h>

#include "picture/decode.h"
#include "picture/huge_pages.h"
#include "picture/png_fast.h"
#include "picture/profile.h"

namespace armslength {
namespace {

// Everything that must outlive a longjmp out of libpng lives here.
struct PngState {
  png_structp png = nullptr;
  png_infop info = nullptr;
  std::string_view bytes;
  std::size_t at = 0;
  char message[160] = {};

  ~PngState() { png_destroy_read_struct(&png, &info, nullptr); }
};

void ReadBytes(png_structp png, png_bytep to, std::size_t count) {
  auto* state = static_cast<PngState*>(png_get_io_ptr(png));
  if (count > state->bytes.size() - state->at) png_error(png, "the file ends too early");
  std::memcpy(to, state->bytes.data() + state->at, count);
  state->at += count;
}

[[noreturn]] void OnError(png_structp png, png_const_charp message) {
  auto* state = static_cast<PngState*>(png_get_error_ptr(png));
  std::strncpy(state->message, message ? message : "", sizeof state->message - 1);
  std::longjmp(*png_set_longjmp_fn(png, std::longjmp, sizeof(std::jmp_buf)), 1);
}

void OnWarning(png_structp, png_const_charp) {}  // ancillary chunks only; the pixels are not affected

// Runs `body`; false when libpng gave up. `body` may hold no object with a destructor while it calls libpng.
template <typename Body>
bool Guarded(PngState& state, const Body& body) {
  if (setjmp(png_jmpbuf(state.png))) return false;
  body();
  return true;
}

bool HasChunkBeforePixels(std::string_view bytes, std::string_view name) {
  for (std::size_t at = 8; at + 12 <= bytes.size();) {
    const auto* p = reinterpret_cast<const unsigned char*>(bytes.data() + at);
    const std::size_t length = static_cast<std::size_t>(p[0]) << 24 | static_cast<std::size_t>(p[1]) << 16 |
                               static_cast<std::size_t>(p[2]) << 8 | p[3];
    const auto chunk = bytes.substr(at + 4, 4);
    if (chunk == name) return true;
    if (chunk == "IDAT" || length > bytes.size() - at - 12) return false;
    at += 12 + length;
  }
  return false;
}

// What the file says about its colours. Precedence by the PNG specification (third edition, 4.3):
// iCCP, then sRGB, then gAMA with cHRM.
struct PngColours {
  std::shared_ptr<const ToSrgb> profile;  // null: take the values as they are
  ToSrgb::Layout layout;
};

PngColours ReadColours(PngState& state, bool grey, int bits, PictureFacts& facts) {
  PngColours colours;
  colours.layout = {grey ? ChannelModel::kGrey : ChannelModel::kRgb, bits == 16 ? 16 : 8, true, false};
  ToSrgb::Layout as_rgb = colours.layout;
  as_rgb.model = ChannelModel::kRgb;
  png_charp name = nullptr;
  int compression = 0, intent = 0;
  png_bytep icc = nullptr;
  png_uint_32 icc_length = 0;
  std::string trouble;
  if (png_get_iCCP(state.png, state.info, &name, &compression, &icc, &icc_length) == PNG_INFO_iCCP) {
    facts.profile_embedded = true;
    const std::string_view data(reinterpret_cast<const char*>(icc), icc_length);
    colours.profile = ToSrgb::FromIcc(data, colours.layout, &trouble);
    // Grey pictures with an RGB profile are against the standard and common.
    if (!colours.profile && grey && (colours.profile = ToSrgb::FromIcc(data, as_rgb, nullptr))) {
      colours.layout = as_rgb;
      trouble.clear();
    }
    DescribeProfile(facts, colours.profile.get(), trouble);
    return colours;
  }
  if (png_get_sRGB(state.png, state.info, &intent) == PNG_INFO_sRGB) {
    facts.profile = "sRGB";
    return colours;
  }
  double gamma = 0.0;
  if (png_get_gAMA(state.png, state.info, &gamma) != PNG_INFO_gAMA || gamma <= 0.0) {
    DescribeProfile(facts, nullptr, "");
    return colours;
  }
  // IEC 61966-2-1 primaries and white; the PNG specification gives 0.45455 as sRGB's stand-in gamma.
  constexpr double kSrgb[8] = {0.3127, 0.3290, 0.64, 0.33, 0.30, 0.60, 0.15, 0.06};
  double xy[8] = {0.3127, 0.3290, 0.64, 0.33, 0.30, 0.60, 0.15, 0.06};
  bool srgb_like = std::abs(gamma - 0.45455) < 0.002;
  if (png_get_cHRM(state.png, state.info, &xy[0], &xy[1], &xy[2], &xy[3], &xy[4], &xy[5], &xy[6], &xy[7]) == PNG_INFO_cHRM)
    for (int i = 0; i < 8; ++i) srgb_like = srgb_like && std::abs(xy[i] - kSrgb[i]) < 0.002;
  if (!srgb_like) colours.profile = ToSrgb::FromGamma(1.0 / gamma, xy, colours.layout);
  if (colours.profile)
    DescribeProfile(facts, colours.profile.get(), "");
  else
    facts.profile = "sRGB (by its gamma value)";
  return colours;
}

// Grey pixels arrive as R = G = B; one table serves the whole picture.
void ConvertGreyInPlace(ImageRgba8& image, const ToSrgb& profile) {
  std::uint8_t from[512], table[1024];
  for (int i = 0; i < 256; ++i) {
    from[2 * i] = static_cast<std::uint8_t>(i);
    from[2 * i + 1] = 255;
  }
  profile.Convert(from, table, 256);
  ParallelFor(image.height, 0, [&](int y) {
    std::uint8_t* p = image.At(0, y);
    for (int x = 0; x < image.width; ++x, p += 4) std::memcpy(p, table + 4 * p[0], 3);
  });
}

}  // namespace

Result<Decoded> DecodePng(const DecodeJob& job) {
  if (HasChunkBeforePixels(job.bytes, "acTL")) return Animated(job, "PNG");
  PngState state;
  state.bytes = job.bytes;
  state.png = png_create_read_struct(PNG_LIBPNG_VER_STRING, &state, OnError, OnWarning);
  if (state.png) state.info = png_create_info_struct(state.png);
  if (!state.info) return Fail(ErrorKind::kInternal, job.file, job.place, "no memory for reading the PNG picture", "");
  png_set_read_fn(state.png, &state, ReadBytes);
  png_set_user_limits(state.png, 1'000'000, 1'000'000);
  png_uint_32 width = 0, height = 0;
  int bits = 0, type = 0, interlace = 0;
  const auto damaged = [&] { return Damaged(job, "PNG", state.message); };
  if (!Guarded(state, [&] {
        png_read_info(state.png, state.info);
        png_get_IHDR(state.png, state.info, &width, &height, &bits, &type, &interlace, nullptr, nullptr);
      }))
    return damaged();
  if (auto fits = CheckSize(job, width, height); !fits) return tl::unexpected(fits.error());

  // Deflate makes at most 1032 bytes of one: a wrong size is found before memory is taken.
  const double raw = static_cast<double>(width) * height * bits / 8.0;
  if (raw > 1032.0 * static_cast<double>(job.bytes.size())) return Damaged(job, "PNG", "the file is too short for the size it states");

  Decoded decoded;
  PictureFacts& facts = decoded.facts;
  facts.format = "png";
  facts.bit_depth = bits;
  facts.channels = png_get_channels(state.png, state.info);
  const bool grey = (type & PNG_COLOR_MASK_COLOR) == 0;
  const bool transparent = png_get_valid(state.png, state.info, PNG_INFO_tRNS) != 0;
  facts.has_alpha = (type & PNG_COLOR_MASK_ALPHA) != 0 || transparent;
  const PngColours colours = ReadColours(state, grey, bits, facts);
  const bool convert = colours.profile && !colours.profile->IsSrgb();
  png_bytep exif = nullptr;
  png_uint_32 exif_length = 0;
  if (png_get_eXIf_1(state.png, state.info, &exif_length, &exif) == PNG_INFO_eXIf)
    facts.orientation = OrientationFromExif({reinterpret_cast<const char*>(exif), exif_length});
  if (bits == 16) facts.notes.emplace_back("16 bits reduced to 8 for reading");
  const bool swap_sides = facts.orientation >= 5;
  facts.width = static_cast<int>(swap_sides ? height : width);
  facts.height = static_cast<int>(swap_sides ? width : height);
  if (job.header_only) return decoded;

  ImageRgba8& image = decoded.image;
  bool read = false;
  if (FastPngFits(bits, type, interlace != PNG_INTERLACE_NONE, transparent)) {
    job.options->control.Report(0.0, "reading the picture");
    if (job.options->control.Stopped()) return Cancelled(job);
    image.width = static_cast<int>(width);
    image.height = static_cast<int>(height);
    read = FastPngRead(job.bytes, type, image);
  }
  if (!read) AllocateImage(image, static_cast<int>(width), static_cast<int>(height));
  const bool wide = bits == 16 && convert;  // 16 bits go through the colour conversion whole
  const bool keep_grey = wide && colours.layout.model == ChannelModel::kGrey;
  const std::size_t wide_row = std::size_t{2} * (keep_grey ? 2 : 4) * width;
  constexpr int kStrip = 64;
  std::vector<std::uint8_t> strip;  // stays empty after the quick way, as do the row pointers
  std::vector<png_bytep> rows;
  if (wide) ResizeHuge(strip, wide_row * (interlace ? height : std::min<std::size_t>(height, kStrip)));
  if (interlace && !read) {
    rows.resize(height);
    for (png_uint_32 y = 0; y < height; ++y)
      rows[y] = wide ? strip.data() + y * wide_row : image.At(0, static_cast<int>(y));
  }
  bool stopped = false;
  const auto convert_strip = [&](int first, int count) {
    ParallelFor(count, 0, [&](int row) {
      colours.profile->Convert(strip.data() + static_cast<std::size_t>(row) * wide_row, image.At(0, first + row), width);
    });
  };
  if (!read && !Guarded(state, [&] {
        png_set_expand(state.png);
        if (bits == 16 && !wide) png_set_scale_16(state.png);
        if (wide) png_set_swap(state.png);
        if (grey && !keep_grey) png_set_gray_to_rgb(state.png);
        if (!facts.has_alpha) png_set_add_alpha(state.png, bits == 16 && wide ? 0xffff : 0xff, PNG_FILLER_AFTER);
        png_set_interlace_handling(state.png);
        png_read_update_info(state.png, state.info);
        if (png_get_rowbytes(state.png, state.info) != (wide ? wide_row : std::size_t{4} * width))
          png_error(state.png, "unexpected row size");
        if (interlace) {
          png_read_image(state.png, rows.data());
        } else {
          for (int y = 0; y < image.height && !stopped; ++y) {
            png_read_row(state.png, wide ? strip.data() + static_cast<std::size_t>(y % kStrip) * wide_row : image.At(0, y), nullptr);
            if (wide && (y % kStrip == kStrip - 1 || y == image.height - 1)) convert_strip(y - y % kStrip, y % kStrip + 1);
            if (y % 256 == 0) {
              stopped = job.options->control.Stopped();
              job.options->control.Report(static_cast<double>(y) / image.height, "reading the picture");
            }
          }
        }
        if (!stopped) png_read_end(state.png, nullptr);
      }))
    return damaged();
  if (stopped || job.options->control.Stopped()) return Cancelled(job);
  if (wide && interlace) convert_strip(0, image.height);
  if (!wide && convert) {
    if (colours.layout.model == ChannelModel::kGrey)
      ConvertGreyInPlace(image, *colours.profile);
    else
      colours.profile->ConvertInPlace(image);
  }
  ApplyOrientation(image, facts.orientation);
  return decoded;
}

}  // namespace armslength
