#include "app/canvas/pyramid.h"

#include <algorithm>
#include <cmath>

namespace armslength::app {
namespace {

ImageRgba8 Halve(const ImageRgba8& in, const JobControl& control) {
  ImageRgba8 out;
  out.width = std::max(1, in.width / 2);
  out.height = std::max(1, in.height / 2);
  out.pixels.resize(std::size_t{4} * static_cast<std::size_t>(out.width) * static_cast<std::size_t>(out.height));
  const int strip = 64;
  ParallelFor((out.height + strip - 1) / strip, 0, [&](int s) {
    if (control.Stopped()) return;
    for (int y = s * strip; y < std::min(out.height, (s + 1) * strip); ++y) {
      const int y1 = std::min(2 * y + 1, in.height - 1);
      for (int x = 0; x < out.width; ++x) {
        const int x1 = std::min(2 * x + 1, in.width - 1);
        const std::uint8_t* p[4] = {in.At(2 * x, 2 * y), in.At(x1, 2 * y), in.At(2 * x, y1), in.At(x1, y1)};
        std::uint8_t* o = out.At(x, y);
        const int alpha = p[0][3] + p[1][3] + p[2][3] + p[3][3];
        for (int c = 0; c < 3; ++c) {
          if (alpha == 4 * 255)
            o[c] = static_cast<std::uint8_t>((p[0][c] + p[1][c] + p[2][c] + p[3][c] + 2) / 4);
          else if (alpha > 0)
            o[c] = static_cast<std::uint8_t>(
                (p[0][c] * p[0][3] + p[1][c] * p[1][3] + p[2][c] * p[2][3] + p[3][c] * p[3][3] + alpha / 2) / alpha);
          else
            o[c] = p[0][c];
        }
        o[3] = static_cast<std::uint8_t>((alpha + 2) / 4);
      }
    }
  });
  return out;
}

}  // namespace

std::shared_ptr<const Pyramid> Pyramid::Build(std::shared_ptr<const ImageRgba8> image, const JobControl& control) {
  if (!image || image->width <= 0 || image->height <= 0) return nullptr;
  auto pyramid = std::make_shared<Pyramid>();
  pyramid->levels_.push_back(std::move(image));
  while (std::max(pyramid->levels_.back()->width, pyramid->levels_.back()->height) > kTile) {
    auto half = Halve(*pyramid->levels_.back(), control);
    if (control.Stopped()) return nullptr;
    pyramid->levels_.push_back(std::make_shared<const ImageRgba8>(std::move(half)));
  }
  return pyramid;
}

int Pyramid::LevelFor(double zoom) const {
  if (!(zoom > 0.0)) return Levels() - 1;
  const int level = static_cast<int>(std::floor(std::log2(1.0 / zoom) + 0.01));
  return std::clamp(level, 0, Levels() - 1);
}

QImage Pyramid::Tile(int level, int tx, int ty) const {
  const ImageRgba8& image = Level(level);
  const int x = tx * kTile, y = ty * kTile;
  const int w = std::min(kTile + 1, image.width - x), h = std::min(kTile + 1, image.height - y);
  if (w <= 0 || h <= 0) return {};
  const QImage view(image.At(x, y), w, h, static_cast<qsizetype>(image.width) * 4, QImage::Format_RGBA8888);
  return view.convertToFormat(QImage::Format_ARGB32_Premultiplied);
}

}  // namespace armslength::app
