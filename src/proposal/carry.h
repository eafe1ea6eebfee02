#pragma once
#include <map>
#include <span>
#include <vector>

#include "marks/figure.h"
#include "picture/picture.h"
#include "support/error.h"
#include "support/job.h"

namespace armslength {

enum class CarriedHow : std::uint8_t {
  kMatched,   // the same drawing lies there: the mark stays the artist's
  kProposed,  // redrawn: moved as far as the network sees the point move, to be confirmed
  kKept       // neither is sure: same place on the sheet, to be confirmed
};

struct CarriedFigure {
  FigureMarks marks;  // every point of the earlier marks; those not matched are listed as proposed, with their errors
  std::map<PointId, CarriedHow> how;
};

struct CarryOptions {
  bool network = true;  // false: image matching alone (tests, bench)
  JobControl control;
};

// An earlier version's marks on a later version of the picture. Around each mark the drawing is compared, in a
// window of a sixteenth of the figure, with the later version within a twelfth of the figure; where nothing
// alike is found, or alike in many places, the body and head networks' proposals on both versions say how far the
// point went, so that what is the artist's own reading of the place stays. Rings, areas and the centre
// front follow the points about them. The later version may have another size.
// tests/proposal/carry_test.cc says how well it does. Deterministic. Errors: kCancelled, kInternal.
[[nodiscard]] Result<CarriedFigure> CarryMarks(const Picture& before, const FigureMarks& marks, const Picture& after,
                                               const CarryOptions& options = {});
// The same for all figures of a sheet, in their order; the networks look at each version once.
[[nodiscard]] Result<std::vector<CarriedFigure>> CarryFigures(const Picture& before, std::span<const FigureMarks> figures,
                                                              const Picture& after, const CarryOptions& options = {});

}  // namespace armslength
