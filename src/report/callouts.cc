#include "report/callouts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <functional>
#include <limits>
#include <numeric>

#include <cairo.h>

#include "geometry/line.h"

namespace armslength {
namespace {

// All lengths in ems of the callout text.
constexpr double kPadding = 0.45;
constexpr double kBadge = 1.5;   // diameter of the number's disc
constexpr double kGap = 0.5;     // between disc and text
constexpr double kMargin = 0.4;  // to the picture's edge and between plates
constexpr double kWrapShare = 0.40;

struct Layout {
  TextSize title, amount;
  double wrap = 0.0;
  BoxPx plate;  // at the origin
  bool text = true;
};

TextStyle TitleStyle(double em, double wrap) { return {em, true, wrap}; }
TextStyle AmountStyle(double em, double wrap) { return {0.95 * em, false, wrap}; }

Layout Measure(const Callout& callout, double em, double width_px) {
  Layout layout;
  layout.wrap = std::max(5.5 * em, kWrapShare * width_px);
  const double chrome = (2 * kPadding + kBadge + kGap) * em;
  if (chrome + layout.wrap > 0.75 * width_px) {
    layout.text = false;
    layout.plate = {0, 0, kBadge * em, kBadge * em};
    return layout;
  }
  layout.title = MeasureLabel(callout.title, TitleStyle(em, 0.0));
  if (layout.title.width > layout.wrap) layout.title = MeasureLabel(callout.title, TitleStyle(em, layout.wrap));
  if (!callout.amount.empty()) {
    layout.amount = MeasureLabel(callout.amount, AmountStyle(em, 0.0));
    if (layout.amount.width > layout.wrap) layout.amount = MeasureLabel(callout.amount, AmountStyle(em, layout.wrap));
  }
  const double text_width = std::min(layout.wrap, std::max(layout.title.width, layout.amount.width));
  layout.plate = {0, 0, chrome + text_width,
                  2 * kPadding * em + std::max(kBadge * em, layout.title.height + layout.amount.height)};
  return layout;
}

bool Inside(const BoxPx& box, const Vec2& p) {
  return p.x() >= box.x && p.x() <= box.Right() && p.y() >= box.y && p.y() <= box.Bottom();
}
bool CrossesBox(const Vec2& a, const Vec2& b, const BoxPx& box) {
  if (box.Empty()) return false;
  if (Inside(box, a) || Inside(box, b)) return true;
  const std::array<Vec2, 4> corner = {Vec2(box.x, box.y), Vec2(box.Right(), box.y), Vec2(box.Right(), box.Bottom()),
                                      Vec2(box.x, box.Bottom())};
  for (std::size_t i = 0; i < 4; ++i)
    if (SegmentsCross(a, b, corner[i], corner[(i + 1) % 4])) return true;
  return false;
}

Vec2 NearestOn(const BoxPx& box, const Vec2& p) {
  return {std::clamp(p.x(), box.x, box.Right()), std::clamp(p.y(), box.y, box.Bottom())};
}

PlacedCallout At(const Callout& callout, const BoxPx& plate) {
  PlacedCallout placed{callout, plate, Vec2::Zero(), Vec2::Zero()};
  if (callout.anchor) {
    placed.to = *callout.anchor;
    placed.from = Inside(plate, placed.to) ? placed.to : NearestOn(plate, placed.to);
  }
  return placed;
}

bool HasLeader(const PlacedCallout& p) { return p.callout.anchor && (p.from - p.to).norm() > 1.0; }

// Cost of a plate by itself, in picture diagonals of leader length.
double OwnCost(const PlacedCallout& p, const CalloutOptions& o, double em, double diagonal) {
  double cost = 0.0;
  if (p.callout.anchor) {
    const double reach = (p.from - p.to).norm();
    cost += reach / diagonal;
    if (Inside(p.plate.Grown(0.6 * em), p.to)) cost += 1.5;  // would hide what it speaks of
  }
  const BoxPx near = p.plate.Grown(0.5 * em);
  int hit = 0, crossed = 0;
  for (const Vec2& b : o.busy) {
    if (Inside(near, b)) ++hit;
    else if (HasLeader(p) && (b - p.to).norm() > 1.2 * em && SegmentDistance(p.from, p.to, b) < 0.3 * em) ++crossed;
  }
  cost += 0.12 * std::min(hit, 12) + 0.05 * std::min(crossed, 10);
  cost += 0.8 * o.detail.Share(near.x / o.width_px, near.y / o.height_px, near.width / o.width_px, near.height / o.height_px);
  for (const BoxPx& face : o.faces) {
    cost += 50.0 * p.plate.Overlap(face) / (p.plate.width * p.plate.height);
    if (p.plate.Overlap(face) > 0.0) cost += 10.0;
    if (HasLeader(p) && !Inside(face, p.to) && CrossesBox(p.from, p.to, face)) cost += 0.6;
  }
  return cost;
}

double PairCost(const PlacedCallout& a, const PlacedCallout& b, double em) {
  double cost = 0.0;
  if (a.plate.Grown(kMargin * em).Overlap(b.plate) > 0.0) cost += 30.0;
  if (HasLeader(a) && CrossesBox(a.from, a.to, b.plate)) cost += 3.0;
  if (HasLeader(b) && CrossesBox(b.from, b.to, a.plate)) cost += 3.0;
  if (HasLeader(a) && HasLeader(b) && SegmentsCross(a.from, a.to, b.from, b.to)) cost += 2.0;
  if (b.callout.anchor && Inside(a.plate, *b.callout.anchor)) cost += 1.5;
  if (a.callout.anchor && Inside(b.plate, *a.callout.anchor)) cost += 1.5;
  return cost;
}

}  // namespace

DetailMap::DetailMap(const ImageRgba8& image) {
  constexpr int kLongSide = 240;
  constexpr int kContrast = 24;  // 8-bit steps between neighbours that count as drawing
  const ImageRgba8 small = ShrinkTo(image, kLongSide);
  width_ = small.width;
  height_ = small.height;
  sums_.assign(static_cast<std::size_t>(width_ + 1) * static_cast<std::size_t>(height_ + 1), 0);
  const auto differ = [](const std::uint8_t* a, const std::uint8_t* b) {
    int most = 0;
    for (int c = 0; c < 4; ++c) most = std::max(most, std::abs(a[c] - b[c]));
    return most > kContrast;
  };
  const auto at = [this](int x, int y) -> int& {
    return sums_[static_cast<std::size_t>(y) * static_cast<std::size_t>(width_ + 1) + static_cast<std::size_t>(x)];
  };
  for (int y = 0; y < height_; ++y)
    for (int x = 0; x < width_; ++x) {
      const bool drawn = (x > 0 && differ(small.At(x, y), small.At(x - 1, y))) ||
                         (y > 0 && differ(small.At(x, y), small.At(x, y - 1)));
      at(x + 1, y + 1) = at(x, y + 1) + at(x + 1, y) - at(x, y) + (drawn ? 1 : 0);
    }
}

double DetailMap::Share(double x, double y, double width, double height) const {
  if (sums_.empty()) return 0.0;
  const auto cell = [](double share, int count) { return std::clamp(static_cast<int>(std::lround(share * count)), 0, count); };
  const int x0 = cell(x, width_), x1 = cell(x + width, width_), y0 = cell(y, height_), y1 = cell(y + height, height_);
  if (x1 <= x0 || y1 <= y0) return 0.0;
  const auto at = [this](int column, int row) {
    return sums_[static_cast<std::size_t>(row) * static_cast<std::size_t>(width_ + 1) + static_cast<std::size_t>(column)];
  };
  const int drawn = at(x1, y1) - at(x0, y1) - at(x1, y0) + at(x0, y0);
  // Outlines fill about a fifth of the cells they run through.
  return std::min(1.0, 5.0 * drawn / (static_cast<double>(x1 - x0) * (y1 - y0)));
}

double CalloutTextPx(double width_px, double height_px) {
  return std::max(11.0, 0.025 * std::max(width_px, 0.6 * height_px));
}

std::vector<PlacedCallout> PlaceCallouts(const std::vector<Callout>& callouts, const CalloutOptions& options) {
  const double em = options.text_px, margin = kMargin * em;
  const double diagonal = std::max(1.0, std::hypot(options.width_px, options.height_px));
  const std::size_t count = callouts.size();

  // Best places of each callout alone; then the best way to combine them.
  struct Candidate {
    PlacedCallout placed;
    double cost;
  };
  std::vector<std::vector<Candidate>> candidates(count);
  constexpr int kColumns = 15, kRows = 21;
  constexpr std::size_t kKept = 60;
  for (std::size_t i = 0; i < count; ++i) {
    BoxPx plate = Measure(callouts[i], em, options.width_px).plate;
    const double room_x = std::max(0.0, options.width_px - plate.width - 2 * margin);
    const double room_y = std::max(0.0, options.height_px - plate.height - 2 * margin);
    for (int row = 0; row < kRows; ++row)
      for (int column = 0; column < kColumns; ++column) {
        plate.x = margin + room_x * column / (kColumns - 1);
        plate.y = margin + room_y * row / (kRows - 1);
        PlacedCallout placed = At(callouts[i], plate);
        const double cost = OwnCost(placed, options, em, diagonal);
        candidates[i].push_back({std::move(placed), cost});
      }
    std::stable_sort(candidates[i].begin(), candidates[i].end(),
                     [](const Candidate& a, const Candidate& b) { return a.cost < b.cost; });
    // Neighbouring cells are near-copies; every second one is enough beyond the first few.
    if (candidates[i].size() > kKept) {
      std::vector<Candidate> kept;
      for (std::size_t k = 0; k < candidates[i].size() && kept.size() < kKept; k += kept.size() < 20 ? 1 : 4)
        kept.push_back(std::move(candidates[i][k]));
      candidates[i] = std::move(kept);
    }
  }

  std::vector<PlacedCallout> best, current;
  double best_cost = std::numeric_limits<double>::infinity();
  const std::function<void(std::size_t, double)> place = [&](std::size_t i, double cost) {
    if (cost >= best_cost) return;
    if (i == count) {
      best_cost = cost;
      best = current;
      return;
    }
    for (const Candidate& c : candidates[i]) {
      double with = cost + c.cost;
      if (with >= best_cost) break;  // candidates come sorted
      for (const PlacedCallout& other : current) with += PairCost(other, c.placed, em);
      current.push_back(c.placed);
      place(i + 1, with);
      current.pop_back();
    }
  };
  place(0, 0.0);
  return best;
}

void DrawCallout(cairo_t* cr, const PlacedCallout& placed, double em, double line_px) {
  cairo_save(cr);
  cairo_set_dash(cr, nullptr, 0, 0.0);
  cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
  if (HasLeader(placed)) {
    const double ring = 0.22 * em;
    Vec2 along = placed.to - placed.from;
    const double length = along.norm();
    along /= length;
    const Vec2 end = placed.to - std::min(ring, 0.5 * length) * along;
    for (const bool halo : {true, false}) {
      cairo_new_path(cr);
      cairo_move_to(cr, placed.from.x(), placed.from.y());
      cairo_line_to(cr, end.x(), end.y());
      cairo_new_sub_path(cr);
      cairo_arc(cr, placed.to.x(), placed.to.y(), ring, 0.0, 6.2832);
      cairo_set_line_width(cr, halo ? 2.2 * line_px : 0.75 * line_px);
      SetInk(cr, halo ? kPaperInk.Faded(0.85) : kDarkInk);
      cairo_stroke(cr);
    }
  }
  // The plate only knows its own box; find the layout that made it.
  const double badge = kBadge * em;
  const bool text = placed.plate.width > 1.5 * badge;
  const double pad = text ? kPadding * em : 0.0;
  if (text) {
    cairo_new_path(cr);
    RoundedBox(cr, placed.plate, 0.35 * em);
    SetInk(cr, kPaperInk.Faded(0.94));
    cairo_fill_preserve(cr);
    cairo_set_line_width(cr, std::max(1.0, 0.5 * line_px));
    SetInk(cr, kDarkInk.Faded(0.55));
    cairo_stroke(cr);
  }
  const double middle_x = placed.plate.x + pad + badge / 2.0, middle_y = placed.plate.y + pad + badge / 2.0;
  cairo_new_path(cr);
  cairo_arc(cr, middle_x, middle_y, badge / 2.0, 0.0, 6.2832);
  SetInk(cr, kDarkInk);
  cairo_fill(cr);
  const std::string number = std::to_string(placed.callout.number);
  const TextStyle number_style{em, true, 0.0};
  const TextSize number_size = MeasureLabel(number, number_style);
  DrawLabel(cr, number, middle_x - number_size.width / 2.0, middle_y - number_size.height / 2.0, number_style, kPaperInk);
  if (text) {
    const double left = placed.plate.x + pad + badge + kGap * em;
    const double wrap = placed.plate.Right() - pad - left + 1.0;
    const TextSize title = MeasureLabel(placed.callout.title, TitleStyle(em, wrap));
    const TextSize amount =
        placed.callout.amount.empty() ? TextSize{} : MeasureLabel(placed.callout.amount, AmountStyle(em, wrap));
    const double top = placed.plate.y + (placed.plate.height - title.height - amount.height) / 2.0;
    DrawLabel(cr, placed.callout.title, left, top, TitleStyle(em, wrap), kDarkInk);
    if (!placed.callout.amount.empty())
      DrawLabel(cr, placed.callout.amount, left, top + title.height, AmountStyle(em, wrap), kDarkInk);
  }
  cairo_restore(cr);
}

}  // namespace armslength
