#pragma once
#include <optional>
#include <span>
#include <vector>

#include "check/body/body_facts.h"
#include "check/surface/trunk_stations.h"
#include "check/surface/trunk_turn.h"

// Each fastening of a row against the line through the others. Private to check/surface.
namespace armslength::surface_check {

// 4 % of the chest's width (trade brief of the project: common practice, no source; editable).
inline constexpr double kShiftTolerance = 0.04;
// A person's own placket is sewn and worn to about this, share of the chest's width, one sd.
inline constexpr double kOwnSd = 0.008;
// How far one that strays lies from its line, chest widths, one sd. Default.
inline constexpr double kStraySpread = 0.12;

// One fastening, as the others foretell it.
struct Held {
  std::size_t mark = 0;          // index in FigureMarks::centre_front
  double height = 0.0;           // along the trunk, hips 0, pit 1
  Vec2 foretold = Vec2::Zero();  // px
  body_check::Measure shift;     // from there, chest widths, + picture's right of an upright trunk
  double beyond = 1.0;           // chance that it strays by more than was asked
  double share = 0.0;            // if just one strays, the chance that it is this
};

struct FasteningLine {
  std::vector<Held> held;                       // by height, top first
  double one_strays = 0.0;                      // nats: any one strays, against none
  [[nodiscard]] std::size_t Likeliest() const;  // to stray, in `held`
};

// Turn of hips and shoulders, the trunk's bends and how far its front stands before its axis stay open, by the spreads of
// drawn bodies. `beyond`: chest widths. Nothing with fewer than three fastenings on the trunk.
// REQUIRES hips, shoulders and pit of the neck marked.
[[nodiscard]] std::optional<FasteningLine> HoldToLine(const body_check::BodyFacts& facts, const TrunkOnPicture& trunk,
                                                      std::span<const Station> rings, const TurnBeliefs& turns, double beyond);

// The finding cloth.centre_front.line. Which fastening strays, when one does: its index in FigureMarks::centre_front.
std::optional<std::size_t> CheckFasteningLine(const body_check::BodyFacts& facts, const TrunkOnPicture& trunk,
                                              std::span<const Station> rings, const TurnBeliefs& turns, std::vector<Finding>& out);

}  // namespace armslength::surface_check
