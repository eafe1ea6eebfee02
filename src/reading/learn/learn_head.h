#pragma once
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "reading/head/head_profile.h"
#include "reading/learn/learn_canon.h"

namespace armslength {

struct LearnedHead {
  HeadProfile profile;
  bool one_character = false;
  std::vector<std::string> left_out;  // "FILE, figure NAME: reason"
};

struct LearnHeadOptions {
  std::string name = "own";
  // Drawings of one head, read jointly with one shape; otherwise heads of different
  // characters, whose mean and spread are the artist's style (at least three).
  bool one_character = false;
};

// Learns the head from figures whose faces are marked: shape, spread and conventions, and for
// one character the features that its drawings tick off. Figures without a face are passed
// over in silence, faces that cannot be read stand in left_out. Nothing: no figure has a face.
// Errors: kInput when faces are marked but too few can be read, with the reasons.
[[nodiscard]] Result<std::optional<LearnedHead>> LearnHead(std::span<const CanonExample> examples,
                                                           const LearnHeadOptions& options = {});

// For a terminal: how many heads, the main proportions with their spread, what was left out.
[[nodiscard]] std::string DescribeLearned(const LearnedHead& learned);

// Any mark of the face; crown and chin alone are none.
[[nodiscard]] bool HasFaceMarks(const FigureMarks& marks);
// Any joint below the neck.
[[nodiscard]] bool HasBodyMarks(const FigureMarks& marks);

}  // namespace armslength
