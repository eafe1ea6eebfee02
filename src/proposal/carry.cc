#include "proposal/carry.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include <opencv2/imgproc.hpp>

#include "proposal/proposal.h"
#include "proposal/sides.h"
#include "proposal/view.h"

namespace armslength {
namespace {

constexpr double kWorkExtent = 480.0;  // points the figure's longer side has where pictures are compared
constexpr double kMargin = 0.35;       // figure sizes seen around it
constexpr int kPatch = 15;             // half a patch: patches are a sixteenth of the figure
constexpr int kSearch = 40;            // how far a patch is looked for: a twelfth
constexpr double kAlike = 0.80;        // correlation of what is the same drawing
constexpr double kUnique = 0.06;       // by which the place must beat those a few points away
constexpr int kAway = 6;
constexpr double kLeastContrast = 6.0; // grey levels, sd: less is an empty place
constexpr double kAgree = 0.05;        // figure sizes between a mark and what the network proposes there
constexpr double kFarthest = 0.5;      // figure sizes a point is believed to move
constexpr double kKeptError = 0.04;    // figure sizes, of a mark left where it was
constexpr double kSureEnough = 0.25;   // belief

// The earlier sheet laid over the later one: later = scale * earlier + shift.
struct Laid {
  double scale = 1.0;
  Vec2 shift = Vec2::Zero();
  [[nodiscard]] Vec2 operator()(const Vec2& p) const { return scale * p + shift; }
};

struct Box {
  Vec2 low = Vec2::Constant(1e12), high = Vec2::Constant(-1e12);
  void Grow(const Vec2& p) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  [[nodiscard]] double Extent() const { return std::max((high - low).maxCoeff(), 1.0); }
};

cv::Mat Grey(const ImageRgba8& image, const SquareView& view, int side) {
  cv::Mat grey;
  cv::cvtColor(Sample(image, view, side), grey, cv::COLOR_BGR2GRAY);
  return grey;
}

struct Match {
  bool sure = false;
  double alike = 0.0;
  Vec2 moved = Vec2::Zero();  // points of the work view
};

Match Find(const cv::Mat& before, const cv::Mat& after, const Vec2& at) {
  const cv::Point c(static_cast<int>(std::lround(at.x() - 0.5)), static_cast<int>(std::lround(at.y() - 0.5)));
  const cv::Rect patch(c.x - kPatch, c.y - kPatch, 2 * kPatch + 1, 2 * kPatch + 1);
  const cv::Rect around(patch.x - kSearch, patch.y - kSearch, patch.width + 2 * kSearch, patch.height + 2 * kSearch);
  const cv::Rect whole(0, 0, before.cols, before.rows);
  Match match;
  if ((patch & whole) != patch || (around & whole) != around) return match;
  cv::Scalar mean, sd;
  cv::meanStdDev(before(patch), mean, sd);
  if (sd[0] < kLeastContrast) return match;
  cv::Mat alike;
  cv::matchTemplate(after(around), before(patch), alike, cv::TM_CCOEFF_NORMED);
  cv::Point best;
  cv::minMaxLoc(alike, nullptr, &match.alike, nullptr, &best);
  cv::Mat rest = alike.clone();
  cv::circle(rest, best, kAway, cv::Scalar(-1), cv::FILLED);
  double second = 0;
  cv::minMaxLoc(rest, nullptr, &second);
  // between the points: a parabola through the neighbours
  const auto between = [](double a, double b, double c2) { return std::abs(a - 2 * b + c2) > 1e-9 ? std::clamp(0.5 * (a - c2) / (a - 2 * b + c2), -0.5, 0.5) : 0.0; };
  double dx = 0, dy = 0;
  if (best.x > 0 && best.x + 1 < alike.cols) dx = between(alike.at<float>(best.y, best.x - 1), alike.at<float>(best), alike.at<float>(best.y, best.x + 1));
  if (best.y > 0 && best.y + 1 < alike.rows) dy = between(alike.at<float>(best.y - 1, best.x), alike.at<float>(best), alike.at<float>(best.y + 1, best.x));
  match.moved = Vec2(best.x + dx - kSearch, best.y + dy - kSearch);
  const bool at_edge = best.x == 0 || best.y == 0 || best.x + 1 == alike.cols || best.y + 1 == alike.rows;
  match.sure = match.alike >= kAlike && match.alike - second >= kUnique && !at_edge;
  return match;
}

struct Seen {
  std::map<PointId, ProposedPoint> points;
  Box box;
};

// What the networks see on one version, asked for when first needed.
class Version {
 public:
  Version(const Picture& picture, const JobControl& control) : picture_(picture) { options_.control = control; }
  [[nodiscard]] const Picture& Sheet() const { return picture_; }
  [[nodiscard]] const Result<Proposal>& Proposed() {
    if (!proposal_) proposal_ = ProposeMarks(picture_, options_);
    return *proposal_;
  }

 private:
  const Picture& picture_;
  ProposalOptions options_;
  std::optional<Result<Proposal>> proposal_;
};

// The proposed figure that lies about where `expected` is.
std::optional<Seen> FigureAt(const Proposal& proposal, const Box& expected) {
  const ProposedFigure* best = nullptr;
  double most = 0.2;  // of the union
  for (const ProposedFigure& f : proposal.figures) {
    const Vec2 low(f.box[0], f.box[1]), high(f.box[0] + f.box[2], f.box[1] + f.box[3]);
    const Vec2 common = (high.cwiseMin(expected.high) - low.cwiseMax(expected.low)).cwiseMax(0.0);
    const double both = common.prod(), united = f.box[2] * f.box[3] + (expected.high - expected.low).prod() - both;
    if (united > 0 && both / united > most) {
      most = both / united;
      best = &f;
    }
  }
  if (!best) return std::nullopt;
  Seen seen;
  for (const ProposedPoint& p : best->points) {
    seen.points[p.id] = p;
    seen.box.Grow(p.at);
  }
  return seen;
}

// The names of legs and arms as the artist has them: the networks may take left for right.
void NameLike(const std::map<PointId, Vec2>& known, double extent, Seen& seen) {
  for (const bool arms : {true, false}) {
    const PointId from = arms ? PointId::kShoulderL : PointId::kHipL, to = arms ? PointId::kHandTipR : PointId::kToeR;
    double as_is = 0, exchanged = 0;
    for (const auto& [id, at] : known) {
      if (id < from || id > to) continue;
      const auto p = seen.points.find(id), q = seen.points.find(Mirrored(id));
      if (p == seen.points.end() || q == seen.points.end()) continue;
      as_is += std::min((p->second.at - at).norm() / extent, 0.3);
      exchanged += std::min((q->second.at - at).norm() / extent, 0.3);
    }
    if (exchanged + 0.08 >= as_is) continue;
    for (int i = static_cast<int>(from); i <= static_cast<int>(to); i += 2) {
      const auto l = static_cast<PointId>(i), r = Mirrored(l);
      if (!seen.points.contains(l) || !seen.points.contains(r)) continue;
      std::swap(seen.points[l], seen.points[r]);
      std::swap(seen.points[l].id, seen.points[r].id);
    }
  }
}

// How a place beside the marks moved: the marks nearest to it say.
class Drift {
 public:
  void Add(const Vec2& from, const Vec2& to) { moves_.emplace_back(from, to - from); }
  [[nodiscard]] Vec2 operator()(const Vec2& p, double reach) const {
    Vec2 sum = Vec2::Zero();
    double weight = 0;
    for (const auto& [from, by] : moves_) {
      const double w = 1.0 / ((p - from).squaredNorm() + reach * reach);
      sum += w * w * by;
      weight += w * w;
    }
    return weight > 0 ? Vec2(p + sum / weight) : p;
  }

 private:
  std::vector<std::pair<Vec2, Vec2>> moves_;
};

Result<CarriedFigure> CarryOne(Version& earlier, const FigureMarks& marks, Version& later, const CarryOptions& options) {
  const Picture &before = earlier.Sheet(), &after = later.Sheet();
  CarriedFigure out;
  out.marks = marks;
  if (marks.points.empty()) return out;
  Box box;
  for (const auto& [id, at] : marks.points) box.Grow(at);
  const double extent = box.Extent();

  // Where the sheet lies: enlarged as a whole, or with canvas added. The one on which more marks are found again.
  const Vec2 size0(before.image.width, before.image.height), size1(after.image.width, after.image.height);
  std::vector<Laid> ways{{size1.x() / size0.x(), Vec2::Zero()}};
  if (size0 != size1) {
    ways.push_back({1.0, Vec2::Zero()});
    ways.push_back({1.0, (size1 - size0) / 2});
  }
  const double work = extent * (1 + 2 * kMargin);
  const int side = static_cast<int>(kWorkExtent * (1 + 2 * kMargin));
  const SquareView from = SquareView::About((box.low + box.high) / 2, work, 0, side);
  const cv::Mat grey0 = Grey(before.image, from, side);
  Laid laid = ways.front();
  std::map<PointId, Match> matches;
  double most = -1;
  for (const Laid& way : ways) {
    if (options.control.Stopped()) return Fail(ErrorKind::kCancelled, "", "", "stopped while carrying marks", "Nothing was changed");
    const cv::Mat grey1 = Grey(after.image, SquareView::About(way((box.low + box.high) / 2), way.scale * work, 0, side), side);
    std::map<PointId, Match> found;
    double sum = 0;
    for (const auto& [id, at] : marks.points) {
      found[id] = Find(grey0, grey1, from.FromPicture(at));
      sum += found[id].sure ? 1.0 + found[id].alike : 0.0;
    }
    if (sum > most) {
      most = sum;
      laid = way;
      matches = std::move(found);
    }
  }
  const double later_extent = laid.scale * extent;
  std::map<PointId, Vec2> expected;
  Box later_box;
  int doubtful = 0;
  for (const auto& [id, at] : marks.points) {
    expected[id] = laid(at);
    if (matches[id].sure) expected[id] += laid.scale * from.step * matches[id].moved;
    doubtful += !matches[id].sure;
    later_box.Grow(expected[id]);
  }

  // What the networks see on both versions, where matching leaves points open.
  std::optional<Seen> seen0, seen1;
  if (doubtful > 0 && options.network) {
    const Result<Proposal>& there = earlier.Proposed();
    if (!there) return tl::unexpected(there.error());
    seen0 = FigureAt(*there, box);
    if (seen0) {
      const Result<Proposal>& here = later.Proposed();
      if (!here) return tl::unexpected(here.error());
      seen1 = FigureAt(*here, later_box);
    }
    if (seen0) NameLike(marks.points, extent, *seen0);
    if (seen1) NameLike(expected, later_extent, *seen1);
  }
  const auto proposed = [&](PointId id) { return std::find(out.marks.proposed.begin(), out.marks.proposed.end(), id) != out.marks.proposed.end(); };
  Drift drift;
  for (const auto& [id, at] : marks.points) {
    Vec2 to = expected[id];
    CarriedHow how = CarriedHow::kMatched;
    double error = 0;
    if (!matches[id].sure) {
      how = CarriedHow::kKept;
      error = kKeptError * later_extent;
      if (seen0 && seen1 && seen0->points.contains(id) && seen1->points.contains(id)) {
        const ProposedPoint &p0 = seen0->points[id], &p1 = seen1->points[id];
        const bool sees = (p0.at - at).norm() < kAgree * extent && p0.confidence > kSureEnough;
        if (sees && p1.confidence > kSureEnough && (p1.at - to).norm() < kFarthest * later_extent) {
          how = CarriedHow::kProposed;  // as far as the network sees it move: what is off in both cancels
          to += p1.at - laid(p0.at);
          error = p1.sd_px;
        }
      }
    }
    out.how[id] = how;
    out.marks.points[id] = to;
    if (marks.point_error_px.contains(id)) out.marks.point_error_px[id] *= laid.scale;
    if (how != CarriedHow::kMatched) {
      out.marks.point_error_px[id] = std::max(error, marks.point_error_px.contains(id) ? out.marks.point_error_px[id] : 0.0);
      if (!proposed(id)) out.marks.proposed.push_back(id);
    }
    drift.Add(laid(at), to);
  }
  std::sort(out.marks.proposed.begin(), out.marks.proposed.end());
  const auto follow = [&](Vec2& p) { p = drift(laid(p), 0.02 * later_extent); };
  for (NamedPoint& p : out.marks.centre_front) follow(p.at);
  for (Ring& ring : out.marks.rings)
    for (Vec2& p : ring.points) follow(p);
  for (Area& area : out.marks.areas)
    for (Vec2& p : area.outline) follow(p);
  for (FeatureTick& tick : out.marks.features)
    if (tick.at) follow(*tick.at);
  if (out.marks.marking_error_px) *out.marks.marking_error_px *= laid.scale;
  return out;
}

}  // namespace

Result<CarriedFigure> CarryMarks(const Picture& before, const FigureMarks& marks, const Picture& after, const CarryOptions& options) {
  auto all = CarryFigures(before, {&marks, 1}, after, options);
  if (!all) return tl::unexpected(all.error());
  return std::move(all->front());
}

Result<std::vector<CarriedFigure>> CarryFigures(const Picture& before, std::span<const FigureMarks> figures, const Picture& after,
                                                const CarryOptions& options) {
  Version earlier(before, options.control), later(after, options.control);
  std::vector<CarriedFigure> out;
  for (const FigureMarks& marks : figures) {
    auto carried = CarryOne(earlier, marks, later, options);
    if (!carried) return tl::unexpected(carried.error());
    out.push_back(std::move(*carried));
  }
  return out;
}

}  // namespace armslength
