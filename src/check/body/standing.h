#pragma once
#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "reading/body/body_reading.h"

namespace armslength {

// Levels of a body that stands upright, from the floor up.
enum class StandingLevel : std::uint8_t { kSole, kAnkles, kKnees, kHips, kNeckPit, kChin, kCrown, kCount };
inline constexpr int kStandingLevelCount = static_cast<int>(StandingLevel::kCount);
[[nodiscard]] std::string_view Name(StandingLevel level);  // "sole", "ankles", ..., "pit of the neck"

// One body straightened up: front view, arms hanging, legs side by side. Unit: one head
// height of the canon in use. x to the picture's right (the figure's own left side is at
// x > 0, as it faces the viewer), y above the floor. The longer leg stands on the floor.
struct StandingBody {
  std::array<Vec2, kBodyPointCount> joints{};  // by PointId
  std::array<Vec2, kBodyPointCount> sd{};      // one sd of each coordinate
  std::array<double, kStandingLevelCount> level{};     // height of each level; pairs: their mean
  std::array<double, kStandingLevelCount> level_sd{};
  double shoulder_width = 0.0, hip_width = 0.0;        // between joint centres
  double head = 1.0;                                   // chin to crown
  double foot = 0.0;                                   // ankle to toe, turned out to the side in `joints`

  [[nodiscard]] double Height() const { return level[static_cast<std::size_t>(StandingLevel::kCrown)]; }
  [[nodiscard]] double HeightSd() const { return level_sd[static_cast<std::size_t>(StandingLevel::kCrown)]; }
};

// Where the drawn body's lengths come from.
enum class StandingBasis : std::uint8_t {
  kHypothesis,  // a length hypothesis is off: its bones at canon length x factor, all others at the canon's
  kReading      // nothing is off: the lengths of the reading, which lean on the canon
};

struct StandingFigure {
  bool usable = false;
  std::string why_not;
  StandingBody drawn, canon;  // same unit, both with the soles at y = 0
  StandingBasis basis = StandingBasis::kReading;
  std::string note;           // one sentence for the picture: what the drawn body rests on
  // Standing height over drawn head height. Only when a hypothesis about the head, or one
  // that is off, measures it: the plain reading's own height leans on the canon and is
  // never shown as a measurement.
  std::optional<double> heads_drawn, heads_low, heads_high;  // with the 95 % interval
  double heads_canon = 0.0;
  bool canon_declared = false;
  std::array<bool, kBoneCount> bone_off{};  // bones to draw as departing
};

// The drawn body and the canon's, straightened, ready to be drawn side by side on one
// floor. Spreads of single bones are treated as independent from bone to bone and as
// shared between left and right, so the band grows from the floor up.
[[nodiscard]] StandingFigure Straighten(const BodyReading& reading);

}  // namespace armslength
