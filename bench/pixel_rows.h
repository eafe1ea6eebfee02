#pragma once
#include <algorithm>
#include <functional>
#include <string>
#include <vector>

#include "check/pixels/picture_checks.h"
#include "picture/picture.h"
#include "support/job.h"

// What the rows of both sets of drawings share.
namespace armslength::bench {

struct RowOptions {
  int count = 100, figures = 20;  // drawings a row: rounded forms, drawn figures
  unsigned seed = 500001;
  std::string only, show;  // only rows whose finding id holds this; a folder for one drawing of each row

  [[nodiscard]] bool Wanted(const std::string& id) const { return only.empty() || id.find(only) != std::string::npos; }
};

// What the picture alone says.
inline Result<PictureReport> CheckAlone(const ImageRgba8& image) {
  Picture picture;
  picture.image = image;
  PictureCheckOptions options;
  options.make_views = false;
  options.threads = 1;
  return CheckPicture(picture, options);
}

inline bool Off(const ImageRgba8& image, const std::string& id) {
  const auto report = CheckAlone(image);
  if (!report) return false;
  return std::ranges::any_of(report->findings, [&](const Finding& f) { return f.id == id && f.verdict == Verdict::kOff; });
}

// Which of the drawings from `seed` on have it.
inline std::vector<char> Which(int count, unsigned seed, const std::function<bool(unsigned)>& has) {
  std::vector<char> out(static_cast<std::size_t>(count));
  ParallelFor(count, 0, [&](int i) { out[static_cast<std::size_t>(i)] = has(seed + static_cast<unsigned>(i)); });
  return out;
}

inline double Share(const std::vector<char>& which) {
  return static_cast<double>(std::count(which.begin(), which.end(), 1)) / static_cast<double>(which.size());
}

inline double Share(int count, unsigned seed, const std::string& id, const std::function<ImageRgba8(unsigned)>& make) {
  return Share(Which(count, seed, [&](unsigned k) { return Off(make(k), id); }));
}

}  // namespace armslength::bench
