#include <algorithm>
#include <cmath>
#include <span>
#include <vector>

#include <opencv2/imgproc.hpp>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/patch.h"
#include "geometry/circular.h"
#include "geometry/line.h"
#include "geometry/polygon.h"
#include "words/say.h"

namespace armslength::surface_check {
namespace {

using body_check::kDegree;

// Three fold lines or more within 5 degrees and evenly spaced read as a pattern, not as cloth
// pulled from points of tension (drawing handbooks on drapery; default, editable).
constexpr double kParallel = 5.0 * kDegree;
constexpr double kEven = 0.22;  // spread of the gaps over the middle one
constexpr int kFewest = 4;
constexpr double kFoldError = 1.5 * kDegree;  // of one line's direction as found
constexpr double kOwnError = 0.75 * kDegree;  // of a comb's line against its comb
constexpr double kSurprising = 0.001;
// To clear: so many lines, their directions surely spread by more than twice the parallel tolerance, no comb that
// chance makes less often than this, no more than this share of them in one direction (fold lines that stand among
// buttons and edges), and half of them running to where cloth is pulled from. Defaults.
constexpr std::size_t kEnough = 7;
constexpr double kSpread = 2.0 * kParallel, kComb = 0.05, kAlike = 0.30;

struct FoldLine {
  Vec2 from, to;       // picture px
  double angle = 0.0;  // axial
  double length_px = 0.0;
};

constexpr float kValley = 0.012F;         // lightness per squared patch px; default
constexpr double kGrow = 22.5 * kDegree;  // a line bends no faster from one pixel to its mean

// Thin dark lines inside the outline.
std::vector<FoldLine> FindFolds(const Picture& picture, const Area& area) {
  Vec2 low = area.outline[0], high = low;
  for (const Vec2& p : area.outline) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  const double size = (high - low).norm();
  const auto patch = CutPatch(picture.image, area.outline, std::max(1.0, size / 700.0));
  if (!patch) return {};
  cv::Mat inner;
  const int rim = std::max(5, static_cast<int>(size / patch->px / 90.0) | 1);
  cv::erode(patch->inside, inner, cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * rim + 1, 2 * rim + 1}), {-1, -1}, 1,
            cv::BORDER_CONSTANT, 0);
  // Second derivatives: a dark line is a valley, steep across and level along itself.
  cv::Mat smooth, xx, yy, xy;
  cv::GaussianBlur(patch->light, smooth, cv::Size(0, 0), 1.1);
  cv::Sobel(smooth, xx, CV_32F, 2, 0, 3, 0.25);
  cv::Sobel(smooth, yy, CV_32F, 0, 2, 3, 0.25);
  cv::Sobel(smooth, xy, CV_32F, 1, 1, 3, 0.25);
  cv::Mat strength = cv::Mat::zeros(smooth.size(), CV_32F), along = cv::Mat::zeros(smooth.size(), CV_32F);
  std::vector<cv::Point> order;
  for (int y = 1; y + 1 < smooth.rows; ++y)
    for (int x = 1; x + 1 < smooth.cols; ++x) {
      if (!inner.at<std::uint8_t>(y, x)) continue;
      const float a = xx.at<float>(y, x), b = yy.at<float>(y, x), c = xy.at<float>(y, x);
      const float mean = 0.5F * (a + b), half = std::hypot(0.5F * (a - b), c);
      if (mean + half < kValley || std::abs(mean - half) > 0.6F * (mean + half)) continue;
      strength.at<float>(y, x) = mean + half;
      along.at<float>(y, x) = 0.5F * std::atan2(2 * c, a - b) + static_cast<float>(M_PI_2);
      order.emplace_back(x, y);
    }
  std::sort(order.begin(), order.end(), [&](const cv::Point& a, const cv::Point& b) { return strength.at<float>(a) > strength.at<float>(b); });
  // Grown from the deepest place along its own direction, so that lines that cross stay two.
  cv::Mat taken = cv::Mat::zeros(smooth.size(), CV_8U);
  std::vector<std::vector<cv::Point>> pixels;
  for (const cv::Point& seed : order) {
    if (taken.at<std::uint8_t>(seed)) continue;
    std::vector<cv::Point> piece{seed};
    taken.at<std::uint8_t>(seed) = 1;
    double c2 = std::cos(2 * along.at<float>(seed)), s2 = std::sin(2 * along.at<float>(seed));
    for (std::size_t k = 0; k < piece.size(); ++k) {
      const cv::Point at = piece[k];
      for (int dy = -1; dy <= 1; ++dy)
        for (int dx = -1; dx <= 1; ++dx) {
          const cv::Point next(at.x + dx, at.y + dy);
          if (next.x < 0 || next.y < 0 || next.x >= smooth.cols || next.y >= smooth.rows || taken.at<std::uint8_t>(next) ||
              strength.at<float>(next) <= 0)
            continue;
          const double angle = along.at<float>(next);
          if (std::abs(std::remainder(angle - 0.5 * std::atan2(s2, c2), M_PI)) > kGrow) continue;
          taken.at<std::uint8_t>(next) = 1;
          piece.push_back(next);
          c2 += std::cos(2 * angle);
          s2 += std::sin(2 * angle);
        }
    }
    pixels.push_back(std::move(piece));
  }
  std::vector<FoldLine> folds;
  for (const auto& piece : pixels) {
    if (piece.size() < 12) continue;
    std::vector<Eigen::Vector2d> points;
    for (const cv::Point& p : piece) points.push_back(patch->ToPicture(p.x, p.y));
    const auto fit = FitLine(points);
    if (!fit) continue;
    double a = 1e18, b = -1e18;
    for (const auto& p : points) {
      const double t = (p - fit->line.point).dot(fit->line.direction);
      a = std::min(a, t);
      b = std::max(b, t);
    }
    // A line: much longer than wide, and long enough to be meant as a fold.
    const double length = b - a;
    if (length < 0.07 * size || fit->rms > 0.10 * length) continue;
    FoldLine fold;
    fold.from = fit->line.point + a * fit->line.direction;
    fold.to = fit->line.point + b * fit->line.direction;
    fold.angle = std::atan2(fit->line.direction.y(), fit->line.direction.x());
    fold.length_px = length;
    folds.push_back(fold);
  }
  return folds;
}

// Folds side by side, within the parallel tolerance of each other and evenly spaced.
struct Comb {
  std::vector<FoldLine> folds;
  double direction = 0.0, spread = 0.0, uneven = 9.0;
};

// Spread of the gaps between neighbours about the middle one. A fold that was not found leaves a gap
// twice or three times as wide; up to a third of them may be such.
double Unevenness(std::span<const double> place) {
  std::vector<double> gaps;
  for (std::size_t i = 1; i < place.size(); ++i) gaps.push_back(place[i] - place[i - 1]);
  std::vector<double> sorted = gaps;
  std::sort(sorted.begin(), sorted.end());
  const double middle = sorted[(sorted.size() - 1) / 2];
  if (middle <= 1e-9) return 9.0;
  double square = 0.0;
  std::size_t wide = 0;
  for (const double gap : gaps) {
    const double times = std::clamp(std::round(gap / middle), 1.0, 3.0);
    wide += times > 1.5;
    square += std::pow(gap / middle / times - 1.0, 2) / static_cast<double>(gaps.size());
  }
  return 3 * wide > gaps.size() ? 9.0 : std::sqrt(square);
}

Comb LongestComb(const std::vector<FoldLine>& folds) {
  Comb best;
  for (const FoldLine& seed : folds) {
    const Vec2 along(std::cos(seed.angle), std::sin(seed.angle)), across(-along.y(), along.x());
    std::vector<std::pair<double, const FoldLine*>> beside;
    for (const FoldLine& f : folds) {
      if (std::abs(std::remainder(f.angle - seed.angle, M_PI)) > 0.5 * kParallel + kFoldError) continue;
      const double a = std::min((f.from - seed.from).dot(along), (f.to - seed.from).dot(along)),
                   b = std::max((f.from - seed.from).dot(along), (f.to - seed.from).dot(along));
      const double c = std::min(0.0, (seed.to - seed.from).dot(along)), d = std::max(0.0, (seed.to - seed.from).dot(along));
      if (std::min(b, d) - std::max(a, c) < 0.5 * std::min(f.length_px, seed.length_px)) continue;
      if (f.length_px > 1.7 * seed.length_px || seed.length_px > 1.7 * f.length_px) continue;
      beside.emplace_back((0.5 * (f.from + f.to) - seed.from).dot(across), &f);
    }
    std::sort(beside.begin(), beside.end());
    for (std::size_t i = 0; i < beside.size(); ++i)
      for (std::size_t j = i + 2; j < beside.size(); ++j) {
        std::vector<double> place;
        for (std::size_t k = i; k <= j; ++k) place.push_back(beside[k].first);
        // Lines closer than a twelfth of their length are two edges of one stroke.
        bool apart = true;
        for (std::size_t k = 1; k < place.size(); ++k) apart &= place[k] - place[k - 1] > seed.length_px / 12.0;
        const double uneven = Unevenness(place);
        if (!apart || uneven > kEven || j - i + 1 < best.folds.size()) continue;
        if (j - i + 1 == best.folds.size() && uneven >= best.uneven) continue;
        best = {};
        std::vector<double> angles;
        for (std::size_t k = i; k <= j; ++k) {
          best.folds.push_back(*beside[k].second);
          angles.push_back(beside[k].second->angle);
        }
        const CircularSummary own = SummariseAxes(angles);
        best.direction = own.mean_rad;
        best.spread = own.sd_rad;
        best.uneven = uneven;
      }
  }
  return best;
}

// Chance that so many of `all` lines of any direction fall within `width` of directions, and
// with gaps so even: of gaps without order about `uneven` each lie that close to the middle one.
double ByChance(std::size_t comb, std::size_t all, double uneven, double width) {
  const double p = std::min(1.0, width / M_PI), n = static_cast<double>(all) - 1.0;
  double tail = 0.0;
  for (double k = static_cast<double>(comb) - 1.0; k <= n; k += 1.0)
    tail += std::exp(std::lgamma(n + 1) - std::lgamma(k + 1) - std::lgamma(n - k + 1) + k * std::log(p) + (n - k) * std::log1p(-p));
  return std::min(1.0, tail * static_cast<double>(all) * std::pow(std::max(uneven, 0.08), static_cast<double>(comb) - 2.0));
}

// The same of a comb: by the tolerance, or by the directions as alike as they are, that choice paid for by doubling
// (Bonferroni). A ruled comb is far less like chance than one that just passes as parallel.
double ByChance(const Comb& comb, std::size_t all) {
  constexpr double kWhole = kParallel + 2 * kFoldError;
  double off = 0.0;
  for (const FoldLine& fold : comb.folds) off = std::max(off, std::abs(std::remainder(fold.angle - comb.direction, M_PI)));
  const double own = std::min(kWhole, 2.0 * (off + kOwnError));
  const std::size_t n = comb.folds.size();
  return std::min({1.0, 2.0 * ByChance(n, all, comb.uneven, kWhole), 2.0 * ByChance(n, all, comb.uneven, own)});
}

// Lower 95 % bound of the spread of directions: for concentrated samples 2 kappa (n - R) follows chi squared with n - 1
// degrees of freedom (Mardia & Jupp 2000, section 7.2), so the spread as found over the true one does likewise.
// Quantile by Wilson & Hilferty (1931).
double SpreadAtLeast(const CircularSummary& axes) {
  const double n = axes.count - 1.0;
  if (n < 1.0) return 0.0;
  const double h = 2.0 / (9.0 * n), chi2 = n * std::pow(1.0 - h + 1.6449 * std::sqrt(h), 3);
  return axes.sd_rad * std::sqrt(n / chi2);
}

// Most lines within the parallel tolerance of one of them, that one too.
std::size_t MostAlike(const std::vector<FoldLine>& folds) {
  std::size_t most = 0;
  for (const FoldLine& a : folds)
    most = std::max(most, static_cast<std::size_t>(std::count_if(folds.begin(), folds.end(), [&](const FoldLine& b) {
                      return std::abs(std::remainder(a.angle - b.angle, M_PI)) < kParallel;
                    })));
  return most;
}

// Where cloth is pulled from or caught: joints it hangs on or bends at.
std::vector<Vec2> Anchors(const body_check::BodyFacts& facts) {
  using P = PointId;
  std::vector<Vec2> out;
  for (const P id : {P::kNeckPit, P::kShoulderL, P::kShoulderR, P::kElbowL, P::kElbowR, P::kHipL, P::kHipR, P::kKneeL, P::kKneeR, P::kWristL, P::kWristR, P::kAnkleL, P::kAnkleR})
    if (facts.Marked({id})) out.push_back(facts.Px(id));
  if (facts.Marked({P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR}))
    for (const auto& [shoulder, hip] : {std::pair{P::kShoulderL, P::kHipL}, {P::kShoulderR, P::kHipR}}) {
      out.push_back(0.80 * facts.Px(shoulder) + 0.20 * facts.Px(hip));  // armpit
      out.push_back(0.35 * facts.Px(shoulder) + 0.65 * facts.Px(hip));  // waist
    }
  return out;
}

}  // namespace

void CheckFolds(const body_check::BodyFacts& facts, const Picture& picture, std::vector<Finding>& out) {
  for (const Area& area : facts.Marks().areas) {
    if (area.kind != "folds" || area.outline.size() < 3) continue;
    std::string name = area.name;
    std::replace(name.begin(), name.end(), ' ', '_');
    Finding f = body_check::Start(facts, "cloth.folds." + IdPart(name), Say("Folds of the cloth"), Kind::kTaste, Verdict::kCannotTell);
    f.stage = Stage::kLine;
    f.unit = "deg";
    f.tolerance = kParallel / kDegree;
    f.source = Say("drawing handbooks on drapery: folds radiate from points of tension; 5 degrees default, editable");
    f.where.outline = area.outline;
    const auto folds = FindFolds(picture, area);
    if (folds.size() < static_cast<std::size_t>(kFewest)) {
      f.why = SayCount(folds.size(), "{} fold line was found under the outline; four or more are needed to compare directions.",
                       "{} fold lines were found under the outline; four or more are needed to compare directions.", folds.size());
      f.ask = Say("Outline a larger piece of cloth with its fold lines.");
      body_check::Finish(facts, {}, f);
      out.push_back(std::move(f));
      continue;
    }
    std::vector<double> angles;
    for (const FoldLine& fold : folds) angles.push_back(fold.angle);
    const CircularSummary all = SummariseAxes(angles);
    const Comb comb = LongestComb(folds);
    const double chance = comb.folds.empty() ? 1.0 : ByChance(comb, folds.size());
    f.measured = (comb.folds.empty() ? all.sd_rad : comb.spread) / kDegree;
    f.test = "chance of so many lines that parallel among all found";
    f.evidence = chance;
    const auto anchors = Anchors(facts);
    const double near = 0.15 * facts.Head() * facts.Reading().camera.scale_px;
    int caught = 0;
    for (const FoldLine& fold : folds) {
      const Line2 line = Line2::Through(fold.from, fold.to);
      caught += std::any_of(anchors.begin(), anchors.end(), [&](const Vec2& a) { return std::abs(SignedDistance(line, a)) < near; });
    }
    const std::string pulled = Say("{} of {} lines run towards a joint, an armpit or the waist", caught, folds.size());
    for (const FoldLine& fold : comb.folds.empty() ? folds : comb.folds)
      f.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, {fold.from, fold.to}));
    const std::vector<FoldLine>& group = comb.folds;
    if (chance < kSurprising && group.size() >= 4) {
      f.verdict = Verdict::kOff;
      f.title = Say("Folds run parallel and evenly spaced");
      f.why =
          Say("{} of {} fold lines lie side by side within {:.0f} degrees, their gaps alike to {:.0f} %; {}. Cloth "
              "pulled from a shoulder, waist or knee fans out; an observation, no error.",
              group.size(), folds.size(), kParallel / kDegree, 100.0 * comb.uneven, pulled);
      // A fan from the end where the cloth hangs from.
      Vec2 top = Vec2::Zero();
      for (const FoldLine& fold : group) top += (fold.from.y() < fold.to.y() ? fold.from : fold.to) / static_cast<double>(group.size());
      Vec2 along(std::cos(comb.direction), std::sin(comb.direction));
      if (along.y() < 0) along = -along;
      const Vec2 anchor = top - along * (0.6 * group.front().length_px);
      for (const FoldLine& fold : group) {
        const Vec2 end = fold.from.y() < fold.to.y() ? fold.to : fold.from;
        f.guides.push_back(body_check::Line(GuideShape::Role::kHelp, {anchor + 0.35 * (end - anchor), end}));
      }
      f.remedy = {RemedyWay::kRepaint, 20.0, Say("Let some folds start from a point of tension and vary their gaps.")};
      f.gain = 2.0;
    } else if (folds.size() >= kEnough && SpreadAtLeast(all) > kSpread && chance > kComb && 2 * caught >= static_cast<int>(folds.size()) &&
               static_cast<double>(MostAlike(folds)) <= std::max(2.0, kAlike * static_cast<double>(folds.size()))) {
      f.verdict = Verdict::kClear;
      f.title = Say("Folds fan out");
      f.measured = all.sd_rad / kDegree;
      f.why =
          Say("{} fold lines, directions spread by {:.0f} degrees, at least {:.0f} at 95 %; no group of them lies evenly side by "
              "side; {}.",
              folds.size(), all.sd_rad / kDegree, SpreadAtLeast(all) / kDegree, pulled);
      f.guides.clear();
    } else {
      // Not clear: fold lines that the finder missed may be the parallel ones.
      f.verdict = Verdict::kCannotTell;
      f.title = Say("Folds do not look parallel, as far as they were found");
      f.why = Say("{} fold lines, directions spread by {:.0f} degrees; no four of them lie evenly side by side; {}.", folds.size(),
                  all.sd_rad / kDegree, pulled);
      f.ask = Say("Outline one stretch of cloth alone, without belt, trim or fastening.");
    }
    body_check::Finish(facts, {}, f);
    out.push_back(std::move(f));
  }
}

}  // namespace armslength::surface_check
