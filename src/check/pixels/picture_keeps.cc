// What works in the picture itself, put together from what the checks found clear: to be kept through the corrections.
#include <algorithm>
#include <string_view>

#include "check/pixels/context.h"
#include "words/say.h"

namespace armslength {
namespace {

constexpr std::size_t kMost = 3;       // a page that praises everything says nothing
constexpr double kPlainGroups = 1.5;   // steps of the tolerance between value groups
constexpr double kGroupShare = 0.08;   // of the area, for a group that is more than the rim of another
constexpr double kLostOutline = 0.10;  // of the outline that may sink into the ground
constexpr double kOneLight = 0.06;     // what a second light may add to the agreement with one
constexpr std::size_t kForms = 5;      // forms whose shadow side was read
constexpr double kLeastLine = 10.0;    // figure heights of line, before its quality is praised
// Common practice, no source: outlines at 1.5 to 2 times the inner lines; wider here, since 1.3 is plain to see.
constexpr double kOuterLow = 1.3, kOuterHigh = 2.5;

const Finding* Clear(const Findings& all, std::string_view id) {
  const auto at = std::ranges::find_if(all, [&](const Finding& f) { return f.id == id && f.verdict == Verdict::kClear; });
  return at == all.end() ? nullptr : &*at;
}

}  // namespace

void AddPictureKeeps(const PictureContext& c, Findings& out) {
  Findings keeps;
  const auto keep = [&](const char* id, std::string title, Stage stage, std::string why) {
    Finding f = MakeFinding(id, std::move(title), Kind::kKeep, Verdict::kClear, stage);
    f.source = Say("default, editable");
    f.why = std::move(why);
    keeps.push_back(std::move(f));
  };
  const ValueFacts::Groups& three = c.value.groups[1];
  const Finding* separation = Clear(out, "value.separation");
  const bool grouped = three.smallest_step_l >= kPlainGroups * c.Tolerances().group_step_l &&
                       std::ranges::all_of(three.shares, [](double share) { return share >= kGroupShare; });
  if (Clear(out, "value.groups") && grouped && separation && separation->measured && *separation->measured <= kLostOutline)
    keep("value.keep.grey", Say("Reads in grey"), Stage::kFlats,
         Say("Its three lightness groups lie at least {:.0f} L* apart, and {:.0f} % of the outline stands off from the ground.", three.smallest_step_l,
             100 * (1 - *separation->measured)));
  const Finding* light = Clear(out, "value.light");
  if (light && light->guides.size() >= kForms && light->evidence && *light->evidence <= kOneLight && Clear(out, "value.pillow"))
    keep("value.keep.light", Say("The light holds: every form takes it from one side"), Stage::kShading, light->why);
  const double length = c.figure_height_px > 0 ? c.line.length_px / c.figure_height_px : 0.0;
  if (c.line.line_art && length >= kLeastLine && Clear(out, "line.wobble") && Clear(out, "line.gaps") && Clear(out, "line.strays") &&
      Clear(out, "line.doubled"))
    keep("line.keep.clean", Say("Clean line: steady, closed, one stroke a contour"), Stage::kLine,
         Say("{:.0f} figure heights of line were looked at, for tremor, gaps, doubled and stray strokes.", length));
  if (c.line.line_art && c.line.outer_over_inner >= kOuterLow && c.line.outer_over_inner <= kOuterHigh && Clear(out, "line.weight"))
    keep("line.keep.weight", Say("The outline carries the figure"), Stage::kLine,
         Say("It is {:.1f} times as wide as the lines inside it.", c.line.outer_over_inner));
  // One hue holds together by itself: no choice to praise.
  if (!c.colour.grey && !c.uncoloured && c.colour.hue_families >= 2 && c.colour.hue_families <= 3 &&
      c.colour.high_chroma_share <= c.Tolerances().high_chroma_share && Clear(out, "colour.families"))
    keep("colour.keep.palette", Say("The palette is held together"), Stage::kFlats,
         c.colour.high_chroma_share < 0.01
             ? Say("Families of hue: {}.", c.colour.hue_families)
             : Say("Families of hue: {}; strong colour lies on {:.0f} % of the figure.", c.colour.hue_families, 100 * c.colour.high_chroma_share));
  keeps.resize(std::min(keeps.size(), kMost));
  out.insert(out.end(), std::make_move_iterator(keeps.begin()), std::make_move_iterator(keeps.end()));
}

}  // namespace armslength
