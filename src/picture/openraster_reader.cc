#include <algorithm>
#include <map>
#include <memory>
#include <optional>
#include <set>

#include <archive.h>
#include <archive_entry.h>
#include <fmt/format.h>

#include "picture/composite.h"
#include "picture/decode.h"
#include "picture/stack.h"

namespace armslength {
namespace {

constexpr std::size_t kMostEntries = 20'000, kMostText = std::size_t{64} << 20;

struct FreeArchive {
  void operator()(archive* a) const { archive_read_free(a); }
};

// The zip file as a list of named entries, read in file order; nothing is ever unpacked to disk.
class ZipReader {
 public:
  explicit ZipReader(std::string_view bytes) : archive_(archive_read_new()) {
    archive_read_support_format_zip(archive_.get());
    ok_ = archive_read_open_memory(archive_.get(), bytes.data(), bytes.size()) == ARCHIVE_OK;
    if (!ok_) Complain();
  }
  // False at the end or on damage (see Trouble).
  bool Next(std::string* name) {
    if (!ok_ || ++count_ > kMostEntries) return Stop(count_ > kMostEntries ? "it has too many entries" : nullptr);
    archive_entry* entry = nullptr;
    const int status = archive_read_next_header(archive_.get(), &entry);
    if (status == ARCHIVE_EOF) return Stop(nullptr);
    if (status != ARCHIVE_OK && status != ARCHIVE_WARN) return Complain();
    const char* path = archive_entry_pathname(entry);
    *name = path ? path : "";
    return true;
  }
  // The current entry's content; nothing when it is damaged or longer than `most`. When it begins
  // as a PNG picture, `most` is replaced by what a picture of the size it states can need.
  std::optional<std::string> Read(std::size_t most, bool picture, double max_megapixels) {
    std::string content;
    char block[1 << 16];
    for (;;) {
      const la_ssize_t got = archive_read_data(archive_.get(), block, sizeof block);
      if (got < 0) {
        Complain();
        return std::nullopt;
      }
      if (got == 0) return content;
      content.append(block, static_cast<std::size_t>(got));
      if (picture && content.size() >= 24 && content.compare(12, 4, "IHDR") == 0) {
        const auto number = [&](std::size_t at) {
          std::uint32_t value = 0;
          for (std::size_t k = at; k < at + 4; ++k) value = value << 8 | static_cast<unsigned char>(content[k]);
          return static_cast<double>(value);
        };
        // 16-bit RGBA uncompressed, and room for a profile and notes.
        const double pixels = std::min(number(16) * number(20), max_megapixels * 1e6);
        most = static_cast<std::size_t>(8.2 * pixels) + kMostText;
        picture = false;
      }
      if (content.size() > most) {
        trouble_ = "an entry unpacks to more than it can need";
        return std::nullopt;
      }
    }
  }
  [[nodiscard]] const std::string& Trouble() const { return trouble_; }

 private:
  bool Complain() {
    const char* text = archive_error_string(archive_.get());
    return Stop(text ? text : "the zip structure is damaged");
  }
  bool Stop(const char* why) {
    if (why) trouble_ = why;
    ok_ = false;
    return false;
  }
  std::unique_ptr<archive, FreeArchive> archive_;
  bool ok_ = false;
  std::size_t count_ = 0;
  std::string trouble_;
};

DecodeJob Inner(const DecodeJob& job, std::string_view bytes, std::string place) {
  DecodeJob inner = job;
  inner.bytes = bytes;
  inner.place = std::move(place);
  return inner;
}

Result<Decoded> DecodeEntry(const DecodeJob& job, const std::string& content, const std::string& place) {
  const DecodeJob inner = Inner(job, content, place);
  if (TellKind(content, nullptr) != FileKind::kPng)
    return BadInput(job.file, place, "this part of the OpenRaster file is no PNG picture", "Save the picture again");
  return DecodePng(inner);
}

// Reads the layers' pictures into `images`, by source. Their pixels together stay within the limit.
Result<std::map<std::string, ImageRgba8>> ReadLayers(const DecodeJob& job, const std::vector<StackNode*>& layers) {
  std::set<std::string> wanted;
  for (const auto* layer : layers) wanted.insert(layer->source);
  std::map<std::string, ImageRgba8> images;
  ZipReader zip(job.bytes);
  std::string name;
  double pixels = 0.0;
  while (zip.Next(&name)) {
    if (!wanted.contains(name) || images.contains(name)) continue;
    if (job.options->control.Stopped()) return Cancelled(job);
    const std::string place = fmt::format("layer {}", name);
    const auto content = zip.Read(kMostText, true, job.options->max_megapixels);
    if (!content) return Damaged(Inner(job, {}, place), "OpenRaster", zip.Trouble());
    DecodeJob header = Inner(job, *content, place);
    header.header_only = true;
    if (TellKind(*content, nullptr) == FileKind::kPng) {
      const auto facts = DecodePng(header);
      if (!facts) return tl::unexpected(facts.error());
      pixels += static_cast<double>(facts->facts.width) * facts->facts.height;
      if (pixels > job.options->max_megapixels * 1e6)
        return BadInput(job.file, place, fmt::format("the layers together have more than the limit of {:g} megapixels", job.options->max_megapixels),
                        "Merge some layers, or raise the limit");
    }
    auto decoded = DecodeEntry(job, *content, place);
    if (!decoded) return tl::unexpected(decoded.error());
    images.emplace(name, std::move(decoded->image));
    job.options->control.Report(static_cast<double>(images.size()) / static_cast<double>(wanted.size()), "reading the layers");
  }
  if (!zip.Trouble().empty()) return Damaged(job, "OpenRaster", zip.Trouble());
  for (const auto* layer : layers)
    if (!images.contains(layer->source))
      return BadInput(job.file, fmt::format("layer '{}'", layer->name), fmt::format("its picture {} is missing in the file", layer->source),
                      "Save the picture again from the program that made it");
  return images;
}

// Flat copies with the groups' opacity, visibility and names folded in.
void Flatten(const StackNode& group, const std::string& path, double opacity, bool visible, std::vector<Layer>& out) {
  for (const auto& child : group.children) {
    const double own = opacity * child.opacity;
    const bool seen = visible && child.visible;
    if (child.group) {
      Flatten(child, path.empty() ? child.name : path + "/" + child.name, own, seen, out);
      continue;
    }
    Layer layer;
    layer.name = child.name;
    layer.x = child.x;
    layer.y = child.y;
    layer.opacity = own;
    layer.visible = seen;
    layer.blend = child.blend;
    layer.group = path;
    if (child.image) layer.image = *child.image;
    out.push_back(std::move(layer));
  }
}

struct Contents {
  bool mimetype = false;
  std::optional<std::string> stack, merged;
};

Result<Contents> ReadContents(const DecodeJob& job) {
  Contents contents;
  ZipReader zip(job.bytes);
  std::string name;
  while (zip.Next(&name)) {
    const bool mime = name == "mimetype", stack = name == "stack.xml", merged = name == "mergedimage.png";
    if (!mime && !stack && !merged) continue;
    auto content = zip.Read(mime ? 256 : kMostText, merged, job.options->max_megapixels);
    if (!content) return Damaged(Inner(job, {}, name), "OpenRaster", zip.Trouble());
    if (mime) contents.mimetype = content->substr(0, content->find_last_not_of(" \r\n") + 1) == "image/openraster";
    if (stack && !contents.stack) contents.stack = std::move(content);
    if (merged && !contents.merged) contents.merged = std::move(content);
  }
  if (!zip.Trouble().empty()) return Damaged(job, "OpenRaster", zip.Trouble());
  if (!contents.mimetype && !contents.stack)
    return BadInput(job.file, "", "this is a zip archive, not a picture", "Give a PNG, JPEG, WebP, TIFF or OpenRaster picture");
  return contents;
}

}  // namespace

Result<Picture> DecodeOpenRaster(const DecodeJob& job) {
  auto contents = ReadContents(job);
  if (!contents) return tl::unexpected(contents.error());
  Picture picture;
  PictureFacts& facts = picture.facts;
  if (!contents->mimetype) facts.notes.emplace_back("the OpenRaster file has no or a wrong mimetype entry");
  StackDocument document;
  const bool has_stack = contents->stack.has_value();
  if (has_stack) {
    auto parsed = ParseStack(*contents->stack, job.file);
    if (!parsed) return tl::unexpected(parsed.error());
    document = std::move(*parsed);
    if (auto fits = CheckSize(job, static_cast<std::uint64_t>(document.width), static_cast<std::uint64_t>(document.height)); !fits)
      return tl::unexpected(fits.error());
    facts.notes.insert(facts.notes.end(), document.notes.begin(), document.notes.end());
  } else if (contents->merged) {
    facts.notes.emplace_back("stack.xml is missing: only the merged picture was read");
  } else {
    return Damaged(job, "OpenRaster", "it has neither stack.xml nor mergedimage.png");
  }

  if (contents->merged) {
    auto merged = DecodeEntry(job, *contents->merged, "mergedimage.png");
    if (!merged) return tl::unexpected(merged.error());
    auto notes = std::move(facts.notes);
    facts = std::move(merged->facts);
    facts.notes.insert(facts.notes.begin(), notes.begin(), notes.end());
    picture.image = std::move(merged->image);
    contents->merged.reset();
    if (has_stack && (facts.width != document.width || facts.height != document.height))
      facts.notes.push_back(fmt::format("the merged picture is {} x {} but stack.xml says {} x {}; the merged picture was used", facts.width,
                                        facts.height, document.width, document.height));
  } else {
    facts.notes.emplace_back("the file has no merged picture: it was put together from the layers");
    facts.width = document.width;
    facts.height = document.height;
    facts.bit_depth = 8;
    facts.channels = 4;
    facts.has_alpha = true;
    facts.profile = "sRGB (assumed)";
  }
  facts.format = "openraster";
  const bool compose = picture.image.pixels.empty();
  if (job.header_only || (!job.options->load_layers && !compose)) return picture;

  const auto nodes = LayersOf(document.root);
  auto images = ReadLayers(job, nodes);
  if (!images) return tl::unexpected(images.error());
  for (auto* node : nodes) node->image = &images->at(node->source);
  if (compose) {
    picture.image = CompositeStack(document.width, document.height, document.root, &facts.notes);
  } else if (facts.width == document.width && facts.height == document.height && has_stack) {
    const auto again = CompositeStack(document.width, document.height, document.root, &facts.notes);
    const double share = ShareThatDiffers(again, picture.image, 3);
    if (share > 0.001)
      facts.notes.push_back(fmt::format("the merged picture differs from its layers in {:.1f} % of the pixels; the merged picture was used", 100.0 * share));
  }
  if (job.options->load_layers) Flatten(document.root, "", document.root.opacity, document.root.visible, picture.layers);
  return picture;
}

}  // namespace armslength
