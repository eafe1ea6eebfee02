#pragma once
#include <functional>
#include <initializer_list>
#include <span>
#include <string>
#include <vector>

#include "check/finding.h"
#include "marks/figure.h"
#include "reading/body/body_reading.h"

// What the families of body checks share. Private to check/body.
namespace armslength::body_check {

inline constexpr double kDegree = 0.017453292519943295;

// How many spreads beyond its tolerance a secondary test must be before it says "off". The
// length scan owns the false alarms of the report; these tests must add next to none.
// Default; the count of false alarms on fault-free figures is in tests/check/body.
inline constexpr double kSure = 4.0;

// A camera's elevation as the reading knows it, and a picture held level by eye: one sd.
// Defaults: the reading's own prior of the elevation is about twice as wide; the eye tells a
// line from the vertical within 0.6 degrees (Vision Research 30, 1990, 1429), a drawn scene
// is held twice as loosely here.
inline constexpr double kElevationSd = 6.0 * kDegree;
inline constexpr double kRollSd = 1.2 * kDegree;

struct Measure {
  double value = 0.0, sd = 0.0;
};

// A joint for direct tests: x and y where the mark lies (not where the fit pulled it), z from
// the reading. cov: marking error across, the reading's own along the view.
struct SeenJoint {
  bool marked = false;
  Vec3 at = Vec3::Zero();
  Eigen::Matrix3d cov = Eigen::Matrix3d::Zero();
  Vec2 px = Vec2::Zero();
};

class BodyFacts {
 public:
  BodyFacts(const FigureMarks& marks, const BodyReading& reading);

  [[nodiscard]] const FigureMarks& Marks() const { return *marks_; }
  [[nodiscard]] const BodyReading& Reading() const { return *reading_; }
  [[nodiscard]] const SeenJoint& Joint(PointId id) const { return joints_[static_cast<std::size_t>(id)]; }
  // Where a joint lies on the picture: the mark, or the reading's guess.
  [[nodiscard]] Vec2 Px(PointId id) const { return Joint(id).px; }
  [[nodiscard]] bool Marked(std::initializer_list<PointId> ids) const;
  [[nodiscard]] bool BoneMarked(BoneId bone) const;
  // Any mark of these that the program proposed and the artist has not confirmed.
  [[nodiscard]] std::vector<PointId> Unconfirmed(std::span<const PointId> ids) const;

  [[nodiscard]] Vec3 HipMiddle() const;
  [[nodiscard]] Vec3 Up() const { return reading_->camera.Up(); }
  // px per stature at a joint's depth.
  [[nodiscard]] double PxPerStature(double z) const;
  // Canon length of a bone, in stature units.
  [[nodiscard]] double CanonLength(BoneId bone) const;
  // Height of one head of the canon, in stature units.
  [[nodiscard]] double Head() const;
  [[nodiscard]] double SigmaStature() const { return sigma_; }

  // value(joint positions) and its sd, errors of the joints taken as independent, by central
  // differences along each joint's axes of error. `extra_sd` comes on top.
  [[nodiscard]] Measure Propagate(std::span<const PointId> ids,
                                  const std::function<double(std::span<const Vec3>)>& value,
                                  double extra_sd = 0.0) const;

 private:
  const FigureMarks* marks_;
  const BodyReading* reading_;
  std::array<SeenJoint, kBodyPointCount> joints_{};
  double sigma_ = 0.0;
};

// Points that a bone's length rests on.
[[nodiscard]] std::vector<PointId> PointsOf(BoneId bone);
[[nodiscard]] std::vector<PointId> PointsOf(std::span<const BoneId> bones);

// A finding with id, figure and stage filled in.
[[nodiscard]] Finding Start(const BodyFacts& facts, std::string id, std::string title, Kind kind, Verdict verdict);

// Points and their box, with a margin, as the place of a finding.
[[nodiscard]] Where At(const BodyFacts& facts, std::span<const PointId> ids);

// Minutes for one fault on a finished picture and the way to mend it, after common working
// rules: a well-drawn part that only has the wrong size (up to 15 %) or angle (up to 12
// degrees) is moved or scaled, anything larger is redrawn over a guide.
[[nodiscard]] Remedy ScaleRemedy(double factor, double minutes, std::string detail);
[[nodiscard]] Remedy TurnRemedy(double degrees, double minutes, std::string detail);

[[nodiscard]] std::string Percent(double ratio_minus_one);       // "+12 %", "-5 %"
[[nodiscard]] std::string Sentence(std::string text);            // first letter upper case
[[nodiscard]] std::string List(const std::vector<std::string>& words);  // "a, b and c"

// An unconfirmed proposed mark never makes a finding off by itself: then it cannot tell, and
// asks for the marks. Also sets `meant`.
void Finish(const BodyFacts& facts, std::span<const PointId> rests_on, Finding& finding);

// The families, each appends its findings.
void CheckLengths(const BodyFacts& facts, std::vector<Finding>& out);
void CheckCanon(const BodyFacts& facts, std::vector<Finding>& out);
void CheckPairs(const BodyFacts& facts, std::vector<Finding>& out);
void CheckJoints(const BodyFacts& facts, std::vector<Finding>& out);
void CheckBalance(const BodyFacts& facts, std::vector<Finding>& out);
void CheckStance(const BodyFacts& facts, std::vector<Finding>& out);
void CheckForeshortening(const BodyFacts& facts, std::vector<Finding>& out);
void CheckFeet(const BodyFacts& facts, std::vector<Finding>& out);
void CheckHeadOnNeck(const BodyFacts& facts, std::vector<Finding>& out);
void CheckMarks(const BodyFacts& facts, std::vector<Finding>& out);
// What works, from the findings so far.
void AddKeeps(const BodyFacts& facts, std::vector<Finding>& out);

}  // namespace armslength::body_check
