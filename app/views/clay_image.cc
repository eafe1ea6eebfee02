#include "app/views/clay_image.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace armslength::app {
namespace {

constexpr float kFar = std::numeric_limits<float>::infinity();
constexpr float kStep = 0.022F;  // stature; a nearer edge by this much is an outline

struct Corner {
  float x, y, z, light;
};

class Sheet {
 public:
  explicit Sheet(const QSize& size)
      : wide_(size.width()), high_(size.height()), depth_(Count(), kFar), light_(Count(), 0.0F), ink_(Count(), 0.0F) {}

  void Fill(const Corner& a, const Corner& b, const Corner& c) {
    const float area = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
    if (std::abs(area) < 1e-6F) return;
    const int x0 = std::max(0, static_cast<int>(std::floor(std::min({a.x, b.x, c.x}) - 0.5F)));
    const int x1 = std::min(wide_ - 1, static_cast<int>(std::ceil(std::max({a.x, b.x, c.x}))));
    const int y0 = std::max(0, static_cast<int>(std::floor(std::min({a.y, b.y, c.y}) - 0.5F)));
    const int y1 = std::min(high_ - 1, static_cast<int>(std::ceil(std::max({a.y, b.y, c.y}))));
    for (int y = y0; y <= y1; ++y)
      for (int x = x0; x <= x1; ++x) {
        const float px = static_cast<float>(x) + 0.5F, py = static_cast<float>(y) + 0.5F;
        const float wb = ((px - a.x) * (c.y - a.y) - (py - a.y) * (c.x - a.x)) / area;
        const float wc = ((b.x - a.x) * (py - a.y) - (b.y - a.y) * (px - a.x)) / area;
        const float wa = 1.0F - wb - wc;
        if (wa < -1e-4F || wb < -1e-4F || wc < -1e-4F) continue;
        const float z = wa * a.z + wb * b.z + wc * c.z;
        float& there = depth_[At(x, y)];
        if (z >= there) continue;
        there = z;
        light_[At(x, y)] = wa * a.light + wb * b.light + wc * c.light;
      }
  }

  // A line on the surface, where nothing is in front of it.
  void Line(const Corner& a, const Corner& b, double width, float strength) {
    const float length = std::hypot(b.x - a.x, b.y - a.y);
    const int steps = std::max(1, static_cast<int>(std::ceil(length)));
    for (int i = 0; i <= steps; ++i) {
      const float t = static_cast<float>(i) / static_cast<float>(steps);
      const float x = a.x + t * (b.x - a.x), y = a.y + t * (b.y - a.y), z = a.z + t * (b.z - a.z);
      const int ix = static_cast<int>(x), iy = static_cast<int>(y);
      if (ix < 0 || iy < 0 || ix >= wide_ || iy >= high_ || z > depth_[At(ix, iy)] + 0.4F * kStep) continue;
      Dab(x, y, width, strength, z);
    }
  }

  void Outline(double width) {
    std::vector<std::pair<int, int>> edge;
    const auto steps = [&](int x, int y, int ox, int oy) {
      const float other = ox < 0 || oy < 0 || ox >= wide_ || oy >= high_ ? kFar : depth_[At(ox, oy)];
      return other - depth_[At(x, y)] > kStep;
    };
    for (int y = 0; y < high_; ++y)
      for (int x = 0; x < wide_; ++x)
        if (depth_[At(x, y)] < kFar && (steps(x, y, x + 1, y) || steps(x, y, x - 1, y) || steps(x, y, x, y + 1) || steps(x, y, x, y - 1)))
          edge.emplace_back(x, y);
    for (const auto& [x, y] : edge) Dab(static_cast<float>(x) + 0.5F, static_cast<float>(y) + 0.5F, width, 1.0F, -kFar);
  }

  [[nodiscard]] QImage Image(bool dark) const {
    QImage image(wide_, high_, QImage::Format_ARGB32_Premultiplied);
    const float low = dark ? 62.0F : 112.0F, span = dark ? 138.0F : 126.0F, ink_grey = dark ? 10.0F : 44.0F;
    for (int y = 0; y < high_; ++y) {
      auto* row = reinterpret_cast<QRgb*>(image.scanLine(y));
      for (int x = 0; x < wide_; ++x) {
        const std::size_t i = At(x, y);
        const bool clay = depth_[i] < kFar;
        const float ink = ink_[i];
        const float grey = clay ? (low + span * light_[i]) * (1.0F - ink) + ink_grey * ink : ink_grey * ink;
        const int g = std::clamp(static_cast<int>(std::lround(grey)), 0, 255);
        row[x] = qRgba(g, g, g, clay ? 255 : static_cast<int>(std::lround(255.0F * ink)));
      }
    }
    return image;
  }

 private:
  [[nodiscard]] std::size_t Count() const { return static_cast<std::size_t>(wide_) * static_cast<std::size_t>(high_); }
  [[nodiscard]] std::size_t At(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(wide_) + static_cast<std::size_t>(x);
  }
  void Dab(float cx, float cy, double width, float strength, float z) {
    const float r = static_cast<float>(width) / 2.0F;
    const int reach = static_cast<int>(std::ceil(r + 0.5F));
    const int ix = static_cast<int>(cx), iy = static_cast<int>(cy);
    for (int y = std::max(0, iy - reach); y <= std::min(high_ - 1, iy + reach); ++y)
      for (int x = std::max(0, ix - reach); x <= std::min(wide_ - 1, ix + reach); ++x) {
        const float d = std::hypot(static_cast<float>(x) + 0.5F - cx, static_cast<float>(y) + 0.5F - cy);
        const float cover = std::clamp(r + 0.5F - d, 0.0F, 1.0F) * strength;
        if (z > depth_[At(x, y)] + kStep) continue;  // something stands before it
        ink_[At(x, y)] = std::max(ink_[At(x, y)], cover);
      }
  }

  int wide_, high_;
  std::vector<float> depth_, light_, ink_;
};

}  // namespace

QImage DrawClay(const ClayBody& body, const QSize& size, const std::function<Vec3(const Vec3&)>& turn,
                const std::function<QPointF(const Vec3&)>& place, const ClayLook& look) {
  Sheet sheet(size);
  const Vec3 sun = Vec3(-0.45, -0.65, -0.62).normalized();
  const Vec3 origin = turn(Vec3::Zero());
  std::vector<std::array<Corner, 4>> seen(body.patches.size());
  for (std::size_t i = 0; i < body.patches.size(); ++i) {
    const ClayPatch& patch = body.patches[i];
    for (std::size_t k = 0; k < 4; ++k) {
      const Vec3 at = turn(patch.corner[k]), normal = turn(patch.normal[k]) - origin;
      const QPointF px = place(at);
      // Soft light, a little from everywhere, and the rim a shade darker: clay on a table.
      const double lit = 0.28 + 0.56 * std::max(0.0, normal.dot(sun)) + 0.16 * std::max(0.0, -normal.z());
      seen[i][k] = {static_cast<float>(px.x()), static_cast<float>(px.y()), static_cast<float>(at.z()),
                    static_cast<float>(std::clamp(lit, 0.0, 1.0))};
    }
    sheet.Fill(seen[i][0], seen[i][1], seen[i][2]);
    sheet.Fill(seen[i][0], seen[i][2], seen[i][3]);
  }
  for (std::size_t i = 0; i < body.patches.size(); ++i)
    for (std::size_t k = 0; k < 4; ++k)
      if (body.patches[i].line[k]) sheet.Line(seen[i][k], seen[i][(k + 1) % 4], look.contour_px, 0.62F);
  sheet.Outline(look.outline_px);
  return sheet.Image(look.dark);
}

}  // namespace armslength::app
