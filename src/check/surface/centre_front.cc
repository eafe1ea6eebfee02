#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <span>
#include <vector>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/fastening_line.h"
#include "check/surface/part_axis.h"
#include "check/surface/trunk_stations.h"
#include "check/surface/trunk_turn.h"
#include "words/say.h"

namespace armslength::surface_check {
namespace {

using body_check::kDegree;
using P = PointId;

// Nats by which a shift must be likelier than none to be called; false alarms are counted by bench/detection_surface.
// More in free style, where the true widths of shoulders and hips are guessed.
constexpr double kOffNats = 2.4, kOffFree = 3.2;
constexpr double kStray = 0.05;   // chance left of twice the tolerance, to clear
constexpr double kEdgeOn = 0.96;  // further out a fastening nearly hides behind the edge, half-widths
// The trunk's half-section: thickness over width, common practice for drawn chests.
constexpr double kRho = 0.80, kRhoSd = 0.08;
// The pit of the neck lies on the middle line. Its mark is the notch on the skin or the joint behind it:
// so far does the fastening stand before it, parts of the stature (from memory of drawn figures).
constexpr double kBefore = 0.025, kBeforeSd = 0.020;
// The trunk's front before its axis, stature; common practice for drawn trunks, no source.
constexpr double kFrontAway = 0.065;
// What the elliptic section and joints that are marked within the body add, angle round the section.
constexpr double kSectionSd = 2.5 * kDegree;
// A belt sits where the trunk is narrowest: how fast it widens, per trunk length. Common practice, no source.
constexpr double kTaper = 0.8;
// Further off is no drift of a fastening but another cut of garment, or a trunk that is turned otherwise.
constexpr double kFarthest = 0.30;
// How likely each shift of all fastenings is, with the trunk's turn and depth open: a sum over all turns of hips and shoulders.
class ShiftBeliefs {
 public:
  static constexpr double kMost = 0.40, kStep = 0.01;
  void Add(double shift, double sd, double weight) {
    const double scale = weight / sd;
    for (int i = std::max(0, Bin(shift - 4.0 * sd)); i <= std::min(kBins - 1, Bin(shift + 4.0 * sd)); ++i) {
      const double z = (At(i) - shift) / sd;
      like_[static_cast<std::size_t>(i)] += scale * std::exp(-0.5 * z * z);
    }
  }
  [[nodiscard]] Measure Shift() const {
    double sum = 0.0, first = 0.0, second = 0.0;
    for (int i = 0; i < kBins; ++i) {
      const double w = like_[static_cast<std::size_t>(i)];
      sum += w;
      first += w * At(i);
      second += w * At(i) * At(i);
    }
    if (sum <= 0.0) return {0.0, kMost};
    return {first / sum, std::sqrt(std::max(kStep * kStep, second / sum - first * first / (sum * sum)))};
  }
  // Share of all that lies beyond +-`most`.
  [[nodiscard]] double Beyond(double most) const {
    double sum = 0.0, out = 0.0;
    for (int i = 0; i < kBins; ++i) {
      sum += like_[static_cast<std::size_t>(i)];
      if (std::abs(At(i)) > most + 1e-9) out += like_[static_cast<std::size_t>(i)];
    }
    return sum > 0.0 ? out / sum : 1.0;
  }
  // Nats by which the likeliest shift is better than none.
  [[nodiscard]] double Against() const {
    const double most = *std::max_element(like_.begin(), like_.end());
    const double none = like_[static_cast<std::size_t>(Bin(0.0))];
    return most <= 0.0 ? 0.0 : std::log(most / std::max(none, 1e-9 * most));
  }

 private:
  static constexpr int kBins = 2 * static_cast<int>(kMost / kStep + 0.5) + 1;
  static double At(int bin) { return kStep * bin - kMost; }
  static int Bin(double shift) { return static_cast<int>(std::lround((shift + kMost) / kStep)); }
  std::array<double, kBins> like_{};
};

// A fastening between the edges of its section: angle round a circle in place of the section, 0 in the middle.
struct Local {
  Vec2 at, from, to;
  double angle, sd, height;
};

// The top fastening beside the pit of the neck, to picture right, stature.
struct BelowPit {
  bool given = false;
  double seen = 0.0, sd = 0.0, width = 0.0;  // of the chest
};

struct Weighed {
  ShiftBeliefs shifts;
  std::optional<Measure> turn;  // nothing: no turn explains the marks
};

Weighed Weigh(const TurnBeliefs& turns, std::span<const Local> locals, const BelowPit& below) {
  Weighed out;
  double sum = 0.0, first = 0.0, second = 0.0;
  for (std::size_t h = 0; h < turns.turn_rad.size(); ++h)
    for (std::size_t c = 0; c < turns.turn_rad.size(); ++c) {
      const double hips = turns.turn_rad[h], shoulders = turns.turn_rad[c];
      const double likely = turns.Likely(h, c);
      if (likely < TurnBeliefs::kUnlikely) continue;
      const double turn = 0.5 * (hips + shoulders);
      for (const double deep : {-1.2, 0.0, 1.2}) {
        const double rho = kRho + deep * kRhoSd;
        double weight = 0.0, mean = 0.0, square = 0.0;
        for (const Local& l : locals) {
          const double here = (1.0 - l.height) * hips + l.height * shoulders;
          const double angle = l.angle - std::atan2(rho * std::sin(here), std::cos(here));
          // Errors of neighbouring edges go together.
          const double w = 1.0 / (l.sd * l.sd * (locals.size() > 1 ? 2.0 : 1.0));
          weight += w;
          mean += w * angle;
          square += w * angle * angle;
        }
        mean /= weight;
        if (std::abs(mean) > 60.0 * kDegree) continue;
        double log_like = likely - 0.5 * deep * deep - 0.5 * (square - weight * mean * mean);
        double shift = 0.5 * std::sin(mean);
        double sd = std::hypot(0.5 * std::cos(mean) * std::hypot(1.0 / std::sqrt(weight), kSectionSd), kOwnSd);
        if (below.given) {
          const double squeeze = below.width * std::cos(shoulders), miss = below.seen - kBefore * std::sin(shoulders) - squeeze * shift;
          const double own = std::hypot(below.sd, kBeforeSd * std::sin(shoulders));
          const double both = own * own + squeeze * squeeze * sd * sd;
          log_like -= 0.5 * miss * miss / both + 0.5 * std::log(both / (below.sd * below.sd));
          shift += sd * sd * squeeze / both * miss;
          sd *= own / std::sqrt(both);
        }
        const double p = std::exp(log_like);
        if (p < 1e-7) continue;
        out.shifts.Add(shift, sd, p);
        sum += p;
        first += p * turn;
        second += p * turn * turn;
      }
    }
  if (sum > 0.0) out.turn = Measure{first / sum, std::sqrt(std::max(0.0, second / sum - first * first / (sum * sum)))};
  return out;
}

// "2 fastenings against a ring lie 6 % of the trunk's width to the picture's right of its middle line".
std::string Aside(std::size_t n, const std::string& which, double shift) {
  const double percent = 100.0 * std::abs(shift);
  return shift > 0 ? SayCount(n, "{} lies {:.0f} % of the trunk's width to the picture's right of its middle line",
                              "{} lie {:.0f} % of the trunk's width to the picture's right of its middle line", which, percent)
                   : SayCount(n, "{} lies {:.0f} % of the trunk's width to the picture's left of its middle line",
                              "{} lie {:.0f} % of the trunk's width to the picture's left of its middle line", which, percent);
}

}  // namespace

void CheckCentreFront(const BodyFacts& facts, const Silhouette* silhouette, std::vector<Finding>& out) {
  const FigureMarks& marks = facts.Marks();
  if (marks.centre_front.empty()) return;
  const std::vector<PointId> rests_on{P::kNeckPit, P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR};
  Finding f = body_check::Start(facts, "cloth.centre_front", Say("Buttons and fastenings on the centre front"), Kind::kConstruction,
                                Verdict::kCannotTell);
  f.unit = "% of chest width";
  f.tolerance = 100.0 * kShiftTolerance;
  f.test = "nats against no shift";
  f.source = Say("4 % of the chest's width: common practice, default, editable");
  for (const NamedPoint& p : marks.centre_front) f.where.points.push_back(p.at);
  const auto finish = [&](std::string why, std::string ask) {
    f.why = std::move(why);
    f.ask = std::move(ask);
    body_check::Finish(facts, rests_on, f);
    out.push_back(f);
  };
  if (!facts.Marked({P::kNeckPit, P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR}))
    return finish(Say("The trunk's turn is not known."), Say("Mark the pit of the neck, both shoulders and both hips."));

  const TrunkOnPicture trunk(facts);
  const Vec2 &pit = trunk.pit, &hips = trunk.hips, &up = trunk.up, &right = trunk.right;
  const auto [stations, collar] = StationsOfRings(facts, trunk);
  const auto turns = TrunkTurnBeliefs(facts, collar);
  if (!turns) return finish(Say("The trunk's turn is not known."), Say("Mark the pit of the neck, both shoulders and both hips."));
  // One that strays from the others says nothing about all of them.
  const auto astray = CheckFasteningLine(facts, trunk, stations, *turns, out);
  std::vector<NamedPoint> row = marks.centre_front;
  if (astray) {
    row.erase(row.begin() + static_cast<std::ptrdiff_t>(*astray));
    f.where.points.erase(f.where.points.begin() + static_cast<std::ptrdiff_t>(*astray));
  }
  const double unit = facts.PxPerStature(facts.Joint(P::kNeckPit).at.z());
  const Vec2 before_px = kFrontAway * unit * turns->front_px.dot(up) * up;
  std::vector<Local> locals;
  int by_contour = 0;
  for (const NamedPoint& point : row) {
    // On the front it stands as much above or below its section's middle as the trunk leans from or to the viewer.
    const double h = trunk.HeightOf(point.at - before_px), within = std::clamp(h, 0.0, 1.0);
    // Only near a ring's height are the edges known, or where the contour is the trunk's own.
    const Station* best = nullptr;
    for (const Station& s : stations)
      if (!best || std::abs(s.height - h) < std::abs(best->height - h)) best = &s;
    if (best && std::abs(best->height - h) > 0.16) best = nullptr;
    std::optional<Station> contour;
    const double beside = best ? std::abs(best->height - h) : 1.0;
    if (beside > 0.05 && silhouette && h > 0.05 && h < 0.80) contour = ContourAt(facts, *silhouette, trunk, h);
    if (contour) best = &*contour;
    if (!best) continue;
    const double taper = contour || best->neck ? 1.0 : 1.0 + kTaper * beside;
    const double half = 0.5 * taper * (best->to - best->from).norm();
    const Vec2 along = (best->to - best->from).normalized(), middle = 0.5 * (best->from + best->to);
    // A point a little above the ring keeps its place across the trunk.
    const double u = (point.at - middle).dot(along) / half;
    if (std::abs(u) > kEdgeOn) continue;
    const double mark = std::max(1.0, 0.25 * facts.SigmaStature() * facts.Reading().camera.scale_px) / half;
    // Edges of the body under the cloth, share of half-width; further from a ring they are guesses.
    const double edge = 0.04 + (contour ? 0.02 : 0.25 * beside);
    locals.push_back(
        {point.at, middle - half * along, middle + half * along, std::asin(u), std::hypot(mark, edge) / std::sqrt(1.0 - u * u), within});
    by_contour += contour.has_value();
  }
  if (locals.empty())
    return finish(Say("No fastening lies where the edges of the trunk are known, near a ring or where the contour is the trunk's own."),
                  Say("Draw the belt from edge to edge as a ring, or mark the buckle or a button near it."));
  // The fastening nearest the pit, within a fifth of the trunk, hangs straight below it.
  const NamedPoint* top = nullptr;
  for (const NamedPoint& point : row)
    if (!top || std::abs(trunk.HeightOf(point.at) - 1.0) < std::abs(trunk.HeightOf(top->at) - 1.0)) top = &point;
  const double above = std::abs(trunk.HeightOf(top->at) - 1.0);
  BelowPit below;
  below.width = 0.8 * facts.Reading().length[static_cast<std::size_t>(BoneId::kShoulderWidth)];
  below.given = below.width > 0.0 && above < 0.2;
  below.seen = (top->at - pit).dot(right) / unit;
  // The trunk's own side bend and lean move what lies a little lower.
  below.sd = std::hypot(facts.SigmaStature(), 0.06 * above * (pit - hips).norm() / unit);
  const Weighed weighed = Weigh(*turns, locals, below);
  if (!weighed.turn) return finish(Say("The trunk's turn is not known."), Say("Mark the pit of the neck, both shoulders and both hips."));
  const ShiftBeliefs& beliefs = weighed.shifts;
  const Measure found = beliefs.Shift();
  const double shift = found.value, sd = found.sd;
  const double enough = facts.Reading().canon.declared ? kOffNats : kOffFree;
  const double visible = std::max(kShiftTolerance, std::sqrt(2.0 * enough) * sd);
  f.measured = 100.0 * shift;
  f.expected = 0.0;
  f.sd = 100.0 * sd;
  f.smallest_visible = 100.0 * visible;
  f.evidence = beliefs.Against();
  const int by_ring = static_cast<int>(locals.size()) - by_contour;
  std::vector<std::string> against;
  if (by_ring > 0) against.push_back(SayCount(by_ring, "{} fastening against a ring", "{} fastenings against a ring", by_ring));
  if (by_contour > 0)
    against.push_back(SayCount(by_contour, "{} fastening against the contour", "{} fastenings against the contour", by_contour));
  if (below.given) against.emplace_back(Say("the top one against the pit of the neck"));
  const std::string basis = Say("The trunk is turned by {:.0f} degrees (give or take {:.0f}); {}", weighed.turn->value / kDegree,
                                weighed.turn->sd / kDegree, Aside(locals.size() + (below.given ? 1 : 0), body_check::List(against), shift));
  if (beliefs.Against() > enough && std::abs(shift) > kShiftTolerance && std::abs(shift) < kFarthest) {
    f.verdict = Verdict::kOff;
    f.title = Say("Fastenings off the centre front");
    std::vector<Vec2> drawn, target;
    for (const Local& l : locals) {
      drawn.push_back(l.at);
      const double there = std::sin(l.angle - std::asin(2.0 * shift));
      target.push_back(l.at + 0.5 * (there - std::sin(l.angle)) * (l.to - l.from));
    }
    f.guides.push_back(body_check::Cross(GuideShape::Role::kDrawn, drawn));
    f.guides.push_back(body_check::Cross(GuideShape::Role::kTarget, target, body_check::Percent(shift)));
    f.guides.push_back(body_check::Line(GuideShape::Role::kArrow, {drawn.front(), target.front()}));
    f.remedy = {RemedyWay::kMove, 10.0,
                Say("Move the fastenings and the edge beside them onto the guide; a garment that "
                    "closes at the side is declared as meant.")};
    f.gain = 3.0;
    return finish(basis + ".", "");
  }
  if (std::abs(shift) <= kShiftTolerance && beliefs.Beyond(2.0 * kShiftTolerance) < kStray) {
    f.verdict = Verdict::kClear;
    f.title = Say("Fastenings on the centre front");
    return finish(basis + Say(", within what is usual."), "");
  }
  finish(Say("{}; a shift under {:.0f} % would not show for certain.", basis, 100.0 * visible),
         Say("A collar or belt drawn from edge to edge, and surer shoulders and hips, would narrow it."));
}

}  // namespace armslength::surface_check
