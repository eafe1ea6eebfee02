#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <vector>

#include <Eigen/Dense>
#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/part_axis.h"
#include "check/surface/ring_shape.h"
#include "words/say.h"

namespace armslength::surface_check {
namespace {

using body_check::kDegree;

// Ratio of the short to the long half-axis. Trade practice reads the degree of an ellipse to
// about 5 degrees of tilt, 0.1 of the ratio (drawing handbooks; default, editable).
constexpr double kBowTolerance = 0.10;
// Spreads beyond the tolerance before a ring is off; the cloth's own slack is in the spread.
// Default; false alarms on sound figures are counted in tests/check/surface.
constexpr double kRingSure = 1.8;
// A ring drawn as a straight line is what is usually wrong with one and explains itself; one rounder than the form would have
// it needs more. Defaults, set on figures with seeds from 1500001. A limb's flag may be wrong, so its rings need kRingSure.
constexpr double kStraightSure = 1.6, kRoundSure = 2.5;
// The way a part leans is sure when the bow it asks for is so many spreads from none.
constexpr double kLeanSure = 1.7;
// A stroke at least this wide, of the usual half-width, goes from edge to edge. Default.
constexpr double kWhole = 0.65;
// Several rings of one figure drawn straight, or bowed the wrong way, speak for each other: a habit, in nats that the rings
// together are likelier so than sound. Straight means within kStraightSd. Set on figures with seeds from 1500001.
// A part's depth flag is wrong this often (nats against it), so no part alone tells that rings bow the wrong way: kHabitWrong.
constexpr double kHabit = 3.0, kHabitWrong = 4.5, kStraightSd = 0.06, kFlagWrong_nats = 3.2;
constexpr int kHabitRings = 3;
// Nats by which the other rings of a part must speak for the way it leans before one is blamed for what the other way explains.
constexpr double kConfirmed = 2.0;
// A limb whose seen length falls short of its own by fewer spreads may lie flat after all, whatever its flag says: a lone
// straight ring would then be right. Set on figures with seeds from 1500001.
constexpr double kMayLieFlat = 0.8;
// With a habit, spreads beyond the tolerance that a ring's own bow must probably be.
constexpr double kProbably = 0.7;
// The chord of a ring lies across the part to within this; beyond, the stroke is no ring of it.
constexpr double kAcross = 40.0 * kDegree;

std::string Spoken(const Ring& ring) {
  std::string name = ring.name;
  const bool left = name.ends_with("_l"), right = name.ends_with("_r");
  if (left || right) name.resize(name.size() - 2);
  std::replace(name.begin(), name.end(), '_', ' ');
  return left ? Say("left {}", name) : right ? Say("right {}", name) : name;
}

// Bulge over half-width of the middle part of a half ellipse of `bow`, the part `share` of its width.
double PartialBow(double bow, double share) {
  const double q = std::clamp(share, 0.05, 1.0);
  return bow * (1.0 - std::sqrt(std::max(0.0, 1.0 - q * q))) / q;
}

std::vector<Vec2> ArcPoints(const RingShape& shape, double bow_along_normal) {
  std::vector<Vec2> out;
  const Vec2 middle = 0.5 * (shape.from + shape.to), half = 0.5 * (shape.to - shape.from);
  for (int i = 0; i <= 24; ++i) {
    const double t = M_PI * (1.0 - i / 24.0);
    out.push_back(middle + half * std::cos(t) + shape.normal * (shape.half_width_px * bow_along_normal * std::sin(t)));
  }
  return out;
}

std::string Way(const Vec2& d) {
  if (std::abs(d.y()) >= std::abs(d.x())) return d.y() > 0 ? Say("downwards") : Say("upwards");
  return d.x() > 0 ? Say("to the right") : Say("to the left");
}

struct Expected {
  double full = 0.0;  // bulge of the whole near half along the axis' direction
  double low = 0.0;   // smallest in magnitude that a part of the arc could show; same sign
  double sd = 0.0;
  double mirrored = 0.0, mirrored_low = 0.0;  // the same if the part leans the other way
  double round = 1.0;                         // largest magnitude with the depth flag left aside
  double joints_sd = 0.0;                     // of it, what rings of one part share
};

Expected ExpectedBow(const BodyFacts& facts, const PartAxis& part, double half_width_px) {
  const double c = std::cos(part.turn_rad), s = std::sin(part.turn_rad), rho = part.depth_ratio;
  const Measure& tilt = part.as_flagged;
  const double mirrored = part.Limb() ? -tilt.value : part.mirrored_along_sight;
  const auto factor = [&](double r) { return r / (c * c + r * r * s * s); };
  Expected e;
  e.full = tilt.value * factor(rho);
  const double usual_px = part.usual_half_width * facts.PxPerStature(part.at.z());
  const double share = half_width_px >= kWhole * usual_px ? 1.0 : half_width_px / usual_px;
  e.low = PartialBow(e.full, share);
  e.mirrored = mirrored * factor(rho);
  e.mirrored_low = PartialBow(e.mirrored, share);
  const double across = std::sqrt(std::max(0.0, 1.0 - tilt.value * tilt.value));
  const double by_slack = part.slack_rad * across * factor(rho);
  const double by_joints = tilt.sd * factor(rho);
  const double by_section = tilt.value * (factor(rho + part.depth_ratio_sd) - factor(rho));
  e.round = part.along_sight_most * factor(rho);
  e.joints_sd = std::abs(by_joints);
  e.sd = std::sqrt(by_slack * by_slack + by_joints * by_joints + by_section * by_section);
  return e;
}

Finding Ask(const BodyFacts& facts, const Ring& ring, std::string why, std::string ask) {
  Finding f = body_check::Start(facts, "cloth.ring." + IdPart(ring.name), Say("{} round the form", body_check::Sentence(Spoken(ring))),
                                Kind::kConstruction, Verdict::kCannotTell);
  f.stage = Stage::kConstruction;
  f.where.points = ring.points;
  f.unit = "of half-width";
  f.tolerance = kBowTolerance;
  f.why = std::move(why);
  f.ask = std::move(ask);
  f.source = Say("drawing handbooks: short over long axis = sine of the view's tilt; 0.10 default, editable");
  return f;
}

// A ring that can be compared with its part.
struct RingRead {
  const Ring* ring = nullptr;
  std::string spoken;
  RingShape shape;
  PartAxis part;
  Expected e;
  double way = 1.0;  // of the shape's normal along the part
  double drawn = 0.0;
  bool unsigned_test = false;  // only the roundness counts
  [[nodiscard]] double Low() const { return std::min(e.low, e.full); }
  [[nodiscard]] double High() const { return std::max(e.low, e.full); }
  [[nodiscard]] double Nearest() const { return std::clamp(drawn, Low(), High()); }
  // From the nearest bow that the part could show leaning the other way.
  [[nodiscard]] double OffMirrored() const {
    return drawn - std::clamp(drawn, std::min(e.mirrored_low, e.mirrored), std::max(e.mirrored_low, e.mirrored));
  }
  [[nodiscard]] double Sd() const { return std::hypot(e.sd, shape.bow_sd); }
};

std::optional<RingRead> ReadRing(const BodyFacts& facts, const Ring& ring, std::vector<Finding>& out) {
  const std::string spoken = Spoken(ring);
  if (ring.points.empty()) return std::nullopt;
  const double sigma_px = std::max(1.0, 0.25 * facts.SigmaStature() * facts.Reading().camera.scale_px);
  const auto shape = ShapeOf(ring.points, sigma_px);
  Vec2 middle = Vec2::Zero();
  for (const Vec2& p : ring.points) middle += p / static_cast<double>(ring.points.size());
  const auto part = AxisOf(facts, ring.around, ring.name, middle);
  const auto ask = [&](Finding f, std::span<const PointId> rests_on) {
    body_check::Finish(facts, rests_on, f);
    out.push_back(std::move(f));
    return std::nullopt;
  };
  if (!shape)
    return ask(Ask(facts, ring, Say("The stroke along the {} is too short to tell its bow.", spoken),
                   Say("Draw it as three marks or more from one edge of the part to the other.")),
               {});
  if (!part)
    return ask(Ask(facts, ring, Say("The part that the {} goes round is not solved.", spoken),
                   Say("Mark both ends of that part, or name the bone it goes round.")),
               {});
  const double lean = std::acos(std::min(1.0, std::abs(shape->normal.dot(part->direction))));
  if (lean > kAcross && std::abs(part->along_sight) < 0.85)
    return ask(Ask(facts, ring,
                   Say("The stroke of the {} runs {:.0f} degrees off the direction across the {}, so it is not read as "
                       "a ring round it.",
                       spoken, lean / kDegree, part->spoken),
                   Say("Mark the curve from one edge of the part to the other.")),
               part->rests_on);
  RingRead r;
  r.ring = &ring;
  r.spoken = spoken;
  r.shape = *shape;
  r.part = *part;
  r.way = shape->normal.dot(part->direction) < 0 ? -1.0 : 1.0;
  r.e = ExpectedBow(facts, *part, shape->closed ? 1e9 : shape->half_width_px);
  r.drawn = r.way * shape->bow;
  // A limb without a depth flag may as well lean the other way: only its roundness counts.
  r.unsigned_test = shape->closed || !part->sign_known;
  if (r.unsigned_test) {
    r.drawn = std::abs(r.drawn);
    r.e.full = std::abs(r.e.full);
    r.e.low = std::abs(r.e.low);
    r.e.mirrored = r.e.full;
    r.e.mirrored_low = r.e.low;
  }
  return r;
}

enum class Habit : std::uint8_t { kNone, kStraight, kWrongWay };

// What the open rings of the figure have in common. Rings of one part share its tilt and are weighed together.
Habit HabitOf(const std::vector<RingRead>& rings) {
  std::map<std::vector<PointId>, std::vector<const RingRead*>> parts;
  int count = 0, signed_count = 0;
  for (const RingRead& r : rings) {
    if (r.shape.closed) continue;
    parts[r.part.rests_on].push_back(&r);
    ++count;
    signed_count += !r.unsigned_test;
  }
  double straight = 0.0, wrong = 0.0;
  for (const auto& [points, group] : parts) {
    const auto n = static_cast<Eigen::Index>(group.size());
    Eigen::MatrixXd spread = Eigen::MatrixXd::Zero(n, n);
    Eigen::VectorXd off(n), turned(n), other_way(n);
    for (Eigen::Index i = 0; i < n; ++i) {
      const RingRead& r = *group[static_cast<std::size_t>(i)];
      for (Eigen::Index k = 0; k < n; ++k) spread(i, k) = r.e.joints_sd * group[static_cast<std::size_t>(k)]->e.joints_sd;
      spread(i, i) = r.Sd() * r.Sd();
      off[i] = r.drawn - r.Nearest();
      other_way[i] = r.OffMirrored();
      turned[i] = r.unsigned_test ? off[i] : r.drawn + (r.drawn * r.e.full > 0.0 ? r.e.full : std::clamp(-r.drawn, r.Low(), r.High()));
      straight -= 0.5 * r.drawn * r.drawn / (kStraightSd * kStraightSd + r.shape.bow_sd * r.shape.bow_sd);
    }
    const Eigen::LDLT<Eigen::MatrixXd> solver(spread);
    const double as_flagged = off.dot(solver.solve(off)), against = turned.dot(solver.solve(turned));
    // The flag may be wrong under either account.
    const double sound = std::min(as_flagged, other_way.dot(solver.solve(other_way)) + 2.0 * kFlagWrong_nats);
    straight += 0.5 * (sound - static_cast<double>(n));
    wrong += 0.5 * (sound - std::min(against, as_flagged + 2.0 * kFlagWrong_nats));
  }
  if (count >= kHabitRings && straight > kHabit && straight > wrong) return Habit::kStraight;
  if (signed_count >= kHabitRings && wrong > kHabitWrong) return Habit::kWrongWay;
  return Habit::kNone;
}

// Nats by which the other rings of its part speak for the way the part leans as read.
double SupportFor(const RingRead& r, const std::vector<RingRead>& rings) {
  double nats = 0.0;
  for (const RingRead& other : rings) {
    if (&other == &r || other.shape.closed || other.unsigned_test || other.part.rests_on != r.part.rests_on) continue;
    const double as_read = (other.drawn - other.Nearest()) / other.Sd(), mirrored = other.OffMirrored() / other.Sd();
    nats += 0.5 * (mirrored * mirrored - as_read * as_read);
  }
  return nats;
}

void JudgeRing(const BodyFacts& facts, const RingRead& r, Habit habit, const std::vector<RingRead>& all, std::vector<Finding>& out) {
  const std::size_t rings = all.size();
  const Ring& ring = *r.ring;
  const std::string& spoken = r.spoken;
  const RingShape* shape = &r.shape;
  const PartAxis* part = &r.part;
  const Expected& e = r.e;
  const double drawn = r.drawn, way = r.way, lo = r.Low(), hi = r.High();
  const bool unsigned_test = r.unsigned_test;
  const double sd = r.Sd();
  const double visible = kBowTolerance + kRingSure * sd;
  const double beyond = drawn - r.Nearest();
  const bool rounder = drawn * e.full >= 0.0 && std::abs(drawn) > std::max(std::abs(lo), std::abs(hi));
  const bool limb = part->Limb();
  const double needed = kBowTolerance + (rounder ? kRoundSure : !limb && std::abs(drawn) < kStraightSd ? kStraightSure : kRingSure) * sd;
  // A round ring and a short limb agree: then the flag (or none) is what they contradict.
  const bool flag_instead = unsigned_test && !shape->closed && beyond > 0.0 && drawn < e.round + kBowTolerance;
  // A part that leans the other way would explain the ring: the flag may be wrong instead, unless other rings confirm it.
  const bool contested = !unsigned_test && !shape->closed && habit != Habit::kWrongWay && std::abs(beyond) > needed &&
                         std::abs(r.OffMirrored()) <= visible && SupportFor(r, all) < kConfirmed &&
                         // A flag the artist set has to be outweighed.
                         r.OffMirrored() * r.OffMirrored() + (part->depth_set ? 2.0 * kFlagWrong_nats * sd * sd : 0.0) < beyond * beyond;
  const bool may_lie_flat = limb && !unsigned_test && !shape->closed && habit != Habit::kStraight && std::abs(beyond) > needed &&
                            std::abs(drawn) < kBowTolerance && part->flat_sds < kMayLieFlat && SupportFor(r, all) < kConfirmed;
  // Plainly curved, the way that the part surely leans and as far as it asks: neither straight nor the wrong way.
  const double curve = std::abs(drawn) - kBowTolerance;
  const bool curved = !unsigned_test && !shape->closed && drawn * e.full > 0.0 && curve > 2.0 * shape->bow_sd &&
                      std::min(std::abs(e.low), std::abs(e.full)) > kLeanSure * sd && std::abs(beyond) <= kBowTolerance;
  // What the other rings say counts for this one as far as it goes along.
  const double least = std::min(std::abs(e.low), std::abs(e.full)) - kBowTolerance;
  const bool joins =
      !shape->closed &&
      ((habit == Habit::kStraight && std::abs(drawn) < kBowTolerance && least > std::abs(drawn) + kProbably * sd) ||
       (habit == Habit::kWrongWay && !unsigned_test && drawn * e.full < 0.0 && least > 0.0 && std::abs(drawn) + least > kProbably * sd));

  Finding f = Ask(facts, ring, "", "");
  f.measured = drawn;
  f.expected = std::clamp(drawn, lo, hi) == drawn ? drawn : (drawn < lo ? lo : hi);
  f.sd = sd;
  // The bow that would show for certain: towards the drawn one, or the straight one where that is as expected.
  f.smallest_visible =
      (beyond < 0.0 || (beyond == 0.0 && e.full >= 0.0)) ? lo - (beyond < 0.0 ? needed : visible) : hi + (beyond > 0.0 ? needed : visible);
  f.test = "distance in sd";
  f.evidence = sd > 0 ? std::abs(beyond) / sd : 0.0;
  f.where.outline.clear();
  const double target = way * (unsigned_test && part->along_sight < 0 ? -1.0 : 1.0) * (beyond == 0.0 ? e.full : *f.expected);
  if (!shape->closed) {
    f.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, ring.points));
    GuideShape band;
    band.role = GuideShape::Role::kBand;
    band.form = GuideShape::Form::kPolygon;
    band.points = ArcPoints(*shape, target - kBowTolerance);
    const auto other = ArcPoints(*shape, target + kBowTolerance);
    band.points.insert(band.points.end(), other.rbegin(), other.rend());
    f.guides.push_back(std::move(band));
    f.guides.push_back(body_check::Line(GuideShape::Role::kTarget, ArcPoints(*shape, target)));
  } else {
    const Vec2 centre = 0.5 * (shape->from + shape->to);
    GuideShape ellipse;
    ellipse.role = GuideShape::Role::kTarget;
    ellipse.form = GuideShape::Form::kEllipse;
    ellipse.points = {centre, shape->to, centre + shape->normal * (shape->half_width_px * std::abs(target))};
    f.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, ring.points));
    f.guides.push_back(std::move(ellipse));
  }
  const Vec2 bulge = part->direction * (e.full < 0 ? -1.0 : 1.0);
  const bool several = part->spoken == Say("hips and thighs");
  const std::string tilt =
      SayCount(several ? 2 : 1, "The {} is seen {:.0f} degrees off square, so a ring round it bows {} by {:.2f} of its half-width",
               "The {} are seen {:.0f} degrees off square, so a ring round it bows {} by {:.2f} of its half-width", part->spoken,
               std::asin(std::min(1.0, std::abs(part->along_sight))) / kDegree,
               unsigned_test && !shape->closed ? Say("one way") : Way(bulge), std::abs(e.full));
  if ((std::abs(beyond) > needed && !flag_instead && !contested && !may_lie_flat) || joins) {
    f.verdict = Verdict::kOff;
    const std::string name = body_check::Sentence(spoken);
    const bool wrong_way = !unsigned_test && drawn * e.full < 0 && std::abs(drawn) > kBowTolerance;
    f.title = wrong_way                                 ? Say("{} bows the wrong way", name)
              : std::abs(drawn) <= kBowTolerance        ? Say("{} drawn straight across", name)
              : std::abs(drawn) < std::abs(*f.expected) ? Say("{} too flat for the form", name)
                                                        : Say("{} too round for the form", name);
    f.why = Say("{}; it is drawn with {:.2f}.", tilt, drawn);
    if (std::abs(beyond) <= needed)
      f.why += habit == Habit::kStraight
                   ? Say(" Alone that might pass, but the {} rings of this figure run straight whatever their part's tilt.", rings)
                   : Say(" Alone that might pass, but the {} rings of this figure bow against their parts' tilt.", rings);
    f.remedy = {RemedyWay::kGuide, 12.0, Say("Redraw the {} along the guide arc; its ends stay.", spoken)};
    f.gain = std::clamp(2.0 + 6.0 * (std::abs(beyond) - kBowTolerance), 2.0, 6.0);
  } else if ((std::min(std::abs(e.low), std::abs(e.full)) > visible && std::abs(beyond) <= kBowTolerance + sd) || curved) {
    f.verdict = Verdict::kClear;
    f.title = Say("{} goes round the form", body_check::Sentence(spoken));
    f.why = Say("{}; drawn with {:.2f}.", tilt, drawn);
  } else if (contested) {
    f.verdict = Verdict::kCannotTell;
    f.why = Say("{}; it is drawn with {:.2f}. With the part leaning the other way the ring would fit, so either it or that lean is wrong.",
                tilt, drawn);
    f.ask = part->depth_set ? Say("Look at the depth set for the {}: if it is right, redraw the {}.", part->spoken, spoken)
                            : Say("Say whether the {} points towards or away from the viewer.", part->spoken);
    f.guides.clear();
  } else if (may_lie_flat) {
    f.verdict = Verdict::kCannotTell;
    f.why = Say(
        "{}; it is drawn with {:.2f}. By its length the part may as well lie square to the view, where the ring would fit, so either it or "
        "the depth set is wrong.",
        tilt, drawn);
    f.ask = Say("Look at the depth set for the {}: if it is right, redraw the {}.", part->spoken, spoken);
    f.guides.clear();
  } else {
    f.verdict = Verdict::kCannotTell;
    f.why = Say("{}, give or take {:.2f}; drawn with {:.2f}. A straight ring would not show for certain here.", tilt, 2.0 * sd, drawn);
    f.ask = part->sign_known ? Say("More marks along the ring, or surer joints of the part, would narrow it.")
                             : Say("Say whether the {} points towards or away from the viewer.", part->spoken);
    f.guides.clear();
  }
  body_check::Finish(facts, part->rests_on, f);
  out.push_back(std::move(f));
}

}  // namespace

void CheckRings(const BodyFacts& facts, std::vector<Finding>& out) {
  std::vector<RingRead> rings;
  for (const Ring& ring : facts.Marks().rings)
    if (auto read = ReadRing(facts, ring, out)) rings.push_back(std::move(*read));
  const Habit habit = HabitOf(rings);
  for (const RingRead& r : rings) JudgeRing(facts, r, habit, rings, out);
}

}  // namespace armslength::surface_check
