#pragma once
#include <span>
#include <string>
#include <vector>

#include "canon/canon.h"
#include "marks/figure.h"
#include "support/error.h"
#include "support/job.h"

namespace armslength {

// One of the artist's figures to learn from.
struct CanonExample {
  std::string file;  // of the marks, for messages
  FigureMarks marks;
};

struct LearnCanonOptions {
  std::string name = "own";
  std::string title;             // empty: made from the count of figures
  // Where to start and what to lean on where the figures say little; null: the built-in
  // conventions at the head count that the figures show.
  const Canon* start = nullptr;
  int min_figures = 3;           // REQUIRES: >= 2
  int threads = 0;               // 0: all cores; the result does not depend on it
  JobControl control;
};

// What the figures said about one bone. Left and right count as one.
struct LearnedBone {
  BoneId bone{};             // left one of a pair
  double length = 0.0;       // head heights
  double log_sd = 0.0;       // sd of ln length: how well the mean is known, the head's included
  double spread = 0.0;       // relative sd from figure to figure
  int figures = 0;           // in which it is marked
  double weight = 0.0;       // worth of the marks in fully known figures; below 1 it is mostly the start's
};

struct LearnedCanon {
  Canon canon;
  std::vector<LearnedBone> bones;      // in canon-file order
  double heads_sd = 0.0;
  int figures_used = 0;
  std::vector<std::string> left_out;   // "FILE, figure NAME: reason"
  std::vector<std::string> notes;      // what the artist should know before trusting it
  int rounds = 0;
};

// Learns lengths and spreads from figures that one artist drew to one idea of proportion.
// Every figure is read with its bones' departures from the canon as unknowns; what the
// readings say is added up (information and score, not lengths: a foreshortened limb says
// little and is believed little), the canon moved there, and the figures read again until
// it stays. Figures vary about the canon by its spreads, marks about the figure by their
// error. Spreads are what is left between the figures beyond that, drawn towards the
// start's where the figures are few. Odd figures count less, as if figures followed a t distribution. Only
// ratios can be learned; lengths are told in heads.
// Accuracy: see tests (LearnCanon.*): synthetic figures of known canon.
// Errors: kInput when fewer than `min_figures` can be read (with the reasons); kCancelled.
// Deterministic. About 30 ms per figure and round, up to 9 rounds.
[[nodiscard]] Result<LearnedCanon> LearnCanon(std::span<const CanonExample> examples,
                                              const LearnCanonOptions& options = {});

// Table for a terminal: length, how well known, spread, figures; then notes and what was left out.
[[nodiscard]] std::string DescribeLearned(const LearnedCanon& learned);

// The built-in conventions at a head count between three and eight and a half.
[[nodiscard]] Canon ConventionAt(double heads);

}  // namespace armslength
