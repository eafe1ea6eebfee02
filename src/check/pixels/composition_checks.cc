#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "words/say.h"

#include "check/pixels/context.h"

namespace armslength {
namespace {

// Where the eye is pulled: local contrast of lightness and colour, summed over windows.
struct PullMap {
  cv::Mat pull;        // per cell
  double cell_px = 1;  // picture px per cell
};

PullMap MakePullMap(const PictureContext& c) {
  const SmallField& s = c.small;
  const auto plane = [&](const std::vector<float>& v) { return cv::Mat(s.height, s.width, CV_32F, const_cast<float*>(v.data())); };
  PullMap out;
  const int cell = std::max(2, static_cast<int>(std::lround(std::max(s.width, s.height) / 160.0)));
  out.cell_px = cell * s.factor;
  const cv::Size size(std::max(4, s.width / cell), std::max(4, s.height / cell));
  cv::Mat sum = cv::Mat::zeros(size, CV_32F);
  const std::array<std::pair<const std::vector<float>*, float>, 3> planes = {{{&s.l, 1.0f}, {&s.a, 150.0f}, {&s.b, 150.0f}}};
  for (const auto& [values, scale] : planes) {
    cv::Mat small, mean, square, mean_square;
    cv::resize(plane(*values), small, size, 0, 0, cv::INTER_AREA);
    small *= scale;
    // Contrast at the size that reads from afar: about 4 % of the long side.
    const cv::Size window(7, 7);
    cv::blur(small, mean, window, {-1, -1}, cv::BORDER_REPLICATE);
    cv::multiply(small, small, square);
    cv::blur(square, mean_square, window, {-1, -1}, cv::BORDER_REPLICATE);
    cv::Mat variance = mean_square - mean.mul(mean);
    sum += cv::max(variance, 0.0);
  }
  cv::sqrt(sum, out.pull);
  return out;
}

struct Focus {
  std::array<double, 4> box{};  // x, y, width, height px
  bool declared = false;        // an area of kind focus; else the face
  std::string figure;
};

std::optional<std::array<double, 4>> BoxOf(const std::vector<Vec2>& points) {
  if (points.size() < 2) return std::nullopt;
  Vec2 lo = points[0], hi = points[0];
  for (const Vec2& p : points) lo = lo.cwiseMin(p), hi = hi.cwiseMax(p);
  return std::array<double, 4>{lo.x(), lo.y(), hi.x() - lo.x(), hi.y() - lo.y()};
}

std::optional<Focus> FindFocus(const PictureContext& c) {
  if (c.options->marks == nullptr) return std::nullopt;
  for (const FigureMarks& figure : c.options->marks->figures)
    for (const Area& area : figure.areas)
      if (area.kind == "focus")
        if (const auto box = BoxOf(area.outline)) return Focus{*box, true, figure.name};
  for (const FigureMarks& figure : c.options->marks->figures) {
    const auto chin = figure.At(PointId::kChin);
    auto top = figure.At(PointId::kCrown);
    if (!top) top = figure.At(PointId::kHeadTop);
    if (!chin || !top) continue;
    const Vec2 middle = (*chin + *top) / 2;
    const double h = (*chin - *top).norm();
    return Focus{{middle.x() - 0.4 * h, middle.y() - 0.5 * h, 0.8 * h, h}, false, figure.name};
  }
  return std::nullopt;
}

// Where on the picture, as one says it to somebody: numbers of pixels are for tools.
std::string PlaceOnPicture(const PictureContext& c, const Vec2& p) {
  constexpr std::array<const char*, 9> kPlaces = {Later("upper left"), Later("top"),    Later("upper right"),
                                                  Later("left"),       Later("middle"), Later("right"),
                                                  Later("lower left"), Later("bottom"), Later("lower right")};
  const auto third = [](double at, int size) { return static_cast<std::size_t>(std::clamp(static_cast<int>(3 * at / size), 0, 2)); };
  return SayLater(kPlaces[3 * third(p.y(), c.Height()) + third(p.x(), c.Width())]);
}

void CheckFocus(const PictureContext& c, Findings& out) {
  if (c.uncoloured) return;
  const auto focus = FindFocus(c);
  const PullMap map = MakePullMap(c);
  if (!focus) {
    if (c.split.by == SplitBy::kNone) return;
    double best = 0;
    cv::Point at;
    cv::Mat smooth;
    cv::GaussianBlur(map.pull, smooth, {}, 3.0);
    cv::minMaxLoc(smooth, nullptr, &best, nullptr, &at);
    Finding x = MakeFinding("composition.focus", Say("Where the eye lands first"), Kind::kTaste, Verdict::kCannotTell, Stage::kLighting);
    x.where.points = {Vec2((at.x + 0.5) * map.cell_px, (at.y + 0.5) * map.cell_px)};
    x.test = "strongest local contrast of lightness and colour";
    x.source = Say("default, editable");
    x.why = Say("The strongest contrast of light and colour lies at the {} of the picture.", PlaceOnPicture(c, x.where.points[0]));
    x.ask = Say("Mark the focus (an area of kind \"focus\") or the head, and it is compared with its rivals.");
    out.push_back(std::move(x));
    return;
  }
  // The focus covers a fair share of the picture (a portrait): there is no rival outside it.
  const double share = focus->box[2] * focus->box[3] / (static_cast<double>(c.Width()) * c.Height());
  if (share > 0.15) return;
  const auto to_cell = [&](double v, int n) { return std::clamp(static_cast<int>(v / map.cell_px), 0, n - 1); };
  const int bx0 = to_cell(focus->box[0], map.pull.cols), by0 = to_cell(focus->box[1], map.pull.rows);
  const int bx1 = to_cell(focus->box[0] + focus->box[2], map.pull.cols) + 1, by1 = to_cell(focus->box[1] + focus->box[3], map.pull.rows) + 1;
  const int bw = std::max(2, bx1 - bx0), bh = std::max(2, by1 - by0);
  cv::Mat windows;
  cv::boxFilter(map.pull, windows, CV_32F, {bw, bh}, {-1, -1}, true, cv::BORDER_REFLECT);
  const double own = cv::mean(map.pull(cv::Rect(bx0, by0, std::min(bw, map.pull.cols - bx0), std::min(bh, map.pull.rows - by0))))[0];
  double rival = 0;
  cv::Point at;
  for (int y = bh / 2; y < map.pull.rows - bh / 2; ++y)
    for (int x = bw / 2; x < map.pull.cols - bw / 2; ++x) {
      if (std::abs(x - (bx0 + bx1) / 2) < bw && std::abs(y - (by0 + by1) / 2) < bh) continue;
      const auto v = static_cast<double>(windows.at<float>(y, x));
      if (v > rival) {
        rival = v;
        at = {x, y};
      }
    }
  if (rival <= 0) return;
  const double ratio = own / rival;
  Finding x = MakeFinding("composition.focus", focus->declared ? Say("The marked focus wins") : Say("The face wins"),
                          focus->declared ? Kind::kCanon : Kind::kTaste, Verdict::kClear, Stage::kLighting);
  x.figure = focus->figure;
  x.measured = ratio;
  x.expected = 1.0;
  x.tolerance = c.Tolerances().focus_ratio - 1.0;
  x.unit = "ratio";
  x.test = "contrast of lightness and colour in the focus against the strongest window of the same size elsewhere";
  x.source = Say("default, editable");
  x.where.box = focus->box;
  const Vec2 rival_at((at.x + 0.5) * map.cell_px, (at.y + 0.5) * map.cell_px);
  x.why = focus->declared ? Say("Contrast in the marked focus is {:.2f} times that of its strongest rival, at the {} of the picture.",
                                ratio, PlaceOnPicture(c, rival_at))
                          : Say("Contrast in the face is {:.2f} times that of its strongest rival, at the {} of the picture.", ratio,
                                PlaceOnPicture(c, rival_at));
  // Whole windows of clothes often equal a face; only a plain defeat is worth a word.
  if (ratio < (focus->declared ? 1.0 : 1.0 / 1.6)) {
    x.title = focus->declared ? Say("A rival outshines the focus") : Say("Something pulls harder than the face");
    x.verdict = Verdict::kOff;
    x.gain = focus->declared ? 4.0 : 1.5;
    x.where.points = {rival_at};
    x.remedy = {RemedyWay::kRepaint, 15, Say("Quieten the rival: less contrast, softer edges, greyer colour there.")};
  } else if (ratio < c.Tolerances().focus_ratio) {
    x.title = focus->declared ? Say("The focus wins narrowly") : Say("No rival plainly outshines the face");
  }
  out.push_back(std::move(x));
}

void CheckMargins(const PictureContext& c, Findings& out) {
  if (c.split.by == SplitBy::kNone || CutOut(c)) return;  // a cut-out's margins are the export's: told in a note
  // A portrait has margins of its own kind: the rule is for whole figures.
  if (c.options->marks != nullptr && !c.options->marks->figures.empty() &&
      std::ranges::none_of(c.options->marks->figures, [](const FigureMarks& f) {
        return f.Has(PointId::kHipL) || f.Has(PointId::kHipR) || f.Has(PointId::kAnkleL) || f.Has(PointId::kAnkleR);
      }))
    return;
  const auto& [bx, by, bw, bh] = c.split.box_px;
  const double w = c.Width(), h = c.Height();
  const std::array<double, 4> margin = {by / h, (h - by - bh) / h, bx / w, (w - bx - bw) / w};
  const double edge = c.FrameRim();
  const bool cropped = by < edge || by + bh > h - edge || bx < edge || bx + bw > w - edge;
  Finding x = MakeFinding("composition.margins", Say("Room round the figure"), Kind::kTaste, Verdict::kClear, Stage::kThumbnail);
  x.measured = bh / h;
  x.expected = (c.Tolerances().figure_height_low + c.Tolerances().figure_height_high) / 2;
  x.tolerance = (c.Tolerances().figure_height_high - c.Tolerances().figure_height_low) / 2;
  x.unit = "share of the height";
  x.test = "box round the figure";
  x.source = Say("common practice, no source; default, editable");
  x.where.box = c.split.box_px;
  x.why = Say("The figure takes {:.0f} % of the height; above it {:.0f} %, below {:.0f} %, left {:.0f} %, right {:.0f} % stay free.",
              100 * bh / h, 100 * margin[0], 100 * margin[1], 100 * margin[2], 100 * margin[3]);
  const double least = *std::ranges::min_element(margin);
  if (!cropped && bh / h < 0.5 * c.Tolerances().figure_height_low && bw / w < 0.5 * c.Tolerances().figure_height_low) {
    x.title = Say("The figure is small in the picture");
    x.verdict = Verdict::kOff;
    x.gain = 1.0;
    x.remedy = {RemedyWay::kMove, 3, Say("If the emptiness is not meant: crop closer or scale the figure up.")};
  } else if (!cropped && bh / h > c.Tolerances().figure_height_high && least < 0.03) {
    x.title = Say("Tight margins");
    x.verdict = Verdict::kOff;
    x.gain = 0.5;
    x.remedy = {RemedyWay::kMove, 3, Say("If it is not meant: enlarge the canvas, or scale the figure to 60 to 90 % of the height.")};
  }
  out.push_back(std::move(x));

  // Look room: the nose against the middle of the face says where it looks.
  if (c.options->marks == nullptr || cropped) return;
  for (const FigureMarks& figure : c.options->marks->figures) {
    const auto nose = figure.At(PointId::kNoseTip) ? figure.At(PointId::kNoseTip) : figure.At(PointId::kNoseBase);
    const auto left = figure.At(PointId::kContourL), right = figure.At(PointId::kContourR);
    if (!nose || !left || !right) continue;
    const double face = std::abs(left->x() - right->x());
    const double turn = face > 0 ? (nose->x() - (left->x() + right->x()) / 2) / face : 0.0;
    if (std::abs(turn) < 0.15) continue;
    const double ahead = turn > 0 ? margin[3] : margin[2], behind = turn > 0 ? margin[2] : margin[3];
    Finding y = MakeFinding("composition.look_room", Say("Room to look into"), Kind::kTaste,
                            ahead + 0.03 < behind ? Verdict::kOff : Verdict::kClear, Stage::kThumbnail);
    y.figure = figure.name;
    y.measured = ahead;
    y.expected = behind;
    y.unit = "share of the width";
    y.test = "free width on the gaze side against the other";
    y.source = Say("custom of composition, no source; default, editable");
    y.why = turn > 0 ? Say("The face turns right; {:.0f} % of the width is free there and {:.0f} % behind.", 100 * ahead, 100 * behind)
                     : Say("The face turns left; {:.0f} % of the width is free there and {:.0f} % behind.", 100 * ahead, 100 * behind);
    if (y.verdict == Verdict::kOff) {
      y.title = Say("Little room on the gaze side");
      y.gain = 0.8;
      y.remedy = {RemedyWay::kMove, 3, Say("If it is not meant: shift the figure, or extend the canvas on that side.")};
    }
    out.push_back(std::move(y));
  }
}

void CheckSilhouette(const PictureContext& c, Findings& out) {
  if (c.split.by == SplitBy::kNone) return;
  const cv::Mat mask(c.split.height, c.split.width, CV_8U, const_cast<std::uint8_t*>(c.split.mask.data()));
  // Read at 128 px, as a thumbnail.
  const double scale = 128.0 / std::max(mask.cols, mask.rows);
  cv::Mat thumb;
  cv::resize(mask, thumb, {std::max(1, static_cast<int>(std::lround(mask.cols * scale))), std::max(1, static_cast<int>(std::lround(mask.rows * scale)))}, 0, 0, cv::INTER_AREA);
  thumb = thumb > 127;
  // Dead little holes: counted on the mask itself.
  cv::Mat hole_labels, stats, centres;
  const int n = cv::connectedComponentsWithStats(255 - mask, hole_labels, stats, centres, 4);
  const double canvas = static_cast<double>(mask.total());
  std::vector<Vec2> holes;
  // In a flat background a hole may be a patch of the figure that has the ground's colour.
  for (int i = 1; i < n && c.split.by != SplitBy::kFlatBackground; ++i) {
    const int x = stats.at<int>(i, 0), y = stats.at<int>(i, 1), w = stats.at<int>(i, 2), h = stats.at<int>(i, 3);
    if (x == 0 || y == 0 || x + w == mask.cols || y + h == mask.rows) continue;
    const double share = stats.at<int>(i, cv::CC_STAT_AREA) / canvas;
    if (share < c.Tolerances().tiny_hole_share && share > 2e-5)
      holes.emplace_back(centres.at<double>(i, 0) / c.split.scale, centres.at<double>(i, 1) / c.split.scale);
  }
  // Hands against the mass: what survives an opening with a tenth of the figure's height.
  std::vector<std::string> hidden;
  std::vector<Vec2> hidden_at;
  int asked = 0;
  if (c.options->marks != nullptr) {
    const int r = std::max(2, static_cast<int>(std::lround(0.04 * c.split.box_px[3] * c.split.scale * scale)));
    cv::Mat mass;
    cv::morphologyEx(thumb, mass, cv::MORPH_OPEN, cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * r + 1, 2 * r + 1}));
    for (const FigureMarks& figure : c.options->marks->figures)
      for (const PointId id : {PointId::kHandTipL, PointId::kHandTipR}) {
        const auto p = figure.At(id);
        if (!p) continue;
        ++asked;
        const int x = static_cast<int>(p->x() * c.split.scale * scale), y = static_cast<int>(p->y() * c.split.scale * scale);
        // Deep inside the mass: no outline of the hand shows.
        int inside = 0, all = 0;
        for (int j = -r; j <= r; ++j)
          for (int i = -r; i <= r; ++i) {
            if (x + i < 0 || y + j < 0 || x + i >= thumb.cols || y + j >= thumb.rows) continue;
            ++all;
            inside += thumb.at<std::uint8_t>(y + j, x + i) != 0;
          }
        if (all > 0 && inside > 0.95 * all) {
          hidden.push_back(SaidName(id));
          hidden_at.push_back(*p);
        }
      }
  }
  if (asked == 0 && holes.size() < 3) return;
  const bool early = c.stage < Stage::kLine;
  Finding x = MakeFinding("composition.silhouette", Say("The silhouette reads"), early ? Kind::kCraft : Kind::kTaste, Verdict::kClear,
                          Stage::kThumbnail);
  x.measured = static_cast<double>(hidden.size());
  x.expected = 0.0;
  x.tolerance = 1.0;
  x.unit = "hands inside the mass";
  x.test = "figure filled black at 128 px";
  x.source = Say("common practice, no source; default, editable");
  x.why = Say("Filled black at 128 px. Marked hands that lie inside the mass: {} of {}. Tiny holes of under {:.1f} % of the picture: {}.",
              hidden.size(), asked, 100 * c.Tolerances().tiny_hole_share, holes.size());
  if (asked >= 2 && static_cast<int>(hidden.size()) == asked) {
    x.title = Say("Both hands vanish in the silhouette");
    x.verdict = Verdict::kOff;
    x.gain = early ? 3.0 : 0.7;
    x.where.points = hidden_at;
    x.remedy = {RemedyWay::kGuide, 20, Say("Bring a hand out of the body's outline, or open a gap beside the arm.")};
  } else if (holes.size() >= 3) {
    x.title = Say("Tiny holes in the silhouette");
    x.verdict = Verdict::kOff;
    x.gain = 0.7;
    x.where.points = holes;
    x.remedy = {RemedyWay::kMove, 8, Say("Open these gaps to a clear shape, or close them.")};
  }
  out.push_back(std::move(x));
}

// Whether the figure comes up to the frame within `reach_px` of where it is nearest to a place outside; true when it is not told from the ground.
bool ReachesFrame(const PictureContext& c, const Vec2& outside, double reach_px) {
  if (c.split.by == SplitBy::kNone) return true;
  const Vec2 at(std::clamp(outside.x(), 0.0, c.Width() - 1.0), std::clamp(outside.y(), 0.0, c.Height() - 1.0));
  const double step = std::max(1.0, 0.5 / c.split.scale);
  const bool left = at.x() < 1.0, right = at.x() > c.Width() - 2.0;
  for (double along = -reach_px; along <= reach_px; along += step)
    for (double in = 0.5; in < c.FrameRim(); in += step) {
      const Vec2 p = left || right ? Vec2(left ? in : c.Width() - in, at.y() + along) : Vec2(at.x() + along, at.y() < 1.0 ? in : c.Height() - in);
      if (c.InFigure(p.x(), p.y(), false)) return true;
    }
  return false;
}

// A frame that cuts the figure right at a joint.
void CheckCrop(const PictureContext& c, Findings& out) {
  if (c.options->marks == nullptr) return;
  for (std::size_t k = 0; k < c.options->marks->figures.size(); ++k) {
    const FigureMarks& figure = c.options->marks->figures[k];
    const BodyReading* reading = k < c.options->readings.size() ? c.options->readings[k] : nullptr;
    if (reading == nullptr || !reading->usable) continue;
    const double head = reading->length[static_cast<std::size_t>(BoneId::kHead)] * reading->camera.scale_px;
    if (head <= 0) continue;
    const auto outside = [&](const Vec2& p) { return p.x() < 0 || p.y() < 0 || p.x() > c.Width() || p.y() > c.Height(); };
    // A hidden joint is a guess: the frame cuts only what reaches it.
    const auto cut = [&](const Vec2& p) { return outside(p) && ReachesFrame(c, p, head); };
    bool any_cut = false;
    std::string names;
    std::vector<Vec2> where;
    double nearest = 1e9;
    using enum PointId;
    constexpr std::array<std::pair<PointId, PointId>, 9> kJoints = {{{kAnkleL, kToeL}, {kAnkleR, kToeR}, {kKneeL, kAnkleL}, {kKneeR, kAnkleR}, {kWristL, kHandTipL}, {kWristR, kHandTipR}, {kElbowL, kWristL}, {kElbowR, kWristR}, {kNeckPit, kChin}}};
    for (const auto& [joint, beyond] : kJoints) {
      const Vec2 j = reading->JointPx(joint), b = reading->JointPx(beyond);
      if (!cut(b) && !cut(j)) continue;
      any_cut = true;
      const double depth = std::min({std::abs(j.x()), std::abs(j.y()), std::abs(c.Width() - j.x()), std::abs(c.Height() - j.y())}) / head;
      nearest = std::min(nearest, depth);
      if (depth > c.Tolerances().crop_joint_heads) continue;
      names += (names.empty() ? "" : ", ") + SaidName(joint);
      where.push_back(j);
    }
    if (!any_cut) continue;
    Finding x = MakeFinding("composition.crop", Say("Cropped between joints"), Kind::kCraft,
                            where.empty() ? Verdict::kClear : Verdict::kOff, Stage::kThumbnail);
    x.figure = figure.name;
    x.measured = nearest;
    x.expected = c.Tolerances().crop_joint_heads;
    x.tolerance = 0.0;
    x.unit = "heads";
    x.test = "frame against the solved joints";
    x.source = Say("custom of framing; default, editable");
    x.where.points = where;
    x.why = where.empty() ? Say("The frame cuts limbs {:.2f} heads away from the nearest joint.", nearest)
                          : Say("The frame cuts the figure right at: {}.", names);
    if (!where.empty()) {
      x.title = Say("Cropped at a joint");
      x.gain = 2.5;
      x.remedy = {RemedyWay::kMove, 3, Say("Move the frame so that it cuts in the middle of a limb.")};
    }
    out.push_back(std::move(x));
  }
}

// L* a px of the reduced picture, away from edges; with less than this share of shading a figure is of flat fills.
constexpr double kFlatSlope = 0.1, kLeastShaded = 0.1;

// How sharp the edges are, as a viewer sees them: step over steepest slope, in reduced px.
void CheckEdges(const PictureContext& c, Findings& out) {
  if (c.line.line_art || c.stage < Stage::kShading || c.uncoloured) return;  // line and flat fills are sharp by nature
  const SmallField& s = c.small;
  const auto w = static_cast<std::size_t>(s.width);
  const auto slope = [&](std::size_t i) {
    return Vec2(static_cast<double>(s.l[i + 1] - s.l[i - 1]) / 2, static_cast<double>(s.l[i + w] - s.l[i - w]) / 2);
  };
  std::vector<double> widths;
  std::size_t flat = 0, shaded = 0;
  for (int y = 8; y + 8 < s.height; y += 2)
    for (int x = 8; x + 8 < s.width; x += 2) {
      const std::size_t i = s.At(x, y);
      if (c.split.by != SplitBy::kNone && c.split.mask[i] == 0) continue;
      const Vec2 grad = slope(i);
      const double gx = grad.x(), gy = grad.y(), g = grad.norm();
      if (g < 2.0) {
        const bool inside = slope(i - 4).norm() < 2.0 && slope(i + 4).norm() < 2.0 && slope(i - 4 * w).norm() < 2.0 && slope(i + 4 * w).norm() < 2.0;
        if (inside) ++(g < kFlatSlope ? flat : shaded);
        continue;
      }
      const auto at = [&](double r) {
        return static_cast<double>(s.l[s.At(static_cast<int>(std::lround(x + gx / g * r)), static_cast<int>(std::lround(y + gy / g * r)))]);
      };
      // Only the steepest pixel of the edge speaks for it.
      if (std::abs(at(1) - at(-1)) < std::abs(at(2) - at(0)) || std::abs(at(1) - at(-1)) < std::abs(at(0) - at(-2))) continue;
      const double step = at(6) - at(-6);
      if (step < 10) continue;
      widths.push_back(step / g);
    }
  if (widths.size() < 300 || static_cast<double>(shaded) < kLeastShaded * static_cast<double>(flat + shaded)) return;
  const double p10 = Quantile(widths, 0.1), p90 = Quantile(widths, 0.9);
  Finding x = MakeFinding("value.edges", Say("Edges vary"), Kind::kTaste, Verdict::kClear, Stage::kLighting);
  x.measured = p90 / std::max(0.5, p10);
  x.expected = 2.0;
  x.unit = "soft to sharp";
  x.test = "step of lightness over its steepest slope, on the reduced picture";
  x.source = Say("default, editable");
  x.why = Say("A tenth of the edges is sharper than {:.1f} px and a tenth softer than {:.1f} px (on the picture reduced {:.0f} times).",
              p10, p90, s.factor);
  if (*x.measured < 1.6) {
    x.title = p90 < 3.5 ? Say("Every edge is equally sharp") : Say("Every edge is equally soft");
    x.verdict = Verdict::kOff;
    x.gain = 1.0;
    x.remedy = {RemedyWay::kRepaint, 20, Say("If it is not meant: keep the sharpest edges for the focus and soften those that turn away.")};
  }
  out.push_back(std::move(x));
}

}  // namespace

void CheckComposition(const PictureContext& c, Findings& out) {
  CheckFocus(c, out);
  CheckMargins(c, out);
  CheckSilhouette(c, out);
  CheckCrop(c, out);
  CheckEdges(c, out);
}

}  // namespace armslength
