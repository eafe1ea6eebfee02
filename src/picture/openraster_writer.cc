#include <algorithm>
#include <limits>

#include <fmt/format.h>
#include <zlib.h>

#include "picture/composite.h"
#include "picture/picture.h"
#include "support/text.h"

namespace armslength {
namespace {

// A zip file of stored entries. PNG does not shrink further, and OpenRaster wants its first entry
// stored with neither extra fields nor a length that follows the data, which general archive
// writers add. Source: PKWARE APPNOTE 6.3.3, 4.3.7 to 4.3.16. Dates are fixed: same picture, same bytes.
class StoredZip {
 public:
  bool Add(std::string_view name, std::string_view content) {
    if (content.size() > kMost || out_.size() > kMost || count_ == 0xffff) return false;
    const auto crc = static_cast<std::uint32_t>(
        crc32_z(0, reinterpret_cast<const Bytef*>(content.data()), content.size()));
    const auto offset = static_cast<std::uint32_t>(out_.size());
    const auto common = [&](std::string& to) {
      Put(to, 20, 2);      // version needed
      Put(to, 0x0800, 2);  // names are UTF-8
      Put(to, 0, 2);       // stored
      Put(to, 0, 2);       // time 00:00
      Put(to, 0x21, 2);    // 1980-01-01
      Put(to, crc, 4);
      Put(to, static_cast<std::uint32_t>(content.size()), 4);
      Put(to, static_cast<std::uint32_t>(content.size()), 4);
      Put(to, static_cast<std::uint32_t>(name.size()), 2);
      Put(to, 0, 2);  // no extra field
    };
    out_ += "PK\3\4";
    common(out_);
    out_ += name;
    out_ += content;
    directory_ += "PK\1\2";
    Put(directory_, 20, 2);  // made by: version 2.0, no file attributes
    common(directory_);
    Put(directory_, 0, 2);  // comment
    Put(directory_, 0, 2);  // disk
    Put(directory_, 0, 2);
    Put(directory_, 0, 4);
    Put(directory_, offset, 4);
    directory_ += name;
    ++count_;
    return true;
  }
  // Empty when the whole is too long for a plain zip file.
  std::string Finish() && {
    if (out_.size() > kMost || directory_.size() > kMost) return {};
    const auto offset = static_cast<std::uint32_t>(out_.size());
    out_ += directory_;
    out_ += "PK\5\6";
    Put(out_, 0, 4);
    Put(out_, count_, 2);
    Put(out_, count_, 2);
    Put(out_, static_cast<std::uint32_t>(directory_.size()), 4);
    Put(out_, offset, 4);
    Put(out_, 0, 2);
    return std::move(out_);
  }

 private:
  static constexpr std::size_t kMost = 0xfffffff0u;
  static void Put(std::string& to, std::uint32_t value, int bytes) {
    for (int i = 0; i < bytes; ++i) to += static_cast<char>(value >> (8 * i) & 0xff);
  }
  std::string out_, directory_;
  std::uint32_t count_ = 0;
};

}  // namespace

Result<std::string> EncodeOpenRaster(int width, int height, const std::vector<OpenRasterLayer>& layers) {
  const auto broken = [](std::string cause) { return Fail(ErrorKind::kInternal, "", "", std::move(cause), ""); };
  if (width <= 0 || height <= 0) return broken("an OpenRaster file needs a width and a height");
  StackNode root;
  root.group = true;
  std::string list;  // top first
  StoredZip zip;
  zip.Add("mimetype", "image/openraster");
  std::vector<std::string> pictures;
  for (std::size_t i = 0; i < layers.size(); ++i) {
    const auto& layer = layers[i];
    if (!layer.image) return broken(fmt::format("layer '{}' has no picture", layer.name));
    auto png = EncodePng(*layer.image, true);
    if (!png) return tl::unexpected(png.error());
    const double opacity = std::clamp(layer.opacity, 0.0, 1.0);
    const auto source = fmt::format("data/{:03}.png", i);
    list = fmt::format("    <layer name=\"{}\" src=\"{}\" x=\"{}\" y=\"{}\" opacity=\"{:.4g}\" visibility=\"{}\" composite-op=\"svg:src-over\"/>\n",
                       EscapeHtml(layer.name), source, layer.x, layer.y, opacity, layer.visible ? "visible" : "hidden") + list;
    pictures.push_back(std::move(*png));
    StackNode node;
    node.x = layer.x;
    node.y = layer.y;
    node.opacity = opacity;
    node.visible = layer.visible;
    node.image = layer.image;
    root.children.push_back(std::move(node));
  }
  const ImageRgba8 merged = CompositeStack(width, height, root, nullptr);
  auto merged_png = EncodePng(merged, true);
  auto thumbnail = EncodePng(ShrinkTo(merged, 256), true);
  if (!merged_png) return tl::unexpected(merged_png.error());
  if (!thumbnail) return tl::unexpected(thumbnail.error());
  const auto stack = fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<image version=\"0.0.6\" w=\"{}\" h=\"{}\" xres=\"72\" yres=\"72\">\n  <stack>\n{}  </stack>\n</image>\n",
      width, height, list);
  bool fits = zip.Add("stack.xml", stack);
  for (std::size_t i = 0; i < pictures.size() && fits; ++i) fits = zip.Add(fmt::format("data/{:03}.png", i), pictures[i]);
  fits = fits && zip.Add("Thumbnails/thumbnail.png", *thumbnail) && zip.Add("mergedimage.png", *merged_png);
  auto bytes = std::move(zip).Finish();
  if (!fits || bytes.empty()) return broken("the layers are too large for one OpenRaster file");
  return bytes;
}

}  // namespace armslength
