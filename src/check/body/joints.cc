// Joints bent too far or the wrong way. A joint is off only when no choice of depth
// (towards or away, bone by bone) brings it into its range.
#include <algorithm>
#include <cmath>
#include <limits>

#include <Eigen/Geometry>
#include "check/body/body_facts.h"
#include "check/body/guides.h"
#include "geometry/line.h"
#include "words/say.h"

namespace armslength::body_check {
namespace {

using P = PointId;

constexpr double kBeyond_deg = 10.0;  // past the range before it counts; common practice, no source

struct Limit {
  double value_deg;
  const char* source;
};
constexpr Limit kElbow = {150.0, Later("elbow flexion 150 deg, AAOS handbook norm; 10 deg beyond it, default, editable")};
constexpr Limit kKnee = {145.0, Later("knee flexion 138 to 153 deg by age and sex, Soucie et al. 2011 (CDC); AAOS 135; "
                                      "10 deg beyond 145, default, editable")};
constexpr Limit kKneeBack = {5.4, Later("knee hyperextension up to 5.4 deg on average (girls 2 to 8), Soucie et al. 2011 (CDC); "
                                        "10 deg beyond it, default, editable")};
// Hip 30 deg (AAOS, from memory) and lumbar spine 30 deg (38 CFR 4.71a, from memory): the reading's
// trunk is one piece, so both add up.
constexpr Limit kHipBack = {60.0, Later("hip extension 30 deg (AAOS) and spine 30 deg (38 CFR 4.71a); 10 deg beyond, default, editable")};
constexpr Limit kShoulderBack = {60.0, Later("shoulder extension 60 deg, AAOS handbook norm; 10 deg beyond it, default, editable")};
// Neck 45 deg (Castori 2012, Table 8) and half of the spine's 90 deg (38 CFR 4.71a, from memory).
constexpr Limit kNeck = {90.0, Later("neck 45 deg (Castori 2012) and upper spine 45 deg; 10 deg beyond, default, editable")};

// Smallest value over all ways to flip the vectors' depth.
template <std::size_t N, typename F>
double SmallestOverDepths(std::array<Vec3, N> v, F value) {
  double best = std::numeric_limits<double>::infinity();
  for (unsigned flips = 0; flips < (1U << N); ++flips) {
    std::array<Vec3, N> w = v;
    for (std::size_t i = 0; i < N; ++i)
      if (flips >> i & 1U) w[i].z() = -w[i].z();
    best = std::min(best, value(w));
  }
  return best;
}

double AngleBetween(const Vec3& a, const Vec3& b) { return std::atan2(a.cross(b).norm(), a.dot(b)) / kDegree; }

struct Hinge {
  std::string id, words;
  P upper, joint, lower, end;
  Limit limit;
};

struct Tested {
  int count = 0;
  std::vector<std::string> words;
};

void Judge(const BodyFacts& facts, const std::string& id, const std::string& off_title, const std::string& open_title,
           const Measure& m, const Limit& limit, std::vector<P> rests_on,
           std::vector<GuideShape> guides, const std::string& why, std::vector<Finding>& out) {
  const double past = m.value - limit.value_deg - kBeyond_deg;
  const bool off = past > kSure * m.sd;
  // The best depth for it is within range, or as good as: nothing to say about this joint alone.
  if (!off && past <= 1.5 * m.sd) return;
  Finding f = Start(facts, id, off ? off_title : open_title, Kind::kConstruction,
                    off ? Verdict::kOff : Verdict::kCannotTell);
  f.where = At(facts, rests_on);
  f.measured = m.value;
  f.sd = m.sd;
  f.expected = limit.value_deg;
  f.tolerance = kBeyond_deg;
  f.smallest_visible = limit.value_deg + kBeyond_deg + kSure * m.sd;
  f.unit = "deg";
  f.test = "distance in sd";
  if (m.sd > 0.0) f.evidence = (m.value - limit.value_deg) / m.sd;
  f.source = SayLater(limit.source);
  f.why = why;
  if (off) {
    const double turn = m.value - limit.value_deg;
    f.remedy = TurnRemedy(turn, 12, Say("Turn the part below the joint back by at least {:.0f} degrees.", turn));
    f.gain = std::min(10.0, 4.0 + 0.15 * turn);
    f.guides = std::move(guides);
  } else {
    f.why += Say(" The marks leave {:.0f} degrees of doubt (one spread), so this stays open.", m.sd);
    f.ask =
        Say("Mark the joints of this limb again at high zoom, or say with the depth of its parts which way "
            "they point.");
  }
  Finish(facts, rests_on, f);
  out.push_back(std::move(f));
}

// Which way the body faces, from its feet; nothing when they or the trunk disagree.
std::optional<Vec3> Facing(const BodyFacts& facts) {
  if (!facts.Marked({P::kHipL, P::kHipR, P::kNeckPit})) return std::nullopt;
  const Vec3 up = (facts.Joint(P::kNeckPit).at - facts.HipMiddle()).normalized();
  const Vec3 side = (facts.Joint(P::kHipL).at - facts.Joint(P::kHipR).at).normalized();
  // With y down and z away from the viewer, left x up points to the front.
  Vec3 front = side.cross(up);
  if (front.norm() < 0.5) return std::nullopt;
  front.normalize();
  int agree = 0, asked = 0;
  for (const auto& [ankle, toe] : {std::pair{P::kAnkleL, P::kToeL}, std::pair{P::kAnkleR, P::kToeR}}) {
    if (!facts.Marked({ankle, toe})) continue;
    ++asked;
    const Vec3 foot = (facts.Joint(toe).at - facts.Joint(ankle).at).normalized();
    if (foot.dot(front) > 0.3) ++agree;
  }
  if (asked == 0 || agree < asked) return std::nullopt;
  return front;
}

}  // namespace

void CheckJoints(const BodyFacts& facts, std::vector<Finding>& out) {
  const std::size_t before = out.size();
  Tested tested;

  const std::array<Hinge, 4> hinges = {{
      {"body.joint.elbow_l", Say("left elbow"), P::kShoulderL, P::kElbowL, P::kWristL, P::kHandTipL, kElbow},
      {"body.joint.elbow_r", Say("right elbow"), P::kShoulderR, P::kElbowR, P::kWristR, P::kHandTipR, kElbow},
      {"body.joint.knee_l", Say("left knee"), P::kHipL, P::kKneeL, P::kAnkleL, P::kToeL, kKnee},
      {"body.joint.knee_r", Say("right knee"), P::kHipR, P::kKneeR, P::kAnkleR, P::kToeR, kKnee},
  }};
  for (const Hinge& h : hinges) {
    if (!facts.Marked({h.upper, h.joint, h.lower})) continue;
    const std::vector<P> ids = {h.upper, h.joint, h.lower};
    const Measure bend = facts.Propagate(ids, [](std::span<const Vec3> p) {
      return SmallestOverDepths(std::array{Vec3(p[1] - p[0]), Vec3(p[2] - p[1])},
                                [](const auto& v) { return AngleBetween(v[0], v[1]); });
    });
    const Vec3 a = facts.Joint(h.joint).at - facts.Joint(h.upper).at;
    const Vec3 b = facts.Joint(h.lower).at - facts.Joint(h.joint).at;
    const double solved = AngleBetween(a, b);
    ++tested.count;
    if (solved > 20.0) tested.words.push_back(Say("{} {:.0f} degrees", h.words, solved));
    const double over = bend.value - h.limit.value_deg;
    const double sign = Cross2(a.head<2>(), b.head<2>()) > 0.0 ? -1.0 : 1.0;
    std::vector<Vec2> chain = {facts.Px(h.joint), facts.Px(h.lower)};
    if (facts.Joint(h.end).marked) chain.push_back(facts.Px(h.end));
    Judge(facts, h.id, Say("{} bent too far: {:.0f} degrees, {:.0f} at most", Sentence(h.words), bend.value, h.limit.value_deg),
          Say("{}: bent to its limit or past it", Sentence(h.words)), bend, h.limit, ids,
          TurnGuide(chain, sign * over * kDegree, kBeyond_deg * kDegree, Say("{:.0f} deg", over)),
          Say("Whichever way the two parts point in depth, the {} is bent by {:.0f} degrees or more (±{:.0f}).", h.words, bend.value,
              bend.sd),
          out);
  }

  // The knee the wrong way: the shin in front of the thigh's line, on the toes' side.
  for (std::size_t i = 2; i < hinges.size(); ++i) {
    const Hinge& h = hinges[i];
    if (!facts.Marked({h.upper, h.joint, h.lower, h.end})) continue;
    const std::vector<P> ids = {h.upper, h.joint, h.lower, h.end};
    const Measure back = facts.Propagate(ids, [](std::span<const Vec3> p) {
      return SmallestOverDepths(std::array{Vec3(p[1] - p[0]), Vec3(p[2] - p[1]), Vec3(p[3] - p[2])}, [](const auto& v) {
        // The front is where the foot points, across the shin; a foot in line with the shin shows none.
        const Vec3 thigh = v[0].normalized(), shin = v[1].normalized();
        Vec3 front = v[2] - v[2].dot(shin) * shin;
        if (front.norm() < 0.6 * v[2].norm()) return 0.0;
        front.normalize();
        const double behind = -thigh.dot(front);
        // Bent mainly sideways: knock knees are no hinge turned over.
        const Vec3 sideways = thigh + behind * front - thigh.dot(shin) * shin;
        if (behind <= sideways.norm()) return 0.0;
        return std::atan2(behind, thigh.dot(shin)) / kDegree;
      });
    });
    const Vec3 a = facts.Joint(h.joint).at - facts.Joint(h.upper).at;
    const Vec3 b = facts.Joint(h.lower).at - facts.Joint(h.joint).at;
    const double over = back.value - kKneeBack.value_deg;
    const double sign = Cross2(a.head<2>(), b.head<2>()) > 0.0 ? -1.0 : 1.0;
    Judge(facts, h.id + ".backwards", Say("{} bends the wrong way, by {:.0f} degrees", Sentence(h.words), back.value),
          Say("{}: straight or bent the wrong way", Sentence(h.words)), back, kKneeBack, ids,
          TurnGuide({facts.Px(h.joint), facts.Px(h.lower), facts.Px(h.end)}, sign * over * kDegree, kBeyond_deg * kDegree,
                    Say("{:.0f} deg", over)),
          Say("The shin stands in front of the thigh's line, on the side of the toes, by {:.0f} degrees "
              "(±{:.0f}) "
              "whatever the depth.",
              back.value, back.sd),
          out);
  }

  const auto facing = Facing(facts);
  if (facing) {
    // `left`: the joint on the left that shows, with its partner, which way this end of the trunk turns.
    const auto backwards = [&](const std::string& id, const std::string& words, P from, P to, P left, const Limit& limit) {
      if (!facts.Marked({from, to, P::kNeckPit, P::kHipL, P::kHipR, left, Mirrored(left)})) return;
      const std::vector<P> ids = {from, to, P::kNeckPit, P::kHipL, P::kHipR, P::kShoulderL, P::kShoulderR};
      const bool by_hips = left == P::kHipL;
      const Vec3 toes = *facing;
      // How far behind the trunk's line the part points, seen from the side; nothing when in front.
      const Measure back = facts.Propagate(ids, [&](std::span<const Vec3> p) {
        const Vec3 up = (p[2] - 0.5 * (p[3] + p[4])).normalized();
        Vec3 front = Vec3(by_hips ? p[3] - p[4] : p[5] - p[6]).cross(up);
        if (front.norm() < 1e-6) return 0.0;
        front.normalize();
        if (front.dot(toes) < 0.0) front = -front;
        return SmallestOverDepths(std::array{Vec3(p[1] - p[0])}, [&](const auto& v) {
          const Vec3 along = v[0].normalized();
          const double behind = -along.dot(front);
          const double beside = std::abs(along.dot(front.cross(up)));
          // Mainly sideways, or raised over the head: another movement with its own range.
          if (behind <= 1.5 * beside || along.dot(up) > 0.5) return 0.0;
          return std::atan2(behind, -along.dot(up)) / kDegree;
        });
      });
      ++tested.count;
      const double over = back.value - limit.value_deg;
      const Vec3 trunk_down = facts.HipMiddle() - facts.Joint(P::kNeckPit).at;
      const Vec3 part = facts.Joint(to).at - facts.Joint(from).at;
      const double sign = Cross2(trunk_down.head<2>(), part.head<2>()) > 0.0 ? -1.0 : 1.0;
      Judge(facts, id, Say("{} reaches too far back: {:.0f} degrees, {:.0f} at most", Sentence(words), back.value, limit.value_deg),
            Say("{}: as far back as it goes, or further", Sentence(words)), back, limit, ids,
            TurnGuide({facts.Px(from), facts.Px(to)}, sign * over * kDegree, kBeyond_deg * kDegree, Say("{:.0f} deg", over)),
            Say("Seen from the figure's side, it points {:.0f} degrees (±{:.0f}) behind the trunk's line.", back.value, back.sd), out);
    };
    backwards("body.joint.shoulder_l", Say("left upper arm"), P::kShoulderL, P::kElbowL, P::kShoulderL, kShoulderBack);
    backwards("body.joint.shoulder_r", Say("right upper arm"), P::kShoulderR, P::kElbowR, P::kShoulderL, kShoulderBack);
    backwards("body.joint.hip_l", Say("left thigh"), P::kHipL, P::kKneeL, P::kHipL, kHipBack);
    backwards("body.joint.hip_r", Say("right thigh"), P::kHipR, P::kKneeR, P::kHipL, kHipBack);
  }

  if (facts.Marked({P::kCrown, P::kChin, P::kNeckPit, P::kHipL, P::kHipR})) {
    const std::vector<P> ids = {P::kChin, P::kCrown, P::kNeckPit, P::kHipL, P::kHipR};
    const Measure bend = facts.Propagate(ids, [](std::span<const Vec3> p) {
      return SmallestOverDepths(std::array{Vec3(p[1] - p[0]), Vec3(p[2] - 0.5 * (p[3] + p[4]))},
                                [](const auto& v) { return AngleBetween(v[0], v[1]); });
    });
    ++tested.count;
    const double over = bend.value - kNeck.value_deg;
    const Vec3 trunk = facts.Joint(P::kNeckPit).at - facts.HipMiddle();
    const Vec3 head = facts.Joint(P::kCrown).at - facts.Joint(P::kChin).at;
    const double sign = Cross2(trunk.head<2>(), head.head<2>()) > 0.0 ? -1.0 : 1.0;
    Judge(facts, "body.joint.neck", Say("Head bent too far: {:.0f} degrees from the trunk, {:.0f} at most", bend.value, kNeck.value_deg),
          Say("Head bent to the neck's limit or past it"), bend, kNeck, ids,
          TurnGuide({facts.Px(P::kNeckPit), facts.Px(P::kChin), facts.Px(P::kCrown)}, sign * over * kDegree, kBeyond_deg * kDegree,
                    Say("{:.0f} deg", over)),
          Say("Between the trunk's line and the line from chin to crown there are {:.0f} degrees (±{:.0f}) or "
              "more, "
              "whatever the depth.",
              bend.value, bend.sd),
          out);
  }

  if (out.size() == before && tested.count >= 3) {
    Finding f = Start(facts, "body.joints", Say("Joints bend within their range"), Kind::kConstruction, Verdict::kClear);
    std::vector<P> ids;
    for (const Hinge& h : hinges)
      if (facts.Joint(h.joint).marked) ids.push_back(h.joint);
    f.where = At(facts, ids);
    f.unit = "deg";
    f.tolerance = kBeyond_deg;
    f.source = Say("joint range norms (AAOS; Soucie et al. 2011); 10 deg beyond, default, editable");
    f.why = tested.words.empty() ? Say("No elbow or knee is bent by more than 20 degrees.") : Say("Bent by: {}.", List(tested.words));
    Finish(facts, ids, f);
    out.push_back(std::move(f));
  }
}

}  // namespace armslength::body_check
