#include "report/standing_plate.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include <cairo.h>
#include <fmt/format.h>

#include "report/block_body.h"
#include "report/standing_parts.h"
#include "report/words.h"
#include "words/say.h"

namespace armslength {
namespace {

using P = PointId;
using L = StandingLevel;

constexpr Ink kPaper{0.949, 0.949, 0.945};
constexpr Ink kText{0.13, 0.13, 0.14};
constexpr Ink kQuiet{0.36, 0.36, 0.38};
constexpr Ink kRule{0.72, 0.72, 0.73};
constexpr double kTop = 250.0, kFloor = 1010.0;      // room of the bodies
constexpr double kDrawnX = 302.0, kCanonX = 822.0;   // middles of the two columns
constexpr double kLeft = 56.0, kRight = kPlateWidth - 56.0;

double Level(const StandingBody& b, L level) { return b.level[static_cast<std::size_t>(level)]; }
double LevelSd(const StandingBody& b, L level) { return b.level_sd[static_cast<std::size_t>(level)]; }

std::string Heads(double heads) { return Say("{:.1f}", heads); }
std::string SignedHeads(double heads) {
  const std::string digits = fmt::format("{:.1f}", std::abs(heads));
  const double shown = std::strtod(digits.c_str(), nullptr);
  // Tenths are what an eye sees; small parts need the second figure to differ from nothing.
  if (shown < 0.3) return (heads < 0 ? "−" : "+") + Say("{:.2f} heads", std::abs(heads));
  return (heads < 0 ? "−" : "+") + (shown == 1.0 ? Say("{} head", Digits(digits)) : Say("{} heads", Digits(digits)));
}

void Line(cairo_t* cr, double x0, double y0, double x1, double y1, const Ink& ink, double width) {
  cairo_new_path(cr);
  cairo_move_to(cr, x0, y0);
  cairo_line_to(cr, x1, y1);
  cairo_set_line_width(cr, width);
  SetInk(cr, ink);
  cairo_stroke(cr);
}

void Centred(cairo_t* cr, const std::string& text, double x, double y, const TextStyle& style, const Ink& ink) {
  DrawLabel(cr, text, x - MeasureLabel(text, style).width / 2.0, y, style, ink);
}

// Square bracket that opens towards the body.
void Bracket(cairo_t* cr, double x, double y_low, double y_high, double tick, const Ink& ink, bool dashed) {
  cairo_new_path(cr);
  cairo_move_to(cr, x + tick, y_low);
  cairo_line_to(cr, x, y_low);
  cairo_line_to(cr, x, y_high);
  cairo_line_to(cr, x + tick, y_high);
  const std::array<double, 2> dash = {11.0, 7.0};
  if (dashed) cairo_set_dash(cr, dash.data(), 2, 0.0);
  cairo_set_line_width(cr, 4.0);
  SetInk(cr, ink);
  cairo_stroke(cr);
  cairo_set_dash(cr, nullptr, 0, 0.0);
}

void Key(cairo_t* cr, double x, double y, const Ink& ink, bool dashed) {
  const std::array<double, 2> dash = {11.0, 7.0};
  if (dashed) cairo_set_dash(cr, dash.data(), 2, 0.0);
  Line(cr, x, y, x + 62.0, y, ink, 4.0);
  cairo_set_dash(cr, nullptr, 0, 0.0);
}

void DrawBodies(cairo_t* cr, const StandingFigure& s) {
  const double tallest = std::max({s.drawn.Height() + LevelSd(s.drawn, L::kCrown), s.canon.Height(), 1.0});
  const double scale = (kFloor - kTop) / (tallest + 0.05);
  const auto py = [scale](double heads) { return kFloor - scale * heads; };

  // Head heights, counted down from the canon's crown as handbooks do.
  const double canon_height = s.canon.Height();
  for (int head = 0; head <= static_cast<int>(canon_height + 1e-6); ++head) {
    const double y = py(canon_height - head);
    if (y > kFloor - 2.0) break;
    Line(cr, kLeft + 44.0, y, kRight, y, kRule, 1.5);
    const std::string label = head == 0 ? "0" : std::to_string(head);
    const TextStyle style{26.0, false, 0.0};
    const TextSize size = MeasureLabel(label, style);
    DrawLabel(cr, label, kLeft + 30.0 - size.width, y - size.height / 2.0, style, kQuiet);
  }
  Line(cr, kLeft, kFloor, kRight, kFloor, kText, 3.0);

  // Spread of the two levels that matter most, two standard deviations each way.
  for (const L level : {L::kHips, L::kCrown}) {
    const auto band = [&](const StandingBody& b, double x, const Ink& ink) {
      const double half = std::max(2.0, 1.96 * LevelSd(b, level) * scale);
      cairo_new_path(cr);
      cairo_rectangle(cr, x - 130.0, py(Level(b, level)) - half, 260.0, 2.0 * half);
      SetInk(cr, ink.Faded(0.13));
      cairo_fill(cr);
    };
    band(s.drawn, kDrawnX, kDrawnInk);
    band(s.canon, kCanonX, kTargetInk);
  }

  const std::array<bool, kBoneCount> none{};
  DrawBlockBody(cr, s.canon, {kCanonX, kFloor}, scale, none,
                {kTargetInk, {0.905, 0.929, 0.969}, {0.905, 0.929, 0.969}, 3.0, false});
  DrawBlockBody(cr, s.drawn, {kDrawnX, kFloor}, scale, s.bone_off,
                {kDrawnInk, {0.985, 0.945, 0.905}, {0.965, 0.790, 0.620}, 3.0, true});

  // Same level, two heights: the slope shows where they part.
  const auto half_width = [scale](const StandingBody& b) {
    const auto& j = b.joints;
    const double arm = j[static_cast<std::size_t>(P::kShoulderL)].y() - j[static_cast<std::size_t>(P::kHandTipL)].y();
    return (0.5 * b.shoulder_width + std::sin(kArmHangRad) * arm + 0.12) * scale + 24.0;
  };
  for (const StandingPart& part : DepartingParts(s)) {
    const double xd = kDrawnX + half_width(s.drawn), xc = kCanonX - half_width(s.canon);
    const auto dots = std::array<double, 2>{2.0, 7.0};
    cairo_set_dash(cr, dots.data(), 2, 0.0);
    Line(cr, xd, py(part.drawn_high), xc, py(part.canon_high), kQuiet, 2.0);
    Line(cr, xd, py(part.drawn_low), xc, py(part.canon_low), kQuiet, 2.0);
    cairo_set_dash(cr, nullptr, 0, 0.0);
    Bracket(cr, xd, py(part.drawn_low), py(part.drawn_high), -14.0, kDrawnInk, true);
    Bracket(cr, xc, py(part.canon_low), py(part.canon_high), 14.0, kTargetInk, false);
    const double middle = 0.25 * (part.drawn_low + part.drawn_high + part.canon_low + part.canon_high);
    const std::string amount = SignedHeads(part.Difference());
    const std::string share = fmt::format("{}{:.0f} %", part.Difference() < 0 ? "−" : "+", 100.0 * std::abs(part.Share()));
    // Shrinks for wide figures, so that the words stay between the brackets.
    const double room = xc - xd - 36.0;
    const double fit = std::clamp(room / std::max(1.0, MeasureLabel(amount, {36.0, true, 0.0}).width), 0.6, 1.0);
    const TextStyle big{36.0 * fit, true, 0.0}, small{27.0 * fit, false, 0.0};
    const TextSize a = MeasureLabel(part.name, small), b = MeasureLabel(amount, big), c = MeasureLabel(share, small);
    const double x = 0.5 * (xd + xc), y = py(middle) - 0.5 * (a.height + b.height + c.height);
    const double width = std::max({a.width, b.width, c.width}) + 16.0;
    cairo_new_path(cr);
    RoundedBox(cr, {x - width / 2.0, y - 6.0, width, a.height + b.height + c.height + 12.0}, 8.0);
    SetInk(cr, kPaper);
    cairo_fill(cr);
    Centred(cr, part.name, x, y, small, kText);
    Centred(cr, amount, x, y + a.height, big, kText);
    Centred(cr, share, x, y + a.height + b.height, small, kText);
  }
}

void DrawPlate(cairo_t* cr, const FigureCritique& figure) {
  cairo_new_path(cr);
  cairo_rectangle(cr, 0, 0, kPlateWidth, kPlateHeight);
  SetInk(cr, kPaper);
  cairo_fill(cr);
  const double width = kRight - kLeft;
  const TextStyle title{42.0, true, width}, body{27.0, false, width}, caption{29.0, true, 420.0}, small{24.0, false, width};
  DrawLabel(cr, figure.marks.name, kLeft, 44.0, {42.0, true, 0.0}, kText);
  DrawLabel(cr, Say("straightened up, beside its canon, on one floor"), kLeft, 104.0, body, kQuiet);
  if (!figure.standing->usable) {
    DrawLabel(cr, Say("This figure cannot be stood up yet."), kLeft, 240.0, title, kText);
    DrawLabel(cr, figure.standing->why_not, kLeft, 360.0, {32.0, false, width}, kText);
    return;
  }
  const StandingFigure& s = *figure.standing;
  DrawBodies(cr, s);

  const double y = kFloor + 26.0;
  Key(cr, kDrawnX - 150.0, y + 20.0, kDrawnInk, true);
  DrawLabel(cr, Say("as drawn"), kDrawnX - 76.0, y, caption, kText);
  std::string count = Say("no head count from one view");
  if (s.heads_drawn) {
    count = Say("{} heads", Heads(*s.heads_drawn));
    if (s.heads_low && s.heads_high && Heads(*s.heads_low) != Heads(*s.heads_high)) count += fmt::format(" ({}–{})", Heads(*s.heads_low), Heads(*s.heads_high));
  }
  DrawLabel(cr, count, kDrawnX - 150.0, y + 44.0, {27.0, false, 0.0}, kText);
  Key(cr, kCanonX - 150.0, y + 20.0, kTargetInk, false);
  DrawLabel(cr, s.canon_declared ? Say("your canon") : Say("canon, assumed"), kCanonX - 76.0, y, caption, kText);
  std::string canon = Say("{} heads", Heads(s.heads_canon));
  if (figure.body && !figure.body->canon.canon.name.empty()) canon += " · " + figure.body->canon.canon.name;
  DrawLabel(cr, canon, kCanonX - 150.0, y + 44.0, {27.0, false, 0.0}, kText);

  double foot = y + 108.0;
  if (!s.note.empty()) {
    DrawLabel(cr, s.note, kLeft, foot, small, kText);
    foot += MeasureLabel(s.note, small).height + 10.0;
  }
  DrawLabel(cr,
            Say("Shaded bars: where the level lies in 95 of 100 cases. Breadths are drawn alike on purpose; "
                "only lengths are "
                "measured. A canon is a drawing convention, not a statement about bodies."),
            kLeft, foot, small, kQuiet);
}

}  // namespace

Result<ImageRgba8> DrawStanding(const Critique& critique, int max_figures) {
  // A head alone has no body that could be stood up: no plate to say so.
  std::vector<const FigureCritique*> figures;
  for (const FigureCritique& figure : critique.figures)
    if (figure.standing && static_cast<int>(figures.size()) < max_figures) figures.push_back(&figure);
  const auto count = static_cast<int>(figures.size());
  if (count == 0) return ImageRgba8{};
  return PaintAlone(0, 0, kPlateWidth, kPlateHeight * count, [&](cairo_t* cr) {
    for (int i = 0; i < count; ++i) {
      cairo_save(cr);
      cairo_translate(cr, 0.0, i * kPlateHeight);
      DrawPlate(cr, *figures[static_cast<std::size_t>(i)]);
      cairo_restore(cr);
    }
  });
}

}  // namespace armslength
