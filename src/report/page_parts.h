#pragma once
#include <string>
#include <vector>

#include "critique/critique.h"
#include "picture/picture.h"

// Pieces of the critique page, as HTML. Everything from outside is escaped here.
namespace armslength::page {

// The overlay of the first findings as SVG in picture coordinates, lines with classes
// (drawn "d", target "t") that the page's script can show apart.
[[nodiscard]] std::string OverlaySvg(const Critique& critique);

// Scale with the expected value and its tolerance band, and what was measured with its
// spread; "" when the finding lacks the numbers.
[[nodiscard]] std::string GaugeSvg(const Finding& finding);

// Every mark of every figure is the program's own guess.
[[nodiscard]] bool MarksAreProposed(const Critique& critique);

// "Three things to mend first" and the line below it.
[[nodiscard]] std::string Headline(const Critique& critique);
[[nodiscard]] std::string Subline(const Critique& critique);

// One way of looking at the picture, shown small.
struct Tile {
  std::string title;
  std::string file;   // the larger version beside the page
  std::string image;  // data: address
};

// The column below the headline. `crops`: data: addresses for the first findings, "" for
// none; `standing`: data: address or "".
[[nodiscard]] std::string Column(const Critique& critique, const std::vector<std::string>& crops,
                                 const std::string& standing, const std::vector<Tile>& tiles,
                                 const std::vector<std::string>& notes);

}  // namespace armslength::page
