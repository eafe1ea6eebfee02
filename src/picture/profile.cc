#include "picture/profile.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include <fmt/format.h>
#include <lcms2.h>

namespace armslength {
namespace {

// One context for all: without it, messages about broken profiles would go to a global handler.
cmsContext Context() {
  static const cmsContext context = [] {
    const cmsContext made = cmsCreateContext(nullptr, nullptr);
    cmsSetLogErrorHandlerTHR(made, [](cmsContext, cmsUInt32Number, const char*) {});
    return made;
  }();
  return context;
}

std::string Description(cmsHPROFILE profile) {
  char text[256] = {};
  if (cmsGetProfileInfoASCII(profile, cmsInfoDescription, "en", "US", text, sizeof text) == 0) return "unnamed profile";
  std::string name;
  for (const char c : std::string_view(text))
    if (static_cast<unsigned char>(c) >= 0x20 && static_cast<unsigned char>(c) < 0x7f) name += c;
  return name.empty() ? "unnamed profile" : name;
}

cmsUInt32Number Format(const ToSrgb::Layout& layout) {
  const cmsUInt32Number bytes = layout.bits == 16 ? 2 : 1, extra = layout.alpha ? 1 : 0;
  switch (layout.model) {
    case ChannelModel::kGrey:
      return COLORSPACE_SH(PT_GRAY) | CHANNELS_SH(1) | BYTES_SH(bytes) | EXTRA_SH(extra);
    case ChannelModel::kRgb:
      return COLORSPACE_SH(PT_RGB) | CHANNELS_SH(3) | BYTES_SH(bytes) | EXTRA_SH(extra);
    case ChannelModel::kCmyk:
      return COLORSPACE_SH(PT_CMYK) | CHANNELS_SH(4) | BYTES_SH(bytes) | EXTRA_SH(extra) |
             FLAVOR_SH(layout.inverted_ink ? 1 : 0);
  }
  return 0;
}

cmsColorSpaceSignature Space(ChannelModel model) {
  switch (model) {
    case ChannelModel::kGrey:
      return cmsSigGrayData;
    case ChannelModel::kRgb:
      return cmsSigRgbData;
    case ChannelModel::kCmyk:
      return cmsSigCmykData;
  }
  return cmsSigRgbData;
}

// True when the transform moves no probe colour by more than one 8-bit step. Probes: an 9-step
// grid and every grey; a profile that is not sRGB cannot pass all of them.
bool MovesNothing(cmsHTRANSFORM transform, const ToSrgb::Layout& layout) {
  if (layout.model == ChannelModel::kCmyk) return false;
  std::vector<std::array<int, 3>> probes;
  for (int grey = 0; grey < 256; ++grey) probes.push_back({grey, grey, grey});
  if (layout.model == ChannelModel::kRgb)
    for (int r = 0; r <= 256; r += 32)
      for (int g = 0; g <= 256; g += 32)
        for (int b = 0; b <= 256; b += 32) probes.push_back({std::min(r, 255), std::min(g, 255), std::min(b, 255)});
  const int colours = layout.model == ChannelModel::kGrey ? 1 : 3, channels = colours + (layout.alpha ? 1 : 0);
  for (const auto& probe : probes) {
    std::uint8_t in8[4] = {255, 255, 255, 255}, out[4];
    std::uint16_t in16[4] = {65535, 65535, 65535, 65535};
    for (int c = 0; c < std::min(colours, channels); ++c) {
      in8[c] = static_cast<std::uint8_t>(probe[static_cast<std::size_t>(c)]);
      in16[c] = static_cast<std::uint16_t>(257 * probe[static_cast<std::size_t>(c)]);
    }
    cmsDoTransform(transform, layout.bits == 16 ? static_cast<const void*>(in16) : in8, out, 1);
    for (int c = 0; c < 3; ++c)
      if (std::abs(int{out[c]} - probe[static_cast<std::size_t>(c)]) > 1) return false;
  }
  return true;
}

}  // namespace

std::shared_ptr<const ToSrgb> ToSrgb::Make(void* profile, const Layout& layout) {
  const cmsHPROFILE srgb = cmsCreate_sRGBProfileTHR(Context());
  const cmsUInt32Number flags = cmsFLAGS_BLACKPOINTCOMPENSATION | cmsFLAGS_NOCACHE |  // the cache is not thread-safe
                                (layout.alpha ? cmsFLAGS_COPY_ALPHA : 0) |
                                // The library's shortcut for grey is 7 levels off in the dark of a linear picture.
                                (layout.model == ChannelModel::kGrey ? cmsFLAGS_NOOPTIMIZE : 0);
  const cmsHTRANSFORM transform = cmsCreateTransformTHR(Context(), profile, Format(layout), srgb, TYPE_RGBA_8,
                                                        INTENT_RELATIVE_COLORIMETRIC, flags);
  cmsCloseProfile(srgb);
  if (!transform) return nullptr;
  const std::shared_ptr<ToSrgb> made(new ToSrgb);
  made->transform_ = transform;
  made->layout_ = layout;
  made->is_srgb_ = MovesNothing(transform, layout);
  made->description_ = armslength::Description(profile);
  return made;
}

std::shared_ptr<const ToSrgb> ToSrgb::FromIcc(std::string_view icc, const Layout& layout, std::string* why) {
  const auto refuse = [&](const char* reason) {
    if (why) *why = fmt::format("the embedded colour profile {}: {}", reason,
                                layout.model == ChannelModel::kCmyk ? "inks converted without one" : "sRGB assumed");
    return nullptr;
  };
  const cmsHPROFILE profile = cmsOpenProfileFromMemTHR(Context(), icc.data(), static_cast<cmsUInt32Number>(icc.size()));
  if (!profile) return refuse("cannot be read");
  std::shared_ptr<const ToSrgb> made;
  const bool fits = cmsGetColorSpace(profile) == Space(layout.model);
  if (fits) made = Make(profile, layout);
  cmsCloseProfile(profile);
  if (!fits) return refuse("is for another kind of channels");
  if (!made) return refuse("cannot be used");
  return made;
}

std::shared_ptr<const ToSrgb> ToSrgb::FromGamma(double exponent, const double (&xy)[8], const Layout& layout) {
  if (!(exponent > 0.1 && exponent < 10.0)) return nullptr;
  for (int i = 0; i < 8; i += 2)
    if (!(xy[i] >= 0.0 && xy[i] <= 1.0 && xy[i + 1] > 0.0 && xy[i + 1] <= 1.0)) return nullptr;
  cmsToneCurve* curve = cmsBuildGamma(Context(), exponent);
  if (!curve) return nullptr;
  cmsToneCurve* const curves[3] = {curve, curve, curve};
  const cmsCIExyY white{xy[0], xy[1], 1.0};
  const cmsCIExyYTRIPLE primaries{{xy[2], xy[3], 1.0}, {xy[4], xy[5], 1.0}, {xy[6], xy[7], 1.0}};
  const cmsHPROFILE profile = layout.model == ChannelModel::kGrey
                                  ? cmsCreateGrayProfileTHR(Context(), &white, curve)
                                  : cmsCreateRGBProfileTHR(Context(), &white, &primaries, curves);
  std::shared_ptr<const ToSrgb> made;
  if (profile) {
    made = Make(profile, layout);
    cmsCloseProfile(profile);
  }
  cmsFreeToneCurve(curve);
  if (made) std::const_pointer_cast<ToSrgb>(made)->description_ = fmt::format("gamma {:.3g} and primaries from the file", exponent);
  return made;
}

ToSrgb::~ToSrgb() {
  if (transform_) cmsDeleteTransform(transform_);
}

void ToSrgb::Convert(const void* from, std::uint8_t* rgba, std::size_t count) const {
  const std::size_t step = static_cast<std::size_t>(layout_.bits / 8) *
                           ((layout_.model == ChannelModel::kGrey ? 1u : layout_.model == ChannelModel::kRgb ? 3u : 4u) +
                            (layout_.alpha ? 1u : 0u));
  const auto* in = static_cast<const std::uint8_t*>(from);
  constexpr std::size_t kOnce = 1 << 16;  // the library counts in 32 bits
  for (std::size_t done = 0; done < count; done += kOnce) {
    const std::size_t n = std::min(kOnce, count - done);
    cmsDoTransform(transform_, in + done * step, rgba + 4 * done, static_cast<cmsUInt32Number>(n));
  }
  if (!layout_.alpha)
    for (std::size_t i = 0; i < count; ++i) rgba[4 * i + 3] = 255;
}

void ToSrgb::ConvertInPlace(ImageRgba8& image) const {
  constexpr int kRows = 64;
  ParallelFor((image.height + kRows - 1) / kRows, 0, [&](int strip) {
    const int first = strip * kRows, rows = std::min(kRows, image.height - first);
    std::uint8_t* at = image.At(0, first);
    Convert(at, at, static_cast<std::size_t>(rows) * static_cast<std::size_t>(image.width));
  });
}

void DescribeProfile(PictureFacts& facts, const ToSrgb* profile, const std::string& trouble) {
  if (!trouble.empty()) facts.notes.push_back(trouble);
  if (!profile) {
    facts.profile = "sRGB (assumed)";
    if (trouble.empty()) facts.notes.emplace_back("no colour profile: sRGB assumed");
    return;
  }
  facts.profile = profile->Description();
  if (!profile->IsSrgb())
    facts.notes.push_back(fmt::format("colours converted from '{}' to sRGB, relative colorimetric with black point compensation",
                                      profile->Description()));
}

}  // namespace armslength
