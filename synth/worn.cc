#include "synth/worn.h"

#include <utility>

namespace armslength {

WornFigure Wear(const WearOptions& options) {
  SynthFigureOptions figure;
  figure.seed = options.seed;
  figure.sigma = options.sigma;
  WornFigure worn;
  worn.truth = MakeFigure(figure);
  FigureDrawing drawing = RandomDrawing(figure);
  SynthRandom choice(options.seed, 88);
  if (options.change) options.change(drawing, choice);
  const double size = options.size;
  // Marks go where the drawing has the part.
  const auto carried = [&](double by, const Axes& axes, PointId joint, std::initializer_list<PointId> points) {
    if (by == 0.0) return;
    const Vec3 at = drawing.body.Joint(joint);
    const Vec2 shift = drawing.camera.Project(at + by * axes.col(0)) - drawing.camera.Project(at);
    for (const PointId id : points)
      if (const auto mark = worn.truth.marks.points.find(id); mark != worn.truth.marks.points.end()) mark->second += shift;
  };
  carried(drawing.faults.boot_shift, drawing.body.foot[0], PointId::kAnkleL, {PointId::kAnkleL, PointId::kToeL});
  carried(drawing.faults.hand_shift, drawing.body.hand[0], PointId::kWristL, {PointId::kWristL, PointId::kHandTipL});
  const bool small = size < 1.0;
  if (small) {
    drawing.width_px = static_cast<int>(size * drawing.width_px);
    drawing.height_px = static_cast<int>(size * drawing.height_px);
    drawing.camera.scale_px *= size;
    drawing.camera.origin_px *= size;
    drawing.style = DrawingStyle::kSilhouette;
  }
  DrawnFigure drawn = DrawFigure(drawing);
  worn.costume = drawing.costume;
  worn.sites = std::move(drawn.sites);
  for (FaultSite& site : worn.sites) {
    site.at /= size;
    site.size_px /= size;
  }
  worn.marks = worn.truth.marks;
  SynthRandom random(options.seed, 77);
  const double stroke_px = options.stroke_sigma * worn.truth.camera.scale_px;
  const auto moved = [&](const Vec2& p) -> Vec2 {
    const double x = random.Normal(), y = random.Normal();
    return p / size + stroke_px * Vec2(x, y);
  };
  worn.marks.rings = std::move(drawn.truth.rings);
  for (Ring& ring : worn.marks.rings)
    for (Vec2& p : ring.points) p = moved(p);
  worn.marks.centre_front = std::move(drawn.truth.centre_front);
  for (NamedPoint& p : worn.marks.centre_front) p.at = moved(p.at);
  if (options.areas) {
    worn.marks.areas = std::move(drawn.truth.areas);
    if (small)
      for (Area& area : worn.marks.areas)
        for (Vec2& p : area.outline) p /= size;
  }
  if (!small) worn.picture.image = std::move(drawn.image);
  if (options.misplace) options.misplace(worn.marks);
  BodyReadingOptions reading;
  reading.scan_hypotheses = false;
  reading.find_helpful_mark = false;
  if (auto read = ReadBody(worn.marks, options.canon, reading)) worn.reading = std::move(*read);
  return worn;
}

void PullToes(FigureMarks& marks, double part) {
  for (int side = 0; side < 2; ++side) {
    const auto ankle = marks.points.find(On(side, PointId::kAnkleL)), toe = marks.points.find(On(side, PointId::kToeL));
    if (ankle != marks.points.end() && toe != marks.points.end()) toe->second += part * (ankle->second - toe->second);
  }
}

}  // namespace armslength
