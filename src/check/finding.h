#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "marks/figure.h"

namespace armslength {

enum class Kind : std::uint8_t {
  kConstruction,  // contradicts the picture itself or any possible pose
  kCanon,         // off the artist's own declared canon or character
  kCraft,         // execution
  kTaste,         // an observation, never an error
  kKeep           // what works
};
enum class Verdict : std::uint8_t { kOff, kClear, kCannotTell };

// Stages of a piece, in order of work (trade-brief names).
enum class Stage : std::uint8_t { kThumbnail, kConstruction, kSketch, kLine, kFlats, kShading, kLighting, kFinish };

enum class RemedyWay : std::uint8_t { kGuide, kMove, kWarp, kRepaint, kLeave };

struct Remedy {
  RemedyWay way = RemedyWay::kLeave;
  double minutes = 0.0;  // working time for one fault on a finished picture; a default, editable
  std::string detail;    // one sentence: what to do
};

// Where on the picture, in picture pixels. Any of the three may be empty.
struct Where {
  std::vector<Vec2> points;
  std::optional<std::array<double, 4>> box;  // x, y, width, height
  std::vector<Vec2> outline;
};

// One drawn thing of a guide, in picture pixels. Guides show landmarks, axes and bands,
// never a finished contour.
struct GuideShape {
  enum class Role : std::uint8_t { kDrawn, kTarget, kBand, kArrow, kHelp };
  enum class Form : std::uint8_t { kPolyline, kCross, kEllipse, kPolygon };
  Role role = Role::kDrawn;
  Form form = Form::kPolyline;
  std::vector<Vec2> points;  // cross: centres; ellipse: centre, end of major, end of minor half-axis
  std::string label;         // "+4 %"; empty: none
};

// One measured statement.
struct Finding {
  std::string id;      // stable, dotted: "body.legs.length"
  std::string title;   // plain words: "Legs too long"
  Kind kind = Kind::kConstruction;
  Verdict verdict = Verdict::kCannotTell;
  std::string figure;  // name of the figure; empty: whole picture
  Where where;
  // Same unit for all five; absent when the test has no such number.
  std::optional<double> measured, expected, tolerance, sd, smallest_visible;
  std::string unit;                 // "ratio", "deg", "heads", "px", "% of stature", "L*", ...
  std::optional<double> evidence;   // strength of the test named in `test`
  std::string test;                 // "2 ln Bayes factor", "distance in sd", ...
  Stage stage = Stage::kConstruction;
  Remedy remedy;
  std::string why;     // how the number arose, in the artist's words, one to three sentences
  std::string ask;     // cannot_tell: the mark or view that would settle it
  std::string source;  // of the tolerance: a citation or "default, editable"
  double gain = 0.0;   // how much better the picture reads when mended, 0..10; ranks by gain per minute
  bool meant = false;  // the artist declared it as meant: shown, never counted
  std::vector<GuideShape> guides;
};

[[nodiscard]] std::string_view Name(Kind kind);          // "construction", ...
[[nodiscard]] std::string_view Name(Verdict verdict);    // "off", "clear", "cannot_tell"
[[nodiscard]] std::string_view Name(Stage stage);        // "construction", ...
[[nodiscard]] std::string_view Name(RemedyWay way);      // "guide", ...
[[nodiscard]] std::optional<Stage> StageFromName(std::string_view name);

// True when `id` equals one of `declared` or lies under one ("body.balance" covers
// "body.balance.side").
[[nodiscard]] bool IsMeant(std::string_view id, const std::vector<std::string>& declared);

}  // namespace armslength
