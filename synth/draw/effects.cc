#include "synth/draw/effects.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "synth/random.h"

namespace armslength {
namespace {

Shape One(Polyline polygon) {
  Shape shape;
  shape.Add(std::move(polygon));
  return shape;
}

struct EdgePoint {
  Vec2 at, along, outwards;
  std::size_t line, index;
};

// Places on the outer contour: ink there, figure on one side, nothing on the other.
std::vector<EdgePoint> OuterContour(const Studio& s) {
  std::vector<EdgePoint> found;
  for (std::size_t k = 0; k < s.edges.size(); ++k) {
    const Polyline line = Resampled(s.edges[k], 60);
    for (std::size_t i = 3; i + 3 < line.size(); ++i) {
      const Vec2 along = (line[i + 1] - line[i - 1]).normalized();
      for (double sign : {1.0, -1.0}) {
        const Vec2 out = sign * Vec2(-along.y(), along.x());
        const Vec2 on_line = line[i] + out * s.line_px;
        if (s.sheet.LineAt(on_line) > 0.95 && s.sheet.FigureAt(line[i] + out * 8 * s.line_px) < 0.05 &&
            s.sheet.LineAt(line[i] + out * 8 * s.line_px) < 0.05 &&
            s.sheet.FigureAt(line[i] - out * 5 * s.line_px) > 0.95 &&
            s.sheet.LineAt(line[i] - out * 5 * s.line_px) < 0.05)
          found.push_back({on_line, along, out, k, i});
      }
    }
  }
  return found;
}

ImageRgba8 Trembling(const ImageRgba8& image, double rms, double wave_px, unsigned seed) {
  const Tremor tremor(rms, wave_px, seed);
  ImageRgba8 out = image;
  for (int y = 0; y < image.height; ++y)
    for (int x = 0; x < image.width; ++x) {
      const Vec2 d = tremor.At(x, y);
      const double fx = std::clamp(x + d.x(), 0.0, image.width - 1.001),
                   fy = std::clamp(y + d.y(), 0.0, image.height - 1.001);
      const int ix = static_cast<int>(fx), iy = static_cast<int>(fy);
      const double u = fx - ix, v = fy - iy;
      for (int c = 0; c < 4; ++c) {
        const double value = (1 - v) * ((1 - u) * image.At(ix, iy)[c] + u * image.At(ix + 1, iy)[c]) +
                             v * ((1 - u) * image.At(ix, iy + 1)[c] + u * image.At(ix + 1, iy + 1)[c]);
        out.At(x, y)[c] = static_cast<std::uint8_t>(std::lround(value));
      }
    }
  return out;
}

// Rough paint: each pixel takes the calmest of its four neighbour squares, lifted by a
// coarse grain along slanting strokes.
ImageRgba8 Painted(const ImageRgba8& image, int radius, unsigned seed) {
  const int w = image.width, h = image.height;
  // Sums of values and squares of lightness.
  const std::size_t stride = static_cast<std::size_t>(w) + 1;
  std::vector<std::array<double, 5>> sum(stride * (static_cast<std::size_t>(h) + 1));
  for (int y = 0; y < h; ++y)
    for (int x = 0; x < w; ++x) {
      const std::uint8_t* p = image.At(x, y);
      const double l = 0.30 * p[0] + 0.59 * p[1] + 0.11 * p[2];
      const std::array<double, 5> v{static_cast<double>(p[0]), static_cast<double>(p[1]),
                                    static_cast<double>(p[2]), l, l * l};
      const std::size_t at = (static_cast<std::size_t>(y) + 1) * stride + static_cast<std::size_t>(x) + 1;
      for (std::size_t c = 0; c < 5; ++c)
        sum[at][c] = v[c] + sum[at - 1][c] + sum[at - stride][c] - sum[at - stride - 1][c];
    }
  SynthRandom random(seed, 603);
  std::vector<double> lattice(256 * 256);
  for (double& value : lattice) value = random.Uniform(-1, 1);
  const auto grain = [&](double x, double y) {  // value noise
    const double fx = std::floor(x), fy = std::floor(y), u = x - fx, v = y - fy;
    const auto at = [&](double gx, double gy) {
      return lattice[(static_cast<std::size_t>(gy + 65536) % 256) * 256 +
                     static_cast<std::size_t>(gx + 65536) % 256];
    };
    return (1 - v) * ((1 - u) * at(fx, fy) + u * at(fx + 1, fy)) +
           v * ((1 - u) * at(fx, fy + 1) + u * at(fx + 1, fy + 1));
  };
  ImageRgba8 out = image;
  for (int y = 0; y < h; ++y)
    for (int x = 0; x < w; ++x) {
      double calmest = 1e18;
      std::array<double, 3> best{};
      for (int q = 0; q < 4; ++q) {
        const int x0 = std::max(0, q % 2 == 0 ? x - radius : x),
                  x1 = std::min(w, (q % 2 == 0 ? x : x + radius) + 1);
        const int y0 = std::max(0, q / 2 == 0 ? y - radius : y),
                  y1 = std::min(h, (q / 2 == 0 ? y : y + radius) + 1);
        const auto box = [&](std::size_t c) {
          const auto at = [&](int xx, int yy) {
            return sum[static_cast<std::size_t>(yy) * stride + static_cast<std::size_t>(xx)][c];
          };
          return at(x1, y1) - at(x0, y1) - at(x1, y0) + at(x0, y0);
        };
        const double n = static_cast<double>((x1 - x0) * (y1 - y0)), mean = box(3) / n,
                     spread = box(4) / n - mean * mean;
        if (spread < calmest) {
          calmest = spread;
          best = {box(0) / n, box(1) / n, box(2) / n};
        }
      }
      const double lift = 9.0 * grain(0.02 * (x + 0.6 * y), 0.22 * (y - 0.6 * x));  // long strokes on a slant
      for (std::size_t c = 0; c < 3; ++c)
        out.At(x, y)[c] = static_cast<std::uint8_t>(std::clamp(best[c] + lift, 0.0, 255.0));
    }
  return out;
}

}  // namespace

Tremor::Tremor(double rms_px, double wave_px, unsigned seed) : size_(rms_px * std::sqrt(2.0 / kWaves)) {
  SynthRandom random(seed, 601);
  for (Wave& wave : waves_) {
    const double a = random.Uniform(0, 2 * M_PI), k = 2 * M_PI / (wave_px * random.Uniform(0.7, 1.5));
    wave = {k * std::cos(a), k * std::sin(a), random.Uniform(0, 2 * M_PI), random.Uniform(0, 2 * M_PI)};
  }
}

Vec2 Tremor::At(double x, double y) const {
  Vec2 sum = Vec2::Zero();
  for (const Wave& w : waves_) {
    const double phase = w.kx * x + w.ky * y;
    sum += Vec2(std::sin(phase + w.px), std::sin(phase + w.py));
  }
  return size_ * sum;
}

void ApplyLineFaults(Studio& s) {
  const DrawingFaults& faults = s.spec.faults;
  SynthRandom random(s.spec.seed, 602);
  if (!faults.line_gaps_px.empty() || faults.hairy_strokes > 0) {
    std::vector<EdgePoint> places = OuterContour(s);
    // The next fault keeps its distance; where there are many they come closer.
    const double apart = 0.08 * std::min(1.0, 30.0 / std::max(1, faults.hairy_strokes)) * s.spec.camera.scale_px;
    const auto draw = [&]() -> std::optional<EdgePoint> {
      if (places.empty()) return std::nullopt;
      const EdgePoint place = places[static_cast<std::size_t>(random.Below(static_cast<int>(places.size())))];
      std::erase_if(places, [&](const EdgePoint& other) { return (other.at - place.at).norm() < apart; });
      return place;
    };
    for (double gap : faults.line_gaps_px)
      if (const auto place = draw()) {
        const Vec2 half = 0.5 * gap * place->along, deep = 5 * s.line_px * place->outwards;
        s.sheet.EraseLine(One({place->at - half - deep, place->at + half - deep, place->at + half + deep,
                               place->at - half + deep}));
        s.out.sites.push_back({"gap", place->at, place->along, gap});
      }
    for (int i = 0; i < faults.hairy_strokes; ++i)
      if (const auto place = draw()) {
        const Polyline edge = Resampled(s.edges[place->line], 60);
        const std::size_t from = place->index < 12 ? 0 : place->index - 12,
                          to = std::min(edge.size() - 1, place->index + 12);
        for (int again = 0; again < 2; ++again) {
          Polyline stroke(edge.begin() + static_cast<std::ptrdiff_t>(from),
                          edge.begin() + static_cast<std::ptrdiff_t>(to));
          const double off = s.line_px * random.Uniform(2.6, 4.2) * (again == 0 ? 1 : -1),
                       slope = s.line_px * random.Uniform(-2, 2);
          for (std::size_t k = 0; k < stroke.size(); ++k)
            stroke[k] += place->outwards *
                         (off + slope * (static_cast<double>(k) / static_cast<double>(stroke.size()) - 0.5));
          s.sheet.Ink(One(Tapered(stroke, 0.8 * s.line_px, 0.4)));
        }
        s.out.sites.push_back({"hairy", place->at, place->along, (edge[to] - edge[from]).norm()});
      }
  }
  for (int i = 0; i < faults.stray_marks; ++i) {
    for (int tries = 0; tries < 200; ++tries) {
      const Vec2 at(random.Uniform(0.08, 0.92) * s.spec.width_px,
                    random.Uniform(0.06, 0.94) * s.spec.height_px);
      bool clear = true;
      for (int k = 0; k < 12 && clear; ++k) {
        const Vec2 near = at + 14 * s.line_px * Vec2(std::cos(k * M_PI / 6), std::sin(k * M_PI / 6));
        clear = s.sheet.LineAt(near) < 0.02 && s.sheet.FigureAt(near) < 0.02;
      }
      if (!clear) continue;
      const double a = random.Uniform(0, M_PI), length = s.line_px * random.Uniform(3, 8);
      const Vec2 half = 0.5 * length * Vec2(std::cos(a), std::sin(a));
      s.sheet.Ink(One(Tapered({at - half, at + 0.1 * Vec2(-half.y(), half.x()), at + half}, 1.2 * s.line_px,
                              0.4, 0.3, 0.1)));
      s.out.sites.push_back({"stray", at, half.normalized(), length});
      break;
    }
  }
}

void Finish(Studio& s) {
  DrawnFigure& out = s.out;
  const int w = s.spec.width_px, h = s.spec.height_px;
  if (s.spec.style == DrawingStyle::kSilhouette) {
    // Everything the figure covers, line included, in one dark tone.
    ImageRgba8 flat = Flatten({out.layers[0]}, w, h);
    for (const std::size_t which : {std::size_t{1}, std::size_t{3}})
      for (std::size_t i = 0; i < flat.pixels.size(); i += 4) {
        const unsigned a = out.layers[which].image.pixels[i + 3];
        for (std::size_t c = 0; c < 3; ++c)
          flat.pixels[i + c] =
              static_cast<std::uint8_t>((24 * a + flat.pixels[i + c] * (255 - a) + 127) / 255);
      }
    out.image = std::move(flat);
    out.layers.clear();
  } else if (s.spec.style == DrawingStyle::kPainterly) {
    for (std::size_t i = 3; i < out.layers[3].image.pixels.size(); i += 4)
      out.layers[3].image.pixels[i] = static_cast<std::uint8_t>(out.layers[3].image.pixels[i] * 6 / 10);
    out.image = Painted(Flatten(out.layers, w, h),
                        std::max(2, static_cast<int>(std::lround(1.6 * s.line_px))), s.spec.seed);
    out.layers.clear();
  } else {
    out.image = Flatten(out.layers, w, h);
  }
  if (s.spec.faults.wobble_px > 0.0) {
    const double wave = 9 * s.line_px;
    for (Layer& layer : out.layers)
      layer.image = Trembling(layer.image, s.spec.faults.wobble_px, wave, s.spec.seed);
    out.image = Trembling(out.image, s.spec.faults.wobble_px, wave, s.spec.seed);
  }
}

}  // namespace armslength
