// Hands from their outlines: areas of kind "part" on hand_l or hand_r, one a finger, named after it, and the palm or
// the back of the hand. And the hand's length against the face.
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "geometry/line.h"
#include "words/say.h"

namespace armslength::surface_check {
namespace {

using body_check::BodyFacts;
using body_check::kDegree;
using P = PointId;

// Trade defaults, editable. A hand is as long as the face from chin to hairline; neighbours' lengths and the
// palm within 15 % (figure-drawing handbooks, from memory).
constexpr double kSizeTolerance = 0.15, kFingerTolerance = 0.15;
constexpr double kVagueSize = 0.5;  // one sd, log: more is no number worth reading
// From the back the fingers start at the knuckles, as long as the hand up to there; from the palm they start at the web:
// the palm is 0.59 of the hand (US Army survey 2012, NATICK/TR-15/007: 0.594 men, 0.580 women), 1.44 fingers.
constexpr double kBackRatio = 1.0, kPalmRatio = 1.44;
constexpr double kOutlineSd = 0.05;  // of a finger's length from its outline, log
constexpr double kAreaSd = 0.06;     // of the palm's or the back's length from its outline, log
// Fingers bend towards the palm, each a little otherwise than its neighbours (one sd); on a hand that points towards the
// viewer or away this shortens them unlike. A finger that lies further than this out of the palm's way in the picture is a bent one.
constexpr double kBend = 12.0 * kDegree, kBendSd = 8.0 * kDegree, kUnlikeBend = 5.0 * kDegree, kMostBent = 50.0 * kDegree;
// Spreads beyond the tolerance, which is itself over two spreads of sound fingers; nats; and beside the tolerance, spreads from as long as
// the face: a tilt only shortens, and bent fingers do on a flat hand. Set on seeds from 1500001.
constexpr double kFingerSure = 0.65, kPalmSure = 0.5, kBigSure = 1.7, kSmallSure = 2.4;
// Bow of a rake's rows over their length: sound tips bow by about 0.2, knuckles by 0.08 (handbooks' proportions).
constexpr double kRakeTips = 0.06, kRakeRoots = 0.05, kHollow = 0.05, kLeastRow = 0.4, kMostRow = 0.95;
constexpr double kBowed = 0.12, kLeastWide = 0.16;  // to clear; row of the roots over the hand's length, else it is seen from its edge
constexpr std::array<std::string_view, 5> kNames{"thumb", "index", "middle", "ring", "little"};  // in the names of areas
constexpr std::array<const char*, 5> kSpoken{Later("thumb"), Later("index finger"), Later("middle finger"), Later("ring finger"),
                                             Later("little finger")};
// Against the middle finger's length; means of handbooks, from memory.
constexpr std::array<double, 5> kUsual{0.0, 0.90, 1.0, 0.93, 0.73};

struct Finger {
  Vec2 root = Vec2::Zero(), tip = Vec2::Zero();
  [[nodiscard]] Vec2 Way() const { return (tip - root).normalized(); }
  [[nodiscard]] double px() const { return (tip - root).norm(); }
};

struct Hand {
  bool left = true;
  std::array<std::optional<Finger>, 5> fingers;  // thumb first
  std::optional<Vec2> thumb;                     // its root; the middle of its outline where it points at the eye
  std::optional<bool> palm_seen;                 // by an area named palm or back
  std::vector<Vec2> palm;                        // that area's outline
  [[nodiscard]] int Count() const {
    return static_cast<int>(std::count_if(fingers.begin(), fingers.end(), [](const auto& f) { return f.has_value(); }));
  }
};

std::string Lower(std::string text) {
  for (char& c : text)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return text;
}

// Middle of the outline's part nearest to the wrist, and of the part farthest from that.
std::optional<Finger> FingerOf(const std::vector<Vec2>& outline, const Vec2& wrist) {
  if (outline.size() < 4) return std::nullopt;
  Vec2 middle = Vec2::Zero();
  for (const Vec2& p : outline) middle += p / static_cast<double>(outline.size());
  Eigen::Matrix2d spread = Eigen::Matrix2d::Zero();
  for (const Vec2& p : outline) spread += (p - middle) * (p - middle).transpose();
  const double turn = 0.5 * std::atan2(2.0 * spread(0, 1), spread(0, 0) - spread(1, 1));
  Vec2 way(std::cos(turn), std::sin(turn));
  if (way.dot(middle - wrist) < 0.0) way = -way;
  double low = 1e18, high = -1e18, wide_low = 1e18, wide_high = -1e18;
  const Vec2 across(-way.y(), way.x());
  for (const Vec2& p : outline) {
    low = std::min(low, (p - middle).dot(way));
    high = std::max(high, (p - middle).dot(way));
    wide_low = std::min(wide_low, (p - middle).dot(across));
    wide_high = std::max(wide_high, (p - middle).dot(across));
  }
  // Curled up it is no longer than wide, and its direction means nothing.
  if (high - low < 1.7 * (wide_high - wide_low) || high - low < 6.0) return std::nullopt;
  return Finger{middle + low * way, middle + high * way};
}

std::optional<Hand> HandOf(const BodyFacts& facts, bool left) {
  Hand hand;
  hand.left = left;
  const Vec2 wrist = facts.Px(left ? P::kWristL : P::kWristR);
  const std::string_view on = left ? "hand_l" : "hand_r";
  for (const Area& area : facts.Marks().areas) {
    if (area.kind != "part" || area.on != on) continue;
    const std::string name = Lower(area.name);
    for (std::size_t i = 0; i < kNames.size(); ++i)
      if (name.find(kNames[i]) != std::string::npos) hand.fingers[i] = FingerOf(area.outline, wrist);
    if (name.find(kNames[0]) != std::string::npos && area.outline.size() >= 4) {
      Vec2 middle = Vec2::Zero();
      for (const Vec2& p : area.outline) middle += p / static_cast<double>(area.outline.size());
      hand.thumb = hand.fingers[0] ? hand.fingers[0]->root : middle;
    }
    const bool palm = name.find("palm") != std::string::npos;
    if (!palm && name.find("back") == std::string::npos) continue;
    hand.palm_seen = palm;
    hand.palm = area.outline;
  }
  if (hand.Count() == 0) return std::nullopt;
  return hand;
}

// The wrist's end of the outlined palm or back, below the middle finger's root.
std::optional<Vec2> HeelOf(const Hand& hand, const Vec2& wrist, double within_px) {
  const auto& middle = hand.fingers[2];
  if (!middle || hand.palm.size() < 6) return std::nullopt;
  const Vec2 way = (middle->root - wrist).normalized();
  double low = 1e18;
  for (const Vec2& p : hand.palm) low = std::min(low, (p - middle->root).dot(way));
  // An outline that ends far from the wrist's mark is a part of the palm, or reaches up the arm.
  if (low > 0.0 || std::abs(-low - (middle->root - wrist).norm()) > within_px) return std::nullopt;
  return Vec2(middle->root + low * way);
}

std::string HandName(bool left) { return left ? Say("Left hand") : Say("Right hand"); }

Finding Begin(const BodyFacts& facts, const Hand& hand, const char* what, const std::string& title) {
  Finding f = body_check::Start(facts, fmt::format("hand.shape.{}.{}", what, hand.left ? "left" : "right"),
                                Say("{}: {}", HandName(hand.left), title), Kind::kConstruction, Verdict::kCannotTell);
  f.stage = Stage::kSketch;
  for (const auto& finger : hand.fingers)
    if (finger) f.where.points.insert(f.where.points.end(), {finger->root, finger->tip});
  return f;
}

void End(const BodyFacts& facts, const Hand& hand, Finding f, std::vector<Finding>& out) {
  const std::array<PointId, 1> rests_on{hand.left ? P::kWristL : P::kWristR};
  body_check::Finish(facts, rests_on, f);
  out.push_back(std::move(f));
}

// Logs of the middle finger's length as each finger that points its way makes it: they are about as foreshortened as it is.
std::vector<std::pair<std::size_t, double>> Alike(const Hand& hand) {
  std::vector<std::pair<std::size_t, double>> logs;
  if (const auto& middle = hand.fingers[2])
    for (std::size_t i = 1; i < 5; ++i)
      if (const auto& finger = hand.fingers[i]; finger && finger->Way().dot(middle->Way()) > std::cos(20.0 * kDegree))
        logs.emplace_back(i, std::log(finger->px() / kUsual[i]));
  return logs;
}

// Middle finger as all fingers that point its way make it, px. REQUIRES: it is outlined
double MiddlePx(const Hand& hand) {
  const auto alike = Alike(hand);
  double log = 0.0;
  for (const auto& [i, one] : alike) log += one / static_cast<double>(alike.size());
  return std::exp(log);
}

// Of the whole hand to scale, px, were it flat in the picture.
double HandPx(const BodyFacts& facts, bool left) {
  return facts.Reading().length[static_cast<std::size_t>(left ? BoneId::kHandL : BoneId::kHandR)] *
         facts.PxPerStature(facts.Joint(left ? P::kWristL : P::kWristR).at.z());
}

void CheckFingers(const BodyFacts& facts, const Hand& hand, std::vector<Finding>& out) {
  Finding f = Begin(facts, hand, "fingers", Say("lengths of the fingers"));
  f.unit = "of the middle finger";
  f.test = "distance in sd";
  f.source = Say(
      "index 0.90, ring 0.93, little finger 0.73 of the middle one, within 15 %: figure-drawing handbooks from memory, default, editable");
  const auto& middle = hand.fingers[2];
  // Each against what the others make of the middle finger's length.
  const auto logs = Alike(hand);
  const auto told = static_cast<double>(logs.size()) - 1.0;
  const double flat_px = HandPx(facts, hand.left) / (1.0 + (hand.palm_seen.value_or(false) ? kPalmRatio : kBackRatio));
  std::size_t worst = 0;
  double excess = -1e9, log_off = 0.0, reference = 0.0, sd = kOutlineSd;
  for (const auto& [i, log] : logs) {
    if (i == 2) continue;
    double others = 0.0;
    for (const auto& [k, other] : logs)
      if (k != i) others += other / told;
    const double flat = std::clamp(std::exp(others) / flat_px, 0.2, 1.0);
    const double one_sd = std::hypot(kOutlineSd, kUnlikeBend * std::sqrt(1.0 / (flat * flat) - 1.0)) * std::sqrt(1.0 + 1.0 / told);
    const double e = (std::abs(log - others) - std::log1p(kFingerTolerance)) / one_sd;
    if (e > excess) {
      excess = e;
      sd = one_sd;
      worst = i;
      log_off = log - others;
      reference = std::exp(others);
    }
  }
  if (told < 1.0) {
    f.why = middle ? Say("No other outlined finger points the way of the middle one; bent apart their lengths cannot be compared.")
                   : Say("The middle finger is not outlined, or is curled up.");
    f.ask = Say("Outline the fingers from knuckle to tip, as areas of kind \"part\" on the hand, each named after its finger.");
    return End(facts, hand, std::move(f), out);
  }
  const Finger& finger = *hand.fingers[worst];
  f.measured = finger.px() / reference;
  f.expected = kUsual[worst];
  f.tolerance = kFingerTolerance * kUsual[worst];
  f.sd = sd * *f.measured;
  f.smallest_visible = kUsual[worst] * std::exp(std::log1p(kFingerTolerance) + kFingerSure * sd);
  f.evidence = excess;
  f.why = Say("By the fingers beside it the {} is {:.2f} times a middle finger long; usual is {:.2f}", SayLater(kSpoken[worst]),
              *f.measured, kUsual[worst]);
  if (excess > kFingerSure) {
    f.verdict = Verdict::kOff;
    f.title = log_off > 0 ? Say("{}: {} too long beside the others", HandName(hand.left), SayLater(kSpoken[worst]))
                          : Say("{}: {} too short beside the others", HandName(hand.left), SayLater(kSpoken[worst]));
    f.why += ".";
    const Vec2 target = finger.root + finger.Way() * (reference * kUsual[worst]);
    f.guides = {body_check::Line(GuideShape::Role::kDrawn, {finger.root, finger.tip}),
                body_check::Line(GuideShape::Role::kTarget, {finger.root, target}, body_check::Percent(std::exp(-log_off) - 1.0)),
                body_check::Around(target, kFingerTolerance * reference * kUsual[worst])};
    f.remedy = {RemedyWay::kGuide, 10.0, Say("Draw the arcs of knuckles and tips first, then the finger up to them.")};
    f.gain = 2.0;
  } else if (excess < 0.0) {
    f.verdict = Verdict::kClear;
    f.why += ".";
  } else {
    f.why += Say(": near the limit; the other one may be bent towards the eye.");
    f.ask = Say("Outline them again at high zoom, from knuckle to tip.");
  }
  End(facts, hand, std::move(f), out);
}

// Odds, nats, that the fingers are longer for the palm than the tolerance allows. Either may point towards the viewer or away:
// the palm's tilt is weighed by its own seen length over the hand's, the fingers bend from there. How far drawn hands depart
// (one sd) is left wide.
double OddsOfLongFingers(double palm_px, double finger_px, double finger_sd, double hand_px, double usual) {
  constexpr double kSizeSd = 0.086, kDrawnSd = 0.3, kMostTilt = 75.0 * kDegree, kStep = 5.0 * kDegree, kMostBend = 30.0 * kDegree;
  const double drawn = kDrawnSd * kDrawnSd, seen = finger_sd * finger_sd;
  double all = 0.0, longer = 0.0;
  for (double tilt = -kMostTilt; tilt < kMostTilt + 1e-6; tilt += kStep) {
    const double palm = palm_px / std::cos(tilt), size = std::log(palm * (1.0 + usual) / (usual * hand_px)) / kSizeSd;
    for (double bend = 0.0; bend < kMostBend + 1e-6; bend += 0.6 * kStep) {
      const double shortened = std::cos(tilt + bend), bent = (bend - kBend) / kBendSd;
      if (shortened < 0.2) continue;
      const double log = std::log(finger_px * usual / (shortened * palm));
      const double weight = std::cos(tilt) * std::exp(-0.5 * (size * size + bent * bent + log * log / (drawn + seen)));
      all += weight;
      longer += 0.5 * weight *
                std::erfc((std::log1p(kFingerTolerance) - log * drawn / (drawn + seen)) / std::sqrt(2.0 * drawn * seen / (drawn + seen)));
    }
  }
  const double part = all > 0.0 ? std::clamp(longer / all, 1e-6, 1.0 - 1e-6) : 0.5;
  return std::log(part / (1.0 - part));
}

// The longest of the palms shorter than `least` fingers whose odds tell. Nothing when down to a quarter of that none would.
std::optional<double> LongestShortPalm(double least, const std::function<double(double)>& odds_at) {
  constexpr double kStep = 0.02;
  double untold = least;
  for (double log = kStep; log < std::log(4.0); log += kStep) {
    double told = least * std::exp(-log);
    if (odds_at(told) <= kPalmSure) {
      untold = told;
      continue;
    }
    for (int halved = 0; halved < 12; ++halved) {
      const double middle = std::sqrt(told * untold);
      (odds_at(middle) > kPalmSure ? told : untold) = middle;
    }
    return told;
  }
  return std::nullopt;
}

void CheckPalm(const BodyFacts& facts, const Hand& hand, std::vector<Finding>& out) {
  const auto& middle = hand.fingers[2];
  const P wrist_id = hand.left ? P::kWristL : P::kWristR;
  if (!middle || !facts.Joint(wrist_id).marked) return;
  const Vec2 wrist = facts.Px(wrist_id);
  Finding f = Begin(facts, hand, "palm", Say("palm against fingers"));
  f.unit = "ratio";
  f.test = "odds, nats";
  f.source =
      Say("from the back wrist to knuckle as long as knuckle to tip (handbooks, from memory), from the palm 1.44 times the finger (US Army "
          "survey 2012), within 15 %; default, editable");
  const double wrist_px = facts.SigmaStature() * facts.PxPerStature(facts.Joint(wrist_id).at.z());
  const auto heel = HeelOf(hand, wrist, 3.0 * wrist_px);
  const Vec2 from = heel.value_or(wrist);
  const double palm = (middle->root - from).norm(), ratio = palm / middle->px();
  if (palm < 4.0) return;
  const double fingers_sd = kOutlineSd / std::sqrt(static_cast<double>(Alike(hand).size()));
  const auto sd_of = [&](double palm_px) { return std::hypot(fingers_sd, heel ? kAreaSd : std::hypot(1.3 * wrist_px / palm_px, 0.05)); };
  const double least = hand.palm_seen.value_or(false) ? kPalmRatio : kBackRatio,
               most = hand.palm_seen.value_or(true) ? kPalmRatio : kBackRatio;
  const double nearest = std::clamp(ratio, least, most), off = std::log(ratio / nearest);
  const double sd = sd_of(palm), finger = MiddlePx(hand), hand_px = HandPx(facts, hand.left);
  f.measured = ratio;
  f.expected = nearest;
  f.tolerance = kFingerTolerance * nearest;
  f.sd = sd * ratio;
  const double odds = OddsOfLongFingers(palm, finger, sd, hand_px, nearest);
  f.evidence = odds;
  f.why = Say("From the wrist to the middle finger's root it is {:.2f} times the finger's length", ratio);
  const double bent = std::acos(std::clamp((middle->root - from).normalized().dot(middle->Way()), -1.0, 1.0));
  // Of this hand, were its knuckles alone set nearer to the wrist. Were the fingers bent aside, none would be called.
  if (bent < kMostBent)
    f.smallest_visible = LongestShortPalm(least, [&](double other) {
      const double part = 1.0 / (1.0 + finger / palm * ratio / other), palm_px = part * (palm + finger);
      return OddsOfLongFingers(palm_px, palm + finger - palm_px, sd_of(palm_px), hand_px, least);
    });
  // A finger bent towards the eye is short on a sound hand as well: only a short palm is a fault by itself.
  if (off < 0.0 && odds > kPalmSure && bent < kMostBent) {
    f.verdict = Verdict::kOff;
    f.title = Say("{}: fingers too long for the palm", HandName(hand.left));
    f.why += Say("; usual is {:.2f}.", nearest);
    const Vec2 target = middle->root + middle->Way() * (palm / nearest);
    f.guides = {body_check::Line(GuideShape::Role::kDrawn, {from, middle->root, middle->tip}),
                body_check::Line(GuideShape::Role::kTarget, {from, middle->root, target})};
    f.remedy = {RemedyWay::kGuide, 12.0, Say("Set the knuckles halfway between wrist and tip, then draw the fingers anew.")};
    f.gain = 2.5;
  } else if (std::abs(off) < std::log1p(kFingerTolerance) && odds < -kPalmSure) {
    f.verdict = Verdict::kClear;
    f.why += ".";
  } else {
    f.why += off > 0 ? Say(": a finger bent towards the eye would look so too.")
                     : Say(": it may point towards or away from the viewer, be bent, or near the limit.");
    f.ask = Say("Name the hand's own area \"palm\" or \"back\", and mark the wrist again at high zoom.");
  }
  End(facts, hand, std::move(f), out);
}

// Fingers in order, and the thumb on the side that goes with the palm or the back of this hand.
void CheckSide(const BodyFacts& facts, const Hand& hand, std::vector<Finding>& out) {
  Vec2 way = Vec2::Zero(), middle = Vec2::Zero();
  double longest = 0.0;
  int n = 0;
  for (std::size_t i = 1; i < 5; ++i)
    if (hand.fingers[i]) {
      longest = std::max(longest, hand.fingers[i]->px());
      way += hand.fingers[i]->Way();
      middle += hand.fingers[i]->root;
      ++n;
    }
  Finding f = Begin(facts, hand, "side", Say("thumb on its side"));
  f.source = Say("construction: a left hand seen from its back, fingers up, has its thumb at the right");
  if (!hand.thumb || n == 0 || way.norm() < 0.8 * n) {
    f.why = Say("Which side the thumb lies on needs the outlines of the thumb and of at least one finger that is not curled up.");
    f.ask = Say("Outline thumb and forefinger as areas of kind \"part\" on the hand, named so.");
    return End(facts, hand, std::move(f), out);
  }
  way.normalize();
  middle /= n;
  // The palm's own way where it is outlined: fingers bent towards the palm point aside on a hand that is turned.
  if (hand.palm.size() >= 6) {
    Vec2 palm = Vec2::Zero();
    for (const Vec2& p : hand.palm) palm += p / static_cast<double>(hand.palm.size());
    way = (middle - palm).normalized();
  }
  const Vec2 to_thumb = *hand.thumb - middle, thumb_tip = hand.fingers[0] ? hand.fingers[0]->tip : *hand.thumb;
  // The thumb's root lies nearer the wrist as well; its side must show.
  const double aside = Cross2(way, to_thumb), size = hand.fingers[0] ? hand.fingers[0]->px() : longest;
  // Order across: thumb, index, middle, ring, little.
  if (hand.fingers[1] && hand.fingers[4]) {
    const double row = Cross2(way, hand.fingers[1]->root - hand.fingers[4]->root);
    if (std::abs(row) > 0.25 * size && std::abs(aside) > 0.25 * size && row * aside < 0.0) {
      f.verdict = Verdict::kOff;
      f.title = Say("{}: the thumb lies on the little finger's side", HandName(hand.left));
      f.why = Say("Across the hand the fingers run from the little one to the forefinger, and the thumb comes after the wrong end.");
      f.guides = {body_check::Line(GuideShape::Role::kDrawn, {*hand.thumb, thumb_tip}),
                  body_check::Line(GuideShape::Role::kHelp, {hand.fingers[4]->root, hand.fingers[1]->root})};
      f.remedy = {RemedyWay::kGuide, 15.0, Say("Put the thumb beside the forefinger.")};
      f.gain = 4.0;
      return End(facts, hand, std::move(f), out);
    }
  }
  if (!hand.palm_seen || std::abs(aside) < 0.25 * size) {
    f.why = std::abs(aside) < 0.25 * size ? Say("Seen from its edge the hand does not show which side the thumb lies on.")
                                          : Say("Whether this is the hand's palm or its back is not marked.");
    f.ask = Say("Outline the palm or the back of the hand, as an area of kind \"part\" on the hand named \"palm\" or \"back\".");
    return End(facts, hand, std::move(f), out);
  }
  const bool as_left = (aside > 0.0) != *hand.palm_seen;  // y runs down
  f.why = *hand.palm_seen ? (as_left ? Say("Seen from the palm, the thumb lies where a left hand has it.")
                                     : Say("Seen from the palm, the thumb lies where a right hand has it."))
                          : (as_left ? Say("Seen from the back, the thumb lies where a left hand has it.")
                                     : Say("Seen from the back, the thumb lies where a right hand has it."));
  if (as_left == hand.left) {
    f.verdict = Verdict::kClear;
  } else {
    f.verdict = Verdict::kOff;
    f.title = as_left ? Say("Right hand is drawn as a left hand") : Say("Left hand is drawn as a right hand");
    const Vec2 across = to_thumb - way * way.dot(to_thumb);
    f.guides = {body_check::Line(GuideShape::Role::kDrawn, {*hand.thumb, thumb_tip}),
                body_check::Line(GuideShape::Role::kTarget, {Vec2(*hand.thumb - 2.0 * across), Vec2(thumb_tip - 2.0 * across)}),
                body_check::Line(GuideShape::Role::kHelp, {middle, middle + way * size})};
    f.remedy = {RemedyWay::kGuide, 20.0, Say("Mirror the hand and draw it anew, or turn palm and back.")};
    f.gain = 5.0;
  }
  End(facts, hand, std::move(f), out);
}

// Tips of the four fingers on an arc with the middle one ahead. An observation.
void CheckArc(const BodyFacts& facts, const Hand& hand, std::vector<Finding>& out) {
  Vec2 way = Vec2::Zero();
  for (std::size_t i = 1; i < 5; ++i) {
    if (!hand.fingers[i]) return;
    way += hand.fingers[i]->Way();
  }
  if (way.norm() < 3.8) return;  // spread or bent fingers: no common arc
  way.normalize();
  const auto bow = [&](const auto& at) {
    const Vec2 a = at(1), b = at(4), chord = b - a;
    const Vec2 out_way = (way - chord * (way.dot(chord) / chord.squaredNorm())).normalized();
    return 0.5 * ((at(2) - a).dot(out_way) + (at(3) - a).dot(out_way)) / chord.norm();
  };
  const auto tip = [&](std::size_t i) -> Vec2 { return hand.fingers[i]->tip; };
  const auto root = [&](std::size_t i) -> Vec2 { return hand.fingers[i]->root; };
  // Pointing at the viewer or seen from its edge a hand shows no arc.
  const double row = (tip(1) - tip(4)).norm() / hand.fingers[2]->px();
  if (row < kLeastRow || row > kMostRow || (root(1) - root(4)).norm() < kLeastWide * HandPx(facts, hand.left)) return;
  const double tips = bow(tip), roots = bow(root);
  Finding f = Begin(facts, hand, "arc", Say("tips and knuckles on arcs"));
  f.kind = Kind::kTaste;
  f.unit = "of the row's length";
  f.measured = std::min(tips, roots);
  f.tolerance = 0.0;
  f.source = Say("tips and knuckles lie on arcs: figure-drawing handbooks, default, editable");
  f.why = Say("The row of tips bows by {:.0f} % of its length, that of the knuckles by {:.0f} %.", 100 * tips, 100 * roots);
  if (tips < -kHollow || (std::abs(tips) < kRakeTips && std::abs(roots) < kRakeRoots)) {
    f.verdict = Verdict::kOff;
    f.title = Say("{}: tips in a straight row, like a rake", HandName(hand.left));
    f.guides = {body_check::Line(GuideShape::Role::kDrawn, {tip(1), tip(2), tip(3), tip(4)}),
                body_check::Line(GuideShape::Role::kDrawn, {root(1), root(2), root(3), root(4)})};
    f.remedy = {RemedyWay::kGuide, 8.0, Say("Draw the arcs of knuckles and tips first.")};
    f.gain = 1.0;
  } else if (tips > kBowed) {
    f.verdict = Verdict::kClear;
  } else {
    f.ask = Say("Outline them again at high zoom, from knuckle to tip.");
  }
  End(facts, hand, std::move(f), out);
}

void CheckSize(const BodyFacts& facts, bool left, std::vector<Finding>& out) {
  const P wrist_id = left ? P::kWristL : P::kWristR, tip_id = left ? P::kHandTipL : P::kHandTipR;
  const auto hairline = facts.Marks().At(P::kHairline);
  if (!hairline || !facts.Marked({wrist_id, tip_id, P::kChin, P::kCrown})) return;
  const BoneId bone = left ? BoneId::kHandL : BoneId::kHandR;
  const double head = facts.Reading().length[static_cast<std::size_t>(BoneId::kHead)];
  // Chin and crown as solved: together with the head's length and the neck they are known closer than as marked.
  const Vec2 chin = facts.Reading().JointPx(P::kChin), up = facts.Reading().JointPx(P::kCrown) - chin;
  const double crown_px = up.norm(), face_px = (*hairline - chin).norm();
  if (head <= 0.0 || crown_px < 8.0 || face_px < 0.45 * crown_px || face_px > 0.98 * crown_px) return;
  const double unit = facts.PxPerStature(0.5 * (facts.Joint(wrist_id).at.z() + facts.Joint(tip_id).at.z()));
  Vec2 from = facts.Px(wrist_id), to = facts.Px(tip_id);
  double outline_sd = 0.0;
  // Outlined, the hand tells its own length closer than two marks do.
  if (const auto outlined = HandOf(facts, left))
    if (const auto heel = HeelOf(*outlined, from, 3.0 * facts.SigmaStature() * unit)) {
      from = *heel;
      to = outlined->fingers[2]->tip;
      outline_sd = kAreaSd;
    }
  const double hand = (to - from).norm() / unit, face = head * face_px / crown_px;
  const double ratio = hand / face;
  const auto across_sd = [&](PointId id) { return std::sqrt(facts.Joint(id).cov(0, 0)); };
  const double z_sd = std::sqrt(std::max(0.0, facts.Joint(wrist_id).cov(2, 2)));
  const double marks_sd = std::hypot(across_sd(wrist_id), across_sd(tip_id)) / std::max(hand, 1e-3);
  // Two marks held apart by the head's length lie askew together, by the mean of their errors.
  const double face_sd = 0.5 * std::hypot(across_sd(P::kChin), across_sd(P::kCrown)) / face;
  const double head_sd = facts.Reading().length_log_sd[static_cast<std::size_t>(BoneId::kHead)];
  const double sd = std::hypot(std::hypot(outline_sd > 0.0 ? outline_sd : marks_sd, std::hypot(face_sd, head_sd)),
                               facts.Reading().camera.inverse_distance * z_sd);
  const auto flag = facts.Marks().depth.find(bone);
  const bool flat = flag != facts.Marks().depth.end() && flag->second == Depth::kFlat;
  const bool declared = facts.Reading().canon.declared;
  Finding f = body_check::Start(facts, left ? "hand.size.left" : "hand.size.right", Say("{} as long as the face", HandName(left)),
                                declared ? Kind::kCanon : Kind::kTaste, Verdict::kCannotTell);
  f.stage = Stage::kSketch;
  f.unit = "ratio";
  f.measured = ratio;
  f.expected = 1.0;
  f.tolerance = kSizeTolerance;
  f.sd = sd * ratio;
  f.test = "distance in sd";
  const double log = std::log(ratio), tolerance = std::log1p(kSizeTolerance), visible = std::max(tolerance, kBigSure * sd);
  f.smallest_visible = std::exp(visible);
  f.source = Say("a hand is as long as the face from chin to hairline, within 15 %: common practice, default, editable");
  const std::vector<PointId> rests_on{wrist_id, tip_id, P::kChin, P::kCrown};
  f.where = body_check::At(facts, std::array<PointId, 2>{wrist_id, tip_id});
  f.why = Say("As drawn the hand is {:.2f} (±{:.2f}) times the face from chin to hairline", ratio, sd * ratio);
  f.evidence = std::abs(log) / sd;
  if (log > visible || (flat && log < -std::max(tolerance, kSmallSure * sd))) {
    f.verdict = Verdict::kOff;
    f.title = log > 0 ? Say("{} too big for the face", HandName(left)) : Say("{} too small for the face", HandName(left));
    f.why += log > 0 ? Say(", and a tilt only shortens it.") : Say(", laid flat as marked.");
    const Vec2 target = from + (to - from) / ratio;
    f.guides = {body_check::Line(GuideShape::Role::kDrawn, {from, to}),
                body_check::Line(GuideShape::Role::kTarget, {from, target}, body_check::Percent(1.0 / ratio - 1.0)),
                body_check::Around(target, kSizeTolerance * (target - from).norm())};
    f.remedy = body_check::ScaleRemedy(1.0 / ratio, 10.0, Say("Scale the hand about the wrist."));
    f.gain = 2.5;
  } else if (flat && std::abs(log) < tolerance && 2.0 * sd < std::log1p(2.0 * kSizeTolerance)) {
    f.verdict = Verdict::kClear;
    f.why += ".";
  } else {
    if (sd > kVagueSize)
      f.why = Say("The marks leave open how long the hand is for the face.");
    else
      f.why += ratio < 1.0 ? Say("; pointing towards or away from the viewer it would look short too.")
                           : Say("; the marks leave that much open.");
    f.ask = flat ? Say("Mark wrist and hand tip again at high zoom.")
                 : Say("Say whether the hand lies flat in the picture (depth of the hand), and mark wrist and tip at high zoom.");
  }
  body_check::Finish(facts, rests_on, f);
  out.push_back(std::move(f));
}

}  // namespace

void CheckHands(const BodyFacts& facts, std::vector<Finding>& out) {
  for (const bool left : {true, false}) {
    CheckSize(facts, left, out);
    const auto hand = HandOf(facts, left);
    if (!hand) continue;
    CheckFingers(facts, *hand, out);
    CheckPalm(facts, *hand, out);
    CheckSide(facts, *hand, out);
    CheckArc(facts, *hand, out);
  }
}

}  // namespace armslength::surface_check
