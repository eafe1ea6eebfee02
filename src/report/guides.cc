#include "report/guides.h"

#include <algorithm>
#include <array>
#include <cctype>

#include <fmt/format.h>

#include "check/face/head_guides.h"
#include "check/surface/swatch.h"
#include "report/words.h"
#include "words/say.h"

namespace armslength {
namespace {

using Role = GuideShape::Role;

constexpr const char* kHeadId = "head.construction";

Painter PainterOf(const Guide& guide, ShapeStyle style) {
  style.help_dotted = guide.id != kHeadId;
  return [&guide, style](cairo_t* cr) { DrawShapes(cr, guide.shapes, style); };
}

// "Sleeve_l" reads as an area's own name; the layer says what it is.
void AddPreviews(const Critique& critique, const ImageRgba8& picture, std::vector<Guide>& guides) {
  std::vector<const Finding*> flat;
  const auto take = [&](const Finding& f) {
    if (f.verdict == Verdict::kOff && f.id.starts_with("cloth.pattern.")) flat.push_back(&f);
  };
  for (const Finding& f : critique.first) take(f);
  for (const Finding& f : critique.rest) take(f);
  for (const CoveredFinding& f : critique.covered) take(f.finding);
  for (const Finding* f : flat)
    for (const FigureCritique& figure : critique.figures) {
      if (figure.marks.name != f->figure || !figure.body) continue;
      auto swatch = PreviewSwatch(figure.marks, *figure.body, f->id, picture);
      if (!swatch) continue;
      Guide guide{"preview." + f->id, Say("Preview: pattern laid round the form, {}", f->id.substr(sizeof("cloth.pattern.") - 1)), {}};
      guide.preview = GuideImage{swatch->x, swatch->y, std::move(swatch->image)};
      guides.push_back(std::move(guide));
      break;
    }
}

}  // namespace

std::vector<Guide> GuidesOf(const Critique& critique, const ImageRgba8* picture) {
  std::vector<Guide> guides;
  for (std::size_t i = 0; i < critique.first.size(); ++i) {
    const Finding& f = critique.first[i];
    const std::vector<GuideShape> all = ShapesOf(f);
    Guide guide{f.id, fmt::format("{} {}", i + 1, ShortTitle(f)), {}};
    for (const Role role : {Role::kArrow, Role::kDrawn, Role::kTarget, Role::kBand, Role::kHelp})
      for (const GuideShape& shape : all)
        if (shape.role == role && guide.shapes.size() < kGuideShapes) guide.shapes.push_back(shape);
    if (!guide.shapes.empty()) guides.push_back(std::move(guide));
  }
  for (const FigureCritique& figure : critique.figures) {
    Guide head = HeadConstruction(figure);
    if (head.shapes.empty()) continue;
    if (critique.figures.size() > 1 && !figure.marks.name.empty()) head.title += ": " + figure.marks.name;
    guides.push_back(std::move(head));
  }
  if (picture) AddPreviews(critique, *picture, guides);
  return guides;
}

Guide HeadConstruction(const FigureCritique& figure) {
  Guide guide{kHeadId, Say("Head construction"), {}};
  if (figure.head && figure.head->usable) guide.shapes = HeadGuides(figure.marks, *figure.head);
  return guide;
}

ShapeStyle GuideStyle(int width, int height, bool labels) {
  const int side = std::max(width, height);
  ShapeStyle style;
  style.line_px = std::clamp(side / 1200.0, 1.5, 3.0);
  style.sheet = BoxPx{0.0, 0.0, static_cast<double>(width), static_cast<double>(height)};
  style.text_px = std::clamp(side / 75.0, 14.0, 44.0);
  style.alpha = 0.6;
  style.halo_alpha = 0.5;
  style.labels = labels;
  return style;
}

std::string GuideFileName(int number, const std::string& id, const std::string& extension) {
  std::string safe;
  for (const char c : id) {
    const bool plain = std::isalnum(static_cast<unsigned char>(c)) || c == '.' || c == '-' || c == '_';
    safe += plain ? c : '_';
  }
  if (safe.size() > 80) safe.resize(80);
  return fmt::format("guide-{:02d}-{}.{}", number, safe, extension);
}

Result<std::string> GuidePng(const Guide& guide, int width, int height, bool labels) {
  if (guide.preview) {
    const GuideImage& own = *guide.preview;
    ImageRgba8 whole{width, height, std::vector<std::uint8_t>(4 * static_cast<std::size_t>(width) * static_cast<std::size_t>(height), 0)};
    for (int y = std::max(0, -own.y); y < own.image.height && own.y + y < height; ++y)
      for (int x = std::max(0, -own.x); x < own.image.width && own.x + x < width; ++x)
        std::copy_n(own.image.At(x, y), 4, whole.At(own.x + x, own.y + y));
    return EncodePng(whole, true);
  }
  const auto image = PaintAlone(0, 0, width, height, PainterOf(guide, GuideStyle(width, height, labels)));
  if (!image) return tl::unexpected(image.error());
  return EncodePng(*image, true);
}

Result<std::string> GuideSvg(const Guide& guide, int width, int height, bool labels) {
  if (guide.preview) return std::string();
  return PaintSvg(width, height, PainterOf(guide, GuideStyle(width, height, labels)));
}

Result<std::string> GuidesOpenRaster(const std::vector<Guide>& guides, int width, int height) {
  std::vector<ImageRgba8> images;
  std::vector<OpenRasterLayer> layers;
  images.reserve(2 * guides.size() + 1);
  // Bottom first: the guide that comes first lies on top.
  for (auto guide = guides.rbegin(); guide != guides.rend(); ++guide) {
    if (guide->preview) {
      images.push_back(guide->preview->image);
      layers.push_back({guide->title, nullptr, guide->preview->x, guide->preview->y, 1.0, true});
      continue;
    }
    for (const bool labels : {false, true}) {
      const Painter paint = PainterOf(*guide, GuideStyle(width, height, labels));
      const auto box = InkBox(width, height, paint);
      if (!box) return tl::unexpected(box.error());
      if (box->Empty()) continue;
      const int x = static_cast<int>(box->x), y = static_cast<int>(box->y);
      auto image = PaintAlone(x, y, static_cast<int>(box->width), static_cast<int>(box->height), paint);
      if (!image) return tl::unexpected(image.error());
      images.push_back(std::move(*image));
      layers.push_back({labels ? guide->title : Say("{} (without numbers)", guide->title), nullptr, x, y, 1.0, labels});
    }
  }
  if (images.empty()) {
    images.push_back({1, 1, std::vector<std::uint8_t>(4, 0)});
    layers.push_back({Say("nothing to guide"), nullptr, 0, 0, 1.0, true});
  }
  for (std::size_t i = 0; i < images.size(); ++i) layers[i].image = &images[i];
  return EncodeOpenRaster(width, height, layers);
}

}  // namespace armslength
