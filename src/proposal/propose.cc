#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

#include "proposal/calibration.h"
#include "proposal/figures.h"
#include "proposal/hips.h"
#include "proposal/maps.h"
#include "proposal/network.h"
#include "proposal/proposal.h"
#include "proposal/sides.h"
#include "proposal/view.h"

namespace armslength {
namespace {

constexpr double kWholeMargin = 1.1;      // the first view shows the picture and a tenth of it around
constexpr double kFigureMargin = 1.18;    // a figure's own view against its box
constexpr double kFillsPicture = 0.62;    // a box this large: the figure's own view is the whole picture
constexpr double kAlike = 1.6;            // views whose scales differ by less see the same things
constexpr double kUpperMargin = 1.2;      // the view of trunk, head and arms against their box
constexpr double kNearer = 0.85;          // steps a point against the figure's own view: less gains nothing
constexpr double kNearSd = 0.03;          // figure sizes: how far the nearer view may move a point
constexpr double kNearBelief = 0.3;       // least share of its belief that must lie there
constexpr double kNearWeight = 0.7;       // of its place against the first one
constexpr std::size_t kUpperPoints = 13;  // crown to hips
constexpr double kLeastCentre = 0.14;     // where to look closer
constexpr double kLeastFigure = 0.35;     // what is called a figure (bench_proposal: false figures)
constexpr double kLeastTentative = 0.12;  // below kLeastFigure a face must speak for it, and only the head is proposed
constexpr double kLeastFace = 0.72;       // mean belief in the points of the eyes
constexpr double kInPicture = 0.35;       // belief that a point lies in the picture
constexpr double kHeadSpan = 1.6;         // side of the head's view, distances from crown to chin
constexpr double kUprightBelow_rad = 0.25;
constexpr double kLeastHead_px = 20.0;    // smaller heads show no features
constexpr double kSeen = 0.5;             // belief that a point of the head is to be seen
constexpr double kSure = 0.62;            // figures less sure are looked at again in all quarter turns,
constexpr double kSureTilted = 0.8;       // these in the one turn that sets them upright
constexpr double kSurer = 1.1;            // a turned reading must be this much surer than the straight one,
constexpr double kLeastTurned = 0.4;      // and as sure as this: more looks are more chances of a false figure
constexpr std::size_t kFewFound = 2;      // where more are found nothing is looked at again: time
constexpr int kCandidates = 3;
constexpr double kSameCandidate = 0.05;   // belief below this is no candidate

constexpr std::array<PointId, 22> kHeadOrder = {
    PointId::kCrown,     PointId::kChin,      PointId::kHeadTop,    PointId::kJawL,      PointId::kJawR,     PointId::kContourL,
    PointId::kContourR,  PointId::kEyeLInner, PointId::kEyeLOuter,  PointId::kEyeLTop,   PointId::kEyeLBottom, PointId::kEyeRInner,
    PointId::kEyeROuter, PointId::kEyeRTop,   PointId::kEyeRBottom, PointId::kBrowLPeak, PointId::kBrowRPeak,  PointId::kNoseBase,
    PointId::kMouthL,    PointId::kMouthR,    PointId::kMouthCentre, PointId::kHairline};

double Sigmoid(double x) { return 1.0 / (1.0 + std::exp(-x)); }

std::size_t MirrorIn(const std::array<PointId, 22>& order, std::size_t i) {
  return static_cast<std::size_t>(std::find(order.begin(), order.end(), Mirrored(order[i])) - order.begin());
}

// Logits of the mirror image of a view, turned back and named as in the view.
NetworkOutput RunMirrored(Network& network, const cv::Mat& view, std::size_t points, const auto& mirror_of) {
  cv::Mat turned;
  cv::flip(view, turned, 1);
  const NetworkOutput mirrored = network.Run(turned);
  NetworkOutput out = mirrored;
  for (std::size_t c = 0; c < out.maps.size(); ++c) {
    cv::Mat back;
    cv::flip(mirrored.maps[c < points ? mirror_of(c) : c], back, 1);
    out.maps[c] = back;
  }
  for (std::size_t i = 0; i < points && i < out.aux.size(); ++i) out.aux[i] = mirrored.aux[mirror_of(i)];
  return out;
}

// Logits of a view averaged with those of its mirror image, whose left is our right.
NetworkOutput RunBothWays(Network& network, const cv::Mat& view, std::size_t points, const auto& mirror_of) {
  NetworkOutput straight = network.Run(view);
  const NetworkOutput back = RunMirrored(network, view, points, mirror_of);
  for (std::size_t c = 0; c < straight.maps.size(); ++c) straight.maps[c] = 0.5 * (straight.maps[c] + back.maps[c]);
  for (std::size_t i = 0; i < points && i < straight.aux.size(); ++i) straight.aux[i] = 0.5f * (straight.aux[i] + back.aux[i]);
  return straight;
}

// The belief of one view carried into another of the same turn.
BeliefMap Carried(const BeliefMap& map, const SquareView& from, const SquareView& to) {
  const double a = to.step / from.step;
  const Vec2 first = from.FromPicture(to.ToPicture({2.0, 2.0}));  // middle of the first cell
  const cv::Matx23d m(a, 0, first.x() / 4.0 - 0.5, 0, a, first.y() / 4.0 - 0.5);
  cv::Mat out;
  cv::warpAffine(map, out, m, map.size(), cv::INTER_LINEAR | cv::WARP_INVERSE_MAP, cv::BORDER_CONSTANT, cv::Scalar(0));
  const double sum = cv::sum(out)[0];
  return sum > 1e-3 ? cv::Mat(out / sum) : cv::Mat();
}

struct Chosen {
  Peak peak;
  std::vector<Peak> all;
};

// A pair of points that lie on one spot is likely one of the two seen twice.
void ChoosePair(const std::vector<Peak>& left, const std::vector<Peak>& right, Chosen& l, Chosen& r) {
  constexpr double kPenalty = 1.2, kReach = 6.0;  // nats, input points
  double best = -1e18;
  for (const Peak& a : left)
    for (const Peak& b : right) {
      const double d2 = (a.at - b.at).squaredNorm();
      const double score = std::log(a.mass + 1e-3) + std::log(b.mass + 1e-3) - kPenalty * std::exp(-d2 / (2 * kReach * kReach));
      if (score > best) {
        best = score;
        l.peak = a;
        r.peak = b;
      }
    }
  l.all = left;
  r.all = right;
}

ProposedPoint PointAt(PointId id, const Chosen& chosen, const SquareView& view, double size_px) {
  ProposedPoint p;
  p.id = id;
  p.at = view.ToPicture(chosen.peak.at);
  p.confidence = chosen.peak.mass;
  p.sd_px = size_px * ExpectedError(id, p.confidence, view.step * chosen.peak.spread / size_px);
  // Belief elsewhere widens what is stated: the spread of the mixture of all peaks about the chosen one.
  double elsewhere = 0, total = p.confidence;
  for (const Peak& peak : chosen.all)
    if (peak.at != chosen.peak.at) {
      total += peak.mass;
      elsewhere += peak.mass * 0.5 * (view.step * (peak.at - chosen.peak.at)).squaredNorm();
    }
  if (total > 0) p.sd_px = std::hypot(p.sd_px, std::sqrt(elsewhere / total));
  for (const Peak& peak : chosen.all)
    if (peak.mass > kSameCandidate || peak.at == chosen.peak.at) p.candidates.push_back({view.ToPicture(peak.at), peak.mass, view.step * peak.spread});
  return p;
}

// Trunk, head and arms again from a view of their own, which has up to twice the resolution. Which of several places a point has is
// decided already; the nearer view only says where exactly. Nothing for a point it does not see there.
std::array<std::optional<Vec2>, kUpperPoints> LookNearer(const Picture& picture, Network& network, const std::array<Chosen, kBodyPointCount>& chosen,
                                                         const std::array<bool, kBodyPointCount>& inside, const SquareView& view, double extent) {
  std::array<std::optional<Vec2>, kUpperPoints> places;
  Vec2 low = Vec2::Constant(1e12), high = -low;
  for (std::size_t i = 0; i < kUpperPoints; ++i)
    if (inside[i]) {
      low = low.cwiseMin(view.ToPicture(chosen[i].peak.at));
      high = high.cwiseMax(view.ToPicture(chosen[i].peak.at));
    }
  const double size = kUpperMargin * (high - low).maxCoeff();
  if (size <= 0 || size / network.Side() > kNearer * view.step) return places;
  const SquareView near = SquareView::About((low + high) / 2, size, view.turn_rad, network.Side());
  const NetworkOutput out = network.Run(Sample(picture.image, near, network.Side()));
  for (std::size_t i = 0; i < kUpperPoints; ++i) {
    if (!inside[i]) continue;
    const Vec2 at = view.ToPicture(chosen[i].peak.at);
    if (const auto place = PlaceNear(Softmax(out.maps[i]), near.FromPicture(at), kNearSd * extent / near.step, kNearBelief))
      places[i] = at + kNearWeight * (near.ToPicture(*place) - at);
  }
  return places;
}

// Where the points lie by the belief of all views.
struct Decoded {
  std::array<Chosen, kBodyPointCount> chosen;
  std::array<bool, kBodyPointCount> inside{};
  Vec2 low = Vec2::Constant(1e12), high = Vec2::Constant(-1e12);  // px
  double belief = 0;  // in the head's ends and in all points
};

std::optional<Decoded> Decode(const std::array<BeliefMap, kBodyPointCount>& belief, const std::vector<float>& aux, const SquareView& view) {
  Decoded d;
  auto& chosen = d.chosen;
  for (std::size_t i = 0; i < belief.size(); ++i) {
    const auto peaks = Peaks(belief[i], kCandidates);
    if (i < 3) {
      chosen[i].peak = peaks.front();
      chosen[i].all = peaks;
    } else if (i % 2 == 0) {
      ChoosePair(Peaks(belief[i - 1], kCandidates), peaks, chosen[i - 1], chosen[i]);
    }
  }
  double sum = 0, n = 0;
  for (std::size_t i = 0; i < belief.size(); ++i) {
    d.inside[i] = Sigmoid(aux[i]) > kInPicture;
    if (!d.inside[i]) continue;
    const Vec2 at = view.ToPicture(chosen[i].peak.at);
    d.low = d.low.cwiseMin(at);
    d.high = d.high.cwiseMax(at);
    sum += chosen[i].peak.mass;
    n += 1;
  }
  if (n < 2) return std::nullopt;
  d.belief = std::sqrt(chosen[0].peak.mass * chosen[1].peak.mass) * (sum / n);
  return d;
}

// The whole picture seen in one turn, and where figures are in it.
struct Look {
  SquareView view;
  NetworkOutput first;
  std::vector<FoundFigure> found;
  double glance = 0;  // how sure it is of its surest figure, by itself
};

Look LookAt(const Picture& picture, Network& network, double turn_rad, int max_figures) {
  Look look;
  const Vec2 size(picture.image.width, picture.image.height);
  look.view = SquareView::About(size / 2, kWholeMargin * size.maxCoeff(), turn_rad, network.Side());
  look.first = network.Run(Sample(picture.image, look.view, network.Side()));
  look.found = FindFigures(look.first, look.view, kLeastCentre);
  if (look.found.size() > static_cast<std::size_t>(max_figures)) look.found.resize(static_cast<std::size_t>(max_figures));
  if (look.found.empty()) return look;
  std::array<BeliefMap, kBodyPointCount> belief;
  for (std::size_t i = 0; i < belief.size(); ++i) belief[i] = Softmax(look.first.maps[i]);
  if (const auto decoded = Decode(belief, look.first.aux, look.view)) look.glance = std::cbrt(look.found.front().score * decoded->belief);
  return look;
}

// One figure as its views show it.
struct Seen {
  SquareView view;
  std::array<BeliefMap, kBodyPointCount> belief;
  bool whole_is_near = false;  // looks at the whole picture show it as large
  Decoded decoded;
  double confidence = 0;
};

std::optional<Seen> See(const Picture& picture, Network& network, const Look& look, std::size_t which) {
  const FoundFigure& found = look.found[which];
  const Vec2 size(picture.image.width, picture.image.height);
  const double frame = size.maxCoeff(), box = 2 * found.half_size.maxCoeff(), turn = look.view.turn_rad;
  const bool alone = look.found.size() == 1;
  Seen seen;
  seen.view = alone && box > kFillsPicture * frame ? SquareView::About(size / 2, frame, turn, network.Side())
                                                   : SquareView::About(found.centre, kFigureMargin * box, turn, network.Side());
  const cv::Mat shown = Sample(picture.image, seen.view, network.Side());
  const auto mirror_of = [](std::size_t i) { return static_cast<std::size_t>(Mirrored(static_cast<PointId>(i))); };
  const double scale = look.view.step / seen.view.step;
  // Where the first view shows the figure as large it stands for the straight one, and the time goes to the nearer view.
  seen.whole_is_near = alone && scale < kAlike && scale > 1 / kAlike;
  NetworkOutput own = seen.whole_is_near ? RunMirrored(network, shown, kBodyPointCount, mirror_of) : RunBothWays(network, shown, kBodyPointCount, mirror_of);
  for (std::size_t i = 0; i < seen.belief.size(); ++i) {
    seen.belief[i] = Softmax(own.maps[i]);
    if (!seen.whole_is_near) continue;
    own.aux[i] = 0.5f * (own.aux[i] + look.first.aux[i]);
    if (const BeliefMap carried = Carried(Softmax(look.first.maps[i]), look.view, seen.view); !carried.empty())
      seen.belief[i] = 0.5 * (seen.belief[i] + carried);
  }
  const auto decoded = Decode(seen.belief, own.aux, seen.view);
  if (!decoded) return std::nullopt;
  seen.decoded = *decoded;
  // Sure of a figure: a centre in both views, a head with both ends, and points that know where they are.
  seen.confidence = std::cbrt(std::sqrt(found.score * CentreScore(own.maps[kCentreMap])) * decoded->belief);
  if (seen.confidence < kLeastTentative) return std::nullopt;
  return seen;
}

// Everything about one figure but its head.
ProposedFigure ReadFigure(const Picture& picture, Network& network, const Seen& seen, const ProposalOptions& options) {
  ProposedFigure figure;
  figure.confidence = seen.confidence;
  const Vec2 low = seen.decoded.low, high = seen.decoded.high;
  const auto& chosen = seen.decoded.chosen;
  const auto& inside = seen.decoded.inside;
  const double extent = std::max((high - low).maxCoeff(), 1.0);
  figure.box = {low.x(), low.y(), high.x() - low.x(), high.y() - low.y()};
  std::array<std::optional<Vec2>, kUpperPoints> nearer;
  if (seen.whole_is_near && options.near_view) nearer = LookNearer(picture, network, chosen, inside, seen.view, extent);
  std::vector<Vec2> inputs;
  for (std::size_t i = 0; i < chosen.size(); ++i)
    if (inside[i]) {
      ProposedPoint& p = figure.points.emplace_back(PointAt(static_cast<PointId>(i), chosen[i], seen.view, extent));
      if (i < kUpperPoints && nearer[i]) {
        for (PointCandidate& c : p.candidates)
          if (c.at == p.at) c.at = *nearer[i];
        p.at = *nearer[i];
      }
      inputs.push_back(chosen[i].peak.at);
    }
  SettleSides(seen.belief, inputs, options.settle_sides, figure);
  return figure;
}

// Crown and chin again, larger, and the features between them. Returns how sure the eyes are, 0..1.
double ReadHead(const Picture& picture, Network& network, ProposedFigure& figure) {
  const auto find = [&](PointId id) {
    return std::find_if(figure.points.begin(), figure.points.end(), [&](const ProposedPoint& p) { return p.id == id; });
  };
  const auto crown = find(PointId::kCrown), chin = find(PointId::kChin);
  if (crown == figure.points.end() || chin == figure.points.end()) return 0.0;
  const Vec2 up = crown->at - chin->at;
  const double height = up.norm();
  if (height < kLeastHead_px) return 0.0;
  double eyes = 0;
  const double tilt = std::atan2(up.x(), -up.y());
  const SquareView view = SquareView::About((crown->at + chin->at) / 2, kHeadSpan * height, std::abs(tilt) > kUprightBelow_rad ? tilt : 0.0, network.Side());
  const NetworkOutput out = RunBothWays(network, Sample(picture.image, view, network.Side()), kHeadOrder.size(),
                                        [](std::size_t i) { return MirrorIn(kHeadOrder, i); });
  for (std::size_t i = 0; i < kHeadOrder.size(); ++i) {
    if (Sigmoid(out.aux[i]) < kSeen) continue;
    Chosen chosen;
    chosen.all = Peaks(Softmax(out.maps[i]), kCandidates);
    chosen.peak = chosen.all.front();
    const bool body = static_cast<int>(kHeadOrder[i]) < kBodyPointCount;
    if (kHeadOrder[i] >= PointId::kEyeLInner && kHeadOrder[i] <= PointId::kEyeRBottom) eyes += chosen.peak.mass / 8;
    ProposedPoint p = PointAt(kHeadOrder[i], chosen, view, height);
    if (!body) {
      figure.points.push_back(std::move(p));
      continue;
    }
    // Crown and chin have both views; the nearer one knows better when it is sure and not far off.
    p.sd_px = height * ExpectedError(PointId::kEyeLTop, p.confidence, 0.0) * 1.6;
    for (auto* points : {&figure.points, &figure.other.points})
      for (ProposedPoint& known : *points)
        if (known.id == p.id && p.sd_px < known.sd_px && (p.at - known.at).norm() < 4 * known.sd_px) known = p;
  }
  return eyes;
}

// What remains of a figure when only its face is believed.
void KeepHead(ProposedFigure& figure) {
  for (auto* points : {&figure.points, &figure.other.points})
    std::erase_if(*points, [](const ProposedPoint& p) {
      return p.id != PointId::kCrown && p.id != PointId::kChin && (static_cast<int>(p.id) < kBodyPointCount);
    });
  figure.undecided = false;
}

FigureMarks AsMarks(const std::vector<ProposedPoint>& points, const std::string& name) {
  FigureMarks marks;
  marks.name = name;
  for (const ProposedPoint& p : points) {
    marks.points[p.id] = p.at;
    marks.point_error_px[p.id] = p.sd_px;
    marks.proposed.push_back(p.id);
  }
  return marks;
}

tl::unexpected<Error> Cancelled() {
  return Fail(ErrorKind::kCancelled, "", "", "stopped while looking for figures", "Nothing was written");
}

// The quarter turns in which to look at the picture again. The networks know upright figures best: one that is doubtful is looked at in
// all of them, one that lies or stands on its head in the one that sets it upright.
std::vector<double> TurnsWorthALook(const Seen* surest) {
  constexpr double kQuarter = std::numbers::pi / 2;
  if (!surest || surest->confidence < kSure) return {2 * kQuarter, kQuarter, -kQuarter};
  if (surest->confidence >= kSureTilted) return {};
  const auto at = [&](PointId id) { return surest->view.ToPicture(surest->decoded.chosen[static_cast<std::size_t>(id)].peak.at); };
  const Vec2 up = at(PointId::kCrown) - (at(PointId::kHipL) + at(PointId::kHipR)) / 2;
  const double turn = kQuarter * std::round(std::atan2(up.x(), -up.y()) / kQuarter);
  return turn == 0 ? std::vector<double>{} : std::vector<double>{turn};
}

// Looks at a doubtful picture again, turned, and takes the figure seen there when it is clearly surer.
Result<void> LookAgain(const Picture& picture, Network& network, const Look& upright, const ProposalOptions& options, std::vector<Seen>& seen) {
  if (upright.found.size() > kFewFound) return {};
  if (std::count_if(seen.begin(), seen.end(), [](const Seen& one) { return one.confidence >= kLeastFigure; }) > 1) return {};
  const auto surest = std::max_element(seen.begin(), seen.end(), [](const Seen& a, const Seen& b) { return a.confidence < b.confidence; });
  const double sure = surest == seen.end() ? 0.0 : surest->confidence;
  std::optional<Look> best;
  for (const double turn : TurnsWorthALook(surest == seen.end() ? nullptr : &*surest)) {
    if (options.control.Stopped()) return Cancelled();
    Look look = LookAt(picture, network, turn, 1);
    if (look.glance >= std::max({kLeastFigure, upright.glance, best ? best->glance : 0.0})) best = std::move(look);
  }
  if (!best) return {};
  auto again = See(picture, network, *best, 0);
  if (again && again->confidence >= std::max(kLeastTurned, kSurer * sure)) seen.assign(1, std::move(*again));
  return {};
}

}  // namespace

FigureMarks ProposedFigure::Marks(const std::string& name) const { return AsMarks(points, name); }

FigureMarks ProposedFigure::OtherMarks(const std::string& name) const {
  FigureMarks marks = AsMarks(other.points, name);
  for (const ProposedPoint& p : points)  // the head is the same in both
    if (static_cast<int>(p.id) >= kBodyPointCount) {
      marks.points[p.id] = p.at;
      marks.point_error_px[p.id] = p.sd_px;
      marks.proposed.push_back(p.id);
    }
  return marks;
}

Result<Proposal> ProposeMarks(const Picture& picture, const ProposalOptions& options) {
  auto body = Network::Body();
  if (!body) return tl::unexpected(body.error());
  if (options.control.Stopped()) return Cancelled();
  Network& network = **body;
  options.control.Report(0.0, "looking for figures");
  const Look upright = LookAt(picture, network, 0.0, options.max_figures);
  std::vector<Seen> seen;
  for (std::size_t i = 0; i < upright.found.size(); ++i) {
    if (options.control.Stopped()) return Cancelled();
    if (auto one = See(picture, network, upright, i)) seen.push_back(std::move(*one));
  }
  if (auto stopped = LookAgain(picture, network, upright, options, seen); !stopped) return tl::unexpected(stopped.error());
  Proposal proposal;
  for (std::size_t i = 0; i < seen.size(); ++i) {
    if (options.control.Stopped()) return Cancelled();
    options.control.Report(0.6 + 0.4 * static_cast<double>(i) / static_cast<double>(seen.size()), "placing marks");
    ProposedFigure figure = ReadFigure(picture, network, seen[i], options);
    double face = 0;
    if (options.heads || figure.confidence < kLeastFigure) {
      auto head = Network::Head();
      if (!head) return tl::unexpected(head.error());
      ProposedFigure with_head = figure;
      face = ReadHead(picture, **head, with_head);
      if (options.heads) figure = std::move(with_head);
    }
    if (figure.confidence < kLeastFigure) {
      if (face < kLeastFace) continue;
      KeepHead(figure);
    } else {
      PlaceHips(figure);
    }
    proposal.figures.push_back(std::move(figure));
  }
  options.control.Report(1.0, "done");
  return proposal;
}

Marks ToMarks(const Proposal& proposal, const PictureFacts& picture) {
  Marks marks;
  marks.picture = {std::filesystem::path(picture.file).filename().string(), picture.width, picture.height};
  int number = 0;
  for (const ProposedFigure& figure : proposal.figures) marks.figures.push_back(figure.Marks(fmt::format("figure {}", ++number)));
  return marks;
}

}  // namespace armslength
