#pragma once
// Inside src/picture only: colour profiles to sRGB through Little CMS.
#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

#include "picture/picture.h"

namespace armslength {

enum class ChannelModel : std::uint8_t { kGrey, kRgb, kCmyk };

// A way from a file's colours to sRGB: relative colorimetric with black point compensation.
// Immutable after Make; Convert may be called from several threads.
class ToSrgb {
 public:
  struct Layout {
    ChannelModel model = ChannelModel::kRgb;
    int bits = 8;               // 8 or 16 per channel, native byte order
    bool alpha = false;         // one straight alpha channel after the colours
    bool inverted_ink = false;  // CMYK with 0 = full ink
  };
  // From an embedded ICC profile. Null when it cannot be used (broken, or made for other channels);
  // `*why` then says so in a form for PictureFacts::notes.
  static std::shared_ptr<const ToSrgb> FromIcc(std::string_view icc, const Layout& layout, std::string* why);
  // From a PNG's gAMA and cHRM values: decoding exponent and CIE x, y of white, red, green, blue.
  static std::shared_ptr<const ToSrgb> FromGamma(double exponent, const double (&white_rgb_xy)[8], const Layout& layout);

  ToSrgb(const ToSrgb&) = delete;
  ToSrgb& operator=(const ToSrgb&) = delete;
  ~ToSrgb();

  // True when the profile is sRGB within 8-bit rounding, so that nothing needs converting.
  [[nodiscard]] bool IsSrgb() const { return is_srgb_; }
  [[nodiscard]] const std::string& Description() const { return description_; }
  // `count` pixels of the layout to RGBA8. Alpha is copied, or 255 without one. In place is
  // allowed when the layout is 8-bit RGB with alpha.
  void Convert(const void* from, std::uint8_t* rgba, std::size_t count) const;
  // Whole picture in place on all cores; REQUIRES: 8-bit RGB with alpha.
  void ConvertInPlace(ImageRgba8& image) const;

 private:
  ToSrgb() = default;
  static std::shared_ptr<const ToSrgb> Make(void* profile, const Layout& layout);
  void* transform_ = nullptr;
  Layout layout_;
  bool is_srgb_ = false;
  std::string description_;
};

// Writes the profile's part of the facts: name, "embedded", and the conversion in words.
void DescribeProfile(PictureFacts& facts, const ToSrgb* profile, const std::string& trouble);

}  // namespace armslength
