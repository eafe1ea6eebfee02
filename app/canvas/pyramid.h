#pragma once
#include <memory>
#include <vector>

#include <QImage>
#include <QSize>

#include "picture/picture.h"
#include "support/job.h"

namespace armslength::app {

// A picture in half-size steps, cut into square tiles, ready to be painted at any zoom.
// Level 0 is the picture itself (tiles look into its buffer, nothing is copied); each next
// level has half the size, averaged over 2 x 2 px with alpha weights.
class Pyramid {
 public:
  static constexpr int kTile = 512;  // px

  // Shares the picture. Runs anywhere; nothing of Qt's GUI is touched. Null when cancelled.
  [[nodiscard]] static std::shared_ptr<const Pyramid> Build(std::shared_ptr<const ImageRgba8> image,
                                                            const JobControl& control = {});

  [[nodiscard]] int Levels() const { return static_cast<int>(levels_.size()); }
  [[nodiscard]] const ImageRgba8& Level(int level) const { return *levels_[static_cast<std::size_t>(level)]; }
  [[nodiscard]] QSize Size(int level = 0) const { return {Level(level).width, Level(level).height}; }
  [[nodiscard]] int TilesX(int level) const { return (Level(level).width + kTile - 1) / kTile; }
  [[nodiscard]] int TilesY(int level) const { return (Level(level).height + kTile - 1) / kTile; }
  // The level whose pixels are at least as fine as the screen's at this zoom (screen px per picture px).
  [[nodiscard]] int LevelFor(double zoom) const;
  // Tile as premultiplied ARGB, with one px of overlap to the right and below against seams.
  [[nodiscard]] QImage Tile(int level, int tx, int ty) const;

 private:
  std::vector<std::shared_ptr<const ImageRgba8>> levels_;
};

}  // namespace armslength::app
