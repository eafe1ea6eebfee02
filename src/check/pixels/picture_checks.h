#pragma once
#include <array>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "check/finding.h"
#include "check/pixels/lit_limb.h"
#include "marks/figure.h"
#include "picture/picture.h"
#include "reading/body/body_reading.h"
#include "support/error.h"
#include "support/job.h"

namespace armslength {

// Everything the picture says by itself, with no mark placed: line, value, colour,
// composition. Marks, readings and declared areas sharpen single checks when given.

// A colour the artist named for one thing of a character ("hair", "jacket").
struct Swatch {
  std::string name;
  std::array<std::uint8_t, 3> srgb{};
};

// Editable tolerances. w is the median line width. "default, editable": trade practice
// written down from memory, with no published measurement behind it.
struct PictureTolerances {
  // Line.
  double wobble_rms_w = 0.25;        // rms from a smooth fit, in w; default, editable
  double wobble_flips_per_10w = 2.2; // changes of side per 10 w; default, editable
  double wobble_share = 0.05;        // of the long strokes' length that may wobble; default, editable
  double strokes_per_contour = 1.25; // final line; default, editable
  double gap_reach_w = 8.0;          // an open end looks this far for its continuation; default, editable
  double even_spread = 0.10;         // relative spread of width under which line is "even"; default, editable
  int stray_count = 2;               // so many stray islands are let pass; default, editable
  // Value, in CIE L*.
  double group_step_l = 12.0;        // between neighbouring value groups; default, editable
  double separation_l = 10.0;        // figure against ground along the outline; default, editable
  double separation_share = 0.4;     // of the outline may lie closer to the ground; default, editable
  double family_gap_l = 5.0;         // lightest shadow to darkest light of one material; default, editable
  double pillow_r = 0.6;             // correlation of lightness with depth inside the shape; default, editable
  double light_mention_deg = 20.0, light_flag_deg = 35.0;  // spread of light direction; default, editable
  // Colour.
  double hue_step_spread_deg = 25.0;  // of light-to-shadow hue steps; default, editable
  double chroma_ratio_min = 0.7;      // shadow chroma against the same R:G:B proportions; default, editable
  int hue_families = 4;               // default, editable
  double high_chroma_share = 0.25;    // of the area; default, editable
  double swatch_mention = 2.0, swatch_flag = 5.0;  // CIEDE2000; default, editable
  // Composition.
  double tangent_gap_w = 1.5;         // kissing edges; default, editable
  double tangent_gap_share = 0.005;   // of the long side; the larger of the two counts for the frame
  double tangent_angle_deg = 15.0;    // default, editable
  double focus_ratio = 1.2;           // marked focus against its strongest rival; default, editable
  double crop_joint_heads = 0.15;     // frame edge to joint; custom, default, editable
  double figure_height_low = 0.6, figure_height_high = 0.9;  // of the picture; default, editable
  double tiny_hole_share = 0.001;     // of the canvas; default, editable
};

struct PictureCheckOptions {
  // Stage of the piece; nothing: judged as a finished picture, and a picture that is plainly
  // an uncoloured line drawing as one at the line stage.
  std::optional<Stage> stage;
  // Areas of kind figure, focus, material, shadow, light, skin, hair and points of the marks
  // are used when given. May be null.
  const Marks* marks = nullptr;
  // Solved bodies, one per figure of `marks`, same order; null entries are allowed, and so
  // are fewer than figures.
  std::vector<const BodyReading*> readings;
  std::vector<Swatch> swatches;     // the character's declared colours
  std::vector<std::string> meant;   // finding ids or dotted prefixes declared as meant
  PictureTolerances tolerances;
  bool make_views = true;
  int view_long_side = 1200;        // px of the views. REQUIRES: >= 64
  int threads = 0;                  // 0: all cores
  JobControl control;
  std::vector<LitLimb> lit_limbs;   // of marked bodies, as CheckSurface reads them: asked together with the drawn forms
};

// How figure and background were told apart.
enum class SplitBy : std::uint8_t { kNone, kAlpha, kLayers, kFlatBackground, kOutline };
[[nodiscard]] std::string_view Name(SplitBy split);  // "alpha", "layers", "flat background", ...

struct FigureSplit {
  SplitBy by = SplitBy::kNone;
  double scale = 1.0;                 // mask px / picture px
  int width = 0, height = 0;          // of the mask
  std::vector<std::uint8_t> mask;     // 255 figure, 0 background; empty when kNone
  std::array<double, 4> box_px{};     // x, y, width, height, picture px
  double area_share = 0.0;            // figure / picture
};

struct LineFacts {
  bool line_art = false;         // false: painterly or flat shapes, line checks left out
  double length_px = 0.0;        // of all strokes
  int strokes = 0;
  double width_px = 0.0;         // median
  double width_p10_px = 0.0, width_p90_px = 0.0;
  double width_spread = 0.0;     // robust sd / median
  double within_stroke_spread = 0.0;   // the same along single strokes, median stroke
  double outer_over_inner = 0.0;       // median outer / median inner width; 0: not known
  double silhouette_cover = 0.0;       // share of the silhouette that carries a line; 0: not known
  double width_of_figure = 0.0;        // median width / figure height; 0: not known
};

struct ValueFacts {
  double l_mean = 0.0, l_p05 = 0.0, l_p95 = 0.0;  // CIE L*
  // Best split into 2..5 groups: thresholds, group means and area shares, darkest first.
  struct Groups {
    std::vector<double> thresholds_l, means_l, shares;
    double explained = 0.0;       // between-group share of the variance, 0..1
    double smallest_step_l = 0.0;
  };
  std::array<Groups, 4> groups;   // [k - 2]
};

struct PaletteColour {
  std::array<std::uint8_t, 3> srgb{};
  double share = 0.0;             // of the picture's visible area
  double l = 0.0, chroma = 0.0, hue_deg = 0.0;  // OKLab L in 0..1, chroma, hue
};

struct ColourFacts {
  std::vector<PaletteColour> palette;  // largest first
  int hue_families = 0;                // chroma-weighted clusters of hue
  double high_chroma_share = 0.0;
  bool grey = false;                   // no colour worth speaking of
};

// Fresh-eye views. Ids: mirrored, upside_down, grey, groups_2 .. groups_5, blurred,
// thumbnail, silhouette, line_only, line_weight, edges.
struct FreshEyeView {
  std::string id, title;
  ImageRgba8 image;
};

struct PictureReport {
  std::vector<Finding> findings;     // off first, then observations, then what is clear
  std::vector<std::string> notes;    // what was left out and why, in the artist's words
  std::vector<FreshEyeView> views;   // empty when not asked for
  FigureSplit split;
  LineFacts line;
  ValueFacts value;
  ColourFacts colour;
  double analysis_scale = 1.0;       // px of the reduced picture per px; line work is done at full size
};

// All checks of one picture, no marks needed. At most a handful of findings are `off` or
// observations; places are listed inside a finding. Line is measured at full size; value,
// colour and composition on the picture reduced to 1200 px on the long side (palette: exact
// colours of an even grid). Errors: kInput for an empty picture, kCancelled.
// Deterministic for any number of threads. Thread-safe.
[[nodiscard]] Result<PictureReport> CheckPicture(const Picture& picture, const PictureCheckOptions& options = {});

// ---- views that need no analysis, for files at full size and for single keys ----
enum class SimpleView : std::uint8_t { kMirrored, kUpsideDown, kGrey, kGroups2, kGroups3, kGroups4, kGroups5, kBlurred, kThumbnail };
[[nodiscard]] std::string_view Name(SimpleView view);
[[nodiscard]] ImageRgba8 MakeView(const ImageRgba8& image, SimpleView view);

// All views at the picture's own size, for files (slower, and takes one picture's memory per
// call of `take`; views are made one after the other and handed over).
[[nodiscard]] Result<void> MakeFullSizeViews(const Picture& picture, const PictureCheckOptions& options,
                                             const std::function<Result<void>(FreshEyeView&&)>& take);

}  // namespace armslength
