#pragma once
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "check/body/standing.h"
#include "check/finding.h"
#include "marks/figure.h"
#include "picture/picture.h"
#include "reading/body/body_reading.h"
#include "reading/head/head_reading.h"

namespace armslength {

// One drawn person with everything read behind the marks.
struct FigureCritique {
  FigureMarks marks;
  std::optional<BodyReading> body;         // absent: no body marks, or not asked for
  std::optional<StandingFigure> standing;  // absent without a body reading
  std::optional<HeadReading> head;         // absent when no face is marked
};

// A fault whose cause is another fault: mending the parent mends it as well.
struct CoveredFinding {
  Finding finding;
  std::string parent;  // id of a finding of the same figure in `first` or `rest`
};

// All findings of one version of a picture, ranked and sorted into the lists an artist
// reads. Every finding handed to Rank is in exactly one list, except those held back by
// the gate. The order is the same on every run and machine.
struct Critique {
  PictureFacts picture;
  std::string marks_file;            // as given; empty: no marks
  std::vector<FigureCritique> figures;
  std::optional<Stage> gate;         // only what is asked at or before the end of this stage

  std::vector<Finding> first;        // off: at most three, the ones to mend first
  std::vector<Finding> rest;         // off: the others, same order of worth
  std::vector<CoveredFinding> covered;  // off, but gone when the parent is mended
  std::vector<Finding> cannot_tell;
  std::vector<Finding> clear;
  std::vector<Finding> keep;         // what works
  std::vector<Finding> observations; // taste: never an error, never among the first
  std::vector<Finding> meant;        // off by measure, declared as meant by the artist
  int held_back = 0;                 // findings of later stages than the gate

  // All of the above in that order. Pointers live as long as this object is not changed.
  [[nodiscard]] std::vector<const Finding*> All() const;
  // The parent's id of a covered finding, or "".
  [[nodiscard]] std::string_view ParentOf(const Finding& finding) const;
};

inline constexpr int kFirstCount = 3;

// Gain per minute, the worth that ranks faults. Minutes below one count as one, so that
// a trifle that takes seconds does not outrank a real mend.
[[nodiscard]] double Worth(const Finding& finding);

// True when mending `parent` mends `child`: same figure, the same measure, the same
// direction (both too long, say), and the child's bones all among the parent's. A thigh
// too long is covered by legs too long; a thigh too short is not. A pair that is unequal
// is covered by a wrong length on one of its sides, a segment ratio by that of a segment.
// Limbs lit from two places (value.light.parts) are covered by all drawn forms lit so, which
// those limbs are among.
[[nodiscard]] bool Covers(const Finding& parent, const Finding& child);

// Sorts `findings` into a critique. Off findings rank: construction and canon together by
// worth, craft after them (a line mended on a wrong construction is mended twice); equal
// worth by kind, stage, figure order, id, and at last the order given. A proportion of the
// whole figure (legs, torso, head, arms) comes before all of them, the most worth-while one
// only: parts mended first would have to be mended again with it. The first three do
// not repeat an id on one figure while another fault is waiting. A finding under one of
// its figure's `meant` ids counts as meant. cannot_tell: most gain first.
[[nodiscard]] Critique Rank(PictureFacts picture, std::vector<FigureCritique> figures, std::vector<Finding> findings,
                            std::optional<Stage> gate = std::nullopt);

}  // namespace armslength
