#include "check/pixels/picture_checks.h"

#include <algorithm>
#include <cmath>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/pixels/context.h"
#include "check/pixels/thinning.h"
#include "check/pixels/views.h"
#include "words/say.h"

namespace armslength {
namespace {

// Fraction of ink in each reduced pixel.
void FillInkShare(PictureContext& c) {
  const int q = c.planes.factor;
  const PlaneU8& plane = c.ink.plane;
  ParallelFor(c.small.height, c.options->threads, [&](int sy) {
    for (int sx = 0; sx < c.small.width; ++sx) {
      int n = 0, all = 0;
      for (int y = sy * q; y < std::min(c.Height(), (sy + 1) * q); ++y) {
        const std::uint8_t* row = plane.Row(y + 1) + 1;
        for (int x = sx * q; x < std::min(c.Width(), (sx + 1) * q); ++x, ++all) n += row[x] >> 7;
      }
      c.small.ink[c.small.At(sx, sy)] = static_cast<std::uint8_t>(255 * n / std::max(1, all));
    }
  });
}

void MeasureToGround(PictureContext& c) {
  if (c.split.by == SplitBy::kNone) return;
  const cv::Mat mask(c.split.height, c.split.width, CV_8U, c.split.mask.data());
  c.to_ground.resize(c.split.mask.size());
  cv::Mat to_ground(c.split.height, c.split.width, CV_32F, c.to_ground.data());
  cv::distanceTransform(mask, to_ground, cv::DIST_L2, 3);
}

constexpr double kOtherColour = 0.035;  // OKLab apart, as where figure and ground are split; default, editable

// A line drawing on plain paper: off the ink nearly everything has one colour.
bool IsUncoloured(const PictureContext& c) {
  const SmallField& s = c.small;
  std::vector<std::size_t> places;
  for (std::size_t i = 0; i < s.l.size(); i += 3)
    if (s.ink[i] == 0 && s.seen[i]) places.push_back(i);
  if (places.size() < 100) {
    // Transparent paper: only the lines are there.
    std::size_t seen = 0;
    for (const std::uint8_t v : s.seen) seen += v;
    return static_cast<double>(seen) < 0.2 * static_cast<double>(s.seen.size());
  }
  std::vector<double> l, a, b, ground_l, ground_a, ground_b;
  // An open outline drawing: the ground runs into the figure, and all that is left of it is ink.
  std::size_t figure = 0;
  if (c.split.by != SplitBy::kNone)
    for (const std::size_t i : places) figure += c.split.mask[i] != 0;
  std::size_t figure_ink = 0;
  if (c.split.by != SplitBy::kNone)
    for (std::size_t i = 0; i < s.ink.size(); i += 3) figure_ink += s.ink[i] != 0 && c.split.mask[i] != 0;
  const bool only_ink = c.split.by != SplitBy::kNone && figure < figure_ink;
  for (const std::size_t i : places) {
    if (!only_ink && c.split.by != SplitBy::kNone && c.split.mask[i] == 0) {
      ground_l.push_back(static_cast<double>(s.ok_l[i]));
      ground_a.push_back(static_cast<double>(s.a[i]));
      ground_b.push_back(static_cast<double>(s.b[i]));
      continue;
    }
    l.push_back(static_cast<double>(s.ok_l[i]));
    a.push_back(static_cast<double>(s.a[i]));
    b.push_back(static_cast<double>(s.b[i]));
  }
  if (l.empty()) return true;
  const double ml = Median(l), ma = Median(a), mb = Median(b);
  // A light shape on another colour with no line round it is a fill, and no line drawing.
  if (!c.line.line_art && !ground_l.empty() && std::hypot(ml - Median(ground_l), ma - Median(ground_a), mb - Median(ground_b)) > kOtherColour) return false;
  std::size_t same = 0;
  for (std::size_t k = 0; k < l.size(); ++k)
    same += (l[k] - ml) * (l[k] - ml) + (a[k] - ma) * (a[k] - ma) + (b[k] - mb) * (b[k] - mb) < 0.03 * 0.03;
  return ml > 0.75 && static_cast<double>(same) > 0.9 * static_cast<double>(l.size());
}

double FigureHeight(const PictureContext& c) {
  double best = 0.0;
  for (const BodyReading* reading : c.options->readings)
    if (reading != nullptr && reading->usable) best = std::max(best, reading->camera.scale_px);
  if (best > 0) return best;
  return c.split.by != SplitBy::kNone ? c.split.box_px[3] : 0.0;
}

// Off first, observations next, then what is clear; heavier ones first.
int Order(const Finding& f) {
  if (f.verdict == Verdict::kOff) return f.meant ? 3 : f.kind == Kind::kTaste ? 1 : 0;
  return f.verdict == Verdict::kCannotTell ? 4 : f.kind == Kind::kKeep ? 2 : 5;
}

}  // namespace

Finding MakeFinding(std::string id, std::string title, Kind kind, Verdict verdict, Stage stage) {
  Finding f;
  f.id = std::move(id);
  f.title = std::move(title);
  f.kind = kind;
  f.verdict = verdict;
  f.stage = stage;
  return f;
}

std::string OnlyFigure(const PictureContext& c) {
  return c.options->marks != nullptr && c.options->marks->figures.size() == 1 ? c.options->marks->figures[0].name : "";
}

Result<PictureReport> CheckPicture(const Picture& picture, const PictureCheckOptions& options) {
  const ImageRgba8& image = picture.image;
  if (image.width < 16 || image.height < 16 ||
      image.pixels.size() < 4 * static_cast<std::size_t>(image.width) * static_cast<std::size_t>(image.height))
    return BadInput(picture.facts.file, "", Say("the picture is {} x {} px, too small to measure", image.width, image.height),
                    "Give a picture of at least 16 x 16 px");
  const auto stopped = [&] { return options.control.Stopped(); };
  const auto cancelled = [&] { return Fail(ErrorKind::kCancelled, picture.facts.file, "", "stopped on request", ""); };

  PictureContext c;
  c.picture = &picture;
  c.options = &options;
  options.control.Report(0.0, "reading the pixels");
  c.planes = ReadPlanes(image, options.threads);
  if (stopped()) return cancelled();
  c.small = MakeSmallField(c.planes);
  c.split = SplitFigure(c);
  MeasureToGround(c);
  c.figure_height_px = FigureHeight(c);
  options.control.Report(0.25, "finding the lines");
  c.ink = FindInk(c.planes.l, {}, options.threads);
  FillInkShare(c);
  if (stopped()) return cancelled();
  {
    const std::vector<std::uint32_t> skeleton = Thin(c.ink.plane, options.threads);
    if (stopped()) return cancelled();
    c.graph = TraceStrokes(c.ink, skeleton, c.planes.l, options.threads);
  }
  MeasureLine(c);
  c.uncoloured = IsUncoloured(c);
  c.stage_declared = options.stage.has_value();
  c.stage = options.stage.value_or(c.uncoloured ? Stage::kLine : Stage::kFinish);
  options.control.Report(0.55, "checking line, value, colour and composition");
  // Independent of each other; the order of the findings is settled afterwards.
  std::vector<std::function<void(Findings&)>> tasks = {
      [&](Findings& f) {
        CheckLine(c, f);
        CheckGaps(c, f);
      },
      [&](Findings& f) { CheckDoubled(c, f); },
      [&](Findings& f) { CheckTangents(c, f); },
      [&](Findings& f) { CheckShading(c, f); },
      [&](Findings& f) {
        CheckValue(c, f);
        CheckColour(c, f);
      },
      [&](Findings& f) {
        CheckComposition(c, f);
        CheckSeparation(c, f);
      }};
  std::vector<Findings> found(tasks.size());
  std::vector<FreshEyeView> views;
  if (options.make_views) tasks.emplace_back([&](Findings&) { views = MakeReportViews(c); });
  found.resize(tasks.size());
  constexpr std::size_t kLongest = 3;  // the shading: it goes first, the others beside it
  ParallelFor(static_cast<int>(tasks.size()), options.threads, [&](int i) {
    const std::size_t task = (static_cast<std::size_t>(i) + kLongest) % tasks.size();
    if (!stopped()) tasks[task](found[task]);
  });
  if (stopped()) return cancelled();

  PictureReport out;
  for (Findings& part : found)
    out.findings.insert(out.findings.end(), std::make_move_iterator(part.begin()), std::make_move_iterator(part.end()));
  AddPictureKeeps(c, out.findings);
  if (!c.line.line_art) {
    c.notes.push_back(Say("No line art was found (the figure's edges carry no drawn line), so the checks of line quality are left out."));
  } else if (c.stage < Stage::kLine) {
    c.notes.push_back(Say("The piece is at a sketch stage: searching, doubled and open lines belong there and are not judged."));
  }
  c.notes.push_back(c.split.by == SplitBy::kNone ? Say("Figure and background could not be told apart (no transparency, layers or flat "
                                                       "background): silhouette and margins need an outlined area of kind \"figure\".")
                                                 : Say("Figure and background were told apart by: {}.", SayLater(Name(c.split.by))));
  if (CutOut(c))
    c.notes.push_back(Say("The picture is cut out close round the figure, so its margins are not judged: for those, give the whole page."));
  for (Finding& f : out.findings) {
    if (f.figure.empty()) f.figure = OnlyFigure(c);
    f.meant = IsMeant(f.id, options.meant);
    if (options.marks != nullptr)
      for (const FigureMarks& figure : options.marks->figures) f.meant = f.meant || IsMeant(f.id, figure.meant);
  }
  std::stable_sort(out.findings.begin(), out.findings.end(),
                   [](const Finding& a, const Finding& b) { return Order(a) != Order(b) ? Order(a) < Order(b) : a.gain > b.gain; });
  out.views = std::move(views);
  out.notes = std::move(c.notes);
  out.split = std::move(c.split);
  out.line = c.line;
  out.value = std::move(c.value);
  out.colour = std::move(c.colour);
  out.analysis_scale = 1.0 / c.planes.factor;
  options.control.Report(1.0, "done");
  return out;
}

}  // namespace armslength
