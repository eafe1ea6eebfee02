#pragma once
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "marks/figure.h"
#include "picture/picture.h"
#include "support/error.h"
#include "support/job.h"

namespace armslength {

// One place where a point may lie.
struct PointCandidate {
  Vec2 at = Vec2::Zero();  // px
  double weight = 0.0;     // share of the network's belief, 0..1
  double spread_px = 0.0;  // of the peak itself, one sd per axis
};

struct ProposedPoint {
  PointId id{};
  Vec2 at = Vec2::Zero();      // px
  double sd_px = 0.0;          // expected error, one sd per axis; bench_proposal says how well it holds
  double confidence = 0.0;     // 0..1, share of the belief at this place
  std::vector<PointCandidate> candidates;  // best first, the chosen one among them
};

// Another reading of the same figure: the sides of some limbs exchanged.
struct OtherReading {
  std::vector<ProposedPoint> points;  // the whole figure again
  double odds = 0.0;                  // belief in it over belief in the first, 0..1
};

struct ProposedFigure {
  std::vector<ProposedPoint> points;  // body first, then head; points outside the picture are absent
  double confidence = 0.0;            // that this is a drawn figure, 0..1
  std::array<double, 4> box{};        // x, y, width, height, px
  OtherReading other;                 // the next likely naming of the sides
  bool undecided = false;             // the other reading is nearly as likely: ask the artist

  // Marks with every point listed as proposed and its own error.
  [[nodiscard]] FigureMarks Marks(const std::string& name) const;
  [[nodiscard]] FigureMarks OtherMarks(const std::string& name) const;
};

struct ProposalOptions {
  int max_figures = 4;       // largest and surest first. REQUIRES: 1..16
  bool heads = true;         // also the points of each head
  bool near_view = true;     // trunk, head and arms again from a view of their own
  bool settle_sides = false; // also ask the body reading; measured: it decides no better (docs/notes)
  JobControl control;
};

struct Proposal {
  std::vector<ProposedFigure> figures;  // empty: no figure found
};

// Proposes marks for the figures of a picture. Two networks trained only on figures that this project's
// own code draws (training/MODEL_CARD.md: errors, limits). A proposal is a first guess for the artist to
// nudge: it is never a verdict. Deterministic. Thread-safe. One figure takes about 0.2 s on one core, 0.4 s where it is doubtful and
// the picture is looked at again, turned (bench_proposal), each further one about 0.2 s.
// Errors: kCancelled, kInternal (weights damaged).
[[nodiscard]] Result<Proposal> ProposeMarks(const Picture& picture, const ProposalOptions& options = {});

// A marks file for `picture` with all figures found ("figure 1", …). REQUIRES: proposal.figures not empty
[[nodiscard]] Marks ToMarks(const Proposal& proposal, const PictureFacts& picture);

}  // namespace armslength
