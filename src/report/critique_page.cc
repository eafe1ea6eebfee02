#include "report/critique_page.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <span>

#include <cairo.h>

#include "check/pixels/picture_checks.h"
#include "report/canvas.h"
#include "report/overlay.h"
#include "report/page_parts.h"
#include "report/shapes.h"
#include "support/embedded.h"
#include "support/files.h"
#include "support/text.h"
#include "words/say.h"

namespace armslength {

std::span<const EmbeddedFile> EmbeddedFiles_page();

namespace {

constexpr int kCropLongSide = 720;
constexpr int kTileLongSide = 420;

std::string_view Embedded(std::string_view name) {
  for (const EmbeddedFile& file : EmbeddedFiles_page())
    if (file.name == name) return file.content;
  return {};
}

std::string DataAddress(std::string_view type, std::string_view bytes) {
  return "data:" + std::string(type) + ";base64," + Base64(bytes);
}

// CSP source of an inline script (Content Security Policy Level 3, "hash-source").
std::string ScriptHash(std::string_view script) {
  const std::string hex = Sha256Hex(script);
  std::string raw;
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2) raw += static_cast<char>(std::stoi(hex.substr(i, 2), nullptr, 16));
  return "sha256-" + Base64(raw);
}

// One pass: what is put in is never looked at again, so a figure called "{{script}}" stays
// a figure called "{{script}}".
std::string Fill(std::string_view text, const std::map<std::string, std::string, std::less<>>& values) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t open = text.find("{{", at);
    const std::size_t close = open == std::string_view::npos ? open : text.find("}}", open);
    if (close == std::string_view::npos) return out.append(text.substr(at));
    out.append(text.substr(at, open - at));
    // {{say:Mirror}} is a text of the page itself, in the language spoken.
    const std::string_view name = text.substr(open + 2, close - open - 2);
    const auto value = values.find(name);
    if (value != values.end())
      out += value->second;
    else if (name.starts_with("say:"))
      out += EscapeHtml(SayLater(name.substr(4)));
    at = close + 2;
  }
  return out;
}

ImageRgba8 Cut(const ImageRgba8& image, int x, int y, int width, int height) {
  ImageRgba8 out{width, height, {}};
  out.pixels.reserve(4 * static_cast<std::size_t>(width) * static_cast<std::size_t>(height));
  for (int row = 0; row < height; ++row) {
    const std::uint8_t* from = image.At(x, y + row);
    out.pixels.insert(out.pixels.end(), from, from + 4 * static_cast<std::ptrdiff_t>(width));
  }
  return out;
}

// The finding's place with its lines on it; empty text when it has none.
Result<std::string> Crop(const Critique& critique, const Finding& finding, const ImageRgba8& image) {
  const std::vector<GuideShape> shapes = ShapesOf(finding);
  BoxPx box = BoundsOf(shapes);
  if (box.Empty()) return std::string();
  const double scale = static_cast<double>(image.width) / std::max(1, critique.picture.width);
  const double long_side = std::max(image.width, image.height);
  box = {box.x * scale, box.y * scale, box.width * scale, box.height * scale};
  box = box.Grown(0.18 * std::max(box.width, box.height) + 0.03 * long_side);
  // Neither a thin upright strip nor a flat one: between 1.1 and 2 times as wide as high.
  if (box.width < 1.1 * box.height) box = {box.x - 0.5 * (1.1 * box.height - box.width), box.y, 1.1 * box.height, box.height};
  if (box.height < 0.5 * box.width) box = {box.x, box.y - 0.5 * (0.5 * box.width - box.height), box.width, 0.5 * box.width};
  const int x0 = std::clamp(static_cast<int>(std::floor(box.x)), 0, image.width - 1);
  const int y0 = std::clamp(static_cast<int>(std::floor(box.y)), 0, image.height - 1);
  const int x1 = std::clamp(static_cast<int>(std::ceil(box.Right())), x0 + 1, image.width);
  const int y1 = std::clamp(static_cast<int>(std::ceil(box.Bottom())), y0 + 1, image.height);
  // Nearly the whole picture: the large view shows it better.
  if ((x1 - x0) * 1.0 * (y1 - y0) > 0.7 * image.width * static_cast<double>(image.height)) return std::string();
  ImageRgba8 part = ShrinkTo(Cut(image, x0, y0, x1 - x0, y1 - y0), kCropLongSide);
  const double shrink = static_cast<double>(part.width) / (x1 - x0);
  const double to_part = scale * shrink;
  const double px = 1.0 / to_part;  // one crop pixel in picture pixels
  const double line = std::max(part.width, part.height) / 170.0;
  const ShapeStyle style{std::max(1.5, line) * px, std::max(12.0, 0.045 * part.width) * px, 1.0, 0.75, true, true,
                         BoxPx{x0 / scale, y0 / scale, part.width * px, part.height * px}};
  auto done = PaintOver(part, [&](cairo_t* cr) {
    cairo_translate(cr, -x0 * shrink, -y0 * shrink);
    cairo_scale(cr, to_part, to_part);
    DrawShapes(cr, shapes, style);
  });
  if (!done) return tl::unexpected(done.error());
  auto jpeg = EncodeJpeg(part, 84);
  if (!jpeg) return tl::unexpected(jpeg.error());
  return DataAddress("image/jpeg", *jpeg);
}

}  // namespace

Result<std::string> CritiquePage(const Critique& critique, const PageImages& images, const std::vector<std::string>& notes,
                                 const JobControl& control) {
  const ImageRgba8 shown = ShrinkTo(*images.picture, kPageLongSide);
  auto picture = EncodeJpeg(shown, 86);
  if (!picture) return tl::unexpected(picture.error());
  auto grey = EncodeJpeg(MakeView(shown, SimpleView::kGrey), 84);
  if (!grey) return tl::unexpected(grey.error());
  std::vector<std::string> crops;
  for (const Finding& f : critique.first) {
    if (control.Stopped()) return Fail(ErrorKind::kCancelled, "", "", "stopped while writing the page", "Nothing was written");
    auto crop = Crop(critique, f, *images.picture);
    if (!crop) return tl::unexpected(crop.error());
    crops.push_back(std::move(*crop));
  }
  std::string standing;
  if (images.standing && images.standing->width > 0) {
    auto png = EncodePng(*images.standing, false, 9);
    if (!png) return tl::unexpected(png.error());
    standing = DataAddress("image/png", *png);
  }
  std::vector<page::Tile> tiles;
  for (const FreshEyeView& view : images.views) {
    auto jpeg = EncodeJpeg(ShrinkTo(view.image, kTileLongSide), 82);
    if (!jpeg) return tl::unexpected(jpeg.error());
    tiles.push_back({view.title, "look-" + view.id + ".jpg", DataAddress("image/jpeg", *jpeg)});
  }
  const std::string_view script = Embedded("critique.js");
  return Fill(Embedded("critique.html"),
              {
                  {"script-hash", ScriptHash(script)},
                  {"language", std::string(Language())},
                  {"title", EscapeHtml(Say("Critique of {}", std::filesystem::path(critique.picture.file).filename().string()))},
                  {"picture-of", EscapeHtml(Say("The picture, {}", std::filesystem::path(critique.picture.file).filename().string()))},
                  {"style", std::string(Embedded("critique.css"))},
                  {"script", std::string(script)},
                  {"file", EscapeHtml(std::filesystem::path(critique.picture.file).filename().string())},
                  {"width", std::to_string(critique.picture.width)},
                  {"height", std::to_string(critique.picture.height)},
                  {"picture", DataAddress("image/jpeg", *picture)},
                  {"grey", DataAddress("image/jpeg", *grey)},
                  {"overlay", page::OverlaySvg(critique)},
                  {"marks", EscapeHtml(page::MarksAreProposed(critique) ? Say("proposed marks") : Say("your marks"))},
                  {"headline", EscapeHtml(page::Headline(critique))},
                  {"subline", page::Subline(critique)},
                  {"body", page::Column(critique, crops, standing, tiles, notes)},
              });
}

}  // namespace armslength
