#include <csetjmp>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <vector>

#include <fmt/format.h>
#include <jpeglib.h>
#include <jerror.h>

#include "picture/decode.h"
#include "picture/profile.h"

namespace armslength {
namespace {

// Everything that must outlive a longjmp out of the JPEG library.
struct JpegState {
  jpeg_decompress_struct info{};
  jpeg_error_mgr errors{};
  jpeg_progress_mgr progress{};
  std::jmp_buf escape;
  char message[JMSG_LENGTH_MAX] = {};
  JOCTET* icc = nullptr;
  bool made = false;

  ~JpegState() {
    if (made) jpeg_destroy_decompress(&info);
    std::free(icc);
  }
};

JpegState& StateOf(j_common_ptr info) { return *static_cast<JpegState*>(info->client_data); }

[[noreturn]] void OnError(j_common_ptr info) {
  JpegState& state = StateOf(info);
  (*info->err->format_message)(info, state.message);
  std::longjmp(state.escape, 1);
}

// Level -1 means the pixels are affected: a picture with grey bands would be measured as drawn.
void OnMessage(j_common_ptr info, int level) {
  if (level >= 0) return;
  const int code = info->err->msg_code;
  if (code == JWRN_EXTRANEOUS_DATA || code == JWRN_JFIF_MAJOR || code == JWRN_ADOBE_XFORM) return;
  OnError(info);
}

// A few hundred bytes per scan can ask for a pass over the whole picture each.
void OnProgress(j_common_ptr info) {
  JpegState& state = StateOf(info);
  if (state.info.input_scan_number > 500) {
    std::strncpy(state.message, "it has more than 500 scans", sizeof state.message - 1);
    std::longjmp(state.escape, 1);
  }
}

template <typename Body>
bool Guarded(JpegState& state, const Body& body) {
  if (setjmp(state.escape)) return false;
  body();
  return true;
}

int Orientation(const jpeg_decompress_struct& info) {
  for (jpeg_saved_marker_ptr marker = info.marker_list; marker; marker = marker->next) {
    const std::string_view data(reinterpret_cast<const char*>(marker->data), marker->data_length);
    if (marker->marker == JPEG_APP0 + 1 && data.substr(0, 4) == "Exif") return OrientationFromExif(data);
  }
  return 1;
}

// Ink to light without a profile: what each ink lets through, multiplied. Adobe files store
// the ink that is missing, which is what this wants.
void PlainInks(const std::uint8_t* cmyk, bool inverted, std::uint8_t* rgba, int count) {
  for (int x = 0; x < count; ++x, cmyk += 4, rgba += 4) {
    const int k = inverted ? cmyk[3] : 255 - cmyk[3];
    for (int c = 0; c < 3; ++c) rgba[c] = static_cast<std::uint8_t>(((inverted ? cmyk[c] : 255 - cmyk[c]) * k + 127) / 255);
    rgba[3] = 255;
  }
}

}  // namespace

Result<Decoded> DecodeJpeg(const DecodeJob& job) {
  JpegState state;
  jpeg_decompress_struct& info = state.info;
  info.err = jpeg_std_error(&state.errors);
  info.client_data = &state;
  state.errors.error_exit = OnError;
  state.errors.emit_message = OnMessage;
  state.errors.output_message = [](j_common_ptr) {};
  state.progress.progress_monitor = OnProgress;
  unsigned int icc_length = 0;
  const auto damaged = [&] { return Damaged(job, "JPEG", state.message); };
  if (!Guarded(state, [&] {
        jpeg_create_decompress(&info);
        state.made = true;
        info.client_data = &state;
        jpeg_mem_src(&info, reinterpret_cast<const unsigned char*>(job.bytes.data()), job.bytes.size());
        jpeg_save_markers(&info, JPEG_APP0 + 1, 0xffff);
        jpeg_save_markers(&info, JPEG_APP0 + 2, 0xffff);
        jpeg_read_header(&info, TRUE);
        jpeg_read_icc_profile(&info, &state.icc, &icc_length);
      }))
    return damaged();
  if (auto fits = CheckSize(job, info.image_width, info.image_height); !fits) return tl::unexpected(fits.error());

  // Every 8 x 8 block takes a bit or more (8 times that allowed for arithmetic coding): a wrong
  // size is found before memory is taken.
  if (static_cast<double>(info.image_width) * info.image_height > 4096.0 * static_cast<double>(job.bytes.size()))
    return Damaged(job, "JPEG", "the file is too short for the size it states");

  Decoded decoded;
  PictureFacts& facts = decoded.facts;
  facts.format = "jpeg";
  facts.bit_depth = info.data_precision;
  facts.channels = info.num_components;
  facts.orientation = Orientation(info);
  const bool inks = info.jpeg_color_space == JCS_CMYK || info.jpeg_color_space == JCS_YCCK;
  const bool grey = info.jpeg_color_space == JCS_GRAYSCALE;
  const bool inverted = inks && info.saw_Adobe_marker;
  // Colour and grey arrive as RGBA straight in the picture; inks go through one row.
  ToSrgb::Layout layout{inks ? ChannelModel::kCmyk : grey ? ChannelModel::kGrey : ChannelModel::kRgb, 8, !inks && !grey, inverted};
  std::shared_ptr<const ToSrgb> profile;
  std::string trouble;
  if (state.icc) {
    facts.profile_embedded = true;
    profile = ToSrgb::FromIcc({reinterpret_cast<const char*>(state.icc), icc_length}, layout, &trouble);
  }
  if (inks && !profile) {
    if (!trouble.empty()) facts.notes.push_back(trouble);
    facts.profile = "inks without a usable profile";
    facts.notes.emplace_back("CMYK inks without a usable colour profile: plain conversion, colours are approximate");
  } else {
    DescribeProfile(facts, profile.get(), trouble);
  }
  const bool swap_sides = facts.orientation >= 5;
  facts.width = static_cast<int>(swap_sides ? info.image_height : info.image_width);
  facts.height = static_cast<int>(swap_sides ? info.image_width : info.image_height);
  if (job.header_only) return decoded;

  ImageRgba8& image = decoded.image;
  AllocateImage(image, static_cast<int>(info.image_width), static_cast<int>(info.image_height));
  const bool convert = profile && !profile->IsSrgb();
  const bool by_row = inks || (grey && convert);
  std::vector<std::uint8_t> row(by_row ? std::size_t{4} * info.image_width : 0);
  bool stopped = false;
  if (!Guarded(state, [&] {
        info.out_color_space = inks ? JCS_CMYK : by_row ? JCS_GRAYSCALE : JCS_EXT_RGBA;
        info.progress = &state.progress;
        jpeg_start_decompress(&info);
        while (info.output_scanline < info.output_height && !stopped) {
          const int y = static_cast<int>(info.output_scanline);
          JSAMPROW to = by_row ? row.data() : image.At(0, y);
          if (jpeg_read_scanlines(&info, &to, 1) != 1) continue;
          if (by_row) {
            if (profile)
              profile->Convert(row.data(), image.At(0, y), info.image_width);
            else
              PlainInks(row.data(), inverted, image.At(0, y), image.width);
          }
          if (y % 256 == 0) {
            stopped = job.options->control.Stopped();
            job.options->control.Report(static_cast<double>(y) / image.height, "reading the picture");
          }
        }
        if (!stopped) jpeg_finish_decompress(&info);
      }))
    return damaged();
  if (stopped) return Cancelled(job);
  if (convert && !by_row) profile->ConvertInPlace(image);
  ApplyOrientation(image, facts.orientation);
  return decoded;
}

}  // namespace armslength
