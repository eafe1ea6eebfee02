#include "check/pixels/views.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/pixels/levels.h"
#include "check/pixels/thinning.h"
#include "colour/planes.h"
#include "colour/spaces.h"
#include "words/say.h"

namespace armslength {
namespace {

ImageRgba8 Blank(int width, int height) {
  ImageRgba8 out;
  out.width = width;
  out.height = height;
  out.pixels.assign(4 * static_cast<std::size_t>(width) * static_cast<std::size_t>(height), 255);
  return out;
}

std::uint8_t GreyOfL(double l) {
  const Rgb8 c = ToRgb8(ToLinear(ToXyz(Lab{std::clamp(l, 0.0, 100.0), 0, 0}, White::kD65)));
  return c.g;
}

// The grey byte that shows each L byte.
std::array<std::uint8_t, 256> GreyTable() {
  std::array<std::uint8_t, 256> out{};
  for (std::size_t i = 0; i < 256; ++i) out[i] = GreyOfL(static_cast<double>(i) * kLPerByte);
  return out;
}

ImageRgba8 FromLevels(const ImageRgba8& image, const std::array<std::uint8_t, 256>& table) {
  ImageRgba8 out = Blank(image.width, image.height);
  std::vector<std::uint8_t> row(static_cast<std::size_t>(image.width));
  for (int y = 0; y < image.height; ++y) {
    LightnessRow(image.At(0, y), row.size(), row.data());
    std::uint8_t* d = out.At(0, y);
    for (int x = 0; x < image.width; ++x) d[4 * x] = d[4 * x + 1] = d[4 * x + 2] = table[row[static_cast<std::size_t>(x)]];
  }
  return out;
}

ImageRgba8 Groups(const ImageRgba8& image, int k) {
  std::vector<double> histogram(256, 0.0);
  std::vector<std::uint8_t> row(static_cast<std::size_t>(image.width));
  for (int y = 0; y < image.height; ++y) {
    LightnessRow(image.At(0, y), row.size(), row.data());
    for (const std::uint8_t l : row) histogram[l] += 1;
  }
  const LevelSplit split = SplitLevels(histogram, k);
  std::array<std::uint8_t, 256> table{};
  for (int i = 0; i < 256; ++i) {
    std::size_t g = 0;
    while (g < split.cuts.size() && i >= split.cuts[g]) ++g;
    table[static_cast<std::size_t>(i)] = GreyOfL(split.means[g] * kLPerByte);
  }
  return FromLevels(image, table);
}

cv::Mat Wrap(const ImageRgba8& image) {
  return {image.height, image.width, CV_8UC4, const_cast<std::uint8_t*>(image.pixels.data())};
}

// By less than two: bilinear shows the same and costs a tenth of an area average.
ImageRgba8 FitTo(ImageRgba8 image, int side) {
  const int longest = std::max(image.width, image.height);
  if (longest <= side) return image;
  if (longest > 2 * side) return ShrinkTo(image, side);
  const double scale = static_cast<double>(side) / longest;
  ImageRgba8 out = Blank(std::max(1, static_cast<int>(std::lround(image.width * scale))), std::max(1, static_cast<int>(std::lround(image.height * scale))));
  cv::Mat to = Wrap(out);
  cv::resize(Wrap(image), to, to.size(), 0, 0, cv::INTER_LINEAR);
  return out;
}

ImageRgba8 Silhouette(const PictureContext& c) {
  ImageRgba8 out = Blank(c.split.width, c.split.height);
  for (std::size_t i = 0; i < c.split.mask.size(); ++i)
    if (c.split.mask[i]) out.pixels[4 * i] = out.pixels[4 * i + 1] = out.pixels[4 * i + 2] = 20;
  return out;
}

ImageRgba8 LineOnly(const PictureContext& c) {
  ImageRgba8 out = Blank(c.small.width, c.small.height);
  for (std::size_t i = 0; i < c.small.ink.size(); ++i) {
    const auto v = static_cast<std::uint8_t>(255 - c.small.ink[i]);
    out.pixels[4 * i] = out.pixels[4 * i + 1] = out.pixels[4 * i + 2] = v;
  }
  return out;
}

// Thin blue to thick orange, grey at the median; width relative to the median, a factor of two each way.
ImageRgba8 LineWeight(const PictureContext& c) {
  ImageRgba8 out = Blank(c.small.width, c.small.height);
  cv::Mat canvas = Wrap(out);
  const double f = c.small.factor;
  for (const Stroke& stroke : c.graph.strokes)
    for (std::size_t i = 0; i < stroke.samples.size(); i += 2) {
      const StrokeSample& s = stroke.samples[i];
      if (s.width <= 0) continue;
      const double t = std::clamp(std::log2(static_cast<double>(s.width) / std::max(0.1, c.graph.width_px)), -1.0, 1.0);
      const std::array<double, 3> end = t < 0 ? std::array<double, 3>{30, 100, 190} : std::array<double, 3>{220, 110, 20};
      cv::Scalar colour;
      for (int k = 0; k < 3; ++k) colour[k] = 150 + (end[static_cast<std::size_t>(k)] - 150) * std::abs(t);
      colour[3] = 255;
      cv::circle(canvas, {static_cast<int>(static_cast<double>(s.x) / f), static_cast<int>(static_cast<double>(s.y) / f)}, std::max(1, static_cast<int>(std::lround(static_cast<double>(s.width) / (2 * f)))), colour, cv::FILLED);
    }
  return out;
}

ImageRgba8 Edges(const PictureContext& c) {
  const SmallField& s = c.small;
  ImageRgba8 out = Blank(s.width, s.height);
  for (int y = 1; y + 1 < s.height; ++y)
    for (int x = 1; x + 1 < s.width; ++x) {
      const std::size_t i = s.At(x, y), w = static_cast<std::size_t>(s.width);
      const float g = std::hypot(s.l[i + 1] - s.l[i - 1], s.l[i + w] - s.l[i - w]);
      const auto v = static_cast<std::uint8_t>(255.0f - std::min(255.0f, 5.0f * g));
      out.pixels[4 * i] = out.pixels[4 * i + 1] = out.pixels[4 * i + 2] = v;
    }
  return out;
}

constexpr std::array<std::string_view, 9> kSimpleNames = {"mirrored", "upside_down", "grey", "groups_2", "groups_3", "groups_4", "groups_5", "blurred", "thumbnail"};
constexpr std::array<std::string_view, 9> kSimpleTitles = {Later("Mirrored"),    Later("Upside down"),  Later("Grey by lightness"),
                                                           Later("Two values"),  Later("Three values"), Later("Four values"),
                                                           Later("Five values"), Later("Blurred"),      Later("Thumbnail")};

}  // namespace

std::string_view Name(SimpleView view) { return kSimpleNames[static_cast<std::size_t>(view)]; }

ImageRgba8 MakeView(const ImageRgba8& image, SimpleView view) {
  switch (view) {
    case SimpleView::kMirrored:
    case SimpleView::kUpsideDown: {
      ImageRgba8 out = Blank(image.width, image.height);
      cv::Mat to = Wrap(out);
      cv::flip(Wrap(image), to, view == SimpleView::kMirrored ? 1 : -1);
      return out;
    }
    case SimpleView::kGrey: return FromLevels(image, GreyTable());
    case SimpleView::kGroups2: return Groups(image, 2);
    case SimpleView::kGroups3: return Groups(image, 3);
    case SimpleView::kGroups4: return Groups(image, 4);
    case SimpleView::kGroups5: return Groups(image, 5);
    case SimpleView::kBlurred: {
      ImageRgba8 out = Blank(image.width, image.height);
      cv::Mat to = Wrap(out);
      const double sigma = 0.008 * std::max(image.width, image.height);
      // Shrunk first: a blur this wide looks the same and costs a fraction.
      const double shrink = std::max(1.0, sigma / 2.0);
      cv::Mat small;
      cv::resize(Wrap(image), small, {std::max(1, static_cast<int>(image.width / shrink)), std::max(1, static_cast<int>(image.height / shrink))}, 0, 0, cv::INTER_AREA);
      cv::GaussianBlur(small, small, {}, sigma / shrink);
      cv::resize(small, to, to.size(), 0, 0, cv::INTER_CUBIC);
      return out;
    }
    case SimpleView::kThumbnail: return ShrinkTo(image, 200);
  }
  return {};
}

std::vector<FreshEyeView> MakeReportViews(const PictureContext& c) {
  std::vector<FreshEyeView> out;
  const int side = std::max(64, c.options->view_long_side);
  const ImageRgba8 base = FitTo(c.planes.small, side);
  for (int i = 0; i < 9; ++i) {
    const auto view = static_cast<SimpleView>(i);
    out.push_back({std::string(Name(view)), SayLater(kSimpleTitles[static_cast<std::size_t>(i)]), MakeView(base, view)});
  }
  if (c.split.by != SplitBy::kNone) out.push_back({"silhouette", Say("Silhouette"), FitTo(Silhouette(c), side)});
  if (c.line.line_art) {
    out.push_back({"line_only", Say("Line only"), FitTo(LineOnly(c), side)});
    out.push_back({"line_weight", Say("Line weight: blue thin, orange thick"), FitTo(LineWeight(c), side)});
  }
  out.push_back({"edges", Say("Edges: dark is sharp and strong"), FitTo(Edges(c), side)});
  return out;
}

Result<void> MakeFullSizeViews(const Picture& picture, const PictureCheckOptions& options,
                               const std::function<Result<void>(FreshEyeView&&)>& take) {
  for (int i = 0; i < 9; ++i) {
    if (options.control.Stopped()) return Fail(ErrorKind::kCancelled, picture.facts.file, "", "stopped on request", "");
    options.control.Report(i / 9.0, SayLater(kSimpleTitles[static_cast<std::size_t>(i)]));
    const auto view = static_cast<SimpleView>(i);
    if (auto done = take({std::string(Name(view)), SayLater(kSimpleTitles[static_cast<std::size_t>(i)]), MakeView(picture.image, view)});
        !done)
      return done;
  }
  return {};
}

}  // namespace armslength
